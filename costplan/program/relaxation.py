"""The linear relaxation of a program, and what its reduced costs rule out."""

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
        self._bounds = [(variable.low, variable.high) for variable in program.variables]
        self._variables = [self._glop.NumVar(low, high, "") for low, high in self._bounds]
        self._count, self._last = len(program.rows), _last(program)
        objective = self._glop.Objective()
        for index, cost in program.cost.items():
            objective.SetCoefficient(self._variables[index], cost)
        objective.SetMinimization()
        for row in program.rows:
            low, high = -INFINITE if row.low is None else row.low, INFINITE if row.high is None else row.high
            put = self._glop.Constraint(low, high).SetCoefficient
            for index, value in row.terms:
                put(self._variables[index], value)
        # Simplifying takes longer than these relaxations do without it, and forgets where the last one ended.
        self._glop.SetSolverSpecificParametersAsString("use_preprocessing:false use_dual_simplex:true")

    def has_rows_of(self, program: Program) -> bool:
        """Whether a program differs in the variables' bounds at most."""
        same_rows = len(program.rows) == self._count and _last(program) is self._last
        return same_rows and len(program.variables) == len(self._variables)

    def relaxed(self, program: Program, seconds: float | None = None) -> Relaxation | None:
        """The relaxation of a program with these rows; None when it has no solution or none was found in time."""
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


def _last(program: Program) -> Row | None:
    return program.rows[-1] if program.rows else None


def relax(program: Program, seconds: float | None = None) -> Relaxation | None:
    """The relaxation solved by GLOP; None when it has no solution or none was found in time."""
    return Linear(program).relaxed(program, seconds)
