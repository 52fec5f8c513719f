"""What more money today comes to over the years: payback, net savings, savings to investment, adjusted rate of return.

Two plans are told apart by what each takes year by year. The one that takes more today is the dearer one; what it costs
more is invested, what it costs less later is saved. Source of all measures: 10 CFR 436.20 to 436.22 and NIST Handbook
135, Life Cycle Costing Manual (net savings, savings-to-investment ratio, adjusted internal rate of return, payback), as
ASTM E917 and its kin have them (these not seen).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from costplan.circuits.facts import Facts
from costplan.ledger.lines import Line, Pocket
from costplan.program.ranking import Ranked
from costplan.studies.comparison import Comparison
from costplan.studies.yearly import YearMoney, money_by_year


class Counted(StrEnum):
    """Which money is looked at."""

    ALL = "all money"
    CASH = "cash"


POCKETS = {Counted.ALL: tuple(Pocket), Counted.CASH: (Pocket.CASH, Pocket.COMES_BACK)}
"""What each of them holds; what resale brings at the end is cash."""


class Undefined(StrEnum):
    """Why a measure is not there."""

    SAME_TODAY = "both cost the same today, so nothing is invested"
    RESALE_PAYS = "what it costs more today comes back by resale, so nothing stays invested"
    SAVES_NOTHING = "it saves nothing in the years between"


@dataclass(frozen=True, slots=True)
class Apart:
    """What the dearer plan takes more in one year, in whole cents: invested and run, in that year's money and as worth today.

    Invested is what today takes and, below nothing, what resale brings; `running` is all in between, below nothing where
    it saves.
    """

    invested_cents: int
    running_cents: int
    invested_worth_cents: int
    running_worth_cents: int

    @property
    def cents(self) -> int:
        """Both, in the money of the year."""
        return self.invested_cents + self.running_cents

    @property
    def worth_cents(self) -> int:
        """Both, in today's money."""
        return self.invested_worth_cents + self.running_worth_cents


@dataclass(frozen=True, slots=True)
class Measures:
    """What the dearer plan's extra money comes to; years are fractions, cents are of today.

    A payback of None is not reached within the years, or `undefined` says why there is none.
    """

    more_today_cents: int
    net_savings_cents: int
    payback_years: Decimal | None
    discounted_payback_years: Decimal | None
    savings_to_investment: Decimal | None
    adjusted_return: Decimal | None
    undefined: Undefined | None = None


def measures(years: Sequence[Apart], rate: Decimal) -> Measures:
    """The measures of what a plan takes more, from today on; rate: the discount rate a year as a fraction.

    The adjusted return is (1 + rate) x ratio ** (1 / years) - 1: savings are put by at the discount rate.
    Raises ValueError without a year after today.
    """
    if len(years) < 2:
        raise ValueError("there must be today and one year at least")
    today = years[0].cents
    saved = -sum(year.worth_cents for year in years)
    if today <= 0:
        return Measures(today, saved, None, None, None, None, Undefined.SAME_TODAY)
    payback = paid_back([year.cents for year in years])
    discounted = paid_back([year.worth_cents for year in years])
    invested = sum(year.invested_worth_cents for year in years)
    if invested <= 0:
        return Measures(today, saved, payback, discounted, None, None, Undefined.RESALE_PAYS)
    savings = -sum(year.running_worth_cents for year in years)
    ratio = Decimal(savings) / invested
    if savings <= 0:
        return Measures(today, saved, payback, discounted, ratio, None, Undefined.SAVES_NOTHING)
    adjusted = (1 + rate) * ratio ** (1 / Decimal(len(years) - 1)) - 1
    return Measures(today, saved, payback, discounted, ratio, adjusted)


def paid_back(more: Sequence[int]) -> Decimal | None:
    """The time, in years from today, from which on what was paid more is back and stays so; None where it is not.

    more: cents that are paid more in each year, the first today; within a year they are taken to come evenly.
    """
    left, since = 0, None
    for year, cents in enumerate(more):
        before, left = left, left + cents
        if left > 0:
            since = None
        elif since is None:
            since = Decimal(0) if year == 0 else year - 1 + Decimal(before) / -cents
    return since


def apart(facts: Facts, dear: Sequence[Line], cheap: Sequence[Line], counted: Counted) -> tuple[Apart, ...]:
    """Year by year what the first plan takes more than the other."""
    pairs = zip(money_by_year(facts, dear), money_by_year(facts, cheap), strict=True)
    return tuple(_apart(one, other, POCKETS[counted]) for one, other in pairs)


def _apart(dear: YearMoney, cheap: YearMoney, pockets: Sequence[Pocket]) -> Apart:
    def more(wanted: Sequence[Pocket]) -> tuple[int, int]:
        return (
            sum(dear.pockets[pocket] - cheap.pockets[pocket] for pocket in wanted),
            sum(dear.worths[pocket] - cheap.worths[pocket] for pocket in wanted),
        )

    lasting = pockets if dear.year == 0 else [pocket for pocket in pockets if pocket is Pocket.COMES_BACK]
    invested, invested_worth = more(lasting)
    running, running_worth = more([pocket for pocket in pockets if pocket not in lasting])
    return Apart(invested, running, invested_worth, running_worth)


@dataclass(frozen=True, slots=True)
class Named:
    """A plan with all its names: its place in the ranking, the pure way or the strategies that it is."""

    names: tuple[str, ...]
    plan: Ranked

    @property
    def name(self) -> str:
        """The first of them."""
        return self.names[0]


@dataclass(frozen=True, slots=True)
class Paid:
    """Plan 1 beside another plan: which of the two takes more today, and what that comes to."""

    other: Named
    first_takes_more: bool
    counted: Counted
    measures: Measures


def paying_back(comparison: Comparison) -> tuple[Paid, ...]:
    """Plan 1 beside every other ranked plan, the pure ways and the ranked strategies; first all money, then cash alone."""
    facts, rate = comparison.facts, comparison.facts.shop.money.discount_rate
    first, *others = named_plans(comparison)
    return tuple(
        _paid(facts, rate, first.plan, other, counted)
        for counted in Counted
        for other in (others if facts.shop.years else ())
    )


def _paid(facts: Facts, rate: Decimal, first: Ranked, other: Named, counted: Counted) -> Paid:
    years = apart(facts, other.plan.lines, first.lines, counted)
    if years[0].cents >= 0:
        return Paid(other, False, counted, measures(years, rate))
    years = apart(facts, first.lines, other.plan.lines, counted)
    return Paid(other, True, counted, measures(years, rate))


def named_plans(comparison: Comparison) -> list[Named]:
    """The plans that are ranked, the pure ways and the ranked strategies, each once, plan 1 first."""
    pure = zip(("fixed drops", "cords"), (cell.ranked for cell in comparison.pure), strict=True)
    named = [
        *((f"plan {place}", plan) for place, plan in enumerate(comparison.plans, 1)),
        *((name, plan) for name, plan in pure if plan is not None),
        *((f'"{name}"', plan) for name, plan in comparison.ranked_strategies),
    ]
    names: dict[tuple[Line, ...], list[str]] = {}
    plans: dict[tuple[Line, ...], Ranked] = {}
    for name, plan in named:
        names.setdefault(plan.lines, []).append(name)
        plans.setdefault(plan.lines, plan)
    return [Named(tuple(said), plans[lines]) for lines, said in names.items()]


def not_beaten(plans: Iterable[Named]) -> list[Named]:
    """Plans of which no other has both no more cash today and no higher total, the cheapest in all first."""
    found: list[Named] = []
    for entry in sorted(plans, key=lambda one: (one.plan.present_value_cents, one.plan.outlay_cents)):
        if not found or entry.plan.outlay_cents < found[-1].plan.outlay_cents:
            found.append(entry)
    return found
