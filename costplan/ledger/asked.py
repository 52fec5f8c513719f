"""A thing that a machine asks for, as the walk over a plan comes to it: which run it belongs to, and where it is put in."""

from dataclasses import dataclass

from costplan.circuits.needs import LOOSE, Item, Return
from costplan.circuits.outlets import place_of
from costplan.circuits.things import WHOLE_CORD, Made, PartKind
from costplan.ledger.steps import Act
from costplan.years.stream import Stream, Use


def taking(machine: str, giver: str, left: Return) -> Act:
    """How a machine comes by a thing from stock: its own it keeps, another's it takes over."""
    if giver == machine:
        return Act.KEEP
    return Act.TAKE_OVER if giver or left.idle else Act.TAKE_FROM_SHELF


_RUN = frozenset({Made.OUTLET, *LOOSE})
"""Kinds of what belongs to a run: the outlet itself, and what is put in at its ends."""
_FROM_OUTLET = _RUN | {*WHOLE_CORD, Made.KIT}
"""Kinds of what is put in or taken out where the outlet is: a cord starts there. All else is done at the machine."""


def outlet_of(stream: Stream, use: Use) -> Item | None:
    """The outlet that a thing is, or that its machine has when it begins to use it."""
    if use.thing.item.spec.kind == Made.OUTLET:
        return use.thing.item
    before = [
        other.thing.item
        for other in stream.uses
        if other.thing.item.spec.kind == Made.OUTLET
        and other.scenario in ("", use.scenario)
        and other.since <= use.since
    ]
    return before[-1] if before else None


def where(outlet: Item | None) -> str:
    """Where an outlet is; empty for one that is known by its quote alone."""
    return place_of(outlet.spec) if outlet is not None else ""


def in_panel(panel: str) -> str:
    """The place of work in a panel."""
    return f"in {panel}"


def in_building_left(place: str) -> str:
    """The place of work in the building that the shop moved out of."""
    return f"{place}, in the building left"


@dataclass(frozen=True, slots=True)
class Asked:
    """A thing that a machine asks for, with the outlet that it has then; `within` what is made anew with it, by kind."""

    machine: str
    use: Use
    outlet: Item | None
    within: str = ""

    @property
    def run(self) -> Item | None:
        """The outlet that it is, or whose run it is put into; None for what belongs to no run."""
        return self.outlet if {self.use.thing.item.spec.kind, self.within or Made.OUTLET} <= _RUN else None

    @property
    def place(self) -> str:
        """Where it is put in: a breaker in the panel, a run and a cord at the outlet; empty for what is done at the machine."""
        kind = self.use.thing.item.spec.kind
        if self.run is not None and kind == PartKind.BREAKER:
            return in_panel(self.run.outlet.panel)
        return where(self.outlet) if (self.within or kind) in _FROM_OUTLET else ""
