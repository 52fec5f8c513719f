"""A thing that a machine asks for, as the walk over a plan comes to it: which run it belongs to, and where it is put in."""

from dataclasses import dataclass

from costplan.circuits.needs import LOOSE, Item, Return
from costplan.plans.steps import Act
from costplan.years.stream import Stream, Use


def taking(machine: str, giver: str, left: Return) -> Act:
    """How a machine comes by a thing from stock: its own it keeps, another's it takes over."""
    if giver == machine:
        return Act.KEEP
    return Act.TAKE_OVER if giver or left.idle else Act.TAKE_FROM_SHELF


def run_of(stream: Stream, use: Use) -> Item | None:
    """The outlet that a thing is, or whose run it is put into; None for what belongs to no run."""
    if use.thing.item.spec.kind == "outlet":
        return use.thing.item
    if use.thing.item.spec.kind not in LOOSE:
        return None
    before = [
        other.thing.item
        for other in stream.uses
        if other.thing.item.spec.kind == "outlet"
        and other.scenario in ("", use.scenario)
        and other.since <= use.since
    ]
    return before[-1] if before else None


def where(outlet: Item | None) -> str:
    """Where an outlet is; empty for one that is known by its quote alone."""
    return dict(outlet.spec.equal).get("place", "") if outlet is not None else ""


def _worked_at(use: Use, run: Item | None) -> str:
    """Where a thing of a run is put in: a breaker in the panel, all else where the run ends."""
    if run is not None and use.thing.item.spec.kind == "breaker":
        return in_panel(dict(run.spec.equal)["panel"])
    return where(run)


def in_panel(panel: str) -> str:
    """The place of work in a panel."""
    return f"in {panel}"


@dataclass(frozen=True, slots=True)
class Asked:
    """A thing that a machine asks for, with the outlet whose run it belongs to; `within` what is made anew with it, by kind."""

    machine: str
    use: Use
    run: Item | None
    within: str = ""

    @property
    def place(self) -> str:
        """Where it is put in; empty for what belongs to no run."""
        return _worked_at(self.use, self.run)
