"""What becomes of the conductors of a run that is there and serves other lines from now on, whoever says it in words."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum, auto

from costplan.circuits.outlet_key import OutletKey
from costplan.ledger.lines import Line
from costplan.ledger.steps import Act, Step
from costplan.model.choices import Method
from costplan.program.ranked import Ranked
from costplan.reports.there import Had, Powered
from costplan.standards import receptacles


class Conductor(Enum):
    """What becomes of one conductor of the run."""

    WHITE_TO_NEUTRAL = auto()
    WHITE_TO_HOT = auto()
    WHITE_SPARED = auto()
    HOT_SPARED = auto()
    HOT_GAINED = auto()
    IN_CONDUIT = auto()
    """A color that changes is in conduit, where re-marking may not do."""


NEUTRAL_GAINED = (
    "the white conductor becomes the neutral and goes to the neutral bar, its re-marking as a hot comes off at both ends; "
    "no white wire in the run: stop, it cannot serve"
)
NEUTRAL_LOST = (
    "the white conductor is re-marked as a hot at both ends and wherever else it is seen (200.7(C)(1)), and comes off the "
    "neutral bar onto the breaker"
)
NEUTRAL_SPARED = "the white conductor comes off the neutral bar and is capped at both ends"
HOT_SPARED = "the hot conductor that is no longer used is capped at both ends"
HOT_GAINED = "one more hot conductor is used: see that the run has it; if not, stop and price a new run"
IN_CONDUIT = "in conduit re-marking may not do: a wire of the right color is pulled instead"
BECOMES = {
    Conductor.WHITE_TO_NEUTRAL: NEUTRAL_GAINED,
    Conductor.WHITE_TO_HOT: NEUTRAL_LOST,
    Conductor.WHITE_SPARED: NEUTRAL_SPARED,
    Conductor.HOT_SPARED: HOT_SPARED,
    Conductor.HOT_GAINED: HOT_GAINED,
    Conductor.IN_CONDUIT: IN_CONDUIT,
}
"""What becomes of a conductor, in words (NFPA 70 200.6, 200.7, from memory)."""


@dataclass(frozen=True, slots=True)
class Lines:
    """What a run serves: the poles of its breaker, and whether a conductor of it is its neutral."""

    poles: int
    neutral: bool


def conductors(had: Had, now: Powered) -> Iterator[Conductor]:
    """What becomes of the conductors of a run whose poles or neutral change; nothing of one that keeps both."""
    before, after = Lines(had.poles, had.neutral), Lines(now.poles, now.neutral)
    return becomes(before, after, had.conductors, had.method)


def of_receptacles(before: str, after: str, wires: int, method: Method | None) -> Iterator[Conductor]:
    """What becomes of the conductors of a run of so many `wires` when one receptacle takes the place of another."""
    old, new = receptacles.known(before), receptacles.known(after)
    if old is None or new is None:
        return iter(())
    served = [Lines(device.breaker_poles, device.neutral) for device in (old, new)]
    return becomes(served[0], served[1], wires, method)


def of_step(step: Step) -> Iterator[Conductor]:
    """What becomes of the conductors of a run that gets another receptacle by a step, and serves other lines with it."""
    if step.run is None or step.within or step.act not in (Act.BUY, Act.TAKE_FROM_SHELF):
        return iter(())
    key, into = step.run.outlet, str(dict(step.item.spec.equal).get("configuration", step.kind))
    return of_receptacles(key.end, into, key.wired.conductors, key.run) if key.wired else iter(())


def converted_later(ranked: Ranked) -> Iterator[tuple[OutletKey, Line]]:
    """The outlets whose runs serve other lines from a later year on, each with the line of the work."""
    for line in ranked.lines:
        step = line.step
        if line.year and step is not None and step.run is not None and any(of_step(step)):
            yield step.run.outlet, line


def becomes(before: Lines, after: Lines, wires: int, method: Method | None) -> Iterator[Conductor]:
    """What becomes of the `wires` of a run, the ground left out, that serves other lines afterwards."""
    if after.neutral and not before.neutral:
        yield Conductor.WHITE_TO_NEUTRAL
        if before.poles > after.poles + 1:
            yield Conductor.HOT_SPARED
    elif before.neutral and not after.neutral:
        # All but the white one are hot already, so a run that has no other takes the white one.
        yield Conductor.WHITE_TO_HOT if after.poles > wires - 1 else Conductor.WHITE_SPARED
    elif after.poles < before.poles:
        yield Conductor.HOT_SPARED
    elif after.poles > before.poles:
        yield Conductor.HOT_GAINED
    if before.neutral != after.neutral and method is Method.CONDUIT:
        yield Conductor.IN_CONDUIT
