"""Scenarios turned into what happens to each machine."""

from typing import Any

import pytest
from strategies import DRILL, LATHE, SAW, make_shop, move, scenario

from costplan.years.calendar import first_standings, lives, scenarios_of, unmoved_shares


def test_no_scenario_means_one_in_which_nothing_happens() -> None:
    shop = make_shop()
    assert [(s.name, s.weight, s.events) for s in scenarios_of(shop)] == [("as planned", 1, [])]
    life = lives(shop, scenarios_of(shop)[0])["saw"]
    assert [(s.year, s.place) for s in life.standings] == [(0, "bench A")]
    assert life.leaves is None


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


def test_a_machine_stands_first_where_it_is_before_its_moves_in_the_first_scenario_that_has_it() -> None:
    moves = scenario(move(1, "saw", "bench B"), name="calm", weight="0.5")
    comes = {"year": 2, "machine": "lathe", "arrives": "bench B"}
    growth = scenario(comes, move(3, "lathe", "bench D"), name="growth", weight="0.5")
    found = first_standings(make_shop([SAW, LATHE], scenarios=[moves, growth]))
    assert {name: (each.place, each.year) for name, each in found.items()} == {
        "saw": ("bench A", 0),
        "lathe": ("bench B", 2),
    }


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


def test_several_moves_of_one_year_are_steps() -> None:
    shop = make_shop(
        scenarios=[
            scenario(
                {"year": 2, "shop_moves": True},
                move(2, "saw", "bench B"),
                move(2, "saw", "bench A"),
                move(3, "saw", "bench C"),
            )
        ]
    )
    standings = lives(shop, shop.scenarios[0])["saw"].standings
    assert [(s.year, s.step, s.place, s.building) for s in standings] == [
        (0, 0, "bench A", 0),
        (2, 0, "bench B", 1),
        (2, 1, "bench A", 1),
        (3, 0, "bench C", 1),
    ]
    assert standings[1].why == "the shop moves, moves to bench B"


def test_a_machine_that_arrives_and_moves_in_one_year_does_both() -> None:
    shop = make_shop([SAW | {"arrives": 2}], scenarios=[scenario(move(2, "saw", "bench C"))])
    standings = lives(shop, shop.scenarios[0])["saw"].standings
    assert [(s.year, s.step, s.place) for s in standings] == [(2, 0, "bench A"), (2, 1, "bench C")]


def test_nothing_happens_any_more_at_the_end_of_the_last_year() -> None:
    events = [move(3, "saw", "bench C"), {"year": 3, "machine": "saw", "leaves": True}]
    shop = make_shop([SAW, DRILL | {"arrives": 3}], years=3, scenarios=[scenario(*events)])
    fate = lives(shop, shop.scenarios[0])
    assert [s.year for s in fate["saw"].standings] == [0]
    assert fate["saw"].leaves is None
    assert fate["drill"].standings == ()


def test_a_plan_of_no_years_still_has_today() -> None:
    shop = make_shop(years=0)
    assert [s.year for s in lives(shop, scenarios_of(shop)[0])["saw"].standings] == [0]


def test_a_machine_that_leaves_in_the_year_it_comes_was_never_there() -> None:
    """All events fall at the end of their year (README); what comes at the end of year 2 and leaves then is never used."""
    leaves = {"year": 2, "machine": "saw", "leaves": True}
    shop = make_shop([SAW | {"arrives": 2}, DRILL], scenarios=[scenario(leaves)])
    assert lives(shop, shop.scenarios[0])["saw"].standings == ()
    later = make_shop([SAW | {"arrives": 1}, DRILL], scenarios=[scenario(leaves)])
    assert [s.year for s in lives(later, later.scenarios[0])["saw"].standings] == [1]


def test_the_earlier_of_two_departures_counts() -> None:
    leaves = {"year": 3, "machine": "saw", "leaves": True}
    for year, expected in ((2, 2), (4, 3)):
        shop = make_shop([SAW | {"leaves": year}, DRILL], scenarios=[scenario(leaves)], years=6)
        assert lives(shop, shop.scenarios[0])["saw"].leaves == expected


def test_what_comes_in_the_last_year_but_one_is_there_for_a_year() -> None:
    shop = make_shop([SAW | {"arrives": 2}, DRILL], years=3)
    life = lives(shop, scenarios_of(shop)[0])["saw"]
    assert [(s.year, s.why) for s in life.standings] == [(2, "arrives")]


def test_a_machine_comes_into_the_building_that_the_shop_is_in_then() -> None:
    """Two moves of the shop, in years 1 and 3, runs half as long again and twice as long; the saw comes in year 3."""
    away = [
        {"year": 1, "shop_moves": True, "route_factor": "1.5"},
        {"year": 3, "shop_moves": True, "route_factor": "2"},
    ]
    for arrives, expected in ((3, [(3, 2, 2)]), (2, [(2, 1, 1.5), (3, 2, 2)]), (1, [(1, 1, 1.5), (3, 2, 2)])):
        shop = make_shop([SAW | {"arrives": arrives}, DRILL], scenarios=[scenario(*away)], years=6)
        standings = lives(shop, shop.scenarios[0])["saw"].standings
        assert [(s.year, s.building, float(s.route_factor)) for s in standings] == expected


def test_a_machine_retooled_as_it_comes_has_its_new_load_at_once() -> None:
    retool = {"year": 2, "machine": "saw", "retool": {"volts": 120, "amps": 16}}
    shop = make_shop([SAW | {"arrives": 2}, DRILL], scenarios=[scenario(retool)])
    standings = lives(shop, shop.scenarios[0])["saw"].standings
    assert [(s.year, s.load.volts, s.why) for s in standings] == [(2, 120, "arrives")]


def test_what_happens_in_the_year_a_machine_leaves_no_longer_matters_to_it() -> None:
    events = [move(2, "saw", "bench C"), {"year": 2, "machine": "saw", "leaves": True}]
    shop = make_shop(scenarios=[scenario(*events)])
    assert [s.year for s in lives(shop, shop.scenarios[0])["saw"].standings] == [0]


def test_how_likely_a_machine_stays_where_it_is() -> None:
    """0.7 calm and 0.3 in which the saw moves and the lathe comes: the drill stays in both, the lathe where it is."""
    shop = make_shop(
        [SAW, DRILL, LATHE],
        scenarios=[
            scenario(name="calm", weight="0.7"),
            scenario(
                move(1, "saw", "bench C"),
                {"year": 2, "machine": "lathe", "arrives": "bench B"},
                name="growth",
                weight="0.3",
            ),
        ],
    )
    shares = {name: float(share) for name, share in unmoved_shares(shop).items()}
    assert shares == {"saw": 0.7, "drill": 1.0, "lathe": 0.3}
    first = first_standings(shop)
    assert {name: (s.year, s.place) for name, s in first.items()} == {
        "saw": (0, "bench A"),
        "drill": (0, first["drill"].place),
        "lathe": (2, "bench B"),
    }


def test_what_comes_at_the_end_of_a_plan_of_one_year_is_never_used() -> None:
    shop = make_shop([SAW, DRILL | {"arrives": 1}], years=1)
    fate = lives(shop, scenarios_of(shop)[0])
    assert ([s.year for s in fate["saw"].standings], fate["drill"].standings) == ([0], ())


def test_of_two_moves_of_the_shop_in_a_year_the_last_counts_for_all() -> None:
    """Everything of a year falls at its end, so that nothing is ever run in the first of two buildings."""
    twice = [{"year": 2, "shop_moves": True, "route_factor": factor} for factor in ("1.5", "2")]
    shop = make_shop([SAW, DRILL | {"arrives": 2}], scenarios=[scenario(*twice)])
    fate = lives(shop, shop.scenarios[0])
    ends = [fate[name].standings[-1] for name in ("saw", "drill")]
    assert [(s.year, s.building, s.route_factor) for s in ends] == [(2, 1, 2), (2, 1, 2)]
