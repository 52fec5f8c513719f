"""The program but for who is hired: every way of hiring is other costs, visits, bid and cap on the same frame."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle, Need
from costplan.circuits.ways import Way
from costplan.ledger.plan import Lasting, Reused, Shared, WholeCordUsed
from costplan.ledger.pricing import Pricer, When
from costplan.model.catalog import Offer
from costplan.program.choice import Choice
from costplan.program.gear_rows import GearRows
from costplan.program.program import Gives, Program, Terms
from costplan.program.purchase import PurchaseRows, worth_having
from costplan.program.relaxation import Linear
from costplan.program.solver import Records
from costplan.program.visit_rows import VisitRows
from costplan.sourcing.market import Market
from costplan.years.stream import Trip, Use

Charged = Mapping[tuple[Bundle, When, Trip], Terms]
"""Bundles with when they are done and in which visit of a move, and how often by variable."""

ALIKE = 0.8
"""From what share of equal rows on two programs share their relaxations."""


@dataclass(frozen=True)
class Causes:
    """Variables that stand for ways of machines, and those that serve what ways ask for.

    `serves` has what a variable serves, with the most of that there is.
    """

    program: Program
    machine_of: dict[int, str]
    serves: dict[int, tuple[Use | Trip, int]]

    def owner(self, index: int) -> str | int:
        """The machine that a variable is a way of, else the variable itself."""
        return self.machine_of.get(index, index)

    def most(self, terms: Mapping[int, int]) -> int:
        """The most an expression can be, one way a machine; other variables count as themselves."""
        most: dict[str | int, int] = defaultdict(int)
        for index, count in terms.items():
            name = self.owner(index)
            most[name] = max(most[name], count * self.program.variables[index].high)
        return sum(most.values())

    def together(self, causes: Iterable[int]) -> list[tuple[list[int], int]]:
        """Ways of one machine, what serves one use, what one move leaves: each machine has one; the rest one by one."""
        groups: dict[str | int | Use | Trip, list[int]] = defaultdict(list)
        most: dict[str | int | Use | Trip, int] = defaultdict(int)
        for index in causes:
            high = self.program.variables[index].high
            name: str | int | Use | Trip = self.owner(index)
            if index in self.serves:
                name, high = self.serves[index]
            groups[name].append(index)
            most[name] = max(most[name] + high if isinstance(name, tuple) else most[name], high)
        return [(group, most[name]) for name, group in groups.items()]


@dataclass(frozen=True)
class Body:
    """The built program before anything is bought or anybody is hired, the same for every sourcing rule at every price.

    `told` is what it was built of, besides the shop and the parts in `facts`; `demand` is how often each variable asks
    for a need today, and `askers` the most that each machine can ask for.
    """

    facts: Facts
    told: object
    causes: Causes
    charged: Charged
    ways: Mapping[str, Mapping[Way, int]]
    reuse: Mapping[int, Reused]
    lasting: Mapping[int, Lasting]
    shared: Mapping[int, Shared]
    demand: Mapping[Need, Terms]
    askers: Mapping[str | int, Mapping[Need, int]]
    gear: GearRows
    whole: Mapping[int, WholeCordUsed]
    left_out: frozenset[int] | None
    hired: dict[str, Choice] = field(default_factory=dict, compare=False, repr=False)
    """By way of hiring what was built of it first: what is built later shares rows with that, and their relaxations."""

    def is_of(self, facts: Facts, told: object) -> bool:
        """Whether it is what would be built of that: money tells on it only by what the streams say."""
        mine, other = self.facts, facts
        same_catalog = mine.catalog is other.catalog
        if not same_catalog or mine.written != other.written.model_copy(update={"money": mine.written.money}):
            return False
        return self.told == told

    def buying(self, facts: Facts, market: Market) -> "Frame":
        """The program with today's purchase in a market."""
        program = self.causes.program.copy()
        return Frame(self, facts, PurchaseRows(program, market, facts, self.demand, self.askers))


@dataclass(frozen=True)
class Frame:
    """The built program before anybody is hired: a body with today's purchase after it."""

    body: Body
    facts: Facts
    purchase: PurchaseRows

    def repriced(self, market: Market) -> "Frame":
        """The same ways in a market `repriced` from the one it was built for: only today's purchase is made anew."""
        program = self.body.causes.program
        return replace(self, facts=market.facts, purchase=self.purchase.repriced(program, market))

    def weighted(self, weights: Mapping[str, Decimal]) -> "Frame":
        """The same with scenarios of other weights, by name."""
        charged = {
            (bundle, When.of(weights, when.scenario, when.year) if when.year else when, trip): terms
            for (bundle, when, trip), terms in self.body.charged.items()
        }
        return replace(self, body=replace(self.body, charged=charged))

    def could_take(self, market: Market, offer: Offer) -> bool:
        """Whether a plan can be cheapest that buys the offer in such a market: today or, as the cheapest then, later."""

        def met(need: Need) -> bool:
            return need.spec.met_by(self.facts.parts[offer.part])

        charged = self.body.charged
        today = (worth_having(market, need) for need in self.purchase.demand if met(need))
        later = {need for bundle, when, _ in charged if when.year for need in bundle.needs if met(need)}
        bought = (market.forecast(need) for need in later)
        return any(deal.offer.row == offer.row for deals in today for deal in deals) or any(
            found is not None and found.deal.offer.row == offer.row for found in bought
        )

    def hiring(self, pricer: Pricer) -> Choice:
        """The program by one way of hiring. Raises NoOfferError."""
        program = self.purchase.program.copy()
        outlay, hired_today = defaultdict(int, self.purchase.outlay), defaultdict[int, int](int)
        visits = VisitRows(program, pricer, self.body.causes.together)
        for (bundle, when, trip), terms in self.body.charged.items():
            effort = pricer.effort_cost(bundle, when)
            program.add_costs(terms, effort.worth_cents + pricer.parts_worth_cents(bundle, when))
            if when.year == 0:
                for index, count in terms.items():
                    outlay[index] += effort.cash_today_cents * count
                    hired_today[index] += effort.hired_today_cents * count
            visits.call(effort.calls, when, trip, terms)
        visits.add(outlay, hired_today)
        if pricer.hiring.bid is not None:
            cents = sum(line.amount_cents for line in pricer.bid())
            outlay[program.variable("fixed bid", 1, cents, low=1)] += cents
        cap = self.facts.shop.money.outlay_cap_cents
        if cap is not None:
            program.row("cap on today's outlay", outlay, high=int(cap), limit=(Gives.CAP, ""))
        body, name = self.body, pricer.hiring.name
        first = body.hired.get(name)
        alike = first is not None and program.liken(first.program) > ALIKE
        built = Choice(
            program,
            pricer,
            body.ways,
            body.reuse,
            body.lasting,
            body.shared,
            self.purchase.on(program),
            outlay,
            body.gear.on(program),
            body.whole,
            visits.trips,
            visits.stops,
            visits.once,
            first.linear if first is not None and alike else Linear(),
            first.records if first is not None and first.records.serve(program) else Records(program),
            body.left_out,
        )
        return body.hired.setdefault(name, built) if not first else built
