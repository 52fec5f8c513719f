"""Shared gear in the program against a search that tries every piece of gear at every date, to the cent.

`--hypothesis-profile=fresh` draws so many shops instead of a few.
"""

from typing import Any

import pytest
from hypothesis import given, settings
from same_ranking import assert_same_ranking
from soak import examples
from strategies import (
    DRILL,
    GRINDER,
    MILL,
    PANEL,
    SAW,
    WALL_ONLY,
    gear,
    gear_situations,
    make_catalog,
    make_gear_shop,
    one_pole,
    scenario,
    with_gear,
)

from costplan.circuits.facts import Facts
from costplan.model.catalog import Catalog
from costplan.model.choices import SurplusRule
from costplan.model.shop import Shop
from costplan.program.bench import Bench
from costplan.program.ranking import best_plans


def same_ranking(shop: Shop, catalog: Catalog) -> set[str] | None:
    """The best plan's gear where all agree, None when there is no plan."""
    best = assert_same_ranking(shop, catalog)
    return None if best is None else set(best.plan.gear_names)


@settings(max_examples=examples(15))
@given(gear_situations())
def test_drawn_shops_with_gear(situation: tuple[dict[str, Any], dict[str, Any]]) -> None:
    shop, catalog = situation
    same_ranking(make_gear_shop(**shop), make_catalog(**catalog))


DEAR = {"drive-3": 2000, "drive-5": 2000, "motor-3": 2000}
"""Prices at which drives and motors are out of the question."""
LATER = {"year": 2, "machine": "lathe", "arrives": "bench E"}
LATHE_NOW = SAW | {"name": "lathe", "at": "bench E"} | WALL_ONLY
GRINDING = DRILL | {"name": "bench grinder", "at": "bench E"}
LATHE_LATER = SAW | {"name": "lathe", "at": "bench E"} | WALL_ONLY
CASES: dict[str, tuple[set[str], dict[str, Any], dict[str, int]]] = {
    "one machine: a drive": (
        set(),
        {"machines": [MILL | WALL_ONLY], "names": ("converter", "utility")},
        {"drive-3": 150, "motor-3": 900},
    ),
    "drives are dear: a converter": (
        {"converter"},
        {"machines": [MILL | WALL_ONLY, GRINDER | WALL_ONLY], "names": ("converter",)},
        DEAR,
    ),
    "the converter wears out: the utility": (
        {"utility"},
        {
            "machines": [MILL | WALL_ONLY],
            "names": ("converter", "utility"),
            "gear_changes": {
                "converter": {"life": 1, "part": "converter-4"},
                "utility": {"quote": 900, "yearly_fee": 5},
            },
        },
        DEAR,
    ),
    "a full panel: tandems": (
        {"tandems"},
        {
            "machines": [SAW | WALL_ONLY, DRILL | WALL_ONLY],
            "names": ("tandems", "subpanel"),
            "panels": [PANEL | {"spaces_free": 2, "tandems": 2, "one_pole_circuits": [one_pole(2)]}],
        },
        {},
    ),
    "a full panel, nothing to pair: a subpanel": (
        {"subpanel"},
        {
            "machines": [SAW | WALL_ONLY, DRILL | WALL_ONLY],
            "names": ("tandems", "subpanel"),
            "panels": [PANEL | {"spaces_free": 2, "tandems": 2, "one_pole_circuits": [one_pole(1)]}],
        },
        {},
    ),
    # the label allows two: 15/15 at 17 and 20/20 at 22 are cheaper than 15/20 at 31 twice
    "two spaces, of alike circuits": (
        {"tandems"},
        {
            "machines": [SAW | WALL_ONLY],
            "names": ("tandems",),
            "panels": [
                PANEL
                | {"spaces_free": 0, "tandems": 2}
                | {"one_pole_circuits": [one_pole(2), one_pole(3, 15, "14")]}
            ],
        },
        {},
    ),
    "two spaces, and unlike circuits must pair": (
        {"tandems"},
        {
            "machines": [SAW | WALL_ONLY],
            "names": ("tandems",),
            "panels": [
                PANEL
                | {"spaces_free": 0, "tandems": 4}
                | {"one_pole_circuits": [one_pole(1), one_pole(3, 15, "14"), one_pole(4, 20, "14")]}
            ],
        },
        {},
    ),
    "a panel without a space left, tandems to feed a subpanel": (
        {"tandems", "subpanel"},
        {
            "machines": [SAW | WALL_ONLY, DRILL | WALL_ONLY],
            "names": ("tandems", "subpanel"),
            "panels": [PANEL | {"spaces_free": 0, "tandems": 2, "one_pole_circuits": [one_pole(4)]}],
        },
        {},
    ),
    "too small a service: an upgrade": (
        {"upgrade"},
        {"machines": [SAW | WALL_ONLY], "names": ("upgrade",), "service": {"amps": 60, "other_load": 45}},
        {},
    ),
    "too small a service: a load manager": (
        {"manager"},
        {
            "machines": [SAW | WALL_ONLY, LATHE_LATER],
            "names": ("upgrade", "manager"),
            "gear_changes": {"manager": {"machines": ["saw", "lathe"], "holds_to": 16}},
            "service": {"amps": 30},
        },
        {},
    ),
    "only one scenario needs it, and only then": (
        {"upgrade"},
        {
            "machines": [SAW | WALL_ONLY, LATHE_LATER],
            "names": ("upgrade",),
            "service": {"amps": 30},
            "scenarios": [
                scenario(name="calm", weight="0.7"),
                scenario(LATER, name="busy", weight="0.3"),
            ],
        },
        {},
    ),
    "a subpanel for the one who comes late": (
        {"subpanel"},
        {
            "machines": [SAW | WALL_ONLY, LATHE_LATER],
            "names": ("subpanel",),
            "panels": [PANEL | {"spaces_free": 2}],
            "scenarios": [scenario(LATER, name="busy")],
        },
        {},
    ),
    "a panel behind a converter's panel": (
        {"converter"},
        {
            "machines": [MILL | WALL_ONLY, GRINDER | WALL_ONLY],
            "names": ("converter",),
            "gear": [
                *gear("converter"),
                {"name": "far", "kind": "subpanel", "panel_part": "panel-3", "fed_from": "converter"}
                | {"at": "bench C"},
            ],
        },
        DEAR,
    ),
    # 125 % of 10 A, and 16 A with a quarter: 32.5 A
    "a measured peak and a new motor": (
        {"upgrade"},
        {
            "machines": [SAW | WALL_ONLY],
            "names": ("upgrade",),
            "service": {"amps": 32, "measured_peak": {"amps": 10, "seen": "2026-10-01", "days": 30}},
        },
        {},
    ),
    # 3,991 VA by 0.9 and a quarter, and 400 W: 24.8 A; without the losses 22.5 A
    "what a converter loses passes the service": (
        {"converter", "upgrade"},
        {
            "machines": [MILL | WALL_ONLY],
            "names": ("converter", "upgrade"),
            "service": {"amps": 24},
        },
        {"drive-3": 9000, "motor-3": 9000},
    ),
    "of two upgrades one": (
        {"larger"},
        {
            "machines": [SAW | WALL_ONLY],
            "names": (),
            "service": {"amps": 60, "other_load": 75},
            "gear": [
                {"name": "upgrade", "kind": "service upgrade", "to": 80},
                {"name": "larger", "kind": "service upgrade", "to": 100},
            ],
        },
        {},
    ),
    # its fuses carry the saw; with 50 A besides they would not
    "a main disconnect is put in because it is listed": (
        {"main switch"},
        {"machines": [SAW | WALL_ONLY], "names": ("main switch",), "service": {"amps": 60, "other_load": 40}},
        {},
    ),
    "one-pole circuits on two lines": (
        set(),
        {"machines": [DRILL | WALL_ONLY, GRINDING | WALL_ONLY], "service": {"amps": 20}},
        {},
    ),
    # 16 A and a quarter on one line, which has 15
    "a one-pole circuit too large for its line": (
        {"upgrade"},
        {"machines": [DRILL | WALL_ONLY], "names": ("upgrade",), "service": {"amps": 15}},
        {},
    ),
    "at most one of two, and the other starts by itself": (
        {"upgrade"},
        {
            "machines": [SAW | WALL_ONLY | {"starts_by_itself": True}, LATHE_NOW],
            "names": ("upgrade",),
            "service": {"amps": 30, "at_most": [{"count": 1, "of": ["saw", "lathe"]}]},
        },
        {},
    ),
    "at most one of two": (
        set(),
        {
            "machines": [SAW | WALL_ONLY, LATHE_NOW],
            "names": ("upgrade",),
            "service": {"amps": 30, "at_most": [{"count": 1, "of": ["saw", "lathe"]}]},
        },
        {},
    ),
    # 9.6 and 15.2 A behind it are 39.8 A and a quarter; it takes 40 A by its plate
    "a converter takes no more than its plate": (
        {"converter"},
        {
            "machines": [MILL | WALL_ONLY, GRINDER | WALL_ONLY],
            "names": ("converter", "upgrade"),
            "service": {"amps": 41},
        },
        DEAR,
    ),
    "a converter that is there": (
        set(),
        {
            "machines": [MILL | WALL_ONLY, SAW | WALL_ONLY],
            "names": ("converter",),
            "gear_changes": {"converter": {"installed": True, "life": 2}},
            "money": {"electricity_per_kwh": "0.20"},
        },
        {},
    ),
    "the shop moves with its converter": (
        {"converter"},
        {
            "machines": [MILL | WALL_ONLY],
            "names": ("converter",),
            "scenarios": [scenario({"year": 2, "shop_moves": True})],
        },
        DEAR,
    ),
    "a cap that the converter passes": (
        set(),
        {
            "machines": [MILL | WALL_ONLY | {"disconnected_by": "breaker"}],
            "names": ("converter",),
            "gear_changes": {"converter": {"hours_per_year": 0}},
            "money": {"outlay_cap": 1600, "discount_rate": "3 %"},
        },
        {"motor-3": 2000, "drive-3": 500},
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_every_kind_of_gear(name: str) -> None:
    expected, shop, prices = CASES[name]
    assert same_ranking(make_gear_shop(**shop), make_catalog(**with_gear(prices=prices))) == expected


def test_gear_for_one_scenario_is_bought_in_that_one_alone() -> None:
    _, shop, _ = CASES["only one scenario needs it, and only then"]
    best = best_plans(
        Bench.over(Facts(make_gear_shop(**shop), make_catalog(**with_gear())), SurplusRule.ALLOWED), 1
    )[0]
    assert [(entry.name, entry.scenario, entry.year) for entry in best.plan.gear] == [("upgrade", "busy", 2)]
