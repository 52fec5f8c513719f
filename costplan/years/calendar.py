"""Scenarios turned into what happens to each machine, year by year."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.circuit import Standing
from costplan.circuits.ways import load_of
from costplan.model.choices import NewBuilding
from costplan.model.events import Event, MoveInTurn, Scenario
from costplan.model.layouts import MovedToday, TakenAway
from costplan.model.leases import wiring_out
from costplan.model.presence import presence
from costplan.model.shop import Machine, Shop


@dataclass(frozen=True, slots=True)
class Life:
    """One machine in one scenario: its standings in order, and the year it leaves; 0 when it is taken away today.

    `wiring_out` is the year in which the landlord has the fixed wiring of the first building taken out, None for never.
    """

    standings: tuple[Standing, ...]
    leaves: int | None
    leaves_why: str
    wiring_out: int | None = None
    in_turn: frozenset[tuple[int, int]] = frozenset()
    """Year and step of the standings to which a rearrangement in short form alone brought it."""


def scenarios_of(shop: Shop) -> tuple[Scenario, ...]:
    """The shop's scenarios; none written means one in which nothing happens."""
    return tuple(shop.scenarios) or (Scenario(name="as planned", weight=Decimal(1)),)


def weights_of(shop: Shop) -> dict[str, Decimal]:
    """How likely each scenario is, by its name."""
    return {scenario.name: scenario.weight for scenario in scenarios_of(shop)}


def events_of(shop: Shop, scenario: Scenario) -> list[Event]:
    """Events of a spelled-out scenario in order of year; those at the end of the plan have no effect."""
    return sorted(
        (event for event in scenario.events if event.year < shop.years), key=lambda event: event.year
    )


def lives(shop: Shop, scenario: Scenario) -> Mapping[str, Life]:
    """What happens to every machine in a scenario; one that only arrives in another is absent here.

    The shop is spelled out, and the scenario is one of its own.
    """
    events = _one_move_of_the_shop_a_year(events_of(shop, scenario))
    out = wiring_out(shop, scenario)
    return {
        machine.name: replace(_life(shop, machine, scenario, events), wiring_out=out)
        for machine in shop.machines
    }


def moved_in_turn(shop: Shop) -> frozenset[tuple[str, str, tuple[int, int]]]:
    """Scenario, machine, and year and step of every move that a rearrangement in short form alone brings."""
    return frozenset(
        (scenario.name, machine, date)
        for scenario in scenarios_of(shop)
        for machine, life in lives(shop, scenario).items()
        for date in life.in_turn
    )


def arrivals(shop: Shop) -> frozenset[tuple[str, str, tuple[int, int]]]:
    """Scenario, machine, and year and step at which it stands first, of every machine that comes after today."""
    return frozenset(
        (scenario.name, machine, (life.standings[0].year, life.standings[0].step))
        for scenario in scenarios_of(shop)
        for machine, life in lives(shop, scenario).items()
        if life.standings and life.standings[0].year
    )


def years_of_wiring_out(shop: Shop) -> dict[str, int | None]:
    """By scenario: the year in which the fixed wiring of the first building is taken out, None for never."""
    return {scenario.name: wiring_out(shop, scenario) for scenario in scenarios_of(shop)}


def buildings_assumed(shop: Shop) -> dict[str, list[int]]:
    """By scenario: the years in which the shop moves to a building that nobody said is as this one."""
    found = {
        scenario.name: [
            event.year
            for event in _one_move_of_the_shop_a_year(events_of(shop, scenario))
            if event.shop_moves and event.new_building is not NewBuilding.AS_HERE
        ]
        for scenario in scenarios_of(shop)
    }
    return {name: years for name, years in found.items() if years}


def _one_move_of_the_shop_a_year(events: list[Event]) -> list[Event]:
    """Of several moves of the whole shop in a year the last counts, since everything falls at the year's end."""
    last = {event.year: event for event in events if event.shop_moves}
    return [event for event in events if not event.shop_moves or event is last[event.year]]


def first_standings(shop: Shop) -> dict[str, Standing]:
    """Where each machine stands first, and with which nameplate, in the first scenario in which it is there at all."""
    found: dict[str, Standing] = {}
    for scenario in scenarios_of(shop):
        for name, life in lives(shop, scenario).items():
            found |= {name: life.standings[0]} if life.standings and name not in found else {}
    return found


def _life(shop: Shop, machine: Machine, scenario: Scenario, events: list[Event]) -> Life:
    if isinstance(machine, TakenAway):
        load = load_of(machine)
        return Life((Standing(0, machine.at, load, 0, Decimal(1), "is here today"),), 0, "is taken away")
    years = presence(shop, machine, scenario)
    if years is None:
        return Life((), None, "")
    arrives, leaves = years
    mine = [event for event in events if event.machine == machine.name]
    arrival = next((event for event in mine if event.arrives), None)
    place = (arrival.arrives if arrival is not None else None) or machine.at
    here = Standing(arrives, place, load_of(machine), 0, Decimal(1), "arrives")
    here = _changed_by(
        here,
        machine,
        [e for e in mine if e.year == arrives and e.retool],
        [e for e in events if e.year <= arrives and e.shop_moves],
    )
    moved = isinstance(machine, MovedToday)
    here = replace(here, why="is moved today" if moved else "is here today" if arrives == 0 else "arrives")
    standings = [here]
    until = leaves if leaves is not None else shop.years
    in_turn = set()
    for year in sorted({e.year for e in events if arrives <= e.year < until}):
        for step in _steps(machine, year, events, arrived=year == arrives):
            there = _next(here, machine, year, step)
            if replace(there, year=here.year, step=here.step, why=here.why) != here:
                number = here.step + 1 if here.year == year else 0
                here = replace(there, step=number)
                standings.append(here)
                if all(isinstance(event, MoveInTurn) for event in step):
                    in_turn.add((year, number))
    return Life(tuple(standings), leaves, "leaves", in_turn=frozenset(in_turn))


def _steps(machine: Machine, year: int, events: list[Event], *, arrived: bool) -> list[list[Event]]:
    """What changes for a machine in a year, step by step: its moves one after another, all else with the first.

    What comes with its arrival is left out.
    """
    of_year = [event for event in events if event.year == year]
    moves = [[event] for event in of_year if event.machine == machine.name and event.move]
    if arrived:
        return moves
    besides = [e for e in of_year if e.shop_moves or (e.machine == machine.name and e.retool)]
    return [[*besides, *(moves[0] if moves else [])], *moves[1:]]


def _next(here: Standing, machine: Machine, year: int, step: list[Event]) -> Standing:
    moves = [event.move for event in step if event.move]
    retools = [event for event in step if event.retool]
    moved_shop = [event for event in step if event.shop_moves]
    why = [
        *("the shop moves" for _ in moved_shop),
        *(f"moves to {place}" for place in moves),
        *("is retooled" for _ in retools),
    ]
    there = _changed_by(here, machine, retools, moved_shop)
    return replace(there, year=year, place=moves[-1] if moves else here.place, why=", ".join(why))


def _changed_by(here: Standing, machine: Machine, retools: list[Event], moved_shop: list[Event]) -> Standing:
    for event in retools:
        if event.retool is not None:
            here = replace(here, load=load_of(machine, event.retool))
    for event in moved_shop:
        here = replace(
            here, building=here.building + 1, route_factor=event.route_factor, there=event.building
        )
    return here


def unmoved_shares(shop: Shop) -> dict[str, Decimal]:
    """By machine: how likely are the scenarios, of those it is in, that never move it; without those that all of them move."""
    found: dict[str, Decimal] = {}
    for scenario in scenarios_of(shop):
        for name, life in lives(shop, scenario).items():
            places = {(standing.place, standing.building) for standing in life.standings}
            if len(places) == 1:
                found[name] = found.get(name, Decimal(0)) + scenario.weight
    return found
