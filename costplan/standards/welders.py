"""What an arc welder asks of its circuit by its duty cycle (NFPA 70 article 630)."""

from decimal import Decimal

from costplan.standards import tables

FACTORS = "nfpa70_table_630_11_a"
LARGEST_PERCENT = 200
"""The largest breaker of an arc welder, in percent of its rated primary current (NFPA 70 630.12(A))."""


def factor(duty_cycle: Decimal) -> Decimal:
    """Share of the rated primary current that the wires of a nonmotor arc welder must carry.

    `duty_cycle` is a share; one between two rows takes the higher row, the dearer reading. Raises LookupError above 1.
    Source: NFPA 70 Table 630.11(A).
    """
    for row in tables.table(FACTORS):
        if duty_cycle * 100 <= Decimal(row["duty_cycle_percent"]):
            return Decimal(row["nonmotor"])
    raise tables.missing_row(FACTORS, f"{duty_cycle * 100:f} %", ("duty_cycle_percent",))
