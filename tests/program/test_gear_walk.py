"""The walk over the years against plans that were tampered with: gear taken away, put in late, or overloaded."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from strategies import (
    DRILL,
    GRINDER,
    MILL,
    PANEL,
    SAW,
    WALL_ONLY,
    make_catalog,
    make_gear_shop,
    one_pole,
    scenario,
    with_gear,
)

from costplan.circuits.facts import Facts
from costplan.ledger.lines import LineKind, Pocket
from costplan.ledger.paid import gear_since
from costplan.ledger.plan import GearBought
from costplan.ledger.simulation import SimulationError, walk
from costplan.model.choices import SurplusRule
from costplan.program.bench import Bench
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans

DEAR = {"drive-3": 2000, "drive-5": 2000, "motor-3": 2000}
LATHE = SAW | {"name": "lathe", "at": "bench E"} | WALL_ONLY
ARRIVES = {"year": 2, "machine": "lathe", "arrives": "bench E"}
SHOPS: dict[str, tuple[dict[str, Any], str]] = {
    "converter": (
        {"machines": [MILL | WALL_ONLY, GRINDER | WALL_ONLY]},
        "hangs on converter, which is not there",
    ),
    "utility": ({"machines": [MILL | WALL_ONLY]}, "hangs on utility, which is not there"),
    "subpanel": (
        {
            "machines": [SAW | WALL_ONLY, DRILL | WALL_ONLY],
            "panels": [PANEL | {"spaces_free": 2}],
        },
        "hangs on subpanel, which is not there",
    ),
    "tandems": (
        {
            "machines": [SAW | WALL_ONLY, DRILL | WALL_ONLY],
            "panels": [PANEL | {"spaces_free": 2, "tandems": 2, "one_pole_circuits": [one_pole(2)]}],
        },
        "panel is 1 space short",
    ),
    # 30 and 12 A, and a quarter of the saw's 16: 46 A
    "upgrade": (
        {"machines": [SAW | WALL_ONLY], "service": {"amps": 40, "other_load": 30}},
        "service carries 2400 VA too much",
    ),
    # twice 16 A and a quarter more are 36 A on 30
    "manager": (
        {
            "machines": [SAW | WALL_ONLY, LATHE],
            "gear_changes": {"manager": {"machines": ["saw", "lathe"], "holds_to": 16}},
            "service": {"amps": 30},
        },
        "service carries 1440 VA too much",
    ),
}
"""For each piece of gear a shop that needs it, and what the walk says of it without."""


def planned(name: str, **more: Any) -> tuple[Bench, Ranked]:
    shop, _ = SHOPS[name]
    bench = Bench.over(
        Facts(make_gear_shop(names=(name,), **shop | more), make_catalog(**with_gear(prices=DEAR))),
        SurplusRule.ALLOWED,
    )
    best = best_plans(bench, 1)[0]
    assert best.plan.gear_names == {name}
    return bench, best


@pytest.mark.parametrize("name", SHOPS)
def test_a_plan_without_its_gear_does_not_hold_together(name: str) -> None:
    bench, best = planned(name)
    with pytest.raises(SimulationError, match=SHOPS[name][1]):
        walk(bench.facts, bench.pricers[0], replace(best.plan, gear=()), best.chosen)


@pytest.mark.parametrize("name", SHOPS)
def test_gear_a_year_late_does_not_hold_together(name: str) -> None:
    bench, best = planned(name)
    late = tuple(replace(bought, scenario="as planned", year=1) for bought in best.plan.gear)
    with pytest.raises(SimulationError, match="year 0"):
        walk(bench.facts, bench.pricers[0], replace(best.plan, gear=late), best.chosen)


def test_gear_for_the_wrong_scenario_does_not_hold_together() -> None:
    scenarios = [scenario(name="calm", weight="0.5"), scenario(ARRIVES, name="busy", weight="0.5")]
    bench, best = planned("manager", scenarios=scenarios)
    assert best.plan.gear == (GearBought("manager", "busy", 2, 1),)
    walk(bench.facts, bench.pricers[0], best.plan, best.chosen)
    with pytest.raises(SimulationError, match="too much: busy, year 2"):
        walk(
            bench.facts,
            bench.pricers[0],
            replace(best.plan, gear=(GearBought("manager", "calm", 2, 1),)),
            best.chosen,
        )


def test_gear_whose_own_feed_is_not_there_does_not_hold_together() -> None:
    gear = [
        {"name": "converter", "kind": "phase converter", "part": "converter-5", "panel_part": "panel-3"}
        | {"fed_from": "panel", "at": "bench E", "hours_per_year": 200},
        {
            "name": "far",
            "kind": "subpanel",
            "panel_part": "panel-3",
            "fed_from": "converter",
            "at": "bench C",
        },
    ]
    bench = Bench.over(
        Facts(make_gear_shop([MILL | WALL_ONLY], gear=gear), make_catalog(**with_gear(prices=DEAR))),
        SurplusRule.ALLOWED,
    )
    best = best_plans(bench, 1, allowed=lambda option: option.way.panel == "far")[0]
    only_far = tuple(entry for entry in best.plan.gear if entry.name == "far")
    with pytest.raises(SimulationError, match="far is fed from converter, which is not there"):
        walk(bench.facts, bench.pricers[0], replace(best.plan, gear=only_far), best.chosen)


def test_a_converter_too_small_for_its_machines_does_not_hold_together() -> None:
    bench, best = planned("converter")
    small = bench.facts.shop.gear[0].model_copy(update={"part": "converter-4"})
    facts = Facts(bench.facts.shop.model_copy(update={"gear": [small]}), bench.facts.catalog)
    # 9.6 and 15.2 A at 240 V, three-phase, and a quarter of the larger: 11,890 VA on 24 A or 9,976 VA
    with pytest.raises(SimulationError, match=r"output of converter carries 190\d VA too much"):
        walk(facts, bench.pricers[0], best.plan, best.chosen)


def test_too_few_tandem_breakers_do_not_hold_together() -> None:
    bench, best = planned(
        "tandems", panels=[PANEL | {"spaces_free": 1, "tandems": 2, "one_pole_circuits": [one_pole(4)]}]
    )
    assert best.plan.gear == (GearBought("tandems 20/20", "", 0, 2, "tandems"),)
    with pytest.raises(SimulationError, match="panel is 1 space short"):
        walk(
            bench.facts,
            bench.pricers[0],
            replace(best.plan, gear=(GearBought("tandems 20/20", "", 0, 1, "tandems"),)),
            best.chosen,
        )


QUOTED = {"tandems": {"quote": 30}, "upgrade": {"quote": 500}}


@pytest.mark.parametrize("name", QUOTED)
def test_more_of_a_piece_of_gear_than_there_may_be_does_not_hold_together(name: str) -> None:
    bench, best = planned(name, gear_changes=QUOTED)
    many = tuple(replace(entry, count=9) for entry in best.plan.gear)
    with pytest.raises(SimulationError):
        walk(bench.facts, bench.pricers[0], replace(best.plan, gear=many), best.chosen)


def test_two_upgrades_do_not_add_up() -> None:
    """To 60 A and to 70 A from 40 A are 70 A, and not 90 A."""
    shop, _ = SHOPS["upgrade"]
    gear = [
        {"name": name, "kind": "service upgrade", "to": to, "quote": 100}
        for name, to in (("one", 60), ("other", 70))
    ]
    shop = shop | {"service": {"amps": 40, "other_load": 20}}
    facts = Facts(make_gear_shop(gear=gear, **shop), make_catalog(**with_gear(prices=DEAR)))
    bench = Bench.over(facts, SurplusRule.ALLOWED)
    best = best_plans(bench, 1)[0]
    taken = (
        facts.shop.service.model_copy(update={"other_load_a": Decimal(60)}) if facts.shop.service else None
    )
    fuller = Facts(facts.shop.model_copy(update={"service": taken}), facts.catalog)
    both = tuple(GearBought(name, "", 0, 1) for name in ("one", "other"))
    with pytest.raises(SimulationError):
        walk(fuller, bench.pricers[0], replace(best.plan, gear=both), best.chosen)


def test_gear_nobody_bought_the_parts_for_does_not_hold_together() -> None:
    bench, best = planned("upgrade")
    bought = tuple(entry for entry in best.plan.bought if entry.need.spec.kind != "service equipment")
    with pytest.raises(SimulationError, match="too little bought: service equipment"):
        walk(bench.facts, bench.pricers[0], replace(best.plan, bought=bought), best.chosen)


def test_what_gear_costs_is_on_its_lines() -> None:
    """An upgrade: equipment 350, three hours at 100, call-out and permit with the saw's drop, connection 300."""
    _, best = planned("upgrade")
    own = [line for line in best.lines if line.machine == "upgrade"]
    assert {(str(line.kind), line.amount_cents) for line in own} == {
        (str(LineKind.LABOR), 30000),
        (str(LineKind.QUOTE), 30000),
    }
    parts = [line for line in best.lines if line.what.startswith("equipment-200")]
    assert [(line.kind, line.pocket, line.amount_cents) for line in parts] == [
        (LineKind.PART, Pocket.CASH, 35000)
    ]


def test_what_gear_costs_says_since_when_it_is_there() -> None:
    assert [gear_since(2, 2), gear_since(2, 3), gear_since(0, 3)] == [
        "put in, year 2",
        "there since year 2",
        "there since today",
    ]
