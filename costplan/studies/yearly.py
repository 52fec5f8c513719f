"""What a plan takes year by year, in the money of each year, every scenario by its weight."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.model.money import to_cents
from costplan.program.ranked import Ranked
from costplan.years.calendar import weights_of


@dataclass(frozen=True, slots=True)
class YearMoney:
    """One year by pocket in that year's money, and what each is worth today, in whole cents.

    `cash_so_far_cents` is the cash of this and all earlier years, each in its own money.
    """

    year: int
    pockets: Mapping[Pocket, int]
    worths: Mapping[Pocket, int]
    cash_so_far_cents: int

    @property
    def present_value_cents(self) -> int:
        """What all of it is worth today."""
        return sum(self.worths.values())

    @property
    def cash_cents(self) -> int:
        """Cash that is paid in the year."""
        return self.pockets[Pocket.CASH]


def money_by_year(facts: Facts, lines: Iterable[Line]) -> tuple[YearMoney, ...]:
    """Every year of the plan from today on, those without any money included."""
    weights = _weights(facts)
    sums: dict[tuple[int, Pocket], Decimal] = defaultdict(Decimal)
    worths: dict[tuple[int, Pocket], int] = defaultdict(int)
    for line in lines:
        sums[line.year, line.pocket] += line.amount_cents * weights[line.scenario]
        worths[line.year, line.pocket] += line.present_value_cents
    found, so_far = [], 0
    for year in range(facts.shop.years + 1):
        pockets = {pocket: to_cents(sums[year, pocket]) for pocket in Pocket}
        so_far += pockets[Pocket.CASH]
        found.append(YearMoney(year, pockets, {pocket: worths[year, pocket] for pocket in Pocket}, so_far))
    return tuple(found)


def next_year_cash_cents(facts: Facts, ranked: Ranked) -> int:
    """Cash of year 1, not discounted; 0 when the plan ends today."""
    years = money_by_year(facts, ranked.lines)
    return years[1].cash_cents if len(years) > 1 else 0


def own_hours(facts: Facts, ranked: Ranked) -> Decimal:
    """The owner's own hours over all years, every scenario by its weight."""
    weights = _weights(facts)
    return sum(
        (
            line.hours * weights[line.scenario]
            for line in ranked.lines
            if line.kind is LineKind.LABOR and line.pocket is Pocket.OWN_TIME
        ),
        Decimal(0),
    )


def _weights(facts: Facts) -> dict[str, Decimal]:
    return {"": Decimal(1)} | weights_of(facts.shop)
