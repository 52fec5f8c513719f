"""Short forms of the shop file written out; the rules are the project's own, no source."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import DRILL, LATHE, SAW, make_shop, move, scenario

from costplan.model.ranges import ends_of
from costplan.model.routes import BEYOND_REACH_FT, RouteBook
from costplan.model.shop import Shop
from costplan.model.spelled_out import moves_on_average, spelled_out


def happens(shop: Shop, number: int = 0) -> list[tuple[int, str | None, str | None]]:
    return [(e.year, e.machine, e.move) for e in spelled_out(shop).shop.scenarios[number].events]


def machines(shop: Shop) -> list[tuple[str, int]]:
    return [(machine.name, machine.count) for machine in spelled_out(shop).shop.machines]


def short(years: int, *names: dict[str, Any], **form: Any) -> Shop:
    return make_shop(list(names), years=years, scenarios=[scenario() | {"rearranged": form}])


LATHES = SAW | {"name": "lathes", "count": 12}


def test_a_shop_without_short_forms_comes_back_equal() -> None:
    shop = make_shop(
        [SAW, DRILL], scenarios=[scenario(move(3, "saw", "bench C"), move(1, "drill", "bench A"))]
    )
    assert spelled_out(shop).shop == shop
    assert spelled_out(shop).group_of == {"saw": "saw", "drill": "drill"}


def test_several_years_are_an_event_each() -> None:
    event = {"years": [4, 1], "machine": "saw", "move": "bench C"}
    shop = make_shop([SAW], years=5, scenarios=[scenario(event)])
    assert happens(shop) == [(1, "saw", "bench C"), (4, "saw", "bench C")]


def test_every_so_many_years_stops_before_the_last() -> None:
    event = {"every": 2, "machine": "saw", "move": "bench C"}
    shop = make_shop([SAW], years=6, scenarios=[scenario(event)])
    assert happens(shop) == [(2, "saw", "bench C"), (4, "saw", "bench C")]


def test_events_at_the_end_of_the_plan_are_dropped() -> None:
    shop = make_shop(
        [SAW], years=3, scenarios=[scenario(move(2, "saw", "bench C"), move(3, "saw", "bench A"))]
    )
    assert happens(shop) == [(2, "saw", "bench C")]


def test_a_machine_that_comes_at_the_end_of_the_plan_never_comes() -> None:
    event = {"year": 3, "machine": "lathe", "arrives": "bench B"}
    plain = spelled_out(make_shop([SAW, LATHE], years=3, scenarios=[scenario(event)])).shop
    assert plain.scenarios[0].events == []
    assert plain.machines[1].arrives == 3


def test_one_move_every_second_year_in_turn() -> None:
    shop = short(9, SAW, DRILL, times_per_year="0.5", among=["bench A", "bench B"])
    assert happens(shop) == [
        (2, "saw", "bench B"),
        (4, "drill", "bench A"),
        (6, "saw", "bench A"),
        (8, "drill", "bench B"),
    ]


def test_a_third_of_a_move_a_year_falls_in_every_third_year() -> None:
    shop = short(10, SAW, times_per_year="1/3", among=["bench A", "bench B"])
    assert [year for year, _, _ in happens(shop)] == [3, 6, 9]


def test_a_machine_may_move_several_times_a_year() -> None:
    shop = short(
        2, SAW, DRILL | {"never_moves": True}, times_per_year=3, among=["bench A", "bench B", "bench C"]
    )
    assert happens(shop) == [(1, "saw", "bench B"), (1, "saw", "bench C"), (1, "saw", "bench A")]


@pytest.mark.parametrize(
    ("count", "years", "found"),
    [
        (1, 10, [9]),
        (3, 10, [3, 6, 9]),
        (4, 3, [1, 1, 2, 2]),
        (2, 1, []),
        (0, 10, []),
        (5, 4, [1, 2, 2, 3, 3]),
    ],
)
def test_moves_in_all_are_spread_over_the_years_before_the_last(
    count: int, years: int, found: list[int]
) -> None:
    shop = short(years, SAW, times_in_all=count, among=["bench A", "bench B"])
    assert [year for year, _, _ in happens(shop)] == found


def test_a_rearranged_machine_goes_on_from_where_a_written_move_put_it() -> None:
    form = {"rearranged": {"times_per_year": 1, "among": ["bench A", "bench B", "bench C"]}}
    shop = make_shop([SAW], years=3, scenarios=[scenario(move(1, "saw", "bench B")) | form])
    assert happens(shop) == [(1, "saw", "bench B"), (1, "saw", "bench C"), (2, "saw", "bench A")]


def test_only_machines_that_are_there_take_their_turn() -> None:
    shop = short(5, SAW, DRILL | {"arrives": 2}, times_per_year=1, among=["bench A", "bench B", "bench C"])
    assert [(year, name) for year, name, _ in happens(shop)] == [
        (1, "saw"),
        (2, "saw"),
        (3, "drill"),
        (4, "saw"),
    ]


def test_a_machine_with_a_route_stands_at_a_place_of_its_own() -> None:
    bare = {key: value for key, value in SAW.items() if key != "at"}
    shop = make_shop([bare | {"route": {"fixed": 40, "cord": 30}}])
    plain = spelled_out(shop).shop
    saw, book = plain.machines[0], RouteBook(plain, {panel.name: panel for panel in plain.panels})
    assert (saw.at, saw.route) == ("saw", None)
    for panel in plain.panels:
        assert (book.fixed_ft(panel.name, "saw"), book.cord_ft(panel.name, "saw")) == (40, 30)


def test_a_group_that_nothing_divides_stays_one() -> None:
    event = {"year": 1, "machine": "lathes", "how_many": 12, "move": "bench C"}
    shop = make_shop([LATHES], scenarios=[scenario(event)])
    assert machines(shop) == [("lathes", 12)]
    assert happens(shop) == [(1, "lathes", "bench C")]


def test_a_group_is_divided_where_its_machines_lead_different_lives_in_any_scenario() -> None:
    some = {"machine": "lathes", "move": "bench C"}
    shop = make_shop(
        [LATHES, DRILL],
        scenarios=[
            scenario(some | {"year": 1, "how_many": 7}, name="few", weight="0.5"),
            scenario(some | {"year": 2, "how_many": 9}, some | {"year": 3}, name="many", weight="0.5"),
        ],
        service={"amps": 200, "at_once": [["drill", "lathes"]]},
        strategies=[{"name": "all", "ways": {"lathes": "cord", "*": "wall drop"}}],
    )
    names = ["lathes 1-7", "lathes 8-9", "lathes 10-12"]
    plain = spelled_out(shop)
    assert machines(shop) == [*zip(names, (7, 2, 3), strict=True), ("drill", 1)]
    assert happens(shop, 0) == [(1, "lathes 1-7", "bench C")]
    assert happens(shop, 1) == [
        *((2, name, "bench C") for name in names[:2]),
        *((3, name, "bench C") for name in names),
    ]
    assert plain.group_of == {**dict.fromkeys(names, "lathes"), "drill": "drill"}
    assert plain.shop.service is not None
    assert plain.shop.service.at_once == [["drill", *names]]
    assert plain.shop.strategies[0].ways == {**dict.fromkeys(names, "cord"), "*": "wall drop"}
    assert spelled_out(plain.shop).shop == plain.shop


def test_a_rearrangement_takes_the_machines_of_a_group_one_by_one() -> None:
    group = SAW | {"name": "lathes", "count": 3}
    shop = short(3, group, times_per_year=1, among=["bench A", "bench B"])
    assert machines(shop) == [("lathes 1", 1), ("lathes 2", 1), ("lathes 3", 1)]
    assert happens(shop) == [(1, "lathes 1", "bench B"), (2, "lathes 2", "bench B")]


def test_new_spots_are_as_far_from_the_panels_and_beyond_every_reach() -> None:
    event = {"every": 1, "machine": "lathes", "new_spot": True, "times": 2, "how_many": 7}
    plain = spelled_out(make_shop([LATHES], years=3, scenarios=[scenario(event)])).shop
    spots = [f"lathes 1-7, new spot {number}" for number in (1, 2, 3, 4)]
    assert [(e.year, e.move, e.new_spot, e.times) for e in plain.scenarios[0].events] == [
        (1, spots[0], False, 1),
        (1, spots[1], False, 1),
        (2, spots[2], False, 1),
        (2, spots[3], False, 1),
    ]
    book = RouteBook(plain, {panel.name: panel for panel in plain.panels})
    for panel in plain.panels:
        for length_of in (book.fixed_ft, book.cord_ft, book.ceiling_ft):
            assert length_of(panel.name, spots[3]) == length_of(panel.name, LATHES["at"])
    for other in (LATHES["at"], spots[0]):
        assert book.distance_ft(spots[3], other) == BEYOND_REACH_FT


def test_a_new_spot_is_as_far_as_where_the_machine_stands_then() -> None:
    new = {"year": 2, "machine": "saw", "new_spot": True}
    shop = make_shop([SAW], scenarios=[scenario(move(1, "saw", "bench C"), new)])
    plain = spelled_out(shop).shop
    book = RouteBook(plain, {panel.name: panel for panel in plain.panels})
    panel, spot = plain.panels[0].name, "saw, new spot 1 as far as bench C"
    assert happens(shop)[1] == (2, "saw", spot)
    assert book.fixed_ft(panel, spot) == book.fixed_ft(panel, "bench C")


EVENTS = st.fixed_dictionaries(
    {"years": st.lists(st.integers(1, 6), min_size=1, max_size=3, unique=True)},
    optional={"how_many": st.integers(1, 5)},
).flatmap(
    lambda event: st.sampled_from(["bench A", "bench B", "bench C"]).map(
        lambda place: {**event, "machine": "lathes", "move": place}
    )
)


@given(st.lists(st.lists(EVENTS, max_size=4), min_size=1, max_size=3))
def test_every_machine_of_a_group_leads_the_life_that_its_number_has(written: list[list[Any]]) -> None:
    scenarios = [scenario(*events, name=str(n), weight="0.5") for n, events in enumerate(written)]
    group = SAW | {"name": "lathes", "count": 5}
    plain = spelled_out(make_shop([group], years=6, scenarios=scenarios)).shop
    numbered = [machine.name for machine in plain.machines for _ in range(machine.count)]

    assert len(numbered) == 5
    assert spelled_out(plain).shop == plain
    for number, events in enumerate(written):
        for unit, name in enumerate(numbered):
            moves = [
                (year, event["move"])
                for year in range(1, 6)
                for event in events
                if year in event["years"] and unit < event.get("how_many", 5)
            ]
            found = sorted(
                (event for event in plain.scenarios[number].events if event.machine == name),
                key=lambda event: event.year,
            )
            assert [(event.year, event.move) for event in found] == moves


@pytest.mark.parametrize(
    ("often", "moves"),
    [
        # means of 1.995, 2 and 0.4 moves in the three years before the last of four; without a range 1.95 is one move
        ([0.35, 0.65, 1.04], 2),
        ([0.35, 0.65, 1.05], 2),
        ([0.1, 0.1, 0.3], 0),
        (0.65, 1),
    ],
)
def test_a_range_of_moves_is_the_nearest_whole_number_of_them(often: Any, moves: int) -> None:
    shop = short(4, SAW, times_per_year=often, among=["bench A", "bench B"])
    assert len(happens(shop)) == moves


@pytest.mark.parametrize(
    ("years", "often", "moves"),
    [
        (6, {"times_per_year": [0.5, 1, 2.5]}, "5.833333333333333"),
        (6, {"times_in_all": [1, 2, 6]}, "2.5"),
        (4, {"times_per_year": 0.65}, "1.95"),
        (4, {"times_per_year": "1/3"}, "1"),
        (1, {"times_in_all": 3}, "0"),
    ],
)
def test_moves_on_average_keep_their_fraction(years: int, often: Any, moves: str) -> None:
    # by hand: 5 x (0.5 + 4 + 2.5) / 6; (1 + 8 + 6) / 6; 3 x 0.65; three thirds; nothing moves at the end of the only year
    short_form = short(years, SAW, **often, among=["bench A", "bench B"]).scenarios[0].rearranged
    assert short_form is not None
    assert moves_on_average(short_form, years) == Decimal(moves)


def test_weights_that_are_ranges_count_by_their_means_as_shares_of_all() -> None:
    # (10 + 4 x 50 + 80) / 6 = 48.333 beside 50: 49.153 % and 50.847 %
    calm, busy = (
        scenario() | {"name": "calm", "weight": [0.1, 0.5, 0.8]},
        scenario() | {"name": "busy", "weight": 0.5},
    )
    plain = spelled_out(make_shop([SAW], scenarios=[calm, busy])).shop.scenarios
    assert [round(entry.weight, 5) for entry in plain] == [Decimal("0.49153"), Decimal("0.50847")]
    assert ends_of(plain[0].weight) == (Decimal("0.1"), Decimal("0.5"), Decimal("0.8"))
