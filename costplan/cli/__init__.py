"""The commands.

Its modules:

- `main`, `cautions`, `explain`, `guide`, `choices`, `next`, `papers`, `upkeep`, `jobs`, `start`, `started`, `given`,
  `interview`, `own_catalog`, `bids`, `progress`, `copying`, `reading`, `comparing`, `endings`, `screen`, `guard`: parse,
  call, print; no arithmetic. They call what `import costplan` has, and what those functions raise for users ends a command
  in `endings`. Commands import inside the function, so `--help` is quick.
"""
