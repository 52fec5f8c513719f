"""Topics that a way brings to a machine by itself, whatever plan it is in: what lies between, how it ends, what is laid."""

from collections.abc import Iterator, Mapping

from costplan.circuits.facts import DRIVE
from costplan.circuits.ground_fault import silent_by_volts
from costplan.circuits.motor_swap import MOTOR
from costplan.circuits.receptacle_marks import Asked, lacks_weather, listed, plain_parts, tamper_resistant
from costplan.circuits.run_parts import CABLE_KIND, wiring_of
from costplan.circuits.size_types import Wiring
from costplan.model.catalog import HEATER_LEAD
from costplan.model.choices import TRANSFORMER, ListedPlace, LoadKind, Method
from costplan.model.ratings import TAMPER_RESISTANT
from costplan.reports.noted_damp import cases_of
from costplan.reports.noted_machine import ByWay, OfWay
from costplan.reports.remarks import Topic
from costplan.standards import conductors, supports

NO_LEAD = "its lead is in no price: no recipe heater lead"
KIND_OF_RUN = {**CABLE_KIND, Wiring.CONDUIT: "conduit"}
_BUSHED_AWG = "4"
"""The thinnest wire that NFPA 70 300.4(G) names; from memory."""


def way_topics(at: ByWay) -> Iterator[tuple[Topic, str]]:
    """The topics of a machine by a way, each with what more is to be said of it."""
    for topic, holds in WAY_TOPICS.items():
        found = holds(at)
        if found:
            yield topic, found if isinstance(found, str) else ""


def _other_foot_holes(at: ByWay) -> str:
    """The frames, where a motor's differs from the machine's, which it may where shaft and height are alike."""
    device, mine = at.circuit.supplied.device, at.machine.frame
    if device is None or at.device != MOTOR or mine is None:
        return ""
    frame = dict(device.item.spec.equal).get("frame", "")
    alike = not frame or frame.upper() == mine.strip().upper()
    return "" if alike else f"frame {frame} in place of {mine}"


def _controls_on_straight_legs(at: ByWay) -> bool:
    known = at.facts.panels.get(at.circuit.panel)
    made_leg = known is not None and known.manufactured_leg
    return bool(at.machine.control_transformer) and (
        made_leg or bool(at.facts.converters_above(at.circuit.panel))
    )


def _lead_of_heater(at: ByWay) -> bool | str:
    """Whether it is a hard-wired heater; a text where no recipe has its lead."""
    heats = at.hard_wired and at.load.kind is LoadKind.HEATER
    return NO_LEAD if heats and not at.facts.has_recipe(HEATER_LEAD, at.machine) else heats


def _bushings(at: ByWay) -> bool:
    """Whether its wires are pulled through conduit, and as thick as NFPA 70 300.4(G) names."""
    return _laid_in(at, Wiring.CONDUIT) and wants_bushings(at.size.awg)


def wants_bushings(awg: str) -> bool:
    """Whether wire of that gauge wants an insulating throat where it leaves a conduit (NFPA 70 300.4(G), from memory)."""
    return conductors.awg_rank(awg) >= conductors.awg_rank(_BUSHED_AWG)


def _laid_in(at: ByWay, wiring: Wiring) -> bool:
    return wiring_of(at.way) is wiring


def _tampering(at: ByWay) -> Asked:
    """Whether its receptacle must be tamper-resistant (NFPA 70 406.12)."""
    return tamper_resistant(at.size.configuration, at.way.method, at.facts.rules_at(at.outlet_at))


def _damp_place(at: ByWay) -> bool | str:
    """Whether its outlet, or what has a case at its machine, is in a damp place; a text names what is priced of plain parts."""
    circuit = at.circuit
    cases = [spec.kind for spec in cases_of(circuit)] if circuit.damp_there else []
    if not cases and at.rules.ground_fault_place is not ListedPlace.DAMP:
        return False
    plain = plain_parts(circuit.receptacle, circuit.outlet.bought.needs, at.size)
    plain += dict.fromkeys(cases)
    return f"no part on offer states it: {', '.join(plain)}" if plain else True


def _cable_laid(at: ByWay) -> bool:
    """Whether its run is nonmetallic cable, or such of which the catalog does not say so."""
    kind = at.facts.kinds.get(CABLE_KIND[Wiring.CABLE])
    return _laid_in(at, Wiring.CABLE) and (kind is None or kind.nonmetallic is not False)


def _support(at: ByWay) -> str:
    """How far apart its run is supported, by its wiring; empty for what no section here names."""
    kind = KIND_OF_RUN.get(wiring_of(at.way))
    rule = None if kind is None else supports.of(kind)
    return (
        "" if rule is None else f"{kind} every {rule.every_ft:f} ft, within {rule.from_box_in} in of each box"
    )


WAY_TOPICS: Mapping[Topic, OfWay] = {
    Topic.DRIVE: lambda at: at.device == DRIVE,
    Topic.DRIVE_ON_GROUND_FAULT: lambda at: at.device == DRIVE and at.size.protected,
    Topic.CONTROLS_AHEAD_OF_DRIVE: lambda at: at.device == DRIVE and bool(at.machine.control_transformer),
    Topic.REPLACEMENT_MOTOR: lambda at: at.device == MOTOR,
    Topic.OTHER_FOOT_HOLES: _other_foot_holes,
    Topic.TRANSFORMER: lambda at: at.device == TRANSFORMER,
    Topic.SEVERAL_MOTORS: lambda at: bool(at.load.more),
    Topic.OTHER_VOLTS: lambda at: at.load.fed_at,
    Topic.CONTROLS_ON_STRAIGHT_LEGS: _controls_on_straight_legs,
    Topic.CORD_WIRED_IN: lambda at: at.way.wired_in,
    Topic.LEAD_OF_HEATER: _lead_of_heater,
    Topic.PIGTAILS: lambda at: at.size.pigtails > 0,
    Topic.BUSHINGS: _bushings,
    Topic.GROUND_COLOR: lambda at: _laid_in(at, Wiring.CONDUIT),
    Topic.CABLE_FITTINGS: lambda at: _laid_in(at, Wiring.ARMORED),
    Topic.CABLE_SUPPORT: _support,
    # What no part on offer states is priced plain, and said.
    Topic.TAMPER_RESISTANT: lambda at: (
        _tampering(at) is Asked.YES and TAMPER_RESISTANT not in listed(at.circuit.receptacle)
    ),
    Topic.SMALL_CHILDREN: lambda at: _tampering(at) is Asked.UNSAID,
    Topic.WEATHER_RESISTANT: lambda at: lacks_weather(at.circuit.receptacle, at.size),
    Topic.DAMP_PLACE: _damp_place,
    Topic.LISTED_PLACE: lambda at: at.rules.ground_fault_place is True,
    Topic.CABLE_LAID: _cable_laid,
    Topic.IN_THE_WALL: lambda at: at.way.method is Method.WALL,
    # A ceiling outlet's armored cable stays above what can hit it.
    Topic.CABLE_IN_REACH: lambda at: at.way.method is Method.ARMORED,
    Topic.GROUND_FAULT_RECEPTACLE: lambda at: at.size.ground_fault_receptacle,
    Topic.HIGH_TO_GROUND: lambda at: silent_by_volts(
        at.load, at.size.configuration, at.size.breaker_a, at.rules
    ),
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
