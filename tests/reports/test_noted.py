"""What is said and asked of a plan, where it applies and nowhere else.

Which caution belongs to which line, and when it is silent, follows a table worked by hand from NFPA 70, 2023 (sections beside
the words in remarks.yaml); where no section is named it is common practice, no source. All shops are invented.
"""

import json
from functools import cache
from typing import Any

import pytest
from shipped_shops import demo_catalog

from costplan.circuits.facts import Facts
from costplan.model.catalog import Catalog, Condition, RecipePart
from costplan.model.choices import Method
from costplan.model.loading import load_shop
from costplan.program.bench import Bench
from costplan.program.ranked import NoPlanError
from costplan.program.ranking import best_plans
from costplan.reports.circuits import circuits_today
from costplan.reports.noted import noted, noted_before
from costplan.reports.remarks import Topic, remark
from costplan.reports.room import wires_left_out

Row = dict[str, Any]
Said = dict[Topic, tuple[str, ...]]

OF_EVERY_CIRCUIT = {
    Topic.PANEL_WORK,
    Topic.INTERRUPTING_RATING,
    Topic.DIRECTORY,
    Topic.LOAD_UNKNOWN,
    Topic.NO_DESIGN,
    Topic.COMPARABLE_BIDS,
    Topic.SPACES_SIDE_BY_SIDE,
    Topic.PERMITS,
    Topic.LOCKOUT,
    Topic.TORQUE,
    Topic.CABLE_SUPPORT,
    Topic.DETACHED_UNKNOWN,
    Topic.DUST_UNKNOWN,
    Topic.VAPORS_UNKNOWN,
    Topic.PANEL_CONDITION,
    Topic.PANEL_RATING,
}
SAW: Row = {"name": "saw", "at": "bench", "volts": 240, "amps": 12.8, "plug": "NEMA 6-20"}
BY_DROP: Row = {"ways": {"only": ["armored drop"], "hard_wired": False}}
BY_CORD: Row = {"ways": {"only": ["cord"], "hard_wired": False}}
HARD_WIRED: Row = {"ways": {"only": ["conduit drop"], "hard_wired": True}}
MILL: Row = {"name": "mill", "at": "bench", "volts": 240, "phases": 3, "hp": 3}
PLATE: Row = {"rpm": 1725, "frame": "182T", "enclosure": "totally enclosed"}
NO_DRIVE, NO_MOTOR = {"drive": "not wanted"}, {"single-phase motor": "built in"}
MAIN: Row = {
    "name": "main panel",
    "system": "120/240 single-phase",
    "breakers": "family A",
    "spaces_free": 12,
    "place": "wall",
    "flush": False,
}
FAR_SUBPANEL: Row = {
    "name": "far subpanel",
    "kind": "subpanel",
    "panel_part": "panel-a-60",
    "fed_from": "main panel",
    "at": "corner",
}
CONVERTER: Row = {
    "name": "converter",
    "kind": "phase converter",
    "part": "rotary-converter-7-1-2",
    "panel_part": "panel-b-100",
    "fed_from": "main panel",
    "at": "corner",
    "hours_per_year": 100,
}


def shop(**changes: Any) -> Row:
    """A house's garage, its ceiling within reach, with one saw on a drop; with changes."""
    return {
        "shop": "Garage (invented)",
        "today": "2026-11-02",
        "years": 4,
        "money": {"surplus": "new only"},
        "code": {"edition": 2020, "occupancy": "dwelling garage"},
        "building": {"ceiling_height": "8 ft"},
        "panels": [MAIN],
        "places": [
            {"name": "wall", "at": [0, 0]},
            {"name": "bench", "at": [10, 0]},
            {"name": "corner", "at": [4, 6]},
        ],
        "machines": [SAW | BY_DROP],
    } | changes


@cache
def catalog() -> Catalog:
    """The demo's catalog."""
    return demo_catalog()


def facts_of(written: Row, tmp_path: Any, catalog_: Catalog | None = None) -> Facts:
    path = tmp_path / "shop.yaml"
    path.write_text(json.dumps(written), encoding="utf-8")
    found, problems = load_shop(path)
    assert found is not None, problems
    return Facts(found, catalog_ or catalog())


def said(written: Row, tmp_path: Any, catalog_: Catalog | None = None) -> Said:
    """The topics of a shop's best plan, each with what it is about."""
    facts = facts_of(written, tmp_path, catalog_)
    best = best_plans(Bench.over(facts, facts.shop.money.surplus), 1)[0]
    return {entry.topic: entry.about for entry in noted(facts, best)}


PLAIN = OF_EVERY_CIRCUIT | {
    *(Topic.FACTORY_PLUG, Topic.GROUND_FAULT, Topic.CABLE_IN_REACH, Topic.RATED_WALL),
    Topic.CABLE_FITTINGS,
}


def test_a_plain_job_has_its_own_words_and_no_others(tmp_path: Any) -> None:
    found = said(shop(), tmp_path)
    assert set(found) == PLAIN
    assert found[Topic.PANEL_WORK] == found[Topic.DIRECTORY] == ("main panel",)
    assert found[Topic.FACTORY_PLUG] == ("saw",)
    assert found[Topic.LOCKOUT] == ()
    assert "armored cable every 6 ft, within 12 in of each box" in str(found[Topic.CABLE_SUPPORT])


@pytest.mark.parametrize(
    ("change", "more", "less"),
    [
        (
            {"building": {"ceiling_height": "8 ft", "lease": {"ends": 4}}},
            {Topic.LEASE, Topic.LEASE_END},
            set(),
        ),
        (
            {"building": {"ceiling_height": "8 ft", "lease": {"ends": 4, "take_out": True}}},
            {Topic.LEASE, Topic.CAPPED_RUNS},
            set(),
        ),
        (
            {"building": {"ceiling_height": "8 ft", "lease": {"ends": 4, "take_out": False}}},
            {Topic.LEASE},
            set(),
        ),
        ({"building": {"ceiling_height": "12 ft"}}, {Topic.HIGH_WORK}, set()),
        ({"code": {"occupancy": "dwelling garage"}}, {Topic.EDITION_UNKNOWN}, set()),
        (
            {"code": {"occupancy": "commercial"}},
            {Topic.PLACE_UNKNOWN},
            {Topic.GROUND_FAULT},
        ),
        (
            {"code": {"occupancy": "commercial", "ground_fault_place": False}},
            set(),
            {Topic.GROUND_FAULT},
        ),
        (
            {
                "service": {
                    "amps": 100,
                    "measured_peak": {"amps": 38, "seen": "2026-09-30", "days": 30},
                }
            },
            {Topic.MEASURED_PEAK, Topic.PART_OF_A_YEAR},
            {Topic.LOAD_UNKNOWN},
        ),
        ({"service": {"amps": 100, "other_load": 30}}, set(), {Topic.LOAD_UNKNOWN, Topic.PEAK_UNKNOWN}),
        ({"service": {"amps": 100}}, {Topic.PEAK_UNKNOWN}, {Topic.LOAD_UNKNOWN, Topic.PEAK_OF_PANELS}),
        (
            {"service": {"amps": 100}, "panels": [MAIN | {"other_load": 18}]},
            {Topic.PEAK_OF_PANELS},
            {Topic.LOAD_UNKNOWN, Topic.PEAK_UNKNOWN},
        ),
        (
            {"machines": [SAW | BY_CORD]},
            {Topic.STILL_CORD, Topic.HUNG_CORD, Topic.CEILING},
            {Topic.CABLE_IN_REACH, Topic.RATED_WALL},
        ),
        (
            {
                "machines": [SAW | BY_CORD],
                "scenarios": [
                    {
                        "name": "moves",
                        "weight": 1,
                        "events": [{"year": 2, "machine": "saw", "move": "corner"}],
                    }
                ],
            },
            {Topic.HUNG_CORD, Topic.CEILING},
            {Topic.CABLE_IN_REACH, Topic.RATED_WALL},
        ),
        (
            {"machines": [{"name": "saw", "at": "bench", "volts": 240, "hp": 2} | BY_DROP]},
            {
                *(Topic.MOTOR_OVERLOAD, Topic.HORSEPOWER_MARK, Topic.MOTOR_START),
                Topic.OWN_CORD,
                Topic.PEAK_HORSEPOWER,
                Topic.CONTROLS_UNKNOWN,
            },
            {Topic.FACTORY_PLUG},
        ),
        (
            {
                "machines": [
                    {"name": "saw", "at": "bench", "volts": 240, "amps": 12, "load": "heater"} | BY_DROP
                ]
            },
            {Topic.OWN_CORD, Topic.HEATER_ON_A_PLUG},
            {Topic.FACTORY_PLUG, Topic.DUST_UNKNOWN},
        ),
        (
            {
                "routes": [{"from": "main panel", "to": "bench", "fixed": 400}],
            },
            {Topic.VOLTAGE_DROP},
            set(),
        ),
    ],
    ids=[
        "rented",
        "rented, all comes out",
        "rented, all stays",
        "a high ceiling",
        "edition unknown",
        "a place nobody classed",
        "no listed place",
        "measured peak",
        "calculated load",
        "a rating alone",
        "other load of the panel alone",
        "a cord to what never moves",
        "a cord to what moves",
        "a motor with bare ends",
        "a heater",
        "a long run",
    ],
)
def test_each_change_adds_its_own_words_and_no_others(
    change: Row, more: set[Topic], less: set[Topic], tmp_path: Any
) -> None:
    assert set(said(shop(**change), tmp_path)) == (PLAIN | more) - less


def test_the_landlord_is_asked_about_all_that_is_fixed_and_not_of_one_machine(tmp_path: Any) -> None:
    two = [SAW | BY_CORD, SAW | BY_DROP | {"name": "turner"}]
    rented = {"ceiling_height": "8 ft", "lease": {"ends": 4}}
    assert said(shop(machines=two, building=rented), tmp_path)[Topic.LEASE] == ()


@pytest.mark.parametrize(
    ("more", "asked"),
    [
        ({"take_out": True}, True),
        ({"take_out": True, "there_too": False}, False),
        ({"take_out": False}, False),
    ],
)
def test_the_landlord_is_asked_whether_what_was_there_before_comes_out(
    more: Row, asked: bool, tmp_path: Any
) -> None:
    now = {"method": "armored drop", "panel": "main panel", "configuration": "NEMA 6-20", "breaker": "20 A"}
    two = [SAW | BY_DROP | {"now": now | {"awg": "12"}}, SAW | BY_DROP | {"name": "turner"}]
    rented = {"ceiling_height": "8 ft", "lease": {"ends": 4} | more}
    found = {entry.topic for entry in noted_before(facts_of(shop(machines=two, building=rented), tmp_path))}
    assert (Topic.THERE_BEFORE in found) is asked
    unwired = shop(machines=[SAW | BY_DROP], building=rented)
    assert Topic.THERE_BEFORE not in {entry.topic for entry in noted_before(facts_of(unwired, tmp_path))}


@pytest.mark.parametrize(("ways", "circuits"), [(BY_DROP, 1), (HARD_WIRED, 2)])
def test_machines_that_take_turns_share_a_circuit_only_by_their_plugs(
    ways: Row, circuits: int, tmp_path: Any
) -> None:
    """NFPA 70 430.53 (page): one circuit for several motors has rules that a promise to take turns does not meet."""
    bare = {"at": "bench", "volts": 240, "hp": 3, "takes_turns": "milling"} | ways
    facts = facts_of(shop(machines=[{"name": "jointer"} | bare, {"name": "planer"} | bare]), tmp_path)
    best = best_plans(Bench.over(facts, facts.shop.money.surplus), 1)[0]
    rows = circuits_today(facts, best)
    assert len(rows) == circuits
    assert sum(row.poles for row in rows) == 2 * circuits
    assert sorted(name for row in rows for name in row.machines) == ["jointer", "planer"]
    run_ft = [row.run_ft for row in rows]
    assert len(set(run_ft)) == 1  # each has a whole run of its own


def test_a_hard_wired_motor_is_asked_for_its_overload_device_its_start_and_its_marks(tmp_path: Any) -> None:
    compressor = {"name": "compressor", "at": "bench", "volts": 240, "hp": 5} | HARD_WIRED
    found = said(shop(machines=[compressor]), tmp_path)
    assert set(found) - OF_EVERY_CIRCUIT == {
        Topic.RATED_WALL,
        Topic.GROUND_COLOR,
        Topic.MOTOR_OVERLOAD,
        Topic.MOTOR_START,
        Topic.DISCONNECT_IN_SIGHT,
        Topic.TERMINALS,
        Topic.BREAKER_ABOVE_WIRE,
        Topic.PEAK_HORSEPOWER,
        Topic.WORKING_SPACE,
        Topic.VIBRATION,
        Topic.CONTROLS_UNKNOWN,
    }
    # The demo's disconnects state their marks, and NFPA 70 210.8 speaks of receptacles.
    assert not {Topic.HORSEPOWER_MARK, Topic.GROUND_FAULT} & set(found)
    stated = said(shop(machines=[compressor | {"terminals": 75}]), tmp_path)
    assert Topic.TERMINALS not in stated


def test_an_exchanged_plug_is_told(tmp_path: Any) -> None:
    found = said(shop(machines=[SAW | HARD_WIRED | {"plug_may_change": True}]), tmp_path)
    assert found[Topic.PLUG_CHANGE] == ("saw",)
    assert Topic.FACTORY_PLUG not in found


def test_a_drive_has_its_words_and_those_of_ground_fault_only_where_it_hangs_on_it(tmp_path: Any) -> None:
    ways = {"only": ["armored drop"], "forbid_supply": NO_MOTOR}
    garage = said(shop(machines=[MILL | {"ways": ways | {"hard_wired": False}}]), tmp_path)
    assert {Topic.DRIVE, Topic.DRIVE_ON_GROUND_FAULT} <= set(garage)
    hard_wired = said(shop(machines=[MILL | {"ways": ways | {"hard_wired": True}}]), tmp_path)
    assert garage[Topic.DRIVE] == hard_wired[Topic.DRIVE] == ("mill",)
    assert Topic.DRIVE_ON_GROUND_FAULT not in hard_wired
    not_there = {Topic.REPLACEMENT_MOTOR, Topic.MADE_LEG, Topic.ROTARY_CONVERTER, Topic.MOTOR_OVERLOAD}
    assert not not_there & (set(garage) | set(hard_wired))


def test_a_replacement_motor_has_its_words_and_a_drive_none(tmp_path: Any) -> None:
    ways = {"only": ["armored drop"], "forbid_supply": NO_DRIVE}
    found = said(shop(machines=[MILL | PLATE | {"ways": ways}]), tmp_path)
    assert found[Topic.REPLACEMENT_MOTOR] == ("mill",)
    assert not {Topic.DRIVE, Topic.MADE_LEG} & set(found)


@pytest.mark.parametrize(
    ("part", "as_type", "topic"),
    [
        ("rotary-converter-7-1-2", "rotary", Topic.ROTARY_CONVERTER),
        ("solid-state-converter-10", "solid-state", Topic.SOLID_STATE_CONVERTER),
        ("rotary-converter-7-1-2", "static", Topic.STATIC_CONVERTER),
    ],
)
def test_a_converter_has_its_words_and_the_made_leg_stands_once_at_its_panel(
    part: str, as_type: str, topic: Topic, tmp_path: Any
) -> None:
    """NFPA 70 455.6(B), 455.9; working space, 110.26, at each panel that is worked in, once."""
    parts = [
        entry.model_copy(update={"attributes": dict(entry.attributes) | {"type": as_type}})
        if entry.id == part
        else entry
        for entry in catalog().parts
    ]
    ways = {"only": ["armored drop"], "forbid_supply": NO_DRIVE | NO_MOTOR}
    light = {"ways": ways, "power_needed": "60 %"}
    two = [MILL | light, MILL | light | {"name": "lathe", "takes_turns": "one at a time"}]
    two[0]["takes_turns"] = "one at a time"
    written = shop(machines=two, gear=[CONVERTER | {"part": part}])
    found = said(written, tmp_path, catalog().model_copy(update={"parts": parts}))
    assert found[topic] == found[Topic.MADE_LEG] == ("converter",)
    assert set(found[Topic.PANEL_WORK]) == {"main panel", "converter"}
    assert not {Topic.DRIVE, Topic.REPLACEMENT_MOTOR, Topic.NEW_SUBPANEL} & set(found)


def test_turn_takers_at_one_outlet_are_each_asked_for_their_overload_device(tmp_path: Any) -> None:
    """NFPA 70 430.32: each motor has its own."""
    bare = {"at": "bench", "volts": 240, "hp": 3, "takes_turns": "milling"} | BY_DROP
    found = said(shop(machines=[{"name": "jointer"} | bare, {"name": "planer"} | bare]), tmp_path)
    assert set(found[Topic.MOTOR_OVERLOAD]) == {"jointer", "planer"}


def test_utility_three_phase_has_no_made_leg(tmp_path: Any) -> None:
    delta = MAIN | {"name": "delta", "system": "240 three-phase", "breakers": "family B"}
    found = said(shop(machines=[MILL | BY_DROP], panels=[MAIN, delta]), tmp_path)
    assert Topic.MADE_LEG not in found
    assert Topic.DRIVE not in found
    assert found[Topic.PANEL_WORK] == ("delta",)


def test_a_subpanel_has_a_full_neutral_and_a_directory_of_its_own(tmp_path: Any) -> None:
    full = MAIN | {"spaces_free": 2}
    two = [SAW | BY_DROP, SAW | BY_DROP | {"name": "jointer"}]
    found = said(shop(panels=[full], machines=two, gear=[FAR_SUBPANEL]), tmp_path)
    assert found[Topic.NEW_SUBPANEL] == ("far subpanel",)
    assert set(found[Topic.DIRECTORY]) == {"main panel", "far subpanel"}
    assert Topic.MADE_LEG not in found


def test_a_feeder_with_unsaid_terminals_is_asked_about_with_what_75_c_would_save(tmp_path: Any) -> None:
    """60 A: 4 AWG copper at 60 C carries 70 A, 6 AWG 55 A; at 75 C 6 AWG carries 65 A (NFPA 70, table 310.16)."""
    two = [SAW | BY_DROP, SAW | BY_DROP | {"name": "jointer"}]
    code = {"edition": 2020, "occupancy": "commercial"}
    written = shop(panels=[MAIN | {"spaces_free": 2}], machines=two, gear=[FAR_SUBPANEL], code=code)
    (line,) = said(written, tmp_path)[Topic.FEEDER_TERMINALS]
    assert line.startswith("far subpanel (6 AWG then, about USD ")
    marked = shop(
        panels=[MAIN | {"spaces_free": 2}], machines=two, gear=[FAR_SUBPANEL], code=code | {"terminals": 75}
    )
    assert Topic.FEEDER_TERMINALS not in said(marked, tmp_path)


@pytest.mark.parametrize(
    ("retool", "about"),
    [({"volts": 240, "amps": 6}, ("main panel (band saw, in year 2)",)), ({"volts": 120, "amps": 10}, None)],
)
def test_a_run_that_serves_other_lines_from_a_later_year_on_is_cautioned_about(
    retool: Row, about: tuple[str, ...] | None, tmp_path: Any
) -> None:
    band_saw = {"name": "band saw", "at": "bench", "volts": 120, "amps": 12, "plug": "NEMA 5-15"}
    only = {"ways": {"only": ["conduit drop"], "hard_wired": False}}
    event = {"year": 2, "machine": "band saw", "retool": retool}
    written = shop(
        machines=[band_saw | only], scenarios=[{"name": "later", "weight": "100 %", "events": [event]}]
    )
    assert said(written, tmp_path).get(Topic.RUN_SERVES_OTHER_LINES) == about


def test_tandem_breakers_have_their_words(tmp_path: Any) -> None:
    circuits = {"breaker": "20 A", "awg": "12", "count": 4}
    known = circuits | {"test_button": False, "shared_neutral": False, "tied": False}
    full = MAIN | {"spaces_free": 0, "tandems": 4, "one_pole_circuits": [known]}
    gear = {"name": "tandems", "kind": "tandem breaker", "panel": "main panel", "at_most": 4}
    written = shop(panels=[full], gear=[gear], code={"edition": 2020, "occupancy": "commercial"})
    assert said(written, tmp_path)[Topic.TANDEM_BREAKERS] == ("main panel",)


def test_more_than_250_volts_is_told(tmp_path: Any) -> None:
    high = MAIN | {"name": "high", "system": "277/480 three-phase", "breakers": "family B"}
    pump = {"name": "pump", "at": "bench", "volts": 480, "phases": 3, "hp": 5} | HARD_WIRED
    parts = [
        entry.model_copy(update={"attributes": dict(entry.attributes) | {"volts": 480}})
        if "volts" in entry.attributes
        else entry
        for entry in catalog().parts
    ]
    written = shop(panels=[high], machines=[pump], code={"edition": 2020, "occupancy": "commercial"})
    assert said(written, tmp_path, catalog().model_copy(update={"parts": parts}))[Topic.HIGH_VOLTAGE] == (
        "pump",
    )


def test_used_parts_are_inspected_and_a_used_breaker_is_spoken_against(tmp_path: Any) -> None:
    kinds = {part.id: part.kind for part in catalog().parts}
    used = [
        offer.model_copy(update={"condition": Condition.USED})
        if kinds.get(offer.part) == "breaker" and offer.condition is not Condition.ON_HAND
        else offer
        for offer in catalog().offers
    ]
    written = shop(money={"surplus": "allowed"}, may_be_used=["breaker"])
    found = said(written, tmp_path, catalog().model_copy(update={"offers": used}))
    assert "breaker" in found[Topic.SECOND_HAND]
    assert found[Topic.MUST_BE_NEW] == ("breaker",)


def test_a_machine_that_keeps_all_it_has_asks_for_nothing(tmp_path: Any) -> None:
    now = {
        "method": "armored drop",
        "panel": "main panel",
        "configuration": "NEMA 6-20",
        "breaker": "20 A",
        "alone": True,
        "awg": "12",
    }
    written = shop(machines=[SAW | BY_DROP | {"now": now}], code={"edition": 2020, "occupancy": "commercial"})
    assert set(said(written, tmp_path)) == {Topic.NO_DESIGN, Topic.VAPORS_UNKNOWN}
    assert set(said(written | {"building": {"flammable_vapors": False}}, tmp_path)) == {Topic.NO_DESIGN}


def test_before_a_plan_only_what_the_file_says_is_asked(tmp_path: Any) -> None:
    peak = {"amps": 100, "measured_peak": {"amps": 38, "seen": "2026-09-30", "days": 30}}
    written = shop(
        code={"occupancy": "dwelling garage"},
        building={"ceiling_height": "8 ft", "lease": {"ends": 4}},
        service=peak,
    )
    found = [entry.topic for entry in noted_before(facts_of(written, tmp_path))]
    assert found == [
        Topic.EDITION_UNKNOWN,
        Topic.VAPORS_UNKNOWN,
        Topic.LEASE,
        Topic.LEASE_END,
        Topic.MEASURED_PEAK,
        Topic.PART_OF_A_YEAR,
    ]
    assert [entry.topic for entry in noted_before(facts_of(shop(), tmp_path))] == [
        Topic.VAPORS_UNKNOWN,
        Topic.LOAD_UNKNOWN,
    ]


def test_a_motor_fed_by_a_drive_keeps_its_controls_ahead_of_it(tmp_path: Any) -> None:
    ways = {"only": ["armored drop"], "hard_wired": True, "forbid_supply": NO_MOTOR}
    with_controls = MILL | {"control_transformer": True, "ways": ways}
    assert said(shop(machines=[with_controls]), tmp_path)[Topic.CONTROLS_AHEAD_OF_DRIVE] == ("mill",)
    assert Topic.CONTROLS_AHEAD_OF_DRIVE not in said(shop(machines=[MILL | {"ways": ways}]), tmp_path)


def test_controls_hang_on_the_straight_legs_behind_a_converter_only(tmp_path: Any) -> None:
    """NFPA 70 455.9: nothing single-phase on the made leg."""
    ways = {"only": ["armored drop"], "forbid_supply": NO_DRIVE | NO_MOTOR}
    machine = MILL | {"ways": ways, "power_needed": "60 %", "control_transformer": True}
    behind = said(shop(machines=[machine], gear=[CONVERTER]), tmp_path)
    assert behind[Topic.CONTROLS_ON_STRAIGHT_LEGS] == ("mill",)
    delta = MAIN | {"name": "delta", "system": "240 three-phase", "breakers": "family B"}
    utility = said(shop(machines=[machine], panels=[MAIN, delta]), tmp_path)
    assert Topic.CONTROLS_ON_STRAIGHT_LEGS not in utility


@pytest.mark.parametrize(
    ("place", "edition", "hard_wired", "asked"),
    [
        (True, 2020, False, True),
        (True, 2014, False, False),
        (True, 2020, True, False),
        (False, 2020, False, False),
    ],
)
def test_the_inspector_is_asked_of_a_made_leg_in_a_listed_place(
    place: bool, edition: int, hard_wired: bool, asked: bool, tmp_path: Any
) -> None:
    """NFPA 70 210.8(B) from 2017, from memory: receptacles up to 150 V to ground; the made leg has about 208 V."""
    ways = {"only": ["conduit drop"], "hard_wired": hard_wired, "forbid_supply": NO_DRIVE | NO_MOTOR}
    code = {"edition": edition, "occupancy": "commercial", "ground_fault_place": place}
    written = shop(machines=[MILL | {"ways": ways}], gear=[CONVERTER], code=code)
    assert (Topic.HIGH_TO_GROUND in said(written, tmp_path)) is asked


@pytest.mark.parametrize(("load", "switched"), [({"hp": 2}, True), ({"amps": 12, "load": "heater"}, False)])
def test_a_motor_on_a_cord_wired_into_it_has_a_switch_at_the_machine(
    load: Row, switched: bool, tmp_path: Any
) -> None:
    """NFPA 70 430.102(B): a disconnect in sight of the motor; the plug is beside the panel. No connectors are sold here."""
    kinds = {part.id: part.kind for part in catalog().parts}
    sold = [offer for offer in catalog().offers if kinds[offer.part] != "connector"]
    machine = {"name": "it", "at": "bench", "volts": 240, "ways": {"only": ["cord"]}} | load
    facts = facts_of(shop(machines=[machine]), tmp_path, catalog().model_copy(update={"offers": sold}))
    best = best_plans(Bench.over(facts, facts.shop.money.surplus), 1)[0]
    ((_, way, _),) = best.plan.shares()
    assert way.wired_in
    found = {entry.topic: entry.about for entry in noted(facts, best)}
    assert found.get(Topic.DISCONNECT_IN_SIGHT) == (("it",) if switched else None)
    assert Topic.DISCONNECT_NOT_SEEN not in found  # it is bought, so nobody is asked which one there is
    assert ("disconnect" in {bought.need.spec.kind for bought in best.plan.bought}) is switched
    (row,) = circuits_today(facts, best)
    assert ("then a disconnect, 2-pole" in row.cord) is switched
    assert ("marked for at least 2 hp" in row.cord) is switched


@pytest.mark.parametrize("wired_in", [True, False])
def test_a_cord_wired_into_the_machine_has_its_grip(wired_in: bool, tmp_path: Any) -> None:
    """NFPA 70 400.14: no pull reaches the terminals. An oven needs no switch in sight, so that its connector is spared."""
    bare = {"name": "oven", "at": "bench", "volts": 240, "amps": 12, "load": "heater"}
    plugged = SAW
    machine = (bare if wired_in else plugged) | {"ways": {"only": ["cord"]}}
    assert (Topic.CORD_WIRED_IN in said(shop(machines=[machine]), tmp_path)) is wired_in


@pytest.mark.parametrize(
    ("run", "laid"), [("wall drop", True), ("armored drop", False), ("conduit drop", False)]
)
def test_cable_is_told_to_be_protected_where_it_is_laid(run: str, laid: bool, tmp_path: Any) -> None:
    """NFPA 70 334.15, of nonmetallic cable; armored cable and conduit are their own protection."""
    found = said(shop(machines=[SAW | {"ways": {"only": [run], "hard_wired": False}}]), tmp_path)
    assert (Topic.CABLE_LAID in found) is laid
    assert (Topic.CABLE_IN_REACH in found) is (run == "armored drop")


def test_a_main_disconnect_asks_the_utility_and_nobody_else_hears_of_it(tmp_path: Any) -> None:
    switch = {"name": "main switch", "kind": "main disconnect", "amps": "200 A", "quote": 640.00}
    service = {"amps": 200, "other_load": 30}
    found = said(shop(gear=[switch], service=service), tmp_path)
    assert found[Topic.MAIN_DISCONNECT] == ("main switch",)
    assert Topic.MAIN_DISCONNECT not in said(shop(service=service), tmp_path)


def test_one_pole_circuits_are_asked_for_their_line_and_two_pole_ones_for_their_spaces(tmp_path: Any) -> None:
    drill = {"name": "drill", "at": "bench", "volts": 120, "amps": 8, "plug": "NEMA 5-15"} | BY_DROP
    one = said(shop(machines=[drill]), tmp_path)
    assert one[Topic.LINES_IN_BALANCE] == ("main panel",)
    assert Topic.SPACES_SIDE_BY_SIDE not in one
    two = said(shop(), tmp_path)
    assert two[Topic.SPACES_SIDE_BY_SIDE] == ("main panel",)
    assert Topic.LINES_IN_BALANCE not in two


def test_circuits_of_fewer_poles_than_lines_are_asked_for_their_lines(tmp_path: Any) -> None:
    """Two 208 V circuits of two poles on a wye panel are on two of its three lines each; a three-pole one is on all."""
    wye = MAIN | {"system": "120/208 three-phase", "breakers": "family B"}
    oven = {"at": "bench", "volts": 208, "amps": 12, "load": "heater"} | BY_DROP
    two = [oven | {"name": "kiln"}, oven | {"name": "oven"}]
    mill = MILL | {"volts": 208} | BY_DROP
    found = said(shop(panels=[wye], machines=[*two, mill]), tmp_path)
    assert found[Topic.LINES_IN_BALANCE] == ("main panel (kiln, oven)",)
    assert Topic.LINES_IN_BALANCE not in said(shop(panels=[wye], machines=[two[0], mill]), tmp_path)
    both = [oven | {"name": name, "volts": 240} for name in ("kiln", "oven")]
    assert Topic.LINES_IN_BALANCE not in said(shop(machines=both), tmp_path)


def test_rooms_of_a_dwelling_ask_for_arc_fault_protection_and_garages_do_not(tmp_path: Any) -> None:
    """NFPA 70 210.12(A), from memory: 120 V outlets up to 20 A in rooms and finished basements."""
    vacuum = {"name": "vacuum", "at": "bench", "volts": 120, "amps": 12, "plug": "NEMA 5-15"} | BY_DROP
    for occupancy, asked in (
        ("dwelling room", True),
        ("finished dwelling basement", True),
        ("dwelling garage", False),
        ("commercial", False),
    ):
        code = {"edition": 2020, "occupancy": occupancy}
        found = said(shop(machines=[vacuum, SAW | BY_DROP], code=code), tmp_path)
        assert found.get(Topic.ARC_FAULT) == (("vacuum",) if asked else None), occupancy


def test_a_delta_with_new_breakers_is_asked_how_it_is_grounded(tmp_path: Any) -> None:
    """NFPA 70 240.85, from memory."""
    delta = MAIN | {"name": "delta", "system": "240 three-phase", "breakers": "family B"}
    assert said(shop(machines=[MILL | BY_DROP], panels=[MAIN, delta]), tmp_path)[Topic.DELTA] == ("delta",)
    assert Topic.DELTA not in said(shop(), tmp_path)


# words that a way brings -----------------------------------------------------------------------------


def test_several_motors_of_a_machine_are_spoken_of(tmp_path: Any) -> None:
    """NFPA 70 430.53: several motors on one circuit are each looked at."""
    saw = {"name": "saw", "at": "bench", "volts": 240, "hp": 3} | HARD_WIRED
    pump = {"more_motors": [{"what": "coolant pump", "hp": "1/8 hp", "amps": 1.1}]}
    assert said(shop(machines=[saw | pump]), tmp_path)[Topic.SEVERAL_MOTORS] == ("saw",)
    assert Topic.SEVERAL_MOTORS not in said(shop(machines=[saw]), tmp_path)


def test_other_volts_than_the_plate_s_are_spoken_of(tmp_path: Any) -> None:
    """A 230 V motor on 208 V is within the 10 % of NEMA MG 1 12.44 (from memory), and is asked about."""
    wye = MAIN | {"system": "120/208 three-phase"}
    saw = {"name": "saw", "at": "bench", "volts": 230, "hp": 2} | HARD_WIRED
    found = said(shop(panels=[wye], machines=[saw]), tmp_path)
    assert "208 V" in found[Topic.OTHER_VOLTS][0]
    assert Topic.OTHER_VOLTS not in said(shop(machines=[saw]), tmp_path)
    plated = saw | {"volts": 208}
    assert Topic.OTHER_VOLTS not in said(shop(panels=[wye], machines=[plated]), tmp_path)


def test_a_transformer_has_its_words_where_one_is_put_in(tmp_path: Any) -> None:
    """240 V elements that need all their heat on 208 V: only through a transformer; on 240 V none."""
    wye = MAIN | {"system": "120/208 three-phase"}
    kiln = {"name": "kiln", "at": "bench", "volts": 240, "amps": 20, "load": "heater"} | HARD_WIRED
    assert said(shop(panels=[wye], machines=[kiln]), tmp_path)[Topic.TRANSFORMER] == ("kiln",)
    assert Topic.TRANSFORMER not in said(shop(machines=[kiln]), tmp_path)
    colder = kiln | {"least_heat": "70 %"}
    assert Topic.TRANSFORMER not in said(shop(panels=[wye], machines=[colder]), tmp_path)


@pytest.mark.parametrize(("frame", "told"), [("184T", "frame 182T in place of 184T"), ("182T", "")])
def test_a_motor_of_another_frame_has_other_foot_holes(frame: str, told: str, tmp_path: Any) -> None:
    """182T and 184T share shaft and height; their feet differ in length (NEMA MG 1, from memory)."""
    ways = {"only": ["armored drop"], "forbid_supply": NO_DRIVE}
    parts = [part for part in catalog().parts if part.kind != "motor" or part.id == "motor-3"]
    offers = [offer for offer in catalog().offers if offer.part in {part.id for part in parts}]
    only_182t = catalog().model_copy(update={"parts": parts, "offers": offers})
    found = said(shop(machines=[MILL | PLATE | {"frame": frame, "ways": ways}]), tmp_path, only_182t)
    assert found.get(Topic.OTHER_FOOT_HOLES, ("",)) == (f"mill ({told})" if told else "",)


@pytest.mark.parametrize(("feet", "spliced"), [(150, True), (20, False)])
def test_pigtails_are_spoken_of_where_a_run_is_too_heavy_for_its_ends(
    feet: int, spliced: bool, tmp_path: Any
) -> None:
    """12 A at 120 V over 150 ft takes 8 AWG for 3 %, and a 20 A device takes no 8 AWG; over 20 ft 12 AWG does."""
    grinder = {"name": "grinder", "at": "bench", "volts": 120, "amps": 12, "plug": "NEMA 5-15"}
    ways = {"ways": {"only": ["conduit drop"], "hard_wired": False}}
    routes = [{"from": "main panel", "to": "bench", "fixed": feet}]
    found = said(shop(machines=[grinder | ways], routes=routes), tmp_path)
    assert (Topic.PIGTAILS in found) is spliced


@pytest.mark.parametrize(("volts", "amps", "in_it"), [(120, 12, True), (240, 12, False)])
def test_a_ground_fault_receptacle_has_its_words_where_it_is_chosen(
    volts: int, amps: int, in_it: bool, tmp_path: Any
) -> None:
    """At 120 V the receptacle that protects is cheaper than such a breaker; at 240 V none is sold (NFPA 70 210.8)."""
    plug = "NEMA 5-15" if volts == 120 else "NEMA 6-20"
    machine = {"name": "grinder", "at": "bench", "volts": volts, "amps": amps, "plug": plug} | BY_DROP
    found = said(shop(machines=[machine]), tmp_path)
    assert (Topic.GROUND_FAULT_RECEPTACLE in found, Topic.GROUND_FAULT in found) == (in_it, not in_it)
    hard = {"name": "grinder", "at": "bench", "volts": volts, "amps": amps} | HARD_WIRED
    assert not {Topic.GROUND_FAULT_RECEPTACLE, Topic.GROUND_FAULT} & set(
        said(shop(machines=[hard]), tmp_path)
    )


@pytest.mark.parametrize(
    ("amps", "places", "spoken_of"),
    [
        # 3 A and 3 A of 20 A; 14 A and 3 A; 17 A is above 80 % of 20 A (16 A); 12 A and 12 A are 24 A.
        ((3, 3), ("bench", "bench"), True),
        ((3, 14), ("bench", "bench"), True),
        ((3, 17), ("bench", "bench"), False),
        ((12, 12), ("bench", "bench"), False),
        ((3, 3), ("bench", "corner"), False),
    ],
)
def test_small_machines_at_one_place_may_share_a_circuit(
    amps: tuple[int, int], places: tuple[str, str], spoken_of: bool, tmp_path: Any
) -> None:
    """NFPA 70 210.23(A), from memory: 80 % of a 15 or 20 A circuit for one machine with a plug, all of it for all."""
    machines = [
        {"name": name, "at": place, "volts": 120, "amps": draw, "plug": "NEMA 5-20", "load": "other"}
        | BY_DROP
        for name, draw, place in zip(("one", "two"), amps, places, strict=True)
    ]
    found = said(shop(machines=machines), tmp_path)
    assert set(found.get(Topic.SEVERAL_ON_ONE, ())) == ({"one", "two"} if spoken_of else set())


def test_turns_at_the_panel_are_those_of_cords_only(tmp_path: Any) -> None:
    """At the machines' own place plugs are changed where one stands; common practice, no source."""
    pair = [
        {"name": name, "at": "bench", "volts": 240, "hp": 1, "takes_turns": "a"} for name in ("saw", "mill")
    ]
    told = [said(shop(machines=[each | way for each in pair]), tmp_path) for way in (BY_CORD, BY_DROP)]
    assert set(told[0][Topic.TURNS_AT_PANEL]) == {"saw", "mill"}
    assert Topic.TURNS_AT_PANEL not in told[1]


@pytest.mark.parametrize(
    ("way", "code", "spoken_of"),
    [
        (BY_DROP, {"occupancy": "dwelling garage"}, {Topic.TAMPER_RESISTANT}),
        (BY_DROP, {"occupancy": "school"}, {Topic.SMALL_CHILDREN}),
        (BY_DROP, {"occupancy": "commercial"}, set()),
        (BY_DROP | {"plug": "NEMA L6-20"}, {"occupancy": "dwelling garage"}, set()),
    ],
)
def test_receptacles_in_homes_and_schools_are_tamper_resistant(
    way: Row, code: Row, spoken_of: set[Topic], tmp_path: Any
) -> None:
    """NFPA 70 406.12, from memory: straight-blade receptacles of 15 and 20 A; a locking one is none. Here no part states it."""
    demo = catalog()
    plain = demo.model_copy(
        update={"parts": [part for part in demo.parts if "tamper_resistant" not in part.attributes]}
    )
    left = {part.id for part in plain.parts}
    plain = plain.model_copy(update={"offers": [row for row in plain.offers if row.part in left]})
    found = said(shop(machines=[SAW | way], code={"edition": 2020, **code}), tmp_path, plain)
    assert {Topic.TAMPER_RESISTANT, Topic.SMALL_CHILDREN} & set(found) == spoken_of


@pytest.mark.parametrize(
    ("run", "topic", "other"),
    [
        ("conduit drop", Topic.GROUND_COLOR, Topic.CABLE_FITTINGS),
        ("armored drop", Topic.CABLE_FITTINGS, Topic.GROUND_COLOR),
    ],
)
def test_ground_wire_is_green_and_fittings_are_of_their_cable(
    run: str, topic: Topic, other: Topic, tmp_path: Any
) -> None:
    """NFPA 70 250.119 and 330.40, from memory."""
    found = said(shop(machines=[SAW | {"ways": {"only": [run], "hard_wired": False}}]), tmp_path)
    assert topic in found
    assert other not in found


@pytest.mark.parametrize(("amps", "bushed"), [(50, False), (56, True)])
def test_thick_wire_in_conduit_wants_bushings(amps: int, bushed: bool, tmp_path: Any) -> None:
    """NFPA 70 300.4(G), from memory: 4 AWG or thicker; 6 AWG carries 55 A at 60 C (Table 310.16), so 56 A asks for 4 AWG."""
    oven = {"name": "oven", "at": "bench", "volts": 240, "amps": amps, "load": "other"} | HARD_WIRED
    assert (Topic.BUSHINGS in said(shop(machines=[oven]), tmp_path)) is bushed


def test_no_breaker_above_its_receptacle_is_priced(tmp_path: Any) -> None:
    """175 % of 12 A is 21 A: 25 A would be above the 20 A of its single receptacle (NFPA 70 210.21(B)(1), from memory)."""
    found = said(shop(machines=[{"name": "saw", "at": "bench", "volts": 240, "hp": 2} | BY_DROP]), tmp_path)
    assert found[Topic.MOTOR_START] == ("saw (20 A behind its receptacle, by habit at least 21 A)",)


# cords, plugs and what never moves --------------------------------------------------------------------

BARE: Row = {"name": "saw", "at": "bench", "volts": 240, "hp": 1}


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        (
            BY_DROP,
            "saw (plug NEMA 6-20 behind 20 A: 12 AWG or thicker; 6 ft of it are priced in case it has none",
        ),
        (BY_DROP | {"cord": {"awg": "12"}}, ""),
        (HARD_WIRED, ""),
        (BY_DROP | {"plug": "NEMA 6-20", "amps": 8}, ""),
    ],
    ids=["nobody described it", "described", "none", "a factory plug"],
)
def test_a_cord_that_nobody_described_is_asked_for_with_its_least_gauge(
    changes: Row, told: str, tmp_path: Any
) -> None:
    """12 AWG with two conductors that carry current carries 25 A, 14 AWG 18 A (NFPA 70 Table 400.5(A)(1))."""
    (found,) = said(shop(machines=[BARE | changes]), tmp_path).get(Topic.OWN_CORD, ("",))
    assert str(found).split(": USD")[0].rstrip(")") == told.rstrip(")")


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        (BY_DROP | {"never_moves": True}, True),
        (BY_DROP, False),
        (HARD_WIRED | {"never_moves": True}, False),
        (BY_DROP | {"never_moves": True, "plug": "NEMA 6-20", "amps": 8}, False),
    ],
)
def test_a_bolted_machine_on_a_plug_is_asked_about(changes: Row, told: bool, tmp_path: Any) -> None:
    """NFPA 70 400.10(A)(6) to (8)."""
    assert (Topic.BOLTED_ON_PLUG in said(shop(machines=[BARE | changes]), tmp_path)) is told


def test_a_cord_is_questioned_for_the_scenarios_that_never_move_its_machine(tmp_path: Any) -> None:
    events = [{"year": 2, "machine": "saw", "move": "corner"}]
    some = [
        {"name": "stays", "weight": "60 %"},
        {"name": "moves", "weight": "40 %", "events": events},
    ]
    found = said(shop(machines=[SAW | BY_CORD], scenarios=some), tmp_path)
    assert found[Topic.STILL_CORD] == ("saw (in scenarios of 60 %)",)
    assert said(shop(machines=[SAW | BY_CORD]), tmp_path)[Topic.STILL_CORD] == ("saw",)


def _ways_of(machine: Row, tmp_path: Any) -> dict[str, str | None]:
    """Cords of a machine, each with why it is refused."""
    facts = facts_of(shop(machines=[machine]), tmp_path)
    options = Bench.over(facts, facts.shop.money.surplus).priced_survey.options[machine["name"]]
    return {repr(o.way): o.refused for o in options if o.way.method is Method.CORD}


def test_no_cord_is_ranked_as_the_fixed_wiring_of_a_heater_that_never_moves(tmp_path: Any) -> None:
    """NFPA 70 400.12(1); `only` asks for it nevertheless, and then it is questioned. A motor is questioned only."""
    heater = {
        "name": "heater",
        "at": "bench",
        "volts": 240,
        "amps": 16,
        "load": "heater",
        "never_moves": True,
    }
    refused = _ways_of(heater, tmp_path)
    assert refused
    assert all(why is not None and "400.12" in why for why in refused.values())
    asked_for = heater | {"ways": {"only": ["cord"]}}
    assert set(_ways_of(asked_for, tmp_path).values()) == {None}
    assert Topic.STILL_CORD in said(shop(machines=[asked_for]), tmp_path)
    for other in (heater | {"never_moves": False}, BARE | {"never_moves": True}):
        assert set(_ways_of(other, tmp_path).values()) == {None}


# converters -------------------------------------------------------------------------------------------


def test_the_panel_behind_a_converter_is_spoken_of_and_so_are_wires_that_no_recipe_has(tmp_path: Any) -> None:
    """NFPA 70 408.36, 240.21: what feeds the converter protects the panel and the wires behind it."""
    ways = {"only": ["armored drop"], "forbid_supply": NO_DRIVE | NO_MOTOR}
    written = shop(machines=[MILL | {"ways": ways}], gear=[CONVERTER])
    assert said(written, tmp_path)[Topic.PANEL_BEHIND_CONVERTER] == ("converter",)
    assert "neither may be rated for less" in remark(Topic.PANEL_BEHIND_CONVERTER).short
    facts = facts_of(written, tmp_path)
    (gear,) = facts.shop.gear
    assert wires_left_out(facts, gear) == "the wires from it to its panel are not priced: its recipe has none"
    wire = RecipePart.model_validate({"kind": "building wire", "quantity": 40, "attributes": {"awg": "6"}})
    recipe = facts.catalog.recipes["phase converter"]
    held = recipe.model_copy(update={"parts": [*recipe.parts, wire]})
    recipes = facts.catalog.recipes | {"phase converter": held}
    with_wires = facts_of(written, tmp_path, catalog().model_copy(update={"recipes": recipes}))
    assert wires_left_out(with_wires, gear) == ""
    quoted = gear.model_copy(update={"quote_cents": 100_000})
    assert wires_left_out(facts, quoted) == ""
    plain = said(shop(), tmp_path)
    assert not {Topic.PANEL_BEHIND_CONVERTER, Topic.STATIC_CONVERTER} & set(plain)


def test_the_demo_sells_a_converter_that_only_starts_motors(tmp_path: Any) -> None:
    """A mill that gets by with two thirds of its 3 hp may have it; one that needs all of it may not."""
    static = CONVERTER | {"part": "static-converter-5"}
    ways = {"only": ["armored drop"], "forbid_supply": NO_DRIVE | NO_MOTOR}
    light = MILL | {"ways": ways, "power_needed": "60 %"}
    assert said(shop(machines=[light], gear=[static]), tmp_path)[Topic.STATIC_CONVERTER] == ("converter",)
    with pytest.raises(NoPlanError, match="gives 67 % of a motor's power"):
        said(shop(machines=[MILL | {"ways": ways}], gear=[static]), tmp_path)
