"""NFPA 70 Table 430.52 (430.52(C)(1) in 2023), motor short-circuit protection, typed from the table."""

import pytest

from costplan.standards import overcurrent


@pytest.mark.parametrize(
    ("motor", "nontime_delay", "time_delay", "inverse_time"),
    [
        ("single-phase", 300, 175, 250),
        ("polyphase", 300, 175, 250),
        ("wound rotor", 150, 150, 150),
        ("direct current", 150, 150, 150),
    ],
)
def test_row(motor: str, nontime_delay: int, time_delay: int, inverse_time: int) -> None:
    devices = ("nontime-delay fuse", "time-delay fuse", "inverse-time breaker")
    found = tuple(overcurrent.motor_protection_percent(device, motor) for device in devices)

    assert (nontime_delay, time_delay, inverse_time) == found
