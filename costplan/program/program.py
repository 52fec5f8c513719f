"""An integer program as plain data: whole-number variables, linear rows, a cost in cents."""

from collections.abc import Collection, Iterator, Mapping
from copy import copy
from dataclasses import dataclass, field, replace
from enum import Enum, auto
from itertools import count
from typing import Self

Terms = dict[int, int]
"""Coefficients by variable."""


def add_terms(row: Terms, terms: Mapping[int, int], factor: int = 1) -> None:
    """Add so many times some terms to others."""
    for index, value in terms.items():
        row[index] = row.get(index, 0) + value * factor


@dataclass(frozen=True, slots=True)
class Variable:
    """A whole number between two bounds.

    `serial` is the same in every copy of its program; no other variable or row of any copy has it.
    """

    name: str
    low: int
    high: int
    serial: int = field(compare=False)


class Gives(Enum):
    """What may have to give way where no plan keeps all rows."""

    SPACES = auto()
    LOAD = auto()
    CAP = auto()
    OFFERS = auto()
    WAYS = auto()


Limit = tuple[Gives, str]
"""What may give way, and of what: a panel, a limit of load, a need, a machine; rows of one limit give way together."""


@dataclass(frozen=True, slots=True)
class Row:
    """low <= sum of coefficient * variable <= high; None is no bound. `limit` is what the row keeps, None for bookkeeping.

    `serial` is the same in every copy of its program; no other variable or row of any copy has it.
    """

    name: str
    terms: tuple[tuple[int, int], ...]
    low: int | None
    high: int | None
    serial: int = field(compare=False)
    limit: Limit | None = None


@dataclass
class Program:
    """Variables, rows and costs, in the order they were added."""

    variables: list[Variable] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    cost: dict[int, int] = field(default_factory=dict)
    fixed_cost: int = 0
    family: Iterator[int] = field(default_factory=count, compare=False, repr=False)
    """Numbers for what is added to it or to a copy of it; programs that share the very same one are copies of each other."""

    def copy(self) -> "Program":
        """The same program, to be changed on its own."""
        return Program(list(self.variables), list(self.rows), dict(self.cost), self.fixed_cost, self.family)

    def liken(self, other: "Program") -> float:
        """Take over the serials of what is the same, by its place, in a copy of the same program; the share of rows that are.

        Whoever has such a row or variable of the other one has it of this one too. A variable is the same within other bounds.
        """
        unlike = set(range(len(other.variables), len(self.variables)))
        for index, (mine, its) in enumerate(zip(self.variables, other.variables, strict=False)):
            if mine == its:
                self.variables[index] = its
            elif mine.name == its.name:
                self.variables[index] = replace(mine, serial=its.serial)
            else:
                unlike.add(index)
        alike = 0
        for index, (own, known) in enumerate(zip(self.rows, other.rows, strict=False)):
            if own == known and (not unlike or unlike.isdisjoint(i for i, _ in own.terms)):
                self.rows[index], alike = known, alike + 1
        return alike / max(len(self.rows), 1)

    def bare(self) -> "Program":
        """The same variables, without rows and costs."""
        return Program(list(self.variables), [], {}, 0, self.family)

    def without(self, rows: Collection[int]) -> "Program":
        """The same program without some rows, by their numbers."""
        kept = [row for number, row in enumerate(self.rows) if number not in rows]
        return Program(list(self.variables), kept, dict(self.cost), self.fixed_cost, self.family)

    def narrow(self, index: int, low: int | None = None, high: int | None = None) -> None:
        """Put other bounds on a variable; None leaves the one that it has."""
        known = self.variables[index]
        self.variables[index] = replace(
            known, low=known.low if low is None else low, high=known.high if high is None else high
        )

    def close(self, index: int) -> None:
        """Hold a variable at its lower bound."""
        self.narrow(index, high=self.variables[index].low)

    def variable(self, name: str, high: int = 1, cost: int = 0, low: int = 0) -> int:
        """Add a variable; returns its index."""
        self.variables.append(Variable(name, low, high, next(self.family)))
        index = len(self.variables) - 1
        self.add_cost(index, cost)
        return index

    def add_cost(self, index: int, cost: int) -> None:
        """Add to the cost of one unit of a variable."""
        self.add_costs({index: 1}, cost)

    def add_costs(self, terms: Mapping[int, int], cost: int) -> None:
        """Add to the costs of variables, of each so many times as it counts."""
        if cost:
            add_terms(self.cost, terms, cost)

    def row(
        self,
        name: str,
        terms: Mapping[int, int],
        low: int | None = None,
        high: int | None = None,
        limit: Limit | None = None,
    ) -> None:
        """Add a row; variables with coefficient 0 are left out."""
        kept = tuple((index, value) for index, value in terms.items() if value)
        self.rows.append(Row(name, kept, low, high, next(self.family), limit))

    def value(self, values: "list[int]") -> int:
        """The cost of an assignment, in cents."""
        return self.fixed_cost + sum(cost * values[index] for index, cost in self.cost.items())

    def broken(self, values: "list[int]") -> list[str]:
        """Names of the rows and bounds an assignment breaks, in whole-number arithmetic."""
        names = [
            variable.name
            for variable, value in zip(self.variables, values, strict=True)
            if not variable.low <= value <= variable.high
        ]
        for row in self.rows:
            total = sum(value * values[index] for index, value in row.terms)
            if (row.low is not None and total < row.low) or (row.high is not None and total > row.high):
                names.append(row.name)
        return names


class ProgramRows:
    """Rows of one subject in a program, with what reads them out of an answer; some add more once that is seen to be needed.

    What it knows is never changed in place, so that whoever adds rows does so in one copy of the program alone.
    """

    program: Program

    def on(self, program: Program) -> Self:
        """The same rows, and those that it holds, in a copy of the program."""
        other = copy(self)
        other.program = program
        for name, held in vars(self).items():
            if isinstance(held, ProgramRows):
                setattr(other, name, held.on(program))
        return other
