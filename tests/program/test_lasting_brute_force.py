"""Wear, groups, quoted ways, outlets moved along and visits of each move against the plain search, to the cent.

`--hypothesis-profile=fresh` draws so many shops instead of a few.
"""

from typing import Any

import pytest
from hypothesis import given, settings
from same_ranking import assert_same_ranking
from soak import examples
from strategies import (
    BY_QUOTE,
    CREWS,
    KINDS,
    LASTING,
    LATHE,
    NOW,
    SAW,
    UNSALABLE,
    lasting_situations,
    make_catalog,
    make_shop,
    move,
    now_cord,
    offer,
    scenario,
    with_lives,
)

from costplan.circuits.facts import Facts
from costplan.ledger.lines import LineKind
from costplan.model.choices import SurplusRule
from costplan.program.bench import Bench
from costplan.program.ranking import best_plans


@settings(max_examples=examples(15))
@given(lasting_situations())
def test_drawn_shops_whose_parts_wear_and_whose_machines_move(
    situation: tuple[dict[str, Any], dict[str, Any]],
) -> None:
    shop, catalog = situation
    assert_same_ranking(make_shop(**shop), make_catalog(**catalog))


Row = dict[str, Any]
WALL: Row = {"ways": {"only": ["wall drop"], "hard_wired": False}}
CORD: Row = {"ways": {"only": ["cord"], "hard_wired": False}}
COMES = move(2, "lathe", "bench A")
HUNG: Row = NOW | {"method": "cord", "cord": now_cord(40)}
MADE_UP: Row = {"part": "cord-12-3", "length": 40, "plug": "NEMA 6-20", "connector": "NEMA 6-20"}
SWAP = [move(1, "saw", "bench C"), move(2, "lathe", "bench A")]
LEASE: Row = {
    "patching": False,
    "make_safe": False,
    "lease": {"ends": 3, "take_out": True},
    "forbid": dict.fromkeys(("conduit drop", "armored drop", "ceiling outlet"), "to keep the test small"),
}
TAKE_OUT: Row = {"take out": {"tasks": [{"task": "change-device"}]}}
ONE, OTHER = {"name": "one", "weight": "0.5"}, {"name": "other", "weight": "0.5"}
CASES: dict[str, tuple[Row, Row]] = {
    "an outlet left today waits for who comes later": (
        {"machines": [SAW | CORD | {"now": NOW}, LATHE | WALL], "scenarios": [scenario(COMES)]},
        {},
    ),
    "it waits only where somebody comes in every scenario": (
        {
            "machines": [SAW | CORD | {"now": NOW}, LATHE | WALL],
            "scenarios": [scenario(COMES, **ONE), scenario(move(1, "lathe", "bench A"), **OTHER)],
        },
        {},
    ),
    "in one scenario nobody comes": (
        {
            "machines": [SAW | CORD | {"now": NOW}, LATHE | WALL],
            "scenarios": [scenario(COMES, **ONE), scenario(**OTHER)],
        },
        {},
    ),
    "what is left live is taken out with the lease where nobody took it over": (
        {
            "machines": [SAW | CORD | {"now": NOW}, LATHE | WALL],
            "scenarios": [scenario(COMES, **ONE), scenario(**OTHER)],
            "building": LEASE,
        },
        {"recipes": TAKE_OUT},
    ),
    "what is made safe before the lease's end comes out too, where the landlord wants that": (
        {
            "machines": [SAW | CORD | {"now": NOW}, LATHE | WALL],
            "scenarios": [scenario(COMES, **ONE), scenario(**OTHER)],
            "building": LEASE | {"make_safe": True, "lease": LEASE["lease"] | {"capped_too": True}},
        },
        {"recipes": TAKE_OUT},
    ),
    "a lease that is renewed beyond the plan in one scenario, and ends with the move in the other": (
        {
            "machines": [SAW | CORD | {"now": NOW}, LATHE | WALL],
            "scenarios": [
                scenario(COMES, **ONE) | {"lease_ends": 9},
                scenario({"year": 3, "shop_moves": True}, **OTHER),
            ],
            "building": LEASE,
            "years": 5,
        },
        {"recipes": TAKE_OUT},
    ),
    "what machines that take turns share is taken out once": (
        {
            "machines": [m | WALL | {"at": "bench A", "takes_turns": "by hand"} for m in (SAW, LATHE)],
            "scenarios": [
                scenario(**ONE),
                scenario({"year": 2, "machine": "lathe", "leaves": True}, **OTHER),
            ],
            "building": LEASE,
        },
        {"recipes": TAKE_OUT},
    ),
    "what machines that take turns share they share in the next building too": (
        {
            "machines": [m | WALL | {"at": "bench A", "takes_turns": "by hand"} for m in (SAW, LATHE)],
            "scenarios": [
                scenario({"year": 2, "shop_moves": True}, **ONE),
                scenario(
                    {"year": 2, "shop_moves": True}, {"year": 4, "machine": "lathe", "leaves": True}, **OTHER
                ),
            ],
            "years": 5,
        },
        {},
    ),
    "a breaker wears in an outlet that another takes over": (
        {"machines": [SAW | WALL, LATHE | WALL], "scenarios": [scenario(*SWAP)], "years": 7},
        {"kinds": with_lives(UNSALABLE, {"breaker": 3})},
    ),
    "a breaker wears in an outlet that is made safe, and comes out as old as it is": (
        {"machines": [SAW | WALL], "scenarios": [scenario(move(1, "saw", "bench C"))], "years": 7},
        {"kinds": with_lives(UNSALABLE, {"breaker": 3})},
    ),
    "what lies on the shelf lasts as its own part does": (
        {"machines": [SAW | CORD], "shelf": [{"part": "cord-12-3", "length": 30}], "years": 5},
        {"more_parts": LASTING, "more_offers": [offer("cord-lasting", "store", "1.50", "ft")]},
    ),
    "a cord with worn ends is given up and used again": (
        {
            "machines": [
                SAW | WALL | {"now": NOW | {"method": "cord", "cord": now_cord(65)}},
                LATHE | CORD | {"at": "bench D"},
            ],
            "scenarios": [scenario(move(2, "lathe", "bench C"))],
            "years": 6,
        },
        {"kinds": with_lives(KINDS, {"plug": 3, "cord": 4})},
    ),
    "an outlet given up today wears as it does at the machine that takes it over": (
        {
            "machines": [SAW | WALL | {"now": HUNG, "lasts": {"breaker": "160 %"}}, LATHE | CORD],
            "years": 5,
        },
        {"kinds": with_lives(UNSALABLE, {"breaker": 3})},
    ),
    "a cord given up today is worn out for nobody at whom it outlasts the plan": (
        {
            "machines": [
                SAW | WALL | {"now": HUNG},
                LATHE | CORD | {"at": "bench A", "arrives": 3, "lasts": {"cord": "160 %"}},
            ],
        },
        {"kinds": with_lives(UNSALABLE, {"cord": 3})},
    ),
    "a whole cord one end of which is worn out by then serves in pieces": (
        {
            "machines": [LATHE | CORD | {"at": "bench A", "arrives": 4}],
            "shelf": [MADE_UP],
            "years": 5,
        },
        {"kinds": with_lives(UNSALABLE, {"plug": 3})},
    ),
    "of a group each machine that moves has its own visit, whatever serves it": (
        {
            "machines": [SAW | WALL | {"count": 3}],
            "scenarios": [scenario(move(1, "saw", "bench C"), move(2, "saw", "bench A"))],
            "hired_visits": "each move",
        },
        {"kinds": with_lives(UNSALABLE, {"receptacle": 2}), "more_parts": LASTING}
        | {"more_offers": [offer("receptacle-lasting", "store", 12, available=2)]},
    ),
    "a group is split between a quote and the panel's two spaces": (
        {
            "machines": [SAW | {"count": 2, "ways": {"only": ["wall drop"], "from_catalog": True}}],
            "panels": [
                {"name": "panel", "system": "120/240 single-phase", "breakers": "family A", "spaces_free": 2}
            ],
            "quoted_ways": [BY_QUOTE | {"panel": None, "poles": 0, "put_in": {"money": 900}}],
        },
        {},
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_every_kind_of_wear_and_waiting(name: str) -> None:
    shop, catalog = CASES[name]

    assert assert_same_ranking(make_shop(**shop), make_catalog(**catalog)) is not None


@pytest.mark.parametrize("minimum", [250, 2500])
@pytest.mark.parametrize("name", CASES)
def test_the_same_with_a_least_charge_of_every_visit(name: str, minimum: int) -> None:
    shop, catalog = CASES[name]
    owner, one = catalog.get("crews", CREWS)
    crews = [owner, one | {"minimum": minimum, "set_up": "0.25"}]

    best = assert_same_ranking(make_shop(**shop), make_catalog(**catalog | {"crews": crews}))

    assert best is not None
    hired = {line.year for line in best.lines if line.kind is LineKind.LABOR and line.crew == one["name"]}
    short = {line.year for line in best.lines if line.kind is LineKind.MINIMUM}
    assert short <= hired
    assert minimum == 250 or short == hired


@pytest.mark.parametrize(
    ("name", "waits"),
    [
        ("an outlet left today waits for who comes later", {""}),
        ("it waits only where somebody comes in every scenario", {""}),
        ("in one scenario nobody comes", set()),
    ],
)
def test_an_outlet_left_today_stays_live_where_it_is_taken_over(name: str, waits: set[str]) -> None:
    shop, catalog = CASES[name]
    bench = Bench.over(Facts(make_shop(**shop), make_catalog(**catalog)), SurplusRule.ALLOWED)

    best = best_plans(bench, 1)[0]

    outlets = [reused for reused in best.plan.reused if reused.item.spec.kind == "outlet"]
    assert {reused.scenario for reused in outlets} == waits
    assert bool(waits) == (not any("make safe" in line.what and line.year == 0 for line in best.lines))


def test_a_group_split_between_two_ways_is_one_plan() -> None:
    shop, catalog = CASES["a group is split between a quote and the panel's two spaces"]
    bench = Bench.over(Facts(make_shop(**shop), make_catalog(**catalog)), SurplusRule.ALLOWED)

    shares = best_plans(bench, 1)[0].plan.shares()

    assert {(way.group, count) for _, way, count in shares} == {("wall drop", 1), ("drop by quote", 1)}
