"""One program at other prices against one built anew for them, to the cent, on drawn shops. All is invented."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import DRILL, MARKETS, SAW, make_catalog, make_shop, move, offer, scenario, situations

from costplan.circuits.facts import Facts
from costplan.ledger.held import HeldPlan
from costplan.ledger.lines import present_value
from costplan.ledger.options import survey
from costplan.ledger.pricing import Pricer
from costplan.ledger.simulation import walk
from costplan.model.choices import RejectRule, SurplusRule
from costplan.program.bench import Bench
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.program.repriced import could_take, repriced

Row = dict[str, Any]

ASKED_FOR = ("plug-6-20", "receptacle-6-20", "connector-6-20", "cord-12-3", "nm-12-2", "box")
"""Parts of which prices are drawn: those of a saw at the wall and by a cord."""
BARN: Row = {"id": "barn", "name": "Barn (invented)", "tax": "5 %", "delivery": 6, "minimum": 10}
STORE: Row = {"id": "store", "name": "Store (invented)"}
SURPLUS: list[Row] = [
    offer("plug-6-20", "barn", 12, "lot of 3", condition="used", usable="67 %"),
    offer("plug-6-20", "barn", "2.35", condition="used", available=2),
    offer("connector-6-20", "barn", 6, condition="new-old-stock", available=2),
    offer("cord-12-3", "barn", "0.85", "ft", condition="used", available=60),
    offer("cord-12-3", "barn", 60, "reel of 60 ft"),
]


def best(bench: Bench, at_most: int | None = None) -> Ranked | None:
    """The best plan; None where there is none, or none at that cost."""
    try:
        return next(iter(best_plans(bench, 1, at_most=at_most)), None)
    except NoPlanError:
        return None


def total(ranked: Ranked | None) -> int | None:
    return None if ranked is None else ranked.present_value_cents


@st.composite
def prices_of(draw: st.DrawFn, facts: Facts) -> dict[int, Decimal | None]:
    """By row what some offers cost today, and None for those that nobody asked about."""
    rows = [offer.row for offer in facts.catalog.offers if offer.part in ASKED_FOR]
    chosen = draw(st.lists(st.sampled_from(rows), min_size=1, max_size=3, unique=True))
    cents = st.none() | st.integers(1, 4000).map(lambda n: Decimal(n) / 2)
    return {row: draw(cents) for row in chosen}


def at(facts: Facts, prices: dict[int, Decimal | None]) -> Facts:
    """The facts written anew with other prices, nothing remembered."""
    offers = [
        offer.model_copy(update={"price_cents": prices[offer.row]}) if offer.row in prices else offer
        for offer in facts.catalog.offers
    ]
    return Facts(facts.written, facts.catalog.model_copy(update={"offers": offers}))


@settings(max_examples=8)
@given(situations(), st.data())
def test_repriced_is_as_built_anew(situation: tuple[Row, Row], data: st.DataObject) -> None:
    """Prices move, missing ones become known, both rules change; totals are those of a bench built for that."""
    told = dict(situation[1])
    told["suppliers"] = [*told.get("suppliers", [STORE]), BARN]
    told["more_offers"] = [*told.get("more_offers", []), *SURPLUS]
    whole = Facts(make_shop(**situation[0]), make_catalog(**told))
    today = data.draw(prices_of(whole))
    known = {o.row: o.price_cents for o in whole.catalog.offers if o.row in today}
    bench = Bench.over(at(whole, today), SurplusRule.ALLOWED)
    ranked = best(bench)
    prices = {row: cents for row, cents in known.items() if cents is not None}
    other, anew = repriced(bench, bench.facts.at_prices(prices)), Bench.over(whole, SurplusRule.ALLOWED)
    found, expected = best(other), best(anew)
    assert total(found) == total(expected)
    if found is not None:
        assert total(best(repriced(bench, other.facts), found.present_value_cents)) == total(found)
        assert best(repriced(bench, other.facts), found.present_value_cents - 1) is None
    if ranked is not None:
        pricers = [Pricer(b.facts, b.pricers[0].market, ranked.plan.hiring) for b in (bench, other, anew)]
        held = HeldPlan.of(pricers[0], ranked.plan, ranked.chosen)
        assert held.cents(pricers[0]) == ranked.present_value_cents
        walked = walk(whole, pricers[2], ranked.plan, ranked.chosen)
        assert held.cents(pricers[1]) == present_value(walked.lines)
    new = Bench.over(whole, SurplusRule.NEW_ONLY)
    assert total(best(repriced(other, rule=SurplusRule.NEW_ONLY))) == total(best(new))
    assert total(best(repriced(new, rule=SurplusRule.ALLOWED))) == total(expected)


@pytest.mark.parametrize("market", ["surplus", "boxes"])
def test_the_other_rule_for_rejects_is_as_built_anew(market: str) -> None:
    shop = make_shop([SAW, DRILL], scenarios=[scenario(move(2, "saw", "bench C"))])
    facts = Facts(shop, make_catalog(**MARKETS[market]))
    bench = Bench.over(facts, SurplusRule.ALLOWED)
    first = total(best(bench))
    money = shop.money.model_copy(update={"rejects": RejectRule.WHOLE_SPARES})
    other = Facts(shop.model_copy(update={"money": money}), facts.catalog)
    assert total(best(repriced(bench, other))) == total(best(Bench.over(other, SurplusRule.ALLOWED)))
    assert total(best(repriced(repriced(bench, other), facts))) == first


def test_an_offer_that_no_plan_could_take_is_known_without_a_search() -> None:
    """A receptacle for 30 A serves nobody here; one for 20 A is taken below the store's 10.00, and not above."""
    more = [offer("receptacle-6-30", "store", 1), offer("receptacle-6-20", "store", 30)]
    facts = Facts(make_shop(), make_catalog(more_offers=more))
    bench = Bench.over(facts, SurplusRule.ALLOWED)
    best(bench)
    idle, other = facts.catalog.offers[-2:]
    assert not could_take(repriced(bench, facts.at_prices({idle.row: Decimal(0)})), idle)
    for cents, taken in ((999, True), (1001, False)):
        assert could_take(repriced(bench, facts.at_prices({other.row: Decimal(cents)})), other) == taken


def test_the_survey_is_made_anew_only_where_another_part_is_sold() -> None:
    """Nobody knows what the 20 A plug costs: with its price a cord becomes possible, which is more than a price."""
    priced = Facts(make_shop([SAW]), make_catalog())
    rows = {o.row: None for o in priced.catalog.offers if o.part == "plug-6-20"}
    facts = at(priced, rows)
    assert facts.at_prices({2: Decimal(1)}).sold is facts.sold
    known = facts.at_prices(dict.fromkeys(rows, Decimal(1200)))
    assert known.sold != facts.sold
    assert survey(known) == survey(priced)


BID: Row = {
    "name": "bid",
    "price": 100,
    "covers": ["run-cable", "foot-of-cable", "set-outlet"],
    "rest_by": "electrician",
}
RICHER: Row = {"name": "owner", "role": "owner", "rate": 300, "pace": 1}


@pytest.mark.parametrize(("more", "kept"), [({"bids": [BID]}, True), ({"crews": [RICHER]}, False)])
def test_other_crews_and_bids_are_as_built_anew(more: Row, kept: bool) -> None:
    """A bid is another way of hiring on the same program; an owner whose hours are worth more is not, nor are parts then."""
    told: Row = {"scenarios": [scenario(move(2, "saw", "bench C"))]}
    catalog = make_catalog(**MARKETS["surplus"])
    bench = Bench.over(Facts(make_shop(**told), catalog), SurplusRule.ALLOWED)
    first = total(best(bench))
    other = Facts(make_shop(**told, **more), catalog)
    found = Bench.over(other, SurplusRule.ALLOWED, known=bench)
    assert (found.built.alike is not None) == kept
    assert total(best(found)) == total(best(Bench.over(other, SurplusRule.ALLOWED))) != first


def test_what_runs_at_once_is_another_program() -> None:
    """The same ways, but not the same limits on what the service carries."""
    service: Row = {"system": "120/240 single-phase", "amps": 100}
    told: Row = {"service": service | {"at_once": [["saw"], ["drill"]]}}
    catalog = make_catalog()
    bench = Bench.over(Facts(make_shop(**told), catalog), SurplusRule.ALLOWED)
    best(bench)
    other = Facts(make_shop(service=service | {"at_once": [["saw", "drill"]]}), catalog)
    assert Bench.over(other, SurplusRule.ALLOWED, known=bench).built.alike is None
