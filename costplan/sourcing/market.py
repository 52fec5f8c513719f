"""Which offers can meet a need, and what each costs with everything that comes with it."""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from math import ceil
from typing import Any, TypeVar

from costplan.circuits.facts import Facts
from costplan.circuits.lives import OUTLASTS, life_of, worn_after
from costplan.circuits.needs import Need, Spec
from costplan.model.catalog import Condition, Kind, Offer, Part, Supplier
from costplan.model.choices import RejectRule, ResaleRule, SurplusRule
from costplan.model.money import growth_factor, to_cents
from costplan.years.discounting import residual_share, single_worth

Answer = TypeVar("Answer")

SURPLUS = (Condition.NEW_OLD_STOCK, Condition.USED)


@dataclass(frozen=True, slots=True)
class Deal:
    """An offer with its part, kind and supplier, and what one unit of it brings along.

    The unit is a piece for counted things and a foot for lengths. `unit_cents` is exact for a
    foot and whole for anything else.
    `pack` is pieces in a pack or whole feet in a reel, roll, stick or remnant (then `is_length`), None when
    sold singly. `holds` are the units that a pack is counted on for: fewer than are in a lot, and where whole spares
    are bought less than one for a single piece. Then every piece of a pack is looked at (`looked_at`), and nothing
    fails beyond that (`reject` is 0).
    """

    offer: Offer
    part: Part
    kind: Kind
    supplier: Supplier
    unit_cents: Decimal
    reject: Decimal
    inspect_hours: Decimal
    pack: int | None
    is_length: bool
    by_the_foot: bool
    holds: Fraction | None = None
    looked_at: int = 0
    freight_cents: Decimal = Decimal(0)

    @property
    def resells_whole(self) -> bool:
        """Whether a pack is sold whole at the end; else each piece in use is, and spares fetch nothing."""
        return self.pack is not None and (self.looked_at == 0 or self.offer.is_lot)

    @property
    def per(self) -> str:
        """What one of a quantity is: a foot, also where the price is for a hundred, else what the price is for."""
        return "ft" if self.by_the_foot else self.offer.per

    def packs_for(self, units: int) -> int:
        """The fewest packs that are counted on for so many units."""
        assert self.holds is not None
        return ceil(units / self.holds)

    @property
    def price_cents(self) -> int:
        """Price of a piece, a pack or a reel; of a foot only to be shown, since it is rounded."""
        return to_cents(self.unit_cents)

    @property
    def available(self) -> int | None:
        """Packs, pieces or feet to be had; None for as many as you like."""
        return self.offer.available

    def goods_cents(self, units: int) -> int:
        """Price of so many units outside a pack, rounded once."""
        return to_cents(self.unit_cents * units)

    def share_of_pack_cents(self, units: int) -> Decimal:
        """The part of the price that falls on so many units, for resale and risk."""
        return self.unit_cents * units / (self.pack or 1)

    def risk_exact(self, goods_cents: Decimal) -> Decimal:
        """Expected cost, for goods of that price, of replacing the surplus that fails by more of the same, taxed again.

        With the inspection of those that fail it makes (price + inspection) / (1 - reject) of price and inspection.
        """
        return self.again(goods_cents * (1 + self.supplier.on_goods))

    def again(self, cents: Decimal) -> Decimal:
        """What is paid again for the pieces that replace those that fail, of what is paid for all."""
        return cents * self.reject / (1 - self.reject)

    def carried_cents(self, units: int) -> Decimal:
        """Freight of so many units, or their share of a pack's."""
        return self.freight_cents * units / (self.pack or 1)

    def risk_cents(self, units: int) -> int:
        """The risk of so many units, rounded."""
        return to_cents(self.risk_exact(self.share_of_pack_cents(units)))

    def inspection_hours(self, pieces: int) -> Decimal:
        """Own hours to look at pieces until so many are good; every one looked at counts."""
        return self.inspect_hours * pieces / (1 - self.reject)

    @property
    def pack_inspection_hours(self) -> Decimal:
        """Own hours to look at all that is in one pack; 0 where only the pieces taken are looked at."""
        return self.inspect_hours * self.looked_at

    def tax_cents(self, goods_cents: int) -> int:
        """Sales tax on goods, or an electrician's markup."""
        return to_cents(Decimal(goods_cents) * self.supplier.on_goods)

    def resale_share(self, facts: Facts, age_years: int, wear: Decimal = Decimal(1)) -> Decimal:
        """Share of its price that it fetches at this age; 0 for what stays in the building or is worn out.

        wear: how long it lasts where it is used, as a share of its nominal life.
        """
        if not self.kind.portable:
            return Decimal(0)
        resale = (self.kind if self.part.resale is None else self.part).resale or {}
        life = life_of(facts, self.part)
        return residual_share(
            resale.get(self.offer.condition, Decimal(0)),
            None if life is None else worn_after(life, wear),
            age_years,
            straight_line=self._straight_line,
        )

    @property
    def _straight_line(self) -> bool:
        return (self.part.resale_rule or self.kind.resale_rule) is ResaleRule.STRAIGHT_LINE

    def resale_trace(self, facts: Facts, wear: Decimal = Decimal(1)) -> str:
        """Where its worth at the end comes from, and by which rule."""
        own = self.part.resale is not None
        where = f"parts.yaml resale of {self.part.id}" if own else f"kinds.yaml resale of {self.kind.kind}"
        life = life_of(facts, self.part)
        if life is None or not self._straight_line:
            return f"{where}, share of price"
        return f"{where}, straight line over {worn_after(life, wear)} years"

    def resale_cents(self, units: int, facts: Facts, wear: Decimal = Decimal(1)) -> int:
        """Worth today of selling the units at the end of the plan; 0 for what stays in the building."""
        worth = single_worth(facts.shop.money.discount_rate, facts.shop.years)
        return to_cents(to_cents(self.resale_exact(units, facts, wear)) * worth)

    def resale_worth(self, units: int, facts: Facts, wear: Decimal = Decimal(1)) -> Decimal:
        """The same, where nothing is rounded on the way."""
        worth = single_worth(facts.shop.money.discount_rate, facts.shop.years)
        return self.resale_exact(units, facts, wear) * worth

    def resale_exact(self, units: int, facts: Facts, wear: Decimal = Decimal(1)) -> Decimal:
        """What the units, bought today, fetch at the end of the plan, in that year's money, not rounded."""
        return self.share_of_pack_cents(units) * self.resale_share(facts, facts.shop.years, wear)


@dataclass(frozen=True, slots=True)
class LaterPurchase:
    """What a counter would sell for one need alone, at today's prices, in cents not rounded.

    `count` is of pieces, feet, packs, reels or sticks; `cash_cents` their price with tax, cuts and freight;
    `allowance_cents` what replaces those that fail; `inspect_hours` of the owner's, `inspection_cents` what they are worth;
    `resold_cents` the price of what can be sold at the end. `what` follows the part's name; `whole` says that packs, reels
    or sticks are bought.
    """

    deal: Deal
    count: int
    what: str
    whole: bool
    cash_cents: Decimal
    allowance_cents: Decimal
    inspect_hours: Decimal
    inspection_cents: Decimal
    resold_cents: Decimal
    quantity: Decimal = Decimal(0)
    """How many of what the offer's price is for (`Deal.per`): feet where it is sold by the foot, else `count`."""

    @property
    def cost_cents(self) -> Decimal:
        """All of it: cash, allowance and own time."""
        return self.cash_cents + self.allowance_cents + self.inspection_cents


@dataclass(frozen=True)
class Market:
    """All offers that the sourcing rule allows, found by need."""

    facts: Facts
    rule: SurplusRule

    @cached_property
    def deals(self) -> Mapping[str, tuple[Deal, ...]]:
        """Deals by part kind, in a fixed order; offers without a price or with nothing left are no deals."""
        return self._deals_of(self.facts.catalog.offers)

    def _deals_of(self, offers: Iterable[Offer]) -> dict[str, tuple[Deal, ...]]:
        suppliers = {supplier.id: supplier for supplier in self.facts.catalog.suppliers}
        found: dict[str, list[Deal]] = defaultdict(list)
        for offer in offers:
            part = self.facts.parts.get(offer.part)
            if (
                part is None
                or offer.price_cents is None
                or offer.available == 0
                or offer.supplier not in suppliers
            ):
                continue
            kind = self.facts.kinds[part.kind]
            if self._allowed(kind, offer):
                found[part.kind].append(
                    deal_of(offer, part, kind, suppliers[offer.supplier], spares=self.spares)
                )
        return {kind: tuple(sorted(deals, key=_order)) for kind, deals in found.items()}

    def repriced(self, facts: Facts, rule: SurplusRule) -> "Market":
        """The market of the same shop at other prices, or by other rules; what is alike is found once."""
        other = Market(facts, rule)
        changed = self._changed(other)
        offers = [offer for offer in facts.catalog.offers if self._kind_of(offer) in changed]
        alike = {kind: deals for kind, deals in self.deals.items() if kind not in changed}
        known: dict[str, Mapping[Any, Any]] = {
            "deals": alike | other._deals_of(offers),
            "_by_spec": {spec: found for spec, found in self._by_spec.items() if spec.kind not in changed},
            "_usable": {need: found for need, found in self._usable.items() if need.spec.kind not in changed},
            "_forecasts": {
                need: found for need, found in self._forecasts.items() if need.spec.kind not in changed
            },
            "later_worth": {
                asked: cents for asked, cents in self.later_worth.items() if asked[0].spec.kind not in changed
            },
        }
        if self.spares == other.spares:
            known["_answers"] = self._answers
        other.__dict__.update(known)
        return other

    def of_alike(self, facts: Facts) -> "Market":
        """The market of a shop in which the same is sold and resold at the same prices; what is found in one serves both."""
        other = Market(facts, self.rule)
        other.__dict__.update({**self.__dict__, "facts": facts})
        return other

    def _changed(self, other: "Market") -> frozenset[str]:
        """Kinds of parts of which a deal may be another in the other market of the same shop."""
        mine, its = self.facts.catalog.offers, other.facts.catalog.offers
        kinds = {self._kind_of(offer) for offer, now in zip(mine, its, strict=True) if offer is not now}
        if (self.spares, self.rule) != (other.spares, other.rule):
            kinds |= {self._kind_of(offer) for offer in its if offer.condition in SURPLUS}
        return frozenset(kinds)

    def _kind_of(self, offer: Offer) -> str:
        part = self.facts.parts.get(offer.part)
        return "" if part is None else part.kind

    @cached_property
    def rows(self) -> frozenset[int]:
        """The rows of the offers that are deals."""
        return frozenset(deal.offer.row for deals in self.deals.values() for deal in deals)

    @property
    def spares(self) -> bool:
        """Whether whole spares are bought for the surplus that may fail."""
        return self.facts.shop.money.rejects is RejectRule.WHOLE_SPARES

    def _allowed(self, kind: Kind, offer: Offer) -> bool:
        if offer.condition not in SURPLUS:
            return True
        if self.rule is SurplusRule.NEW_ONLY:
            return False
        shop = self.facts.shop
        barred = (kind.must_be_new and kind.kind not in shop.may_be_used) or kind.kind in shop.must_be_new
        return not barred

    @cached_property
    def _answers(self) -> dict[Callable[..., Any], dict[Hashable, Any]]:
        return {}

    def answers(self, question: Callable[..., Answer]) -> dict[Hashable, Answer]:
        """What a pure question about its deals was answered, kept by whoever asks it, at the prices that it was asked with."""
        return self._answers.setdefault(question, {})

    @cached_property
    def later_worth(self) -> dict[tuple[Need, object], int]:
        """Present value in cents of parts that are bought later, by when, kept by those who work it out."""
        return {}

    @cached_property
    def _by_spec(self) -> dict[Spec, tuple[Deal, ...]]:
        return {}

    def deals_for(self, spec: Spec) -> tuple[Deal, ...]:
        """Deals whose part meets or exceeds the spec."""
        if spec not in self._by_spec:
            self._by_spec[spec] = tuple(
                deal for deal in self.deals.get(spec.kind, ()) if spec.met_by(deal.part)
            )
        return self._by_spec[spec]

    @cached_property
    def _usable(self) -> dict[Need, tuple[Deal, ...]]:
        return {}

    @cached_property
    def _forecasts(self) -> dict[Need, LaterPurchase | None]:
        return {}

    def usable(self, need: Need) -> tuple[Deal, ...]:
        """Deals that can meet the need as it is sold: long enough, not by the piece where feet are asked, of
        the life asked for.
        """
        key = need.each
        if key not in self._usable:
            self._usable[key] = self._find_usable(need)
        return self._usable[key]

    def _find_usable(self, need: Need) -> tuple[Deal, ...]:
        sold = self.facts.kinds[need.spec.kind].sold if need.spec.kind in self.facts.kinds else "each"
        deals = [deal for deal in self.deals_for(need.spec) if self._lasts_as_asked(deal.part, need)]
        if need.length_ft:
            return tuple(
                deal
                for deal in deals
                if deal.by_the_foot or (deal.is_length and (deal.pack or 0) >= need.length_ft)
            )
        if sold == "each":
            return tuple(deal for deal in deals if not deal.by_the_foot and not deal.is_length)
        return tuple(deal for deal in deals if deal.by_the_foot or deal.is_length)

    def _lasts_as_asked(self, part: Part, need: Need) -> bool:
        life = life_of(self.facts, part)
        if need.lasts is None or need.lasts == life:
            return True
        outlasts = life is None or worn_after(life, need.share) >= self.facts.shop.years
        return need.lasts == OUTLASTS and outlasts

    @cached_property
    def owner_hour_cents(self) -> Decimal:
        """What an hour of the owner is worth; 0 when no owner is listed."""
        return self.facts.owner.rate_cents

    def forecast(self, need: Need) -> LaterPurchase | None:
        """The cheapest purchase for the whole need in a later year at this rule's sources.

        Pieces by the foot with their cuts, or each from a reel of its own; counted things singly or in whole
        packs; joined feet by the foot or in whole sticks. The shelf is left out, quantities are taken as
        available. None when nobody sells it.
        """
        if need not in self._forecasts:
            deals = [deal for deal in self.usable(need) if deal.offer.condition is not Condition.ON_HAND]
            found = [self.later_purchase(deal, need) for deal in deals]
            self._forecasts[need] = min(
                found, key=lambda bought: (bought.cost_cents, _order(bought.deal)), default=None
            )
        return self._forecasts[need]

    def later_purchase(self, deal: Deal, need: Need) -> LaterPurchase:
        """What meeting the whole need from a deal takes."""
        units = need.length_ft or 1
        if deal.pack is None:
            count, what = need.quantity, f", {need.length_ft} ft" if need.length_ft else ""
            goods = deal.unit_cents * units * count
        else:
            count = need.quantity if need.length_ft else deal.packs_for(need.quantity)
            what = f", {deal.offer.per}"
            goods = deal.unit_cents * count
        cuts = need.quantity if need.length_ft and deal.by_the_foot else 0
        # As today, feet that are joined from whole lengths are not inspected foot by foot.
        looked_at = 0 if (deal.is_length and not need.length_ft) or deal.looked_at else need.quantity
        hours = deal.inspection_hours(looked_at) + deal.pack_inspection_hours * count
        freight = deal.freight_cents * (units * count if deal.pack is None else count)
        cash = goods * (1 + deal.supplier.on_goods) + deal.supplier.cut_charge_cents * cuts + freight
        resold = goods if deal.resells_whole or deal.pack is None else deal.unit_cents * need.quantity
        quantity = Decimal(units * count if deal.by_the_foot else count)
        return LaterPurchase(
            deal,
            count,
            what,
            deal.resells_whole,
            cash,
            deal.again(cash),
            hours,
            hours * self.owner_hour_cents,
            resold,
            quantity,
        )

    def to_be_had(self, need: Need, year: int) -> bool:
        """Whether somebody sells it at a price: today as offers stand, later by forecast."""
        return bool(self.usable(need)) if year == 0 else self.forecast(need) is not None

    def forecast_resale(self, need: Need, bought: LaterPurchase, year: int) -> Decimal:
        """What a later purchase of `year` fetches at the end of the plan, in cents, not rounded."""
        wear = Decimal(1) if bought.whole else need.share
        share = bought.deal.resale_share(self.facts, self.facts.shop.years - year, wear)
        return bought.resold_cents * growth_factor(self.facts.shop.money.growth.parts, year) * share


def deal_of(offer: Offer, part: Part, kind: Kind, supplier: Supplier, *, spares: bool) -> Deal:
    """An offer with a price as a deal; spares: whole pieces more are bought for the surplus that may fail."""
    assert offer.price_cents is not None
    surplus = offer.condition in SURPLUS
    per = offer.by_the_foot or 1
    length = offer.piece_length_ft
    reject = kind.reject.get(offer.condition, Decimal(0)) if surplus else Decimal(0)
    pack = int(length) if length is not None else offer.pack_size if offer.pack_size > 1 else None
    good, looked_at = Decimal(1), 0
    if offer.is_lot:
        good = offer.usable if offer.usable is not None else 1 - reject
        pack, reject, looked_at = offer.pack_size, Decimal(0), offer.pack_size
    elif spares and reject and kind.sold == "each":
        pack = pack or 1
        good, reject, looked_at = 1 - reject, Decimal(0), pack
    return Deal(
        offer,
        part,
        kind,
        supplier,
        offer.price_cents / per if offer.by_the_foot else Decimal(to_cents(offer.price_cents)),
        reject,
        kind.inspect_hours if surplus else Decimal(0),
        pack,
        length is not None,
        offer.by_the_foot is not None,
        None if pack is None else Fraction(good) * pack,
        looked_at,
        offer.freight_cents / per,
    )


def _order(deal: Deal) -> tuple[object, ...]:
    offer = deal.offer
    available = -1 if offer.available is None else offer.available
    return (
        deal.part.id,
        deal.supplier.id,
        str(offer.condition),
        offer.per,
        deal.unit_cents,
        available,
        offer.row,
    )
