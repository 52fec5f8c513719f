"""What the user describes: the shop and the catalog, field by field, and how files become them.

Its modules:

- `ranges`: figures that may be [low, likely, high]: their mean, which counts, that knows the three.
- `base`, `money`: the base of every entry; cents and the one rounding rule.
- `labels`: the words on screens for what a file chooses among, keyed on the enums.
- `plate_figures`, `other_volts`: volts and amperes as plates print them; what other volts than its plate's do
  to a machine.
- `shop`, `circuits_there`, `conditions`, `events`, `nameplate`, `quotes`, `choices`, `catalog`, `labor`,
  `hour_factors`, `offers`: what the user writes, field by field: the shop, what is there today, what holds for all of it,
  what happens to it, nameplates, quoted ways and strategies; the words to choose among; the catalog; tasks
  and crews; what makes work slower; offers.csv read fast.
- `system`, `ratings`, `gear`, `converters`, `brought`, `tandems`: volts and phases; what parts must be marked
  with, volts, ground wires, horsepower; the service and shared gear; what a converter's plate says; all
  panels, those gear would bring among them; which circuits may share a tandem breaker.
- `bids`: bids.yaml.
- `loading`, `partly`, `mistakes`, `other_files`, `samples`, `schema`: files read into models; what could be
  read of files that are wrong; mistakes in the file's words; files given in another's place; how a field or
  section is written; JSON Schemas.
- `left_out`: the shop without machines that no way can power.
- `heavier_run`: the shop with one machine's run in heavier wire than it needs.
- `layouts`: the shop of a layout: machines moved, taken away, swapped or brought today.
- `spelled_out`, `quoted`, `routes`, `presence`, `leases`: short forms written out, groups divided into strands
  of machines with one life; which machines have quotes only; lengths; from when to when a machine is there; how
  long the building is kept, and when fixed wiring comes out.
- `pair`: a shop with its catalog and the places of both, for the rules over them.
- `numbers_written`, `peers`: every number of an entry with its place; what else a part or its kind is offered
  for.
- `spaces`: what the code calls the space at a place, and whether nonmetallic cable goes into its walls.
- `demo_shelf`: what lies on the shelf of the shipped demo, which serves no shop of one's own.
- `prices`: what an offer comes to for one piece or foot.
- `amending`, `history`, `price_list`: offers.csv changed row by row; history.csv; suppliers' lists by a
  remembered column map.
- `heaters`, `installed`: heaters that may stay where they are; breaker, poles and wire of an outlet that is
  there, where nobody said them.
- `experience`, `recording`: hours and prices in force after finished jobs; a job written into jobs.yaml.
- `reading`, `yaml_text`, `part_of_catalog`: short texts of people read; texts as YAML has them; a small catalog
  out of a large one.

**A layout** (`model.layouts`) is another shop, made by a pure function, so that all that reads a shop reads
it. `MovedToday` and `TakenAway` are kinds of machines: the first pays its move today, the second has one way,
`gone`, whose stream gives up what is there; reports leave it out. `checks` looks at each of these shops with
all rules, and says where the layout has what is wrong.

**Experience** is applied before anything is computed: `Facts.tasks` gives the hours in force, `model.loading`
the prices paid.
"""
