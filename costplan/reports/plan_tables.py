"""One plan as tables: how each machine is powered, what to buy, work, money by year, every line."""

from collections import defaultdict

from costplan.circuits.facts import Facts
from costplan.ledger.lines import WITH_PARTS, LineKind, Pocket
from costplan.model.money import format_cents, format_price
from costplan.program.ranked import Ranked
from costplan.reports.bill import bill_of_materials, labor_today
from costplan.reports.circuits import as_written, circuits_today
from costplan.reports.counted import several
from costplan.reports.crew_hours import hours_note, total_hours, who
from costplan.reports.tables import filled, fitted, hung
from costplan.reports.words import how_many, nameplate, pieces, shares, stands_at
from costplan.studies.line_sheets import numbered
from costplan.studies.yearly import money_by_year

BESIDE_PARTS = {
    LineKind.CUT: "cut charges",
    LineKind.TAX: "sales tax",
    LineKind.MARKUP: "markup on parts that the electrician brings",
    LineKind.FREIGHT: "freight",
    LineKind.FEE: "supplier fees",
}
"""What is paid with the parts, as the bill says it."""


POCKETS = {Pocket.COMES_BACK: "resale at the end"}
"""Pockets whose word says less than a table must."""


def ways_text(facts: Facts, ranked: Ranked, width: int) -> str:
    """How each machine is powered."""
    machines = {machine.name: machine for machine in facts.written.machines}
    of = how_many(facts, ranked.plan)
    rows = []
    for name, way, count in shares(facts, ranked.plan):
        machine = machines[name]
        rows.append([several(name, count, of[name]), nameplate(machine), stands_at(machine), way.describe()])
    return fitted(["machine", "nameplate", "stands at", "powered by"], rows, set(), width)


def shared_text(facts: Facts, ranked: Ranked, width: int) -> str:
    """Which machines share an outlet or a breaker, so that they take turns; empty where none does."""
    said = []
    for row in as_written(facts, circuits_today(facts, ranked)):
        names = " and ".join(row.machines)
        if len(row.machines) > 1:
            said.append(f"{names} share one outlet and its circuit: they take turns")
        if row.breaker_with:
            said.append(
                f"{names}: on the breaker of {row.breaker_with}, with an outlet of its own; they take turns"
            )
    return "\n".join(hung(words, width, "    ", first="  ") for words in said)


def bill_text(facts: Facts, ranked: Ranked, width: int) -> str:
    """What to buy today, with all that is paid beside the parts."""
    rows = []
    total = 0
    for row in bill_of_materials(facts, ranked):
        open_ = "" if ranked.proven else "; not proven, less may do"
        cuts = f" (cut {', '.join(pieces(row.cuts_ft))}{open_})" if row.cuts_ft else ""
        rows.append(
            [
                row.supplier_name,
                f"{row.quantity:f}" if row.quantity else "1",
                row.unit,
                row.described + cuts,
                row.condition,
                format_price(row.unit_price_cents),
                format_cents(row.amount_cents),
                ", ".join(row.machines),
            ]
        )
        total += row.amount_cents
    for kind in WITH_PARTS:
        cents = sum(line.amount_cents for line in ranked.lines if line.kind is kind and line.year == 0)
        if cents:
            rows.append(["", "", "", BESIDE_PARTS[kind], "", "", format_cents(cents), ""])
            total += cents
    if not rows:
        return "nothing"
    rows.append(["", "", "", "total", "", "", format_cents(total), ""])
    headers = ["supplier", "qty", "per", "what", "condition", "price", "amount", "for"]
    return fitted(headers, rows, {1, 5, 6}, width, at_most=48, under=(7, 0))


def labor_text(facts: Facts, ranked: Ranked, width: int) -> str:
    """Today's hours and what is paid for work beside them."""
    rows, worked = [], labor_today(facts, ranked)
    total = 0
    for row in worked:
        rows.append([who(row), row.what, f"{row.hours:.2f}", format_cents(row.amount_cents)])
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
    rows.append(["", "total", total_hours(worked), format_cents(total)])
    text = fitted(["who", "what", "hours", "amount"], rows, {2, 3}, width, at_most=80)
    return text + hours_note(worked, width)


def years_text(facts: Facts, ranked: Ranked, width: int) -> str:
    """Money by year and pocket in the money of the year, and what it is worth today; scenarios weighted."""
    pockets = [Pocket.CASH, Pocket.OWN_TIME, Pocket.LOST_TIME, Pocket.ALLOWANCE, Pocket.COMES_BACK]
    years = money_by_year(facts, ranked.lines)
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
    headers = ["year", *(POCKETS.get(pocket, str(pocket)) for pocket in pockets), "total", "in today's money"]
    text = fitted(headers, rows, set(range(1, 8)), width)
    note = "in the money of each year but where today's is said, each scenario by its weight"
    return f"{text}\n{filled(note, width)}"


def lines_text(facts: Facts, ranked: Ranked, width: int) -> str:
    """Every line of a plan with its number and its trace; below, the offers of few that later years count on."""
    rows = [
        [
            str(number),
            str(line.year),
            line.scenario or "all",
            str(line.kind),
            line.what,
            line.machine,
            format_cents(line.amount_cents),
            format_cents(line.present_value_cents),
            line.trace,
        ]
        for number, line in numbered(ranked)
    ]
    total = ranked.present_value_cents
    rows.append(["", "", "", "", "total", "", "", format_cents(total), ""])
    headers = [
        "line",
        "year",
        "scenario",
        "kind",
        "what",
        "machine",
        "amount",
        "in today's money",
        "where it comes from",
    ]
    text = fitted(headers, rows, {0, 1, 6, 7}, width, under=(8, 2))
    note = limited_later(facts, ranked)
    return f"{text}\n{filled(note, width)}" if note else text


def limited_later(facts: Facts, ranked: Ranked) -> str:
    """Which offers that are limited today later years count on, whatever is bought before; empty where none is."""
    limited = {offer.row for offer in facts.catalog.offers if offer.available is not None}
    rows = sorted({line.offer_row for line in ranked.lines if line.forecast and line.offer_row in limited})
    if not rows:
        return ""
    said = f"row{'s' * (len(rows) > 1)} {', '.join(map(str, rows))}"
    return (
        f"Purchases of later years count on offers that are limited today (offers.csv {said}) for as much as they take, "
        "also what today's purchase leaves nothing of."
    )
