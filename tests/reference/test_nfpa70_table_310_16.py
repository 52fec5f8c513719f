"""NFPA 70 (2023) Table 310.16, ampacity of building wire at 30 C, typed from the table."""

import pytest

from costplan.standards import conductors, tables

# AWG: 60, 75, 90 C
COPPER = {
    "14": (15, 20, 25),
    "12": (20, 25, 30),
    "10": (30, 35, 40),
    "8": (40, 50, 55),
    "6": (55, 65, 75),
    "4": (70, 85, 95),
    "3": (85, 100, 115),
    "2": (95, 115, 130),
    "1": (110, 130, 145),
    "1/0": (125, 150, 170),
    "2/0": (145, 175, 195),
    "3/0": (165, 200, 225),
    "4/0": (195, 230, 260),
}


@pytest.mark.parametrize("awg", COPPER)
def test_copper_row(awg: str) -> None:
    assert COPPER[awg] == tuple(conductors.building_wire_ampacity_a(awg, celsius) for celsius in (60, 75, 90))


def test_has_these_rows_and_no_others() -> None:
    assert len(COPPER) == len(tables.table(conductors.BUILDING_WIRE))
    assert tuple(COPPER) == conductors.building_wire_sizes()


@pytest.mark.parametrize("awg", ["14", "12", "10", "8", "6", "4", "3", "2"])
def test_nonmetallic_cable_takes_the_60_c_column(awg: str) -> None:
    """334.80: whatever its insulation is rated for."""
    assert COPPER[awg][0] == int(tables.find_row(conductors.NONMETALLIC_CABLE, {"awg": awg})["ampacity_a"])
