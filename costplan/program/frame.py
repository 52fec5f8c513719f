"""The program but for who is hired: every way of hiring is other costs, visits, bid and cap on the same frame."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need
from costplan.ledger.pricing import NoOfferError, Pricer, When
from costplan.model.catalog import Offer
from costplan.program.body import Body
from costplan.program.choice import Choice
from costplan.program.program import Gives, add_terms
from costplan.program.purchase import PurchaseRows, worth_having
from costplan.program.visit_rows import VisitRows
from costplan.sourcing.market import Market


@dataclass(frozen=True)
class Frame:
    """The built program before anybody is hired: a body with today's purchase after it."""

    body: Body
    facts: Facts
    purchase: PurchaseRows

    @classmethod
    def buying(cls, body: Body, facts: Facts, market: Market) -> "Frame":
        """The program with today's purchase in a market."""
        program = body.causes.program.copy()
        return cls(body, facts, PurchaseRows(program, market, body.demand, body.askers))

    def repriced(self, market: Market) -> "Frame":
        """The same ways in a market `repriced` from the one it was built for: only today's purchase is made anew."""
        return Frame.buying(self.body, market.facts, market)

    def weighted(self, weights: Mapping[str, Decimal]) -> "Frame":
        """The same with scenarios of other weights, by name."""
        charged = {
            (bundle, When.of(weights, when.scenario, when.year) if when.year else when, trip): terms
            for (bundle, when, trip), terms in self.body.charged.items()
        }
        return replace(self, body=replace(self.body, charged=charged))

    def with_more_spaces(self, facts: Facts, more: Mapping[str, int]) -> "Frame":
        """The same of a shop whose panels have so many more free spaces, which nothing else that is built turns on.

        facts: those of that shop; more: by panel.
        """
        program = self.purchase.program.copy()
        for index, row in enumerate(program.rows):
            if row.limit is not None and row.limit[0] is Gives.SPACES and row.high is not None:
                high = row.high + more.get(row.limit[1], 0)
                if high != row.high:
                    program.rows[index] = replace(row, high=high, serial=next(program.family))
        return replace(self, facts=facts, purchase=self.purchase.on(program))

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
        """The program by one way of hiring."""
        program = self.purchase.program.copy()
        outlay = defaultdict(int, self.purchase.outlay)
        visits = VisitRows(program, pricer, self.body.causes.together, outlay)
        for (bundle, when, trip), terms in self.body.charged.items():
            try:
                parts_cents = pricer.parts_worth_cents(bundle, when)
            except NoOfferError:
                # A part that lasts so long, which nobody sells by this rule: ways that need one are closed before.
                program.row(f"not to be had in year {when.year} {when.scenario}", terms, high=0)
                continue
            effort = pricer.effort_cost(bundle, when)
            program.add_costs(terms, effort.worth_cents + parts_cents)
            if when.year == 0:
                add_terms(outlay, terms, effort.cash_today_cents)
            visits.call(effort.calls, when, trip, terms)
            visits.work(effort.hired_cents, when, trip, terms)
        visits.add()
        if pricer.hiring.bid is not None:
            cents = sum(line.amount_cents for line in pricer.bid())
            outlay[program.variable("fixed bid", 1, cents, low=1)] += cents
        cap = self.facts.shop.money.outlay_cap_cents
        if cap is not None:
            program.row("cap on today's outlay", outlay, high=int(cap), limit=(Gives.CAP, ""))
        kept = self.body.kept.serving(pricer.hiring.name, program)
        return Choice(
            body=self.body,
            program=program,
            pricer=pricer,
            ways=self.body.ways,
            purchase=self.purchase.on(program),
            gear=self.body.gear.on(program),
            visits=visits,
            linear=kept.linear,
            records=kept.records,
        )
