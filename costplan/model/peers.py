"""What else a part, or its kind, is offered for, and whether a price is far from that."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from decimal import Decimal
from statistics import median

from costplan.model.catalog import Condition, Offer
from costplan.model.prices import by_length, unit_cents


class Peers:
    """Prices of one piece or foot beside each other, the shelf's left out; `kinds` are those of parts, by id."""

    def __init__(self, offers: Iterable[Offer], kinds: Mapping[str, str] | None = None) -> None:
        self._kinds = kinds or {}
        self._of_part: dict[tuple[str, bool], list[tuple[Offer, Decimal]]] = defaultdict(list)
        self._of_kind: dict[tuple[str, bool], list[tuple[str, Decimal]]] = defaultdict(list)
        for offer in offers:
            price = unit_cents(offer)
            if price and offer.condition is not Condition.ON_HAND:
                self._of_part[offer.part, by_length(offer)].append((offer, price))
                if kind := self._kinds.get(offer.part):
                    self._of_kind[kind, by_length(offer)].append((offer.part, price))

    def of_part(self, offer: Offer, among: Collection[Condition]) -> list[Decimal]:
        """The other prices of its part in some conditions, in cents of one piece or foot."""
        known = self._of_part[offer.part, by_length(offer)]
        return [cents for other, cents in known if other.row != offer.row and other.condition in among]

    def of_kind(self, offer: Offer) -> list[Decimal]:
        """The prices of the other parts of its kind, in cents of one piece or foot."""
        known = self._of_kind[self._kinds.get(offer.part, ""), by_length(offer)]
        return [cents for part, cents in known if part != offer.part]


def middle_of(price: Decimal, others: Sequence[Decimal]) -> Decimal:
    """What a price is held against: the only other one, else the median with its own among them.

    So one odd price does not make odd ones of the rest.
    """
    return others[0] if len(others) == 1 else Decimal(median([*others, price]))


def is_far(price: Decimal, middle: Decimal, times: Decimal) -> bool:
    """Whether a price is so many times that, or so small a part of it."""
    return price >= middle * times or price * times <= middle
