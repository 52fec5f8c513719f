"""Sizing at the very edge of a rule, where one ampere more or less is another answer; each test says the steps.

Figures are of the tables of the NFPA 70 sections named, worked by hand; machines are invented.
"""

from dataclasses import replace
from decimal import Decimal

import pytest

from costplan.circuits.size_types import CircuitSize, Load, Rules, Wiring
from costplan.circuits.sizing import size_circuit
from costplan.model.choices import LoadKind, Occupancy

RULES = Rules(2020, Occupancy.COMMERCIAL, False, Decimal("0.05"), Decimal(30))
HEATER = Load(240, 1, False, LoadKind.OTHER, None, Decimal(40), False, None)
SAW = Load(120, 1, False, LoadKind.MOTOR, None, Decimal(12), False, None)


def size(
    load: Load,
    wiring: Wiring = Wiring.CONDUIT,
    family: str | None = None,
    feet: int = 20,
    rules: Rules = RULES,
) -> CircuitSize:
    return size_circuit(load, wiring, family, Decimal(feet), rules)


def why(sized: CircuitSize, what: str) -> str:
    return "; ".join(f"{each.detail} [{each.source}]" for each in sized.reasons if each.what == what)


@pytest.mark.parametrize(("amps", "awg"), [(100, "1"), (101, "2")])
def test_the_75_c_column_begins_above_100_a(amps: int, awg: str) -> None:
    """110.14(C)(1): up to 100 A 60 C, 1 AWG of 110 A, since 2 AWG has 95 A; above it 75 C, 2 AWG of 115 A (Table 310.16)."""
    assert size(replace(HEATER, amps_a=Decimal(amps))).awg == awg


@pytest.mark.parametrize(
    ("wiring", "cited", "not_cited"),
    [
        (Wiring.CORD, "Table 400.5(A)(1)", "310.16"),
        (Wiring.CABLE, "Table 310.16; 110.14(C); 334.80", "400.5"),
        (Wiring.CONDUIT, "Table 310.16; 110.14(C)", "334.80"),
    ],
)
def test_each_wiring_is_cited_by_its_own_table(wiring: Wiring, cited: str, not_cited: str) -> None:
    said = why(size(replace(HEATER, amps_a=Decimal(18)), wiring, "straight"), "conductor")

    assert cited in said
    assert not_cited not in said


@pytest.mark.parametrize(("load", "most_a"), [(SAW, 20), (replace(HEATER, volts=120, amps_a=Decimal(9)), 20)])
def test_a_20_a_circuit_that_is_there_serves_a_15_a_plug(load: Load, most_a: int) -> None:
    """A 5-20 receptacle takes a 5-15 plug (ANSI/NEMA WD 6): made anew it has 15 A where the user says so, and 20 A may stay."""
    sized = size(
        replace(load, plug="NEMA 5-15"), family="straight", rules=replace(RULES, smallest_circuit_a=15)
    )

    assert (sized.breaker_a, sized.breaker_most_a) == (15, most_a)


@pytest.mark.parametrize(("breaker_a", "warned"), [(20, True), (25, False)])
def test_a_makers_breaker_below_what_the_wires_carry_is_said(breaker_a: int, warned: bool) -> None:
    """3 hp: 17 A, wires for 21.25 A (430.22): a 20 A breaker on the plate is above the current and below the wires'."""
    motor = Load(240, 1, False, LoadKind.MOTOR, Decimal(3), None, False, breaker_a)
    assert ("below the 21.25 A that its wires must carry" in why(size(motor), "breaker")) is warned


@pytest.mark.parametrize(("limit", "awg", "too_much"), [("0.0396", "12", False), ("0.0395", "10", False)])
def test_a_drop_of_just_the_limit_is_within_it(limit: str, awg: str, too_much: bool) -> None:
    """12 AWG, 1.98 ohm per 1000 ft (Chapter 9 Table 8): 2 x 100 ft x 1.98 x 12 A / 1000 = 4.752 V, 3.96 % of 120 V."""
    sized = size(SAW, family="straight", feet=100, rules=replace(RULES, drop_limit=Decimal(limit)))

    assert (sized.awg, sized.drops_too_much) == (awg, too_much)
