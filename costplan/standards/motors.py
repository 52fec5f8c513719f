"""Full-load currents of motors (NFPA 70 Tables 430.248 and 430.250)."""

from decimal import Decimal
from fractions import Fraction
from functools import cache

from costplan.standards import tables

SINGLE_PHASE = "nfpa70_table_430_248"
THREE_PHASE = "nfpa70_table_430_250"

FAR_APART = 2
"""A table's current and a stated one this many times apart cannot both be right; common practice, no source."""
TABLE_FROM_RPM = 1200
"""Of a motor that turns slower the plate's amperes rule, not the table's (NFPA 70 430.6(A)(1), from memory)."""
_MOTOR_VOLTS = {120: 115, 208: 208, 240: 230, 480: 460}
_QUARTERS = 4
_SMALL_PARTS = frozenset({5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50})
_AS_WRITTEN = Fraction(1, 1_000_000)
"""How far a fraction that was written may be from the decimal number that it became."""
_ROUNDING = Fraction("1.01")
"""A nameplate rounds: 0.75 kW is 1.006 hp and is sold as 1 hp; common practice, no source."""


def table_name(phases: int) -> str:
    """The name of the table for 1 or 3 phases."""
    return SINGLE_PHASE if phases == 1 else THREE_PHASE


@cache
def horsepower(text: str) -> Fraction:
    """A row's horsepower as printed, `7-1/2`, as an exact number."""
    whole, _, part = text.partition("-")
    return Fraction(whole) + Fraction(part or 0)


def hp_words(power_hp: Decimal) -> str:
    """A horsepower as plates write it: `1/3`, `1-1/2`, `7-1/2`, `3`; one of no plate, as of kilowatts, as a decimal number.

    Common practice, no source: halves, thirds and quarters, and a small motor's one part of several.
    """
    exact = Fraction(power_hp)
    near = exact.limit_denominator(50)
    usual = near.denominator <= _QUARTERS or (near.numerator == 1 and near.denominator in _SMALL_PARTS)
    if not usual or abs(near - exact) > _AS_WRITTEN:
        places = Decimal("0.01") if power_hp >= 1 else Decimal("0.001")
        return f"{power_hp.quantize(places).normalize():f}"
    whole, part = divmod(near, 1)
    return "-".join(str(word) for word in (whole, part) if word) or "0"


@cache
def full_load_row(power_hp: Decimal, phases: int) -> str:
    """The horsepower row, as printed, that covers a motor: the next row up, nothing interpolated.

    A motor within 1 % above a row takes that row. Raises LookupError above the last row.
    """
    name = table_name(phases)
    power = Fraction(power_hp)
    for row in tables.table(name):
        if power <= horsepower(row["hp"]) * _ROUNDING:
            return row["hp"]
    raise tables.missing_row(name, f"{hp_words(power_hp)} hp", ("hp",))


def below_the_table(power_hp: Decimal, phases: int) -> bool:
    """Whether a motor is smaller than the table's first row, so that its plate's amperes are all there is."""
    return Fraction(power_hp) * _ROUNDING < horsepower(tables.table(table_name(phases))[0]["hp"])


def covers(mark_hp: Decimal, power_hp: Decimal) -> bool:
    """Whether a horsepower mark is not below a motor's power; a plate rounds, as in `full_load_row`."""
    return Fraction(power_hp) <= Fraction(mark_hp) * _ROUNDING


def equivalent_hp(current_a: Decimal, phases: int, volts: int) -> Decimal:
    """The smallest horsepower of the table whose full-load current is not below a current in amperes.

    Raises LookupError above the last row. Source: NFPA 70 430.110(C)(1), from memory.
    """
    name = table_name(phases)
    column = f"full_load_{_MOTOR_VOLTS.get(volts, volts)}v_a"
    for row in tables.table(name):
        if row.get(column) and Decimal(row[column]) >= current_a:
            power = horsepower(row["hp"])
            return Decimal(power.numerator) / power.denominator
    raise tables.missing_row(name, f"{current_a:f} A", ("hp",))


def full_load_current_a(power_hp: Decimal, phases: int, volts: int) -> Decimal:
    """Full-load current of a motor in amperes.

    `volts` is the system's 120, 208, 240 or 480; the tables' columns are the motor volts 115, 208, 230, 460.
    Raises LookupError when the table lacks the row or the volts. Source: NFPA 70 430.6(A)(1).
    """
    name = table_name(phases)
    hp = full_load_row(power_hp, phases)
    column = f"full_load_{_MOTOR_VOLTS.get(volts, volts)}v_a"
    return Decimal(tables.look_up(name, {"hp": hp}, column))
