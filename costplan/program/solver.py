"""The whole-number search, by CP-SAT, whose numbers are whole, so cents are exact; no other module calls it.

GLOP of the same library solves the relaxation: `program.relaxation` alone calls that.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import floor, isfinite
from typing import Any

from costplan.model.money import TooLargeError
from costplan.program.clock import Clock
from costplan.program.program import Program, Row, Variable
from costplan.program.relaxation import UNKNOWN_BOUND, Relaxation, relax

SEED = 1
_LARGEST_SUM = 2**62
"""What a sum may come to for the solver to add it in 64 bits."""
_INT_MIN, _INT_MAX = -(2**63), 2**63 - 1
"""No bound, as the solver has it."""
UNBOUNDED = float("inf")
"""A window that rules nothing out."""
TIDYING = 2.0
"""The most effort, in the solver's own time that is the same on every machine, for an answer of the same cost."""
REPAIRING = 2.0
"""The same for an answer with the same ways whose pieces can be cut, where there was no time for the cheapest."""
ROUND = 4.0
"""The same for the first round of a search, after which it begins anew with what is left. A choice: few take longer."""
LONGER = 1.2
"""How many times as much the next round gets, so that in the end one is long enough."""

FIRST_WINDOW = 0.002
"""Share of the relaxation's cost within which the best plan is looked for first."""
LEAST_WINDOW = 100
"""Cents besides that share, so that there is a window where the relaxation costs next to nothing. A choice, no source."""
FEW_COLUMNS = 5_000
"""Up to so many variables that are not fixed, searching at once from a known plan is quicker than simplifying first."""
COUNTING = 1 / 3
"""The share of variables that count beyond 1, as of groups of machines, from which on simplifying first is quicker."""
FIRST_FOUND_WINDOW = 0.05
"""Share of the relaxation's cost within which any assignment at all is looked for first."""
NEXT_WINDOW = 0.003
"""How much more than the last plan of a ranking the next one is expected to cost, as a share."""


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
    """The program has no solution, none within what was asked for, or none was found in time.

    `bound` is the proven lower bound on any solution when time ran out; None when there is proven to be none, or none that
    costs as little as `at_most`, within the bounds that were searched.
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
    near: int | None = None,
    start: Answer | None = None,
    relaxed: Relaxation | None = None,
    records: "Records | None" = None,
) -> Answer:
    """The cheapest assignment, proven unless time ran out.

    seconds: time limit, None for none; hint: values to start from; at_most: cost above which nothing is wanted;
    near: cost a little above which the answer is expected, which decides how wide is looked at first;
    start: an assignment that is wanted where nothing cheaper is found;
    relaxed: the program's relaxation where it is known; records: those that are at hand for it and its copies.
    The relaxation's reduced costs rule out what no assignment within a window has; one found within it is the
    cheapest there is, else the window is widened to what was found. Raises NoAnswerError when there is none, and
    TooLargeError where the sums do not fit the solver's whole numbers.
    """
    _refuse_too_large(program)
    clock = Clock(seconds)
    relaxed = relaxed or relax(program, clock.share(1))
    if relaxed is None:
        return _solve_within(program, None, clock.share(1), hint, at_most, records)
    if start is not None:
        return _from(replace(start, bound=relaxed.bound), program, relaxed, clock, records)
    if at_most is not None and relaxed.bound > at_most:
        raise NoAnswerError(None)
    first = FIRST_WINDOW * abs(relaxed.cost) + LEAST_WINDOW
    if near is not None:
        first = max(near - relaxed.cost, 0) + NEXT_WINDOW * abs(relaxed.cost) + LEAST_WINDOW
    answer, window = _nearest(program, relaxed, clock, hint, at_most, first, records)
    if window == UNBOUNDED:
        return answer
    beyond = int(relaxed.cost + window)
    if answer.cost <= beyond or clock.up:
        return Answer(answer.values, answer.cost, min(answer.bound, max(beyond, relaxed.bound)))
    answer = replace(answer, bound=max(min(answer.bound, beyond), relaxed.bound))
    return _from(answer, program, relaxed, clock, records)


def _from(
    start: Answer, program: Program, relaxed: Relaxation, clock: Clock, records: "Records | None"
) -> Answer:
    """The cheapest assignment, from one that is known with what any costs at least."""
    within, hint = (
        relaxed.bounds_within(program, start.cost - 1 - relaxed.cost),
        dict(enumerate(start.values)),
    )
    try:
        answer = _solve_within(program, within, clock.share(1), hint, None, records)
    except NoAnswerError as error:
        answer = replace(start, bound=start.cost if error.bound is None else max(error.bound, start.bound))
    return replace(answer, bound=min(max(answer.bound, start.bound), answer.cost))


def any_answer(
    program: Program,
    seconds: float | None,
    relaxed: Relaxation | None = None,
    records: "Records | None" = None,
) -> Answer:
    """The first assignment found, however dear, for when there was no time for the cheapest; `relaxed` where it is known.

    Raises NoAnswerError.
    """
    clock = Clock(seconds)
    relaxed = relaxed or relax(program, clock.share(1))
    if relaxed is None:
        return _solve_within(program, None, clock.share(1), None, None, records, first=True)
    hint = {index: round(value) for index, value in enumerate(relaxed.values)}
    within = relaxed.bounds_within(program, FIRST_FOUND_WINDOW * abs(relaxed.cost))
    try:
        found = _solve_within(program, within, clock.share(1), hint, None, records, first=True)
    except NoAnswerError as error:
        if error.bound is not None:
            raise
        found = _solve_within(program, None, clock.share(1), hint, None, records, first=True)
    return Answer(found.values, found.cost, min(relaxed.bound, found.cost))


def cheapest_with(
    program: Program,
    held: Mapping[int, int],
    hint: Mapping[int, int] | None,
    bound: int,
    records: "Records | None" = None,
) -> Answer:
    """The cheapest assignment in which some variables have these values, within the same effort on every machine.

    bound: what any assignment of the program costs at least. Raises NoAnswerError.
    """
    within = [(variable.low, variable.high) for variable in program.variables]
    for index, value in held.items():
        within[index] = value, value
    try:
        found = _solve_within(program, within, None, hint, None, records, effort=REPAIRING)
    except NoAnswerError:
        raise NoAnswerError(bound) from None
    return Answer(found.values, found.cost, min(bound, found.cost))


def with_least(
    program: Program,
    rather_not: Mapping[int, int],
    answer: Answer,
    relaxed: Relaxation | None = None,
    records: "Records | None" = None,
) -> Answer:
    """An assignment that costs the same, with as little as can be of some variables, by their weights; not proven.

    relaxed: the program's relaxation where it is known.
    """
    relaxed = relaxed or relax(program)
    if relaxed is None:
        return answer
    other = program.copy()
    other.row("costs no more", program.cost, high=answer.cost - program.fixed_cost)
    other.cost, other.fixed_cost = dict(rather_not), 0
    within = relaxed.bounds_within(program, max(answer.cost - relaxed.cost, 0))
    hint = dict(enumerate(answer.values))
    try:
        found = _solve_within(other, within, None, hint, None, records, effort=TIDYING)
    except NoAnswerError:
        return answer
    return Answer(found.values, program.value(list(found.values)), answer.bound)


def _refuse_too_large(program: Program) -> None:
    reach = [max(abs(variable.low), abs(variable.high)) for variable in program.variables]
    whole = sum(abs(cost) * reach[index] for index, cost in program.cost.items()) + abs(program.fixed_cost)
    sums = (sum(abs(value) * reach[index] for index, value in row.terms) for row in program.rows)
    if whole > _LARGEST_SUM or any(found > _LARGEST_SUM for found in sums):
        raise TooLargeError


def _nearest(
    program: Program,
    relaxed: Relaxation,
    clock: Clock,
    hint: Mapping[int, int] | None,
    at_most: int | None,
    window: float,
    records: "Records | None",
) -> tuple[Answer, float]:
    """The cheapest assignment within the first window of the relaxation that has any, and that window.

    Far above the relaxation there is no window left: what has no solution then has none.
    """
    widest = UNBOUNDED if at_most is None else max(at_most - relaxed.cost, 0)
    while True:
        window = min(window, widest)
        try:
            within = None if window == UNBOUNDED else relaxed.bounds_within(program, window)
            beyond = int(relaxed.cost + window) if window < UNBOUNDED else None
            answer = _solve_within(program, within, clock.share(1), hint, at_most, records, beyond=beyond)
            return answer, window
        except NoAnswerError as error:
            if error.bound is not None and window == UNBOUNDED:
                raise
            if error.bound is not None:
                raise NoAnswerError(
                    min(error.bound, max(int(relaxed.cost + window), relaxed.bound))
                ) from None
            if window >= widest:
                raise
        window = 2 * window + FIRST_WINDOW * abs(relaxed.cost)
        if window > 10 * abs(relaxed.cost) + 10**8:
            window = UNBOUNDED


def _solve_within(
    program: Program,
    bounds: list[tuple[int, int]] | None,
    seconds: float | None,
    hint: Mapping[int, int] | None,
    at_most: int | None,
    records: "Records | None",
    effort: float | None = None,
    *,
    beyond: int | None = None,
    first: bool = False,
) -> Answer:
    """The cheapest assignment within bounds narrower than the variables' own, or the `first` that is found.

    A search is made in rounds: what one rules out of anything cheaper than it has found is left out of the next, which so is
    smaller, and simpler than what the first began with. beyond: where nothing costs less than this, a round that finds
    nothing cheaper than the one before is the last.
    """
    within = bounds or [(variable.low, variable.high) for variable in program.variables]
    known, records, clock = dict(hint or {}), records or Records(program), Clock(seconds)
    best: Answer | None = None
    bound, longest, whole = _bound(program), ROUND, first or effort is not None
    free = sum(high > low for low, high in within)
    many = sum(high - low > 1 for low, high in within) > COUNTING * free
    at_once = hint is not None and not (first or many or free > FEW_COLUMNS)
    narrowing = free > FEW_COLUMNS and not whole
    while True:
        model = _posed(program, records, within, known, at_most)
        limit = effort if whole else longest
        done = _solved(program, model, clock.left, limit, first=first, at_once=at_once, narrowing=narrowing)
        cheaper = done.answer is not None and (best is None or done.answer.cost < best.cost)
        best = done.answer if cheaper else best
        bound = max(bound, done.bound)
        if done.ended and best is None:
            raise NoAnswerError(None)
        if best is not None and (done.ended or bound >= best.cost):
            return replace(best, bound=best.cost)
        last = whole or clock.up
        if best is not None and (last or (beyond is not None and bound > beyond and not cheaper)):
            return replace(best, bound=bound)
        if last:
            raise NoAnswerError(bound)
        within, longest = done.within or within, longest * LONGER
        at_once, narrowing = False, True
        if best is not None:
            within = [(min(low, v), max(high, v)) for (low, high), v in zip(within, best.values, strict=True)]
            known = dict(enumerate(best.values))


def _posed(
    program: Program,
    records: "Records",
    within: Sequence[tuple[int, int]],
    known: Mapping[int, int],
    at_most: int | None,
) -> Any:
    """The records of a program with its costs, bounds of its variables and values that are known to begin from."""
    model, costs = records.of(program), list(program.cost.items())
    for variable, limits in zip(model.variables, within, strict=True):
        domain = variable.domain
        domain[0], domain[1] = limits
    if at_most is not None:
        _add_row(model, costs, None, at_most - program.fixed_cost)
    model.objective.vars.extend([index for index, _ in costs])
    model.objective.coeffs.extend([cost for _, cost in costs])
    model.objective.scaling_factor = 1.0
    model.solution_hint.vars.extend(known.keys())
    model.solution_hint.values.extend(known.values())
    return model


class Records:
    """The records that the solver reads, made once of the rows that a program has now, for it and for its copies."""

    def __init__(self, program: Program) -> None:
        self._program = program
        self._columns, self._rows = len(program.variables), len(program.rows)
        self._made: Any = None

    def serve(self, program: Program) -> bool:
        """Whether a program begins with these variables and rows; variables may have other bounds."""
        mine, its = (
            [one.serial for one in known.variables[: self._columns]] for known in (self._program, program)
        )
        known, rows = self._program.rows[: self._rows], program.rows[: self._rows]
        return mine == its and [row.serial for row in known] == [row.serial for row in rows]

    def of(self, program: Program) -> Any:
        """The variables and rows of the program or of a copy of it with whatever was added since, without costs."""
        # The records are filled themselves: ortools' own Python layer would load pandas, which takes as long as a search,
        # and its expressions cost three times what this does.
        from ortools.sat.python import cp_model_helper

        cp: Any = cp_model_helper
        model = cp.CpModelProto()
        if self._made is None:
            self._made = cp.CpModelProto()
            _add(self._made, self._program.variables[: self._columns], self._program.rows[: self._rows])
        model.copy_from(self._made)
        _add(model, program.variables[self._columns :], program.rows[self._rows :])
        return model


def _add(model: Any, variables: Iterable[Variable], rows: Iterable[Row]) -> None:
    for variable in variables:
        model.variables.add().domain.extend((variable.low, variable.high))
    for row in rows:
        _add_row(model, row.terms, row.low, row.high)


def _add_row(model: Any, terms: Iterable[tuple[int, int]], low: int | None, high: int | None) -> None:
    linear = model.constraints.add().linear
    linear.vars.extend([index for index, _ in terms])
    linear.coeffs.extend([factor for _, factor in terms])
    linear.domain.extend((_INT_MIN if low is None else low, _INT_MAX if high is None else high))


@dataclass(frozen=True, slots=True)
class _Round:
    """What a round found, whether it is the end, what there is costs at least, and bounds of all that is cheaper."""

    answer: Answer | None
    ended: bool
    bound: int
    within: list[tuple[int, int]]


def _solved(
    program: Program,
    model: Any,
    seconds: float | None,
    effort: float | None,
    *,
    first: bool,
    at_once: bool,
    narrowing: bool,
) -> _Round:
    """What the solver says. at_once: without simplifying first; narrowing: with the bounds that it leaves variables."""
    from ortools.sat.python import cp_model_helper

    cp: Any = cp_model_helper
    parameters = cp.SatParameters()
    parameters.random_seed = SEED
    parameters.num_workers = 1
    parameters.linearization_level = 2
    parameters.cp_model_probing_level = 1
    parameters.add_lp_constraints_lazily = False
    parameters.cp_model_presolve = not at_once
    parameters.stop_after_first_solution = first
    # Only where simplifying keeps every assignment do those bounds hold, and else the library may stop the process.
    parameters.fill_tightened_domains_in_response = narrowing
    parameters.keep_all_feasible_solutions_in_presolve = narrowing
    if seconds is not None:
        parameters.max_time_in_seconds = seconds
    if effort is not None:
        parameters.max_deterministic_time = effort
    wrapper = cp.SolveWrapper()
    wrapper.set_parameters(parameters)
    response = wrapper.solve(model)
    known = cp.CpSolverStatus
    if response.status not in (known.OPTIMAL, known.FEASIBLE, known.UNKNOWN):
        return _Round(None, ended=True, bound=_bound(program), within=[])
    bound = _bound(program, response.best_objective_bound)
    domains = [list(variable.domain) for variable in response.tightened_variables]
    within = [(domain[0], domain[-1]) for domain in domains]
    if response.status == known.UNKNOWN:
        return _Round(None, ended=False, bound=bound, within=within)
    values = [int(value) for value in response.solution]
    broken = program.broken(values)
    if broken:
        raise AssertionError(f"the solver broke rows: {', '.join(broken[:5])}")
    answer = Answer(tuple(values), program.value(values), bound)
    return _Round(answer, ended=response.status == known.OPTIMAL, bound=bound, within=within)


def _bound(program: Program, reported: float = UNKNOWN_BOUND) -> int:
    """A whole-cent lower bound; where the solver has none yet, what the variables' own bounds allow."""
    least = sum(
        cost * (program.variables[index].low if cost > 0 else program.variables[index].high)
        for index, cost in program.cost.items()
    )
    return program.fixed_cost + max(least, floor(reported) if isfinite(reported) else least)
