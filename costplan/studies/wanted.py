"""What is wanted of a comparison: how many plans, what is held, what else is worked out, in which time."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from costplan.program.clock import Tick
from costplan.studies.sureness import DEFAULT, Settings
from costplan.studies.turned import Ask


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is wanted of a comparison."""

    plans: int = 5
    """How many ranked plans."""
    held: Mapping[str, str] = field(default_factory=dict)
    """Machine, or * for all others, → exact words of its ways (see `ledger.holding`)."""
    seconds: float | None = None
    """Time limit of the whole run, None for none."""
    strategies: bool = True
    """Whether those of the shop file are worked out."""
    layouts: bool = True
    """Whether those of the shop file are worked out."""
    settings: Settings | None = DEFAULT
    """Of the draws, None for no draws."""
    exact_turning: Ask | None = None
    """What is solved anew for what could turn the answer, None for plans at hand."""
    tick: Tick = bool
    """Called ahead of each step with what it is."""


USUAL = Wanted()
