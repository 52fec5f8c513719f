"""Runs and cords whose two ends stand in different buildings, which is wiring of another kind (NFPA 70 225, 400.12)."""

from collections.abc import Iterable

from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way
from costplan.model.choices import Method
from costplan.model.conditions import SpaceWords
from costplan.model.layouts import MovedToday
from costplan.model.shop import Machine

NOT_PRICED = (
    "one building is fed by one feeder or circuit (NEC 225.30, from memory), and what lies between is buried or overhead, "
    "which no recipe here prices"
)


def apart(facts: Facts, panel: str, place: str) -> str | None:
    """Why what goes from a panel to a place leaves its building; None where it does not.

    One of the two is said to stand apart (detached), and the other is not; two places that both are count as one building,
    since nothing in the file tells them apart.
    """
    start = facts.place_of_panel(panel)
    ends = facts.space_at(start).detached, facts.space_at(place).detached
    if (ends[0] is True) == (ends[1] is True):
        return None
    here, there = (start or panel, place) if ends[0] else (place, start or panel)
    said = f"{here} stands apart (detached) and {there} does not"
    if not start:
        return f"{said}; nobody said where {panel} hangs: write place: for it"
    if None in ends:
        said += f", of which nobody said so; where both stand in one building, write detached: true for {there} as well"
    return said


def between_buildings(
    facts: Facts, machine: Machine, way: Way, places: Iterable[tuple[str, SpaceWords | None]]
) -> str | None:
    """Why a way is refused whose run or cord would go from one building to another; None where it does not.

    places: each with what is said of its building, None in today's: a building that the shop moves to is one. A fixed run that
    the machine has today may stay, and a quote says itself what is laid. Sources: NFPA 70 225.30, 400.12(2), (3), from memory.
    """
    if way.quoted:
        return None
    for place, there in places:
        if there is not None or (way.method is not Method.CORD and _has_it(machine, way, place)):
            continue
        for panel in dict.fromkeys((way.panel, way.other_panel)):
            said = apart(facts, panel, place) if panel else None
            if said is not None:
                return f"{_run(way)} from {panel} to {place} leaves its building: {said}; {_why(way)}"
    return None


def _has_it(machine: Machine, way: Way, place: str) -> bool:
    now = machine.now
    stood_at = machine.stood_at if isinstance(machine, MovedToday) else machine.at
    return (
        now is not None
        and now.method is way.method
        and now.panel == way.panel
        and (now.place or stood_at) == place
    )


def _run(way: Way) -> str:
    return "a cord" if way.method is Method.CORD else "a run"


def _why(way: Way) -> str:
    cord = "a flexible cord does not go through walls, windows or doorways (NEC 400.12, from memory); "
    mend = "feed it from a panel of its own building, or get a quote for it as a quoted way (quoted_ways)"
    return f"{cord if way.method is Method.CORD else ''}{NOT_PRICED}: {mend}"
