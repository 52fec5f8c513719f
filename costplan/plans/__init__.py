"""The exact choice, the ranking, the simulation, what would turn the answer.

Its modules:

- `options`, `on_offer`, `crews`, `pricing`, `lines`: ways walked through all scenarios; what nobody sells
  closes them, or leaves only what is there; who works; bundles turned into rounded lines.
- `program`, `choice`, `frame`, `stocked`, `built`, `visit_rows`, `gear_rows`, `load_rows`, `cord_rows`,
  `purchase`, `reel_rows`, `order_rows`, `unit_cost`: the integer program as data; its rows of ways, stock and wear;
  a way of hiring put on it; what is set free, as it counts it; the built program and its answer as a plan; visits
  and permits; gear; limits; whole cords; today's purchase, its reels and its orders; what one unit of an offer
  brings along.
- `solver`, `relaxation`: the only module that knows CP-SAT; the linear relaxation and what its reduced costs
  rule out.
- `ranking`, `clock`, `clashes`: the best plans in order; the time limit; why there is none.
- `aging`, `serving`: when things in use wear out and with what age they are set free, in which
  order uses are served; for program and walk alike.
- `plan`, `steps`, `asked`, `simulation`, `receipt`, `stockroom`, `ledger`: what was decided; today's work
  step by step; what a machine asks for, and where; the walk that knows nothing of the program, its receipt of
  today's purchase, its stock, its count of panels and loads.
- `holding`, `strategies`, `rows`, `gaps`: words that name ways; the user's strategies; rows of the matrix;
  what is missing, and what it costs at least.
- `left_out`: which machines no way can power, whatever others do, and why.
- `layouts`: the best plan of every layout, and what is done today for it, counted.
- `drops`: voltage drop in the best plan: what is priced, what the thin wire or another voltage would do.
- `protection_cost`, `switch_cost`, `size_cost`, `heater_cost`, `capped_cost`, `moved_cost`, `spares_cost`: what ground-fault
  protection adds where nobody said the edition or the place that decides it; what the switch at a machine adds;
  what another size of a circuit costs; what turns on whether a heater stays, and on whether a landlord wants
  runs out that were made safe before; what is counted for a building that nobody described;
  what the other rule for surplus that fails would buy.
- `standalone`, `yearly`, `swing`, `usable_parts`: a way on its own; money and hours by year; how far the
  total moves with one figure; which parts a shop can use at all.
- `comparison`, `beside`, `turning`, `uncertainty`: the whole comparison, half of it in a second process where
  there is one to spare; what turns it, how far it can be trusted.
- `next_machine`, `next_step`, `phone_calls`: the difference of two optima; what the next load triggers; which
  unknown prices could change the plan.
- `hired_scope`, `leveling`, `bid_choice`, `break_even`: hired work of a plan; bids brought to that scope;
  bids in the choice; by the hour against a fixed price.

`plans.choice` builds one program over all streams: whole numbers of a machine's count for its ways; per
scenario and date stock flows from what is set free to what is used; today's needs are met by whole packs,
reels cut to pieces, limited offers, and suppliers' fees. `plans.visit_rows` adds a variable for each visit
and permit that several pieces of work may call for.

**Shared gear** (`circuits.gear`) is a bundle to put in, a bundle to put in again after a move of the shop, a
bundle a year, and poles taken or freed. `model.brought` gives the panels that gear would bring to everything
that looks at panels, so ways from them are built like any other. `plans.gear_rows` adds a variable for each
piece of gear today and for each year of each scenario in which a circuit changes; a row *gates* every circuit
on the panel that must be there first, and gear on the gear above it. Limits (`circuits.capacity`: service,
panels with a rating, converter outputs) are rows in whole volt-amperes, loads rounded up and limits down
(`plans.load_rows`). Clubs of which so many run, sets that run at once, the lines that circuits are on, the
largest motor, load managers and converters' plates are small helper variables there. `plans.ledger` counts
the same plainly for the simulation and the reports, from `circuits.demand`, which the program does not call;
`tests/plans/test_load_rows.py` holds both against a plain search.

**The next machine** is a difference of two proven optima, the shop with it and the shop without it. Holding
it to a source or a kind of run solves again with fewer of its ways.

**Bids** (`plans.leveling`) are brought to the scope of `plans.hired_scope`, today's hired work of one plan;
`plans.bid_choice` makes each bid one more way of hiring, solved like the others.

**One rounding rule.** Money is exact until `plans.pricing` (later years, work, visits) or `plans.purchase`
(today's parts) turns it into whole cents, half to even. An amount and its present value are each rounded
once. Every total is a sum of lines.

**The program's coefficients are the rounded present values of the very lines that are printed**, so its
objective is the printed total to the cent. `plans.simulation` then walks the plan year by year with a stock
of its own and emits the lines; if the totals differ by a cent the run fails (`DisagreementError`, exit 1).
That is the second opinion inside; `tests/plans/second_opinion.py` is another, a plain search without a
program, and `tests/oracle` a third, a plain reckoner from the written rules that shares no pricing, with
shops worked by hand. `tests/reconfiguration` is one more for shops that are there and are laid out anew
today: `laid_out_anew` tries every exchange of outlets, breakers, receptacles, cords and kits by itself, and
must come to the product's total to the cent in drawn shops, in shops worked by hand (`shops/`, each with its
working in `test_shops_anew`), rule by rule (`test_rules_anew`), and when the same things are told in other
words (`test_told_another_way`). `hard_shops` are those that were got wrong once. `COSTPLAN_SOAK=400` draws so
many shops; `python tests/reconfiguration/differences.py 300` lists what differs.

**Hiring options are solved one by one**: the owner plus one electrician crew, or a fixed bid with a crew for
the rest. A sourcing rule has one program (`plans.frame`); a way of hiring is its costs, visits, bid and cap on
it. Their ranked plans are merged. A crew never better than another is left out.

**One time limit** counts from the start of the command (`plans.clock`). Long cords make a stock for every length
that may be left of them; where that takes more than `BUILDING` of the time, the program is built without what is
cut off, and its plans are never called proven: `Choice.floor` is a bound on what was left out as well.

**Next-best plans** exclude all plans that repeat one above them (`Plan.repeats`): no single machine, and less
than half of any strand of a group, has another kind of way (`Way.signature`: method, ending and source, or
the quote; no panel), and the same gear is there or more. Where there are groups that half is a variable which
the relaxation passes by with fractions; so once the best plan is taken, `plans.ranking` looks place by place
where another one differs (`Choice.exclude` gives the places), each a search with its own relaxation, the
cheapest first, none deeper than the plan already at hand. A question whose ways are among those of one
already answered, and whose answer uses no other, is not searched again.

Nothing is dropped before the solver. An earlier program dropped ways that could never win, each by an
exchange argument: what serves the dropped way serves the other. Wear, live outlets, groups and visits by move
break those arguments, since a way that looks dominated may set free just what another machine takes over.
They are gone. `plans.relaxation` does the same safely, for any row that is added: the linear relaxation is
solved first, and a variable at its bound with reduced cost r can leave it by at most window / r in any
assignment that costs no more than the relaxation plus the window. `plans.solver` searches within a small
window with those bounds. A plan found within it is the cheapest there is, because everything outside costs
more than the window allows; one found beyond it sets the window for a last search. No plan found: the window
is widened. Bounds are relaxed by `CAREFUL` for the floats of the relaxation, and the cost is counted anew in
whole cents. The rest is exact by construction: reel counts, by pattern or pooled, as below.

In `ways`, slack and spare conductors are still left out for a machine that never changes, since nothing could
use them.
"""
