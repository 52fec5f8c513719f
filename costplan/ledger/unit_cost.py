"""What one unit of an offer brings along when it is set aside for a need today, and what a whole pack costs."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_DOWN, Decimal
from enum import Enum
from functools import cached_property
from math import ceil, floor

from costplan.circuits.needs import Need
from costplan.ledger.lines import Pocket
from costplan.model.money import to_cents
from costplan.sourcing.deal import Deal
from costplan.sourcing.market import Market
from costplan.sourcing.resale import resale_cents, resale_worth, resells_whole

FOOT_PLACES = 4
"""Decimal places of a cent that risk and resale of one foot are known to; a row needs a fraction."""


class Amount(Enum):
    """What a unit brings along, each with the pocket that it is of; what comes back is taken off."""

    GOODS = "goods", Pocket.CASH
    CUT = "cut", Pocket.CASH
    TAX = "tax", Pocket.CASH
    RISK = "risk", Pocket.ALLOWANCE
    INSPECTION = "inspection", Pocket.OWN_TIME
    FREIGHT = "freight", Pocket.CASH
    AGAIN = "again", Pocket.ALLOWANCE
    """Cuts and freight of what replaces the pieces that fail."""
    RESALE = "resale", Pocket.COMES_BACK

    def __init__(self, word: str, pocket: Pocket) -> None:
        self.word, self.pocket = word, pocket
        self.sign = -1 if pocket is Pocket.COMES_BACK else 1


@dataclass(frozen=True)
class UnitCost:
    """Cents that one unit set aside for a need brings along, besides a pack's own price.

    Whole for pieces; for feet that are joined they are exact, and rounded once for all feet of a line.
    """

    amounts: Mapping[Amount, Decimal]

    def __getitem__(self, what: Amount) -> Decimal:
        """One of the amounts."""
        return self.amounts[what]

    @property
    def worth(self) -> Decimal:
        """Its share of the present value."""
        return sum(self._signed, Decimal(0))

    @cached_property
    def cash(self) -> Decimal:
        """Its share of today's outlay."""
        return sum((cents for of, cents in self.amounts.items() if of.pocket is Pocket.CASH), Decimal(0))

    def of(self, count: int) -> "UnitCost":
        """The same for so many units on one line, each amount rounded once, half a cent down.

        Half down is the one rounding that a program of whole numbers can say with rows.
        """
        return UnitCost({of: _half_down(cents * count) for of, cents in self.amounts.items()})

    @property
    def _signed(self) -> Iterator[Decimal]:
        return (of.sign * cents for of, cents in self.amounts.items())

    @cached_property
    def least(self) -> int:
        """Whole cents of worth that a unit takes at least, however its line is rounded."""
        return sum(map(floor, self._signed))

    @cached_property
    def most(self) -> int:
        """Whole cents of worth that a unit takes at most."""
        return sum(map(ceil, self._signed))


def _half_down(amount: Decimal) -> Decimal:
    return amount.quantize(Decimal(1), ROUND_HALF_DOWN)


def unit_cost(market: Market, deal: Deal, need: Need) -> UnitCost:
    """What setting aside one piece (or foot) of a deal for a need costs today; remembered with the market."""
    known, key = market.answers(_unit_cost), (deal.offer.row, deal.unit_cents, need.length_ft, need.share)
    if key not in known:
        known[key] = _unit_cost(market, deal, need)
    return known[key]


def _unit_cost(market: Market, deal: Deal, need: Need) -> UnitCost:
    if deal.by_the_foot and not need.length_ft:
        return _foot_cost(market, deal, need)
    units = need.length_ft or 1
    packed = deal.pack is not None
    goods = 0 if packed else deal.goods_cents(units)
    cut = to_cents(deal.supplier.cut_charge_cents) if need.length_ft and not packed else 0
    looked_at = 0 if deal.looked_at or (deal.is_length and not need.length_ft) else 1
    cents = {
        Amount.GOODS: goods,
        Amount.CUT: cut,
        Amount.TAX: deal.tax_cents(goods),
        Amount.RISK: deal.risk_cents(units),
        Amount.INSPECTION: to_cents(deal.inspection_hours(looked_at) * market.owner_hour_cents),
        Amount.FREIGHT: 0 if packed else to_cents(deal.carried_cents(units)),
        Amount.AGAIN: to_cents(deal.again(cut + deal.carried_cents(units))),
        Amount.RESALE: 0 if resells_whole(deal) else resale_cents(deal, units, market.facts, need.share),
    }
    return UnitCost({of: Decimal(whole) for of, whole in cents.items()})


def _foot_cost(market: Market, deal: Deal, need: Need) -> UnitCost:
    foot = deal.unit_cents
    exact = {
        Amount.GOODS: foot,
        Amount.CUT: Decimal(0),
        Amount.TAX: foot * deal.supplier.on_goods,
        Amount.RISK: deal.risk_exact(foot),
        Amount.INSPECTION: Decimal(to_cents(deal.inspection_hours(1) * market.owner_hour_cents)),
        Amount.FREIGHT: deal.freight_cents,
        Amount.AGAIN: deal.again(deal.freight_cents),
        Amount.RESALE: resale_worth(deal, 1, market.facts, need.share),
    }
    return UnitCost({of: round(cents, FOOT_PLACES) for of, cents in exact.items()})


def pack_cost(deal: Deal) -> int:
    """Price of one pack with tax and freight, in cents."""
    return deal.price_cents + deal.tax_cents(deal.price_cents) + to_cents(deal.freight_cents)


def pack_inspection(market: Market, deal: Deal) -> int:
    """Own time to look at all pieces of one pack, in cents; 0 where only pieces taken are looked at."""
    return to_cents(deal.pack_inspection_hours * market.owner_hour_cents)


def pack_worth(market: Market, deal: Deal) -> int:
    """What one pack costs with everything, less what the whole pack fetches at the end, in today's cents.

    Resale goes with the pack and not with the pieces cut from it: else cutting more would seem to earn money.
    """
    back = resale_cents(deal, deal.pack or 1, market.facts) if resells_whole(deal) else 0
    return pack_cost(deal) + pack_inspection(market, deal) - back
