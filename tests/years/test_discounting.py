"""Edges of the discount factors and the worth that is left."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costplan.years.discounting import residual_share, single_worth

YEARS = st.integers(0, 40)


def test_a_rate_of_minus_100_percent_is_refused() -> None:
    with pytest.raises(ValueError, match="rate is -1"):
        single_worth(Decimal(-1), 3)


def test_negative_years_are_refused() -> None:
    with pytest.raises(ValueError, match="years is -1"):
        single_worth(Decimal("0.03"), -1)


@given(YEARS)
def test_a_rate_of_zero_discounts_nothing(years: int) -> None:
    assert single_worth(Decimal(0), years) == 1


@pytest.mark.parametrize(
    ("life", "age", "straight", "flat"),
    [
        (None, 9, "0.4", "0.4"),
        (10, 0, "0.4", "0.4"),
        (10, 5, "0.2", "0.4"),
        (10, 9, "0.04", "0.4"),
        (10, 10, "0", "0"),
        (10, 12, "0", "0"),
    ],
)
def test_residual_keeps_its_share_or_falls_in_a_straight_line(
    life: int | None, age: int, straight: str, flat: str
) -> None:
    """GSA Facilities Standards P100: prorated by remaining life; the flat share is common practice, no source."""
    share = Decimal("0.4")
    assert residual_share(share, life, age, straight_line=True) == Decimal(straight)
    assert residual_share(share, life, age, straight_line=False) == Decimal(flat)
