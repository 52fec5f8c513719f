"""Plates that a table does not cover: slow and high-torque motors, heaters, arc and resistance welders.

Source: cases worked by hand from NFPA 70 by a second person, with the section beside each; 430.6(A)(1), 424.4(B), 422.10(A),
425.4, 630.31 and 630.32 from memory. Plates are invented.
"""

from decimal import Decimal
from typing import Any

from costplan.circuits.size_types import CircuitSize, Rules, Wiring
from costplan.circuits.sizing import size_circuit
from costplan.circuits.ways import load_of
from costplan.model.choices import Family, Occupancy
from costplan.model.shop import Machine

RULES = Rules(2023, Occupancy.COMMERCIAL, False, Decimal("0.03"), Decimal(30))


def sized(family: Family | None = None, rules: Rules = RULES, **words: Any) -> CircuitSize:
    machine = Machine.model_validate({"name": "it", "at": "bench C"} | words)
    return size_circuit(load_of(machine), Wiring.CONDUIT, family, Decimal(20), rules)


def why(size: CircuitSize, what: str) -> str:
    return "; ".join(f"{each.detail} [{each.source}]" for each in size.reasons if each.what == what)


def test_the_plate_of_a_slow_motor_rules() -> None:
    """5 hp 480 V at 870 rpm, 11 A: 13.75 A, 250 % = 27.5, so 30 A (430.6(A)(1), 430.22, 430.52); the table has 7.6 A."""
    size = sized(volts=480, phases=3, hp=5, amps=11, rpm=870)
    assert (size.current_a, size.minimum_ampacity_a, size.breaker_most_a) == (11, Decimal("13.75"), 30)
    assert "below 1200 rpm the plate rules" in why(size, "load current")
    assert sized(volts=480, phases=3, hp=5, amps=7, rpm=870).current_a == 7


def test_a_plate_above_the_table_rules() -> None:
    """2 hp 230 V marked 18 A: 22.5 A, 10 AWG at 60 C, 250 % = 45 A (430.6(A)(1)); the table has 12 A."""
    size = sized(volts=240, hp=2, amps=18)
    assert (size.minimum_ampacity_a, size.awg, size.breaker_most_a) == (Decimal("22.5"), "10", 45)
    assert "above the table, so the plate rules" in why(size, "load current")


def test_a_plate_below_the_table_does_not() -> None:
    """5 hp 230 V marked 23 A: the table's 28 A, 35 A (430.6(A)(1))."""
    assert sized(volts=240, hp=5, amps=23).minimum_ampacity_a == 35


def test_a_heater_is_continuous_unless_it_says_not() -> None:
    """20 A fixed heater: 25 A, 10 AWG (424.4(B)); 48 A kiln: 60 A (422.10(A), 425.4); 40 A said not to be: 40 A."""
    size = sized(volts=240, amps=20, load="heater")
    assert (size.minimum_ampacity_a, size.awg) == (25, "10")
    assert "unless continuous: false is written" in why(size, "minimum ampacity")
    assert sized(volts=240, amps=48, load="heater").minimum_ampacity_a == 60
    assert sized(volts=240, amps=40, load="heater", continuous=False).minimum_ampacity_a == 40
    assert sized(volts=240, amps=40, load="other").minimum_ampacity_a == 40


def test_the_makers_largest_breaker_is_told() -> None:
    """3 hp, largest breaker 20 A: 20 A by 110.3(B), in place of 30 A, and below 21.25 A of 125 %."""
    told = why(sized(Family.STRAIGHT, volts=240, hp=3, largest_breaker=20), "maker's largest breaker")
    assert told.startswith("20 A in place of 30 A")
    assert "below the 21.25 A" in told


def test_a_ground_no_thicker_than_its_wires_names_its_section() -> None:
    """2 hp 230 V hard-wired: 12 AWG on 30 A; the table has 10 AWG, 250.122(A) keeps it at 12."""
    size = sized(volts=240, hp=2)
    assert (size.awg, size.grounding_awg, size.breaker_a) == ("12", "12", 30)
    assert "250.122(A)" in why(size, "grounding conductor")


def test_ground_fault_at_277_volts_to_ground_says_why_there_is_none() -> None:
    """480Y/277: 210.8 reaches 150 V or less to ground."""
    told = why(sized(Family.LOCKING, volts=480, phases=3, hp=3), "ground fault")
    assert "above 150 V to ground" in told
