"""Which offers can meet a need, and what they cost with everything.

Its modules:

- `market`, `deal`, `resale`, `rejects`, `cutting`, `orders`: which offers meet a need; what one unit of an offer brings
  along; what it fetches at the end; what the share that fails does; what reels are cut into; what an order costs besides.
- `upkeep`, `looking`, `oddities`, `duplicates`: changes to prices worked out before anything is written;
  questions about prices.
- `designation`, `placing`: parts in counter words; which part a supplier's row means.
"""
