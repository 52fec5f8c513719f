"""The program against a search that tries everything, to the cent, on shops small enough for that."""

from typing import Any

import pytest
from hypothesis import given
from same_ranking import assert_same_ranking
from strategies import (
    DELTA,
    DRILL,
    LATHE,
    MARKETS,
    PANEL,
    SALABLE_REELS,
    SAW,
    make_catalog,
    make_shop,
    move,
    scenario,
    situations,
)

from costplan.model.choices import SurplusRule


@pytest.mark.parametrize("rule", SurplusRule)
@pytest.mark.parametrize("market", sorted(MARKETS))
def test_every_market(market: str, rule: SurplusRule) -> None:
    shop = make_shop(scenarios=[scenario(move(2, "saw", "bench C"))], money={"discount_rate": "3 %"})
    assert_same_ranking(shop, make_catalog(**MARKETS[market]), rule)


@pytest.mark.parametrize("slack", [[0], [0, 25]])
def test_reels_that_can_be_sold(slack: list[int]) -> None:
    cords = {"slack": slack, "families": ["straight"], "spare_conductor": False, "service": ["hard"]}
    for machines in ([SAW, DRILL], [SAW, LATHE]):
        assert_same_ranking(
            make_shop(machines, cords=cords), make_catalog(**SALABLE_REELS), SurplusRule.NEW_ONLY
        )


DUAL = {"name": "jointer", "at": "bench B", "volts": "120/240", "amps": "16/8", "ways": {"hard_wired": False}}
TURNS = {"takes_turns": "by hand"}
CASES: dict[str, dict[str, Any]] = {
    "a place that has an outlet already": {
        "machines": [SAW, LATHE],
        "scenarios": [scenario(move(1, "lathe", "bench E"), move(2, "saw", "bench C"))],
    },
    "two machines swap places": {
        "machines": [SAW, LATHE],
        "scenarios": [scenario(move(1, "saw", "bench C"), move(1, "lathe", "bench A"))],
    },
    "two scenarios": {
        "scenarios": [
            scenario(name="calm", weight="0.6"),
            scenario(move(1, "saw", "bench E"), move(3, "saw", "bench A"), name="busy", weight="0.4"),
        ],
    },
    "turns are taken": {"machines": [SAW | TURNS, LATHE | {"at": "bench A"} | TURNS]},
    "turns are taken in a full panel": {
        "machines": [SAW | TURNS, LATHE | {"at": "bench A"} | TURNS],
        "panels": [PANEL | {"spaces_free": 2}],
    },
    "turns are taken until one moves": {
        "machines": [SAW | TURNS, LATHE | {"at": "bench A"} | TURNS],
        "scenarios": [scenario(move(2, "lathe", "bench C"))],
    },
    "an outlet is installed": {
        "installed": [
            {"place": "bench A", "panel": "panel", "method": "wall drop", "configuration": "NEMA 6-20"}
        ],
        "scenarios": [scenario(move(2, "saw", "bench C"))],
    },
    "an outlet is installed beside the panel": {
        "machines": [SAW, LATHE],
        "installed": [{"place": "bench A", "panel": "panel", "method": "cord", "configuration": "NEMA 6-20"}],
    },
    "the panel is too small": {"panels": [PANEL | {"spaces_free": 2}]},
    "two panels, one nearly full": {"panels": [PANEL | {"spaces_free": 2}, PANEL | {"name": "second"}]},
    "the lease ends": {"building": {"lease": {"ends": 3, "take_out": True}, "patching": False}},
    "a machine arrives and one leaves": {
        "machines": [SAW | {"leaves": 2}, LATHE | {"arrives": 2, "at": "bench A"}],
    },
    "the shop moves": {
        "machines": [SAW, LATHE],
        "scenarios": [scenario({"year": 2, "shop_moves": True, "route_factor": "1.2"})],
    },
    "retooled to 120 V": {
        "scenarios": [scenario({"year": 2, "machine": "saw", "retool": {"volts": 120, "amps": 16}})],
    },
    "retooled to three-phase": {
        "panels": [PANEL, DELTA],
        "scenarios": [
            scenario({"year": 2, "machine": "saw", "retool": {"volts": 240, "phases": 3, "amps": 16}})
        ],
        "cords": {"slack": [0], "families": ["straight"], "spare_conductor": True, "service": ["hard"]},
    },
    "slack to choose": {
        "cords": {"slack": [0, 25], "families": ["straight"], "spare_conductor": False, "service": ["hard"]},
        "scenarios": [scenario(move(1, "saw", "bench E"), move(2, "saw", "bench A"))],
    },
    "a fixed bid": {
        "bids": [
            {
                "name": "bid",
                "price": 600,
                "covers": ["run-cable", "foot-of-cable", "set-outlet"],
                "rest_by": "electrician",
            }
        ],
    },
    "hard-wired or not": {"machines": [SAW | {"ways": {}}, DRILL]},
    "two voltages, room for one one-pole circuit": {
        "machines": [SAW, DUAL],
        "panels": [PANEL | {"spaces_free": 3}],
    },
    "two voltages, and it moves": {
        "machines": [DUAL, DRILL],
        "scenarios": [scenario(move(2, "jointer", "bench C"))],
    },
    "two voltages, one of them there": {
        "machines": [
            DUAL
            | {
                "now": {
                    "method": "cord",
                    "panel": "panel",
                    "configuration": "NEMA 6-20",
                    "breaker": 20,
                    "awg": 12,
                    "cord": {"length": 40, "awg": 12, "conductors": 3},
                }
            },
            LATHE,
        ],
    },
}


@pytest.mark.parametrize("name", CASES)
def test_every_kind_of_change(name: str) -> None:
    recipes = {"take out": {"tasks": [{"task": "make-safe"}]}}
    assert_same_ranking(make_shop(**CASES[name]), make_catalog(recipes=recipes, **MARKETS["surplus"]))


def spot(place: str, method: str = "wall drop") -> dict[str, str]:
    return {"place": place, "panel": "panel", "method": method, "configuration": "NEMA 6-20"}


DROP_ONLY = {"ways": {"only": ["wall drop"], "hard_wired": False}}
ANOTHER_RUN = {"at": "bench A", "recipes": {"wall drop": {"extra": 7}}}
INSTALLED: dict[str, dict[str, Any]] = {
    "two runs that differ ask for one outlet": {
        "machines": [SAW | DROP_ONLY, LATHE | ANOTHER_RUN | DROP_ONLY],
        "installed": [spot("bench A")],
    },
    "an outlet elsewhere counts for none": {
        "machines": [SAW | DROP_ONLY, LATHE | ANOTHER_RUN | DROP_ONLY],
        "installed": [spot("bench A"), spot("bench D")],
    },
    "one machine takes turns, the other not": {
        "machines": [SAW | TURNS, LATHE | {"at": "bench A"}],
        "installed": [spot("bench A")],
    },
    "two outlets beside the panel": {
        "machines": [SAW, LATHE],
        "installed": [spot("bench A", "cord"), spot("bench D", "cord")],
    },
}


@pytest.mark.parametrize("name", INSTALLED)
def test_installed_outlets_are_used_once(name: str) -> None:
    assert_same_ranking(make_shop(**INSTALLED[name]), make_catalog())


@pytest.mark.parametrize("cap", [500, 1000, 1050, 1100, 1300])
@pytest.mark.parametrize("market", ["delivery", "reels"])
def test_cap_on_the_outlay(cap: int, market: str) -> None:
    shop = make_shop(
        money={"discount_rate": "3 %", "outlay_cap": cap}, scenarios=[scenario(move(2, "saw", "bench C"))]
    )
    assert_same_ranking(shop, make_catalog(**MARKETS[market]))


@given(situations())
def test_drawn_shops(situation: tuple[dict[str, Any], dict[str, Any]]) -> None:
    shop, catalog = situation
    assert_same_ranking(make_shop(**shop), make_catalog(**catalog))
