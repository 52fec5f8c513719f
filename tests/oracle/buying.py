"""What parts cost: today's whole purchase by trying everything, later pieces each by itself."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from itertools import product
from math import ceil

from events import NotReckoned

from costplan.model.catalog import Catalog, Condition, Kind, Offer, Part, Supplier
from costplan.model.choices import ResaleRule, SurplusRule
from costplan.model.shop import Shop
from costplan.standards import conductors

_TOO_MANY = 60_000


@dataclass(frozen=True, slots=True)
class Spec:
    """What a piece must be: of each attribute (name, how, value), `how` being is, least, wire or among."""

    kind: str
    asks: tuple[tuple[str, str, object], ...] = ()
    lasts: Decimal | None = None
    """Share of its life that it lasts where it is used."""


@dataclass(frozen=True, slots=True)
class Bought:
    """One purchase: cents exact, in the prices of its day, and what it is worth later."""

    part: Part
    offer: Offer
    lasts: Decimal | None
    goods_cents: Decimal
    cut_cents: Decimal
    tax: Decimal
    risk_cents: Decimal
    inspect_hours: Decimal

    @property
    def tax_cents(self) -> Decimal:
        """Tax on the goods."""
        return self.goods_cents * self.tax

    def cost_cents(self, hour_cents: Decimal) -> Decimal:
        """All of it, inspection at the owner's hour."""
        return (
            self.goods_cents
            + self.cut_cents
            + self.tax_cents
            + self.risk_cents
            + self.inspect_hours * hour_cents
        )


@dataclass(frozen=True, slots=True)
class Piece:
    """One thing that must be bought today: counted, or a length."""

    spec: Spec
    quantity: Decimal
    sold: str


class Market:
    """The catalog's offers under one sourcing rule."""

    def __init__(self, shop: Shop, catalog: Catalog, rule: str, hour_cents: Decimal) -> None:
        """Raises nothing; parts without a price are simply not for sale."""
        self.shop, self.hour_cents = shop, hour_cents
        self.kinds: dict[str, Kind] = {kind.kind: kind for kind in catalog.kinds}
        self.parts: dict[str, Part] = {part.id: part for part in catalog.parts}
        self.suppliers: dict[str, Supplier] = {supplier.id: supplier for supplier in catalog.suppliers}
        surplus = rule == "allowed" and shop.money.surplus is SurplusRule.ALLOWED
        self.offers = [
            offer
            for offer in catalog.offers
            if offer.price_cents is not None and self._allowed(offer, surplus)
        ]

    def _allowed(self, offer: Offer, surplus: bool) -> bool:
        if offer.condition in (Condition.NEW, Condition.ON_HAND):
            return True
        kind = self.kinds[self.parts[offer.part].kind]
        new = (
            kind.must_be_new and kind.kind not in self.shop.may_be_used
        ) or kind.kind in self.shop.must_be_new
        return surplus and not new

    def fitting(self, spec: Spec, part: str | None = None) -> list[Offer]:
        """Offers of parts that meet a spec, of one part if named."""
        found = [
            offer
            for offer in self.offers
            if (part is None or offer.part == part) and _meets(self.parts[offer.part], spec)
        ]
        if not found:
            raise NotReckoned(f"No priced offer meets {spec}.")
        return found

    def life_years(self, part: Part, share: Decimal | None) -> int | None:
        """Years in service at a machine where it lasts that share of its life."""
        life = part.life_years or self.kinds[part.kind].life_years
        if life is None or share is None:
            return life
        return max(1, int(life * share))

    def resale_share(self, part: Part, condition: Condition) -> Decimal:
        """Share of the price that it fetches while new; 0 for what is not portable."""
        kind = self.kinds[part.kind]
        if not kind.portable:
            return Decimal(0)
        return (kind.resale if part.resale is None else part.resale).get(condition, Decimal(0))

    def straight_line(self, part: Part) -> bool:
        """Whether the share falls over its life."""
        return (part.resale_rule or self.kinds[part.kind].resale_rule) is ResaleRule.STRAIGHT_LINE

    def bought(
        self, offer: Offer, units: Decimal, cuts: int, pieces: Decimal, lasts: Decimal | None
    ) -> Bought:
        """So many `per` of an offer, with that many cuts, serving so many pieces to inspect."""
        part = self.parts[offer.part]
        kind = self.kinds[part.kind]
        supplier = self.suppliers[offer.supplier]
        goods = (offer.price_cents or Decimal(0)) * units
        surplus = offer.condition in (Condition.NEW_OLD_STOCK, Condition.USED)
        reject = kind.reject.get(offer.condition, Decimal(0)) if surplus else Decimal(0)
        more = 1 / (1 - reject) - 1
        inspect = kind.inspect_hours * pieces * (1 + more) if surplus else Decimal(0)
        cut = supplier.cut_charge_cents * cuts
        risk = (goods * (1 + supplier.tax) + cut) * more
        return Bought(part, offer, lasts, goods, cut, supplier.tax, risk, inspect)

    def single(self, offer: Offer, piece: Piece) -> Bought | None:
        """A piece from one offer alone; None when the offer cannot serve it."""
        feet, length = offer.by_the_foot, offer.piece_length_ft
        if piece.sold == "each":
            units, cuts, count = Decimal(ceil(piece.quantity / offer.pack_size)), 0, piece.quantity
        elif feet:
            units, cuts, count = piece.quantity / feet, 1 if piece.sold == "cut length" else 0, Decimal(1)
        elif length and piece.sold == "length":
            units, cuts, count = Decimal(ceil(piece.quantity / length)), 0, Decimal(1)
        elif length and length >= piece.quantity:
            units, cuts, count = Decimal(1), 0, Decimal(1)
        else:
            return None
        if offer.available is not None and (piece.quantity if feet else units) > offer.available:
            return None
        return self.bought(offer, units, cuts, count, piece.spec.lasts)

    def later(self, piece: Piece, part: str | None) -> Bought:
        """The cheapest for that piece alone, in today's prices; the shelf is left out."""
        found = [
            bought
            for offer in self.fitting(piece.spec, part)
            if offer.condition is not Condition.ON_HAND and (bought := self.single(offer, piece))
        ]
        if not found:
            raise NotReckoned(f"Nothing to be had later for {piece}.")
        return min(found, key=lambda bought: bought.cost_cents(self.hour_cents))

    def today(
        self, pieces: list[Piece], parts: dict[Spec, str], worth: Callable[[Bought], Decimal]
    ) -> tuple[list[Bought], dict[str, int]]:
        """The cheapest way to buy all of today's pieces, and each supplier's fees in cents."""
        classes: dict[Spec, list[Piece]] = {}
        for piece in pieces:
            classes.setdefault(piece.spec, []).append(piece)
        self._refuse_shared_packs(classes, parts)
        choices = [self._class_choices(spec, wanted, parts.get(spec)) for spec, wanted in classes.items()]

        def cost(bundle: tuple[Bought, ...]) -> Decimal:
            return sum((bought.cost_cents(self.hour_cents) - worth(bought) for bought in bundle), Decimal(0))

        plain = all(
            not (supplier.order_fee_cents or supplier.delivery_cents or supplier.minimum_cents)
            for supplier in self.suppliers.values()
        )
        if plain:
            return [bought for options in choices for bought in min(options, key=cost)], {}
        slim = [_slim(options, cost) for options in choices]
        size = 1
        for options in slim:
            size *= len(options)
        if size > _TOO_MANY:
            raise NotReckoned("Today's purchase has too many ways to try them all.")
        best: tuple[Decimal, list[Bought], dict[str, int]] | None = None
        for bundle in product(*slim):
            flat = [bought for chosen in bundle for bought in chosen]
            fees = self._fees(flat)
            total = cost(tuple(flat)) + sum(fees.values())
            if best is None or total < best[0]:
                best = (total, flat, fees)
        assert best is not None
        return best[1], best[2]

    def _fees(self, bought: list[Bought]) -> dict[str, int]:
        goods: dict[str, Decimal] = {}
        for entry in bought:
            goods[entry.offer.supplier] = goods.get(entry.offer.supplier, Decimal(0)) + entry.goods_cents
        fees = {}
        for name, amount in goods.items():
            supplier = self.suppliers[name]
            free = supplier.free_over_cents is not None and amount >= supplier.free_over_cents
            short = max(supplier.minimum_cents - amount, Decimal(0))
            fees[name] = int(supplier.order_fee_cents + (0 if free else supplier.delivery_cents) + short)
        return fees

    def _refuse_shared_packs(self, classes: dict[Spec, list[Piece]], parts: dict[Spec, str]) -> None:
        seen: dict[int, Spec] = {}
        for spec in classes:
            for offer in self.fitting(spec, parts.get(spec)):
                limited = offer.pack_size > 1 or offer.piece_length_ft or offer.available is not None
                if limited and seen.setdefault(offer.row, spec) != spec:
                    raise NotReckoned(
                        f"{offer.part} in packs, reels or short supply would serve two kinds of need."
                    )

    def _class_choices(self, spec: Spec, wanted: list[Piece], part: str | None) -> list[tuple[Bought, ...]]:
        offers = self.fitting(spec, part)
        if wanted[0].sold == "cut length":
            return self._cut(offers, [piece.quantity for piece in wanted], spec)
        piece = Piece(spec, sum((piece.quantity for piece in wanted), Decimal(0)), wanted[0].sold)
        found = [(bought,) for offer in offers if (bought := self.single(offer, piece))]
        chunky = [
            offer
            for offer in offers
            if offer.pack_size > 1 or offer.piece_length_ft or offer.available is not None
        ]
        found += self._mixed(chunky, offers, piece)
        if not found:
            raise NotReckoned(f"Nothing to be had today for {piece}.")
        return found

    def _mixed(self, chunky: list[Offer], offers: list[Offer], piece: Piece) -> list[tuple[Bought, ...]]:
        """Some packs, sticks or scarce pieces of one offer and the rest of another."""
        found = []
        for first, second in product(chunky, offers):
            if first is second:
                continue
            size = Decimal(first.pack_size) if piece.sold == "each" else first.piece_length_ft
            if size is None:
                if first.by_the_foot and first.available is not None:
                    raise NotReckoned(f"{first.part} by the foot in short supply is not reckoned.")
                continue
            for count in range(1, ceil(piece.quantity / size)):
                if first.available is not None and count > first.available:
                    break
                rest = self.single(second, Piece(piece.spec, piece.quantity - count * size, piece.sold))
                if rest:
                    found.append(
                        (self.bought(first, Decimal(count), 0, count * size, piece.spec.lasts), rest)
                    )
        return found

    def _cut(self, offers: list[Offer], lengths: list[Decimal], spec: Spec) -> list[tuple[Bought, ...]]:
        """Every spread of the pieces over the offers; pieces of one offer in as few reels as can be."""
        if not any(offer.piece_length_ft or offer.available is not None for offer in offers):
            cheapest = []
            for offer in offers:
                each = [self.single(offer, Piece(spec, length, "cut length")) for length in lengths]
                cheapest.append(tuple(bought for bought in each if bought))
            if len(offers) > 1 and len(lengths) <= 4:
                return self._spread(offers, lengths, spec)
            return cheapest
        if len(offers) ** len(lengths) > _TOO_MANY:
            raise NotReckoned("Too many pieces and reels of cable to try every cutting.")
        return self._spread(offers, lengths, spec)

    def _spread(self, offers: list[Offer], lengths: list[Decimal], spec: Spec) -> list[tuple[Bought, ...]]:
        found = []
        for spread in product(range(len(offers)), repeat=len(lengths)):
            bundle: list[Bought] | None = []
            for index, offer in enumerate(offers):
                mine = [length for length, choice in zip(lengths, spread, strict=True) if choice == index]
                if not mine or bundle is None:
                    continue
                if offer.by_the_foot:
                    if offer.available is not None and sum(mine) > offer.available:
                        bundle = None
                        continue
                    bundle += [
                        self.bought(offer, length / offer.by_the_foot, 1, Decimal(1), spec.lasts)
                        for length in mine
                    ]
                elif offer.piece_length_ft:
                    reels = _reels(sorted(mine, reverse=True), offer.piece_length_ft)
                    if reels is None or (offer.available is not None and reels > offer.available):
                        bundle = None
                    else:
                        bundle.append(self.bought(offer, Decimal(reels), 0, Decimal(reels), spec.lasts))
                else:
                    bundle = None
            if bundle:
                found.append(tuple(bundle))
        if not found:
            raise NotReckoned(f"Nothing to be had today for {spec}, lengths {lengths}.")
        return found


class Worth:
    """Cents that a purchase fetches at the end of the last year, not discounted."""

    def __init__(self, market: Market, years: int) -> None:
        """`years` is how long the plan is."""
        self.market, self.years = market, years

    def __call__(self, bought: Bought, year: int, growth: Decimal) -> Decimal:
        """Cents, 0 for what is worn out by then, of what was bought in a year at prices grown by a factor."""
        life = self.market.life_years(bought.part, bought.lasts)
        age = self.years - year
        if life is not None and life <= age:
            return Decimal(0)
        share = self.market.resale_share(bought.part, bought.offer.condition)
        if life is not None and self.market.straight_line(bought.part):
            share *= Decimal(life - age) / life
        return bought.goods_cents * growth * share


def _slim(
    options: list[tuple[Bought, ...]], cost: Callable[[tuple[Bought, ...]], Decimal]
) -> list[tuple[Bought, ...]]:
    """Of options that spend the same at the same suppliers, the cheapest."""
    best: dict[tuple[tuple[str, Decimal], ...], tuple[Bought, ...]] = {}
    for option in options:
        goods: dict[str, Decimal] = {}
        for bought in option:
            goods[bought.offer.supplier] = goods.get(bought.offer.supplier, Decimal(0)) + bought.goods_cents
        key = tuple(sorted(goods.items()))
        if key not in best or cost(option) < cost(best[key]):
            best[key] = option
    return list(best.values())


def _reels(lengths: list[Decimal], size: Decimal) -> int | None:
    """The fewest reels that hold all pieces unbroken; None when a piece is longer than a reel."""
    if lengths[0] > size:
        return None

    def place(index: int, rooms: list[Decimal]) -> int:
        if index == len(lengths):
            return len(rooms)
        best = place(index + 1, [*rooms, size - lengths[index]])
        for number, room in enumerate(rooms):
            if room >= lengths[index]:
                tried = [*rooms[:number], room - lengths[index], *rooms[number + 1 :]]
                best = min(best, place(index + 1, tried))
        return best

    return place(0, [])


def _meets(part: Part, spec: Spec) -> bool:
    if part.kind != spec.kind:
        return False
    for name, how, value in spec.asks:
        have = part.attributes.get(name)
        if how == "wire":
            fits = have is not None and conductors.awg_rank(str(have)) >= conductors.awg_rank(str(value))
        elif how == "least":
            fits = have is not None and Decimal(str(have)) >= Decimal(str(value))
        elif how == "at most wire":
            fits = have is not None and conductors.awg_rank(str(have)) <= conductors.awg_rank(str(value))
        else:
            fits = have == value or str(have) == str(value)
        if not fits:
            return False
    return True
