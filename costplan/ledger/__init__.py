"""What a plan costs, line by line and year by year, without the program that chose it.

Its modules:

- `options`, `wires_chosen`, `on_offer`, `serving`, `usable_parts`: ways walked through all scenarios; the wires that a way
  may be made of, of which the plan chooses; what nobody sells closes them, or leaves only what is there; in which order
  things set free serve; which parts a shop can use at all.
- `crews`, `lines`, `unit_cost`, `pricing`: who works; the lines that every total is the sum of; what one unit of
  an offer brings along; bundles turned into rounded lines.
- `plan`, `same_plan`, `holding`: what was decided; which two plans a person calls the same; words that name ways.
- `steps`, `asked`, `aging`, `cords_passed_on`, `stockroom`, `receipt`, `ledger`, `paid`, `simulation`: today's work step by
  step; what a machine asks for, and where; when things in use wear out; cords that serve again whole; the walk's
  stock; its receipt of today's purchase; its count of panels and loads; work paid at a date, and what moves in turn
  bring; the walk itself, which knows nothing of the program.
- `least_charges`, `standalone`, `held`: what visits are paid at least, read off a plan's lines; a way on its own; a plan
  held as it is at other prices.

**One rounding rule.** Money is exact until `ledger.pricing` (later years, work, visits) or `program.purchase`
(today's parts) turns it into whole cents, half to even. An amount and its present value are each rounded
once. Every total is a sum of lines.
"""
