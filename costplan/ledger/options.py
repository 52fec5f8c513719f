"""The ways each machine could be powered, walked through every scenario, with why some are out."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import chain
from typing import Any

from costplan.circuits.buildings import between_buildings
from costplan.circuits.circuit import Builder
from costplan.circuits.facts import Facts
from costplan.circuits.grips import grips_for, takes_grip, without_jacket
from costplan.circuits.ground_fault import ONE_LINE_V
from costplan.circuits.grounds import no_new_receptacle
from costplan.circuits.present import keeps
from costplan.circuits.run_parts import BESIDE
from costplan.circuits.shared_gear import Candidate, candidate
from costplan.circuits.size_types import CannotSizeError, Load
from costplan.circuits.supply import other_drives, supplies_known
from costplan.circuits.volts import volts_to_choose
from costplan.circuits.walls import cable_kept_out
from costplan.circuits.ways import Way, all_ways, load_of, may_be_wired_in, refusal, sources
from costplan.ledger.wires_chosen import by_gauge, longer_at_first, plain_cord, standings_of, wired_for_later
from costplan.model.catalog import INTO_MACHINE
from costplan.model.choices import RUNS, Method, Supply
from costplan.model.circuits_there import Present
from costplan.model.events import Scenario
from costplan.model.layouts import MovedToday, TakenAway
from costplan.model.left_out import LeftOut
from costplan.model.quoted import quoted_ways_of
from costplan.model.quotes import QuotedWay
from costplan.model.ratings import GROUND_FAULT
from costplan.model.routes import NoRouteError
from costplan.model.shop import Machine
from costplan.standards.citations import cited
from costplan.years.calendar import Life, lives, scenarios_of
from costplan.years.course import stream
from costplan.years.quoted import quoted_stream
from costplan.years.stream import Standing, Stream

_NOTHING_THERE = Way(Method.WALL, "", None, gone=True)
"""Of a machine that is left out, or taken away without ever having had a circuit."""


MANY_WAYS = 60
"""Ways of all machines from which on a second process pays."""


@dataclass(frozen=True)
class Option:
    """One way for one machine: its stream of events, and why it may be out.

    `count` is how many such machines there are. `refused` is a rule against it, `missing` a price nobody
    gives; both None means it takes part. `held_back` ways are refused only because the user holds the machine to others.
    `only_of_there` is a price nobody gives for something that is there already and may serve: such things of the stream
    are not bought, and `as_sold` is the stream before.
    """

    machine: str
    way: Way
    stream: Stream
    years: int
    count: int = 1
    refused: str | None = None
    missing: str | None = None
    held_back: bool = False
    only_of_there: str | None = None
    as_sold: Stream | None = None

    @property
    def open(self) -> bool:
        """Whether it takes part in the choice."""
        return self.refused is None and self.missing is None

    @property
    def for_sale(self) -> bool:
        """Whether it takes part whatever others take of what is there: all of it can be bought."""
        return self.open and self.only_of_there is None

    @property
    def lacking(self) -> str | None:
        """The first of what nobody sells at a price, whether it is there or not."""
        return self.missing or self.only_of_there

    @property
    def there(self) -> bool:
        """Whether something of the machine's circuit is there already."""
        return any(use.present for use in self.stream.uses)

    @property
    def as_it_is(self) -> bool:
        """Whether all that is there stays today and nothing is done."""
        stream = self.stream
        return (
            self.there
            and all(use.present and not use.ends_today for use in stream.uses if use.since[0] == 0)
            and not stream.given_today()
            and all(deed.date[0] for deed in stream.deeds)
        )

    @cached_property
    def spaces(self) -> Mapping[tuple[str, str, int], int]:
        """Poles that one machine takes by panel, scenario and year."""
        return {key: entry.poles for key, entry in self._standing.items()}

    @cached_property
    def draws(self) -> Mapping[tuple[str, str, int], int]:
        """Volt-amperes that one machine draws by panel, scenario and year."""
        return {key: entry.draw_va for key, entry in self._standing.items()}

    @cached_property
    def _standing(self) -> dict[tuple[str, str, int], Standing]:
        found = {}
        for scenario in self.stream.standings:
            for year in range(self.years + 1):
                entry = self.stream.at(scenario, year)
                if entry is not None:
                    found[entry.panel, scenario, year] = entry
        return found


@dataclass(frozen=True, slots=True)
class Chosen:
    """An option that a plan takes, and for how many of its machines."""

    option: Option
    count: int


@dataclass(frozen=True)
class Unbuildable:
    """A way that sizing or the routes rule out, with the reason; `unmeasured` when only a length is missing."""

    machine: str
    way: Way
    reason: str
    unmeasured: bool = False


@dataclass(frozen=True)
class Survey:
    """All options of all machines, and the ways that cannot be built."""

    scenarios: tuple[Scenario, ...]
    options: Mapping[str, tuple[Option, ...]]
    unbuildable: tuple[Unbuildable, ...]
    gear: tuple[Candidate, ...] = ()
    gear_out: Mapping[str, str] = field(default_factory=dict)
    facts: Facts | None = field(default=None, compare=False, repr=False)
    bodies: list[Any] = field(default_factory=list, compare=False, repr=False)
    """What `program.build`, of which nothing here knows, built of these ways: the same for every sourcing rule."""

    @property
    def large(self) -> bool:
        """Whether there are so many ways that halving the work on them pays a second process."""
        return sum(map(len, self.options.values())) >= MANY_WAYS

    def change_years(self, scenario: str) -> list[int]:
        """Years after today in which some machine's circuit is made or changed in a scenario."""
        return sorted(
            {
                year
                for found in self.options.values()
                for option in found
                for year in option.stream.change_years(scenario)
            }
        )


def survey(facts: Facts, known: Survey | None = None) -> Survey:
    """Walk every way of every machine through every scenario. Pure; nothing is chosen or priced here.

    known: a survey, nothing priced in it, of the shop with other machines; machines that stay as they are keep theirs.
    """
    options: dict[str, tuple[Option, ...]] = {}
    unbuildable: list[Unbuildable] = []
    asked = dict(_asked(known.facts)) if known and known.facts and alike_for_ways(known.facts, facts) else {}
    now = dict(_asked(facts)) if asked else {}
    for name, walk in walked(facts):
        if known is not None and name in asked and asked[name] == now[name]:
            options[name] = known.options[name]
            unbuildable += [entry for entry in known.unbuildable if entry.machine == name]
            continue
        found = list(walk)
        options[name] = tuple(entry for entry in found if isinstance(entry, Option))
        unbuildable += [entry for entry in found if isinstance(entry, Unbuildable)]
    gear, gear_out = gear_of(facts)
    return Survey(scenarios_of(facts.shop), options, tuple(unbuildable), gear, gear_out, facts)


def alike_for_ways(one: Facts, other: Facts) -> bool:
    """Whether two shops of one catalog differ only in machines without a circuit today, what runs at once, crews and bids."""

    def rest(facts: Facts) -> tuple[object, ...]:
        service = facts.shop.service
        lean = None if service is None else service.model_copy(update={"at_once": [], "at_most": []})
        others: dict[str, object] = {"machines": [], "next_machines": [], "service": lean}
        others |= {"crews": [], "bids": []}
        there = [machine for machine in facts.shop.machines if machine.now is not None]
        return facts.shop.model_copy(update=others), there, facts.panels

    return one.catalog is other.catalog and rest(one) == rest(other)


def _asked(facts: Facts) -> Iterator[tuple[str, tuple[object, ...]]]:
    """All that the walk of a machine's ways turns on beside the shop: its words, its fates, and whom it may exchange with."""
    for machine, fate in _machines_with_fates(facts):
        exchanges = _may_exchange_something(facts, machine), _may_exchange_drives(facts, machine)
        yield machine.name, (machine, fate, exchanges)


def walked(facts: Facts) -> Iterator[tuple[str, Iterator[Option | Unbuildable]]]:
    """Machines by name with their ways, each walked through every scenario when it is asked for."""
    for machine, fate in _machines_with_fates(facts):
        yield machine.name, _walked(facts, machine, fate, _ways)


def walked_until_one_will_do(facts: Facts) -> Iterator[tuple[str, Iterator[Option | Unbuildable]]]:
    """The same, the plain ways before all of them: whoever looks for one that will do has it before variants are made."""
    for machine, fate in _machines_with_fates(facts):
        plain, every = (_walked(facts, machine, fate, ways) for ways in (_plain_ways, _ways))
        yield machine.name, chain(plain, every)


def _machines_with_fates(facts: Facts) -> Iterator[tuple[Machine, Mapping[str, Life]]]:
    fates = {scenario.name: lives(facts.shop, scenario) for scenario in scenarios_of(facts.shop)}
    for machine in sorted(facts.shop.machines, key=lambda machine: machine.name):
        yield machine, {name: fates[name][machine.name] for name in fates}


def _walked(
    facts: Facts,
    machine: Machine,
    fate: Mapping[str, Life],
    ways_of: Callable[[Facts, Machine, Mapping[str, Life]], list[Way]],
) -> Iterator[Option | Unbuildable]:
    if isinstance(machine, LeftOut):
        yield _option(facts, machine, _NOTHING_THERE, fate)
        return
    if isinstance(machine, TakenAway):
        yield _gone(facts, machine, fate)
        return
    quotes = quoted_ways_of(facts.shop, machine.name)
    for quote in quotes:
        yield _option(facts, machine, _quoted_way(quote), fate)
    for way in ways_of(facts, machine, fate) if not quotes or machine.ways.from_catalog else ():
        try:
            yield _option(facts, machine, way, fate)
        except (CannotSizeError, NoRouteError) as error:
            yield _unbuildable(facts, machine, way, error)


def _plain_ways(facts: Facts, machine: Machine, fate: Mapping[str, Life]) -> list[Way]:
    """Every way that is priced from the catalog, without what may be chosen within it."""
    load = load_of(machine)
    changes = any(len(life.standings) > 1 for life in fate.values())
    loads = list(dict.fromkeys([load, *(standing.load for standing in standings_of(fate))]))
    starts = sources(tuple(facts.panels.values()), loads, supplies_known(facts))
    moved = _moves(machine, fate)
    can_relocate = [method for method in RUNS if moved and facts.has_recipe(f"move {method}", machine)]
    ways = all_ways(facts.shop, machine, starts, load, changes=changes, can_relocate=can_relocate)
    return [each for way in ways for each in _by_volts(facts, machine, load, way)]


def _moves(machine: Machine, fate: Mapping[str, Life]) -> bool:
    return len({standing.place for standing in standings_of(fate)}) > 1 or isinstance(machine, MovedToday)


def _ways(facts: Facts, machine: Machine, fate: Mapping[str, Life]) -> list[Way]:
    """Every way that is priced from the catalog."""
    load = load_of(machine)
    loads = list(dict.fromkeys([load, *(standing.load for standing in standings_of(fate))]))
    moves = _moves(machine, fate)
    ways = _plain_ways(facts, machine, fate)
    now = machine.now
    beside = [method for method, name in BESIDE.items() if facts.has_recipe(name, machine)]
    ways += [replace(way, beside=method) for way in ways if way.method is Method.CORD for method in beside]
    if may_be_wired_in(machine) and facts.has_recipe(INTO_MACHINE, machine):
        # What is wired in for one machine is no cord for others, so it has just the wires that are asked for.
        plain = [way for way in ways if way.method is Method.CORD and not way.spare_conductor]
        ways += [replace(way, wired_in=True) for way in plain]
    ways = list(dict.fromkeys(by_gauge(facts, machine, way, fate) for way in ways))
    ways = [each for way in ways for each in wired_for_later(facts, machine, way, fate)]
    ways = [each for way in ways for each in _gripped(facts, machine, way, fate)]
    if now is not None and _may_exchange_something(facts, machine):
        ways += [replace(way, pooled=True) for way in ways if keeps(way, now)]
    if moves and facts.cord_lengths_there:
        exchanging = [replace(way, exchanges=True) for way in ways if plain_cord(facts, way)]
        ways += [longer for way in ways for longer in longer_at_first(facts, machine, way, fate)]
        ways += exchanging
    ways += [
        replace(way, sized_by=drive)
        for drive in dict.fromkeys(drive for load in loads for drive in _other_drives(facts, machine, load))
        for way in ways
        if way.supply is Supply.DRIVE
    ]
    ways += [
        replace(way, ground_fault_receptacle=True) for way in ways if _protected(facts, machine, way, fate)
    ]
    if _may_exchange_drives(facts, machine):
        ways += [replace(way, swaps_drive=True) for way in ways if way.supply is Supply.DRIVE]
    return sorted(ways, key=repr)


def _by_volts(facts: Facts, machine: Machine, load: Load, way: Way) -> list[Way]:
    """The way, at each of the volts that both its panel and the machine's plate have, where that is a choice.

    What the measured peak has of a machine is on the lines of the volts that it had then, so it is no choice there.
    """
    chosen = way.supply is Supply.PANEL and not machine.in_measured_peak
    volts = volts_to_choose(facts.panels[way.panel], load) if chosen else []
    return [replace(way, volts=each) for each in volts] or [way]


def _gripped(facts: Facts, machine: Machine, way: Way, fate: Mapping[str, Life]) -> list[Way]:
    """The way, by each grip that may hold its cord where that goes into the machine."""
    if not way.into_machine or not takes_grip(facts, machine):
        return [way]
    builder, most = Builder(facts, machine, way), 1
    for standing in standings_of(fate):
        try:
            cord = builder.build(standing).cable
        except (CannotSizeError, NoRouteError):
            return [way]
        most = max(most, 0 if cord is None else len(grips_for(facts, way, without_jacket(cord.spec))))
    return [replace(way, grip=grip) for grip in range(most)]


def _protected(facts: Facts, machine: Machine, way: Way, fate: Mapping[str, Life]) -> bool:
    """Whether a receptacle with ground-fault protection could take the place of such a breaker at some time."""
    if way.family is None or not facts.has_receptacle(None, GROUND_FAULT):
        return False
    breaker = Builder(facts, machine, way)
    receptacle = Builder(facts, machine, replace(way, ground_fault_receptacle=True))
    try:
        return any(
            ONE_LINE_V in (way.volts, standing.load.volts)
            and breaker.build(standing).size.ground_fault
            and receptacle.build(standing).size.ground_fault_receptacle
            for standing in standings_of(fate)
        )
    except (CannotSizeError, NoRouteError):
        return False


def _other_drives(facts: Facts, machine: Machine, load: Load) -> list[str]:
    return other_drives(facts, machine, load) if load.phases == 3 else []


def _may_exchange_drives(facts: Facts, machine: Machine) -> bool:
    """Whether another drive is there that this machine could have, or another machine that could have this one's."""
    if machine.now is None or machine.now.drive is None:
        return False
    others = [other for other in facts.shop.machines if other.name != machine.name]
    return len(facts.drives_there) > 1 or any(other.phases == 3 for other in others)


def _may_exchange_something(facts: Facts, machine: Machine) -> bool:
    """Whether something else is there that it could have, or another machine that could have what it has."""
    now, others = machine.now, facts.shop.machines
    if now is None:
        return False
    return bool(facts.shop.installed) or any(_may_exchange(machine, now, other) for other in others)


def _may_exchange(machine: Machine, now: Present, other: Machine) -> bool:
    """Whether another machine could take what this one has today, or the other way round, though each may keep its own."""
    if other.name == machine.name or other.arrives:
        return False
    if now.method is Method.CORD:
        return True
    there = {other.at} | ({other.now.place or other.at} if other.now is not None else set())
    return (now.place or machine.at) in there


def _gone(facts: Facts, machine: Machine, fate: Mapping[str, Life]) -> Option | Unbuildable:
    """What a machine that is taken away today gives up, as if that were its only way."""
    why_not = None
    for way in _ways_it_may_have(facts, machine, fate):
        try:
            return _option(facts, machine, replace(way, gone=True), fate)
        except (CannotSizeError, NoRouteError) as error:
            why_not = why_not or _unbuildable(facts, machine, way, error)
    return why_not or _option(facts, machine, _NOTHING_THERE, fate)


def _ways_it_may_have(facts: Facts, machine: Machine, fate: Mapping[str, Life]) -> list[Way]:
    """Ways by which its present circuit can be told, the likest to it first; none when it has no circuit."""
    quotes = [quote for quote in quoted_ways_of(facts.shop, machine.name) if quote.there_today]
    now = machine.now
    if quotes or now is None:
        return [_quoted_way(quote) for quote in quotes[:1]]

    def unlike(way: Way) -> bool:
        return (way.method, way.panel, way.hard_wired) != (now.method, now.panel, now.configuration is None)

    return sorted(_ways(facts, machine, fate), key=unlike)


def gear_of(facts: Facts) -> tuple[tuple[Candidate, ...], dict[str, str]]:
    """Gear that could be put in, and why the rest cannot."""
    ready, out = [], {}
    for gear in facts.shop.gear:
        try:
            ready.append(candidate(facts, gear))
        except (CannotSizeError, NoRouteError) as error:
            out[gear.name] = cited(str(error), facts.shop.code.edition)
    return tuple(ready), out


def stream_of(facts: Facts, machine: Machine, way: Way, fate: Mapping[str, Life]) -> Stream:
    """The stream of a machine by a way, quoted or not. Raises CannotSizeError and NoRouteError."""
    if way == _NOTHING_THERE:
        return Stream((), ())
    if way.quoted:
        quote = next(quote for quote in facts.shop.quoted_ways if quote.name == way.quoted)
        return quoted_stream(facts.shop, machine, way, quote, fate)
    return stream(Builder(facts, machine, way), fate)


def _option(facts: Facts, machine: Machine, way: Way, fate: Mapping[str, Life]) -> Option:
    made = stream_of(facts, machine, way, fate)
    standings = [standing for life in fate.values() for standing in life.standings]
    places = dict.fromkeys(standing.place for standing in standings)
    spots = dict.fromkeys((standing.place, standing.there) for standing in standings)
    refused = None
    if not way.gone:
        refused = (
            refusal(facts.shop, machine, way)
            or no_new_receptacle(facts, machine, way, places)
            or between_buildings(facts, machine, way, spots)
            or cable_kept_out(facts, machine, way, spots)
        )
    said = cited(refused, facts.shop.code.edition) if refused else None
    return Option(machine.name, way, made, facts.shop.years, machine.count, said)


def _unbuildable(facts: Facts, machine: Machine, way: Way, error: Exception) -> Unbuildable:
    """A way that cannot be sized or measured, and why, with sections by the numbers of the edition in force."""
    why = cited(str(error), facts.shop.code.edition)
    return Unbuildable(machine.name, way, why, isinstance(error, NoRouteError))


def _quoted_way(quote: QuotedWay) -> Way:
    return Way(quote.method, quote.panel or "", None, quoted=quote.name)
