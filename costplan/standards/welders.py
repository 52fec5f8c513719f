"""What a welder asks of its circuit, by its kind and its duty cycle (NFPA 70 Article 630)."""

from decimal import Decimal

from costplan.standards import tables

FACTORS = "nfpa70_table_630_11_a"
RESISTANCE_FACTORS = "nfpa70_table_630_31_a_2"
RULES = "nfpa70_welder_rules"
HABITS = "common_practice_welders"
LEAST_ARC_DUTY = Decimal("0.2")
"""Where Table 630.11(A) begins; a plate of less is mostly a resistance welder's (common practice, no source)."""


def factor(duty_cycle: Decimal) -> Decimal:
    """Share of the rated primary current that the wires of a nonmotor arc welder must carry.

    `duty_cycle` is a share; one between two rows takes the higher row, the dearer reading. Raises LookupError above 1.
    Source: NFPA 70 Table 630.11(A).
    """
    return _of_duty(FACTORS, "nonmotor", duty_cycle)


def resistance_factor(duty_cycle: Decimal) -> Decimal:
    """Share of its actual primary current that the wires of a resistance welder must carry, which ever does one operation.

    `duty_cycle` is a share; one between two rows takes the higher row, the dearer reading. Raises LookupError above
    0.5, where the table ends. Source: NFPA 70 Table 630.31(A)(2), from memory.
    """
    return _of_duty(RESISTANCE_FACTORS, "factor", duty_cycle)


def _of_duty(name: str, column: str, duty_cycle: Decimal) -> Decimal:
    for row in tables.table(name):
        if duty_cycle * 100 <= Decimal(row["duty_cycle_percent"]):
            return Decimal(row[column])
    raise tables.missing_row(name, f"{duty_cycle * 100:f} %", ("duty_cycle_percent",))


def varying_factor(*, automatic: bool) -> Decimal:
    """Share of the rated primary current that the wires of a resistance welder must carry, whose operation varies.

    `automatic` is one that is fed by itself, or welds seams. Source: NFPA 70 630.31(A)(1), from memory.
    """
    return _value(f"resistance welder {'automatic' if automatic else 'by hand'}")


def largest_breaker_factor(*, resistance: bool) -> Decimal:
    """The largest breaker as a share of rated primary current. Source: NFPA 70 630.12(A), 630.32(A)."""
    return _value(f"{_kind(resistance)} breaker")


def largest_on_wire_factor(*, resistance: bool) -> Decimal:
    """The largest breaker as a share of what its wires carry. Source: NFPA 70 630.12(B), 630.32(B)."""
    return _value(f"{_kind(resistance)} wire")


def usual_breaker_factor(*, resistance: bool) -> Decimal:
    """The least breaker by habit, as a share of the largest current of its plate; common practice, no source."""
    return Decimal(tables.look_up(HABITS, {"rule": f"{_kind(resistance)} breaker by habit"}, "value"))


def cite_rule(rule: str, *, resistance: bool) -> str:
    """Where a rule stands, `breaker` or `wire`, for printing beside a figure worked out by it."""
    return f"NFPA 70 {tables.look_up(RULES, {'rule': f'{_kind(resistance)} {rule}'}, 'section')}"


def _kind(resistance: bool) -> str:
    return "resistance welder" if resistance else "arc welder"


def _value(rule: str) -> Decimal:
    return Decimal(tables.look_up(RULES, {"rule": rule}, "value"))
