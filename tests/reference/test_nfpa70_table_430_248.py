"""NFPA 70 (2023) Table 430.248, full-load amperes of single-phase motors, typed from the table."""

from decimal import Decimal

import pytest

from costplan.standards import motors, tables

# horsepower: 115, 200, 208, 230 V
TABLE_430_248 = {
    "1/6": ("4.4", "2.5", "2.4", "2.2"),
    "1/4": ("5.8", "3.3", "3.2", "2.9"),
    "1/3": ("7.2", "4.1", "4.0", "3.6"),
    "1/2": ("9.8", "5.6", "5.4", "4.9"),
    "3/4": ("13.8", "7.9", "7.6", "6.9"),
    "1": ("16", "9.2", "8.8", "8.0"),
    "1-1/2": ("20", "11.5", "11.0", "10"),
    "2": ("24", "13.8", "13.2", "12"),
    "3": ("34", "19.6", "18.7", "17"),
    "5": ("56", "32.2", "30.8", "28"),
    "7-1/2": ("80", "46", "44", "40"),
    "10": ("100", "57.5", "55", "50"),
}


@pytest.mark.parametrize("hp", TABLE_430_248)
def test_row(hp: str) -> None:
    power_hp = Decimal(motors.horsepower(hp).numerator) / motors.horsepower(hp).denominator
    found = tuple(motors.full_load_current_a(power_hp, 1, volts) for volts in (120, 200, 208, 240))

    assert tuple(Decimal(amps) for amps in TABLE_430_248[hp]) == found


def test_has_these_rows_and_no_others() -> None:
    assert list(TABLE_430_248) == [row["hp"] for row in tables.table(motors.SINGLE_PHASE)]


def test_sum_guards_against_an_accidental_edit() -> None:
    rows = tables.table(motors.SINGLE_PHASE)

    assert Decimal("371.0") == sum(Decimal(row["full_load_115v_a"]) for row in rows)
    assert Decimal("185.5") == sum(Decimal(row["full_load_230v_a"]) for row in rows)
