"""What sizing asks and answers: plain frozen data, no rules."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum


class Wiring(StrEnum):
    """How the conductors run; it picks the ampacity table."""

    CABLE = "cable in the wall"
    CONDUIT = "wire in conduit"
    ARMORED = "armored cable"
    CORD = "flexible cord"


@dataclass(frozen=True, slots=True)
class Load:
    """What one machine asks of its circuit, from its nameplate."""

    volts: int
    phases: int
    neutral: bool
    motor: bool
    hp: Decimal | None
    amps_a: Decimal | None
    continuous: bool
    maker_breaker_a: int | None


@dataclass(frozen=True, slots=True)
class Rules:
    """Which code facts apply; `edition` None means unknown."""

    edition: int | None
    occupancy: str
    ground_fault_place: bool
    drop_limit: Decimal
    ambient_c: Decimal


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a figure is what it is."""

    what: str
    source: str
    detail: str


@dataclass(frozen=True, slots=True)
class CircuitSize:
    """A sized circuit. `awg` is text (`10`, `1/0`); conductors exclude the ground, wires include it."""

    current_a: Decimal
    minimum_ampacity_a: Decimal
    poles: int
    breaker_a: int
    breaker_at_most_a: int
    awg: str
    awg_at_most: str
    conductors: int
    wires: int
    grounding_awg: str
    configuration: str | None
    ground_fault: bool
    voltage_drop: Decimal
    cord_volts_at_least: int
    reasons: tuple[Reason, ...]


class CannotSizeError(ValueError):
    """No standard size or device fits; the message says which rule and what would."""
