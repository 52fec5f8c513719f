"""In which order uses are served from what is set free, and what of it is taken out, for program and walk alike."""

from costplan.circuits.needs import Return
from costplan.circuits.things import Made
from costplan.model.leases import capped_comes_out
from costplan.model.shop import Shop
from costplan.years.stream import Use


def comes_out(shop: Shop, left: Return) -> bool:
    """Whether what nobody uses again is taken out at the lease's end: what stands, and capped runs where that is said."""
    return bool(left.taken_out) and (left.stays or capped_comes_out(shop))


def in_order(use: Use) -> tuple[bool, int]:
    """The order in which uses of one date are served.

    Outlets first, since a breaker that one of them sets free may serve another of that date; then the longest cord first,
    since what is cut off it may serve a shorter one.
    """
    return use.thing.item.spec.kind != Made.OUTLET, -use.thing.item.length_ft
