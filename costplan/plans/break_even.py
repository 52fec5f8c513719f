"""By the hour for small jobs, a fixed price for large ones: the hours at which both cost the same."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from costplan.model.bids import Bid
from costplan.model.catalog import Crew
from costplan.model.money import format_cents, to_cents
from costplan.plans.hired_scope import HourPoints, ScopeItem, covered_by, hours_of


@dataclass(frozen=True, slots=True)
class BreakEven:
    """An hourly crew against a fixed price for the same work as a job of its own.

    `hours` are the crew's by the clock, up to which it is the cheaper; None when there is no such number.
    `estimate` are the hours the estimate gives that crew for the work.
    """

    crew: str
    bidder: str
    hours: Decimal | None
    words: str
    estimate: HourPoints


def break_even_hours(
    price_cents: Decimal, crew: Crew, *, permit_cents: Decimal = Decimal(0)
) -> tuple[Decimal | None, Decimal]:
    """Hours by the clock up to which an hourly crew costs no more than a fixed price, and its least charge.

    Hourly: call-out + permit + the larger of minimum and rate x (set-up + hours); solved for the hours,
    (price - call-out - permit) / rate - set-up. None when the least charge, in cents, is above the price, or
    when the rate is 0 so that hours change nothing. Source: the break-even of a fixed against a variable cost,
    common practice.
    """
    set_up_hours = crew.set_up_hours / crew.pace
    visit_cents = crew.call_out_cents + permit_cents
    least_cents = visit_cents + max(crew.minimum_cents, crew.rate_cents * set_up_hours)
    if crew.rate_cents == 0 or price_cents < least_cents:
        return None, least_cents
    return (price_cents - visit_cents) / crew.rate_cents - set_up_hours, least_cents


def against(crew: Crew, bid: Bid, scope: Sequence[ScopeItem]) -> BreakEven:
    """A crew against a fixed bid, for the hired work that the price covers."""
    work = [item for item in scope if covered_by(bid, item)]
    permit = bool(bid.includes_permit) and any(item.permit for item in work)
    price = bid.price_cents or Decimal(0)
    hours, least = break_even_hours(price, crew, permit_cents=crew.permit_cents if permit else Decimal(0))
    estimate = hours_of(work, crew)
    if not work:
        return BreakEven(
            crew.name, bid.bidder, hours, "the price covers no hired work of this plan", estimate
        )
    return BreakEven(crew.name, bid.bidder, hours, _even_words(hours, least, price, estimate), estimate)


def _even_words(hours: Decimal | None, least: Decimal, price: Decimal, estimate: HourPoints) -> str:
    floor = format_cents(to_cents(least))
    if hours is None:
        if least <= price:
            return f"no break-even: by the hour it costs {floor} however long it takes"
        return (
            f"no break-even: the least a visit costs is {floor}, so the fixed price is cheaper at any hours"
        )
    cheaper = "the fixed price" if estimate.expected > hours else "the hourly crew"
    if estimate.low <= hours <= estimate.high:
        return f"{cheaper} is cheaper at the expected hours, but the estimate's range reaches both sides"
    return f"{cheaper} is cheaper at every hour of the estimate's range"
