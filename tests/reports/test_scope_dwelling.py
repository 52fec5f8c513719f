"""A dwelling garage's scope sheet as a master electrician reads it: protection said alike everywhere, and only where known.

All shops are invented.
"""

from typing import Any

import pytest
from test_noted import MAIN, SAW, Row, facts_of, shop

from costplan.checks.check_places import types_of_construction_count
from costplan.checks.checks import pair_of
from costplan.files.shipped import shipped
from costplan.model.loading import load_catalog_with_places, load_shop_with_places
from costplan.program.bench import Bench
from costplan.program.ranking import best_plans
from costplan.reports.room import room_text
from costplan.reports.scope import ScopeSheet, scope_sheet
from costplan.studies.comparison import compare
from costplan.studies.wanted import Wanted

WELDER: Row = {
    "name": "welder",
    "at": "bench",
    "volts": 240,
    "amps": 36,
    "effective_amps": 20,
    "load": "welder",
    "plug": "NEMA 6-50",
}
THERE: Row = {
    "method": "wall drop",
    "panel": "main panel",
    "configuration": "NEMA 6-50",
    "breaker": "50 A",
    "awg": "10",
}


def sheet_of(tmp_path: Any, **changes: Any) -> ScopeSheet:
    """The best plan's sheet, without alternates."""
    return scope_sheet(compare(facts_of(shop(**changes), tmp_path), Wanted(plans=1)), alternates=0)


@pytest.mark.parametrize(("occupancy", "fault"), [("dwelling garage", ", ground-fault"), ("commercial", "")])
def test_one_more_circuit_is_priced_with_the_protection_of_its_like(
    occupancy: str, fault: str, tmp_path: Any
) -> None:
    """NFPA 70 (2020) 210.8(A)(2): receptacles of a dwelling's garage up to 250 V; 210.8(B) elsewhere goes by the place."""
    code = {"edition": 2020, "occupancy": occupancy}
    place = {} if fault else {"ground_fault_place": False}
    sheet = sheet_of(tmp_path, code=code | place)
    (row,) = sheet.circuits
    assert row.ground_fault is bool(fault)
    (one,) = [words for words in sheet.each if words.startswith("one more circuit")]
    assert f"20 A 2-pole{fault}, 2 ×" in one


def test_nobody_says_that_a_breaker_that_is_there_protects_people(tmp_path: Any) -> None:
    """Nothing in the file says so, and nothing is bought: only the one that would be made anew has it."""
    sheet = sheet_of(tmp_path, machines=[WELDER | {"now": THERE}])
    (row,) = sheet.circuits
    assert (row.is_there, row.ground_fault) == (True, False)
    (one,) = [words for words in sheet.each if words.startswith("one more circuit")]
    assert "50 A 2-pole, ground-fault" in one


@pytest.mark.parametrize(("awg", "thin"), [("10", True), ("6", False)])
def test_a_welders_thin_wire_that_stays_is_marked_for_it_and_asked_about(
    awg: str, thin: bool, tmp_path: Any
) -> None:
    """NFPA 70 630.12(B), 240.4(G): 10 AWG, 30 A by 240.4(D), behind 50 A is for that welder alone; 6 AWG is not."""
    sheet = sheet_of(tmp_path, machines=[WELDER | {"now": THERE | {"awg": awg}}])
    marked = [words for words in sheet.notes if "is marked for that machine only" in words]
    asked = [words for words in sheet.asked if "marked for this welder only" in words]
    assert [words.startswith("welder: ") for words in marked] == [True] * thin
    assert [words.startswith("welder (50 A on 10 AWG): ") for words in asked] == [True] * thin


@pytest.mark.parametrize(("run", "opened"), [("wall drop", True), ("armored drop", False)])
def test_walls_are_patched_only_where_one_is_opened(run: str, opened: bool, tmp_path: Any) -> None:
    """A run inside a wall that is there already opens none."""
    ways = {"ways": {"only": [run], "hard_wired": False}}
    made = sheet_of(tmp_path, machines=[SAW | ways])
    assert ("walls opened for wiring" in dict(made.site)) is opened
    stays = sheet_of(tmp_path, machines=[WELDER | {"now": THERE}])
    assert "walls opened for wiring" not in dict(stays.site)


def test_a_finish_is_read_by_bidders_and_not_called_without_effect(tmp_path: Any) -> None:
    building = {"ceiling_height": "8 ft", "finished_walls": True}
    assert ("building is", "dwelling garage, walls finished") in sheet_of(tmp_path, building=building).site
    path = tmp_path / "shop.yaml"
    pair = pair_of(load_shop_with_places(path), load_catalog_with_places(shipped("catalogs") / "demo"))
    assert pair is not None
    assert not [found for found in types_of_construction_count(pair) if "finished_walls" in found.field_path]


@pytest.mark.parametrize(
    ("rating", "service", "said"),
    [
        ({"rating": "60 A"}, 200, "main panel limits first: main panel has 19.0 A of 60 A left"),
        ({"rating": "200 A"}, 100, "the service limits first: the service has 59.0 A of 100 A left"),
        ({"rating": "100 A"}, 100, "limit alike: "),
        ({}, 100, "where a main or a bus there is rated below the service's 100 A that limits first"),
    ],
)
def test_it_is_said_whether_the_panel_or_the_service_limits(
    rating: Row, service: int, said: str, tmp_path: Any
) -> None:
    """By hand: 20 A of measured peak are 25 A (NFPA 70 220.87), the saw adds 16 A; 60 - 41 = 19, 100 - 41 = 59."""
    peak = {"amps": 20, "seen": "2026-09-30", "days": 365}
    saw = {"name": "saw", "at": "bench", "volts": 240, "amps": 16, "plug": "NEMA 6-20", "load": "other"}
    written = shop(
        service={"amps": service, "measured_peak": peak},
        panels=[MAIN | rating],
        machines=[saw | {"ways": {"only": ["armored drop"], "hard_wired": False}}],
    )
    facts = facts_of(written, tmp_path)
    told = room_text(facts, best_plans(Bench.over(facts, facts.shop.money.surplus), 1)[0])
    assert said in " ".join(told.split())


@pytest.mark.parametrize(("other", "said"), [({}, True), ({"other_load": "20 A"}, False)])
def test_the_only_panel_says_what_it_is_counted_without(other: Row, said: bool, tmp_path: Any) -> None:
    """The service's 20 A of measured peak are 25 A (NFPA 70 220.87), and run through the only panel unless told otherwise."""
    peak = {"amps": 20, "seen": "2026-09-30", "days": 365}
    written = shop(service={"amps": 100, "measured_peak": peak}, panels=[MAIN | {"rating": "100 A"} | other])
    facts = facts_of(written, tmp_path)
    told = room_text(facts, best_plans(Bench.over(facts, facts.shop.money.surplus), 1)[0])
    assert ("main panel is counted without what else hangs on it" in told) is said
    assert ("the service's 25.0 A" in told.replace("\n", " ")) is said
