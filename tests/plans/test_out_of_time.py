"""A plan is called proven only when every way of hiring was searched to the end."""

from typing import Any

import pytest
from strategies import make_catalog, make_shop

from costplan.circuits.facts import Facts
from costplan.model.choices import SurplusRule
from costplan.plans import ranking
from costplan.plans.ranking import Bench, NoPlanError, best_plans
from costplan.plans.solver import Answer, NoAnswerError

CREWS = [
    {"name": "owner", "role": "owner", "rate": 0},
    {"name": "one", "role": "electrician", "rate": 100, "call_out": 10},
    {"name": "two", "role": "electrician", "rate": 98, "call_out": 22},
]
"""Six hours by the first cost as much as by the second, so that no bound spares the search of either."""


def bench() -> Bench:
    return Bench.over(Facts(make_shop(), make_catalog(crews=CREWS)), SurplusRule.NEW_ONLY)


def test_a_way_of_hiring_that_runs_out_of_time_takes_the_proof_away(monkeypatch: pytest.MonkeyPatch) -> None:
    honest, calls = ranking.solve, []

    def second_runs_out(*args: Any, **more: Any) -> Answer:
        calls.append(args)
        if len(calls) == 2:
            raise NoAnswerError(bound=12_345)
        return honest(*args, **more)

    assert len(bench().pricers) == 2
    monkeypatch.setattr(ranking, "solve", second_runs_out)
    best = best_plans(bench(), 1)[0]

    assert not best.proven
    assert best.bound_cents == 12_345


def test_when_all_run_out_of_time_it_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    def runs_out(*args: Any, **more: Any) -> Answer:
        raise NoAnswerError(bound=0)

    monkeypatch.setattr(ranking, "solve", runs_out)
    with pytest.raises(NoPlanError, match="within the time limit"):
        best_plans(bench(), 1)


def test_two_searches_to_the_end_prove_the_best() -> None:
    assert best_plans(bench(), 1)[0].proven
