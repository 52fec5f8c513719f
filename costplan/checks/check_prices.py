"""Rules over prices of offers.csv: none twice, none for nothing, none far from what such parts cost."""

import re
from collections.abc import Iterable, Iterator
from decimal import Decimal

from costplan.files.problems import Problem
from costplan.files.quantities import currencies_named
from costplan.files.yaml_reader import Trail
from costplan.model.amending import by_key
from costplan.model.catalog import Condition, Offer, Part
from costplan.model.pair import Pair, Rule, dollars
from costplan.model.peers import Peers, is_far, middle_of
from costplan.model.prices import by_length, likely_unit, unit_cents, units_of
from costplan.standards import conductors, usual
from costplan.standards.usual import Size, Usual

FAR_FROM_PEERS = Decimal(20)
"""From how many times its peers' median every command asks about a price. A choice, no source; `catalog odd` asks sooner."""
SURPLUS_AT_LEAST = Decimal(1) / 20
"""The share of the least usual price that surplus may cost unasked. A choice, no source."""
FEW_UNITS, SAME_PRICE = Decimal(5), Decimal("1.5")
"""So many pieces or feet never cost what one costs, within so many times. A choice, no source."""
FEWEST_PEERS = 3
"""So many other parts of a kind make a usual price where the tables know none."""


def priced_twice(offers: Iterable[Offer]) -> Iterator[tuple[Offer, Offer]]:
    """Offers whose price an earlier row says too, with that row's.

    Lots that say how many there are may be several, and piles on the shelf.
    """
    for same in by_key(offers).values():
        priced = [
            offer
            for offer in same
            if offer.price_cents is not None and offer.condition is not Condition.ON_HAND
        ]
        for position, offer in enumerate(priced):
            earlier = (row for row in priced[:position] if None in (row.available, offer.available))
            other = next(earlier, None)
            if other is not None:
                yield offer, other


def twice_words(offer: Offer, other: Offer) -> tuple[str, str]:
    """Message and mend for an offer whose price an earlier one says too."""
    mine, theirs = (dollars(each.price_cents or Decimal(0)) for each in (offer, other))
    message = (
        f'prices "{offer.part}" at "{offer.supplier}", {offer.condition}, per {offer.per}, {mine}; '
        f"row {other.row} prices it too, {theirs}"
    )
    mend = (
        f"keep one of rows {other.row} and {offer.row}; two lots each say under available how many there are, "
        "and a price for many has its own per, as box of 25"
    )
    return message, mend


def priced_once(pair: Pair) -> Iterator[Problem]:
    """One thing has one price at a supplier."""
    for offer, other in priced_twice(pair.catalog.offers):
        yield pair.in_offers("offer-twice", offer, "price", *twice_words(offer, other))


def nothing_is_free(pair: Pair) -> Iterator[Problem]:
    """Questions about prices of nothing that are not on the shelf."""
    for offer in pair.catalog.offers:
        if offer.price_cents == 0 and offer.condition is not Condition.ON_HAND:
            message = f'"{offer.part}" at "{offer.supplier}", {offer.condition}, costs nothing'
            mend = "leave it blank while nobody has been asked; your own shelf is on-hand; as it is, it is taken for nothing"
            yield pair.in_offers("offer-price-zero", offer, "price", message, mend, question=True)


def prices_are_in_the_shops_money(pair: Pair) -> Iterator[Problem]:
    """Questions about prices with the sign of another currency than the shop's; nothing is converted."""
    table, currency = pair.table, pair.shop.currency
    if "price" not in table.columns:
        return
    column = table.cells[table.columns["price"]]
    for index, cell in zip(table.sound, column, strict=True):
        named = frozenset() if cell.isascii() and cell.isdecimal() else currencies_named(cell)
        if named and currency not in named:
            at = table.at(table.first_row + index, "price")
            message = f'is "{cell.strip()}", but the money of the shop is {currency}'
            mend = f"write it in {currency}; nothing is converted, and the figure counts as it is"
            yield Problem("offer-currency", at, "", message, mend, severity="question")


def prices_are_usual(pair: Pair) -> Iterator[Problem]:
    """Questions about prices far from what such parts usually cost, or from the other offers of the part or its kind."""
    parts = pair.parts()
    sizes = {part.id: _size_of(part) for part in parts.values()}
    dollar = usual.near_a_dollar(pair.shop.currency)
    peers = Peers(pair.catalog.offers, {part.id: part.kind for part in parts.values()})
    for offer in pair.catalog.offers:
        price = unit_cents(offer)
        part = parts.get(offer.part)
        if not price or part is None:
            continue
        known = usual.usual_price(part.kind, sizes[part.id]) if dollar else None
        if known is not None and not known[0].low:  # a size of nothing, which other rules ask about
            known = None
        odd = _beside_usual(offer, price, known, part.kind) if known is not None else None
        odd = odd or _beside_peers(peers, offer, price, part.kind, known=known is not None)
        if odd is not None:
            yield pair.in_offers("offer-price-far", offer, "price", *odd, question=True)


def _size_of(part: Part) -> Size:
    said = part.attributes
    numbers = {name: value for name, value in said.items() if isinstance(value, Decimal)}
    configured = usual.size_of_configuration(str(said.get("configuration", "")))
    if configured is not None:
        return configured
    awg = str(said.get("awg", ""))
    return Size(
        amperes=numbers.get("second_rating_a", numbers.get("rating_a")),
        awg=awg if conductors.is_awg(awg) else None,
        hp=numbers.get("hp", numbers.get("largest_motor_hp")),
        conductors=int(numbers.get("conductors", Decimal(1))),
    )


def _beside_usual(
    offer: Offer, price: Decimal, known: tuple[Usual, str], kind: str
) -> tuple[str, str] | None:
    """Message and mend where a price is far from what such a part usually costs."""
    (low, high), unit = (known[0].low * 100, known[0].high * 100), known[1]
    least = low / usual.BEYOND if offer.condition is Condition.NEW else low * SURPLUS_AT_LEAST
    if least < price < high * usual.BEYOND:
        return None
    ratio = price / high if price > high else price / low
    message = (
        f'"{offer.part}" comes to {dollars(price)} {unit}; such a {kind} usually costs {dollars(low)} to {dollars(high)} '
        "(common practice, no source)"
    )
    return message, likely_unit(ratio, offer)


def _beside_peers(
    peers: Peers, offer: Offer, price: Decimal, kind: str, *, known: bool
) -> tuple[str, str] | None:
    """Message and mend where a price is far from its peers'; of two offers that differ the dearer is asked about.

    Where the table knows what is usual, something new is held against what is new: surplus may be that cheap.
    """
    new_only = known and offer.condition is Condition.NEW
    others = peers.of_part(offer, (Condition.NEW,) if new_only else tuple(Condition))
    if len(others) == 1:
        if price < others[0]:
            return None
        what = "its other offer"
    elif others:
        what = f"the median of its {len(others) + 1} offers"
    else:
        others = peers.of_kind(offer)
        if known or len(others) < FEWEST_PEERS:
            return None
        what = f"the median of the kind {kind}"
    middle = middle_of(price, others)
    if not is_far(price, middle, FAR_FROM_PEERS):
        return None
    unit = "a foot" if by_length(offer) else "each"
    message = f'"{offer.part}" comes to {dollars(price)} {unit}; {what} is {dollars(middle)}'
    return message, likely_unit(price / middle, offer)


def prices_have_their_unit(pair: Pair) -> Iterator[Problem]:
    """Questions about a price that is nearly the same for one foot or piece as for a stick, a reel or a box of them."""
    alike: dict[tuple[str, Condition], list[Offer]] = {}
    for offer in pair.catalog.offers:
        if offer.price_cents:
            alike.setdefault((offer.part, offer.condition), []).append(offer)
    for offer in (one for same in alike.values() if len(same) > 1 for one in same if units_of(one) == 1):
        for other in alike[offer.part, offer.condition]:
            mine, theirs = offer.price_cents or Decimal(0), other.price_cents or Decimal(0)
            if units_of(other) >= FEW_UNITS and theirs / SAME_PRICE <= mine <= theirs * SAME_PRICE:
                message = (
                    f'"{offer.part}" is {dollars(mine)} per {offer.per}, and in row {other.row} {dollars(theirs)} per '
                    f"{other.per}"
                )
                mend = f"is one of them the other's price? Then write per: {other.per} here, or {offer.per} there"
                yield pair.in_offers("offer-unit-odd", offer, "per", message, mend, question=True)
                break


def their_numbers_are_of_one_part(pair: Pair) -> Iterator[Problem]:
    """Questions about a supplier's number that stands at several parts, or that a spreadsheet has shortened."""
    first: dict[tuple[str, str], Offer] = {}
    for offer in pair.catalog.offers:
        number = offer.their_number
        if not number:
            continue
        other = first.setdefault((offer.supplier, number), offer)
        if is_shortened(number):
            message = f'is "{number}" for "{offer.part}", a long number that a spreadsheet shortened'
            yield pair.in_offers("their-number-odd", offer, "their_number", message, IN_FULL, question=True)
        elif other.part != offer.part:
            message = f'is "{number}" for "{offer.part}", and for "{other.part}" in row {other.row}'
            mend = "one of the two would be ordered by the other's number: ask which it is"
            yield pair.in_offers("their-number-odd", offer, "their_number", message, mend, question=True)


def suppliers_can_be_called(pair: Pair) -> Iterator[Problem]:
    """Questions about a phone or an account that a spreadsheet has shortened."""
    for index, supplier in enumerate(pair.catalog.suppliers):
        for word, said in (("phone", supplier.phone), ("account", supplier.account)):
            if is_shortened(said):
                message = f'is "{said}", a long number that a spreadsheet shortened'
                where: Trail = ("suppliers", index, word)
                yield pair.in_file(
                    "suppliers.yaml", "supplier-number-odd", where, message, IN_FULL, question=True
                )


def is_shortened(number: str) -> bool:
    """Whether a number is written as spreadsheets show long ones: 7.32E+11."""
    return re.fullmatch(r"[0-9](?:\.[0-9]+)?[eE]\+[0-9]{1,3}", number.strip()) is not None


IN_FULL = "write it in full, and format the column as text before it is typed"

QUESTIONS = frozenset(
    {
        "offer-price-zero",
        "offer-price-far",
        "offer-currency",
        "offer-demo-shelf",
        "offer-unit-odd",
        "their-number-odd",
    }
)
"""Codes of its questions."""

RULES: tuple[Rule, ...] = (
    priced_once,
    nothing_is_free,
    prices_are_in_the_shops_money,
    prices_are_usual,
    prices_have_their_unit,
    their_numbers_are_of_one_part,
    suppliers_can_be_called,
)
