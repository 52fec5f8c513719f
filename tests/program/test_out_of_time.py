"""A plan is called proven only when every way of hiring was searched to the end."""

from time import monotonic
from typing import Any

import pytest
from strategies import PANEL, SAW, make_catalog, make_shop, store_offers

from costplan.circuits.facts import Facts
from costplan.model.choices import SurplusRule
from costplan.program import clashes, search
from costplan.program.bench import Bench
from costplan.program.clock import Clock
from costplan.program.program import Program
from costplan.program.ranked import NoPlanError
from costplan.program.ranking import best_plans
from costplan.program.solver import Answer, NoAnswerError, any_answer
from costplan.studies.comparison import _out_of_time

CREWS = [
    {"name": "owner", "role": "owner", "rate": 0},
    {"name": "one", "role": "electrician", "rate": 100, "call_out": 10},
    {"name": "two", "role": "electrician", "rate": 98, "call_out": 22},
]
"""Six hours by the first cost as much as by the second, so that no bound spares the search of either."""


def bench() -> Bench:
    return Bench.over(Facts(make_shop(), make_catalog(crews=CREWS)), SurplusRule.NEW_ONLY)


def test_a_way_of_hiring_that_runs_out_of_time_takes_the_proof_away(monkeypatch: pytest.MonkeyPatch) -> None:
    honest, calls = search.solve, []

    def second_runs_out(*args: Any, **more: Any) -> Answer:
        calls.append(args)
        if len(calls) == 2:
            raise NoAnswerError(bound=12_345)
        return honest(*args, **more)

    assert len(bench().pricers) == 2
    monkeypatch.setattr(search, "solve", second_runs_out)
    best = best_plans(bench(), 1)[0]

    assert not best.proven
    # What the relaxation had proven is kept where the search, cut short, says less.
    assert 12_345 < best.bound_cents < best.present_value_cents


def test_the_last_plan_of_all_is_known_as_such_and_no_time_is_asked_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Fewer plans than were asked for are all there are where the search came to its end, else time was short."""
    clock = Clock(60)
    found = best_plans(bench(), 99, clock=clock)
    assert [plan.last for plan in found] == [False] * (len(found) - 1) + [True]
    assert not _out_of_time(clock, found, 99)
    (first,) = best_plans(bench(), 1, clock=clock)
    assert not first.last

    honest, calls = search.solve, []

    def third_runs_out(*args: Any, **more: Any) -> Answer:
        calls.append(args)
        if len(calls) == 3:
            raise NoAnswerError(bound=12_345)
        return honest(*args, **more)

    monkeypatch.setattr(search, "solve", third_runs_out)
    fewer = best_plans(bench(), 99, clock=clock)
    assert not any(plan.last for plan in fewer)
    assert "in time" in _out_of_time(clock, fewer, 99)[0]


def test_when_all_run_out_of_time_it_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    def runs_out(*args: Any, **more: Any) -> Answer:
        raise NoAnswerError(bound=0)

    monkeypatch.setattr(search, "solve", runs_out)
    with pytest.raises(NoPlanError, match="within the time limit"):
        best_plans(bench(), 1)


def test_what_must_give_way_is_told_as_far_as_found_when_the_least_is_not(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Two machines of two poles each, one space: three more are needed whatever is found first."""
    short = Bench.over(
        Facts(make_shop(panels=[PANEL | {"spaces_free": 1}]), make_catalog(crews=CREWS)), SurplusRule.NEW_ONLY
    )
    with pytest.raises(NoPlanError, match=r"^too few spaces in panel: \d+ more needed"):
        best_plans(short, 1)

    def runs_out(*args: Any, **more: Any) -> Answer:
        raise NoAnswerError(bound=0)

    monkeypatch.setattr(clashes, "solve", runs_out)
    monkeypatch.setattr(clashes, "any_answer", _not_proven)
    with pytest.raises(
        NoPlanError, match=r"^as far as was found in time, less may do: too few spaces in panel"
    ):
        best_plans(short, 1)


def _not_proven(program: Program, seconds: float) -> Answer:
    found = any_answer(program, seconds)
    return Answer(found.values, found.cost, found.cost - 1)


def test_two_searches_to_the_end_prove_the_best() -> None:
    assert best_plans(bench(), 1)[0].proven


def test_when_time_runs_out_before_any_plan_the_first_that_comes_is_shown(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """It is walked and costs what its lines say; and its bound is no more than the best plan."""
    best = best_plans(bench(), 1)[0]

    def runs_out(*args: Any, **more: Any) -> Answer:
        raise NoAnswerError(bound=7)

    monkeypatch.setattr(search, "solve", runs_out)
    (found,) = best_plans(bench(), 1, clock=Clock(0.01), any_plan=True)

    assert found.present_value_cents >= best.present_value_cents
    assert found.present_value_cents == sum(line.present_value_cents for line in found.lines)
    assert 7 <= found.bound_cents <= best.present_value_cents
    with pytest.raises(NoPlanError, match="within the time limit; give it more time"):
        best_plans(bench(), 1, clock=Clock(0.01))


def test_when_nothing_at_all_is_found_it_says_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    def runs_out(*args: Any, **more: Any) -> Answer:
        raise NoAnswerError(bound=0)

    monkeypatch.setattr(search, "solve", runs_out)
    monkeypatch.setattr(search, "any_answer", runs_out)
    with pytest.raises(NoPlanError, match=r"--time-limit 600.*--hold"):
        best_plans(bench(), 1, clock=Clock(0.01), any_plan=True)


def on_cords() -> Bench:
    """Two machines that may hang on what is cut off one cord of the shelf: 90 ft, of which each asks for 30."""
    other = SAW | {"name": "second saw"}
    stored = {"part": "cord-12-3", "length": "90 ft"}
    cords = {"ways": {"hard_wired": False, "only": ["cord"]}}
    shop = make_shop([SAW | cords, other | cords], shelf=[stored])
    return Bench.over(Facts(shop, make_catalog(store_offers())), SurplusRule.NEW_ONLY)


def test_where_building_runs_out_of_time_what_is_cut_off_cords_is_left_out_and_the_bound_says_so() -> None:
    """The best plan hangs both on the one cord; without what is cut off, one cord is bought, and no bound is above the best."""
    (best,) = best_plans(on_cords(), 1)
    late = Clock(1000, started=monotonic() - 500)
    (found,) = best_plans(on_cords(), 1, clock=late)

    assert sum(reuse.count for reuse in best.plan.reused) == 2
    assert sum(reuse.count for reuse in found.plan.reused) == 1
    assert found.present_value_cents == sum(line.present_value_cents for line in found.lines)
    assert not found.proven
    assert 0 < found.bound_cents <= best.present_value_cents < found.present_value_cents


def test_one_limit_holds_for_all_parts_of_a_run_from_its_start() -> None:
    clock = Clock(100, started=monotonic() - 70)
    assert clock.part(0.6).up
    assert not clock.part(0.8).up
    assert clock.spent(0.6)
    assert not clock.up
    assert clock.left == pytest.approx(30, abs=1)


def test_any_plan_keeps_the_rules_of_the_program() -> None:
    """x + y >= 3 with x at most 2 and y at most 2: the first found is one of those that hold, whatever it costs."""
    program = Program()
    x, y = program.variable("x", high=2), program.variable("y", high=2)
    program.row("enough", {x: 1, y: 1}, low=3)
    program.add_cost(x, 5)
    program.add_cost(y, 7)
    answer = any_answer(program, 5)
    assert answer.values[x] + answer.values[y] >= 3
    assert (answer.cost, answer.bound <= 17) == (5 * answer.values[x] + 7 * answer.values[y], True)
    program.row("too much", {x: 1, y: 1}, low=5)
    with pytest.raises(NoAnswerError):
        any_answer(program, 5)
