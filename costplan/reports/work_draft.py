"""A line of today's work before the lines are put in order and numbered."""

from dataclasses import dataclass
from enum import StrEnum

from costplan.circuits.needs import Item
from costplan.ledger.steps import Step


class Phase(StrEnum):
    """When a line is done: all lines of a phase come before those of the next."""

    OFF = "switch off and unplug"
    OUT = "take out and take down"
    IN = "put in"
    CORDS = "cords"
    MOVE = "move and plug in"
    SHELF = "to the shelf"
    CHECK = "check and label"


_PHASES = tuple(Phase)


@dataclass(frozen=True, slots=True)
class Draft:
    """One line; `rank` orders lines of a phase, and `circuit` is the outlet whose wires are worked on, if any are.

    `step` is the step that it does, `along` those done with it, `frees` those whose thing is free from here on.
    `after` is how many cords are cut, or machines moved, before it; `in_panel` says that the panel is opened for it, `new`
    that the circuit is made today.
    """

    phase: Phase
    rank: int
    place: str
    who: str
    words: str
    machine: str = ""
    step: Step | None = None
    frees: tuple[Step, ...] = ()
    circuit: Item | None = None
    count: int = 1
    after: int = 0
    in_panel: bool = False
    new: bool = False
    made: bool = False
    """Whether a cord, or a machine's own one, is made up or gets another end by it."""
    along: tuple[Step, ...] = ()

    @classmethod
    def of(
        cls,
        phase: Phase,
        rank: int,
        place: str,
        who: str,
        words: str,
        step: Step | None = None,
        *,
        machine: str = "",
        frees: tuple[Step, ...] = (),
        circuit: Item | None = None,
        in_panel: bool = False,
        new: bool = False,
    ) -> "Draft":
        """A line about a machine, or else about the one of its step."""
        whose = machine or (step.machine if step is not None else "")
        return cls(phase, rank, place, who, words, whose, step, frees, circuit, in_panel=in_panel, new=new)

    @property
    def order(self) -> tuple[object, ...]:
        """Where it comes; cords are made up machine by machine, all else kind by kind."""
        phase = _PHASES.index(self.phase)
        if self.phase is Phase.CORDS:
            return phase, self.after, self.place, self.machine, self.rank, self.words
        return phase, self.rank, self.after, self.place, self.machine, self.words
