"""Cents, their one rounding rule and how they are printed, against examples of others and against whole numbers."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costplan.model.money import (
    LARGEST_CENTS,
    TooLargeError,
    format_cents,
    format_price,
    growth_factor,
    to_cents,
)


@pytest.mark.parametrize(
    ("exact", "cents"),
    [("2.5", 2), ("3.5", 4), ("-2.5", -2), ("-3.5", -4), ("2.51", 3), ("2.49", 2), ("0.5", 0), ("1.5", 2)],
)
def test_halves_go_to_the_even_cent(exact: str, cents: int) -> None:
    """Rounding to the nearest, ties to even: IEEE 754-2019, 4.3.1; the digits are those of its common examples."""
    assert to_cents(Decimal(exact)) == cents


@given(st.integers(-(10**12), 10**12), st.integers(1, 999))
def test_no_amount_moves_by_more_than_half_a_cent(whole: int, thousandths: int) -> None:
    exact = whole + Decimal(thousandths) / 1000
    moved = abs(to_cents(exact) - exact)

    assert moved <= Decimal("0.5")
    assert moved < Decimal("0.5") or to_cents(exact) % 2 == 0


@pytest.mark.parametrize("sign", [1, -1])
def test_what_nothing_can_add_up_is_refused(sign: int) -> None:
    """Ninety-two of the largest amounts still fit a signed whole number of 64 bits, 2 ** 63 - 1, in which the solver adds."""
    assert to_cents(Decimal(sign * LARGEST_CENTS)) == sign * LARGEST_CENTS
    assert 92 * LARGEST_CENTS < 2**63 - 1
    with pytest.raises(TooLargeError, match="zeros too many"):
        to_cents(Decimal(sign * LARGEST_CENTS) + sign)


@pytest.mark.parametrize(
    ("cents", "grouped", "plain"),
    [
        (0, "0.00", "0.00"),
        (1, "0.01", "0.01"),
        (-1, "-0.01", "-0.01"),
        (100, "1.00", "1.00"),
        (-100, "-1.00", "-1.00"),
        (123456, "1,234.56", "1234.56"),
        (-100000005, "-1,000,000.05", "-1000000.05"),
    ],
)
def test_amounts_are_printed_to_the_cent(cents: int, grouped: str, plain: str) -> None:
    """Python's own format of a decimal number is the other opinion."""
    assert format_cents(cents) == grouped == f"{Decimal(cents) / 100:,.2f}"
    assert format_cents(cents, thousands=False) == plain == f"{Decimal(cents) / 100:.2f}"


@pytest.mark.parametrize(
    ("cents", "grouped", "plain"),
    [
        ("290", "2.90", "2.90"),
        ("1.23", "0.0123", "0.0123"),
        ("123456", "1,234.56", "1234.56"),
        ("123456.5", "1234.565", "1234.565"),
    ],
)
def test_a_price_of_a_foot_keeps_its_further_decimals(cents: str, grouped: str, plain: str) -> None:
    assert format_price(Decimal(cents)) == grouped
    assert format_price(Decimal(cents), thousands=False) == plain


@pytest.mark.parametrize(
    ("rate", "years", "factor"),
    [("0.03", 0, "1"), ("0.03", 1, "1.03"), ("0.03", 2, "1.0609"), ("-0.02", 2, "0.9604"), ("0", 40, "1")],
)
def test_prices_grow_by_the_year(rate: str, years: int, factor: str) -> None:
    """Compound growth, worked by multiplying: 1.03 x 1.03 = 1.0609, 0.98 x 0.98 = 0.9604."""
    assert growth_factor(Decimal(rate), years) == Decimal(factor)


def test_growth_over_a_century_keeps_the_digits_that_cents_need() -> None:
    """1.07 ** 100, a whole number of 10 ** -200 by exact multiplication, to 28 digits."""
    exact = Decimal(107**100).scaleb(-200)
    assert abs(growth_factor(Decimal("0.07"), 100) / exact - 1) < Decimal("1e-27")
