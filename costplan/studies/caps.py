"""Another cap on today's cash: the same shop and the same bench with it, and the best plan without any."""

from dataclasses import replace

from costplan.circuits.facts import Facts
from costplan.program.bench import Bench, Built
from costplan.program.clock import Clock
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans


def capped(bench: Bench, cap_cents: int | None) -> Bench:
    """The same bench with another cap on today's cash, or none: its ways, prices and rows stay, which do not turn on it."""
    facts = with_cap(bench.facts, cap_cents)
    frame = replace(bench.frame(Clock()), facts=facts)
    return replace(bench, facts=facts, built=Built(frame=frame))


def with_cap(facts: Facts, cents: int | None) -> Facts:
    """The same shop with so much as the most that may be spent today, or no cap. Raises ValueError for less than nothing."""
    if cents is not None and cents < 0:
        raise ValueError("is below nothing")
    money = facts.written.money.model_copy(update={"outlay_cap_cents": cents})
    return Facts(facts.written.model_copy(update={"money": money}), facts.catalog)


def best_without_cap(bench: Bench, clock: Clock) -> Ranked | None:
    """The best plan were there no cap; None where the shop has none, or where time is up before one is found."""
    if bench.facts.shop.money.outlay_cap_cents is None:
        return None
    try:
        return best_plans(capped(bench, None), 1, clock=clock)[0]
    except NoPlanError:
        return None
