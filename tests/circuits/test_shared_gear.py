"""What each piece of gear is made of, costs to run, and takes of other panels; figures worked by hand."""

from decimal import Decimal
from typing import Any

import pytest
from strategies import (
    GEAR_KINDS,
    KINDS,
    MILL,
    PANEL,
    make_catalog,
    make_gear_shop,
    one_pole,
    with_gear,
)

from costplan.circuits.facts import Facts
from costplan.circuits.needs import NOTHING
from costplan.circuits.shared_gear import Candidate, candidate, feeder_load
from costplan.circuits.size_types import CannotSizeError
from costplan.model.catalog import Catalog
from costplan.model.routes import NoRouteError

ROOM = PANEL | {"tandems": 3, "one_pole_circuits": [one_pole(5)]}
RUN = {"feeder": {"extra": 2, "waste": "10 %", "tasks": [{"task": "foot-of-cable", "per": "ft"}]}}
"""A feeder of conduit and wire instead of a quote."""


def made(name: str, catalog: Catalog | None = None, **changes: Any) -> Candidate:
    more = changes.pop("shop", {})
    shop = make_gear_shop(
        [MILL],
        (name,),
        **{
            "gear_changes": {name: changes},
            "panels": [ROOM],
            "service": {"amps": 100},
            "money": {"electricity_per_kwh": "0.20"},
        }
        | more,
    )
    facts = Facts(shop, catalog or make_catalog(**with_gear()))
    return candidate(facts, facts.shop.gear[0])


def parts(found: Candidate) -> dict[str, int]:
    return {need.spec.kind: need.quantity for need in found.bundle.needs}


def money(found: Candidate) -> dict[str, Decimal]:
    return {charge.what: charge.amount_cents for charge in found.bundle.charges}


def test_a_subpanel() -> None:
    """60 A by a feeder of 35 ft at 4 a foot and 90, from two poles of the panel above."""
    found = made("subpanel")
    assert parts(found) == {"panel": 1, "breaker": 1}
    assert money(found) == {"quoted work": 23000}
    breaker = next(need for need in found.bundle.needs if need.spec.kind == "breaker").spec
    assert dict(breaker.equal) == {"family": "family A", "ground_fault": "false", "poles": "2"}
    assert dict(breaker.at_least) == {"rating_a": 60, "volts": 240}
    assert (found.spaces, found.feeder_ft, found.above) == ({"panel": 2}, 35, "panel")
    assert (found.yearly, found.renewed, found.idle_va, found.life_years) == (NOTHING, NOTHING, 0, None)
    assert {work.task: work.quantity for work in found.bundle.work} == {"land-in-panel": 1, "set-outlet": 1}


def test_a_subpanel_of_three_phases_takes_three_poles() -> None:
    delta = ROOM | {"system": "240 three-phase"}
    assert made("subpanel", panel_part="panel-3", shop={"panels": [delta]}).spaces == {"panel": 3}


def test_a_second_main_panel_has_no_breaker_above_it() -> None:
    found = made("second main")
    assert parts(found) == {"panel": 1}
    assert (found.spaces, found.feeder_ft, found.above) == ({}, 0, None)
    assert money(found) == {"quoted work": 9000}


def test_a_feeder_is_pulled_in_conduit() -> None:
    """60 A: 4 AWG copper at 60 degrees C, 70 A (NFPA 70 table 310.16, 110.14(C)), with neutral; ground 10 AWG (250.122)."""
    found = made("subpanel", make_catalog(**with_gear(**RUN)))
    # 35 ft and 2 ft, a tenth more: 40.7
    assert found.feeder_ft == 41
    assert [
        (need.spec.kind, need.quantity) for need in found.bundle.needs if need.spec.kind != "building wire"
    ] == [
        ("panel", 1),
        ("conduit", 41),
        ("breaker", 1),
    ]
    wires = [need for need in found.bundle.needs if need.spec.kind == "building wire"]
    assert [(need.spec.describe(), need.quantity) for need in wires] == [
        ("building wire, awg 4", 3 * 41),
        ("building wire, awg 10", 41),
    ]
    assert {work.task: work.quantity for work in found.bundle.work}["foot-of-cable"] == 35


def test_a_converter() -> None:
    """40 A in: conductors and breaker at 125 %, 50 A (NFPA 70 455.6, 455.7), a disconnect at 115 % (455.8(C))."""
    found = made("converter")
    assert parts(found) == {"phase converter": 1, "panel": 1, "disconnect": 1, "breaker": 1}
    specs = {need.spec.kind: need.spec for need in found.bundle.needs}
    assert dict(specs["breaker"].at_least) == {"rating_a": 50, "volts": 240}
    assert dict(specs["disconnect"].at_least) == {"rating_a": 46, "poles": 2, "volts": 240}
    assert (found.spaces, found.idle_va) == ({"panel": 2}, 400)


def test_a_converter_idles() -> None:
    """400 W for 200 h at 0.20 a kWh: 16.00 a year; nothing when it is never on."""
    charge = made("converter").yearly.charges[0]
    assert (charge.amount_cents, charge.energy) == (1600, True)
    assert made("converter", hours_per_year=0).yearly == NOTHING


def test_a_converter_wears_out() -> None:
    assert made("converter").life_years is None
    found = made("converter", life=12)
    assert found.life_years == 12
    assert {need.spec.kind for need in found.renewed.needs} == {"phase converter"}
    assert {work.task: work.quantity for work in found.renewed.work} == {"set-outlet": 2}
    kinds = [kind | ({"life": 9} if kind["kind"] == "phase converter" else {}) for kind in GEAR_KINDS]
    catalog = make_catalog(**with_gear() | {"kinds": [*KINDS, *kinds]})
    assert made("converter", catalog).life_years == 9
    assert made("converter", catalog, life=12).life_years == 12


def test_what_is_portable_comes_along_in_a_move() -> None:
    found = made("converter")
    again = {need.spec.kind for need in found.again.needs}
    assert again == {"panel", "disconnect", "breaker"}
    assert (found.again.work, found.again.charges) == (found.bundle.work, found.bundle.charges)


@pytest.mark.parametrize("name", ["subpanel", "converter", "upgrade", "manager", "tandems"])
def test_a_quote_takes_the_place_of_parts_and_labor(name: str) -> None:
    found = made(name, quote=800, fees={"trench": 50})
    assert money(found) == {f"{name}, quoted": 80000, "trench": 5000}
    assert not found.bundle.needs
    assert not found.bundle.work


def test_a_quoted_panel_still_takes_its_poles() -> None:
    assert made("subpanel", quote=800).spaces == {"panel": 2}


def test_utility_three_phase() -> None:
    found = made("utility")
    assert money(found) == {"utility, quoted": 150000}
    assert [(c.what, c.amount_cents, c.energy) for c in found.yearly.charges] == [
        ("yearly charge, utility", 4000, False)
    ]
    assert (found.spaces, found.above) == ({}, None)


def test_a_service_upgrade() -> None:
    found = made("upgrade")
    assert parts(found) == {"service equipment": 1}
    assert dict(found.bundle.needs[0].spec.at_least) == {"rating_a": 200, "volts": 240}
    assert money(found) == {"connection": 30000}


def test_a_load_manager() -> None:
    assert parts(made("manager")) == {"load manager": 1}
    assert parts(made("manager", part=None)) == {}


@pytest.mark.parametrize(
    ("asked", "label", "circuits", "most"),
    [(4, 3, 9, 3), (2, 3, 9, 2), (4, 3, 5, 2)],
)
def test_tandem_breakers_go_where_label_and_circuits_allow(
    asked: int, label: int, circuits: int, most: int
) -> None:
    room = PANEL | {"tandems": label, "one_pole_circuits": [one_pole(circuits)]}
    found = made("tandems", at_most=asked, shop={"panels": [room]})
    assert (found.at_most, found.spaces) == (most, {"panel": -1})
    halves = {"rating_a": "20", "second_rating_a": "20"}
    assert dict(found.bundle.needs[0].spec.equal) == {"family": "family A"} | halves


UNKNOWN = one_pole(2) | {"awg": None}
THIN = one_pole(2, 20, "14")
GUARDED, SHARED, TIED = (one_pole(4, **{word: True}) for word in ("test_button", "shared_neutral", "tied"))


@pytest.mark.parametrize(
    ("circuits", "why"),
    [
        ([], "not described"),
        ([one_pole(1)], "too few"),
        ([UNKNOWN], "not known: the wire size on the cable's jacket"),
        ([THIN], "the wire is too thin for the breaker"),
        ([GUARDED], "ground-fault or arc-fault"),
        ([SHARED], "shares its neutral"),
        ([TIED], "tied to another"),
    ],
)
def test_no_tandem_breaker_for_circuits_that_stay(circuits: list[Any], why: str) -> None:
    """What stays: common practice, NFPA 70 210.4(B) and 240.4(D); 14 AWG has at most 15 A."""
    with pytest.raises(CannotSizeError, match=why):
        made("tandems", shop={"panels": [PANEL | {"tandems": 3, "one_pole_circuits": circuits}]})


def test_a_tandem_breaker_for_each_pair_of_ratings() -> None:
    """Three 15 A on 14 AWG and two 20 A on 12 AWG: 15/15 once, 15/20 twice, 20/20 once; 240.4(D)."""
    circuits = [one_pole(3, 15, "14"), one_pole(2), GUARDED, UNKNOWN]
    panels = [PANEL | {"tandems": 4, "one_pole_circuits": circuits}]
    shop = make_gear_shop([MILL], ("tandems",), panels=panels, gear_changes={"tandems": {"at_most": 4}})
    facts = Facts(shop, make_catalog(**with_gear()))
    found = {gear.name: candidate(facts, gear).at_most for gear in facts.shop.gear}
    assert found == {"tandems 15/15": 1, "tandems 15/20": 2, "tandems 20/20": 1}


def test_what_is_installed_costs_only_to_run() -> None:
    found = made("converter", installed=True, quote=900, fees={"trench": 10})
    assert (found.bundle, found.spaces) == (NOTHING, {})
    assert found.yearly.charges[0].amount_cents == 1600
    assert {need.spec.kind for need in found.again.needs} == {"panel", "disconnect", "breaker"}


def test_gear_without_a_way_to_it_is_not_to_be_had() -> None:
    with pytest.raises(NoRouteError):
        made("subpanel", shop={"routes": []})


def test_a_feeder_no_table_knows_is_not_to_be_had() -> None:
    arguments = with_gear(**RUN)
    arguments["more_parts"] = [
        part | ({"attributes": part["attributes"] | {"rating_a": 1200}} if part["id"] == "panel-1" else {})
        for part in arguments["more_parts"]
    ]
    with pytest.raises(CannotSizeError):
        made("subpanel", make_catalog(**arguments))


def test_a_panel_smaller_than_any_breaker_is_not_to_be_had() -> None:
    arguments = with_gear()
    arguments["more_parts"] = [
        part | ({"attributes": part["attributes"] | {"rating_a": 9}} if part["id"] == "panel-1" else {})
        for part in arguments["more_parts"]
    ]
    with pytest.raises(CannotSizeError):
        made("subpanel", make_catalog(**arguments))


def test_a_feeder_carries_a_neutral_where_there_is_one() -> None:
    facts = Facts(make_gear_shop([MILL], ("converter", "subpanel")), make_catalog(**with_gear()))
    assert feeder_load(facts.panels["subpanel"]).neutral
    assert not feeder_load(facts.panels["converter"]).neutral
    assert feeder_load(facts.panels["converter"]).phases == 3
