"""The scope sheet for a terminal and as CSV."""

from collections.abc import Iterable

from costplan.reports.before_after import PanelTable
from costplan.reports.circuits import CircuitRow
from costplan.reports.data_text import csv_text
from costplan.reports.scope import ScopeSheet
from costplan.reports.scope_plan import Alternate
from costplan.reports.scope_sections import LATER_NOTE, alternate_lists, quantity_words, scope_sections
from costplan.reports.scope_work import WorkRow
from costplan.reports.sections import part_text
from costplan.reports.tables import filled


def scope_text(sheet: ScopeSheet) -> str:
    """The sheet as tables; the last column of each is blank for the bidder."""
    invented = "  (invented demo data: names are made up)" if sheet.invented else ""
    parts = [
        f"Scope of electrical work, {sheet.shop}{invented}\n{sheet.today}, plan {sheet.rank}; {sheet.title}",
        "\n".join(map(filled, sheet.left_out)),
        sheet.nothing_today,
        "Owner: ____________________   Site: ____________________   Phone: ____________________\n"
        "Bidder: ___________________   License: _________________   Bid due: __________________",
        *map(part_text, scope_sections(sheet)),
        sheet.caution,
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


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
    """Every row of the sheet with its section."""
    return csv_text(CSV_COLUMNS, _csv_rows(sheet))


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
        ("later reach", sheet.reach),
        ("keep free", sheet.keep),
        ("price each", sheet.each),
        ("permit", sheet.permits),
        ("access", sheet.access),
        ("please answer", sheet.asked),
        ("not included", sheet.not_included),
        ("at once", sheet.loads),
        ("by line", sheet.line_sums),
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
