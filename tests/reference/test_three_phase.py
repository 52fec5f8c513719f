"""Where a shop without three-phase gets it, as every such shop learns; common practice, no source.

Computed over the demo catalog, whose prices are invented: a drive for one machine, a converter with a panel of its
own for several, and what moves the line between them. Single-phase motors are held out, since most machines have
their motors built in.
"""

from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from shipped_shops import demo_catalog
from strategies import Row

from costplan.circuits.facts import Facts
from costplan.model.choices import Supply, SurplusRule
from costplan.model.shop import Shop
from costplan.program.bench import Bench
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans

DEMO = Path(__file__).parents[2] / "catalogs" / "demo"
WHY = "left out to compare"
DRIVES, CONVERTER, EITHER = (
    ("panel", "single-phase motor"),
    ("drive", "single-phase motor"),
    ("single-phase motor",),
)
"""Supplies that are forbidden, so that drives, the converter, or either of them are left."""


def shop_of(count: int, hp: str, forbidden: tuple[str, ...], **gear: Any) -> Shop:
    """So many equal machines in a row beside each other, run by one person, 35 to 50 ft from the only panel."""
    names = [f"machine {i}" for i in range(1, count + 1)]
    machine: Row = {
        "volts": 240,
        "phases": 3,
        "hp": hp,
        "full_load_hours": 60,
        "takes_turns": "one person works here",
        "ways": {
            "only": ["conduit drop"],
            "hard_wired": True,
            "forbid_supply": dict.fromkeys(forbidden, WHY),
        },
    }
    methods = ("wall drop", "armored drop", "ceiling outlet")
    panel: Row = {
        "name": "main",
        "system": "120/240 single-phase",
        "breakers": "family A",
        "spaces_free": 24,
        "place": "wall",
    }
    converter: Row = {
        "name": "converter",
        "kind": "phase converter",
        "part": "rotary-converter-10",
        "panel_part": "panel-b-100",
        "fed_from": "main",
        "at": "bay",
        "hours_per_year": 100,
    }
    return Shop.model_validate(
        {
            "shop": "three-phase shop (invented)",
            "invented": True,
            "today": "2026-11-02",
            "years": 8,
            "money": {"electricity_per_kwh": "0.16"},
            "code": {"edition": 2020},
            "building": {"forbid": dict.fromkeys(methods, "left out to keep the test small")},
            "panels": [panel],
            "places": [
                {"name": "wall", "at": [0, 0]},
                {"name": "bay", "at": [30, 20]},
                *({"name": name, "at": [34 + 3 * i, 24]} for i, name in enumerate(names)),
            ],
            "machines": [{"name": name, "at": name} | machine for name in names],
            "gear": [converter | gear],
        }
    )


@cache
def best(count: int, hp: str = "5", forbidden: tuple[str, ...] = EITHER, hours: int = 100) -> Ranked:
    facts = Facts(shop_of(count, hp, forbidden, hours_per_year=hours), demo_catalog())
    return best_plans(Bench.over(facts, SurplusRule.NEW_ONLY), 1)[0]


def cost(*arguments: Any) -> int:
    return best(*arguments).present_value_cents


def supplies(plan: Ranked) -> set[Supply]:
    return {way.supply for _, way, _ in plan.plan.shares()}


def test_for_one_machine_a_drive_is_cheapest() -> None:
    """Common practice, no source."""
    assert supplies(best(1)) == {Supply.DRIVE}
    assert best(1).plan.gear == ()
    assert cost(1, "5", DRIVES) == cost(1)
    assert cost(1, "5", CONVERTER) > 1.3 * cost(1, "5", DRIVES)


def test_the_cost_of_a_drive_climbs_with_the_current() -> None:
    """Common practice, no source: a larger drive, a larger breaker, thicker wire."""
    costs = [cost(1, hp, DRIVES) for hp in ("1", "2", "3", "5", "7.5", "10")]
    assert all(less < more for less, more in pairwise(costs))
    assert costs[-1] > 1.5 * costs[0]


def test_for_several_machines_a_converter_with_its_panel_is_cheaper() -> None:
    """Common practice, no source: it is paid once, each drive again."""
    assert supplies(best(4)) == {Supply.PANEL}
    assert best(4).plan.gear_names == {"converter"}
    assert {way.panel for _, way, _ in best(4).plan.shares()} == {"converter"}
    assert cost(4) == cost(4, "5", CONVERTER) < cost(4, "5", DRIVES)


def test_each_further_machine_costs_less_behind_the_converter() -> None:
    """Common practice, no source: so that there is one number of machines from which on it pays."""
    counts = (1, 2, 3, 4)
    extra = [cost(count, "5", DRIVES) - cost(count, "5", CONVERTER) for count in counts]
    assert all(less < more for less, more in pairwise(extra))
    assert extra[0] < 0 < extra[-1]


def test_a_converter_that_is_always_on_loses_to_drives() -> None:
    """Common practice, no source: it idles at hundreds of watts whether a machine runs or not."""
    assert supplies(best(3)) == {Supply.PANEL}
    assert supplies(best(3, "5", EITHER, 6000)) == {Supply.DRIVE}


@pytest.mark.parametrize("hp", ["5", "10"])
def test_what_may_be_chosen_freely_is_never_dearer(hp: str) -> None:
    for count in (1, 2):
        assert cost(count, hp) <= min(cost(count, hp, DRIVES), cost(count, hp, CONVERTER))
