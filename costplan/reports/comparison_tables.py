"""The comparison as tables: the two pure ways and the best mix, the ranking, what sets equals apart, what is out."""

from costplan.ledger.holding import written
from costplan.model.choices import Powering
from costplan.model.labels import STAYS_FOR_SOME
from costplan.model.money import format_cents
from costplan.reports.cap_text import cap_lines
from costplan.reports.proof import unproven_words
from costplan.reports.strategies_text import NO_USED_PARTS, USED_PARTS, cell_text, heading
from costplan.reports.tables import filled, fitted, hung
from costplan.reports.verdict_words import apart_rows, out_by_reason
from costplan.reports.words import difference, title, together
from costplan.studies.comparison import COLUMNS, Comparison, sells_used
from costplan.studies.rows import Cell, exceptions_of, nothing_there


def matrix_text(comparison: Comparison, width: int) -> str:
    """The pure ways, the best mix and what is there, by what may be bought, with why a cell has no total."""
    rows = []
    notes: list[str] = []
    used = sells_used(comparison.facts)
    columns = list(COLUMNS) if used else [comparison.column]
    for row in comparison.rows:
        cells = [comparison.matrix[row, column] for column in columns]
        rows.append([_row_name(comparison, row, cells), *(cell_text(cell) for cell in cells)])
        for column, cell in zip(columns, cells, strict=True):
            if cell.why_not:
                notes.append(
                    f"{row}, {heading(column, used=used)}: {'incomplete, ' * cell.incomplete}{cell.why_not}"
                )
    heads = ["", *(heading(column, used=used) for column in columns)]
    text = fitted(heads, rows, set(range(1, len(heads))), width, at_most=40)
    said = [hung(note, width, "    ", first="  ") for note in dict.fromkeys(notes)]
    covers = USED_PARTS if used else NO_USED_PARTS
    head = "Total in today's money, by way of powering and by which parts may be bought"
    return "\n".join([filled(head, width), text, hung(covers, width, "    ", first="  "), *said])


def _row_name(comparison: Comparison, row: str, cells: list[Cell]) -> str:
    """The row, with the machines that a rule keeps from it; they stay on their cheapest other way."""
    kept, none = exceptions_of(cells), nothing_there(comparison.facts)
    names = ", ".join(dict.fromkeys(written(comparison.facts, machine) for machine in kept))
    if row == Powering.AS_IT_IS:
        named = f"{STAYS_FOR_SOME.format(none=none)}, by the cheapest way" if none else row
        return f"{named}; {names} cannot stay so, by the cheapest way" if names else named
    return f"{row}; {names} by the cheapest other way, since no such way is open" if names else row


def ranking_text(comparison: Comparison, width: int) -> str:
    """The ranked plans with their totals and what makes them up, and whether they are proven."""
    best = comparison.best
    rows = []
    for place, ranked in enumerate(comparison.plans, 1):
        total = ranked.present_value_cents
        rows.append(
            [
                str(place),
                format_cents(total),
                format_cents(total - best.present_value_cents) if place > 1 else "",
                format_cents(ranked.outlay_cents),
                format_cents(ranked.today_cents - ranked.outlay_cents),
                format_cents(ranked.later_cents),
                format_cents(ranked.residual_cents),
                ranked.plan.hiring.name,
                title(comparison.facts, ranked)
                if place == 1
                else f"as 1, but {difference(comparison.facts, ranked, best)}",
            ]
        )
    headers = [
        "",
        "total",
        "more",
        "cash today",
        "time and risk today",
        "later",
        "resale at the end",
        "hired",
        "plan",
    ]
    text = fitted(headers, rows, {1, 2, 3, 4, 5, 6}, width)
    proof = unproven_words(comparison.plans) or (
        "Each plan is proven: nothing cheaper exists that a person would call different from those above it."
    )
    sums = "total = cash today + time and risk today (your hours, lost shop time, bad used parts) + later + resale at the end"
    words = [filled(line, width) for line in (sums, proof, *cap_lines(comparison))]
    return "\n".join(["Ranked plans", text, *words])


def apart_text(comparison: Comparison, width: int) -> str:
    """What sets plans apart that are too close to call; what remains uncertain is no reason to choose by."""
    parts = []
    for places in comparison.groups:
        if len(places) < 2:
            continue
        rows = [
            [str(place), format_cents(outlay), f"{hours:.1f}", str(cords)]
            for place, outlay, hours, cords in apart_rows(comparison, places)
        ]
        headers = ["plan", "cash today", "own hours, all years", "machines on cords or under the ceiling"]
        head = f"Plans {together(places)} are too close to call; what sets them apart"
        parts.append("\n".join([filled(head, width), fitted(headers, rows, {0, 1, 2, 3}, width)]))
    return "\n\n".join(parts)


def out_text(comparison: Comparison, width: int) -> str:
    """Ways that are out, by reason, which is said once; the machines of a group by the name the user wrote."""
    if not comparison.out:
        return ""
    rows = []
    for reason, entries in out_by_reason(comparison).items():
        for number, entry in enumerate(entries):
            cost = "" if entry.cents is None else format_cents(entry.cents)
            alone = f"incomplete, at least {cost}" if entry.incomplete else f"about {cost}"
            rows.append(
                [
                    entry.machine,
                    entry.label,
                    alone if cost else "cannot be built",
                    "as above" if number else reason,
                ]
            )
    text = fitted(["machine", "way", "alone", "why it is not ranked"], rows, set(), width, at_most=70)
    head = "Not ranked (cost of that way alone, without sharing visits or orders: an approximation)"
    return f"{filled(head, width)}\n{text}"
