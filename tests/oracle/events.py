"""What happens to each machine in each scenario, worked out from the shop file's words alone."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from math import ceil

from costplan.model.events import Event, Scenario
from costplan.model.nameplate import Electrical
from costplan.model.shop import Machine, Shop


class NotReckoned(Exception):  # noqa: N818 a refusal, no error
    """The shop is outside what this plain reckoner prices; the sentence says why."""


@dataclass(frozen=True, slots=True)
class Unit:
    """One machine, one of a group counted from 0."""

    machine: str
    number: int


@dataclass(frozen=True, slots=True)
class Happening:
    """One thing that happens to one unit at the end of a year; steps of a year are done one after the other."""

    year: int
    step: int
    unit: Unit
    what: str
    """arrives, leaves, moves, retooled or shop moves."""
    place: str = ""
    like: str = ""
    """For a new spot: the place whose lengths and hours it has."""
    plate: Electrical | None = None
    """The nameplate that it has from then on, where it is retooled."""


@dataclass(frozen=True, slots=True)
class Course:
    """A scenario worked out: its weight and what happens in it, in order."""

    name: str
    weight: Decimal
    happenings: tuple[Happening, ...]
    lease_ends: int | None = None
    """The year in which the scenario says that the lease ends in it."""


def home(machine: Machine) -> str:
    """The place of a machine; one with a route of its own stands at a place that only it has."""
    return machine.at or f"where {machine.name} stands"


def units_of(shop: Shop) -> list[Unit]:
    """Every machine, each of a group, in the file's order."""
    return [Unit(machine.name, number) for machine in shop.machines for number in range(machine.count)]


def courses(shop: Shop) -> tuple[Course, ...]:
    """All scenarios; a shop without any has one in which nothing changes."""
    if not shop.scenarios:
        return (Course("", Decimal(1), _ordered(shop, list(_own(shop)), None)),)
    return tuple(_course(shop, scenario) for scenario in shop.scenarios)


def _course(shop: Shop, scenario: Scenario) -> Course:
    happenings = list(_own(shop))
    for event in scenario.events:
        happenings += _event(shop, event)
    ordered = _ordered(shop, happenings, scenario)
    return Course(scenario.name, scenario.weight, ordered, scenario.lease_ends_year)


def lease_over(shop: Shop, course: Course) -> int | None:
    """When the landlord has the fixed wiring of the first building taken out; None where he never has within the plan.

    At the end that the scenario or the lease names, unless somebody still works there: then when the last one is gone.
    """
    lease = shop.building.lease
    if lease is None or not lease.take_out:
        return None
    if course.lease_ends is not None:
        return course.lease_ends if course.lease_ends <= shop.years else None
    moved_out = [entry.year for entry in course.happenings if entry.what == "shop moves"]
    last = lease.ends_year
    for unit in units_of(shop):
        mine = [entry for entry in course.happenings if entry.unit == unit]
        starts = [entry.year for entry in mine if entry.what == "arrives"]
        ends = [entry.year for entry in mine if entry.what == "leaves"] + moved_out + [shop.years]
        late = next(machine for machine in shop.machines if machine.name == unit.machine).arrives
        begins = starts[0] if starts else shop.years if late else 0
        last = max(last, min(ends)) if begins < min(ends) else last
    return last


def _own(shop: Shop) -> Iterator[Happening]:
    for machine in shop.machines:
        for number in range(machine.count):
            unit = Unit(machine.name, number)
            if 0 < machine.arrives < shop.years:
                yield Happening(machine.arrives, 1, unit, "arrives", home(machine))
            if machine.leaves is not None and machine.leaves < shop.years:
                yield Happening(machine.leaves, 1, unit, "leaves")


def _years(shop: Shop, event: Event) -> list[int]:
    steps = (
        range(event.every, shop.years, event.every) if event.every else sorted(event.years or [event.year])
    )
    return [year for year in steps if year < shop.years]


def _event(shop: Shop, event: Event) -> Iterator[Happening]:
    if event.arrives:
        raise NotReckoned("A machine that comes in one scenario only is not reckoned.")
    machines = [machine for machine in shop.machines if event.shop_moves or machine.name == event.machine]
    for year in _years(shop, event):
        for machine in machines:
            for number in range(min(machine.count, event.how_many or machine.count)):
                unit = Unit(machine.name, number)
                yield from _change(event, year, unit)


def _change(event: Event, year: int, unit: Unit) -> list[Happening]:
    if event.new_spot:
        return [Happening(year, 0, unit, "moves", "", "same")] * event.times
    if event.move:
        return [Happening(year, 0, unit, "moves", event.move)]
    what = "shop moves" if event.shop_moves else "leaves" if event.leaves else "retooled"
    return [Happening(year, 1, unit, what, plate=event.retool)]


def _rearranged(shop: Shop, scenario: Scenario) -> Iterator[tuple[int, Unit]]:
    words = scenario.rearranged
    if words is None:
        return
    movable = [
        unit
        for unit in units_of(shop)
        for machine in shop.machines
        if machine.name == unit.machine
        and not machine.never_moves
        and (words.machines is None or machine.name in words.machines)
    ]
    if not movable:
        return
    number = 0
    while True:
        number += 1
        if words.times_in_all is not None:
            if number > words.times_in_all or shop.years < 2:
                return
            year = ceil(Decimal(number * (shop.years - 1)) / words.times_in_all)
        else:
            if not words.times_per_year:
                return
            year = ceil(number / words.times_per_year)
            if year >= shop.years:
                return
        yield year, movable[(number - 1) % len(movable)]


def _ordered(shop: Shop, happenings: list[Happening], scenario: Scenario | None) -> tuple[Happening, ...]:
    """Moves numbered within their year, new spots named, rearranged moves sent to the next place."""
    regular = (
        [Happening(year, 0, unit, "moves", "", "next") for year, unit in _rearranged(shop, scenario)]
        if scenario
        else []
    )
    listed = sorted([*happenings, *regular], key=lambda happening: happening.year)
    machines = {machine.name: machine for machine in shop.machines}
    stands = {unit: home(machines[unit.machine]) for unit in units_of(shop)}
    looks_like = dict(stands)
    moved: dict[tuple[int, Unit], int] = defaultdict(int)
    spots = 0
    found = []
    for happening in listed:
        unit = happening.unit
        if happening.what != "moves":
            found.append(happening)
            continue
        moved[happening.year, unit] += 1
        place, like = happening.place, ""
        if happening.like == "same":
            spots += 1
            place, like = f"new spot {spots}", looks_like[unit]
        elif happening.like == "next" and scenario and scenario.rearranged:
            among = scenario.rearranged.among
            place = among[(among.index(stands[unit]) + 1) % len(among)] if stands[unit] in among else among[0]
        if place == stands[unit]:
            raise NotReckoned(f"{unit.machine} is moved to the place where it stands.")
        stands[unit], looks_like[unit] = place, like or place
        found.append(Happening(happening.year, moved[happening.year, unit], unit, "moves", place, like))
    return tuple(sorted(found, key=lambda happening: (happening.year, happening.step)))
