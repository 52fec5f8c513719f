"""The ranking of shops with groups: how many machines must have another way for a plan to be another one."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from same_ranking import assert_same_ranking
from second_opinion import is_another
from strategies import DRILL, LATHE, PANEL, SALABLE_REELS, SAW, make_catalog, make_shop

from costplan.circuits.facts import Facts
from costplan.model.choices import SurplusRule
from costplan.program.bench import Bench
from costplan.program.ranking import best_plans

SHORT: dict[str, Any] = {"hard_wired": False}
CORDS = {"slack": [0], "families": ["straight"], "spare_conductor": False, "service": ["hard"]}


def quote(name: str, method: str, money: int) -> dict[str, Any]:
    return {"name": name, "method": method, "panel": None, "put_in": {"money": money}}


@settings(max_examples=12)
@given(
    st.integers(2, 4),
    st.sampled_from([[], [DRILL], [LATHE | {"count": 2}]]),
    st.lists(st.integers(1, 6).map(lambda n: n * 50), min_size=2, max_size=2),
    st.sampled_from([4, 12, 20]),
)
def test_next_plans_differ_in_half_of_a_group(
    count: int, others: list[dict[str, Any]], money: list[int], spaces: int
) -> None:
    ways = SHORT | {"only": ["wall drop", "cord", "armored drop"], "from_catalog": True}
    saws = SAW | {"count": count, "ways": ways}
    more = [machine | {"ways": SHORT | {"only": ["wall drop", "cord"]}} for machine in others]
    quotes = [
        quote("pendant", "cord", money[0]) | {"machines": ["saw"]},
        quote("floor box", "armored drop", money[1]) | {"machines": ["saw"]},
    ]
    panels = [PANEL | {"spaces_free": spaces}]

    shop = make_shop([saws, *more], panels=panels, quoted_ways=quotes, cords=CORDS)
    assert_same_ranking(shop, make_catalog())


def test_reels_of_a_group_are_cut_by_pattern_as_the_plain_search_cuts_them() -> None:
    for count in (2, 3, 4):
        shop = make_shop([SAW | {"count": count, "ways": SHORT}], cords=CORDS | {"slack": [0, 25]})
        assert_same_ranking(shop, make_catalog(**SALABLE_REELS), SurplusRule.NEW_ONLY)


@pytest.mark.parametrize(
    ("mine", "theirs", "another"),
    [
        ({"cord": 4}, {"cord": 3, "drop": 1}, False),
        ({"cord": 4}, {"cord": 2, "drop": 2}, True),
        ({"cord": 1, "drop": 3}, {"cord": 3, "drop": 1}, True),
        ({"cord": 1, "drop": 2}, {"cord": 2, "drop": 1}, False),
        ({"cord": 1}, {"drop": 1}, True),
        ({"cord": 5}, {"cord": 3, "drop": 2}, False),
        ({"cord": 5}, {"cord": 2, "drop": 3}, True),
    ],
)
def test_half_of_a_group_makes_another_plan(
    mine: dict[str, int], theirs: dict[str, int], another: bool
) -> None:
    one, two = (
        (frozenset({("lathes", frozenset(kinds.items()))}), frozenset[str]()) for kinds in (mine, theirs)
    )
    assert is_another(one, two) is another


def test_a_question_answered_by_a_wider_one_is_not_searched_again() -> None:
    bench = Bench.over(Facts(make_shop(), make_catalog()), SurplusRule.ALLOWED)
    best = best_plans(bench, 1)[0]
    used = {(machine, way) for machine, way, _ in best.plan.shares()}

    again = best_plans(bench, 1, allowed=lambda option: (option.machine, option.way) in used)[0]
    other = best_plans(bench, 1, allowed=lambda option: (option.machine, option.way) not in used)[0]

    assert again is best
    assert other.present_value_cents > best.present_value_cents
    assert not {(machine, way) for machine, way, _ in other.plan.shares()} & used
