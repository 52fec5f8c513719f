"""A machine retooled to more poles counts in its panel's room, also in a year in which its cord is cared for.

Prices and hours are those of `strategies`, all invented.
"""

from typing import Any

import pytest
from second_opinion import SecondOpinion
from strategies import (
    DELTA,
    DRILL,
    PANEL,
    SAW,
    gear,
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
from costplan.program.ranked import NoPlanError
from costplan.program.ranking import best_plans

Row = dict[str, Any]

CARE: Row = {"yearly cord care": {"tasks": [{"task": "make-cord"}]}}
CORD: Row = {"ways": {"only": ["cord"], "hard_wired": False}}
TO_TWO_POLES: Row = {"volts": 240, "amps": 16}
TO_THREE_POLES: Row = {"volts": 240, "phases": 3, "amps": 16}


def shop_of(machine: Row, retool: Row, panel: Row, names: tuple[str, ...] = (), **more: Any) -> Shop:
    """One machine on a cord, retooled in year 2 of 4."""
    event = {"year": 2, "machine": machine["name"], "retool": retool}
    return make_gear_shop([machine | CORD], names, panels=[panel], scenarios=[scenario(event)], **more)


def cared_for(prices: dict[str, int] | None = None) -> Catalog:
    """A catalog in which every cord is looked after every year."""
    return make_catalog(**with_gear({"recipes": CARE}, prices))


def bench_of(shop: Shop, catalog: Catalog) -> Bench:
    return Bench.over(Facts(shop, catalog), SurplusRule.ALLOWED)


@pytest.mark.parametrize(
    ("machine", "retool", "panel"),
    [
        (DRILL, TO_TWO_POLES, PANEL | {"spaces_free": 1}),
        (SAW, TO_THREE_POLES, DELTA | {"spaces_free": 2}),
    ],
)
def test_too_little_room_after_retooling_leaves_no_plan(machine: Row, retool: Row, panel: Row) -> None:
    catalog = make_catalog(recipes=CARE)
    bench = bench_of(shop_of(machine, retool, panel), catalog)

    assert SecondOpinion(bench, SurplusRule.ALLOWED).by_plan() == {}
    with pytest.raises(NoPlanError):
        best_plans(bench, 1)
    roomy = bench_of(shop_of(machine, retool, panel | {"spaces_free": panel["spaces_free"] + 1}), catalog)
    assert best_plans(roomy, 1)[0].present_value_cents == min(
        SecondOpinion(roomy, SurplusRule.ALLOWED).by_plan().values()
    )


def test_tandem_breakers_are_put_in_where_the_retooled_machine_needs_the_room() -> None:
    panel = PANEL | {"spaces_free": 1, "tandems": 2, "one_pole_circuits": [one_pole(4)]}
    bench = bench_of(shop_of(DRILL, TO_TWO_POLES, panel, ("tandems",)), cared_for())

    best = best_plans(bench, 1)[0]

    assert best.present_value_cents == min(SecondOpinion(bench, SurplusRule.ALLOWED).by_plan().values())
    assert best.plan.gear_names == {"tandems"}


def test_the_service_is_upgraded_when_the_retooled_machine_draws_more() -> None:
    # 16 A and a quarter is 20 A; 22 A and a quarter is 27.5 A, too much for 25 A
    shop = shop_of(
        SAW,
        {"volts": 240, "amps": 22},
        PANEL,
        service={"amps": 25},
        gear=gear("upgrade"),
    )
    bench = bench_of(shop, cared_for())

    best = best_plans(bench, 1)[0]

    assert best.present_value_cents == min(SecondOpinion(bench, SurplusRule.ALLOWED).by_plan().values())
    assert best.plan.gear_names == {"upgrade"}


def test_the_machine_that_left_gives_its_poles_to_the_one_that_is_retooled() -> None:
    leaves = {"year": 2, "machine": "saw", "leaves": True}
    retooled = {"year": 2, "machine": "drill", "retool": TO_TWO_POLES}
    costs = []
    for events in ([leaves, retooled], [retooled]):
        shop = make_gear_shop(
            [SAW | CORD, DRILL | CORD],
            panels=[PANEL | {"spaces_free": 3}],
            scenarios=[scenario(*events)],
        )
        bench = bench_of(shop, cared_for())
        expected = SecondOpinion(bench, SurplusRule.ALLOWED).by_plan()
        costs.append(min(expected.values(), default=None))
        if expected:
            assert best_plans(bench, 1)[0].present_value_cents == costs[-1]
        else:
            with pytest.raises(NoPlanError):
                best_plans(bench, 1)
    assert costs[0] is not None
    assert costs[1] is None
