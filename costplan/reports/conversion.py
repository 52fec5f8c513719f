"""What becomes of the conductors of a run that is there and serves other lines from now on, whoever says it in words."""

from collections.abc import Iterator
from enum import Enum, auto

from costplan.model.choices import Method
from costplan.reports.there import Had, Powered


class Conductor(Enum):
    """What becomes of one conductor of the run."""

    WHITE_TO_NEUTRAL = auto()
    WHITE_TO_HOT = auto()
    WHITE_SPARED = auto()
    HOT_SPARED = auto()
    HOT_GAINED = auto()
    IN_CONDUIT = auto()
    """A color that changes is in conduit, where re-marking may not do."""


def conductors(had: Had, now: Powered) -> Iterator[Conductor]:
    """What becomes of the conductors of a run whose poles or neutral change; nothing of one that keeps both."""
    if now.neutral and not had.neutral:
        yield Conductor.WHITE_TO_NEUTRAL
        if had.poles > now.poles + 1:
            yield Conductor.HOT_SPARED
    elif had.neutral and not now.neutral:
        # All but the white one are hot already, so a run that has no other takes the white one.
        yield Conductor.WHITE_TO_HOT if now.poles > had.conductors - 1 else Conductor.WHITE_SPARED
    elif now.poles < had.poles:
        yield Conductor.HOT_SPARED
    elif now.poles > had.poles:
        yield Conductor.HOT_GAINED
    if had.neutral != now.neutral and had.method is Method.CONDUIT:
        yield Conductor.IN_CONDUIT
