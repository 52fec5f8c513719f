"""Bids in the choice: who does which work becomes part of the plan. All prices invented.

A wall drop for the saw: run 1 h, 30 ft at 0.1 h, outlet 1 h, breaker 1 h at 100; call-out 50, permit 60; parts
70: 780.00 in all. A cord for it: 618.60. Worked out in test_features.
"""

from datetime import date
from typing import Any

import pytest
from second_opinion import SecondOpinion
from strategies import CREWS, SAW, make_catalog, make_shop, move, ranked, scenario

from costplan.circuits.facts import Facts
from costplan.ledger.crews import hirings
from costplan.ledger.lines import LineKind
from costplan.model.bids import Bid, why_out
from costplan.model.choices import Method, SurplusRule
from costplan.model.labor import FixedBid
from costplan.model.shop import Shop
from costplan.program.bench import Bench
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans
from costplan.studies.bid_choice import (
    all_bids,
    beyond_scope,
    in_place,
    with_bids,
    without_bids,
)
from costplan.studies.hired_scope import scope_today

Row = dict[str, Any]

TODAY = date(2026, 11, 2)
WALL: Row = {"ways": {"only": ["wall drop"], "hard_wired": False}}
ALL = ["run-cable", "foot-of-cable", "set-outlet", "land-in-panel"]
OWNER, ONE = CREWS


def fixed(price: object, covers: list[str] = ALL, **more: Any) -> Bid:
    values: Row = {"bidder": "lump", "date": "2026-10-01", "kind": "fixed", "price": price, "covers": covers}
    return Bid.model_validate(values | {"rest_by": "electrician"} | more)


def hourly(rate: object, **more: Any) -> Bid:
    values: Row = {"bidder": "clock", "date": "2026-10-01", "kind": "hourly", "rate": rate}
    return Bid.model_validate(values | more)


def facts_of(shop: Shop) -> Facts:
    return Facts(shop, make_catalog())


def best(facts: Facts) -> Ranked:
    return best_plans(Bench.over(facts, SurplusRule.ALLOWED), 1)[0]


def permits(plan: Ranked) -> dict[int, int]:
    return {line.year: line.amount_cents for line in plan.lines if line.kind is LineKind.PERMIT}


@pytest.mark.parametrize(
    ("covers", "includes", "total_cents"),
    [
        # the price and the parts, nobody called out
        (ALL, True, 50000 + 7000),
        (ALL, False, 50000 + 7000 + 6000),
        # the breaker is left: call-out, an hour, and a permit for it whatever the price holds
        (ALL[:3], True, 50000 + 7000 + 5000 + 10000 + 6000),
        (ALL[:3], False, 50000 + 7000 + 5000 + 10000 + 6000),
    ],
)
def test_a_bid_with_the_permit_pays_none_when_it_covers_all_that_needs_one(
    covers: list[str], includes: bool, total_cents: int
) -> None:
    bid = {"name": "lump", "price": 500, "covers": covers, "rest_by": "electrician"}
    facts = facts_of(make_shop([SAW | WALL], bids=[bid | {"includes_permit": includes}]))
    bench = Bench.over(facts, SurplusRule.ALLOWED, crews=hirings(facts, ["lump"]))
    assert best_plans(bench, 1)[0].present_value_cents == total_cents


def test_the_permit_of_a_later_move_is_paid_all_the_same() -> None:
    bid = {"name": "lump", "price": 10, "covers": ALL, "rest_by": "electrician", "includes_permit": True}
    shop = make_shop([SAW | WALL], bids=[bid], scenarios=[scenario(move(2, "saw", "bench E"))])
    plan = best(facts_of(shop))
    assert plan.plan.hiring.bid is not None
    assert permits(plan) == {2: 6000}


@pytest.mark.parametrize("includes", [True, False])
@pytest.mark.parametrize("covers", [ALL, ALL[1:]])
def test_the_choice_agrees_with_a_search_that_tries_everything(covers: list[str], includes: bool) -> None:
    facts = with_bids(
        facts_of(make_shop(scenarios=[scenario(move(2, "saw", "bench C"))])),
        [fixed(600, covers, includes_permit=includes), hourly(85, call_out=20)],
        today=TODAY,
    )
    bench = Bench.over(facts, SurplusRule.ALLOWED)
    expected = SecondOpinion(bench, SurplusRule.ALLOWED).by_plan()
    assert best_plans(bench, 1)[0].present_value_cents == min(expected.values())


def test_the_cheapest_of_estimate_and_bids_does_the_work() -> None:
    facts = facts_of(make_shop([SAW | WALL]))
    for bids, hired in (
        ([], "electrician"),
        ([fixed("600", includes_permit=True), hourly(99, permit=60)], "lump, else electrician"),
        ([fixed("750"), hourly(80, permit=60, call_out=50)], "clock"),
        ([fixed("800"), hourly(140, permit=60, call_out=50)], "electrician"),
    ):
        assert best(with_bids(facts, bids, today=TODAY)).plan.hiring.name == hired


def test_bids_that_cannot_take_part_are_left_out_and_named() -> None:
    facts = facts_of(make_shop())
    bids = [
        fixed(1, bidder="late", valid_until="2026-11-01"),
        fixed(1, bidder="one machine", covers_machines=["saw"]),
        fixed(1, bidder="with parts", includes_parts=["cord"]),
        hourly(1, valid_until="2026-11-01"),
        fixed(1, bidder="rest by late", rest_by="clock"),
        fixed(500, bidder="ready", covers_machines=["saw", "drill"]),
    ]
    known = with_bids(facts, bids, today=TODAY)
    assert [bid.name for bid in known.shop.bids] == ["ready"]
    assert known.crews == facts.crews
    out = why_out(bids, facts.shop, facts.crews, today=TODAY)
    assert {bid.bidder for bid, why in zip(bids, out, strict=True) if why} == {
        "late",
        "one machine",
        "with parts",
        "clock",
        "rest by late",
    }
    late = with_bids(facts, bids, today=TODAY, expired=True)
    assert [bid.name for bid in late.shop.bids] == ["late", "rest by late", "ready"]
    assert "clock" in {crew.name for crew in late.crews}


def test_a_silent_permit_is_never_free() -> None:
    plan = best(with_bids(facts_of(make_shop([SAW | WALL])), [hourly(1)], today=TODAY))
    assert plan.plan.hiring.name == "clock"
    assert permits(plan) == {0: 6000}


def test_only_whom_is_asked_is_hired_even_when_another_is_never_worse() -> None:
    facts = with_bids(facts_of(make_shop()), [fixed(500), hourly(120, call_out=60, permit=60)], today=TODAY)
    assert [way.name for way in hirings(facts)] == ["electrician", "lump, else electrician"]
    assert [way.name for way in hirings(facts, ["clock"])] == ["clock"]
    assert [way.name for way in hirings(facts, ["lump"])] == ["lump, else electrician"]
    assert hirings(facts, []) == []


def test_each_bid_in_the_estimates_place() -> None:
    facts = facts_of(make_shop([SAW | WALL]))
    plan = ranked(facts.shop, facts.catalog)[0]
    bids = [fixed(800, includes_permit=True), hourly(120, call_out=50, permit=60)]
    found = {entry.name: entry for entry in in_place(facts, plan, bids, today=TODAY)}
    totals = {name: entry.ranked.present_value_cents for name, entry in found.items() if entry.ranked}
    # 800 and parts 70; 6 h at 120, call-out, permit and parts
    assert totals == {"lump, else electrician": 87000, "clock": 90000}
    assert all(entry.beyond == () and entry.as_asked is entry.ranked for entry in found.values())
    assert in_place(facts, plan, [], today=TODAY) == ()


def test_a_bidder_of_both_kinds_is_put_in_place_by_each() -> None:
    facts = facts_of(make_shop([SAW | WALL]))
    plan = ranked(facts.shop, facts.catalog)[0]
    bids = [fixed(800), hourly(120, bidder="lump", permit=60)]
    assert [entry.name for entry in in_place(facts, plan, bids, today=TODAY)] == [
        "lump, else electrician",
        "lump",
    ]


def methods(plan: Ranked) -> set[Method]:
    return {way.method for _, way, _ in plan.plan.shares()}


def test_a_price_that_makes_other_ways_cheaper_is_not_trusted_silently() -> None:
    # asked for the cord's short run, its price would also do the wall's thirty feet for nothing
    facts = facts_of(make_shop([SAW]))
    plan = ranked(facts.shop, facts.catalog)[0]
    assert methods(plan) == {Method.CORD}
    found = in_place(facts, plan, [fixed(300, includes_permit=True)], today=TODAY)[0]
    assert found.ranked is not None
    assert methods(found.ranked) == {Method.WALL}
    assert found.as_asked is not None
    assert methods(found.as_asked) == {Method.CORD}
    # the price for three hours at 100, call-out and permit, the rest as before: 618.60 - 410 + 300
    assert found.as_asked.present_value_cents == 50860
    assert found.beyond == ("lump: foot of cable: 30 in this plan, 0 when asked",)
    assert found.asked_beyond == ()
    assert list(beyond_scope(facts, scope_today(facts, plan), plan)) == []


def test_the_shop_files_own_bids_are_leveled_too_and_are_no_estimate() -> None:
    own = FixedBid(name="own", price_cents="500", covers=ALL, rest_by="electrician")
    facts = facts_of(make_shop([SAW | WALL]).model_copy(update={"bids": [own]}))
    assert [bid.bidder for bid in all_bids(facts, [hourly(80)])] == ["own", "clock"]
    assert without_bids(facts).shop.bids == []
    assert best(without_bids(facts)).plan.hiring.bid is None
    assert without_bids(without_bids(facts)).shop.bids == []
