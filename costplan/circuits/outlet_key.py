"""What an outlet is known by: where it is, what feeds it, what it ends in, and what its wire and its breaker are good for."""

from dataclasses import dataclass
from decimal import Decimal

from costplan.circuits.numbered import numbered
from costplan.model.choices import Method

DISCONNECT = "disconnect"
"""What a run ends in that is hard-wired."""


@numbered
@dataclass(frozen=True, order=True)
class Wired:
    """What an outlet's run and ends have, or must have: amperes, and the wire's size as a rank (`conductors.awg_rank`)."""

    awg: int
    breaker_a: Decimal
    """The least breaker; `breaker_most_a` is the largest."""
    breaker_most_a: Decimal
    conductors: int
    disconnect_a: Decimal = Decimal(0)
    """The rating of the disconnect at its end; 0 for a receptacle."""
    fuses_a: Decimal | None = None
    """The fuses in its disconnect, 0 for none; None for a receptacle."""
    grounded: bool = False
    """Of a receptacle without a ground contact: its run has a ground all the same, since the file says its size."""
    protected_end: bool = False
    """Whether its receptacle has ground-fault protection itself."""
    protects: bool = False
    """Whether its breaker protects people."""

    def covers(self, other: "Wired") -> bool:
        """Whether it is good for all that the other is."""
        return (
            self.wire_covers(other)
            and self.end_covers(other)
            and self.breaker_covers(other)
            and self.grounded >= other.grounded
            and (other.fuses_a is None or self.fuses_a is not None)
        )

    def wire_covers(self, other: "Wired") -> bool:
        """Whether its wire is as thick, of as many conductors."""
        return self.awg >= other.awg and self.conductors >= other.conductors

    def end_covers(self, other: "Wired") -> bool:
        """Whether what it ends in, a receptacle alike or a disconnect, is rated and protected as the other's; fuses just so."""
        return (
            self.disconnect_a >= other.disconnect_a
            and (self.fuses_a or 0) == (other.fuses_a or 0)
            and self.protected_end >= other.protected_end
        )

    def breaker_covers(self, other: "Wired") -> bool:
        """Whether its breaker lies in the other's bounds, and protects people where that does."""
        return (
            self.breaker_a >= other.breaker_a
            and self.breaker_most_a <= other.breaker_most_a
            and self.protects >= other.protects
        )


@numbered
@dataclass(frozen=True, order=True)
class OutletKey:
    """What tells one outlet from another.

    A quoted one has the name of its `quote`, and neither an end nor a run that anybody knows. `wired` is None where
    nobody asks what it is good for.
    """

    building: int
    end: str
    """Its receptacle's configuration, else `DISCONNECT`."""
    panel: str
    place: str
    poles: int
    run: Method | None
    quote: str = ""
    wired: Wired | None = None

    @property
    def beside_panel(self) -> bool:
        """Whether it is the outlet beside a panel that cords go from."""
        return self.run is Method.CORD

    def covers(self, other: "OutletKey") -> bool:
        """Whether it serves as it is where the other is asked for."""
        if other.wired is not None and (self.wired is None or not self.wired.covers(other.wired)):
            return False
        return (self.end, self.poles) == (other.end, other.poles) and self.lies_as(other)

    def lies_as(self, other: "OutletKey") -> bool:
        """Whether it is in the same place of the same building, by the same kind of run from the same panel."""
        mine, others = ((key.building, key.place, key.panel, key.run, key.quote) for key in (self, other))
        return mine == others
