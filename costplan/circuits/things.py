"""Things that stock can hold and no catalog sells as one part, and what ties a thing to where it belongs."""

from dataclasses import dataclass
from enum import StrEnum

from costplan.circuits.numbered import numbered
from costplan.model.choices import Method
from costplan.model.ratings import FUSED_DISCONNECT


class Made(StrEnum):
    """Kinds of things made of parts; what a catalog sells has its kind from there."""

    OUTLET = "outlet"
    QUOTED_OUTLET = "quoted outlet"
    BREAKER_OF_OUTLET = "breaker of outlet"
    KIT = "kit"
    """What a cord or pendant hangs from."""
    OWN_PLUG = "plug of a machine"
    OWN_SWITCH = "disconnect at a machine"
    """A switch on a machine whose plug is not marked for its motor, or out of sight: between its cord and its motor."""


class PartKind(StrEnum):
    """Kinds of parts that rules of circuits and of stock know by name; a catalog has more."""

    BREAKER = "breaker"
    RECEPTACLE = "receptacle"
    DISCONNECT = "disconnect"
    FUSED_DISCONNECT = FUSED_DISCONNECT
    CORD = "cord"
    PLUG = "plug"
    CONNECTOR = "connector"


WHOLE_CORD = (PartKind.CORD, PartKind.PLUG, PartKind.CONNECTOR)
"""Kinds of what a whole cord is made of."""
DISCONNECTS = (PartKind.DISCONNECT, PartKind.FUSED_DISCONNECT)
"""Kinds of what a run that is hard-wired ends in."""
OUTLETS = (Made.OUTLET, Made.QUOTED_OUTLET)
"""Kinds of outlets."""
ANY_BUILDING = -1


@numbered
@dataclass(frozen=True, order=True)
class Tie:
    """What a thing serves for alone: one building, the first being 0, one machine, cords that hang one way."""

    building: int = ANY_BUILDING
    machine: str = ""
    hangs: Method | None = None

    def covers(self, other: "Tie") -> bool:
        """Whether what is tied so serves where the other is asked for."""
        return (
            other.building in (ANY_BUILDING, self.building)
            and other.machine in ("", self.machine)
            and other.hangs in (None, self.hangs)
        )


FREE = Tie()
"""Tied to nothing."""
