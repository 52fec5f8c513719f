"""The value of a phone call on the tiny shop, against solving it from scratch at every price said."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache

import pytest
from shipped_shops import tiny

from costplan.circuits.facts import Facts
from costplan.ledger.lines import present_value
from costplan.ledger.pricing import Pricer
from costplan.ledger.simulation import walk
from costplan.model.catalog import Offer
from costplan.model.labor import FixedBid, Role
from costplan.program.bench import Bench
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans
from costplan.reports.calls import calls_data, calls_text
from costplan.sourcing.market import Market
from costplan.studies.phone_calls import Call, Calls, phone_calls, why_unsure

TIMES = Decimal(40)


def with_offers(facts: Facts, offers: list[Offer]) -> Facts:
    return Facts(facts.shop, facts.catalog.model_copy(update={"offers": offers}))


def at_price(facts: Facts, row: int, price_cents: Decimal) -> Facts:
    """The facts with one offer at another price."""
    return with_offers(
        facts,
        [
            offer.model_copy(update={"price_cents": price_cents}) if offer.row == row else offer
            for offer in facts.catalog.offers
        ],
    )


def best(facts: Facts) -> Ranked:
    return best_plans(Bench.over(facts, facts.shop.money.surplus), 1)[0]


def held(facts: Facts) -> int:
    """What the plan that is best at today's prices costs at others."""
    known = all_old().best
    pricer = Pricer(facts, Market(facts, facts.shop.money.surplus), known.plan.hiring)
    return present_value(walk(facts, pricer, known.plan, known.chosen).lines)


@cache
def all_old() -> Calls:
    """Every price of the tiny catalog is a month old, so all are unsure."""
    return phone_calls(tiny(), oldest_days=1, times=TIMES)


def test_prices_are_unsure_when_missing_undated_or_old() -> None:
    today = date(2026, 11, 20)

    def why(**more: object) -> str | None:
        said = {"part": "p", "supplier": "s", "condition": "new", "price": "1", "per": "each", **more}
        return why_unsure(Offer.model_validate(said), today)

    assert why(price=None, seen="2026-11-19") == "no price"
    assert why() == "no date"
    assert why(seen="2026-05-23") == "181 days old"
    assert why(seen="2026-05-24") is None
    assert why(condition="on-hand") is None


def test_within_the_usual_range_nothing_changes_in_the_tiny_shop() -> None:
    calls = phone_calls(tiny(), oldest_days=1)
    assert calls.calls == ()
    assert len(calls.idle) == len(tiny().catalog.offers)
    assert "No missing or old price could change the plan." in calls_text(calls)


def test_the_price_said_is_where_another_plan_begins_to_win() -> None:
    calls = all_old().calls
    assert len(calls) >= 4
    for call in calls[:3]:
        turn = call.dearer
        assert turn is not None
        assert turn.exact
        before = at_price(tiny(), call.offer.row, turn.price_cents - 1)
        after = at_price(tiny(), call.offer.row, turn.price_cents)
        assert best(before).present_value_cents == held(before)
        assert best(after).present_value_cents < held(after)
        assert best(after).plan.kinds != all_old().best.plan.kinds


def test_the_worth_is_what_holding_on_would_lose_and_orders_the_calls() -> None:
    worths = [call.worth_cents for call in all_old().calls]
    assert worths == sorted(worths, reverse=True)
    assert worths[-1] > 0


def new_offer(price: str | None, row: int = 99) -> Offer:
    """A second source for the cord that the best plan buys, never asked for its price."""
    return Offer.model_validate(
        {
            "part": "cord-12-3",
            "supplier": "store",
            "condition": "new",
            "price": price,
            "per": "ft",
            "row": row,
        }
    )


@pytest.mark.parametrize("price", [None, "2.01"])
def test_a_missing_or_undated_price_matters_from_where_it_is_bought(price: str | None) -> None:
    facts = with_offers(tiny(), [*tiny().catalog.offers, new_offer(price)])

    calls = phone_calls(facts)

    (call,) = calls.calls
    assert isinstance(call, Call)
    assert (call.offer.row, call.used, call.dearer) == (99, False, None)
    assert call.cheaper is not None
    at = call.cheaper.price_cents
    assert best(at_price(facts, 99, at)).present_value_cents < calls.best.present_value_cents
    assert best(at_price(facts, 99, at + 1)).present_value_cents == calls.best.present_value_cents
    assert call.cheaper.change == "the same ways, bought elsewhere"
    text = calls_text(calls)
    assert "cord-12-3 at store" in text
    assert f"at or below {at / 100:.2f}" in text
    data = calls_data(calls)
    assert data["calls"][0]["plan_changes_below"]["price"] == float(at / 100)  # type: ignore[index]


def test_a_group_in_which_nothing_matters_is_left_at_once() -> None:
    """Conduit at 9.00, tried down to 3.00, would be bought for drops in conduit, not the best; cord at 300.00 never."""
    ticks: list[str] = []
    dear = [new_offer("900", row) for row in range(100, 108)]
    stick = {"part": "conduit-3-4", "per": "stick of 10 ft"}
    sticks = [new_offer("9", row).model_copy(update=stick) for row in range(108, 112)]
    facts = with_offers(tiny(), [*tiny().catalog.offers, *dear, *sticks])

    calls = phone_calls(facts, tick=ticks.append)

    assert calls.calls == ()
    assert len(calls.idle) == 12
    assert len(ticks) == 2


def test_what_there_was_no_time_for_is_said() -> None:
    """All but what nobody needs at any price: breakers with ground-fault protection."""
    calls = phone_calls(tiny(), oldest_days=1, seconds=0.001)
    assert len(calls.not_looked_at) == len(tiny().catalog.offers) - len(calls.idle)
    assert len(calls.idle) == 2
    assert "lack of time" in calls_text(calls)


def test_a_plan_with_a_fixed_bid_is_known_by_what_it_decides() -> None:
    """A plan is held at other prices by its key, of which the bid is a part."""
    facts = tiny()
    hired = next(crew for crew in facts.crews if crew.role is Role.ELECTRICIAN)
    every_task = [task.id for task in facts.catalog.tasks if Role.ELECTRICIAN in task.who]
    bid = FixedBid.model_validate(
        {"name": "all of it", "price": 10, "covers": every_task, "rest_by": hired.name}
    )
    found = phone_calls(
        Facts(facts.written.model_copy(update={"bids": [bid]}), facts.catalog), oldest_days=1, times=TIMES
    )
    assert found.best.plan.hiring.bid == bid
    assert hash(found.best.plan.key) == hash(replace(found.best.plan).key)
    assert found.calls
