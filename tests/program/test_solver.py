"""The solver on small programs against every assignment there is, and copies that share the records of what they are of."""

from itertools import product
from random import Random

import pytest

from costplan.program.program import Program
from costplan.program.solver import NoAnswerError, Records, solve


def drawn(random: Random) -> Program:
    """Four variables and three rows, which may clash."""
    program = Program()
    for number in range(4):
        program.variable(f"x{number}", random.randint(1, 3), random.randint(-3, 9) * 100)
    for number in range(3):
        terms = {index: random.randint(-2, 3) for index in range(4)}
        program.row(f"row {number}", terms, low=random.randint(-2, 6))
    program.fixed_cost = random.randint(0, 50)
    return program


def cheapest(program: Program) -> int | None:
    """The least cost of all assignments that keep all rows; None where none does."""
    ranges = [range(variable.low, variable.high + 1) for variable in program.variables]
    costs = [program.value(list(values)) for values in product(*ranges) if not program.broken(list(values))]
    return min(costs, default=None)


def solved(program: Program, records: Records | None = None) -> int | None:
    """The cost that the solver proves; None where it says that there is none."""
    try:
        answer = solve(program, records=records)
    except NoAnswerError:
        return None
    assert answer.proven
    assert answer.cost == program.value(list(answer.values))
    return answer.cost


@pytest.mark.parametrize("seed", range(40))
def test_copies_share_records_and_each_has_its_own_answer(seed: int) -> None:
    random = Random(seed)
    program = drawn(random)
    records = Records(program)
    narrower, longer = program.copy(), program.copy()
    narrower.narrow(0, low=1)
    new = longer.variable("new", 2, -150)
    longer.row("new beside the second", {1: 2, new: -1}, low=0)
    program.row("added after the records were asked for", {2: 1}, low=1)
    for one in (narrower, longer, program, longer, narrower):
        assert solved(one, records) == cheapest(one)
    assert solved(longer) == cheapest(longer)


def test_what_lies_very_far_above_the_relaxation_is_found() -> None:
    """2 x + slack = 1: in fractions at no cost, in whole numbers for a slack of ten thousand millions of dollars."""
    program = Program()
    whole, slack = program.variable("x", 1), program.variable("slack", 1, 10**12)
    program.row("one", {whole: 2, slack: 1}, 1, 1)
    assert solved(program) == 10**12
    program.narrow(slack, high=0)
    assert solved(program) is None
