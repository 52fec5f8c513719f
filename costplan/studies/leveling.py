"""Bids brought to the same scope as the estimate, and compared with it."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from costplan.circuits.facts import Facts
from costplan.ledger.lines import LineKind
from costplan.model.bids import Bid, crew_of, why_out
from costplan.model.labor import Crew, Role
from costplan.model.money import format_cents, to_cents
from costplan.program.ranked import Ranked
from costplan.studies.break_even import BreakEven, against
from costplan.studies.hired_scope import (
    CentPoints,
    CostRow,
    HourPoints,
    ScopeItem,
    charge,
    covered_by,
    hours_of,
    price_scope,
    scope_today,
)


@dataclass(frozen=True, slots=True)
class Estimate:
    """What the hired work of a plan comes to today by one crew; `hours` are the work's, set-up left out."""

    crew: Crew
    rows: tuple[CostRow, ...]
    hours: HourPoints

    @property
    def total(self) -> CentPoints:
        """The sum of the rows."""
        return CentPoints.total(row.cents for row in self.rows)


class Part(StrEnum):
    """What a line of a leveled bid is."""

    PRICE = "price"
    ADDED = "left out"
    TAKEN_OFF = "taken off"


@dataclass(frozen=True, slots=True)
class LevelLine:
    """One amount of a leveled bid, at expected hours where hours count."""

    part: Part
    what: str
    amount_cents: int


class AgainstEstimate(StrEnum):
    """Where a leveled bid stands against the estimate."""

    BELOW = "below low"
    WITHIN = "within"
    ABOVE = "above high"


@dataclass(frozen=True, slots=True)
class LeveledBid:
    """A bid at the estimate's scope. `spread` is its own cost at low, likely, high hours when it is hourly.

    `kept_out` says why it takes no part in the choice, empty when it does.
    """

    bid: Bid
    lines: tuple[LevelLine, ...]
    difference: CentPoints
    standing: AgainstEstimate
    spread: CentPoints | None
    kept_out: str
    remarks: tuple[str, ...]

    @property
    def total_cents(self) -> int:
        """The leveled total: the sum of the lines."""
        return sum(line.amount_cents for line in self.lines)

    @property
    def price_cents(self) -> int:
        """What the bidder asks, without what was added or taken off."""
        return self._sum(Part.PRICE)

    @property
    def added_cents(self) -> int:
        """What it leaves out, at the estimate."""
        return self._sum(Part.ADDED)

    @property
    def taken_off_cents(self) -> int:
        """What it holds beyond the scope, below 0."""
        return self._sum(Part.TAKEN_OFF)

    @property
    def missing(self) -> tuple[str, ...]:
        """What it leaves out, by name."""
        return tuple(line.what for line in self.lines if line.part is Part.ADDED)

    def _sum(self, part: Part) -> int:
        return sum(line.amount_cents for line in self.lines if line.part is part)


@dataclass(frozen=True)
class Leveling:
    """The bids beside the estimate of one plan."""

    facts: Facts
    ranked: Ranked
    estimate: Estimate
    bids: tuple[LeveledBid, ...]
    break_evens: tuple[BreakEven, ...]
    remarks: tuple[str, ...]


def level(
    facts: Facts, ranked: Ranked, bids: Iterable[Bid], *, today: date, expired: bool = False
) -> Leveling:
    """Every bid at the scope of a plan today, beside the estimate of that plan's own hourly crew.

    facts: without the bids, `ranked` a plan of them; bids: see `all_bids`. What a bid leaves out is added at
    the estimate's expected hours and rate, with the visit it takes; parts it brings are taken off at what the
    plan pays for them.
    """
    listed = tuple(bids)
    scope, crew = scope_today(facts, ranked), ranked.plan.hiring.crew
    rows = price_scope(scope, crew, permit=any(item.permit for item in scope))
    estimate = Estimate(crew, rows, hours_of(scope, crew))
    out = why_out(listed, facts.shop, facts.crews, today=today, expired=expired)
    leveled = tuple(
        (_level_hourly if bid.hourly else _level_fixed)(_Desk(facts, ranked, scope, estimate), bid, reason)
        for bid, reason in zip(listed, out, strict=True)
    )
    crews = [c for c in facts.crews if c.role is Role.ELECTRICIAN]
    crews += [crew_of(bid, crew.permit_cents) for bid in listed if bid.hourly]
    evens = tuple(against(hourly, bid, scope) for bid in listed if not bid.hourly for hourly in crews)
    return Leveling(facts, ranked, estimate, leveled, evens, tuple(_remarks(ranked, scope)))


@dataclass(frozen=True, slots=True)
class _Desk:
    facts: Facts
    ranked: Ranked
    scope: tuple[ScopeItem, ...]
    estimate: Estimate


def _remarks(ranked: Ranked, scope: Sequence[ScopeItem]) -> Iterator[str]:
    if not scope:
        yield "this plan hires nobody today: there is no work to bid on"
    quoted = sum(line.amount_cents for line in ranked.lines if line.kind is LineKind.QUOTE and not line.year)
    if quoted:
        yield f"quoted work of {format_cents(quoted)} today stands as quoted and is in no estimate or bid here"


def _level_hourly(desk: _Desk, bid: Bid, out: str) -> LeveledBid:
    crew = crew_of(bid)
    needs_permit = any(item.permit for item in desk.scope)
    rows = price_scope(desk.scope, crew, permit=needs_permit)
    lines = [LevelLine(Part.PRICE, row.what, row.cents.expected) for row in rows if _said(row)]
    permit = to_cents(desk.estimate.crew.permit_cents)
    if needs_permit and bid.permit_cents is None and permit:
        lines.append(LevelLine(Part.ADDED, "permit and inspection, not said", permit))
        rows = (*rows, charge("permit", CentPoints.same(permit)))
    spread = CentPoints.total(row.cents for row in rows)
    return _leveled(desk, bid, lines, spread, out, [])


def _level_fixed(desk: _Desk, bid: Bid, out: str) -> LeveledBid:
    left = [item for item in desk.scope if not covered_by(bid, item)]
    open_permit = any(
        item.permit and not (covered_by(bid, item) and bid.includes_permit) for item in desk.scope
    )
    rows = price_scope(left, desk.estimate.crew, permit=open_permit)
    lines = [LevelLine(Part.PRICE, "the fixed price", to_cents(bid.price_cents or Decimal(0)))]
    lines += [LevelLine(Part.ADDED, _left_words(row, left), row.cents.expected) for row in rows if _said(row)]
    lines += _parts_off(desk, bid)
    return _leveled(desk, bid, lines, None, out, list(_fixed_remarks(desk, bid)))


def _said(row: CostRow) -> bool:
    """A task is named even when it costs nothing; a charge that does not arise is not."""
    return bool(row.task or row.cents.expected)


def _left_words(row: CostRow, left: Sequence[ScopeItem]) -> str:
    machines = sorted({item.machine for item in left if item.task == row.task and item.machine})
    return f"{row.what} ({', '.join(machines)})" if row.task and machines else row.what


GOODS = (LineKind.PART, LineKind.TAX, LineKind.MARKUP)
"""Lines of what parts cost, with what comes on top."""


def _parts_off(desk: _Desk, bid: Bid) -> Iterator[LevelLine]:
    """Parts the bidder brings, at what the plan pays for them with tax; fees and cuts are left as they are."""
    if bid.covers_machines is not None:
        return
    offers = {offer.row: offer for offer in desk.facts.catalog.offers}
    paid: dict[str, int] = defaultdict(int)
    for line in desk.ranked.lines:
        if line.year == 0 and line.kind in GOODS and line.offer_row in offers:
            paid[desk.facts.parts[offers[line.offer_row].part].kind] += line.amount_cents
    for kind in dict.fromkeys(bid.includes_parts or ()):
        if paid[kind]:
            yield LevelLine(Part.TAKEN_OFF, f"{kind}, which you then need not buy, with tax", -paid[kind])


def _fixed_remarks(desk: _Desk, bid: Bid) -> Iterator[str]:
    asked = {item.task for item in desk.scope}
    spare = [task for task in bid.covers or () if task not in asked]
    if spare:
        yield f"also covers what this plan does not hire: {', '.join(spare)}"
    if not any(covered_by(bid, item) for item in desk.scope):
        yield "covers none of this plan's hired work"
    if bid.includes_parts and bid.covers_machines is not None:
        yield "parts of some machines are in the price; nothing is taken off for them"
    if bid.rest_by != desk.estimate.crew.name and any(not covered_by(bid, item) for item in desk.scope):
        yield f"{bid.rest_by} would do the rest; here it is added by {desk.estimate.crew.name}"


def _leveled(
    desk: _Desk, bid: Bid, lines: Sequence[LevelLine], spread: CentPoints | None, out: str, remarks: list[str]
) -> LeveledBid:
    total, estimated = sum(line.amount_cents for line in lines), desk.estimate.total
    standing = (
        AgainstEstimate.BELOW
        if total < estimated.low
        else AgainstEstimate.ABOVE
        if total > estimated.high
        else AgainstEstimate.WITHIN
    )
    difference = CentPoints(
        total - estimated.low, total - estimated.likely, total - estimated.high, total - estimated.expected
    )
    return LeveledBid(bid, tuple(lines), difference, standing, spread, out, tuple(remarks))
