"""Money in integer cents, with the one rounding rule of the project."""

from decimal import ROUND_HALF_EVEN, Decimal, localcontext
from functools import cache

LARGEST_CENTS = 10**17
"""A thousand million million: sums of a few such amounts still fit the solver's 64 bits."""


class TooLargeError(Exception):
    """Prices, lengths, hours and years multiply to amounts that nobody means and nothing can add up."""

    def __init__(self) -> None:
        super().__init__(
            "prices times lengths, hours and years come to more than can be reckoned; "
            "look for a figure with zeros too many, or for a growth or discount rate that is no yearly one"
        )


def to_cents(amount_cents: Decimal) -> int:
    """Whole cents of an exact amount of cents, half to even. Raises TooLargeError."""
    if not -LARGEST_CENTS <= amount_cents <= LARGEST_CENTS:
        raise TooLargeError
    return int(amount_cents.to_integral_value(rounding=ROUND_HALF_EVEN))


def format_cents(cents: int, *, thousands: bool = True) -> str:
    """`123456` as `1,234.56`; the sign leads."""
    sign = "-" if cents < 0 else ""
    whole, part = divmod(abs(cents), 100)
    return f"{sign}{whole:,}.{part:02d}" if thousands else f"{sign}{whole}.{part:02d}"


def format_price(cents: Decimal, *, thousands: bool = True) -> str:
    """The price of one unit: as `format_cents`, with further decimals where a foot's price has them, `0.0123`."""
    if cents == int(cents):
        return format_cents(int(cents), thousands=thousands)
    return f"{(cents / 100).normalize():f}"


@cache
def growth_factor(rate: Decimal, years: int) -> Decimal:
    """(1 + rate) ** years at 28 digits, the same on every machine."""
    with localcontext() as context:
        context.prec = 28
        return (1 + rate) ** years
