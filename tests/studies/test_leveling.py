"""Bids at the estimate's scope, by hand and against the plan's own lines. All prices invented.

A wall drop for the saw, a task an hour unless `HOURS` says otherwise, at 100 an hour:
run cable 1 to 3 (likely 1.5, expected 10/6 = 1.67), feet 30 x 0.1 = 3.0, set outlet 1, land in panel 1;
call-out 50, permit 60: low 710, likely 760, high 910, expected 776.67.
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import CREWS, DRILL, SAW, make_catalog, make_shop, ranked

from costplan.circuits.facts import Facts
from costplan.ledger.lines import LineKind, Pocket
from costplan.model.bids import Bid
from costplan.model.catalog import Catalog
from costplan.model.labor import Crew
from costplan.program.ranked import Ranked
from costplan.studies.bid_choice import in_place
from costplan.studies.break_even import break_even_hours
from costplan.studies.hired_scope import CentPoints, hours_of, price_scope, scope_today
from costplan.studies.leveling import AgainstEstimate, LeveledBid, Leveling, Part, level

Row = dict[str, Any]

TODAY = date(2026, 11, 2)
HOURS = {"run-cable": (1, "1.5", 3)}
WALL: Row = {"ways": {"only": ["wall drop"], "hard_wired": False}}
ALL = ["run-cable", "foot-of-cable", "set-outlet", "land-in-panel"]
OWNER, ONE = CREWS


def fixed(price: object = 700, covers: list[str] = ALL, **more: Any) -> Bid:
    values: Row = {"bidder": "lump", "date": "2026-10-01", "kind": "fixed", "price": price, "covers": covers}
    return Bid.model_validate(values | {"rest_by": "electrician"} | more)


def hourly(rate: object = 80, **more: Any) -> Bid:
    values: Row = {"bidder": "clock", "date": "2026-10-01", "kind": "hourly", "rate": rate}
    return Bid.model_validate(values | more)


def planned(
    machines: list[Row] | None = None, catalog: Catalog | None = None, **more: Any
) -> tuple[Facts, Ranked]:
    shop = make_shop([SAW | WALL] if machines is None else machines, **more)
    facts = Facts(shop, catalog or make_catalog(hours=HOURS))
    return facts, ranked(facts.shop, facts.catalog)[0]


def leveled(*bids: Bid, **more: Any) -> Leveling:
    return level(*planned(**more), bids, today=TODAY)


def only(leveling: Leveling) -> LeveledBid:
    assert len(leveling.bids) == 1
    return leveling.bids[0]


def amounts(bid: LeveledBid, part: Part) -> dict[str, int]:
    return {line.what: line.amount_cents for line in bid.lines if line.part is part}


# the estimate


def test_the_estimate_at_low_likely_high_and_expected_hours() -> None:
    estimate = leveled().estimate
    assert estimate.crew.name == "electrician"
    assert estimate.total == CentPoints(71000, 76000, 91000, 77667)
    assert [(row.what, row.cents.expected) for row in estimate.rows] == [
        ("run cable", 16667),
        ("foot of cable", 30000),
        ("set outlet", 10000),
        ("land in panel", 10000),
        ("call-out, electrician", 5000),
        ("permit and inspection", 6000),
    ]
    assert (estimate.hours.low, estimate.hours.likely, estimate.hours.high) == (6, Decimal("6.5"), 8)


@pytest.mark.parametrize(
    "crew",
    [
        ONE,
        ONE | {"minimum": 800, "set_up": "0.3"},
        ONE | {"pace": "2.2", "rate": "169.99", "set_up": "0.75 h", "minimum": 300},
    ],
)
def test_the_expected_estimate_is_what_the_plan_pays_hired_people(crew: Row) -> None:
    catalog = make_catalog(hours=HOURS, crews=[OWNER, crew])
    facts, plan = planned([SAW | WALL, DRILL | WALL], catalog)
    kinds = (LineKind.LABOR, LineKind.CALL_OUT, LineKind.PERMIT, LineKind.MINIMUM)
    paid = [line for line in plan.lines if line.kind in kinds and line.pocket is Pocket.CASH]
    assert level(facts, plan, [], today=TODAY).estimate.total.expected == sum(
        line.amount_cents for line in paid if line.year == 0
    )


def test_a_minimum_tops_up_each_column_by_itself() -> None:
    estimate = leveled(catalog=make_catalog(hours=HOURS, crews=[OWNER, ONE | {"minimum": 660}])).estimate
    short = next(row for row in estimate.rows if row.what.startswith("short"))
    assert short.cents == CentPoints(6000, 1000, 0, 0)
    assert estimate.total == CentPoints(77000, 77000, 91000, 77667)


# fixed bids


def test_a_bid_for_everything_stands_as_it_is() -> None:
    bid = only(leveled(fixed(750, includes_permit=True)))
    assert (bid.total_cents, bid.missing, bid.kept_out) == (75000, (), "")
    assert bid.difference == CentPoints(4000, -1000, -16000, -2667)
    assert bid.standing is AgainstEstimate.WITHIN


@pytest.mark.parametrize(
    ("price", "standing"),
    [
        ("709.99", AgainstEstimate.BELOW),
        ("710", AgainstEstimate.WITHIN),
        ("910", AgainstEstimate.WITHIN),
        ("910.01", AgainstEstimate.ABOVE),
    ],
)
def test_the_flag_turns_at_low_and_high(price: str, standing: AgainstEstimate) -> None:
    assert only(leveled(fixed(price, includes_permit=True))).standing is standing


def test_what_is_left_out_is_named_and_added_with_the_visit_it_takes() -> None:
    bid = only(leveled(fixed(400, ["run-cable", "foot-of-cable"])))
    assert amounts(bid, Part.ADDED) == {
        "set outlet (saw)": 10000,
        "land in panel (saw)": 10000,
        "call-out, electrician": 5000,
        "permit and inspection": 6000,
    }
    assert (bid.price_cents, bid.added_cents, bid.total_cents) == (40000, 31000, 71000)


@pytest.mark.parametrize(
    ("covers", "includes", "permit_cents"),
    [
        (ALL, True, 0),
        (ALL, False, 6000),
        # work with a permit is left to others, who pay for one of their own
        (ALL[:3], True, 6000),
    ],
)
def test_the_permit_is_added_unless_all_of_it_is_in_the_price(
    covers: list[str], includes: bool, permit_cents: int
) -> None:
    bid = only(leveled(fixed(700, covers, includes_permit=includes)))
    assert amounts(bid, Part.ADDED).get("permit and inspection", 0) == permit_cents


def test_a_price_for_one_machine_leaves_out_the_other() -> None:
    machines = [SAW | WALL, DRILL | WALL]
    bid = only(leveled(fixed(500, covers_machines=["saw"]), machines=machines))
    # the drill: run 1.67, 20 ft x 0.1 = 2.0, outlet 1, breaker 1
    assert amounts(bid, Part.ADDED) == {
        "run cable (drill)": 16667,
        "foot of cable (drill)": 20000,
        "set outlet (drill)": 10000,
        "land in panel (drill)": 10000,
        "call-out, electrician": 5000,
        "permit and inspection": 6000,
    }
    assert bid.kept_out == "the price is for some machines only"


def test_parts_in_the_price_are_taken_off_with_their_tax() -> None:
    store = [{"id": "store", "name": "The Store (invented)", "tax": "10 %"}]
    catalog = make_catalog(hours=HOURS, suppliers=store)
    bid = only(leveled(fixed(800, includes_permit=True, includes_parts=["building cable"]), catalog=catalog))
    assert list(amounts(bid, Part.TAKEN_OFF).values()) == [-3300]
    assert bid.total_cents == 80000 - 3300
    assert bid.kept_out == "parts are in the price"


def test_parts_of_some_machines_are_not_taken_off_and_that_is_said() -> None:
    bid = only(leveled(fixed(800, covers_machines=["saw"], includes_parts=["building cable"])))
    assert bid.taken_off_cents == 0
    assert any("nothing is taken off" in remark for remark in bid.remarks)


def test_work_the_plan_does_not_hire_is_remarked() -> None:
    bid = only(leveled(fixed(800, [*ALL, "make-safe"])))
    assert any("make-safe" in remark for remark in bid.remarks)
    idle = only(leveled(fixed(800, ["make-safe"])))
    assert any("none of this plan's hired work" in remark for remark in idle.remarks)


def test_an_expired_bid_is_leveled_and_kept_out() -> None:
    bid = only(leveled(fixed(750, valid_until="2026-11-01", includes_permit=True)))
    assert (bid.total_cents, bid.kept_out) == (75000, "the price held until 2026-11-01")


# hourly bids


def test_an_hourly_bid_is_priced_at_the_expected_hours() -> None:
    bid = only(leveled(hourly(80, pace=2, call_out=30, minimum=300, set_up="0.5 h", permit=40)))
    # 20/3 h of one electrician at half the hours, and a quarter of an hour of set-up, short of 300
    assert amounts(bid, Part.PRICE) == {
        "run cable": 6667,
        "foot of cable": 12000,
        "set outlet": 4000,
        "land in panel": 4000,
        "call-out, clock": 3000,
        "set-up and clean-up, clock": 2000,
        "short of the minimum, clock": 1333,
        "permit and inspection": 4000,
    }
    assert (bid.total_cents, bid.missing) == (37000, ())
    assert bid.spread == CentPoints(37000, 37000, 41000, 37000)


def test_an_hourly_bid_silent_on_the_permit_has_it_added() -> None:
    silent, said = (only(leveled(bid)) for bid in (hourly(80), hourly(80, permit=0)))
    assert amounts(silent, Part.ADDED) == {"permit and inspection, not said": 6000}
    assert said.missing == ()
    assert silent.total_cents - said.total_cents == 6000
    assert silent.spread is not None
    assert silent.spread.expected == silent.total_cents


# sums


@settings(max_examples=12)
@given(
    st.integers(0, 200_000),
    st.sets(st.sampled_from(ALL), min_size=1),
    st.booleans(),
    st.integers(1_000, 20_000),
    st.sampled_from(["0.7", "1", "2.2"]),
    st.integers(0, 100_000),
)
def test_every_total_is_the_sum_of_its_lines_and_what_the_choice_pays(
    price: int, covers: set[str], includes: bool, rate: int, pace: str, minimum: int
) -> None:
    least = Decimal(minimum) / 100
    catalog = make_catalog(hours=HOURS, crews=[OWNER, ONE | {"minimum": least, "set_up": "0.3"}])
    facts, plan = planned([SAW | WALL], catalog)
    bids = [
        fixed(Decimal(price) / 100, sorted(covers), includes_permit=includes),
        hourly(Decimal(rate) / 100, pace=pace, minimum=least, call_out=7, permit=5),
    ]
    leveling = level(facts, plan, bids, today=TODAY)
    instead = {entry.name.partition(",")[0]: entry for entry in in_place(facts, plan, bids, today=TODAY)}
    for bid in leveling.bids:
        assert bid.total_cents == bid.price_cents + bid.added_cents + bid.taken_off_cents
        best = instead[bid.bid.bidder].ranked
        assert best is not None
        assert best.present_value_cents - plan.present_value_cents == bid.difference.expected
    assert leveling.estimate.total == CentPoints.total(row.cents for row in leveling.estimate.rows)


def test_nothing_hired_is_nothing_to_bid_on() -> None:
    facts, plan = planned()
    idle = replace(plan, lines=tuple(line for line in plan.lines if line.kind is not LineKind.LABOR))
    leveling = level(facts, idle, [fixed(100, includes_permit=True)], today=TODAY)
    assert leveling.estimate.total == CentPoints.same(0)
    assert any("hires nobody" in remark for remark in leveling.remarks)
    assert only(leveling).added_cents == 0


def test_quoted_hours_are_work_no_price_covers() -> None:
    quote = {"wall drop": {"extra": 5, "quote": {"per_run": 200, "per_ft": 3, "hours_per_run": 2}}}
    leveling = leveled(fixed(300, includes_permit=True), recipes=quote)
    assert scope_today(leveling.facts, leveling.ranked)[-1].what == "hours of quoted work"
    assert amounts(only(leveling), Part.ADDED)["hours of quoted work (saw)"] == 20000
    assert any("quoted work of 275.00" in remark for remark in leveling.remarks)


# break-even


def crew(**more: Any) -> Crew:
    return Crew.model_validate({"name": "crew", "role": "electrician", "rate": 50} | more)


@pytest.mark.parametrize(
    ("price", "more", "hours", "least_cents"),
    [
        (400, {}, 8, 0),
        (400, {"call_out": 100}, 6, 10000),
        # set-up of one electrician takes a pair half the time
        (400, {"call_out": 100, "set_up": 1, "pace": 2}, "5.5", 12500),
        (400, {"call_out": 100, "minimum": 200}, 6, 30000),
        # up to the minimum's four hours both cost the same
        (300, {"call_out": 100, "minimum": 200}, 4, 30000),
        ("299.99", {"call_out": 100, "minimum": 200}, None, 30000),
        (99, {"call_out": 100}, None, 10000),
        (400, {"rate": 0, "call_out": 100}, None, 10000),
    ],
)
def test_break_even_by_hand(price: object, more: Row, hours: object, least_cents: int) -> None:
    found, least = break_even_hours(Decimal(str(price)) * 100, crew(**more))
    assert least == least_cents
    assert found == (None if hours is None else Decimal(str(hours)))


@given(
    st.integers(0, 500_000),
    st.integers(1, 30_000),
    st.integers(0, 20_000),
    st.integers(0, 50_000),
    st.sampled_from(["0", "0.5", "1.25"]),
    st.sampled_from(["0.5", "1", "2"]),
)
def test_at_the_break_even_both_cost_the_same(
    price: int, rate: int, call_out: int, minimum: int, set_up: str, pace: str
) -> None:
    by_hour = crew(
        rate=Decimal(rate) / 100,
        call_out=Decimal(call_out) / 100,
        minimum=Decimal(minimum) / 100,
        set_up=set_up,
        pace=pace,
    )
    hours, least = break_even_hours(Decimal(price), by_hour)

    def cost(worked: Decimal) -> Decimal:
        labor = rate * (worked + Decimal(set_up) / Decimal(pace))
        return call_out + max(labor, Decimal(minimum))

    assert cost(Decimal(0)) == least
    if hours is None:
        assert price < least
    else:
        assert hours >= 0
        assert abs(cost(hours) - price) < Decimal("1e-15")
        assert cost(hours + 1) > price


def test_break_evens_stand_beside_the_estimates_hours() -> None:
    bids = [fixed(750, includes_permit=True), hourly(80, call_out=30), fixed(20, bidder="gift")]
    leveling = leveled(*bids)
    found = {(even.crew, even.bidder): even for even in leveling.break_evens}
    # (750 - 50 - 60) / 100; the silent permit of the hourly bid is the estimate's, (750 - 30 - 60) / 80
    assert found["electrician", "lump"].hours == Decimal("6.4")
    assert found["clock", "lump"].hours == Decimal("8.25")
    assert found["electrician", "gift"].hours is None
    assert "no break-even" in found["electrician", "gift"].words
    estimate = found["electrician", "lump"].estimate
    assert estimate == hours_of(scope_today(leveling.facts, leveling.ranked), Crew.model_validate(ONE))
    assert "the fixed price is cheaper at the expected hours" in found["electrician", "lump"].words
    assert "hourly crew is cheaper at every hour" in found["clock", "lump"].words


def test_a_price_that_leaves_work_out_saves_no_visit() -> None:
    # everything but an hour in the panel: somebody comes for that, and for a permit, whatever the price
    leveling = leveled(fixed(500, ALL[:3], includes_permit=True))
    even = leveling.break_evens[0]
    assert (even.hours, even.visit_apart) == (5, True)
    assert "the fixed price is cheaper at every hour" not in even.words
    # 500 against (1.67 + 3 + 1) h x 100, as the leveled total says
    assert "the fixed price is cheaper at the expected hours" in even.words
    assert only(leveling).difference.expected == 50000 - 56667


def test_equal_at_the_expected_hours_is_said() -> None:
    catalog = make_catalog()
    even = leveled(fixed(650), catalog=catalog).break_evens[0]
    assert (even.hours, even.words) == (6, "both cost the same at the expected hours")


@pytest.mark.parametrize("price", ["100", "566.66", "566.67", "760", "776.66", "776.67", "900"])
@pytest.mark.parametrize("covers", [ALL, ALL[:3]])
def test_break_even_and_leveling_agree(price: str, covers: list[str]) -> None:
    leveling = leveled(fixed(price, covers, includes_permit=True))
    cheaper = "the fixed price" if only(leveling).difference.expected < 0 else "the hourly crew"
    even = leveling.break_evens[0]
    assert f"{cheaper} is cheaper" in even.words


def test_the_scope_is_priced_for_any_crew() -> None:
    facts, plan = planned()
    scope = scope_today(facts, plan)
    rows = price_scope(scope, Crew.model_validate(ONE | {"rate": 0, "call_out": 0}), permit=False)
    assert CentPoints.total(row.cents for row in rows) == CentPoints.same(0)
    assert [row.task for row in rows] == ALL
