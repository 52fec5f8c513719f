"""NFPA 70 (2023) Table 400.5(A)(1), flexible cord, typed from the table (4 and 2 AWG from memory)."""

import pytest

from costplan.standards.cords import cord_ampacity_a, cord_sizes

# AWG: three current-carrying (column A), two (column B)
TABLE_400_5_A_1 = {
    "18": (7, 10),
    "16": (10, 13),
    "14": (15, 18),
    "12": (20, 25),
    "10": (25, 30),
    "8": (35, 40),
    "6": (45, 55),
    "4": (60, 70),
    "2": (80, 95),
}


@pytest.mark.parametrize("awg", TABLE_400_5_A_1)
def test_row(awg: str) -> None:
    assert TABLE_400_5_A_1[awg] == (cord_ampacity_a(awg, 3), cord_ampacity_a(awg, 2))


def test_ends_at_2_awg() -> None:
    assert tuple(TABLE_400_5_A_1) == cord_sizes()


def test_four_wire_cord_on_three_phase_carries_less_than_three_wire_on_single_phase() -> None:
    """The trap of the trade: 10/4 on three-phase is 25 A, while 10/3 single-phase is 30 A."""
    assert (cord_ampacity_a("10", 3), cord_ampacity_a("10", 2)) == (25, 30)
