"""Topics of the spaces that a plan works in: what the file says of them, and what nobody said and is asked once."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from costplan.circuits.facts import Facts
from costplan.model.choices import Method, Occupancy
from costplan.model.conditions import Code
from costplan.model.spaces import Space
from costplan.reports.noted_loads import stands_hot
from costplan.reports.remarks import Topic
from costplan.reports.there import Powered
from costplan.years.calendar import lives, scenarios_of

NEVER_APART = frozenset({Occupancy.DWELLING_ROOM, Occupancy.FINISHED_BASEMENT, Occupancy.UNFINISHED_BASEMENT})
"""What is part of a house, and so of no building apart."""


@dataclass(frozen=True, slots=True)
class _Fact:
    """What a file may say of a space: the word, and what is said where it is so, and where nobody said."""

    word: str
    so: Topic
    unknown: Topic


DETACHED = _Fact("detached", Topic.DETACHED, Topic.DETACHED_UNKNOWN)
DUST = _Fact("wood_dust", Topic.WOOD_DUST, Topic.DUST_UNKNOWN)
VAPORS = _Fact("flammable_vapors", Topic.FLAMMABLE_VAPORS, Topic.VAPORS_UNKNOWN)


def of_spaces(facts: Facts, powered: Sequence[Powered], panels: Iterable[str]) -> Iterator[tuple[Topic, str]]:
    """What is said and asked of the spaces of machines that get another circuit, and of panels that are worked in."""
    changed = [entry for entry in powered if entry.changes]
    places = [*map(facts.place_of_panel, panels), *(entry.circuit.standing.place for entry in changed)]
    worked_in = map(facts.space_at, places)
    yield from _of(DETACHED, [space for space in worked_in if space.occupancy not in NEVER_APART])
    motors = [entry for entry in changed if entry.circuit.supplied.load.turns]
    yield from _of(DUST, [facts.space_at(entry.circuit.standing.place) for entry in motors])
    if "ambient_c" not in facts.shop.code.model_fields_set and any(map(_warm, changed)):
        yield Topic.WARM_AIR, ""


def of_vapors(facts: Facts) -> Iterator[tuple[Topic, str]]:
    """What is said and asked of every space that a machine or a panel is ever in, whether or not anything is made there.

    A spark needs no new circuit. Machines of quotes alone are left to whoever quoted them.
    """
    shop = facts.shop
    plated = {machine.name for machine in shop.machines if machine.volts}
    standings = [
        standing
        for scenario in scenarios_of(shop)
        for name, life in lives(shop, scenario).items()
        if name in plated
        for standing in life.standings
    ]
    if standings:
        panels = (facts.space_at(facts.place_of_panel(panel)) for panel in facts.panels)
        yield from _of(VAPORS, [*panels, *(facts.space_at(at.place, at.there) for at in standings)])


def _of(fact: _Fact, spaces: Iterable[Space]) -> Iterator[tuple[Topic, str]]:
    said = {getattr(space, fact.word) for space in spaces}
    if True in said:
        yield fact.so, ""
    if None in said:
        yield fact.unknown, ""


def _warm(powered: Powered) -> bool:
    """Whether it stands hot, or its run goes up to the ceiling."""
    return stands_hot(powered) or powered.way.method is Method.CEILING


def ambient_words(code: Code) -> str:
    """The warmest air that wiring is sized for, and whether somebody said so."""
    air = f"{code.ambient_c:f} °C"
    return (
        air
        if "ambient_c" in code.model_fields_set
        else f"{air}, as the tables have it, since nobody said (ambient_c)"
    )
