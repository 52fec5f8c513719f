"""Figures that may be a range, [low, likely, high]: the likely one is reckoned with, the ends are what it may turn out as."""

from collections.abc import Callable
from decimal import Decimal
from typing import Annotated, Any

from pydantic import BeforeValidator, GetJsonSchemaHandler, WrapValidator
from pydantic_core import CoreSchema

from costplan.files import quantities
from costplan.files.quantities import MisreadError

Three = tuple[Decimal, Decimal, Decimal]
"""Low, likely and high."""


class Ranged(Decimal):
    """A likely figure that knows how low and how high it may be; to all arithmetic it is the likely figure."""

    low: Decimal
    high: Decimal

    def __new__(cls, low: Decimal, likely: Decimal, high: Decimal) -> "Ranged":
        """Raises ValueError unless they rise."""
        if not low <= likely <= high:
            raise ValueError(f"{low}, {likely} and {high} do not rise")
        found = super().__new__(cls, likely)
        found.low, found.high = low, high
        return found

    def __reduce__(self) -> Any:
        return Ranged, (self.low, Decimal(self), self.high)

    def times(self, factor: Decimal) -> "Ranged":
        """The range of so many times the figure."""
        return Ranged(self.low * factor, self * factor, self.high * factor)


def ends_of(figure: Decimal) -> Three | None:
    """Low, likely and high of a figure that is a range; None for one that is not."""
    return (figure.low, Decimal(figure), figure.high) if isinstance(figure, Ranged) else None


def spread_out(figure: Decimal) -> tuple[Decimal, ...]:
    """Low, likely and high of a range, else the figure alone: what rules about single figures look at."""
    return ends_of(figure) or (figure,)


def low_likely_high(entries: "list[Any] | tuple[Any, ...]", read: Callable[[Any], Decimal]) -> Ranged:
    """The range of three entries. Raises MisreadError unless there are three that rise."""
    if len(entries) != 3:
        found = f"has {len(entries)} figure{'s' * (len(entries) != 1)}"
        raise MisreadError(found, "write one, or three: low, likely and high, in [brackets]")
    low, likely, high = (read(entry) for entry in entries)
    if low <= likely <= high:
        return Ranged(low, likely, high)
    written = [" ".join(str(entry).split()) for entry in entries]
    by_size = [text for _, text in sorted(zip((low, likely, high), written, strict=True))]
    raise MisreadError(
        f"is {', '.join(written)}, which does not rise from low over likely to high",
        f"write them in order: [{', '.join(by_size)}]",
    )


def something(ranged: Ranged) -> Ranged:
    """The range itself. Raises MisreadError where it reaches below nothing, or is one around nothing."""
    if ranged.low < 0:
        raise MisreadError("has a low figure below nothing", "write a low figure of 0 or more")
    if not ranged and ranged.high:
        raise MisreadError(
            "has a likely figure of 0, beside which no range counts", "write a likely figure above 0"
        )
    return ranged


def _one_or_three(value: Any, read: Callable[[Any], Decimal]) -> Decimal:
    if isinstance(value, list | tuple):
        return something(low_likely_high(value, read))
    return value if isinstance(value, Ranged) else read(value)


def _rate(value: Any, read: Callable[[Any], Decimal]) -> Decimal:
    if isinstance(value, list | tuple):
        return low_likely_high(value, read)
    return value if isinstance(value, Ranged) else read(value)


class _Described:
    """How a figure that may be a range stands in a JSON Schema."""

    def __init__(self, what: str) -> None:
        self.what = what

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """One figure, or three."""
        one = {"type": ["string", "number"]}
        return {
            "anyOf": [one, {"type": "array", "items": one, "minItems": 3, "maxItems": 3}],
            "description": f"{self.what}; one, or [low, likely, high]",
        }


RangedShare = Annotated[
    Decimal,
    BeforeValidator(quantities.parse_fraction),
    WrapValidator(_one_or_three),
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
    WrapValidator(_one_or_three),
    _Described("money in the shop's currency: 12.50, $1,250.00, 17 cents"),
]
"""Money in cents, or the three of its range."""
