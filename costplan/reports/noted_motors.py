"""Topics of a machine's circuit that turn on how its motor runs, and on what else its circuit may serve."""

from collections.abc import Mapping

from costplan.circuits.facts import Facts
from costplan.circuits.ground_fault import ONE_LINE_V
from costplan.model.choices import LoadKind
from costplan.program.ranking import Ranked
from costplan.reports.noted_heaters import Holds
from costplan.reports.remarks import Topic
from costplan.reports.there import Powered

LOW_VOLTAGE_V = 250
"""Above this plain devices, cords and switches are too weak."""


def _starts_by_itself(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    return powered.machine.starts_by_itself is True


def _high_voltage(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    return made and powered.circuit.supplied.load.volts > LOW_VOLTAGE_V


def _hard_wired(powered: Powered) -> bool:
    return powered.circuit.size.configuration is None


def _vibration(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    """A motor that is hard-wired today: its last piece may have to bend."""
    return powered.changes and _hard_wired(powered) and powered.circuit.supplied.load.turns


def _rotation(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    """A three-phase motor on another circuit: two lines that change places turn it the other way."""
    load = powered.circuit.supplied.load
    return powered.changes and load.turns and powered.machine.phases == 3 and not load.driven


def _welder_outlet(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    return powered.changes and powered.circuit.supplied.load.kind.welds and not _hard_wired(powered)


def _controls_unknown(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    """A motor above 120 V that came without a plug, of which nobody said whether it takes a neutral; a plug would show it."""
    load, said = powered.circuit.supplied.load, "neutral" in powered.machine.model_fields_set
    plain = load.kind is LoadKind.MOTOR and load.volts > ONE_LINE_V and not load.driven
    return powered.changes and plain and powered.machine.plug is None and not said


MOTOR_TOPICS: Mapping[Topic, Holds] = {
    Topic.STARTS_BY_ITSELF: _starts_by_itself,
    Topic.HIGH_VOLTAGE: _high_voltage,
    Topic.VIBRATION: _vibration,
    Topic.ROTATION: _rotation,
    Topic.WELDER_OUTLET: _welder_outlet,
    Topic.CONTROLS_UNKNOWN: _controls_unknown,
}
"""When a circuit gives rise to a topic."""
