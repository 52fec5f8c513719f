"""Edges of the discount factors and the worth that is left."""

from collections.abc import Callable
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costplan.years.discounting import (
    growing_series_worth,
    growing_worth,
    residual_share,
    series_worth,
    single_worth,
)

RATES = st.decimals("-0.5", "0.5", places=3)
YEARS = st.integers(0, 40)


@pytest.mark.parametrize("factor", [single_worth, series_worth])
def test_a_rate_of_minus_100_percent_is_refused(factor: Callable[[Decimal, int], Decimal]) -> None:
    with pytest.raises(ValueError, match="rate is -1"):
        factor(Decimal(-1), 3)


def test_negative_years_are_refused() -> None:
    with pytest.raises(ValueError, match="years is -1"):
        growing_worth(Decimal("0.03"), Decimal("0.01"), -1)


@given(YEARS)
def test_a_rate_of_zero_counts_years(years: int) -> None:
    assert single_worth(Decimal(0), years) == 1
    assert series_worth(Decimal(0), years) == years


@given(RATES, YEARS)
def test_growth_at_the_discount_rate_cancels(rate: Decimal, years: int) -> None:
    assert growing_series_worth(rate, rate, years) == years


@given(RATES, YEARS)
def test_no_growth_is_the_plain_factor(rate: Decimal, years: int) -> None:
    difference = growing_worth(rate, Decimal(0), years) - single_worth(rate, years)
    assert abs(difference) < Decimal("1e-15") * single_worth(rate, years)


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
