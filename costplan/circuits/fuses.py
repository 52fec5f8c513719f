"""The fuses of a hard-wired machine whose disconnect is to have them, and the switch whose clips take them."""

from costplan.circuits.currents import currents, text
from costplan.circuits.needs import Attribute, Need, make_spec
from costplan.circuits.run_parts import switch_marks
from costplan.circuits.size_types import CannotSizeError, CircuitSize, Load, Reason, RuleOf
from costplan.model.ratings import FUSE, FUSED_DISCONNECT
from costplan.standards import overcurrent, tables
from costplan.standards.loads import motor_disconnect_a


def fuse_a(load: Load, size: CircuitSize) -> int:
    """The dual-element time-delay fuse of a load, in amperes: the largest that is allowed, so that a motor starts.

    A motor's is 175 % of its current, then the next standard size (NFPA 70 430.52(C)(1)); of several motors that of the
    largest and the currents of all else, then down (430.53(C)(4), 430.62(A), from memory). Another load's is the first not
    below its least ampacity, a welder's not below its current either (630.12, 630.32). What the plate names rules.
    Raises CannotSizeError.
    """
    try:
        if load.maker_breaker_a is not None:
            found_a = load.maker_breaker_a
        elif load.motor:
            found_a = motor_fuse_a(load)
        elif load.kind.welds:
            found_a = overcurrent.next_fuse_size_a(max(size.minimum_ampacity_a, size.current_a))
        else:
            found_a = overcurrent.next_fuse_size_a(size.minimum_ampacity_a)
        if load.breaker_at_most_a is not None:
            found_a = min(found_a, overcurrent.largest_fuse_size_a(load.breaker_at_most_a))
    except LookupError as missing:
        raise CannotSizeError(str(missing.args[0])) from missing
    if found_a < size.current_a:
        raise CannotSizeError(
            f"its plate allows fuses of at most {found_a} A, and it draws {text(size.current_a)} A: read the plate again"
        )
    return found_a


def motor_fuse_a(load: Load) -> int:
    """The largest dual-element time-delay fuse of a motor circuit, in amperes. Raises LookupError above the list."""
    kind = "single-phase" if load.phases == 1 else "polyphase"
    percent = overcurrent.motor_protection_percent("time-delay fuse", kind)
    known = currents(load)
    largest_a = overcurrent.next_fuse_size_a(known.largest_a * percent / 100)
    return overcurrent.largest_fuse_size_a(largest_a + known.rest_a) if known.rest_a else largest_a


def fuse_reason(load: Load, fuses: Need) -> Reason:
    """Why the fuses are what they are."""
    rating_a = int(dict(fuses.spec.at_least)["rating_a"])
    what = f"{fuses.quantity} dual-element time-delay, {rating_a} A"
    if rating_a in (load.maker_breaker_a, load.breaker_at_most_a):
        return Reason(RuleOf.FUSES, "nameplate; NFPA 70 110.3(B)", f"{what}: as its plate says")
    if not load.motor:
        least = "its current" if load.kind.welds else "its least ampacity"
        return Reason(RuleOf.FUSES, tables.cite(overcurrent.STANDARD_SIZES), f"{what}: not below {least}")
    known = currents(load)
    rest = f" and the other {text(known.rest_a)} A, then down" if known.rest_a else ""
    detail = f"{what}: 175 % of {text(known.largest_a)} A, next standard size{rest}"
    return Reason(RuleOf.FUSES, f"{tables.cite(overcurrent.MOTOR_LIMITS)}; 240.6(A)", detail)


def fused_needs(load: Load, size: CircuitSize, line_volts: int) -> tuple[Need, Need]:
    """The fused disconnect that a hard-wired machine ends in, and its fuses, one a line. Raises CannotSizeError.

    The switch is the one whose clips take the fuses, of at least 115 % of a motor's current (NFPA 70 430.110(A)) and with
    no horsepower mark below the motor's (430.109).
    """
    rating_a = fuse_a(load, size)
    try:
        switch_a = overcurrent.fused_switch_a(rating_a)
    except LookupError as missing:
        raise CannotSizeError(str(missing.args[0])) from missing
    least_a = motor_disconnect_a(size.current_a) if load.motor else size.current_a
    if switch_a < least_a:
        raise CannotSizeError(
            f"a fused disconnect of {switch_a} A takes its fuses of {rating_a} A, and it asks for a switch of at least "
            f"{text(least_a)} A: ask the maker for the fuses"
        )
    low: dict[str, Attribute] = {
        "rating_a": switch_a,
        "poles": size.poles,
        "volts": line_volts,
    }
    switch = make_spec(FUSED_DISCONNECT, {}, low, {"rating_a": switch_a}, if_stated=switch_marks(load))
    fuse = make_spec(FUSE, {}, {"rating_a": rating_a, "volts": line_volts}, {"rating_a": rating_a})
    return Need(switch, 1), Need(fuse, size.poles)
