"""How a panel is fed."""

import re
from decimal import Decimal
from enum import StrEnum
from typing import Annotated

from pydantic import BeforeValidator

from costplan.files.quantities import MisreadError


class System(StrEnum):
    """How a panel is fed: volts between lines and to neutral, and phases."""

    SINGLE_120_240 = "120/240 single-phase"
    WYE_120_208 = "120/208 three-phase"
    DELTA_240 = "240 three-phase"
    WYE_277_480 = "277/480 three-phase"


_HIGH_LEG = re.compile(r"\b(?:high|wild|red|stinger)[ -]?leg\b", re.IGNORECASE)
_PHASES = {
    1: re.compile(r"\b(?:single|one|1)[ -]?(?:phase|ph)\b", re.IGNORECASE),
    3: re.compile(r"\b(?:three|3)[ -]?(?:phase|ph)\b|\bdelta\b|\bwye\b|\b(?:208|480)y/", re.IGNORECASE),
}


def system_in(text: str) -> System | None:
    """The system of these volts and phases, in whatever order a label has them: `208Y/120 three-phase`; None for none.

    Raises MisreadError for a delta with a high leg, 240 V between lines and 120 V to two of them, which is none of these.
    """
    volts = {int(found) for found in re.findall(r"(?<!\d)\d{3}(?!\d)", text)}
    count = [number for number, words in _PHASES.items() if words.search(text)]
    if _HIGH_LEG.search(text) or (volts == {120, 240} and count == [3]):
        raise MisreadError(
            f'is "{text.strip()}", a delta with a high leg, whose 120 V and 240 V circuits are not told apart here',
            "write 240 three-phase, which prices its circuits of 240 V; for machines of 120 V write a quoted way, or feed them "
            "from a panel of 120/240 single-phase; the high leg carries no 120 V load: ask the electrician",
        )
    if len(count) != 1:
        return None
    found = [each for each in System if _volts(each) == volts and phases(each) == count[0]]
    return found[0] if found else None


def _volts(system: System) -> set[int]:
    return {int(found) for found in re.findall(r"\d+", system)}


def _read(value: object) -> object:
    """A stated system; of volts that none has no other one is proposed."""
    if not isinstance(value, str) or value in list(System):
        return value
    known = system_in(value)
    if known is not None and value.strip().lower().endswith(known.split()[-1]):
        return known
    volts = {int(found) for found in re.findall(r"\d+", value)}
    said = [number for number, words in _PHASES.items() if words.search(value)]
    if any(volts == _volts(each) and said in ([], [phases(each)]) for each in System):
        return value
    raise MisreadError(f'is "{value.strip()}"', f"allowed: {', '.join(System)}")


StatedSystem = Annotated[System, BeforeValidator(_read)]
"""Volts and phases as a user writes them, in the order of his label too."""


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


def has_neutral(system: System) -> bool:
    """Whether a neutral comes with its lines."""
    return any(with_neutral for *_, with_neutral in FEEDS[system])


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
