"""The time limit of a run: one for everything, counted from its start, what it builds included."""

from collections.abc import Callable
from dataclasses import dataclass, field
from time import monotonic

Tick = Callable[[str], object]
"""Told in a few words what is worked on next."""
BUILDING = 0.4
"""The share of the time that may go into building a program, so that something is left to search it."""
LEAST_SECONDS = 0.5
"""What a search gets even when time is up, so that there is something to show."""


@dataclass
class Clock:
    """The time limit of a run and when it began."""

    seconds: float | None = None
    started: float = field(default_factory=monotonic)

    def share(self, parts: int) -> float | None:
        """One of so many equal parts of the time left, at least a little; None for no limit."""
        return None if self.left is None else max(self.left / parts, LEAST_SECONDS)

    @property
    def left(self) -> float | None:
        """Seconds left, 0 when time is up; None for no limit."""
        return None if self.seconds is None else max(self.seconds - (monotonic() - self.started), 0)

    @property
    def up(self) -> bool:
        """Whether the time is up."""
        return self.spent(1)

    def spent(self, share: float) -> bool:
        """Whether such a share of the time is over."""
        return self.seconds is not None and monotonic() - self.started >= self.seconds * share

    def part(self, share: float) -> "Clock":
        """A clock for a share of the whole time, begun when this was."""
        return Clock(None if self.seconds is None else self.seconds * share, self.started)
