"""What an offer comes to for one piece or one foot."""

from decimal import Decimal

from costplan.model.catalog import Offer


def units_of(offer: Offer) -> Decimal:
    """Pieces or feet in one `per`."""
    return offer.piece_length_ft or Decimal(offer.by_the_foot or offer.pack_size)


def by_length(offer: Offer) -> bool:
    """Whether it is sold by length."""
    return offer.by_the_foot is not None or offer.piece_length_ft is not None


def unit_cents(offer: Offer) -> Decimal | None:
    """The price of one piece, or of one foot of what is sold by length; None without a price."""
    return None if offer.price_cents is None else offer.price_cents / units_of(offer)


def likely_unit(ratio: Decimal, offer: Offer) -> str:
    """What price it may be, when it is so many times what is usual: that of a pack, a reel or a cent."""
    own = units_of(offer)
    if ratio < 1 and own > 1:
        return f"is it the price of one {'foot' if by_length(offer) else 'piece'}, not of a {offer.per}?"
    if ratio < 1:
        return "is it in cents or of a part of it? Write money: 12.50"
    if own == 1 and by_length(offer):
        return (
            "is it the price of 100 ft or of a reel, or in cents? Then write per: 100 ft, or reel of 250 ft"
        )
    if own == 1:
        return "is it the price of a box or a pack, or in cents? Then write per: box of 25, or 12.50"
    return f"is it the price of several, or in cents? It counts as that of one {offer.per}"
