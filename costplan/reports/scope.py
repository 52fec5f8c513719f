"""The scope sheet of a plan: what an electrician bids on, without prices."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from costplan.circuits.facts import QUOTED_WORK, Facts
from costplan.model.catalog import Condition, Role
from costplan.model.choices import Method
from costplan.model.gear import PowerService
from costplan.model.routes import OUTLET_HEIGHT_FT, PANEL_HEIGHT_FT
from costplan.plans.comparison import Comparison
from costplan.plans.holding import written
from costplan.plans.lines import Line, LineKind
from costplan.plans.plan import changed_machines
from costplan.plans.ranking import Ranked
from costplan.reports.before_after import PanelTable, breaker_moves, panel_tables
from costplan.reports.circuits import CircuitRow, as_written, circuits_today
from costplan.reports.own_shop import off_the_shelf
from costplan.reports.room import fed
from costplan.reports.shopping import list_of
from costplan.reports.there import There
from costplan.reports.words import (
    SIZING_CAUTION,
    difference,
    hour_factor_lines,
    how_many,
    nameplate,
    several,
    shares,
    stands_at,
    title,
)

MOST_ALTERNATES = 2
WHOLE_SHOP = "whole shop"
SURPLUS_TASK = "inspect surplus"
NOT_INCLUDED = (
    "load calculation and any change to the service or its meter, unless asked for above",
    "repair of wiring that is there already and not named here",
    "searching for asbestos or lead before walls are opened",
    "machines themselves: moving, leveling, motors and controls inside them",
)
"""What a scope leaves out unless it says otherwise; common practice, no source."""
METHODS: Mapping[Method, str] = {
    Method.WALL: "cable out of sight inside the wall",
    Method.CONDUIT: "conduit on the surface, single wires in it",
    Method.ARMORED: "armored cable on the surface or above it, as the building allows",
    Method.CEILING: "armored cable to a box at the ceiling, a pendant cord from there",
    Method.CORD: "armored cable to an outlet beside the panel; the cord from there to the machine is the owner's",
}
"""What a method means to whoever bids on it."""
ASKED_OF_EVERY_BIDDER = (
    "Price the permit, each visit and the work apart, and each alternate on its own.",
    "Name the days and hours of each visit and what stands still meanwhile.",
    "Name the parts of this sheet you would rather supply yourself, with the difference, and what you warrant.",
    "Name every size, device or route of this sheet that you would change, and the rule behind it.",
    "Say how long your price holds.",
)
"""What is asked of everybody so that bids compare; common practice, no source."""


@dataclass(frozen=True, slots=True)
class WorkRow:
    """So much of a task at a location."""

    place: str
    what: str
    quantity: Decimal
    machines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Supplied:
    """A part the owner has on site before the work begins."""

    quantity: int
    unit: str
    what: str
    condition: str
    cuts: str


@dataclass(frozen=True, slots=True)
class GearRow:
    """Shared gear in the scope: a subpanel, a converter, an upgrade; `note` says what else to know."""

    what: str
    place: str
    fed_from: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Alternate:
    """Another plan, to be priced on its own: what differs and the circuits it has instead."""

    letter: str
    words: str
    circuits: tuple[CircuitRow, ...]


@dataclass(frozen=True, slots=True)
class ScopeSheet:
    """Everything three electricians bid on."""

    shop: str
    invented: bool
    today: date
    rank: int
    title: str
    site: tuple[tuple[str, str], ...]
    circuits: tuple[CircuitRow, ...]
    panels: tuple[PanelTable, ...]
    breakers: tuple[str, ...]
    gear: tuple[GearRow, ...]
    work: tuple[WorkRow, ...]
    owner_supplies: tuple[Supplied, ...]
    owner_does: tuple[WorkRow, ...]
    each: tuple[str, ...]
    permits: tuple[str, ...]
    access: tuple[str, ...]
    asked: tuple[str, ...]
    not_included: tuple[str, ...]
    alternates: tuple[Alternate, ...]
    caution: str = SIZING_CAUTION


def scope_sheet(
    comparison: Comparison,
    rank: int = 1,
    *,
    access: str = "",
    alternates: int = MOST_ALTERNATES,
) -> ScopeSheet:
    """The scope of the plan of that rank.

    access: when the shop is open to work, in the owner's words;
    alternates: how many of the comparison's other plans are offered to be priced as well.
    Raises IndexError when there is no such plan, CannotSizeError or NoRouteError never for a ranked one.
    """
    if not 1 <= rank <= len(comparison.plans):
        raise IndexError(f"there are only {len(comparison.plans)} plans")
    facts, ranked = comparison.facts, comparison.plans[rank - 1]
    there = There(facts, ranked)
    circuits = circuits_today(facts, ranked, there)
    places = {name: row.place for row in circuits for name in row.machines}
    hired, own = _by_role(facts, ranked, today=True)
    supplied = tuple(_owner_supplies(facts, ranked))
    return ScopeSheet(
        facts.shop.name,
        facts.shop.invented,
        facts.shop.today,
        rank,
        title(facts, ranked),
        tuple(_site(facts, ranked, circuits)),
        as_written(facts, circuits),
        panel_tables(facts, ranked, there),
        breaker_moves(ranked, there),
        tuple(gear_rows(facts, ranked)),
        tuple(_work(facts, hired, places)),
        supplied,
        tuple(_work(facts, own, places)),
        tuple(_each(facts, ranked, circuits)),
        tuple(_permits(facts, ranked, hired)),
        tuple(_access(facts, hired, access)),
        (*_open_questions(facts), *ASKED_OF_EVERY_BIDDER),
        NOT_INCLUDED,
        tuple(_alternates(comparison, rank, alternates)),
    )


# work ---------------------------------------------------------------------------------------------


def _by_role(facts: Facts, ranked: Ranked, *, today: bool) -> tuple[list[Line], list[Line]]:
    """Labor lines of hired people and of the owner, set-up left out."""
    owners = {crew.name for crew in facts.crews if crew.role is Role.OWNER} | {"owner"}
    known = {*facts.tasks, QUOTED_WORK, SURPLUS_TASK}
    lines = [
        line
        for line in ranked.lines
        if line.kind is LineKind.LABOR and (line.year == 0) == today and line.task in known
    ]
    return [line for line in lines if line.crew not in owners], [
        line for line in lines if line.crew in owners
    ]


def _task_name(facts: Facts, line: Line) -> str:
    if line.task in facts.tasks:
        return facts.tasks[line.task].name
    if line.task != QUOTED_WORK:
        return "inspect and test surplus parts"
    return "the whole run, parts included" if line.what == QUOTED_WORK else f"{line.what}, parts included"


def _work(facts: Facts, lines: Iterable[Line], places: Mapping[str, str]) -> Iterable[WorkRow]:
    """Quantities by location and task, in the order of the labor file."""
    order = {task: position for position, task in enumerate(facts.tasks)}
    quantity: dict[tuple[str, int, str], Decimal] = defaultdict(Decimal)
    machines: dict[tuple[str, int, str], set[str]] = defaultdict(set)
    for line in lines:
        key = (
            line.place or places.get(line.machine, WHOLE_SHOP),
            order.get(line.task, len(order)),
            _task_name(facts, line),
        )
        quantity[key] += line.quantity
        machines[key] |= {written(facts, line.machine)} if line.machine else set()
    for key in sorted(quantity):
        yield WorkRow(key[0], key[2], quantity[key], tuple(sorted(machines[key])))


def _owner_supplies(facts: Facts, ranked: Ranked) -> Iterable[Supplied]:
    for part in list_of(facts, ranked).parts:
        pieces = [*part.pieces, *(piece for reel in part.reels for piece in reel.pieces)]
        counts: Counter[int] = Counter()
        for piece in pieces:
            counts[piece.length_ft] += piece.count
        cuts = ", ".join(f"{counts[length]} of {length} ft" for length in sorted(counts, reverse=True))
        yield Supplied(part.quantity, part.unit, part.described, part.condition, cuts)
    for what, count in off_the_shelf(ranked):
        yield Supplied(count, "each", what, Condition.ON_HAND, "")


def _each(facts: Facts, ranked: Ranked, circuits: Sequence[CircuitRow]) -> Iterable[str]:
    """What to price for one of each, for changes later."""
    kinds = dict.fromkeys(
        f"one more circuit, {row.method}, {row.breaker_a} A {row.poles}-pole, {row.outlet}: a run, and a foot"
        for row in circuits
    )
    yield from kinds
    today = {name for row in circuits for name in row.machines}
    for name, way, _ in ranked.plan.shares():
        machine = facts.machines[name]
        if name not in today and not way.quoted and not way.gone:
            plate = f"{written(facts, name)} ({nameplate(machine)})"
            yield f"foreseen: the circuit of {plate} at {stands_at(machine)}, {way.describe()}"
    hired, _ = _by_role(facts, ranked, today=False)
    order = {task: position for position, task in enumerate(facts.tasks)}
    later = {line.task: line for line in hired}
    for task in sorted(later, key=lambda task: order.get(task, len(order))):
        yield f"later: {_task_name(facts, later[task])}"
    yield "an hour of work outside this sheet, one person and the whole crew"
    yield "a return visit, and the permit for one where it needs one"


def _permits(facts: Facts, ranked: Ranked, hired: Iterable[Line]) -> Iterable[str]:
    needing = dict.fromkeys(
        facts.tasks[line.task].name
        for line in hired
        if line.task in facts.tasks and facts.tasks[line.task].permit
    )
    if not needing and any(line.kind is LineKind.PERMIT and line.year == 0 for line in ranked.lines):
        needing = {"quoted work": None}
    if needing:
        yield "The bidder takes out the permit, meets the inspector and closes it; its fee is a line of its own."
        yield f"By the owner's list these need one: {'; '.join(needing)}."
    else:
        yield "By the owner's list nothing here needs a permit; say so if that is wrong."


def _access(facts: Facts, hired: Iterable[Line], access: str) -> Iterable[str]:
    yield f"Access: {access}" if access else "Access, days and hours: ______________________________"
    stops: dict[str, set[str]] = defaultdict(set)
    for line in hired:
        task = facts.tasks.get(line.task)
        if task is not None and task.stops_shop_hours:
            who = written(facts, line.machine) if line.machine else WHOLE_SHOP
            stops[f"about {task.stops_shop_hours:f} h each time: {task.name}"].add(who)
    for words, machines in stops.items():
        yield f"Stands still {words} ({', '.join(sorted(machines))})"


# the site -----------------------------------------------------------------------------------------


def _service(service: PowerService) -> str:
    words = f"{service.system}, {service.amps_a:f} A"
    peak = service.measured_peak
    if peak is None:
        return f"{words}; peak not measured"
    return f"{words}; highest draw {peak.amps_a:f} A in {peak.days} days to {peak.seen}"


def gear_rows(facts: Facts, ranked: Ranked) -> list[GearRow]:
    """The shared gear a plan puts in today, for the scope."""
    rows = []
    for bought in ranked.plan.gear:
        entry = facts.gear[bought.name]
        if bought.year > 0:
            continue
        parts = [facts.parts[part].name for part in (entry.part, entry.panel_part) if part is not None]
        what = f"{bought.count} x {entry.name}" if bought.count > 1 else entry.name
        note = "; ".join([str(entry.kind), *parts])
        rows.append(GearRow(what, entry.at or entry.panel or "", fed(facts, bought.name), note))
    return rows


def _site(facts: Facts, ranked: Ranked, circuits: Sequence[CircuitRow]) -> Iterable[tuple[str, str]]:
    shop, code, building = facts.shop, facts.shop.code, facts.shop.building
    edition = f"{code.edition}" if code.edition is not None else "unknown, please say which applies"
    yield "code edition", edition
    yield "building is", str(code.occupancy)
    yield "ceiling", f"{building.ceiling_height_ft:f} ft"
    yield (
        "heights counted",
        f"out of the panel at {PANEL_HEIGHT_FT} ft, outlets at {OUTLET_HEIGHT_FT} ft, unless measured",
    )
    yield "warmest air", f"{code.ambient_c:f} °C"
    yield "voltage drop aimed at", f"{code.drop_limit * 100:f} % or less"
    if shop.service is not None:
        yield "service", _service(shop.service)
    for panel in shop.panels:
        at = f", at {panel.place}" if panel.place else ""
        poles = sum(max(row.more_poles, 0) for row in circuits if row.panel == panel.name)
        spaces = f"{panel.spaces_free} spaces free counted in poles, {poles} poles of this sheet go there"
        yield f"panel {panel.name}", f"{panel.system}, label: {panel.breakers}, {spaces}{at}"
    used = {way.method for _, way, _ in ranked.plan.shares() if not way.quoted and not way.gone}
    yield from ((f"{method} means", words) for method, words in METHODS.items() if method in used)
    for method, reason in building.forbid.items():
        yield f"not allowed: {method}", reason
    if building.lease is not None:
        out = ", fixed wiring then comes out" if building.lease.take_out else ""
        yield "lease", f"ends in {building.lease.ends_year} years{out}"
    of = how_many(facts, ranked.plan)
    quoted = [
        f"{several(name, count, of[name])} by {way.group}"
        for name, way, count in shares(facts, ranked.plan)
        if way.quoted
    ]
    if quoted:
        yield "quoted already, no circuit of this sheet", "; ".join(quoted)
    for words in hour_factor_lines(facts):
        yield "slow to work at", words
    yield "walls opened for wiring", "are patched, see the work" if building.patching else "are not patched"


def _open_questions(facts: Facts) -> Iterable[str]:
    if facts.shop.code.edition is None:
        yield "Which code edition applies, and which receptacles of this sheet need ground-fault protection under it?"
    yield "Are the machines marked as on cords accepted on cords here, on the route shown?"


def _alternates(comparison: Comparison, rank: int, most: int) -> Iterable[Alternate]:
    chosen = comparison.plans[rank - 1]
    others = [plan for plan in comparison.plans if plan is not chosen][:most]
    for letter, other in zip("ABCDEFGH", others, strict=False):
        changed = changed_machines(other.plan, chosen.plan)
        rows = tuple(row for row in circuits_today(comparison.facts, other) if changed & set(row.machines))
        words = difference(comparison.facts, other, chosen)
        yield Alternate(letter, words, as_written(comparison.facts, rows))
