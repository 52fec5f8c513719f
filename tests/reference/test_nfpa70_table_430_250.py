"""NFPA 70 (2023) Table 430.250, full-load amperes of three-phase induction motors, typed from the table."""

from decimal import Decimal

import pytest

from costplan.standards import motors, tables

# horsepower: 200, 208, 230, 460 V
TABLE_430_250 = {
    "1/2": ("2.5", "2.4", "2.2", "1.1"),
    "3/4": ("3.7", "3.5", "3.2", "1.6"),
    "1": ("4.8", "4.6", "4.2", "2.1"),
    "1-1/2": ("6.9", "6.6", "6.0", "3.0"),
    "2": ("7.8", "7.5", "6.8", "3.4"),
    "3": ("11.0", "10.6", "9.6", "4.8"),
    "5": ("17.5", "16.7", "15.2", "7.6"),
    "7-1/2": ("25.3", "24.2", "22", "11"),
    "10": ("32.2", "30.8", "28", "14"),
    "15": ("48.3", "46.2", "42", "21"),
    "20": ("62.1", "59.4", "54", "27"),
    "25": ("78.2", "74.8", "68", "34"),
    "30": ("92", "88", "80", "40"),
    "40": ("120", "114", "104", "52"),
    "50": ("150", "143", "130", "65"),
}


@pytest.mark.parametrize("hp", TABLE_430_250)
def test_row(hp: str) -> None:
    power_hp = Decimal(motors.horsepower(hp).numerator) / motors.horsepower(hp).denominator
    found = tuple(motors.full_load_current_a(power_hp, 3, volts) for volts in (200, 208, 240, 480))

    assert tuple(Decimal(amps) for amps in TABLE_430_250[hp]) == found


def test_has_these_rows_and_no_others() -> None:
    assert list(TABLE_430_250) == [row["hp"] for row in tables.table(motors.THREE_PHASE)]


@pytest.mark.parametrize("hp", TABLE_430_250)
def test_460_v_is_half_of_230_v(hp: str) -> None:
    _, _, at_230, at_460 = TABLE_430_250[hp]

    assert Decimal(at_460) * 2 == Decimal(at_230)
