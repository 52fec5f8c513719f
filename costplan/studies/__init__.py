"""Functions from a shop to a result: the comparison, the next machine, what turns the answer, calls, bids.

Its modules:

- `comparison`, `wanted`, `beside`, `rows`, `strategies`, `gaps`, `left_out`: the whole comparison; what is wanted of it; half
  of it in a second process where there is one to spare; rows of the matrix; the user's strategies; what is missing, and what it
  costs at least; which machines no way can power, whatever others do, and why.
- `case`: a shop file with its catalog and its bids, read and checked: `costplan.load`, with which every command begins.
- `layouts`: the best plan of every layout, and what is done today for it, counted.
- `turning`, `crossing`, `figures`, `held_lines`, `held_plans`, `moves`: what turns the answer, found by solving anew; where
  two held plans cross; the figures that are moved; what a held plan costs then, and by other hands; how many moves a year
  turn the two pure ways, both held.
- `at_hand`: the two figures of the first screen, to their nearest turn with few solves.
- `turned`, `shops_anew`, `winners_map`: all that was asked about what turns the answer; years, distance and moves a year,
  each value a shop made anew; two figures at once.
- `swing`, `yearly`: how far the total moves with one figure; money and hours by year.
- `finding_out`: what knowing a figure is worth before a plan is chosen, from the draws.
- `caps`: another cap on today's cash, and the best plan without one.
- `paying_back`, `outlays`, `staging`: what more money today pays back; the cheapest plans under lower and lower caps on
  today's cash; what today's cash is for and what is due when.
- `yearly_budget`, `budgeted`: in which year each circuit is made under a yearly budget, as a small program of its own; the
  same of a plan, and which other plans could keep it.
- `exceeding`: how often some year of a plan takes more cash than a limit.
- `uncertain`, `draws`, `sureness`: which uncertain figure moves which line; seeded draws of all plans at once, with
  numpy, which nothing else loads; ranges, chances, groups of equals and contingency out of them.
- `warnings`: what is said beside a comparison.
- `drops`: voltage drop in the best plan: what is priced, what the thin wire or another voltage would do.
- `hinges`, `protection_cost`, `size_cost`, `spares_cost`: answers that nobody gave, with the money that turns on each
  (heaters that may stay, free spaces, capped runs, a building nobody described, marks of plugs); protection by the edition, the
  place and the use that decide it; another size of a circuit; what the other rule for surplus that fails would buy.
- `next_machine`, `asked_next`, `next_step`, `spaces_left`, `spaces_kept`, `gear_why`, `phone_calls`: the difference of two
  optima; machines asked for by name or described; what the next load triggers; breaker spaces left today and at the least
  later, and which to keep free for later; what a plan lacks without its gear; which unknown prices could change the plan.
- `heavier_wire`: the next heavier wire of a run as an option: what it costs today, and is worth if a bigger machine comes.
- `explained`, `line_sheets`, `least_change`, `least_moves`: why not another way, strategy or option, as the difference of two
  optima; lines by number, by machine, and beside those of another plan; the single price, task or rate, or the number of moves,
  at which another plan wins.
- `hired_scope`, `leveling`, `bid_choice`, `break_even`: hired work of a plan; bids brought to that scope;
  bids in the choice; by the hour against a fixed price.

**How sure it is** (`studies.uncertain`): a line's worth is what the plan says, times a factor for each figure that it
follows: hours, a rate, an offer's price, shares that fail or come back, growth, the discount rate, weights. Lines with the
same factors are summed first, so a draw of all plans is one matrix product. The exact search takes the mean of a range;
the plans at hand are drawn, nothing is searched again.

**The next machine** is a difference of two proven optima, the shop with it and the shop without it. Holding
it to a source or a kind of run solves again with fewer of its ways.

**The least change** (`studies.least_change`) is first looked for with both plans held, figure by figure; then the shop is
solved anew there and next to it, and a third plan that turns up moves the figure on. Where that does not end, it is said
with "about".

**Bids** (`studies.leveling`) are brought to the scope of `studies.hired_scope`, today's hired work of one plan;
`studies.bid_choice` makes each bid one more way of hiring, solved like the others.
"""
