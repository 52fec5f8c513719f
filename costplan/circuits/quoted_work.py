"""Work that somebody quoted, as a bundle."""

from decimal import Decimal

from costplan.circuits.needs import Bundle, Charge, Work

QUOTED_WORK = "quoted work"


def quoted_bundle(
    what: str,
    money_cents: Decimal,
    hired: tuple[Decimal, Decimal, Decimal],
    own: tuple[Decimal, Decimal, Decimal],
    *,
    permit: bool,
) -> Bundle:
    """Quoted money and hours, low, likely and high, as a bundle.

    One permit is asked for: by the hired hours, else by the owner's, else by the money.
    """
    work = tuple(
        Work(what, Decimal(1), hours, mine, permit and not (mine and any(hired)))
        for hours, mine in ((hired, False), (own, True))
        if any(hours)
    )
    paid_for = permit and not work
    charges = (Charge(what, money_cents, permit=paid_for),) if money_cents or paid_for else ()
    return Bundle(work=work, charges=charges)
