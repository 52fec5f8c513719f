"""NFPA 70 430.24 and 430.62, motor feeders: Annex D Example D8 (from memory) and cases worked by hand."""

from decimal import Decimal

import pytest

from costplan.standards import conductors, loads, motors, overcurrent


def amperes(*values: int | str) -> list[Decimal]:
    return [Decimal(value) for value in values]


def test_example_d8_conductors() -> None:
    """One 25 hp and two 30 hp motors at 460 V: 40 x 1.25 + 40 + 34 = 124 A."""
    currents_a = [motors.full_load_current_a(Decimal(hp), 3, 480) for hp in (25, 30, 30)]

    assert currents_a == amperes(34, 40, 40)
    assert loads.motor_feeder_a(currents_a) == 124


@pytest.mark.parametrize(
    ("branch_devices_a", "limit_a", "device_a"),
    [((110, 60, 60), 190, 175), ((60, 60, 60), 140, 125)],
    ids=["nontime-delay fuses", "time-delay fuses"],
)
def test_example_d8_feeder_fuse_rounds_down(
    branch_devices_a: tuple[int, ...], limit_a: int, device_a: int
) -> None:
    currents_a = amperes(34, 40, 40)

    assert loads.motor_feeder_limit_a(branch_devices_a, currents_a) == limit_a
    assert loads.motor_feeder_device_a(branch_devices_a, currents_a) == device_a


def test_two_single_phase_motors_worked_by_hand() -> None:
    """7-1/2 hp at 230 V, 40 A: 40 x 1.25 + 40 = 90 A; breakers 100 A; 100 + 40 = 140, so 125 A."""
    current_a = motors.full_load_current_a(Decimal("7.5"), 1, 240)
    percent = overcurrent.motor_protection_percent("inverse-time breaker", "single-phase")
    branch_a = overcurrent.next_standard_size_a(current_a * percent / 100)

    assert loads.motor_feeder_a([current_a, current_a]) == 90
    assert branch_a == 100
    assert loads.motor_feeder_device_a([branch_a, branch_a], [current_a, current_a]) == 125


def test_three_phase_panel_worked_by_hand() -> None:
    """5, 3 and 2 hp at 230 V and 12 A of heat: 15.2 x 1.25 + 9.6 + 6.8 + 12 = 47.4 A; 6 AWG at 60 C has 55 A.

    Breakers 40, 25 and 20 A (250 % of 15.2, 9.6 and 6.8 A); 40 + 9.6 + 6.8 + 12 = 68.4 A, so 60 A.
    """
    currents_a = [motors.full_load_current_a(Decimal(hp), 3, 240) for hp in (5, 3, 2)]
    branch_a = [overcurrent.next_standard_size_a(current_a * Decimal("2.5")) for current_a in currents_a]
    needed_a = loads.motor_feeder_a(currents_a, Decimal(12))

    assert needed_a == Decimal("47.4")
    assert conductors.building_wire_ampacity_a("8", 60) < needed_a
    assert conductors.building_wire_ampacity_a("6", 60) == 55
    assert branch_a == [40, 25, 20]
    assert loads.motor_feeder_limit_a(branch_a, currents_a, Decimal(12)) == Decimal("68.4")
    assert loads.motor_feeder_device_a(branch_a, currents_a, Decimal(12)) == 60
