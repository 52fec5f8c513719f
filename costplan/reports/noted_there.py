"""Topics of circuits that are there and stay: what nobody sees of them from outside, and must look at."""

from collections.abc import Callable, Iterator, Mapping

from costplan.circuits.facts import Facts
from costplan.circuits.outlets import where_outlet_is
from costplan.circuits.run_parts import wiring_of
from costplan.circuits.size_types import Wiring
from costplan.model.installed import protected_to_a, usual_ground_awg
from costplan.model.shop import Machine
from costplan.reports.noted_damp import DAMP_TOPICS
from costplan.reports.remarks import Topic
from costplan.reports.there import DISCONNECT, Had, Powered
from costplan.standards import conductors, receptacles


def no_ground_contact(machine: Machine) -> bool:
    """Whether a machine came with a plug, or hangs on a receptacle, that has no ground contact (NFPA 70 250.140)."""
    ends = (machine.plug, machine.now.configuration if machine.now is not None else None)
    return not all(receptacles.has_ground(end) for end in ends)


def _frame_ground(facts: Facts, powered: Powered) -> bool:
    had = powered.had
    return no_ground_contact(powered.machine) or (had is not None and not receptacles.has_ground(had.end))


def _duplex(facts: Facts, powered: Powered) -> bool:
    """A receptacle that stays behind a breaker of more amperes, where nobody said that it has two openings."""
    had = powered.had
    if had is None or powered.receptacle is not None or _said(facts, had, "duplex") is not None:
        return False
    device = receptacles.known(had.end)
    return device is not None and device.rating_a < powered.breaker_a


def _ground_size(facts: Facts, powered: Powered) -> str:
    """A ground that nobody looked at, in a run that stays, where its breaker asks for more than such runs mostly have."""
    had = powered.had
    if had is None or _said(facts, had, "ground_awg") is not None:
        return ""
    try:
        asked = conductors.least_ground_awg(powered.breaker_a, had.awg)
        usual = usual_ground_awg(had.awg)
    except LookupError:
        return ""
    return f"at least {asked} AWG" if conductors.awg_rank(asked) > conductors.awg_rank(usual) else ""


def _shared_circuit(facts: Facts, powered: Powered) -> bool:
    """A machine that keeps the circuit it has, of which nobody said whether anything else is on it."""
    had, now = powered.had, powered.machine.now
    return had is not None and now is not None and had.owner == powered.machine.name and now.alone is None


def protects_a(facts: Facts, powered: Powered, marked_c: int | None = None) -> int:
    """What protects the wire of a circuit, in amperes, whatever is on it (NFPA 70 240.4(B), (D)).

    `marked_c`: what both ends are marked for; left out, what the file says, else the lower column.
    """
    had = powered.had
    awg = powered.circuit.size.awg if had is None else had.awg
    cable = wiring_of(powered.way) is Wiring.CABLE
    marked_c = marked_c or powered.circuit.supplied.load.terminals_c or facts.rules.terminals_c
    column_c = conductors.terminal_column_c("nonmetallic cable") if cable else marked_c
    return protected_to_a(awg, column_c)


def _welder_wire(facts: Facts, powered: Powered) -> str:
    """A welder's breaker above its wire, both of which stay (NFPA 70 630.12(B), 630.32(B)): for that welder alone."""
    had, welds = powered.had, powered.circuit.supplied.load.kind.welds
    if had is None or not welds or powered.breaker is not None:
        return ""
    if powered.breaker_a <= protects_a(facts, powered):
        return ""
    ordinary = powered.breaker_a <= protects_a(facts, powered, 75)
    also = "; an ordinary circuit where both ends are marked for 75 C" if ordinary else ""
    return f"{powered.breaker_a} A on {had.awg} AWG{also}"


def _protection_stays(facts: Facts, powered: Powered) -> bool | str:
    """An outlet whose breaker stays, where a new one would be protected; a text where its receptacle is replaced."""
    had, size = powered.had, powered.circuit.size
    if had is None or had.end == DISCONNECT or powered.breaker is not None or not size.protected:
        return False
    if powered.receptacle is None:
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


THERE_TOPICS: Mapping[Topic, Callable[[Facts, Powered], bool | str]] = {
    Topic.FRAME_GROUND: _frame_ground,
    Topic.DUPLEX: _duplex,
    Topic.GROUND_SIZE: _ground_size,
    Topic.SHARED_CIRCUIT: _shared_circuit,
    Topic.WELDER_WIRE: _welder_wire,
    Topic.PROTECTION_STAYS: _protection_stays,
    **DAMP_TOPICS,
}
"""When a circuit that is there, or a plug, gives rise to a topic; a text says more about it."""
