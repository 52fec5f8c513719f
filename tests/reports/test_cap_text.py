"""The cap on today's outlay: what it costs, what is left, how sure that is; the tiny shop is worked by hand in the guide.

By hand: plan 1 takes 795.00 today and 805.00 in all; the cheapest that takes less, fixed drops, 710.00 and 1,170.00.
"""

from decimal import Decimal
from pathlib import Path

import pytest

import costplan
from costplan.reports.cap_text import cap_costs, cap_data, cap_lines, left_in_short
from costplan.reports.first_screen import first_screen
from costplan.studies.caps import with_cap
from costplan.studies.comparison import Comparison
from costplan.studies.sureness import Drawable, Settings, how_sure

TINY = Path(__file__).parents[2] / "examples" / "tiny" / "shop.yaml"


@pytest.fixture(scope="module")
def short() -> Comparison:
    """A cap one cent below what plan 1 takes."""
    return costplan.compare(costplan.load(TINY), outlay_cap_cents=79499, draws=1000).comparison


def test_a_cap_says_what_it_costs(short: Comparison) -> None:
    costs = "The cap costs 365.00: without it the best mix is 805.00 in all with 795.00 of cash today, 0.01 above the cap."
    assert cap_costs(short) == costs
    assert cap_lines(short)[0].startswith("Under the cap of 794.99 plan 1 leaves 84.99;")
    assert costs in cap_lines(short)
    screen = " ".join(first_screen(short).split())
    assert costs in screen
    assert "84.99 left under the cap, over it in " in screen
    told = cap_data(short)
    assert told is not None
    assert (told["cap"], told["left"], told["costs"]) == (Decimal("794.99"), Decimal("84.99"), 365)
    assert (told["without_present_value"], told["without_outlay"]) == (805, 795)
    assert (told["without_above_cap"], told["without_proven"]) == (Decimal("0.01"), True)


def test_a_row_whose_own_ways_do_not_fit_does_not_deny_the_plan_that_does(short: Comparison) -> None:
    """Both by cord take 870.00, 75.01 more than the cap."""
    screen = " ".join(first_screen(short).split())
    assert (
        "! cords, all new: the cap on today's outlay is 75.01 too low for any plan by these ways alone"
        in screen
    )
    assert "too low for any plan:" not in screen


def test_a_cap_that_stops_nothing_costs_nothing() -> None:
    wide = costplan.compare(costplan.load(TINY), outlay_cap_cents=79500, draws=100).comparison
    assert cap_costs(wide) == ""
    assert "The cap costs nothing: no plan without it is cheaper." in cap_lines(wide)
    free = costplan.compare(costplan.load(TINY), draws=100).comparison
    assert (cap_lines(free), cap_data(free), left_in_short(free, 1)) == ([], None, "")


def test_how_often_a_cap_is_exceeded_is_counted_in_the_draws(short: Comparison) -> None:
    """A cap at the tenth, the half and nine tenths of what its cash comes to is exceeded in the rest of the draws."""
    plan, settings = short.best, Settings(draws=1000)
    (drawn,) = how_sure([Drawable(short.facts, plan)], settings).plans
    for cents, share in (
        (drawn.cash_today.low_cents, 0.9),
        (drawn.cash_today.median_cents, 0.5),
        (drawn.cash_today.high_cents, 0.1),
    ):
        (found,) = how_sure([Drawable(with_cap(short.facts, cents), plan)], settings).plans
        assert found.over_cap == pytest.approx(share, abs=0.002)
    (free,) = how_sure([Drawable(with_cap(short.facts, None), plan)], settings).plans
    assert free.over_cap == 0
