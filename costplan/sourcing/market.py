"""Which offers can meet a need, and what each costs with everything that comes with it."""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Any, TypeVar

from costplan.circuits.facts import Facts
from costplan.circuits.lives import OUTLASTS, life_of, worn_after
from costplan.circuits.needs import Need, Spec
from costplan.model.catalog import SURPLUS, Condition, Kind, Offer, Part
from costplan.model.choices import RejectRule, SurplusRule
from costplan.model.money import growth_factor
from costplan.sourcing.deal import Deal, LaterPurchase, deal_of, order_of
from costplan.sourcing.resale import resale_share, resells_whole

Answer = TypeVar("Answer")


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
        return {kind: tuple(sorted(deals, key=order_of)) for kind, deals in found.items()}

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
                found, key=lambda bought: (bought.cost_cents, order_of(bought.deal)), default=None
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
        resold = goods if resells_whole(deal) or deal.pack is None else deal.unit_cents * need.quantity
        quantity = Decimal(units * count if deal.by_the_foot else count)
        return LaterPurchase(
            deal,
            count,
            what,
            resells_whole(deal),
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
        share = resale_share(bought.deal, self.facts, self.facts.shop.years - year, wear)
        return bought.resold_cents * growth_factor(self.facts.shop.money.growth.parts, year) * share
