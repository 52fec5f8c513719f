"""Work paid at a date and the visits it calls for; which lines are there because of moves in turn alone."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle, Item
from costplan.ledger.lines import Line
from costplan.ledger.pricing import Call, Calls, Once, Stop
from costplan.model.ranges import ends_of
from costplan.years.calendar import moved_in_turn
from costplan.years.stream import Date, Trip

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


def most_alike(called: list[tuple[Item | str, Calls]], call: Call | Once) -> int:
    """How many machines at least need it: each has a thing of a kind once."""
    return max(Counter(what for what, calls in called if call in calls).values(), default=0)


def uncertain_moves(facts: Facts) -> Moves:
    """All moves in turn, where it is open in a scenario how many there are; else none, since nobody asks."""
    if any(s.rearranged and ends_of(s.rearranged.often) for s in facts.written.scenarios):
        return moved_in_turn(facts.shop)
    return frozenset()


def marked(
    lines: list[Line], called_by_others: Iterable[Calls], asked: Call | Once | type[Stop]
) -> list[Line]:
    """What a year has once comes of moves in turn where nothing else of the year asks for it, the whole of it or none."""
    if any(call == asked or type(call) is asked for calls in called_by_others for call in calls):
        return lines
    return [replace(line, in_turn=True) for line in lines]
