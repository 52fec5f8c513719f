"""The bag of dice of the actuaries' textbook: credibility of one throw.

Source: H. C. Mahler and C. G. Dean, "Credibility", chapter 8 of Foundations of Casualty Actuarial Science, 4th ed.,
section 8.3: the dice, K = 4.778 and Z = 0.173 from memory; all of it is worked out again below from the dice.
"""

from decimal import Decimal

import pytest

from costplan.model.experience import credibility, credible_mean

SHARES = {4: Decimal("0.6"), 6: Decimal("0.3"), 8: Decimal("0.1")}
"""Sides of a die, and how often one is drawn."""


def mean(sides: int) -> Decimal:
    return Decimal(sides + 1) / 2


def variance(sides: int) -> Decimal:
    return Decimal(sides**2 - 1) / 12


PRIOR = sum((share * mean(sides) for sides, share in SHARES.items()), Decimal(0))
WITHIN = sum((share * variance(sides) for sides, share in SHARES.items()), Decimal(0))
BETWEEN = sum((share * (mean(sides) - PRIOR) ** 2 for sides, share in SHARES.items()), Decimal(0))


def test_the_figures_of_the_example() -> None:
    prior_throws = WITHIN / BETWEEN
    assert (PRIOR, round(WITHIN, 12), BETWEEN) == (3, Decimal("2.15"), Decimal("0.45"))
    assert prior_throws == pytest.approx(Decimal("4.778"), abs=Decimal("0.001"))
    assert credibility(1, prior_throws) == pytest.approx(Decimal("0.173"), abs=Decimal("0.0005"))


THROWS = {1: "2.654", 2: "2.827", 3: "3.000", 4: "3.173", 5: "3.346", 6: "3.519", 7: "3.692", 8: "3.865"}
"""Estimate of the next throw after one throw, worked by hand: 9/52 of the throw and 43/52 of 3."""


@pytest.mark.parametrize("throw", THROWS)
def test_the_next_throw_after_one(throw: int) -> None:
    weight = credibility(1, WITHIN / BETWEEN)
    estimate = credible_mean(PRIOR, Decimal(throw), weight)
    assert estimate == pytest.approx(Decimal(THROWS[throw]), abs=Decimal("0.0006"))


def test_the_estimate_is_the_line_of_least_squares() -> None:
    """No other weight has a smaller mean squared error over dice and throws; the error is (1 - weight) x BETWEEN."""
    best = credibility(1, WITHIN / BETWEEN)

    def error(weight: Decimal) -> Decimal:
        return sum(
            (
                share / sides * (credible_mean(PRIOR, Decimal(throw), weight) - mean(sides)) ** 2
                for sides, share in SHARES.items()
                for throw in range(1, sides + 1)
            ),
            Decimal(0),
        )

    assert error(best) == pytest.approx((1 - best) * BETWEEN)
    assert error(best) < min(error(best + step) for step in (Decimal("-0.01"), Decimal("0.01")))
