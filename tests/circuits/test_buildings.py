"""Runs and cords between buildings. The shop is invented: a panel in the main building, one in a shed, a saw and a heater.

Sources: NFPA 70 225.30 (one feeder or branch circuit a building), 400.12(2), (3) (no cord through walls, doorways),
from memory.
"""

import json
from pathlib import Path
from typing import Any

import pytest
from shipped_shops import demo_catalog

from costplan.circuits.buildings import between_buildings
from costplan.circuits.facts import Facts
from costplan.circuits.shared_gear import candidate
from costplan.circuits.size_types import CannotSizeError
from costplan.circuits.ways import Way
from costplan.model.choices import Family, Method
from costplan.model.conditions import SpaceWords
from costplan.model.loading import load_shop

NOW = {"method": "armored drop", "panel": "main", "breaker": 20, "configuration": "NEMA 6-20"}
SUBPANEL = {"name": "sub", "kind": "subpanel", "panel_part": "panel-a-100", "fed_from": "main"}


def facts(tmp_path: Path, *, whole: bool | None = False, **more: Any) -> Facts:
    """The shop; `whole` is what is said of the main building."""
    panel = {"system": "120/240 single-phase", "breakers": "family A", "spaces_free": 8}
    shop: dict[str, Any] = {
        "shop": "Two buildings (invented)",
        "today": "2026-11-02",
        "years": 2,
        "code": {"edition": 2020, "occupancy": "commercial", "ground_fault_place": False},
        "building": {} if whole is None else {"detached": whole},
        "panels": [
            panel | {"name": "main", "place": "office"},
            panel | {"name": "shed panel", "place": "shed wall", "fed_from": "main"},
        ],
        "places": [
            {"name": "office", "at": [0, 0]},
            {"name": "bay", "at": [60, 0]},
            {"name": "shed wall", "at": [85, 0], "detached": True},
            {"name": "shed", "at": [95, 0], "detached": True},
        ],
        "machines": [{"name": "saw", "at": "bay", "volts": 240, "amps": 12} | more.pop("saw", {})],
    } | more
    path = tmp_path / "shop.yaml"
    path.write_text(json.dumps(shop), encoding="utf-8")
    read, problems = load_shop(path)
    assert read is not None, problems
    catalog = demo_catalog()
    return Facts(read, catalog)


def why(known: Facts, panel: str, place: str, method: Method = Method.ARMORED, **more: Any) -> str | None:
    way = Way(method, panel, Family.STRAIGHT, **more)
    return between_buildings(known, known.shop.machines[0], way, [(place, None)])


@pytest.mark.parametrize(
    ("panel", "place", "refused"),
    [
        ("main", "bay", False),
        ("main", "shed", True),
        ("shed panel", "bay", True),
        ("shed panel", "shed", False),
    ],
)
@pytest.mark.parametrize("method", [Method.CORD, Method.CONDUIT, Method.CEILING])
def test_nothing_goes_from_one_building_to_another(
    panel: str, place: str, refused: bool, method: Method, tmp_path: Path
) -> None:
    said = why(facts(tmp_path), panel, place, method)
    assert (said is not None) == refused
    if said is not None:
        assert "225.30" in said
        assert ("400.12" in said) == (method is Method.CORD)


def test_a_place_of_which_nobody_said_is_asked_about(tmp_path: Path) -> None:
    said = why(facts(tmp_path, whole=None), "shed panel", "bay")
    assert said is not None
    assert "write detached: true for bay as well" in said
    assert "as well" not in (why(facts(tmp_path), "shed panel", "bay") or "")


def test_a_panel_of_which_nobody_said_where_it_hangs_is_asked_for_its_place(tmp_path: Path) -> None:
    panel = {"system": "120/240 single-phase", "breakers": "family A", "spaces_free": 8, "name": "main"}
    said = why(facts(tmp_path, panels=[panel]), "main", "shed")
    assert said is not None
    assert "nobody said where main hangs: write place: for it" in said


def test_the_panel_for_a_later_load_is_looked_at_too(tmp_path: Path) -> None:
    assert why(facts(tmp_path), "main", "bay", other_panel="shed panel") is not None


def test_a_run_that_is_there_and_a_quote_stay_and_a_building_moved_to_is_one(tmp_path: Path) -> None:
    known = facts(tmp_path, saw={"at": "shed", "now": NOW})
    assert why(known, "main", "shed") is None
    assert why(known, "main", "shed", Method.CONDUIT) is not None
    assert why(known, "main", "shed", Method.CORD) is not None
    assert why(facts(tmp_path), "main", "shed", quoted="buried run") is None
    way = Way(Method.CORD, "main", Family.STRAIGHT)
    assert between_buildings(known, known.shop.machines[0], way, [("shed", SpaceWords())]) is None


@pytest.mark.parametrize(
    ("more", "refused"),
    [({"at": "shed"}, True), ({"at": "bay"}, False), ({"at": "shed", "quote": 2400}, False)],
    ids=["in the shed", "in the main building", "quoted"],
)
def test_a_feeder_to_another_building_is_quoted_or_no_choice(
    more: dict[str, Any], refused: bool, tmp_path: Path
) -> None:
    known = facts(tmp_path, gear=[SUBPANEL | more])
    if refused:
        with pytest.raises(CannotSizeError, match=r"leaves the building.*225\.30"):
            candidate(known, known.shop.gear[0])
    else:
        assert candidate(known, known.shop.gear[0]).bundle.needs or more.get("quote")
