"""A building that the shop moves to, told in a place's words: what is made there goes by them. Shops are invented.

Source: NFPA 70 210.8(A)(2) (2020, receptacles of garages up to 250 V), 334.10 (types III to V), from memory.
"""

import json
from pathlib import Path
from typing import Any

import pytest
from shipped_shops import demo_catalog

from costplan.circuits.circuit import Builder
from costplan.circuits.facts import Facts
from costplan.circuits.walls import cable_kept_out
from costplan.circuits.ways import Way
from costplan.model.choices import Family, Method
from costplan.model.loading import load_shop
from costplan.years.calendar import lives, scenarios_of

ARMORED = Way(Method.ARMORED, "panel", Family.STRAIGHT)
IN_WALL = Way(Method.WALL, "panel", Family.STRAIGHT)


def facts(building: dict[str, Any] | None, tmp_path: Path) -> Facts:
    moves = {"year": 2, "shop_moves": True, "new_building": "as here"}
    moves |= {} if building is None else {"building": building}
    shop = {
        "shop": "Mover (invented)",
        "today": "2026-11-02",
        "years": 4,
        "code": {"edition": 2020, "occupancy": "commercial", "ground_fault_place": False},
        "building": {"construction": "type V", "finished_walls": True},
        "panels": [
            {
                "name": "panel",
                "system": "120/240 single-phase",
                "breakers": "family A",
                "spaces_free": 8,
                "place": "wall",
            }
        ],
        "places": [
            {"name": "wall", "at": [0, 0]},
            {"name": "bench", "at": [10, 0], "ground_fault_place": False},
        ],
        "machines": [{"name": "saw", "at": "bench", "volts": 240, "amps": 12, "plug": "NEMA 6-20"}],
        "scenarios": [{"name": "on", "weight": 1, "events": [moves]}],
    }
    path = tmp_path / "shop.yaml"
    path.write_text(json.dumps(shop), encoding="utf-8")
    read, problems = load_shop(path)
    assert read is not None, problems
    catalog = demo_catalog()
    return Facts(read, catalog)


@pytest.mark.parametrize(
    ("building", "protected"),
    [
        (None, (False, False)),
        ({"occupancy": "dwelling garage"}, (False, True)),
        ({"ground_fault_place": True}, (False, True)),
        ({"detached": True}, (False, False)),
    ],
    ids=["as here", "a garage of a house", "a listed place", "nothing that protects"],
)
def test_a_receptacle_goes_by_the_building_that_it_is_made_in(
    building: dict[str, Any] | None, protected: tuple[bool, bool], tmp_path: Path
) -> None:
    known = facts(building, tmp_path)
    life = lives(known.shop, scenarios_of(known.shop)[0])["saw"]
    builder = Builder(known, known.shop.machines[0], ARMORED)
    assert tuple(builder.build(standing).size.ground_fault for standing in life.standings) == protected


@pytest.mark.parametrize(
    ("building", "why"),
    [(None, None), ({"construction": "type II"}, "type II"), ({"finished_walls": False}, "exposed")],
)
def test_cable_is_kept_out_by_the_walls_of_the_next_building(
    building: dict[str, Any] | None, why: str | None, tmp_path: Path
) -> None:
    known = facts(building, tmp_path)
    life = lives(known.shop, scenarios_of(known.shop)[0])["saw"]
    spots = [(standing.place, standing.there) for standing in life.standings]
    reason = cable_kept_out(known, known.shop.machines[0], IN_WALL, spots)
    if why is None:
        assert reason is None
    else:
        assert reason is not None
        assert reason.startswith("in the building that the shop moves to: ")
        assert why in reason
