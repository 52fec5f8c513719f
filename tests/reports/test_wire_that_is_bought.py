"""The breaker of a hard-wired motor by the ground that cables on offer have, and the wire that sheet and list name.

Hand case, NFPA 70 2023: 7-1/2 hp at 240 V single-phase draws 40 A (Table 430.248). 175 % is 70 A, whose ground is 8 AWG
(Table 250.122, over 60 A); 150 % is 60 A, whose ground is 10 AWG. Both are within the 250 % of 430.52(C)(1). The demo sells
NM-B 6/2 with a ground of 10 AWG, so 60 A and 6 AWG are taken; with 8 AWG on offer, or a margin that the shop
states, 70 A stays.
"""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from test_noted import MAIN, Row, catalog, facts_of, shop

from costplan.circuits.circuit import Builder
from costplan.circuits.ways import Way
from costplan.model.catalog import Catalog
from costplan.model.choices import Method
from costplan.program.bench import Bench
from costplan.program.ranking import best_plans
from costplan.reports.circuits import circuits_today
from costplan.reports.noted import noted
from costplan.reports.remarks import Topic
from costplan.years.calendar import first_standings

COMP: Row = {
    "name": "comp",
    "at": "bench",
    "volts": 240,
    "hp": "7-1/2 hp",
    "ways": {"only": ["wall drop"], "hard_wired": True},
}
INSIDE: Row = {"construction": "type V", "finished_walls": True}


def written(machine: Row = COMP, **code: Any) -> Row:
    return shop(
        machines=[machine],
        building=INSIDE,
        code={"edition": 2023, "occupancy": "commercial", "ground_fault_place": False, **code},
    )


def with_ground(awg: str) -> Catalog:
    """The demo with 6/2 cable that has such a ground."""
    known = catalog()
    parts = [
        part.model_copy(update={"attributes": part.attributes | {"ground_awg": awg}})
        if part.kind == "building cable" and part.attributes["awg"] == "6"
        else part
        for part in known.parts
    ]
    return known.model_copy(update={"parts": parts})


@pytest.mark.parametrize(
    ("hp", "found", "method", "margin", "sized"),
    [
        ("7-1/2 hp", None, Method.WALL, None, (60, "6", "10", True)),
        ("7-1/2 hp", "8", Method.WALL, None, (70, "6", "8", False)),
        ("7-1/2 hp", None, Method.CONDUIT, None, (70, "6", "8", False)),
        ("7-1/2 hp", None, Method.WALL, "175 %", (70, "6", "8", False)),
        ("5 hp", None, Method.WALL, None, (50, "8", "10", False)),
    ],
    ids=["6/2 with 10 AWG", "6/2 with 8 AWG", "conduit", "the shop's own margin", "50 A by habit"],
)
def test_the_habit_of_starting_asks_for_no_ground_that_nobody_sells(
    hp: str, found: str | None, method: Method, margin: str | None, sized: tuple[Any, ...], tmp_path: Any
) -> None:
    code = {} if margin is None else {"starting_margin": margin}
    machine = COMP | {"hp": hp, "ways": {"hard_wired": True}}
    facts = facts_of(written(machine, **code), tmp_path, with_ground(found) if found else None)
    way = Way(method, str(MAIN["name"]), None)
    size = Builder(facts, facts.shop.machines[0], way).build(first_standings(facts.shop)["comp"]).size
    why = [reason.detail for reason in size.reasons if reason.what == "smaller breaker"]
    assert (size.breaker_a, size.awg, size.grounding_awg, bool(why)) == sized
    assert not why or "150 % starts it" in why[0]
    assert size.breaker_at_most_a <= 60 or sized[0] == 70
    assert Decimal(size.breaker_a) >= Decimal("1.5") * size.current_a


@pytest.mark.parametrize(
    ("margin", "wires"),
    [
        (None, "2 × 6 AWG and 10 AWG ground, cable in the wall"),
        ("175 %", "bought as 4 AWG with 8 AWG ground"),
    ],
)
def test_the_sheet_names_the_wire_that_is_bought(margin: str | None, wires: str, tmp_path: Any) -> None:
    """With 70 A the list buys 4/2, whose ground is 8 AWG: the sheet says so beside what was sized."""
    code = {} if margin is None else {"starting_margin": margin}
    facts = facts_of(written(**code), tmp_path)
    best = best_plans(Bench.over(facts, facts.shop.money.surplus), 1)[0]
    (row,) = circuits_today(facts, best)
    assert row.conductors.endswith(wires)
    said = {entry.topic: entry.about for entry in noted(facts, best)}[Topic.MOTOR_START]
    assert any("60 A, by habit at least 70 A" in words for words in said) is (margin is None)


def test_the_spare_wire_is_told_at_the_line_whose_piece_has_it(tmp_path: Any) -> None:
    """Two runs of one cable, by hand 10 and 4 ft apart from the panel's wall; the piece of the farther one is put as 12/3."""
    places = [{"name": name, "at": [x, 0]} for name, x in (("wall", 0), ("near", 4), ("far", 14))]
    saws = [
        COMP | {"name": f"{at} saw", "at": at, "hp": 1, "ways": {"only": ["wall drop"]}}
        for at in ("near", "far")
    ]
    facts = facts_of(written() | {"machines": saws, "places": places}, tmp_path)
    best = best_plans(Bench.over(facts, facts.shop.money.surplus), 1)[0]
    three = next(offer.row for offer in facts.catalog.offers if offer.part == "nm-12-3")
    pieces = [each for each in best.plan.bought if each.need.spec.kind == "building cable"]
    longest = max(pieces, key=lambda each: each.need.length_ft)
    bought = tuple(replace(each, offer_row=three) if each == longest else each for each in best.plan.bought)
    other = replace(best, plan=replace(best.plan, bought=bought))
    told = {row.machines: "cap the spare wire" in row.conductors for row in circuits_today(facts, other)}
    assert told == {("near saw",): False, ("far saw",): True}
