"""Cash today against later: the plans worth looking at, what each more dollar today pays back, printed and as data."""

from decimal import Decimal
from typing import Any

from costplan.model.money import format_cents
from costplan.reports.tables import filled, fitted, hung
from costplan.reports.words import difference
from costplan.studies.comparison import Comparison
from costplan.studies.outlays import Efficient, Frontier, efficient

NONE = "-"
HEAD = "Cash today against later: plans that none beats in both, the least cash today first"
COLUMNS = ["", "cash today", "later", "total", "each 1 more", "net", "ratio", "a year", "back by"]
LEGEND = (
    "later: all but today's cash, in today's money. Beside the row above: what each 1 more today saves later; net: how much "
    "less in all (below nothing where it costs more); ratio: running costs saved to invested, and a year: adjusted return, "
    "as in --show years; back by: the year at whose end it is paid back for good. The lowest total is the best plan; a high "
    "ratio of a small step is no reason to stop there."
)
AT_HAND = "Of the plans worked out here; --show outlays searches for the cheapest under lower and lower caps on today's cash."
SEARCHED = (
    "Searched anew under lower and lower caps on today's cash; between two rows there may be more plans."
)
NOT_ENDED = "Time ran out (--time-limit) before the last cap: there may be plans with less cash today."


def outlays_text(comparison: Comparison, found: Frontier | None, width: int) -> str:
    """The plans as a table; what those that are only searched for do otherwise than plan 1 under it."""
    kept = efficient(comparison, found)
    marks = {entry.plan.lines: _mark(entry, place) for place, entry in enumerate(kept, 1)}
    rows = [[marks[entry.plan.lines], *_row(comparison, entry)] for entry in kept]
    notes = [AT_HAND if found is None else SEARCHED if found.ended else f"{SEARCHED} {NOT_ENDED}"]
    told = [
        f"{marks[entry.plan.lines]}: as plan 1, but {difference(comparison.facts, entry.plan, comparison.best)}"
        for entry in kept
        if not entry.names
    ]
    why = [
        f"{marks[entry.plan.lines]}: {entry.measures.undefined}"
        for entry in kept
        if entry.measures is not None and entry.measures.undefined is not None
    ]
    also = [" = ".join(entry.names) for entry in kept if entry.names[1:]]
    return "\n".join(
        [
            filled(HEAD, width),
            fitted(COLUMNS, rows, set(range(1, len(COLUMNS))), width),
            *(hung(words, width, "    ", first="  ") for words in (*told, *also, *why)),
            *(filled(words, width) for words in (LEGEND, *notes)),
        ]
    )


def _mark(entry: Efficient, place: int) -> str:
    return entry.names[0] if entry.names else f"row {place}"


def _row(comparison: Comparison, entry: Efficient) -> list[str]:
    plan, step, years = entry.plan, entry.measures, comparison.facts.shop.years
    sums = [format_cents(cents) for cents in (plan.outlay_cents, entry.later_cents, plan.present_value_cents)]
    if entry.saved_each is None:
        return [*sums, *[NONE] * 5]
    each = f"{entry.saved_each:.2f}"
    if step is None:
        return [*sums, each, *[NONE] * 4]
    return [
        *sums,
        each,
        format_cents(step.net_savings_cents),
        NONE if step.savings_to_investment is None else f"{step.savings_to_investment:.2f}",
        NONE if step.adjusted_return is None else f"{step.adjusted_return * 100:.1f} %",
        f"not in {years}" if step.payback_years is None else str(step.payback_years),
    ]


def outlays_data(comparison: Comparison, found: Frontier) -> dict[str, Any]:
    """The same as data, in whole units of currency."""
    return {"ended": found.ended, "plans": [_told(entry) for entry in efficient(comparison, found)]}


def _told(entry: Efficient) -> dict[str, Any]:
    plan, step = entry.plan, entry.measures
    return {
        "names": list(entry.names),
        "outlay": _money(plan.outlay_cents),
        "later": _money(entry.later_cents),
        "present_value": _money(plan.present_value_cents),
        "more_today": None if entry.saved_each is None else _money(entry.more_today_cents),
        "saved_each": _rounded(entry.saved_each, 4),
        "net_savings": step and _money(step.net_savings_cents),
        "savings_to_investment": step and _rounded(step.savings_to_investment, 4),
        "adjusted_return": step and _rounded(step.adjusted_return, 6),
        "undefined": step and step.undefined and str(step.undefined),
        "payback_years": step and step.payback_years,
        "discounted_payback_years": step and step.discounted_payback_years,
    }


def _money(cents: int) -> Decimal:
    return Decimal(cents) / 100


def _rounded(value: Decimal | None, places: int) -> Decimal | None:
    return None if value is None else round(value, places)
