"""Questions about the days on which prices were seen beside the day of the plan: of each, or of that day alone."""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from datetime import date, timedelta

from costplan.files.problems import Problem
from costplan.model.catalog import Offer
from costplan.model.pair import Pair, Rule

OLDEST_PRICE = timedelta(days=180)
"""Age from which a price is asked about. A choice, no source."""
OLDEST_OF_ALL = timedelta(days=730)
"""So many days after the newest price the day of the plan itself is asked about, once. A choice, no source."""


def days_go_with_the_plans(pair: Pair) -> Iterator[Problem]:
    """Prices are neither old nor of a day to come; where hardly any is so, the day of the plan is asked about instead."""
    today = pair.shop.today
    seen = [offer for offer in pair.catalog.offers if offer.seen is not None]
    odd = _odd_today(today, [offer.seen for offer in seen if offer.seen is not None])
    if odd is not None:
        yield pair.in_shop("today-odd", ("today",), *odd, question=True)
        return
    for offer in seen:
        if offer.seen is not None and not today - OLDEST_PRICE <= offer.seen <= today:
            yield _of_one(pair, offer, (today - offer.seen).days)


def _odd_today(today: date, seen: Sequence[date]) -> tuple[str, str] | None:
    """Message and mend where most prices are of a day to come, or the newest is years old."""
    if not seen:
        return None
    newest, later = max(seen), sum(day > today for day in seen)
    if later * 2 > len(seen):
        message = f"is {today}, before {later} of the {len(seen)} prices were seen, the last on {newest}"
        return message, f"is it the day of this plan? Write year-month-day{_turned(today, newest)}"
    if today - newest > OLDEST_OF_ALL:
        message = f"is {today}, {(today - newest).days // 365} years after the last price was seen ({newest})"
        return message, "is the year meant? If so, ask for prices again; they are used as they are"
    return None


def _turned(today: date, newest: date) -> str:
    """The day with its day and month changed, where that goes with the prices."""
    with suppress(ValueError):
        turned = today.replace(month=today.day, day=today.month)
        if turned >= newest:
            return f"; with day and month changed it is {turned}"
    return ""


def _of_one(pair: Pair, offer: Offer, days: int) -> Problem:
    if days < 0:
        message = f"the price was seen on {offer.seen}, after the day of the plan ({pair.shop.today})"
        mend = "check the date, or today: in the shop file"
    else:
        message = f"the price was seen on {offer.seen}, {days} days before the day of the plan"
        mend = "ask again; it is used as it is"
    return pair.in_offers("offer-price-old", offer, "seen", message, mend, question=True)


QUESTIONS = frozenset({"today-odd"})
"""Codes of its questions that every command tells in full."""

RULES: tuple[Rule, ...] = (days_go_with_the_plans,)
