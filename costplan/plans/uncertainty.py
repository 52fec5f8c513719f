"""How far a difference between two plans can be trusted."""

from collections import defaultdict
from collections.abc import Iterable
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.model.money import to_cents
from costplan.plans.lines import Line, LineKind
from costplan.plans.ranking import Ranked
from costplan.years.discounting import single_worth

PRICED = (LineKind.PART, LineKind.TAX, LineKind.FEE, LineKind.RISK, LineKind.QUOTE)


def combined_spread_cents(facts: Facts, one: Ranked, other: Ranked) -> int:
    """One standard deviation of the difference of two plans, in cents.

    Only lines that differ count. Hours of one crew err together, so their spreads add; prices err by the
    shop's price_uncertainty, each part of its own; hours and prices are combined as independent.
    Source: sum of independent variances, and the three-point (PERT) spread.
    """
    labor = _labor_spread(facts, one.lines, other.lines)
    prices = _price_variance(facts, one.lines, other.lines)
    return to_cents((labor**2 + prices).sqrt())


def _labor_spread(facts: Facts, ones: Iterable[Line], others: Iterable[Line]) -> Decimal:
    rates = {crew.name: crew.rate_cents for crew in facts.crews}
    rate = facts.shop.money.discount_rate
    by_task: dict[tuple[str, str], Decimal] = defaultdict(Decimal)
    for sign, lines in ((1, ones), (-1, others)):
        for line in lines:
            if line.kind is LineKind.LABOR and line.crew:
                share = _weight(facts, line.scenario) * single_worth(rate, line.year)
                spread = line.hours_spread * rates.get(line.crew, Decimal(0)) * share
                by_task[line.crew, line.task] += sign * spread
    return sum((abs(spread) for spread in by_task.values()), Decimal(0))


def _price_variance(facts: Facts, ones: Iterable[Line], others: Iterable[Line]) -> Decimal:
    by_what: dict[str, int] = defaultdict(int)
    for sign, lines in ((1, ones), (-1, others)):
        for line in lines:
            if line.kind in PRICED:
                by_what[line.what] += sign * line.present_value_cents
    share = facts.shop.money.price_uncertainty
    return sum(((Decimal(cents) * share) ** 2 for cents in by_what.values()), Decimal(0))


def _weight(facts: Facts, scenario: str) -> Decimal:
    return next((entry.weight for entry in facts.shop.scenarios if entry.name == scenario), Decimal(1))
