"""Whatever a file says, loading it ends in problems or a shop, and comparing that in a plan or in none: seeded, so repeatable.

`python -m tests.fuzz --minutes 60` does the same with fresh seeds and larger shops; what it found is in `test_found.py`.
"""

import random
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from bases import one_machine, small_bases, tiny
from harness import a_case, compare, load

LOADS = 625
COMPARISONS = 25
"""Of each of the parts below, 20,000 and 500 in all. A load takes about 4 ms of processor time, a comparison with all its
papers 400 ms, so these take five minutes of it."""


@pytest.mark.parametrize("part", range(32))
def test_mutated_files_are_answered(part: int) -> None:
    bases = [*small_bases(), tiny()]
    ends = set()
    for number in range(LOADS):
        rng = random.Random(f"loads {part} {number}")
        ends.add(load(a_case(rng.choice(bases), rng)).sound)

    # Mutations that never, or always, spoil a file would test one half only.
    assert ends == {True, False}


@pytest.mark.parametrize("part", range(20))
def test_sound_mutants_end_in_a_plan_or_in_none(part: int) -> None:
    base = one_machine()
    rng = random.Random(f"comparisons {part}")
    ends = []
    while len(ends) < COMPARISONS:
        loaded = load(a_case(base, rng, by_value=0.9))
        if loaded.sound:
            ends.append(compare(loaded))

    assert "plan" in ends
