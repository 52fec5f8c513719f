"""What a plan held as it is costs at another value of a figure: its lines, each by what it follows, not a walk.

Draws of all figures at once have sums of lines by the same figures (`studies.uncertain`), each a float; here one figure
moves, and each line is rounded as the walk rounds it, so that the total is that of the walk where a figure is not `rough`.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.studies.figures import Figure


@dataclass(frozen=True)
class HeldLines:
    """The lines of a plan that a figure moves, what the others are worth together, and the least charge of its crew."""

    figure: Figure
    moved: tuple[Line, ...]
    besides_cents: int
    hired_cents: int
    """Today's hired labor that the figure does not move, where there is a least charge."""
    minimum_cents: int

    @classmethod
    def of(cls, figure: Figure, lines: Iterable[Line], minimum_cents: int = 0) -> "HeldLines":
        """A plan's lines as figures are now."""
        moved, besides, hired = list[Line](), 0, 0
        every = tuple(lines)
        known = [line for line in every if line.kind is not LineKind.MINIMUM]
        for line in known:
            at = {figure.worth(line, value) for value in (figure.low, figure.high)}
            if at == {line.present_value_cents}:
                besides += line.present_value_cents
                hired += line.amount_cents if _counts(line) else 0
            else:
                moved.append(line)
        if len(known) == len(every) and not any(_counts(line) for line in known):
            minimum_cents = 0
        return cls(figure, tuple(moved), besides, hired, minimum_cents)

    def cents(self, value: Decimal) -> int:
        """The total when the figure is so much."""
        worth = [self.figure.worth(line, value) for line in self.moved]
        # Today's worth is the amount itself.
        labor = sum(cents for line, cents in zip(self.moved, worth, strict=True) if _counts(line))
        short = max(0, self.minimum_cents - self.hired_cents - labor)
        return self.besides_cents + sum(worth) + short


def _counts(line: Line) -> bool:
    """Whether it counts towards the least charge of the hired crew."""
    return (line.year, line.kind, line.pocket) == (0, LineKind.LABOR, Pocket.CASH)
