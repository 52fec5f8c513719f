"""NFPA 70 (2023) Chapter 9 Tables 1, 4 and 5 worked into Annex C Table C.1; the areas are from memory."""

from decimal import Decimal
from math import floor

import pytest

from costplan.standards import tables
from costplan.standards.conduit import trade_size

# Table 4, electrical metallic tubing, whole inside area in square inches
TUBING_IN2 = {
    "emt_1_2_in": "0.304",
    "emt_3_4_in": "0.533",
    "emt_1_in": "0.864",
    "emt_1_1_4_in": "1.496",
    "emt_1_1_2_in": "2.036",
    "emt_2_in": "3.356",
}
# Table 5, THHN and THWN-2, square inches
WIRE_IN2 = {
    "14": "0.0097",
    "12": "0.0133",
    "10": "0.0211",
    "8": "0.0366",
    "6": "0.0507",
    "4": "0.0824",
    "3": "0.0973",
    "2": "0.1158",
    "1": "0.1562",
    "1/0": "0.1855",
    "2/0": "0.2223",
    "3/0": "0.2679",
    "4/0": "0.3237",
}


def wires_that_fit(tubing_in2: Decimal, wire_in2: Decimal) -> int:
    """Table 1: one wire fills 53 %, two 31 %, more 40 %; note 7: 0.8 of a wire counts as one."""
    many = floor(tubing_in2 * Decimal("0.40") / wire_in2 + Decimal("0.2"))
    if many > 2:
        return many
    if tubing_in2 * Decimal("0.31") / wire_in2 + Decimal("0.2") >= 2:
        return 2
    return 1 if wire_in2 <= tubing_in2 * Decimal("0.53") else 0


@pytest.mark.parametrize("awg", WIRE_IN2)
def test_row_follows_from_the_areas(awg: str) -> None:
    row = tables.find_row("nfpa70_table_c1", {"conductor_awg": awg})
    worked = {
        size: wires_that_fit(Decimal(tubing), Decimal(WIRE_IN2[awg])) for size, tubing in TUBING_IN2.items()
    }

    assert worked == {size: int(row[size]) for size in TUBING_IN2}


# From memory
TABLE_C1 = {
    "1": (1, 1, 1, 4, 5, 8),
    "1/0": (0, 1, 1, 3, 4, 7),
    "2/0": (0, 1, 1, 2, 3, 6),
    "3/0": (0, 1, 1, 1, 3, 5),
    "4/0": (0, 0, 1, 1, 2, 4),
}


@pytest.mark.parametrize("awg", TABLE_C1)
def test_row_of_a_thick_wire(awg: str) -> None:
    row = tables.find_row("nfpa70_table_c1", {"conductor_awg": awg})

    assert tuple(int(row[size]) for size in TUBING_IN2) == TABLE_C1[awg]


def test_conduit_of_a_100_ampere_feeder() -> None:
    """Three wires and a ground of 1 AWG take 1-1/4 in.; a neutral more asks for 1-1/2 in."""
    assert trade_size("1", 4) == "1-1/4"
    assert trade_size("1", 5) == "1-1/2"
