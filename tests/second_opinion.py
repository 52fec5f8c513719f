"""A plain search over everything a plan decides, with no integer program: the tests' second opinion.

The stream of events of a machine by a way, what a piece of gear is made of, and the lines of labor and of later
parts come from the product. Which ways, which stock of today and later serves what while it lasts, how long what is
bought is to last, what waits live and takes poles, who shares, visits and permits, which gear is put in when, whether
panels and services carry it all, who is hired, and the whole of today's purchase are searched and added up here.

There are more opinions than this one. Inside, `ledger.simulation` walks every plan that is chosen. `tests/oracle` is a plain
reckoner from the written rules that shares no pricing, with shops worked by hand. `tests/reconfiguration` is for shops that
are there and are laid out anew today: `laid_out_anew` tries every exchange of outlets, breakers, receptacles, cords and kits
by itself, and must come to the product's total to the cent in drawn shops, in shops worked by hand (`shops/`, each with its
working in `test_shops_anew`), rule by rule (`test_rules_anew`), and when the same things are told in other words
(`test_told_another_way`). `hard_shops` are those that were got wrong once. `pytest --hypothesis-profile=fresh` draws ten
times as many shops; `python tests/reconfiguration/differences.py 300` lists what differs.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from itertools import combinations, combinations_with_replacement, permutations, product

from costplan.circuits.facts import Facts
from costplan.circuits.lives import OUTLASTS
from costplan.circuits.needs import NOTHING, Attribute, Bundle, Item, Need, Return, Spec, StockNeed, Wear
from costplan.circuits.outlet_key import OutletKey, Wired
from costplan.circuits.shared_gear import Candidate
from costplan.circuits.sizing import load_current_a
from costplan.circuits.supply import draw_va
from costplan.circuits.things import Made, Tie
from costplan.circuits.ways import load_of
from costplan.ledger.lines import LineKind, Pocket
from costplan.ledger.options import Option
from costplan.ledger.pricing import TODAY, Call, NoOfferError, Once, Pricer, Stop, When
from costplan.model.catalog import Condition, Offer, Part
from costplan.model.choices import Method, ResaleRule, SurplusRule, VisitRule
from costplan.model.circuits_there import Installed
from costplan.model.gear import SERVICE, Gear, GearKind
from costplan.model.installed import installed_size
from costplan.model.labor import Role
from costplan.model.system import System
from costplan.model.tandems import TandemPair
from costplan.program.bench import Bench
from costplan.standards.conductors import awg_rank
from costplan.years.calendar import years_of_wiring_out
from costplan.years.stream import Date, Use

Pair = tuple[int, int]
"""Present value and today's cash, in cents."""
Called = tuple[frozenset[tuple[str, frozenset[tuple[str, int]]]], frozenset[str]]
"""How many machines of every strand have each kind of way, and the gear that is ever put in."""
Have = Mapping[str, int]
"""How many there are of each piece of gear."""
Combination = tuple[Option, ...]
"""The way of every single machine, those of a group one by one."""


def cents(exact: Decimal) -> int:
    return int(exact.quantize(Decimal(1), rounding=ROUND_HALF_EVEN))


def frontier(pairs: set[Pair]) -> list[Pair]:
    """Pairs that no other beats in both figures."""
    kept: list[Pair] = []
    for worth, cash in sorted(pairs):
        if not kept or cash < kept[-1][1]:
            kept.append((worth, cash))
    return kept


def years_in_use(life: int, share: Decimal) -> int:
    """Whole years that a part lasts at a machine, at least one."""
    return max(int((life * share).to_integral_value(ROUND_FLOOR)), 1)


def life_of(facts: Facts, part: Part) -> int | None:
    """Its own life, else that of its kind."""
    return part.life_years if part.life_years is not None else facts.kinds[part.kind].life_years


def life_within(facts: Facts, part: Part, share: Decimal) -> int:
    """The life of a part, or `OUTLASTS` when it is not worn out before the end of the plan at such a machine."""
    life = life_of(facts, part)
    return OUTLASTS if life is None or years_in_use(life, share) >= facts.shop.years else life


# today's purchase -------------------------------------------------------------------------------------


class Buying:
    """Every way of buying a list of needs, worked out from the offers as the user wrote them."""

    def __init__(self, facts: Facts, rule: SurplusRule) -> None:
        self.facts, self.rule = facts, rule
        self.suppliers = {supplier.id: supplier for supplier in facts.catalog.suppliers}
        owners = [crew for crew in facts.catalog.crews if crew.role is Role.OWNER]
        self.owner_rate = owners[0].rate_cents if owners else Decimal(0)
        self.memo: dict[tuple[tuple[Need, int], ...], list[Pair]] = {}
        self.offers_memo: dict[Need, list[Offer]] = {}

    def offers(self, need: Need) -> list[Offer]:
        """Offers that can meet a need; of those without limit at a feeless supplier only the cheapest."""
        if need not in self.offers_memo:
            fit = [offer for offer in self.facts.catalog.offers if self.fits(offer, need)]
            free = [offer for offer in fit if self.free(offer)]
            best = min(free, key=lambda offer: self.unit(offer, need)) if free else None
            self.offers_memo[need] = [offer for offer in fit if offer is best or not self.free(offer)]
        return self.offers_memo[need]

    def free(self, offer: Offer) -> bool:
        supplier = self.suppliers[offer.supplier]
        fees = supplier.order_fee_cents + supplier.delivery_cents + supplier.minimum_cents
        new = offer.condition is Condition.NEW
        singly = offer.by_the_foot is not None or offer.per == "each"
        return new and not fees and offer.available is None and singly

    def fits(self, offer: Offer, need: Need) -> bool:
        part = self.facts.parts[offer.part]
        surplus = offer.condition in (Condition.USED, Condition.NEW_OLD_STOCK)
        if surplus and (self.rule is SurplusRule.NEW_ONLY or self.facts.kinds[part.kind].must_be_new):
            return False
        if not need.spec.met_by(part) or offer.price_cents is None or offer.available == 0:
            return False
        if need.lasts is not None and need.lasts != life_within(self.facts, part, need.share):
            return False
        length = offer.piece_length_ft
        if need.length_ft:
            return offer.by_the_foot is not None or (length is not None and length >= need.length_ft)
        return offer.by_the_foot is None and length is None

    def pack(self, offer: Offer) -> int:
        """Feet or pieces in a pack, 0 when sold singly."""
        if offer.piece_length_ft is not None:
            return int(offer.piece_length_ft)
        return offer.pack_size if offer.pack_size > 1 else 0

    def price(self, offer: Offer, units: int) -> Decimal:
        """What so many pieces or feet cost, or their share of a pack."""
        assert offer.price_cents is not None
        return offer.price_cents * units / (self.pack(offer) or offer.by_the_foot or 1)

    def back(self, offer: Offer, price: Decimal, share_of_life: Decimal) -> int:
        """What goods bought today fetch at the end, today's worth."""
        part = self.facts.parts[offer.part]
        kind, shop = self.facts.kinds[part.kind], self.facts.shop
        if not kind.portable:
            return 0
        shares = part.resale if part.resale is not None else kind.resale
        share = shares.get(offer.condition, Decimal(0))
        life = life_of(self.facts, part)
        if life is not None:
            lasts = years_in_use(life, share_of_life)
            if lasts <= shop.years:
                return 0
            if (part.resale_rule or kind.resale_rule) is ResaleRule.STRAIGHT_LINE:
                share = share * (lasts - shop.years) / lasts
        return cents(cents(price * share) / (1 + shop.money.discount_rate) ** shop.years)

    def unit(self, offer: Offer, need: Need) -> Pair:
        """Worth and cash of one piece, without the price of a pack."""
        kind = self.facts.kinds[need.spec.kind]
        supplier = self.suppliers[offer.supplier]
        pack, price = self.pack(offer), self.price(offer, need.length_ft or 1)
        goods = 0 if pack else cents(price)
        tax = cents(goods * supplier.tax)
        cut = cents(supplier.cut_charge_cents) if need.length_ft and not pack else 0
        risk = inspection = 0
        if offer.condition in (Condition.USED, Condition.NEW_OLD_STOCK):
            reject = kind.reject.get(offer.condition, Decimal(0))
            risk = cents(price * (1 + supplier.tax) * reject / (1 - reject)) + cents(
                cut * reject / (1 - reject)
            )
            inspection = cents(kind.inspect_hours / (1 - reject) * self.owner_rate)
        back = 0 if pack else self.back(offer, price, need.share)
        return goods + tax + cut + risk + inspection - back, goods + tax + cut

    def ways(self, demand: Counter[Need]) -> list[Pair]:
        """Worth and cash of every purchase worth considering; empty when the needs cannot be met."""
        key = tuple(sorted(demand.items()))
        if key not in self.memo:
            self.memo[key] = self._search(key)
        return self.memo[key]

    def _search(self, demand: tuple[tuple[Need, int], ...]) -> list[Pair]:
        states: dict[tuple[tuple[int, tuple[int, ...]], ...], set[Pair]] = {(): {(0, 0)}}
        by_row = {offer.row: offer for offer in self.facts.catalog.offers}
        for need, count in demand:
            offers = self.offers(need)
            units = {offer.row: self.unit(offer, need) for offer in offers}
            following: dict[tuple[tuple[int, tuple[int, ...]], ...], set[Pair]] = {}
            for counts in compositions(count, len(offers)):
                worth = sum(n * units[offer.row][0] for n, offer in zip(counts, offers, strict=True))
                cash = sum(n * units[offer.row][1] for n, offer in zip(counts, offers, strict=True))
                for taken, pairs in states.items():
                    book = dict(taken)
                    for n, offer in zip(counts, offers, strict=True):
                        if n and not self.free(offer):
                            book[offer.row] = tuple(
                                sorted(book.get(offer.row, ()) + (need.length_ft or 1,) * n)
                            )
                    if all(self._enough(by_row[row], pieces) for row, pieces in book.items()):
                        key = tuple(sorted(book.items()))
                        following.setdefault(key, set()).update((w + worth, c + cash) for w, c in pairs)
            states = {key: set(frontier(pairs)) for key, pairs in following.items()}
        result: set[Pair] = set()
        for taken, pairs in states.items():
            fees, back = self._packs_and_fees(dict(taken))
            result |= {(worth + fees - back, cash + fees) for worth, cash in pairs}
        return frontier(result)

    def _enough(self, offer: Offer, pieces: tuple[int, ...]) -> bool:
        if offer.available is None:
            return True
        if self.pack(offer):
            return self._packs(offer, pieces) <= offer.available
        return sum(pieces) <= offer.available

    def _packs(self, offer: Offer, pieces: tuple[int, ...]) -> int:
        if offer.piece_length_ft is not None:
            return fewest_bins(pieces, self.pack(offer))
        return -(-sum(pieces) // self.pack(offer))

    def _pack_resale(self, offer: Offer) -> int:
        """What a whole pack fetches at the end, today."""
        assert offer.price_cents is not None
        return self.back(offer, Decimal(cents(offer.price_cents)), Decimal(1))

    def _packs_and_fees(self, taken: dict[int, tuple[int, ...]]) -> Pair:
        """Prices of packs with their tax and the suppliers' fees; and what the packs fetch at the end."""
        goods: Counter[str] = Counter()
        total = back = 0
        used: set[str] = set()
        for offer in self.facts.catalog.offers:
            pieces = taken.get(offer.row, ())
            if not pieces:
                continue
            assert offer.price_cents is not None
            used.add(offer.supplier)
            if self.pack(offer):
                count = self._packs(offer, pieces)
                back += count * self._pack_resale(offer)
                goods[offer.supplier] += count * cents(offer.price_cents)
                total += count * (
                    cents(offer.price_cents) + cents(offer.price_cents * self.suppliers[offer.supplier].tax)
                )
            else:
                goods[offer.supplier] += sum(cents(self.price(offer, units)) for units in pieces)
        for name in used:
            supplier = self.suppliers[name]
            free = supplier.free_over_cents is not None and goods[name] >= supplier.free_over_cents
            total += cents(supplier.order_fee_cents) + (0 if free else cents(supplier.delivery_cents))
            total += max(cents(supplier.minimum_cents) - goods[name], 0)
        return total, back


def compositions(total: int, parts: int) -> Iterator[tuple[int, ...]]:
    """All ways to split a count among so many offers."""
    if parts == 0:
        if total == 0:
            yield ()
        return
    if parts == 1:
        yield (total,)
        return
    for first in range(total + 1):
        for rest in compositions(total - first, parts - 1):
            yield (first, *rest)


def fewest_bins(pieces: tuple[int, ...], length: int) -> int:
    """The fewest reels that the pieces can be cut from, by trying everything."""

    def fit(left: tuple[int, ...], bins: tuple[int, ...]) -> bool:
        if not left:
            return True
        piece, rest = left[-1], left[:-1]
        tried = set()
        for i, room in enumerate(bins):
            if room >= piece and room not in tried:
                tried.add(room)
                if fit(rest, (*bins[:i], room - piece, *bins[i + 1 :])):
                    return True
        return False

    count = -(-sum(pieces) // length)
    while not fit(tuple(sorted(pieces)), (length,) * count):
        count += 1
    return count


# stock ------------------------------------------------------------------------------------------------

Years = tuple[int, ...]


@dataclass(frozen=True)
class Shelved:
    """A part that lies on the shelf, as the files describe it; `life` is None when it is never worn out."""

    kind: str
    words: tuple[tuple[str, Attribute], ...]
    length_ft: int
    life: int | None

    def serves(self, asked: Item) -> bool:
        """Whether the part itself meets what is asked; a shelf is in the first building."""
        if asked.spec.tie.building > 0:
            return False
        spec = Spec(asked.spec.kind, asked.spec.equal, asked.spec.at_least, asked.spec.at_most)
        part = Part.model_construct(kind=self.kind, attributes=dict(self.words))
        return self.length_ft >= asked.length_ft and spec.met_by(part)


@dataclass(frozen=True)
class Worn:
    """When each wearing part of a thing is worn out, and how long one like it lasts."""

    due: Years = ()
    lives: Years = ()


@dataclass(frozen=True)
class Piece:
    """One thing in stock: when it was set free, its wear, and what comes of it when nobody ever uses it.

    `worn` is None for what is as good as new when it is used. `live` says that it was decided to leave it as it
    is for somebody who comes later; `left_in` is the visit of the move that left it.
    """

    date: Date
    thing: Item | Shelved
    worn: Worn | None = None
    unused: Bundle = NOTHING
    freed: tuple[tuple[Item, Worn | None], ...] = ()
    panel: str = ""
    poles: int = 0
    taken_out: Bundle = NOTHING
    stays: bool = False
    live: bool = False
    left_in: tuple[object, ...] = ()
    breaker: Item | None = None
    idle: bool = False
    counted: bool = False

    @property
    def stays_live(self) -> bool:
        """Whether it is an outlet that nobody makes safe, so that its breaker keeps its poles."""
        made = isinstance(self.thing, Item) and self.thing.spec.kind == "outlet"
        return made and self.stays and bool(self.panel)

    def capped(self) -> "Piece":
        """What is left of an outlet made safe: a run that serves nobody, until the landlord has it taken out."""
        assert isinstance(self.thing, Item)
        thing = replace(self.thing, spec=replace(self.thing.spec, kind="made safe"))
        return Piece(self.date, thing, taken_out=self.taken_out)

    @property
    def comes_apart(self) -> bool:
        """Whether something is done to it when nobody uses it again."""
        return bool(self.unused or self.freed)


def piece_of(number: int, date: Date, left: Return, worn: Worn | None) -> Piece:
    """What a machine sets free; a breaker that comes out of an outlet is as worn as it was in it."""
    item = replace(left.item, due=(), lives=(), left_in=())
    breaker = worn if item.spec.kind == Made.BREAKER_OF_OUTLET else None
    freed = tuple((part, breaker) for part in left.freed)
    left_in = (number, *left.item.left_in) if left.item.left_in else ()
    return Piece(
        date,
        item,
        worn,
        left.unused,
        freed,
        left.panel,
        left.poles,
        left.taken_out,
        left.stays,
        left_in=left_in,
        breaker=left.breaker,
    )


class Aging:
    """How long things last and what replacing their parts takes, from the lives that the files say."""

    def __init__(self, facts: Facts) -> None:
        self.facts, self.horizon = facts, facts.shop.years
        self.offered = {offer.part for offer in facts.catalog.offers}

    def choices(self, wear: Wear) -> list[int]:
        """How long the parts offered for it last."""
        if wear.need is None:
            return [wear.years]
        parts = [p for p in self.facts.catalog.parts if p.id in self.offered and wear.need.spec.met_by(p)]
        return sorted({life_within(self.facts, part, wear.need.share) for part in parts})

    def again(self, wear: Wear, life: int, year: int) -> int:
        """When a part put in at the end of a year is worn out."""
        if wear.need is None or life == OUTLASTS:
            return year + life
        return year + years_in_use(life, wear.need.share)

    def new(self, use: Use, lives: Years) -> Worn:
        """The wear of a thing bought for a use."""
        wears = zip(use.thing.wears, lives, strict=True)
        return Worn(tuple(self.again(wear, life, use.since[0]) for wear, life in wears), lives)

    def unknown(self, use: Use) -> Worn:
        """The wear of a thing that is there and counts as new: of the kind that lasts the shortest."""
        return self.new(use, tuple(self.choices(wear)[0] for wear in use.thing.wears))

    def reused(self, piece: Piece, use: Use) -> Worn | None:
        """The wear of a thing from stock in its new use; None when it is worn out and serves nobody."""
        if isinstance(piece.thing, Shelved):
            worn = self._from_shelf(piece.thing, use)
        elif piece.worn is not None and piece.date[0] == 0:
            worn = self._from_today_on(piece.worn, use)
        elif piece.worn is not None and not use.thing.wears:
            return Worn() if all(year > use.since[0] for year in piece.worn.due) else None
        else:
            worn = piece.worn or self.unknown(use)
        good = len(worn.due) == len(use.thing.wears) and all(year > use.since[0] for year in worn.due)
        return worn if good else None

    def _from_today_on(self, worn: Worn, use: Use) -> Worn:
        """What changes hands today is new today, and wears as it does at the machine that it goes to."""
        if not use.thing.wears:
            return Worn()
        if len(worn.lives) != len(use.thing.wears):
            return worn
        wears = zip(use.thing.wears, worn.lives, strict=True)
        return Worn(tuple(self.again(wear, life, 0) for wear, life in wears), worn.lives)

    def _from_shelf(self, thing: Shelved, use: Use) -> Worn:
        """What lies on the shelf is new today, and lasts as long as that very part does at the machine."""
        due, lives = [], []
        for wear in use.thing.wears:
            share = wear.need.share if wear.need is not None else Decimal(1)
            within = thing.life is not None and years_in_use(thing.life, share) < self.horizon
            lives.append(thing.life if within and thing.life is not None else OUTLASTS)
            due.append(years_in_use(lives[-1], share) if within else OUTLASTS)
        return Worn(tuple(due), tuple(lives))

    def lived(
        self, number: int, use: Use, scenario: str, worn: Worn
    ) -> tuple[list[tuple[int, Bundle]], list[Piece]]:
        """What replacing its parts and its take-out take in a scenario, and what is set free of it, its parts or the whole.

        Nothing is replaced in the last year, nor in the year in which the thing is given up or the part taken out.
        """
        end = dict(use.ends)[scenario]
        until = self.horizon if end is None else min(end.date[0], self.horizon)
        parted = {left.item.spec.kind: (date, left) for of, date, left in use.parted if of == scenario}
        due, freed = [], []
        paid = [(out.year, out.bundle) for out in use.taken_out if out.scenario == scenario]
        for wear, first, life in zip(use.thing.wears, worn.due, worn.lives, strict=True):
            kind = wear.need.spec.kind if wear.need is not None else ""
            date, left = parted.pop(kind, ((until, 0), None))
            year = first
            while year < min(until, date[0]):
                paid.append((year, self._at(use, scenario, year, wear.replaced(life))))
                year = self.again(wear, life, year)
            if left is not None:
                if kind == "breaker":
                    freed.append(piece_of(number, date, left, Worn((year,), (life,))))
                # the part put in then is taken to last as long as the one taken out
                year = self.again(wear, life, date[0])
            due.append(year)
        within = {thing.item.spec.kind for thing in (*use.thing.inner, *use.thing.along) if thing.wears}
        freed += [
            piece_of(number, date, left, None)
            for kind, (date, left) in parted.items()
            if kind == "breaker" and kind not in within
        ]
        if end is not None and end.left is not None:
            freed.append(piece_of(number, end.date, end.left, Worn(tuple(due), worn.lives) if due else None))
        return paid, freed

    def _at(self, use: Use, scenario: str, year: int, bundle: Bundle) -> Bundle:
        """The work where the thing is in that year."""
        slowed = [by for of, date, by in use.places if of == scenario and date[0] <= year]
        if not slowed:
            return bundle
        work = tuple(replace(done, slowed=slowed[-1]) if done.hours is None else done for done in bundle.work)
        return Bundle(bundle.needs, work, bundle.charges)


def shelved(facts: Facts) -> list[tuple[Piece, ...]]:
    """Everything on the shelf one by one; a cord with ends is its cable and its ends together."""
    offered = {offer.part for offer in facts.catalog.offers}
    found = []
    for stored in facts.shop.shelf:
        part = facts.parts[stored.part]
        words = tuple(part.attributes.items())
        things = [Shelved(part.kind, words, int(stored.length_ft or 0), life_of(facts, part))]
        for kind, end in (("plug", stored.plug), ("connector", stored.connector)):
            if end is not None:
                spec = Spec(kind, (("configuration", end),))
                like = [p for p in facts.catalog.parts if p.id in offered and spec.met_by(p)]
                known = [life for part in like if (life := life_of(facts, part)) is not None]
                things.append(Shelved(kind, (("configuration", end),), 0, min(known, default=None)))
        found += [tuple(Piece((0, 0), thing) for thing in things)] * stored.count
    return found


def inner_of(use: Use) -> list[Use]:
    """What a thing asks for when it is bought; it stays with the thing."""
    return [_within(use, thing) for thing in use.thing.inner]


def along_of(use: Use) -> list[Use]:
    """What is had with a thing that is taken from stock."""
    return [_within(use, thing) for thing in use.thing.along]


def _within(use: Use, thing: StockNeed) -> Use:
    """Something that wears within a thing: set free with it, or taken out of it before."""
    ends = []
    for name, end in use.ends:
        inner = end.left.inner[:1] if end is not None and end.left is not None and thing.wears else ()
        ends.append((name, None if end is None else replace(end, left=inner[0] if inner else None)))
    parted = tuple(entry for entry in use.parted if thing.wears and entry[2].item.spec.kind == "breaker")
    return replace(use, thing=thing, ends=tuple(ends), parted=parted, places=(), taken_out=())


def bought_for(use: Use, lives: Years) -> Bundle:
    """What buying a thing takes when its parts are to last so long."""
    lasting = {
        wear.need: replace(wear.need, lasts=life)
        for wear, life in zip(use.thing.wears, lives, strict=True)
        if wear.need is not None
    }
    bought = use.thing.bought
    return Bundle(tuple(lasting.get(need, need) for need in bought.needs), bought.work, bought.charges)


# the years of one scenario, or today ------------------------------------------------------------------

Visitor = tuple[object, ...]
"""Whose visit it is where every move has its own; empty for the visit of the year."""
Paid = tuple[int, Bundle, Visitor]
"""A year, what is spent in it, and the visit it belongs to."""
Wait = tuple[str, int, int]
"""A panel, a year, and the poles that an outlet takes there while it waits."""


@dataclass(frozen=True)
class State:
    """Decisions made so far: what is in stock, what waits, what was spent (today: all of it, later: its sum)."""

    pieces: tuple[Piece, ...]
    cords: tuple[tuple[Piece, ...], ...] = ()
    to_serve: tuple[tuple[int, Use], ...] = ()
    spent: tuple[tuple[Bundle, Visitor], ...] = ()
    running: tuple[tuple[int, Use, Worn], ...] = ()
    shared: frozenset[Use] = frozenset()
    spared: tuple[tuple[str, int], ...] = ()
    waits: tuple[Wait, ...] = ()
    calls: frozenset[tuple[int, Call | Stop | Once, Visitor]] = frozenset()
    labor: tuple[tuple[tuple[int, Visitor], int], ...] = ()
    """Of the hired crew by year and visit, where a visit has a least charge."""
    worth: int = 0

    def with_labor(
        self, year: int, visitor: Visitor, cents: int, least: int
    ) -> tuple[tuple[tuple[int, Visitor], int], ...]:
        """The labor with more of it; in the visit of the year more than the least charge makes no difference."""
        if not cents or not least:
            return self.labor
        known = dict(self.labor)
        more = known.get((year, visitor), 0) + cents
        return tuple(
            sorted((known | {(year, visitor): more if visitor else min(more, least)}).items(), key=str)
        )

    def without(self, piece: Piece) -> "State":
        left = list(self.pieces)
        left.remove(piece)
        return replace(self, pieces=tuple(left))

    def plus(self, *pieces: Piece) -> "State":
        return replace(self, pieces=tuple(sorted((*self.pieces, *pieces), key=hash)))


class Search:
    """Every way of serving what one combination of ways asks for, today or in one scenario."""

    def __init__(self, aging: Aging, scenario: str, combination: Combination, each_move: bool) -> None:
        self.aging, self.scenario, self.each_move = aging, scenario, each_move
        self.combination = combination
        self.asked = [
            (number, use)
            for number, option in enumerate(combination)
            for use in option.stream.uses
            if use.scenario == scenario
        ]
        self.asked.sort(key=lambda entry: entry[1].since)
        self.wanted = [
            (asked.since, asked.thing)
            for option in combination
            for use in option.stream.uses
            if (not scenario or use.scenario == scenario) and not use.present
            for asked in (use, *inner_of(use), *along_of(use), *(_within(use, end) for end in use.thing.ends))
        ]

    def visitor(self, number: int, use_trip: tuple[object, ...]) -> Visitor:
        """The visit of a move, of this very machine."""
        return (number, *use_trip) if use_trip and self.each_move else ()

    def of_use(self, piece: Piece) -> bool:
        """Whether anybody could ever use it."""
        if isinstance(piece.thing, Item) and piece.thing.spec.kind == "kit":
            return True
        return any(
            since >= piece.date and (piece.thing.serves(thing.item) or of_same_run(piece, thing))
            for since, thing in self.wanted
        )


class Tries:
    """The moves of the search over states: what one use may be served by, what becomes of a thing."""

    def __init__(self, search: Search, facts: Facts, pay: Callable[[State, Paid], State]) -> None:
        self.search, self.facts, self.pay = search, facts, pay
        self.aging, self.scenario = search.aging, search.scenario
        self.wiring_out = years_of_wiring_out(facts.shop)
        lease = facts.shop.building.lease
        self.capped_too = lease is not None and bool(lease.capped_too)

    def states(self, start: State) -> list[State]:
        """Every end of the search from a start."""
        search = self.search
        pending = list(start.pieces)
        states = self._settled([replace(start, pieces=())], pending)
        for number, use in search.asked:
            if use.present:
                states = [after for state in states for after in self._there(state, number, use)]
        for date in sorted({use.since for _, use in search.asked}):
            states = self._at(date, states)
        return self._ended(states)

    def _at(self, date: Date, states: list[State]) -> list[State]:
        uses = [(n, use) for n, use in self.search.asked if use.since == date and not use.present]
        # Of several pieces that one cord is cut into the longest may come first.
        uses.sort(key=lambda e: (e[1].thing.item.spec.kind != "outlet", -e[1].thing.item.length_ft))
        cords = self._on_whole_cords(uses, states)
        found: list[State] = []
        for served, after in cords.items():
            for number, use in uses:
                if (number, use) not in served:
                    after = self._merged(s for state in after for s in self._served(state, number, use))
            found += after
        return self._merged(state for one in found for state in self._ends_served(one))

    def _ends_served(self, state: State) -> list[State]:
        """What outlets ask for in turn is served once all of a date are there, so that ends can change places."""
        states = [replace(state, to_serve=())]
        for number, use in state.to_serve:
            states = self._merged(after for one in states for after in self._served(one, number, use))
        return states

    def _merged(self, states: Iterable[State]) -> list[State]:
        best: dict[State, int] = {}
        for state in states:
            key = replace(state, worth=0)
            best[key] = min(state.worth, best.get(key, state.worth))
        return [replace(state, worth=worth) for state, worth in best.items()]

    # what becomes of a thing

    def _settled(self, states: list[State], pieces: list[Piece]) -> list[State]:
        """Things set free: those that nobody could use are done with, the rest are left or done with."""
        for piece in pieces:
            following: list[State] = []
            if piece.stays_live and not piece.counted:
                states = [self._poles_changed(state, piece.date[0], piece, -1) for state in states]
                piece = replace(piece, counted=True)
            for state in states:
                useful = self.search.of_use(piece)
                if piece.live:
                    following.append(state.plus(piece))
                elif piece.comes_apart:
                    after = self.pay(state, (piece.date[0], piece.unused, piece.left_in))
                    inner = [Piece(piece.date, item, worn) for item, worn in piece.freed]
                    inner += [piece.capped()] if piece.taken_out and self.capped_too else []
                    following += self._settled([after], inner)
                    if useful:
                        following.append(state.plus(replace(piece, live=True)))
                elif useful or (piece.taken_out and (piece.stays or self.capped_too)):
                    following.append(state.plus(piece))
                else:
                    following.append(state)
            states = following
        return states

    def _there(self, state: State, number: int, use: Use) -> list[State]:
        """A thing that is there already counts as new, with what it holds."""
        states = [state]
        for known in (use, *inner_of(use)):
            worn = self.aging.unknown(known)
            states = [after for one in states for after in self._in_use(one, number, known, worn)]
        return states

    def _in_use(self, state: State, number: int, use: Use, worn: Worn) -> list[State]:
        """A thing is used from now on: in a scenario at once all that follows, today what is left for later."""
        if self.scenario:
            return self.followed(state, number, use, worn)
        pieces = self.aging.lived(number, use, use.ends[0][0], worn)[1] if use.ends else []
        running = tuple(sorted((*state.running, (number, use, worn)), key=hash))
        today = [piece for piece in pieces if piece.date[0] == 0]
        return self._settled([replace(state, running=running)], today)

    def followed(self, state: State, number: int, use: Use, worn: Worn) -> list[State]:
        """What replacing its parts takes, and what is set free of it."""
        paid, pieces = self.aging.lived(number, use, self.scenario, worn)
        for year, bundle in paid:
            state = self.pay(state, (year, bundle, ()))
        return self._settled([state], pieces)

    def _ended(self, states: list[State]) -> list[State]:
        """Nothing is left waiting for nobody; what stays as it is, or capped, is taken out with the lease."""
        found = []
        for state in states:
            if self.scenario:
                # what was left live is taken over by somebody, what was left so today in every scenario
                if any(piece.live for piece in state.pieces):
                    continue
                for piece in state.pieces:
                    year = self.wiring_out[self.scenario]
                    if year is not None and (piece.stays or self.capped_too):
                        state = self.pay(state, (year, piece.taken_out, ()))
                state = replace(state, pieces=())
            whole = tuple(cord for cord in state.cords if not Counter(cord) - Counter(state.pieces))
            found.append(replace(state, cords=whole))
        return self._merged(found)

    # how a use is served

    def _served(self, state: State, number: int, use: Use) -> list[State]:
        if use.thing.shared_by is not None:
            if use in state.shared and self.scenario:
                return [state]  # where the shop moved to nobody counts poles
            if use in state.shared:
                spec = use.thing.item.spec
                poles = int(dict(spec.equal)["poles"]) if spec.outlet is None else spec.outlet.poles
                spared = Counter(dict(state.spared))
                spared[use.thing.shared_by[1]] += poles
                return [replace(state, spared=tuple(sorted(spared.items())))]
            state = replace(state, shared=state.shared | {use})
        found = self._buy(state, number, use)
        found += self._with_other_ends(state, number, use)
        for piece in set(state.pieces):
            worn = self.aging.reused(piece, use) if piece.thing.serves(use.thing.item) else None
            if worn is None or piece.date > use.since:
                continue
            try:
                after = [self._taken(state, number, use, piece)]
                for along in along_of(use):
                    after = [s for one in after for s in self._served(one, number, along)]
                found += [s for one in after for s in self._in_use(one, number, use, worn)]
            except NoOfferError:
                continue
        return found

    def _with_other_ends(self, state: State, number: int, use: Use) -> list[State]:
        """Every run that is there and serves the use once its receptacle, its breaker or both are changed."""
        found: list[State] = []
        for piece in set(state.pieces):
            if piece.date > use.since or not of_same_run(piece, use.thing):
                continue
            good = self.aging.reused(piece, use) is not None
            receptacle, breaker = use.thing.ends
            changed = [
                end
                for end, differs in (
                    (receptacle, not good or not same_end(piece, use.thing)),
                    (breaker, bool(use.thing.along) or not same_breaker(piece, use.thing)),
                )
                if differs
            ]
            if not changed or (good and piece.thing.serves(use.thing.item)):
                continue
            after = self._taken(state, number, use, piece)
            put_in = tuple(
                (number, _within(use, self._plain(use, end) if end is receptacle else end)) for end in changed
            )
            after = replace(after, to_serve=(*after.to_serve, *put_in))
            states = [after]
            if breaker in changed and piece.breaker is not None:
                states = self._settled(states, [Piece(use.since, piece.breaker)])
            worn = self.aging.unknown(use) if receptacle in changed else self.aging.reused(piece, use)
            assert worn is not None
            found += [s for one in states for s in self._in_use(one, number, use, worn)]
        return found

    def _plain(self, use: Use, end: StockNeed) -> StockNeed:
        """A new receptacle of the kind that the outlet is taken to have: the shortest-lived that is offered."""
        lives = {w.need.spec: self.aging.choices(w)[0] for w in use.thing.wears if w.need is not None}
        needs = tuple(
            replace(need, lasts=lives[need.spec]) if need.spec in lives else need for need in end.bought.needs
        )
        return replace(end, bought=replace(end.bought, needs=needs))

    def _visitor(self, number: int, use: Use) -> Visitor:
        return self.search.visitor(number, use.trip)

    def _buy(self, state: State, number: int, use: Use) -> list[State]:
        found: list[State] = []
        if use.thing.found_only:
            return found
        for lives in product(*(self.aging.choices(wear) for wear in use.thing.wears)):
            bundle = bought_for(use, lives)
            try:
                after = [self.pay(state, (use.since[0], bundle, self._visitor(number, use)))]
                inside = tuple((number, inner) for inner in inner_of(use))
                after = [replace(one, to_serve=(*one.to_serve, *inside)) for one in after]
                worn = self.aging.new(use, lives)
                found += [s for one in after for s in self._in_use(one, number, use, worn)]
            except NoOfferError:
                continue
        return found

    def _taken(self, state: State, number: int, use: Use, piece: Piece) -> State:
        state = self.pay(state.without(piece), (use.since[0], use.thing.reused, self._visitor(number, use)))
        rest = piece.thing.length_ft - use.thing.item.length_ft
        if use.thing.item.length_ft and rest > 0:
            cut_off = replace(piece, date=use.since, thing=replace(piece.thing, length_ft=rest))
            (state,) = self._settled([state], [cut_off])
        waited = range(piece.date[0], use.since[0])
        if piece.idle or piece.stays_live:
            return self._poles_changed(state, use.since[0], piece, 1)
        if self.scenario and piece.panel:
            waits = tuple((piece.panel, year, piece.poles) for year in waited)
            state = replace(state, waits=tuple(sorted((*state.waits, *waits))))
        return state

    def _poles_changed(self, state: State, since: int, piece: Piece, sign: int) -> State:
        """Poles of an outlet that stays live, used or not: its machine's from when it is used, its own from when it is left."""
        if not self.scenario:
            spared = Counter(dict(state.spared))
            spared[piece.panel] += sign * piece.poles
            return replace(state, spared=tuple(sorted(spared.items())))
        years = range(since, self.aging.horizon + 1)
        waits = tuple((piece.panel, year, -sign * piece.poles) for year in years)
        return replace(state, waits=tuple(sorted((*state.waits, *waits))))

    def _on_whole_cords(
        self, uses: list[tuple[int, Use]], states: list[State]
    ) -> dict[tuple[tuple[int, Use], ...], list[State]]:
        """Machines that are hung on a cord as it is, with the states after; none at all is one."""
        triples = []
        for number in {number for number, _ in uses}:
            mine = [(n, use) for n, use in uses if n == number]
            triple = {use.thing.item.spec.kind: (n, use) for n, use in mine}
            if {"cord", "plug", "connector"} <= set(triple):
                triples.append(tuple(triple[kind] for kind in ("cord", "plug", "connector")))
                if "kit" in triple:
                    triples.append((*triples[-1], triple["kit"]))
        found: dict[tuple[tuple[int, Use], ...], list[State]] = {(): states}
        for triple in triples:
            for served, before in list(found.items()):
                if set(served) & set(triple):
                    continue
                after = [s for state in before for s in self._hung(state, triple)]
                if after:
                    found[(*served, *triple)] = self._merged(after)
        return found

    def _hung(self, state: State, triple: tuple[tuple[int, Use], ...]) -> list[State]:
        found: list[State] = []
        for whole in set(state.cords):
            cord = whole[: len(triple)]
            if len(cord) < len(triple) or Counter(cord) - Counter(state.pieces):
                continue
            if any(piece.date > use.since for (_, use), piece in zip(triple, cord, strict=True)):
                continue
            served = list(zip(triple, cord, strict=True))
            if not all(piece.thing.serves(use.thing.item) for (_, use), piece in served[:3]):
                continue
            if any(self.aging.reused(piece, use) is None for (_, use), piece in served[:3]):
                continue
            if not all(hangs_from(piece, use.thing) for (_, use), piece in served[3:]):
                continue
            left = list(state.cords)
            left.remove(whole)
            after = [replace(state, cords=tuple(left))]
            for (number, use), piece in zip(triple, cord, strict=True):
                worn = self.aging.reused(piece, use)
                assert worn is not None
                after = [s for one in after for s in self._in_use(one.without(piece), number, use, worn)]
            found += after
        return found


def of_same_run(piece: Piece, thing: StockNeed) -> bool:
    """Whether a piece is an outlet whose run, with other ends, would be what is asked for."""
    if not isinstance(piece.thing, Item) or piece.thing.spec.kind != "outlet" or not thing.ends:
        return False
    keys = (piece.thing.outlet, thing.item.outlet)
    spot = [(key.building, key.place, key.panel, key.run) for key in keys]
    awgs, conductors = zip(*[(wired(key).awg, wired(key).conductors) for key in keys], strict=True)
    return spot[0] == spot[1] and awgs[0] >= awgs[1] and conductors[0] >= conductors[1]


def wired(key: OutletKey) -> Wired:
    """What the outlet's wire and ends have."""
    assert key.wired is not None
    return key.wired


def same_end(piece: Piece, thing: StockNeed) -> bool:
    """Whether an outlet has the receptacle that is asked for, or a disconnect that is large enough."""
    assert isinstance(piece.thing, Item)
    there, asked = piece.thing.outlet, thing.item.outlet
    large = wired(there).disconnect_a >= wired(asked).disconnect_a
    protects = wired(there).protected_end or not wired(asked).protected_end
    return large and protects and there.end == asked.end


def same_breaker(piece: Piece, thing: StockNeed) -> bool:
    """Whether an outlet's breaker may stay."""
    assert isinstance(piece.thing, Item)
    there, asked = piece.thing.outlet, thing.item.outlet
    have, least = wired(there), wired(asked)
    return (
        there.poles == asked.poles
        and least.breaker_a <= have.breaker_a
        and have.breaker_most_a <= least.breaker_most_a
        and (have.protects or not least.protects)
    )


def hangs_from(kit: Piece, thing: StockNeed) -> bool:
    """Whether a cord's kit is of the kind that is asked for."""
    assert isinstance(kit.thing, Item)
    return kit.thing.spec.tie == thing.item.spec.tie


def idle_outlet(facts: Facts, outlet: Installed) -> Piece:
    """An outlet that is there and unused: its poles are taken already, and nobody makes it safe."""
    size = installed_size(outlet)
    place = f"beside {outlet.panel}" if outlet.method is Method.CORD else outlet.place
    amps = Decimal(size.breaker_a)
    has = Wired(awg_rank(size.awg), amps, amps, size.conductors, protects=True, protected_end=True)
    end, method = outlet.configuration, outlet.method
    item = Item(Spec("outlet", outlet=OutletKey(0, end, outlet.panel, place, size.poles, method, wired=has)))
    family = facts.panels[outlet.panel].breakers
    kind = {"family": family, "poles": str(size.poles), "ground_fault": "false"}
    rating = (("rating_a", Decimal(size.breaker_a)),)
    volts = Decimal(VOLTS[facts.panels[outlet.panel].system.value])
    least = (*rating, ("volts", volts))
    breaker = Item(Spec("breaker", tuple(sorted(kind.items())), least, rating, tie=Tie(building=0)))
    return Piece((0, 0), item, panel=outlet.panel, poles=size.poles, breaker=breaker, idle=True)


class Money:
    """What work and later parts cost by one way of hiring, and visits and permits added up here."""

    def __init__(self, pricer: Pricer, facts: Facts) -> None:
        self.pricer, self.facts = pricer, facts
        self.memo: dict[tuple[When, Bundle], tuple[int, int, int, frozenset[Call | Stop | Once]]] = {}
        self.least = pricer.hiring.crew.minimum_cents

    def of(self, when: When, bundle: Bundle) -> tuple[int, int, int, frozenset[Call | Stop | Once]]:
        """Worth, cash, of it hired labor, of a bundle without parts of today; and what it calls for."""
        key = (when, bundle)
        if key not in self.memo:
            today = when.year == 0
            lines = (
                self.pricer.effort(bundle, when, "", "") if today else self.pricer.later(bundle, when, "", "")
            )
            cash = [line for line in lines if line.pocket is Pocket.CASH]
            self.memo[key] = (
                sum(line.present_value_cents for line in lines),
                sum(line.amount_cents for line in cash),
                sum(line.amount_cents for line in cash if line.kind is LineKind.LABOR),
                self.pricer.calls(bundle, today=today),
            )
        return self.memo[key]

    def least_in(self, year: int) -> int:
        """The least labor of a visit in the money of a year."""
        return cents(self.least * (1 + self.facts.shop.money.growth.labor) ** year)

    def shorts(self, when: When, calls: "Calls", labor: Mapping[tuple[int, Visitor], int]) -> int:
        """Worth of what the visits of a later year are short of their least charge; those of one move are taken together."""
        if not self.least:
            return 0
        moves: dict[Visitor, set[Visitor]] = {}
        for visitor in {visitor for call, visitor in calls if call is Call.VISIT}:
            moves.setdefault(visitor[1:], set()).add(visitor)
        money, worth = self.facts.shop.money, 0
        least = self.least_in(when.year)
        for visitors in moves.values():
            worked = sum(labor.get((when.year, visitor), 0) for visitor in visitors)
            worked += self.visit(when, hired=True)[2] * len(visitors)
            for once in {(call, visitor) for call, visitor in calls if isinstance(call, Once)}:
                if once[0].hired and once[1] in visitors:
                    lines = self.pricer.once(when, once[0])
                    worked += sum(line.amount_cents for line in lines if line.kind is LineKind.LABOR)
            short = max(least * len(visitors) - worked, 0)
            worth += cents(short * when.weight / (1 + money.discount_rate) ** when.year)
        return worth

    def _once(self, when: When, exact: Decimal) -> Pair:
        """Worth and cash of something paid to people, in the money of its year."""
        money = self.facts.shop.money
        amount = cents(exact * (1 + money.growth.labor) ** when.year)
        return cents(amount * when.weight / (1 + money.discount_rate) ** when.year), amount

    def visit(self, when: When, *, hired: bool) -> tuple[int, int, int]:
        """Worth, cash and hired labor of a visit."""
        crew = self.pricer.hiring.crew if hired else self.facts.owner
        hours = crew.set_up_hours / crew.pace if hired else Decimal(0)
        call, set_up = self._once(when, crew.call_out_cents), self._once(when, hours * crew.rate_cents)
        return call[0] + set_up[0], call[1] + set_up[1], set_up[1]

    def permits(self, when: When, count: int, *, hired: bool, had: bool) -> Pair:
        """So many permits of one date; the first ever has its own price."""
        crew = self.pricer.hiring.crew if hired else self.facts.owner
        again = crew.permit_cents if crew.later_permit_cents is None else crew.later_permit_cents
        prices = [again] * count
        if count and not had:
            prices[0] = crew.permit_cents
        paid = [self._once(when, price) for price in prices]
        return sum(worth for worth, _ in paid), sum(cash for _, cash in paid)

    def called(self, when: When, calls: "Calls", had: "Had") -> tuple[int, int, int, "Had"]:
        """Worth, cash and hired labor of the visits and permits of one date; and which permits were had by then."""
        totals, now = [0, 0, 0], dict(had)
        for hired, visit, permit in (
            (True, Call.VISIT, Call.PERMIT),
            (False, Call.OWN_VISIT, Call.OWN_PERMIT),
        ):
            once = self.visit(when, hired=hired)
            visitors = {visitor if hired else () for call, visitor in calls if call is visit}
            totals = [have + len(visitors) * more for have, more in zip(totals, once, strict=True)]
            asking = {visitor if hired else () for call, visitor in calls if call is permit}
            worth, cash = self.permits(when, len(asking), hired=hired, had=had[hired])
            totals[0], totals[1] = totals[0] + worth, totals[1] + cash
            now[hired] = had[hired] or bool(asking)
        had_once = {
            (once, visitor if once.hired else ()) for once, visitor in calls if isinstance(once, Once)
        }
        for once, _ in had_once:
            lines = self.pricer.once(when, once)
            cash = [line for line in lines if line.pocket is Pocket.CASH]
            totals[0] += sum(line.present_value_cents for line in lines)
            totals[1] += sum(line.amount_cents for line in cash)
            totals[2] += sum(line.amount_cents for line in cash if line.kind is LineKind.LABOR)
        longest: dict[Visitor, Decimal] = {}
        for call, visitor in calls:
            if isinstance(call, Stop):
                longest[visitor] = max(call.hours, longest.get(visitor, call.hours))
        hour = self.facts.shop.money.shop_hour_cents
        discount = (1 + self.facts.shop.money.discount_rate) ** when.year
        totals[0] += sum(cents(cents(hours * hour) * when.weight / discount) for hours in longest.values())
        return totals[0], totals[1], totals[2], now


Calls = set[tuple[Call | Stop | Once, Visitor]]
Had = Mapping[bool, bool]
"""Whether the hired crew (True) and the owner (False) have had a permit."""


# what panels and services carry ------------------------------------------------------------------------


@dataclass(frozen=True)
class Stand:
    """A machine at one date: which of its name, the panel it hangs on, the poles it takes there, what it draws."""

    machine: str
    number: int
    panel: str
    poles: int
    va: int


@dataclass(frozen=True)
class PlainPanel:
    """A panel as the files describe it."""

    system: System
    spaces: int
    rating_a: Decimal | None
    fed_from: str
    other_a: Decimal


VOLTS = {"120/240 single-phase": 240, "120/208 three-phase": 208, "240 three-phase": 240}


def line_va(system: System, amps: Decimal) -> Decimal:
    """Volt-amperes of a line current."""
    return amps * VOLTS[system.value] * (Decimal(3).sqrt() if "three" in system.value else 1)


def up(value: Decimal) -> int:
    return int(value.to_integral_value(ROUND_CEILING))


def down(value: Decimal) -> int:
    return int(value.to_integral_value(ROUND_FLOOR))


THIN_WIRE_A = {"14": 15, "12": 20, "10": 30}
"""The largest breaker on thin copper wire, amperes (NFPA 70 240.4(D))."""


def fitted(pairs: list[tuple[int, int]], circuits: list[int]) -> bool:
    """Whether every pair of ratings finds two circuits of them, tried in every way."""
    if not pairs:
        return True
    for one, two in permutations(range(len(circuits)), 2):
        if (circuits[one], circuits[two]) == pairs[0]:
            rest = [amps for index, amps in enumerate(circuits) if index not in (one, two)]
            if fitted(pairs[1:], rest):
                return True
    return False


def rounding_a(system: System) -> Decimal:
    """What rounding may take up on three phases."""
    return Decimal(0) if system is System.SINGLE_120_240 else Decimal("0.02")


@dataclass(frozen=True)
class Hanging:
    """One machine on one limit: what it adds, its quarter as the largest motor, the converter it came through."""

    machine: str
    number: int
    va: int
    quarter: int
    converter: str
    on_lines: int


class PlainRules:
    """Room, ratings and demand, counted straight from the files; loads are rounded up and limits down."""

    def __init__(self, facts: Facts, candidates: Mapping[str, Candidate]) -> None:
        self.facts, self.candidates = facts, candidates
        self.gear: dict[str, Gear] = {name: found.gear for name, found in candidates.items()}
        self.service = facts.shop.service
        self.panels = {
            panel.name: PlainPanel(
                panel.system,
                panel.spaces_free + self._given_up(panel.name),
                panel.rating_a,
                panel.fed_from or SERVICE,
                panel.other_load_a,
            )
            for panel in facts.shop.panels
        }
        left = [gear for gear in self.gear.values() if gear.panel_part]
        while left:
            gear = left.pop(0)
            if gear.fed_from in self.gear and gear.fed_from not in self.panels:
                left.append(gear)
                continue
            self.panels[gear.name] = self._brought(gear)

    def _given_up(self, panel: str) -> int:
        """Poles that the machines' present circuits take, which the plan is free to use otherwise."""
        present = [machine.now for machine in self.facts.shop.machines if machine.now is not None]
        return sum(now.poles for now in present if now.panel == panel)

    def _brought(self, gear: Gear) -> PlainPanel:
        part = self.facts.parts[gear.panel_part or ""].attributes
        rating = Decimal(str(part["rating_a"]))
        if gear.kind is GearKind.CONVERTER:
            system = System.DELTA_240
        elif gear.kind is GearKind.UTILITY:
            assert gear.system is not None
            system = gear.system
            rating = min(rating, gear.amps_a or rating)
        elif gear.fed_from == SERVICE:
            system = self.service.system if self.service else System.SINGLE_120_240
        else:
            system = self.panels[gear.fed_from or ""].system
        return PlainPanel(system, int(str(part["spaces"])), rating, gear.fed_from or "", Decimal(0))

    # which gear, and when

    def most(self, name: str) -> int:
        """The most that may be put in; tandem breakers as many as the label allows."""
        gear = self.gear[name]
        if gear.kind is not GearKind.TANDEM or gear.installed:
            return 1
        panel = next(panel for panel in self.facts.shop.panels if panel.name == gear.panel)
        return min(gear.at_most, panel.tandems)

    def pairs_up(self, total: Mapping[str, int]) -> bool:
        """Whether the label allows so many tandem breakers together, and each half finds a circuit of its own."""
        wanted: dict[str, list[tuple[int, int]]] = {}
        for name, count in total.items():
            gear = self.gear[name]
            if isinstance(gear, TandemPair):
                wanted.setdefault(gear.panel or "", []).extend([gear.halves_a] * count)
        for panel in self.facts.shop.panels:
            pairs = wanted.get(panel.name, [])
            asked = next((g.at_most for g in self.gear.values() if g.panel == panel.name), 0)
            circuits = [
                int(alike.breaker_a or 0)
                for alike in panel.one_pole_circuits
                if (alike.test_button, alike.shared_neutral, alike.tied) == (False, False, False)
                and (alike.breaker_a or 0) <= THIN_WIRE_A.get(alike.awg or "", 0)
                for _ in range(alike.count)
            ]
            if len(pairs) > min(asked, panel.tandems) or not fitted(pairs, circuits):
                return False
        return True

    def counts(self) -> Iterator[dict[str, int]]:
        """Every choice of gear for today; what is installed is there."""
        sure = {name for name, gear in self.gear.items() if gear.installed or gear.kind is GearKind.MAIN}
        ranges = [[1] if name in sure else range(self.most(name) + 1) for name in self.gear]
        for chosen in product(*ranges):
            counts = {name: count for name, count in zip(self.gear, chosen, strict=True) if count}
            if self.pairs_up(counts):
                yield counts

    def later_counts(self, today: Have, years: list[int]) -> Iterator[dict[tuple[str, int], int]]:
        """Every choice of gear for later years, beside that of today."""
        open_years = [
            (name, year) for name, gear in self.gear.items() if not gear.installed for year in years
        ]
        ranges = [range(self.most(name) - today.get(name, 0) + 1) for name, _ in open_years]
        for chosen in product(*ranges):
            dated = {key: count for key, count in zip(open_years, chosen, strict=True) if count}
            total = Counter(today)
            for (name, _), count in dated.items():
                total[name] += count
            upgrades = sum(1 for name in total if self.gear[name].kind is GearKind.UPGRADE)
            few = all(count <= self.most(name) for name, count in total.items())
            if upgrades <= 1 and few and self.pairs_up(total):
                yield dated

    def paid(self, name: str, bought: int, moves: list[int]) -> list[tuple[int, Bundle]]:
        """What one costs in later years: put in, run each year after, put in again in a move, renewed when worn."""
        found, horizon = self.candidates[name], self.facts.shop.years
        paid = [(bought, found.bundle)] if bought else []
        for year in range(bought + 1, horizon + 1):
            paid.append((year, found.yearly))
            if year in moves:
                paid.append((year, found.again))
            if found.life_years and (year - bought) % found.life_years == 0 and year != horizon:
                paid.append((year, found.renewed))
            due = found.overhauled_every
            if due and (year - bought) % due == 0 and year != horizon:
                paid.append((year, found.overhauled))
        return paid

    # whether it holds

    def all_there(self, stands: list[Stand], have: Have) -> bool:
        """Whether every panel that is used or feeds gear is there."""
        asked = {stand.panel for stand in stands}
        asked |= {self.gear[name].fed_from or "" for name, count in have.items() if count}
        return all(have.get(name, 0) > 0 for name in asked if name in self.gear)

    def large_enough(self, stands: list[Stand], have: Have, spared: Mapping[str, int]) -> bool:
        """Whether panels have the room, and panels, converters and the service carry the load."""
        there = [name for name in self.panels if name not in self.gear or have.get(name)]
        for name in there:
            taken = sum(stand.poles for stand in stands if stand.panel == name) - spared.get(name, 0)
            taken += sum(self._poles(gear, name) * have.get(gear, 0) for gear in self.gear)
            if taken > self.panels[name].spaces:
                return False
        return self._carry(stands, have)

    def _carry(self, stands: list[Stand], have: Have) -> bool:
        on: dict[str, list[Hanging]] = {}
        for stand in stands:
            for limit, factor, converter in self._above(stand.panel):
                known = self._measured_va(stand.machine) if limit == SERVICE else 0
                most = self._plate_va(converter) if converter else None
                added = max(up(stand.va * factor) - known, 0)
                quarter = up(Decimal(added) / 4)
                if most is not None:
                    added = min(added, most)
                    quarter = min(up(Decimal(added) / 4), most - added)
                if added:
                    lines = self._lines_of(limit)
                    on_lines = lines if converter else min(stand.poles, lines)
                    if on_lines < lines:
                        added = up(added * self._amperes_of_a_line(limit, on_lines))
                        quarter = up(Decimal(added) / 4)
                    quarter *= self.facts.machines[stand.machine].motor
                    hanging = Hanging(stand.machine, stand.number, added, quarter, converter, on_lines)
                    on.setdefault(limit, []).append(hanging)
        idle: dict[str, dict[str, int]] = {}
        for name, gear in self.gear.items():
            if gear.kind is GearKind.CONVERTER and have.get(name):
                idle_w = Decimal(str(self.facts.parts[gear.part or ""].attributes["idle_w"]))
                for limit, _, _ in self._above(gear.fed_from or ""):
                    idle.setdefault(limit, {})[name] = up(idle_w)
        limits = self._limits(have)
        return all(
            limit not in limits
            or self._demand(limit, on.get(limit, []), idle.get(limit, {}), have) <= limits[limit]
            for limit in {*on, *idle}
        )

    def _lines_of(self, limit: str) -> int:
        if limit == SERVICE:
            system = self.service.system if self.service else System.SINGLE_120_240
        else:
            system = self.panels[limit.removeprefix("converter ")].system
        return 2 if system is System.SINGLE_120_240 else 3

    def _amperes_of_a_line(self, limit: str, on_lines: int) -> Decimal:
        """A line has all amperes of a load on it: what that is as if every line had them, for a volt-ampere."""
        if self._lines_of(limit) == 2:
            return Decimal(2)
        to_neutral = 120 if on_lines == 1 else 208
        return line_va(System.WYE_120_208, Decimal(1)) / to_neutral

    def _plate_va(self, converter: str) -> int:
        """All that a converter takes, by the input current on its plate."""
        part = self.facts.parts[self.gear[converter].part or ""].attributes
        return up(Decimal(str(part["input_a"])) * Decimal(str(part["volts"])))

    def _poles(self, name: str, panel: str) -> int:
        gear = self.gear[name]
        if gear.installed:
            return 0
        if gear.kind is GearKind.TANDEM:
            return -1 if gear.panel == panel else 0
        if gear.fed_from != panel:
            return 0
        three = gear.kind is GearKind.SUBPANEL and "three" in self.panels[panel].system.value
        return 3 if three else 2

    def _measured_va(self, machine: str) -> int:
        """What the measured peak has of a machine: all that its nameplate says."""
        entry = self.facts.machines[machine]
        if self.service is None or self.service.measured_peak is None or not entry.in_measured_peak:
            return 0
        load = load_of(entry)
        return up(draw_va(load, load_current_a(load)[0]) * (Decimal("1.25") if self._lasting(machine) else 1))

    def _lasting(self, machine: str) -> bool:
        """Whether it counts at 125 % on feeders and service: continuous, no motor and no welder (215.2, 230.42)."""
        load = load_of(self.facts.machines[machine])
        return load.continuous and "weld" not in load.kind.value and not load.motor

    def _above(self, panel: str) -> list[tuple[str, Decimal, str]]:
        """What a load passes on its way to the street, what a converter's losses make of it, and that converter."""
        passed, factor, converter = [], Decimal(1), ""
        while panel != SERVICE:
            gear = self.gear.get(panel)
            passed.append((panel, factor, converter))
            if gear is not None and gear.kind is GearKind.CONVERTER:
                passed.append((f"converter {panel}", factor, converter))
                converter = panel
                factor /= Decimal(str(self.facts.parts[gear.part or ""].attributes["efficiency"]))
            if gear is not None and gear.kind is GearKind.UTILITY:
                return passed
            panel = self.panels[panel].fed_from
        return [*passed, (SERVICE, factor, converter)]

    def _limits(self, have: Have) -> dict[str, int]:
        """Volt-amperes left on everything that is there."""
        left = {}
        if self.service is not None:
            amps = [self.service.amps_a] + [self.gear[name].to_a or Decimal(0) for name in have if have[name]]
            fuses = [gear.amps_a for gear in self.gear.values() if gear.kind is GearKind.MAIN]
            peak = self.service.measured_peak
            taken_a = peak.amps_a * Decimal("1.25") if peak else self.service.other_load_a
            system = self.service.system
            left[SERVICE] = down(
                line_va(system, min([max(amps), *(fuse for fuse in fuses if fuse)]) + rounding_a(system))
            ) - up(line_va(system, taken_a))
        for name, panel in self.panels.items():
            gear = self.gear.get(name)
            if panel.rating_a is not None:
                left[name] = down(line_va(panel.system, panel.rating_a + rounding_a(panel.system))) - up(
                    line_va(panel.system, panel.other_a)
                )
            if gear is not None and gear.kind is GearKind.CONVERTER:
                output_a = Decimal(str(self.facts.parts[gear.part or ""].attributes["output_a"]))
                left[f"converter {name}"] = down(line_va(panel.system, output_a + rounding_a(panel.system)))
        return left

    def _demand(self, limit: str, loads: list[Hanging], idle: dict[str, int], have: Have) -> int:
        """The worst line when one-pole circuits are put on lines in the best of all ways, each of which is tried."""
        lines = self._lines_of(limit)
        choices = [list(combinations(range(lines), hanging.on_lines)) for hanging in loads]
        return min(
            max(
                self._on_line(
                    [h for h, on in zip(loads, chosen, strict=True) if line in on],
                    limit,
                    idle,
                    have,
                )
                for line in range(lines)
            )
            for chosen in product(*choices)
        )

    def _on_line(self, loads: list[Hanging], limit: str, idle: dict[str, int], have: Have) -> int:
        """The heaviest set that may run at once (220.60), whichever of its motors is the largest (430.24)."""
        machines = self.facts.machines
        sets = self.service.at_once if self.service and self.service.at_once else [[]]
        named = {
            name
            for names in sets
            for name in names
            if not (machines[name].starts_by_itself or machines[name].unattended)
        }
        found = []
        for names in sets:
            running = [h for h in loads if h.machine not in named or h.machine in names]
            for starter in [None, *(h for h in running if h.quarter)]:
                found.append(self._together(running, starter, limit, idle, have))
        return max(found)

    def _together(
        self, loads: list[Hanging], starter: Hanging | None, limit: str, idle: dict[str, int], have: Have
    ) -> int:
        total = 0
        for allowed, members in self._promised():
            those = sorted(h.va for h in loads if h.machine in members)
            total += sum(those[-allowed:])
        plain = [h for h in loads if not self._in_a_promise(h.machine)]
        total += sum(h.va for h in plain) + sum(idle.values()) + (starter.quarter if starter else 0)
        holders: list[tuple[set[int], int]] = []
        for name, gear in self.gear.items():
            if not have.get(name):
                continue
            if limit == SERVICE and gear.kind is GearKind.MANAGER:
                assert self.service is not None
                held = [h for h in plain if h.machine in (gear.machines or ())]
                held_a = gear.holds_to_a or Decimal(0)
                if any(self._lasting(machine) for machine in gear.machines or ()):
                    held_a *= Decimal("1.25")
                most = down(line_va(self.service.system, held_a))
                holders.append(({h.number for h in held}, sum(h.va for h in held) - most))
            if gear.kind is GearKind.CONVERTER and limit in {
                above for above, _, _ in self._above(gear.fed_from or "")
            }:
                held = [h for h in plain if h.converter == name]
                more = idle.get(name, 0)
                if starter is not None and starter.converter == name:
                    more += starter.quarter
                holders.append(
                    ({h.number for h in held}, sum(h.va for h in held) + more - self._plate_va(name))
                )
        return total - max(
            sum(max(off, 0) for _, off in chosen)
            for size in range(len(holders) + 1)
            for chosen in combinations(holders, size)
            if all(not one & other for (one, _), (other, _) in combinations(chosen, 2))
        )

    def _promised(self) -> list[tuple[int, set[str]]]:
        """How many of which machines ever run at once; none of those that start by themselves."""
        machines = self.facts.machines
        words = {m.takes_turns for m in machines.values() if m.takes_turns is not None}
        found = [
            (1, {name for name, m in machines.items() if m.takes_turns == word}) for word in sorted(words)
        ]
        if self.service is not None:
            found += [(most.count, set(most.of)) for most in self.service.at_most]
        own = {name for name, m in machines.items() if m.starts_by_itself or m.unattended}
        return [(count, members - own) for count, members in found]

    def _in_a_promise(self, machine: str) -> bool:
        return any(machine in members for _, members in self._promised())


# the whole choice -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Row:
    """One end of the search of a scenario: what it costs, whom it calls, what waits in which panel, who works how much."""

    worth: int
    calls: frozenset[tuple[int, Call | Stop | Once, Visitor]]
    waits: tuple[Wait, ...]
    labor: tuple[tuple[tuple[int, Visitor], int], ...]


@dataclass
class Memory:
    """What is known of one combination of ways, so that nothing is worked out twice."""

    combination: Combination
    rows: dict[object, list[Row]] = field(default_factory=dict)
    called: dict[object, int] = field(default_factory=dict)
    holds: dict[object, bool] = field(default_factory=dict)


class SecondOpinion:
    """The cheapest plan of every kind, found by trying everything."""

    def __init__(self, bench: Bench, rule: SurplusRule) -> None:
        self.bench, self.facts = bench, bench.facts
        self.scenarios = {scenario.name: scenario for scenario in bench.priced_survey.scenarios}
        self.buying = Buying(bench.facts, rule)
        self.aging = Aging(bench.facts)
        self.cap = bench.facts.shop.money.outlay_cap_cents
        self.rules = PlainRules(bench.facts, {gear.name: gear for gear in bench.priced_survey.gear})
        self.years = {name: bench.priced_survey.change_years(name) for name in self.scenarios}
        self.each_move = bench.facts.shop.hired_visits is VisitRule.EACH_MOVE
        self.money = [Money(pricer, bench.facts) for pricer in bench.pricers]

    def by_plan(self) -> dict[Called, int]:
        """Least present value of every plan as a person calls it, in cents."""
        best: dict[Called, int] = {}
        options = self.bench.open_options()
        groups = [
            combinations_with_replacement(found, found[0].count) if found else ()
            for found in options.values()
        ]
        for chosen in product(*groups):
            combination = tuple(option for group in chosen for option in group)
            kinds = frozenset(
                (name, frozenset(Counter(option.way.signature for option in group).items()))
                for name, group in zip(options, chosen, strict=True)
            )
            for used, cost in self.of(combination).items():
                best[kinds, used] = min(cost, best.get((kinds, used), cost))
        return best

    def of(self, combination: Combination) -> dict[frozenset[str], int]:
        """The least cost of one way for each single machine, by the gear that is ever put in."""
        best: dict[frozenset[str], int] = {}
        first = self._today(combination)
        for money in self.money:
            memory = Memory(combination)
            for have in self.rules.counts():
                for state in first:
                    for used, cost in self._cost(money, memory, state, have).items():
                        best[used] = min(cost, best.get(used, cost))
        return best

    # today

    def _today(self, combination: Combination) -> list[State]:
        search = Search(self.aging, "", combination, self.each_move)
        things = shelved(self.facts)
        pieces = [piece for group in things for piece in group]
        spent: list[tuple[Bundle, Visitor]] = []
        for number, option in enumerate(combination):
            for deed in option.stream.deeds:
                if not deed.scenario:
                    spent.append((deed.bundle, search.visitor(number, deed.trip)))
            for given in option.stream.given:
                if not given.scenario:
                    pieces.append(piece_of(number, given.date, given.left, None))
        cords = [group for group in things if len(group) == 3]
        for number, option in enumerate(combination):
            cords += self._given_up(number, option)
        pieces += [idle_outlet(self.facts, outlet) for outlet in self.facts.shop.installed]
        start = State(tuple(pieces), tuple(sorted(cords, key=hash)), spent=tuple(sorted(spent, key=hash)))
        return Tries(search, self.facts, _note).states(start)

    def _given_up(self, number: int, option: Option) -> list[tuple[Piece, ...]]:
        """The cord that a machine has and gives up today, whole, with what it hangs from."""
        given: dict[str, Piece] = {}
        for use in option.stream.uses:
            end = use.ends[0][1]
            if use.present and end is not None and end.date == (0, 0) and end.left is not None:
                worn = self.aging.unknown(use)
                given[use.thing.item.spec.kind] = self.aging.lived(number, use, use.ends[0][0], worn)[1][-1]
        if not {"cord", "plug", "connector"} <= set(given):
            return []
        kits = [
            piece_of(number, entry.date, entry.left, None)
            for entry in option.stream.given
            if entry.date == (0, 0) and entry.left.item.spec.kind == "kit"
        ]
        return [(given["cord"], given["plug"], given["connector"], *kits)]

    def _given_later(self, number: int, option: Option, name: str) -> list[tuple[Piece, ...]]:
        """The cords that a machine gives up in later years of a scenario, whole; of parts that wear only those of today.

        How old a thing is that was bought, and when its wear was replaced, is not looked at: such a cord goes in pieces.
        """
        given: dict[Date, dict[str, Piece]] = {}
        for use in option.stream.uses:
            kind, end = use.thing.item.spec.kind, dict(use.ends).get(name)
            if kind not in ("cord", "plug", "connector", "kit") or end is None or end.left is None:
                continue
            if end.date[0] and (use.present or not use.thing.wears or kind == "kit"):
                worn = self.aging.unknown(use)
                given.setdefault(end.date, {})[kind] = self.aging.lived(number, use, name, worn)[1][-1]
        for entry in option.stream.given:
            if entry.scenario == name and entry.left.item.spec.kind == "kit":
                given.setdefault(entry.date, {})["kit"] = piece_of(number, entry.date, entry.left, None)
        return [
            (of["cord"], of["plug"], of["connector"], *([of["kit"]] if "kit" in of else []))
            for of in given.values()
            if {"cord", "plug", "connector"} <= set(of)
        ]

    def _cost(self, money: Money, memory: Memory, state: State, have: Have) -> dict[frozenset[str], int]:
        ready = [self.rules.candidates[name].bundle for name, count in have.items() for _ in range(count)]
        spent = [*state.spent, *((bundle, ()) for bundle in ready)]
        worth, cash, had = self._effort_today(money, spent)
        demand: Counter[Need] = Counter()
        for bundle, _ in spent:
            for need in bundle.needs:
                demand[replace(need, quantity=1)] += need.quantity
        buys = [b for b, paid in self.buying.ways(demand) if self.cap is None or cash + paid <= self.cap]
        if not buys:
            return {}
        put_in = frozenset(
            self.rules.gear[name].entry for name in have if not self.rules.gear[name].installed
        )
        totals = {put_in: worth + min(buys)}
        for name in self.scenarios:
            following: dict[frozenset[str], int] = {}
            for used, cost in self._later(money, memory, name, state, have, had).items():
                for before, so_far in totals.items():
                    now = before | used
                    following[now] = min(so_far + cost, following.get(now, so_far + cost))
            totals = following
        return totals

    def _effort_today(self, money: Money, spent: list[tuple[Bundle, Visitor]]) -> tuple[int, int, Had]:
        """Worth and cash of today's work, with visits, permits, the minimum and the bid."""
        crew, bid = money.pricer.hiring.crew, money.pricer.hiring.bid
        figures = [money.of(TODAY, bundle) for bundle, _ in spent]
        calls = {
            (call, visitor) for (_, visitor), found in zip(spent, figures, strict=True) for call in found[3]
        }
        worth, cash, labor, had = money.called(TODAY, calls, {True: False, False: False})
        labor += sum(found[2] for found in figures)
        hired = any(call is Call.VISIT for call, _ in calls)
        extra = max(cents(crew.minimum_cents) - labor, 0) if hired else 0
        extra += cents(bid.price_cents) if bid is not None else 0
        return (
            worth + extra + sum(found[0] for found in figures),
            cash + extra + sum(found[1] for found in figures),
            had,
        )

    # later years

    def _when(self, name: str, year: int) -> When:
        return When(year, name, self.scenarios[name].weight)

    def _later(
        self, money: Money, memory: Memory, name: str, state: State, have: Have, had: Had
    ) -> dict[frozenset[str], int]:
        """The least a scenario's later years cost, by the gear that is put in then."""
        best: dict[frozenset[str], int] = {}
        rows = self._rows(money, memory, name, state)
        for dated in self.rules.later_counts(have, self.years[name]):
            worth, calls, labor = self._gear(money, name, have, dated)
            used = frozenset(self.rules.gear[name].entry for name, _ in dated)
            for row in rows:
                if not self._holds(memory, name, have, dated, state.spared, row.waits):
                    continue
                worked = tuple(sorted((Counter(dict(row.labor)) + labor).items(), key=str))
                key = (name, row.calls | calls, had[True], had[False], worked)
                if key not in memory.called:
                    memory.called[key] = self._called(money, name, row.calls | calls, had, dict(worked))
                cost = row.worth + worth + memory.called[key]
                best[used] = min(cost, best.get(used, cost))
        return best

    def _called(
        self,
        money: Money,
        name: str,
        calls: frozenset[tuple[int, Call | Stop | Once, Visitor]],
        had: Had,
        labor: Mapping[tuple[int, Visitor], int],
    ) -> int:
        """Worth of all visits and permits of a scenario, year by year, and of what visits are short of their least charge."""
        worth = 0
        for year in sorted({year for year, _, _ in calls}):
            of_year = {(call, visitor) for of, call, visitor in calls if of == year}
            more, _, _, had = money.called(self._when(name, year), of_year, had)
            worth += more + money.shorts(self._when(name, year), of_year, labor)
        return worth

    def _gear(
        self, money: Money, name: str, have: Have, dated: Mapping[tuple[str, int], int]
    ) -> tuple[int, frozenset[tuple[int, Call | Stop | Once, Visitor]], Counter[tuple[int, Visitor]]]:
        moves = [event.year for event in self.scenarios[name].events if event.shop_moves]
        bought = [*(((gear, 0), count) for gear, count in have.items()), *dated.items()]
        worth, calls, labor = 0, set(), Counter[tuple[int, Visitor]]()
        for (gear, since), count in bought:
            for year, bundle in self.rules.paid(gear, since, moves):
                more, _, worked, called = money.of(self._when(name, year), bundle)
                worth += more * count
                labor[year, ()] += worked * count if money.least else 0
                calls |= {(year, call, ()) for call in called}
        return worth, frozenset(calls), labor

    def _rows(self, money: Money, memory: Memory, name: str, state: State) -> list[Row]:
        key = (name, state.pieces, state.running, state.cords)
        if key not in memory.rows:
            memory.rows[key] = self._search(money, memory.combination, name, state)
        return memory.rows[key]

    def _search(self, money: Money, combination: Combination, name: str, today: State) -> list[Row]:
        search = Search(self.aging, name, combination, self.each_move)

        def pay(state: State, paid: Paid) -> State:
            year, bundle, visitor = paid
            if not bundle:
                return state
            worth, _, worked, calls = money.of(self._when(name, year), bundle)
            called = {(year, call, visitor if call.hired else ()) for call in calls}
            labor = state.with_labor(year, visitor, worked, money.least_in(year))
            return replace(state, worth=state.worth + worth, calls=state.calls | called, labor=labor)

        tries = Tries(search, self.facts, pay)
        start, pieces = State(()), list(today.pieces)
        try:
            for number, use, worn in today.running:
                paid, freed = self.aging.lived(number, use, name, worn)
                for year, bundle in paid:
                    start = pay(start, (year, bundle, ()))
                pieces += [piece for piece in freed if piece.date[0] > 0]
        except NoOfferError:
            return []
        for number, option in enumerate(combination):
            for deed in option.stream.deeds:
                if deed.scenario == name:
                    start = pay(start, (deed.date[0], deed.bundle, search.visitor(number, deed.trip)))
            pieces += [
                piece_of(number, given.date, given.left, None)
                for given in option.stream.given
                if given.scenario == name
            ]
        later = (cord for n, option in enumerate(combination) for cord in self._given_later(n, option, name))
        cords = tuple(sorted((*today.cords, *later), key=hash))
        found = tries.states(replace(start, pieces=tuple(pieces), cords=cords))
        best: dict[tuple[object, ...], int] = {}
        for state in found:
            key = (state.calls, state.waits, state.labor)
            best[key] = min(state.worth, best.get(key, state.worth))
        return [Row(worth, *key) for key, worth in best.items()]  # type: ignore[arg-type]

    # room

    def _holds(
        self,
        memory: Memory,
        name: str,
        today: Have,
        dated: Mapping[tuple[str, int], int],
        spared: tuple[tuple[str, int], ...],
        waits: tuple[Wait, ...],
    ) -> bool:
        key = (name, tuple(today.items()), tuple(dated.items()), spared, waits)
        if key not in memory.holds:
            memory.holds[key] = self._hold(memory.combination, name, today, dated, dict(spared), waits)
        return memory.holds[key]

    def _hold(
        self,
        combination: Combination,
        name: str,
        today: Have,
        dated: Mapping[tuple[str, int], int],
        spared: Mapping[str, int],
        waits: tuple[Wait, ...],
    ) -> bool:
        """Whether everything is there and large enough in every year; sizes only until the shop moves."""
        shop = self.facts.shop
        events = self.scenarios[name].events
        moves = min((event.year for event in events if event.shop_moves), default=shop.years + 1)
        for year in range(shop.years + 1):
            have = Counter(today)
            for (gear, bought), count in dated.items():
                have[gear] += count if bought <= year else 0
            stands = [
                Stand(option.machine, number, at.panel, at.poles, at.draw_va)
                for number, option in enumerate(combination)
                if (at := option.stream.at(name, year)) is not None
            ]
            if not self.rules.all_there(stands, have):
                return False
            room = Counter(dict(spared))
            for panel, of, poles in waits:
                room[panel] -= poles if of == year else 0
            if year < moves and not self.rules.large_enough(stands, have, room):
                return False
        return True


def _note(state: State, paid: Paid) -> State:
    """What is spent today is kept as it is, since its parts are bought together."""
    year, bundle, visitor = paid
    assert year == 0
    if not bundle:
        return state
    return replace(state, spent=tuple(sorted((*state.spent, (bundle, visitor)), key=hash)))


def is_another(plan: Called, than: Called) -> bool:
    """Whether a person calls it another plan: half of some strand has other kinds of way, or gear of it is done without."""
    if not plan[1] >= than[1]:
        return True
    theirs = dict(than[0])
    for name, kinds in plan[0]:
        mine, its = [sorted(Counter(dict(counts)).elements()) for counts in (kinds, theirs[name])]
        alike = 0
        for kind in mine:
            if kind in its:
                its.remove(kind)
                alike += 1
        if 2 * (len(mine) - alike) >= len(mine):
            return True
    return False
