"""How many wires a conduit takes."""

from decimal import Decimal

from costplan.standards import tables

SAME_SIZE = "nfpa70_table_c1"
TUBING = "nfpa70_chapter_9_table_4"
WIRES = "nfpa70_chapter_9_table_5"

_COLUMNS = {
    "3/4": "emt_3_4_in",
    "1": "emt_1_in",
    "1-1/4": "emt_1_1_4_in",
    "1-1/2": "emt_1_1_2_in",
    "2": "emt_2_in",
}
"""Trade sizes that are used here, from 3/4 in up, and their columns of Table C.1."""


def trade_size(awg: str, wires: int, grounding_awg: str) -> str:
    """The smallest trade size of electrical metallic tubing for so many wires of `awg` and a ground.

    From 3/4 in up. Wires that are all of one size are counted by Annex C Table C.1; else their areas fill at most
    40 %, which holds for more than two wires. Raises LookupError when none in the tables does.
    Source: NFPA 70 (NEC) 2023, Informative Annex C, Table C.1; Chapter 9 Tables 1, 4 and 5; THHN/THWN/THWN-2.
    """
    fitting = (
        size
        for size, column in _COLUMNS.items()
        if (
            int(tables.look_up(SAME_SIZE, {"conductor_awg": awg}, column)) > wires
            if awg == grounding_awg
            else fill_in2(awg, wires, grounding_awg) <= _most_in2(size)
        )
    )
    found = next(fitting, None)
    if found is None:
        source = tables.cite(SAME_SIZE if awg == grounding_awg else TUBING)
        raise LookupError(
            f"{source}: no conduit up to 2 in takes {wires} wires of {awg} AWG and one of {grounding_awg} AWG"
        )
    return found


def fill_in2(awg: str, wires: int, grounding_awg: str) -> Decimal:
    """Area of so many wires and a ground in square inches. Raises LookupError. Source: NFPA 70 Chapter 9 Table 5."""
    return wires * _area_in2(awg) + _area_in2(grounding_awg)


def _area_in2(awg: str) -> Decimal:
    return Decimal(tables.look_up(WIRES, {"awg": awg}, "thhn_in2"))


def _most_in2(size: str) -> Decimal:
    return Decimal(tables.look_up(TUBING, {"trade_size": size}, "emt_40_percent_in2"))
