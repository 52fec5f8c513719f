"""NFPA 70 (2023) Chapter 9 Table 8, conductor properties, typed from the table."""

from decimal import Decimal

import pytest

from costplan.standards import conductors

# AWG: area in circular mils, uncoated copper stranded, aluminum stranded, ohms per 1000 ft at 75 C
STRANDED = {
    "18": (1620, "7.95", "13.1"),
    "16": (2580, "4.99", "8.21"),
    "14": (4110, "3.14", "5.17"),
    "12": (6530, "1.98", "3.25"),
    "10": (10380, "1.24", "2.04"),
    "8": (16510, "0.778", "1.28"),
    "6": (26240, "0.491", "0.808"),
    "4": (41740, "0.308", "0.508"),
    "3": (52620, "0.245", "0.403"),
    "2": (66360, "0.194", "0.319"),
    "1": (83690, "0.154", "0.253"),
    "1/0": (105600, "0.122", "0.201"),
    "2/0": (133100, "0.0967", "0.159"),
    "3/0": (167800, "0.0766", "0.126"),
    "4/0": (211600, "0.0608", "0.100"),
}
SOLID_COPPER = {"18": "7.77", "16": "4.89", "14": "3.07", "12": "1.93", "10": "1.21", "8": "0.764"}


@pytest.mark.parametrize("awg", STRANDED)
def test_stranded_row(awg: str) -> None:
    area_cmil, copper, aluminum = STRANDED[awg]

    assert area_cmil == conductors.area_cmil(awg)
    assert Decimal(copper) == conductors.resistance_ohm_per_kft(awg)
    assert Decimal(aluminum) == conductors.resistance_ohm_per_kft(awg, material="aluminum")


@pytest.mark.parametrize("awg", SOLID_COPPER)
def test_solid_copper_row(awg: str) -> None:
    assert Decimal(SOLID_COPPER[awg]) == conductors.resistance_ohm_per_kft(awg, "solid")


@pytest.mark.parametrize("awg", STRANDED)
def test_resistance_times_area_is_the_constant_of_the_trade(awg: str) -> None:
    """About 12.9 ohm-cmil per foot for copper at 75 C, within the table's rounding."""
    constant = conductors.resistance_ohm_per_kft(awg) * conductors.area_cmil(awg) / 1000

    assert Decimal("12.8") < constant < Decimal("13.0")
