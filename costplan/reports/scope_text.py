"""The scope sheet for a terminal and as CSV."""

import csv
import io
from collections.abc import Iterable
from decimal import Decimal

from costplan.reports.before_after import PanelRow, PanelTable
from costplan.reports.circuits import NEW, CircuitRow
from costplan.reports.data import harmless
from costplan.reports.scope import ScopeSheet, WorkRow
from costplan.reports.tables import table, wrapped

OWNER_SUPPLIES_NOTE = "on site before the first day; the bidder brings whatever else the work takes"


def scope_text(sheet: ScopeSheet) -> str:
    """The sheet as tables; the last column of each is blank for the bidder."""
    invented = "  (invented demo data: names are made up)" if sheet.invented else ""
    parts = [
        f"Scope of electrical work, {sheet.shop}{invented}\n{sheet.today}, plan {sheet.rank}; {sheet.title}",
        "Owner: ____________________   Site: ____________________   Phone: ____________________\n"
        "Bidder: ___________________   License: _________________   Bid due: __________________",
        "The site\n" + table(["what", "how it is"], [[a, wrapped(b, 90)] for a, b in sheet.site], set()),
        "Circuits\n" + circuits_table(sheet.circuits),
        *(f"Before and after: {panel.panel}\n" + _panel(panel) for panel in sheet.panels),
        "Breakers that change place\n" + _lines(sheet.breakers) if sheet.breakers else "",
        _gear(sheet),
        "Work by location\n" + (_work(sheet.work, blank=True) if sheet.work else "  nothing"),
        f"The owner supplies ({OWNER_SUPPLIES_NOTE})\n"
        + (_supplied(sheet) if sheet.owner_supplies else "  nothing"),
        "The owner does\n" + (_work(sheet.owner_does, blank=False) if sheet.owner_does else "  nothing"),
        *(
            f"Alternate {alternate.letter}, to be priced on its own: {alternate.words}\n"
            + circuits_table(alternate.circuits)
            for alternate in sheet.alternates
        ),
        "Price for one of each, for changes later\n" + _lines(sheet.each, "  ____________  "),
        "Permits and inspection\n" + _lines(sheet.permits),
        "Access\n" + _lines(sheet.access),
        "Please answer\n" + _lines(sheet.asked),
        "Not included unless asked for\n" + _lines(sheet.not_included),
        sheet.caution,
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


CIRCUIT_HEADERS = (
    "no.",
    "machine",
    "outlet at",
    "from",
    "supply",
    "breaker",
    "run with ends and waste",
    "conductors",
    "ends in",
)


def circuit_cells(row: CircuitRow) -> list[str]:
    """A circuit's cells, in the order of the headers."""
    fault = ", ground-fault" if row.ground_fault else ""
    state = "" if row.state == NEW else row.state
    ends = "; ".join(word for word in (row.outlet, row.cord, state) if word)
    return [
        str(row.number),
        f"{row.named} ({row.nameplate})",
        row.place,
        row.panel,
        f"{row.volts} V {row.phases}-phase, {row.current_a:.1f} A",
        f"{row.breaker_a} A {row.poles}-pole{fault}{_shared(row)}",
        f"{row.method}, {row.run_ft} ft, drop {row.drop * 100:.1f} %",
        row.conductors,
        ends,
    ]


def _shared(row: CircuitRow) -> str:
    return f", the one of {row.breaker_with}" if row.breaker_with else ""


def circuits_table(circuits: Iterable[CircuitRow]) -> str:
    """The circuit schedule as a table."""
    widths = (4, 24, 16, 14, 10, 12, 18, 22, 32)
    rows = [
        [wrapped(cell, width) for cell, width in zip(circuit_cells(row), widths, strict=True)]
        for row in circuits
    ]
    return table(list(CIRCUIT_HEADERS), rows, {0})


PANEL_HEADERS = ("circuit", "run", "breaker today", "serves", "breaker after", "serves then", "what is done")


def panel_cells(panel: PanelTable) -> list[list[str]]:
    """A panel's circuits in the order of the headers, the poles of all below."""
    rows = [[row.at, *_panel_row(row)] for row in panel.rows]
    today, after = panel.poles_today, panel.poles_after
    return [*rows, ["poles in all", "", str(today), "", str(after), "", ""]]


def _panel_row(row: PanelRow) -> list[str]:
    times = f"{row.count} x " if row.count > 1 else ""
    sides = [
        f"{times}{words}" if words and number % 2 == 0 else words
        for number, words in enumerate(
            (row.today.breaker, row.today.serves, row.after.breaker, row.after.serves)
        )
    ]
    return [row.run, *sides, row.done]


def _panel(panel: PanelTable) -> str:
    widths = (20, 18, 18, 24, 18, 24, 40)
    rows = [
        [wrapped(cell, width) for cell, width in zip(cells, widths, strict=True)]
        for cells in panel_cells(panel)
    ]
    return table(list(PANEL_HEADERS), rows, set())


def _gear(sheet: ScopeSheet) -> str:
    if not sheet.gear:
        return ""
    rows = [[row.what, row.place, row.fed_from, wrapped(row.note, 60)] for row in sheet.gear]
    return "Shared gear\n" + table(["what", "at", "fed from", "note"], rows, set())


def quantity_words(quantity: Decimal) -> str:
    """A quantity without needless zeros."""
    return f"{round(quantity, 2).normalize():f}"


def _work(work: Iterable[WorkRow], *, blank: bool) -> str:
    rows = []
    before = None
    for row in work:
        cells = [
            "" if row.place == before else row.place,
            quantity_words(row.quantity),
            wrapped(row.what, 60),
        ]
        rows.append([*cells, wrapped(", ".join(row.machines), 40), *(["____________"] if blank else [])])
        before = row.place
    headers = ["where", "qty", "what", "for", *(["your price"] if blank else [])]
    return table(headers, rows, {1})


def _supplied(sheet: ScopeSheet) -> str:
    rows = [
        [str(row.quantity), row.unit, wrapped(row.what, 70), row.condition, wrapped(row.cuts, 30)]
        for row in sheet.owner_supplies
    ]
    return table(["qty", "per", "what", "condition", "cut to"], rows, {0})


def _lines(words: Iterable[str], mark: str = "  - ") -> str:
    indent = "\n" + " " * len(mark)
    return "\n".join(mark + wrapped(entry, 100).replace("\n", indent) for entry in words)


CSV_COLUMNS = (
    "section",
    "number",
    "place",
    "machines",
    "what",
    "quantity",
    "unit",
    "panel",
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
    for name, words in sheet.site:
        yield {"section": "site", "place": name, "what": words}
    for circuit in sheet.circuits:
        yield {"section": "circuit", **_circuit(circuit)}
    for panel in sheet.panels:
        yield from _csv_panel(panel)
    yield from ({"section": "breaker changes place", "what": words} for words in sheet.breakers)
    for gear in sheet.gear:
        what = f"{gear.what}; {gear.note}" if gear.note else gear.what
        yield {"section": "shared gear", "place": gear.place, "what": what, "panel": gear.fed_from}
    yield from _csv_work(sheet)
    for alternate in sheet.alternates:
        yield {"section": f"alternate {alternate.letter}", "what": alternate.words}
        for circuit in alternate.circuits:
            yield {"section": f"alternate {alternate.letter}", **_circuit(circuit)}
    for section, entries in (
        ("price each", sheet.each),
        ("permit", sheet.permits),
        ("access", sheet.access),
        ("please answer", sheet.asked),
        ("not included", sheet.not_included),
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
                "state": f"on the breaker of {side.shares}" if side.shares else "",
            }


def _csv_work(sheet: ScopeSheet) -> Iterable[dict[str, str]]:
    for section, work in (("work", sheet.work), ("owner does", sheet.owner_does)):
        for row in work:
            yield {
                "section": section,
                "place": row.place,
                "machines": ", ".join(row.machines),
                "what": row.what,
                "quantity": quantity_words(row.quantity),
            }
    for part in sheet.owner_supplies:
        what = ", ".join(word for word in (part.what, part.condition, part.cuts) if word)
        yield {
            "section": "owner supplies",
            "what": what,
            "quantity": str(part.quantity),
            "unit": part.unit,
        }


def _circuit(row: CircuitRow) -> dict[str, str]:
    return {
        "number": str(row.number),
        "place": row.place,
        "machines": row.named,
        "what": row.nameplate,
        "panel": row.panel,
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
        "state": row.state + (f"; on the breaker of {row.breaker_with}" if row.breaker_with else ""),
    }
