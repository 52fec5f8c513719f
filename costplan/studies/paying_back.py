"""What more money today comes to over the years: payback, net savings, savings to investment, adjusted rate of return.

Two plans are told apart by what each takes year by year. The one that takes more today is the dearer one; what it costs
more is invested, what it costs less later is saved. Source of all measures: 10 CFR 436.20 to 436.22 and NIST Handbook
135, Life Cycle Costing Manual (net savings, savings-to-investment ratio, adjusted internal rate of return, payback), as
ASTM E917 and its kin have them (these not seen). There replacements and residual value stand beside the investment, and
payback is the least number of whole years after which what was saved has reached it.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from costplan.circuits.facts import Facts
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.model.choices import PURE_WAYS
from costplan.model.money import to_cents
from costplan.program.ranked import Ranked
from costplan.studies.comparison import Comparison
from costplan.years.calendar import weights_of
from costplan.years.stream import Cause


class Counted(StrEnum):
    """Which money is looked at."""

    ALL = "all money"
    CASH = "cash"


POCKETS = {Counted.ALL: tuple(Pocket), Counted.CASH: (Pocket.CASH, Pocket.COMES_BACK)}
"""What each of them holds; what resale brings at the end is cash."""


class Class(StrEnum):
    """What a line is beside another plan's; each line is one of them."""

    INVESTED = "investment"
    REPLACED = "replacement"
    RESIDUAL = "residual value"
    RUNNING = "running cost"


def class_of(line: Line) -> Class:
    """What a line is: resale at the end; of today, or made for the first time later; worn out and bought again; all else."""
    if line.kind is LineKind.RESALE and line.pocket is Pocket.COMES_BACK:
        return Class.RESIDUAL
    if line.year == 0 or line.cause is Cause.BEGUN:
        return Class.INVESTED
    return Class.REPLACED if line.cause is Cause.WORN else Class.RUNNING


LEAST_SHARE = Decimal("0.01")
"""Less invested than this share of the dearer plan's money of today is what is left of larger sums: no ratio is made of it."""


class Undefined(StrEnum):
    """Why a measure is not there."""

    SAME_TODAY = "both cost the same today, so nothing is invested"
    LESS_TODAY = "with own time and all else of today counted it takes less today, so nothing is invested"
    NOTHING_INVESTED = (
        "what it costs more today comes back by resale or by fewer replacements, so nothing stays invested"
    )
    HARDLY_INVESTED = "after replacements and resale less than 1 % of its money today stays invested, too little for a ratio"
    SAVES_NOTHING = "it saves nothing of running costs"


@dataclass(frozen=True, slots=True)
class Apart:
    """What the dearer plan takes more in one year, in whole cents: invested and run, in that year's money and as worth today.

    Invested is what is made for the first time, what is bought again as worn out and, below nothing, what resale brings;
    `running` is all else, below nothing where it saves.
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
    """What the dearer plan's extra money comes to, in cents of today.

    A payback is the year at whose end it is back and stays so; None where that is not within the years, or `undefined` says
    why there is none.
    """

    more_today_cents: int
    net_savings_cents: int
    payback_years: int | None
    discounted_payback_years: int | None
    savings_to_investment: Decimal | None
    adjusted_return: Decimal | None
    undefined: Undefined | None = None


def measures(years: Sequence[Apart], rate: Decimal, today_cents: int = 0) -> Measures:
    """The measures of what a plan takes more, from today on; rate: the discount rate a year as a fraction.

    today_cents: all that the dearer plan takes today, beside which what is invested may be too little for a ratio.

    The adjusted return is (1 + rate) x ratio ** (1 / years) - 1: savings are put by at the discount rate.
    Raises ValueError without a year after today.
    """
    if len(years) < 2:
        raise ValueError("there must be today and one year at least")
    today = years[0].cents
    saved = -sum(year.worth_cents for year in years)
    if today <= 0:
        why = Undefined.LESS_TODAY if today else Undefined.SAME_TODAY
        return Measures(today, saved, None, None, None, None, why)
    payback = paid_back([year.cents for year in years])
    discounted = paid_back([year.worth_cents for year in years])
    invested = sum(year.invested_worth_cents for year in years)
    if invested <= 0:
        return Measures(today, saved, payback, discounted, None, None, Undefined.NOTHING_INVESTED)
    savings = -sum(year.running_worth_cents for year in years)
    if savings <= 0:
        return Measures(today, saved, payback, discounted, None, None, Undefined.SAVES_NOTHING)
    if invested < LEAST_SHARE * today_cents:
        return Measures(today, saved, payback, discounted, None, None, Undefined.HARDLY_INVESTED)
    ratio = Decimal(savings) / invested
    adjusted = (1 + rate) * ratio ** (1 / Decimal(len(years) - 1)) - 1
    return Measures(today, saved, payback, discounted, ratio, adjusted)


def paid_back(more: Sequence[int]) -> int | None:
    """The least number of whole years at whose end what was paid more is back, for good; None where it is not.

    more: cents that are paid more in each year, the first today; all of a year falls at its end.
    """
    left, since = 0, None
    for year, cents in enumerate(more):
        left += cents
        if left > 0:
            since = None
        elif since is None:
            since = year
    return since


def apart(facts: Facts, dear: Sequence[Line], cheap: Sequence[Line], counted: Counted) -> tuple[Apart, ...]:
    """Year by year what the first plan takes more than the other."""
    one, other = (_Sums(facts, lines, POCKETS[counted]) for lines in (dear, cheap))
    found = []
    for year in range(facts.shop.years + 1):
        invested, running = ((year, True), (year, False))
        found.append(
            Apart(
                one.cents(invested) - other.cents(invested),
                one.cents(running) - other.cents(running),
                one.worths[invested] - other.worths[invested],
                one.worths[running] - other.worths[running],
            )
        )
    return tuple(found)


class _Sums:
    """What a plan takes by year, and whether it is invested, replaced or comes back, or runs."""

    def __init__(self, facts: Facts, lines: Iterable[Line], pockets: Collection[Pocket]) -> None:
        weights = {"": Decimal(1)} | weights_of(facts.shop)
        self.exact: dict[tuple[int, bool], Decimal] = defaultdict(Decimal)
        self.worths: dict[tuple[int, bool], int] = defaultdict(int)
        for line in (line for line in lines if line.pocket in pockets):
            at = line.year, class_of(line) is not Class.RUNNING
            self.exact[at] += line.amount_cents * weights[line.scenario]
            self.worths[at] += line.present_value_cents

    def cents(self, at: tuple[int, bool]) -> int:
        """In the money of the year, scenarios by their weight."""
        return to_cents(self.exact[at])


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
    def taking(dear: Ranked, cheap: Ranked) -> Measures:
        return measures_beside(facts, rate, dear, cheap, counted)

    found = taking(other.plan, first)
    if found.more_today_cents >= 0:
        return Paid(other, False, counted, found)
    return Paid(other, True, counted, taking(first, other.plan))


def measures_beside(
    facts: Facts, rate: Decimal, dear: Ranked, cheap: Ranked, counted: Counted = Counted.ALL
) -> Measures:
    """The measures of one plan beside another that takes less today."""
    today = sum(
        line.amount_cents for line in dear.lines if line.year == 0 and line.pocket in POCKETS[counted]
    )
    return measures(apart(facts, dear.lines, cheap.lines, counted), rate, today)


def named_plans(comparison: Comparison) -> list[Named]:
    """The plans that are ranked, the pure ways and the ranked strategies, each once, plan 1 first."""
    pure = zip(PURE_WAYS, (cell.ranked for cell in comparison.pure), strict=True)
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
