"""Cash today against what comes later: the plans that are not beaten in both, and what more cash today pays back."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.ledger.holding import held_survey, words_by_machine
from costplan.program.bench import Bench
from costplan.program.clock import Clock, Tick
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.studies.caps import capped
from costplan.studies.comparison import Comparison
from costplan.studies.left_out import bench_of_the_rest
from costplan.studies.paying_back import Measures, Named, measures_beside, named_plans

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


def searched(
    comparison: Comparison, held: Mapping[str, str], clock: Clock, tick: Tick = bool, steps: int = STEPS
) -> Frontier:
    """The frontier of a comparison; `held` are the machines that it held to a way. Raises as `frontier` does."""
    tick("building the program")
    bench = bench_of_the_rest(comparison.facts, comparison.facts.shop.money.surplus)
    if held:
        kept = words_by_machine(comparison.facts, bench.priced_survey, held)
        bench = replace(bench, priced_survey=held_survey(bench.priced_survey, kept))
    return frontier(bench, comparison.best, steps, clock, tick)


@dataclass(frozen=True, slots=True)
class Efficient:
    """A plan that none beats in both cash today and what comes later, beside the one before, which takes less today.

    `names` is empty for one that was searched for alone. `later_cents` is all but today's cash, as worth today, and
    `saved_each` what each more dollar today saves of it; it and the measures are None for the first.
    """

    names: tuple[str, ...]
    plan: Ranked
    more_today_cents: int = 0
    saved_each: Decimal | None = None
    measures: Measures | None = None

    @property
    def later_cents(self) -> int:
        """All that it comes to besides today's cash."""
        return _later(self.plan)


def _later(plan: Ranked) -> int:
    return plan.present_value_cents - plan.outlay_cents


def efficient(comparison: Comparison, found: Frontier | None = None) -> tuple[Efficient, ...]:
    """Of all plans worked out and searched for, those worth looking at, the one with the least cash today first.

    A plan with more cash today and a higher total stays where less comes later: it is for whoever has money only now.
    """
    return not_beaten_later(comparison.facts, named_plans(comparison), found.plans if found else ())


def not_beaten_later(facts: Facts, known: Sequence[Named], more: Sequence[Ranked]) -> tuple[Efficient, ...]:
    """The same of plans with names and of plans without."""
    names = {entry.plan.lines: entry.names for entry in known}
    plans = {plan.lines: plan for plan in (*(entry.plan for entry in known), *more)}
    kept: list[Ranked] = []
    for plan in sorted(plans.values(), key=lambda one: (one.outlay_cents, _later(one))):
        if not kept or _later(plan) < _later(kept[-1]):
            kept.append(plan)
    told = []
    for before, plan in zip([None, *kept], kept, strict=False):
        entry = Efficient(names.get(plan.lines, ()), plan)
        if before is not None:
            dearer = plan.outlay_cents - before.outlay_cents
            saved = Decimal(_later(before) - _later(plan)) / dearer
            step = _beside(facts, plan, before)
            entry = replace(entry, more_today_cents=dearer, saved_each=saved, measures=step)
        told.append(entry)
    return tuple(told)


def _beside(facts: Facts, dear: Ranked, cheap: Ranked) -> Measures | None:
    if not facts.shop.years:
        return None
    return measures_beside(facts, facts.shop.money.discount_rate, dear, cheap)
