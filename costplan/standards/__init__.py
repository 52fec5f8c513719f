"""Published tables as data, each with its source, and look-ups over them. No rules live here.

`tables` and one module a subject: published tables in `data/*.csv`, their sources in `data/sources.yaml`,
look-ups; no rules. `supports`: how far apart runs are fastened.
"""
