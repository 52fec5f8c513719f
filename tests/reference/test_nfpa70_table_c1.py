"""NFPA 70 (2023) Annex C Table C.1, THHN/THWN in electrical metallic tubing, typed from the table."""

import pytest

from costplan.standards import tables

# AWG: trade sizes 1/2, 3/4, 1, 1-1/4, 1-1/2, 2
TABLE_C1 = {
    "14": (12, 22, 35, 61, 84, 138),
    "12": (9, 16, 26, 45, 61, 101),
    "10": (5, 10, 16, 28, 38, 63),
    "8": (3, 6, 9, 16, 22, 36),
    "6": (2, 4, 7, 12, 16, 26),
    "4": (1, 2, 4, 7, 10, 16),
    "3": (1, 1, 3, 6, 8, 13),
    "2": (1, 1, 3, 5, 7, 11),
}
COLUMNS = ("emt_1_2_in", "emt_3_4_in", "emt_1_in", "emt_1_1_4_in", "emt_1_1_2_in", "emt_2_in")


@pytest.mark.parametrize("awg", TABLE_C1)
def test_row(awg: str) -> None:
    row = tables.find_row("nfpa70_table_c1", {"conductor_awg": awg})

    assert TABLE_C1[awg] == tuple(int(row[column]) for column in COLUMNS)
