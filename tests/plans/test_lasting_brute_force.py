"""Wear, groups, quoted ways, outlets moved along and visits of each move against the plain search, to the cent.

COSTPLAN_SOAK=500 draws so many shops instead of a few.
"""

import os
from typing import Any

import pytest
from hypothesis import given, settings
from second_opinion import SecondOpinion
from strategies import lasting_situations, make_catalog, make_shop

from costplan.circuits.facts import Facts
from costplan.model.catalog import Catalog
from costplan.model.choices import SurplusRule
from costplan.model.shop import Shop
from costplan.plans.ranking import Bench, NoPlanError, best_plans

COUNT = 4


def assert_same_ranking(shop: Shop, catalog: Catalog) -> None:
    """The best plan alone and the first few in order cost what the search finds."""
    bench = Bench.over(Facts(shop, catalog), SurplusRule.ALLOWED)
    found = SecondOpinion(bench, SurplusRule.ALLOWED).by_signature()
    if not found:
        with pytest.raises(NoPlanError):
            best_plans(bench, 1)
        return
    assert best_plans(bench, 1)[0].present_value_cents == min(found.values())
    plans = best_plans(bench, COUNT)
    assert all(entry.proven for entry in plans)
    assert [entry.present_value_cents for entry in plans] == sorted(found.values())[:COUNT]
    assert {entry.plan.signature: entry.present_value_cents for entry in plans}.items() <= found.items()


@settings(max_examples=int(os.environ.get("COSTPLAN_SOAK", "25")))
@given(lasting_situations())
def test_drawn_shops_whose_parts_wear_and_whose_machines_move(
    situation: tuple[dict[str, Any], dict[str, Any]],
) -> None:
    shop, catalog = situation
    assert_same_ranking(make_shop(**shop), make_catalog(**catalog))
