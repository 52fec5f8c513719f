"""The solver on small programs against every assignment there is, and copies that share the records of what they are of."""

from dataclasses import replace
from itertools import product
from random import Random
from typing import Any

import pytest

from costplan.program import solver
from costplan.program.program import Program
from costplan.program.solver import Answer, NoAnswerError, Records, solve


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


def packed(random: Random) -> tuple[Program, int]:
    """Jobs of one of three kinds of parts, each sold in packs of its own; and the least cost, every assignment tried."""
    jobs, packs = [[random.randint(1, 9) for _ in range(3)] for _ in range(9)], random.sample(range(5, 14), 3)
    prices, work = [random.randint(80, 200) for _ in packs], [random.sample(range(30), 3) for _ in jobs]
    program = Program()
    ways = [
        [program.variable(f"job {n} by {k}", 1, cents) for k, cents in enumerate(of)]
        for n, of in enumerate(work)
    ]
    for number, of in enumerate(ways):
        program.row(f"job {number}", dict.fromkeys(of, 1), 1, 1)
    for kind, (holds, price) in enumerate(zip(packs, prices, strict=True)):
        bought = program.variable(f"packs {kind}", 99, price)
        row = {of[kind]: -needs[kind] for of, needs in zip(ways, jobs, strict=True)}
        program.row(f"enough {kind}", row | {bought: holds}, low=0)
    least = min(
        sum(
            -(-sum(needs[kind] for needs, by in zip(jobs, chosen, strict=True) if by == kind) // holds)
            * price
            for kind, (holds, price) in enumerate(zip(packs, prices, strict=True))
        )
        + sum(of[by] for of, by in zip(work, chosen, strict=True))
        for chosen in product(range(3), repeat=len(jobs))
    )
    return program, least


def test_a_search_in_many_rounds_finds_and_proves_the_cheapest(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each round ends long before it is done, and leaves out of the next what nothing cheaper has."""
    honest, left, ended = solver._solved, list[int](), list[bool]()

    def counted(program: Program, model: Any, *limits: Any, **how: Any) -> Any:
        left.append(sum(variable.domain[0] < variable.domain[1] for variable in model.variables))
        done = honest(program, model, *limits, **how)
        ended.append(done.ended)
        return done

    monkeypatch.setattr(solver, "ROUND", 1e-4)
    monkeypatch.setattr(solver, "_solved", counted)
    for seed in range(8):
        program, least = packed(Random(seed))
        assert solved(program) == least
    cut_short = [number for number, done in enumerate(ended) if not done]
    assert len(cut_short) >= 8
    assert any(left[number + 1] < left[number] for number in cut_short)


def test_a_known_answer_is_given_back_where_nothing_is_cheaper() -> None:
    """And where it is not the cheapest, the cheapest is found from it."""
    program, least = packed(Random(1))
    best = solve(program)
    for bound in (0, least):
        assert solve(program, start=replace(best, bound=bound)) == replace(best, bound=least)
    dear = [
        int(name.endswith("by 0")) if "by" in (name := one.name) else one.high for one in program.variables
    ]
    start = Answer(tuple(dear), program.value(dear), 0)
    assert not program.broken(dear)
    assert (solve(program, start=start).cost, solve(program, start=start).proven) == (least, True)
