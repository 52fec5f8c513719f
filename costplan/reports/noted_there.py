"""Topics of circuits that are there and stay: what nobody sees of them from outside, and must look at."""

from collections.abc import Iterator, Mapping

from costplan.circuits.facts import Facts
from costplan.circuits.outlet_key import DISCONNECT
from costplan.circuits.outlets import where_outlet_is
from costplan.circuits.run_parts import wiring_of
from costplan.circuits.size_types import Wiring
from costplan.model.installed import protected_to_a, usual_ground_awg
from costplan.model.shop import Machine
from costplan.reports.noted_damp import DAMP_TOPICS
from costplan.reports.noted_machine import Holds, InPlan
from costplan.reports.remarks import Topic
from costplan.reports.there import Had
from costplan.standards import conductors, receptacles


def no_ground_contact(machine: Machine) -> bool:
    """Whether a machine came with a plug, or hangs on a receptacle, that has no ground contact (NFPA 70 250.140)."""
    ends = (machine.plug, machine.now.configuration if machine.now is not None else None)
    return not all(receptacles.has_ground(end) for end in ends)


def _frame_ground(at: InPlan) -> bool:
    had = at.powered.had
    return no_ground_contact(at.machine) or (had is not None and not receptacles.has_ground(had.end))


def _duplex(at: InPlan) -> bool:
    """A receptacle that stays behind a breaker of more amperes, where nobody said that it has two openings."""
    had = at.powered.had
    if had is None or at.powered.receptacle is not None or _said(at.facts, had, "duplex") is not None:
        return False
    device = receptacles.known(had.end)
    return device is not None and device.rating_a < at.powered.breaker_a


def _ground_size(at: InPlan) -> str:
    """A ground that nobody looked at, in a run that stays, where its breaker asks for more than such runs mostly have."""
    had = at.powered.had
    if had is None or _said(at.facts, had, "ground_awg") is not None:
        return ""
    try:
        asked = conductors.least_ground_awg(at.powered.breaker_a, had.awg)
        usual = usual_ground_awg(had.awg)
    except LookupError:
        return ""
    return f"at least {asked} AWG" if conductors.awg_rank(asked) > conductors.awg_rank(usual) else ""


def _shared_circuit(at: InPlan) -> bool:
    """A machine that keeps the circuit it has, of which nobody said whether anything else is on it."""
    had, now = at.powered.had, at.machine.now
    return had is not None and now is not None and had.owner == at.machine.name and now.alone is None


def protects_a(at: InPlan, marked_c: int | None = None) -> int:
    """What protects the wire of a circuit, in amperes, whatever is on it (NFPA 70 240.4(B), (D)).

    `marked_c`: what both ends are marked for; left out, what the file says, else the lower column.
    """
    had = at.powered.had
    awg = at.size.awg if had is None else had.awg
    cable = wiring_of(at.way) is Wiring.CABLE
    marked_c = marked_c or at.load.terminals_c or at.facts.rules.terminals_c
    column_c = conductors.terminal_column_c("nonmetallic cable") if cable else marked_c
    return protected_to_a(awg, column_c)


def _welder_wire(at: InPlan) -> str:
    """A welder's breaker above its wire, both of which stay (NFPA 70 630.12(B), 630.32(B)): for that welder alone."""
    had, welds = at.powered.had, at.load.kind.welds
    if had is None or not welds or at.powered.breaker is not None:
        return ""
    if at.powered.breaker_a <= protects_a(at):
        return ""
    ordinary = at.powered.breaker_a <= protects_a(at, 75)
    also = "; an ordinary circuit where both ends are marked for 75 C" if ordinary else ""
    return f"{at.powered.breaker_a} A on {had.awg} AWG{also}"


def _protection_stays(at: InPlan) -> bool | str:
    """An outlet whose breaker stays, where a new one would be protected; a text where its receptacle is replaced."""
    had, size = at.powered.had, at.size
    if had is None or had.end == DISCONNECT or at.powered.breaker is not None or not size.protected:
        return False
    if at.powered.receptacle is None:
        return True
    return False if size.ground_fault_receptacle else "its receptacle is replaced today: 406.4(D)(3)"


def _said(facts: Facts, had: Had, word: str) -> object:
    """What the file says of an outlet that is there; None where it says nothing."""
    return next((getattr(told, word) for told in _told(facts, had) if getattr(told, word) is not None), None)


def _told(facts: Facts, had: Had) -> Iterator[object]:
    if had.owner:
        yield facts.machines[had.owner].now
    else:
        for outlet in facts.shop.installed:
            place = where_outlet_is(outlet.method, outlet.panel, outlet.place)
            told = (place, outlet.panel, outlet.method, outlet.configuration)
            if told == (had.place, had.panel, had.method, had.end):
                yield outlet


THERE_TOPICS: Mapping[Topic, Holds] = {
    Topic.FRAME_GROUND: _frame_ground,
    Topic.DUPLEX: _duplex,
    Topic.GROUND_SIZE: _ground_size,
    Topic.SHARED_CIRCUIT: _shared_circuit,
    Topic.WELDER_WIRE: _welder_wire,
    Topic.PROTECTION_STAYS: _protection_stays,
    **DAMP_TOPICS,
}
"""When a circuit that is there, or a plug, gives rise to a topic; a text says more about it."""
