"""Present value, the way the life-cycle-cost handbooks count it: amounts fall at year end."""

from decimal import Decimal, localcontext
from fractions import Fraction
from functools import cache

PRECISION = 28
SMALL = 10**6
"""The largest denominator of a small fraction, which is off by less than one over it. A choice: exact where an amount below
5,000.00 could be worth half a cent more than whole ones."""


@cache
def single_worth(rate: Decimal, years: int) -> Decimal:
    """Worth today of one dollar at the end of year `years`.

    rate: real discount rate a year as a fraction, above -1; years: 0 or more, 0 gives 1.
    Raises ValueError naming the argument that is out of range.

    >>> round(single_worth(Decimal("0.03"), 12), 3)
    Decimal('0.701')

    Source: 10 CFR 436; NIST Handbook 135, single present value (SPV) factor.
    """
    _check(rate, years)
    with localcontext() as context:
        context.prec = PRECISION
        return 1 / (1 + rate) ** years


def small_fraction(worth: Decimal) -> Fraction:
    """A worth as a fraction of small numbers, so that rows of whole numbers can round by it as lines are rounded.

    >>> small_fraction(single_worth(Decimal("0.04"), 2))
    Fraction(625, 676)
    """
    return Fraction(worth).limit_denominator(SMALL)


def residual_share(
    resale: Decimal, lasts_years: int | None, age_years: int, *, straight_line: bool
) -> Decimal:
    """Share of its price that a thing of this age fetches; a thing without a stated life keeps its share.

    The whole share until it is worn out, or, by `straight_line`, the part of it that its life has left; worn
    out on that very day it fetches nothing.
    Source: the straight line is proration by remaining life, GSA Facilities Standards P100, life-cycle
    costing; the flat share is common practice, no source.
    """
    if lasts_years is None:
        return resale
    if age_years >= lasts_years:
        return Decimal(0)
    return resale * (lasts_years - age_years) / lasts_years if straight_line else resale


def _check(rate: Decimal, years: int) -> None:
    if rate <= -1:
        raise ValueError(f"rate is {rate}; it must be above -1")
    if years < 0:
        raise ValueError(f"years is {years}; it must be 0 or more")
