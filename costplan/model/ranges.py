"""Figures that may be a range, [low, likely, high]: their mean is reckoned with, as that of hours is."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, GetJsonSchemaHandler, WithJsonSchema, WrapValidator
from pydantic_core import CoreSchema

from costplan.files import quantities
from costplan.files.quantities import MisreadError

Three = tuple[Decimal, Decimal, Decimal]
"""Low, likely and high."""
MOST_A_YEAR, MOST_IN_ALL = 1_000, 10_000
"""How often something may happen in a year, and over all years."""
TENTH_OF_A_CENT, FINE = Decimal("0.1"), Decimal("0.000000001")
"""To what the mean of money, in cents, and that of anything else is rounded."""


def mean(low: Decimal, likely: Decimal, high: Decimal) -> Decimal:
    """What a range comes to on average, (low + 4 likely + high) / 6.

    Source: the mean of the beta-PERT distribution, Malcolm, Roseboom, Clark and Fazar 1959, from memory.
    """
    return (low + 4 * likely + high) / 6


class Ranged(Decimal):
    """A range; to all arithmetic it is its mean, or another figure where that is said."""

    low: Decimal
    likely: Decimal
    high: Decimal

    def __new__(
        cls, low: Decimal, likely: Decimal, high: Decimal, to: Decimal = FINE, counts: Decimal | None = None
    ) -> "Ranged":
        """to: what the mean is rounded to; counts: the figure that counts in its place. Raises ValueError unless they rise."""
        if not low <= likely <= high:
            raise ValueError(f"{low}, {likely} and {high} do not rise")
        found = super().__new__(cls, mean(low, likely, high).quantize(to) if counts is None else counts)
        found.low, found.likely, found.high = low, likely, high
        return found

    def __reduce__(self) -> Any:
        return Ranged, (self.low, self.likely, self.high, FINE, Decimal(self))


class RangedCount(int):
    """A range of whole numbers; to all arithmetic it is the whole number nearest to its mean."""

    low: Decimal
    likely: Decimal
    high: Decimal

    def __new__(cls, ranged: Ranged) -> "RangedCount":
        """The count of a range."""
        found = super().__new__(cls, round(ranged))
        found.low, found.likely, found.high = ranged.low, ranged.likely, ranged.high
        return found

    def __reduce__(self) -> Any:
        return RangedCount, (Ranged(self.low, self.likely, self.high),)


def ends_of(figure: Decimal | int) -> Three | None:
    """Low, likely and high of a figure that is a range; None for one that is not."""
    return (figure.low, figure.likely, figure.high) if isinstance(figure, Ranged | RangedCount) else None


def low_likely_high(
    entries: Sequence[Any],
    read: Callable[[Any], Decimal],
    example: str,
    between: str = ", ",
    to: Decimal = FINE,
) -> Ranged:
    """The range of three entries. Raises MisreadError unless there are three that rise.

    example: how three are written; between: what stands between them in the file; to: what its mean is rounded to.
    """
    if len(entries) != 3:
        found = f"has {len(entries)} figure{'s' * (len(entries) != 1)}"
        raise MisreadError(found, f"write one, or three, low, likely and high: {example}")
    low, likely, high = (read(entry) for entry in entries)
    if low <= likely <= high:
        return Ranged(low, likely, high, to)
    written = [" ".join(str(entry).split()) for entry in entries]
    by_size = [text for _, text in sorted(zip((low, likely, high), written, strict=True))]
    raise MisreadError(
        f"is {', '.join(written)}, which does not rise from low over likely to high",
        f"write them in order: [{between.join(by_size)}]",
    )


def something(ranged: Ranged) -> Ranged:
    """The range itself. Raises MisreadError where it reaches below nothing, or is one around nothing."""
    if ranged.low < 0:
        raise MisreadError("has a low figure below nothing", "write a low figure of 0 or more")
    if not ranged:
        raise MisreadError("is a range around nothing", "write a high figure above 0, or one figure: 0")
    return ranged


def _money(value: Any, read: Callable[[Any], Decimal]) -> Decimal:
    if isinstance(value, list | tuple):
        return something(
            low_likely_high(value, quantities.parse_money_cents, "[80, 95, 120]", to=TENTH_OF_A_CENT)
        )
    return value if isinstance(value, Ranged) else read(value)


def _share(value: Any, read: Callable[[Any], Decimal]) -> Decimal:
    if isinstance(value, list | tuple):
        return something(low_likely_high(value, quantities.parse_fraction, "[5 %, 10 %, 25 %]"))
    return value if isinstance(value, Ranged) else read(value)


def _at_most(ranged: Ranged, most: int) -> Ranged:
    if ranged.high > most:
        raise MisreadError(f"has a high figure of {ranged.high:f}", f"write at most {most}")
    return ranged


def _often(value: Any, read: Callable[[Any], Decimal]) -> Decimal:
    if isinstance(value, list | tuple):
        return _at_most(
            something(low_likely_high(value, quantities.parse_number, "[0.5, 1, 2]")), MOST_A_YEAR
        )
    return value if isinstance(value, Ranged) else read(value)


def _count(value: Any, read: Callable[[Any], int]) -> int:
    if not isinstance(value, list | tuple):
        return value if isinstance(value, RangedCount) else read(value)
    ranged = _at_most(something(low_likely_high(value, quantities.parse_number, "[1, 2, 5]")), MOST_IN_ALL)
    for name, end in zip(("low", "likely", "high"), ends_of(ranged) or (), strict=True):
        if end != int(end):
            raise MisreadError(f"has a {name} figure of {end:f}", "write whole numbers: [1, 2, 5]")
    return RangedCount(ranged)


def _rate(value: Any, read: Callable[[Any], Decimal]) -> Decimal:
    if not isinstance(value, list | tuple):
        return value if isinstance(value, Ranged) else read(value)
    rate = low_likely_high(value, quantities.parse_fraction, "[1 %, 3 %, 6 %]")
    if rate.low <= -1:
        raise MisreadError("has a low figure of -100 % or less", "it must be above -100 %")
    return rate


WIDEST_SPREAD = Decimal("0.37")
"""The largest standard deviation of a price, as a share, that lets none fall below nothing: by the beta-PERT the low end
is sqrt(7) of them below, by the triangular distribution sqrt(6)."""


def _no_price_below_nothing(spread: Decimal) -> Decimal:
    if spread > WIDEST_SPREAD:
        raise MisreadError(
            f"is {(spread * 100).normalize():f} %, with which a price could turn out below nothing",
            f"write at most {WIDEST_SPREAD * 100:.0f} %; a price that is open further has a range of its own in "
            "offers.csv: [40/55/120]",
        )
    return spread


class _Described:
    """How a figure that may be a range stands in a JSON Schema."""

    def __init__(self, what: str, *of: str) -> None:
        """what: in words; of: its types, text or number where none is said."""
        self.what, self.of = what, list(of or ("string", "number"))

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """One figure, or three."""
        one = {"type": self.of if len(self.of) > 1 else self.of[0]}
        return {
            "anyOf": [one, {"type": "array", "items": one, "minItems": 3, "maxItems": 3}],
            "description": f"{self.what}; one, or [low, likely, high]",
        }


RangedShare = Annotated[
    Decimal,
    BeforeValidator(quantities.parse_fraction),
    WrapValidator(_share),
    _Described("a share: 4 % or 0.04"),
]
"""A share of 0 or more, or the three of its range."""
RangedRate = Annotated[
    Decimal,
    BeforeValidator(quantities.parse_fraction),
    WrapValidator(_rate),
    _Described("a share a year: 4 % or 0.04"),
]
"""A share a year, which may be below nothing, or the three of its range."""
RangedMoney = Annotated[
    Decimal,
    BeforeValidator(quantities.parse_money_cents),
    WrapValidator(_money),
    _Described("money in the shop's currency: 12.50, $1,250.00, 17 cents"),
]
"""Money in cents, or the three of its range."""


def _not_all(share: Decimal) -> Decimal:
    for end in ends_of(share) or (share,):
        if not 0 <= end < 1:
            raise MisreadError(f"is {end:.0%}", "allowed: 0 % to below 100 %")
    return share


def _at_most_certain(weight: Decimal) -> Decimal:
    ends = ends_of(weight)
    if ends and ends[2] > 1:
        raise MisreadError(f"has a high figure of {ends[2]:.0%}", "write at most 100 %, which is certain")
    # Likely weights are what a file adds up to all; plans take their means as shares of all means.
    return weight if ends is None else Ranged(*ends, counts=ends[1])


Often = Annotated[
    Decimal,
    BeforeValidator(quantities.parse_number),
    WrapValidator(_often),
    _Described("how often a year: 2 or 0.5"),
]
"""How often a year something happens, or the three of its range."""
OftenInAll = Annotated[
    int,
    WrapValidator(_count),
    _Described("how often in all: a whole number", "integer"),
]
"""How often something happens over all years, or the three of its range."""
FailingShare = Annotated[RangedShare, AfterValidator(_not_all)]
"""A share that is never all of it, or the three of its range."""
Likelihood = Annotated[RangedShare, AfterValidator(_at_most_certain)]
"""The weight of a scenario, or the three of its range."""
PriceSpread = Annotated[
    Decimal,
    BeforeValidator(quantities.parse_fraction),
    AfterValidator(_no_price_below_nothing),
    WithJsonSchema({"type": ["string", "number"], "description": "a share: 4 % or 0.04"}),
]
"""One standard deviation of a price, as a share that lets none turn out below nothing."""
