"""How a panel is fed."""

from decimal import Decimal
from enum import StrEnum


class System(StrEnum):
    """How a panel is fed: volts between lines and to neutral, and phases."""

    SINGLE_120_240 = "120/240 single-phase"
    WYE_120_208 = "120/208 three-phase"
    DELTA_240 = "240 three-phase"
    WYE_277_480 = "277/480 three-phase"


FEEDS: dict[System, tuple[tuple[int, int, bool], ...]] = {
    System.SINGLE_120_240: ((120, 1, True), (240, 1, True)),
    System.WYE_120_208: ((120, 1, True), (208, 1, True), (208, 3, True)),
    System.DELTA_240: ((240, 1, False), (240, 3, False)),
    System.WYE_277_480: ((480, 1, True), (480, 3, True)),
}
"""Volts, phases and whether a neutral goes with them, by system (IEEE/ANSI C84.1 nominal voltages)."""

LINE_VOLTS: dict[System, int] = {
    System.SINGLE_120_240: 240,
    System.WYE_120_208: 208,
    System.DELTA_240: 240,
    System.WYE_277_480: 480,
}
"""Volts between lines."""


NEUTRAL_VOLTS: dict[System, int] = {
    System.SINGLE_120_240: 120,
    System.WYE_120_208: 120,
    System.DELTA_240: 240,
    System.WYE_277_480: 277,
}
"""Volts from a line to the neutral; without one, those between lines."""


def phases(system: System) -> int:
    """1 or 3."""
    return 1 if system is System.SINGLE_120_240 else 3


def line_current_a(system: System, power_kw: Decimal, power_factor: Decimal) -> Decimal:
    """Amperes of each line that carries its share of a power in kW, at a power factor: P / (V pf), three by root 3."""
    per_a = LINE_VOLTS[system] * (Decimal(3).sqrt() if phases(system) == 3 else Decimal(1))
    return power_kw * 1000 / (per_a * power_factor)


def lines(system: System) -> int:
    """Lines of a panel, the neutral left out."""
    return 3 if phases(system) == 3 else 2


def feeds(system: System, volts: int, load_phases: int, *, neutral: bool, manufactured: bool = False) -> bool:
    """Whether a panel of this system can feed a load; one with a manufactured leg feeds only three-phase.

    Source: NFPA 70 (NEC) 455.9, single-phase loads are not connected to the manufactured phase.
    """
    if manufactured and load_phases != 3:
        return False
    return any(
        (at, count) == (volts, load_phases) and (has or not neutral) for at, count, has in FEEDS[system]
    )
