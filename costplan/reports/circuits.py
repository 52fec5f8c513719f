"""The circuits of a plan today, as the scope sheet lists them."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from costplan.circuits.circuit import Circuit
from costplan.circuits.clamps import KIT_RECIPE
from costplan.circuits.currents import text
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Item, Spec
from costplan.circuits.outlet_key import DISCONNECT
from costplan.circuits.outlets import where_outlet_is
from costplan.circuits.receptacle_marks import lacks_weather
from costplan.circuits.run_parts import CABLE_KIND, RUN_RECIPE, hard_wired_lead_ft, switch_marks, wiring_of
from costplan.circuits.size_types import CircuitSize
from costplan.circuits.ways import Way
from costplan.ledger.holding import written
from costplan.ledger.steps import Act
from costplan.model.choices import LoadKind, Method
from costplan.model.layouts import MovedToday
from costplan.model.ratings import FUSED_DISCONNECT, mark_words
from costplan.model.routes import NoRouteError, whole_feet
from costplan.program.ranked import Ranked
from costplan.reports.noted_damp import IN_CASE, LACKS_DAMP
from costplan.reports.there import Powered, There
from costplan.reports.words import nameplate, powered_today
from costplan.sourcing.designation import SUFFIX
from costplan.standards.loads import motor_disconnect_a

NEW = "new"
"""State of a circuit that is not there yet."""
KEPT = "as it is now, nothing to do"
UNSEEN = "the run stays; look first at what disconnects it"
OUTLET_KEPT = "the outlet is as it is now, nothing to do at it"
NOT_SEEN = "to be found there, nobody described it: "
"""Ahead of a disconnect that is not bought, since the circuit is there, and that the file does not describe."""
IDLE = "outlet is there already: check it"


@dataclass(frozen=True, slots=True)
class CircuitRow:
    """One circuit.

    `current_a` is what it was sized for; `run_ft` is the fixed wiring with ups, downs, ends and waste, `drop`
    the share of voltage lost in it with the cord; `cord` is the owner's. `breaker_with` names the machine
    whose breaker it is on as well, which takes turns with it. `count` says how many alike there are of it;
    `had_poles` are the poles that each takes in its panel today. `is_there` says that the run is there already; then
    `run_ft` is about how long it is. `assumed` is what to put behind a breaker that nobody described. `runs` are the
    outlets of its machines, each by the machine's name, by which work tells its line.
    """

    number: int
    machines: tuple[str, ...]
    nameplate: str
    place: str
    panel: str
    volts: int
    phases: int
    current_a: Decimal
    breaker_a: int
    poles: int
    ground_fault: bool
    method: str
    run_ft: int
    drop: Decimal
    conductors: str
    outlet: str
    cord: str
    state: str
    breaker_with: str = ""
    count: int = 1
    had_poles: int = 0
    is_there: bool = False
    assumed: str = ""
    runs: frozenset[tuple[str, Item]] = field(default=frozenset(), compare=False)
    lines: str = field(default="", compare=False)
    """The lines of its panel that it is proposed on, `A`, `A-B`; no part of what is asked for."""

    @property
    def named(self) -> str:
        """The machines in words; so many alike by their number."""
        return (f"{self.count} x " if self.count > 1 else "") + ", ".join(self.machines)


def circuits_today(facts: Facts, ranked: Ranked, there: There | None = None) -> tuple[CircuitRow, ...]:
    """The circuits of a plan today; machines that take turns at one outlet share a row, and so do those of a group whose
    circuits are told alike, whatever else differs of their ways."""
    there = there or There(facts, ranked)
    shared = ranked.plan.shared_things
    rows: dict[object, CircuitRow] = {}
    breakers: dict[object, str] = {}
    for powered in there.powered:
        circuit, machine = powered.circuit, powered.machine
        row = _row(facts, ranked, there, powered)
        on_turns = (circuit.outlet.shared_by, circuit.outlet.item)
        turning = on_turns in shared
        key = on_turns if turning else as_written(facts, (row,))
        known = rows.get(key)
        if known is not None:
            rows[key] = _joined(known, row) if turning else _alike(known, row)
            continue
        on = (circuit.breaker.shared_by, circuit.breaker.item)
        if on in shared and powered.had is None:
            row = replace(row, breaker_with=breakers.get(on, ""))
            if breakers.setdefault(on, machine.name) == machine.name:
                row = replace(row, breaker_with="")
        rows[key] = row
    named = [replace(row, state=row.state or NEW) for row in rows.values()]
    ordered = sorted(named, key=lambda row: (row.panel, row.place, row.machines))
    return tuple(replace(row, number=number) for number, row in enumerate(ordered, 1))


def _alike(known: CircuitRow, row: CircuitRow) -> CircuitRow:
    """A row with one circuit more, of its group and told as it is."""
    machines = tuple(dict.fromkeys((*known.machines, *row.machines)))
    return replace(known, machines=machines, count=known.count + 1, runs=known.runs | row.runs)


def _joined(known: CircuitRow, row: CircuitRow) -> CircuitRow:
    """A row with one machine more that takes turns at its outlet."""
    runs = known.runs | row.runs
    if row.machines[0] in known.machines:
        return replace(known, count=known.count + (row.machines[0] == known.machines[0]), runs=runs)
    plates = f"{known.nameplate}; {row.nameplate}"
    # What the outlet is like is told by the machine that comes by it itself.
    has = row if known.state == "" else known
    cords = known.cord if known.cord == row.cord else "; ".join(map(_cord_of, (known, row)))
    return replace(
        has,
        number=0,
        machines=(*known.machines, *row.machines),
        nameplate=plates,
        current_a=max(known.current_a, row.current_a),
        drop=max(known.drop, row.drop),
        cord=cords,
        count=known.count,
        runs=runs,
    )


def _cord_of(row: CircuitRow) -> str:
    """The cord of a row with the machine that it is for, unless it is told of several already."""
    return row.cord if len(row.machines) > 1 or not row.cord else f"{row.machines[0]}: {row.cord}"


def as_written(facts: Facts, rows: Iterable[CircuitRow]) -> tuple[CircuitRow, ...]:
    """The rows with machines by the names the user wrote."""
    return tuple(
        replace(
            row,
            machines=tuple(dict.fromkeys(written(facts, name) for name in row.machines)),
            breaker_with=row.breaker_with and written(facts, row.breaker_with),
        )
        for row in rows
    )


def _row(facts: Facts, ranked: Ranked, there: There, powered: Powered) -> CircuitRow:
    circuit, way, had = powered.circuit, powered.way, powered.had
    size, load = circuit.size, circuit.supplied.load
    return CircuitRow(
        0,
        (powered.machine.name,),
        nameplate(powered.machine),
        circuit.outlet_place,
        circuit.panel,
        load.volts,
        load.phases,
        size.current_a,
        there.breaker_a(powered),
        powered.poles,
        # Of a breaker that is there already nobody said whether it protects.
        size.ground_fault and (had is None or powered.breaker is not None),
        circuit_method(way, circuit),
        circuit.run_ft if had is None else _about_ft(facts, powered),
        (circuit.cord_size or size).voltage_drop,
        _conductors(facts, ranked, powered),
        _outlet(powered),
        _cord(facts, powered),
        state_words(facts, powered),
        had_poles=had.poles if had is not None else 0,
        is_there=had is not None,
        assumed=had.mark("breaker_a", "poles") if had is not None and powered.breaker is None else "",
        runs=frozenset({(powered.machine.name, circuit.outlet.item)}),
    )


def circuit_method(way: Way, circuit: Circuit) -> str:
    """How a circuit is run, in words."""
    if way.method is Method.CORD:
        return RUN_RECIPE[way.method]
    return powered_today(way, circuit.standing.load.phases).label


def _about_ft(facts: Facts, powered: Powered) -> int:
    """About how long a run that is there is: its route, without ends and waste."""
    had, circuit = powered.had, powered.circuit
    assert had is not None
    if had.method is Method.CORD:
        return circuit.run_ft
    routes = facts.routes
    try:
        route = routes.ceiling_ft if had.method is Method.CEILING else routes.fixed_ft
        return whole_feet(route(had.panel, had.place))
    except NoRouteError:
        return circuit.run_ft


def _conductors(facts: Facts, ranked: Ranked, powered: Powered) -> str:
    size, had, wiring = powered.circuit.size, powered.had, wiring_of(powered.way)
    if had is not None:
        wires = f"{had.conductors} × {had.awg} AWG{had.mark('awg', 'conductors')}"
        if had.ground_awg:
            return f"{wires}; {had.ground_awg} AWG ground; {wiring} (assumed: look)"
        return f"{wires}; ground wire and {wiring} (assumed: look)"
    return f"{wires_words(size)}, {wiring}{_bought_as(facts, ranked, powered)}"


def wires_words(size: CircuitSize) -> str:
    """The wires of a circuit as it is sized, its ground apart."""
    return f"{size.conductors} × {size.awg} AWG and {size.grounding_awg} AWG ground"


def _bought_as(facts: Facts, ranked: Ranked, powered: Powered) -> str:
    """What its cable is bought as, where it is not of the sizes asked for: a thicker one that is on offer, or costs less.

    Only pieces of its length are its own; of several such it is not known which.
    """
    size, wiring = powered.circuit.size, wiring_of(powered.way)
    asked = {
        (need.spec, need.length_ft)
        for need in powered.circuit.outlet.bought.needs
        if need.spec.kind == CABLE_KIND.get(wiring)
    }
    parts = {offer.row: facts.parts[offer.part].attributes for offer in facts.catalog.offers}
    found = [
        (parts[each.offer_row], each.count)
        for each in ranked.plan.bought
        if (each.need.spec, each.need.length_ft) in asked
    ]
    sizes = dict.fromkeys(sorted((str(each["awg"]), str(each["ground_awg"])) for each, _ in found))
    other = [each for each in sizes if each != (size.awg, size.grounding_awg)]
    words = " or ".join(f"{awg} AWG with {ground} AWG ground" for awg, ground in other)
    told = f"; {'some ' if len(sizes) > len(other) else ''}bought as {words}" if words else ""
    pieces: Counter[int] = Counter()
    for each, count in found:
        pieces[int(each["conductors"])] += count
    return told + capped_words(size.conductors, pieces)


def capped_words(needed: int, pieces: Mapping[int, int]) -> str:
    """What to do with the wires of cables that have more than are needed, ground apart; empty where none has.

    `pieces` says how many are bought by their wires. Where not all have more, nobody can say which of them serves whom.
    """
    more = {wires: count for wires, count in sorted(pieces.items()) if wires > needed}
    if not more:
        return ""
    spare = "the spare wire" if max(more) == needed + 1 else "spare wires"
    wires, so_many, of = " or ".join(map(str, more)), sum(more.values()), sum(pieces.values())
    if so_many == of:
        return f"; in cable of {wires} wires cap {spare} at both ends"
    has = "has" if so_many == 1 else "have"
    return (
        f"; {so_many} of the {of} pieces of this length {has} {wires} wires: there cap {spare} at both ends"
    )


def state_words(facts: Facts, powered: Powered) -> str:
    """What becomes of the outlet that serves a machine; empty where it is another's, shared."""
    had = powered.had
    if powered.act is Act.SHARE:
        return ""
    if had is None:
        return NEW
    if powered.comes_along:
        return f"comes along from {had.place}"
    kinds = ends_changed(powered)
    ends = f"change the {' and the '.join(kinds)}" if kinds else ""
    mine, whose = written(facts, powered.machine.name), written(facts, had.owner) if had.owner else ""
    if had.owner == powered.machine.name:
        if ends:
            return f"the run stays: {ends}"
        if powered.unseen:
            return UNSEEN
        hangs = powered.cord is None or (powered.cord.act is Act.KEEP and rehung(facts, powered) is None)
        return KEPT if hangs else OUTLET_KEPT
    if ends:
        return f"the run stays, serves {mine} from now on, {whose or 'nobody'} until now: {ends}"
    return f"stays as it is, serves {mine} from now on, {whose} until now" if whose else IDLE


def ends_changed(powered: Powered) -> list[str]:
    """What is changed at the ends of a run that stays."""
    return [step.kind for step in (powered.receptacle, powered.breaker) if step is not None]


def _outlet(powered: Powered) -> str:
    circuit = powered.circuit
    size = circuit.size
    where = " at the ceiling" if powered.way.method is Method.CEILING else ""
    if size.configuration is None:
        return _not_seen(powered) if powered.unseen else disconnect_words(circuit)
    put_in = powered.had is None or powered.receptacle is not None
    return _receptacle(circuit, where) if put_in else f"{end_words(size.configuration)}{where}"


def _not_seen(powered: Powered) -> str:
    """What disconnects a machine that keeps it, which nobody described: of a motor by the least that it may be.

    At least 115 % of its current and its horsepower (NFPA 70 430.109, 430.110(A), from memory), whatever its breaker is.
    """
    circuit, now = powered.circuit, powered.machine.now
    load, size = circuit.supplied.load, circuit.size
    if not load.motor or circuit.fuses is not None:
        return f"{NOT_SEEN}{disconnect_words(circuit) if circuit.switch is None else switch_words(circuit)}"
    said = f"disconnect, {powered.poles}-pole"
    if now is not None and now.disconnect_a is not None:
        said += f", {text(now.disconnect_a)} A by the owner"
    least = f"{said}, lockable, at least {motor_disconnect_a(size.current_a):.1f} A (115 % of the motor)"
    marks = (mark_words(mark, Decimal(str(hp))) for mark, hp in switch_marks(load).items())
    case = IN_CASE if circuit.damp_there else ""
    return NOT_SEEN + _marked(least, " and ".join(marks)) + case


def to_be_made(way: Way, circuit: Circuit) -> str:
    """What a circuit that is made anew ends in, with the ratings and marks that it is priced by; no switch at its machine,
    which may be there already."""
    where = " at the ceiling" if way.method is Method.CEILING else ""
    return disconnect_words(circuit) if circuit.size.configuration is None else _receptacle(circuit, where)


def _receptacle(circuit: Circuit, where: str) -> str:
    """A receptacle that is put in, with what it must be that no part on offer states."""
    size = circuit.size
    fault = "ground-fault " if size.ground_fault_receptacle else ""
    lacks = LACKS_DAMP if lacks_weather(circuit.receptacle, size) else ""
    return f"{fault}{end_words(size.configuration or '')}{where}{lacks}"


def switch_words(circuit: Circuit) -> str:
    """The switch at a machine that its plug does not disconnect: what it must be rated and marked for."""
    assert circuit.switch is not None
    return f"a {rated_words('disconnect', circuit.switch.item.spec, damp=circuit.damp_there)}"


def rated_words(kind: str, asked: Spec, *, damp: bool) -> str:
    """A switch by poles, amperes and volts, the horsepower that it must be marked for, and what the damp asks of its case."""
    return _marked(*_rated(kind, asked)) + (IN_CASE if damp else "")


def _rated(kind: str, asked: Spec) -> tuple[str, str]:
    """A switch by poles, amperes and volts, and its horsepower marks."""
    low = dict(asked.at_least)
    words = f"{kind}, {low['poles']:f}-pole, {low['rating_a']:f} A {low['volts']:f} V or more, lockable"
    return words, " and ".join(mark_words(mark, hp) for mark, hp in asked.if_stated)


def _marked(words: str, marks: str) -> str:
    return f"{words}, marked for at least {marks}" if marks else words


def disconnect_words(circuit: Circuit) -> str:
    """A disconnect in words: what it must be rated and marked for."""
    words, marks = _rated(circuit.receptacle.spec.kind, circuit.receptacle.spec)
    if circuit.fuses is not None:
        fuse = dict(circuit.fuses.spec.at_least)
        sizes = f"{fuse['rating_a']:f} A, {fuse['volts']:f} V or more"
        words += f", with {circuit.fuses.quantity} dual-element time-delay fuses of {sizes}"
    return _marked(words, marks) + (IN_CASE if circuit.damp_there else "")


def end_words(end: str) -> str:
    """What a run ends in: its receptacle by its standard name, or a disconnect."""
    if end in (DISCONNECT, FUSED_DISCONNECT):
        return end
    return f"receptacle {end}{SUFFIX['receptacle'] if end.startswith('NEMA') else ''}"


def _cord(facts: Facts, powered: Powered) -> str:
    circuit, words = powered.circuit, []
    if circuit.cable is not None and circuit.cord_size is not None:
        wires = dict(circuit.cable.spec.at_least).get("conductors", Decimal(circuit.cord_size.wires))
        size = f"{wires:f} × {circuit.cord_size.awg} AWG with the ground"
        wired = ", wired into the machine" if powered.way.wired_in else ""
        words.append(f"owner's cord, {circuit.cable.length_ft} ft, {size}{wired}{_come_by(facts, powered)}")
    if circuit.switch is not None:
        switch = _not_seen(powered) if powered.unseen else switch_words(circuit)
        words.append(f"then {switch} at the machine")
    lead_ft = hard_wired_lead_ft(facts, powered.machine, circuit.supplied.load, circuit.size)
    if lead_ft and (powered.had is None or powered.receptacle is not None):
        what = "heater" if circuit.supplied.load.kind is LoadKind.HEATER else "machine"
        words.append(f"then {lead_ft} ft of armored cable to the {what}, or its maker's lead")
    if circuit.supplied.device is not None:
        words.append(f"then the owner's {circuit.supplied.device.item.spec.kind} at the machine")
    return "; ".join(words)


def _come_by(facts: Facts, powered: Powered) -> str:
    """Where the owner has a cord from; nothing is said of one that is made new with its circuit."""
    step = powered.cord
    if step is None or (step.act is Act.BUY and powered.had is None):
        return ""
    if step.act is Act.BUY:
        return ", made new"
    if step.act is Act.KEEP:
        if step.cut_to_ft:
            return ", cut from its own"
        return (
            f"; the same cord, {rehung_words(facts, powered)}: owner"
            if rehung(facts, powered)
            else ", as it hangs"
        )
    source = written(facts, step.source) if step.source else "the shelf"
    return f", whole from {source}" if step.whole else f", made of one from {source}"


def rehung(facts: Facts, powered: Powered) -> tuple[str, str] | None:
    """From where to where a cord goes that stays whole and hangs elsewhere; None where it stays, is made up or hung anew."""
    step = powered.cord
    if step is None or step.cut_to_ft or step.cut_off or powered.comes_along:
        return None
    if step.act is not Act.KEEP and not (step.act is Act.TAKE_OVER and step.whole):
        return None
    machine = facts.machines[step.source or step.machine]
    now = machine.now
    if now is None or now.method not in KIT_RECIPE:
        return None
    stood = machine.stood_at if isinstance(machine, MovedToday) else machine.at
    hung, stands = now.place or stood, powered.circuit.standing.place
    if hung != stands:
        return hung, stands
    outlet = where_outlet_is(now.method, now.panel, hung)
    return None if outlet == powered.circuit.outlet_place else (outlet, powered.circuit.outlet_place)


def rehung_words(facts: Facts, powered: Powered) -> str:
    """The same in words; empty where it is not rehung."""
    places = rehung(facts, powered)
    return f"rehung from {places[0]} to {places[1]}" if places is not None else ""
