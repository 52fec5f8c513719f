"""NFPA 70 (2023) Chapter 9 Table 8, conductor properties, typed from the table."""

from decimal import Decimal

import pytest

from costplan.standards import conductors

# AWG: area in circular mils, uncoated copper stranded, ohms per 1000 ft at 75 C
STRANDED = {
    "18": (1620, "7.95"),
    "16": (2580, "4.99"),
    "14": (4110, "3.14"),
    "12": (6530, "1.98"),
    "10": (10380, "1.24"),
    "8": (16510, "0.778"),
    "6": (26240, "0.491"),
    "4": (41740, "0.308"),
    "3": (52620, "0.245"),
    "2": (66360, "0.194"),
    "1": (83690, "0.154"),
    "1/0": (105600, "0.122"),
    "2/0": (133100, "0.0967"),
    "3/0": (167800, "0.0766"),
    "4/0": (211600, "0.0608"),
}


@pytest.mark.parametrize("awg", STRANDED)
def test_stranded_row(awg: str) -> None:
    area_cmil, copper = STRANDED[awg]

    assert area_cmil == conductors.area_cmil(awg)
    assert Decimal(copper) == conductors.resistance_ohm_per_kft(awg)


@pytest.mark.parametrize("awg", STRANDED)
def test_resistance_times_area_is_the_constant_of_the_trade(awg: str) -> None:
    """About 12.9 ohm-cmil per foot for copper at 75 C, within the table's rounding."""
    constant = conductors.resistance_ohm_per_kft(awg) * conductors.area_cmil(awg) / 1000

    assert Decimal("12.8") < constant < Decimal("13.0")
