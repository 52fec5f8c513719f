"""What the visits of a plan are paid at least, each beside the labor that counts towards it; read off the plan's lines."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.ledger.lines import Line, LineKind, Pocket, is_hired_labor
from costplan.ledger.plan import Plan
from costplan.ledger.pricing import SET_UP, worth_cents
from costplan.model.money import growth_factor, to_cents
from costplan.years.calendar import weights_of
from costplan.years.discounting import single_worth
from costplan.years.stream import Trip


@dataclass(frozen=True, slots=True)
class LeastCharge:
    """A least charge as a line that is paid where there is no labor at all, and the labor that counts towards it."""

    line: Line
    labor: tuple[Line, ...]
    worth: Decimal
    """Weight times discount factor."""

    def short(self, labor_cents: int) -> Line:
        """The line of what so much labor in the year's money falls short of it."""
        cents = max(self.line.amount_cents - labor_cents, 0)
        worth = worth_cents(LineKind.MINIMUM, cents, self.worth)
        return replace(self.line, amount_cents=cents, present_value_cents=worth)


def least_charges(facts: Facts, plan: Plan, lines: Iterable[Line]) -> tuple[LeastCharge, ...]:
    """Of every visit of the hired crew, and of all visits of one move together; none where the crew has no least charge."""
    least_cents = plan.hiring.crew.minimum_cents
    if not least_cents:
        return ()
    visits: dict[tuple[int, str, Trip], list[Line]] = defaultdict(list)
    for line in lines:
        if line.kind is LineKind.MINIMUM or (is_hired_labor(line) and not _covered(line)):
            visits[line.year, line.scenario, line.trip].append(line)
    counts = {(visit.year, visit.scenario, visit.trip): visit.count for visit in plan.visits}
    money, weights = facts.shop.money, {"": Decimal(1), **weights_of(facts.shop)}
    found = []
    for (year, scenario, trip), of_visit in visits.items():
        each = to_cents(least_cents * growth_factor(money.growth.labor, year))
        line = Line(
            year,
            scenario,
            LineKind.MINIMUM,
            Pocket.CASH,
            "",
            "",
            each * counts.get((year, scenario, trip), 1),
            0,
            "",
            grown_years=year,
            in_turn=all(line.in_turn for line in of_visit),
            trip=trip,
        )
        labor = tuple(line for line in of_visit if line.kind is LineKind.LABOR)
        worth = weights[scenario] * single_worth(money.discount_rate, year)
        charge = LeastCharge(line, labor, worth)
        found.append(replace(charge, line=charge.short(0)))
    return tuple(found)


def _covered(line: Line) -> bool:
    """Whether a fixed bid is for it, so that it calls nobody out."""
    return line.hours_range is None and not line.amount_cents and line.task != SET_UP
