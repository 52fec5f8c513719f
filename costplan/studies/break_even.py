"""By the hour for small jobs, a fixed price for large ones: the hours at which both cost the same."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from costplan.model.bids import Bid
from costplan.model.labor import Crew
from costplan.model.money import format_cents, to_cents
from costplan.studies.hired_scope import HourPoints, ScopeItem, covered_by, hours_of


@dataclass(frozen=True, slots=True)
class BreakEven:
    """An hourly crew against a fixed price for the work that the price covers.

    `hours` are the crew's by the clock, up to which it costs no more; None when there is no such number.
    `estimate` are the hours the estimate gives that crew for the work. `visit_apart` says that the price leaves
    work out, for which somebody is called out either way: call-out, set-up and minimum then count on no side.
    """

    crew: str
    bidder: str
    hours: Decimal | None
    words: str
    estimate: HourPoints
    visit_apart: bool = False


def hourly_cents(crew: Crew, hours: Decimal, *, permit_cents: Decimal = Decimal(0)) -> Decimal:
    """What a visit of so many hours by the clock costs: call-out, permit, and labor or the minimum."""
    labor_cents = crew.rate_cents * (crew.set_up_hours / crew.pace + hours)
    return crew.call_out_cents + permit_cents + max(crew.minimum_cents, labor_cents)


def break_even_hours(
    price_cents: Decimal, crew: Crew, *, permit_cents: Decimal = Decimal(0)
) -> tuple[Decimal | None, Decimal]:
    """Hours by the clock up to which an hourly crew costs no more than a fixed price, and its least charge.

    Hourly: call-out + permit + the larger of minimum and rate x (set-up + hours); solved for the hours,
    (price - call-out - permit) / rate - set-up. None when the least charge, in cents, is above the price, or
    when the rate is 0 so that hours change nothing. Source: the break-even of a fixed against a variable cost,
    common practice.
    """
    least_cents = hourly_cents(crew, Decimal(0), permit_cents=permit_cents)
    if crew.rate_cents == 0 or price_cents < least_cents:
        return None, least_cents
    visit_cents = crew.call_out_cents + permit_cents
    return (price_cents - visit_cents) / crew.rate_cents - crew.set_up_hours / crew.pace, least_cents


def against(crew: Crew, bid: Bid, scope: Sequence[ScopeItem]) -> BreakEven:
    """A crew against a fixed bid, for the hired work that the price covers."""
    work = [item for item in scope if covered_by(bid, item)]
    left = [item for item in scope if not covered_by(bid, item)]
    estimate = hours_of(work, crew)
    if not work:
        words = "the price covers no hired work of this plan"
        return BreakEven(crew.name, bid.bidder, None, words, estimate)
    saved = bool(bid.includes_permit) and any(i.permit for i in work) and not any(i.permit for i in left)
    permit = crew.permit_cents if saved else _NOTHING
    paid = crew.model_copy(update=_NO_VISIT) if left else crew
    price = bid.price_cents or _NOTHING
    hours, least = break_even_hours(price, paid, permit_cents=permit)
    words = _no_number(least, price) if hours is None else _which(paid, permit, price, estimate)
    return BreakEven(crew.name, bid.bidder, hours, words, estimate, bool(left))


_NOTHING = Decimal(0)
_NO_VISIT = {"call_out_cents": _NOTHING, "set_up_hours": _NOTHING, "minimum_cents": _NOTHING}


def _no_number(least: Decimal, price: Decimal) -> str:
    floor = format_cents(to_cents(least))
    if least <= price:
        return f"no break-even: by the hour it costs {floor} however long it takes"
    return f"no break-even: by the hour it costs {floor} at least, so the fixed price is cheaper at any hours"


def _which(crew: Crew, permit_cents: Decimal, price: Decimal, estimate: HourPoints) -> str:
    low, high, expected = (
        hourly_cents(crew, hours, permit_cents=permit_cents) - price
        for hours in (estimate.low, estimate.high, estimate.expected)
    )
    if expected == 0:
        return "both cost the same at the expected hours"
    cheaper = "the fixed price" if expected > 0 else "the hourly crew"
    if low <= 0 <= high:
        return f"{cheaper} is cheaper at the expected hours, but the estimate's range reaches both sides"
    return f"{cheaper} is cheaper at every hour of the estimate's range"
