"""The benchmarks still run: on the smallest example, without a look at the clock."""

import sys
from pathlib import Path

import pytest

BENCHMARKS = Path(__file__).parent / "benchmarks"


@pytest.fixture(autouse=True)
def _benchmarks_importable(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "path", [str(BENCHMARKS), *sys.path])


def test_a_shop_is_timed() -> None:
    import large

    _, best, matrix, ranked = large.measured("tiny", 60)
    assert (best[1], best[4]) == ("best", "1 of 1")
    assert matrix[4] == "6 of 6"
    assert ranked[4] == "4 of 4"


def test_machines_come_in_groups() -> None:
    from generator import generate_groups

    shop = generate_groups(100, 8)
    assert [machine.count for machine in shop.machines] == [13, 13, 13, 13, 12, 12, 12, 12]


def test_programs_are_compared() -> None:
    import solvers

    found = solvers.programs_of("tiny")
    assert found
    assert all(program.variables for _, program in found)


def test_a_shop_that_is_there_is_laid_out_anew() -> None:
    import there
    from generator import facts_of

    facts = facts_of("tiny")
    shop = there.there(facts, 60)
    assert all(machine.now is not None for machine in shop.machines)
    assert there.measure("anew", there.anew(shop), facts, 60)[-1] == "yes"


def test_draws_are_timed() -> None:
    import draws

    assert all(seconds > 0 for seconds in draws.measure(25_000))


def test_turning_points_are_timed() -> None:
    import turning

    found = turning.measure("tiny", 5)
    assert (found[0][0], len(found)) == ("first", 10)
