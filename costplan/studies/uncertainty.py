"""How far a difference between two plans can be trusted."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.ledger.lines import Line, LineKind
from costplan.model.money import to_cents
from costplan.program.ranking import Ranked

PRICED = (
    LineKind.PART,
    LineKind.TAX,
    LineKind.MARKUP,
    LineKind.FEE,
    LineKind.FREIGHT,
    LineKind.RISK,
    LineKind.QUOTE,
)


def combined_spread_cents(facts: Facts, one: Ranked, other: Ranked) -> int:
    """One standard deviation of the difference of two plans, in cents.

    Only lines that differ count. A crew that is slow is slow at everything, so its hours err together; crews
    and prices err by themselves, prices by the shop's price_uncertainty, tax and risk along with them.
    Source: sum of independent variances, and the three-point (PERT) spread.
    """
    lines = [*_signed(1, one.lines), *_signed(-1, other.lines)]
    share = facts.shop.money.price_uncertainty
    labor = _squares(_by_crew(lines).values())
    prices = _squares(cents * share for cents in _by_price(lines).values())
    return to_cents((labor + prices).sqrt())


def total_spread_cents(facts: Facts, one: Ranked) -> int:
    """One standard deviation of the total of a plan, in cents; by the same source."""
    return combined_spread_cents(facts, one, replace(one, lines=()))


def _signed(sign: int, lines: Iterable[Line]) -> Iterator[tuple[int, Line]]:
    return ((sign, line) for line in lines)


def _squares(spreads: Iterable[Decimal]) -> Decimal:
    return sum((spread**2 for spread in spreads), Decimal(0))


def _by_crew(lines: Iterable[tuple[int, Line]]) -> dict[str, Decimal]:
    """By crew, what one standard deviation of its hours is worth in today's cents."""
    spreads: dict[str, Decimal] = defaultdict(Decimal)
    for sign, line in lines:
        if line.kind is LineKind.LABOR and line.crew and line.hours:
            spreads[line.crew] += sign * line.present_value_cents * line.hours_spread / line.hours
    return spreads


def _by_price(lines: Iterable[tuple[int, Line]]) -> dict[tuple[object, ...], int]:
    """Today's cents by price: by offer, and by what it is for where no offer stands behind it."""
    cents: dict[tuple[object, ...], int] = defaultdict(int)
    for sign, line in lines:
        if line.kind in PRICED:
            key = (line.offer_row,) if line.offer_row else (line.kind, line.what)
            cents[key] += sign * line.present_value_cents
    return cents
