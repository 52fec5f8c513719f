"""Rules across the shop and the catalog: each a small function that gives problems with a stable code.

Its modules:

- `checks`: all rules, in the order of their answers; which of their questions are about figures far from usual.
- `check_catalog`, `check_recipes`, `check_labor`, `check_quotes`, `check_jobs`, `check_bids`: parts, kinds and
  offers; recipes; tasks and crews; quoted ways; finished jobs; bids.
- `check_rooms`, `check_places`, `check_lengths`, `check_layouts`, `check_leases`, `check_events`, `check_days`:
  panels, places and ways; what the code calls a place; lengths; layouts; leases; what happens in scenarios; days.
- `check_plates`, `check_motors`, `check_ends`, `check_gear`, `check_service`, `check_loads`, `check_tandems`,
  `check_there`, `check_grounds`: nameplates; replacement motors; plugs, cords and volts; shared gear; the service;
  loads; tandem breakers; what is there today; its grounds.
- `check_prices`, `check_usual`, `check_values`, `check_wear`, `check_effects`, `check_sellers`: prices against
  their peers; figures far from usual; numbers below nothing; lives; what counts for nothing where it stands, in
  the shop and the catalog, and with suppliers.

An error stops, a question is answered and shown. Rules that ask the code's arithmetic ask `circuits` and
`standards` for it.
"""
