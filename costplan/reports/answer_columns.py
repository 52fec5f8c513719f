"""Columns of what stands beside the plans: strategies, layouts, ranges, what finding out is worth; and all tables by name."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields
from decimal import Decimal
from typing import Any

from costplan.ledger.holding import written
from costplan.model.choices import PURE_WAYS
from costplan.program.ranked import Ranked
from costplan.reports.columns import (
    BILL,
    DUE,
    LABOR,
    LINES,
    MATRIX,
    NOT_BEATEN,
    PAID,
    PLANS,
    TURNING,
    YEARS,
    PlanTable,
    measured,
)
from costplan.reports.table_types import Column, Kind, Table
from costplan.reports.turning_text import drawn_words
from costplan.studies.comparison import COLUMNS, Comparison
from costplan.studies.finding_out import FindingOut
from costplan.studies.layouts import Doings, LayoutRow, doings, own_hours_today
from costplan.studies.outlays import Efficient
from costplan.studies.strategies import StrategyRow
from costplan.studies.sureness import CellName, Drawn, Range, Ranges
from costplan.studies.yearly import money_by_year


@dataclass(frozen=True, slots=True)
class StrategyOf:
    """A strategy in its comparison."""

    comparison: Comparison
    row: StrategyRow

    @property
    def plan(self) -> Ranked | None:
        """Its plan under the shop's rule for used parts, priced as if it were allowed."""
        return self.row.cells[self.comparison.column].ranked

    @property
    def left_cents(self) -> int | None:
        """What the cap on today's cash leaves; None without one."""
        cap = self.comparison.facts.shop.money.outlay_cap_cents
        return None if self.plan is None or cap is None else int(cap) - self.plan.outlay_cents

    @property
    def by_year_cents(self) -> list[int]:
        """Cash of every year from today on, in the money of the year."""
        if self.plan is None:
            return []
        return [year.cash_cents for year in money_by_year(self.comparison.facts, self.plan.lines)]


def _total(column: str) -> Callable[[StrategyOf], int | None]:
    return lambda entry: entry.row.cells[column].present_value_cents


def _at_least(column: str) -> Callable[[StrategyOf], int | None]:
    return lambda entry: entry.row.cells[column].at_least_cents


STRATEGIES: Table[Comparison, StrategyOf] = Table(
    "strategies",
    "the strategies of the file, in its order",
    lambda comparison: [StrategyOf(comparison, row) for row in comparison.strategies],
    (
        Column("name", Kind.WORDS, "its name", lambda entry: entry.row.name),
        *(
            Column(f"{column}_cents", Kind.MAYBE_WHOLE, f"the total, {bought}", _total(column))
            for column, bought in zip(COLUMNS, ("all new", "used parts too"), strict=True)
        ),
        *(
            Column(
                f"{column}_at_least_cents",
                Kind.MAYBE_WHOLE,
                "what an incomplete one costs at least",
                _at_least(column),
            )
            for column in COLUMNS
        ),
        Column(
            "outlay_cents",
            Kind.MAYBE_WHOLE,
            "cash today",
            lambda entry: entry.plan and entry.plan.outlay_cents,
        ),
        Column(
            "left_under_cap_cents", Kind.MAYBE_WHOLE, "what the cap leaves", lambda entry: entry.left_cents
        ),
        Column(
            "cash_by_year_cents",
            Kind.LIST,
            "cash of every year from today on, in that year's money",
            lambda entry: entry.by_year_cents,
        ),
        Column(
            "uncertain_by_cents",
            Kind.MAYBE_WHOLE,
            "one standard deviation of its distance from the cheapest; none for that one",
            lambda entry: entry.comparison.strategy_spreads.get(entry.row.name),
        ),
        Column(
            "ranked",
            Kind.TRUTH,
            "whether it is allowed and complete",
            lambda entry: not entry.row.reason and entry.plan is not None,
        ),
        Column(
            "reason",
            Kind.WORDS,
            "why it is not, or none",
            lambda entry: entry.row.reason or entry.row.cells[entry.comparison.column].why_not or None,
        ),
    ),
)


@dataclass(frozen=True, slots=True)
class LayoutOf:
    """A layout in its comparison."""

    comparison: Comparison
    row: LayoutRow
    done: Doings | None

    @property
    def more_cents(self) -> int | None:
        """Its total less that of the first row with a plan; None where they have other machines."""
        plan, today = self.row.ranked, self.comparison.today_layout
        if plan is None or today is None or today.ranked is None or self.row.other_machines_than(today):
            return None
        return plan.present_value_cents - today.ranked.present_value_cents


def _planned(of: Callable[[Ranked], Any]) -> Callable[[LayoutOf], Any]:
    """What a layout's plan has; None where there is none."""
    return lambda entry: None if entry.row.ranked is None else of(entry.row.ranked)


def _laid_out(comparison: Comparison) -> Iterator[LayoutOf]:
    for row in comparison.layouts:
        yield LayoutOf(comparison, row, None if row.ranked is None else doings(row.facts, row.ranked))


def _done(name: str) -> Callable[[LayoutOf], int | None]:
    return lambda entry: None if entry.done is None else getattr(entry.done, name)


DONE_TODAY = tuple(entry.name for entry in fields(Doings))
"""Columns that count what must be done today."""
LAYOUTS: Table[Comparison, LayoutOf] = Table(
    "layouts",
    "layouts beside the shop as it is",
    _laid_out,
    (
        Column("name", Kind.WORDS, "its name", lambda entry: entry.row.name),
        Column(
            "present_value_cents",
            Kind.MAYBE_WHOLE,
            "the total; none without a plan",
            _planned(lambda plan: plan.present_value_cents),
        ),
        Column(
            "proven", Kind.MAYBE_TRUTH, "whether nothing cheaper exists", _planned(lambda plan: plan.proven)
        ),
        Column(
            "incomplete",
            Kind.TRUTH,
            "whether something unknown could be cheaper",
            lambda entry: entry.row.threat is not None,
        ),
        Column(
            "at_least_cents",
            Kind.MAYBE_WHOLE,
            "what it costs with that at least",
            lambda entry: entry.row.threat and entry.row.threat.at_least_cents,
        ),
        Column(
            "more_cents",
            Kind.MAYBE_WHOLE,
            "less the total of the first row with a plan",
            lambda entry: entry.more_cents,
        ),
        Column(
            "uncertain_by_cents",
            Kind.MAYBE_WHOLE,
            "one standard deviation of that",
            lambda entry: entry.comparison.layout_spreads.get(entry.row.name),
        ),
        Column("outlay_cents", Kind.MAYBE_WHOLE, "cash today", _planned(lambda plan: plan.outlay_cents)),
        Column(
            "other_today_cents",
            Kind.MAYBE_WHOLE,
            "own and lost time and allowances today",
            _planned(lambda plan: plan.today_cents - plan.outlay_cents),
        ),
        Column(
            "later_cents",
            Kind.MAYBE_WHOLE,
            "later years, in today's money",
            _planned(lambda plan: plan.later_cents),
        ),
        Column(
            "residual_cents",
            Kind.MAYBE_WHOLE,
            "what comes back, below 0",
            _planned(lambda plan: plan.residual_cents),
        ),
        Column("own_hours_today", Kind.NUMBER, "your own hours today", _planned(own_hours_today), 2),
        *(
            Column(name, Kind.MAYBE_WHOLE, f"{name.replace('_', ' ')} today", _done(name))
            for name in DONE_TODAY
        ),
        Column(
            "cannot_stay",
            Kind.LIST,
            "machines whose circuit cannot stay as it is",
            lambda entry: [written(entry.comparison.facts, name) for name in entry.row.exceptions],
        ),
        Column("dropped", Kind.LIST, "events that no longer happen", lambda entry: entry.row.dropped),
        Column("reason", Kind.WORDS, "why it has no plan, or none", lambda entry: entry.row.why_not or None),
    ),
)


@dataclass(frozen=True, slots=True)
class RangeRow:
    """A total by where it stands, with what the draws say of it."""

    of: str
    name: str
    column: str
    plan: Ranked
    ranges: Ranges
    alone: bool = False
    """Whether it may not be ranked, and so has none of its like."""

    @property
    def drawn(self) -> Drawn | None:
        """What is known of it beside its like; None where it stands beside none."""
        return self.ranges if isinstance(self.ranges, Drawn) else None


PLAN, CELL, STRATEGY = "plan", "matrix", "strategy"


def _ranges(comparison: Comparison) -> Iterator[RangeRow]:
    """Plans, then the cells of the matrix, then those of the strategies: each that has a plan."""
    sureness, own = comparison.sureness, comparison.column
    for rank, (plan, drawn) in enumerate(zip(comparison.plans, sureness.plans, strict=False), 1):
        yield RangeRow(PLAN, str(rank), own, plan, drawn)
    beside: dict[str, Drawn] = dict(zip(PURE_WAYS, sureness.pure, strict=False))
    cells = [
        *((CellName(row, column), cell) for (row, column), cell in comparison.matrix.items()),
        *(
            (CellName(row.name, column, strategy=True), cell)
            for row in comparison.strategies
            for column, cell in row.cells.items()
        ),
    ]
    for name, cell in cells:
        if cell.ranked is None or name not in sureness.cells:
            continue
        likes = {**sureness.strategies, **sureness.unranked} if name.strategy else beside
        ranges = likes.get(name.row) if name.column == own else None
        where, alone = STRATEGY if name.strategy else CELL, name.strategy and name.row in sureness.unranked
        yield RangeRow(where, name.row, name.column, cell.ranked, ranges or sureness.cells[name], alone)


def _drawn(of: Callable[[Drawn], Any]) -> Callable[[RangeRow], Any]:
    return lambda row: None if row.drawn is None else of(row.drawn)


def _of_its_like(of: Callable[[Drawn], Any]) -> Callable[[RangeRow], Any]:
    return lambda row: None if row.drawn is None or row.alone else of(row.drawn)


def _of_range(figure: str, part: str) -> Callable[[RangeRow], int]:
    def read(row: RangeRow) -> int:
        found: Range = getattr(row.ranges, figure)
        cents: int = getattr(found, part)
        return cents

    return read


_TENTHS = (
    ("p10", "low_cents", "a tenth of the draws is below it"),
    ("p50", "median_cents", "half of the draws are below it"),
    ("p90", "high_cents", "a tenth of the draws is above it"),
)
RANGES: Table[Comparison, RangeRow] = Table(
    "ranges",
    "how far each total may be off, out of the draws",
    _ranges,
    (
        Column("of", Kind.WORDS, f"{PLAN}, {CELL} or {STRATEGY}", lambda row: row.of),
        Column("name", Kind.WORDS, "a plan's rank, a row of the matrix, a strategy", lambda row: row.name),
        Column("column", Kind.WORDS, "new: all new; surplus: used too", lambda row: row.column),
        Column(
            "total_cents",
            Kind.WHOLE,
            "the likely total, as printed",
            lambda row: row.plan.present_value_cents,
        ),
        *(
            Column(f"total_{name}_cents", Kind.WHOLE, f"the total: {means}", _of_range("total", part))
            for name, part, means in _TENTHS
        ),
        Column("cash_today_cents", Kind.WHOLE, "likely cash today", lambda row: row.plan.outlay_cents),
        *(
            Column(
                f"cash_today_{name}_cents", Kind.WHOLE, f"cash today: {means}", _of_range("cash_today", part)
            )
            for name, part, means in _TENTHS
        ),
        Column(
            "contingency_cents",
            Kind.MAYBE_WHOLE,
            "what covers cash today in nine of ten draws, above the likely",
            lambda row: row.drawn and row.drawn.contingency_cents(row.plan.outlay_cents),
        ),
        Column(
            "spread_cents",
            Kind.MAYBE_WHOLE,
            "one standard deviation of the total",
            _drawn(lambda drawn: drawn.spread_cents),
        ),
        Column(
            "worst_cents", Kind.MAYBE_WHOLE, "the most it came to", _drawn(lambda drawn: drawn.worst_cents)
        ),
        Column(
            "cheapest_share",
            Kind.NUMBER,
            "in what share of draws it was the cheapest of its like",
            _of_its_like(lambda drawn: Decimal(str(drawn.cheapest))),
            4,
        ),
        Column(
            "regret_cents",
            Kind.MAYBE_WHOLE,
            "how much on average above the cheapest of its like",
            _of_its_like(lambda drawn: drawn.regret_cents),
        ),
        Column(
            "cheapest_of_all_share",
            Kind.NUMBER,
            "the same beside all plans, pure ways and strategies",
            _drawn(lambda drawn: Decimal(str(drawn.cheapest_of_all))),
            4,
        ),
        Column(
            "regret_of_all_cents",
            Kind.MAYBE_WHOLE,
            "the same beside all of them",
            _drawn(lambda drawn: drawn.regret_of_all_cents),
        ),
    ),
)


@dataclass(frozen=True, slots=True)
class FoundOut:
    """A figure that is drawn, in its comparison."""

    comparison: Comparison
    found: FindingOut


FINDING: Table[Comparison, FoundOut] = Table(
    "finding_out",
    "what knowing a figure alone is worth before a plan is chosen, the one most worth knowing first",
    lambda comparison: [FoundOut(comparison, found) for found in comparison.sureness.finding_out],
    (
        Column("figure", Kind.WORDS, "its name in the draws", lambda entry: entry.found.figure),
        Column(
            "words", Kind.WORDS, "in words", lambda entry: drawn_words(entry.comparison, entry.found.figure)
        ),
        Column(
            "worth_cents",
            Kind.WHOLE,
            "what knowing it saves on average, by the ranked plans",
            lambda entry: entry.found.worth_cents,
        ),
        Column(
            "swing_cents",
            Kind.WHOLE,
            "how far plan 2 less plan 1 moves from its 10th to its 90th percentile",
            lambda entry: entry.found.swing_cents,
        ),
    ),
)


OUTLAYS: tuple[Column[Efficient], ...] = (
    Column("names", Kind.LIST, "of the plan; none where it was only searched for", lambda e: list(e.names)),
    Column("outlay_cents", Kind.WHOLE, "cash today", lambda entry: entry.plan.outlay_cents),
    Column("later_cents", Kind.WHOLE, "all but today's cash, in today's money", lambda e: e.later_cents),
    Column("present_value_cents", Kind.WHOLE, "the total", lambda entry: entry.plan.present_value_cents),
    Column(
        "more_today_cents",
        Kind.MAYBE_WHOLE,
        "more cash today than the row above takes",
        lambda entry: None if entry.saved_each is None else entry.more_today_cents,
    ),
    Column("saved_each", Kind.NUMBER, "what each 1 more today saves later", lambda e: e.saved_each, 4),
    *measured(lambda entry: entry.measures),
)
"""Cash today against later: plans that none beats in both, the least cash today first, each beside the one above."""

WHOLE_TABLES: Mapping[str, Table[Comparison, Any]] = {
    table.name: table
    for table in (PLANS, MATRIX, STRATEGIES, LAYOUTS, RANGES, FINDING, TURNING, PAID, NOT_BEATEN)
}
"""The tables of a whole comparison by their names."""
PLAN_TABLES: Mapping[str, PlanTable[Any]] = {table.name: table for table in (LINES, YEARS, DUE, BILL, LABOR)}
"""The tables that each plan has, by their names."""
TABLES: Mapping[str, Table[Comparison, Any] | PlanTable[Any]] = {**WHOLE_TABLES, **PLAN_TABLES}
"""Every table of a comparison by its name."""
