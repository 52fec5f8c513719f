"""Fuses of a hard-wired machine, and the switch whose clips take them.

Source: cases worked by hand with NFPA 70 430.52(C)(1) (dual-element time-delay fuses 175 % of the table's current, next
standard size), 240.6(A) (standard sizes; 1, 3, 6 and 10 A for fuses, from memory), 430.110(A) (115 %), 430.62(A) (of
several motors the largest's fuse and the other currents, down; from memory), Tables 430.248 and 430.250. Switches of
30, 60, 100 and 200 A are common practice, no source. Shops and prices are invented.
"""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from shipped_shops import demo_catalog
from strategies import make_catalog, make_shop

from costplan.circuits.circuit import Builder, Circuit
from costplan.circuits.facts import Facts
from costplan.circuits.fuses import fuse_reason, fused_needs, motor_fuse_a
from costplan.circuits.needs import Need, make_spec
from costplan.circuits.size_types import CannotSizeError, Load, Rules, Wiring
from costplan.circuits.sizing import size_circuit
from costplan.circuits.ways import Way
from costplan.model.choices import LoadKind, Method, Occupancy
from costplan.program.ranked import NoPlanError
from costplan.studies.comparison import compare
from costplan.studies.wanted import Wanted
from costplan.years.calendar import first_standings

Row = dict[str, Any]
SPLIT: Row = {"name": "panel", "system": "120/240 single-phase", "breakers": "family A", "spaces_free": 20}
DELTA: Row = SPLIT | {"system": "240 three-phase", "breakers": "family B"}
HIGH: Row = SPLIT | {"system": "277/480 three-phase", "breakers": "family C"}
WIRED: Row = {"only": ["conduit drop"], "hard_wired": True, "fused": True}
PUMPS = [{"what": "hydraulic pump", "hp": 1}, {"what": "coolant pump", "amps": "0.6", "hp": "1/8"}]
THREE: Row = {"volts": 240, "phases": 3}
ONE: Row = {"volts": 240}
HIGH_3: Row = {"volts": 480, "phases": 3}


def facts_of(machine: Row, panel: Row, **more: Any) -> Facts:
    routes = [{"from": "panel", "to": "bench A", "fixed": 30, "cord": 30}]
    machines = [{"name": "mill", "at": "bench A", "ways": WIRED} | machine]
    building = {"patching": False}
    catalog = more.pop("catalog", None) or demo_catalog()
    shop = make_shop(machines, panels=[panel], routes=routes, building=building, **more)
    return Facts(shop, catalog)


def circuit(machine: Row, panel: Row) -> Circuit:
    facts = facts_of(machine, panel)
    entry = facts.shop.machines[0]
    builder = Builder(facts, entry, Way(Method.CONDUIT, "panel", None))
    built: Circuit = builder.build(first_standings(facts.shop)["mill"])
    return built


@pytest.mark.parametrize(
    ("machine", "panel", "fuse", "switch", "fuses", "volts"),
    [
        # 28 A: 49.0 -> 50; 32.2 -> 60 A
        (THREE | {"hp": 10}, DELTA, 50, 60, 3, 240),
        # 9.6 A: 16.8 -> 20; 11.0
        (THREE | {"hp": 3}, DELTA, 20, 30, 3, 240),
        # 15.2 A: 26.6 -> 30; 17.5
        (THREE | {"hp": 5}, DELTA, 30, 30, 3, 240),
        # one phase, 28 A: 49.0 -> 50; 32.2 -> 60 A, two lines
        (ONE | {"hp": 5}, SPLIT, 50, 60, 2, 240),
        # 7.6 A: 13.3 -> 15, for 480 V
        (HIGH_3 | {"hp": 5}, HIGH, 15, 30, 3, 480),
        # 2.1 A: 3.675 -> 6, a size of fuses only
        (HIGH_3 | {"hp": 1}, HIGH, 6, 30, 3, 480),
        # largest 30 and 4.2 + 0.6 = 34.8 A: down to 30; 20.0 x 1.15 = 23.0
        (THREE | {"hp": 5, "more_motors": PUMPS}, DELTA, 30, 30, 3, 240),
        # 54 A: 94.5 -> 100; 62.1 -> 100 A
        (THREE | {"hp": 20}, DELTA, 100, 100, 3, 240),
        # a heater: 41.6 A for hours, 52 A -> 60
        (ONE | {"amps": "41.6", "load": "heater", "continuous": True}, SPLIT, 60, 60, 2, 240),
        # what the plate names rules: 40 of the 50 A; 60 A clips take 35 to 60 A
        (THREE | {"hp": 10, "largest_breaker": 40}, DELTA, 40, 60, 3, 240),
    ],
)
def test_fuses_and_switch_by_hand(
    machine: Row, panel: Row, fuse: int, switch: int, fuses: int, volts: int
) -> None:
    built = circuit(machine, panel)
    assert built.fuses is not None
    asked, end = built.fuses.spec, built.receptacle.spec
    assert dict(asked.at_least) == {"rating_a": Decimal(fuse), "volts": Decimal(volts)}
    assert (dict(asked.at_most), built.fuses.quantity) == ({"rating_a": Decimal(fuse)}, fuses)
    assert (end.kind, dict(end.at_most)) == ("fused disconnect", {"rating_a": Decimal(switch)})
    poles = {"poles": Decimal(fuses), "volts": Decimal(volts)}
    assert dict(end.at_least) == poles | {"rating_a": Decimal(switch)}


def test_the_switch_is_marked_for_the_motor() -> None:
    """5 + 1 + 1/8 hp draw 20.0 A, between 5 hp (15.2) and 7-1/2 hp (22): the mark is 7-1/2 hp at least."""
    marks = dict(circuit(THREE | {"hp": 5, "more_motors": PUMPS}, DELTA).receptacle.spec.if_stated)
    assert marks == {"hp_240_v_3_phase": Decimal("7.5")}


def test_fuses_that_its_plate_allows_but_no_switch_takes() -> None:
    """28 A asks for a 60 A switch (32.2), whose clips take no 30 A fuse."""
    with pytest.raises(CannotSizeError, match=r"at least 32\.2 A"):
        circuit(THREE | {"hp": 10, "largest_breaker": 30}, DELTA)


def words(facts: Facts) -> list[str]:
    return [line.what for line in compare(facts, Wanted(plans=1)).best.lines]


def test_the_plan_buys_the_switch_and_the_fuses() -> None:
    fused = words(facts_of(THREE | {"hp": 10}, DELTA))
    plain = words(facts_of(THREE | {"hp": 10, "ways": WIRED | {"fused": False}}, DELTA))
    assert [what for what in fused if "fuse" in what and "work" not in what] != []
    assert any(what.startswith("fused disconnect, 3-pole 60 A 240 V") for what in fused)
    assert any(what.startswith("fuse, time-delay, 50 A 250 V") for what in fused)
    assert not any("non-fused" in what for what in fused)
    assert any("non-fused" in what for what in plain)
    assert not any(what.startswith(("fuse,", "fused")) for what in plain)


def test_one_that_is_there_is_taken_as_without_fuses() -> None:
    now = {"method": "conduit drop", "panel": "panel", "breaker": 60, "awg": 6, "disconnect": 60}
    found = words(facts_of(THREE | {"hp": 10, "now": now}, DELTA))
    assert any(what.startswith("fused disconnect, 3-pole 60 A 240 V") for what in found)
    assert any(what.startswith("fuse, time-delay, 50 A 250 V") for what in found)
    assert not any(what.startswith("conduit") for what in found)


def test_other_fuses_for_a_retooled_motor() -> None:
    """From 10 hp, 50 A, to 7-1/2 hp, 22 A: 38.5 -> 40 A in the same 60 A switch: fuses, and no other switch."""
    later = [{"year": 2, "machine": "mill", "retool": THREE | {"hp": "7.5"}}]
    facts = facts_of(
        THREE | {"hp": 10}, DELTA, scenarios=[{"name": "retooled", "weight": 1, "events": later}]
    )
    found = {line.what for line in compare(facts, Wanted(plans=1)).best.lines if line.year == 2}
    assert any("fuse, time-delay, 40 A" in what for what in found)
    assert not any("fused disconnect" in what for what in found)


def test_a_catalog_without_fuses_leaves_no_plan() -> None:
    wired = {"only": ["wall drop"], "hard_wired": True, "fused": True}
    with pytest.raises(NoPlanError, match="fuse"):
        compare(facts_of(ONE | {"amps": 16, "ways": wired}, SPLIT, catalog=make_catalog()), Wanted(plans=1))


WATER = Load(240, 1, False, LoadKind.OTHER, None, Decimal(30), False, None)
MOTOR = replace(WATER, kind=LoadKind.MOTOR, amps_a=Decimal(20))
PLAIN = Rules(2020, Occupancy.COMMERCIAL, False, Decimal("0.05"), Decimal(30))


@pytest.mark.parametrize(
    ("amps", "besides", "fuse", "said"),
    [
        # 175 % of 20 A is 35 A, a standard size; of 20.1 A 35.2, so the next, 40 A
        ("20", "0", 35, "175 % of 20 A, next standard size"),
        ("20.1", "0", 40, "175 % of 20.1 A, next standard size"),
        # 35 and 10 A are 45 A, and 35 and 9 A are 44, down to 40 A
        ("20", "10", 45, "175 % of 20 A, next standard size and the other 10 A, then down"),
        ("20", "9", 40, "175 % of 20 A, next standard size and the other 9 A, then down"),
    ],
)
def test_a_motors_fuse_at_the_edge_of_a_standard_size(amps: str, besides: str, fuse: int, said: str) -> None:
    load = replace(MOTOR, amps_a=Decimal(amps), other_a=Decimal(besides))
    assert motor_fuse_a(load) == fuse
    reason = fuse_reason(load, Need(make_spec("fuse", {}, {"rating_a": fuse}), 2))
    assert reason.detail == f"2 dual-element time-delay, {fuse} A: {said}"


def test_a_switch_of_just_the_current_serves_and_above_the_largest_there_is_none() -> None:
    """30 A draw 30 A fuses in a 30 A switch; switches end at 400 A (common practice, no source)."""
    size = size_circuit(WATER, Wiring.CONDUIT, None, Decimal(20), PLAIN)
    switch, fuses = fused_needs(WATER, size, 240)
    assert (dict(switch.spec.at_least)["rating_a"], dict(fuses.spec.at_least)["rating_a"]) == (30, 30)
    assert "30 A: not below its least ampacity" in fuse_reason(WATER, fuses).detail
    with pytest.raises(CannotSizeError, match="a fuse of 450 A"):
        fused_needs(replace(WATER, maker_breaker_a=450), size, 240)
