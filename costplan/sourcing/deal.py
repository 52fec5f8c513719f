"""An offer as a deal: what one unit of it costs with tax, freight, looks and what fails."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil

from costplan.model.catalog import SURPLUS, Kind, Offer, Part, Supplier
from costplan.model.money import to_cents
from costplan.sourcing.rejects import paid_again, rejects_of, until_good


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
        return paid_again(cents, self.reject)

    def carried_cents(self, units: int) -> Decimal:
        """Freight of so many units, or their share of a pack's."""
        return self.freight_cents * units / (self.pack or 1)

    def risk_cents(self, units: int) -> int:
        """The risk of so many units, rounded."""
        return to_cents(self.risk_exact(self.share_of_pack_cents(units)))

    def inspection_hours(self, pieces: int) -> Decimal:
        """Own hours to look at pieces until so many are good; every one looked at counts."""
        return until_good(pieces, self.inspect_hours, self.reject)

    @property
    def pack_inspection_hours(self) -> Decimal:
        """Own hours to look at all that is in one pack; 0 where only the pieces taken are looked at."""
        return self.inspect_hours * self.looked_at

    def tax_cents(self, goods_cents: int) -> int:
        """Sales tax on goods, or an electrician's markup."""
        return to_cents(Decimal(goods_cents) * self.supplier.on_goods)


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


def deal_of(offer: Offer, part: Part, kind: Kind, supplier: Supplier, *, spares: bool) -> Deal:
    """An offer with a price as a deal; spares: whole pieces more are bought for the surplus that may fail."""
    assert offer.price_cents is not None
    per = offer.by_the_foot or 1
    rejects = rejects_of(offer, kind, spares=spares)
    return Deal(
        offer,
        part,
        kind,
        supplier,
        offer.price_cents / per if offer.by_the_foot else Decimal(to_cents(offer.price_cents)),
        rejects.share,
        kind.inspect_hours if offer.condition in SURPLUS else Decimal(0),
        rejects.pack,
        offer.piece_length_ft is not None,
        offer.by_the_foot is not None,
        None if rejects.pack is None else Fraction(rejects.good) * rejects.pack,
        rejects.looked_at,
        offer.freight_cents / per,
    )


def order_of(deal: Deal) -> tuple[object, ...]:
    """In which order deals come, whatever the order of the offers' rows."""
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
