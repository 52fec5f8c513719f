"""The value of a phone call: which missing or old prices could change the plan, and at what price they would.

Prices are tried within a range, one at a time: from a third of what is known to three times that. The best
plan is solved anew at the ends of the range; between them the two plans are held and the price is halved, then
the plan is solved again there until no third plan is cheaper, at most a few times. What that leaves open is said.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import ROUND_HALF_EVEN, Decimal

from costplan.circuits.facts import Facts
from costplan.ledger.options import survey
from costplan.ledger.plan import changed_machines
from costplan.ledger.pricing import Pricer
from costplan.ledger.simulation import walk
from costplan.model.catalog import Condition, Offer, Supplier
from costplan.model.left_out import Without
from costplan.model.prices import unit_cents
from costplan.program.clock import Clock, Tick
from costplan.program.ranking import Bench, NoPlanError, Ranked, best_plans
from costplan.sourcing.market import SURPLUS, Market
from costplan.sourcing.oddities import FARTHEST, OLDEST_DAYS
from costplan.studies.beside import beside
from costplan.studies.left_out import the_rest

MOST_ROUNDS = 4
"""How often a third plan may turn up between two before the search for the price ends."""
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
    desk = _Desk(facts, clock, tick)
    unsure = {
        offer.row: why
        for offer in facts.catalog.offers
        if (why := why_unsure(offer, facts.shop.today, oldest_days)) and offer.row not in facts.catalog.paid
    }
    offers = [offer for offer in facts.catalog.offers if offer.row in unsure and desk.can_be_bought(offer)]
    used = {line.offer_row for line in desk.best.lines}
    middle = len(offers) // 2 if desk.seen.large else 0
    with beside(lambda: desk.looked_at(offers[:middle], used, times), pays=desk.seen.large) as first_half:
        second = desk.looked_at(offers[middle:], used, times)
        first = first_half.result()
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
    """The shop with other prices: solved anew, or with a plan held."""

    def __init__(self, facts: Facts, clock: Clock, tick: Tick) -> None:
        self.facts, self.clock, self.tick = facts, clock, tick
        self.rule = facts.shop.money.surplus
        self.seen = survey(facts)
        tick("proving the best plan of today")
        self.best = self._best(Bench.over(facts, self.rule, seen=self.seen))

    @property
    def late(self) -> bool:
        """Whether the time is up."""
        return self.clock.up

    def looked_at(self, offers: Sequence[Offer], used: Collection[int | None], times: Decimal) -> _Looked:
        """Where some offers turn the plan: cheaper all of them, dearer those that the best plan uses."""
        found = _Looked()
        cheap = {offer.row: _lowest(self.facts, offer, times) for offer in offers}
        for offer, ranked in self.that_matter(offers, cheap, found.late):
            low = cheap[offer.row]
            found.cheaper[offer.row] = self.turn(offer, low, self.highest(offer, low, ranked), ranked)
            found.worth[offer.row] = self.held(self.best, offer, low) - ranked.present_value_cents
        for offer in offers:
            if offer.row not in used or offer.price_cents is None:
                continue
            dear = offer.price_cents * times
            other = None if self.late else self.solve({offer.row: dear})
            if other is None or not other.proven:
                found.late.append(offer)
                continue
            found.dearer[offer.row] = self.turn(offer, dear, offer.price_cents, other)
            loss = self.held(self.best, offer, dear) - other.present_value_cents
            found.worth[offer.row] = max(found.worth.get(offer.row, 0), loss)
        return found

    def can_be_bought(self, offer: Offer) -> bool:
        """Whether the shop's rule of sourcing lets the offer in at any price."""
        priced = self._with({offer.row: offer.price_cents or Decimal(1)})
        part = priced.parts.get(offer.part)
        if part is None or offer.available == 0:
            return False
        if offer.condition not in SURPLUS:
            return True
        alone = priced.catalog.model_copy(
            update={"offers": [one for one in priced.catalog.offers if one.row == offer.row]}
        )
        return bool(Market(Facts(priced.written, alone), self.rule).deals)

    def solve(self, prices: Mapping[int, Decimal]) -> Ranked | None:
        """The best plan at other prices; None when there is none in the time."""
        self.tick("proving it at other prices")
        facts = self._with(prices)
        missing = any(o.price_cents is None for o in self.facts.catalog.offers if o.row in prices)
        # What can be bought at all decides what is surveyed; at another price the survey stays.
        seen = survey(facts) if missing else self.seen
        try:
            return self._best(Bench.over(facts, self.rule, seen=seen))
        except NoPlanError:
            return None

    def held(self, ranked: Ranked, offer: Offer, price_cents: Decimal) -> int:
        """What a plan costs at another price of an offer, held as it is."""
        facts = self._with({offer.row: price_cents})
        pricer = Pricer(facts, Market(facts, self.rule), ranked.plan.hiring)
        walked = walk(facts, pricer, ranked.plan, ranked.chosen)
        return sum(line.present_value_cents for line in walked.lines)

    def that_matter(
        self, offers: Sequence[Offer], prices: Mapping[int, Decimal], late: list[Offer]
    ) -> Iterator[tuple[Offer, Ranked]]:
        """The offers that lower the best total at their prices, each with its plan; found by halving the group.

        A lower price never raises the best total, so a group that does not lower it has none of them in it.
        """
        if not offers:
            return
        if self.late:
            late += offers
            return
        ranked = self.solve({offer.row: prices[offer.row] for offer in offers})
        if ranked is None or not ranked.proven:
            late += offers
            return
        if ranked.present_value_cents >= self.best.present_value_cents:
            return
        if len(offers) == 1:
            yield offers[0], ranked
            return
        middle = len(offers) // 2
        for half in (offers[:middle], offers[middle:]):
            yield from self.that_matter(half, prices, late)

    def turn(self, offer: Offer, wins: Decimal, loses: Decimal, other: Ranked) -> Turn | None:
        """The price next to `loses`, where the best plan is best, at which another wins; `other` is best at `wins`.

        None when the best plan, held, costs no more than the other even there.
        """
        exact = False
        at = wins
        for _ in range(MOST_ROUNDS):
            if self.held(self.best, offer, wins) <= other.present_value_cents:
                break
            at = self._crossing(offer, wins, loses, other)
            nearer = None if self.late else self.solve({offer.row: at})
            if nearer is None:
                return Turn(at, self._change(other), exact)
            exact = nearer.proven and nearer.present_value_cents >= self.held(other, offer, at)
            if exact or at == wins:
                return Turn(at, self._change(other), exact)
            wins, other = at, nearer
        else:
            return Turn(self._crossing(offer, wins, loses, other), self._change(other), exact=False)
        return None

    def highest(self, offer: Offer, low: Decimal, other: Ranked) -> Decimal:
        """The offer's price, else one that is too high for the plan that wins at `low`."""
        if offer.price_cents is not None:
            return offer.price_cents
        high = max(low, Decimal(1))
        for _ in range(MOST_DOUBLINGS):
            if self.held(other, offer, high) >= self.best.present_value_cents:
                break
            high *= 2
        return high

    def _crossing(self, offer: Offer, wins: Decimal, loses: Decimal, other: Ranked) -> Decimal:
        """The price next to `loses` at which the other plan, which wins at `wins`, is no dearer than the best."""
        wins, loses = wins.to_integral_value(), loses.to_integral_value()
        while abs(loses - wins) > 1:
            middle = (wins + loses) // 2
            if self.held(other, offer, middle) < self.held(self.best, offer, middle):
                wins = middle
            else:
                loses = middle
        return wins

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

    def _best(self, bench: Bench) -> Ranked:
        return best_plans(bench, 1, clock=Clock(self.clock.share(1)))[0]

    def _with(self, prices: Mapping[int, Decimal]) -> Facts:
        offers: Iterable[Offer] = self.facts.catalog.offers
        changed = [
            offer.model_copy(update={"price_cents": prices[offer.row]}) if offer.row in prices else offer
            for offer in offers
        ]
        return Facts(self.facts.written, self.facts.catalog.model_copy(update={"offers": changed}))
