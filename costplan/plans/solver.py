"""The only module that knows which solver is used: CP-SAT, whose numbers are whole, so cents are exact."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import floor, isfinite

from costplan.plans.program import Program

SEED = 1


@dataclass(frozen=True, slots=True)
class Answer:
    """Values of all variables, their cost, and a proven lower bound; equal cost and bound is optimal."""

    values: tuple[int, ...]
    cost: int
    bound: int

    @property
    def proven(self) -> bool:
        """Whether nothing cheaper exists."""
        return self.bound >= self.cost


class NoAnswerError(Exception):
    """The program has no solution, or none was found in time.

    `bound` is the proven lower bound on any solution when time ran out, None when there is no solution.
    """

    def __init__(self, bound: int | None) -> None:
        super().__init__("no solution exists" if bound is None else "no solution found in time")
        self.bound = bound


def solve(
    program: Program,
    *,
    seconds: float | None = None,
    hint: Mapping[int, int] | None = None,
    at_most: int | None = None,
) -> Answer:
    """The cheapest assignment, proven unless time ran out.

    seconds: time limit, None for none; hint: values to start from; at_most: cost above which nothing is wanted.
    Raises NoAnswerError when there is none.
    """
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    variables = [model.new_int_var(v.low, v.high, v.name) for v in program.variables]
    for row in program.rows:
        expression = cp_model.LinearExpr.weighted_sum(
            [variables[index] for index, _ in row.terms], [value for _, value in row.terms]
        )
        low = cp_model.INT_MIN if row.low is None else row.low
        high = cp_model.INT_MAX if row.high is None else row.high
        model.add_linear_constraint(expression, low, high)
    items = sorted(program.cost.items())
    objective = cp_model.LinearExpr.weighted_sum(
        [variables[i] for i, _ in items], [cost for _, cost in items]
    )
    if at_most is not None:
        model.add(objective <= at_most - program.fixed_cost)
    model.minimize(objective)
    for index, value in (hint or {}).items():
        model.add_hint(variables[index], value)
    solver = cp_model.CpSolver()
    solver.parameters.random_seed = SEED
    solver.parameters.num_workers = 1
    solver.parameters.linearization_level = 2
    solver.parameters.cp_model_probing_level = 1
    if seconds is not None:
        solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        unknown = status == cp_model.UNKNOWN
        raise NoAnswerError(_bound(program, solver.best_objective_bound) if unknown else None)
    values = [int(solver.value(variable)) for variable in variables]
    broken = program.broken(values)
    if broken:
        raise AssertionError(f"the solver broke rows: {', '.join(broken[:5])}")
    cost = program.value(values)
    bound = cost if status == cp_model.OPTIMAL else _bound(program, solver.best_objective_bound)
    return Answer(tuple(values), cost, bound)


def _bound(program: Program, reported: float) -> int:
    """A whole-cent lower bound; where the solver has none yet, what the variables' own bounds allow."""
    least = sum(
        cost * (program.variables[index].low if cost > 0 else program.variables[index].high)
        for index, cost in program.cost.items()
    )
    return program.fixed_cost + max(least, floor(reported) if isfinite(reported) else least)
