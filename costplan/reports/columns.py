"""The tables of a comparison, each column declared once: its name with its unit, its type, what it means, where it is read.

JSON and CSV write money as a number with two decimals under the name without `_cents`; frames have whole cents.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, Generic

from costplan.ledger.lines import Line, Pocket
from costplan.program.ranked import Ranked
from costplan.reports.bill import BillRow, LaborRow, bill_of_materials, labor_today
from costplan.reports.table_types import CENTS, Column, Kind, R, Table, row_data
from costplan.reports.turning_text import change_words
from costplan.reports.words import title
from costplan.studies.comparison import COLUMNS, Comparison
from costplan.studies.paying_back import Measures, Paid, named_plans, not_beaten, paying_back
from costplan.studies.rows import Cell
from costplan.studies.staging import Due, due
from costplan.studies.turning import Point, Turning
from costplan.studies.yearly import YearMoney, money_by_year, own_hours


@dataclass(frozen=True)
class PlanTable(Generic[R]):
    """A table of each plan; with all plans in one, the rank stands before it."""

    name: str
    means: str
    rows: Callable[[Comparison, Ranked], Iterable[R]]
    columns: tuple[Column[R], ...]

    def data(self, comparison: Comparison, plan: Ranked) -> list[dict[str, Any]]:
        """Its rows of one plan for JSON."""
        return [row_data(self.columns, record) for record in self.rows(comparison, plan)]

    def values(self, comparison: Comparison) -> list[list[Any]]:
        """Its rows of all plans, the rank first, in the order and the units of the columns."""
        return [
            [rank, *(column.of(record) for column in self.columns)]
            for rank, plan in enumerate(comparison.plans, 1)
            for record in self.rows(comparison, plan)
        ]


RANK: Column[Any] = Column("rank", Kind.WHOLE, "the plan's place, 1 the cheapest", lambda record: record[0])


LINES: PlanTable[Line] = PlanTable(
    "lines",
    "every line that a total is the sum of",
    lambda _, plan: plan.lines,
    (
        Column("year", Kind.WHOLE, "years from today", lambda line: line.year),
        Column("scenario", Kind.WORDS, "in which scenario; empty: in all", lambda line: line.scenario),
        Column("kind", Kind.WORDS, "what it is", lambda line: str(line.kind)),
        Column("pocket", Kind.WORDS, "where it goes or comes from", lambda line: str(line.pocket)),
        Column("what", Kind.WORDS, "in words", lambda line: line.what),
        Column("machine", Kind.WORDS, "for which machine; empty: shared", lambda line: line.machine),
        Column("amount_cents", Kind.WHOLE, "in the money of the year", lambda line: line.amount_cents),
        Column(
            "present_value_cents",
            Kind.WHOLE,
            "in today's money, times the scenario's weight",
            lambda line: line.present_value_cents,
        ),
        Column("trace", Kind.WORDS, "where it comes from", lambda line: line.trace),
    ),
)


def _in(pocket: Pocket) -> Callable[[YearMoney], int]:
    return lambda entry: entry.pockets[pocket]


YEARS: PlanTable[YearMoney] = PlanTable(
    "by_year",
    "money of every year from today on, scenarios by their weight",
    lambda comparison, plan: money_by_year(comparison.facts, plan.lines),
    (
        Column("year", Kind.WHOLE, "years from today", lambda entry: entry.year),
        *(
            Column(
                f"{str(pocket).replace(' ', '_')}{CENTS}",
                Kind.WHOLE,
                f"{pocket}, in the money of the year",
                _in(pocket),
            )
            for pocket in Pocket
        ),
        Column(
            "cash_so_far_cents",
            Kind.WHOLE,
            "cash of this and all earlier years, each in its own money",
            lambda entry: entry.cash_so_far_cents,
        ),
        Column(
            "present_value_cents", Kind.WHOLE, "all of it in today's money", lambda e: e.present_value_cents
        ),
    ),
)

BILL: PlanTable[BillRow] = PlanTable(
    "bill_of_materials",
    "what to buy today, an offer a row",
    lambda comparison, plan: bill_of_materials(comparison.facts, plan),
    (
        Column("part", Kind.WORDS, "its id in the catalog", lambda row: row.part),
        Column("description", Kind.WORDS, "its name", lambda row: row.description),
        Column("larger_than_asked", Kind.WORDS, "what would do, or none", lambda row: row.larger or None),
        Column("to_read", Kind.WORDS, "which mark to read on it, or none", lambda row: row.read or None),
        Column("quantity", Kind.NUMBER, "how many of the unit", lambda row: row.quantity),
        Column("unit", Kind.WORDS, "what the price is for", lambda row: row.unit),
        Column("supplier", Kind.WORDS, "the supplier's id", lambda row: row.supplier),
        Column("condition", Kind.WORDS, "new, used and so on", lambda row: row.condition),
        Column("unit_price_cents", Kind.NUMBER, "of one unit, in cents", lambda row: row.unit_price_cents),
        Column("amount_cents", Kind.WHOLE, "of all of them, taxes apart", lambda row: row.amount_cents),
        Column("cuts_ft", Kind.LIST, "pieces it is cut to, in feet", lambda row: list(row.cuts_ft)),
        Column("for", Kind.LIST, "the machines it is for", lambda row: list(row.machines)),
        Column("offer_row", Kind.WHOLE, "the row of offers.csv", lambda row: row.offer_row),
    ),
)

LABOR: PlanTable[LaborRow] = PlanTable(
    "labor",
    "today's work by crew and task",
    lambda comparison, plan: labor_today(comparison.facts, plan),
    (
        Column("task", Kind.WORDS, "its id in the catalog", lambda row: row.task),
        Column("what", Kind.WORDS, "in words", lambda row: row.what),
        Column("quantity", Kind.NUMBER, "how many of it", lambda row: row.quantity, 2),
        Column("hours", Kind.NUMBER, "hours by the clock of all of it", lambda row: row.hours, 2),
        Column("crew", Kind.WORDS, "who does it", lambda row: row.crew),
        Column("people", Kind.WHOLE, "how many work together in each hour", lambda row: row.people),
        Column("amount_cents", Kind.WHOLE, "of all of it", lambda row: row.amount_cents),
    ),
)

DUE: PlanTable[Due] = PlanTable(
    "cash_due",
    "cash by year and machine, scenarios by their weight",
    lambda comparison, plan: due(comparison.facts, plan),
    (
        Column("year", Kind.WHOLE, "years from today", lambda entry: entry.year),
        Column("machine", Kind.WORDS, "for it alone; empty: shared", lambda entry: entry.machine),
        Column("cash_cents", Kind.WHOLE, "in the money of the year", lambda entry: entry.cents),
        Column(
            "scenarios_share", Kind.NUMBER, "by weight, in how many it is paid", lambda entry: entry.share, 4
        ),
    ),
)


@dataclass(frozen=True, slots=True)
class PlanRow:
    """A ranked plan in its comparison."""

    comparison: Comparison
    rank: int
    plan: Ranked


PLANS: Table[Comparison, PlanRow] = Table(
    "plans",
    "the ranked plans",
    lambda comparison: [PlanRow(comparison, rank, plan) for rank, plan in enumerate(comparison.plans, 1)],
    (
        Column("rank", Kind.WHOLE, "its place, 1 the cheapest", lambda row: row.rank),
        Column(
            "title", Kind.WORDS, "the plan in one line", lambda row: title(row.comparison.facts, row.plan)
        ),
        Column("proven", Kind.TRUTH, "whether nothing cheaper exists", lambda row: row.plan.proven),
        Column("bound_cents", Kind.WHOLE, "the proven lower bound", lambda row: row.plan.bound_cents),
        Column("present_value_cents", Kind.WHOLE, "the total", lambda row: row.plan.present_value_cents),
        Column("outlay_cents", Kind.WHOLE, "cash today", lambda row: row.plan.outlay_cents),
        Column(
            "other_today_cents",
            Kind.WHOLE,
            "own and lost time and allowances today",
            lambda row: row.plan.today_cents - row.plan.outlay_cents,
        ),
        Column("later_cents", Kind.WHOLE, "later years, in today's money", lambda row: row.plan.later_cents),
        Column("residual_cents", Kind.WHOLE, "what comes back, below 0", lambda row: row.plan.residual_cents),
        Column(
            "own_hours",
            Kind.NUMBER,
            "your own hours over all years",
            lambda row: own_hours(row.comparison.facts, row.plan),
            2,
        ),
        Column("hired", Kind.WORDS, "who is hired", lambda row: row.plan.plan.hiring.name),
    ),
)


@dataclass(frozen=True, slots=True)
class MatrixRow:
    """A cell of the matrix by its row and column."""

    row: str
    column: str
    cell: Cell


MATRIX: Table[Comparison, MatrixRow] = Table(
    "matrix",
    "the ways by what may be bought",
    lambda comparison: [
        MatrixRow(row, column, comparison.matrix[row, column])
        for row in comparison.rows
        for column in COLUMNS
    ],
    (
        Column("row", Kind.WORDS, "fixed drops, cords, best mix, as it is", lambda entry: entry.row),
        Column("column", Kind.WORDS, "new: all new; surplus: used too", lambda entry: entry.column),
        Column(
            "present_value_cents",
            Kind.MAYBE_WHOLE,
            "the total; none without a complete plan",
            lambda entry: entry.cell.present_value_cents,
        ),
        Column("incomplete", Kind.TRUTH, "whether a price is missing", lambda entry: entry.cell.incomplete),
        Column(
            "at_least_cents",
            Kind.MAYBE_WHOLE,
            "what an incomplete one costs at least",
            lambda entry: entry.cell.at_least_cents,
        ),
    ),
)


@dataclass(frozen=True, slots=True)
class TurningRow:
    """A value at which another wins, or a figure without one."""

    turning: Turning
    point: Point | None
    change: str | None


def _turning_rows(comparison: Comparison) -> Iterable[TurningRow]:
    for turning in comparison.turning:
        for point in turning.points:
            yield TurningRow(turning, point, change_words(comparison, point.ranked))
        if not turning.points:
            yield TurningRow(turning, None, None)


TURNING: Table[Comparison, TurningRow] = Table(
    "turning_points",
    "the values of a figure at which another plan or side wins; a row without one where none does",
    _turning_rows,
    (
        Column("figure", Kind.WORDS, "which figure moves", lambda row: row.turning.figure.name),
        Column("unit", Kind.WORDS, "what it is counted in", lambda row: row.turning.figure.unit),
        Column("now", Kind.NUMBER, "what it is now", lambda row: row.turning.figure.likely, 8),
        Column("from", Kind.NUMBER, "the least that was looked at", lambda row: row.turning.figure.low, 8),
        Column("to", Kind.NUMBER, "the most that was looked at", lambda row: row.turning.figure.high, 8),
        Column("question", Kind.WORDS, "who may win", lambda row: row.turning.question),
        Column("now_best", Kind.WORDS, "who wins now", lambda row: row.turning.now),
        Column("at", Kind.NUMBER, "in its unit; none: never", lambda row: row.point and row.point.at, 8),
        Column("wins", Kind.WORDS, "who wins beyond it", lambda row: row.point and row.point.wins),
        Column("change", Kind.WORDS, "what that plan does otherwise", lambda row: row.change),
        Column(
            "exact",
            Kind.MAYBE_TRUTH,
            "whether it cannot turn nearer still",
            lambda row: row.point and row.point.exact,
        ),
        Column(
            "held",
            Kind.MAYBE_TRUTH,
            "whether both plans were held as they are and nothing was solved there",
            lambda row: row.point and row.point.held,
        ),
        Column("solved", Kind.TRUTH, "whether all of its range was solved", lambda row: row.turning.looked),
    ),
)


def measured(of: Callable[[R], Measures | None], net: Kind = Kind.MAYBE_WHOLE) -> tuple[Column[R], ...]:
    """What more cash today pays back, as columns of a row that has such measures; `net` is the type where all rows do."""

    def read(name: str) -> Callable[[R], Any]:
        return lambda row: None if (found := of(row)) is None else getattr(found, name)

    undefined = read("undefined")
    return (
        Column("net_savings_cents", net, "what it saves over all years", read("net_savings_cents")),
        Column(
            "payback_years",
            Kind.MAYBE_WHOLE,
            "at the end of which year it is paid back for good; none: of none",
            read("payback_years"),
        ),
        Column(
            "discounted_payback_years",
            Kind.MAYBE_WHOLE,
            "the same in today's money",
            read("discounted_payback_years"),
        ),
        Column(
            "savings_to_investment",
            Kind.NUMBER,
            "savings to investment; none: see undefined",
            read("savings_to_investment"),
            4,
        ),
        Column(
            "adjusted_return",
            Kind.NUMBER,
            "a year, as a fraction; none: see undefined",
            read("adjusted_return"),
            6,
        ),
        Column(
            "undefined",
            Kind.WORDS,
            "why a measure is missing, or none",
            lambda row: None if (why := undefined(row)) is None else str(why),
        ),
    )


PAID: Table[Comparison, Paid] = Table(
    "paying_back",
    "plan 1 beside every other: what the one that takes more today pays back",
    paying_back,
    (
        Column(
            "beside", Kind.LIST, "the other plan, by all its names", lambda entry: list(entry.other.names)
        ),
        Column(
            "first_takes_more",
            Kind.TRUTH,
            "whether plan 1 takes more today, else the other",
            lambda entry: entry.first_takes_more,
        ),
        Column("counted", Kind.WORDS, "which money is looked at", lambda entry: str(entry.counted)),
        Column(
            "more_today_cents",
            Kind.WHOLE,
            "what it takes more today",
            lambda entry: entry.measures.more_today_cents,
        ),
        *measured(lambda entry: entry.measures, Kind.WHOLE),
    ),
)

NOT_BEATEN: Table[Comparison, Any] = Table(
    "not_beaten",
    "plans that no other beats in both cash today and total, of those worked out",
    lambda comparison: not_beaten(named_plans(comparison)),
    (
        Column("plan", Kind.LIST, "by all its names", lambda entry: list(entry.names)),
        Column("outlay_cents", Kind.WHOLE, "cash today", lambda entry: entry.plan.outlay_cents),
        Column("present_value_cents", Kind.WHOLE, "the total", lambda entry: entry.plan.present_value_cents),
    ),
)
