"""What leads on from the disconnect of a hard-wired heater, and what a disconnect takes at a run that stays; by hand.

Amperes by NFPA 70 424.4(B) and 210.20(A) as continuous load, 125 %; wire by Table 310.16 at 60 C (110.14(C)). That wires of
the circuit's size lead on from the disconnect, that a disconnect has its own enclosure, and that labels stand at the panel's
directory and at the outlet is common practice, no source.
"""

from collections import Counter
from decimal import Decimal
from typing import Any

import pytest
from shipped_shops import demo_catalog
from strategies import make_catalog, make_shop, ranked

from costplan.checks.check_effects import _unused
from costplan.circuits.circuit import Builder, Circuit, Standing
from costplan.circuits.facts import Facts
from costplan.circuits.needs import AS_USUAL, Bundle
from costplan.circuits.ways import Way, load_of
from costplan.model.catalog import HEATER_LEAD, Catalog, Recipe
from costplan.model.choices import Family, Method
from costplan.reports.circuits import circuits_today
from costplan.reports.noted_machine import ByWay
from costplan.reports.noted_ways import NO_LEAD, way_topics
from costplan.reports.remarks import Topic

Row = dict[str, Any]

KILN: Row = {"volts": 240, "amps": 36, "load": "heater", "continuous": True, "never_moves": True}
PRESS: Row = {"volts": 240, "hp": 5}
HARD_WIRED = Way(Method.CONDUIT, "panel", None)


def builder(machine: Row, way: Way = HARD_WIRED, catalog: Catalog | None = None) -> Builder:
    shop = make_shop(
        [{"name": "it", "at": "bench A"} | machine | {"ways": {"hard_wired": True}}],
        building={"patching": False, "construction": "type V", "finished_walls": True},
        code={"edition": 2020, "occupancy": "commercial", "ground_fault_place": False},
    )
    return Builder(Facts(shop, catalog or demo_catalog()), shop.machines[0], way)


def built(made: Builder) -> Circuit:
    return made.build(Standing(0, "bench A", load_of(made.machine), 0, Decimal(1), "today"))


def parts(bundle: Bundle) -> Counter[str]:
    found: Counter[str] = Counter()
    for need in bundle.needs:
        found[need.spec.kind] += need.quantity
    return found


def tasks(bundle: Bundle) -> set[str]:
    return {work.task for work in bundle.work}


def test_a_hard_wired_heater_has_its_lead_in_armored_cable_of_its_circuit() -> None:
    """36 A x 1.25 = 45 A: 50 A breaker, 6 AWG (55 A at 60 C; 8 AWG has 40 A), and 6 ft of such with a connector at each end."""
    bought = built(builder(KILN)).outlet.bought
    (lead,) = [need for need in bought.needs if need.spec.kind == "armored cable"]
    assert (lead.quantity, lead.length_ft) == (1, 6)
    assert "awg at least 6" in lead.spec.describe()
    assert parts(bought)["armored cable connector"] == 2
    assert "connect-heater" in tasks(bought)


@pytest.mark.parametrize("machine", [PRESS, {"volts": 240, "amps": 20}])
@pytest.mark.parametrize(
    ("said", "feet"),
    [
        ({}, [6]),
        ({"own_cord": 8}, []),
        ({"cord": {"awg": "10"}}, []),
        ({"now": {"method": "conduit drop", "panel": "panel", "breaker": 30, "awg": "10"}}, []),
    ],
)
def test_another_machine_has_a_lead_where_it_came_without_one(
    machine: Row, said: Row, feet: list[int]
) -> None:
    """One that has a cord, or is hard-wired today, brings what leads on."""
    bought = built(builder(machine | said)).outlet.bought
    assert [need.length_ft for need in bought.needs if need.spec.kind == "armored cable"] == feet
    assert ("connect-machine" in tasks(bought)) is bool(feet)
    assert "connect-heater" not in tasks(bought)


def test_a_heater_on_a_plug_has_a_cord_and_no_lead() -> None:
    way = Way(Method.CONDUIT, "panel", Family.STRAIGHT)
    assert not parts(built(builder(KILN | {"amps": 16}, way)).outlet.bought)["armored cable"]


def test_a_disconnect_at_a_run_that_stays_is_mounted_as_at_a_new_one() -> None:
    """Not the work of changing a receptacle, and no raised cover; the lead of a heater is in it."""
    made = builder(KILN)
    circuit = built(made)
    changed = made.changed_receptacle(
        circuit.size, circuit.supplied.load, circuit.receptacle, circuit.fuses, AS_USUAL
    ).bought
    assert tasks(changed) == {"mount-disconnect", "connect-heater"}
    assert parts(changed)["device cover"] == 0
    assert parts(changed)["disconnect"] == 1
    assert [need.length_ft for need in changed.needs if need.spec.kind == "armored cable"] == [6]


def test_a_lead_costs_its_cable_its_connectors_and_its_hour() -> None:
    """6 ft of armored cable and an hour of an electrician at 100.00, which the same shop without that recipe does not pay."""
    ways = {"only": ["wall drop"], "hard_wired": True}
    shop = make_shop([{"name": "oven", "at": "bench A", "ways": ways} | KILN | {"amps": 16}])
    lead = {HEATER_LEAD: {"extra": "6 ft", "tasks": [{"task": "set-outlet"}]}}
    with_lead, without = (ranked(shop, make_catalog(recipes=recipes))[0] for recipes in (lead, {}))
    prices = {offer.part: offer.price_cents for offer in make_catalog().offers}
    (row,) = circuits_today(Facts(shop, make_catalog(recipes=lead)), with_lead)
    assert row.cord == "then 6 ft of armored cable to the heater, or its maker's lead"
    (bare,) = circuits_today(Facts(shop, make_catalog()), without)
    assert bare.cord == ""
    assert with_lead.present_value_cents - without.present_value_cents == 6 * prices["mc-12-2"] + 100_00


def test_a_quoted_lead_brings_its_cable() -> None:
    quoted = Recipe.model_validate({"quote": {"per_run": "60.00"}})
    known = demo_catalog().model_copy(update={"recipes": demo_catalog().recipes | {HEATER_LEAD: quoted}})
    bought = built(builder(KILN, catalog=known)).outlet.bought
    assert not parts(bought)["armored cable"]
    assert [charge.amount_cents for charge in bought.charges] == [6000]


def test_the_demo_s_lead_is_a_figure_with_an_effect() -> None:
    assert not list(_unused(HEATER_LEAD, demo_catalog().recipes[HEATER_LEAD]))


def test_the_lead_is_asked_about_and_said_where_it_is_in_no_price() -> None:
    made = builder(KILN)
    assert (Topic.LEAD_OF_HEATER, "") in list(
        way_topics(ByWay(made.facts, made.machine, made.way, built(made)))
    )
    recipes = {name: each for name, each in demo_catalog().recipes.items() if name != HEATER_LEAD}
    bare = builder(KILN, catalog=demo_catalog().model_copy(update={"recipes": recipes}))
    assert (Topic.LEAD_OF_HEATER, NO_LEAD) in list(
        way_topics(ByWay(bare.facts, bare.machine, bare.way, built(bare)))
    )
    assert Topic.LEAD_OF_HEATER not in dict(
        way_topics(ByWay(made.facts, builder(PRESS).machine, HARD_WIRED, built(builder(PRESS))))
    )


# labels and covers of the demo ----------------------------------------------------------------------


def kinds(*recipes: str) -> Counter[str]:
    found: Counter[str] = Counter()
    for name in recipes:
        recipe: Recipe = demo_catalog().recipes[name]
        for part in recipe.parts:
            found[part.kind] += int(part.quantity)
    return found


@pytest.mark.parametrize("run", ["wall drop", "conduit drop", "armored drop", "ceiling outlet"])
@pytest.mark.parametrize("end", ["receptacle", "disconnect"])
@pytest.mark.parametrize("breaker", ["breaker", "ground-fault breaker"])
def test_a_circuit_has_a_label_in_the_directory_and_one_at_its_outlet(
    run: str, end: str, breaker: str
) -> None:
    assert kinds(run, end, breaker)["label"] == 2


def test_a_switch_at_a_machine_is_no_circuit_and_a_tandem_breaker_moves_two() -> None:
    assert kinds("machine switch")["label"] == 0
    assert kinds("tandem breaker")["label"] == 2


def test_a_receptacle_has_its_box_and_its_raised_cover_and_a_disconnect_neither() -> None:
    assert (kinds("receptacle")["outlet box"], kinds("receptacle")["device cover"]) == (1, 1)
    assert not {"outlet box", "device cover", "blank cover"} & set(kinds("disconnect"))
    assert kinds("change receptacle")["device cover"] == 1
    covers = {part.name for part in demo_catalog().parts if part.kind == "device cover"}
    plain = {name for name in covers if name.startswith("raised cover")}
    assert plain
    assert all("weatherproof" in name for name in covers - plain)
