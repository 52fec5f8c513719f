"""What a plan contains that something is to be said of: a topic, and the lines that it is about."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace
from decimal import Decimal

from costplan.circuits.capacity import Capacity, TakenFrom
from costplan.circuits.circuit import Builder
from costplan.circuits.facts import Facts
from costplan.circuits.shared_gear import candidate
from costplan.files.visible import listed
from costplan.ledger.holding import written
from costplan.ledger.lines import LineKind
from costplan.ledger.steps import Act
from costplan.model.catalog import SURPLUS
from costplan.model.choices import Method
from costplan.model.gear import SERVICE, Gear, GearKind
from costplan.model.leases import wired_before
from costplan.model.routes import rated_walls
from costplan.model.shop import Shop
from costplan.model.system import FEEDS, System, lines
from costplan.program.ranked import Ranked
from costplan.reports.conversion import converted_later
from costplan.reports.noted_circuits import CIRCUIT_TOPICS
from costplan.reports.noted_damp import of_gear
from costplan.reports.noted_machine import InPlan
from costplan.reports.noted_runs import of_runs
from costplan.reports.noted_shop import (
    USUAL_BESIDE,
    beside_panels,
    beside_words,
    of_rate,
    of_shop,
    small_alone,
)
from costplan.reports.noted_spaces import of_spaces, of_vapors
from costplan.reports.noted_there import no_ground_contact
from costplan.reports.noted_ways import wants_bushings
from costplan.reports.priced import Priced, without_money
from costplan.reports.remarks import Remark, Topic, all_remarks, remark
from costplan.reports.there import Powered, There
from costplan.studies.size_cost import feeder_marked
from costplan.years.calendar import first_standings, unmoved_shares

CONVERTERS = {
    "rotary": Topic.ROTARY_CONVERTER,
    "solid-state": Topic.SOLID_STATE_CONVERTER,
    "static": Topic.STATIC_CONVERTER,
}
"""The topic of a converter, by the type that its part states."""

GEAR_TOPICS = {
    GearKind.CONVERTER: (Topic.PANEL_BEHIND_CONVERTER, Topic.WORKING_SPACE),
    GearKind.MAIN: (Topic.MAIN_DISCONNECT, Topic.WORKING_SPACE),
}
"""What is said of gear that is put in today, by its kind."""

MARKED_C = 75
"""What the terminals of new panels and breakers are usually marked for. Common practice, no source."""
A_YEAR_DAYS = 365
"""Days of a year's demand (NFPA 70 220.87)."""


@dataclass(frozen=True, slots=True)
class Noted:
    """A topic of a plan, and the machines, panels, gear or parts that it is about; none where it is about all of it."""

    topic: Topic
    about: tuple[str, ...] = ()
    edition: int | None = field(default=None, compare=False)
    """The edition of the code whose sections are named; None for the newest."""

    @property
    def remark(self) -> Remark:
        """What is said and asked."""
        return remark(self.topic, self.edition)

    @property
    def priceless(self) -> "Noted":
        """The same without the money that its lines tell."""
        return replace(self, about=tuple(_without_money(line) for line in self.about))

    @property
    def whose(self) -> str:
        """What it is about, in words; empty where that is all of it."""
        alike: dict[str, list[str]] = {}
        for line in self.about:
            name, more = (line.name, line.more) if isinstance(line, Line) else (line, "")
            alike.setdefault(more, []).append(name)
        each = all(not more or len(names) == 1 for more, names in alike.items())
        # What is said of one must not be read of the plain names before it.
        told = [isinstance(line, Line) for line in self.about]
        if each and told == sorted(told, reverse=True):
            return ", ".join(self.about)
        # Of several that are told alike it is said once, behind the last of them.
        groups = sorted(alike.items(), key=lambda entry: bool(entry[0]))
        return "; ".join(f"{listed(names)} ({more})" if more else ", ".join(names) for more, names in groups)


class Line(str):
    """A line that a topic is about, which knows the name in it and what more is said of it."""

    name: str
    more: str

    def __new__(cls, name: str, more: str) -> "Line":
        """`name (more)`."""
        line = super().__new__(cls, f"{name} ({more})")
        line.name, line.more = name, more
        return line


def _without_money(line: str) -> str:
    if not isinstance(line, Line):
        return line
    more = without_money(line.more)
    return Line(line.name, more) if more else line.name


@dataclass(frozen=True, slots=True)
class Today:
    """A plan with the circuits of its machines after today's work: what topics are read off."""

    facts: Facts
    ranked: Ranked
    there: There

    @property
    def made(self) -> tuple[Powered, ...]:
        """Machines whose run is made today."""
        return tuple(entry for entry in self.there.powered if entry.made)


Found = Iterable[tuple[Topic, str]]
"""Topics, each with one line that it is about, empty where it is about all."""
Finder = Callable[[Today], Found]


def noted(facts: Facts, ranked: Ranked, there: There | None = None) -> tuple[Noted, ...]:
    """Everything that is to be said of a plan, in the order of `remarks.yaml`, each topic once."""
    today = Today(facts, ranked, there or There(facts, ranked))
    return gathered((pair for find in FINDERS for pair in find(today)), facts.shop.code.edition)


def noted_before(facts: Facts) -> tuple[Noted, ...]:
    """What can be known to matter from the files alone, before there is a plan."""
    return gathered(_before(facts), facts.shop.code.edition)


def gathered(found: Found, edition: int | None = None) -> tuple[Noted, ...]:
    """Topics with all that each is about, in the order of `remarks.yaml`."""
    about: dict[Topic, dict[str, None]] = {}
    for topic, line in found:
        about.setdefault(topic, {}).update({line: None} if line else {})
    return tuple(
        Noted(entry.topic, tuple(about[entry.topic]), edition)
        for entry in all_remarks()
        if entry.topic in about
    )


def beyond(base: Iterable[Noted], others: Iterable[Iterable[Noted]]) -> tuple[Noted, ...]:
    """What is to be said of other plans and not of a base, each topic once with all that it is about in any of them."""
    known, plans = set(_pairs(base)), [tuple(plan) for plan in others]
    edition = next((entry.edition for plan in plans for entry in plan), None)
    return gathered((pair for plan in plans for pair in _pairs(plan) if pair not in known), edition)


def _pairs(found: Iterable[Noted]) -> Iterator[tuple[Topic, str]]:
    return ((entry.topic, line) for entry in found for line in entry.about or ("",))


# what each part of a plan says --------------------------------------------------------------------


def _of_machines(today: Today) -> Iterator[tuple[Topic, str]]:
    facts = today.facts
    still = unmoved_shares(facts.shop)
    for machine, way, _ in today.ranked.plan.shares():
        if way.method is Method.CORD and not way.gone and machine in still:
            yield Topic.STILL_CORD, _still(facts, machine, still[machine])
    standings = first_standings(facts.shop)
    for machine, way, _ in today.ranked.plan.made_here():
        circuit = Builder(facts, facts.machines[machine], way).build(standings[machine])
        size = circuit.cord_size or circuit.size
        if size.drops_too_much:
            yield Topic.VOLTAGE_DROP, Line(written(facts, machine), f"{size.voltage_drop * 100:.1f} %")


def _still(facts: Facts, machine: str, share: Decimal) -> str:
    """A machine that scenarios of this weight never move; the weight where others do."""
    name = written(facts, machine)
    return name if share >= 1 else Line(name, f"in scenarios of {share * 100:.0f} %")


def _of_circuits(today: Today) -> Iterator[tuple[Topic, str]]:
    for powered in today.there.powered:
        name, at = written(today.facts, powered.machine.name), InPlan.of(today.facts, today.ranked, powered)
        for topic, holds in CIRCUIT_TOPICS.items():
            found = holds(at)
            if found:
                yield topic, Line(name, found) if isinstance(found, str) else name


def _of_several(today: Today) -> Iterator[tuple[Topic, str]]:
    """Machines that share an outlet, by cord or where they stand; small ones that could share a circuit, each made for one."""
    sharing: dict[tuple[object, ...], list[Powered]] = {}
    for entry in today.there.powered:
        if entry.circuit.size.configuration is not None:
            outlet = entry.circuit.outlet
            sharing.setdefault((outlet.shared_by, outlet.item), []).append(entry)
    for together in sharing.values():
        if any(entry.act is Act.SHARE for entry in together):
            corded = together[0].way.method is Method.CORD
            topic = Topic.TURNS_AT_PANEL if corded else Topic.TURNS_AT_OUTLET
            yield from ((topic, written(today.facts, entry.machine.name)) for entry in together)
    for turning in today.there.on_one_breaker():
        motors = dict.fromkeys(entry.machine.name for entry in turning if entry.circuit.supplied.load.motor)
        if len(motors) > 1:
            yield from ((Topic.MOTORS_BY_TURNS, written(today.facts, name)) for name in motors)
    for alone in small_alone(today.made):
        yield from ((Topic.SEVERAL_ON_ONE, written(today.facts, entry.machine.name)) for entry in alone)


def _of_gear(today: Today) -> Iterator[tuple[Topic, str]]:
    facts = today.facts
    for name in _gear_today(today):
        gear = facts.gear[name]
        feeder = candidate(facts, gear).input_size
        if feeder is not None and gear.quote_cents is None and wants_bushings(feeder.awg):
            yield Topic.BUSHINGS, gear.entry
        yield from _feeder_terminals(today, gear)
        if gear.kind is GearKind.CONVERTER:
            kind = str(facts.parts[gear.part].attributes.get("type")) if gear.part else ""
            yield CONVERTERS.get(kind, Topic.SOLID_STATE_CONVERTER), gear.entry
        yield from ((topic, gear.entry) for topic in GEAR_TOPICS.get(gear.kind, ()))
        if gear.kind is GearKind.SUBPANEL and _has_120_v(facts, name):
            yield Topic.NEW_SUBPANEL, gear.entry
    for bought in today.ranked.plan.gear:
        if facts.gear[bought.name].kind is GearKind.TANDEM:
            yield Topic.TANDEM_BREAKERS, facts.gear[bought.name].panel or bought.name
    panels = [*(entry.circuit.panel for entry in today.made), *_gear_today(today)]
    for name in panels:
        if name in facts.panels and facts.panels[name].manufactured_leg:
            yield Topic.MADE_LEG, name


def _feeder_terminals(today: Today, gear: Gear) -> Iterator[tuple[Topic, str]]:
    found = feeder_marked(today.facts, today.ranked, gear, MARKED_C)
    if found is not None:
        awg, less = found
        plain = f"{awg} AWG then"
        yield Topic.FEEDER_TERMINALS, Line(gear.entry, Priced(f"{plain}, {less}", plain) if less else plain)


def _has_120_v(facts: Facts, panel: str) -> bool:
    return any(volts == 120 for volts, _, _ in FEEDS[facts.panels[panel].system])


def _gear_today(today: Today) -> list[str]:
    return [bought.name for bought in today.ranked.plan.gear if bought.year == 0]


def _of_panels(today: Today) -> Iterator[tuple[Topic, str]]:
    facts, counts = today.facts, beside_panels(today.there.powered)
    for name in dict.fromkeys(_panels_with_new_breakers(today)):
        yield Topic.INTERRUPTING_RATING, name
        if (
            name in facts.panels
            and facts.panels[name].system is System.DELTA_240
            and not _made_leg(facts, name)
        ):
            yield Topic.DELTA, name
    for name in dict.fromkeys((*_panels_with_new_breakers(today), *_other_panels_worked_in(today))):
        if name in facts.panels:
            outlets = counts.get(name)
            yield Topic.PANEL_WORK, Line(name, beside_words(outlets)) if outlets else name
            if outlets and outlets[0] > USUAL_BESIDE:
                yield Topic.CROWDED_PANEL, Line(name, beside_words(outlets))
            yield Topic.DIRECTORY, name
    yield from of_gear(
        facts, _gear_today(today), (*_panels_with_new_breakers(today), *_other_panels_worked_in(today))
    )


def _made_leg(facts: Facts, panel: str) -> bool:
    """Whether a converter makes one leg of a panel's, so that nobody has to ask how its delta is grounded."""
    return facts.panels[panel].manufactured_leg or bool(facts.converters_above(panel))


def _of_the_shop(today: Today) -> Iterator[tuple[Topic, str]]:
    worked_in = (*_panels_with_new_breakers(today), *_other_panels_worked_in(today))
    yield from of_rate(today.ranked)
    yield from of_shop(today.facts, today.there.powered, worked_in)


def _of_walls(today: Today) -> Iterator[tuple[Topic, str]]:
    """Panels with new runs that may lie in the wall, and new runs that may go through fire-rated walls."""
    shop = today.facts.shop
    known = {panel.name: panel for panel in shop.panels}
    for name, start, place in _runs_made(today):
        panel = known.get(start)
        if panel is not None and panel.flush is None:
            yield Topic.PANEL_MOUNTING, panel.name
        if place is not None and rated_walls(shop, start, place) is None:
            yield Topic.RATED_WALL, name


def _runs_made(today: Today) -> Iterator[tuple[str, str, str | None]]:
    """Runs from a panel that are made today: whose, from where, and to which place, None for one beside the panel."""
    facts = today.facts
    for powered in today.made:
        place = None if powered.way.method is Method.CORD else powered.circuit.standing.place
        yield written(facts, powered.machine.name), powered.circuit.panel, place
    for gear in (facts.gear[name] for name in _gear_today(today)):
        if gear.brings_panel and gear.fed_from in facts.panels and gear.quote_cents is None:
            yield gear.entry, str(gear.fed_from), gear.at or ""


def _of_runs(today: Today) -> Iterator[tuple[Topic, str]]:
    yield from of_runs(today.made, today.facts.shop.code.ambient_c)


def _of_poles(today: Today) -> Iterator[tuple[Topic, str]]:
    """Panels in which circuits change lines, or new ones need their spaces and their share of each line."""
    yield from _to_balance(today)
    for powered in today.there.powered:
        panel, had_poles = powered.circuit.panel, powered.had.poles if powered.had is not None else 0
        if powered.poles > max(had_poles, 1) and powered.act is not Act.SHARE:
            yield Topic.SPACES_SIDE_BY_SIDE, panel
        if powered.converted:
            yield Topic.RUN_SERVES_OTHER_LINES, panel
    for outlet, line in converted_later(today.ranked):
        when = f"{written(today.facts, line.machine)}, in year {line.year}"
        yield Topic.RUN_SERVES_OTHER_LINES, Line(outlet.panel, when)


def _to_balance(today: Today) -> Iterator[tuple[Topic, str]]:
    """Panels worked in with circuits that are not on all of their lines: two of them, or a one-pole circuit that is new."""
    worked_in = (*_panels_with_new_breakers(today), *_other_panels_worked_in(today))
    for panel in dict.fromkeys(name for name in worked_in if name in today.facts.panels):
        most = lines(today.facts.panels[panel].system)
        some = [
            entry
            for entry in today.there.powered
            if entry.circuit.panel == panel and entry.poles < most and entry.act is not Act.SHARE
        ]
        if len(some) > 1:
            names = dict.fromkeys(written(today.facts, entry.machine.name) for entry in some)
            yield Topic.LINES_IN_BALANCE, f"{panel} ({', '.join(names)})"
        elif any(entry.poles == 1 and (entry.made or entry.converted) for entry in some):
            yield Topic.LINES_IN_BALANCE, panel


def _panels_with_new_breakers(today: Today) -> Iterator[str]:
    facts = today.facts
    for powered in today.there.powered:
        if powered.made or (powered.breaker is not None and powered.breaker.act is Act.BUY):
            yield powered.circuit.panel
    for name in _gear_today(today):
        gear = facts.gear[name]
        if gear.brings_panel:
            yield name
            if gear.fed_from in facts.panels:
                yield str(gear.fed_from)
        if gear.kind is GearKind.TANDEM and gear.panel:
            yield gear.panel


def _other_panels_worked_in(today: Today) -> Iterator[str]:
    """Panels in which breakers change place, or wires come off one; a new name in the directory opens none."""
    for powered in today.there.powered:
        if powered.breaker is not None or powered.comes_along:
            yield powered.circuit.panel
    yield from (had.panel for had, act in today.there.left.items() if act is Act.MAKE_SAFE)


def _of_the_building(today: Today) -> Iterator[tuple[Topic, str]]:
    shop = today.facts.shop
    if not (today.made or _gear_today(today)):
        return
    panels = (*(entry.circuit.panel for entry in today.made), *_gear_today(today))
    yield from of_spaces(today.facts, today.there.powered, panels)
    yield from _of_the_lease(shop)
    yield from _of_the_service(today.facts)


def _of_vapors(today: Today) -> Found:
    return of_vapors(today.facts)


def _of_the_lease(shop: Shop) -> Iterator[tuple[Topic, str]]:
    """What is said of a rented building, of all that is fixed to it; what the lease says already is not asked."""
    lease = shop.building.lease
    if lease is None:
        return
    yield Topic.LEASE, ""
    if "take_out" not in lease.model_fields_set:
        yield Topic.LEASE_END, ""
        return
    if lease.take_out and lease.capped_too is None:
        yield Topic.CAPPED_RUNS, ""
    if lease.take_out and lease.there_too is None and wired_before(shop):
        yield Topic.THERE_BEFORE, ""


def _of_the_service(facts: Facts) -> Iterator[tuple[Topic, str]]:
    """What is said of the service where load is added; nothing where the rest of its load was calculated."""
    service, source = facts.shop.service, Capacity(facts).taken_from(SERVICE)
    if service is not None and service.measured_peak is not None:
        yield Topic.MEASURED_PEAK, ""
        if service.measured_peak.days < A_YEAR_DAYS:
            yield Topic.PART_OF_A_YEAR, ""
    elif service is None:
        yield Topic.LOAD_UNKNOWN, ""
    elif source is TakenFrom.BEHIND:
        yield Topic.PEAK_OF_PANELS, ""
    elif source is TakenFrom.UNSAID:
        yield Topic.PEAK_UNKNOWN, ""


def _of_parts(today: Today) -> Iterator[tuple[Topic, str]]:
    facts = today.facts
    rows = {bought.offer_row for bought in today.ranked.plan.bought}
    for offer in facts.catalog.offers:
        if offer.row in rows and offer.condition in SURPLUS:
            kind = facts.parts[offer.part].kind
            yield Topic.SECOND_HAND, kind
            if facts.kinds[kind].must_be_new:
                yield Topic.MUST_BE_NEW, kind


def _of_all(today: Today) -> Iterator[tuple[Topic, str]]:
    yield Topic.NO_DESIGN, ""
    lines = [line for line in today.ranked.lines if line.year == 0]
    wired = today.made or _gear_today(today) or any(line.kind is LineKind.PERMIT for line in lines)
    changed = any(entry.receptacle or entry.breaker or entry.comes_along for entry in today.there.powered)
    if wired or changed:
        yield Topic.PERMITS, ""
    if wired or changed or any(line.kind is LineKind.LABOR for line in lines):
        yield Topic.LOCKOUT, ""
        yield Topic.TORQUE, ""
        yield Topic.COMPARABLE_BIDS, ""


FINDERS: tuple[Finder, ...] = (
    _of_machines,
    _of_circuits,
    _of_several,
    _of_gear,
    _of_panels,
    _of_poles,
    _of_walls,
    _of_runs,
    _of_the_building,
    _of_vapors,
    _of_the_shop,
    _of_parts,
    _of_all,
)
"""What reads topics off a plan; a new kind of thing gets a topic, its words in remarks.yaml, and a finder."""


def _before(facts: Facts) -> Iterator[tuple[Topic, str]]:
    shop = facts.shop
    asked = shop.code.ground_fault_place or shop.code.occupancy == "dwelling garage"
    if shop.code.edition is None and asked:
        yield Topic.EDITION_UNKNOWN, ""
    spaces = facts.spaces.values()
    if any(not space.occupancy.dwelling and space.ground_fault_place is None for space in spaces):
        yield Topic.PLACE_UNKNOWN, ""
    yield from of_vapors(facts)
    yield from _of_the_lease(shop)
    if any(machine.volts for machine in shop.machines):
        yield from _of_the_service(facts)
    still = unmoved_shares(shop)
    for machine in shop.machines:
        now = machine.now
        if no_ground_contact(machine):
            yield Topic.FRAME_GROUND, written(facts, machine.name)
        if now is not None and now.method is Method.CORD and machine.name in still:
            yield Topic.STILL_CORD, _still(facts, machine.name, still[machine.name])
