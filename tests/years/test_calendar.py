"""Scenarios turned into what happens to each machine."""

from typing import Any

import pytest
from strategies import DRILL, LATHE, SAW, make_shop, move, scenario

from costplan.model.shop import Rearranged, Shop
from costplan.years.calendar import expand, lives, scenarios_of


def moves(shop: Shop, **short: Any) -> list[tuple[int, str | None, str | None]]:
    events = expand(shop, Rearranged.model_validate(short))
    return [(event.year, event.machine, event.move) for event in events]


def test_no_scenario_means_one_in_which_nothing_happens() -> None:
    shop = make_shop()
    assert [(s.name, s.weight, s.events) for s in scenarios_of(shop)] == [("as planned", 1, [])]
    life = lives(shop, scenarios_of(shop)[0])["saw"]
    assert [(s.year, s.place) for s in life.standings] == [(0, "bench A")]
    assert life.leaves is None


def test_one_move_every_second_year_in_turn() -> None:
    shop = make_shop([SAW, DRILL], years=8)
    assert moves(shop, times_per_year="0.5", among=["bench A", "bench B"]) == [
        (2, "saw", "bench B"),
        (4, "drill", "bench A"),
        (6, "saw", "bench A"),
        (8, "drill", "bench B"),
    ]


def test_two_moves_a_year() -> None:
    shop = make_shop([SAW, DRILL], years=1)
    assert moves(shop, times_per_year=2, among=["bench A", "bench B", "bench C"]) == [
        (1, "saw", "bench B"),
        (1, "drill", "bench C"),
    ]


def test_a_second_move_of_a_machine_in_a_year_is_left_out() -> None:
    shop = make_shop([SAW, DRILL | {"never_moves": True}], years=2)
    assert [
        year for year, name, _ in moves(shop, times_per_year=3, among=["bench A", "bench C"]) if name
    ] == [1, 2]


def test_machines_that_never_move_take_no_part() -> None:
    shop = make_shop([SAW | {"never_moves": True}, DRILL | {"never_moves": True}])
    assert moves(shop, times_per_year=2, among=["bench A", "bench B"]) == []


def test_no_moves_a_year_are_no_events() -> None:
    assert moves(make_shop(), times_per_year=0, among=["bench A", "bench B"]) == []


def test_a_move_starts_a_new_standing_and_a_move_to_the_same_place_does_not() -> None:
    shop = make_shop(scenarios=[scenario(move(1, "saw", "bench A"), move(3, "saw", "bench C"))])
    standings = lives(shop, shop.scenarios[0])["saw"].standings
    assert [(s.year, s.place, s.why) for s in standings] == [
        (0, "bench A", "is here today"),
        (3, "bench C", "moves to bench C"),
    ]


def test_a_machine_arrives_and_leaves() -> None:
    shop = make_shop(
        [SAW | {"arrives": 1}, DRILL], scenarios=[scenario({"year": 3, "machine": "saw", "leaves": True})]
    )
    life = lives(shop, shop.scenarios[0])["saw"]
    assert [(s.year, s.why) for s in life.standings] == [(1, "arrives")]
    assert life.leaves == 3


def test_a_machine_that_comes_in_one_scenario_is_absent_from_the_others() -> None:
    shop = make_shop(
        [SAW, LATHE],
        scenarios=[
            scenario(name="calm", weight="0.5"),
            scenario({"year": 2, "machine": "lathe", "arrives": "bench B"}, name="growth", weight="0.5"),
        ],
    )
    calm, growth = (lives(shop, found) for found in shop.scenarios)
    assert calm["lathe"].standings == ()
    assert [(s.year, s.place) for s in growth["lathe"].standings] == [(2, "bench B")]


def test_a_shop_move_stretches_the_runs() -> None:
    shop = make_shop(scenarios=[scenario({"year": 2, "shop_moves": True, "route_factor": "1.5"})])
    before, after = lives(shop, shop.scenarios[0])["saw"].standings
    assert (before.building, before.route_factor) == (0, 1)
    assert (after.building, float(after.route_factor), after.why) == (1, 1.5, "the shop moves")


@pytest.mark.parametrize("retool", [{"volts": 120, "amps": 16}, {"volts": 240, "phases": 3, "amps": 12}])
def test_a_retooling_changes_the_load(retool: dict[str, Any]) -> None:
    shop = make_shop(scenarios=[scenario({"year": 2, "machine": "saw", "retool": retool})])
    standing = lives(shop, shop.scenarios[0])["saw"].standings[-1]
    assert (standing.load.volts, standing.load.phases) == (retool["volts"], retool.get("phases", 1))
    assert standing.why == "is retooled"
