"""The only module that knows which solver is used: CP-SAT, whose numbers are whole, so cents are exact."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import floor, isfinite
from time import monotonic

from costplan.plans.program import Program
from costplan.plans.relaxation import relax

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


FIRST_WINDOW = 0.006
"""Share of the relaxation's cost within which the best plan is looked for first."""


def solve(
    program: Program,
    *,
    seconds: float | None = None,
    hint: Mapping[int, int] | None = None,
    at_most: int | None = None,
) -> Answer:
    """The cheapest assignment, proven unless time ran out.

    seconds: time limit, None for none; hint: values to start from; at_most: cost above which nothing is wanted.
    The relaxation's reduced costs rule out what no assignment within a window has; one found within it is the
    cheapest there is, else the window is widened to what was found. Raises NoAnswerError when there is none.
    """
    started = monotonic()

    def left() -> float | None:
        return None if seconds is None else max(seconds - (monotonic() - started), 0.2)

    relaxed = relax(program, left())
    if relaxed is None:
        return _search(program, None, left(), hint, at_most)
    if at_most is not None and relaxed.bound > at_most:
        raise NoAnswerError(None)
    window = FIRST_WINDOW * abs(relaxed.cost) + 100
    while True:
        wide = at_most is not None and relaxed.cost + window >= at_most
        if wide and at_most is not None:
            window = max(at_most - relaxed.cost, 0)
        try:
            answer = _search(program, relaxed.bounds_within(program, window), left(), hint, at_most)
        except NoAnswerError as error:
            if wide or window > 10 * abs(relaxed.cost) + 10**8:
                raise
            if error.bound is not None:
                raise NoAnswerError(min(error.bound, relaxed.bound)) from None
            window *= 6
            continue
        beyond = int(relaxed.cost + window)
        if answer.cost <= beyond:
            return Answer(answer.values, answer.cost, min(answer.bound, beyond))
        if seconds is not None and monotonic() - started >= seconds:
            return Answer(answer.values, answer.cost, min(answer.bound, beyond, max(relaxed.bound, 0)))
        window, hint = answer.cost - 1 - relaxed.cost, dict(enumerate(answer.values))
        known = answer
        try:
            answer = _search(program, relaxed.bounds_within(program, window), left(), hint, known.cost)
        except NoAnswerError as error:
            bound = known.cost if error.bound is None else min(error.bound, known.cost)
            return Answer(known.values, known.cost, bound)
        return answer


def _search(
    program: Program,
    bounds: list[tuple[int, int]] | None,
    seconds: float | None,
    hint: Mapping[int, int] | None,
    at_most: int | None,
) -> Answer:
    """The cheapest assignment within bounds narrower than the variables' own."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    within = bounds or [(v.low, v.high) for v in program.variables]
    fixed = {index: low for index, (low, high) in enumerate(within) if low == high}
    variables = [
        model.new_constant(low) if low == high else model.new_int_var(low, high, "") for low, high in within
    ]
    for row in program.rows:
        constant = 0
        indices, values = [], []
        for index, value in row.terms:
            if index in fixed:
                constant += value * fixed[index]
            else:
                indices.append(variables[index])
                values.append(value)
        low = None if row.low is None else row.low - constant
        high = None if row.high is None else row.high - constant
        if not indices:
            if (low is not None and low > 0) or (high is not None and high < 0):
                raise NoAnswerError(None)
            continue
        expression = cp_model.LinearExpr.weighted_sum(indices, values)
        model.add_linear_constraint(
            expression,
            cp_model.INT_MIN if low is None else low,
            cp_model.INT_MAX if high is None else high,
        )
    items = sorted(program.cost.items())
    objective = cp_model.LinearExpr.weighted_sum(
        [variables[i] for i, _ in items], [cost for _, cost in items]
    )
    if at_most is not None:
        model.add(objective <= at_most - program.fixed_cost)
    model.minimize(objective)
    for index, value in (hint or {}).items():
        if index not in fixed:
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
    values_found = [int(solver.value(variable)) for variable in variables]
    broken = program.broken(values_found)
    if broken:
        raise AssertionError(f"the solver broke rows: {', '.join(broken[:5])}")
    cost = program.value(values_found)
    bound = cost if status == cp_model.OPTIMAL else _bound(program, solver.best_objective_bound)
    return Answer(tuple(values_found), cost, bound)


def _bound(program: Program, reported: float) -> int:
    """A whole-cent lower bound; where the solver has none yet, what the variables' own bounds allow."""
    least = sum(
        cost * (program.variables[index].low if cost > 0 else program.variables[index].high)
        for index, cost in program.cost.items()
    )
    return program.fixed_cost + max(least, floor(reported) if isfinite(reported) else least)
