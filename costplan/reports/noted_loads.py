"""Topics of what a circuit carries: heaters, on a plug or a cord and by their plate, and how motors and welders run."""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from costplan.circuits.ground_fault import ONE_LINE_V
from costplan.model.choices import DROPS, LoadKind
from costplan.model.heaters import PORTABLE_HEATER_A
from costplan.reports.noted_machine import Holds, InPlan
from costplan.reports.priced import Priced
from costplan.reports.remarks import Topic
from costplan.reports.there import Powered
from costplan.studies.size_cost import difference_words

LOW_VOLTAGE_V = 250
"""Above this plain devices, cords and switches are too weak."""


def stands_hot(powered: Powered) -> bool:
    """Whether it is a heater that is hard-wired or draws more than what is carried about, and gets another circuit."""
    size, heater = powered.circuit.size, powered.circuit.supplied.load.kind is LoadKind.HEATER
    large = size.configuration is None or size.current_a > PORTABLE_HEATER_A
    return heater and large and powered.changes


def _heater_on_a_plug(at: InPlan) -> bool | str:
    """Whether a heater with bare ends gets a plug today; what it costs more or less hard-wired, where that is known."""
    heater = at.load.kind is LoadKind.HEATER and at.machine.plug is None
    if not heater or at.hard_wired or at.powered.stays:
        return False
    if not at.made or at.way.method not in DROPS:
        return True
    wired = replace(at.way, family=None, slack_ft=Decimal(0), ground_fault_receptacle=False, grip=0)
    money = difference_words(at.facts, at.ranked, at.told, replace(at.told, way=wired))
    return Priced(f"hard-wired, {money}", "") if money else True


def _controls_unknown(at: InPlan) -> bool:
    """A motor above 120 V that came without a plug, of which nobody said whether it takes a neutral; a plug would show it."""
    load, said = at.load, "neutral" in at.machine.model_fields_set
    plain = load.kind is LoadKind.MOTOR and load.volts > ONE_LINE_V and not load.driven
    return at.changes and plain and at.machine.plug is None and not said


LOAD_TOPICS: Mapping[Topic, Holds] = {
    Topic.HEATER_ON_A_CORD: lambda at: (
        at.load.kind is LoadKind.HEATER and at.by_cord and at.size.current_a > PORTABLE_HEATER_A
    ),
    Topic.HEATER_PLATE: lambda at: stands_hot(at.powered) and not at.says_breaker,
    Topic.HEATER_CLEARANCE: lambda at: stands_hot(at.powered),
    Topic.HEATER_ON_A_PLUG: _heater_on_a_plug,
    Topic.STARTS_BY_ITSELF: lambda at: at.machine.starts_by_itself is True,
    Topic.HIGH_VOLTAGE: lambda at: at.made and at.load.volts > LOW_VOLTAGE_V,
    # The last piece of a motor that is hard-wired today may have to bend.
    Topic.VIBRATION: lambda at: at.changes and at.hard_wired and at.load.turns,
    # On another circuit two lines that change places turn it the other way.
    Topic.ROTATION: lambda at: at.changes and at.load.turns and at.machine.phases == 3 and not at.load.driven,
    Topic.WELDER_OUTLET: lambda at: at.changes and at.load.kind.welds and not at.hard_wired,
    Topic.CONTROLS_UNKNOWN: _controls_unknown,
}
"""When what a circuit carries gives rise to a topic."""
