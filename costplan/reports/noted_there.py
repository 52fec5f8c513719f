"""Topics of circuits that are there and stay: what nobody sees of them from outside, and must look at."""

from collections.abc import Callable, Iterator, Mapping

from costplan.circuits.facts import Facts
from costplan.circuits.outlets import where_outlet_is
from costplan.model.installed import usual_ground_awg
from costplan.model.shop import Machine
from costplan.reports.remarks import Topic
from costplan.reports.there import Had, Powered
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
}
"""When a circuit that is there, or a plug, gives rise to a topic; a text says more about it."""
