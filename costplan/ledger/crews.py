"""Who does the work: the owner, and one way of hiring the rest."""

from collections.abc import Collection
from dataclasses import dataclass
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Work
from costplan.model.experience import expected_hours
from costplan.model.labor import Crew, FixedBid, Role
from costplan.model.quoted import quotes_only


@dataclass(frozen=True, slots=True)
class Hiring:
    """One hourly electrician crew, perhaps with a fixed bid for named tasks today."""

    crew: Crew
    bid: FixedBid | None = None

    @property
    def name(self) -> str:
        """The name shown."""
        return f"{self.bid.name}, else {self.crew.name}" if self.bid else self.crew.name


@dataclass(frozen=True, slots=True)
class Doing:
    """A piece of work with who does it: expected hours of that crew, the range of one unit's, and exact cost in cents."""

    crew: Crew
    hours: Decimal
    hours_range: tuple[Decimal, Decimal, Decimal]
    cost_cents: Decimal
    permit: bool
    stops_hours: Decimal
    name: str
    covered: bool


def hirings(facts: Facts, only: Collection[str] | None = None) -> list[Hiring]:
    """Every way of hiring that is open, those never better than another left out.

    only: names of the crews and fixed bids that may be hired; None for all of them. The rest of a fixed bid is
    done by whom it names, in `only` or not.
    """
    electricians = [crew for crew in facts.crews if crew.role is Role.ELECTRICIAN]
    asked = [crew for crew in electricians if only is None or crew.name in only]
    kept = [c for c in asked if not any(_never_better(c, other) for other in asked if other is not c)]
    hourly = [Hiring(crew) for crew in sorted(kept, key=lambda crew: crew.name)]
    if not electricians and quotes_only(facts.shop):
        hourly = [Hiring(NOBODY)]
    by_name = {crew.name: crew for crew in electricians}
    return hourly + [
        Hiring(by_name[bid.rest_by], bid)
        for bid in facts.shop.bids
        if bid.rest_by in by_name and (only is None or bid.name in only)
    ]


NOBODY = Crew.model_validate({"name": "nobody hired", "role": "electrician", "rate": 0})
"""Who is hired where all ways are quoted and no quote asks for hired hours; `check` refuses those that do."""


def _never_better(crew: Crew, other: Crew) -> bool:
    mine, its = _figures(crew), _figures(other)
    return all(a >= b for a, b in zip(mine, its, strict=True)) and (mine != its or crew.name > other.name)


def _figures(crew: Crew) -> tuple[Decimal, ...]:
    hour = crew.rate_cents / crew.pace
    permits = crew.permit_cents, later_permit_cents(crew)
    return hour, crew.call_out_cents, crew.minimum_cents, crew.set_up_hours * hour, *permits


def later_permit_cents(crew: Crew) -> Decimal:
    """What every permit after the first costs."""
    return crew.permit_cents if crew.later_permit_cents is None else crew.later_permit_cents


def do(facts: Facts, hiring: Hiring, work: Work, *, today: bool) -> Doing:
    """Who does a piece of work and what it takes."""
    if work.hours is not None:
        crew = facts.owner if work.own else hiring.crew
        pace = Decimal(1) if work.own else crew.pace
        hours = expected_hours(work.hours) / pace
        cost = hours * crew.rate_cents
        return Doing(crew, hours, work.hours, cost, work.permit, Decimal(0), work.task, False)
    task = facts.tasks[work.task]
    chosen = facts.shop.owner_does
    owner_may = Role.OWNER in task.who
    by_owner = owner_may and (chosen is None or task.id in chosen or Role.ELECTRICIAN not in task.who)
    crew = facts.owner if by_owner else hiring.crew
    pace = Decimal(1) if task.who == [Role.OWNER] else crew.pace
    much = work.quantity * work.slowed.factor / pace
    hours = expected_hours(task.hours) * much
    covered = today and not by_owner and hiring.bid is not None and task.id in hiring.bid.covers
    cost = Decimal(0) if covered else hours * crew.rate_cents
    permit = task.permit and not (covered and hiring.bid is not None and hiring.bid.includes_permit)
    slower = (
        f", hours x {work.slowed.factor:f} ({', '.join(work.slowed.because)})" if work.slowed.because else ""
    )
    return Doing(crew, hours, task.hours, cost, permit, task.stops_shop_hours, task.name + slower, covered)
