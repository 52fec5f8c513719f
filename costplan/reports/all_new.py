"""What the parts of a plan that are not bought new would cost new: what an electrician may ask for before he warrants them."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need
from costplan.ledger.lines import LineKind, Pocket
from costplan.ledger.unit_cost import pack_cost, unit_cost
from costplan.model.catalog import Condition
from costplan.model.choices import SurplusRule
from costplan.program.ranked import Ranked
from costplan.reports.substitutes import Counterpart, taken_of
from costplan.sourcing.deal import Deal
from costplan.sourcing.market import Market

PAID = (LineKind.PART, LineKind.CUT, LineKind.TAX, LineKind.MARKUP, LineKind.FREIGHT)


@dataclass(frozen=True, slots=True)
class AllNew:
    """Cash of today for parts of the list that are not new, and for new ones in their place, fees of orders apart.

    `conditions` counts offers by their condition; `unpriced` are parts that nobody sells new at a price, so that the sum is
    too small by theirs.
    """

    conditions: tuple[tuple[str, int], ...]
    here_cents: int
    new_cents: int
    unpriced: tuple[str, ...]

    @property
    def more_cents(self) -> int:
        """What new parts cost more; at least so much where some have no price."""
        return self.new_cents - self.here_cents


def all_new(facts: Facts, ranked: Ranked) -> AllNew | None:
    """The same needs met by new parts, each kind at its cheapest; None where all is bought new."""
    counterpart, market = Counterpart(facts, ranked), Market(facts, SurplusRule.NEW_ONLY)
    conditions: Counter[str] = Counter()
    unpriced: dict[str, None] = {}
    here = new = 0
    for row, needs in sorted(counterpart.wanted.items()):
        deal = counterpart.deals[row]
        if deal.offer.condition is Condition.NEW:
            continue
        conditions[str(deal.offer.condition)] += 1
        found = _cheapest(market, needs)
        if found is None:
            unpriced[deal.part.name] = None
            continue
        new += found
        here += sum(
            line.amount_cents
            for line in ranked.lines
            if line.offer_row == row and line.year == 0 and line.pocket is Pocket.CASH and line.kind in PAID
        )
    if not conditions:
        return None
    return AllNew(tuple(sorted(conditions.items())), here, new, tuple(unpriced))


def _cheapest(market: Market, needs: Mapping[Need, int]) -> int | None:
    """Cash for all of the needs, of one new offer where one serves them all; None where one of them has none."""
    together = [cash for deal in _serving(market, needs) if (cash := _cash(market, deal, needs)) is not None]
    if together or len(needs) == 1:
        return min(together, default=None)
    apart = [_cheapest(market, {need: count}) for need, count in needs.items()]
    known = [cash for cash in apart if cash is not None]
    return sum(known) if len(known) == len(apart) else None


def _serving(market: Market, needs: Mapping[Need, int]) -> list[Deal]:
    lists = [market.usable(need) for need in needs]
    rows = set.intersection(*({deal.offer.row for deal in deals} for deals in lists))
    return [deal for deal in lists[0] if deal.offer.row in rows and deal.offer.condition is Condition.NEW]


def _cash(market: Market, deal: Deal, needs: Mapping[Need, int]) -> int | None:
    """Cash for all of the needs of one offer; None where it has not enough, or its reels are too short."""
    taken = taken_of(market, deal, needs)
    if taken is None or (deal.available is not None and taken.quantity > deal.available):
        return None
    if deal.pack is not None:
        return taken.quantity * pack_cost(deal)
    return int(sum(unit_cost(market, deal, need).of(count).cash for need, count in needs.items()))
