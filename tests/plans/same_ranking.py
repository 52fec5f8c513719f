"""What every ranking of the product must share with the plain search."""

import pytest
from second_opinion import SecondOpinion

from costplan.circuits.facts import Facts
from costplan.model.catalog import Catalog
from costplan.model.choices import SurplusRule
from costplan.model.shop import Shop
from costplan.plans.ranking import Bench, NoPlanError, Ranked, best_plans

COUNT = 4


def assert_same_ranking(shop: Shop, catalog: Catalog) -> Ranked | None:
    """The best plan alone and the first few in order cost what the search finds; gives the best."""
    bench = Bench.over(Facts(shop, catalog), SurplusRule.ALLOWED)
    any_way = all(bench.open_options().values())
    found = SecondOpinion(bench, SurplusRule.ALLOWED).by_signature() if any_way else {}
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
