"""The bill of materials of a plan: what to buy today, from whom, cut to which lengths."""

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need, magnitude
from costplan.ledger.lines import INSPECT_SURPLUS, LineKind
from costplan.model.catalog import Condition, Offer, Part
from costplan.model.money import format_price
from costplan.model.ranges import ends_of
from costplan.program.ranked import Ranked
from costplan.reports.crew_hours import people_of
from costplan.reports.marks import to_read
from costplan.reports.work_words import whom_for
from costplan.standards.conductors import awg_of_rank


@dataclass(frozen=True, slots=True)
class BillRow:
    """One offer bought today. `unit_price_cents` is exact, `amount_cents` the sum of its part lines; the rest stands apart.

    `larger` says what was asked for, when the part serves only by being larger; `read` which mark to read on it; `ranged`
    that its price stands for a range.
    """

    part: str
    description: str
    quantity: Decimal
    unit: str
    supplier: str
    supplier_name: str
    condition: str
    unit_price_cents: Decimal
    amount_cents: int
    machines: tuple[str, ...]
    cuts_ft: tuple[int, ...]
    offer_row: int
    larger: str = ""
    read: str = ""
    ranged: str = ""

    @property
    def described(self) -> str:
        """The description, with what was asked for where that is less, what to read on it, and of which range its price is."""
        words = "; ".join(word for word in (self.larger, self.read, self.ranged) if word)
        return f"{self.description} ({words})" if words else self.description


def range_words(offer: Offer) -> str:
    """That the price of an offer is the mean of a range, with its ends; empty for one that is a single figure."""
    ends = None if offer.price_cents is None else ends_of(offer.price_cents)
    if ends is None:
        return ""
    return (
        f"price: mean of a range, low, likely and high {', '.join(map(format_price, ends))} per {offer.per}"
    )


SIZES = {"awg": "{} AWG", "rating_a": "{} A", "conductors": "{} conductors", "trade_size": "trade size {}"}
"""Attributes by which a part may be larger than asked, with how to say one."""


def larger_than_asked(part: Part, needs: Iterable[Need]) -> str:
    """What was asked for, where the part is larger than every need it serves; empty where it is just what was asked."""
    asked: dict[str, Decimal] = {}
    for need in needs:
        low = dict(need.spec.at_least)
        for name in SIZES:
            if name in low:
                asked[name] = max(asked.get(name, low[name]), low[name])
    words = [
        SIZES[name].format(awg_of_rank(int(size)) if name == "awg" else f"{size:f}")
        for name, size in asked.items()
        if name in part.attributes and magnitude(name, part.attributes[name]) > size
    ]
    return f"larger than asked: {', '.join(words)} would do" if words else ""


def bill_of_materials(facts: Facts, ranked: Ranked) -> list[BillRow]:
    """Every offer bought today, by supplier, kind and part."""
    offers = {offer.row: offer for offer in facts.catalog.offers}
    suppliers = {supplier.id: supplier for supplier in facts.catalog.suppliers}
    quantity: Counter[int] = Counter()
    amount: Counter[int] = Counter()
    for line in ranked.lines:
        if line.kind is LineKind.PART and line.year == 0:
            quantity[line.offer_row] += int(line.quantity)
            amount[line.offer_row] += line.amount_cents
    for row in {bought.offer_row for bought in ranked.plan.bought} - set(quantity):
        quantity[row] = 0
    cuts: dict[int, list[int]] = defaultdict(list)
    machines: dict[int, set[str]] = defaultdict(set)
    needs: dict[int, list[Need]] = defaultdict(list)
    whom = whom_for(facts, ranked)
    for bought in ranked.plan.bought:
        if bought.need.length_ft:
            cuts[bought.offer_row] += [bought.need.length_ft] * bought.count
        machines[bought.offer_row] |= set(whom.get(bought.need, {}))
        needs[bought.offer_row].append(bought.need)
    rows = []
    for row, count in quantity.items():
        offer, part = offers[row], facts.parts[offers[row].part]
        per = "ft" if offer.by_the_foot else offer.per
        price = Decimal(amount[row] // count if count else 0)
        if count and offer.by_the_foot and offer.price_cents is not None:
            price = offer.price_cents / offer.by_the_foot
        rows.append(
            BillRow(
                part.id,
                part.name,
                Decimal(count),
                per,
                offer.supplier,
                suppliers[offer.supplier].name,
                str(offer.condition),
                price,
                amount[row],
                tuple(sorted(machines[row])),
                tuple(sorted(cuts[row], reverse=True)),
                row,
                larger_than_asked(part, needs[row]),
                to_read(facts, ranked, part, needs[row]),
                range_words(offer),
            )
        )
    kinds = facts.parts
    return sorted(
        rows,
        key=lambda r: (r.condition == Condition.ON_HAND, r.supplier, kinds[r.part].kind, r.part, r.offer_row),
    )


@dataclass(frozen=True, slots=True)
class LaborRow:
    """One task today by one crew, over all machines; hours are by the clock, of all its `people` together."""

    task: str
    what: str
    quantity: Decimal
    hours: Decimal
    crew: str
    people: int
    amount_cents: int


def labor_today(facts: Facts, ranked: Ranked) -> list[LaborRow]:
    """Today's work by crew and task."""
    grouped: dict[tuple[str, str, str], list[Decimal]] = defaultdict(
        lambda: [Decimal(0), Decimal(0), Decimal(0)]
    )
    for line in ranked.lines:
        if line.kind is LineKind.LABOR and line.year == 0:
            what = "inspect used parts" if line.task == INSPECT_SURPLUS else line.what
            entry = grouped[line.crew, line.task, what]
            entry[0] += line.quantity
            entry[1] += line.hours
            entry[2] += line.amount_cents
    return [
        LaborRow(task, what, entry[0], entry[1], crew, people_of(facts, ranked, crew), int(entry[2]))
        for (crew, task, what), entry in sorted(grouped.items())
    ]
