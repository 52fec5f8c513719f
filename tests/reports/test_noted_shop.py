"""What is asked once of a shop and its panels, and of how motors run: counted, where it applies and nowhere else.

All shops are invented; where no section is named it is common practice, no source.
"""

from typing import Any

import pytest
from test_noted import (
    BY_CORD,
    BY_DROP,
    CONVERTER,
    HARD_WIRED,
    MAIN,
    MILL,
    NO_DRIVE,
    NO_MOTOR,
    SAW,
    Row,
    facts_of,
    said,
    shop,
)

from costplan.program.bench import Bench
from costplan.program.ranking import best_plans
from costplan.reports.first_screen import first_screen
from costplan.reports.noted import noted
from costplan.reports.noted_shop import notes_of
from costplan.reports.parts import Part
from costplan.reports.remarks import Topic
from costplan.reports.terminal import comparison_text
from costplan.reports.there import There
from costplan.studies.comparison import compare
from costplan.studies.wanted import Wanted

THREE: Row = MILL | {
    "ways": {"only": ["armored drop"], "forbid_supply": NO_DRIVE | NO_MOTOR},
    "power_needed": "60 %",
}
BEHIND: Row = {"machines": [THREE], "gear": [CONVERTER]}
ON_DELTA: Row = {
    "machines": [THREE],
    "panels": [MAIN, MAIN | {"name": "delta", "system": "240 three-phase", "breakers": "family B"}],
}
IN_WALL: Row = {"machines": [SAW | {"ways": {"only": ["wall drop"], "hard_wired": False}}]}
HIRED: Row = {"name": "one electrician", "role": "electrician", "rate": 1, "permit": 1}
SMALL: Row = {"name": "sander", "at": "bench", "volts": 120, "amps": 3, "plug": "NEMA 5-15"} | BY_CORD


def test_outlets_and_cords_beside_a_panel_are_counted_and_so_are_small_machines_alone(tmp_path: Any) -> None:
    """Nine machines, nine outlets, nine cords: counted; that about eight find room is common practice, no source."""
    panels = [MAIN | {"spaces_free": 20}]
    facts = facts_of(shop(machines=[SMALL | {"count": 9}], panels=panels), tmp_path)
    best = best_plans(Bench.over(facts, facts.shop.money.surplus), 1)[0]
    found = {entry.topic: entry.about for entry in noted(facts, best)}
    assert found[Topic.PANEL_WORK] == ("main panel (9 outlets and 9 cords beside it)",)
    assert found[Topic.CROWDED_PANEL] == found[Topic.PANEL_WORK]
    assert Topic.SEVERAL_ON_ONE in found
    crowded, small = notes_of(There(facts, best))
    assert crowded.startswith("9 outlets and 9 cords beside main panel")
    assert small.startswith("9 small machines on a circuit each")
    few = said(shop(machines=[SMALL | {"count": 2}]), tmp_path)
    assert few[Topic.PANEL_WORK] == ("main panel (2 outlets and 2 cords beside it)",)
    assert Topic.CROWDED_PANEL not in few


def test_a_cord_is_asked_about_with_where_it_goes_and_its_feet(tmp_path: Any) -> None:
    """A measured 30 ft, and 3 ft on the floor by the demo's recipe."""
    routes = [{"from": "main panel", "to": "bench", "cord": 30}]
    found = said(shop(machines=[SAW | BY_CORD], routes=routes), tmp_path)
    assert found[Topic.HUNG_CORD] == ("saw (from beside main panel to bench, 33 ft)",)


@pytest.mark.parametrize(
    ("change", "topic", "holds"),
    [
        ({"code": {"edition": 2020, "occupancy": "school"}}, Topic.SCHOOL, True),
        ({}, Topic.SCHOOL, False),
        ({"crews": [HIRED | {"rate_from": "owner"}]}, Topic.RATE_RECKONED, True),
        ({"crews": [HIRED]}, Topic.RATE_RECKONED, False),
        ({"machines": [SAW | BY_DROP, SAW | BY_DROP | {"name": "planer"}]}, Topic.CONTROL_WIRES, True),
        ({}, Topic.CONTROL_WIRES, False),
        ({"machines": [SAW | {"load": "welder", "plug": "NEMA 6-50"} | BY_DROP]}, Topic.WELDER_OUTLET, True),
        (
            {
                "machines": [
                    {"name": "mig", "at": "bench", "volts": 240, "amps": 20, "load": "welder"} | HARD_WIRED
                ]
            },
            Topic.WELDER_OUTLET,
            False,
        ),
        (BEHIND, Topic.ROTATION, True),
        (BEHIND, Topic.DELTA, False),
        (BEHIND, Topic.MADE_LEG, True),
        (ON_DELTA, Topic.ROTATION, True),
        (ON_DELTA, Topic.DELTA, True),
        ({}, Topic.ROTATION, False),
        (IN_WALL, Topic.IN_THE_WALL, True),
        (IN_WALL, Topic.OLD_FINISH, True),
        ({}, Topic.IN_THE_WALL, False),
        ({}, Topic.OLD_FINISH, False),
        ({"panels": [MAIN | {"flush": True}]}, Topic.OLD_FINISH, True),
    ],
)
def test_what_a_trade_asks_is_asked_where_it_applies(
    change: Row, topic: Topic, holds: bool, tmp_path: Any
) -> None:
    """A leg that a converter makes is no grounding to ask about (NFPA 70 455.9, from memory); the rest is common practice."""
    assert (topic in said(shop(**change), tmp_path)) is holds


def test_the_first_screen_says_how_many_small_machines_have_a_circuit_each(tmp_path: Any) -> None:
    found = compare(facts_of(shop(machines=[SMALL | {"count": 2}]), tmp_path), Wanted(plans=1))
    assert "Notes: 2 small machines on a circuit each" in first_screen(found)
    assert "2 small machines on a circuit each" in comparison_text(found, parts=(Part.NOTES,))
