"""The shopping list of a plan: what to buy today, by supplier, as a counter person reads it."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.model import tandems
from costplan.model.catalog import SURPLUS, Condition, Offer, Part, Supplier
from costplan.model.money import format_cents, to_cents
from costplan.program.ranked import Ranked
from costplan.reports.all_new import AllNew, all_new
from costplan.reports.bill import range_words
from costplan.reports.inspection import Checks, checks_for
from costplan.reports.invented import made_up
from costplan.reports.marks import to_read
from costplan.reports.noted import Noted, noted
from costplan.reports.noted_ways import OF_DEVICES
from costplan.reports.own_shop import OwnThing, Returned, own_things, returned
from costplan.reports.pairing import today_by_ratings
from costplan.reports.proof import title_of_paper
from costplan.reports.questions import Question, noted_questions, questions
from costplan.reports.remarks import Topic
from costplan.reports.substitutes import Counterpart, Substitute, SurplusLimit
from costplan.reports.there import There
from costplan.reports.words import left_out_lines, title_today
from costplan.reports.work_words import whom_for
from costplan.sourcing.deal import Deal
from costplan.sourcing.designation import attributes, described, designation
from costplan.sourcing.orders import OrderCharges, order_charges
from costplan.studies.comparison import Comparison, OutOfRanking

NO_SUPPLIER = Supplier.model_validate({"id": "", "name": "From nobody listed"})
"""Where a plan's parts are shown that come from no offer."""


@dataclass(frozen=True, slots=True)
class Piece:
    """So many unbroken pieces of a length, and the machines they are for."""

    length_ft: int
    count: int
    machines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Reel:
    """One reel, roll, stick or remnant: what is cut from it and what is left over."""

    number: int
    length_ft: int
    pieces: tuple[Piece, ...]
    left_over_ft: int


@dataclass(frozen=True, slots=True)
class ListedPart:
    """One offer bought today. `described` is name, standard designation and attributes in one phrase.

    `pieces` are cut at the counter, `reels` are bought whole and cut at home. `taxed` says of how many units
    each tax amount is made and how often. `spare` is what is bought and not needed, in `spare_unit`.
    `most` is up to which price surplus pays, by condition; `pairs` are the circuits that go on a tandem breaker;
    `read` the mark to read on it, `said` what to know of its price and before it is fitted;
    `their_number` the number under which the supplier has it. Money is whole cents.
    """

    part: str
    kind: str
    what: str
    described: str
    designation: str
    attributes: tuple[str, ...]
    condition: str
    quantity: int
    unit: str
    unit_price_cents: Decimal
    amount_cents: int
    cut_cents: int
    tax_cents: int
    taxed: tuple[tuple[int, int], ...]
    machines: tuple[str, ...]
    pieces: tuple[Piece, ...]
    reels: tuple[Reel, ...]
    spare: int
    spare_unit: str
    seen: date | None
    note: str
    offer_row: int
    substitutes: tuple[Substitute, ...]
    most: tuple[SurplusLimit, ...]
    pairs: str = ""
    read: str = ""
    said: str = ""
    their_number: str = ""
    freight_cents: int = 0
    spares: int = 0
    """Of the quantity, those bought because some will fail."""

    @property
    def asked_for(self) -> str:
        """What to say at the counter: the supplier's own number, where there is one, and what it is."""
        return f"no. {self.their_number}: {self.described}" if self.their_number else self.described

    @property
    def remarks(self) -> str:
        """The offer's note, for a tandem breaker which circuits it takes, for a drive or motor what is said of it."""
        return "; ".join(words for words in (self.note, self.pairs, self.said) if words)

    @property
    def more(self) -> str:
        """That more is bought than is needed, and why; empty where it is not."""
        return f"{self.spares} of them more than needed, since some fail" if self.spares else ""

    @property
    def surplus(self) -> bool:
        """Whether it is bought as surplus and is to be inspected before paying."""
        return self.condition in [str(condition) for condition in SURPLUS]


@dataclass(frozen=True, slots=True)
class Order:
    """Everything bought at one supplier today, with the supplier's terms as the catalog has them."""

    name: str
    parts: tuple[ListedPart, ...]
    charges: OrderCharges
    terms: Supplier
    hints: tuple[str, ...]

    @property
    def goods_cents(self) -> int:
        """Sum of the amounts."""
        return sum(part.amount_cents for part in self.parts)

    @property
    def cut_cents(self) -> int:
        """Sum of the cut charges."""
        return sum(part.cut_cents for part in self.parts)

    @property
    def tax_cents(self) -> int:
        """Sum of the taxes."""
        return sum(part.tax_cents for part in self.parts)

    @property
    def freight_cents(self) -> int:
        """Sum of the freights."""
        return sum(part.freight_cents for part in self.parts)

    @property
    def total_cents(self) -> int:
        """What this order costs."""
        own = self.goods_cents + self.cut_cents + self.tax_cents + self.freight_cents
        return own + self.charges.cash_cents

    @property
    def own_shelf(self) -> bool:
        """Whether it only takes from what is on hand."""
        return bool(self.parts) and all(part.condition == Condition.ON_HAND for part in self.parts)


@dataclass(frozen=True, slots=True)
class ShoppingList:
    """The whole list of one ranked plan."""

    shop: str
    invented: str
    """What is made up of it, in words; empty for nothing."""
    currency: str
    today: date
    rank: int
    title: str
    orders: tuple[Order, ...]
    questions: tuple[Question, ...]
    own: tuple[OwnThing, ...] = ()
    returned: tuple[Returned, ...] = ()
    left_out: tuple[str, ...] = ()
    """What the list has nothing for, in words."""
    all_new: AllNew | None = None
    """What its parts that are not new would cost new; None where all are new."""

    @property
    def total_cents(self) -> int:
        """Sum of the orders: the plan's parts, cuts, tax and supplier fees of today."""
        return sum(order.total_cents for order in self.orders)

    @property
    def parts(self) -> tuple[ListedPart, ...]:
        """Every listed part, order by order."""
        return tuple(part for order in self.orders for part in order.parts)

    @property
    def inspections(self) -> tuple[tuple[Checks, tuple[tuple[Order, ListedPart], ...]], ...]:
        """What to look at and test before paying, each list of checks with the surplus lines it is for."""
        found: dict[Checks, list[tuple[Order, ListedPart]]] = defaultdict(list)
        for order in self.orders:
            for part in order.parts:
                if part.surplus:
                    found[checks_for(part.kind)].append((order, part))
        return tuple((checks, tuple(parts)) for checks, parts in found.items())


class SumError(AssertionError):
    """The list's total differs from the plan's lines: a defect, never a result."""


def shopping_list(comparison: Comparison, rank: int = 1) -> ShoppingList:
    """The list of the plan of that rank. Raises IndexError when there is none, SumError on a defect."""
    if not 1 <= rank <= len(comparison.plans):
        raise IndexError(f"there are only {len(comparison.plans)} plans")
    listed = list_of(comparison.facts, comparison.plans[rank - 1], rank, comparison.out)
    return replace(listed, title=title_of_paper(comparison.facts, comparison.plans, rank))


def list_of(facts: Facts, ranked: Ranked, rank: int = 1, out: Iterable[OutOfRanking] = ()) -> ShoppingList:
    """The list of a plan; `out` are ways that lack a price, to be asked for. Raises SumError on a defect."""
    ranked = replace(ranked, needed_by=whom_for(facts, ranked))
    counterpart = Counterpart(facts, ranked)
    by_supplier: dict[str, list[ListedPart]] = defaultdict(list)
    offers = {offer.row: offer for offer in facts.catalog.offers}
    there = There(facts, ranked)
    found = noted(facts, ranked, there)
    told = _told(found)
    for row in _rows(ranked):
        # What is to be said of a kind stands at its first line only.
        said = told.pop(facts.parts[offers[row].part].kind, "")
        by_supplier[offers[row].supplier].append(_listed(counterpart, offers[row], said))
    orders = [
        _order(facts, supplier, by_supplier[supplier.id])
        for supplier in facts.catalog.suppliers
        if supplier.id in by_supplier
    ]
    unlisted = tuple(_unlisted(ranked))
    if unlisted:
        orders.append(Order(NO_SUPPLIER.name, unlisted, OrderCharges(), NO_SUPPLIER, ()))
    shop = facts.shop
    result = ShoppingList(
        shop.name,
        made_up(facts),
        shop.currency,
        shop.today,
        rank,
        title_today(facts, ranked),
        tuple(sorted(orders, key=lambda order: order.own_shelf)),
        (*questions(counterpart, _rows(ranked), out), *noted_questions(found)),
        own_things(facts, ranked),
        returned(facts, ranked),
        tuple(left_out_lines(facts.left_out)),
        all_new(facts, ranked),
    )
    _check(result, ranked)
    return result


BOUGHT_KINDS = (
    LineKind.PART,
    LineKind.CUT,
    LineKind.TAX,
    LineKind.MARKUP,
    LineKind.FREIGHT,
    LineKind.FEE,
)


def paid_for_parts(ranked: Ranked) -> int:
    """What a plan pays today for parts, cuts, tax and supplier fees, in cents."""
    return sum(line.amount_cents for line in _lines(ranked) if line.kind in BOUGHT_KINDS)


def _check(result: ShoppingList, ranked: Ranked) -> None:
    paid = paid_for_parts(ranked)
    if result.total_cents != paid:
        raise SumError(
            f"the list adds up to {result.total_cents} cents and the plan pays {paid}: please report this"
        )


def _lines(ranked: Ranked) -> list[Line]:
    return [line for line in ranked.lines if line.year == 0 and line.pocket is Pocket.CASH]


def _rows(ranked: Ranked) -> list[int]:
    listed = {line.offer_row for line in _lines(ranked) if line.kind is LineKind.PART and line.offer_row}
    return sorted(listed | {bought.offer_row for bought in ranked.plan.bought})


# one line -----------------------------------------------------------------------------------------


def _told(found: Iterable[Noted]) -> dict[str, str]:
    """What to know of drives, motors, transformers and tandem breakers before they are bought, by the kind of part."""
    kinds = {**OF_DEVICES, Topic.TANDEM_BREAKERS: tandems.KIND}
    told: dict[str, str] = {}
    for entry in found:
        kind = kinds.get(entry.topic)
        if kind is not None:
            told[kind] = " ".join(filter(None, (told.get(kind), entry.remark.short)))
    return told


def _listed(counterpart: Counterpart, offer: Offer, said: str) -> ListedPart:
    facts, ranked, row = counterpart.facts, counterpart.ranked, offer.row
    deal, part = counterpart.deals[row], facts.parts[offer.part]
    sums: Counter[LineKind] = Counter()
    quantity = 0
    for line in _lines(ranked):
        if line.offer_row == row:
            sums[line.kind] += line.amount_cents
            quantity += int(line.quantity) if line.kind is LineKind.PART else 0
    wanted = counterpart.wanted.get(row, {})
    spare, spare_unit = _spare(deal, wanted, quantity)
    read = to_read(facts, ranked, part, wanted)
    return ListedPart(
        part.id,
        part.kind,
        part.name,
        f"{described(part)} ({read})" if read else described(part),
        designation(part),
        attributes(part),
        str(offer.condition),
        quantity,
        "ft" if offer.by_the_foot else offer.per,
        deal.unit_cents,
        sums[LineKind.PART],
        sums[LineKind.CUT],
        sums[LineKind.TAX] + sums[LineKind.MARKUP],
        _taxed(deal, wanted, quantity),
        tuple(sorted({name for need in wanted for name in ranked.needed_by.get(need, {})})),
        _cut_at_the_counter(ranked, deal),
        _reels(ranked, deal, quantity),
        spare,
        spare_unit,
        offer.seen,
        offer.note,
        row,
        counterpart.substitutes(row),
        counterpart.limits(row),
        _pairs(facts, ranked, part),
        read,
        "; ".join(filter(None, (range_words(offer), said))),
        offer.their_number,
        sums[LineKind.FREIGHT],
        _spares(deal, wanted, quantity),
    )


def _pairs(facts: Facts, ranked: Ranked, part: Part) -> str:
    """The circuits that go on a tandem breaker, in words; empty for other parts."""
    if part.kind != tandems.KIND:
        return ""
    found = today_by_ratings(facts, ranked.plan)
    halves = (part.attributes[word] for word in (tandems.SMALLER, tandems.LARGER))
    family, low, high = part.attributes["family"], *(int(str(half)) for half in halves)
    return found.get((str(family), low, high), "")


def _unlisted(ranked: Ranked) -> Iterable[ListedPart]:
    """Parts of a plan that come from no offer, so that nothing paid for is missing from the list."""
    for line in _lines(ranked):
        if line.offer_row == 0 and line.kind in (LineKind.PART, LineKind.TAX, LineKind.MARKUP, LineKind.CUT):
            count = max(int(line.quantity), 1)
            each, rest = divmod(line.amount_cents, count)
            count, each = (count, each) if not rest else (1, line.amount_cents)
            machines = (line.machine,) if line.machine else ()
            yield ListedPart(
                part="",
                kind=str(line.kind),
                what=line.what,
                described=line.what,
                designation="",
                attributes=(),
                condition="",
                quantity=count,
                unit="each",
                unit_price_cents=Decimal(each),
                amount_cents=line.amount_cents,
                cut_cents=0,
                tax_cents=0,
                taxed=(),
                machines=machines,
                pieces=(),
                reels=(),
                spare=0,
                spare_unit="",
                seen=None,
                note=line.trace,
                offer_row=0,
                substitutes=(),
                most=(),
            )


def _taxed(deal: Deal, wanted: Mapping[Need, int], quantity: int) -> tuple[tuple[int, int], ...]:
    """Units each tax amount is on, and how often: tax is rounded for each piece or pack, not for the order."""
    if deal.pack is not None:
        return ((1, quantity),) if quantity else ()
    counts: Counter[int] = Counter()
    for need, count in wanted.items():
        counts[need.length_ft or 1] += count
    return tuple(sorted(counts.items(), reverse=True))


def _spare(deal: Deal, wanted: Mapping[Need, int], quantity: int) -> tuple[int, str]:
    if deal.pack is None or deal.looked_at:
        return 0, ""
    used = sum(count * (need.length_ft or 1) for need, count in wanted.items())
    return max(quantity * deal.pack - used, 0), "ft" if deal.is_length or deal.by_the_foot else "each"


def _spares(deal: Deal, wanted: Mapping[Need, int], quantity: int) -> int:
    """Pieces bought besides those in use because some of them fail."""
    return quantity * (deal.pack or 1) - sum(wanted.values()) if deal.looked_at else 0


def _cut_at_the_counter(ranked: Ranked, deal: Deal) -> tuple[Piece, ...]:
    cut = [
        bought
        for bought in ranked.plan.bought
        if bought.offer_row == deal.offer.row and bought.need.length_ft and bought.reel is None
    ]
    return _pieces(ranked, [(bought.need, bought.count) for bought in cut])


def _reels(ranked: Ranked, deal: Deal, quantity: int) -> tuple[Reel, ...]:
    cut: dict[int, list[tuple[Need, int]]] = defaultdict(list)
    for bought in ranked.plan.bought:
        if bought.offer_row == deal.offer.row and bought.reel is not None:
            cut[bought.reel].append((bought.need, bought.count))
    if not cut or deal.pack is None:
        return ()
    reels = sorted((_pieces(ranked, needs) for needs in cut.values()), key=_longest_first)
    reels += [()] * (quantity - len(reels))
    return tuple(
        Reel(number, deal.pack, pieces, deal.pack - sum(p.length_ft * p.count for p in pieces))
        for number, pieces in enumerate(reels, 1)
    )


def _longest_first(pieces: tuple[Piece, ...]) -> list[tuple[int, int, tuple[str, ...]]]:
    return [(-piece.length_ft, -piece.count, piece.machines) for piece in pieces]


def _pieces(ranked: Ranked, needs: Iterable[tuple[Need, int]]) -> tuple[Piece, ...]:
    """Pieces by length, longest first, one entry a length."""
    counts: Counter[int] = Counter()
    machines: dict[int, set[str]] = defaultdict(set)
    for need, count in needs:
        counts[need.length_ft] += count
        machines[need.length_ft] |= set(ranked.needed_by.get(need, {}))
    return tuple(
        Piece(length, counts[length], tuple(sorted(machines[length])))
        for length in sorted(counts, reverse=True)
    )


# one order ----------------------------------------------------------------------------------------


def _order(facts: Facts, supplier: Supplier, parts: list[ListedPart]) -> Order:
    """The order, its lines in the order of kinds.yaml, which the user sorts as the shelves are."""
    aisle = {kind: position for position, kind in enumerate(facts.kinds)}
    parts.sort(key=lambda part: (aisle.get(part.kind, len(aisle)), part.part, part.offer_row))
    goods = sum(part.amount_cents for part in parts)
    charges = order_charges(supplier, goods, facts.owner.rate_cents)
    hints = tuple(_hints(supplier, goods, cut=any(part.cut_cents for part in parts)))
    return Order(supplier.name, tuple(parts), charges, supplier, hints)


def _hints(supplier: Supplier, goods_cents: int, *, cut: bool) -> Iterable[str]:
    delivery, free_over = to_cents(supplier.delivery_cents), supplier.free_over_cents
    minimum = to_cents(supplier.minimum_cents)
    if delivery and free_over is not None:
        gap = to_cents(free_over) - goods_cents
        fee, from_ = format_cents(delivery), format_cents(to_cents(free_over))
        if gap > 0:
            worth = ": spares for that much cost nothing" if gap <= delivery else ""
            yield f"{format_cents(gap)} more here saves the {fee} delivery (free from {from_}){worth}"
        else:
            yield (
                f"delivery is free from {from_}: if more than {format_cents(-gap)} of this order is sold out, "
                f"{fee} is charged"
            )
    if minimum > goods_cents:
        yield (
            f"smallest order {format_cents(minimum)}: {format_cents(minimum - goods_cents)} more of anything here costs "
            "nothing"
        )
    elif minimum:
        yield (
            f"smallest order {format_cents(minimum)}: this one is {format_cents(goods_cents - minimum)} above it"
        )
    if cut:
        yield f"each cut costs {format_cents(to_cents(supplier.cut_charge_cents))}"
