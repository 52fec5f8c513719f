"""Whether what is there still serves what is asked: the end, the breaker, the wire, the run; and its sizes where it does."""

from dataclasses import replace
from decimal import Decimal

from costplan.circuits.circuit import Builder, Circuit, Standing
from costplan.circuits.grounds import ground_suits, same_ground
from costplan.circuits.needs import Spec
from costplan.circuits.outlet_key import DISCONNECT
from costplan.circuits.size_types import CannotSizeError, CircuitSize
from costplan.circuits.things import PartKind
from costplan.circuits.wire import largest_on_welders_wire_a
from costplan.model.choices import Method
from costplan.model.installed import protected_to_a
from costplan.model.ratings import LISTED_FOR_PLACE
from costplan.standards import receptacles
from costplan.standards.conductors import awg_rank
from costplan.standards.loads import motor_disconnect_a
from costplan.standards.receptacles import Configuration


def same_needs(as_is: Circuit, wanted: Circuit) -> bool:
    """Whether the outlet as it is would do at the new place."""
    return (
        as_is.panel == wanted.panel
        and ends_still_serve(as_is, wanted)
        and _wire_still_serves(as_is, wanted)
        and as_is.size.conductors >= wanted.size.conductors
    )


def ends_still_serve(as_is: Circuit, wanted: Circuit) -> bool:
    """Whether receptacle or disconnect and breaker that are there will do."""
    return end_still_serves(as_is, wanted) and breaker_still_serves(as_is, wanted)


def end_still_serves(as_is: Circuit, wanted: Circuit) -> bool:
    """Whether the receptacle or disconnect that is there will do."""
    there, asked = as_is.size.configuration, wanted.size.configuration
    if there == asked:
        return as_is.receptacle.spec.covers(_end_asked(as_is, wanted))
    have, want = receptacles.known(there), receptacles.known(asked)
    return have is not None and want is not None and _other_one_serves(have, want, as_is, wanted)


def _end_asked(as_is: Circuit, wanted: Circuit) -> Spec:
    """What the end must be; a disconnect is good behind the breaker that stays, and for the motor (NFPA 70 430.110(A)).

    A receptacle that stays need not be tamper-resistant or weather-resistant; one that takes its place must (406.4(D)(5),
    (6), from memory).
    """
    spec = wanted.receptacle.spec
    spec = replace(spec, equal=tuple(entry for entry in spec.equal if entry[0] not in LISTED_FOR_PLACE))
    if spec.kind != PartKind.DISCONNECT or not breaker_still_serves(as_is, wanted):
        return spec
    load_a = motor_disconnect_a(wanted.size.current_a) if wanted.hard_wired_motor else wanted.size.current_a
    rating_a = max(Decimal(as_is.size.breaker_a), load_a)
    low = tuple(
        (name, min(value, rating_a) if name == "rating_a" else value) for name, value in spec.at_least
    )
    return replace(spec, at_least=low)


def _other_one_serves(have: Configuration, want: Configuration, as_is: Circuit, wanted: Circuit) -> bool:
    """Whether another receptacle than habit asks for takes the machine's plug, or carries it where it has none of its own."""
    plug = wanted.supplied.load.plug
    takes = (
        have in receptacles.taking(plug)
        if plug is not None
        else (have.family, have.system) == (want.family, want.system)
        and wanted.size.minimum_ampacity_a <= have.rating_a <= want.rating_a
    )
    behind = as_is if breaker_still_serves(as_is, wanted) else wanted
    return takes and receptacles.carries(have.rating_a, behind.size.breaker_a, wanted.size.current_a)


def breaker_still_serves(as_is: Circuit, wanted: Circuit) -> bool:
    """Whether the breaker that is there will do: any that carries the load and that the circuit may have."""
    have, asked = as_is.breaker.item.spec, wanted.breaker.item.spec
    if not ground_suits(as_is.ground_awg, as_is.size.breaker_a, as_is.size.awg):
        return False
    if as_is.breaker.item.serves(wanted.breaker.item):
        return True
    size, there = wanted.size, as_is.size
    within = size.breaker_at_least_a <= there.breaker_a <= size.breaker_most_a
    return within and have.same_as(asked) and _wire_suits(as_is, wanted)


def _wire_still_serves(as_is: Circuit, wanted: Circuit) -> bool:
    """Whether the wire that is there carries the load and suits its breaker, whatever habit would lay anew."""
    there = as_is.size.awg
    if awg_rank(there) >= awg_rank(wanted.size.awg):
        return True
    carries = awg_rank(there) >= awg_rank(wanted.size.awg_at_least)
    return carries and _wire_suits(as_is, wanted) and ends_still_serve(as_is, wanted)


def _wire_suits(as_is: Circuit, wanted: Circuit) -> bool:
    """Whether the wire that is there may be behind the breaker that is there."""
    awg, breaker_a, column_c = as_is.size.awg, as_is.size.breaker_a, wanted.size.column_c
    if wanted.hard_wired_motor or protected_to_a(awg, column_c) >= breaker_a:
        return True
    return largest_on_welders_wire_a(wanted.supplied.load, awg, column_c) >= breaker_a


def on_wires_of(asked: CircuitSize, had: CircuitSize) -> CircuitSize:
    """What is asked for, on wires that stay: current and ends are those asked for, wires those that were laid or bought."""
    return replace(asked, awg=had.awg, conductors=had.conductors, wires=had.wires)


def cord_ending_as(as_is: Circuit, wanted: Circuit) -> CircuitSize | None:
    """The size of the cord that is asked for, with the connector that takes the machine's plug as it is."""
    had, asked = as_is.cord_size, wanted.cord_size
    return asked if had is None or asked is None else replace(asked, configuration=had.configuration)


def cord_still_serves(builder: Builder, as_is: Circuit, wanted: Circuit) -> bool:
    """Whether the cord that is there is long enough without its slack, and of the wires asked for at its own length."""
    had, asked = as_is.cable, wanted.cable
    assert had is not None
    assert asked is not None
    if builder.way.method is Method.CORD and had.length_ft < asked.length_ft - int(builder.way.slack_ft):
        return False
    try:
        need = builder.cord_of(wanted, had.length_ft)
    except CannotSizeError:
        return False
    low = dict(had.spec.at_least)
    return need is not None and (
        set(need.spec.equal) <= set(had.spec.equal)
        and all(low.get(name, value) >= value for name, value in need.spec.at_least)
    )


def cord_kept(as_is: Circuit, wanted: Circuit) -> CircuitSize | None:
    """The size of a cord that stays, for what hangs on it now: its ends are those that are asked for."""
    had, asked = as_is.cord_size, wanted.cord_size
    return had if had is None or asked is None else on_wires_of(asked, had)


def on_ends_of(asked: CircuitSize, had: CircuitSize) -> CircuitSize:
    """What is asked for, behind a breaker and with an end that stay."""
    return replace(asked, breaker_a=had.breaker_a, poles=had.poles, configuration=had.configuration)


def in_reach(builder: Builder, as_is: Circuit, wanted: Circuit) -> bool:
    """Whether the machine where it will stand reaches the outlet that is there."""
    if as_is.outlet_place == wanted.outlet_place:
        return True
    if builder.way.method is Method.CORD:
        return False
    return cord_to_ft(builder, as_is, wanted.standing) <= as_is.reach_ft


def cord_to_ft(builder: Builder, as_is: Circuit, standing: Standing) -> Decimal:
    """Feet that a cord has to go from the outlet that is there to a machine at a standing; a pendant's end hangs already.

    Raises NoRouteError.
    """
    routes, factor = builder.facts.routes, standing.route_factor
    if builder.way.method is Method.CEILING:
        return routes.distance_ft(as_is.outlet_place, standing.place) * factor
    return routes.cord_between_ft(as_is.outlet_place, standing.place, factor)


def run_still_serves(builder: Builder, as_is: Circuit, wanted: Circuit) -> bool:
    """Whether the run that is there will do, whatever is at its ends."""
    return (
        as_is.panel == wanted.panel
        and in_reach(builder, as_is, wanted)
        and _wire_still_serves(as_is, wanted)
        and _ground_still_serves(as_is, wanted)
        and as_is.size.conductors >= wanted.size.conductors
    )


def _ground_still_serves(as_is: Circuit, wanted: Circuit) -> bool:
    """Whether the run has a ground for the end asked for, thick enough for the breaker that it then has."""
    ends = [circuit.size.configuration or DISCONNECT for circuit in (as_is, wanted)]
    if not same_ground(*ends, stated=bool(as_is.ground_awg)):
        return False
    kept = breaker_still_serves(as_is, wanted)
    return kept or ground_suits(as_is.ground_awg, wanted.size.breaker_a, as_is.size.awg)
