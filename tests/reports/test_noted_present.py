"""What is said of welders and of circuits that are there, where it applies and nowhere else.

Sections stand beside the words in remarks.yaml. All shops are invented.
"""

from typing import Any

from test_noted import BY_DROP, HARD_WIRED, Row, said, shop

from costplan.reports.remarks import Topic

WELDER: Row = {
    "name": "welder",
    "at": "bench",
    "volts": 240,
    "amps": 46,
    "load": "welder",
    "duty_cycle": "40 %",
}
COMMERCIAL = {"edition": 2020, "occupancy": "commercial", "ground_fault_place": False}


def test_a_welder_is_asked_for_its_plate_and_what_else_its_outlet_serves(tmp_path: Any) -> None:
    """NFPA 70 630.11, 630.12: behind an outlet its wire is its breaker's; hard-wired it is thinner, for the welder only."""
    plugged = said(shop(code=COMMERCIAL, machines=[WELDER | {"plug": "NEMA 6-50"} | BY_DROP]), tmp_path)
    assert plugged[Topic.WELDER] == ("welder",)
    assert Topic.BREAKER_ABOVE_WIRE not in plugged
    wired = said(shop(code=COMMERCIAL, machines=[WELDER | HARD_WIRED]), tmp_path)
    assert wired[Topic.WELDER] == wired[Topic.BREAKER_ABOVE_WIRE] == ("welder",)
    oven = said(
        shop(code=COMMERCIAL, machines=[WELDER | HARD_WIRED | {"load": "other", "duty_cycle": None}]),
        tmp_path,
    )
    assert not {Topic.WELDER, Topic.BREAKER_ABOVE_WIRE} & set(oven)
