"""A plan that was found against its walk: to the cent where it is proven, never above what it was found at."""

from dataclasses import replace

import pytest
from strategies import SAW, make_catalog, make_shop

from costplan.circuits.facts import Facts
from costplan.model.choices import SurplusRule
from costplan.program.bench import Bench
from costplan.program.clock import Clock
from costplan.program.ranked import DisagreementError
from costplan.program.ranking import all_open, as_ranked
from costplan.program.search import Searches


@pytest.mark.parametrize(
    ("cost_more", "bound_more", "kept"),
    [(0, 0, True), (7, 0, True), (7, -7, True), (7, 7, False), (-1, -1, False), (-1, -7, False)],
)
def test_an_answer_may_lie_above_its_walk_where_time_ran_out_and_nowhere_else(
    cost_more: int, bound_more: int, kept: bool
) -> None:
    """`bound_more` is how far above the walk nothing is cheaper: above it at all would be a defect."""
    facts = Facts(make_shop([SAW]), make_catalog())
    bench = Bench.over(facts, SurplusRule.ALLOWED)
    options = all_open(bench, None)
    searches = Searches(bench.choice(pricer, Clock()).narrowed(options) for pricer in bench.pricers)
    searches.fill(1, Clock(), bool)
    (found,) = searches.found
    walked = found.cost_cents
    told = replace(found, cost_cents=walked + cost_more, bound_cents=walked + bound_more)
    if not kept:
        with pytest.raises(DisagreementError):
            as_ranked(facts, told, options)
        return
    ranked = as_ranked(facts, told, options)
    assert ranked.present_value_cents == walked
    assert ranked.proven is (bound_more >= 0)
