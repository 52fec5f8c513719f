"""A shop that is there already against a search that tries every use of every piece of stock, to the cent.

COSTPLAN_SOAK=500 draws so many shops instead of a few.
"""

import os
from typing import Any

import pytest
from hypothesis import given, settings
from second_opinion import SecondOpinion
from strategies import make_catalog, make_shop, stock_situations

from costplan.circuits.facts import Facts
from costplan.model.catalog import Catalog
from costplan.model.shop import Shop, SurplusRule
from costplan.plans.ranking import Bench, NoPlanError, Ranked, best_plans

COUNT = 4


def assert_same_ranking(shop: Shop, catalog: Catalog) -> Ranked | None:
    """The best plan alone and the first few in order cost what the search finds; gives the best."""
    bench = Bench.over(Facts(shop, catalog), SurplusRule.ALLOWED)
    found = SecondOpinion(bench, SurplusRule.ALLOWED).by_signature() if _any_way(bench) else {}
    if not found:
        with pytest.raises(NoPlanError):
            best_plans(bench, 1)
        return None
    assert best_plans(bench, 1)[0].present_value_cents == min(found.values())
    plans = best_plans(bench, COUNT)
    assert all(entry.proven for entry in plans)
    assert [entry.present_value_cents for entry in plans] == sorted(found.values())[:COUNT]
    assert {entry.plan.signature: entry.present_value_cents for entry in plans}.items() <= found.items()
    return plans[0]


def _any_way(bench: Bench) -> bool:
    return all(bench.open_options().values())


@settings(max_examples=int(os.environ.get("COSTPLAN_SOAK", "30")))
@given(stock_situations())
def test_drawn_shops_that_are_there_already(situation: tuple[dict[str, Any], dict[str, Any]]) -> None:
    shop, catalog = situation
    assert_same_ranking(make_shop(**shop), make_catalog(**catalog))
