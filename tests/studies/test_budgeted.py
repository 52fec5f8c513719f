"""A plan under a yearly budget: what is read off its lines, against the plan worked out anew; all prices invented.

The circuits themselves are worked by hand in tests/reference/test_yearly_budget.py.
"""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from command import ROOT
from strategies import CREWS, DRILL, LATHE, SAW, UNSALABLE, make_catalog, make_shop, ranked

import costplan
from costplan.circuits.facts import Facts
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.program.clock import Clock
from costplan.reports.budget_columns import ANEW, BUDGET, OTHER_PLANS, SURE, WAITS, budget_data
from costplan.reports.budget_text import budget_text
from costplan.studies.budgeted import Budgeted, budgeted
from costplan.studies.comparison import Comparison
from costplan.studies.exceeding import exceeding
from costplan.studies.sureness import Drawable, Settings, how_sure
from costplan.studies.yearly_budget import Budget, Lacking, Staged

CATALOG = make_catalog(kinds=UNSALABLE)
WALLS = {"ways": {"only": ["wall drop"], "hard_wired": False}}
HALVES = [{"name": name, "weight": "0.5", "events": []} for name in ("moves", "stays")]
GROWING = {"discount_rate": "3 %", "growth": {"parts": "2 %", "labor": "4 %"}}


def found(
    budget: int, by: dict[str, int] | None = None, *, money: dict[str, Any] | None = None, later: bool = False
) -> Budgeted:
    lathe = LATHE | WALLS | ({"arrives": 2} if later else {})
    shop = make_shop([SAW | WALLS, DRILL | WALLS, lathe], money=money or {"discount_rate": "3 %"})
    plan = ranked(shop, CATALOG)[0]
    return budgeted(Facts(shop, CATALOG), plan, Budget((budget * 100,)), by or {}, Clock())


def kept(one: Budgeted) -> Staged:
    assert isinstance(one.found, Staged)
    return one.found


def test_the_years_are_the_plan_worked_out_anew_to_the_cent() -> None:
    one = found(1700, {"drill": 1, "lathe": 3})
    assert kept(one).years["saw"] == 0
    assert max(kept(one).years.values()) > 0
    assert one.anew is not None
    assert kept(one).cash == one.anew.cash
    assert max(one.anew.cash) <= 170_000
    # nothing else is paid in this plan, so that all of it is worth what the circuits and their visits are
    assert kept(one).worth_cents == pytest.approx(one.anew.plan.present_value_cents, abs=40)


def test_prices_grow_until_it_is_made() -> None:
    # with so high a rate waiting pays for a visit more
    one = found(10_000, {"drill": 3}, money={"discount_rate": "25 %", "growth": GROWING["growth"]})
    assert kept(one).years == {"saw": 0, "lathe": 0, "drill": 3}
    assert one.anew is not None
    # each line grows and is rounded by itself, here the sum of a machine
    assert kept(one).cash == pytest.approx(one.anew.cash, abs=10)


def test_what_arrives_may_be_made_before_and_what_is_here_is_never_put_off() -> None:
    first = found(10_000, later=True)
    assert first.due == {"saw": 0, "drill": 0, "lathe": 2}
    # without discounting nothing is gained by waiting, and one visit is saved
    early = found(10_000, later=True, money={"discount_rate": "0 %"})
    assert kept(early).years == {"saw": 0, "drill": 0, "lathe": 0}
    # no budget that is too small for what is here is kept by putting it off
    least = found(100, later=True)
    assert isinstance(least.found, Lacking)
    assert least.anew is None
    text = " ".join(budget_text(least, 80).split())
    assert "A budget of 100.00 a year cannot be kept." in text
    assert "Nothing was put off: " in text
    assert "saw is due today" in text


def test_it_is_told_as_data() -> None:
    data = budget_data(found(1700, {"drill": 1, "lathe": 3}))
    assert (data["kept"], data["short"], data["budget"]) == (True, None, 1700)
    assert set(data["years"]) == {"saw", "drill", "lathe"}
    assert data["worth_without_budget"] <= data["worth"]
    data = budget_data(found(100))
    assert (data["kept"], data["years"], data["anew"]) == (False, None, None)
    assert set(data["short"]) == {"0"}


def test_every_key_of_the_data_is_declared_and_on_the_page() -> None:
    page = (ROOT / "costplan" / "guide" / "json-and-csv.md").read_text(encoding="utf-8")
    (row,) = (line for line in page.splitlines() if line.startswith("| `yearly_budget`"))
    for columns in (BUDGET, ANEW, OTHER_PLANS, WAITS, SURE):
        assert all(f"`{column.key}`" in row for column in columns)
    kept_, short = budget_data(found(1700, {"drill": 1, "lathe": 3})), budget_data(found(100))
    assert [*kept_] == [*short] == [column.key for column in BUDGET]
    assert str(kept_["budget"]) == "1700.00"
    assert str(short["short"]["0"]).partition(".")[2] in {f"{cents:02}" for cents in range(100)}


@pytest.mark.parametrize(
    ("by", "words"),
    [
        ({"dril": 1}, 'there is no such machine; allowed: saw, drill, lathe. Did you mean "drill"'),
        ({"saw": 4}, "the years are 0"),
    ],
)
def test_a_machine_or_a_year_that_cannot_be_is_refused(by: dict[str, int], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        found(1700, by)


def test_a_visit_that_moves_need_anyway_is_not_paid_twice() -> None:
    # the saw moves at the end of year 2, which brings the electrician: the lathe goes along for nothing more
    scenarios = [{"name": "moves", "weight": 1, "events": [{"year": 2, "machine": "saw", "move": "bench D"}]}]
    shop = make_shop(
        [SAW | WALLS, LATHE | WALLS | {"arrives": 3}], money={"discount_rate": "0 %"}, scenarios=scenarios
    )
    plan = ranked(shop, make_catalog(kinds=UNSALABLE, crews=[CREWS[0], CREWS[1] | {"call_out": 500}]))[0]
    facts = Facts(shop, make_catalog(kinds=UNSALABLE, crews=[CREWS[0], CREWS[1] | {"call_out": 500}]))
    one = budgeted(facts, plan, Budget((10_000_00,)), {}, Clock())
    assert one.task.visit[2] == 0 < one.task.visit[3]
    assert kept(one).years["lathe"] in (0, 2)
    assert one.anew is not None
    assert kept(one).cash == one.anew.cash


@pytest.fixture(scope="module")
def tiny() -> Comparison:
    case = costplan.load(ROOT / "examples" / "tiny" / "shop.yaml")
    return costplan.compare(case, plans=3, draws=100).comparison


def test_which_other_plans_could_keep_it_is_said(tiny: Comparison) -> None:
    """The tiny shop, by hand in the guide: plan 1 takes 795.00 today, plan 2 870.00, plan 3 710.00 and 460.00 in year 2."""
    plans = tiny.plans
    assert [plan.outlay_cents for plan in plans] == [79500, 87000, 71000]

    def asked(budget: int, rank: int = 1) -> Budgeted:
        return budgeted(tiny.facts, plans[rank - 1], Budget((budget * 100,)), {}, Clock(), ranked=plans)

    short = asked(750)
    assert [other.rank for other in short.others or ()] == [3]
    text = " ".join(budget_text(short, 80).split())
    assert "these could keep it: plan 3, 1,170.00 in all with 710.00 of cash today (--plan 3)" in text
    assert budget_data(short)["other_plans"] == [{"rank": 3, "present_value": 1170, "outlay": 710}]
    # 460.00 in year 2 must fit too; 709.00 is too little for all
    assert asked(709).others == ()
    assert "None of the other ranked plans could keep it" in " ".join(budget_text(asked(709), 80).split())
    # a budget that is kept names no others
    assert asked(750, rank=3).others is None


def test_how_often_a_budget_is_exceeded_is_counted_in_the_draws_of_all_else(tiny: Comparison) -> None:
    """Today alone is drawn as in `sureness`, whose tenths are those of its cash; nothing is paid later but 80.00 in year 2."""
    best = tiny.best
    settings = Settings(draws=1000)
    (drawn,) = how_sure([Drawable(tiny.facts, best)], settings).plans
    high = drawn.cash_today.high_cents
    at = budgeted(tiny.facts, best, Budget((high,)), {}, Clock(), settings=settings).sure
    assert at is not None
    assert (at.more_cents, at.share) == (0, pytest.approx(0.1, abs=0.002))
    assert set(at.by_year) == {0}
    # what would do as reckoned, where 750.00 is too little: 795.00, the middle of all draws
    least = budgeted(tiny.facts, best, Budget((75000,)), {}, Clock(), settings=settings)
    assert least.sure is not None
    assert least.sure.share == pytest.approx(0.5, abs=0.06)
    assert least.sure.more_cents == high - 79500
    text = " ".join(budget_text(least, 80).split())
    assert "795.00 would do as reckoned: in " in text
    assert "more is needed today; " in text
    assert "covers 9 of 10." in text
    assert "in no draw does a year need more" in " ".join(
        budget_text(budgeted(tiny.facts, best, Budget((10**6,)), {}, Clock()), 80).split()
    )


def test_more_today_than_in_each_year_after(tiny: Comparison) -> None:
    """The tiny shop, by hand in the guide: plan 3 takes 710.00 today and 460.00 in year 2."""
    plan = tiny.plans[2]

    def told(*dollars: int) -> tuple[str, Any]:
        one = budgeted(tiny.facts, plan, Budget(tuple(each * 100 for each in dollars)), {}, Clock())
        return " ".join(budget_text(one, 80).split()), budget_data(one)

    text, data = told(710, 460)
    assert "What to do in which year with 710.00 today and 460.00 in each year after at most" in text
    assert (data["kept"], data["budget"], data["budget_by_year"]) == (True, None, [710, 460, 460, 460])
    assert "more in every year covers 9 of 10" in text
    assert data["sure"]["covers_nine_of_ten"] is None
    assert data["sure"]["more_covers_nine_of_ten"] > 0
    text, data = told(710, 0, 400, 0)
    assert text.startswith(
        "A budget of 710.00 today, 0.00 in year 1, 400.00 in year 2 and 0.00 in each year after cannot"
    )
    assert data["short"] == {"2": 60}


def test_of_a_later_year_the_scenario_that_takes_most_counts_in_its_own_money() -> None:
    """By hand: hours [1, 1, 3] at 100.00 in year 1 with weight 1/2, discounted 10 %: 100 to 300, neither halved nor discounted.

    The beta-PERT of mode 0: alpha 1, beta 5, so more than half of the range has the chance (1 - 1/2) ** 5 = 3.1 %.
    """
    facts = Facts(
        make_shop([SAW], years=3, scenarios=HALVES, money={"discount_rate": "10 %"}), make_catalog()
    )
    plan = ranked(facts.shop, facts.catalog)[0]
    crew = next(each for each in facts.crews if each.rate_cents)
    hours = tuple(map(Decimal, (1, 1, 3)))
    mean = Decimal(8) / 6
    cents = int(mean * 100 * 100)
    line = Line(1, "moves", LineKind.LABOR, Pocket.CASH, "work", "saw", cents, cents // 3, "", crew=crew.name)
    fixed = replace(plan, lines=(replace(line, hours=mean, hours_range=hours),))
    found = exceeding(facts, fixed, lambda _: 20000, Settings(draws=20000))
    assert found.share == pytest.approx(0.03125, abs=0.005)
    assert found.by_year == {1: found.share}
    assert found.more_cents + 20000 == pytest.approx(100 * (100 + 200 * (1 - 0.1**0.2)), rel=0.01)
