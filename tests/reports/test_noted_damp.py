"""What is said and asked of things in a damp place, where it applies and nowhere else.

NFPA 70 110.11, 110.28, 312.2, 408.37, 400.10, from memory: what is put into a damp place is made for it, by its place and not
by the outlet's; what enclosure a thing has is read on its label. All shops are invented, worked by hand.
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
)
from test_noted import shop as garage

from costplan.program.bench import Bench
from costplan.program.ranking import best_plans
from costplan.reports.circuits import circuits_today
from costplan.reports.noted import Line
from costplan.reports.remarks import Topic, Whom, remark

OF_DAMP = {Topic.DAMP_PLACE, Topic.DAMP_OUTLET, Topic.DAMP_CORD, Topic.DAMP_GEAR, Topic.DAMP_PANEL}
THERE: Row = {
    "now": {
        "method": "armored drop",
        "panel": "main panel",
        "configuration": "NEMA 6-20",
        "breaker": "20 A",
        "poles": 2,
        "awg": "12",
    }
}
ON_CONVERTER: Row = MILL | {"ways": HARD_WIRED["ways"] | {"forbid_supply": NO_DRIVE | NO_MOTOR}}


def shop(*damp: str, machine: Row, **changes: Any) -> Row:
    """A garage of no listed places but those that are damp."""
    at = {"wall": [0, 0], "bench": [10, 0], "corner": [4, 6]}
    places = [
        {"name": name, "at": spot} | ({"ground_fault_place": "damp"} if name in damp else {})
        for name, spot in at.items()
    ]
    code = {"edition": 2023, "occupancy": "commercial", "ground_fault_place": False}
    return garage(code=code, places=places, machines=[machine], panels=[MAIN], **changes)


@pytest.mark.parametrize(
    ("damp", "machine", "topics"),
    [
        ((), SAW | BY_DROP, set()),
        (("bench",), SAW | BY_DROP, {Topic.DAMP_PLACE}),
        (("wall",), SAW | BY_DROP, {Topic.DAMP_PANEL}),
        (("bench",), SAW | BY_CORD, {Topic.DAMP_CORD}),
        (("wall",), SAW | BY_CORD, {Topic.DAMP_PLACE, Topic.DAMP_PANEL}),
        (("bench",), SAW | BY_DROP | THERE, {Topic.DAMP_OUTLET}),
        (("wall",), SAW | BY_DROP | THERE, set()),
    ],
    ids=["dry", "outlet", "panel", "its connector", "outlet beside the panel", "stays", "stays, panel"],
)
def test_each_thing_goes_by_its_own_place(
    damp: tuple[str, ...], machine: Row, topics: set[Topic], tmp_path: Any
) -> None:
    assert OF_DAMP & set(said(shop(*damp, machine=machine), tmp_path)) == topics


def test_gear_and_disconnects_in_the_damp_are_asked_for_their_enclosures(tmp_path: Any) -> None:
    """The converter stands in the damp corner, and its panel with it; the mill and its disconnect at the bench."""
    gear = said(shop("corner", machine=ON_CONVERTER, gear=[CONVERTER]), tmp_path)
    assert gear[Topic.DAMP_GEAR] == ("converter",)
    assert not {Topic.DAMP_PLACE, Topic.DAMP_PANEL} & set(gear)
    at_bench = said(shop("bench", machine=ON_CONVERTER, gear=[CONVERTER]), tmp_path)
    assert at_bench[Topic.DAMP_PLACE] == (Line("mill", "no part on offer states it: disconnect"),)
    assert not {Topic.DAMP_GEAR, Topic.DAMP_PANEL} & set(at_bench)


@pytest.mark.parametrize("topic", [Topic.DAMP_GEAR, Topic.DAMP_PANEL, Topic.DAMP_OUTLET, Topic.DAMP_CORD])
def test_whoever_owns_it_and_whoever_works_on_it_are_asked(topic: Topic) -> None:
    assert {Whom.OWNER, Whom.ELECTRICIAN} <= {ask.of for ask in remark(topic).asks}


@pytest.mark.parametrize("damp", [True, False])
def test_what_disconnects_a_machine_that_keeps_its_run_has_a_case_for_the_damp(
    damp: bool, tmp_path: Any
) -> None:
    """NFPA 70 312.2, from memory: also where nobody described the switch that must be at the motor."""
    now = {"now": THERE["now"] | {"configuration": "NEMA 6-30", "breaker": "30 A", "awg": "10"}}
    told = SAW | BY_DROP | {"hp": 3} | now
    bare = {name: value for name, value in told.items() if name not in ("plug", "amps")}
    facts = facts_of(shop(*(["bench"] if damp else []), machine=bare), tmp_path)
    best = best_plans(Bench.over(facts, facts.shop.money.surplus), 1)[0]
    words = " ".join(f"{row.outlet} {row.cord} {row.state}" for row in circuits_today(facts, best))
    assert "nobody described it" in words
    assert ("type 3R" in words) == damp
