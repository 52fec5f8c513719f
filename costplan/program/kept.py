"""What is kept of the programs built of one body, for their copies and for programs like them."""

from dataclasses import dataclass, field

from costplan.program.program import Program
from costplan.program.relaxation import Linear
from costplan.program.solver import Records

ALIKE = 0.8
"""From what share of equal rows on two programs share their relaxations."""


@dataclass(frozen=True)
class Solved:
    """A program with its relaxations, and what the solver reads of it."""

    program: Program
    linear: Linear
    records: Records


@dataclass(frozen=True)
class Kept:
    """By way of hiring what was built first."""

    firsts: dict[str, Solved] = field(default_factory=dict)

    def serving(self, hiring: str, program: Program) -> Solved:
        """What serves a program by a way of hiring: it shares rows with what was built first, and relaxations and records."""
        first = self.firsts.get(hiring)
        if first is None:
            return self.firsts.setdefault(hiring, Solved(program, Linear(), Records(program)))
        linear = first.linear if program.liken(first.program) > ALIKE else Linear()
        return Solved(program, linear, first.records if first.records.serve(program) else Records(program))
