"""The linear relaxation of a program, and what its reduced costs rule out."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil
from typing import Any

from costplan.program.program import Program

INFINITE = float("inf")
UNKNOWN_BOUND = -(10**15)
"""Below every plan, where no relaxation says more."""
CAREFUL = 1e-6
"""Relative error allowed for in figures of the relaxation."""
WHOLE = 1e-6
"""How far from a whole number a value of the relaxation still counts as one."""
ONE_CENT = 1
"""Allowed for besides `CAREFUL`, since a share of a cost near 0 allows for nothing."""
NO_COST = 1e-4
"""Reduced costs, in cents, that count as none: errors of floats may be as large, and they would rule out little."""
IDLE = 0.25
"""Largest share of inactive rows kept before GLOP starts afresh."""


@dataclass(frozen=True, slots=True)
class Relaxation:
    """Values and reduced costs of every variable where fractions are allowed; nothing costs less than `cost`."""

    cost: float
    values: tuple[float, ...]
    reduced: tuple[float, ...]

    @property
    def bound(self) -> int:
        """A whole-cent lower bound on every plan."""
        return ceil(self.cost - ONE_CENT - CAREFUL * abs(self.cost))

    def fraction(self, index: int) -> float:
        """How far a variable's value is from a whole number, 0 where it counts as one."""
        away = abs(self.values[index] - round(self.values[index]))
        return away if away > WHOLE else 0.0

    def bounds_within(self, program: Program, window: float) -> list[tuple[int, int]]:
        """Bounds that every assignment keeps which costs no more than the relaxation and the window.

        In textbooks this is reduced-cost fixing: a variable at a bound with reduced cost r can leave it by at most
        window / r whole steps.
        """
        # Twice the error, a choice: of the cost that the window begins at, and of the reduced costs.
        window = window + ONE_CENT + 2 * CAREFUL * abs(self.cost)
        found = []
        for variable, value, cost in zip(program.variables, self.values, self.reduced, strict=True):
            low, high = variable.low, variable.high
            if cost > NO_COST and value - low < WHOLE:
                high = min(high, low + int(window / cost))
            elif cost < -NO_COST and high - value < WHOLE:
                low = max(low, high - int(window / -cost))
            found.append((low, high))
        return found


class Linear:
    """The relaxations of programs that are copies of one another, each with what was added to it, as one GLOP program.

    What a program has not is there without effect. A relaxation begins where the last one ended, which takes a tenth of
    the time; it begins anew where much is there without effect, or where the library lost its way from there.
    """

    def __init__(self) -> None:
        self._family: Iterator[int] | None = None
        self._begin()

    def _begin(self) -> None:
        from ortools.linear_solver import pywraplp

        # No type is known of what the library gives.
        self._glop: Any = pywraplp.Solver("relaxation", pywraplp.Solver.GLOP_LINEAR_PROGRAMMING)
        # Simplifying takes longer than these relaxations do without it, and forgets where the last one ended.
        self._glop.SetSolverSpecificParametersAsString("use_preprocessing:false use_dual_simplex:true")
        self._glop.Objective().SetMinimization()
        self._variables: dict[int, Any] = {}
        self._rows: dict[int, Any] = {}
        self._bounds: dict[int, tuple[int, int]] = {}
        self._costs: dict[int, int] = {}
        self._in_force: set[int] = set()

    def relaxed(self, program: Program, seconds: float | None = None) -> Relaxation | None:
        """The relaxation of a program; None when it has no solution or none was found in time."""
        if self._family is not program.family or len(self._rows) > len(program.rows) * (1 + IDLE):
            self._begin()
            self._family = program.family
        anew = not self._rows
        variables = self._put_variables(program)
        self._put_rows(program, variables)
        # 0 is no limit.
        self._glop.SetTimeLimit(0 if seconds is None else max(int(seconds * 1000), 1))
        status = self._glop.Solve()
        if status == self._glop.OPTIMAL:
            return Relaxation(
                self._glop.Objective().Value() + program.fixed_cost,
                tuple([variable.solution_value() for variable in variables]),
                tuple([variable.reduced_cost() for variable in variables]),
            )
        if status == self._glop.ABNORMAL and not anew:
            self._family = None
            return self.relaxed(program, seconds)
        return None

    def _put_variables(self, program: Program) -> list[Any]:
        """Those of the program at its bounds and costs, all others at nothing; as the library has them, in its order."""
        bounds, costs = self._bounds, self._costs
        objective, here = self._glop.Objective(), {one.serial for one in program.variables}
        if len(here) < len(program.variables):
            raise AssertionError("two variables of a program have one serial: was it made beside its copies?")
        for serial in bounds.keys() - here:
            if bounds[serial] != (0, 0):
                bounds[serial] = 0, 0
                self._variables[serial].SetBounds(0, 0)
        for index, variable in enumerate(program.variables):
            serial, limits = variable.serial, (variable.low, variable.high)
            if serial not in bounds:
                self._variables[serial] = self._glop.NumVar(*limits, "")
            elif bounds[serial] != limits:
                self._variables[serial].SetBounds(*limits)
            bounds[serial] = limits
            cost = program.cost.get(index, 0)
            if costs.get(serial, 0) != cost:
                objective.SetCoefficient(self._variables[serial], cost)
                costs[serial] = cost
        return [self._variables[variable.serial] for variable in program.variables]

    def _put_rows(self, program: Program, variables: list[Any]) -> None:
        """Those of the program, and all others without bounds."""
        wanted = {row.serial for row in program.rows}
        if len(wanted) < len(program.rows):
            raise AssertionError("two rows of a program have one serial: was it made beside its copies?")
        for serial in self._in_force - wanted:
            self._rows[serial].SetBounds(-INFINITE, INFINITE)
        for row in program.rows:
            if row.serial in self._in_force:
                continue
            limits = -INFINITE if row.low is None else row.low, INFINITE if row.high is None else row.high
            if row.serial in self._rows:
                self._rows[row.serial].SetBounds(*limits)
                continue
            self._rows[row.serial] = self._glop.Constraint(*limits)
            put = self._rows[row.serial].SetCoefficient
            for index, value in row.terms:
                put(variables[index], value)
        self._in_force = wanted


def relax(program: Program, seconds: float | None = None) -> Relaxation | None:
    """The relaxation solved by GLOP; None when it has no solution or none was found in time."""
    return Linear().relaxed(program, seconds)
