"""Topics of heaters: their breaker, what heat does to wire and cord, and whether they may be on a plug."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.model.choices import DROPS, LoadKind, Method
from costplan.model.heaters import PORTABLE_HEATER_A
from costplan.program.ranking import Ranked
from costplan.reports.priced import Priced
from costplan.reports.remarks import Topic
from costplan.reports.there import Powered
from costplan.studies.size_cost import Told, difference_words

Holds = Callable[[Facts, Ranked, Powered, bool], bool | str]
"""Whether a topic holds of a machine's circuit; the last says whether its run is made today.

A text says more about that, empty where the topic does not hold.
"""


def stands_hot(powered: Powered) -> bool:
    """Whether it is a heater that is hard-wired or draws more than what is carried about, and gets another circuit."""
    size, heater = powered.circuit.size, powered.circuit.supplied.load.kind is LoadKind.HEATER
    large = size.configuration is None or size.current_a > PORTABLE_HEATER_A
    return heater and large and powered.changes


def _heater_clearance(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    return stands_hot(powered)


def _heater_plate(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    machine = powered.machine
    return stands_hot(powered) and machine.breaker_a is None and machine.breaker_at_most_a is None


def _heater_on_a_plug(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool | str:
    """Whether a heater with bare ends gets a plug today; what it costs more or less hard-wired, where that is known."""
    machine, circuit = powered.machine, powered.circuit
    heater = circuit.supplied.load.kind is LoadKind.HEATER and machine.plug is None
    if not heater or circuit.size.configuration is None or powered.stays:
        return False
    if not made or powered.way.method not in DROPS:
        return True
    wired = replace(powered.way, family=None, slack_ft=Decimal(0), ground_fault_receptacle=False, grip=0)
    known = Told(powered.way, circuit.standing, machine)
    money = difference_words(facts, ranked, known, replace(known, way=wired))
    return Priced(f"hard-wired, {money}", "") if money else True


def _heater_on_a_cord(facts: Facts, ranked: Ranked, powered: Powered, made: bool) -> bool:
    heater = powered.circuit.supplied.load.kind is LoadKind.HEATER and powered.way.method is Method.CORD
    return heater and powered.circuit.size.current_a > PORTABLE_HEATER_A


HEATER_TOPICS: Mapping[Topic, Holds] = {
    Topic.HEATER_ON_A_CORD: _heater_on_a_cord,
    Topic.HEATER_PLATE: _heater_plate,
    Topic.HEATER_CLEARANCE: _heater_clearance,
    Topic.HEATER_ON_A_PLUG: _heater_on_a_plug,
}
"""When a heater's circuit gives rise to a topic."""
