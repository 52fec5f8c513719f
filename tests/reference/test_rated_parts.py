"""Parts are bought at the volts, the horsepower and the ground that their circuit has: cases worked by hand; common practice.

Rules: NFPA 70 110.3(B), 110.4 (rated volts), 240.85 (breakers), 430.109 and 430.110 (disconnects of motors), 250.122
(grounds); from memory. The catalog is the demo, whose parts are invented.
"""

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from shipped_shops import demo_catalog
from strategies import Row, make_shop

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Item, Spec, make_spec
from costplan.circuits.run_parts import disconnect_need
from costplan.circuits.shelf import part_there
from costplan.circuits.size_types import Load, Rules, Wiring
from costplan.circuits.sizing import size_circuit
from costplan.model.catalog import Catalog, Part
from costplan.model.choices import LoadKind, Occupancy
from costplan.program.ranked import NoPlanError
from costplan.reports.bill import BillRow, bill_of_materials
from costplan.reports.scope import scope_sheet
from costplan.reports.scope_text import scope_text
from costplan.reports.shopping import shopping_list
from costplan.studies.comparison import Comparison, compare
from costplan.studies.wanted import Wanted

ROOT = Path(__file__).resolve().parents[2]
WYE: Row = {"name": "panel", "system": "277/480 three-phase", "breakers": "family C", "spaces_free": 12}
DELTA: Row = {"name": "panel", "system": "240 three-phase", "breakers": "family B", "spaces_free": 12}
SPLIT: Row = {"name": "panel", "system": "120/240 single-phase", "breakers": "family A", "spaces_free": 12}
LATHE: Row = {"name": "lathe", "at": "bench A", "volts": 480, "phases": 3, "hp": 5, "plug": "NEMA L16-20"}
PUMP: Row = {"name": "pump", "at": "bench A", "phases": 3, "hp": 5}
OVEN: Row = {
    "name": "oven",
    "at": "bench A",
    "volts": 240,
    "amps": 42,
    "load": "heater",
    "continuous": False,
    "ways": {"hard_wired": True},
}


def without_marks(catalog: Catalog) -> Catalog:
    """The catalog whose switches state no horsepower."""
    parts = [
        part.model_copy(
            update={"attributes": {k: v for k, v in part.attributes.items() if not k.startswith("hp_")}}
        )
        if part.kind == "disconnect"
        else part
        for part in catalog.parts
    ]
    return catalog.model_copy(update={"parts": parts})


def planned(
    machine: Row, panel: Row, run: str, feet: int, catalog: Catalog | None = None, **more: Any
) -> Comparison:
    """The one plan of a machine on a panel, by a run of so many feet."""
    machine = {"ways": {"hard_wired": False}} | machine
    machine |= {"ways": machine["ways"] | {"only": [run]}}
    shop = make_shop(
        [machine],
        panels=[panel],
        routes=[{"from": "panel", "to": "bench A", "fixed": feet, "cord": feet}],
        building={"patching": False, "construction": "type V", "finished_walls": True},
        **more,
    )
    return compare(Facts(shop, catalog or demo_catalog()), Wanted(plans=1))


def bill(found: Comparison) -> list[BillRow]:
    return bill_of_materials(found.facts, found.plans[0])


def bought(found: Comparison, kind: str) -> list[Part]:
    parts = found.facts.parts
    return [parts[row.part] for row in bill(found) if parts[row.part].kind == kind]


LOCKING: Row = {"cords": {"slack": [0], "families": ["locking"], "service": ["hard"]}}


# 480 V ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("run", ["conduit drop", "cord"])
def test_a_480_volt_lathe_on_a_plug(run: str) -> None:
    """5 hp at 460 V: 7.6 A (Table 430.250) x 1.25 = 9.5 A; L16-20R; every part 480 or 600 V.

    The shelf's 240 V switch and its 300 V cord serve nothing here: SJ is a 300 V cord (Table 400.4).
    """
    shelf = [{"part": "disconnect-3p-30"}, {"part": "cord-14-4-sjoow", "length": 120, "plug": "NEMA L16-20"}]
    found = planned(LATHE, WYE, run, 90, shelf=shelf, **LOCKING)
    (row,) = scope_sheet(found).circuits
    assert (row.current_a, row.volts, row.outlet) == (Decimal("7.6"), 480, "receptacle NEMA L16-20R")
    (breaker,) = bought(found, "breaker")
    assert (breaker.attributes["volts"], breaker.attributes["poles"]) == (480, 3)
    assert row.breaker_a in (15, 20)
    assert not row.ground_fault
    assert [part.attributes["configuration"] for part in bought(found, "receptacle")] == ["NEMA L16-20"]
    cords = bought(found, "cord")
    assert len(cords) == (run == "cord")
    assert all(cord.attributes["volts"] == 600 and cord.attributes["conductors"] == 4 for cord in cords)
    assert not bought(found, "disconnect")


def test_a_480_volt_pump_without_a_plug() -> None:
    """A disconnect of 480 V or more, at least 1.15 x 7.6 = 8.74 A, marked for 5 hp at 480 V (430.109, 430.110(A))."""
    pump = PUMP | {"volts": 480, "ways": {"hard_wired": True}}
    found = planned(pump, WYE, "conduit drop", 90)
    (switch,) = bought(found, "disconnect")
    assert (switch.id, switch.attributes["volts"]) == ("disconnect-3p-30-600", 600)
    (row,) = scope_sheet(found).circuits
    assert row.outlet == (
        "disconnect, 3-pole, 20 A 480 V or more, lockable, marked for at least 5 hp at 480 V, 3-phase"
    )
    assert not any("disconnects this motor" in asked for asked in scope_sheet(found).asked)


def test_a_480_volt_machine_has_no_plan_where_only_240_volt_switches_are_sold() -> None:
    low = [
        part for part in demo_catalog().parts if part.kind != "disconnect" or part.attributes["volts"] == 240
    ]
    offers = [offer for offer in demo_catalog().offers if offer.part in {part.id for part in low}]
    catalog = demo_catalog().model_copy(update={"parts": low, "offers": offers})
    pump = PUMP | {"volts": 480, "ways": {"hard_wired": True}}
    with pytest.raises(NoPlanError, match=r"no price for disconnect, .*volts at least 480"):
        planned(pump, WYE, "conduit drop", 90, catalog)


@pytest.mark.parametrize(
    ("volts", "panel", "on_shelf", "serves"),
    [
        (240, DELTA, "disconnect-3p-30", True),
        (240, DELTA, "disconnect-3p-30-600", True),
        (480, WYE, "disconnect-3p-30", False),
        (480, WYE, "disconnect-3p-30-600", True),
        (240, DELTA, "disconnect-2p-30", False),
    ],
)
def test_a_switch_on_the_shelf(volts: int, panel: Row, on_shelf: str, serves: bool) -> None:
    """It serves at its volts and below, and with as many poles or more; else one is bought."""
    pump = PUMP | {"volts": volts, "ways": {"hard_wired": True}}
    found = planned(pump, panel, "conduit drop", 90, shelf=[{"part": on_shelf}])
    assert bool(bought(found, "disconnect")) is not serves
    own = [thing.what for thing in shopping_list(found).own]
    assert own == (["disconnect 3-pole 30 A"] if serves else [])


# horsepower -----------------------------------------------------------------------------------------


def test_a_switch_marked_for_less_does_not_serve() -> None:
    """5 hp at 240 V: 15.2 A x 1.75, a 30 A breaker. A 30 A switch marked 3 hp does not serve, a 60 A one of 15 hp does."""
    parts = [
        part.model_copy(update={"attributes": part.attributes | {"hp_240_v_3_phase": 3}})
        if part.id == "disconnect-3p-30"
        else part
        for part in demo_catalog().parts
    ]
    mill = PUMP | {"name": "mill", "volts": 240, "hp": "5", "ways": {"hard_wired": True}}
    sold = planned(mill, DELTA, "conduit drop", 20)
    assert [part.id for part in bought(sold, "disconnect")] == ["disconnect-3p-30"]
    marked = planned(mill, DELTA, "conduit drop", 20, demo_catalog().model_copy(update={"parts": parts}))
    assert [part.id for part in bought(marked, "disconnect")] == ["disconnect-3p-60"]


def test_a_mark_that_nobody_stated_has_to_be_read() -> None:
    pump = PUMP | {"volts": 480, "ways": {"hard_wired": True}}
    found = planned(pump, WYE, "conduit drop", 90, without_marks(demo_catalog()))
    read = "read the horsepower mark: at least 5 hp at 480 V, 3-phase"
    (row,) = [row for row in bill(found) if row.part.startswith("disconnect")]
    assert row.read == read
    assert read in row.described
    (listed,) = [part for part in shopping_list(found).parts if part.kind == "disconnect"]
    assert read in listed.described
    sheet = scope_sheet(found)
    asked = "pump (at least 5 hp at 480 V, 3-phase): What horsepower does the mark read on what disconnects this motor? ____"
    assert any(line.startswith(asked) for line in sheet.asked)
    assert "pump (at least 5 hp at 480 V, 3-phase): What horsepower" in scope_text(sheet)


def test_a_load_without_horsepower_asks_for_no_mark() -> None:
    found = planned(OVEN, SPLIT, "conduit drop", 55)
    assert all(not row.read for row in bill(found))
    assert not any("disconnects this motor" in asked for asked in scope_sheet(found).asked)


def test_115_percent_counts_where_the_maker_allows_a_small_breaker() -> None:
    """3 hp at 240 V, 3-phase: 9.6 A x 1.15 = 11.04 A, so 12 A behind a maker's 10 A breaker (430.110(A))."""
    load = Load(240, 3, False, LoadKind.MOTOR, Decimal(3), None, False, 10)
    rules = Rules(2023, Occupancy.COMMERCIAL, False, Decimal("0.03"), Decimal(30))
    size = size_circuit(load, Wiring.CONDUIT, None, Decimal(20), rules)
    facts = Facts(make_shop([PUMP | {"volts": 240}], panels=[DELTA]), demo_catalog())
    low = dict(disconnect_need(facts, "panel", size, load).spec.at_least)
    assert low == {"rating_a": 12, "poles": 3, "volts": 240}


def test_a_disconnect_that_is_there_stays() -> None:
    """Its machine keeps it: nothing is bought; nobody described it, so its mark is asked for (430.109, 430.110)."""
    now = {
        "method": "conduit drop",
        "panel": "panel",
        "breaker": "20 A",
        "poles": 3,
        "awg": "12",
        "conductors": 3,
    }
    pump = PUMP | {"volts": 240, "now": now, "ways": {"hard_wired": True}}
    found = planned(pump, DELTA, "conduit drop", 90)
    assert bill(found) == []
    assert found.plans[0].present_value_cents == 0
    asked = "Which disconnect has the motor, in sight, rated and marked for it, and lockable?"
    assert any(asked in words for words in scope_sheet(found).asked)


@pytest.mark.parametrize(
    ("mark", "asked", "good"),
    [
        ({}, 5, True),
        ({"hp_240_v_3_phase": 5}, 5, True),
        ({"hp_240_v_3_phase": 3}, 5, False),
        ({"hp_240_v_1_phase": 3}, 5, True),
    ],
)
def test_a_mark_binds_where_it_is_stated(mark: Row, asked: int, good: bool) -> None:
    """On a part that is sold and on one that lies on the shelf."""
    attributes = {"rating_a": 30, "poles": 3, "volts": 240} | mark
    part = Part.model_validate({"id": "s", "kind": "disconnect", "name": "s", "attributes": attributes})
    spec = make_spec("disconnect", {}, {"rating_a": 20}, if_stated={"hp_240_v_3_phase": asked})
    facts = Facts(make_shop(), demo_catalog().model_copy(update={"parts": [*demo_catalog().parts, part]}))
    assert spec.met_by(part) is good
    assert part_there(facts, "s").serves(Item(spec)) is good


def test_a_larger_mark_asked_for_covers_a_smaller_one() -> None:
    def asks(hp: int) -> Spec:
        return make_spec("disconnect", if_stated={"hp_240_v_3_phase": hp})

    assert asks(5).covers(asks(3))
    assert not asks(3).covers(asks(5))


# the ground -----------------------------------------------------------------------------------------


def test_wires_of_an_oven_in_conduit() -> None:
    """42 A, not continuous, 240 V, 55 ft: 50 A, 6 AWG at 60 C (55 A), ground 10 AWG (Table 250.122, up to 60 A).

    Two 6 AWG and one 10 AWG fill 0.1225 in2 of 3/4 in. (0.213 in2), and not 1/2 in. (0.122 in2).
    """
    found = planned(OVEN, SPLIT, "conduit drop", 55)
    (row,) = scope_sheet(found).circuits
    assert row.conductors == "2 × 6 AWG and 10 AWG ground, wire in conduit"
    assert row.breaker_a == 50
    assert {part.attributes["trade_size"] for part in bought(found, "conduit")} == {"3/4"}
    run_ft = row.run_ft
    assert wires_of(found) == {"6": 2 * run_ft, "10": run_ft}


def wires_of(found: Comparison) -> dict[str, int]:
    """Feet of building wire that the plan's purchase is for, by gauge."""
    feet: dict[str, int] = {}
    for entry in found.plans[0].plan.bought:
        if entry.need.spec.kind == "building wire":
            awg = str(found.facts.parts[_part(found, entry.offer_row)].attributes["awg"])
            feet[awg] = feet.get(awg, 0) + entry.count * entry.need.quantity
    return feet


def _part(found: Comparison, row: int) -> str:
    return next(offer.part for offer in found.facts.catalog.offers if offer.row == row)


@pytest.mark.parametrize(
    ("awg", "ground"),
    [
        # nonmetallic-sheathed cable as it is sold; common practice, from memory
        ("14", "14"),
        ("12", "12"),
        ("10", "10"),
        ("8", "10"),
        ("6", "10"),
        ("4", "8"),
    ],
)
def test_grounds_of_the_demo_s_cables(awg: str, ground: str) -> None:
    cables = [
        part
        for part in demo_catalog().parts
        if part.kind == "building cable" and part.attributes["awg"] == awg
    ]
    assert cables
    assert {part.attributes["ground_awg"] for part in cables} == {ground}


# 24 A at 240 V over 150 ft, and 15 ft of ups, downs and waste at most. 10 AWG: 30 A, ground 10 (Table 250.122), drop
# 2 x 150 x 1.24 x 24 / 1000 = 8.9 V, 3.7 %. 8 AWG in its place, 2.3 %: ground 10380 x 16510 / 10380 cmil, 8 AWG (250.122(B)).
HEATER: Row = {
    "name": "heater",
    "at": "bench A",
    "volts": 240,
    "amps": 24,
    "load": "heater",
    "continuous": False,
    "plug": "NEMA 6-30",
}


def test_a_ground_is_enlarged_with_its_wires_and_bought_so() -> None:
    found = planned(HEATER, SPLIT, "conduit drop", 150)
    (row,) = scope_sheet(found).circuits
    assert row.conductors == "2 × 8 AWG and 8 AWG ground, wire in conduit"
    assert wires_of(found) == {"8": 3 * row.run_ft}


def test_cable_whose_ground_is_too_thin_does_not_serve() -> None:
    """Cable 8/2 has a 10 AWG ground: it is not bought for 8 AWG in place of 10; 10/2 is allowed, and drops 3.7 %."""
    found = planned(HEATER, SPLIT, "wall drop", 150)
    (cable,) = bought(found, "building cable")
    assert (cable.attributes["awg"], cable.attributes["ground_awg"]) == ("10", "10")
    assert any("heater: the voltage drops 3.7 % on 10 AWG" in words for words in found.warnings)
    assert any("8 AWG would keep it" in words for words in found.warnings)
