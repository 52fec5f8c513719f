"""Cash today against the total: the plans that are not beaten in both."""

from dataclasses import dataclass, replace

from costplan.circuits.facts import Facts
from costplan.program.clock import Clock, Tick
from costplan.program.ranking import Bench, NoPlanError, Ranked, best_plans

STEPS = 10
"""In how many steps the cap goes down from the best plan's cash today to nothing."""
DEAREST = 10
"""Plans are looked for up to so many times the best total."""


@dataclass(frozen=True)
class Frontier:
    """Plans with less and less cash today, the cheapest first: each the cheapest that a cap on it leaves.

    No plan has both less cash today and a lower total than one of them; between two of them there may be more.
    `ended` is false where time ran out; else no plan takes less cash than the last one by a step.
    """

    plans: tuple[Ranked, ...]
    ended: bool = True


def frontier(
    bench: Bench, best: Ranked, steps: int = STEPS, clock: Clock | None = None, tick: Tick = bool
) -> Frontier:
    """The cheapest plans under lower and lower caps on today's cash, from the best plan on, a step of its cash at a time.

    bench: of the shop as it was searched for `best`; only the row of the cap is made anew. Raises ValueError for fewer
    than one step, DisagreementError on a defect.
    """
    if steps < 1:
        raise ValueError(f"steps is {steps}; it must be 1 or more")
    clock, found = clock or Clock(), [best]
    step, most = (
        max(1, best.outlay_cents // steps),
        DEAREST * max(best.present_value_cents, best.outlay_cents),
    )
    while (cap := found[-1].outlay_cents - step) >= 0:
        tick(f"proving plans of at most {cap / 100:,.0f} today")
        try:
            plans = best_plans(capped(bench, cap), 1, clock=Clock(clock.share(2)), at_most=most)
        except NoPlanError:
            return Frontier(tuple(found), ended=False)
        if not plans:
            break
        if not plans[0].proven:
            return Frontier(tuple(found), ended=False)
        found.append(plans[0])
    return Frontier(tuple(found))


def capped(bench: Bench, cap_cents: int) -> Bench:
    """The same bench with another cap on today's cash: its ways, prices and rows stay, which do not turn on it."""
    facts = with_cap(bench.facts, cap_cents)
    frame = replace(bench.frame(Clock()), facts=facts)
    return replace(bench, facts=facts, first=None, frames=[frame], built={}, answered=[])


def with_cap(facts: Facts, cents: int) -> Facts:
    """The same shop with so much as the most that may be spent today. Raises ValueError for less than nothing."""
    if cents < 0:
        raise ValueError("is below nothing")
    money = facts.written.money.model_copy(update={"outlay_cap_cents": cents})
    return Facts(facts.written.model_copy(update={"money": money}), facts.catalog)
