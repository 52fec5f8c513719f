"""The linear relaxation of a program, and what its reduced costs rule out."""

from dataclasses import dataclass

from costplan.program.program import Program

INFINITE = float("inf")
UNKNOWN_BOUND = -(10**15)
"""Below every plan, where no relaxation says more."""
CAREFUL = 1e-6
"""Relative error allowed for in figures of the relaxation."""


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


def relax(program: Program, seconds: float | None = None) -> Relaxation | None:
    """The relaxation solved by GLOP; None when it has no solution or none was found in time."""
    from ortools.linear_solver.python import model_builder_helper as glop

    model = glop.ModelBuilderHelper()
    for index, variable in enumerate(program.variables):
        model.add_var()
        model.set_var_lower_bound(index, variable.low)
        model.set_var_upper_bound(index, variable.high)
    for index, cost in program.cost.items():
        model.set_var_objective_coefficient(index, cost)
    add = model.add_term_to_constraint
    for number, row in enumerate(program.rows):
        model.add_linear_constraint()
        model.set_constraint_lower_bound(number, -INFINITE if row.low is None else row.low)
        model.set_constraint_upper_bound(number, INFINITE if row.high is None else row.high)
        for index, value in row.terms:
            add(number, index, value)
    solver = glop.ModelSolverHelper("glop")
    # Simplifying takes longer than these relaxations do without it.
    solver.set_solver_specific_parameters("use_preprocessing:false")
    if seconds is not None:
        solver.set_time_limit_in_seconds(seconds)
    solver.solve(model)
    if solver.status() != glop.SolveStatus.OPTIMAL:
        return None
    values, reduced = solver.variable_values(), solver.reduced_costs()
    return Relaxation(
        solver.objective_value() + program.fixed_cost,
        tuple(float(value) for value in values),
        tuple(float(cost) for cost in reduced),
    )
