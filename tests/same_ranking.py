"""What every ranking of the product must share with the plain search."""

import pytest
from second_opinion import SecondOpinion, is_another

from costplan.circuits.facts import Facts
from costplan.model.catalog import Catalog
from costplan.model.choices import SurplusRule
from costplan.model.shop import Shop
from costplan.program.bench import Bench
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans

COUNT = 5


def assert_same_ranking(
    shop: Shop, catalog: Catalog, rule: SurplusRule = SurplusRule.ALLOWED
) -> Ranked | None:
    """The best plan alone and the first few, each unlike those before it, cost what the search finds; gives the best."""
    bench = Bench.over(Facts(shop, catalog), rule)
    any_way = all(bench.open_options().values())
    left = SecondOpinion(bench, rule).by_plan() if any_way else {}
    if not left:
        with pytest.raises(NoPlanError):
            best_plans(bench, 1)
        return None
    assert best_plans(bench, 1)[0].present_value_cents == min(left.values())
    plans = best_plans(bench, COUNT)
    assert all(entry.proven for entry in plans)
    for entry in plans:
        kinds = {name: frozenset(counts.items()) for name, counts in entry.plan.kinds.items()}
        taken = frozenset(kinds.items()), entry.plan.gear_names
        assert entry.present_value_cents == min(left.values()) == left[taken]
        left = {other: cost for other, cost in left.items() if is_another(other, taken)}
    assert len(plans) == COUNT or not left
    return plans[0]
