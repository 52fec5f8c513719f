"""The user's strategies beside each other, and what is left under the cap on today's outlay."""

from collections.abc import Callable

from costplan.model.money import format_cents
from costplan.program.ranked import Ranked
from costplan.reports.tables import filled, fitted
from costplan.reports.verdict_words import strategy_sentences
from costplan.studies.comparison import Comparison
from costplan.studies.rows import Cell
from costplan.studies.strategies import StrategyRow
from costplan.studies.yearly import money_by_year, next_year_cash_cents

SOURCING = {"new": "all new", "surplus": "used parts allowed"}
"""The columns in words."""
USED_PARTS = (
    "used parts allowed: also used ones and new-old-stock (never used, but old), where those are offered"
)
NO_USED_PARTS = "no used parts in this catalog"


def heading(column: str, *, used: bool) -> str:
    """The heading of a column; where nothing used is offered, one column stands for both and is all new."""
    return SOURCING[column if used else "new"]


def cell_text(
    cell: Cell, money: Callable[[int], str] = format_cents, floor: str = "incomplete, at least"
) -> str:
    """A cell as it is printed: the total as `money` writes it, what it costs at least when incomplete, or none."""
    if cell.incomplete:
        least = cell.at_least_cents
        return "incomplete" if least is None else f"{floor} {money(least)}"
    cents = cell.present_value_cents
    if cents is None:
        return "none"
    mark = "" if cell.ranked is None or cell.ranked.proven else " (not proven)"
    return money(cents) + mark


def strategies_text(comparison: Comparison, width: int) -> str:
    """Totals, today's cash and cash by year of every strategy, and how they rank; empty without any."""
    if not comparison.strategies:
        return ""
    words = "\n".join(filled(sentence, width) for sentence in strategy_sentences(comparison))
    return f"Strategies\n{_totals(comparison, width)}\n{words}{_years(comparison, width)}"


def _totals(comparison: Comparison, width: int) -> str:
    cap = comparison.facts.shop.money.outlay_cap_cents
    headers = ["strategy", *SOURCING.values(), "cash today", "cash in year 1"]
    rows = []
    for row in comparison.strategies:
        name = f"{row.name} (unranked)" if row.reason else row.name
        plan = row.cells[comparison.column].ranked
        cash = ["", ""] if plan is None else _cash(comparison, plan)
        left = "" if plan is None or cap is None else format_cents(int(cap) - plan.outlay_cents)
        cells = [cell_text(row.cells[column]) for column in SOURCING]
        rows.append([name, *cells, *cash, *([] if cap is None else [left])])
    if cap is not None:
        headers.append("left under the cap")
    return fitted(headers, rows, set(range(1, len(headers))), width, at_most=40)


def _cash(comparison: Comparison, plan: Ranked) -> list[str]:
    return [format_cents(plan.outlay_cents), format_cents(next_year_cash_cents(comparison.facts, plan))]


def _years(comparison: Comparison, width: int) -> str:
    """Cash by year of the strategies that have a plan, in the money of each year."""
    known = [(row, plan) for row in comparison.strategies if (plan := _plan(comparison, row)) is not None]
    if not known:
        return ""
    by_row = [money_by_year(comparison.facts, plan.lines) for _, plan in known]
    rows = []
    for years in zip(*by_row, strict=True):
        if any(entry.cash_cents for entry in years):
            year = "today" if years[0].year == 0 else str(years[0].year)
            rows.append([year, *(format_cents(entry.cash_cents) for entry in years)])
    headers = ["year", *(row.name for row, _ in known)]
    text = fitted(headers, rows, set(range(1, len(headers))), width, at_most=40)
    head = "Strategies: cash by year, in the money of each year, each scenario by its weight"
    return f"\n\n{filled(head, width)}\n{text}"


def _plan(comparison: Comparison, row: StrategyRow) -> Ranked | None:
    return row.cells[comparison.column].ranked
