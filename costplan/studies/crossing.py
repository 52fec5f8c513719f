"""Where one plan gives way to another as a figure moves: two are held, and where they cross the optimum is found anew."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Generic, TypeVar

MOST_ROUNDS = 8
"""How often another plan may turn up between two before the search for the value ends."""
P = TypeVar("P")


@dataclass(frozen=True, slots=True)
class Crossed(Generic[P]):
    """The value nearest to where `first` is best at which `other` is cheaper; not `exact` where that may be nearer still."""

    at: Decimal
    first: P
    other: P
    exact: bool


@dataclass(frozen=True)
class Sides(Generic[P]):
    """Two sides of a question, each with its best plan at a value of the figure.

    `first(value)` is the plan of the side that is best where one starts. `second(value, at_most)` is the best plan of the other
    side that costs no more than `at_most` cents, None without one. `cents(plan, value)` is what a plan held costs.
    """

    first: Callable[[Decimal], P]
    second: Callable[[Decimal, int], P | None]
    cents: Callable[[P, Decimal], int]
    cross: Callable[[P, P, Decimal, Decimal], Decimal] | None = None
    """Where the second of two plans gets cheaper, between a value without that and one with it, in whole steps."""

    def turn(
        self, stays: Decimal, wins: Decimal, step: Decimal, other: P, first: P, *, rounds: int = MOST_ROUNDS
    ) -> Crossed[P]:
        """The value next to `stays` at which the second side is cheaper; `other` is its best at `wins`, `first` that side's.

        stays: a value at which the first side is no dearer. Values are whole steps.
        """
        for _ in range(rounds):
            at = self._crossing(first, other, stays, wins, step)
            mine = self.first(at)
            least = min(self.cents(other, at), self.cents(mine, at))
            its = self.second(at, least - 1)
            if its is None and self.cents(mine, at) >= self.cents(first, at):
                return Crossed(at, first, other, exact=True)
            if its is None and self.cents(mine, at) <= self.cents(other, at):
                stays, first = at, mine
            else:
                if its is not None:
                    other = its
                if abs(at - stays) <= step:
                    return Crossed(at, mine, other, exact=True)
                wins, first = at, mine
        return Crossed(self._crossing(first, other, stays, wins, step), first, other, exact=False)

    def _crossing(self, first: P, other: P, stays: Decimal, wins: Decimal, step: Decimal) -> Decimal:
        if self.cross is not None:
            return self.cross(first, other, stays, wins)
        return crossing(lambda value: self.cents(first, value) - self.cents(other, value), stays, wins, step)


def crossing(gain: Callable[[Decimal], int], stays: Decimal, wins: Decimal, step: Decimal) -> Decimal:
    """The whole step next to `stays` at which there is a gain, in cents, between `stays` without one and `wins` with one.

    A straight line is followed, then strides beside its end that double, so that what grows evenly takes a few looks.
    """
    low, high = (int((value / step).to_integral_value()) for value in (stays, wins))
    if abs(high - low) <= 1:
        return high * step
    below, above, stride = gain(low * step), gain(high * step), 1
    while abs(high - low) > 1:
        way, wide = (1 if high > low else -1), abs(high - low)
        # Half a cent is where the rounded gain goes from none to one.
        far = (1 - 2 * below) * wide // max(2 * (above - below), 1)
        if far < stride or wide - far < stride:
            far = min(stride, wide // 2) if far < stride else wide - min(stride, wide // 2)
            stride *= 2
        at = low + way * min(max(far, 1), wide - 1)
        found = gain(at * step)
        if found > 0:
            high, above = at, found
        else:
            low, below = at, found
    return high * step
