"""The exact choice: one integer program whose coefficients are the rounded lines that are printed, and its search.

In words that the code uses:

- **way**: how a machine could be powered: method, ending, source, panel (`circuits.ways`).
- **option**: a way of one machine with its stream of events, and why it may be out (`ledger.options`).
- **strand**: machines of a group that share one life in every scenario; a single machine is a strand of one.
- **use**: a thing that a way asks for from a date on, bought or served by what was set free.
- **deed**: work or money due at a date, whatever is in stock.
- **bundle**: parts, work and quoted money that go together, charged to variables at a date.
- **stock**: things alike set free at one date, which later uses may take.
- **trip**: the visit of a move that has one of its own.
- **frame**: the program with today's purchase, before anybody is hired.
- **bench**: a shop surveyed in one market, with its frame and what was answered on it.

Its modules, in the order to read them:

- `program`: variables, rows and costs as plain data; what may have to give way is said by its rows.
- `stock`: things set free, as the program counts them.
- `body`: what of the program turns on no price and nobody hired.
- `charges`: which bundles are charged to which variables, and what they need of today's purchase.
- `stock_flow`: the balance of every use and the row of every stock.
- `cord_rows`: whole cords.
- `panel_rows`: the spaces of panels.
- `gear_rows`: gear: when it is put in, and what hangs on it.
- `load_rows`: one limit of load at one date.
- `build`: the body over all streams.
- `purchase`: today's purchase.
- `reel_cutting`: what its reels can be cut into.
- `cutting_weights`: the weights that tell what they cannot be cut into.
- `order_rows`: what its orders cost besides the goods.
- `frame`: a purchase put on a body, and a way of hiring on that.
- `visit_rows`: visits and permits, paid once for several pieces of work.
- `choice`: the built program, and its answer as a plan.
- `relaxation`: the linear relaxation by GLOP, and what its reduced costs rule out.
- `solver`: the whole-number search by CP-SAT.
- `kept`: relaxations and solver's records kept for programs alike.
- `clock`: the time limit.
- `search`: what is solved, split or never looked at, over all ways of hiring.
- `ranked`: a plan of the ranking with what follows from it; why there is none.
- `bench`: what searches over one market share.
- `ranking`: the best plans in order.
- `clashes`: why there is no plan.
- `repriced`: a bench at other prices, or by another rule.
- `anew`: a bench solved again and again at other costs.

`program.build` builds one program over all streams: whole numbers of a machine's count for its ways; per
scenario and date stock flows from what is set free to what is used; today's needs are met by whole packs,
reels cut to pieces, limited offers, and suppliers' fees. `program.visit_rows` adds a variable for each visit
and permit that several pieces of work may call for.

**Shared gear** (`circuits.shared_gear`) is a bundle to put in, a bundle to put in again after a move of the shop, a
bundle a year, and poles taken or freed. `model.brought` gives the panels that gear would bring to everything
that looks at panels, so ways from them are built like any other. `program.gear_rows` adds a variable for each
piece of gear today and for each year of each scenario in which a circuit changes; a row *gates* every circuit
on the panel that must be there first, and gear on the gear above it. Limits (`circuits.capacity`: service,
panels with a rating, converter outputs) are rows in whole volt-amperes, loads rounded up and limits down
(`program.load_rows`). Clubs of which so many run, sets that run at once, the lines that circuits are on, the
largest motor, load managers and converters' plates are small helper variables there. `ledger.ledger` counts
the same plainly for the simulation and the reports, from `circuits.demand`, which the program does not call;
`tests/program/test_load_rows.py` holds both against a plain search.

**The program's coefficients are the rounded present values of the very lines that are printed**, so its
objective is the printed total to the cent. `ledger.simulation` then walks the plan year by year with a stock
of its own and emits the lines; if the totals differ by a cent the run fails (`DisagreementError`, exit 1).
That is the second opinion inside; those outside are told of at the head of `tests/second_opinion.py`.

**Hiring options are solved one by one**: the owner plus one electrician crew, or a fixed bid with a crew for
the rest. What does not turn on prices is built once (`body.Body`); a sourcing rule is a purchase in a market on
it (`frame.Frame`), and a way of hiring its costs, visits, bid and cap on that. Their ranked plans are merged. A
crew never better than another is left out.

**Other prices, and other rules for rejects and sourcing,** are other costs and another purchase on the same frame
(`program.repriced`): a market is *repriced* from the one at hand, and its pricers, frame and bench from theirs. What is
alike in two such programs has the same serials (`Program.liken`), so that one relaxation and one set of the solver's
records serve both.
Circuits know of prices what `Facts.sold` says and no more, so the survey stays where that does not change.

**Solved again at other costs** (`program.anew`): a search begins from the last plan of the same hiring, and looks first as
far above its relaxation as that plan lay above its own. Rows that say what was proven at other costs save nothing there.

**Lumps first.** Gear that the relaxation has in fractions is worth too little there (a tenth of a subpanel for a tenth
of its price), so a search with such gear is split before anything is solved: with less of it and with more
(`program.search`). Each part has a relaxation of its own, which begins where the last one ended, and most of them lie
above the plan found in another. Reels are lumps too: a relaxation whose pieces fill reels to the last inch gets rows
that say what one reel can hold (`program.cutting_weights`), and so does an answer that cannot be cut.

**One time limit** counts from the start of the command (`program.clock`). Long cords make a stock for every length
that may be left of them; where that takes more than `BUILDING` of the time, the program is built without what is
cut off, and its plans are never called proven: `Choice.floor` is a bound on what was left out as well.

**Next-best plans** exclude all plans that repeat one above them (`ledger.same_plan.repeats`): no single machine, and less
than half of any strand of a group, has another kind of way (`Way.signature`: method, ending and source, or
the quote; no panel), and the same gear is there or more. Where there are groups that half is a variable which
the relaxation passes by with fractions; so once the best plan is taken, `program.search` looks place by place
where another one differs (`Choice.exclude` gives the places), each a search with its own relaxation, the
cheapest first, none deeper than the plan already at hand. A question whose ways are among those of one
already answered, and whose answer uses no other, is not searched again.

No way is dropped before the solver because another one seems better: a way that looks dominated may set free
just what another machine takes over. `program.relaxation` rules out safely, for any row that is added: the linear
relaxation is solved first, and a variable at its bound with reduced cost r can leave it by at most window / r in any
assignment that costs no more than the relaxation plus the window. `program.solver` searches within a small
window with those bounds. A plan found within it is the cheapest there is, because everything outside costs
more than the window allows; one found beyond it sets the window for a last search. No plan found: the window
is widened. Bounds are relaxed by `CAREFUL` for the floats of the relaxation, and the cost is counted anew in
whole cents. What reels cannot be cut into is ruled out by rows that are added (`program.reel_cutting`); the ways of such
an answer are mended with reels that do, and the search goes on from there. A search that takes long is made in rounds,
each without what the one before has ruled out of anything cheaper than what it found (`solver.ROUND`).

In `ways`, slack and spare conductors are left out for a machine that never changes, since nothing could
use them.
"""
