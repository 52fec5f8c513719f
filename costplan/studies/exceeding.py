"""How often some year of a plan takes more cash than its limit, and how much more would cover nine draws of ten."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from costplan.circuits.facts import Facts
from costplan.ledger.least_charges import least_charges
from costplan.program.ranked import Ranked
from costplan.studies.sureness import COVERED, Settings
from costplan.studies.uncertain import Uncertain
from costplan.years.calendar import scenarios_of


@dataclass(frozen=True, slots=True)
class Exceeding:
    """Shares of the draws in which any year takes more cash than its limit, and each year by itself where one ever does.

    In nine draws of ten no year takes more than its limit and `more_cents`, which is below nothing where less would do. Of
    several scenarios the one that takes most counts.
    """

    share: float
    by_year: Mapping[int, float]
    more_cents: int


def exceeding(facts: Facts, plan: Ranked, limit: Callable[[int], int], settings: Settings) -> Exceeding:
    """limit: cents by year, 0 is today.

    The same figures as in all other draws of the seed; money of each year as it is paid then, not discounted.
    """
    from costplan.studies.draws import below, sample  # numpy is loaded only where something is drawn

    uncertain, names = Uncertain(facts), [scenario.name for scenario in scenarios_of(facts.shop)]
    cells = [(0, ""), *((year, name) for year in range(1, facts.shop.years + 1) for name in names)]
    charges = least_charges(facts, plan.plan, plan.lines)
    grouped = [
        uncertain.cash_of_year(
            (line for line in plan.lines if (line.year, line.scenario) == cell),
            [charge for charge in charges if (charge.line.year, charge.line.scenario) == cell],
        )
        for cell in cells
    ]
    drawn = sample(grouped, facts.shop.money.distribution, settings.seed, settings.draws).totals
    over = drawn - [[limit(year)] for year, _ in cells]
    by_year: dict[int, float] = {}
    for year in range(facts.shop.years + 1):
        rows = [row for row, (of, _) in enumerate(cells) if of == year]
        share = float((over[rows].max(axis=0) > 0).mean())
        by_year |= {year: round(share, 6)} if share else {}
    most = over.max(axis=0)
    return Exceeding(round(float((most > 0).mean()), 6), by_year, round(float(below(most, COVERED))))
