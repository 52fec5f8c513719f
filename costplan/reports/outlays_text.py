"""Cash today against later: the plans worth looking at, what each more dollar today pays back, printed and as data."""

from typing import Any

from costplan.model.money import format_cents
from costplan.reports.answer_columns import OUTLAYS
from costplan.reports.over_time import payback_words
from costplan.reports.table_types import row_data
from costplan.reports.tables import filled, fitted, hung
from costplan.reports.words import difference
from costplan.studies.comparison import Comparison
from costplan.studies.outlays import Efficient, Frontier, efficient

NONE = "-"
HEAD = "Cash today against later: plans that none beats in both, the least cash today first"
COLUMNS = ["", "cash today", "later", "total", "each 1 more", "net", "ratio", "a year", "back by"]
LEGEND = (
    "later: all but today's cash, in today's money. Beside the row above: what each 1 more cash today saves later; the "
    "columns after it count all money of today, own time too. Net: how much less in all (below nothing where it costs more); "
    "ratio: running costs saved to invested, and a year: adjusted return, as in --show years; back by: the year at whose end "
    "it is paid back for good. The lowest total is the best plan; a high ratio of a small step is no reason to stop there."
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
        payback_words(step, step.payback_years, years),
    ]


def outlays_data(comparison: Comparison, found: Frontier) -> dict[str, Any]:
    """The same as data, in whole units of currency."""
    plans = [row_data(OUTLAYS, entry) for entry in efficient(comparison, found)]
    return {"ended": found.ended, "plans": plans}
