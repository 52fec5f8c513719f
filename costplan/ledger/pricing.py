"""Bundles and dates turned into lines. The one place where a figure is rounded to the cent."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle, Charge, Need, Work
from costplan.circuits.numbered import numbered
from costplan.circuits.quoted_work import QUOTED_WORK
from costplan.ledger.crews import Doing, Hiring, do, later_permit_cents
from costplan.ledger.lines import INSPECT_SURPLUS, Line, LineKind, Pocket, hired_labor
from costplan.model.labor import Crew, Role
from costplan.model.money import growth_factor, to_cents
from costplan.sourcing.market import Market
from costplan.sourcing.resale import resale_trace
from costplan.years.discounting import single_worth, small_fraction

SET_UP = "set-up"
"""The task of a visit's set-up and clean-up, which no file lists."""


class NoOfferError(LookupError):
    """Nobody sells a part the way needs; the message names it."""


@numbered
@dataclass(frozen=True)
class When:
    """A year in a scenario with its weight; today belongs to every scenario with weight 1."""

    year: int
    scenario: str
    weight: Decimal

    @classmethod
    def of(cls, weights: Mapping[str, Decimal], scenario: str, year: int) -> "When":
        """A year of a scenario by its weight; year 0 is today, whatever the scenario."""
        return cls(year, scenario, weights[scenario]) if year else TODAY


TODAY = When(0, "", Decimal(1))


@dataclass(frozen=True, slots=True)
class BundleCost:
    """What a bundle adds besides parts of today: present value, cash today, hired labor in its year's money; whom it calls."""

    worth_cents: int
    cash_today_cents: int
    hired_cents: int
    calls: "Calls"


class Call(StrEnum):
    """What a bundle of work makes somebody pay once for a visit."""

    VISIT = "visit"
    PERMIT = "permit"
    OWN_VISIT = "own visit"
    OWN_PERMIT = "own permit"

    @property
    def hired(self) -> bool:
        """Whether it is the hired crew's."""
        return self in (Call.VISIT, Call.PERMIT)


@dataclass(frozen=True, slots=True, order=True)
class Stop:
    """So many hours in which the shop stands for a task of the hired crew's visit."""

    hours: Decimal
    hired = True


@dataclass(frozen=True, slots=True, order=True)
class Once:
    """Work or money that a visit has once, for all its work that asks for it; of the hired crew's or the owner's."""

    what: Work | Charge
    hired: bool


Calls = frozenset[Call | Stop | Once]
"""What a bundle makes somebody pay once a visit."""


Effort = tuple[tuple[Work, ...], tuple[Charge, ...]]
"""What of a bundle is no part."""


@dataclass(frozen=True)
class Reckoned:
    """What was asked of work by one way of hiring: who does a piece of it today or later, what of it costs, whom it calls."""

    doings: dict[tuple[Work, bool], Doing] = field(default_factory=dict)
    costs: dict[tuple[Effort, When], BundleCost] = field(default_factory=dict)
    calls: dict[tuple[Effort, bool], Calls] = field(default_factory=dict)
    whose: list[Hiring] = field(default_factory=list)
    """The one way of hiring."""


def worth_cents(kind: LineKind, amount_cents: int, worth: Decimal) -> int:
    """What the amount of a line is worth today, rounded once.

    What is short of a least charge is no sum of lines that are known beforehand: the program finds it, and rounds it in
    rows of whole numbers.
    """
    if kind is LineKind.MINIMUM:
        return round(amount_cents * small_fraction(worth))
    return to_cents(amount_cents * worth)


@dataclass(frozen=True)
class Pricer:
    """Prices work and later parts for one market and one way of hiring."""

    facts: Facts
    market: Market
    hiring: Hiring
    reckoned: Reckoned = field(default_factory=Reckoned, compare=False, repr=False)

    def __post_init__(self) -> None:
        """What one way of hiring was reckoned at is never taken for another's. Raises AssertionError, a defect."""
        whose = self.reckoned.whose
        if whose and whose != [self.hiring]:
            raise AssertionError("work by one way of hiring was to be priced as another's")
        self.reckoned.whose[:] = [self.hiring]

    @classmethod
    def among(cls, firsts: Iterable["Pricer"], facts: Facts, market: Market, hiring: Hiring) -> "Pricer":
        """One that shares what is reckoned with the one of `firsts` that hires the same, for whom work costs the same."""
        reckoned = next((one.reckoned for one in firsts if one.hiring == hiring), None)
        return cls(facts, market, hiring, reckoned or Reckoned())

    def worth(self, when: When) -> Decimal:
        """Weight times discount factor."""
        return when.weight * single_worth(self.facts.shop.money.discount_rate, when.year)

    def line(
        self,
        when: When,
        kind: LineKind,
        pocket: Pocket,
        what: str,
        machine: str,
        exact: Decimal,
        trace: str,
        **more: object,
    ) -> Line:
        """A line of an exact amount in its year's money: rounded to the cent, and its worth is that of the cents."""
        amount = to_cents(exact)
        worth = worth_cents(kind, amount, self.worth(when))
        return Line(
            when.year,
            when.scenario,
            kind,
            pocket,
            what,
            machine,
            amount,
            worth,
            trace,
            **more,  # type: ignore[arg-type]
        )

    def effort_cost(self, bundle: Bundle, when: When) -> BundleCost:
        """The sums of the bundle's lines that are not parts, remembered."""
        key, costs = ((bundle.work, bundle.charges), when), self.reckoned.costs
        if key not in costs:
            today = when.year == 0
            lines = self.effort(bundle, when, "", "")
            costs[key] = BundleCost(
                sum(line.present_value_cents for line in lines),
                sum(line.amount_cents for line in lines if today and line.pocket is Pocket.CASH),
                hired_labor(lines),
                self.calls(bundle, today=today),
            )
        return costs[key]

    def parts_worth_cents(self, bundle: Bundle, when: When) -> int:
        """Present value of the bundle's parts where they are bought later, 0 today. Raises NoOfferError."""
        return sum(self.part_worth_cents(need, when) for need in bundle.needs) if when.year else 0

    def part_worth_cents(self, need: Need, when: When) -> int:
        """Present value of a part bought at forecast prices, remembered with the market. Raises NoOfferError."""
        known = self.market.later_worth
        if (need, when) not in known:
            known[need, when] = sum(line.present_value_cents for line in self.later_part(need, when, "", ""))
        return known[need, when]

    def repriced(self, market: Market) -> "Pricer":
        """The same way of hiring in a market `repriced` from this one's; work costs the same."""
        return Pricer(market.facts, market, self.hiring, self.reckoned)

    def labor_growth(self, when: When) -> Decimal:
        """Growth of wages until then."""
        return growth_factor(self.facts.shop.money.growth.labor, when.year)

    def parts_growth(self, when: When) -> Decimal:
        """Growth of part prices until then."""
        return growth_factor(self.facts.shop.money.growth.parts, when.year)

    def later(self, bundle: Bundle, when: When, machine: str, why: str) -> list[Line]:
        """Every line of a bundle in a later year: forecast parts, labor, quotes, lost time.

        Raises NoOfferError when a part cannot be had at any price.
        """
        lines = [line for need in bundle.needs for line in self.later_part(need, when, machine, why)]
        return lines + self.effort(bundle, when, machine, why)

    def effort(self, bundle: Bundle, when: When, machine: str, why: str) -> list[Line]:
        """The lines of a bundle that are not parts: labor, quotes, lost time; what a visit has once left out."""
        works = (work for work in bundle.work if not work.once)
        lines = [line for work in works for line in self.labor(work, when, machine, why)]
        return lines + [
            self.charge(charge, when, machine, why) for charge in bundle.charges if not charge.once
        ]

    def bought_today_cents(self, bundles: Iterable[Bundle]) -> int | None:
        """What bundles cost today: parts with tax at their cheapest, and effort; None where a part has no price."""
        cents = 0
        for bundle in bundles:
            cents += sum(line.amount_cents for line in self.effort(bundle, TODAY, "", ""))
            for need in bundle.needs:
                bought = self.market.forecast(need)
                if bought is None:
                    return None
                cents += to_cents(bought.cost_cents)
        return cents

    def once(self, when: When, once: Once) -> list[Line]:
        """The lines of what a visit has once."""
        if isinstance(once.what, Work):
            return list(self.labor(once.what, when, "", "once a visit"))
        return [self.charge(once.what, when, "", "labor.yaml charges; once a visit")]

    def doing(self, work: Work, *, today: bool) -> Doing:
        """Who does a piece of work and what it takes."""
        key, doings = (work, today), self.reckoned.doings
        if key not in doings:
            doings[key] = do(self.facts, self.hiring, work, today=today)
        return doings[key]

    def labor(self, work: Work, when: When, machine: str, why: str) -> Iterator[Line]:
        """The labor of a piece of work, and the shop time it costs."""
        doing = self.doing(work, today=when.year == 0)
        growth = self.labor_growth(when)
        own = doing.crew.role is Role.OWNER
        covered = f", covered by {self.hiring.bid.name}" if doing.covered and self.hiring.bid else ""
        yield self.line(
            when,
            LineKind.LABOR,
            Pocket.OWN_TIME if own else Pocket.CASH,
            doing.name + covered,
            machine,
            doing.cost_cents * growth,
            f"{self._source(work)}; {why}",
            crew=doing.crew.name,
            task=work.task if work.hours is None else QUOTED_WORK,
            quantity=work.quantity,
            hours=doing.hours,
            hours_range=None if doing.covered else doing.hours_range,
            grown_years=when.year,
            hour_factor=work.slowed.factor,
        )
        if own and doing.stops_hours:
            trace = f"labor.yaml task {work.task} stops_shop; shop file money.shop_hour"
            yield from self.shop_stopped(when, doing.stops_hours, doing.name, machine, trace)

    def shop_stopped(
        self,
        when: When,
        hours: Decimal,
        what: str = "the visit",
        machine: str = "",
        trace: str = "labor.yaml stops_shop, the longest of the visit; shop file money.shop_hour",
    ) -> list[Line]:
        """What it costs that the shop or a machine stands so long; a visit stops the shop once, for its longest task."""
        hour = self.facts.shop.money.shop_hour_cents
        if not hour:
            return []
        words = f"{hours:f} h standing: {what}"
        return [self.line(when, LineKind.LOST_TIME, Pocket.LOST_TIME, words, machine, hours * hour, trace)]

    def _source(self, work: Work) -> str:
        """Where the hours of a piece of work are written."""
        if work.hours is not None:
            return f"quote: {work.task}"
        return f"labor.yaml task {work.task}{self._own_jobs(work.task)}"

    def _own_jobs(self, task: str) -> str:
        """How many of the shop's own jobs stand behind a task's hours, in words."""
        known = self.facts.experience.get(task)
        return f", with {known.jobs} jobs of your own" if known is not None and known.jobs else ""

    def charge(self, charge: Charge, when: When, machine: str, why: str) -> Line:
        """Quoted money, a year's energy, or, below nothing, what comes back: today in cash, or at the end."""
        if charge.at_end:
            exact, trace, of = charge.amount_cents, f"quote; {why}", charge.what
            kind, pocket = LineKind.RESALE, Pocket.COMES_BACK
            return self.line(when, kind, pocket, of, machine, exact, trace, price_of=of)
        if charge.amount_cents < 0:
            exact = charge.amount_cents * self.parts_growth(when)
            return self.line(
                when,
                LineKind.RESALE,
                Pocket.CASH,
                charge.what,
                machine,
                exact,
                f"shop file old_motor_worth; {why}",
                price_of=charge.what,
                grown_years=when.year,
            )
        if charge.energy:
            growth = growth_factor(self.facts.shop.money.growth.electricity, when.year)
            kind, trace = LineKind.ELECTRICITY, "shop file money.electricity_per_kwh"
        else:
            growth, kind, trace = self.parts_growth(when), LineKind.QUOTE, "quote"
        exact = charge.amount_cents * growth
        return self.line(
            when,
            kind,
            Pocket.CASH,
            charge.what,
            machine,
            exact,
            f"{trace}; {why}",
            price_of="" if charge.energy else charge.what,
            grown_years=when.year,
        )

    def later_part(self, need: Need, when: When, machine: str, why: str) -> Iterator[Line]:
        """A part bought in a later year at forecast prices, what comes with surplus, and what it fetches at the end.

        Each pocket has its line: the allowance for what fails grows with parts, the owner's look at them with labor.
        """
        bought = self.market.forecast(need)
        if bought is None:
            raise NoOfferError(f"no priced offer for {need.spec.describe()}")
        deal = bought.deal
        trace, name = f"offers.csv row {deal.offer.row}, forecast; {why}", deal.part.name + bought.what
        of_offer = {"offer_row": deal.offer.row, "forecast": True, "grown_years": when.year}
        yield self.line(
            when,
            LineKind.PART,
            Pocket.CASH,
            name,
            machine,
            bought.cash_cents * self.parts_growth(when),
            trace,
            quantity=bought.quantity,
            per=deal.per,
            **of_offer,
        )
        if bought.allowance_cents:
            yield self.line(
                when,
                LineKind.RISK,
                Pocket.ALLOWANCE,
                f"rejects among {name}",
                machine,
                bought.allowance_cents * self.parts_growth(when),
                f"kinds.yaml {deal.kind.kind} reject, expected value; {trace}",
                quantity=Decimal(bought.count),
                **of_offer,
            )
        if bought.inspection_cents:
            yield self.line(
                when,
                LineKind.LABOR,
                Pocket.OWN_TIME,
                f"inspect {name}",
                machine,
                bought.inspection_cents * self.labor_growth(when),
                f"kinds.yaml {deal.kind.kind} inspect; {trace}",
                crew=self.facts.owner.name,
                task=INSPECT_SURPLUS,
                quantity=Decimal(bought.count),
                hours=bought.inspect_hours,
                **of_offer,
            )
        resale = self.market.forecast_resale(need, bought, when.year)
        if resale:
            end = When(self.facts.shop.years, when.scenario, when.weight)
            wear = Decimal(1) if bought.whole else need.share
            yield self.line(
                end,
                LineKind.RESALE,
                Pocket.COMES_BACK,
                name,
                machine,
                -resale,
                f"{resale_trace(deal, self.facts, wear)}; {trace}",
                **of_offer,
            )

    def crew_of(self, call: Call) -> Crew:
        """Who is paid."""
        return self.hiring.crew if call.hired else self.facts.owner

    def visit(self, when: When, call: Call = Call.VISIT) -> list[Line]:
        """What a visit costs besides its hours and its permit."""
        crew, growth = self.crew_of(call), self.labor_growth(when)
        lines = []
        if crew.call_out_cents:
            what, trace = f"call-out, {crew.name}", "labor.yaml crew call_out"
            exact = crew.call_out_cents * growth
            lines.append(
                self.line(when, LineKind.CALL_OUT, Pocket.CASH, what, "", exact, trace, grown_years=when.year)
            )
        hours = crew.set_up_hours / crew.pace if call.hired else Decimal(0)
        if hours:
            lines.append(
                self.line(
                    when,
                    LineKind.LABOR,
                    Pocket.CASH,
                    "set-up and clean-up",
                    "",
                    hours * crew.rate_cents * growth,
                    "labor.yaml crew set_up",
                    crew=crew.name,
                    task=SET_UP,
                    quantity=Decimal(1),
                    hours=hours,
                    grown_years=when.year,
                )
            )
        return lines

    def least_cents(self, when: When) -> int:
        """The least that the hired crew's labor of a visit is charged at, in its year's money."""
        return to_cents(self.hiring.crew.minimum_cents * self.labor_growth(when))

    def short_worth(self, when: When) -> Fraction:
        """Weight times discount factor of what a visit is short of its least charge, as the program rounds by it in rows."""
        return small_fraction(self.worth(when))

    def short(self, when: When, cents: int) -> Line:
        """What visits are short of their least charge, in the money of the year."""
        what, trace = f"short of the minimum, {self.hiring.crew.name}", "labor.yaml crew minimum"
        return self.line(
            when, LineKind.MINIMUM, Pocket.CASH, what, "", Decimal(cents), trace, grown_years=when.year
        )

    def permit(self, when: When, call: Call = Call.PERMIT, *, first: bool) -> list[Line]:
        """Permit and inspection for a visit, the first ever or a later one."""
        crew = self.crew_of(call)
        cents = crew.permit_cents if first else later_permit_cents(crew)
        if not cents:
            return []
        what = "permit and inspection" if call.hired else "permit and inspection, own work"
        trace = "labor.yaml crew permit" if first else "labor.yaml crew later_permit"
        exact = cents * self.labor_growth(when)
        return [self.line(when, LineKind.PERMIT, Pocket.CASH, what, "", exact, trace, grown_years=when.year)]

    def bid(self) -> list[Line]:
        """The fixed bid, when one is taken."""
        bid = self.hiring.bid
        if bid is None:
            return []
        trace = f"shop file bids: {bid.name}"
        return [self.line(TODAY, LineKind.BID, Pocket.CASH, bid.name, "", bid.price_cents, trace)]

    def calls(self, bundle: Bundle, *, today: bool) -> Calls:
        """What the bundle's work makes somebody pay, and how long the shop stands in the hired crew's visit.

        A charge once a visit is the hired crew's where any of the work is; a fixed bid for all of that holds it.
        """
        key, calls = ((bundle.work, bundle.charges), today), self.reckoned.calls
        if key not in calls:
            calls[key] = self._calls(bundle, today=today)
        return calls[key]

    def _calls(self, bundle: Bundle, *, today: bool) -> Calls:
        found: set[Call | Stop | Once] = set()
        doings = [(work, self.doing(work, today=today)) for work in bundle.work]
        for work, doing in doings:
            own = doing.crew.role is Role.OWNER
            if work.once:
                found.add(Once(work, not own))
            if doing.stops_hours and not own:
                found.add(Stop(doing.stops_hours))
            if own or not doing.covered:
                found.add(Call.OWN_VISIT if own else Call.VISIT)
            if doing.permit:
                found.add(Call.OWN_PERMIT if own else Call.PERMIT)
        if any(charge.permit for charge in bundle.charges):
            found.add(Call.PERMIT)
        hired = [doing for _, doing in doings if doing.crew.role is not Role.OWNER]
        if not hired or not all(doing.covered for doing in hired):
            found |= {Once(charge, bool(hired)) for charge in bundle.charges if charge.once}
        return frozenset(found)
