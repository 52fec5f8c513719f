"""A plan under a yearly budget: what is read off its lines, against the plan worked out anew; all prices invented.

The circuits themselves are worked by hand in tests/reference/test_yearly_budget.py.
"""

from typing import Any

import pytest
from strategies import CREWS, DRILL, LATHE, SAW, UNSALABLE, make_catalog, make_shop, ranked

from costplan.circuits.facts import Facts
from costplan.program.clock import Clock
from costplan.reports.budget_text import budget_data, budget_text
from costplan.studies.budgeted import Budgeted, budgeted
from costplan.studies.yearly_budget import Lacking, Staged

CATALOG = make_catalog(kinds=UNSALABLE)
WALLS = {"ways": {"only": ["wall drop"], "hard_wired": False}}
GROWING = {"discount_rate": "3 %", "growth": {"parts": "2 %", "labor": "4 %"}}


def found(
    budget: int, by: dict[str, int] | None = None, *, money: dict[str, Any] | None = None, later: bool = False
) -> Budgeted:
    lathe = LATHE | WALLS | ({"arrives": 2} if later else {})
    shop = make_shop([SAW | WALLS, DRILL | WALLS, lathe], money=money or {"discount_rate": "3 %"})
    plan = ranked(shop, CATALOG)[0]
    return budgeted(Facts(shop, CATALOG), plan, budget * 100, by or {}, Clock())


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
    one = budgeted(facts, plan, 10_000_00, {}, Clock())
    assert one.task.visit[2] == 0 < one.task.visit[3]
    assert kept(one).years["lathe"] in (0, 2)
    assert one.anew is not None
    assert kept(one).cash == one.anew.cash
