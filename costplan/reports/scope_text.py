"""The scope sheet for a terminal and as CSV."""

import csv
import io
from collections.abc import Iterable
from decimal import ROUND_CEILING, Decimal

from costplan.reports.before_after import PanelRow, PanelTable
from costplan.reports.circuits import NEW, CircuitRow
from costplan.reports.data import harmless
from costplan.reports.scope import ScopeSheet
from costplan.reports.scope_later import LaterRow, worked_together
from costplan.reports.scope_lines import LINES_NOTE
from costplan.reports.scope_plan import Alternate
from costplan.reports.scope_supplies import Supplied
from costplan.reports.scope_work import WorkRow
from costplan.reports.tables import BLANK, filled, table, wrapped
from costplan.reports.words import MAN_HOURS

OWNER_SUPPLIES_NOTE = "on site before the first day; the bidder brings whatever else the work takes"
BREAKERS_NOTE = (
    "A breaker that goes into another circuit may stay in its space and the wires move: bidder's choice; "
    "close every opening left, whatever way is chosen. A new one instead: add ____________ each."
)
LATER_HEAD = "Later work, expected; price each with parts, as if it were done then at today's prices"
LATER_NOTE = "The bidder supplies the parts of later work: the owner's plan counts them as bought then."
CORDS_HEAD = "Owner's cords, not in this bid"
DRIVES_HEAD = "Drives that change machines"
LEFT_HEAD = "Taken out and left with the owner"


def scope_text(sheet: ScopeSheet) -> str:
    """The sheet as tables; the last column of each is blank for the bidder."""
    invented = "  (invented demo data: names are made up)" if sheet.invented else ""
    parts = [
        f"Scope of electrical work, {sheet.shop}{invented}\n{sheet.today}, plan {sheet.rank}; {sheet.title}",
        "\n".join(map(filled, sheet.left_out)),
        sheet.nothing_today,
        "Owner: ____________________   Site: ____________________   Phone: ____________________\n"
        "Bidder: ___________________   License: _________________   Bid due: __________________",
        "The site\n"
        + table(["what", "how it is"], [[wrapped(a, 24), wrapped(b, 72)] for a, b in sheet.site], set()),
        "Circuits\n" + circuits_table(sheet.circuits),
        _lines((LINES_NOTE,), "  ") if sheet.circuits else "",
        "Look at before the price\n" + _lines(sheet.notes) if sheet.notes else "",
        *(f"Before and after: {panel.panel}\n" + _panel(panel) for panel in sheet.panels),
        _breakers(sheet.breakers),
        f"{DRIVES_HEAD}\n{_lines(sheet.drives)}" if sheet.drives else "",
        _gear(sheet),
        f"Work by location (the owner's plan counts {MAN_HOURS})\n{_work(sheet.work, blank=True)}"
        if sheet.work
        else "Work by location\n  nothing",
        f"The owner supplies ({OWNER_SUPPLIES_NOTE})\n"
        + (_supplied(sheet.owner_supplies) if sheet.owner_supplies else "  nothing"),
        f"{CORDS_HEAD}\n{_supplied(sheet.owners_cords)}" if sheet.owners_cords else "",
        f"{LEFT_HEAD}\n{_lines(sheet.left_with_owner)}" if sheet.left_with_owner else "",
        "The owner does\n" + (_work(sheet.owner_does, blank=False) if sheet.owner_does else "  nothing"),
        *(_alternate(alternate) for alternate in sheet.alternates),
        f"{LATER_HEAD}\n{_later(sheet.later)}\n{_lines((LATER_NOTE, *sheet.later_asked))}"
        if sheet.later
        else "",
        "Price for one of each, for changes later\n" + _lines(sheet.each, f"  {BLANK}  "),
        "Permits and inspection\n" + _lines(sheet.permits),
        "Access\n" + _lines(sheet.access),
        "Please answer\n" + _lines(sheet.asked),
        "Not included unless asked for\n" + _lines(sheet.not_included),
        "Totals\n" + table(["of", "your price"], [[name, BLANK] for name in sheet.totals], set()),
        sheet.caution,
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


CIRCUIT_HEADERS = ("line", "machine", "outlet at", "from", "on", "breaker", "run", "ends in")


def circuit_cells(row: CircuitRow) -> list[str]:
    """A circuit's cells, in the order of the headers."""
    fault = ", ground-fault" if row.ground_fault else ""
    state = "" if row.state == NEW else row.state
    ends = "; ".join(word for word in (row.outlet, row.cord, state) if word)
    length = (
        f"there already, about {row.run_ft} ft" if row.is_there else f"{row.run_ft} ft with ends and waste"
    )
    return [
        str(row.number),
        f"{row.named} ({row.nameplate}); supply {row.volts} V {row.phases}-phase, {row.current_a:.1f} A",
        row.place,
        row.panel,
        row.lines,
        f"{row.breaker_a} A {row.poles}-pole{row.assumed}{fault}{_shared(row)}",
        f"{row.method}, {length}, drop {row.drop * 100:.1f} %; {row.conductors}",
        ends,
    ]


def _shared(row: CircuitRow) -> str:
    return f", the one of {row.breaker_with}" if row.breaker_with else ""


def circuits_table(circuits: Iterable[CircuitRow]) -> str:
    """The circuit schedule as a table."""
    widths = (4, 14, 11, 8, 5, 11, 16, 15)
    rows = [
        [wrapped(cell, width) for cell, width in zip(circuit_cells(row), widths, strict=True)]
        for row in circuits
    ]
    return table(list(CIRCUIT_HEADERS), rows, {0})


PANEL_HEADERS = ("circuit", "breaker today", "serves", "breaker after", "serves then", "what is done")


def panel_cells(panel: PanelTable) -> list[list[str]]:
    """A panel's circuits in the order of the headers, the poles of all and the spaces left below."""
    rows = [[f"{row.at}, {row.run}", *_panel_row(row)] for row in panel.rows]
    today, after = str(panel.poles_today), str(panel.poles_after)
    free = ["not there" if panel.brought else str(panel.free_today), "", str(panel.free_after)]
    return [*rows, ["poles in all", today, "", after, "", ""], ["spaces free", *free, "", ""]]


def _panel_row(row: PanelRow) -> list[str]:
    times = f"{row.count} x " if row.count > 1 else ""
    sides = [
        f"{times}{words}" if words and number % 2 == 0 else words
        for number, words in enumerate(
            (row.today.breaker, row.today.serves, row.after.breaker, row.after.serves)
        )
    ]
    return [*sides, row.done]


def _panel(panel: PanelTable) -> str:
    widths = (18, 16, 13, 16, 13, 14)
    rows = [
        [wrapped(cell, width) for cell, width in zip(cells, widths, strict=True)]
        for cells in panel_cells(panel)
    ]
    return table(list(PANEL_HEADERS), rows, set())


def _breakers(moves: tuple[str, ...]) -> str:
    if not moves:
        return ""
    return f"Breakers that change place\n{_lines(moves)}\n{_lines((BREAKERS_NOTE,), '  ')}"


def _alternate(alternate: Alternate) -> str:
    parts = [
        f"Alternate {alternate.letter}, to be priced on its own: {alternate.words}",
        circuits_table(alternate.circuits) if alternate.circuits else "",
        f"Leaves out\n{_work(alternate.leaves_out, blank=False)}" if alternate.leaves_out else "",
        f"Adds\n{_work(alternate.adds, blank=False)}" if alternate.adds else "",
        *(f"{head}\n{_lines(words)}" for head, words in alternate_lists(alternate)),
        alternate_price(alternate),
    ]
    return "\n".join(part for part in parts if part)


def alternate_price(alternate: Alternate) -> str:
    """The blank for an alternate's price; one for today and one for later work where that differs."""
    blank = "______________"
    both = f"today {blank} / later work {blank}" if alternate.later_instead else blank
    return f"Alternate {alternate.letter}, add or deduct: {both}"


def alternate_lists(alternate: Alternate) -> list[tuple[str, tuple[str, ...]]]:
    """What else to know of an alternate, by its head; what there is nothing of is left out."""
    lists = [
        ("Look at before the price", alternate.notes),
        ("Instead, directory", alternate.directory),
        ("Breakers that change place, instead of those of the base", alternate.breakers),
        (f"{DRIVES_HEAD}, instead of those of the base", alternate.drives),
        ("Afterwards", alternate.after),
        ("The owner, instead", alternate.owner_instead),
        ("Later work, instead", (*alternate.later_instead, *alternate.later_asked)),
        ("Permit", alternate.permits),
        ("Ground-fault protection", alternate.protection),
    ]
    return [(head, words) for head, words in lists if words]


def _later(rows: Iterable[LaterRow]) -> str:
    cells = []
    before = None
    for row in worked_together(rows):
        head = (row.when, row.moves)
        shown = ("", "") if head == before else (wrapped(row.when, 12), wrapped(row.moves, 18))
        quantity = quantity_words(row.quantity)
        cells.append([*shown, wrapped(row.place, 12), quantity, wrapped(row.words, 34), BLANK])
        before = head
    return table(["year", "machine", "where", "qty", "what", "your price"], cells, {3})


def _gear(sheet: ScopeSheet) -> str:
    if not sheet.gear:
        return ""
    rows = [[row.what, row.place, row.fed_from, wrapped(row.note, 40)] for row in sheet.gear]
    return "Shared equipment\n" + table(["what", "at", "fed from", "note"], rows, set())


def quantity_words(quantity: Decimal) -> str:
    """A quantity of work in whole things and feet, rounded up, since nobody does part of one; hours keep the part."""
    return str(quantity.to_integral_value(ROUND_CEILING))


def _work(work: Iterable[WorkRow], *, blank: bool) -> str:
    rows = []
    before = None
    for row in work:
        cells = [
            "" if row.place == before else wrapped(row.place, 16),
            quantity_words(row.quantity),
            wrapped(row.words, 42),
        ]
        rows.append([*cells, wrapped(", ".join(row.machines), 14), *([BLANK] if blank else [])])
        before = row.place
    headers = ["where", "qty", "what", "for", *(["your price"] if blank else [])]
    return table(headers, rows, {1})


def _supplied(parts: Iterable[Supplied]) -> str:
    rows = [
        [
            str(row.quantity),
            wrapped(row.unit, 10),
            wrapped(row.what, 34),
            row.condition,
            wrapped(row.cuts, 13),
            wrapped(row.goes_to, 14),
        ]
        for row in parts
    ]
    return table(["qty", "per", "what", "condition", "cut to", "goes to"], rows, {0})


def _lines(words: Iterable[str], mark: str = "  - ") -> str:
    indent = "\n" + " " * len(mark)
    return "\n".join(mark + wrapped(entry, 98 - len(mark)).replace("\n", indent) for entry in words)


CSV_COLUMNS = (
    "section",
    "number",
    "place",
    "machines",
    "what",
    "quantity",
    "unit",
    "panel",
    "lines",
    "volts",
    "phases",
    "amps",
    "breaker_a",
    "poles",
    "ground_fault",
    "method",
    "run_ft",
    "voltage_drop_percent",
    "conductors",
    "outlet",
    "cord",
    "state",
    "your_price",
)


def scope_csv(sheet: ScopeSheet) -> str:
    """Every row of the sheet with its section; cells that a spreadsheet would run as a formula are quoted."""
    out = io.StringIO()
    writer = csv.DictWriter(out, CSV_COLUMNS, restval="", lineterminator="\n")
    writer.writeheader()
    for cells in _csv_rows(sheet):
        writer.writerow({name: harmless(cell) for name, cell in cells.items()})
    return out.getvalue()


def _csv_rows(sheet: ScopeSheet) -> Iterable[dict[str, str]]:
    if sheet.nothing_today:
        yield {"section": "today", "what": sheet.nothing_today}
    for name, words in sheet.site:
        yield {"section": "site", "place": name, "what": words}
    for circuit in sheet.circuits:
        yield {"section": "circuit", **_circuit(circuit)}
    yield from ({"section": "look at", "what": words} for words in sheet.notes)
    for panel in sheet.panels:
        yield from _csv_panel(panel)
    yield from ({"section": "breaker changes place", "what": words} for words in sheet.breakers)
    yield from ({"section": "drive changes machines", "what": words} for words in sheet.drives)
    for gear in sheet.gear:
        what = f"{gear.what}; {gear.note}" if gear.note else gear.what
        yield {"section": "shared equipment", "place": gear.place, "what": what, "panel": gear.fed_from}
    yield from _csv_work(sheet)
    for alternate in sheet.alternates:
        yield from _csv_alternate(alternate)
    for later in sheet.later:
        yield {
            "section": "later work",
            "number": later.when,
            "place": later.place,
            "machines": later.moves,
            "what": later.words,
            "quantity": quantity_words(later.quantity),
        }
    for section, entries in (
        ("later work, asked", (LATER_NOTE, *sheet.later_asked) if sheet.later else ()),
        ("price each", sheet.each),
        ("permit", sheet.permits),
        ("access", sheet.access),
        ("please answer", sheet.asked),
        ("not included", sheet.not_included),
        ("total", sheet.totals),
        ("caution", (sheet.caution,)),
    ):
        yield from ({"section": section, "what": entry} for entry in entries)


def _csv_panel(panel: PanelTable) -> Iterable[dict[str, str]]:
    """A circuit of a panel is two rows, before and after; their poles are of all alike, so that a column adds up."""
    for number, row in enumerate(panel.rows, 1):
        for section, side in (("panel before", row.today), ("panel after", row.after)):
            yield {
                "section": section,
                "number": str(number),
                "place": row.at,
                "machines": side.serves,
                "what": row.done,
                "quantity": str(row.count),
                "panel": panel.panel,
                "breaker_a": str(side.breaker_a) if side.breaker_a else "",
                "poles": str(side.poles * row.count),
                "method": row.run,
                "state": f"on the breaker of {side.shares}" if side.shares else side.assumed.strip(),
            }


def _csv_alternate(alternate: Alternate) -> Iterable[dict[str, str]]:
    name = f"alternate {alternate.letter}"
    yield {"section": name, "what": alternate.words}
    for circuit in alternate.circuits:
        yield {"section": name, **_circuit(circuit)}
    yield from (_work_cells(f"{name}, leaves out", row) for row in alternate.leaves_out)
    yield from (_work_cells(f"{name}, adds", row) for row in alternate.adds)
    for head, words in alternate_lists(alternate):
        yield from ({"section": name, "place": head, "what": entry} for entry in words)


def _work_cells(section: str, row: WorkRow) -> dict[str, str]:
    return {
        "section": section,
        "place": row.place,
        "machines": ", ".join(row.machines),
        "what": row.words,
        "quantity": quantity_words(row.quantity),
    }


def _csv_work(sheet: ScopeSheet) -> Iterable[dict[str, str]]:
    yield from (_work_cells("work", row) for row in sheet.work)
    yield from (_work_cells("owner does", row) for row in sheet.owner_does)
    for section, parts in (("owner supplies", sheet.owner_supplies), ("owner's cords", sheet.owners_cords)):
        for part in parts:
            what = ", ".join(word for word in (part.what, part.condition, part.cuts) if word)
            yield {
                "section": section,
                "place": part.goes_to,
                "what": what,
                "quantity": str(part.quantity),
                "unit": part.unit,
            }
    yield from ({"section": "left with the owner", "what": words} for words in sheet.left_with_owner)


def _circuit(row: CircuitRow) -> dict[str, str]:
    return {
        "number": str(row.number),
        "place": row.place,
        "machines": row.named,
        "what": row.nameplate,
        "panel": row.panel,
        "lines": row.lines,
        "volts": str(row.volts),
        "phases": str(row.phases),
        "amps": f"{row.current_a:.1f}",
        "breaker_a": str(row.breaker_a),
        "poles": str(row.poles),
        "ground_fault": "yes" if row.ground_fault else "no",
        "method": row.method,
        "run_ft": str(row.run_ft),
        "voltage_drop_percent": f"{row.drop * 100:.1f}",
        "conductors": row.conductors,
        "outlet": row.outlet,
        "cord": row.cord,
        "state": _csv_state(row) + (f"; on the breaker of {row.breaker_with}" if row.breaker_with else ""),
    }


def _csv_state(row: CircuitRow) -> str:
    return f"{row.state}; breaker{row.assumed}" if row.assumed else row.state
