"""Input wiring of phase converters (NFPA 70 Article 455), and the power a machine has behind one."""

from decimal import Decimal

from costplan.standards import tables
from costplan.standards.loads import rule_value
from costplan.standards.overcurrent import next_standard_size_a

CONVERTER_POWER = "common_practice_converter_power"


def supply_breaker_a(input_a: Decimal, edition: int | None = None) -> int:
    """The largest breaker a converter's supply may have, in amperes.

    125 % of the nameplate's single-phase input, or the next standard size up. Raises LookupError above the
    list of sizes. Source: NFPA 70 455.7, 240.6(A).
    """
    return next_standard_size_a(input_a * rule_value("converter breaker"), edition)


def disconnect_a(input_a: Decimal) -> Decimal:
    """Least rating in amperes of a converter's disconnect, from its single-phase input. Source: 455.8(C)."""
    return input_a * rule_value("converter disconnect")


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
