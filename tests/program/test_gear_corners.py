"""What shared gear got wrong once, each as the smallest shop that shows it.

What is marked is wrong still, and strictly so, that a mend is noticed.
"""

import pytest
from second_opinion import SecondOpinion
from strategies import (
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
from costplan.circuits.shared_gear import candidate
from costplan.model.catalog import Catalog
from costplan.model.choices import SurplusRule
from costplan.model.shop import Shop
from costplan.program.bench import Bench
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans

OVEN = {"name": "oven", "at": "bench A", "volts": 240, "amps": 16, "load": "heater"} | WALL_ONLY
ROOM = PANEL | {"spaces_free": 12}


def bench(shop: Shop, catalog: Catalog | None = None) -> Bench:
    return Bench.over(Facts(shop, catalog or make_catalog(**with_gear())), SurplusRule.ALLOWED)


def best(shop: Shop, catalog: Catalog | None = None) -> Ranked:
    return best_plans(bench(shop, catalog), 1)[0]


def agrees(shop: Shop, catalog: Catalog | None = None) -> bool:
    found = bench(shop, catalog)
    return best(shop, catalog).present_value_cents == min(
        SecondOpinion(found, SurplusRule.ALLOWED).by_plan().values()
    )


def test_a_load_manager_is_there_in_every_scenario_that_needs_it() -> None:
    saw = SAW | WALL_ONLY
    lathe = saw | {"name": "lathe", "at": "bench E"}
    come = {"year": 2, "machine": "lathe", "arrives": "bench E"}
    shop = make_gear_shop(
        [saw, lathe],
        ("manager",),
        gear_changes={"manager": {"machines": ["saw", "lathe"], "holds_to": 16}},
        service={"amps": 25},
        money={"discount_rate": "4 %"},
        scenarios=[
            scenario(come, name="one", weight="0.5"),
            scenario(come, name="two", weight="0.5"),
        ],
    )
    assert agrees(shop)
    assert {entry.scenario for entry in best(shop).plan.gear} == {"one", "two"}


def test_turn_takers_on_different_panels_share_no_breaker() -> None:
    turns = {"takes_turns": "by hand"}
    saw, lathe = SAW | WALL_ONLY | turns, SAW | WALL_ONLY | turns | {"name": "lathe", "at": "bench B"}
    shop = make_gear_shop(
        [saw, lathe],
        (),
        panels=[PANEL | {"spaces_free": 2}, PANEL | {"name": "second", "spaces_free": 2}],
        routes=[
            {"from": panel, "to": place, "fixed": ft, "cord": ft}
            for panel, feet in (
                ("panel", {"bench A": 3, "bench B": 90}),
                ("second", {"bench A": 90, "bench B": 3}),
            )
            for place, ft in feet.items()
        ]
        + [{"from": "bench A", "to": "bench B", "cord": 20}],
    )
    assert agrees(shop)


def test_turn_takers_of_both_kinds_are_held_to_the_service() -> None:
    turns = {"takes_turns": "by hand"}
    # 3,840 VA and a quarter are 20 A; the oven's 1 A waits its turn
    for amps, gear in ((19, {"upgrade"}), (20, set())):
        shop = make_gear_shop(
            [SAW | WALL_ONLY | turns, OVEN | {"amps": 1, "breaker": 20} | turns],
            ("upgrade",),
            service={"amps": amps},
        )
        assert agrees(shop)
        assert best(shop).plan.gear_names == gear


def test_a_turn_taking_motor_alone_on_its_panel_counts_once() -> None:
    turns = {"takes_turns": "by hand"}
    feet = {"big": {"bench A": 3, "bench C": 60}, "panel": {"bench A": 60, "bench C": 3}}
    shop = make_gear_shop(
        # 3,840 VA and a quarter are 20 A; the oven, with which it takes turns, hangs elsewhere
        [SAW | WALL_ONLY | turns | {"at": "bench C"}, OVEN | turns],
        (),
        panels=[PANEL | {"rating": 22, "fed_from": "big"}, PANEL | {"name": "big"}],
        routes=[
            {"from": panel, "to": place, "fixed": ft, "cord": ft}
            for panel, row in feet.items()
            for place, ft in row.items()
        ],
    )
    found = best(shop)
    assert {name: way.panel for name, way, _ in found.plan.shares()} == {"saw": "panel", "oven": "big"}


def test_nothing_added_to_a_full_service_is_no_overload() -> None:
    shop = make_gear_shop(
        [SAW | WALL_ONLY | {"in_measured_peak": True}],
        (),
        service={"amps": 100, "measured_peak": {"amps": 85, "seen": "2026-10-01", "days": 30}},
    )
    assert agrees(shop)


def test_a_converter_idles_on_a_full_service() -> None:
    shop = make_gear_shop(
        [MILL | WALL_ONLY | {"in_measured_peak": True}],
        ("converter",),
        service={"amps": 100, "measured_peak": {"amps": 79, "seen": "2026-10-01", "days": 30}},
    )
    assert agrees(shop, make_catalog(**with_gear(prices={"drive-3": 9000, "motor-3": 9000})))


def test_a_converter_fed_from_the_service_idles_on_it() -> None:
    shop = make_gear_shop(
        # 3,990 VA through the converter at 90 %, a quarter more, and 400 VA idle: 5,943
        [MILL | WALL_ONLY],
        ("converter",),
        gear_changes={"converter": {"fed_from": "service"}},
        service={"amps": 24},
    )
    assert agrees(shop, make_catalog(**with_gear(prices={"drive-3": 9000, "motor-3": 9000})))


def test_two_managers_hold_a_machine_back_once() -> None:
    held = {"machines": ["saw"], "holds_to": 2}
    shop = make_gear_shop(
        [SAW | WALL_ONLY, OVEN],
        ("manager",),
        service={"amps": 16},
        gear=[
            {"name": name, "kind": "load manager", "part": "manager-60", **held} for name in ("one", "two")
        ],
    )
    # the oven alone fills the 16 A; the saw's 2 A come on top
    with pytest.raises(NoPlanError):
        best(shop)


def test_what_a_service_lacks_is_said_in_full() -> None:
    with pytest.raises(NoPlanError) as caught:
        best(make_gear_shop([SAW | WALL_ONLY], (), service={"amps": 10}))
    # 16 A and a quarter of the motor, less 10 A
    over = "10.0 A over 10.0 A on the wire that carries most, 0.0 A of which are taken already"
    assert over in str(caught.value)


@pytest.mark.parametrize(("rating", "said"), [(10, ["panel and on service"]), (12, ["panel", "service"])])
def test_the_same_overload_is_said_once(rating: int, said: list[str]) -> None:
    """A panel alone on its service, of the same rating, is over by the same; one of 12 A by 2 A less."""
    with pytest.raises(NoPlanError) as caught:
        best(make_gear_shop([SAW | WALL_ONLY], (), panels=[PANEL | {"rating": rating}], service={"amps": 10}))
    assert [reason.split(": ")[0] for reason in caught.value.reasons] == [
        f"too much load on {on}" for on in said
    ]


def test_a_service_far_too_small_is_explained() -> None:
    ovens = [OVEN | {"name": f"oven {i}"} for i in range(4)]
    with pytest.raises(NoPlanError, match="service"):
        best(make_gear_shop(ovens, (), service={"amps": 10}))


QUOTED = {"quote": 800}
PAIRED = PANEL | {"tandems": 2, "one_pole_circuits": [one_pole(4)]}


@pytest.mark.parametrize("name", ["subpanel", "converter", "utility", "upgrade", "manager", "tandems"])
def test_quoted_gear_needs_no_recipe(name: str) -> None:
    arguments = with_gear()
    arguments["recipes"] = {}
    facts = Facts(
        make_gear_shop([MILL], (name,), gear_changes={name: QUOTED}, service={"amps": 100}, panels=[PAIRED]),
        make_catalog(**arguments),
    )
    assert candidate(facts, facts.shop.gear[0]).bundle.charges[0].amount_cents == 80000


def test_what_is_installed_needs_no_offers() -> None:
    arguments = with_gear()
    arguments["more_offers"] = [
        row for row in arguments["more_offers"] if row["part"] not in ("converter-5", "panel-3")
    ]
    shop = make_gear_shop([MILL | WALL_ONLY], ("converter",), gear_changes={"converter": {"installed": True}})
    assert bench(shop, make_catalog(**arguments)).priced_survey.gear_out == {}


def test_installed_gear_without_offers_costs_the_same_in_program_and_walk() -> None:
    arguments = with_gear()
    arguments["more_offers"] = [row for row in arguments["more_offers"] if row["part"] != "panel-3"]
    shop = make_gear_shop(
        [SAW | WALL_ONLY],
        ("converter",),
        gear_changes={"converter": {"installed": True}},
        money={"electricity_per_kwh": "0.20"},
    )
    # 400 W for 200 h at 0.20 are 16.00 a year, whoever uses it
    assert best(shop, make_catalog(**arguments)).present_value_cents > 0


def test_the_order_of_gear_does_not_matter() -> None:
    entries = [
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
    shops = [make_gear_shop([MILL | WALL_ONLY], (), gear=entries[::order]) for order in (1, -1)]
    far, other = (Facts(shop, make_catalog(**with_gear())).panels["far"] for shop in shops)
    assert far == other


def test_a_panel_fed_from_the_service_has_its_volts() -> None:
    shop = make_gear_shop(
        [MILL | WALL_ONLY], ("second main",), service={"amps": 100, "system": "240 three-phase"}
    )
    assert Facts(shop, make_catalog(**with_gear())).panels["second main"].system.value == "240 three-phase"


def test_a_panel_fed_from_the_service_carries_only_its_rating() -> None:
    with pytest.raises(NoPlanError):
        best(make_gear_shop([SAW | WALL_ONLY], (), panels=[PANEL | {"rating": 10}]))


def test_a_retooled_machine_adds_what_it_draws_more() -> None:
    shop = make_gear_shop(
        # 35 A of 40 are taken by 125 % of the peak; from 16 to 24 A takes 8, and a quarter
        [SAW | WALL_ONLY | {"in_measured_peak": True}],
        ("upgrade",),
        service={"amps": 40, "measured_peak": {"amps": 28, "seen": "2026-10-01", "days": 30}},
        scenarios=[scenario({"year": 2, "machine": "saw", "retool": {"volts": 240, "amps": 24}})],
    )
    assert best(shop).plan.gear_names == {"upgrade"}
