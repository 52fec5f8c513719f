"""Breaker spaces that later work takes: which to keep free today, beside which breaker, for which machine and year."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from costplan.circuits.facts import Facts
from costplan.circuits.shared_gear import candidate
from costplan.ledger.holding import written
from costplan.program.ranked import Ranked
from costplan.reports.circuits import CircuitRow
from costplan.reports.counted import several
from costplan.studies.spaces_kept import Kept, spaces_kept
from costplan.studies.spaces_left import spaces_left

KEEP_HEAD = "Spaces to keep free for later work, counted in poles"
KEEP_NOTE = "Place today's breakers so that these stay free where they are asked for; say where one cannot."


def kept_words(facts: Facts, ranked: Ranked, circuits: Sequence[CircuitRow]) -> tuple[str, ...]:
    """For each panel what to keep in it, a line each, and what of it is not free today."""
    found: dict[str, list[Kept]] = defaultdict(list)
    for kept in spaces_kept(facts, ranked):
        found[kept.panel].append(kept)
    left = {entry.room.panel: max(entry.room.left, 0) for entry in spaces_left(facts, ranked)}
    return tuple(
        words
        for panel, entries in found.items()
        for words in (
            *(f"{panel}: {_words(facts, kept, circuits)}" for kept in entries),
            *_not_free(facts, ranked, panel, entries, left[panel]),
        )
    )


def _words(facts: Facts, kept: Kept, circuits: Sequence[CircuitRow]) -> str:
    name, one = written(facts, kept.machine), kept.count == 1
    who = several(name, kept.count, facts.machines[kept.machine].count)
    when = f"in year {kept.year}" + (f" if {' or '.join(kept.scenarios)}" if kept.scenarios else "")
    spaces = f"{kept.spaces} space{'s' if kept.spaces > 1 else ''}"
    if not kept.had:
        together = f"{kept.poles} side by side" if kept.poles > 1 else ""
        how = together and (" side by side" if one else f", {together} for each")
        return f"{spaces}{how}: for {who}, {kept.poles}-pole, {when}"
    lines = [
        str(row.number)
        for row in circuits
        if (row.panel, row.poles) == (kept.panel, kept.had) and name in row.machines
    ]
    line = f"line {', '.join(lines)}, " if lines else ""
    breaker = f"{kept.had}-pole breaker{'' if one else 's'} ({line}{who})"
    return f"{spaces} next to the {breaker}, which become{'s' if one else ''} {kept.poles}-pole {when}"


def _not_free(facts: Facts, ranked: Ranked, panel: str, kept: Sequence[Kept], left: int) -> Iterator[str]:
    """That a panel has fewer free after today's work than later work takes in the scenario that takes the most."""
    names = {name for entry in kept for name in entry.scenarios} or {""}
    most = max(
        sum(entry.spaces for entry in kept if not entry.scenarios or name in entry.scenarios)
        for name in names
    )
    if most > left:
        makes_room = [
            bought.name
            for bought in ranked.plan.gear
            if bought.year > 0 and candidate(facts, facts.gear[bought.name]).spaces.get(panel, 0) < 0
        ]
        how = f"{' and '.join(dict.fromkeys(makes_room))} by then" if makes_room else "what goes until then"
        yield f"{panel}: of these {most} {left or 'none'} free after today's work; {how} makes room for the rest"
