"""How circuits are sized, with the rule and table behind each figure."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from costplan.circuits.circuit import Builder, Circuit, Standing
from costplan.circuits.facts import Facts
from costplan.circuits.receptacle_marks import lacks_weather
from costplan.circuits.shared_gear import candidate
from costplan.circuits.size_types import CannotSizeError, CircuitSize, Reason, RuleOf
from costplan.circuits.ways import Way, load_of
from costplan.ledger.holding import written
from costplan.ledger.options import Option
from costplan.ledger.standalone import standalone_cents
from costplan.model.choices import DROPS, Supply
from costplan.model.gear import Gear, GearKind
from costplan.model.labels import ENDS
from costplan.model.routes import NoRouteError
from costplan.model.shop import Machine
from costplan.program.bench import Bench
from costplan.reports.marks import pair_words
from costplan.reports.noted import Line, gathered
from costplan.reports.noted_damp import IN_CASES, cases_of, stands_damp
from costplan.reports.noted_machine import ByWay
from costplan.reports.noted_spaces import ambient_words
from costplan.reports.noted_ways import way_topics
from costplan.reports.remarks import At, Topic
from costplan.reports.remarks_text import beside
from costplan.reports.tables import filled, table
from costplan.reports.words import SIZING_CAUTION
from costplan.standards import receptacles, tables
from costplan.standards.citations import all_cited, cited
from costplan.studies.drops import drop_note
from costplan.studies.hinges import amount_words, switch_words
from costplan.studies.protection_cost import extra_cents, turns_on_edition, turns_on_machine, turns_on_place
from costplan.years.calendar import first_standings

CONVERTER_RULE = (
    "conductors 125 % of the rated single-phase input [NFPA 70 455.6(A)(1)], breaker 125 % or the next size up "
    "[455.7], disconnect 115 % [455.8(C)], single-phase loads kept off the made leg [455.9]"
)
FEEDER_RULE = "sized to the rating of the panel it feeds [NFPA 70 215.2, 215.3]"


_Plainness = tuple[Decimal | int | str, ...]
"""What orders options of one kind; the last two are what they cost alone, in cents, and their words."""


def sizes_text(facts: Facts, machine: str | None) -> str:
    """One machine's or every machine's circuit by every way it could be powered today, with the reasons of one."""
    here = [entry for entry in facts.shop.machines if entry.name not in facts.taken_away]
    chosen = sorted(
        (entry for entry in here if machine in (None, entry.name, facts.group_of.get(entry.name))),
        key=lambda entry: entry.name,
    )
    bench, standings = Bench.over(facts, facts.shop.money.surplus), first_standings(facts.shop)
    looked = [_looked_at(bench, entry, standings.get(entry.name)) for entry in chosen]
    machines = [_machine(bench, entry) for entry in looked]
    notes = beside(gathered(_topics(bench, looked), facts.shop.code.edition), At.MACHINE)
    gear = [] if machine else [_gear(facts, entry) for entry in facts.shop.gear if entry.brings_panel]
    told = [f"Notes on these ways\n{notes}"] if notes else []
    air = f"Warmest air around the wiring: {ambient_words(facts.shop.code)}"
    return "\n\n".join([*machines, *gear, *told, air, SIZING_CAUTION]) + "\n"


@dataclass(frozen=True, slots=True)
class _Looked:
    """A machine where it stands first, None where it is in no scenario before the end; its ways, and the cheapest alone."""

    machine: Machine
    standing: Standing | None
    options: Sequence[Option]
    best: Option | None

    @property
    def allowed(self) -> list[Option]:
        """Its ways that no rule keeps from it."""
        return [option for option in self.options if option.refused is None]


def _looked_at(bench: Bench, machine: Machine, standing: Standing | None) -> _Looked:
    options = _of_today(bench, machine)
    allowed = [entry for entry in options if entry[0].refused is None]
    best = min(
        allowed, key=lambda entry: (_to_buy(bench.facts, entry[0].way), *entry[1][-2:]), default=(None, ())
    )[0]
    return _Looked(machine, standing, [option for option, _ in options], best)


def _topics(bench: Bench, looked: Iterable[_Looked]) -> Iterator[tuple[Topic, str]]:
    """What the shown ways of machines bring with them; what the reasons of the cheapest say already is left out."""
    facts = bench.facts
    for entry in looked:
        machine, standing, told = entry.machine, entry.standing, dict[Topic, dict[str, None]]()
        if not machine.volts or standing is None:
            continue
        for option in entry.allowed:
            circuit = Builder(facts, machine, option.way).build(standing)
            for topic, more in way_topics(ByWay(facts, machine, option.way, circuit)):
                if topic is not Topic.OTHER_VOLTS or option is not entry.best:
                    told.setdefault(topic, {}).update({more: None} if more else {})
        # What several ways say of a machine is said of it once.
        name = written(facts, machine.name)
        yield from ((topic, Line(name, "; ".join(mores)) if mores else name) for topic, mores in told.items())


def _gear(facts: Facts, gear: Gear) -> str:
    """How the feed of gear that brings a panel is sized."""
    try:
        found = candidate(facts, gear)
    except (CannotSizeError, NoRouteError) as error:
        return f"{gear.name}\n  {error}"
    size = found.input_size
    if size is None:
        return f"{gear.name}\n  fed by its own service, which the utility sizes"
    rule = CONVERTER_RULE if gear.kind is GearKind.CONVERTER else FEEDER_RULE
    lines = [gear.name, f"  feeder in conduit, {found.feeder_ft} ft: {_short(size)}", f"    rule: {rule}"]
    damp = [f"    {IN_CASES.removeprefix('; ')}: ask"] if stands_damp(facts, gear) else []
    return "\n".join([*lines, *(f"    {rule_words(facts, reason)}" for reason in size.reasons), *damp])


def _machine(bench: Bench, looked: _Looked) -> str:
    """A machine's ways, sized where it stands first."""
    machine, standing, best = looked.machine, looked.standing, looked.best
    if not machine.volts:
        return f"{machine.name}\n  its ways are quoted and its nameplate is not stated: nothing to size"
    name = machine.name if machine.count == 1 else f"{machine.count} x {machine.name}"
    lines, others = [name], []
    for option in looked.allowed:
        if standing is None:
            break
        circuit = Builder(bench.facts, machine, option.way).build(standing)
        if option is not best:
            others.append((option.way, circuit))
            continue
        lines += [f"  {circuit_words(option.way, circuit)}", *_reasons(bench, machine, circuit, option.way)]
        dropped = drop_note(bench, machine, option.way, circuit)
        lines += [f"    drop: {dropped}"] if dropped else []
    lines += [*_others(bench.facts, others), *_with_gear(bench, looked)]
    own = _has_own_panel(bench, looked.allowed)
    lines += _refused(
        option for option in looked.options if option.refused is not None and _matters(option.way, own=own)
    )
    known = {_kind(option.way) for option in looked.options}
    return "\n".join([*lines, *_not_built(bench, machine, known, own=own)])


STAYS = (
    "an outlet that is there and stays is not asked to be changed: NEC 210.8 is for new ones, 406.4(D)(3) for a receptacle "
    "that is replaced"
)
OTHER_WAYS = "  other ways, each sized by the same rules"
_HEADERS = ["way", "from", "ends", "run", "breaker", "wire, ground", "ends in", "cord", "drop in all"]


NOT_THERE = "which is not there; its price is in no figure here, compare reckons with it"


def _to_buy(facts: Facts, way: Way) -> bool:
    """Whether it hangs on a panel of shared gear that is not there."""
    return way.panel in facts.gear and not facts.gear[way.panel].installed


def _with_gear(bench: Bench, looked: _Looked) -> Iterator[str]:
    """Gear that is not there and would feed the machine too, where none of its ways is shown."""
    shown = {option.way.panel for option in looked.allowed}
    open_ = [
        option.way for option in bench.priced_survey.options[looked.machine.name] if option.refused is None
    ]
    for panel in dict.fromkeys(way.panel for way in open_ if _to_buy(bench.facts, way)):
        if looked.standing is not None and panel not in shown:
            yield f"  also from {panel}, {NOT_THERE}"


def _others(facts: Facts, ways: Sequence[tuple[Way, Circuit]]) -> list[str]:
    """The other ways of a machine, a line each."""
    if not ways:
        return []
    told = table(_HEADERS, [_cells(facts, way, circuit) for way, circuit in ways], {3, 8})
    switch = "; switch: one that is marked for the motor, at the machine"
    switched = any(circuit.switch is not None for _, circuit in ways)
    head = f"{OTHER_WAYS}{switch if switched else ''}:"
    return [head, *(f"    {line}" for line in told.splitlines())]


def _cells(facts: Facts, way: Way, circuit: Circuit) -> list[str]:
    size, cord, cable = circuit.size, circuit.cord_size, circuit.cable
    fault = ", ground-fault" if size.ground_fault else ""
    end = size.configuration or "disconnect"
    end += ", ground-fault" if size.ground_fault_receptacle else ""
    end += ", weather-resistant: ask" if lacks_weather(circuit.receptacle, size) else ""
    end += ", switch" if circuit.switch is not None else ""
    end += ", case for damp: ask" if circuit.damp_there and any(cases_of(circuit)) else ""
    hung = (
        f"{cable.length_ft} ft, {cord.wires} x {cord.awg} AWG"
        if cable is not None and cord is not None
        else ""
    )
    return [
        way.label,
        f"{circuit.panel}{' (not there)' if _to_buy(facts, way) else ''}",
        ENDS[way.family].removesuffix(" plugs") if way.family else "",
        f"{circuit.route_ft.quantize(Decimal('0.1'))} ft",
        f"{size.breaker_a} A {size.poles}-pole{fault}",
        f"{size.conductors} x {size.awg}, {size.grounding_awg} AWG",
        end,
        hung,
        _drop(cord if cord is not None and hung else size),
    ]


def _drop(size: CircuitSize) -> str:
    """The share of voltage lost, with a mark where it is more than advised."""
    return f"{'above advice: ' if size.drops_too_much else ''}{size.voltage_drop * 100:.1f} %"


def _has_own_panel(bench: Bench, allowed: Iterable[Option]) -> bool:
    """Whether a panel that is there feeds the machine as it is."""
    there = {panel.name for panel in bench.facts.shop.panels}
    return any(option.way.supply is Supply.PANEL and option.way.panel in there for option in allowed)


def _matters(way: Way, *, own: bool) -> bool:
    """Whether it matters why a way is closed: nobody needs a drive, another motor or a transformer beside its own panel."""
    return way.supply is Supply.PANEL or not own


def _refused(options: Iterable[Option]) -> Iterator[str]:
    """The ways that a rule keeps from the machine, by the rule."""
    reasons: dict[str, dict[str, None]] = defaultdict(dict)
    for option in options:
        ends = f", {ENDS[option.way.family]}" if option.way.family else ""
        reasons[option.refused or ""][f"{option.way.label}{ends}"] = None
    for reason, ways in reasons.items():
        yield _indented(f"not allowed ({reason}): {'; '.join(ways)}")


def _of_today(bench: Bench, machine: Machine) -> list[tuple[Option, _Plainness]]:
    """One option of each method, ending, source and volts: the plainest, of those the cheapest alone; and how plain it is."""
    found: dict[tuple[object, ...], tuple[Option, _Plainness]] = {}
    for option in bench.priced_survey.options[machine.name]:
        way = option.way
        later = way.supply in (Supply.DRIVE, Supply.MOTOR) and machine.phases == 1
        if way.quoted or way.gone or later or (way.method in DROPS and way.slack_ft):
            continue
        key = (way.method, way.family, way.supply, way.wired_in, way.volts)
        plain = _plainness(bench, option)
        if key not in found or plain < found[key][1]:
            found[key] = (option, plain)
    return list(found.values())


def _plainness(bench: Bench, option: Option) -> _Plainness:
    """What orders options of one kind: no gear to buy, nothing given up, nothing extra, then what they cost alone, in cents."""
    way = option.way
    given_up = way.pooled or way.exchanges or way.swaps_drive or way.relocated
    extra = (bool(way.sized_by), way.first_cord_ft, way.slack_ft, way.spare_conductor)
    to_buy = _to_buy(bench.facts, way)
    return to_buy, given_up, *extra, standalone_cents(bench.pricers[0], option), repr(way)


def circuit_words(way: Way, circuit: Circuit) -> str:
    """A circuit by a way in one sentence: run, breaker, wires, what it ends in, its cord."""
    ends = f", {ENDS[way.family]}" if way.family else ""
    size = circuit.size
    words = f"{way.label}, from {circuit.panel}{ends}, {circuit.route_ft.quantize(Decimal('0.1'))} ft: {_short(size)}"
    cord = circuit.cord_size
    if circuit.switch is not None:
        words += ", a marked switch at the machine"
    if cord is None or circuit.cable is None:
        return words
    return (
        f"{words}; cord {circuit.cable.length_ft} ft of {cord.awg} AWG, {cord.wires} wires, "
        f"drop with it {cord.voltage_drop * 100:.1f} %{_flag(cord)}"
    )


def _reasons(bench: Bench, machine: Machine, circuit: Circuit, way: Way) -> Iterator[str]:
    if _to_buy(bench.facts, way):
        yield f"    the cheapest alone, if there were {way.panel}, {NOT_THERE}; why it is sized so:"
    else:
        yield "    the cheapest alone, and why it is sized so:"
    for reason in circuit.size.reasons:
        yield f"    {rule_words(bench.facts, reason)}"
        if reason.what is RuleOf.GROUND_FAULT:
            yield from _turns(bench, circuit)
            if circuit.size.protected and machine.now is not None and machine.now.configuration is not None:
                yield f"      {cited(STAYS, bench.facts.shop.code.edition)}"
    yield from _marks(bench, circuit)
    yield from (f"    cord's {rule_words(bench.facts, reason)}" for reason in cord_rules(circuit))


OF_CORD = (RuleOf.CONDUCTOR, RuleOf.VOLTAGE_DROP, RuleOf.CORD_VOLTS)
"""What of a cord is sized apart from its run."""


def cord_rules(circuit: Circuit) -> list[Reason]:
    """What the reasons of its cord add to those of its run."""
    reasons = circuit.cord_size.reasons if circuit.cord_size else ()
    return [reason for reason in reasons if reason.what in OF_CORD]


def rule_words(facts: Facts, reason: Reason) -> str:
    """A reason with its sections by the numbers of the edition in force."""
    edition = facts.shop.code.edition
    return f"{reason.what}: {cited(reason.detail, edition)} [{all_cited(reason.source, edition)}]"


def _marks(bench: Bench, circuit: Circuit) -> Iterator[str]:
    """What the plug of a bare motor is marked for, and what a switch in its place costs."""
    marks = circuit.plug_marks
    if not marks.mark:
        return
    source = f"NFPA 70 430.109(F), from memory; {tables.cite(receptacles.MARKS)}, from memory"
    yield f"    horsepower mark: {pair_words(marks)} [{source}]"
    if marks.switched:
        yield (
            f"      read the marks: {switch_words(bench.pricers[0], circuit)} turns on them; where plug and outlet are "
            f"marked for it, write {marks.mark} for both in parts.yaml"
        )


def _turns(bench: Bench, circuit: Circuit) -> Iterator[str]:
    """What ground-fault protection costs here, where nobody said the edition or the place that decides it."""
    facts = bench.facts
    edition = turns_on_edition(facts, circuit)
    machine = turns_on_machine(facts, circuit)
    if not (edition or machine or turns_on_place(facts, circuit)):
        return
    amount = amount_words(facts, extra_cents(bench.pricers[0], circuit))
    if machine:
        yield f"      ask whether the outlet of a cord to a place that asks for protection is protected: {amount} more"
    elif edition:
        yield f"      ask which edition is in force: {amount} turns on it"
    else:
        yield f"      ask the inspector whether NEC 210.8(B) lists the place: protection would cost {amount} more"


def _not_built(bench: Bench, machine: Machine, known: set[tuple[str, str]], *, own: bool) -> list[str]:
    """Ways that cannot be sized or measured, with their ends, by the reason; `known` are those that can."""
    found: dict[str, dict[str, None]] = defaultdict(dict)
    for entry in bench.priced_survey.unbuildable:
        mine = entry.machine == machine.name and _kind(entry.way) not in known
        if mine and _matters(entry.way, own=own):
            by_supply = entry.way.supply is not Supply.PANEL
            words = str(entry.way.supply) if by_supply else ", ".join(filter(None, _kind(entry.way)))
            found[entry.reason][words] = None
    if not found and not known:
        load = load_of(machine)
        return [f"  no panel feeds {load.volts} V, {load.phases}-phase"]
    return [_indented(f"{'; '.join(words)}: {reason}") for reason, words in found.items()]


def _indented(text: str) -> str:
    """A sentence about ways that are not shown, broken into lines under each other."""
    return "  " + filled(text).replace("\n", "\n      ")


def _kind(way: Way) -> tuple[str, str]:
    """What tells a way from others here: the method with its ending and source, and its ends."""
    return way.label, ENDS[way.family] if way.family else ""


def _short(size: CircuitSize) -> str:
    protection = "ground-fault breaker" if size.ground_fault else "breaker"
    kind = "ground-fault receptacle " if size.ground_fault_receptacle else ""
    end = f"{kind}{size.configuration}, " if size.configuration else ""
    return (
        f"{size.breaker_a} A {size.poles}-pole {protection}, {size.awg} AWG, {size.conductors} conductors, "
        f"{size.grounding_awg} AWG ground, {end}drop {size.voltage_drop * 100:.1f} %{_flag(size)}"
    )


def _flag(size: CircuitSize) -> str:
    return ", more than advised" if size.drops_too_much else ""
