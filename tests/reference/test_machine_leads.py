"""What leads from a machine that came without a cord to the plug it is given, worked by hand.

NFPA 70 400.5(A): 12 AWG carries 25 A over two wires, 10 AWG 30 A; 400.14: a grip holds it where it goes in; from memory. That
such a lead is 6 ft long is common practice, no source; jackets are typical, prices invented. Two cases:

- A 240 V saw of 16 A, bare: 20 A circuit, 6 ft of 12/3 SOOW at 2.00 = 12.00, grip C for 0.60 in at 6.00, an hour at 20.00:
  38.00, less the 40 % of 12.00 that the cord still fetches: 33.20.
- Retooled in year 1 from 16 A to 24 A: 30 A circuit, another plug and 6 ft of 10/3, grip D.
"""

from typing import Any

import pytest
from strategies import make_shop, ranked
from test_cord_grips import INTO, SAW, shop_of
from test_cord_grips import catalog as with_grips

from costplan.circuits.facts import Facts
from costplan.circuits.own_cord import without_cord
from costplan.model.catalog import Catalog, Recipe
from costplan.program.ranked import Ranked
from costplan.reports.noted import noted
from costplan.reports.remarks import Topic

Row = dict[str, Any]
LEAD: Row = {"machine lead": {"extra": 6, "parts": [{"kind": "cord grip"}], "tasks": [{"task": "wire-plug"}]}}
BARE: Row = SAW | {"ways": {"only": ["wall drop"], "hard_wired": False}}


def catalog(*, lead: bool = True) -> Catalog:
    """The store with both cords and the grips; no cord may be wired in from the panel."""
    base = with_grips(["12/3 SOOW", "10/3 SOOW"])
    recipes = {name: recipe for name, recipe in base.recipes.items() if name not in INTO}
    if lead:
        recipes |= {name: Recipe.model_validate(recipe) for name, recipe in LEAD.items()}
    return base.model_copy(update={"recipes": recipes})


def best(machine: Row, *, lead: bool = True) -> Ranked:
    return ranked(shop_of(machine), catalog(lead=lead))[0]


def test_a_bare_machine_gets_the_lead_to_its_plug() -> None:
    """Hand case 1."""
    with_lead, without = best(BARE), best(BARE, lead=False)
    assert with_lead.present_value_cents - without.present_value_cents == 1200 + 600 + 2000 - 480
    assert {line.what for line in with_lead.lines} >= {"cord 12/3 SOOW, 6 ft", "grip C"}


@pytest.mark.parametrize(
    "said",
    [
        {"plug": "NEMA 6-20"},
        {"cord": {"awg": "12", "length": 8}},
        {"own_cord": 8},
        {
            "now": {
                "method": "wall drop",
                "panel": "panel",
                "breaker": 20,
                "awg": "12",
                "configuration": "NEMA 6-20",
            }
        },
        {"ways": {"only": ["wall drop"], "hard_wired": True}},
    ],
)
def test_a_machine_with_a_cord_or_none_to_plug_in_gets_none(said: Row) -> None:
    with_lead, without = (best(BARE | said, lead=lead) for lead in (True, False))
    assert with_lead.present_value_cents == without.present_value_cents


def test_no_length_is_no_cord() -> None:
    shop = shop_of(BARE | {"own_cord": 0})
    assert without_cord(shop.machines[0], hard_wired=False)


@pytest.mark.parametrize("method", ["cord", "ceiling outlet"])
def test_it_plugs_into_a_cord_or_pendant_with_one_as_well(method: str) -> None:
    shop = shop_of(SAW | {"ways": {"only": [method], "hard_wired": False}})
    if method == "ceiling outlet":
        forbid = {name: why for name, why in shop.building.forbid.items() if name != method}
        shop = shop.model_copy(update={"building": shop.building.model_copy(update={"forbid": forbid})})
    lines = {line.what for line in ranked(shop, catalog())[0].lines}
    assert "cord 12/3 SOOW, 6 ft" in lines


def test_a_longer_machine_cord_is_its_own_lead() -> None:
    """The recipe of a cord into the machine has it; one grip, and no second cord."""
    shop = shop_of(BARE)
    cords = shop.cords.model_copy(update={"slack_ft": [20]})
    plan = ranked(shop.model_copy(update={"cords": cords}), catalog())[0]
    assert sum(line.what.startswith("cord 12/3") and line.amount_cents > 0 for line in plan.lines) == 1


def test_a_larger_plug_later_takes_a_lead_that_carries_it() -> None:
    """Hand case 2."""
    events = [{"year": 1, "machine": "saw", "retool": {"volts": 240, "amps": 24}}]
    cords: Row = {"slack": [0], "families": ["straight"], "spare_conductor": False, "service": ["hard"]}
    shop = make_shop([BARE], cords=cords, scenarios=[{"name": "grows", "weight": 1, "events": events}])
    lines = {(line.year, line.what) for line in ranked(shop, catalog())[0].lines}
    assert lines >= {(0, "cord 12/3 SOOW, 6 ft"), (1, "cord 10/3 SOOW, 6 ft"), (0, "grip C"), (1, "grip D")}


def test_it_is_asked_about_beside_the_machine() -> None:
    shop = shop_of(BARE)
    for lead, words in ((True, "; 6 ft of it are priced in case it has none: USD 38.00"), (False, "")):
        facts = Facts(shop, catalog(lead=lead))
        found = noted(facts, ranked(shop, facts.catalog)[0])
        (about,) = [about for entry in found if entry.topic is Topic.OWN_CORD for about in entry.about]
        assert about.endswith(f"plug NEMA 6-20 behind 20 A: 12 AWG or thicker{words})")
