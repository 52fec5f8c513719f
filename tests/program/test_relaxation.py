"""The linear relaxation against scipy's linear programming: anew, within other bounds, and grown by rows and variables."""

from random import Random

import pytest
from scipy.optimize import linprog

from costplan.program.program import Program
from costplan.program.relaxation import Linear, relax


def drawn(random: Random) -> Program:
    """A small program that has a solution: everything at its upper bound keeps every row."""
    program = Program()
    for number in range(6):
        program.variable(f"x{number}", random.randint(1, 4), random.randint(-3, 9))
    for number in range(5):
        add_row(program, random, f"row {number}")
    return program


def add_row(program: Program, random: Random, name: str) -> None:
    """A row that whatever is at its upper bound keeps, and something at its lower bound may not."""
    terms = {
        index: random.randint(0, 3) for index in random.sample(range(len(program.variables)), k=min(4, 6))
    }
    most = sum(value * program.variables[index].high for index, value in terms.items())
    program.row(name, terms, low=random.randint(0, most))


def by_scipy(program: Program) -> float:
    """The least cost where fractions are allowed."""
    cost = [program.cost.get(index, 0) for index in range(len(program.variables))]
    sides = [(row, -1, -row.low) for row in program.rows if row.low is not None]
    sides += [(row, 1, row.high) for row in program.rows if row.high is not None]
    left = [[sign * dict(row.terms).get(index, 0) for index in range(len(cost))] for row, sign, _ in sides]
    found = linprog(
        cost,
        A_ub=left,
        b_ub=[most for _, _, most in sides],
        bounds=[(variable.low, variable.high) for variable in program.variables],
    )
    assert found.success
    return float(found.fun)


@pytest.mark.parametrize("seed", range(25))
def test_it_is_that_of_scipy_however_it_is_come_to(seed: int) -> None:
    random = Random(seed)
    program = drawn(random)
    linear = Linear()

    def same() -> bool:
        relaxed = linear.relaxed(program)
        assert relaxed is not None
        return relaxed.cost == pytest.approx(by_scipy(program), abs=1e-6)

    assert same()
    index = random.randrange(6)
    program.narrow(index, low=program.variables[index].high)
    assert same()
    program.narrow(index, low=0)
    add_row(program, random, "one more")
    assert same()
    new = program.variable("one variable more", 2, 1)
    program.row("it serves too", {0: 1, new: 1}, low=1)
    assert same()


@pytest.mark.parametrize("seed", range(25))
def test_copies_that_grow_apart_take_turns_in_it(seed: int) -> None:
    """Each has rows, variables and costs that the others have not, and other bounds."""
    random = Random(seed)
    program, linear = drawn(random), Linear()
    copies = [program, *(program.copy() for _ in range(3))]
    for number, copy in enumerate(copies[1:]):
        copy.narrow(number, low=1)
        new = copy.variable(f"of copy {number} alone", 2, random.randint(-5, 5))
        copy.row(f"of copy {number} alone", {number: 1, new: random.choice((1, -1))}, low=1)
        copy.add_cost(number, random.randint(1, 4))
    for _ in range(12):
        chosen = random.choice(copies)
        relaxed = linear.relaxed(chosen)
        assert relaxed is not None
        assert relaxed.cost == pytest.approx(by_scipy(chosen), abs=1e-6)
        assert len(relaxed.values) == len(relaxed.reduced) == len(chosen.variables)


@pytest.mark.parametrize("seed", range(25))
def test_programs_built_apart_share_what_is_the_same_in_both(seed: int) -> None:
    """Built again from one body at other costs, with other bounds, another variable in one place and another row."""
    random = Random(seed)
    body = Program()
    for number in range(3):
        body.variable(f"x{number}", 3)
    first, other, linear = body.copy(), body.copy(), Linear()
    for program, kind in ((first, "y"), (other, random.choice("yz"))):
        for number in range(3):
            program.variable(f"{kind if number == 1 else 'y'}{number}", random.randint(1, 3))
        for index in range(6):
            program.add_cost(index, random.randint(-3, 9))
        for number in range(4):
            most = 3 if program is first else random.choice((3, 3, 2))
            terms = {number % 6: 1, (number + 2) % 6: 2, (number + 3) % 6: -1}
            program.row(f"row {number}", terms, low=-most, high=4)
    alike = other.liken(first)
    assert 0 <= alike <= 1
    for program in (first, other, first, other):
        relaxed = linear.relaxed(program)
        assert relaxed is not None
        assert relaxed.cost == pytest.approx(by_scipy(program), abs=1e-6)


def test_a_row_on_another_variable_is_another_row() -> None:
    body = Program()
    body.variable("a", 2)
    first, other = body.copy(), body.copy()
    for program, name in ((first, "b"), (other, "c")):
        program.variable(name, 2)
        program.row("of a", {0: 1}, low=1)
        program.row("of both", {0: 1, 1: 1}, low=1)
    assert other.liken(first) == 0.5
    assert other.rows[0].serial == first.rows[0].serial
    assert {row.serial for row in other.rows[1:]}.isdisjoint({row.serial for row in first.rows})


def test_it_begins_anew_where_much_is_idle() -> None:
    program, linear = drawn(Random(3)), Linear()
    for number in range(10):
        copy = program.copy()
        copy.row(f"row of copy {number}", {0: 1}, low=1)
        relaxed = linear.relaxed(copy)
        assert relaxed is not None
        assert relaxed.cost == pytest.approx(by_scipy(copy), abs=1e-6)


def test_it_takes_no_program_for_a_copy_of_another() -> None:
    linear = Linear()
    for seed in range(5):
        program = drawn(Random(seed))
        relaxed = linear.relaxed(program)
        assert relaxed is not None
        assert relaxed.cost == pytest.approx(by_scipy(program), abs=1e-6)


def test_none_where_no_values_keep_all_rows_and_again_some_where_they_do() -> None:
    program, linear = Program(), Linear()
    program.variable("a", 3, 100)
    program.row("some", {0: 1}, low=2)
    copy = program.copy()
    copy.row("none", {0: 1}, high=1)
    assert linear.relaxed(copy) is None
    relaxed = linear.relaxed(program)
    assert relaxed is not None
    assert relaxed.cost == pytest.approx(200)


def test_reduced_costs_rule_out_nothing_that_is_as_cheap() -> None:
    """At least 3 of 2 a + b at 2 and 3: a = 1.5 costs 3; b costs 2 more than it saves, so 0.9 of it at most are within 1.8."""
    program = Program()
    program.variable("a", 5, 200)
    program.variable("b", 5, 300)
    program.row("enough", {0: 2, 1: 1}, low=3)
    relaxed = Linear().relaxed(program)
    assert relaxed is not None
    assert relaxed.cost == pytest.approx(300)
    assert relaxed.fraction(0) == pytest.approx(0.5)
    assert relaxed.bounds_within(program, 180)[1] == (0, 0)
    assert relaxed.bounds_within(program, 205)[1] == (0, 1)
    assert relaxed.bounds_within(program, 180)[0] == (0, 5)


def test_a_program_whose_variables_share_a_serial_is_refused() -> None:
    """A relaxation would take both for one: its bound would be wrong in silence."""
    program = Program()
    program.variable("way", cost=1)
    beside = Program(list(program.variables), [])
    beside.variable("slack", cost=2)
    with pytest.raises(AssertionError, match="one serial"):
        relax(beside)
    apart = program.bare()
    apart.row("one of them", {apart.variable("slack", cost=2): 1, 0: 1}, low=1)
    relaxed = relax(apart)
    assert relaxed is not None
    assert relaxed.values == (1.0, 0.0)
