"""What finding one figure out is worth before choosing a plan, from the draws: expected value of perfect information.

Whoever knows a figure takes the plan that is cheapest on average at its value. What that saves on average against the plan that
is cheapest on average anyway is what knowing is worth at most. Source: H. Raiffa, Decision Analysis (1968), from memory.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from costplan.studies.draws import Floats, SmallRanks

BINS = 20
"""Into how many equal parts a figure's draws are cut by its rank."""
LEAST_IN_BIN = 50
"""Draws that a mean needs; with fewer there are fewer bins."""


@dataclass(frozen=True, slots=True)
class FindingOut:
    """A figure by its name in the draws, what knowing it is worth, and how far it moves the difference of two plans.

    `worth_cents` is the expected value of perfect information of it alone; `swing_cents` the mean difference of the second
    plan from the first about its 90th percentile less that about its 10th.
    """

    figure: str
    worth_cents: int
    swing_cents: int


def finding_out(
    totals: "Floats", ranks: Mapping[str, "SmallRanks"], *, ranked: int = 2
) -> tuple[FindingOut, ...]:
    """Every figure, the one most worth knowing first, then the one that moves the first two plans most.

    totals: a row for a plan that may be chosen, in cents, the first draws of which have `ranks`; the first so many are ranked,
    and with less than two of them nothing swings.
    """
    if len(totals) < 2 or not ranks:
        return ()
    found = []
    for name, seen in ranks.items():
        drawn = totals[:, : len(seen)]
        low, high = (_gap_about(drawn, seen, tenth) if ranked > 1 else 0.0 for tenth in (0.1, 0.9))
        found.append(FindingOut(name, round(worth_of(drawn, seen)), round(high - low)))
    return tuple(sorted(found, key=lambda one: (-one.worth_cents, -abs(one.swing_cents), one.figure)))


def worth_of(totals: "Floats", ranks: "SmallRanks") -> float:
    """Expected value of perfect information of one figure, in cents.

    The mean of each plan is taken in bins of the figure's rank. Few draws in a bin make the least mean too low by chance: what
    ranks that say nothing would come to is taken off.
    """
    import numpy as np

    def gained(order: "SmallRanks") -> float:
        sums = np.add.reduceat(totals[:, np.argsort(order, kind="stable")], starts, axis=1)
        return float(totals.mean(axis=1).min() - sums.min(axis=0).sum() / draws)

    draws = totals.shape[1]
    starts = np.arange(0, draws, max(draws // BINS, LEAST_IN_BIN))
    by_chance = gained(np.roll(ranks, draws // 2))
    return max(gained(ranks) - by_chance, 0.0)


def worth_of_all(totals: "Floats") -> float:
    """The same of all figures together, in cents: the cheapest plan in every draw."""
    return float(totals.mean(axis=1).min() - totals.min(axis=0).mean())


def _gap_about(totals: "Floats", ranks: "SmallRanks", chance: float) -> float:
    """The mean difference of the second plan from the first where the figure is about that percentile."""
    import numpy as np

    order = np.argsort(ranks, kind="stable")
    middle, half = round(len(order) * chance), max(len(order) // BINS, 1)
    near = order[max(middle - half, 0) : middle + half]
    return float((totals[1, near] - totals[0, near]).mean())
