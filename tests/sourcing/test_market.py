"""Which offers may meet a need, and what they bring along."""

from decimal import Decimal
from typing import Any

import pytest
from second_search import least_cents
from strategies import KINDS, MARKETS, everything_bought, make_catalog, make_shop, offer, piece

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need, make_spec
from costplan.model.choices import SurplusRule
from costplan.program.solver import NoAnswerError
from costplan.sourcing.market import Market
from costplan.sourcing.resale import resale_cents

PLUG = Need(make_spec("plug", {"configuration": "NEMA 6-20"}), 1)
BREAKER = Need(
    make_spec("breaker", {"poles": 2, "ground_fault": False}, {"rating_a": 20}, {"rating_a": 20}), 1
)


def market(*offers: dict[str, Any], rule: SurplusRule = SurplusRule.ALLOWED, **more: Any) -> Market:
    shop = {name: more.pop(name) for name in ("must_be_new", "may_be_used", "years", "money") if name in more}
    return Market(Facts(make_shop(**shop), make_catalog(list(offers), **more)), rule)


def rows(found: Market, need: Need) -> set[int]:
    return {deal.offer.row for deal in found.usable(need)}


NEW, USED = offer("plug-6-20", "store", 12), offer("plug-6-20", "store", 4, condition="used")
SHELF = offer("plug-6-20", "store", 0, condition="on-hand", available=1)


def test_surplus_only_where_it_is_allowed() -> None:
    assert rows(market(NEW, USED, SHELF), PLUG) == {2, 3, 4}
    assert rows(market(NEW, USED, SHELF, rule=SurplusRule.NEW_ONLY), PLUG) == {2, 4}
    assert rows(market(NEW, USED, SHELF, must_be_new=["plug"]), PLUG) == {2, 4}


def test_breakers_are_bought_new_unless_the_user_says_otherwise() -> None:
    offers = offer("breaker-2p-20", "store", 20), offer("breaker-2p-20", "store", 5, condition="used")
    assert rows(market(*offers), BREAKER) == {2}
    assert rows(market(*offers, may_be_used=["breaker"]), BREAKER) == {2, 3}


@pytest.mark.parametrize("gone", [{"available": 0}, {"price": None}])
def test_no_price_or_nothing_left_is_no_deal(gone: dict[str, Any]) -> None:
    assert rows(market(NEW, USED | gone), PLUG) == {2}


def test_a_heavier_cable_meets_the_need_and_a_lighter_or_shorter_one_does_not() -> None:
    found = market(
        offer("nm-10-2", "store", 2, "ft"),
        offer("nm-12-2", "store", 30, "piece of 39 ft"),
        offer("nm-12-2", "store", 30, "piece of 40 ft"),
        offer("nm-12-3", "store", 3, "ft"),
    )
    assert rows(found, piece(40)) == {2, 4, 5}
    assert rows(found, piece(40, awg="10")) == {2}


def test_risk_replaces_the_share_that_is_rejected() -> None:
    """10 % of plugs at 4.00 fail, so a ninth of the price comes on top."""
    deal = next(deal for deal in market(USED).usable(PLUG))
    assert deal.risk_cents(1) == 44
    assert deal.inspect_hours == Decimal("0.25")


def test_new_parts_carry_no_risk() -> None:
    deal = next(deal for deal in market(NEW).usable(PLUG))
    assert (deal.risk_cents(1), deal.inspect_hours) == (0, 0)


def test_resale_is_discounted_from_the_end() -> None:
    deal = next(deal for deal in market(NEW, years=2, money={"discount_rate": "10 %"}).usable(PLUG))
    assert resale_cents(deal, 1, market(NEW, years=2, money={"discount_rate": "10 %"}).facts) == round(
        240 / 1.21
    )


def test_later_purchases_leave_out_the_shelf() -> None:
    found = market(NEW, SHELF).forecast(PLUG)
    assert found is not None
    assert (found.cost_cents, found.deal.offer.row) == (1200, 2)


def test_nothing_on_sale_is_no_forecast() -> None:
    assert market(SHELF).forecast(PLUG) is None


# today's purchase -------------------------------------------------------------------------------------


def test_a_limited_offer_is_filled_up_with_the_next() -> None:
    kinds = [kind | {"resale": {}, "reject": {}, "inspect": 0} for kind in KINDS]
    catalog = make_catalog([NEW, USED | {"available": 2}], kinds=kinds)
    assert everything_bought(catalog, {PLUG: 5}).cost == 2 * 400 + 3 * 1200


@pytest.mark.parametrize(
    ("count", "cents"), [(1, 1000), (2, 2000), (3, 2500), (4, 2500), (5, 3500), (8, 5000)]
)
def test_boxes_or_singles(count: int, cents: int) -> None:
    box = Need(make_spec("outlet box"), 1)
    catalog = make_catalog([offer("box", "store", 10), offer("box", "store", 25, "box of 4")])
    assert everything_bought(catalog, {box: count}).cost == cents


def test_delivery_is_free_from_its_value() -> None:
    supplier = {"id": "store", "name": "The Store (invented)", "delivery": 8, "free_over": 60}
    box = Need(make_spec("outlet box"), 1)
    catalog = make_catalog([offer("box", "store", 10)], suppliers=[supplier])
    assert everything_bought(catalog, {box: 5}).cost == 5800
    assert everything_bought(catalog, {box: 6}).cost == 6000


def test_an_order_below_the_minimum_goes_elsewhere() -> None:
    suppliers = [
        {"id": "store", "name": "The Store (invented)", "minimum": 50},
        {"id": "corner", "name": "Corner (invented)"},
    ]
    box = Need(make_spec("outlet box"), 1)
    catalog = make_catalog([offer("box", "store", 10), offer("box", "corner", 11)], suppliers=suppliers)
    assert everything_bought(catalog, {box: 4}).cost == 4400
    assert everything_bought(catalog, {box: 5}).cost == 5000


def test_cut_charge_and_tax_by_the_piece() -> None:
    supplier = {"id": "store", "name": "The Store (invented)", "cut_charge": "1.50", "tax": "6.25 %"}
    catalog = make_catalog([offer("nm-12-2", "store", "1.01", "ft")], suppliers=[supplier])
    assert everything_bought(catalog, {piece(10): 2}).cost == 2 * (1010 + 150 + 63)


def test_too_little_on_sale_has_no_answer() -> None:
    with pytest.raises(NoAnswerError):
        everything_bought(make_catalog([NEW | {"available": 2}]), {PLUG: 3})


REELS = [
    ({12: 3, 17: 2, 23: 1}, 50),
    ({20: 4, 30: 2, 11: 3}, 60),
    ({25: 3, 24: 3, 26: 2}, 75),
    ({10: 5, 15: 3, 20: 2, 35: 1}, 50),
]


@pytest.mark.parametrize(("pieces", "reel"), REELS)
def test_reels_are_cut_as_well_as_can_be(pieces: dict[int, int], reel: int) -> None:
    """Against a search over every way to cut the pieces from reels or by the foot."""
    catalog = make_catalog(
        [offer("nm-12-2", "store", "0.9", "ft"), offer("nm-12-2", "store", reel // 2, f"reel of {reel} ft")]
    )
    answer = everything_bought(catalog, {piece(length): count for length, count in pieces.items()})
    lengths = [length for length, count in pieces.items() for _ in range(count)]
    assert answer.cost == least_cents(lengths, reel, reel // 2 * 100, 90)


def test_a_remnant_is_used_for_what_fits() -> None:
    catalog = make_catalog(
        [offer("nm-12-2", "store", 1, "ft"), offer("nm-12-2", "store", 9, "piece of 47 ft", available=1)]
    )
    assert everything_bought(catalog, {piece(40): 1, piece(30): 1, piece(7): 1}).cost == 900 + 3000


def test_every_named_market_can_supply_a_plug() -> None:
    for name in MARKETS:
        facts = Facts(make_shop(), make_catalog(**MARKETS[name]))
        assert rows(Market(facts, SurplusRule.NEW_ONLY), PLUG), name
