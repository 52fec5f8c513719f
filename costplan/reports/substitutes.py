"""What another offer would cost in place of a bought one, and the most a surplus part may cost."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need
from costplan.ledger.lines import LineKind
from costplan.ledger.unit_cost import Amount, pack_worth, unit_cost
from costplan.model.catalog import SURPLUS, Condition, Supplier
from costplan.model.choices import SurplusRule
from costplan.program.ranked import Ranked
from costplan.sourcing.cutting import fit_into_reels
from costplan.sourcing.deal import Deal, deal_of
from costplan.sourcing.designation import designation, joined
from costplan.sourcing.market import Market
from costplan.sourcing.orders import OrderCharges, order_charges

MOST_SUBSTITUTES = 5
FOUND_ELSEWHERE = Supplier.model_validate({"id": "found elsewhere", "name": "found elsewhere"})
HIGHEST_PRICE_CENTS = 10**8


@dataclass(frozen=True, slots=True)
class Substitute:
    """Another offer for everything a line serves; the rest of the list stays as it is.

    `extra_cents` is in today's money with tax, cuts, fees, expected rejects, inspection and resale.
    """

    part: str
    what: str
    supplier: str
    condition: str
    quantity: int
    unit: str
    price_cents: int
    extra_cents: int
    note: str
    offer_row: int


@dataclass(frozen=True, slots=True)
class SurplusLimit:
    """The most one unit in this condition may cost before new is the better buy, risk included.

    None when it would not pay even for nothing, or when nothing new is known (`against` is then empty).
    """

    condition: str
    unit: str
    most_cents: int | None
    against: str


@dataclass(frozen=True, slots=True)
class Taken:
    """What so many of some needs take of a deal: units as sold, their price and what they cost in today's money."""

    quantity: int
    goods_cents: int
    worth_cents: int


def taken_of(market: Market, deal: Deal, needs: Mapping[Need, int]) -> Taken | None:
    """What the needs take of a deal bought for them alone; None when the pieces do not fit its reels."""
    costs = [unit_cost(market, deal, need).of(count) for need, count in needs.items()]
    worth = int(sum(cost.worth for cost in costs))
    units = sum(count * (need.length_ft or 1) for need, count in needs.items())
    if deal.pack is None:
        return Taken(units, int(sum(cost[Amount.GOODS] for cost in costs)), worth)
    packs = _packs_for(deal, needs, units)
    if packs is None:
        return None
    return Taken(packs, packs * deal.price_cents, worth + packs * pack_worth(market, deal))


def _packs_for(deal: Deal, needs: Mapping[Need, int], units: int) -> int | None:
    pieces = [need.length_ft for need, count in needs.items() for _ in range(count) if need.length_ft]
    if not pieces:
        return deal.packs_for(units)
    reels = fit_into_reels(pieces, deal.pack or 0, len(pieces)) if max(pieces) <= (deal.pack or 0) else None
    return None if reels is None else max(reels) + 1


@dataclass(frozen=True)
class Counterpart:
    """The purchase of a plan, and what changes in it when one line is bought elsewhere."""

    facts: Facts
    ranked: Ranked

    @cached_property
    def market(self) -> Market:
        """Every offer the shop's rule allows; new only where the plan was made so."""
        return Market(self.facts, self.facts.shop.money.surplus)

    @cached_property
    def deals(self) -> Mapping[int, Deal]:
        """Deals by row of offers.csv, those the rule leaves out as well."""
        return {
            deal.offer.row: deal
            for rule in (SurplusRule.ALLOWED, self.market.rule)
            for found in Market(self.facts, rule).deals.values()
            for deal in found
        }

    @cached_property
    def wanted(self) -> Mapping[int, Mapping[Need, int]]:
        """What each bought offer serves."""
        found: dict[int, Counter[Need]] = {}
        for bought in self.ranked.plan.bought:
            found.setdefault(bought.offer_row, Counter())[bought.need] += bought.count
        return found

    @cached_property
    def packs(self) -> Mapping[int, int]:
        """Packs bought, by offer."""
        return {entry.offer_row: entry.count for entry in self.ranked.plan.packs}

    @cached_property
    def goods(self) -> Counter[str]:
        """What is bought at each supplier, in cents; every supplier used has an entry."""
        spent: Counter[str] = Counter()
        for row, needs in self.wanted.items():
            deal = self.deals[row]
            spent[deal.supplier.id] += self._goods_of(deal, needs)
        for row in set(self.packs) - set(self.wanted):
            spent[self.deals[row].supplier.id] += self.deals[row].price_cents * self.packs[row]
        return spent

    def _goods_of(self, deal: Deal, needs: Mapping[Need, int]) -> int:
        if deal.pack is not None:
            return deal.price_cents * self.packs.get(deal.offer.row, 0)
        return int(
            sum(unit_cost(self.market, deal, need).of(count)[Amount.GOODS] for need, count in needs.items())
        )

    def _lines_at(self, supplier: str) -> int:
        return sum(1 for row in {*self.wanted, *self.packs} if self.deals[row].supplier.id == supplier)

    def worth_of(self, row: int) -> int:
        """What a bought offer is worth today in the plan's own lines."""
        kinds = (LineKind.RESALE,)
        return sum(
            line.present_value_cents
            for line in self.ranked.lines
            if line.offer_row == row and (line.year == 0 or line.kind in kinds) and not line.forecast
        )

    def fee_change(self, row: int, other: Supplier, goods_cents: int) -> tuple[int, str]:
        """How orders' charges change when a line goes to another supplier for that much: in worth, in words."""
        mine = self.deals[row].supplier
        left, gained = -self._goods_of(self.deals[row], self.wanted[row]), goods_cents
        worth, notes = 0, []
        changes = {mine.id: (mine, left)} if mine.id != other.id else {}
        changes[other.id] = (other, gained if mine.id != other.id else left + gained)
        for supplier, by in changes.values():
            before, count = self.goods[supplier.id], self._lines_at(supplier.id)
            after_count = count - (1 if supplier.id == mine.id else 0) + (1 if supplier.id == other.id else 0)
            was = self._charges(supplier, before, used=count > 0)
            now = self._charges(supplier, before + by, used=after_count > 0)
            worth += now.worth_cents - was.worth_cents
            if now.short_cents > was.short_cents:
                notes.append(f"{supplier.name} then misses its smallest order")
            elif now.delivery_cents > was.delivery_cents and count:
                notes.append(f"{supplier.name} then charges delivery")
            elif not count and now.worth_cents:
                notes.append("another order with its fees")
        return worth, "; ".join(notes)

    def _charges(self, supplier: Supplier, goods_cents: int, *, used: bool) -> OrderCharges:
        return order_charges(supplier, goods_cents, self.market.owner_hour_cents) if used else OrderCharges()

    def substitutes(self, row: int) -> tuple[Substitute, ...]:
        """Other offers for all that a bought offer serves, cheapest first."""
        needs = self.wanted.get(row)
        if not needs:
            return ()
        found = [
            substitute
            for deal in self._usable_for_all(needs)
            if deal.offer.row != row
            for substitute in [self._substitute(row, deal, needs)]
            if substitute is not None
        ]
        return tuple(sorted(found, key=lambda s: (s.extra_cents, s.part, s.offer_row))[:MOST_SUBSTITUTES])

    def _usable_for_all(self, needs: Mapping[Need, int]) -> list[Deal]:
        lists = [self.market.usable(need) for need in needs]
        rows = set.intersection(*({deal.offer.row for deal in deals} for deals in lists))
        return [deal for deal in lists[0] if deal.offer.row in rows]

    def _substitute(self, row: int, deal: Deal, needs: Mapping[Need, int]) -> Substitute | None:
        taken = taken_of(self.market, deal, needs)
        if taken is None or not self._enough(deal, taken.quantity):
            return None
        worth, note = self.fee_change(row, deal.supplier, taken.goods_cents)
        return Substitute(
            deal.part.id,
            joined(deal.part.name, designation(deal.part), ()),
            deal.supplier.name,
            str(deal.offer.condition),
            taken.quantity,
            unit_of(deal),
            deal.price_cents,
            taken.worth_cents - self.worth_of(row) + worth,
            note,
            deal.offer.row,
        )

    def _enough(self, deal: Deal, quantity: int) -> bool:
        if deal.available is None:
            return True
        row = deal.offer.row
        if deal.pack is not None:
            return quantity + self.packs.get(row, 0) <= deal.available
        taken = sum(count * (need.length_ft or 1) for need, count in self.wanted.get(row, {}).items())
        return quantity + taken <= deal.available

    def limits(self, row: int) -> tuple[SurplusLimit, ...]:
        """The most a surplus part may cost in a line's place, by condition; none where surplus is refused."""
        needs = self.wanted.get(row)
        deal = self.deals[row]
        if not needs or deal.offer.condition is Condition.ON_HAND or self._barred(deal):
            return ()
        if deal.offer.condition in SURPLUS:
            new = self._best_new(row, needs)
            against = "" if new is None else f"{new.what} at {new.supplier}"
            if new is None:
                return (SurplusLimit(str(deal.offer.condition), unit_of(deal), None, ""),)
            most = self._most(deal, needs, new.extra_cents + self.worth_of(row))
            return (SurplusLimit(str(deal.offer.condition), unit_of(deal), most, against),)
        change, _ = self.fee_change(row, FOUND_ELSEWHERE, 0)
        found = []
        for condition in SURPLUS:
            if condition in deal.kind.reject or condition in deal.kind.resale:
                single = _found_elsewhere(deal, condition, spares=self.market.spares)
                most = self._most(single, needs, self.worth_of(row) - change)
                found.append(SurplusLimit(str(condition), unit_of(single), most, f"{deal.part.name} new"))
        return tuple(found)

    def _barred(self, deal: Deal) -> bool:
        shop, kind = self.facts.shop, deal.kind
        barred = (kind.must_be_new and kind.kind not in shop.may_be_used) or kind.kind in shop.must_be_new
        return barred or shop.money.surplus is SurplusRule.NEW_ONLY

    def _best_new(self, row: int, needs: Mapping[Need, int]) -> Substitute | None:
        new = [
            substitute
            for deal in self._usable_for_all(needs)
            if deal.offer.condition is Condition.NEW
            for substitute in [self._substitute(row, deal, needs)]
            if substitute is not None
        ]
        return min(new, key=lambda s: (s.extra_cents, s.offer_row), default=None)

    def ask_below(self, row: int, deal: Deal) -> int | None:
        """The highest price of an unpriced offer at which it takes no more than a line does; None if none."""
        needs = self.wanted[row]
        taken = taken_of(self.market, deal, needs)
        if taken is None:
            return None
        change, _ = self.fee_change(row, deal.supplier, taken.goods_cents)
        return self._most(deal, needs, self.worth_of(row) - change)

    def _most(self, deal: Deal, needs: Mapping[Need, int], worth_cents: int) -> int | None:
        """The highest price at which the needs take no more of a deal than that worth; None when even 0 is."""
        low, high = -1, HIGHEST_PRICE_CENTS
        while high - low > 1:
            middle = (low + high) // 2
            fresh = Market(self.facts, self.market.rule)
            taken = taken_of(fresh, replace(deal, unit_cents=Decimal(middle)), needs)
            if taken is not None and taken.worth_cents <= worth_cents:
                low = middle
            else:
                high = middle
        return None if low < 0 else low


def unit_of(deal: Deal) -> str:
    """The unit a deal's price is for."""
    return "ft" if deal.by_the_foot else deal.offer.per


def _found_elsewhere(deal: Deal, condition: Condition, *, spares: bool) -> Deal:
    """The same part as surplus, sold singly by somebody who charges no tax, cut or delivery."""
    per = "ft" if deal.by_the_foot or deal.is_length else "each"
    plain = {
        "condition": condition,
        "available": None,
        "per": per,
        "freight_cents": Decimal(0),
        "usable": None,
    }
    offer = deal.offer.model_copy(update=plain)
    return deal_of(offer, deal.part, deal.kind, FOUND_ELSEWHERE, spares=spares)
