"""What the share of surplus that fails does to a purchase: more is paid for, looked at, or bought.

There are three ways. By the allowance what fails is bought again, and of that the same share fails, so that for every good
piece 1 / (1 - share) are paid for and looked at: the sum of a geometric series. By whole spares so many pieces are bought
that the good ones among them are enough; all are looked at, and nothing more is paid for. A lot is bought as it is: a share
of its pieces is usable, and all are looked at.
"""

from dataclasses import dataclass
from decimal import Decimal

from costplan.model.catalog import SURPLUS, Kind, Offer


@dataclass(frozen=True, slots=True)
class Rejects:
    """What of an offer fails, by one of the three ways."""

    share: Decimal
    """Of what is bought, where what fails is bought again; 0 where spares or a lot have it in them."""
    pack: int | None
    """Pieces in a pack, or whole feet in a reel; 1 for single pieces that are bought with spares; None when sold singly."""
    good: Decimal = Decimal(1)
    """The share of a pack that is counted on."""
    looked_at: int = 0
    """Pieces of a pack that are all looked at; 0 where only what is taken is."""


def rejects_of(offer: Offer, kind: Kind, *, spares: bool) -> Rejects:
    """What fails of an offer; spares: whole pieces more are bought for the surplus that may fail."""
    length = offer.piece_length_ft
    share = kind.reject.get(offer.condition, Decimal(0)) if offer.condition in SURPLUS else Decimal(0)
    pack = int(length) if length is not None else offer.pack_size if offer.pack_size > 1 else None
    if offer.is_lot:
        good = offer.usable if offer.usable is not None else 1 - share
        return Rejects(Decimal(0), offer.pack_size, good, offer.pack_size)
    if spares and share and kind.sold == "each":
        return Rejects(Decimal(0), pack or 1, 1 - share, pack or 1)
    return Rejects(share, pack)


def paid_again(paid: Decimal, share: Decimal) -> Decimal:
    """What is paid again for the pieces that replace those that fail, of what is paid for all."""
    return paid * share / (1 - share)


def until_good(pieces: int, each: Decimal, share: Decimal) -> Decimal:
    """What so many good pieces take where each one that is tried takes so much, good or not."""
    return each * pieces / (1 - share)
