"""What must hold of machines that move and of machines alike, whatever wears and whatever it costs.

Prices, lives and hours are drawn, all invented; what must hold is common sense, no source.
`--hypothesis-profile=fresh` draws so many shops instead of a few.
"""

from typing import Any

from hypothesis import assume, given, settings
from hypothesis import strategies as st
from soak import examples
from strategies import (
    LASTING,
    LIVES,
    MOVED_ALONG,
    SAW,
    UNSALABLE,
    lasting_situations,
    make_catalog,
    make_shop,
    move,
    offer,
    scenario,
    with_lives,
)

from costplan.circuits.facts import Facts
from costplan.model.catalog import Catalog
from costplan.model.choices import Method, SurplusRule
from costplan.model.shop import Shop
from costplan.program.bench import Bench
from costplan.program.ranked import NoPlanError
from costplan.program.ranking import best_plans

Row = dict[str, Any]
FEW = settings(max_examples=examples(15))


def total(shop: Shop, catalog: Catalog, method: Method | None = None) -> int | None:
    """What the best plan costs, every machine held to a method; None when there is no plan."""
    bench = Bench.over(Facts(shop, catalog), SurplusRule.ALLOWED)

    try:
        return best_plans(bench, 1, allowed=lambda option: method in (None, option.way.method))[
            0
        ].present_value_cents
    except NoPlanError:
        return None


@st.composite
def worn_and_moved(draw: st.DrawFn) -> tuple[Row, Row, Row]:
    """Arguments of `make_shop` and `make_catalog`, and one move more, to a place where the machine never was."""
    places = ["bench A", "bench C", "bench D"]
    moves = draw(
        st.lists(st.builds(move, st.integers(1, 4), st.just("saw"), st.sampled_from(places)), max_size=3)
    )
    catalog: Row = {"kinds": with_lives(UNSALABLE, draw(st.sampled_from(LIVES))), "recipes": {}}
    catalog["recipes"] |= {"renew outlet box": {"tasks": [{"task": "change-device"}]}}
    if draw(st.booleans()):
        catalog["more_parts"] = LASTING
        catalog["more_offers"] = [
            offer("plug-lasting", "store", 30),
            offer("receptacle-lasting", "store", draw(st.sampled_from([12, 90]))),
            offer("cord-lasting", "store", draw(st.sampled_from(["1.50", "4"])), "ft"),
        ]
    if draw(st.booleans()):
        catalog["recipes"] |= {"move wall drop": draw(st.sampled_from(MOVED_ALONG))}
    shop: Row = {
        "machines": [SAW],
        "scenarios": [scenario(*moves)],
        "years": draw(st.integers(3, 6)),
        "money": {"discount_rate": draw(st.sampled_from(["0 %", "3 %"]))},
        "hired_visits": draw(st.sampled_from(["one a year", "each move"])),
    }
    return shop, catalog, move(draw(st.integers(1, 4)), "saw", "bench E")


@FEW
@given(worn_and_moved(), st.sampled_from([Method.CORD, Method.WALL]))
def test_one_move_more_never_lowers_the_total(situation: tuple[Row, Row, Row], method: Method) -> None:
    """A move to where it was before, or goes later, could spare a visit of that later move."""
    shop, arguments, more = situation
    catalog = make_catalog(**arguments)
    events = [*shop["scenarios"][0]["events"], more]

    before = total(make_shop(**shop), catalog, method)
    after = total(make_shop(**shop | {"scenarios": [scenario(*events)]}), catalog, method)

    assert before is not None
    assert after is not None
    assert after >= before


def one_by_one(shop: Row) -> Row:
    """The shop with the machines of every group written out, and what happens to the first of them to each."""
    names = {
        machine["name"]: [f"{machine['name']} {number}" for number in range(1, machine.get("count", 1) + 1)]
        for machine in shop["machines"]
    }
    machines = [
        {key: value for key, value in machine.items() if key != "count"} | {"name": name}
        for machine in shop["machines"]
        for name in names[machine["name"]]
    ]
    scenarios = [
        found
        | {
            "events": [
                {key: value for key, value in event.items() if key != "how_many"}
                | ({"machine": name} if name else {})
                for event in found["events"]
                for name in (
                    names[event["machine"]][: event.get("how_many")] if "machine" in event else [None]
                )
            ]
        }
        for found in shop["scenarios"]
    ]
    return shop | {"machines": machines, "scenarios": scenarios}


@FEW
@given(lasting_situations())
def test_a_group_costs_what_its_machines_cost_written_one_by_one(situation: tuple[Row, Row]) -> None:
    shop, arguments = situation
    assume(any(machine.get("count", 1) > 1 for machine in shop["machines"]))
    catalog = make_catalog(**arguments)

    assert total(make_shop(**shop), catalog) == total(make_shop(**one_by_one(shop)), catalog)


def test_a_visit_of_its_own_in_which_nothing_stands_still_is_none_that_stops_the_shop() -> None:
    """Drawn once: cords are carried along in a trip of their own, while only work in the panel stops the shop."""
    saw = SAW | {"count": 2, "ways": {"hard_wired": False, "only": ["cord"]}}
    shop = {
        "machines": [saw],
        "scenarios": [scenario(move(1, "saw", "bench C"))],
        "years": 5,
        "money": {"discount_rate": "0 %", "shop_hour": 7},
        "hired_visits": "each move",
    }
    catalog = make_catalog(stops={"land-in-panel": "0.25"})
    assert total(make_shop(**shop), catalog) == total(make_shop(**one_by_one(shop)), catalog) is not None
