"""Work paid at a date and the visits it calls for; which lines are there because of moves in turn alone."""

from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass, replace

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle, Item
from costplan.ledger.lines import Line
from costplan.ledger.pricing import Call, Calls, Once
from costplan.model.ranges import ends_of
from costplan.years.calendar import moved_in_turn
from costplan.years.stream import Cause, Date, Trip

Moves = frozenset[tuple[str, str, Date]]
"""Scenario, machine and date of moves in turn."""


@dataclass(frozen=True, slots=True)
class Paid:
    """Work done at a date, the visit it belongs to, and what it is for: each machine has that done once.

    `in_turn`: a move of a rearrangement brings it.
    """

    bundle: Bundle
    trip: Trip
    what: Item | str
    in_turn: bool
    cause: Cause


def most_alike(called: list[tuple[Item | str, Calls]], call: Call | Once) -> int:
    """How many machines at least need it: each has a thing of a kind once."""
    return max(Counter(what for what, calls in called if call in calls).values(), default=0)


def uncertain_moves(facts: Facts) -> Moves:
    """All moves in turn, where it is open in a scenario how many there are; else none, since nobody asks."""
    if any(s.rearranged and ends_of(s.rearranged.often) for s in facts.written.scenarios):
        return moved_in_turn(facts.shop)
    return frozenset()


def marked(lines: list[Line], askers: Collection[Paid]) -> list[Line]:
    """What a year has once comes of moves in turn, or is no running cost, where nothing else of the year asks for it.

    askers: all work of the year that does.
    """
    causes = {paid.cause for paid in askers}
    cause = Cause.RUN if Cause.RUN in causes else min(causes, default=Cause.RUN)
    in_turn = bool(askers) and all(paid.in_turn for paid in askers)
    return [replace(line, in_turn=in_turn, cause=cause) for line in lines]


def gear_since(bought: int, year: int) -> str:
    """Why money of a year is spent on gear that was put in then or before."""
    return (
        f"put in, year {year}"
        if bought == year
        else f"there since year {bought}"
        if bought
        else "there since today"
    )
