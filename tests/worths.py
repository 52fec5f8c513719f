"""The handbooks' factor for a series of equal amounts, from the factor for one amount."""

from decimal import Decimal

from costplan.years.discounting import single_worth


def series_worth(rate: Decimal, years: int) -> Decimal:
    """Worth today of one dollar at the end of each of `years` years: NIST Handbook 135, uniform present value (UPV)."""
    return sum((single_worth(rate, year) for year in range(1, years + 1)), Decimal(0))
