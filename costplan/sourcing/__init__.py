"""Which offers can meet a need, and what they cost with everything.

Its modules:

- `market`, `cutting`, `orders`: which offers meet a need, and what each brings along; what an order costs besides.
- `upkeep`, `looking`, `oddities`, `duplicates`: changes to prices worked out before anything is written;
  questions about prices.
- `designation`, `placing`: parts in counter words; which part a supplier's row means.
"""
