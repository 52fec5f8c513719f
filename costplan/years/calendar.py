"""Scenarios turned into what happens to each machine, year by year."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal

from costplan.circuits.circuit import Standing
from costplan.circuits.ways import load_of
from costplan.model.shop import Event, Machine, Rearranged, Scenario, Shop


@dataclass(frozen=True, slots=True)
class Life:
    """One machine in one scenario: its standings in order, and the year it leaves."""

    standings: tuple[Standing, ...]
    leaves: int | None
    leaves_why: str


def scenarios_of(shop: Shop) -> tuple[Scenario, ...]:
    """The shop's scenarios; none written means one in which nothing happens."""
    return tuple(shop.scenarios) or (Scenario(name="as planned", weight=Decimal(1)),)


def movable(shop: Shop, rearranged: Rearranged) -> list[str]:
    """Machines that take part in a rearrangement."""
    named = rearranged.machines
    return [m.name for m in shop.machines if not m.never_moves and (named is None or m.name in named)]


def expand(shop: Shop, rearranged: Rearranged) -> list[Event]:
    """Dated moves of the short form.

    Machine moves are spread evenly: the k-th falls at the end of year ceil(k / times_per_year). Machines
    take turns in the file's order, and each goes to the next place of `among` after the one it stands at.
    At most one move a machine and year; further ones are left out, since a second visit changes nothing.
    """
    if rearranged.times_per_year == 0:
        return []
    names, places = movable(shop, rearranged), rearranged.among
    at = {machine.name: machine.at for machine in shop.machines}
    events: list[Event] = []
    count = int(rearranged.times_per_year * shop.years) if names else 0
    moved: set[tuple[int, str]] = set()
    for k in range(1, count + 1):
        year = int((Decimal(k) / rearranged.times_per_year).to_integral_value(rounding=ROUND_CEILING))
        name = names[(k - 1) % len(names)]
        if year > shop.years or (year, name) in moved:
            continue
        here = at[name]
        place = places[(places.index(here) + 1) % len(places)] if here in places else places[0]
        if place == here:
            continue
        at[name] = place
        moved.add((year, name))
        events.append(Event.model_validate({"year": year, "machine": name, "move": place}))
    return events


def events_of(shop: Shop, scenario: Scenario) -> list[Event]:
    """All events of a scenario in order of year; written ones before those of the short form."""
    events = list(scenario.events)
    if scenario.rearranged is not None:
        events += expand(shop, scenario.rearranged)
    return sorted(events, key=lambda event: event.year)


def lives(shop: Shop, scenario: Scenario) -> Mapping[str, Life]:
    """What happens to every machine in a scenario; one that only arrives in another is absent here."""
    events = events_of(shop, scenario)
    here = {event.machine for event in events if event.arrives}
    elsewhere = {event.machine for other in shop.scenarios for event in other.events if event.arrives} - here
    return {
        machine.name: Life((), None, "") if machine.name in elsewhere else _life(shop, machine, events)
        for machine in shop.machines
    }


def _life(shop: Shop, machine: Machine, events: list[Event]) -> Life:
    building, factor = 0, Decimal(1)
    here: Standing | None = None
    standings: list[Standing] = []
    arrival = next((e for e in events if e.machine == machine.name and e.arrives), None)
    arrives, place = (
        (arrival.year, arrival.arrives or machine.at) if arrival else (machine.arrives, machine.at)
    )
    leaves, leaves_why = machine.leaves, "leaves"
    if machine.arrives > shop.years:
        return Life((), None, "")
    load = load_of(machine, motor=machine.motor)
    years = sorted({arrives, *(e.year for e in events if e.year >= arrives)})
    for year in years:
        of_year = [e for e in events if e.year == year]
        moved_shop = next((e for e in of_year if e.shop_moves), None)
        building = building + 1 if moved_shop else building
        factor = moved_shop.route_factor if moved_shop else factor
        mine = [e for e in of_year if e.machine == machine.name]
        if any(e.leaves for e in mine):
            leaves = year if leaves is None else min(leaves, year)
        if leaves is not None and year >= leaves:
            break
        why = [*(f"moves to {e.move}" for e in mine if e.move), *("is retooled" for e in mine if e.retool)]
        for event in mine:
            place = event.move or place
            load = load_of(event.retool, motor=machine.motor) if event.retool else load
        if here is None and year == arrives:
            building_of_arrival = sum(1 for e in events if e.shop_moves and e.year <= year)
            factors = [e.route_factor for e in events if e.shop_moves and e.year <= year]
            building, factor = building_of_arrival, factors[-1] if factors else factor
            why = ["is here today" if year == 0 else "arrives"]
        elif moved_shop:
            why.insert(0, "the shop moves")
        standing = Standing(year, place, load, building, factor, ", ".join(why))
        if here is None or replace(standing, year=here.year, why=here.why) != here:
            standings.append(standing)
            here = standing
    if leaves is not None and (not standings or leaves > shop.years):
        leaves = None
    return Life(tuple(s for s in standings if s.year <= shop.years), leaves, leaves_why)
