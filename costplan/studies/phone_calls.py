"""The value of a phone call: which missing or old prices could change the plan, and at what price they would.

Prices are tried within a range, one at a time: from a third of what is known to three times that. The best
plan is solved anew at the ends of the range; between them the two plans are held and the price is halved, then
the plan is solved again there until no third plan is cheaper, at most a few times. What that leaves open is said.
"""

from collections.abc import Collection, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import ROUND_HALF_EVEN, Decimal

from costplan.circuits.facts import Facts
from costplan.ledger.held import HeldPlan
from costplan.ledger.pricing import Pricer
from costplan.ledger.same_plan import changed_machines
from costplan.model.catalog import Condition, Offer, Supplier
from costplan.model.left_out import Without
from costplan.model.prices import unit_cents
from costplan.program.bench import Bench
from costplan.program.clock import Clock, Tick
from costplan.program.ranked import TOO_LITTLE_TIME, NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.program.repriced import could_take, repriced
from costplan.sourcing.market import Market
from costplan.sourcing.oddities import FARTHEST, OLDEST_DAYS
from costplan.studies.beside import beside
from costplan.studies.crossing import Sides
from costplan.studies.left_out import the_rest

MOST_ROUNDS = 4
"""How often a third plan may turn up between two before the search for the price ends."""
WHOLE_CENT = Decimal(1)
TRIED = Decimal("0.0001")
"""How finely prices are tried, in cents."""
MOST_DOUBLINGS = 40


@dataclass(frozen=True, slots=True)
class Turn:
    """A price of one unit of the offer, in cents, at which another plan wins, and what that plan does.

    `exact` is False when a third plan may win somewhat sooner.
    """

    price_cents: Decimal
    change: str
    exact: bool


@dataclass(frozen=True, slots=True)
class Call:
    """A price that is not known well, and whether asking for it could matter.

    `why` says what is wrong with it. `used` is whether the best plan buys it, today or later. `cheaper` and
    `dearer` are where the plan changes below and above the price, None when it does not within the range.
    `worth_cents` is the most that holding on to the best plan would lose at a price within the range.
    """

    offer: Offer
    why: str
    used: bool
    cheaper: Turn | None
    dearer: Turn | None
    worth_cents: int

    @property
    def matters(self) -> bool:
        """Whether some price within the range changes the plan."""
        return self.cheaper is not None or self.dearer is not None


@dataclass(frozen=True, slots=True)
class Calls:
    """The calls that matter, dearest mistake first; how many prices do not matter; those there was no time for."""

    calls: tuple[Call, ...]
    idle: tuple[Offer, ...]
    not_looked_at: tuple[Offer, ...]
    best: Ranked
    times: Decimal
    left_out: tuple[Without, ...] = ()
    suppliers: Mapping[str, Supplier] = field(default_factory=dict)


def why_unsure(offer: Offer, today: date, oldest_days: int = OLDEST_DAYS) -> str | None:
    """What is wrong with an offer's price: missing, undated or old; None when it is known well."""
    if offer.condition is Condition.ON_HAND:
        return None
    if offer.price_cents is None:
        return "no price"
    if offer.seen is None:
        return "no date"
    days = (today - offer.seen).days
    return f"{days} days old" if days > oldest_days else None


def phone_calls(
    facts: Facts,
    *,
    oldest_days: int = OLDEST_DAYS,
    times: Decimal = FARTHEST,
    seconds: float | None = None,
    tick: Tick = bool,
) -> Calls:
    """Which unsure prices could change the best plan, from a `times`-th of what is known to `times` it.

    `seconds` limits the whole.

    Machines that have no way are left out. Raises NoPlanError when there is no plan at today's prices.
    """
    facts, clock = the_rest(facts), Clock(seconds)
    desk = _Desk(facts, times, clock, tick)
    unsure = {
        offer.row: why
        for offer in facts.catalog.offers
        if (why := why_unsure(offer, facts.shop.today, oldest_days)) and offer.row not in facts.catalog.paid
    }
    offers = [offer for offer in facts.catalog.offers if offer.row in unsure and desk.can_be_bought(offer)]
    used = {line.offer_row for line in desk.best.lines}
    asked = [offer for offer in offers if offer.row in used or desk.could_take(offer)]
    # Every other one, since offers of a kind stand together and take alike.
    every = 2 if desk.bench.priced_survey.large else 1
    its = asked[1::2] if every > 1 else []
    with beside(lambda: desk.looked_at(its, used), pays=bool(its)) as besides:
        first = desk.looked_at(asked[::every], used)
        second = besides.result()
    late = [*first.late, *second.late]
    cheaper, dearer = first.cheaper | second.cheaper, first.dearer | second.dearer
    worth = first.worth | second.worth
    rows = {offer.row: offer for offer in late}
    found = [
        Call(
            offer,
            unsure[offer.row],
            offer.row in used,
            cheaper.get(offer.row),
            dearer.get(offer.row),
            worth.get(offer.row, 0),
        )
        for offer in offers
        if offer.row not in rows
    ]
    calls = sorted(
        (call for call in found if call.matters), key=lambda call: (-call.worth_cents, call.offer.row)
    )
    idle = tuple(call.offer for call in found if not call.matters)
    return Calls(
        tuple(calls),
        idle,
        tuple(rows[row] for row in sorted(rows)),
        desk.best,
        times,
        facts.left_out,
        {supplier.id: supplier for supplier in facts.catalog.suppliers},
    )


def _lowest(facts: Facts, offer: Offer, times: Decimal) -> Decimal:
    """The lowest price that is tried: a share of the offer's, else of the cheapest other offer of the part."""
    if offer.price_cents is not None:
        return _tried(offer.price_cents / times)
    units = Decimal(offer.piece_length_ft or offer.by_the_foot or offer.pack_size)
    length = offer.piece_length_ft is not None or offer.by_the_foot is not None
    others = [
        price
        for other in facts.catalog.offers
        if other.part == offer.part
        and other.condition is not Condition.ON_HAND
        and (price := unit_cents(other))
        if length == (other.piece_length_ft is not None or other.by_the_foot is not None)
    ]
    return _tried(min(others) * units / times) if others else Decimal(0)


def _tried(cents: Decimal) -> Decimal:
    """A price as a file could say it; an endless fraction is no price."""
    return cents.quantize(TRIED, rounding=ROUND_HALF_EVEN)


@dataclass
class _Looked:
    """What was found about some offers, by their rows, and those for which the time did not suffice."""

    cheaper: dict[int, Turn | None] = field(default_factory=dict)
    dearer: dict[int, Turn | None] = field(default_factory=dict)
    worth: dict[int, int] = field(default_factory=dict)
    late: list[Offer] = field(default_factory=list)


class _Desk:
    """The shop at other prices: solved on the program of today's prices, or with a plan held."""

    def __init__(self, facts: Facts, times: Decimal, clock: Clock, tick: Tick) -> None:
        self.facts, self.times, self.clock, self.tick = facts, times, clock, tick
        self.rule = facts.shop.money.surplus
        tick("proving the best plan of today")
        self.bench = Bench.over(facts, self.rule)
        self.best = best_plans(self.bench, 1, clock=Clock(clock.share(1)))[0]
        self.known: dict[frozenset[int], Bench] = {frozenset(): self.bench}
        self.plans: dict[Hashable, HeldPlan] = {}

    @property
    def late(self) -> bool:
        """Whether the time is up."""
        return self.clock.up

    def looked_at(self, offers: Sequence[Offer], used: Collection[int | None]) -> _Looked:
        """Where some offers turn the plan: cheaper all of them, dearer those that the best plan uses."""
        found = _Looked()
        low = {offer.row: _lowest(self.facts, offer, self.times) for offer in offers}
        # What moves the best plan itself is asked for alone, for the total of a group says nothing of it.
        alone = [offer for offer in offers if self.moves_best(offer, low[offer.row])]
        together = [offer for offer in offers if offer not in alone]
        for group in [*([offer] for offer in alone), together]:
            for offer, ranked in self.that_matter(group, low, found.late):
                price = low[offer.row]
                found.cheaper[offer.row] = self.turn(offer, price, self.highest(offer, price, ranked), ranked)
                found.worth[offer.row] = self.held(self.best, {offer.row: price}) - ranked.present_value_cents
        for offer in offers:
            if offer.row not in used or offer.price_cents is None:
                continue
            dear = offer.price_cents * self.times
            try:
                other = self.cheaper_than_best({offer.row: dear})
            except NoPlanError:
                found.late.append(offer)
                continue
            if other is None:
                continue
            found.dearer[offer.row] = self.turn(offer, dear, offer.price_cents, other)
            loss = self.held(self.best, {offer.row: dear}) - other.present_value_cents
            found.worth[offer.row] = max(found.worth.get(offer.row, 0), loss)
        return found

    def can_be_bought(self, offer: Offer) -> bool:
        """Whether the shop's rule of sourcing lets the offer in at any price."""
        price = offer.price_cents or Decimal(1)
        return offer.row in Market(self.facts.at_prices({offer.row: price}), self.rule).rows

    def could_take(self, offer: Offer) -> bool:
        """Whether some plan could be cheapest that buys the offer at the lowest price that is tried."""
        return could_take(self._at({offer.row: _lowest(self.facts, offer, self.times)}), offer)

    def moves_best(self, offer: Offer, price_cents: Decimal) -> bool:
        """Whether the best plan, held, costs something else at another price of an offer."""
        return self.held(self.best, {offer.row: price_cents}) != self.best.present_value_cents

    def cheaper_than_best(self, prices: Mapping[int, Decimal]) -> Ranked | None:
        """The plan that is best at other prices; None where none is cheaper then than the best of today."""
        return self.solve(prices, self.held(self.best, prices) - 1)

    def solve(self, prices: Mapping[int, Decimal], at_most: int) -> Ranked | None:
        """The best plan at other prices that costs no more; None where there is none. Raises NoPlanError in lack of time."""
        if self.late:
            raise NoPlanError([TOO_LITTLE_TIME])
        self.tick("proving it at other prices")
        self._known(prices).frame(self.clock)
        found = best_plans(self._at(prices), 1, clock=Clock(self.clock.share(1)), at_most=at_most)
        if found and not found[0].proven:
            raise NoPlanError([TOO_LITTLE_TIME])
        return found[0] if found else None

    def held(self, ranked: Ranked, prices: Mapping[int, Decimal]) -> int:
        """What a plan costs at other prices, held as it is."""
        known = self._known(prices)
        market = known.pricers[0].market.repriced(known.facts.at_prices(prices), self.rule)
        pricer = Pricer(market.facts, market, ranked.plan.hiring)
        if ranked.plan.key not in self.plans:
            self.plans[ranked.plan.key] = HeldPlan.of(pricer, ranked.plan, ranked.chosen)
        return self.plans[ranked.plan.key].cents(pricer)

    def _known(self, prices: Mapping[int, Decimal]) -> Bench:
        """The shop with prices for those of the offers that have none today."""
        missing = self.facts.offers_without_price.intersection(prices)
        if missing not in self.known:
            facts = self.facts.at_prices({row: prices[row] for row in missing})
            self.known[missing] = repriced(self.bench, facts)
        return self.known[missing]

    def _at(self, prices: Mapping[int, Decimal]) -> Bench:
        known = self._known(prices)
        return repriced(known, known.facts.at_prices(prices))

    def that_matter(
        self, offers: Sequence[Offer], prices: Mapping[int, Decimal], late: list[Offer]
    ) -> Iterator[tuple[Offer, Ranked]]:
        """The offers that make another plan the best at their prices, each with its plan; found by halving the group.

        A lower price does not raise a total, so a group in which no plan gets cheaper than the best has none of them in it.
        """
        if not offers:
            return
        try:
            ranked = self.cheaper_than_best({offer.row: prices[offer.row] for offer in offers})
        except NoPlanError:
            late += offers
            return
        if ranked is None:
            return
        if len(offers) == 1:
            yield offers[0], ranked
            return
        middle = len(offers) // 2
        for half in (offers[:middle], offers[middle:]):
            yield from self.that_matter(half, prices, late)

    def turn(self, offer: Offer, wins: Decimal, loses: Decimal, other: Ranked) -> Turn:
        """The price next to `loses`, where the best plan is best, at which another wins; `other` is best at `wins`."""
        row, late = offer.row, False

        def cheaper(price: Decimal, at_most: int) -> Ranked | None:
            nonlocal late
            try:
                return self.solve({row: price}, at_most)
            except NoPlanError:
                late = True
                return None

        sides = Sides(lambda _: self.best, cheaper, lambda plan, price: self.held(plan, {row: price}))
        found = sides.turn(loses, wins, WHOLE_CENT, other, self.best, rounds=MOST_ROUNDS)
        return Turn(found.at, self._change(found.other), exact=found.exact and not late)

    def highest(self, offer: Offer, low: Decimal, other: Ranked) -> Decimal:
        """The offer's price, else one that is too high for the plan that wins at `low`."""
        if offer.price_cents is not None:
            return offer.price_cents
        high = max(low, Decimal(1))
        for _ in range(MOST_DOUBLINGS):
            if self.held(other, {offer.row: high}) >= self.best.present_value_cents:
                break
            high *= 2
        return high

    def _change(self, other: Ranked) -> str:
        """What the other plan does that the best does not, in words."""
        changed = changed_machines(other.plan, self.best.plan)
        ways = [
            f"{machine}: {way.describe()}" for machine, way, _ in other.plan.shares() if machine in changed
        ]
        if ways:
            return "; ".join(ways)
        if other.plan.gear_names != self.best.plan.gear_names:
            return "other shared equipment: " + (", ".join(sorted(other.plan.gear_names)) or "none")
        if other.plan.hiring.name != self.best.plan.hiring.name:
            return f"other hands: {other.plan.hiring.name}"
        return "the same ways, bought elsewhere"
