"""Input wiring of phase converters (NFPA 70 Article 455), and what converters and drives lose."""

from decimal import Decimal

from costplan.standards import tables
from costplan.standards.loads import rule_value
from costplan.standards.overcurrent import next_standard_size_a

DRIVE_LOSSES = "converter_losses"
CONVERTER_LOSSES = "common_practice_converter_losses"
CONVERTER_POWER = "common_practice_converter_power"


def supply_ampacity_a(input_a: Decimal) -> Decimal:
    """Least ampacity in amperes of the single-phase supply conductors of a converter whose loads vary.

    `input_a` is the rated single-phase input current on its nameplate. Source: NFPA 70 455.6(A)(1).
    """
    return input_a * rule_value("converter conductors")


def supply_ampacity_fixed_loads_a(
    sum_output_a: Decimal, output_volts: Decimal | int, input_volts: Decimal | int
) -> Decimal:
    """Least ampacity in amperes of the supply conductors of a converter that feeds only fixed, known loads.

    `sum_output_a` adds the three-phase motors' and other loads' full-load currents. Source: 455.6(A)(2).
    """
    return _at_input(sum_output_a, output_volts, input_volts) * rule_value(
        "converter conductors, fixed loads"
    )


def supply_breaker_a(input_a: Decimal, edition: int | None = None) -> int:
    """The largest breaker a converter's supply may have, in amperes.

    125 % of the nameplate's single-phase input, or the next standard size up. Raises LookupError above the
    list of sizes. Source: NFPA 70 455.7, 240.6(A).
    """
    return next_standard_size_a(input_a * rule_value("converter breaker"), edition)


def disconnect_a(input_a: Decimal) -> Decimal:
    """Least rating in amperes of a converter's disconnect, from its single-phase input. Source: 455.8(C)."""
    return input_a * rule_value("converter disconnect")


def disconnect_fixed_loads_a(
    sum_output_a: Decimal, output_volts: Decimal | int, input_volts: Decimal | int
) -> Decimal:
    """Least rating in amperes of a circuit breaker that is the disconnect of fixed, known loads.

    Source: NFPA 70 455.8(C)(1).
    """
    return _at_input(sum_output_a, output_volts, input_volts) * rule_value(
        "converter disconnect, fixed loads"
    )


def _at_input(current_a: Decimal, output_volts: Decimal | int, input_volts: Decimal | int) -> Decimal:
    return current_a * output_volts / input_volts


def drive_efficiency(rated_hp: Decimal | int, load_percent: Decimal | int = 100) -> Decimal:
    """Share of the power taken in that a drive gives out, by its rated horsepower and its load.

    Takes the row at or below the size, then at or below the load, else the first; nothing is interpolated.
    Source: US Department of Energy, Motor Systems Tip Sheet 11, table 1; from memory.
    """
    rows = _rows_at(tables.table(DRIVE_LOSSES), "rated_hp", rated_hp)
    return Decimal(_rows_at(rows, "load_percent", load_percent)[0]["efficiency_percent"]) / 100


def converter_efficiency(kind: str) -> Decimal:
    """Share of the power taken in that a rotary or solid-state phase converter gives out at full load.

    Raises LookupError for another kind. Common practice, no source; the part's own figure is better.
    """
    return Decimal(tables.look_up(CONVERTER_LOSSES, {"kind": kind}, "efficiency_percent")) / 100


def power_share(kind: str) -> Decimal:
    """Share of its motor's power that a machine has behind a converter: less than 1 for one that only starts motors.

    Common practice, no source; the part's own figure is better.
    """
    row = _power_row(kind)
    return Decimal(row["share_numerator"]) / Decimal(row["share_denominator"]) if row else Decimal(1)


def motors_at_once(kind: str) -> int | None:
    """How many motors a converter runs at once, None where its amperes alone say so. Common practice, no source."""
    row = _power_row(kind)
    return int(row["motors_at_once"]) if row else None


def _power_row(kind: str) -> tables.Row | None:
    return next((row for row in tables.table(CONVERTER_POWER) if row["kind"] == kind), None)


def _rows_at(rows: tuple[tables.Row, ...], column: str, value: Decimal | int) -> tuple[tables.Row, ...]:
    """The rows whose column holds the largest number not above a value, else the smallest there is."""
    held = sorted({Decimal(row[column]) for row in rows})
    taken = next((number for number in reversed(held) if number <= value), held[0])
    return tuple(row for row in rows if Decimal(row[column]) == taken)
