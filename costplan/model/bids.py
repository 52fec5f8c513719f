"""Bids received, as the user enters them: by the hour with a crew, or a fixed price for named work."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from pathlib import Path

from pydantic import Field

from costplan.files.problems import Problem, errors_of
from costplan.files.yaml_reader import Places, read_yaml
from costplan.model.base import Entry, Hours, MoneyCents, Number, meaning
from costplan.model.labor import PAIR, PAIR_PACE, PAIR_SPREAD, Crew, FixedBid, Role, paceless
from costplan.model.loading import entry_of
from costplan.model.shop import Shop


class BidKind(StrEnum):
    """How a bidder wants to be paid."""

    HOURLY = "hourly"
    FIXED = "fixed"


class Bid(Entry):
    """A bid received. Which of the words below it may have depends on its kind."""

    bidder: str
    """Who bids; the name shown, and for an hourly bid the name of the crew."""
    day: date | None = Field(None, alias="date")
    """The day on the bid."""
    valid_until: date | None = None
    """The last day the price holds; left out means it was not said."""
    kind: BidKind
    """hourly or fixed."""
    rate_cents: MoneyCents | None = Field(None, alias="rate", ge=0)
    """Hourly: money an hour for the whole crew."""
    people: int | None = Field(None, ge=1)
    """Hourly: how many work together; left out, 1."""
    pace: Number | None = Field(None, gt=0)
    """Hourly: work done an hour relative to one electrician; left out, 1, of two 1.9."""
    call_out_cents: MoneyCents | None = Field(None, alias="call_out", ge=0)
    """Hourly: charged each visit; left out, nothing."""
    minimum_cents: MoneyCents | None = Field(None, alias="minimum", ge=0)
    """Hourly: least labor charged for a visit; left out, nothing."""
    set_up_hours: Hours | None = Field(None, alias="set_up", ge=0)
    """Hourly: set-up and clean-up a visit that is charged, hours of one electrician; left out, none."""
    permit_cents: MoneyCents | None = Field(None, alias="permit", ge=0)
    """Hourly: permit and inspection; 0 when it is in the rate, left out when the bid is silent on it."""
    price_cents: MoneyCents | None = Field(None, alias="price", ge=0)
    """Fixed: the price."""
    covers: list[str] | None = Field(None, min_length=1)
    """Fixed: ids of the tasks the price is for."""
    covers_machines: list[str] | None = Field(None, min_length=1)
    """Fixed: machines and gear the price is for; left out, all of them."""
    includes_permit: bool | None = None
    """Fixed: whether the permit of the covered work is in the price; left out, it is not."""
    includes_parts: list[str] | None = Field(None, min_length=1)
    """Fixed: kinds of parts that the bidder brings for that price; left out, you supply all."""
    rest_by: str | None = None
    """Fixed: the hourly crew, listed or bidding here, that does the rest and all later work."""
    note: str = ""
    """Anything worth remembering."""

    @property
    def hourly(self) -> bool:
        """Whether it is paid by the hour."""
        return self.kind is BidKind.HOURLY

    def expired(self, today: date) -> bool:
        """Whether the price no longer holds on that day."""
        return self.valid_until is not None and self.valid_until < today


class BidsFile(Entry):
    """bids.yaml: the bids received."""

    bids: list[Bid]
    """The bids."""


@dataclass(frozen=True, slots=True)
class LoadedBids:
    """A file of bids, read: `bids` is None when there is an error among the problems."""

    bids: tuple[Bid, ...] | None
    places: Places
    problems: tuple[Problem, ...] = ()


BOTH_WORDS = frozenset({"bidder", "day", "valid_until", "kind", "note"})
NEEDED: dict[BidKind, tuple[str, ...]] = {
    BidKind.HOURLY: ("day", "rate_cents"),
    BidKind.FIXED: ("day", "price_cents", "covers", "rest_by"),
}
"""Fields that a bid of each kind must have."""
OPTIONAL: dict[BidKind, tuple[str, ...]] = {
    BidKind.HOURLY: ("people", "pace", "call_out_cents", "minimum_cents", "set_up_hours", "permit_cents"),
    BidKind.FIXED: ("covers_machines", "includes_permit", "includes_parts"),
}
"""Fields that a bid of each kind may have."""


def load_bids(path: Path) -> LoadedBids:
    """The bids of a file, each with the words of its kind; all that is wrong comes back as problems."""
    file, places, problems = entry_of(read_yaml(path), BidsFile)
    if file is not None:
        problems = problems + list(_shape_problems(file.bids, places))
    bids = None if file is None or errors_of(problems) else tuple(file.bids)
    return LoadedBids(bids, places, tuple(problems))


def _shape_problems(bids: Sequence[Bid], places: Places) -> Iterator[Problem]:
    for index, bid in enumerate(bids):
        for field in NEEDED[bid.kind]:
            if getattr(bid, field) is None:
                word = _word(field)
                text = meaning(Bid, field)
                code = f"bid-{word.replace('_', '-')}-missing"
                yield places.problem(
                    code,
                    ("bids", index),
                    f'is {bid.kind} and lacks "{word}"',
                    f"add {word}: {text}",
                    key=True,
                )
        if (bid.people or 1) > PAIR and bid.pace is None:
            message, mend = paceless(bid.people or 1)
            yield places.problem("bid-pace-missing", ("bids", index), message, mend, key=True)
        known = BOTH_WORDS | {*NEEDED[bid.kind], *OPTIONAL[bid.kind]}
        for field in sorted(bid.model_fields_set - known, key=list(Bid.model_fields).index):
            word = _word(field)
            allowed = ", ".join(_word(name) for name in (*NEEDED[bid.kind], *OPTIONAL[bid.kind]))
            yield places.problem(
                f"bid-{word.replace('_', '-')}-other-kind",
                ("bids", index, word),
                f"does not belong to a bid that is {bid.kind}",
                f"delete it, or change kind:; allowed: {allowed}",
                key=True,
            )


def _word(field: str) -> str:
    return Bid.model_fields[field].alias or field


def crew_of(bid: Bid, permit_cents: Decimal = Decimal(0)) -> Crew:
    """The crew that an hourly bid offers; `permit_cents` is its permit when the bid is silent on it.

    Raises ValueError for a fixed bid.
    """
    if not bid.hourly or bid.rate_cents is None:
        raise ValueError(f"{bid.bidder} is no hourly bid")
    nothing = Decimal(0)
    people = bid.people or 1
    guessed = people == PAIR and bid.pace is None
    # All of it is validated already, in these very units.
    crew = Crew.model_construct(
        name=bid.bidder,
        role=Role.ELECTRICIAN,
        rate_cents=bid.rate_cents,
        people=people,
        call_out_cents=bid.call_out_cents or nothing,
        minimum_cents=bid.minimum_cents or nothing,
        set_up_hours=bid.set_up_hours or nothing,
        permit_cents=permit_cents if bid.permit_cents is None else bid.permit_cents,
    )
    return crew.at_pace(
        bid.pace or (PAIR_PACE if guessed else Decimal(1)), PAIR_SPREAD if guessed else nothing
    )


def fixed_of(bid: Bid) -> FixedBid:
    """The fixed bid as the comparison knows it. Raises ValueError for an hourly one."""
    if bid.hourly or bid.price_cents is None or bid.covers is None or bid.rest_by is None:
        raise ValueError(f"{bid.bidder} is no fixed bid")
    return FixedBid.model_construct(
        name=bid.bidder,
        price_cents=bid.price_cents,
        covers=tuple(bid.covers),
        rest_by=bid.rest_by,
        includes_permit=bool(bid.includes_permit),
    )


def bid_of(fixed: FixedBid) -> Bid:
    """A fixed bid of the shop file as one of the bids; its days are not known."""
    return Bid.model_construct(
        bidder=fixed.name,
        kind=BidKind.FIXED,
        price_cents=fixed.price_cents,
        covers=list(fixed.covers),
        rest_by=fixed.rest_by,
        includes_permit=fixed.includes_permit,
    )


def why_out(
    bids: Iterable[Bid], shop: Shop, crews: Iterable[Crew], *, today: date, expired: bool = False
) -> tuple[str, ...]:
    """For every bid in turn why it cannot take part in the choice, empty where it can.

    crews: those listed without the bids; expired: count bids whose day has passed all the same.
    A price for some machines only, or one with parts in it, is never part of the choice: the choice knows no
    such prices and would pay twice.
    """
    reasons = [(bid, _why_not(bid, shop, today=today, expired=expired)) for bid in bids]
    hired = {crew.name for crew in crews if crew.role is Role.ELECTRICIAN}
    hired |= {bid.bidder for bid, reason in reasons if bid.hourly and not reason}
    return tuple(
        f"its rest is by {bid.rest_by}, whose hourly bid takes no part"
        if not reason and not bid.hourly and bid.rest_by not in hired
        else reason
        for bid, reason in reasons
    )


def _why_not(bid: Bid, shop: Shop, *, today: date, expired: bool) -> str:
    if bid.expired(today) and not expired:
        return f"the price held until {bid.valid_until}"
    everything = {machine.name for machine in shop.machines} | {gear.name for gear in shop.gear}
    if bid.covers_machines is not None and not everything <= set(bid.covers_machines):
        return "the price is for some machines only"
    if bid.includes_parts:
        return "parts are in the price"
    return ""


def permit_of(crews: Iterable[Crew]) -> Decimal:
    """What a permit costs where a bid is silent: the dearest of the listed electricians', in cents."""
    return max((crew.permit_cents for crew in crews if crew.role is Role.ELECTRICIAN), default=Decimal(0))


def shop_with_bids(
    shop: Shop, crews: Iterable[Crew], bids: Iterable[Bid], *, today: date, expired: bool = False
) -> Shop:
    """The shop with the bids that can take part among its crews and fixed bids; see `why_out`.

    An hourly bid that is silent on the permit pays the dearest permit of the listed crews.
    """
    listed, offered = tuple(crews), tuple(bids)
    out = why_out(offered, shop, listed, today=today, expired=expired)
    open_bids = [bid for bid, reason in zip(offered, out, strict=True) if not reason]
    permit = permit_of(listed)
    return shop.model_copy(
        update={
            "crews": [*shop.crews, *(crew_of(bid, permit) for bid in open_bids if bid.hourly)],
            "bids": [*shop.bids, *(fixed_of(bid) for bid in open_bids if not bid.hourly)],
        }
    )
