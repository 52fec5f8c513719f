"""The commands.

Its modules:

- `main`, `cautions`, `explain`, `guide`, `choices`, `next`, `papers`, `upkeep`, `jobs`, `start`, `started`, `given`,
  `interview`, `own_catalog`, `bids`, `progress`, `copying`, `comparing`, `endings`, `screen`, `guard`: parse, call, print;
  no arithmetic. Commands import inside the function, so `--help` is quick.
"""
