"""Rules over what happens in the scenarios: machines are there, years are planned, changes are changes."""

from collections.abc import Iterator

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.pair import Pair, Rule, unknown
from costplan.model.shop import Electrical, Event, Machine, Scenario

_PLATE = ("volts", "phases", "amps_a", "hp", "neutral", "continuous", "breaker_a")


def years_are_planned(pair: Pair) -> Iterator[Problem]:
    """Events and the lease fall within the years of the plan; machines come before they go."""
    shop = pair.shop
    for number, scenario in enumerate(shop.scenarios):
        for index, event in enumerate(scenario.events):
            if event.year > shop.years:
                message = f"is {event.year}, after the {shop.years} years of the plan"
                mend = "change the year, plan for more years, or delete the event"
                yield pair.in_shop(
                    "event-after-plan", ("scenarios", number, "events", index, "year"), message, mend
                )
    lease = shop.building.lease
    if lease is not None and lease.ends_year > shop.years:
        message = f"is {lease.ends_year}, after the {shop.years} years of the plan"
        mend = f"write {shop.years} if you leave with the lease, else plan for more years or delete the lease"
        yield pair.in_shop("lease-after-plan", ("building", "lease", "ends"), message, mend)
    for index, machine in enumerate(shop.machines):
        trail: Trail = ("machines", index)
        if machine.leaves is not None and machine.leaves <= machine.arrives:
            message = f"is {machine.leaves}, but it arrives in year {machine.arrives}"
            yield pair.in_shop(
                "machine-leaves", (*trail, "leaves"), message, "a machine must arrive before it leaves"
            )
        for word, year in (("arrives", machine.arrives), ("leaves", machine.leaves)):
            if year is not None and year > shop.years:
                message = f"is {year}, after the {shop.years} years of the plan, so it never happens"
                yield pair.in_shop(
                    "machine-after-plan",
                    (*trail, word),
                    message,
                    "change the year, or delete it",
                    question=True,
                )


def events_are_known(pair: Pair) -> Iterator[Problem]:
    """Events name known machines and places."""
    machines = {machine.name for machine in pair.shop.machines}
    places = {spot.name for spot in pair.shop.places}
    for number, scenario in enumerate(pair.shop.scenarios):
        trail: Trail = ("scenarios", number)
        for index, event in enumerate(scenario.events):
            where = (*trail, "events", index)
            if event.machine is not None and event.machine not in machines:
                message, mend = unknown("machine", event.machine, machines)
                yield pair.in_shop("event-machine", (*where, "machine"), message, mend)
            for word, place in (("move", event.move), ("arrives", event.arrives)):
                if place is not None and place not in places:
                    yield pair.in_shop(f"event-{word}", (*where, word), *unknown("place", place, places))
        yield from _rearranged(pair, scenario, (*trail, "rearranged"), machines, places)


def _rearranged(
    pair: Pair, scenario: Scenario, trail: Trail, machines: set[str], places: set[str]
) -> Iterator[Problem]:
    short = scenario.rearranged
    if short is None:
        return
    stays = {machine.name for machine in pair.shop.machines if machine.never_moves}
    for index, name in enumerate(short.machines or ()):
        where = (*trail, "machines", index)
        if name not in machines:
            yield pair.in_shop("rearranged-machine", where, *unknown("machine", name, machines))
        elif name in stays:
            message = f'is "{name}", which never moves, so it stays'
            yield pair.in_shop(
                "rearranged-never-moves",
                where,
                message,
                "delete it here, or delete never_moves",
                question=True,
            )
    for index, place in enumerate(short.among):
        if place not in places:
            yield pair.in_shop("rearranged-among", (*trail, "among", index), *unknown("place", place, places))
    if len(set(short.among)) < 2:
        message = "names fewer than two places, so nothing ever moves"
        yield pair.in_shop(
            "rearranged-among-few", (*trail, "among"), message, "name the places", question=True
        )


def machines_are_there(pair: Pair) -> Iterator[Problem]:
    """Events happen to machines that are there, once a year, and change something."""
    known = {machine.name: machine for machine in pair.shop.machines}
    for number, scenario in enumerate(pair.shop.scenarios):
        for name, machine in known.items():
            mine = [
                (index, event)
                for index, event in sorted(enumerate(scenario.events), key=lambda numbered: numbered[1].year)
                if event.machine == name
            ]
            if mine:
                yield from _life(
                    pair, ("scenarios", number, "events"), machine, mine, _comes(pair, scenario, machine)
                )


def _comes(pair: Pair, scenario: Scenario, machine: Machine) -> int | None:
    """The year the machine is there from, None when it comes only in other scenarios."""
    here = [event.year for event in scenario.events if event.machine == machine.name and event.arrives]
    if here:
        return min(here)
    elsewhere = any(
        event.machine == machine.name and event.arrives
        for other in pair.shop.scenarios
        for event in other.events
    )
    return None if elsewhere else machine.arrives


def _life(
    pair: Pair, trail: Trail, machine: Machine, events: list[tuple[int, Event]], comes: int | None
) -> Iterator[Problem]:
    gone, here, moved = machine.leaves, False, 0
    plate: Electrical = machine
    place = machine.at
    for index, event in events:
        where = (*trail, index)
        if event.arrives is not None:
            if here or "arrives" in machine.model_fields_set:
                from_when = "an event before" if here else f"machines, in year {machine.arrives}"
                message = f'brings "{machine.name}", which is there already ({from_when})'
                yield pair.in_shop(
                    "event-arrives-twice", (*where, "arrives"), message, "delete one of the two"
                )
            here, place = True, event.arrives
            continue
        absent = _absent(machine, event, comes, gone)
        if absent is not None:
            mend = "change the year, or delete the event"
            yield pair.in_shop(absent[0], (*where, "machine"), absent[1], mend)
            continue
        if event.leaves:
            gone = event.year
        if event.move is not None:
            yield from _odd_move(pair, (*where, "move"), machine, event, place, moved)
            moved, place = event.year, event.move
        if event.retool is not None:
            if all(getattr(event.retool, name) == getattr(plate, name) for name in _PLATE):
                message = f'changes nothing: "{machine.name}" has this nameplate already'
                yield pair.in_shop(
                    "event-retool-nothing", (*where, "retool"), message, "is it meant?", question=True
                )
            plate = event.retool


def _odd_move(
    pair: Pair, where: Trail, machine: Machine, event: Event, place: str, moved: int
) -> Iterator[Problem]:
    if moved == event.year:
        message = f'moves "{machine.name}" a second time in year {event.year}'
        mend = "one move a year is counted; keep the last, or change a year"
        yield pair.in_shop("event-two-moves", where, message, mend)
    elif event.move == place:
        message = f'moves "{machine.name}" to where it stands already'
        yield pair.in_shop("event-moves-nowhere", where, message, "is it meant?", question=True)
    elif machine.never_moves:
        message = f'moves "{machine.name}", which never moves'
        mend = "delete never_moves: true, or the event; the event is counted as it is"
        yield pair.in_shop("event-never-moves", where, message, mend, question=True)


def _absent(machine: Machine, event: Event, comes: int | None, gone: int | None) -> tuple[str, str] | None:
    if comes is None:
        return "event-not-there", f'is "{machine.name}", which comes only in another scenario'
    if event.year < comes:
        return (
            "event-not-there",
            f'is "{machine.name}", which is not there yet in year {event.year}: it comes in {comes}',
        )
    if gone is not None and event.year >= gone:
        return (
            "event-already-gone",
            f'is "{machine.name}", which is gone in year {event.year}: it leaves in {gone}',
        )
    return None


RULES: tuple[Rule, ...] = (years_are_planned, events_are_known, machines_are_there)
