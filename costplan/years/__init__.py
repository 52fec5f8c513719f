"""Events, dates and present value.

Its modules:

- `stream`: the one stream of events of a machine by a way: deeds, uses from date to date, what is set free,
  what the panel carries.
- `calendar`, `course`, `quoted`: scenarios as lives; the stream of a circuit; the stream of a quoted way.
- `discounting`, `upkeep`: present value; what gear costs once it is there.

**One stream of events** (`years.stream`) is all that happens to a machine powered one way, in every scenario:
what is done at a date whatever else is chosen (`Deed`), what is in use from a date to a date (`Use`, with the
parts that wear, what its end sets free, and its take-out), what is set free that was no thing before
(`Given`), and what the panel carries (`Standing`). A date is a year and a step within it. `years.course`
makes the stream of a circuit from changes, `years.quoted` that of a quote. The program, the walk over the
years, turning points and papers all read it, and none of them knows how it came about. Adding something that
happens means adding it to the stream, once.
"""
