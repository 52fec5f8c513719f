"""The words a shop file chooses among."""

from enum import StrEnum


class Occupancy(StrEnum):
    """What the code calls the building; it decides ground-fault protection and cable types."""

    DWELLING_GARAGE = "dwelling garage"
    COMMERCIAL = "commercial"
    SCHOOL = "school"
    INDUSTRIAL = "industrial"


class Method(StrEnum):
    """A way of powering a machine, by the run that carries the power."""

    WALL = "wall drop"
    CONDUIT = "conduit drop"
    ARMORED = "armored drop"
    CORD = "cord"
    CEILING = "ceiling outlet"


DROPS = (Method.WALL, Method.CONDUIT, Method.ARMORED)
"""The methods of fixed drops."""


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


class Supply(StrEnum):
    """Where a three-phase machine gets its three phases."""

    PANEL = "panel"
    DRIVE = "drive"
    MOTOR = "single-phase motor"


class VisitRule(StrEnum):
    """How the hired moves of one year are counted as visits."""

    YEARLY = "one a year"
    EACH_MOVE = "each move"


class ResaleRule(StrEnum):
    """How a resale share is meant."""

    SHARE = "share of price"
    STRAIGHT_LINE = "straight line over life"
