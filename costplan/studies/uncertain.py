"""Which uncertain figure moves which line of a plan, and how; nothing is drawn here.

A line's worth is what the plan says, times a factor for each figure that it follows: hours, an hour's rate, the price of
an offer, shares that fail or come back, growth, the discount rate, a scenario's weight. What has no range of its own in
the files has that of `standards.spreads`, or none.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from functools import cached_property

from costplan.circuits.facts import Facts
from costplan.ledger.least_charges import LeastCharge
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.model.catalog import SURPLUS, Condition, Kind, Offer, Part, Supplier
from costplan.model.choices import Distribution, RejectRule
from costplan.model.experience import expected_hours
from costplan.model.labor import Crew, Role
from costplan.model.ranges import WIDEST_SPREAD, Ranged, ends_of
from costplan.model.spelled_out import moves_of
from costplan.sourcing.deal import deal_of
from costplan.standards import spreads

PRICED = (
    LineKind.PART,
    LineKind.TAX,
    LineKind.MARKUP,
    LineKind.FEE,
    LineKind.FREIGHT,
    LineKind.RISK,
    LineKind.QUOTE,
)
"""Lines that err with a price, besides resale."""
GROWING: Mapping[LineKind, str] = {
    LineKind.LABOR: "labor",
    LineKind.CALL_OUT: "labor",
    LineKind.MINIMUM: "labor",
    LineKind.PERMIT: "labor",
    LineKind.ELECTRICITY: "electricity",
}
"""Whose growth a line follows; all others that of parts."""
HALF_WIDTH: Mapping[Distribution, Decimal] = {
    Distribution.PERT: Decimal(7).sqrt(),
    Distribution.TRIANGULAR: Decimal(6).sqrt(),
}
"""Half the width of a range of which the likely figure is the middle, in standard deviations. Source: the variance of the
beta-PERT, (mean - low)(high - mean) / 7, and of the triangular distribution, width squared / 24."""
NEARLY_ALL = Decimal("0.95")
"""The most of surplus that is taken to fail where nobody gave a range. A choice, no source."""


class Bend(StrEnum):
    """How a line follows a figure."""

    ALONG = "along"
    """As the figure itself."""
    AGAINST = "against"
    """As one over it: hours with pace."""
    COMPOUND = "compound"
    """As (1 + figure) to the power of years: growth; of years below nothing, discounting."""
    ODDS = "odds"
    """As q / (1 - q): what fails, beside what is good."""
    BOUGHT = "bought"
    """As 1 / (1 - q): all that is bought until so much is good."""
    WEIGHT = "weight"
    """As its share of all weights together."""


@dataclass(frozen=True, slots=True, order=True)
class Figure:
    """What may turn out between low and high, most likely `likely`; plans reckon with `base`.

    Figures of the same `along` have `share` of their ranks in common: 0 nothing, 1 all.
    """

    name: str
    low: float
    likely: float
    high: float
    base: float
    along: str = ""
    share: float = 0.0


DISCOUNT_RATE = "discount rate"


def price_of(offer: Offer) -> str:
    """The name of the figure that is an offer's price."""
    return f"price of offer {offer.row}"


def price_along(what: str) -> str:
    """The name of what prices that move along with something have in common."""
    return f"price of {what}"


def rate_of(crew: Crew) -> str:
    """The name of the figure that is a crew's hourly rate."""
    return f"rate of {crew.name}"


def pace_of(crew: str) -> str:
    """The name of the figure that is a crew's pace."""
    return f"pace of {crew}"


def hours_of(crew: Crew) -> str:
    """The name of how slow somebody is at everything: the owner, or the hired, since the job slows whoever is hired.

    How fast one crew is beside another is its pace, which is a figure of its own.
    """
    return "hours of hired electricians" if crew.role is Role.ELECTRICIAN else f"hours of {crew.name}"


def failing_of(kind: Kind, condition: Condition) -> str:
    """The name of the share of a kind's pieces in a condition that fails."""
    return f"failing of {kind.kind}, {condition}"


def weight_drawn(scenario: str) -> str:
    """The name under which a scenario's weight is drawn."""
    return f"weight of {scenario}"


@dataclass(frozen=True, slots=True, order=True)
class Mover:
    """A figure and how lines follow it."""

    figure: Figure
    bend: Bend = Bend.ALONG
    years: int = 0
    beside: tuple[Figure, ...] = ()
    """The weights of all scenarios, where it is one of them."""


Group = tuple[Mover, ...]
"""What lines follow together."""


@dataclass(frozen=True)
class Short:
    """What visits are short of their least charge, in the money of their year: that less their labor, where it is above 0.

    `worth` is what one cent of it is worth in the sum that it is added to, which follows `time`; `today` is also cash.
    """

    lacking: Mapping[Group, int]
    time: Group
    worth: float
    today: bool


@dataclass(frozen=True)
class Grouped:
    """A plan's lines by what they follow: today's worth and today's cash, in cents.

    What visits are short of their least charge stands in neither sum: it is there in the draws in which there is too little
    work, and as large as then.
    """

    worth: Mapping[Group, int]
    cash_today: Mapping[Group, int]
    shorts: tuple[Short, ...] = ()


@dataclass(frozen=True)
class Uncertain:
    """What may turn out otherwise in a shop."""

    facts: Facts

    def grouped(self, lines: Iterable[Line], charges: Iterable[LeastCharge] = ()) -> Grouped:
        """Lines that follow the same figures are summed; `charges` are the least charges of visits."""
        worth: dict[Group, int] = defaultdict(int)
        cash: dict[Group, int] = defaultdict(int)
        for line in lines:
            if line.kind is LineKind.MINIMUM:
                continue
            priced = tuple(sorted(self._of_amount(line)))
            if line.year == 0 and line.pocket is Pocket.CASH:
                cash[priced] += line.amount_cents
            worth[tuple(sorted({*priced, *self._of_time(line)}))] += line.present_value_cents
        shorts = (
            self._short(charge, tuple(sorted(self._of_time(charge.line))), float(charge.worth))
            for charge in charges
        )
        return Grouped(worth, cash, tuple(shorts))

    def cash_of_year(self, lines: Iterable[Line], charges: Iterable[LeastCharge] = ()) -> Grouped:
        """Cash of one year of a scenario in that year's money, as `worth`; `charges` are as for `grouped`, of that year."""
        cash: dict[Group, int] = defaultdict(int)
        for line in lines:
            if line.pocket is not Pocket.CASH or line.kind is LineKind.MINIMUM:
                continue
            cash[tuple(sorted({*self._of_amount(line), *self._of_moves(line)}))] += line.amount_cents
        shorts = (self._short(charge, tuple(self._of_moves(charge.line)), 1.0) for charge in charges)
        return Grouped(cash, {}, tuple(shorts))

    def _short(self, charge: LeastCharge, time: Group, worth: float) -> Short:
        lacking: dict[Group, int] = defaultdict(int)
        lacking[tuple(sorted(self._of_amount(charge.line)))] += charge.line.amount_cents
        for line in charge.labor:
            lacking[tuple(sorted(self._of_amount(line)))] -= line.amount_cents
        return Short(lacking, time, worth, not charge.line.year)

    def _of_time(self, line: Line) -> Iterator[Mover]:
        """What the worth of a line follows besides its amount: the discount rate, its scenario's weight, how often it moves."""
        if line.year and (rate := self._discount):
            yield Mover(rate, Bend.COMPOUND, -line.year)
        if line.scenario in self._weights:
            yield Mover(self._weights[line.scenario], Bend.WEIGHT, beside=tuple(self._weights.values()))
        yield from self._of_moves(line)

    def _of_moves(self, line: Line) -> Iterator[Mover]:
        if line.in_turn and (moves := self._moves.get(line.scenario)):
            yield Mover(moves)

    def _of_amount(self, line: Line) -> Iterator[Mover]:
        if line.grown_years and (growth := self._growth.get(GROWING.get(line.kind, "parts"))):
            yield Mover(growth, Bend.COMPOUND, line.grown_years)
        price = self.facts.shop.money.electricity_cents_per_kwh
        if line.kind is LineKind.ELECTRICITY and isinstance(price, Ranged):
            yield Mover(_own("price of electricity", price))
        if line.kind is LineKind.LABOR:
            yield from self._of_labor(line)
        if line.offer_row:
            yield from self._of_offer(line)
        elif line.price_of and line.kind in (*PRICED, LineKind.RESALE):
            yield Mover(self._spread_out(f"price: {line.price_of}", self._uncertainty))

    def _of_labor(self, line: Line) -> Iterator[Mover]:
        crew = self._crews.get(line.crew)
        if crew is not None and isinstance(crew.rate_cents, Ranged) and crew.rate_cents:
            rate = _own(rate_of(crew), crew.rate_cents)
            if crew.rate_from is not None:
                rate = replace(
                    rate, along=f"rate of {crew.rate_from}", share=float(spreads.share_of_reckoned_rate())
                )
            yield Mover(rate)
        if line.hours_range is not None and (mean := expected_hours(line.hours_range)):
            if line.hours_range[0] < line.hours_range[2]:
                # Who is slow is slow at everything.
                slow = hours_of(crew) if crew is not None else f"hours of {line.crew}"
                low, likely, high = (round(float(hours / mean), 9) for hours in line.hours_range)
                yield Mover(Figure(slow, low, likely, high, 1.0, slow, 1.0))
            if crew is not None and crew.pace_spread and crew.role is Role.ELECTRICIAN:
                yield Mover(self._spread_out(pace_of(crew.name), crew.pace_spread), Bend.AGAINST)

    def _of_offer(self, line: Line) -> Iterator[Mover]:
        offer = self._offers[line.offer_row]
        part = self.facts.parts[offer.part]
        kind = self.facts.kinds[part.kind]
        if line.kind in (*PRICED, LineKind.RESALE):
            yield Mover(self._price(offer, kind))
        if line.kind is LineKind.RESALE and (share := self._resale(offer, part, kind)):
            yield Mover(share)
        if failing := self._failing(offer, part, kind):
            if line.pocket is Pocket.ALLOWANCE:
                yield Mover(failing, Bend.ODDS)
            elif line.kind is LineKind.LABOR:
                yield Mover(failing, Bend.BOUGHT)

    def _price(self, offer: Offer, kind: Kind) -> Figure:
        """The price of an offer: its own range, else a spread by its kind, its condition and when it was seen."""
        name, along = price_of(offer), moves_with(kind)
        share = float(spreads.share_along(along)) if along else 0.0
        tied = (price_along(along), share) if along else ("", 0.0)
        if isinstance(offer.price_cents, Ranged) and offer.price_cents:
            return _own(name, offer.price_cents, *tied)
        return self._spread_out(name, price_spread(self.facts, offer, kind), *tied)

    def _resale(self, offer: Offer, part: Part, kind: Kind) -> Figure | None:
        own = part.resale is not None
        share = ((part if own else kind).resale or {}).get(offer.condition, Decimal(0))
        if not share:
            return None
        name = f"resale of {part.id if own else kind.kind}, {offer.condition}"
        return (
            _own(name, share)
            if isinstance(share, Ranged)
            else self._spread_out(name, spreads.resale_spread(), of=share, at_most=max(Decimal(1), share))
        )

    def _failing(self, offer: Offer, part: Part, kind: Kind) -> Figure | None:
        """The share of an offer's pieces that fails, where a plan counts it by its expected share."""
        if offer.condition not in SURPLUS:
            return None
        supplier = self._suppliers[offer.supplier]
        share = deal_of(offer, part, kind, supplier, spares=self._spares).reject
        if not share:
            return None
        name = failing_of(kind, offer.condition)
        return (
            _own(name, share)
            if isinstance(share, Ranged)
            else self._spread_out(name, spreads.failing_spread(), of=share, at_most=max(NEARLY_ALL, share))
        )

    def _spread_out(
        self,
        name: str,
        spread: Decimal,
        along: str = "",
        tied: float = 0.0,
        *,
        of: Decimal = Decimal(1),
        at_most: Decimal | None = None,
    ) -> Figure:
        """A figure as far off to either side, by one standard deviation as a share of it."""
        half = min(spread * HALF_WIDTH[self.facts.shop.money.distribution], Decimal(1))
        low, high = of * (1 - half), of * (1 + half)
        high = high if at_most is None else min(high, at_most)
        return Figure(name, float(low), float(of), float(high), float(of), along, tied)

    @cached_property
    def _uncertainty(self) -> Decimal:
        return self.facts.shop.money.price_uncertainty

    @cached_property
    def _discount(self) -> Figure | None:
        rate = self.facts.shop.money.discount_rate
        return _own(DISCOUNT_RATE, rate) if isinstance(rate, Ranged) else None

    @cached_property
    def _growth(self) -> Mapping[str, Figure]:
        growth = self.facts.shop.money.growth
        rates = {"parts": growth.parts, "labor": growth.labor, "electricity": growth.electricity}
        return {
            word: _own(f"growth of {word}", rate) for word, rate in rates.items() if isinstance(rate, Ranged)
        }

    @cached_property
    def _weights(self) -> Mapping[str, Figure]:
        """The weight of every scenario, where any has a range; the others are as they are."""
        scenarios = self.facts.shop.scenarios
        if not any(isinstance(scenario.weight, Ranged) for scenario in scenarios):
            return {}
        return {s.name: _own(weight_drawn(s.name), s.weight) for s in scenarios}

    @cached_property
    def _moves(self) -> Mapping[str, Figure]:
        """How often machines are moved in turn, by scenario, where that has a range; plans reckon with whole moves."""
        found, years = dict[str, Figure](), self.facts.written.years
        for scenario in self.facts.written.scenarios:
            short = scenario.rearranged
            if short is None or not ends_of(short.often):
                continue
            counted = len(moves_of(short, years))
            if not counted:
                continue
            base = counted if short.times_per_year is None else counted / max(years - 1, 1)
            found[scenario.name] = replace(_own(f"moves in {scenario.name}", short.often), base=float(base))
        return found

    @cached_property
    def _crews(self) -> Mapping[str, Crew]:
        return {crew.name: crew for crew in (*self.facts.crews, self.facts.owner)}

    @cached_property
    def _suppliers(self) -> Mapping[str, Supplier]:
        return {supplier.id: supplier for supplier in self.facts.catalog.suppliers}

    @cached_property
    def _spares(self) -> bool:
        return self.facts.shop.money.rejects is RejectRule.WHOLE_SPARES

    @cached_property
    def _offers(self) -> Mapping[int, Offer]:
        return {offer.row: offer for offer in self.facts.catalog.offers}


def moves_with(kind: Kind) -> str:
    """What a price of the kind moves along with: its own word, else copper for wire, cable and cord; empty for nothing."""
    if kind.moves_with is not None:
        return kind.moves_with
    return spreads.COPPER if kind.sold != "each" and "awg" in kind.attributes else ""


def price_spread(facts: Facts, offer: Offer, kind: Kind) -> Decimal:
    """One standard deviation of a price without a range, as a share: by kind, condition and the day it was seen."""
    said = facts.shop.money.price_uncertainty if kind.price_uncertainty is None else kind.price_uncertainty
    times = spreads.times_by_condition(offer.condition)
    if offer.condition is not Condition.ON_HAND:
        times *= spreads.times_by_age(None if offer.seen is None else (facts.shop.today - offer.seen).days)
    return min(said * times, WIDEST_SPREAD)


def _own(name: str, figure: Decimal | int, along: str = "", share: float = 0.0) -> Figure:
    """The range that the files give, or the figure alone as a range of no width."""
    low, likely, high = (float(end) for end in ends_of(figure) or (figure,) * 3)
    return Figure(name, low, likely, high, float(figure), along, share)
