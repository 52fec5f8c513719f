"""What is said of disconnects, heaters, bundles of cables and the building itself: where it applies and nowhere else.

Sections stand beside the words in remarks.yaml; where no section is named it is common practice, no source. All shops are
invented.
"""

import json
from decimal import Decimal
from typing import Any

import pytest
from test_noted import BY_DROP, HARD_WIRED, MAIN, SAW, Row, catalog, facts_of, said, shop

from costplan.checks.check_plates import horsepower_is_one_of_its_volts
from costplan.circuits.size_types import Load, Rules, Wiring
from costplan.circuits.sizing import size_circuit
from costplan.files.csv_reader import parse_table
from costplan.model.choices import LoadKind, Occupancy
from costplan.model.loading import load_shop_with_places
from costplan.model.pair import Pair
from costplan.reports.noted_runs import most_together
from costplan.reports.noted_spaces import ambient_words
from costplan.reports.remarks import Topic

KILN: Row = {"name": "kiln", "at": "bench", "volts": 240, "amps": 40, "load": "heater"}
PLACES: list[Row] = [{"name": "wall", "at": [0, 0]}, {"name": "bench", "at": [10, 0]}]
RULES = Rules(2020, Occupancy.COMMERCIAL, False, Decimal("0.03"), Decimal(30))


@pytest.mark.parametrize(
    ("machine", "told"),
    [
        (
            KILN | HARD_WIRED,
            {Topic.HEATER_PLATE, Topic.HEATER_CLEARANCE, Topic.WARM_AIR, Topic.WORKING_SPACE},
        ),
        (
            KILN | BY_DROP,
            {Topic.HEATER_PLATE, Topic.HEATER_CLEARANCE, Topic.WARM_AIR, Topic.HEATER_ON_A_PLUG},
        ),
        (KILN | {"amps": 12, "plug": "NEMA 6-20"} | BY_DROP, set()),
        (KILN | {"amps": 12} | BY_DROP, {Topic.HEATER_ON_A_PLUG}),
        (SAW | {"plug": None, "amps": 20} | HARD_WIRED, {Topic.WORKING_SPACE}),
    ],
    ids=["hard-wired kiln", "kiln on a plug", "small heater", "bare oven on a plug", "hard-wired motor"],
)
def test_a_heater_has_its_words_by_how_it_ends(machine: Row, told: set[Topic], tmp_path: Any) -> None:
    """NFPA 70 422.11(E), 422.16(A), 110.3(B), 110.26(A): all but the last from memory."""
    known = {
        Topic.HEATER_PLATE,
        Topic.HEATER_CLEARANCE,
        Topic.HEATER_ON_A_PLUG,
        Topic.WARM_AIR,
        Topic.WORKING_SPACE,
    }
    machine = {word: value for word, value in machine.items() if value is not None}
    assert known & set(said(shop(machines=[machine]), tmp_path)) == told


def test_a_bare_heater_on_a_plug_has_the_price_of_hard_wiring_beside_it(tmp_path: Any) -> None:
    (words,) = said(shop(machines=[KILN | {"amps": 12} | BY_DROP]), tmp_path)[Topic.HEATER_ON_A_PLUG]
    assert words.startswith("kiln (hard-wired, about USD ")
    assert words.endswith((" more)", " less)"))


@pytest.mark.parametrize(("count", "asked"), [(10, False), (11, True)])
def test_cables_that_leave_a_panel_together_are_counted(count: int, asked: bool, tmp_path: Any) -> None:
    """NFPA 70 310.15(C)(1)(d), from memory: armored cables of 12 AWG are free up to 20 wires that carry current."""
    written = shop(machines=[SAW | BY_DROP | {"count": count}], panels=[MAIN | {"spaces_free": 24}])
    found = said(written, tmp_path).get(Topic.BUNDLED_RUNS)
    words = "main panel (11 cables with 22 wires that carry current; at most 9 such wires together)"
    assert found == ((words,) if asked else None)


@pytest.mark.parametrize(
    ("amps", "most"),
    [(16, 9), (24, 6), (40, 9)],
    ids=["12 AWG, 20 A: 30 x 0.7 is 21", "10 AWG, 30 A: 40 x 0.8 is 32", "6 AWG, 50 A: 75 x 0.7 is 52.5"],
)
def test_how_many_wires_may_lie_together_by_hand(amps: int, most: int) -> None:
    """Worked by hand from NFPA 70 Tables 310.16 (90 C) and 310.15(C)(1): what the wire must carry is 125 % of the heater's."""
    load = Load(240, 1, False, LoadKind.HEATER, None, Decimal(amps), True, None)
    size = size_circuit(load, Wiring.ARMORED, None, Decimal(20), RULES)
    assert most_together(size, Decimal(30)) == most


@pytest.mark.parametrize("word", ["detached", "wood_dust", "flammable_vapors"])
def test_a_fact_of_the_building_is_said_once_where_it_is_so_and_asked_once_where_nobody_said(
    word: str, tmp_path: Any
) -> None:
    so, unknown = {
        "detached": (Topic.DETACHED, Topic.DETACHED_UNKNOWN),
        "wood_dust": (Topic.WOOD_DUST, Topic.DUST_UNKNOWN),
        "flammable_vapors": (Topic.FLAMMABLE_VAPORS, Topic.VAPORS_UNKNOWN),
    }[word]
    for value, topic in ((True, so), (False, None), (None, unknown)):
        building = {} if value is None else {word: value}
        found = said(shop(building={"ceiling_height": "8 ft"} | building), tmp_path)
        assert {so, unknown} & set(found) == ({topic} if topic else set())
        assert topic is None or found[topic] == ()
    # A place's own word goes before the building's.
    places = [place | {word: False} for place in PLACES]
    found = said(shop(building={word: True}, places=places), tmp_path)
    assert not {so, unknown} & set(found)


def test_a_room_of_a_house_is_no_building_apart(tmp_path: Any) -> None:
    room = {"edition": 2020, "occupancy": "dwelling room"}
    assert Topic.DETACHED_UNKNOWN not in said(shop(code=room), tmp_path)


def test_motors_that_take_turns_on_one_breaker_are_asked_about(tmp_path: Any) -> None:
    """NFPA 70 430.53 (page)."""
    bare = {"at": "bench", "volts": 240, "hp": 3, "takes_turns": "milling"}
    names = ({"name": "jointer"}, {"name": "planer"})
    shared = said(shop(machines=[name | bare | BY_DROP for name in names]), tmp_path)
    assert set(shared[Topic.MOTORS_BY_TURNS]) == {"jointer", "planer"}
    apart = said(shop(machines=[name | bare | HARD_WIRED for name in names]), tmp_path)
    assert Topic.MOTORS_BY_TURNS not in apart


@pytest.mark.parametrize(
    ("words", "asked"),
    [({"hp": 5}, True), ({"hp": 2}, False), ({"hp": 5, "amps": 14}, False), ({"hp": 5, "volts": 240}, False)],
)
def test_more_horsepower_than_120_volts_run_is_asked_about(words: Row, asked: bool, tmp_path: Any) -> None:
    """Table 430.248: 5 hp at 115 V is 56 A; that no plain outlet is for so much is common practice, no source."""
    path = tmp_path / "shop.yaml"
    machine = {"name": "vacuum", "at": "bench", "volts": 120} | words
    path.write_text(json.dumps(shop(machines=[machine])), encoding="utf-8")
    read = load_shop_with_places(path)
    assert read.shop is not None
    pair = Pair(
        read.shop, read.places, catalog(), {}, parse_table("part\n", "offers.csv", ["part"], ["part"])
    )
    assert [entry.code for entry in horsepower_is_one_of_its_volts(pair)] == (
        ["horsepower-volts"] if asked else []
    )


def test_the_warmest_air_is_said_to_be_assumed_where_nobody_said_it(tmp_path: Any) -> None:
    assert "since nobody said (ambient_c)" in ambient_words(facts_of(shop(), tmp_path).shop.code)
    stated = facts_of(shop(code={"edition": 2020, "ambient_c": 30}), tmp_path).shop.code
    assert ambient_words(stated) == "30 °C"
