"""The current a load draws, and the current its wires must carry."""

from decimal import Decimal

from costplan.circuits.size_types import CannotSizeError, Load, Reason
from costplan.model.choices import LoadKind
from costplan.standards import motors, receptacles, tables, welders

_MOTOR_OR_CONTINUOUS = Decimal("1.25")


def load_current_a(load: Load) -> tuple[Decimal, Reason]:
    """The current that wire and breaker are sized by, in amperes, and why.

    A motor's horsepower gives the table current, whatever its plate says (NFPA 70 430.6(A)(1)); a machine that came with
    a plug is taken as listed, and the amperes marked on it rule beside its horsepower (430.6(A)(1) Exception 3, from
    memory). Raises CannotSizeError when neither gives a current.
    """
    table_a, said = _table_current_a(load)
    if table_a is None:
        if load.amps_a is None:
            raise CannotSizeError(f"{said or 'neither amps nor hp is stated'}; write amps from the nameplate")
        detail = f"{text(load.amps_a)} A stated" + (f"; {said}" if said else "")
        return load.amps_a, Reason("load current", "nameplate", detail)
    source = f"NFPA 70 430.6(A)(1); {tables.cite(motors.table_name(load.phases))}"
    if load.amps_a is None:
        own = receptacles.known(load.plug)
        if own is not None and own.rating_a < table_a < own.rating_a * motors.FAR_APART:
            detail = f"{own.rating_a} A: it came with a {own.code} plug, so it draws no more; {said}; write its amperes"
            return Decimal(own.rating_a), Reason("load current", f"plug; {source}", detail)
        return table_a, Reason("load current", source, said)
    if load.plug is not None:
        detail = (
            f"{text(load.amps_a)} A stated: it came with a plug, so the amperes marked on it rule beside its "
            f"horsepower; {said}"
        )
        return load.amps_a, Reason("load current", f"nameplate; {source} Exception 3, from memory", detail)
    detail = f"{said}; the nameplate says {text(load.amps_a)} A, but a motor's circuit goes by the table"
    return table_a, Reason("load current", source, detail)


def _table_current_a(load: Load) -> tuple[Decimal | None, str]:
    """The full-load current by horsepower and what to say about it, None when the table has none."""
    if load.hp is None or not (load.motor or load.amps_a is None):
        return None, ""
    try:
        row = motors.full_load_row(load.hp, load.phases)
        table_a = motors.full_load_current_a(load.hp, load.phases, load.volts)
    except LookupError as missing:
        return None, str(missing.args[0])
    return table_a, f"{text(load.hp)} hp at {load.volts} V: row {row} hp, {text(table_a)} A"


def minimum_ampacity_a(load: Load, current_a: Decimal) -> tuple[Decimal, Reason]:
    """The current that the wires must carry at least, in amperes, and why.

    125 % for a motor (NFPA 70 430.22) or a continuous load (210.19(A)); a welder's by its duty cycle (630.11(A)).
    """
    if load.kind is LoadKind.WELDER:
        return _welder_ampacity_a(load, current_a)
    if not (load.motor or load.continuous):
        detail = f"100 % of {text(current_a)} A: neither a motor nor continuous"
        return current_a, Reason("minimum ampacity", "NFPA 70 210.19(A)", detail)
    source, why = ("430.22", "a motor") if load.motor else ("210.19(A), 210.20(A)", "a continuous load")
    ampacity_a = current_a * _MOTOR_OR_CONTINUOUS
    detail = f"125 % of {text(current_a)} A for {why}: {text(ampacity_a)} A"
    return ampacity_a, Reason("minimum ampacity", f"NFPA 70 {source}", detail)


def _welder_ampacity_a(load: Load, current_a: Decimal) -> tuple[Decimal, Reason]:
    if load.effective_a is not None:
        detail = f"{text(load.effective_a)} A effective, as the plate says"
        return load.effective_a, Reason("minimum ampacity", "nameplate; NFPA 70 630.11(A)", detail)
    if load.duty_cycle is None:
        detail = f"all of {text(current_a)} A, since the plate's duty cycle is not known"
        return current_a, Reason("minimum ampacity", "NFPA 70 630.11(A)", detail)
    factor = welders.factor(load.duty_cycle)
    ampacity_a = current_a * factor
    detail = (
        f"{text(factor)} x {text(current_a)} A at a duty cycle of {text(load.duty_cycle * 100)} %: "
        f"{text(ampacity_a)} A"
    )
    return ampacity_a, Reason("minimum ampacity", tables.cite(welders.FACTORS), detail)


def text(value: Decimal) -> str:
    """A figure without trailing zeros."""
    return f"{value.normalize():f}"
