"""The search by parts against one search of the whole program: the same best plans, and nothing solved in vain."""

from dataclasses import replace

import pytest
from strategies import GRINDER, MILL, PANEL, make_catalog, make_gear_shop, with_gear

from costplan.circuits.facts import Facts
from costplan.model.choices import SurplusRule
from costplan.program import search
from costplan.program.bench import Bench
from costplan.program.choice import Choice
from costplan.program.clock import Clock
from costplan.program.search import Search, Searches
from costplan.program.solver import Answer, solve


def bench() -> Bench:
    """Three-phase machines beside a panel that is nearly full: a motor, or one of three pieces of gear."""
    gear = ("subpanel", "converter", "utility")
    shop = make_gear_shop([MILL, GRINDER], gear, panels=[PANEL | {"spaces_free": 3}])
    return Bench.over(Facts(shop, make_catalog(**with_gear())), SurplusRule.ALLOWED)


def test_parts_by_gear_leave_nothing_out_and_their_bounds_only_rise() -> None:
    shop = bench()
    choice = shop.choice(shop.pricers[0]).narrowed(shop.open_options())
    whole = Search(choice)
    parts = whole.split()
    assert len(parts) == 2
    assert min(part.bound for part in parts) >= whole.bound
    found = Searches([choice])
    found.fill(1, Clock(), bool)
    assert found.found[0].cost_cents == solve(choice.program).cost


def test_nothing_is_solved_that_the_relaxation_puts_above_a_plan_at_hand(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    shop = bench()
    bounds: list[int] = []
    honest = search.Search.advance

    def noted(self: Search, at_most: int | None, seconds: float | None) -> None:
        bounds.append(self.bound)
        honest(self, at_most, seconds)

    monkeypatch.setattr(search.Search, "advance", noted)
    choices = [shop.choice(pricer).narrowed(shop.open_options()) for pricer in shop.pricers]
    found = Searches(choices)
    found.fill(1, Clock(), bool)
    assert bounds
    assert max(bounds) <= found.found[0].cost_cents


def test_what_several_plans_may_cost_is_looked_for_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """However far is looked, the plans are those that come one by one."""
    shop = bench()
    choices = [shop.choice(pricer).narrowed(shop.open_options()) for pricer in shop.pricers]
    many = Searches(choices)
    many.fill(4, Clock(), bool)

    def nearest(self: Searches, count: int) -> int | None:
        return min((one.answer.cost - 1 for one in self.open if not one.lacks_plan), default=None)

    monkeypatch.setattr(Searches, "farthest", nearest)
    one_by_one = Searches([shop.choice(pricer).narrowed(shop.open_options()) for pricer in shop.pricers])
    one_by_one.fill(4, Clock(), bool)
    assert [plan.cost_cents for plan in many.found] == [plan.cost_cents for plan in one_by_one.found]
    assert len(many.found) == 4


def test_a_bound_stays_proven_where_an_answer_cannot_be_cut(monkeypatch: pytest.MonkeyPatch) -> None:
    """The second search runs out of time with a lower bound than the first, which had fewer rows, has proven."""
    shop = bench()
    one = Search(shop.choice(shop.pricers[0]).narrowed(shop.open_options()))
    best = solve(one.choice.program)
    late = replace(best, bound=best.cost - 1000)
    answers, cut = iter([best, late]), iter([False, True])
    monkeypatch.setattr(search, "solve", lambda *_, **__: next(answers))
    monkeypatch.setattr(Search, "_can_be_cut", lambda *_: next(cut))
    monkeypatch.setattr(Search, "_mended", lambda *_: None)
    one.advance(None, None)
    assert one.bound == best.cost


def test_a_mended_plan_that_costs_no_more_than_was_proven_is_not_searched_from(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The first answer is proven, and the same ways with other reels cost as much: there is nothing left to look for."""
    shop = bench()
    one = Search(shop.choice(shop.pricers[0]).narrowed(shop.open_options()))
    best = solve(one.choice.program)
    answers, cut = iter([best]), iter([False, True])
    monkeypatch.setattr(search, "solve", lambda *_, **__: next(answers))
    monkeypatch.setattr(Search, "_can_be_cut", lambda *_: next(cut))
    one.advance(None, None)
    assert (one.answer.cost, one.answer.proven) == (best.cost, True)


def test_a_plan_that_cannot_be_cut_is_mended_where_no_time_is_left(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same ways with what else that takes, told as not proven, in place of no plan at all."""
    shop = bench()
    choice = shop.choice(shop.pricers[0]).narrowed(shop.open_options())
    held = solve(choice.program)
    answers, cut = iter([replace(held, bound=held.cost - 5)]), iter([False, False, True, True])

    def runs_out(*_: object, start: Answer | None = None, **__: object) -> Answer:
        for answer in answers:
            return answer
        assert start is not None
        return replace(start, bound=held.cost - 1)

    monkeypatch.setattr(search, "solve", runs_out)
    monkeypatch.setattr(Search, "_can_be_cut", lambda *_: next(cut))
    found = Search(choice)
    found.advance(None, 0.1)
    assert not found.lacks_plan
    assert found.answer.cost == held.cost
    assert (found.bound, found.answer.proven) == (held.cost - 1, False)


def test_a_relaxation_of_fewer_variables_is_not_used_to_tidy_an_answer(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    shop = bench()
    one = Search(shop.choice(shop.pricers[0]).narrowed(shop.open_options()))
    best, used = solve(one.choice.program), list[object]()

    def tidied(_: Choice, answer: Answer, relaxed: object) -> Answer:
        used.append(relaxed)
        return answer

    monkeypatch.setattr(Choice, "tidied", tidied)
    one._hold(best)
    one.choice.program.variable("came later", 1)
    one.relaxation_is_current = False
    one._hold(replace(best, values=(*best.values, 0)))
    assert used == [one.relaxed, None]
