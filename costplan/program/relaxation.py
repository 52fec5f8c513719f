"""The linear relaxation of a program, and what its reduced costs rule out."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from costplan.program.program import Program, Row

INFINITE = float("inf")
UNKNOWN_BOUND = -(10**15)
"""Below every plan, where no relaxation says more."""
CAREFUL = 1e-6
"""Relative error allowed for in figures of the relaxation."""
WHOLE = 1e-6
"""How far from a whole number a value of the relaxation still counts as one."""


@dataclass(frozen=True, slots=True)
class Relaxation:
    """Values and reduced costs of every variable where fractions are allowed; nothing costs less than `cost`."""

    cost: float
    values: tuple[float, ...]
    reduced: tuple[float, ...]

    @property
    def bound(self) -> int:
        """A whole-cent lower bound on every plan."""
        return int(-(-(self.cost - 1 - CAREFUL * abs(self.cost)) // 1))

    def fraction(self, index: int) -> float:
        """How far a variable's value is from a whole number, 0 where it counts as one."""
        away = abs(self.values[index] - round(self.values[index]))
        return away if away > WHOLE else 0.0

    def bounds_within(self, program: Program, window: float) -> list[tuple[int, int]]:
        """Bounds that every assignment keeps which costs no more than the relaxation and the window.

        A variable at a bound with reduced cost r can leave it by at most window / r whole steps.
        """
        window = window + 1 + 2 * CAREFUL * abs(self.cost)
        found = []
        for variable, value, cost in zip(program.variables, self.values, self.reduced, strict=True):
            low, high = variable.low, variable.high
            if cost > 1e-4 and value - low < 1e-6:
                high = min(high, low + int(window / cost))
            elif cost < -1e-4 and high - value < 1e-6:
                low = max(low, high - int(window / -cost))
            found.append((low, high))
        return found


class Linear:
    """The variables and rows of a program as GLOP has them, for relaxations that differ in the variables' bounds.

    A relaxation after the first begins where the last one ended, which takes a tenth of the time.
    """

    def __init__(self, program: Program) -> None:
        from ortools.linear_solver import pywraplp

        # No type is known of what the library gives.
        self._glop: Any = pywraplp.Solver("relaxation", pywraplp.Solver.GLOP_LINEAR_PROGRAMMING)
        # Simplifying takes longer than these relaxations do without it, and forgets where the last one ended.
        self._glop.SetSolverSpecificParametersAsString("use_preprocessing:false use_dual_simplex:true")
        self._glop.Objective().SetMinimization()
        self._bounds: list[tuple[int, int]] = []
        self._variables: list[Any] = []
        self._count = 0
        self._last: Row | None = None
        self.shared = False
        """Whether several programs have it, so that it must stay as it is."""
        self._cost: dict[int, int] = {}
        self._rows: list[Any] = []
        self._floors: list[tuple[Mapping[int, int] | None, Any]] = []
        self._grow(program)

    def has(self, program: Program) -> bool:
        """Whether it has the program's rows, and no other ones, or can have: those that are added after its own."""
        grown = len(program.rows) > self._count or len(program.variables) > len(self._variables)
        known = self._count <= len(program.rows) and len(self._variables) <= len(program.variables)
        same = known and (not self._count or program.rows[self._count - 1] is self._last)
        return same and not (grown and self.shared)

    def _grow(self, program: Program) -> None:
        """Add the variables and rows that the program has more; a variable's cost stays what it was when it was added."""
        known = len(self._variables)
        for index in range(known, len(program.variables)):
            low, high = program.variables[index].low, program.variables[index].high
            self._bounds.append((low, high))
            self._variables.append(self._glop.NumVar(low, high, ""))
        objective, variables = self._glop.Objective(), self._variables
        for index, cost in program.cost.items():
            if index >= known:
                objective.SetCoefficient(variables[index], cost)
                self._cost[index] = cost
        for row in program.rows[self._count :]:
            least = -INFINITE if row.low is None else row.low
            self._rows.append(self._glop.Constraint(least, INFINITE if row.high is None else row.high))
            put = self._rows[-1].SetCoefficient
            for index, value in row.terms:
                put(variables[index], value)
            self._last = row
        self._count = len(program.rows)

    def recost(self, program: Program, rows: Collection[int]) -> None:
        """The same but for what variables cost and for some rows, by number: relaxations begin where the last one ended."""
        put, known, variables = self._glop.Objective().SetCoefficient, self._cost, self._variables
        for index in known.keys() | program.cost.keys():
            cost = program.cost.get(index, 0)
            if index < len(variables) and known.get(index, 0) != cost:
                put(variables[index], cost)
                known[index] = cost
        for number in rows:
            if number < self._count:
                self._rows[number].Clear()
                for index, value in program.rows[number].terms:
                    self._rows[number].SetCoefficient(variables[index], value)
        if self._count and self._count - 1 in rows:
            self._last = program.rows[self._count - 1]

    def bound_above(self, program: Program, floors: Sequence[tuple[Mapping[int, int], int]]) -> int:
        """A whole-cent lower bound on every plan, where by other costs of the variables none costs less than so many cents.

        Reduced costs are not to be had from it: many assignments cost the same under such rows.
        """
        for place, (floor, cents) in enumerate(floors):
            if place == len(self._floors):
                self._floors.append((None, self._glop.Constraint(-INFINITE, INFINITE)))
            known, row = self._floors[place]
            if known is not floor:
                row.Clear()
                for index, cost in floor.items():
                    row.SetCoefficient(self._variables[index], cost)
                self._floors[place] = floor, row
            row.SetBounds(cents, INFINITE)
        found = self.relaxed(program)
        for _, row in self._floors:
            row.SetBounds(-INFINITE, INFINITE)
        return UNKNOWN_BOUND if found is None else found.bound

    def relaxed(self, program: Program, seconds: float | None = None) -> Relaxation | None:
        """The relaxation of a program that it `has`; None when it has no solution or none was found in time."""
        self._grow(program)
        for index, variable in enumerate(program.variables):
            if (variable.low, variable.high) != self._bounds[index]:
                self._bounds[index] = variable.low, variable.high
                self._variables[index].SetBounds(variable.low, variable.high)
        # 0 is no limit.
        self._glop.SetTimeLimit(0 if seconds is None else max(int(seconds * 1000), 1))
        if self._glop.Solve() != self._glop.OPTIMAL:
            return None
        return Relaxation(
            self._glop.Objective().Value() + program.fixed_cost,
            tuple([variable.solution_value() for variable in self._variables]),
            tuple([variable.reduced_cost() for variable in self._variables]),
        )


def relax(program: Program, seconds: float | None = None) -> Relaxation | None:
    """The relaxation solved by GLOP; None when it has no solution or none was found in time."""
    return Linear(program).relaxed(program, seconds)
