"""Short forms of the shop file written out, so that everything after it sees only plain things.

A plain shop has one year at every event, no rearrangement in short form, a place for every machine, and no
group of which only some are moved: those are split into strands of machines that share one life in every
scenario.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import ROUND_CEILING, Decimal
from typing import TypeVar

from costplan.model.events import Event, MoveInTurn, Rearranged, Scenario
from costplan.model.ranges import Ranged, ends_of, mean
from costplan.model.shop import Machine, Route, Shop, Spot

_EXACT = 15
"""Decimals that are kept where a share of a year is counted."""


class NewSpot(Spot):
    """A generated spot, as far from the panels as the place it is drawn from, and beyond the reach of every other."""


@dataclass(frozen=True)
class SpelledOut:
    """A shop without short forms, and what the user called each of its machines."""

    shop: Shop
    """The plain shop."""
    group_of: Mapping[str, str]
    """The name the user wrote, by machine: `lathes` for `lathes 1-7`."""


@dataclass(frozen=True, slots=True)
class _Fresh:
    """A spot that has no outlet yet: the place it is as far as, and its number in the scenario."""

    base: str
    number: int


_Place = str | _Fresh
_AnyMachine = TypeVar("_AnyMachine", bound=Machine)


@dataclass(frozen=True, slots=True)
class _Happening:
    """What happens to one machine in a year; `event` is the index of a written event, None for the short form."""

    year: int
    event: int | None
    target: _Place | None = None


@dataclass(slots=True)
class _Unit:
    """One machine of a group while a scenario is walked through."""

    place: _Place
    arrives: int
    leaves: int | None
    fresh: int = 0
    happenings: list[_Happening] = field(default_factory=list)

    def there(self, year: int) -> bool:
        """Whether it stands in the shop before and after the changes of a year."""
        return self.arrives < year and (self.leaves is None or year < self.leaves)


@dataclass(frozen=True, slots=True)
class _Strand:
    """Machines of one group, numbered from `first` to `last`, with the same life in every scenario."""

    machine: Machine
    first: int
    last: int

    @property
    def name(self) -> str:
        """The group's name, with numbers where the group is divided."""
        if self.last - self.first + 1 == self.machine.count:
            return self.machine.name
        numbers = f"{self.first}" if self.first == self.last else f"{self.first}-{self.last}"
        return f"{self.machine.name} {numbers}"

    @property
    def count(self) -> int:
        """How many machines it holds."""
        return self.last - self.first + 1


def spelled_out(shop: Shop) -> SpelledOut:
    """The shop with every short form written out; a shop without any comes back equal."""
    shop = placed(_without_late_arrivals(_weighed(shop)))
    if not any(map(_is_short, _events(shop))) and not any(s.rearranged for s in shop.scenarios):
        return SpelledOut(_without_late(shop), {machine.name: machine.name for machine in shop.machines})
    walks = [_walk(shop, scenario) for scenario in shop.scenarios]
    strands = [strand for machine in shop.machines for strand in _strands(machine, walks)]
    spots: dict[str, NewSpot] = {}
    routes: list[Route] = []
    scenarios = []
    for scenario, walk in zip(shop.scenarios, walks, strict=True):
        events = [*_written(shop, scenario, walk, strands), *_rearranged(walk, strands)]
        for _, _, fresh in events:
            for name, base in fresh:
                if name not in spots:
                    spots[name], more = _drawn(shop, base, name)
                    routes += more
        plain = [event for _, event, _ in events]
        scenarios.append(scenario.model_copy(update={"events": plain, "rearranged": None}))
    names: dict[str, list[str]] = {}
    for strand in strands:
        names.setdefault(strand.machine.name, []).append(strand.name)
    shop = shop.model_copy(
        update={
            "machines": [_machine_of(strand) for strand in strands],
            "scenarios": scenarios,
            "places": [*shop.places, *spots.values()],
            "routes": [*shop.routes, *routes],
        }
    )
    groups = {strand.name: strand.machine.name for strand in strands}
    return SpelledOut(_renamed(shop, names), groups)


def _weighed(shop: Shop) -> Shop:
    """The shop in which a weight that is a range counts by its mean, as a share of the means of all weights."""
    ends = [ends_of(scenario.weight) for scenario in shop.scenarios]
    if not any(ends):
        return shop
    means = [mean(*e) if e else s.weight for e, s in zip(ends, shop.scenarios, strict=True)]
    scenarios = []
    for found, scenario, average in zip(ends, shop.scenarios, means, strict=True):
        share = average / sum(means, Decimal(0))
        weight = Ranged(*found, counts=share) if found else share
        scenarios.append(scenario.model_copy(update={"weight": weight}))
    return shop.model_copy(update={"scenarios": scenarios})


def years_of(event: Event, years: int) -> Sequence[int]:
    """The years an event falls in, those before the last year of the plan only."""
    if event.every is not None:
        return range(event.every, years, event.every)
    return sorted({year for year in event.years or (event.year,) if year < years})


def moves_of(rearranged: Rearranged, years: int) -> list[int]:
    """The year of each machine move of the short form, in order; all before the last year of the plan."""
    last = years - 1
    if last < 1:
        return []
    if rearranged.times_in_all is not None:
        count = rearranged.times_in_all
        return [-(-k * last // count) for k in range(1, count + 1)]
    per_year = rearranged.times_per_year
    if not per_year:
        return []
    if ends_of(per_year):
        # The draws take the range itself, so plans take the nearest count and not the last move that is over in time.
        count = round(per_year * last)
        return [-(-k * last // count) for k in range(1, count + 1)]
    # A third is not a Decimal: three times it must still be one move, and its third year the third.
    most = round(per_year * last, _EXACT)
    return [_up(round(k / per_year, _EXACT)) for k in range(1, int(most) + 1)]


def moves_on_average(rearranged: Rearranged, years: int) -> Decimal:
    """How many machine moves the short form stands for in the years in which something may move, a fraction kept."""
    last = Decimal(max(years - 1, 0))
    ends = ends_of(rearranged.often)
    often = mean(*ends) if ends else Decimal(rearranged.often)
    in_all = rearranged.times_in_all is not None
    return round(often if in_all and last else often * last, _EXACT)


def movable(shop: Shop, rearranged: Rearranged) -> list[str]:
    """Machines that take part in a rearrangement."""
    named = rearranged.machines
    return [m.name for m in shop.machines if not m.never_moves and (named is None or m.name in named)]


def _up(value: Decimal) -> int:
    return int(value.to_integral_value(rounding=ROUND_CEILING))


def _events(shop: Shop) -> Iterator[Event]:
    return (event for scenario in shop.scenarios for event in scenario.events)


def _is_short(event: Event) -> bool:
    return event.years is not None or event.every is not None or event.new_spot or event.how_many is not None


def _without_late(shop: Shop) -> Shop:
    """Events at the end of the plan have no effect."""
    if all(event.year < shop.years for event in _events(shop)):
        return shop
    scenarios = [
        scenario.model_copy(
            update={"events": [event for event in scenario.events if event.year < shop.years]}
        )
        for scenario in shop.scenarios
    ]
    return shop.model_copy(update={"scenarios": scenarios})


def _without_late_arrivals(shop: Shop) -> Shop:
    """A machine that only ever comes at the end of the plan, or after it, never comes."""
    coming = [event for event in _events(shop) if event.arrives]
    late = {event.machine for event in coming} - {
        event.machine for event in coming if years_of(event, shop.years)
    }
    if not late:
        return shop
    never = max(shop.years, 1)
    machines = [
        machine.model_copy(update={"arrives": never}) if machine.name in late else machine
        for machine in shop.machines
    ]
    return shop.model_copy(update={"machines": machines})


def placed(shop: Shop) -> Shop:
    """Every machine at a place; one that says none gets a place of its own, named as it is."""
    bare = [machine for machine in (*shop.machines, *shop.next_machines) if not machine.at]
    if not bare:
        return shop
    panels = [panel.name for panel in shop.panels] + [gear.name for gear in shop.gear if gear.brings_panel]
    known = {spot.name for spot in shop.places}
    places, routes = list(shop.places), list(shop.routes)
    for machine in bare:
        if machine.name in known:
            continue
        known.add(machine.name)
        places.append(Spot(name=machine.name))
        route = machine.route
        if route is not None:
            routes += [
                Route(
                    start=panel,
                    end=machine.name,
                    fixed_ft=route.fixed_ft,
                    cord_ft=route.cord_ft,
                    rated_walls=route.rated_walls,
                )
                for panel in ([route.panel] if route.panel else panels)
            ]
    return shop.model_copy(
        update={
            "places": places,
            "routes": routes,
            "machines": [_at_its_own(machine) for machine in shop.machines],
            "next_machines": [_at_its_own(machine) for machine in shop.next_machines],
        }
    )


def _at_its_own(machine: _AnyMachine) -> _AnyMachine:
    if machine.at:
        return machine
    return machine.model_copy(update={"at": machine.name, "route": None})


def _drawn(shop: Shop, base: str, name: str) -> tuple[NewSpot, list[Route]]:
    """A new spot as far from every panel as a place, with its routes."""
    panels = {panel.name for panel in shop.panels} | {gear.name for gear in shop.gear}
    spot = next((spot for spot in shop.places if spot.name == base), None)
    routes = [
        route.model_copy(update={"end": name})
        for route in shop.routes
        if route.end == base and route.start in panels
    ]
    like = (
        {}
        if spot is None
        else {word: said for word, said in spot if word in spot.model_fields_set - {"name"}}
    )
    return NewSpot(name=name, **like), routes


def _walk(shop: Shop, scenario: Scenario) -> dict[str, list[_Unit]]:
    """What happens to each single machine of a scenario, by the name of its group."""
    coming = {event.machine: event for event in scenario.events if event.arrives}
    elsewhere = {event.machine for event in _events(shop) if event.arrives} - set(coming)
    units: dict[str, list[_Unit]] = {}
    for machine in shop.machines:
        arrival = coming.get(machine.name)
        arrives = machine.arrives or -1
        if machine.name in elsewhere:
            arrives = shop.years
        elif arrival is not None:
            arrives = min(years_of(arrival, shop.years), default=shop.years)
        place = (arrival.arrives if arrival is not None else None) or machine.at
        units[machine.name] = [
            _Unit(place, arrives, _leaving(shop, scenario, machine)) for _ in range(machine.count)
        ]
    dated: dict[int, list[int]] = {}
    for index, event in enumerate(scenario.events):
        for year in years_of(event, shop.years):
            dated.setdefault(year, []).append(index)
    short = scenario.rearranged
    taking_part = movable(shop, short) if short is not None else []
    turns = _Turns(short, [unit for name in taking_part for unit in units[name]])
    moves = moves_of(short, shop.years) if short is not None else []
    for year in range(1, shop.years):
        for index in dated.get(year, ()):
            event = scenario.events[index]
            first = None if event.arrives or event.leaves else event.how_many
            for unit in units.get(event.machine or "", [])[:first]:
                _happen(unit, year, index, event)
        for _ in range(moves.count(year)):
            turns.move(year)
    return units


def _leaving(shop: Shop, scenario: Scenario, machine: Machine) -> int | None:
    years = [machine.leaves] if machine.leaves is not None else []
    for event in scenario.events:
        if event.leaves and event.machine == machine.name:
            years += years_of(event, shop.years)
    return min(years, default=None)


def _happen(unit: _Unit, year: int, index: int, event: Event) -> None:
    if not event.new_spot:
        unit.place = event.move or unit.place
        unit.happenings.append(_Happening(year, index, event.move))
        return
    for _ in range(event.times):
        unit.fresh += 1
        base = unit.place.base if isinstance(unit.place, _Fresh) else unit.place
        unit.place = _Fresh(base, unit.fresh)
        unit.happenings.append(_Happening(year, index, unit.place))


class _Turns:
    """The machines of a rearrangement, moved in turn, each to the next place after the one it stands at."""

    def __init__(self, short: Rearranged | None, units: Iterable[_Unit]) -> None:
        self.units = list(units)
        self.places = list(dict.fromkeys(short.among)) if short is not None else []
        self.turn = 0

    def move(self, year: int) -> None:
        """Move the next machine that is there."""
        for _ in self.units if self.places else ():
            unit = self.units[self.turn % len(self.units)]
            self.turn += 1
            if unit.there(year):
                here = self.places.index(unit.place) + 1 if unit.place in self.places else 0
                place = self.places[here % len(self.places)]
                if place != unit.place:
                    unit.place = place
                    unit.happenings.append(_Happening(year, None, place))
                return


def _strands(machine: Machine, walks: Sequence[Mapping[str, list[_Unit]]]) -> list[_Strand]:
    """The machines of a group in stretches with the same life in every scenario."""
    lives = [
        tuple(tuple(walk[machine.name][number].happenings) for walk in walks)
        for number in range(machine.count)
    ]
    strands: list[_Strand] = []
    for number, life in enumerate(lives, 1):
        if number > 1 and life == lives[number - 2]:
            strands[-1] = _Strand(machine, strands[-1].first, number)
        else:
            strands.append(_Strand(machine, number, number))
    return strands


def _machine_of(strand: _Strand) -> Machine:
    if strand.name == strand.machine.name:
        return strand.machine
    return strand.machine.model_copy(update={"name": strand.name, "count": strand.count})


_Dated = tuple[int, Event, list[tuple[str, str]]]
"""A year, an event of that year, and the new spots it needs with the places they are as far as."""


def _written(
    shop: Shop, scenario: Scenario, walk: Mapping[str, list[_Unit]], strands: Sequence[_Strand]
) -> Iterator[_Dated]:
    """The written events, each with one year and for one strand."""
    for index, event in enumerate(scenario.events):
        mine = [strand for strand in strands if strand.machine.name == event.machine]
        for year in years_of(event, shop.years):
            if not mine:
                yield year, _plain(event, year, event.machine, event.move), []
            for strand in mine:
                unit = walk[strand.machine.name][strand.first - 1]
                for happening in unit.happenings:
                    if (happening.year, happening.event) == (year, index):
                        name, fresh = _named(strand, happening.target)
                        yield year, _plain(event, year, strand.name, name), fresh


def _rearranged(walk: Mapping[str, list[_Unit]], strands: Sequence[_Strand]) -> list[_Dated]:
    """The moves of the short form in order of year."""
    moves: list[_Dated] = []
    for strand in strands:
        for happening in walk[strand.machine.name][strand.first - 1].happenings:
            if happening.event is None:
                name, _ = _named(strand, happening.target)
                words = {"year": happening.year, "machine": strand.name, "move": name}
                moves.append((happening.year, MoveInTurn.model_validate(words), []))
    return sorted(moves, key=lambda dated: dated[0])


def _named(strand: _Strand, target: _Place | None) -> tuple[str | None, list[tuple[str, str]]]:
    if not isinstance(target, _Fresh):
        return target, []
    as_far = "" if target.base == strand.machine.at else f" as far as {target.base}"
    name = f"{strand.name}, new spot {target.number}{as_far}"
    return name, [(name, target.base)]


def _plain(event: Event, year: int, machine: str | None, move: str | None) -> Event:
    if not _is_short(event) and (event.year, event.machine, event.move) == (year, machine, move):
        return event
    return event.model_copy(
        update={
            "year": year,
            "years": None,
            "every": None,
            "machine": machine,
            "how_many": None,
            "move": move,
            "new_spot": False,
            "times": 1,
        }
    )


def _renamed(shop: Shop, names: Mapping[str, list[str]]) -> Shop:
    """Lists that name a divided group name its strands."""
    if all(strands == [group] for group, strands in names.items()):
        return shop

    def each(listed: Sequence[str]) -> list[str]:
        return [name for entry in listed for name in names.get(entry, [entry])]

    service = shop.service
    if service is not None:
        service = service.naming(each)
    return shop.model_copy(
        update={
            "service": service,
            "gear": [
                gear if gear.machines is None else gear.model_copy(update={"machines": each(gear.machines)})
                for gear in shop.gear
            ],
            "quoted_ways": [
                way if way.machines is None else way.model_copy(update={"machines": each(way.machines)})
                for way in shop.quoted_ways
            ],
            "strategies": [
                strategy.model_copy(
                    update={
                        "ways": {name: way for entry, way in strategy.ways.items() for name in each([entry])}
                    }
                )
                for strategy in shop.strategies
            ],
        }
    )
