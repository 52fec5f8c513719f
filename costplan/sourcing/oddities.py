"""Prices that deserve a second look: old, undated or missing, far from their peers, or of another unit."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from decimal import Decimal

from costplan.files.problems import At, Problem
from costplan.model.amending import Key, key_of
from costplan.model.catalog import Condition, Offer
from costplan.model.history import PastOffer
from costplan.model.peers import Peers, is_far, middle_of
from costplan.model.prices import by_length, unit_cents, units_of

OLDEST_DAYS = 180
"""Age from which a price is old. A choice, no source."""
FARTHEST = Decimal(3)
"""How many times its peers' median a price may be. A choice, no source."""
NEAR = Decimal("1.5")
"""How near to a pack's size such a multiple must be for the pack to explain it. A choice, no source."""
USUAL_PACKS = (10, 25, 50, 100)
USUAL_LENGTHS_FT = (100, 250, 500, 1000)

Place = Callable[[int, str], At]
"""Where a cell of offers.csv is, by its row and column."""


def stale_offers(
    offers: Iterable[Offer], today: date, place: Place, oldest_days: int = OLDEST_DAYS
) -> Iterator[Problem]:
    """Questions about prices that are missing, undated, from the future, or older than so many days."""
    for offer in offers:
        what = _what(offer)
        if offer.price_cents is None:
            message = f"{what} has no price"
            yield _question("offer-price-missing", place(offer.row, "price"), message, "ask, then reprice it")
        elif offer.condition is Condition.ON_HAND:
            continue
        elif offer.seen is None:
            message = f"{what} does not say when its price was seen"
            yield _question("offer-price-undated", place(offer.row, "seen"), message, "ask, then reprice it")
        elif offer.seen > today:
            message = f"{what} was seen on {offer.seen}, after today ({today})"
            yield _question("offer-price-future", place(offer.row, "seen"), message, "check the date")
        elif (today - offer.seen).days > oldest_days:
            message = f"{what} was seen on {offer.seen}, {(today - offer.seen).days} days ago"
            yield _question("offer-price-old", place(offer.row, "seen"), message, "ask, then reprice it")


def odd_prices(offers: Iterable[Offer], place: Place) -> Iterator[Problem]:
    """Questions about prices far from the median of the part's offers in the same condition, or from the only other one.

    A multiple that a pack's size explains is said to be probably the price of another unit.
    """
    listed = list(offers)
    peers, sizes = Peers(listed), defaultdict(set)
    for offer in listed:
        sizes[offer.part].add(int(units_of(offer)))
    for offer in listed:
        price = unit_cents(offer)
        if not price or offer.condition is Condition.ON_HAND:
            continue
        others = peers.of_part(offer, (offer.condition,))
        if others and is_far(price, middle := middle_of(price, others), FARTHEST):
            problem = _beside_peers(offer, price, middle, len(others), sizes[offer.part], place)
            if problem is not None:
                yield problem


def _beside_peers(
    offer: Offer, price: Decimal, middle: Decimal, others: int, sizes: Iterable[int], place: Place
) -> Problem | None:
    ratio = price / middle
    unit = "a foot" if by_length(offer) else "each"
    beside = "the other offer is" if others == 1 else f"the median of its {others + 1} offers is"
    message = f"{_what(offer)} comes to {_money(price)} {unit}, but {beside} {_money(middle)} {unit}"
    own = units_of(offer)
    if ratio < 1 and own > 1 and _near(1 / ratio, own):
        one = "one foot" if by_length(offer) else "one"
        mend = f"is {_money(offer.price_cents)} the price of {one}, not of a {offer.per}?"
        return _question("offer-pack-as-each", place(offer.row, "per"), message, mend)
    if ratio < 1 and others == 1:
        # Of two that differ, the dearer one is asked about.
        return None
    usual = USUAL_LENGTHS_FT if by_length(offer) else USUAL_PACKS
    likely = [size for size in sorted({*sizes, *usual}) if size > own and _near(ratio, size / own)]
    if ratio > 1 and likely:
        many = f"{likely[0]} ft" if by_length(offer) else f"a pack of {likely[0]}"
        mend = f"is it the price of {many}?"
        return _question("offer-each-as-pack", place(offer.row, "per"), message, mend)
    return _question(
        "offer-price-odd", place(offer.row, "price"), message, "is it meant? Check the price and the unit"
    )


def surplus_dearer_than_new(offers: Iterable[Offer], place: Place) -> Iterator[Problem]:
    """Questions about used or old stock that costs at least what the cheapest new one does."""
    listed = list(offers)
    new: dict[tuple[str, bool], tuple[Decimal, Offer]] = {}
    for offer in listed:
        price = unit_cents(offer)
        if offer.condition is Condition.NEW and price is not None:
            key = offer.part, by_length(offer)
            if key not in new or price < new[key][0]:
                new[key] = price, offer
    for offer in listed:
        price = unit_cents(offer)
        found = new.get((offer.part, by_length(offer)))
        if offer.condition in (Condition.USED, Condition.NEW_OLD_STOCK) and price and found:
            cheapest, other = found
            if price >= cheapest:
                message = f"{_what(offer)} comes to {_money(price)}, no less than new at {_money(cheapest)} (row {other.row})"
                yield _question(
                    "offer-surplus-dear",
                    place(offer.row, "price"),
                    message,
                    "is it meant? It is never bought",
                )


def price_jumps(offers: Iterable[Offer], past: Iterable[PastOffer], place: Place) -> Iterator[Problem]:
    """Questions about prices that are far from the last one that they replaced."""
    last: dict[Key, PastOffer] = {}
    for entry in past:
        if entry.offer.price_cents:
            before = last.get(key_of(entry.offer))
            if before is None or entry.replaced >= before.replaced:
                last[key_of(entry.offer)] = entry
    for offer in offers:
        found = last.get(key_of(offer))
        if found is None or not offer.price_cents:
            continue
        was = found.offer.price_cents
        assert was is not None
        ratio = offer.price_cents / was
        if not 1 / FARTHEST < ratio < FARTHEST:
            message = (
                f"{_what(offer)} is {_money(offer.price_cents)}, but was {_money(was)} until {found.replaced}"
            )
            yield _question(
                "offer-price-jump",
                place(offer.row, "price"),
                message,
                "is it meant? Check the price and the unit",
            )


def _near(ratio: Decimal, size: Decimal) -> bool:
    return size / NEAR <= ratio <= size * NEAR


def _what(offer: Offer) -> str:
    return f'"{offer.part}" at "{offer.supplier}", {offer.condition}, per {offer.per},'


def _money(cents: Decimal | None) -> str:
    return f"{(cents or Decimal(0)) / 100:,.2f}"


def _question(code: str, at: At, message: str, mend: str) -> Problem:
    return Problem(code, at, "", message, mend, severity="question")
