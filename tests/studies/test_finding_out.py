"""What finding out is worth, against a textbook case worked by hand, a closed form, and figures that say nothing."""

import numpy as np
import pytest
from scipy import stats

from costplan.studies.draws import RANKS
from costplan.studies.finding_out import finding_out, worth_of, worth_of_all

DRAWS = 40_000


def ranks(values: "np.ndarray") -> "np.ndarray":
    """The rank of each value among equally likely ones, as the draws keep them."""
    order = values.argsort(kind="stable").argsort(kind="stable")
    return (order * RANKS // len(values)).astype(np.uint16)


def test_two_actions_and_two_states_as_in_textbooks() -> None:
    """The form of the oil driller's case (Raiffa, Decision Analysis, 1968, from memory), in figures of our own.

    State good with 0.4, bad with 0.6. Action one costs 100 in the good state and 900 in the bad: on average 0.4 x 100 +
    0.6 x 900 = 580. Action two costs 500 in both. Without knowing: two, 500. Knowing: 0.4 x 100 + 0.6 x 500 = 340. Worth
    500 - 340 = 160.
    """
    good = np.random.default_rng(1).permutation(DRAWS) % 5 < 2
    totals = np.array([np.where(good, 100.0, 900.0), np.full(DRAWS, 500.0)])
    told = np.where(good, 0, RANKS - 1).astype(np.uint16)
    assert worth_of_all(totals) == pytest.approx(160)
    assert worth_of(totals, told) == pytest.approx(160)


@pytest.mark.parametrize(
    ("mean", "own", "other"), [(0, 100, 0), (50, 100, 80), (150, 100, 300), (-40, 60, 20)]
)
def test_a_normal_difference_is_worth_its_unit_normal_loss(mean: float, own: float, other: float) -> None:
    """EVPI = sigma (pdf(d) - d (1 - cdf(d))), d = |mean| / sigma: Schlaifer's unit normal loss integral, from memory."""
    generator = np.random.default_rng(7)
    known, noise = generator.normal(size=(2, DRAWS))
    totals = np.array([np.full(DRAWS, 10_000.0), 10_000 + mean + own * known + other * noise])
    d = abs(mean) / own
    expected = own * (stats.norm.pdf(d) - d * stats.norm.sf(d))
    # 20 bins lose a little of the tails; with noise the means of 2,000 draws are off by its root
    assert worth_of(totals, ranks(known)) == pytest.approx(expected, rel=0.06, abs=0.02 * other)
    d = abs(mean) / np.hypot(own, other)
    whole = np.hypot(own, other) * (stats.norm.pdf(d) - d * stats.norm.sf(d))
    assert worth_of_all(totals) == pytest.approx(whole, rel=0.04)


def test_a_figure_that_moves_no_choice_is_worth_nothing_but_may_swing() -> None:
    generator = np.random.default_rng(3)
    moves, idle = generator.normal(size=(2, DRAWS))
    totals = np.array([1_000 + 100 * moves, 5_000 + 150 * moves])
    found = {one.figure: one for one in finding_out(totals, {"moves": ranks(moves), "idle": ranks(idle)})}
    assert (found["moves"].worth_cents, found["idle"].worth_cents) == (0, 0)
    # from the 10th to the 90th percentile of a normal are 2 x 1.2816 deviations; 50 of them a deviation
    assert found["moves"].swing_cents == pytest.approx(2 * 1.2816 * 50, rel=0.04)
    assert abs(found["idle"].swing_cents) < 5


def test_one_plan_leaves_nothing_to_choose() -> None:
    assert finding_out(np.ones((1, 100)), {"x": np.arange(100, dtype=np.uint16)}) == ()
