"""Plans over the years beside each other: cash so far, what more money today pays back, what could wait."""

from collections.abc import Sequence

from costplan.circuits.facts import Facts
from costplan.ledger.lines import Pocket
from costplan.model.money import format_cents
from costplan.program.ranked import Ranked
from costplan.reports.plan_tables import POCKETS
from costplan.reports.tables import filled, fitted, hung
from costplan.studies.comparison import Comparison
from costplan.studies.paying_back import POCKETS as COUNTED_POCKETS
from costplan.studies.paying_back import Counted, Measures, Paid, named_plans, paying_back
from costplan.studies.staging import Due, due
from costplan.studies.yearly import money_by_year

NONE = "-"
OTHER_POCKETS = (Pocket.OWN_TIME, Pocket.LOST_TIME, Pocket.ALLOWANCE)
TITLES = {
    Counted.ALL: "More money today: what it pays back, all money counted as in the totals",
    Counted.CASH: "More money today: what it pays back, cash alone (resale at the end too)",
}
COLUMNS = [
    "beside plan 1",
    "more today",
    "by",
    "saves",
    "back at end of year",
    "discounted",
    "ratio",
    "a year",
]
LEGEND = (
    "more today: which of the two; saves: net savings in today's money; back: the year at whose end it is paid back for good; "
    "ratio: running costs saved to what is invested (today, new circuits and replacements later, less what resale brings); "
    "a year: adjusted return, what is saved being put by at the discount rate"
)


def so_far_text(comparison: Comparison, width: int) -> str:
    """Cash of every ranked plan from today to the end of each year."""
    by_plan = [money_by_year(comparison.facts, plan.lines) for plan in comparison.plans]
    rows, before = [], None
    for years in zip(*by_plan, strict=True):
        sums = [entry.cash_so_far_cents for entry in years]
        if sums != before:
            year = "today" if years[0].year == 0 else str(years[0].year)
            rows.append([year, *map(format_cents, sums)])
        before = sums
    headers = ["year", *(f"plan {place}" for place in range(1, len(by_plan) + 1))]
    head = "Plans: cash so far, each year's in its own money; a year without cash is left out"
    return f"{filled(head, width)}\n{fitted(headers, rows, set(range(1, len(headers))), width)}"


def paid_text(comparison: Comparison, width: int) -> str:
    """Plan 1 beside every other plan: what the one that takes more today pays back; empty without another."""
    kinds = tuple(Counted) if _more_than_cash(comparison) else (Counted.ALL,)
    found, years = (
        [entry for entry in paying_back(comparison) if entry.counted in kinds],
        comparison.facts.shop.years,
    )
    if not found:
        return ""
    blocks = []
    for counted in kinds:
        rows = [_paid_row(entry, years) for entry in found if entry.counted is counted]
        table = fitted(COLUMNS, rows, set(range(2, len(COLUMNS))), width)
        basis = filled(basis_words(comparison.facts, counted), width)
        blocks.append(f"{filled(TITLES[counted], width)}\n{table}\n{basis}")
    why = [hung(f"- {words}", width, "    ", first="  ") for words in _why(found)]
    return "\n".join(["\n\n".join(blocks), *why, filled(LEGEND, width)])


def basis_words(facts: Facts, counted: Counted) -> str:
    """Which money the table counts, and what of it is discounted."""
    pockets = ", ".join(POCKETS.get(pocket, str(pocket)) for pocket in COUNTED_POCKETS[counted])
    rate = f"{facts.shop.money.discount_rate * 100:f}"
    return (
        f"Counted: {pockets}; scenarios by their weight. Not discounted, in the money of each year: more today and back; "
        f"discounted at {rate} % a year: all else."
    )


def _more_than_cash(comparison: Comparison) -> bool:
    lines = [line for entry in named_plans(comparison) for line in entry.plan.lines]
    return any(line.present_value_cents for line in lines if line.pocket in OTHER_POCKETS)


def _paid_row(entry: Paid, years: int) -> list[str]:
    found = entry.measures
    return [
        entry.other.name,
        NONE if not found.more_today_cents else "plan 1" if entry.first_takes_more else entry.other.name,
        format_cents(found.more_today_cents),
        format_cents(found.net_savings_cents),
        *(
            payback_words(found, value, years)
            for value in (found.payback_years, found.discounted_payback_years)
        ),
        NONE if found.savings_to_investment is None else f"{found.savings_to_investment:.2f}",
        NONE if found.adjusted_return is None else f"{found.adjusted_return * 100:.1f} %",
    ]


def payback_words(found: Measures, value: int | None, years: int) -> str:
    """The year of a payback, that there is none within the years, or a dash where nothing more is paid today."""
    if value is not None:
        return str(value)
    return f"not in {years}" if found.more_today_cents > 0 else NONE


def _why(found: Sequence[Paid]) -> list[str]:
    """Why measures are missing, each reason once with the plans it holds of, and of which money where not of both."""
    said: dict[str, dict[str, list[Counted]]] = {}
    for entry in found:
        if entry.measures.undefined is not None:
            by_name = said.setdefault(str(entry.measures.undefined), {})
            by_name.setdefault(entry.other.name, []).append(entry.counted)
    both = len({entry.counted for entry in found}) > 1
    return [
        f"{', '.join(name + _of_which(counted, both=both) for name, counted in names.items())}: {reason}"
        for reason, names in said.items()
    ]


def _of_which(counted: list[Counted], *, both: bool) -> str:
    return f" ({counted[0]})" if both and len(counted) == 1 else ""


def waiting_text(comparison: Comparison, plan: Ranked, width: int) -> str:
    """What today's cash is for, machine by machine, and the cash that is due later."""
    entries = due(comparison.facts, plan)
    rows = [_due_row(entry) for entry in entries]
    if not rows:
        return ""
    headers = ["year", "for", "cash", "in how many cases"]
    note = (
        "To see what waiting costs, write arrives: 1 at a machine and compare again. This table is read off the plan and does "
        "not say it: visits and permits saved or made twice, packs that are shared and prices that grow are not in it."
    )
    return f"{fitted(headers, rows, {2, 3}, width)}\n{filled(note, width)}"


def _due_row(entry: Due) -> list[str]:
    year = "today" if entry.year == 0 else str(entry.year)
    whose = entry.machine or "shared: visits, permits, orders, parts of several"
    return [
        year,
        whose,
        format_cents(entry.cents),
        "all" if entry.share == 1 else f"{entry.share * 100:.0f} %",
    ]
