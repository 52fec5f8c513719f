"""Topics that a way brings to a machine by itself, whatever plan it is in: what lies between, how it ends, what is laid."""

from collections.abc import Callable, Iterator, Mapping

from costplan.circuits import weather_resistant
from costplan.circuits.circuit import Circuit
from costplan.circuits.facts import DRIVE, Facts
from costplan.circuits.ground_fault import silent_by_volts
from costplan.circuits.motor_swap import MOTOR
from costplan.circuits.run_parts import CABLE_KIND, tamper_resistant_end, wiring_of
from costplan.circuits.size_types import Wiring
from costplan.circuits.tamper_resistant import Asked, asked_for
from costplan.circuits.ways import Way
from costplan.model.catalog import HEATER_LEAD
from costplan.model.choices import TRANSFORMER, ListedPlace, LoadKind, Method
from costplan.model.shop import Machine
from costplan.reports.noted_damp import cases_of
from costplan.reports.remarks import Topic
from costplan.standards import conductors

NO_LEAD = "its lead is in no price: no recipe heater lead"
_BUSHED_AWG = "4"
"""The thinnest wire that NFPA 70 300.4(G) names; from memory."""
OfWay = Callable[[Facts, Machine, Way, Circuit], bool | str]
"""Whether a topic holds of a machine by a way; a text says more about that, empty where it does not hold."""


def device_of(circuit: Circuit) -> str:
    """The kind of what lies between a circuit and its machine: a drive, another motor, a transformer; empty for nothing."""
    device = circuit.supplied.device
    return device.item.spec.kind if device is not None else ""


def way_topics(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> Iterator[tuple[Topic, str]]:
    """The topics of a machine by a way, each with what more is to be said of it."""
    for topic, holds in WAY_TOPICS.items():
        found = holds(facts, machine, way, circuit)
        if found:
            yield topic, found if isinstance(found, str) else ""


def _drive(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    return device_of(circuit) == DRIVE


def _drive_on_ground_fault(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    return device_of(circuit) == DRIVE and circuit.size.protected


def _controls_ahead(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    return device_of(circuit) == DRIVE and bool(machine.control_transformer)


def _replacement_motor(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    return device_of(circuit) == MOTOR


def _other_foot_holes(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> str:
    """The frames, where a motor's differs from the machine's, which it may where shaft and height are alike."""
    device = circuit.supplied.device
    if device is None or device_of(circuit) != MOTOR or machine.frame is None:
        return ""
    frame = dict(device.item.spec.equal).get("frame", "")
    alike = not frame or frame.upper() == machine.frame.strip().upper()
    return "" if alike else f"frame {frame} in place of {machine.frame}"


def _transformer(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    return device_of(circuit) == TRANSFORMER


def _several_motors(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    return bool(circuit.supplied.load.more)


def _other_volts(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> str:
    return circuit.supplied.load.fed_at


def _controls_on_straight_legs(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    known = facts.panels.get(circuit.panel)
    made_leg = bool(facts.converters_above(circuit.panel)) or (known is not None and known.manufactured_leg)
    return bool(machine.control_transformer) and made_leg


def _cord_wired_in(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    return way.wired_in


def _lead_of_heater(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool | str:
    """Whether it is a hard-wired heater; a text where no recipe has its lead."""
    heats = circuit.size.configuration is None and circuit.supplied.load.kind is LoadKind.HEATER
    return NO_LEAD if heats and not facts.has_recipe(HEATER_LEAD, machine) else heats


def _pigtails(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    return circuit.size.pigtails > 0


def _bushings(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    """Whether its wires are pulled through conduit, and as thick as NFPA 70 300.4(G) names."""
    return wiring_of(way) is Wiring.CONDUIT and wants_bushings(circuit.size.awg)


def wants_bushings(awg: str) -> bool:
    """Whether wire of that gauge wants an insulating throat where it leaves a conduit (NFPA 70 300.4(G), from memory)."""
    return conductors.awg_rank(awg) >= conductors.awg_rank(_BUSHED_AWG)


def _ground_color(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    return wiring_of(way) is Wiring.CONDUIT


def _cable_fittings(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    return wiring_of(way) is Wiring.ARMORED


def _tampering(facts: Facts, way: Way, circuit: Circuit) -> Asked:
    """Whether its receptacle must be tamper-resistant (NFPA 70 406.12)."""
    beside_panel = way.method is Method.CORD
    place = facts.place_of_panel(circuit.panel) if beside_panel else circuit.standing.place
    return asked_for(circuit.size.configuration, way.method, facts.rules_at(place))


def _tamper_resistant(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    """Whether its receptacle must be tamper-resistant and none is on offer, so that a plain one is priced."""
    return _tampering(facts, way, circuit) is Asked.YES and not tamper_resistant_end(circuit.receptacle)


def _small_children(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    """Whether that turns on small children, of whom nobody said anything."""
    return _tampering(facts, way, circuit) is Asked.UNSAID


def _listed_as(facts: Facts, way: Way, circuit: Circuit) -> bool | ListedPlace | None:
    """What the file says of the place of its outlet or disconnect among those of NFPA 70 210.8(B)."""
    beside = way.method is Method.CORD
    place = facts.place_of_panel(circuit.panel) if beside else circuit.standing.place
    return facts.rules_at(place, circuit.standing.there).ground_fault_place


def _weather_resistant(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    """Whether its receptacle must be weather-resistant and none is on offer, so that a plain one is priced."""
    return weather_resistant.lacking(circuit.receptacle, circuit.size)


def _damp_place(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool | str:
    """Whether its outlet, or what has a case at its machine, is in a damp place; a text names what is priced of plain parts."""
    cases = [spec.kind for spec in cases_of(circuit)] if circuit.damp_there else []
    if not cases and _listed_as(facts, way, circuit) is not ListedPlace.DAMP:
        return False
    plain = weather_resistant.plain_parts(circuit.receptacle, circuit.outlet.bought.needs, circuit.size)
    plain += dict.fromkeys(cases)
    return f"no part on offer states it: {', '.join(plain)}" if plain else True


def _listed_place(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    return _listed_as(facts, way, circuit) is True


def _cable_laid(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    """Whether its run is nonmetallic cable, or such of which the catalog does not say so."""
    kind = facts.kinds.get(CABLE_KIND[Wiring.CABLE])
    return wiring_of(way) is Wiring.CABLE and (kind is None or kind.nonmetallic is not False)


def _in_the_wall(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    return way.method is Method.WALL


def _cable_in_reach(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    """Whether its run is armored cable along a wall; a ceiling outlet's stays above what can hit it."""
    return way.method is Method.ARMORED


def _ground_fault_receptacle(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    return circuit.size.ground_fault_receptacle


def _high_to_ground(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> bool:
    """Whether its receptacle goes without protection only since a leg has more than 150 V to ground."""
    beside = way.method is Method.CORD
    place = facts.place_of_panel(circuit.panel) if beside else circuit.standing.place
    rules, size = facts.rules_at(place, circuit.standing.there), circuit.size
    return silent_by_volts(circuit.supplied.load, size.configuration, size.breaker_a, rules)


WAY_TOPICS: Mapping[Topic, OfWay] = {
    Topic.DRIVE: _drive,
    Topic.DRIVE_ON_GROUND_FAULT: _drive_on_ground_fault,
    Topic.CONTROLS_AHEAD_OF_DRIVE: _controls_ahead,
    Topic.REPLACEMENT_MOTOR: _replacement_motor,
    Topic.OTHER_FOOT_HOLES: _other_foot_holes,
    Topic.TRANSFORMER: _transformer,
    Topic.SEVERAL_MOTORS: _several_motors,
    Topic.OTHER_VOLTS: _other_volts,
    Topic.CONTROLS_ON_STRAIGHT_LEGS: _controls_on_straight_legs,
    Topic.CORD_WIRED_IN: _cord_wired_in,
    Topic.LEAD_OF_HEATER: _lead_of_heater,
    Topic.PIGTAILS: _pigtails,
    Topic.BUSHINGS: _bushings,
    Topic.GROUND_COLOR: _ground_color,
    Topic.CABLE_FITTINGS: _cable_fittings,
    Topic.TAMPER_RESISTANT: _tamper_resistant,
    Topic.SMALL_CHILDREN: _small_children,
    Topic.WEATHER_RESISTANT: _weather_resistant,
    Topic.DAMP_PLACE: _damp_place,
    Topic.LISTED_PLACE: _listed_place,
    Topic.CABLE_LAID: _cable_laid,
    Topic.IN_THE_WALL: _in_the_wall,
    Topic.CABLE_IN_REACH: _cable_in_reach,
    Topic.GROUND_FAULT_RECEPTACLE: _ground_fault_receptacle,
    Topic.HIGH_TO_GROUND: _high_to_ground,
}
"""When a way gives rise to a topic."""
OF_DEVICES: Mapping[Topic, str] = {
    Topic.DRIVE: DRIVE,
    Topic.CONTROLS_AHEAD_OF_DRIVE: DRIVE,
    Topic.REPLACEMENT_MOTOR: MOTOR,
    Topic.OTHER_FOOT_HOLES: MOTOR,
    Topic.TRANSFORMER: TRANSFORMER,
}
"""Topics of a plan only where a device of that kind comes to the machine; they stand beside it where it is bought."""
