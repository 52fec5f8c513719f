"""The scope sheet of a plan: what an electrician bids on, without prices."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from operator import itemgetter

from costplan.circuits.circuit import Builder, Circuit, Standing
from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way
from costplan.ledger.holding import written
from costplan.ledger.lines import Line, LineKind
from costplan.model.catalog import Condition
from costplan.model.choices import ListedPlace, Method
from costplan.model.conditions import Lease
from costplan.model.gear import PowerService
from costplan.model.labels import LABELS
from costplan.model.leases import lease_ends
from costplan.model.routes import OUTLET_HEIGHT_FT, PANEL_HEIGHT_FT
from costplan.model.shop import Shop
from costplan.model.spaces import Space
from costplan.program.ranked import Ranked
from costplan.reports.before_after import PanelTable, spaces_words
from costplan.reports.circuits import (
    CircuitRow,
    as_written,
    circuit_method,
    switch_words,
    to_be_made,
    wires_words,
)
from costplan.reports.counted import several
from costplan.reports.noted import Noted, beyond
from costplan.reports.noted_damp import IN_CASES, stands_damp
from costplan.reports.noted_spaces import ambient_words
from costplan.reports.pairing import pair_note
from costplan.reports.proof import title_of_paper
from costplan.reports.remarks import Topic, Whom
from costplan.reports.remarks_text import asked_words, work_words
from costplan.reports.room import fed, wires_left_out
from costplan.reports.scope_drives import fits_device
from costplan.reports.scope_later import LaterRow, next_building, said_once
from costplan.reports.scope_notes import (
    MAKE_SAFE_MEANS,
    OWNERS_WORD,
    later_questions,
    permit_question,
)
from costplan.reports.scope_plan import Alternate, PlanToday, alternate, plan_today
from costplan.reports.scope_protection import protection_questions
from costplan.reports.scope_supplies import Supplied
from costplan.reports.scope_work import WHOLE_SHOP, WorkRow, labor_lines
from costplan.reports.tables import BLANK
from costplan.reports.words import (
    SIZING_CAUTION,
    hour_factor_lines,
    how_many,
    left_out_lines,
    nameplate,
    shares,
    stands_at,
)
from costplan.studies.comparison import Comparison
from costplan.years.calendar import first_standings, scenarios_of

MOST_ALTERNATES = 2
NOT_NEW = "Which of the owner's parts that are not new will you not install, or not warrant?"
BIDS = Noted(Topic.COMPARABLE_BIDS)
NOT_INCLUDED = (
    "load calculation and any change to the service or its meter, unless asked for on this sheet",
    "repair of wiring that is there already and not named here",
    "searching for asbestos or lead before walls are opened",
    "machines themselves: moving, leveling, motors and controls inside them",
)
BUT_DEVICES = ", but for the drives and motors that this sheet has fitted"
"""What a scope leaves out unless it says otherwise; common practice, no source."""
AS_THE_AUTHORITY_ASKS = (
    "Permit and inspection as the local authority asks. The bidder takes out the permit, meets the inspector and closes it; "
    "its fee is a line of its own. Work that the owner does himself is under a permit of his own, where he may do it."
)
"""Who takes out permits; common practice, no source."""
METHODS: Mapping[Method, str] = {
    Method.WALL: "cable out of sight inside the wall",
    Method.CONDUIT: "conduit on the surface, single wires in it",
    Method.ARMORED: "armored cable on the surface or above it, as the building allows",
    Method.CEILING: "armored cable to a box at the ceiling, a pendant cord from there",
    Method.CORD: "armored cable to an outlet beside the panel; the cord from there to the machine is the owner's",
}
"""What a method means to whoever bids on it."""


@dataclass(frozen=True, slots=True)
class GearRow:
    """Shared gear in the scope: a subpanel, a converter, an upgrade; `note` says what else to know."""

    what: str
    place: str
    fed_from: str
    note: str = ""


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
    notes: tuple[str, ...]
    panels: tuple[PanelTable, ...]
    breakers: tuple[str, ...]
    drives: tuple[str, ...]
    gear: tuple[GearRow, ...]
    work: tuple[WorkRow, ...]
    owner_supplies: tuple[Supplied, ...]
    owners_cords: tuple[Supplied, ...]
    left_with_owner: tuple[str, ...]
    owner_does: tuple[WorkRow, ...]
    later: tuple[LaterRow, ...]
    each: tuple[str, ...]
    permits: tuple[str, ...]
    access: tuple[str, ...]
    asked: tuple[str, ...]
    not_included: tuple[str, ...]
    alternates: tuple[Alternate, ...]
    later_asked: tuple[str, ...] = ()
    loads: tuple[str, ...] = ()
    """What may run at once on panels, where nobody knows what they or the service carry."""
    line_sums: tuple[str, ...] = ()
    """Amperes of each panel's circuits by line, of those that are not on all lines."""
    reach: tuple[str, ...] = ()
    """Places that cords from today's outlets have to reach later, with year and feet."""
    keep: tuple[str, ...] = ()
    """Spaces of each panel that later work takes: beside which breaker, for which machine and year."""
    nothing_today: str = ""
    """What to say first where an electrician is asked to do nothing today."""
    left_out: tuple[str, ...] = ()
    """What the sheet asks nothing for, in words."""
    caution: str = SIZING_CAUTION

    @property
    def totals(self) -> tuple[str, ...]:
        """What the bidder adds up, a blank each."""
        alternates = (total for entry in self.alternates for total in entry.totals)
        later = ("later work, base",) if self.later else ()
        new = (
            (f"new parts in place of the owner's {self.not_new} that are not new, add",)
            if self.not_new
            else ()
        )
        calculation = ("load calculation (NEC 220)",) if self.loads else ()
        return ("base", *later, "permit", "visits", *calculation, *new, *alternates)

    @property
    def not_new(self) -> int:
        """Lines that the owner supplies and that are not new, which a bidder may refuse to install or to warrant."""
        return sum(part.condition != Condition.NEW for part in self.owner_supplies)


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
    base = plan_today(facts, ranked)
    entries, others = _priced(_to_price(facts, base, comparison), alternates)
    # What is defined here is for all of the sheet, so it is defined if any plan of it asks for it.
    defined = (MAKE_SAFE_MEANS,) if any(plan.makes_safe for plan in (base, *others)) else ()
    stated = (OWNERS_WORD,) if base.panels else ()
    hired, _ = labor_lines(facts, ranked, today=True)
    gear, later = tuple(gear_rows(facts, ranked)), tuple(said_once(base.later))
    quoted = any(way.quoted for _, way, _ in ranked.plan.shares())
    nothing = (
        "" if base.work or gear or quoted else _nothing_today(alternates=bool(others), later=bool(later))
    )
    return ScopeSheet(
        facts.shop.name,
        facts.shop.invented is True,
        facts.shop.today,
        rank,
        title_of_paper(facts, comparison.plans, rank),
        tuple(_site(facts, ranked, opens_walls=any(plan.opens_walls for plan in (base, *others)))),
        as_written(facts, base.circuits),
        (*base.notes, *work_words(base.said), *defined, *stated),
        base.panels,
        base.breakers,
        base.drives,
        gear,
        base.work,
        base.supplies.parts,
        base.supplies.cords,
        base.supplies.left,
        base.own_work,
        later,
        tuple(_each(facts, ranked, base.circuits)),
        tuple(_permits(facts, ranked, base, hired)),
        tuple(_access(facts, hired, access)),
        tuple(_open_questions(facts, base, *others)),
        _not_included(base, *others),
        tuple(replace(entry, letter=letter) for letter, entry in zip("ABCDEFGH", entries, strict=False)),
        (*(next_building(facts) if later else ()), *later_questions(base.later)),
        base.loads,
        base.line_sums,
        base.reach,
        base.kept,
        nothing,
        tuple(left_out_lines(facts.left_out)),
    )


def _to_price(facts: Facts, base: PlanToday, comparison: Comparison) -> Iterator[tuple[PlanToday, Alternate]]:
    """The other plans that ask for something else than the base, in their order; a bidder cannot price the rest."""
    for plan in comparison.plans:
        if plan is base.ranked:
            continue
        other = plan_today(facts, plan, base)
        entry = alternate(facts, "", base, other)
        if entry.differs:
            yield other, entry


def _priced(
    found: Iterable[tuple[PlanToday, Alternate]], at_most: int
) -> tuple[list[Alternate], list[PlanToday]]:
    """So many alternates, those with the same work for the electrician as one, and the plans that they are of."""
    entries: list[Alternate] = []
    plans: list[PlanToday] = []
    for plan, entry in found if at_most else ():
        alike = next((place for place, had in enumerate(entries) if had.same_work_as(entry)), None)
        if alike is not None:
            entries[alike] = entries[alike].beside(entry)
        elif len(entries) < at_most:
            entries.append(entry)
        else:
            continue
        plans.append(plan)
    return entries, plans


def _not_included(*plans: PlanToday) -> tuple[str, ...]:
    """What the scope leaves out, but for devices at machines that its own work names."""
    fitted = any(fits_device(plan.ranked) for plan in plans)
    return (*NOT_INCLUDED[:-1], f"{NOT_INCLUDED[-1]}{BUT_DEVICES}") if fitted else NOT_INCLUDED


def _nothing_today(*, alternates: bool, later: bool) -> str:
    words = [words for words, there in (("the alternates", alternates), ("the later work", later)) if there]
    only = f"; asked for are {' and '.join(words)} only" if words else ""
    return f"No electrician's work today{only}."


# work ---------------------------------------------------------------------------------------------


def _each(facts: Facts, ranked: Ranked, circuits: Sequence[CircuitRow]) -> Iterable[str]:
    """What to price for one of each, for changes later."""
    standings = first_standings(facts.shop)
    yield from dict.fromkeys(_one_more(facts, ranked, circuits, standings))
    today = {name for row in circuits for name in row.machines}
    for name, way, _ in ranked.plan.made_here():
        machine = facts.machines[name]
        if name not in today:
            plate = f"{written(facts, name)} ({nameplate(machine)})"
            circuit = Builder(facts, machine, way).build(standings[name], first=True)
            words = f"{way.describe()}; {_priced_by(way, circuit)}"
            yield f"foreseen: the circuit of {plate} at {stands_at(machine)}, {words}"
    yield "an hour of work outside this sheet, one person and the whole crew"
    yield "a return visit, and the permit for one where it needs one"


def _one_more(
    facts: Facts, ranked: Ranked, circuits: Sequence[CircuitRow], standings: Mapping[str, Standing]
) -> Iterable[str]:
    """The circuits of today's machines as each would be made anew, so that none that is kept is copied as it is."""
    number = {name: row.number for row in circuits for name in row.machines}
    made = [
        (number[name], way, Builder(facts, facts.machines[name], way).build(standings[name], first=True))
        for name, way, _ in ranked.plan.made_here()
        if name in number
    ]
    for _, way, circuit in sorted(made, key=itemgetter(0)):
        yield f"one more circuit, {circuit_method(way, circuit)}, {_priced_by(way, circuit)}: a run, and a foot"


def _priced_by(way: Way, circuit: Circuit) -> str:
    """What a circuit is priced by: its breaker, its wires, what it ends in, and the switch that its machine gets."""
    size = circuit.size
    wires = wires_words(size)
    switch = "" if circuit.switch is None else f"; then {switch_words(circuit)} at the machine"
    breaker = f"{size.breaker_a} A {size.poles}-pole{', ground-fault' if size.ground_fault else ''}"
    return f"{breaker}, {wires}, {to_be_made(way, circuit)}{switch}"


def _permits(facts: Facts, ranked: Ranked, base: PlanToday, hired: Iterable[Line]) -> Iterable[str]:
    needing = dict.fromkeys(
        facts.tasks[line.task].name
        for line in hired
        if line.task in facts.tasks and facts.tasks[line.task].permit
    )
    if not needing and any(line.kind is LineKind.PERMIT and line.year == 0 for line in ranked.lines):
        needing = {"quoted work": None}
    yield AS_THE_AUTHORITY_ASKS
    if needing:
        yield f"By the owner's list these need one: {'; '.join(needing)}."
    else:
        yield "By the owner's list nothing here needs a permit; say so if that is wrong."
    question = permit_question(facts, base.there)
    if question:
        yield question


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
    drawn = f"{service.peak_a or 0:.1f} A".replace(".0 A", " A")
    if peak.power_kw is not None:
        drawn = f"{peak.power_kw:f} kW at a power factor of {peak.power_factor:f}, {drawn} a line if they carry alike,"
    return f"{words}; highest draw {drawn} in {peak.days} days to {peak.seen}"


def gear_rows(facts: Facts, ranked: Ranked) -> list[GearRow]:
    """The shared gear a plan puts in today, for the scope."""
    rows = []
    for bought in ranked.plan.gear:
        entry = facts.gear[bought.name]
        if bought.year > 0:
            continue
        parts = [facts.parts[part].name for part in (entry.part, entry.panel_part) if part is not None]
        what = f"{bought.count} x {entry.name}" if bought.count > 1 else entry.name
        note = "; ".join([pair_note(facts, ranked.plan, bought) or str(entry.kind), *parts])
        left_out = wires_left_out(facts, entry)
        note = f"{note}; {left_out}" if left_out else note
        note += IN_CASES if stands_damp(facts, entry) else ""
        rows.append(GearRow(what, entry.at or entry.panel or "", fed(facts, bought.name), note))
    return rows


def _lease(shop: Shop, lease: Lease) -> Iterable[str]:
    """When the lease ends and what comes out then, with the scenarios in which it ends in another year."""
    capped = {None: "", True: ", runs made safe before too", False: "; runs made safe before stay"}[
        lease.capped_too
    ]
    there = {None: "", True: ", what is there today too", False: "; what is there today stays"}[
        lease.there_too
    ]
    out = f", fixed wiring then comes out{capped}{there}" if lease.take_out else ""
    yield f"ends in {lease.ends_year} years{out}"
    for scenario in scenarios_of(shop):
        ends = lease_ends(shop, scenario)
        if ends != lease.ends_year:
            how = "counted as renewed" if scenario.lease_ends_year is None else "it runs"
            yield f"{scenario.name}: {how} to year {ends}"


def _site(facts: Facts, ranked: Ranked, *, opens_walls: bool) -> Iterable[tuple[str, str]]:
    shop, code, building = facts.shop, facts.shop.code, facts.shop.building
    edition = f"{code.edition}" if code.edition is not None else "unknown, please say which applies"
    yield "code edition", edition
    yield from _spaces(facts)
    yield "ceiling", f"{building.ceiling_height_ft:f} ft"
    yield (
        "heights counted",
        f"out of the panel at {PANEL_HEIGHT_FT} ft, outlets at {OUTLET_HEIGHT_FT} ft, unless measured",
    )
    yield "warmest air", ambient_words(code)
    yield "voltage drop aimed at", f"{code.drop_limit * 100:f} % or less"
    if shop.service is not None:
        yield "service", _service(shop.service)
    spaces = spaces_words(facts, ranked)
    for panel in shop.panels:
        at = f", at {panel.place}" if panel.place else ""
        free = f"spaces free, counted in poles: {spaces[panel.name]}"
        yield panel.name, f"{panel.system}, label: {panel.breakers}; {free}{at}"
    used = {way.method for _, way, _ in ranked.plan.made_here()}
    yield from (
        (f"{LABELS.methods[method]} means", words) for method, words in METHODS.items() if method in used
    )
    for method, reason in building.forbid.items():
        yield f"not allowed: {LABELS.methods[method]}", reason
    if building.lease is not None:
        yield "lease", "; ".join(_lease(shop, building.lease))
    of = how_many(facts, ranked.plan)
    quoted = [
        f"{several(name, count, of[name])} by {way.label}"
        for name, way, count in shares(facts, ranked.plan)
        if way.quoted
    ]
    if quoted:
        yield "quoted already, no circuit of this sheet", "; ".join(quoted)
    for words in hour_factor_lines(facts):
        yield "slow to work at", words
    if opens_walls:
        yield (
            "walls opened for wiring",
            "are patched, see the work" if building.patching else "are not patched",
        )


def _spaces(facts: Facts) -> Iterable[tuple[str, str]]:
    """What the building is to the code, and each place that is something else."""
    known = facts.spaces
    yield "building is", _space(known[""])
    for spot in facts.written.places:
        if known[spot.name] != known[""]:
            yield f"{spot.name} is", _space(known[spot.name])
    for scenario in scenarios_of(facts.shop):
        for event in scenario.events:
            if event.building is not None:
                where = f"building moved to ({scenario.name}, year {event.year}) is"
                yield where, _space(facts.space_at("", event.building))


def _space(space: Space) -> str:
    words = [str(space.occupancy)]
    listed = space.ground_fault_place
    if not space.occupancy.dwelling and listed is not None:
        what = f" ({listed})" if isinstance(listed, ListedPlace) else ""
        words.append(
            f"a place that NEC 210.8(B) lists{what}" if listed else "none of the places of NEC 210.8(B)"
        )
    if space.construction is not None:
        words.append(str(space.construction))
    if space.finished_walls is not None:
        words.append("walls finished" if space.finished_walls else "walls without a finish")
    if space.detached is not None:
        words.append(
            "apart from the building that feeds it"
            if space.detached
            else "part of the building that feeds it"
        )
    if space.wood_dust is not None:
        words.append("with wood dust" if space.wood_dust else "without wood dust")
    if space.flammable_vapors is not None:
        words.append(f"with{'' if space.flammable_vapors else 'out'} flammable vapors")
    return ", ".join(words)


def _open_questions(facts: Facts, base: PlanToday, *others: PlanToday) -> Iterable[str]:
    yield from protection_questions(facts, base.there)
    if any(part.condition != Condition.NEW for part in base.supplies.parts):
        yield f"{NOT_NEW} {BLANK}"
    # A sheet is bid on even where its base asks for nothing today.
    bids = () if any(entry.topic is Topic.COMPARABLE_BIDS for entry in base.said) else (BIDS,)
    said = (*base.said, *bids)
    yield from asked_words(said, Whom.ELECTRICIAN)
    also = beyond(said, (plan.said for plan in others))
    yield from (f"In an alternate: {words}" for words in asked_words(also, Whom.ELECTRICIAN))
