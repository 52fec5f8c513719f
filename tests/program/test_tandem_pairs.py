"""Which circuits go on tandem breakers: the program against every set of pairs, and what is said where none may.

What may move, and why: worked by hand; common practice. 14 AWG has at most 15 A, 12 AWG 20 A, 10 AWG 30 A
(NFPA 70 240.4(D)). `--hypothesis-profile=fresh` draws so many panels instead of a few.
"""

from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from soak import examples
from strategies import PANEL, SAW, WALL_ONLY, make_catalog, make_gear_shop, one_pole, with_gear

from costplan.circuits.facts import Facts
from costplan.model.choices import SurplusRule
from costplan.program.bench import Bench
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.reports.pairing import pairs_of

Row = dict[str, Any]
MOST_A = {"14": 15, "12": 20, "10": 30}
SAW_ALONE = SAW | WALL_ONLY
"""Two poles, so two tandem breakers in a full panel."""


def planned(circuits: list[Row], prices: dict[str, int], label: int = 4, free: int = 0) -> Ranked:
    panel = PANEL | {"spaces_free": free, "tandems": label, "one_pole_circuits": circuits}
    changes = {"tandems": {"at_most": 4}}
    shop = make_gear_shop([SAW_ALONE], ("tandems",), panels=[panel], gear_changes=changes)
    catalog = make_catalog(**with_gear(prices=prices, **{"tandem breaker": {}}))
    return best_plans(Bench.over(Facts(shop, catalog), SurplusRule.ALLOWED), 1)[0]


def one_by_one(circuits: list[Row]) -> list[int]:
    """Ratings of the circuits that may move, one for each."""
    return [
        row["breaker"]
        for row in circuits
        if (row["test_button"], row["shared_neutral"], row["tied"]) == (False, False, False)
        and row["awg"] is not None
        and row["breaker"] <= MOST_A[row["awg"]]
        for _ in range(row["count"])
    ]


def sets_of_pairs(left: list[int], pairs: int) -> Iterator[list[tuple[int, int]]]:
    """Every way to take so many pairs out of the circuits."""
    if not pairs:
        yield []
    elif len(left) >= 2:
        first, rest = left[0], left[1:]
        for index, other in enumerate(rest):
            for more in sets_of_pairs(rest[:index] + rest[index + 1 :], pairs - 1):
                yield [(min(first, other), max(first, other)), *more]
        yield from sets_of_pairs(rest, pairs)


ALIKE = st.builds(
    one_pole,
    st.integers(1, 3),
    st.sampled_from([15, 20, 30]),
    st.sampled_from(["14", "12", "10", None]),
    test_button=st.sampled_from([False, False, False, True]),
    shared_neutral=st.sampled_from([False, False, False, True, None]),
    tied=st.sampled_from([False, False, False, True]),
)


@settings(max_examples=examples(25))
@given(
    st.lists(ALIKE, min_size=1, max_size=4),
    st.tuples(*[st.integers(5, 60)] * 3),
    st.integers(1, 4),
)
def test_the_cheapest_set_of_pairs_is_taken(
    circuits: list[Row], prices: tuple[int, int, int], label: int
) -> None:
    sold = dict(zip([(15, 15), (15, 20), (20, 20)], prices, strict=True))
    by_part = dict(zip(["tandem-15", "tandem-15-20", "tandem"], prices, strict=True))
    costs = [
        sum(sold[pair] for pair in pairs)
        for pairs in (sets_of_pairs(one_by_one(circuits), 2) if label >= 2 else ())
        if all(pair in sold for pair in pairs)
    ]
    if not costs:
        with pytest.raises(NoPlanError, match="too few spaces in panel"):
            planned(circuits, by_part, label)
        return
    best, roomy = planned(circuits, by_part, label), planned(circuits, by_part, label, free=2)
    assert best.present_value_cents - roomy.present_value_cents == min(costs) * 100
    assert roomy.plan.gear == ()


def test_the_circuits_that_pair_up_are_told() -> None:
    """One 15 A and three 20 A: two pairs are 15/20 at 31 and 20/20 at 22, whatever they cost."""
    circuits = [one_pole(1, 15, "14"), one_pole(1), one_pole(2, 20, "10")]
    panel = PANEL | {"spaces_free": 0, "tandems": 4, "one_pole_circuits": circuits}
    shop = make_gear_shop([SAW_ALONE], ("tandems",), panels=[panel])
    facts = Facts(shop, make_catalog(**with_gear()))
    best = best_plans(Bench.over(facts, SurplusRule.ALLOWED), 1)[0]
    told = {bought.name: words for bought, words in pairs_of(facts, best.plan).items()}
    assert told == {
        "tandems 15/20": ("a 15 A on 14 AWG and a 20 A on 12 AWG",),
        "tandems 20/20": ("a 20 A on 10 AWG and a 20 A on 10 AWG",),
    }
    assert best.plan.gear_names == {"tandems"}


@pytest.mark.parametrize(
    ("circuits", "why"),
    [
        ([], "its one-pole circuits are not described"),
        ([one_pole(8) | {"awg": None}], "8 x 20 A: not known: the wire size on the cable's jacket"),
        ([one_pole(8) | {"tied": None}], "8 x 20 A on 12 AWG: not known: whether its handle is tied"),
        ([one_pole(8, shared_neutral=True)], "8 x 20 A on 12 AWG: it shares its neutral"),
        ([one_pole(8, 20, "14")], "8 x 20 A on 14 AWG: the wire is too thin for the breaker"),
        ([one_pole(8, 30, "10")], "tandems 30/30: no priced offer for tandem breaker"),
    ],
)
def test_a_plan_without_room_says_why_there_are_no_tandem_breakers(circuits: list[Row], why: str) -> None:
    with pytest.raises(NoPlanError, match="no more spaces by tandem breakers") as told:
        planned(circuits, {})
    assert why in str(told.value)
