"""What a plan held as it is costs at another value of a figure: its lines, each by what it follows, not a walk.

Draws of all figures at once have sums of lines by the same figures (`studies.uncertain`), each a float; here one figure
moves, and each line is rounded as the walk rounds it, so that the total is that of the walk where a figure is not `rough`.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.ledger.least_charges import LeastCharge
from costplan.ledger.lines import Line, LineKind, hired_labor
from costplan.studies.figures import Figure


@dataclass(frozen=True)
class HeldLines:
    """The lines of a plan that a figure moves, what the others are worth together, and the least charges that it moves."""

    figure: Figure
    moved: tuple[Line, ...]
    besides_cents: int
    charges: tuple[tuple[LeastCharge, int, tuple[Line, ...]], ...] = ()
    """Each with the labor that the figure does not move, in its year's money, and the lines that it does, as if of today."""

    @classmethod
    def of(cls, figure: Figure, lines: Iterable[Line], charges: Sequence[LeastCharge] = ()) -> "HeldLines":
        """A plan's lines as figures are now; its least charges are reckoned anew."""
        moved, besides = list[Line](), 0
        for line in (line for line in lines if line.kind is not LineKind.MINIMUM):
            if _moves(figure, line):
                moved.append(line)
            else:
                besides += line.present_value_cents
        held = list[tuple[LeastCharge, int, tuple[Line, ...]]]()
        for charge in charges:
            labor = [_of_today(line) for line in charge.labor]
            follows = tuple(line for line in labor if _moves(figure, line))
            if follows or _moves(figure, charge.line):
                fixed = hired_labor(labor) - hired_labor(follows)
                held.append((charge, fixed, follows))
            else:
                besides += charge.short(hired_labor(labor)).present_value_cents
        return cls(figure, tuple(moved), besides, tuple(held))

    def cents(self, value: Decimal) -> int:
        """The total when the figure is so much."""
        worth = sum(self.figure.worth(line, value) for line in self.moved)
        for charge, fixed, follows in self.charges:
            labor = fixed + sum(self.figure.worth(line, value) for line in follows)
            worth += self.figure.worth(charge.short(labor), value)
        return self.besides_cents + worth


def _moves(figure: Figure, line: Line) -> bool:
    at = {figure.worth(line, value) for value in (figure.low, figure.high)}
    return at != {line.present_value_cents}


def _of_today(line: Line) -> Line:
    """The same line where its amount is what it is worth, so that a figure tells the amount."""
    return replace(line, year=0, scenario="", present_value_cents=line.amount_cents)
