"""Topics of one machine's circuit: what it ends in, what feeds it, how it was sized."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from costplan.circuits.currents import switched_hp
from costplan.circuits.facts import DRIVE, Facts
from costplan.circuits.ground_fault import ONE_LINE_V
from costplan.circuits.heavier import sized
from costplan.circuits.run_parts import wiring_of
from costplan.circuits.size_types import CannotSizeError, Wiring
from costplan.model.choices import Method, Occupancy
from costplan.model.ratings import horsepower_mark, mark_words
from costplan.plans.protection_cost import space_of, turns_on_edition, turns_on_place
from costplan.plans.ranking import Ranked
from costplan.plans.steps import Act
from costplan.reports.circuits import rehung
from costplan.reports.marks import states_mark
from costplan.reports.noted_there import THERE_TOPICS
from costplan.reports.noted_ways import OF_DEVICES, WAY_TOPICS, device_of
from costplan.reports.remarks import Topic
from costplan.reports.there import Powered
from costplan.standards import conductors, overcurrent

REACH_FT = 8
"""Above this work is done from a ladder; common practice, no source."""
LARGEST_ARC_FAULT_A = 20
"""Circuits of up to so many amperes get arc-fault protection (NFPA 70 210.12, from memory)."""
LOW_VOLTAGE_V = 250
"""Above this plain devices, cords and switches are too weak."""
LAID = (Topic.CABLE_LAID, Topic.PIGTAILS)
"""Topics of a run itself, whatever is changed at its ends."""
FITTED = (Act.BUY, Act.TAKE_OVER, Act.TAKE_FROM_SHELF)

Holds = Callable[[Facts, Ranked, Powered, bool], bool | str]
"""Whether a topic holds of a machine's circuit; the last says whether its run is made today.

A text says more about that, empty where the topic does not hold.
"""


def _hung_cord(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    if powered.circuit.cable is None:
        return False
    step = powered.cord
    return made or step is None or step.act is not Act.KEEP or rehung(facts, powered) is not None


def _factory_plug(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    plug = powered.machine.plug
    return (made or powered.receptacle is not None) and plug is not None and not _plug_changes(powered)


def _plug_change(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    return (made or powered.receptacle is not None) and _plug_changes(powered)


def _plug_changes(powered: Powered) -> bool:
    """Whether the plug that a machine came with is exchanged, or taken off to hard-wire it."""
    plug = powered.machine.plug
    ends_in = powered.circuit.machine_plug if powered.circuit.size.configuration else None
    return plug is not None and plug != ends_in


def _bare_motor(powered: Powered) -> bool:
    """Whether it is a motor that did not come with a plug: one with it is an appliance with its own protection."""
    fed_by_drive = device_of(powered.circuit) == DRIVE
    return powered.circuit.supplied.load.motor and powered.machine.plug is None and not fed_by_drive


def _motor_overload(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    return _changes(powered) and _bare_motor(powered)


def _hard_wired_motor(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    return made and _bare_motor(powered) and powered.circuit.size.configuration is None


def _horsepower_mark(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> str:
    """The least mark of what disconnects a motor, where it is bought today and does not state one."""
    load = powered.circuit.supplied.load
    power_hp = switched_hp(load)
    hard_wired = powered.circuit.size.configuration is None and load.motor
    if _stays(powered) or power_hp is None or not (hard_wired or _bare_motor(powered)):
        return ""
    mark = horsepower_mark(load.volts, load.phases)
    if states_mark(facts, ranked, powered.circuit.receptacle, mark):
        return ""
    return f"at least {mark_words(mark, power_hp)}"


def _stays(powered: Powered) -> bool:
    """Whether a machine keeps what disconnects it today."""
    had = powered.had
    return had is not None and powered.receptacle is None and had.owner == powered.machine.name


def _changes(powered: Powered) -> bool:
    """Whether a machine gets another circuit today, or its own with another end or breaker."""
    return not _stays(powered) or powered.breaker is not None


def _terminals(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    """Whether thinner wire would do with terminals marked for 75 C, where nobody said what they are marked for."""
    said = powered.machine.terminals_c is not None or "terminals_c" in facts.shop.code.model_fields_set
    wiring = wiring_of(powered.way)
    if said or not made or wiring is Wiring.CABLE:
        return False
    load = powered.circuit.supplied.load
    family = str(powered.way.family) if powered.way.family else None
    try:
        rules = facts.rules_at(space_of(facts, powered.circuit))
        marked = sized(replace(load, terminals_c=75), wiring, family, powered.circuit.route_ft, rules)
    except CannotSizeError:
        return False
    return conductors.awg_rank(marked.awg) < conductors.awg_rank(powered.circuit.size.awg)


def _breaker_above_wire(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    """Whether the breaker is above what protects the wire of a circuit for anything (NFPA 70 240.4(B), (D))."""
    load, size = powered.circuit.supplied.load, powered.circuit.size
    if not (made or _changes(powered)) or not (load.motor or load.kind.welds):
        return False
    had = powered.had
    awg = size.awg if had is None else had.awg
    breaker_a = size.breaker_a if had is None or powered.breaker is not None else had.breaker_a
    cable = wiring_of(powered.way) is Wiring.CABLE
    marked_c = load.terminals_c or facts.rules.terminals_c
    column_c = conductors.terminal_column_c("nonmetallic cable") if cable else marked_c
    protects_a = overcurrent.largest_breaker_a(awg, conductors.building_wire_ampacity_a(awg, column_c))
    return breaker_a > protects_a


def _welder(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    return _changes(powered) and powered.circuit.supplied.load.kind.welds


def _high_voltage(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    return made and powered.circuit.supplied.load.volts > LOW_VOLTAGE_V


def _protected(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    return (made or powered.breaker is not None) and powered.circuit.size.ground_fault


def _edition_unknown(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    return made and turns_on_edition(facts, powered.circuit)


def _place_unknown(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    ends_in_one = powered.circuit.size.configuration is not None
    return made and ends_in_one and turns_on_place(facts, powered.circuit)


def _high_work(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    """A run or a hung cord that goes up to a ceiling above reach; an outlet beside its panel is within it."""
    run = made and powered.way.method is not Method.CORD
    return facts.shop.building.ceiling_height_ft > REACH_FT and (
        run or _hung_cord(facts, ranked, powered, made)
    )


def _fitted(ranked: Ranked, powered: Powered, kind: str, *, made: bool) -> bool:
    """Whether a device of that kind comes to the machine today."""
    steps = [step for step in ranked.steps if (step.kind, step.machine) == (kind, powered.machine.name)]
    return any(step.act in FITTED for step in steps) if steps else made


def _of_way(topic: Topic) -> Holds:
    """A topic of a way, in a plan: where its device is fitted, or its run is made, or what it ends in is changed today."""

    def holds(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool | str:
        kind = OF_DEVICES.get(topic)
        if kind is not None:
            today = _fitted(ranked, powered, kind, made=made)
        elif topic is Topic.CORD_WIRED_IN:
            today = _hung_cord(facts, ranked, powered, made)
        elif topic in LAID:
            today = made
        else:
            today = made or topic is Topic.DRIVE_ON_GROUND_FAULT or _ends_anew(powered)
        return today and WAY_TOPICS[topic](facts, powered.machine, powered.way, powered.circuit)

    return holds


def _ends_anew(powered: Powered) -> bool:
    """Whether a run that is there gets another receptacle or breaker."""
    return powered.receptacle is not None or powered.breaker is not None


def _arc_fault(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    """Outlets of 120 V up to 20 A in rooms of a dwelling (NFPA 70 210.12(A), from memory); garages are none."""
    load, breaker_a = powered.circuit.supplied.load, powered.circuit.size.breaker_a
    rooms = (Occupancy.DWELLING_ROOM, Occupancy.FINISHED_BASEMENT)
    small = load.volts == ONE_LINE_V and breaker_a <= LARGEST_ARC_FAULT_A
    return made and small and facts.rules_at(space_of(facts, powered.circuit)).occupancy in rooms


_OF_CIRCUITS: Mapping[Topic, Holds] = {
    Topic.HUNG_CORD: _hung_cord,
    Topic.FACTORY_PLUG: _factory_plug,
    Topic.PLUG_CHANGE: _plug_change,
    Topic.MOTOR_OVERLOAD: _motor_overload,
    Topic.MOTOR_START: _hard_wired_motor,
    Topic.DISCONNECT_IN_SIGHT: _hard_wired_motor,
    Topic.HORSEPOWER_MARK: _horsepower_mark,
    Topic.TERMINALS: _terminals,
    Topic.BREAKER_ABOVE_WIRE: _breaker_above_wire,
    Topic.WELDER: _welder,
    Topic.HIGH_VOLTAGE: _high_voltage,
    Topic.GROUND_FAULT: _protected,
    Topic.EDITION_UNKNOWN: _edition_unknown,
    Topic.HIGH_WORK: _high_work,
    Topic.PLACE_UNKNOWN: _place_unknown,
    Topic.ARC_FAULT: _arc_fault,
}


def _of_there(topic: Topic) -> Holds:
    """A topic of what is there, whether or not anything is done to it today."""

    def holds(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool | str:
        return THERE_TOPICS[topic](facts, powered)

    return holds


CIRCUIT_TOPICS: Mapping[Topic, Holds] = {
    **_OF_CIRCUITS,
    **{topic: _of_way(topic) for topic in WAY_TOPICS},
    **{topic: _of_there(topic) for topic in THERE_TOPICS},
}
"""When a circuit gives rise to a topic."""
