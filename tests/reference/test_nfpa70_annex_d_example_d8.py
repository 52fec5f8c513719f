"""NFPA 70 Informative Annex D, Example D8, motor branch circuits; from memory, wording not seen."""

from decimal import Decimal

import pytest

from costplan.circuits.size_types import Load
from costplan.circuits.sizing import motor_breaker_limit_a
from costplan.model.choices import LoadKind
from costplan.standards import motors, overcurrent


@pytest.mark.parametrize(("hp", "table_a", "ampacity_a"), [(25, 34, "42.5"), (30, 40, "50")])
def test_table_current_and_conductor_ampacity(hp: int, table_a: int, ampacity_a: str) -> None:
    found = motors.full_load_current_a(Decimal(hp), 3, 480)

    assert found == table_a
    assert found * Decimal("1.25") == Decimal(ampacity_a)


@pytest.mark.parametrize(
    ("device", "motor", "current_a", "size_a"),
    [
        ("nontime-delay fuse", "polyphase", 34, 110),
        ("time-delay fuse", "polyphase", 34, 60),
        ("inverse-time breaker", "wound rotor", 40, 60),
        ("inverse-time breaker", "polyphase", 34, 90),
    ],
)
def test_branch_device(device: str, motor: str, current_a: int, size_a: int) -> None:
    """The last row is derived, not in the example."""
    percent = overcurrent.motor_protection_percent(device, motor)

    assert overcurrent.next_standard_size_a(Decimal(current_a) * percent / 100) == size_a


def test_feeder_fuse_rounds_down() -> None:
    """110 + 40 + 40 is 190 A, next lower 175 A; 60 + 40 + 40 is 140 A, next lower 125 A."""
    assert overcurrent.largest_standard_size_a(190) == 175
    assert overcurrent.largest_standard_size_a(140) == 125


def test_breaker_limit_of_the_25_hp_motor() -> None:
    """250 % of 34 A is 85 A, next standard 90 A (derived)."""
    motor = Load(480, 3, False, LoadKind.MOTOR, Decimal(25), Decimal(32), True, None)

    assert motor_breaker_limit_a(motor) == 90
