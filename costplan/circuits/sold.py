"""What circuits may know of prices: whether a part is sold at one, and in which lengths and numbers new ones are."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from costplan.model.catalog import Condition, Offer

ANY_LENGTH = Decimal("Infinity")


@dataclass(frozen=True, slots=True)
class Sold:
    """How a part with a price is sold new.

    `longest_new_ft` is the longest piece that is to be had, ANY_LENGTH where it is cut to length or counted, None where
    none is new; `new_without_limit` says that new ones are to be had as many as are asked for.
    """

    longest_new_ft: Decimal | None = None
    new_without_limit: bool = False

    def and_by(self, offer: Offer) -> "Sold":
        """The same with one more offer that has a price."""
        if offer.condition is not Condition.NEW or offer.available == 0:
            return self
        longest = max(self.longest_new_ft or Decimal(0), offer.piece_length_ft or ANY_LENGTH)
        return Sold(longest, self.new_without_limit or offer.available is None)


def sold_of(offers: Iterable[Offer]) -> Mapping[str, Sold]:
    """Parts by id that somebody sells at a price, and how."""
    found: dict[str, Sold] = {}
    for offer in offers:
        if offer.price_cents is not None:
            found[offer.part] = found.get(offer.part, Sold()).and_by(offer)
    return found
