"""The same thing written twice: offers of one thing in several rows, and parts and suppliers under two names."""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from typing import TypeVar

from costplan.checks.check_prices import priced_twice, twice_words
from costplan.files.problems import At, Problem
from costplan.model.amending import by_key
from costplan.model.catalog import Condition, Offer, Part, Supplier

Thing = TypeVar("Thing")

FilePlace = Callable[[str, tuple[str | int, ...]], At]
"""Where an entry of a YAML file is, by the file's name and its trail."""


def repeated_offers(offers: Iterable[Offer], place: Callable[[int, str], At]) -> Iterator[Problem]:
    """Rows that price the same part, supplier, condition and unit as an earlier row: an error as in every command.

    A row without a price beside one with it is a question, as are lots that are alike in all.
    """
    listed = list(offers)
    refused = set()
    for offer, other in priced_twice(listed):
        refused.add(offer.row)
        yield Problem("offer-twice", place(offer.row, "price"), "", *twice_words(offer, other))
    for same in by_key(listed).values():
        first = same[0]
        for offer in same[1:]:
            if offer.condition is Condition.ON_HAND or offer.row in refused:
                continue
            lots = offer.available is not None and first.available is not None
            if offer.price_cents == first.price_cents and (offer.available == first.available or not lots):
                message = f'prices "{offer.part}" as row {first.row} does'
                mend = "take one out; as it is, it is offered twice"
            elif lots:
                continue
            else:
                message = f'prices "{offer.part}" again: {_said(offer)}, row {first.row}: {_said(first)}'
                mend = "keep the one that has a price and take the other out"
            yield Problem("offer-twice", place(offer.row, "part"), "", message, mend, severity="question")


def twin_parts(parts: Sequence[Part], place: FilePlace) -> Iterator[Problem]:
    """Questions about parts of one kind with the same attributes, whose prices then compete unseen."""
    found = _alike(
        parts, lambda part: (part.kind, frozenset(part.attributes.items())) if part.attributes else part.id
    )
    for index, first in found:
        part = parts[index]
        message = (
            f'"{part.id}" has the kind and the attributes of "{parts[first].id}", so either may be bought'
        )
        mend = "is it one thing under two ids? Then keep one and change the offers of the other"
        yield Problem(
            "part-twin", place("parts.yaml", ("parts", index, "id")), "", message, mend, severity="question"
        )


def twin_suppliers(suppliers: Sequence[Supplier], place: FilePlace) -> Iterator[Problem]:
    """Questions about suppliers that share a name, whose fees are then paid twice."""
    for index, first in _alike(suppliers, lambda supplier: " ".join(supplier.name.lower().split())):
        message = f'"{suppliers[index].id}" is named as "{suppliers[first].id}" is'
        mend = "is it one supplier under two ids? Then its fees are counted twice"
        yield Problem(
            "supplier-twin",
            place("suppliers.yaml", ("suppliers", index, "name")),
            "",
            message,
            mend,
            severity="question",
        )


def _alike(things: Sequence[Thing], key: Callable[[Thing], Hashable]) -> list[tuple[int, int]]:
    """Pairs of a later thing and the first one with its key."""
    groups: dict[Hashable, list[int]] = defaultdict(list)
    for index, thing in enumerate(things):
        groups[key(thing)].append(index)
    return sorted((index, group[0]) for group in groups.values() for index in group[1:])


def _said(offer: Offer) -> str:
    price = "no price" if offer.price_cents is None else f"{offer.price_cents / 100:,.2f}"
    return f"{price}, seen {offer.seen}" if offer.seen else price
