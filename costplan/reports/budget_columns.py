"""What is told of a yearly budget as data, each column declared once; the keys are on the page json-and-csv."""

from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from typing import Any, TypeVar

from costplan.reports.table_types import Column, Kind, row_data
from costplan.studies.budgeted import Budgeted, Other, WorkedAnew
from costplan.studies.exceeding import Exceeding
from costplan.studies.yearly_budget import Budget, Lacking, Staged

F = TypeVar("F", Staged, Lacking)
Limited = tuple[Exceeding, Budget]
"""How often a limit is exceeded, and the limit."""

ANEW: tuple[Column[WorkedAnew], ...] = (
    Column("present_value_cents", Kind.WHOLE, "the total", lambda anew: anew.plan.present_value_cents),
    Column("cash_cents", Kind.LIST, "most cash of each year, today first", lambda anew: anew.cash),
)
OTHER_PLANS: tuple[Column[Other], ...] = (
    Column("rank", Kind.WHOLE, "its place, 1 the cheapest", lambda other: other.rank),
    Column("present_value_cents", Kind.WHOLE, "the total", lambda other: other.plan.present_value_cents),
    Column("outlay_cents", Kind.WHOLE, "cash today", lambda other: other.plan.outlay_cents),
)
WAITS: tuple[Column[tuple[str, Staged]], ...] = (
    Column("year", Kind.WHOLE, "in which its circuit is made then", lambda entry: entry[1].years[entry[0]]),
    Column("worth_cents", Kind.WHOLE, "circuits and visits in today's money", lambda e: e[1].worth_cents),
)
SURE: tuple[Column[Limited], ...] = (
    Column(
        "over_share",
        Kind.NUMBER,
        "share of draws in which some year needs more",
        lambda e: _share(e[0].share),
    ),
    Column(
        "over_share_by_year",
        Kind.LIST,
        "the same of each year that ever does",
        lambda e: {year: _share(share) for year, share in e[0].by_year.items()},
    ),
    Column(
        "covers_nine_of_ten_cents",
        Kind.MAYBE_WHOLE,
        "what covers nine of ten draws; none where years have different budgets",
        lambda e: e[1].of(0) + e[0].more_cents if e[1].alike else None,
    ),
    Column(
        "more_covers_nine_of_ten_cents", Kind.WHOLE, "how much more in every year", lambda e: e[0].more_cents
    ),
)


def _share(share: float) -> Decimal:
    return round(Decimal(str(share)), 4)


def _kept(of: Callable[[Staged], Any]) -> Callable[[Budgeted], Any]:
    return _where(Staged, of)


def _lacking(of: Callable[[Lacking], Any]) -> Callable[[Budgeted], Any]:
    return _where(Lacking, of)


def _where(kind: type[F], of: Callable[[F], Any]) -> Callable[[Budgeted], Any]:
    """Read off what was found where it is of a kind, else nothing."""
    return lambda found: of(found.found) if isinstance(found.found, kind) else None


def _rows(columns: tuple[Column[Any], ...], entries: Iterable[Any]) -> list[dict[str, Any]]:
    return [row_data(columns, entry) for entry in entries]


def _of_waits(lacking: Lacking) -> Mapping[str, Any]:
    return {name: row_data(WAITS, (name, one)) for name, one in lacking.waits.items()}


def _limit(found: Budgeted) -> Budget:
    """The budget that `sure` is about: the least that would do in every year, where the one asked for cannot be kept."""
    return Budget((found.found.every_year,)) if isinstance(found.found, Lacking) else found.task.budget


def _free_cents(found: Budgeted) -> int | None:
    return found.free.worth_cents if isinstance(found.free, Staged) else None


BUDGET: tuple[Column[Budgeted], ...] = (
    Column(
        "budget_cents",
        Kind.MAYBE_WHOLE,
        "of a year; none where years have different ones",
        lambda found: found.task.budget.of(0) if found.task.budget.alike else None,
    ),
    Column(
        "budget_by_year_cents",
        Kind.LIST,
        "of every year, today first",
        lambda found: [found.task.budget.of(year) for year in range(found.task.years)],
    ),
    Column("due", Kind.LIST, "by machine the last year of its circuit", lambda found: dict(found.due)),
    Column("kept", Kind.TRUTH, "whether it can be kept", lambda found: isinstance(found.found, Staged)),
    Column("years", Kind.LIST, "by machine the year of its circuit", _kept(lambda kept: dict(kept.years))),
    Column("cash_cents", Kind.LIST, "of every year, today first", _kept(lambda kept: kept.cash)),
    Column(
        "worth_cents",
        Kind.MAYBE_WHOLE,
        "circuits and visits in today's money",
        _kept(lambda k: k.worth_cents),
    ),
    Column("proven", Kind.MAYBE_TRUTH, "whether none is cheaper", _kept(lambda kept: kept.proven)),
    Column(
        "worth_without_budget_cents",
        Kind.MAYBE_WHOLE,
        "the same where no year has a budget",
        lambda found: _free_cents(found) if isinstance(found.found, Staged) else None,
    ),
    Column(
        "anew",
        Kind.LIST,
        "the plan worked out with these years",
        lambda found: None if found.anew is None else row_data(ANEW, found.anew),
    ),
    Column("short_cents", Kind.LIST, "least in all, by year", _lacking(lambda lacking: lacking.short)),
    Column(
        "one_year_cents", Kind.LIST, "what one year needs more", _lacking(lambda lacking: lacking.one_year)
    ),
    Column(
        "every_year_cents", Kind.MAYBE_WHOLE, "what would do", _lacking(lambda lacking: lacking.every_year)
    ),
    Column("waits", Kind.LIST, "by machine, if it may be a year later", _lacking(_of_waits)),
    Column(
        "other_plans",
        Kind.LIST,
        "ranked plans that could keep it",
        lambda found: _rows(OTHER_PLANS, found.others or ()) if isinstance(found.found, Lacking) else None,
    ),
    Column(
        "sure",
        Kind.LIST,
        "how often it does not do",
        lambda found: None if found.sure is None else row_data(SURE, (found.sure, _limit(found))),
    ),
)
"""A yearly budget with what came of it; what does not apply is none."""


def budget_data(found: Budgeted) -> dict[str, Any]:
    """All of it for JSON; money in whole units of currency with two decimals."""
    return row_data(BUDGET, found)
