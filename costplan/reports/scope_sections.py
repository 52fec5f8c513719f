"""The sections of the scope sheet in their order, each described once for text and page."""

from collections.abc import Iterable, Iterator
from decimal import ROUND_CEILING, Decimal
from itertools import groupby

from costplan.reports.before_after import PanelRow, PanelTable
from costplan.reports.circuits import NEW, CircuitRow
from costplan.reports.scope import ScopeSheet
from costplan.reports.scope_later import LaterRow, worked_together
from costplan.reports.scope_lines import LINES_NOTE, LOADS_HEAD, LOADS_NOTE
from costplan.reports.scope_plan import Alternate
from costplan.reports.scope_reach import REACH_HEAD, REACH_NOTE
from costplan.reports.scope_spaces import KEEP_HEAD, KEEP_NOTE
from costplan.reports.scope_supplies import Supplied
from costplan.reports.scope_work import WorkRow
from costplan.reports.sections import Field, Group, Part, Points, Section, each_alone, points_text
from costplan.reports.words import MAN_HOURS

OWNER_SUPPLIES_NOTE = "on site before the first day; the bidder brings whatever else the work takes"
BREAKERS_NOTE = (
    "A breaker that goes into another circuit may stay in its space and the wires move: bidder's choice; "
    "close every opening left, whatever way is chosen. A new one instead: add ____________ each."
)
LATER_HEAD = "Later work, expected; price each with parts, as if it were done then at today's prices"
LATER_NOTE = "The bidder supplies the parts of later work: the owner's plan counts them as bought then."
DRIVES_HEAD = "Drives that change machines"
NOTHING = "nothing"
NOTED = "{head} ({note})\n{rows}"
YOUR_PRICE = "your price"


def scope_sections(sheet: ScopeSheet) -> Iterator[Part]:
    """All of the sheet below its head, as it is printed."""
    yield Section(
        "The site", "", (Field("what", 24, 0, 22), Field("how it is", 72, 0, 78)), each_alone(sheet.site)
    )
    yield circuits_section(sheet.circuits, "Circuits", sheet.line_sums)
    yield Points("Look at before the price", sheet.notes)
    for panel in sheet.panels:
        yield _panel(panel)
    yield Points("Breakers that change place", sheet.breakers, points_text((BREAKERS_NOTE,), "  "))
    yield Points(DRIVES_HEAD, sheet.drives)
    yield Section(
        "Shared equipment",
        "",
        (
            Field("what", 0, 0, 34),
            Field("at", 0, 0, 18),
            Field("fed from", 0, 0, 18),
            Field("note", 40, 0, 30),
        ),
        each_alone((row.what, row.place, row.fed_from, row.note) for row in sheet.gear),
    )
    counts = f"the owner's plan counts {MAN_HOURS}" if sheet.work else ""
    yield _work("Work by location", sheet.work, note=counts, blank=True, none=NOTHING)
    yield _supplied("The owner supplies", sheet.owner_supplies, OWNER_SUPPLIES_NOTE, none=NOTHING)
    yield _supplied("Owner's cords, not in this bid", sheet.owners_cords)
    yield Points("Taken out and left with the owner", sheet.left_with_owner)
    yield _work("The owner does", sheet.owner_does, none=NOTHING)
    for alternate in sheet.alternates:
        yield _alternate(alternate)
    if sheet.later:
        yield Group(LATER_HEAD, "", (_later(sheet.later), Points("", (LATER_NOTE, *sheet.later_asked))))
    yield Points(KEEP_HEAD, sheet.keep, points_text((KEEP_NOTE,), "  "))
    yield Points(REACH_HEAD, sheet.reach, points_text((REACH_NOTE,), "  "))
    yield Points("Price for one of each, for changes later", sheet.each, blank=True)
    yield Points("Permits and inspection", sheet.permits)
    yield Points("Access", sheet.access)
    yield Points("Please answer", sheet.asked)
    yield Points("Not included unless asked for", sheet.not_included)
    yield Points(LOADS_HEAD, sheet.loads, points_text((LOADS_NOTE,), "  "))
    yield Section(
        "Totals",
        "",
        (Field("of", 0, 0, 80), Field(YOUR_PRICE, 0, 0, 20, blank=True)),
        each_alone((name, "") for name in sheet.totals),
    )


CIRCUIT_FIELDS = (
    Field("line", 4, 0, 5, number=True),
    Field("machine", 14, 0, 19),
    Field("outlet at", 11, 0, 10),
    Field("from", 8, 0, 9),
    Field("on", 5, 0, 6),
    Field("breaker", 11, 0, 12),
    Field("run", 16, 0, 20),
    Field("ends in", 15, 0, 19),
)


def circuits_section(
    circuits: Iterable[CircuitRow], head: str = "", line_sums: Iterable[str] = ()
) -> Section:
    """The circuit schedule; without a head, of an alternate."""
    rows = each_alone(circuit_cells(row) for row in circuits)
    sums = "; ".join(line_sums)
    words = LINES_NOTE.format(sums=f" ({sums}; circuits on all lines left out)" if sums else "")
    note = points_text((words,), "  ") if head and rows else ""
    return Section(head, note, CIRCUIT_FIELDS, rows, text="{head}\n{rows}\n\n{note}", always=bool(head))


def circuit_cells(row: CircuitRow) -> tuple[str, ...]:
    """A circuit's cells, in the order of the fields."""
    fault = ", ground-fault" if row.ground_fault else ""
    state = "" if row.state == NEW else row.state
    ends = "; ".join(word for word in (row.outlet, row.cord, state) if word)
    length = (
        f"there already, about {row.run_ft} ft" if row.is_there else f"{row.run_ft} ft with ends and waste"
    )
    return (
        str(row.number),
        f"{row.named} ({row.nameplate}); supply {row.volts} V {row.phases}-phase, {row.current_a:.1f} A",
        row.place,
        row.panel,
        row.lines,
        f"{row.breaker_a} A {row.poles}-pole{row.assumed}{fault}{_shared(row)}",
        f"{row.method}, {length}, drop {row.drop * 100:.1f} %; {row.conductors}",
        ends,
    )


def _shared(row: CircuitRow) -> str:
    return f", the one of {row.breaker_with}" if row.breaker_with else ""


def _panel(panel: PanelTable) -> Section:
    fields = (
        Field("circuit", 18, 0, 20),
        Field("breaker today", 16, 0, 16),
        Field("serves", 13, 0, 15),
        Field("breaker after", 16, 0, 16),
        Field("serves then", 13, 0, 15),
        Field("what is done", 14, 0, 18),
    )
    rows = each_alone(map(tuple, panel_cells(panel)))
    return Section(f"Before and after: {panel.panel}", "", fields, rows, totals=2)


def panel_cells(panel: PanelTable) -> list[list[str]]:
    """A panel's circuits in the order of the fields, the poles of all and the spaces left below."""
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


def _alternate(alternate: Alternate) -> Group:
    return Group(
        f"Alternate {alternate.letter}, to be priced on its own",
        alternate.words,
        (
            circuits_section(alternate.circuits),
            _work("Leaves out", alternate.leaves_out),
            _work("Adds", alternate.adds),
            *(Points(head, words) for head, words in alternate_lists(alternate)),
        ),
        _alternate_price(alternate),
    )


def _alternate_price(alternate: Alternate) -> str:
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
        (REACH_HEAD, alternate.reach),
        (f"{KEEP_HEAD}, instead", alternate.kept),
        ("Permit", alternate.permits),
        ("Ground-fault protection", alternate.protection),
    ]
    return [(head, words) for head, words in lists if words]


def _later(rows: Iterable[LaterRow]) -> Section:
    fields = (
        Field("year", 12, 0, 12),
        Field("machine", 18, 0, 18),
        Field("where", 12, 0, 14),
        Field("qty", 0, 0, 6, number=True),
        Field("what", 34, 0, 36),
        Field(YOUR_PRICE, 0, 0, 14, blank=True),
    )
    groups = tuple(
        tuple(
            (row.when, row.moves, row.place, quantity_words(row.quantity), row.words, "") for row in together
        )
        for _, together in groupby(worked_together(rows), key=lambda row: (row.when, row.moves))
    )
    return Section("", "", fields, groups, text="{rows}", shared=2)


def quantity_words(quantity: Decimal) -> str:
    """A quantity of work in whole things and feet, rounded up, since nobody does part of one; hours keep the part."""
    return str(quantity.to_integral_value(ROUND_CEILING))


def _work(
    head: str, work: Iterable[WorkRow], *, note: str = "", blank: bool = False, none: str = ""
) -> Section:
    fields = [
        Field("where", 16, 0, 20),
        Field("qty", 0, 0, 6, number=True),
        Field("what", 42, 0, 40 if blank else 50),
        Field("for", 14, 0, 20 if blank else 24),
    ]
    price = [Field(YOUR_PRICE, 0, 0, 14, blank=True)] if blank else []
    groups = tuple(
        tuple(
            (
                row.place,
                quantity_words(row.quantity),
                row.words,
                ", ".join(row.machines),
                *("" for _ in price),
            )
            for row in together
        )
        for _, together in groupby(work, key=lambda row: row.place)
    )
    text = NOTED if note else "{head}\n{rows}"
    return Section(head, note, (*fields, *price), groups, text=text, none=none)


def _supplied(head: str, parts: Iterable[Supplied], note: str = "", none: str = "") -> Section:
    fields = (
        Field("qty", 0, 0, 7, number=True),
        Field("per", 10, 0, 10),
        Field("what", 34, 0, 41),
        Field("condition", 0, 0, 11),
        Field("cut to", 13, 0, 15),
        Field("goes to", 14, 0, 16),
    )
    rows = each_alone(
        (str(row.quantity), row.unit, row.what, row.condition, row.cuts, row.goes_to) for row in parts
    )
    text = NOTED if note else "{head}\n{rows}"
    return Section(head, note, fields, rows, text=text, none=none)
