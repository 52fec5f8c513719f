"""The comparison as text: the answer first, tables after it."""

from decimal import Decimal

from costplan.model.money import format_cents, format_price
from costplan.plans.comparison import COLUMNS, ROWS, Cell, Comparison
from costplan.plans.lines import Line, LineKind, Pocket
from costplan.plans.ranking import Ranked
from costplan.reports.bill import bill_of_materials, labor_today
from costplan.reports.kept import kept_text
from costplan.reports.room import gear_text, room_text
from costplan.reports.tables import table, wrapped
from costplan.reports.words import difference, tie, title, verdict
from costplan.standards.cautions import cautions


def comparison_text(comparison: Comparison, *, rank: int = 1, show_lines: bool = False) -> str:
    """The whole report: verdict, matrix, ranking, one plan's bill, what is out, what turns it, cautions."""
    shop = comparison.facts.shop
    chosen = comparison.plans[rank - 1]
    invented = "  (invented demo data: prices and names are made up)" if shop.invented else ""
    money = shop.money
    head = (
        f"{shop.name}{invented}\n"
        f"{shop.years} years, {money.discount_rate * 100:f} % real a year, amounts at year end, {shop.currency}; "
        f"hours count as (low + 4 likely + high) / 6"
    )
    parts = [
        head,
        verdict(comparison),
        tie(comparison),
        _turns(comparison),
        "Present value by way and sourcing\n" + _matrix(comparison),
        "Ranked plans\n" + _ranking(comparison),
        f"Plan {rank}: how each machine is powered\n" + _ways(comparison, chosen),
        _kept(comparison, chosen, rank),
        _gear(comparison, chosen, rank),
        f"Plan {rank}: what to buy today\n" + _bill(comparison, chosen),
        f"Plan {rank}: today's work\n" + _labor(chosen),
        f"Plan {rank}: money by year\n" + _years(comparison, chosen),
        _out(comparison),
        lines_text(chosen) if show_lines else "",
        _warnings(comparison),
        cautions_text(full=False),
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
    for row in ROWS:
        cells = [comparison.matrix[row, column] for column in COLUMNS]
        rows.append([row, *(_cell_text(cell) for cell in cells)])
        for column, cell in zip(COLUMNS, cells, strict=True):
            if cell.why_not:
                notes.append(f"  {row}, {column}: {cell.why_not}")
        if cells[-1].exceptions or cells[0].exceptions:
            machines = ", ".join(cells[-1].exceptions or cells[0].exceptions)
            notes.append(
                f"  {row}: no such way is open for {machines}, so the cheapest other way is counted there"
            )
    text = table(["", "all new", "surplus allowed"], rows, {1, 2})
    return "\n".join([text, *dict.fromkeys(notes)])


def _cell_text(cell: Cell) -> str:
    cents = cell.present_value_cents
    if cents is None:
        return "none"
    mark = "" if cell.ranked is None or cell.ranked.proven else " (not proven)"
    return format_cents(cents) + mark


def _ranking(comparison: Comparison) -> str:
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
                title(ranked) if place == 1 else f"as 1, but {difference(ranked, best)}",
            ]
        )
    headers = ["", "total", "more", "cash today", "other today", "later", "comes back", "hired", "plan"]
    text = table(headers, [[*row[:8], wrapped(row[8])] for row in rows], {1, 2, 3, 4, 5, 6})
    proof = (
        "Each plan is proven: nothing cheaper exists that a person would call different from those above it."
        if all(ranked.proven for ranked in comparison.plans)
        else "Not proven: time ran out."
    )
    return f"{text}\ntotal = cash today + other today (own time, lost time, allowances) + later + comes back\n{proof}"


def _ways(comparison: Comparison, ranked: Ranked) -> str:
    machines = comparison.facts.machines
    rows = []
    for name, way in sorted(ranked.plan.ways.items()):
        machine = machines[name]
        amps = f"{machine.hp:f} hp" if machine.hp is not None else f"{machine.amps_a:f} A"
        rows.append(
            [name, f"{machine.volts:f} V {machine.phases}-phase {amps}", machine.at, wrapped(way.describe())]
        )
    return table(["machine", "nameplate", "stands at", "way"], rows, set())


def _kept(comparison: Comparison, ranked: Ranked, rank: int) -> str:
    text = kept_text(comparison.facts, ranked)
    return f"Plan {rank}: what becomes of what is there\n{text}" if text else ""


def _gear(comparison: Comparison, ranked: Ranked, rank: int) -> str:
    """Shared gear and the room it leaves; nothing for a shop file that says nothing about either."""
    shop = comparison.facts.shop
    if not shop.gear and shop.service is None:
        return ""
    text = gear_text(comparison.facts, ranked) or "none is put in"
    return f"Plan {rank}: shared gear\n{text}\n\n{room_text(comparison.facts, ranked)}"


def _bill(comparison: Comparison, ranked: Ranked) -> str:
    rows = []
    total = 0
    for row in bill_of_materials(comparison.facts, ranked):
        cuts = f" (cut {', '.join(f'{cut} ft' for cut in row.cuts_ft)})" if row.cuts_ft else ""
        quantity = f"{row.quantity:f}" if row.quantity else "1"
        rows.append(
            [
                row.supplier_name,
                quantity,
                row.unit,
                wrapped(row.description + cuts, 48),
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
        (LineKind.FEE, "supplier fees"),
    ):
        cents = sum(line.amount_cents for line in ranked.lines if line.kind is kind and line.year == 0)
        if cents:
            rows.append(["", "", "", words, "", "", format_cents(cents), ""])
            total += cents
    rows.append(["", "", "", "total", "", "", format_cents(total), ""])
    headers = ["supplier", "qty", "per", "what", "condition", "price", "amount", "for"]
    return table(headers, rows, {1, 5, 6})


def _labor(ranked: Ranked) -> str:
    rows = []
    total = 0
    for row in labor_today(ranked):
        rows.append([row.crew, row.what, f"{row.hours:.2f}", format_cents(row.amount_cents)])
        total += row.amount_cents
    for line in ranked.lines:
        kinds = (LineKind.CALL_OUT, LineKind.PERMIT, LineKind.MINIMUM, LineKind.BID, LineKind.QUOTE)
        if line.year == 0 and line.kind in kinds:
            rows.append(["", line.what, "", format_cents(line.amount_cents)])
            total += line.amount_cents
    hours = sum((round(row.hours, 2) for row in labor_today(ranked)), Decimal(0))
    rows.append(["", "total", f"{hours:.2f}", format_cents(total)])
    return table(["who", "what", "hours", "amount"], rows, {2, 3})


def _years(comparison: Comparison, ranked: Ranked) -> str:
    """Expected present value by year and pocket; scenarios weighted."""
    pockets = [Pocket.CASH, Pocket.OWN_TIME, Pocket.LOST_TIME, Pocket.ALLOWANCE, Pocket.COMES_BACK]
    rows = []
    totals = dict.fromkeys(pockets, 0)
    for year in range(comparison.facts.shop.years + 1):
        sums = {
            pocket: sum(
                line.present_value_cents
                for line in ranked.lines
                if line.year == year and line.pocket is pocket
            )
            for pocket in pockets
        }
        if any(sums.values()):
            shown = [format_cents(sums[pocket]) for pocket in pockets]
            rows.append(["today" if year == 0 else str(year), *shown, format_cents(sum(sums.values()))])
        totals = {pocket: totals[pocket] + sums[pocket] for pocket in pockets}
    rows.append(["all", *(format_cents(totals[p]) for p in pockets), format_cents(sum(totals.values()))])
    headers = ["year", *(str(pocket) for pocket in pockets), "total"]
    return table(headers, rows, {1, 2, 3, 4, 5, 6}) + "\nin today's money, each scenario by its weight"


def _out(comparison: Comparison) -> str:
    if not comparison.out:
        return ""
    rows = []
    for out in comparison.out:
        cost = "" if out.cents is None else format_cents(out.cents)
        about = (
            f"incomplete, at least {cost}"
            if out.incomplete
            else f"about {cost}"
            if cost
            else "cannot be built"
        )
        rows.append([out.machine, out.way, about, wrapped(out.reason, 70)])
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


def cautions_text(*, full: bool) -> str:
    """The cautions, short or complete."""
    lines = [f"  - {caution.full if full else caution.short}" for caution in cautions()]
    if not full:
        lines.append("  (costplan cautions prints them in full, with the code sections)")
    return "Cautions\n" + "\n".join(lines)
