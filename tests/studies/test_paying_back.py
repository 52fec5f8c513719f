"""Payback, net savings, savings to investment, adjusted return: cases worked by hand, and numpy-financial.

Handbook 135 and a textbook's machine stand in tests/reference/test_nist_handbook_135.py.
"""

from decimal import Decimal
from itertools import accumulate
from typing import Any

import numpy_financial
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import DRILL, KINDS, SAW, make_catalog, make_shop, move, ranked, scenario

from costplan.circuits.facts import Facts
from costplan.ledger.lines import LineKind, Pocket
from costplan.studies.comparison import Comparison, compare
from costplan.studies.paying_back import (
    Apart,
    Class,
    Counted,
    Measures,
    Undefined,
    class_of,
    measures,
    named_plans,
    not_beaten,
    paid_back,
    paying_back,
)
from costplan.studies.staging import due
from costplan.studies.wanted import Wanted
from costplan.studies.yearly import money_by_year
from costplan.years.discounting import single_worth


def of(invested: list[int], running: list[int], rate: str = "0", today: int = 0) -> Measures:
    """What is invested and what runs, in dollars a year from today on; `today` is what the dearer plan takes then."""
    years = []
    for year, (one, two) in enumerate(zip(invested, running, strict=True)):
        worth = single_worth(Decimal(rate), year)
        years.append(Apart(one * 100, two * 100, round(one * 100 * worth), round(two * 100 * worth)))
    return measures(years, Decimal(rate), today * 100)


def near(value: Decimal | None) -> Any:
    return None if value is None else pytest.approx(float(value), abs=5e-5)


def test_a_case_without_interest_by_hand() -> None:
    """Plan A takes 710 today and 100 in each of four years, B 870 and 50: B invests 160 and saves 50 a year.

    Net savings 4 x 50 - 160 = 40; after three years 150 are back, after the fourth 200, so at its end;
    200 / 160 = 1.25; 1.25 ** (1/4) - 1 = 5.737 %.
    """
    found = of([160, 0, 0, 0, 0], [0, -50, -50, -50, -50])
    assert (found.more_today_cents, found.net_savings_cents) == (16000, 4000)
    assert found.payback_years == found.discounted_payback_years == 4
    assert found.savings_to_investment == Decimal("1.25")
    assert near(found.adjusted_return) == 0.05737
    assert found.undefined is None


def test_a_case_with_ten_percent_by_hand() -> None:
    """100 more today; 66 less in year 1, worth 60; 36.30 in year 2, worth 30; 26.62 in year 3, worth 20.

    Net savings 10. Simple: 102.30 are back after year 2; in today's money 90 after year 2 and 110 after year 3. Ratio 1.1.
    Put by at 10 %, 66 x 1.21 + 36.30 x 1.1 + 26.62 = 146.41 of 100: its third root is 1.135510.
    """
    years = [
        Apart(10000, 0, 10000, 0),
        Apart(0, -6600, 0, -6000),
        Apart(0, -3630, 0, -3000),
        Apart(0, -2662, 0, -2000),
    ]
    found = measures(years, Decimal("0.10"))
    assert found.net_savings_cents == 1000
    assert (found.payback_years, found.discounted_payback_years) == (2, 3)
    assert found.savings_to_investment == Decimal("1.1")
    assert near(found.adjusted_return) == 0.13551


def test_a_case_that_is_lost_again_and_resells_by_hand() -> None:
    """100 more today, 120 saved in year 1, 40 more spent in year 2 (a move), 30 saved in year 3, and 50 more by resale.

    So far: -100, 20, -20, 60 (10 and 50). Back at the end of year 1, lost in year 2, and for good at the end of year 3.
    Net savings 60. Invested 100 - 50 = 50, saved 120 - 40 + 30 = 110: ratio 2.2.
    """
    found = of([100, 0, 0, -50], [0, -120, 40, -30])
    assert found.payback_years == 3
    assert (found.net_savings_cents, found.savings_to_investment) == (6000, Decimal("2.2"))


def test_what_is_not_there_is_said_why() -> None:
    same = of([0, 0], [0, -50])
    assert (same.undefined, same.net_savings_cents, same.payback_years) == (Undefined.SAME_TODAY, 5000, None)
    # 20 less today in all money, though a cap on cash alone may put it after the other: not the same, and no investment
    less = of([-20, 0], [0, -50])
    assert (less.undefined, less.net_savings_cents, less.payback_years) == (Undefined.LESS_TODAY, 7000, None)
    # 100 more today, and 100 of that by resale in year 2: paid back on that very day
    resold = of([100, 0, -100], [0, -10, -10])
    assert (resold.undefined, resold.savings_to_investment) == (Undefined.NOTHING_INVESTED, None)
    assert resold.payback_years == 2
    # of 1,000 today 9.00 stay invested, which are left of larger sums; 10.00 are a hundredth
    left = of([100, 0, -100 + 9], [0, -50, -50], today=1000)
    assert (left.undefined, left.savings_to_investment, left.adjusted_return) == (
        Undefined.HARDLY_INVESTED,
        None,
        None,
    )
    assert left.net_savings_cents == 9100
    assert of([100, 0, -90], [0, -50, -50], today=1000).savings_to_investment == 10
    worse = of([100, 0], [0, 20])
    assert (worse.undefined, worse.adjusted_return) == (Undefined.SAVES_NOTHING, None)
    assert (worse.savings_to_investment, worse.net_savings_cents) == (None, -12000)
    never = of([100, 0], [0, -99])
    assert (never.payback_years, never.undefined) == (None, None)
    with pytest.raises(ValueError, match="one year at least"):
        of([100], [0])


@given(
    outlay=st.integers(1, 10_000),
    saved=st.lists(st.integers(1, 5_000), min_size=1, max_size=12),
    rate=st.integers(0, 20),
)
def test_the_adjusted_return_is_the_modified_internal_rate(outlay: int, saved: list[int], rate: int) -> None:
    """numpy_financial.mirr, financed and put by at the discount rate; the same of net savings and npv."""
    share = rate / 100
    found = of([outlay, *[0] * len(saved)], [0, *(-amount for amount in saved)], str(share))
    flow = [-outlay, *saved]
    cents = len(saved) + 1
    assert found.net_savings_cents == pytest.approx(100 * numpy_financial.npv(share, flow), abs=cents)
    # what is worth whole cents differs from the exact by a cent a year at most
    lean = 2 * cents / (100 * outlay) + 1e-9
    assert float(found.adjusted_return or 0) == pytest.approx(
        numpy_financial.mirr(flow, share, share), abs=2 * lean + 1e-6
    )


@given(st.lists(st.integers(-500, 500), min_size=1, max_size=10))
def test_paid_back_is_the_least_year_from_which_on_no_sum_so_far_is_open(more: list[int]) -> None:
    """The definition, read off all sums."""
    so_far = list(accumulate(more))
    for_good = [year for year in range(len(more)) if all(cents <= 0 for cents in so_far[year:])]
    assert paid_back(more) == (for_good[0] if for_good else None)


@pytest.fixture(scope="module")
def moved() -> Comparison:
    """A saw that moves in year 2, and a drill that stays."""
    shop = make_shop(
        [SAW, DRILL],
        scenarios=[scenario(move(2, "saw", "bench C"))],
        strategies=[{"name": "long cords", "ways": {"*": "cord"}}],
        years=4,
    )
    return compare(Facts(shop, make_catalog()))


def test_net_savings_are_the_difference_of_the_printed_totals(moved: Comparison) -> None:
    """Of all money; what the plan that takes more today takes more is never below nothing, whichever is cheaper."""
    named = named_plans(moved)
    found = [entry for entry in paying_back(moved) if entry.counted is Counted.ALL]
    assert [entry.other for entry in found] == named[1:]
    for entry in found:
        dear, cheap = entry.other.plan, moved.best
        if entry.first_takes_more:
            dear, cheap = cheap, dear
        assert entry.measures.net_savings_cents == cheap.present_value_cents - dear.present_value_cents
        assert entry.measures.more_today_cents == dear.today_cents - cheap.today_cents >= 0


def test_a_plan_of_several_names_stands_once(moved: Comparison) -> None:
    named = named_plans(moved)
    assert named[0].name == "plan 1"
    (cords,) = (entry for entry in named if '"long cords"' in entry.names)
    assert "cords" in cords.names


def test_what_is_not_beaten_in_cash_and_total(moved: Comparison) -> None:
    """Held against every pair of plans."""
    named = named_plans(moved)
    kept = not_beaten(named)
    for entry in named:
        figures = (entry.plan.outlay_cents, entry.plan.present_value_cents)
        beaten = any(
            other.plan.outlay_cents <= figures[0]
            and other.plan.present_value_cents <= figures[1]
            and (other.plan.outlay_cents, other.plan.present_value_cents) != figures
            for other in named
        )
        assert beaten == (entry not in kept)


def test_cash_by_machine_adds_up_to_the_cash_of_each_year(moved: Comparison) -> None:
    """What a machine alone needs stands with it: tiny by hand has 450 for the saw and 345 for the drill, of which two boxes
    of 5, bought together, are shared."""
    for plan in moved.plans:
        entries = due(moved.facts, plan)
        for year in money_by_year(moved.facts, plan.lines):
            assert sum(one.cents for one in entries if one.year == year.year) == year.cash_cents
    assert {one.machine for one in due(moved.facts, moved.best)} >= {"saw", "drill"}


def test_what_is_due_in_some_scenarios_only_says_in_how_many() -> None:
    """The saw on a wall drop moves in one of four cases: what its move takes counts a quarter."""
    moving = [
        scenario(move(2, "saw", "bench C"), name="moves", weight="0.25"),
        scenario(name="stays", weight="0.75"),
    ]
    shop = make_shop([SAW], scenarios=moving, years=4)
    result = compare(
        Facts(shop, make_catalog()), Wanted(held={"saw": "wall drop"}, strategies=False, settings=None)
    )
    later = [entry for entry in due(result.facts, result.best) if entry.year == 2]
    paid = sum(
        line.amount_cents for line in result.best.lines if line.year == 2 and line.pocket is Pocket.CASH
    )
    assert paid
    assert sum(entry.cents for entry in later) == pytest.approx(paid / 4, abs=len(later))
    assert {entry.share for entry in later} == {Decimal("0.25")}


def test_every_line_is_of_one_class_by_what_brings_it() -> None:
    """Fixed drops: receptacles last 5 years of 6, the drill comes in year 2 and moves in year 3; each year calls somebody out.

    So a first circuit is invested also when it comes later, what a move takes runs, what is worn out is replaced, and what
    is sold at the end is a residual.
    """
    drop = {"ways": {"hard_wired": False, "only": ["wall drop"]}}
    shop = make_shop(
        [SAW | drop, DRILL | drop | {"arrives": 2}],
        scenarios=[scenario(move(3, "drill", "bench C"))],
        years=6,
    )
    kinds = [kind | ({"life": 5} if kind["kind"] == "receptacle" else {}) for kind in KINDS]
    (best, *_) = ranked(shop, make_catalog(kinds=kinds))
    classes: dict[int, set[Class]] = {}
    for line in best.lines:
        classes.setdefault(line.year, set()).add(class_of(line))
        assert (class_of(line) is Class.RESIDUAL) == (line.pocket is Pocket.COMES_BACK)
    assert {year: found - {Class.RESIDUAL} for year, found in classes.items() if year < 6} == {
        0: {Class.INVESTED},
        2: {Class.INVESTED},
        3: {Class.RUNNING},
        5: {Class.REPLACED},
    }
    assert {line.year for line in best.lines if line.kind is LineKind.CALL_OUT} == {0, 2, 3, 5}


def test_a_visit_that_a_move_asks_for_too_is_a_running_cost() -> None:
    """As above, but the drill moves in the year in which the saw's receptacle is worn out."""
    drop = {"ways": {"hard_wired": False, "only": ["wall drop"]}}
    shop = make_shop(
        [SAW | drop, DRILL | drop | {"arrives": 2}],
        scenarios=[scenario(move(5, "drill", "bench C"))],
        years=6,
    )
    kinds = [kind | ({"life": 5} if kind["kind"] == "receptacle" else {}) for kind in KINDS]
    (best, *_) = ranked(shop, make_catalog(kinds=kinds))
    of_year = [line for line in best.lines if line.year == 5]
    assert {class_of(line) for line in of_year if line.machine == "saw"} == {Class.REPLACED}
    assert {class_of(line) for line in of_year if line.machine == "drill"} == {Class.RUNNING}
    assert [class_of(line) for line in of_year if line.kind is LineKind.CALL_OUT] == [Class.RUNNING]
