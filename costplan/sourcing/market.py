"""Which offers can meet a need, and what each costs with everything that comes with it."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from costplan.circuits.facts import Facts
from costplan.circuits.lives import lasts_as_asked
from costplan.circuits.needs import Need, Spec
from costplan.model.catalog import Condition, Kind, Offer, Part, Role, Supplier
from costplan.model.choices import SurplusRule
from costplan.model.money import to_cents
from costplan.years.discounting import growing_worth, prorated_residual, single_worth

SURPLUS = (Condition.NEW_OLD_STOCK, Condition.USED)


@dataclass(frozen=True, slots=True)
class Deal:
    """An offer with its part, kind and supplier, and what one unit of it brings along.

    The unit is a piece for counted things and a foot for lengths. All cents are whole.
    `pack` is pieces in a pack or whole feet in a reel, roll, stick or remnant (then `is_length`), None when
    sold singly.
    """

    offer: Offer
    part: Part
    kind: Kind
    supplier: Supplier
    price_cents: int
    reject: Decimal
    inspect_hours: Decimal
    pack: int | None
    is_length: bool
    by_the_foot: bool

    @property
    def available(self) -> int | None:
        """Packs, pieces or feet to be had; None for as many as you like."""
        return self.offer.available

    def goods_cents(self, units: int) -> int:
        """Price of so many units outside a pack."""
        return self.price_cents * units

    def share_of_pack_cents(self, units: int) -> Decimal:
        """The part of the price that falls on so many units, for resale and risk."""
        return Decimal(self.price_cents) * units / (self.pack or 1)

    def risk_cents(self, units: int) -> int:
        """Expected cost of replacing the surplus that fails inspection by more of the same."""
        return to_cents(self.share_of_pack_cents(units) * self.reject / (1 - self.reject))

    def tax_cents(self, goods_cents: int) -> int:
        """Sales tax on goods."""
        return to_cents(Decimal(goods_cents) * self.supplier.tax)

    def resale_cents(self, units: int, facts: Facts) -> int:
        """Worth today of selling the units at the end of the plan; 0 for what stays in the building."""
        return to_cents(
            self.resale_exact(units, facts) * single_worth(facts.shop.money.discount_rate, facts.shop.years)
        )

    def resale_exact(self, units: int, facts: Facts) -> Decimal:
        """What the units fetch at the end of the plan, in that year's money, not rounded."""
        if not self.kind.portable:
            return Decimal(0)
        share = self.kind.resale.get(self.offer.condition, Decimal(0))
        return prorated_residual(
            self.share_of_pack_cents(units), share, self.kind.life_years, facts.shop.years
        )


@dataclass(frozen=True)
class Market:
    """All offers that the sourcing rule allows, found by need."""

    facts: Facts
    rule: SurplusRule

    @cached_property
    def deals(self) -> Mapping[str, tuple[Deal, ...]]:
        """Deals by part kind, in a fixed order; offers without a price or with nothing left are no deals."""
        suppliers = {supplier.id: supplier for supplier in self.facts.catalog.suppliers}
        found: dict[str, list[Deal]] = defaultdict(list)
        for offer in self.facts.catalog.offers:
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
                found[part.kind].append(_deal(offer, part, kind, suppliers[offer.supplier]))
        return {kind: tuple(sorted(deals, key=_order)) for kind, deals in found.items()}

    def _allowed(self, kind: Kind, offer: Offer) -> bool:
        if offer.condition not in SURPLUS:
            return True
        if self.rule is SurplusRule.NEW_ONLY:
            return False
        shop = self.facts.shop
        barred = (kind.must_be_new and kind.kind not in shop.may_be_used) or kind.kind in shop.must_be_new
        return not barred

    @cached_property
    def remembered(self) -> dict[object, object]:
        """Answers of pure questions about this market, kept by those who ask them."""
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
    def _forecasts(self) -> dict[Need, tuple[Decimal, Deal] | None]:
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
        deals = [deal for deal in self.deals_for(need.spec) if lasts_as_asked(self.facts, deal.part, need)]
        if need.length_ft:
            return tuple(
                deal
                for deal in deals
                if deal.by_the_foot or (deal.is_length and (deal.pack or 0) >= need.length_ft)
            )
        if sold == "each":
            return tuple(deal for deal in deals if not deal.by_the_foot and not deal.is_length)
        return tuple(deal for deal in deals if deal.by_the_foot or deal.is_length)

    @cached_property
    def owner_hour_cents(self) -> Decimal:
        """What an hour of the owner is worth; 0 when no owner is listed."""
        crews = {crew.name: crew for crew in (*self.facts.catalog.crews, *self.facts.shop.crews)}
        return next((crew.rate_cents for crew in crews.values() if crew.role is Role.OWNER), Decimal(0))

    def unit_cost_exact(self, deal: Deal, need: Need) -> Decimal:
        """Cost of one piece of the need from this deal in a forecast: price, tax, cut, risk, inspection."""
        units = need.length_ft or 1
        goods = (
            Decimal(deal.price_cents) * units
            if deal.by_the_foot or deal.pack is None
            else deal.share_of_pack_cents(units)
        )
        cut = deal.supplier.cut_charge_cents if need.length_ft and deal.by_the_foot else Decimal(0)
        risk = goods * deal.reject / (1 - deal.reject)
        return goods * (1 + deal.supplier.tax) + cut + risk + deal.inspect_hours * self.owner_hour_cents

    def forecast(self, need: Need) -> tuple[Decimal, Deal] | None:
        """Lowest cost of one piece (or foot) in a later year at this rule's sources, and the deal behind it.

        Packs are counted by their share, the shelf is left out, quantities are taken as available.
        None when nobody sells it.
        """
        key = need.each
        if key not in self._forecasts:
            self._forecasts[key] = self._find_forecast(need)
        return self._forecasts[key]

    def _find_forecast(self, need: Need) -> tuple[Decimal, Deal] | None:
        deals = [d for d in self.usable(need) if d.offer.condition is not Condition.ON_HAND]
        priced = [(self.unit_cost_exact(deal, need), _order(deal), deal) for deal in deals]
        if not priced:
            return None
        cost, _, deal = min(priced, key=lambda entry: entry[:2])
        return cost, deal

    def forecast_resale(self, need: Need, deal: Deal, year: int) -> Decimal:
        """What one piece bought in `year` fetches at the end of the plan, in cents, not rounded."""
        if not deal.kind.portable:
            return Decimal(0)
        money, horizon = self.facts.shop.money, self.facts.shop.years
        share = deal.kind.resale.get(deal.offer.condition, Decimal(0))
        units = need.length_ft or 1
        price = Decimal(deal.price_cents) * units if deal.pack is None else deal.share_of_pack_cents(units)
        grown = price * growing_worth(Decimal(0), money.growth.parts, year)
        return prorated_residual(grown, share, deal.kind.life_years, horizon - year)


def _deal(offer: Offer, part: Part, kind: Kind, supplier: Supplier) -> Deal:
    assert offer.price_cents is not None
    surplus = offer.condition in SURPLUS
    per = offer.by_the_foot or 1
    length = offer.piece_length_ft
    return Deal(
        offer,
        part,
        kind,
        supplier,
        to_cents(offer.price_cents / per),
        kind.reject.get(offer.condition, Decimal(0)) if surplus else Decimal(0),
        kind.inspect_hours if surplus else Decimal(0),
        int(length) if length is not None else offer.pack_size if offer.pack_size > 1 else None,
        length is not None,
        offer.by_the_foot is not None,
    )


def _order(deal: Deal) -> tuple[object, ...]:
    offer = deal.offer
    available = -1 if offer.available is None else offer.available
    return (
        deal.part.id,
        deal.supplier.id,
        str(offer.condition),
        offer.per,
        deal.price_cents,
        available,
        offer.row,
    )
