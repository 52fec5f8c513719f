"""Layouts of the shop beside today's: what each costs, and what must be done today for it."""

from costplan.ledger.holding import written
from costplan.model.money import format_cents
from costplan.program.ranked import Ranked
from costplan.reports.rounded import between
from costplan.reports.tables import WIDEST, filled, fitted
from costplan.reports.words import left_out_lines, threat_words
from costplan.studies.comparison import Comparison
from costplan.studies.layouts import Doings, LayoutRow, doings, own_hours_today
from costplan.studies.rows import nothing_there

_WORDS = {
    "outlets_taken_over": ("outlet taken over", "outlets taken over"),
    "runs_made": ("run made", "runs made"),
    "outlets_moved_along": ("outlet moved along", "outlets moved along"),
    "receptacles_changed": ("receptacle changed", "receptacles changed"),
    "breakers_changed": ("breaker changed", "breakers changed"),
    "cords_exchanged": ("cord exchanged", "cords exchanged"),
    "cords_bought": ("cord bought", "cords bought"),
    "cord_ends_changed": ("cord end changed", "cord ends changed"),
    "outlets_made_safe": ("outlet made safe", "outlets made safe"),
    "gear_put_in": ("piece of shared equipment put in", "pieces of shared equipment put in"),
}
"""Counts in words, for one and for several."""


def layouts_text(comparison: Comparison, width: int = WIDEST) -> str:
    """Totals of every layout, what sets it apart from today's, and what is done today; empty without any."""
    if not comparison.layouts:
        return ""
    notes = [f'"{row.name}" cannot be done: {row.why_not}.' for row in comparison.layouts if not row.ranked]
    notes += [_cannot_stay(comparison, row) for row in comparison.layouts if row.exceptions]
    notes += [
        f'"{row.name}": {threat_words(row.facts, row.threat, row.ranked.present_value_cents)}'
        for row in comparison.layouts
        if row.threat and row.ranked
    ]
    notes += [f'"{row.name}": {words}.' for row in comparison.layouts for words in row.dropped]
    notes += [
        f'"{row.name}": {words}'
        for row in comparison.layouts
        if row.facts.left_out != comparison.facts.left_out
        for words in left_out_lines(row.facts.left_out)
    ]
    words = (
        "total = cash today + time and risk today + later + resale at the end; the best plan of each layout, but as it is: "
        f"nothing is done today{_but(comparison)}"
    )
    said = "\n".join(filled(line, width) for line in (words, *notes))
    return (
        f"Layouts\n{_totals(comparison, width)}\n{said}\n\n"
        f"Layouts: what must be done today\n{_done(comparison, width)}"
    )


def _but(comparison: Comparison) -> str:
    """For whom something is done even so: machines that have nothing which could stay."""
    none = nothing_there(comparison.facts)
    return f" but for machines without a circuit, by the cheapest way ({none})" if none else ""


def _totals(comparison: Comparison, width: int) -> str:
    rows = []
    for row in comparison.layouts:
        name, plan = row.name, row.ranked
        if plan is None:
            rows.append([name, "none", *[""] * 6])
            continue
        total = format_cents(plan.present_value_cents) + ("" if plan.proven else " (not proven)")
        cents = (
            plan.outlay_cents,
            plan.today_cents - plan.outlay_cents,
            plan.later_cents,
            plan.residual_cents,
        )
        hours = f"{own_hours_today(plan):.1f}"
        rows.append([name, total, gap_words(comparison, row), *map(format_cents, cents), hours])
    headers = [
        "layout",
        "total",
        f"against {comparison.today_layout.name}" if comparison.today_layout else "",
        "cash today",
        "time and risk today",
        "later",
        "resale at the end",
        "own hours today",
    ]
    return fitted(headers, rows, {1, 3, 4, 5, 6, 7}, width, at_most=40)


def _cannot_stay(comparison: Comparison, row: LayoutRow) -> str:
    names = dict.fromkeys(written(comparison.facts, machine) for machine in row.exceptions)
    return f'"{row.name}": {", ".join(names)} cannot stay so and {"has its" if len(names) == 1 else "have their"} cheapest way.'


def gap_words(
    comparison: Comparison, row: LayoutRow, screen_cents: int | None = None, *, than: str = ""
) -> str:
    """How much dearer or cheaper a layout is than the row that all are held against; exact, or as a screen rounds.

    than: words behind what is more or less for certain.
    """
    today = comparison.today_layout
    if row is today or row.ranked is None or today is None or today.ranked is None:
        return ""
    totals = row.ranked.present_value_cents, today.ranked.present_value_cents
    gap = totals[0] - totals[1]
    if row.other_machines_than(today):
        return "not known: not the same machines"
    if row.threat or today.threat:
        return "not known: incomplete"
    if gap == 0:
        return "the same"
    spread = comparison.layout_spreads[row.name]
    said = f"{between(*totals, screen_cents)} {'more' if gap > 0 else 'less'}"
    return f"{said}, too close to call" if abs(gap) < spread else f"{said}{than}"


def _done(comparison: Comparison, width: int) -> str:
    rows = [[row.name, done_words(row, row.ranked)] for row in comparison.layouts if row.ranked is not None]
    return fitted(["layout", "done today"], rows, set(), width, at_most=90)


def done_words(row: LayoutRow, ranked: Ranked) -> str:
    """What is done today in a layout, counted."""
    return _counted(doings(row.facts, ranked))


def _counted(done: Doings) -> str:
    said = [f"{count} {_WORDS[name][count > 1]}" for name, count in done.counts().items() if count]
    return ", ".join(said) or "nothing"
