"""What is said beside a machine with a drive, another motor, a transformer, several motors or controls of its own.

Common practice where no section is named; the electrician and the local code decide.
"""

from collections.abc import Iterator

from costplan.circuits.circuit import Circuit
from costplan.circuits.facts import DRIVE, Facts
from costplan.circuits.motor_swap import MOTOR
from costplan.circuits.ways import Way
from costplan.model.choices import TRANSFORMER, Supply
from costplan.model.shop import Machine
from costplan.plans.holding import written
from costplan.plans.ranking import Ranked
from costplan.reports.there import There, built

FROM_THE_DRIVE = (
    "feed the motor from the drive, not through its starter: that comes out of the motor's leads and its buttons go to the "
    "drive; nothing is switched between drive and motor"
)
MAY_TRIP = (
    "the drive is behind a ground-fault breaker, and its filter may trip that: ask its maker for the leakage, and the "
    "electrician whether it may be hard-wired"
)
OTHER_MOTOR = (
    "the overload device is set or changed for the new motor's plate; a switch that reverses needs other contacts and a full "
    "stop; keep the old motor with its base and pulley"
)
OWN_OVERLOADS = (
    "the breaker guards its wires against short circuits only: each of its motors has an overload device of its own, and the "
    "machine is marked for one breaker (NEC 430.53, from memory)"
)
AHEAD = "its control transformer stays on the line, ahead of the drive; stop and limit switches must still stop the motor"
STRAIGHT_LEGS = "its control transformer hangs on the two straight legs, never on the made one (NEC 455.9)"
SINGLE_RATING = "it raises or lowers whatever comes in: never move it to a panel of other volts"


def said_of(facts: Facts, machine: Machine, way: Way, circuit: Circuit) -> Iterator[str]:
    """What is said of one machine by one way, sentence by sentence."""
    if way.supply is Supply.DRIVE and circuit.supplied.device is not None:
        yield FROM_THE_DRIVE
        if circuit.size.ground_fault:
            yield MAY_TRIP
        if machine.control_transformer:
            yield AHEAD
    if way.supply is Supply.MOTOR and circuit.supplied.device is not None:
        yield OTHER_MOTOR
        yield from _feet(machine, circuit)
    if way.supply is Supply.TRANSFORMER:
        yield SINGLE_RATING
    if circuit.supplied.load.fed_at:
        yield circuit.supplied.load.fed_at
    if circuit.supplied.load.more:
        yield OWN_OVERLOADS
    if machine.control_transformer and _made_leg(facts, circuit.panel):
        yield STRAIGHT_LEGS


def device_notes(facts: Facts, there: There) -> tuple[str, ...]:
    """What is said of the machines of a plan, each with its machines' names."""
    found: dict[str, dict[str, None]] = {}
    for powered in there.powered:
        for words in said_of(facts, powered.machine, powered.way, powered.circuit):
            found.setdefault(words, {})[written(facts, powered.machine.name)] = None
    return tuple(f"{', '.join(names)}: {words}" for words, names in found.items())


def said_of_part(facts: Facts, ranked: Ranked, kind: str) -> str:
    """What is said beside a drive, a motor or a transformer that is bought; empty for other kinds."""
    supply = {DRIVE: Supply.DRIVE, MOTOR: Supply.MOTOR, TRANSFORMER: Supply.TRANSFORMER}.get(kind)
    if supply is None:
        return ""
    found: dict[str, None] = {}
    for machine, way, _, circuit in built(facts, ranked):
        if way.supply is supply:
            found |= dict.fromkeys(said_of(facts, machine, way, circuit))
    return "; ".join(found)


def _feet(machine: Machine, circuit: Circuit) -> Iterator[str]:
    device = circuit.supplied.device
    frame = dict(device.item.spec.equal).get("frame", "") if device is not None else ""
    if machine.frame is not None and frame and frame.upper() != machine.frame.strip().upper():
        yield f"frame {frame} in place of {machine.frame}: same shaft and height, but the foot holes differ in length"


def _made_leg(facts: Facts, panel: str) -> bool:
    """Whether one leg of a panel is made by a converter."""
    known = facts.panels.get(panel)
    return bool(facts.converters_above(panel)) or (known is not None and known.manufactured_leg)
