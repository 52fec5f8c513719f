"""Continuous loads on panels, feeders and services: 125 % (NFPA 70 2020, 215.2(A)(1)(a), 215.3, 230.42(A)(1), from memory).

Worked by hand; shops are invented. Beside them what must not grow: motors (430.24) and electricity that is lost.
"""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from strategies import MILL, SAW, make_catalog, make_gear_shop, with_gear

from costplan.circuits.capacity import Capacity
from costplan.circuits.circuit import Builder
from costplan.circuits.facts import Facts
from costplan.circuits.losses import wire_w
from costplan.circuits.supply import counted_va, running_w
from costplan.circuits.ways import Way, load_of
from costplan.model.choices import Family, Method
from costplan.model.gear import SERVICE
from costplan.standards.conductors import resistance_ohm_per_kft
from costplan.years.calendar import lives, scenarios_of

KILN: dict[str, Any] = {"name": "kiln", "at": "bench A", "volts": 240, "amps": 36, "load": "heater"}
PEAK = {"amps": 40, "seen": "2026-10-01", "days": 30}


def facts_of(*machines: dict[str, Any], names: tuple[str, ...] = (), **more: Any) -> Facts:
    shop = make_gear_shop(list(machines), names, **{"service": {"amps": 100}} | more)
    return Facts(shop, make_catalog(**with_gear()))


@pytest.mark.parametrize(
    ("words", "counted_a"),
    [
        # 36 A x 1.25
        ({}, "45"),
        ({"continuous": False}, "36"),
        ({"load": "other"}, "36"),
        ({"load": "other", "continuous": True}, "45"),
        # a motor has its quarter once a feeder, as the largest (430.24)
        ({"load": "motor", "continuous": True}, "36"),
        # a welder goes by Article 630
        ({"load": "welder", "continuous": True}, "36"),
    ],
)
def test_what_counts_at_125_percent(words: dict[str, Any], counted_a: str) -> None:
    load = load_of(facts_of(KILN | words).machines["kiln"])
    assert counted_va(load, load, Decimal(36)) == Decimal(counted_a) * 240


def test_a_drive_counts_as_its_motor() -> None:
    """Its circuit has 125 % of its input (430.122(A)); on the feeder it is a motor, whose quarter comes once (430.24)."""
    load = load_of(facts_of(MILL).machines["mill"])
    fed = replace(load, phases=1, continuous=True, hp=None)
    assert counted_va(load, fed, Decimal(20)) == 20 * 240


@pytest.mark.parametrize("continuous", [True, False])
def test_a_circuit_counts_grown_and_loses_what_flows(continuous: bool) -> None:
    """36 A of a kiln: 45 A x 240 V on the panel where it is continuous; the two wires lose I squared R of 36 A."""
    facts = facts_of(KILN | {"continuous": continuous})
    standing = lives(facts.shop, scenarios_of(facts.shop)[0])["kiln"].standings[0]
    circuit = Builder(facts, facts.machines["kiln"], Way(Method.WALL, "panel", Family.STRAIGHT)).build(
        standing
    )
    assert circuit.draw_va == (10800 if continuous else 8640)
    feet = circuit.run_ft
    assert wire_w(circuit) == 2 * 36**2 * resistance_ohm_per_kft(circuit.size.awg) * feet / 1000
    assert running_w(circuit.supplied.load) == 8640


def test_a_motor_beside_it() -> None:
    """30.8 A of other load, a kiln of 36 A and a saw of 16 A: 30.8 + 45 + 16 x 1.25 is 95.8 A of 100."""
    rules = Capacity(facts_of(KILN, SAW, service={"amps": 100, "other_load": "30.8 A"}))
    on = rules.by_limit([("kiln", "panel", 10800, 2, 1), ("saw", "panel", 3840, 2, 1)])
    added = rules.balance(on[SERVICE], [], {}, 2).worst_va
    assert added == 65 * 240
    assert rules.limits[SERVICE].taken_va + added == round(Decimal("95.8") * 240)


def test_in_the_measured_peak_it_adds_nothing() -> None:
    """220.87 takes 125 % of the peak; what counts there again is only what a change of the machine adds, grown."""
    rules = Capacity(
        facts_of(KILN | {"in_measured_peak": True}, service={"amps": 100, "measured_peak": PEAK})
    )
    assert SERVICE not in rules.by_limit([("kiln", "panel", 10800, 2, 1)])
    (draw,) = rules.by_limit([("kiln", "panel", 12000, 2, 1)])[SERVICE]
    assert draw.va == 1200


@pytest.mark.parametrize(("words", "held_a"), [({}, "37.5"), ({"continuous": False}, "30")])
def test_a_load_manager_that_holds_it(words: dict[str, Any], held_a: str) -> None:
    """Held to 30 A for hours it is a continuous load of 30 A, which counts 37.5 A on the service (230.42(A)(1))."""
    facts = facts_of(
        KILN | words,
        SAW,
        names=("manager",),
        gear_changes={"manager": {"machines": ["kiln", "saw"], "holds_to": 30}},
    )
    rules = Capacity(facts)
    assert rules.holds_to_va(facts.gear["manager"]) == Decimal(held_a) * 240
