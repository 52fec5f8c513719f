"""The words a shop file chooses among."""

from enum import StrEnum
from typing import Annotated

from pydantic import BeforeValidator, WithJsonSchema
from pydantic_core import PydanticCustomError


class Occupancy(StrEnum):
    """What the code calls a space; it decides ground-fault protection and cable types."""

    DWELLING_GARAGE = "dwelling garage"
    UNFINISHED_BASEMENT = "unfinished dwelling basement"
    FINISHED_BASEMENT = "finished dwelling basement"
    DWELLING_ROOM = "dwelling room"
    COMMERCIAL = "commercial"
    SCHOOL = "school"
    INDUSTRIAL = "industrial"

    @property
    def dwelling(self) -> bool:
        """Whether it is of a house: its rooms, basement, garage or a building that goes with it."""
        return self in (
            Occupancy.DWELLING_GARAGE,
            Occupancy.UNFINISHED_BASEMENT,
            Occupancy.FINISHED_BASEMENT,
            Occupancy.DWELLING_ROOM,
        )


class ListedPlace(StrEnum):
    """Outside dwellings: places that NEC 210.8(B) lists since a certain edition only."""

    UNFINISHED_BASEMENT = "unfinished basement"
    DAMP = "damp"


def _known_place(value: object) -> object:
    words = ("true", "false", *ListedPlace)
    if isinstance(value, str) and value.strip().lower() not in words:
        expected = ", ".join(f"'{word}'" for word in words)
        raise PydanticCustomError("enum", "names no such place", {"expected": expected})
    return value


Listed = Annotated[
    bool | ListedPlace,
    BeforeValidator(_known_place),
    WithJsonSchema({"anyOf": [{"type": "boolean"}, {"type": "string", "enum": list(map(str, ListedPlace))}]}),
]
"""Whether NEC 210.8(B) lists a place, or as what."""


class Construction(StrEnum):
    """The building code's types of construction, from what cannot burn (I, II) to what can (V)."""

    I = "type I"  # noqa: E741
    II = "type II"
    III = "type III"
    IV = "type IV"
    V = "type V"

    @property
    def takes_cable(self) -> bool:
        """Whether nonmetallic cable may be in its walls, outside dwellings, behind a finish (NFPA 70 334.10(3))."""
        return self in (Construction.III, Construction.IV, Construction.V)


class Method(StrEnum):
    """A way of powering a machine, by the run that carries the power."""

    WALL = "wall drop"
    CONDUIT = "conduit drop"
    ARMORED = "armored drop"
    CORD = "cord"
    CEILING = "ceiling outlet"
    FIXED = "fixed drop"


RUNS: tuple[Method, ...] = tuple(method for method in Method if method is not Method.FIXED)
"""The methods that name a run; a fixed drop is whichever of them the quote meant."""
RUNS_OF_DROPS = (Method.WALL, Method.CONDUIT, Method.ARMORED)
"""The runs that a fixed drop can have."""
DROPS = (*RUNS_OF_DROPS, Method.FIXED)
"""The methods of fixed drops."""


def runs_of(method: Method) -> tuple[Method, ...]:
    """The runs that a method can mean: itself, or every drop for a fixed drop of which no more is known."""
    return RUNS_OF_DROPS if method is Method.FIXED else (method,)


def _named_run(value: object) -> object:
    if isinstance(value, str) and value not in RUNS:
        expected = ", ".join(f"'{run}'" for run in RUNS)
        raise PydanticCustomError("enum", "names no run", {"expected": expected})
    return value


Run = Annotated[
    Method, BeforeValidator(_named_run), WithJsonSchema({"type": "string", "enum": list(map(str, RUNS))})
]
"""A method where the run must be named."""


class Family(StrEnum):
    """A family of plugs and receptacles."""

    STRAIGHT = "straight"
    LOCKING = "locking"
    PIN_AND_SLEEVE = "pin and sleeve"


class Service(StrEnum):
    """How much a flexible cord is built to take (NEC Table 400.4)."""

    JUNIOR_HARD = "junior hard"
    HARD = "hard"


class SurplusRule(StrEnum):
    """Whether surplus may be bought."""

    NEW_ONLY = "new only"
    ALLOWED = "allowed"


class RejectRule(StrEnum):
    """How surplus pieces that fail inspection are counted."""

    EXPECTED = "expected share"
    WHOLE_SPARES = "whole spares"


class Distribution(StrEnum):
    """How likely the figures of a range [low, likely, high] are."""

    PERT = "beta-PERT"
    TRIANGULAR = "triangular"


class Supply(StrEnum):
    """What stands between a panel and a machine: where a three-phase one gets its phases, or one of other volts its volts."""

    PANEL = "panel"
    DRIVE = "drive"
    MOTOR = "single-phase motor"
    TRANSFORMER = "buck-boost transformer"


class NewBuilding(StrEnum):
    """What is known of the building that the shop moves to."""

    AS_HERE = "as here"
    NOT_KNOWN = "not known"


class VisitRule(StrEnum):
    """How the hired moves of one year are counted as visits."""

    YEARLY = "one a year"
    EACH_MOVE = "each move"


class ResaleRule(StrEnum):
    """How a resale share is meant."""

    SHARE = "share of price"
    STRAIGHT_LINE = "straight line over life"


TRANSFORMER = str(Supply.TRANSFORMER)
"""The kind of part, and the recipe, that brings a panel's volts near a plate's."""


class DisconnectedBy(StrEnum):
    """What disconnects a motor in sight of it, besides what a plan buys (NFPA 70 430.102, 430.109)."""

    OWN_SWITCH = "own switch"
    BREAKER = "breaker"


class LoadKind(StrEnum):
    """What a machine is to its circuit."""

    MOTOR = "motor"
    HEATER = "heater"
    WELDER = "welder"
    SPOT_WELDER = "spot welder"
    SEAM_WELDER = "seam welder"
    OTHER = "other"

    @property
    def welds(self) -> bool:
        """Whether it is a welder of any kind."""
        return self is LoadKind.WELDER or self.resistance

    @property
    def resistance(self) -> bool:
        """Whether it is a resistance welder, worked by hand or fed by itself (NFPA 70 Article 630, Part III)."""
        return self in (LoadKind.SPOT_WELDER, LoadKind.SEAM_WELDER)


class Powering(StrEnum):
    """How the whole shop is powered in a row of the comparison's matrix; `labels.ROWS` says each at more length."""

    FIXED_DROPS = "fixed drops"
    CORDS = "cords"
    BEST_MIX = "best mix"
    AS_IT_IS = "as it is"


PURE_WAYS = (Powering.FIXED_DROPS, Powering.CORDS)
"""Every machine by one kind of way."""


class Buying(StrEnum):
    """What may be bought in a column of the matrix."""

    NEW = "new"
    SURPLUS = "surplus"

    @classmethod
    def of(cls, rule: SurplusRule) -> "Buying":
        """The column in which that rule holds."""
        return cls.SURPLUS if rule is SurplusRule.ALLOWED else cls.NEW
