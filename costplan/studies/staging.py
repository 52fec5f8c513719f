"""What this year's money is for and what is due when: what could wait for another year's budget.

Read off the lines of one plan. Nothing is searched again: a visit or a permit that is saved or made twice, packs that are
shared otherwise and prices that grow until then are not in it.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.ledger.holding import written
from costplan.ledger.lines import Line, Pocket
from costplan.model.money import to_cents
from costplan.program.ranked import Ranked
from costplan.years.calendar import weights_of


@dataclass(frozen=True, slots=True)
class Due:
    """Cash for one machine, or for what several share (`machine` is empty), in one year's money, in whole cents.

    In a later year each scenario counts by its weight, and so does `share`, in how many of them there is anything to pay.
    """

    machine: str
    year: int
    cents: int
    share: Decimal


def due(facts: Facts, ranked: Ranked) -> tuple[Due, ...]:
    """Cash of a plan by year and machine, most first within a year; all of it, so a year's sum is its cash.

    What is bought today for one machine alone is that machine's; visits, permits, orders and what several need are shared.
    """
    alone = _bought_for_one(facts, ranked)
    weights = {"": Decimal(1)} | weights_of(facts.shop)
    sums: dict[tuple[int, str], Decimal] = defaultdict(Decimal)
    when: dict[tuple[int, str], set[str]] = defaultdict(set)
    for line in ranked.lines:
        if line.pocket is Pocket.CASH and line.amount_cents:
            key = (line.year, _whose(facts, line, alone))
            sums[key] += line.amount_cents * weights[line.scenario]
            when[key].add(line.scenario)
    found = [
        Due(machine, year, to_cents(cents), _share(when[year, machine], weights))
        for (year, machine), cents in sums.items()
    ]
    return tuple(sorted(found, key=lambda entry: (entry.year, -entry.cents, entry.machine)))


def _whose(facts: Facts, line: Line, alone: dict[int, str]) -> str:
    if line.machine in facts.machines or line.machine in facts.group_of.values():
        return written(facts, line.machine)
    return alone.get(line.offer_row, "") if line.year == 0 and line.offer_row else ""


def _bought_for_one(facts: Facts, ranked: Ranked) -> dict[int, str]:
    """Offers that are bought today for one machine alone, by row."""
    whose: dict[int, set[str]] = defaultdict(set)
    for bought in ranked.plan.bought:
        whose[bought.offer_row] |= {written(facts, name) for name in ranked.needed_by.get(bought.need, {})}
    return {row: next(iter(names)) for row, names in whose.items() if len(names) == 1}


def _share(scenarios: Iterable[str], weights: dict[str, Decimal]) -> Decimal:
    return min(sum((weights[name] for name in set(scenarios)), Decimal(0)), Decimal(1))
