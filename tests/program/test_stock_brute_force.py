"""A shop that is there already against a search that tries every use of every piece of stock, to the cent.

`--hypothesis-profile=fresh` draws so many shops instead of a few.
"""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from same_ranking import assert_same_ranking
from soak import examples
from strategies import (
    DRILL,
    GRINDER,
    LATHE,
    MILL,
    NOW,
    NOW_ONE_POLE,
    PANEL,
    SAW,
    make_catalog,
    make_gear_shop,
    make_shop,
    move,
    now_cord,
    ranked,
    scenario,
    stock_situations,
    with_gear,
)

from costplan.circuits.facts import Facts
from costplan.model.choices import SurplusRule
from costplan.model.shop import Shop
from costplan.program.bench import Bench, Built
from costplan.program.ranking import best_plans

Row = dict[str, Any]


@settings(max_examples=examples(12))
@given(stock_situations())
def test_drawn_shops_that_are_there_already(situation: tuple[dict[str, Any], dict[str, Any]]) -> None:
    shop, catalog = situation
    assert_same_ranking(make_shop(**shop), make_catalog(**catalog))


WALL: Row = {"ways": {"only": ["wall drop"], "hard_wired": False}}
CORD: Row = {"ways": {"only": ["cord"], "hard_wired": False}}
WHOLE: Row = {"part": "cord-12-3", "length": 45, "plug": "NEMA 6-20", "connector": "NEMA 6-20"}
SHORT: Row = NOW | {"method": "cord", "cord": now_cord(10)}
LONG: Row = NOW | {"method": "cord", "cord": now_cord(65)}
TWO = [scenario(name="calm", weight="0.5"), scenario(move(2, "lathe", "bench C"), name="busy", weight="0.5")]
CASES: dict[str, Row] = {
    "a cord given up today serves another machine today": {
        "machines": [SAW | WALL | {"now": LONG}, LATHE | CORD],
    },
    "a cord given up today serves a later year of one scenario": {
        "machines": [SAW | WALL | {"now": LONG}, LATHE | CORD | {"at": "bench D"}],
        "scenarios": TWO,
    },
    "a whole cord today, or its cable and ends later": {
        "machines": [SAW | CORD, LATHE | CORD | {"at": "bench D"}],
        "scenarios": TWO,
        "shelf": [WHOLE],
    },
    "two whole cords and three that ask": {
        "machines": [SAW | CORD, LATHE | CORD, SAW | CORD | {"name": "second saw"}],
        "shelf": [WHOLE | {"count": 2}],
    },
    "one end of a whole cord is wanted elsewhere": {
        "machines": [
            SAW | CORD,
            LATHE | {"now": SHORT | {"configuration": "NEMA 6-30", "breaker": 30}} | CORD,
        ],
        "shelf": [WHOLE],
    },
    "its own breaker or that of the shelf": {
        "machines": [SAW | {"now": NOW | {"breaker": 30, "awg": "10"}}, DRILL | {"now": NOW_ONE_POLE}],
        "shelf": [{"part": "breaker-2p-20"}, {"part": "breaker-1p-20"}],
    },
    "a full panel that the present circuits fill": {
        "machines": [SAW | {"now": LONG}, DRILL | {"now": NOW_ONE_POLE}],
        "panels": [PANEL | {"spaces_free": 0}],
        "scenarios": [scenario(move(1, "saw", "bench E"))],
    },
}


@pytest.mark.parametrize("name", CASES)
def test_every_kind_of_stock(name: str) -> None:
    best = assert_same_ranking(make_shop(**CASES[name]), make_catalog())

    assert best is not None


LONG_CABLE: Row = {"part": "cord-12-3", "length": 80}
CUT: dict[str, Row] = {
    "one cable for cords of two lengths": {"machines": [SAW | CORD, LATHE | CORD], "shelf": [LONG_CABLE]},
    "one cable for two cords of one length": {
        "machines": [SAW | CORD, SAW | CORD | {"name": "second saw"}],
        "shelf": [LONG_CABLE],
    },
}


@pytest.mark.parametrize("name", [*CASES, *CUT])
def test_it_does_not_matter_which_machine_is_asked_first(name: str) -> None:
    """What serves what of one date is told by `serving.in_order` alone, and things alike there in any order."""
    bench = Bench.over(Facts(make_shop(**(CASES | CUT)[name]), make_catalog()), SurplusRule.ALLOWED)
    options = dict(reversed(bench.priced_survey.options.items()))
    turned = replace(
        bench, priced_survey=replace(bench.priced_survey, options=options, bodies=[]), built=Built()
    )

    one, other = (best_plans(each, 1)[0] for each in (bench, turned))

    assert list(turned.priced_survey.options) == list(reversed(bench.priced_survey.options))
    assert one.present_value_cents == other.present_value_cents


ON_A_DROP: Row = NOW | {"method": "wall drop", "breaker": 30, "awg": "10", "configuration": "NEMA 6-30"}
DRIVES: dict[str, Row] = {
    "a drive stays, or goes to the other machine": {
        "machines": [
            MILL | WALL | {"plug": "NEMA 6-30", "now": ON_A_DROP | {"drive": "drive-5"}},
            MILL | WALL | {"name": "lathe", "at": "bench B", "plug": "NEMA 6-20"},
        ],
    },
    "a drive larger than the smallest on sale lies on the shelf": {
        "machines": [MILL | WALL | {"plug": "NEMA 6-30"}],
        "shelf": [{"part": "drive-5"}],
    },
    "the machine of a drive leaves, and another comes": {
        "machines": [
            MILL | WALL | {"plug": "NEMA 6-30", "now": ON_A_DROP | {"drive": "drive-5"}, "leaves": 1},
            GRINDER | WALL | {"arrives": 1, "plug": "NEMA 6-30"},
        ],
    },
}


@pytest.mark.parametrize("name", DRIVES)
def test_drives_that_are_there(name: str) -> None:
    best = assert_same_ranking(make_gear_shop(**DRIVES[name]), make_catalog(**with_gear()))

    assert best is not None


def _later_cents(machines: list[Row], scenarios: list[Row]) -> int:
    """What the best plan pays after today."""
    best = ranked(make_shop(machines, scenarios=scenarios), make_catalog())[0]
    return sum(line.present_value_cents for line in best.lines if line.year > 0)


COMES_BACK = [scenario(move(1, "saw", "bench C"), move(2, "saw", "bench A"))]
SWAP = [scenario(move(1, "saw", "bench C"), move(1, "lathe", "bench A"))]


@pytest.mark.parametrize("events", [COMES_BACK, SWAP])
def test_an_outlet_of_today_serves_later_like_one_made_today(events: list[Row]) -> None:
    machines = [SAW | WALL] if events is COMES_BACK else [SAW | WALL, LATHE | WALL]

    present = _later_cents([machine | {"now": NOW} for machine in machines], events)

    assert present == _later_cents(machines, events)


def lossy_shop(electricity: str) -> Shop:
    """The saw comes where the lathe leaves; its outlet has a long run, a cord from the panel would be short."""
    routes = [route.model_dump(by_alias=True, exclude_none=True) for route in make_shop([SAW]).routes]
    near = [
        route | ({"cord": 3} if (route["from"], route["to"]) == ("panel", "bench C") else {})
        for route in routes
    ]
    return make_shop(
        [LATHE | WALL | {"leaves": 1}, SAW | {"at": "bench C", "arrives": 1, "full_load_hours": 8000}],
        routes=near,
        money={"discount_rate": "0 %", "electricity_per_kwh": electricity},
    )


DEAR_TO_MAKE_SAFE: Row = {"make-safe": (30, 30, 30)}


@pytest.mark.parametrize("electricity", ["1.00", "3.00"])
def test_a_way_that_spares_making_safe_is_not_dropped(electricity: str) -> None:
    assert_same_ranking(lossy_shop(electricity), make_catalog(hours=DEAR_TO_MAKE_SAFE))


@pytest.mark.parametrize("electricity", ["0.20", "10.00"])
def test_taking_over_an_outlet_where_losses_are_small_or_huge(electricity: str) -> None:
    assert_same_ranking(lossy_shop(electricity), make_catalog(hours=DEAR_TO_MAKE_SAFE))
