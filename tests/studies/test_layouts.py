"""Layouts beside the shop as it is: their plans, worked by hand on the tiny catalog, and what is done today.

All prices are the tiny example's, invented: nothing discounted, no fees, the owner's time at 0, an electrician at
100 an hour, an hour a task; a made-safe outlet takes an hour and a blank cover of 5.
"""

from functools import cache
from pathlib import Path
from typing import Any

import pytest
from strategies import DRILL, SAW, make_catalog, make_shop, store_offers

from costplan.circuits.facts import Facts
from costplan.ledger.lines import Line
from costplan.model.layouts import laid_out
from costplan.model.loading import load_catalog, load_shop
from costplan.model.shop import Shop
from costplan.program.bench import Bench
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans
from costplan.reports.comparison_tables import matrix_text
from costplan.reports.data import comparison_data
from costplan.reports.first_tables import ways_table
from costplan.reports.kept import kept_text
from costplan.reports.layouts_text import gap_words
from costplan.reports.terminal import comparison_text
from costplan.studies.comparison import Comparison, compare
from costplan.studies.layouts import LayoutRow, doings
from costplan.studies.wanted import Wanted

Row = dict[str, Any]
ROOT = Path(__file__).parents[2]


@cache
def shed() -> Facts:
    shop, _ = load_shop(ROOT / "tests" / "shops" / "layouts.yaml")
    catalog, _ = load_catalog(ROOT / "examples" / "tiny" / "catalog")
    assert shop is not None
    assert catalog is not None
    return Facts(shop, catalog)


@cache
def compared() -> Comparison:
    return compare(shed(), Wanted(plans=1))


def row(name: str) -> LayoutRow:
    return next(entry for entry in compared().layouts if entry.name == name)


def done(name: str) -> dict[str, int]:
    entry = row(name)
    assert entry.ranked is not None
    return {word: count for word, count in doings(entry.facts, entry.ranked).counts().items() if count}


def today(ranked: Ranked | None) -> list[Line]:
    assert ranked is not None
    return [line for line in ranked.lines if line.year == 0]


MOVE_TO_C = 300 + 40 + 10 + 5 + 105
"""Three hours, a run of 35 + 5 ft at 1, receptacle, box; the old outlet made safe, its breaker serves again."""


AS_IT_IS = MOVE_TO_C + 300 + 20 + 10 + 5 + 105
"""To bench C as above, then to B: a run of 15 + 5 ft, its breaker along again, and the outlet at C made safe."""


def test_the_shop_as_it_is_comes_first_then_the_best_plan_of_the_same_places() -> None:
    first, second = compared().layouts[:2]
    assert (first.name, second.name) == ("as it is", "same places")
    assert second.ranked is compared().best
    assert first.ranked is not None
    assert first.ranked.present_value_cents == MOVE_TO_C * 100
    assert done("as it is") == {}


def test_leaving_all_as_it_is_is_no_choice_but_what_the_drops_cost_later() -> None:
    """A saw on a drop goes to bench C and on to B, each time by a drop of its own, and nothing is done today."""
    scenarios = [
        {
            "name": "there and back",
            "weight": "100 %",
            "events": [
                {"machine": "saw", "year": 1, "move": "bench C"},
                {"machine": "saw", "year": 2, "move": "bench B"},
            ],
        }
    ]
    shop = make_shop(
        [SAW | {"now": WALL_NOW}], scenarios=scenarios, layouts=[{"name": "sold", "without": ["saw"]}]
    )
    result = compare(Facts(shop, shed().catalog), Wanted(plans=1))
    cell = result.matrix["as it is", "new"]
    assert cell.ranked is not None
    assert cell.present_value_cents == AS_IT_IS * 100 > result.best.present_value_cents
    assert today(cell.ranked) == []
    assert [entry.ranked for entry in result.layouts[:2]] == [cell.ranked, result.best]
    assert gap_words(result, result.layouts[1]) == "355.00 less"


def test_a_machine_that_is_not_where_its_circuit_ends_cannot_stay_so() -> None:
    """The saw stands at bench C, its drop at A; it has a drop made, 355 and 105, and the lathe's stays."""
    saw = SAW | WALL | {"at": "bench C", "now": WALL_NOW | {"place": "bench A"}}
    lathe = SAW | WALL | {"name": "lathe", "at": "bench B", "now": WALL_NOW}
    shop = make_shop([saw, lathe], layouts=[{"name": "sold", "without": ["lathe"]}])
    result = compare(Facts(shop, shed().catalog), Wanted(plans=1))
    cell = result.matrix["as it is", "new"]
    assert (cell.exceptions, cell.present_value_cents) == (("saw",), MOVE_TO_C * 100)
    text = comparison_text(result)
    assert "as it is; saw cannot stay so" in text
    assert '"as it is": saw cannot stay so and has its cheapest way.' in text
    assert comparison_data(result)["layouts"][0]["cannot_stay"] == ["saw"]


@pytest.mark.parametrize(("count", "none"), [(1, "1 has none"), (2, "2 have none")])
def test_the_row_of_what_is_there_says_how_many_machines_have_none(count: int, none: str) -> None:
    """Where a machine has no circuit yet the row is no shop in which nothing is done."""
    shop = make_shop([SAW | {"now": WALL_NOW}, DRILL | {"count": count}])
    result = compare(Facts(shop, shed().catalog), Wanted(plans=1, layouts=False))
    assert f"what is there stays; {none}, by the " in matrix_text(result, 200)
    assert any(f"what is there stays; {none} " in line for line in ways_table(result, 9, 100))


def test_a_shop_where_nothing_is_there_has_nothing_to_leave_as_it_is() -> None:
    result = compare(
        Facts(make_shop([SAW], layouts=[{"name": "elsewhere", "at": {"saw": "bench C"}}]), shed().catalog),
        Wanted(plans=1),
    )
    assert "as it is" not in result.rows
    assert [entry.name for entry in result.layouts] == ["same places", "elsewhere"]


def test_two_machines_that_change_places_cost_nothing_today() -> None:
    """Each finds the outlet it needs; the owner moves both, an hour each, for nothing."""
    ranked = row("they change places").ranked
    assert [(line.what, line.amount_cents) for line in today(ranked)] == [
        ("move a machine within reach", 0)
    ] * 2
    assert ranked is not None
    assert ranked.present_value_cents == MOVE_TO_C * 100
    assert done("they change places") == {"outlets_taken_over": 2}
    assert gap_words(compared(), row("they change places")) == "the same"


def test_what_is_taken_away_leaves_its_outlet_which_is_made_safe() -> None:
    """An hour and a blank cover, 105; the move of the machine that went is dropped, and that is said."""
    entry = row("drill sold")
    assert sorted((line.what, line.amount_cents) for line in today(entry.ranked)) == [
        ("blank cover", 500),
        ("make unused wiring safe", 10000),
    ]
    assert entry.ranked is not None
    assert entry.ranked.present_value_cents == 105_00
    assert done("drill sold") == {"outlets_made_safe": 1}
    (said,) = entry.dropped
    assert said in comparison_text(compared())


def test_what_is_swapped_in_takes_over_the_outlet() -> None:
    assert today(row("cabinet saw instead").ranked) == []
    assert done("cabinet saw instead") == {"outlets_taken_over": 1}


def test_the_whole_comparison_can_be_of_a_layout() -> None:
    facts = shed()
    layout = next(entry for entry in facts.written.layouts if entry.name == "drill sold")
    known = Facts(laid_out(facts.written, layout), facts.catalog)
    result = compare(known, Wanted(plans=2))
    assert result.best.present_value_cents == 105_00
    assert result.layouts == ()
    assert {machine for cell in result.matrix.values() for machine in cell.exceptions} == set()
    data = comparison_data(result)
    assert set(data["plans"][0]["machines"]) == {"saw"}
    assert data["shop"].endswith('layout "drill sold"')
    assert any("is dropped" in words for words in data["warnings"])
    assert "taken away" in kept_text(known, result.best)


# with the prices of `strategies`: every task one hour, electrician 100, owner 20, call-out 50, permit 60 ----------

NOW: Row = {
    "method": "cord",
    "panel": "panel",
    "configuration": "NEMA 6-20",
    "breaker": "20 A",
    "awg": "12",
    "cord": {"length": "40 ft", "awg": "12", "conductors": 3},
}
CORD: Row = {"ways": {"only": ["cord"], "hard_wired": False}}
WALL_NOW: Row = {word: said for word, said in NOW.items() if word != "cord"} | {"method": "wall drop"}
WALL: Row = {"ways": {"only": ["wall drop"], "hard_wired": False}}


def best(layout: Row, machines: list[Row], **more: Any) -> tuple[Facts, Ranked]:
    shop = make_shop(machines, layouts=[{"name": "idea"} | layout], **more)
    facts = Facts(laid_out(shop, shop.layouts[0]), make_catalog(store_offers()))
    return facts, best_plans(Bench.over(facts, facts.shop.money.surplus), 1)[0]


def test_a_cord_of_what_is_taken_away_serves_another_machine() -> None:
    """The planer needs an outlet beside the panel and a cord, and the saw that goes has both to give."""
    saw, planer = SAW | CORD | {"now": NOW}, SAW | CORD | {"name": "planer", "at": "bench B"}
    facts, with_saw = best({"at": {"planer": "bench B"}}, [saw, planer])
    facts, without = best({"without": ["saw"]}, [saw, planer])
    counts = doings(facts, without)
    assert (counts.outlets_taken_over, counts.runs_made, counts.outlets_made_safe) == (1, 0, 0)
    assert (counts.cords_exchanged, counts.cords_bought) == (1, 0)
    assert without.outlay_cents < with_saw.outlay_cents


@pytest.mark.parametrize(
    ("shop_name", "expected"),
    [
        ("s13", {"outlets_taken_over": 2, "receptacles_changed": 2, "breakers_changed": 2}),
        ("s3", {"cords_exchanged": 2}),
        (
            "r5",
            {
                "outlets_taken_over": 2,
                "receptacles_changed": 1,
                "breakers_changed": 1,
                "cords_exchanged": 1,
                "outlets_made_safe": 1,
            },
        ),
    ],
)
def test_what_is_done_to_shops_worked_by_hand(shop_name: str, expected: dict[str, int]) -> None:
    """s13: each of two machines takes over the other's run and wants its own receptacle and breaker there.

    s3: two machines exchange their whole cords and keep their outlets. r5: a drill takes over the run of a saw, puts
    a bought receptacle and its own breaker into it, and makes up its cord of the saw's cable, while its own outlet is made
    safe; the saw takes over an idle outlet.
    """
    shop, _ = load_shop(ROOT / "tests" / "reconfiguration" / "shops" / f"{shop_name}.yaml")
    assert shop is not None
    facts = Facts(shop, shed().catalog)
    plan = best_plans(Bench.over(facts, shop.money.surplus), 1)[0]
    assert {word: count for word, count in doings(facts, plan).counts().items() if count} == expected


def test_no_kit_goes_to_the_shelf_where_a_cord_hangs_from_nothing() -> None:
    """A shop whose recipe for a cord overhead takes nothing has no kit to give when the machine goes."""
    saw, planer = SAW | CORD | {"now": NOW}, SAW | WALL | {"name": "planer", "at": "bench B"}
    shop = make_shop([saw, planer], layouts=[{"name": "sold", "without": ["saw"]}])
    for recipe, kits in (({}, 0), ({"parts": [{"kind": "overhead kit"}]}, 1)):
        catalog = make_catalog(recipes={"overhead cord": recipe})
        facts = Facts(laid_out(shop, shop.layouts[0]), catalog)
        plan = best_plans(Bench.over(facts, facts.shop.money.surplus), 1)[0]
        assert sum(step.kind == "kit" for step in plan.steps) == kits


def test_an_outlet_that_stays_live_is_not_made_safe() -> None:
    saw = SAW | WALL | {"now": WALL_NOW}
    building = {"patching": False, "make_safe": False}
    _, plan = best(
        {"without": ["saw"]}, [saw, SAW | WALL | {"name": "planer", "now": WALL_NOW}], building=building
    )
    assert plan.lines == ()


def test_the_poles_of_what_is_taken_away_are_free_for_what_comes() -> None:
    """A panel without a free space takes the new machine where the old one went, and only there."""
    full = [
        {
            "name": "panel",
            "system": "120/240 single-phase",
            "breakers": "family A",
            "spaces_free": 0,
        }
    ]
    saw = SAW | WALL | {"now": WALL_NOW}
    comes = SAW | WALL | {"name": "planer", "at": "bench C"}
    facts, plan = best({"without": ["saw"], "brought": [comes]}, [saw], panels=full)
    counts = doings(facts, plan)
    assert (counts.runs_made, counts.outlets_made_safe) == (1, 1)


def test_a_layout_without_a_plan_says_why_and_the_others_stand() -> None:
    full = [
        {
            "name": "panel",
            "system": "120/240 single-phase",
            "breakers": "family A",
            "spaces_free": 0,
        }
    ]
    saw = SAW | WALL | {"now": WALL_NOW}
    comes = SAW | WALL | {"name": "planer", "at": "bench C"}
    layouts = [{"name": "one more", "brought": [comes]}, {"name": "sold", "without": ["saw"]}]
    shop: Shop = make_shop([saw], panels=full, layouts=layouts)
    result = compare(Facts(shop, make_catalog(store_offers())), Wanted(plans=1))
    assert [entry.ranked is None for entry in result.layouts] == [False, False, True, False]
    assert "panel" in result.layouts[2].why_not
    assert result.layouts[2].why_not in comparison_text(result).replace("\n", " ")
    assert comparison_data(result)["layouts"][2]["reason"] == result.layouts[2].why_not


@pytest.mark.parametrize("method", ["cord", "wall drop"])
def test_holding_holds_layouts_too(method: str) -> None:
    shop = make_shop([SAW], layouts=[{"name": "idea", "at": {"saw": "bench B"}}])
    result = compare(Facts(shop, make_catalog(store_offers())), Wanted(plans=1, held={"saw": method}))
    ranked = result.layouts[1].ranked
    assert ranked is not None
    assert {way.group for way in ranked.plan.ways["saw"]} == {method}


def test_quoted_ways_that_are_there_move_and_go_too() -> None:
    """An outlet by quote, there today: 300 at a new spot, nothing for going, since it is left to whoever comes."""
    quote = {"name": "drop", "method": "wall drop", "put_in": {"money": 300}, "there_today": True}
    along = quote | {"move": {"money": 40}}
    pair = [{"name": name, "at": place} for name, place in (("press", "bench A"), ("punch", "bench B"))]
    for way, layout, cents in (
        (quote, {"at": {"press": "bench C"}}, 300_00),
        (quote, {"at": {"press": "bench B", "punch": "bench A"}}, 0),
        (quote, {"without": ["punch"]}, 0),
        (quote, {"without": ["punch"], "at": {"press": "bench B"}}, 0),
        (along, {"at": {"press": "bench C"}}, 40_00),
    ):
        _, plan = best(layout, pair, quoted_ways=[way])
        assert plan.present_value_cents == cents, layout
