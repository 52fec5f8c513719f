"""EC&M magazine, "Motor Calculations, Part 2: Feeders", 1 May 2004: 3 hp, 115 V, nameplate 31 A."""

from decimal import Decimal

from costplan.circuits.size_types import Load, Rules, Wiring
from costplan.circuits.sizing import size_circuit
from costplan.model.choices import LoadKind, Occupancy
from costplan.standards import conductors, overcurrent

MOTOR = Load(120, 1, False, LoadKind.MOTOR, Decimal(3), Decimal(31), True, None)
RULES = Rules(2002, Occupancy.INDUSTRIAL, False, Decimal("0.05"), Decimal(30))


def test_the_table_beats_the_nameplate() -> None:
    """34 A, not 31; 42.5 A at 125 %; 6 AWG at 60 C terminals carries 55 A."""
    size = size_circuit(MOTOR, Wiring.CONDUIT, None, Decimal(20), RULES)

    assert size.current_a == 34
    assert size.minimum_ampacity_a == Decimal("42.5")
    assert size.awg == "6"
    assert conductors.building_wire_ampacity_a("6", 60) == 55


def test_time_delay_fuse() -> None:
    """175 % of 34 A is 59.5 A, next standard size 60 A (derived from the article's own figures)."""
    percent = overcurrent.motor_protection_percent("time-delay fuse", "single-phase")

    assert overcurrent.next_standard_size_a(Decimal(34) * percent / 100) == 60
