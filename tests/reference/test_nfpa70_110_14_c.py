"""NFPA 70 (2023) 110.14(C), temperature of terminals, and Table 310.15(B)(1), ambient correction, typed."""

from decimal import Decimal

import pytest

from costplan.standards import conductors


def test_terminals_up_to_100_a_take_the_60_c_column() -> None:
    assert conductors.terminal_column_c() == 60


def test_terminals_marked_75_c_at_both_ends_take_the_75_c_column() -> None:
    assert conductors.terminal_column_c("up to 100 A, both ends marked 75 C") == 75


def test_terminals_over_100_a_take_the_75_c_column() -> None:
    """From memory."""
    assert conductors.terminal_column_c("over 100 A") == 75


def test_nonmetallic_cable_is_held_to_60_c() -> None:
    """334.80."""
    assert conductors.terminal_column_c("nonmetallic cable") == 60


# warmest C of the row: 60, 75, 90 C wire
TABLE_310_15_B_1 = {
    10: ("1.29", "1.20", "1.15"),
    15: ("1.22", "1.15", "1.12"),
    20: ("1.15", "1.11", "1.08"),
    25: ("1.08", "1.05", "1.04"),
    30: ("1.00", "1.00", "1.00"),
    35: ("0.91", "0.94", "0.96"),
    40: ("0.82", "0.88", "0.91"),
    45: ("0.71", "0.82", "0.87"),
    50: ("0.58", "0.75", "0.82"),
    55: ("0.41", "0.67", "0.76"),
}


@pytest.mark.parametrize("ambient_c", TABLE_310_15_B_1)
def test_ambient_row(ambient_c: int) -> None:
    found = (conductors.ambient_factor(Decimal(ambient_c), celsius) for celsius in (60, 75, 90))

    assert tuple(Decimal(factor) for factor in TABLE_310_15_B_1[ambient_c]) == tuple(found)


@pytest.mark.parametrize(
    ("ambient_c", "at_75", "at_90"), [(60, "0.58", "0.71"), (65, "0.47", "0.65"), (70, "0.33", "0.58")]
)
def test_60_c_wire_may_not_be_used_above_55_c(ambient_c: int, at_75: str, at_90: str) -> None:
    assert Decimal(at_75) == conductors.ambient_factor(Decimal(ambient_c), 75)
    assert Decimal(at_90) == conductors.ambient_factor(Decimal(ambient_c), 90)
    with pytest.raises(LookupError, match="gives no factor_60c"):
        conductors.ambient_factor(Decimal(ambient_c), 60)


def test_air_between_rows_takes_the_warmer() -> None:
    assert conductors.ambient_factor(Decimal("30.5"), 60) == Decimal("0.91")
