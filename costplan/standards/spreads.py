"""How far figures may be off that nobody gave a range. All of it is common practice without a source."""

from decimal import Decimal
from functools import cache

from costplan.standards import tables

SPREADS = "common_practice_spreads"
COPPER = "copper"


@cache
def _spreads() -> dict[tuple[str, str], Decimal]:
    return {(row["figure"], row["of"]): Decimal(row["value"]) for row in tables.table(SPREADS)}


def times_by_condition(condition: str) -> Decimal:
    """How many times as far off a price is as that of a new part."""
    return _spreads()["price by condition", condition]


def times_by_age(days: int | None) -> Decimal:
    """How many times as far off a price is as one seen lately; None: nobody said when it was seen."""
    figure = "price by days"
    if days is None:
        return _spreads()[figure, "never seen"]
    older = {int(of): times for (what, of), times in _spreads().items() if what == figure and of.isdigit()}
    passed = [least for least in older if days > least]
    return older[max(passed)] if passed else Decimal(1)


def share_along(what: str) -> Decimal:
    """How much of their ranks prices have in common that move along with something; of a word of one's own as of copper."""
    return _spreads().get(("price moves along", what), _spreads()["price moves along", COPPER])


def share_of_reckoned_rate() -> Decimal:
    """How much of its ranks a rate that nobody asked has in common with the one it was reckoned from."""
    return _spreads()["rate reckoned from", ""]


def failing_spread() -> Decimal:
    """One standard deviation of the share of surplus that fails, as a share of it."""
    return _spreads()["failing share", ""]


def resale_spread() -> Decimal:
    """One standard deviation of the share that a part fetches at the end, as a share of it."""
    return _spreads()["resale share", ""]
