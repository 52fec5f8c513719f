"""The comparison as text: the answer first, tables after it."""

from collections import defaultdict
from collections.abc import Iterable
from decimal import Decimal

from costplan.files.problems import Problem
from costplan.model.layouts import AS_IT_IS
from costplan.model.money import format_cents, format_price
from costplan.plans.comparison import COLUMNS, Comparison
from costplan.plans.holding import written
from costplan.plans.lines import Line, LineKind, Pocket
from costplan.plans.ranking import Ranked
from costplan.plans.rows import Cell
from costplan.plans.yearly import money_by_year
from costplan.reports.asked import asked_beside, in_short
from costplan.reports.bill import bill_of_materials, labor_today
from costplan.reports.invented import in_brackets
from costplan.reports.kept import kept_text
from costplan.reports.layouts_text import layouts_text
from costplan.reports.noted import Noted, noted
from costplan.reports.remarks import At, Topic
from costplan.reports.remarks_text import at_the_end, beside
from costplan.reports.room import gear_text, room_text
from costplan.reports.strategies_text import SOURCING, cap_lines, cell_text, strategies_text
from costplan.reports.tables import filled, table, wrapped
from costplan.reports.words import (
    about,
    apart_rows,
    assumptions,
    difference,
    hour_factor_lines,
    how_many,
    left_out_lines,
    missing,
    nameplate,
    out_by_reason,
    pieces,
    several,
    shares,
    stands_at,
    tie,
    title,
    together,
    verdict,
)

NOTED_WITH_FIGURES = (Topic.VOLTAGE_DROP, Topic.EDITION_UNKNOWN, Topic.PLACE_UNKNOWN)
"""Topics of the best plan that `Comparison.warnings` tells with volts and money."""


def comparison_text(
    comparison: Comparison, *, rank: int = 1, show_lines: bool = False, questions: Iterable[Problem] = ()
) -> str:
    """The whole report: verdict, matrix, ranking, one plan's bill, what is out, what turns it, cautions.

    questions: those about the files; the ones that touch a figure stand in short beside it.
    """
    shop = comparison.facts.shop
    chosen = comparison.plans[rank - 1]
    asked = asked_beside(questions, chosen)
    found = noted(comparison.facts, chosen)
    # Of the best plan the notes below say these with their figures.
    brief = tuple(entry for entry in found if rank > 1 or entry.topic not in NOTED_WITH_FIGURES)
    head = [
        f"{shop.name}{in_brackets(comparison.facts)}",
        assumptions(comparison.facts),
        *hour_factor_lines(comparison.facts),
    ]
    parts = [
        "\n".join(head),
        "\n".join(filled(line) for line in left_out_lines(comparison.facts.left_out)),
        "\n".join(filled(line) for line in missing(comparison)),
        filled(verdict(comparison)),
        "\n".join(filled(f"Until it is answered: {words}.") for words in comparison.hinges),
        filled(tie(comparison)),
        _turns(comparison),
        "Present value by way and sourcing\n" + _matrix(comparison),
        strategies_text(comparison),
        layouts_text(comparison),
        _with("Ranked plans\n" + _ranking(comparison), in_short(asked.totals)),
        _apart(comparison),
        _with(
            f"Plan {rank}: how each machine is powered\n" + _ways(comparison, chosen),
            _under(in_short(asked.machines), beside(brief, At.MACHINE, At.BUILDING)),
        ),
        _kept(comparison, chosen, rank),
        _gear(comparison, chosen, rank, found),
        _with(
            f"Plan {rank}: what to buy today\n" + _bill(comparison, chosen),
            _under(in_short(asked.parts), beside(found, At.PART)),
        ),
        _with(f"Plan {rank}: today's work\n" + _labor(chosen), beside(found, At.PANEL)),
        f"Plan {rank}: money by year\n" + _years(comparison, chosen),
        _out(comparison),
        lines_text(chosen) if show_lines else "",
        _warnings(comparison),
        at_the_end(found),
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def _turns(comparison: Comparison) -> str:
    if not comparison.turning:
        return ""
    lines = [f"  {turning.figure}: {turning.words}" for turning in comparison.turning]
    return (
        "What would turn fixed drops against cords (both plans held as they are, an approximation)\n"
        + "\n".join(lines)
    )


def _matrix(comparison: Comparison) -> str:
    rows = []
    notes: list[str] = []
    for row in comparison.rows:
        cells = [comparison.matrix[row, column] for column in COLUMNS]
        rows.append([wrapped(_row_name(comparison, row, cells), 40), *(cell_text(cell) for cell in cells)])
        for column, cell in zip(COLUMNS, cells, strict=True):
            if cell.why_not:
                notes.append(
                    f"  {row}, {SOURCING[column]}: {'incomplete, ' if cell.incomplete else ''}{cell.why_not}"
                )
    text = table(["", *SOURCING.values()], rows, {1, 2})
    return "\n".join([text, *(_indented(note) for note in dict.fromkeys(notes))])


def _row_name(comparison: Comparison, row: str, cells: list[Cell]) -> str:
    """The row, with the machines that a rule keeps from it; they stay on their cheapest other way."""
    kept = next(
        (cell.exceptions for cell in cells if cell.exceptions and not cell.nobody),
        (),
    )
    names = ", ".join(dict.fromkeys(written(comparison.facts, machine) for machine in kept))
    if not names:
        return row
    if row == AS_IT_IS:
        return f"{row}; {names} cannot stay so, by the cheapest way"
    return f"{row}; {names} by the cheapest other way, since no such way is open"


def _indented(note: str) -> str:
    return filled(note).replace("\n", "\n    ")


def _ranking(comparison: Comparison) -> str:
    best = comparison.best
    rows = []
    for place, ranked in enumerate(comparison.plans, 1):
        total = ranked.present_value_cents
        rows.append(
            [
                str(place),
                format_cents(total),
                about(total - best.present_value_cents, comparison.spreads[place - 1]) if place > 1 else "",
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
    headers = ["", "total", "more", "cash today", "other today", "later", "comes back", "hired", "plan"]
    text = table(headers, [[*row[:8], wrapped(row[8])] for row in rows], {1, 2, 3, 4, 5, 6})
    proof = (
        "Each plan is proven: nothing cheaper exists that a person would call different from those above it."
        if all(ranked.proven for ranked in comparison.plans)
        else "Not proven: time ran out."
    )
    words = [
        text,
        "total = cash today + other today (own time, lost time, allowances) + later + comes back",
        proof,
    ]
    return "\n".join([*words, *cap_lines(comparison)])


def _apart(comparison: Comparison) -> str:
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
        parts.append(
            f"Plans {together(places)} are too close to call; what sets them apart\n"
            + table(headers, rows, {0, 1, 2, 3})
        )
    return "\n\n".join(parts)


def _ways(comparison: Comparison, ranked: Ranked) -> str:
    facts = comparison.facts
    machines = {machine.name: machine for machine in facts.written.machines}
    of = how_many(facts, ranked.plan)
    rows = []
    for name, way, count in shares(facts, ranked.plan):
        machine = machines[name]
        rows.append(
            [several(name, count, of[name]), nameplate(machine), stands_at(machine), wrapped(way.describe())]
        )
    return table(["machine", "nameplate", "stands at", "way"], rows, set())


def _kept(comparison: Comparison, ranked: Ranked, rank: int) -> str:
    text = kept_text(comparison.facts, ranked)
    return f"Plan {rank}: today's work on what is there\n{text}" if text else ""


def _with(table: str, cautions: str) -> str:
    """A table with the cautions about its lines under it."""
    return f"{table}\n{cautions}" if cautions else table


def _under(*notes: str) -> str:
    return "\n".join(note for note in notes if note)


def _gear(comparison: Comparison, ranked: Ranked, rank: int, found: tuple[Noted, ...]) -> str:
    """Shared gear and the room it leaves; only its cautions for a shop file that says nothing about either."""
    shop, cautions = comparison.facts.shop, beside(found, At.GEAR, At.SERVICE)
    if not shop.gear and shop.service is None:
        return f"Plan {rank}: service and panels\n{cautions}" if cautions else ""
    text = gear_text(comparison.facts, ranked) or "none is put in"
    return _with(f"Plan {rank}: shared gear\n{text}\n\n{room_text(comparison.facts, ranked)}", cautions)


def _bill(comparison: Comparison, ranked: Ranked) -> str:
    rows = []
    total = 0
    for row in bill_of_materials(comparison.facts, ranked):
        cuts = f" (cut {', '.join(pieces(row.cuts_ft))})" if row.cuts_ft else ""
        quantity = f"{row.quantity:f}" if row.quantity else "1"
        rows.append(
            [
                row.supplier_name,
                quantity,
                row.unit,
                wrapped(row.described + cuts, 48),
                row.condition,
                format_price(row.unit_price_cents),
                format_cents(row.amount_cents),
                wrapped(", ".join(row.machines), 30),
            ]
        )
        total += row.amount_cents
    for kind, words in (
        (LineKind.CUT, "cut charges"),
        (LineKind.TAX, "sales tax"),
        (LineKind.MARKUP, "markup on parts that the electrician brings"),
        (LineKind.FEE, "supplier fees"),
    ):
        cents = sum(line.amount_cents for line in ranked.lines if line.kind is kind and line.year == 0)
        if cents:
            rows.append(["", "", "", words, "", "", format_cents(cents), ""])
            total += cents
    if not rows:
        return "nothing"
    rows.append(["", "", "", "total", "", "", format_cents(total), ""])
    headers = ["supplier", "qty", "per", "what", "condition", "price", "amount", "for"]
    return table(headers, rows, {1, 5, 6})


def _labor(ranked: Ranked) -> str:
    rows = []
    total = 0
    for row in labor_today(ranked):
        rows.append([row.crew, row.what, f"{row.hours:.2f}", format_cents(row.amount_cents)])
        total += row.amount_cents
    kinds = (LineKind.CALL_OUT, LineKind.PERMIT, LineKind.MINIMUM, LineKind.BID, LineKind.QUOTE)
    besides: dict[str, list[int]] = defaultdict(list)
    for line in ranked.lines:
        if line.year == 0 and line.kind in kinds:
            besides[line.what].append(line.amount_cents)
    for what, amounts in besides.items():
        rows.append(
            ["", what if len(amounts) == 1 else f"{len(amounts)} x {what}", "", format_cents(sum(amounts))]
        )
        total += sum(amounts)
    hours = sum((round(row.hours, 2) for row in labor_today(ranked)), Decimal(0))
    rows.append(["", "total", f"{hours:.2f}", format_cents(total)])
    return table(["who", "what", "hours", "amount"], rows, {2, 3})


def _years(comparison: Comparison, ranked: Ranked) -> str:
    """Money by year and pocket in the money of the year, and what it is worth today; scenarios weighted."""
    pockets = [Pocket.CASH, Pocket.OWN_TIME, Pocket.LOST_TIME, Pocket.ALLOWANCE, Pocket.COMES_BACK]
    years = money_by_year(comparison.facts, ranked.lines)
    rows = []
    for entry in years:
        cents = [entry.pockets[pocket] for pocket in pockets]
        if any(cents):
            year = "today" if entry.year == 0 else str(entry.year)
            shown = [*cents, sum(cents), entry.present_value_cents]
            rows.append([year, *map(format_cents, shown)])
    sums = [sum(entry.pockets[pocket] for entry in years) for pocket in pockets]
    worth = [
        sum(line.present_value_cents for line in ranked.lines if line.pocket is pocket) for pocket in pockets
    ]
    rows.append(["all", *map(format_cents, [*sums, sum(sums), sum(worth)])])
    rows.append(["in today's money", *map(format_cents, [*worth, sum(worth)]), ""])
    headers = ["year", *(str(pocket) for pocket in pockets), "total", "in today's money"]
    text = table(headers, rows, set(range(1, 8)))
    return f"{text}\nin the money of each year but where today's is said, each scenario by its weight"


def _out(comparison: Comparison) -> str:
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
                    entry.way,
                    alone if cost else "cannot be built",
                    "as above" if number else wrapped(reason, 70),
                ]
            )
    text = table(["machine", "way", "alone", "why it is not ranked"], rows, set())
    return f"Not ranked (cost of that way alone, without sharing visits or orders: an approximation)\n{text}"


def lines_text(ranked: Ranked) -> str:
    """Every line of a plan with its trace."""
    rows = [
        [
            str(line.year),
            line.scenario or "all",
            str(line.kind),
            wrapped(line.what, 44),
            line.machine,
            format_cents(line.amount_cents),
            format_cents(line.present_value_cents),
            wrapped(line.trace, 60),
        ]
        for line in sorted(ranked.lines, key=_line_order)
    ]
    total = ranked.present_value_cents
    rows.append(["", "", "", "total", "", "", format_cents(total), ""])
    headers = ["year", "scenario", "kind", "what", "machine", "amount", "worth today", "where it comes from"]
    return "Lines\n" + table(headers, rows, {0, 5, 6})


def _line_order(line: Line) -> tuple[object, ...]:
    return (line.year, line.scenario, str(line.kind), line.machine, line.what, line.trace)


def _warnings(comparison: Comparison) -> str:
    if not comparison.warnings:
        return ""
    return "Please note\n" + "\n".join(
        f"  - {wrapped(words, 100).replace(chr(10), chr(10) + '    ')}" for words in comparison.warnings
    )
