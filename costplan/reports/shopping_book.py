"""The shopping list as a workbook: one sheet a supplier, amounts and totals as formulas, set up for print."""

import io
import re
import textwrap
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Any

from costplan.model.money import to_cents
from costplan.reports.data_text import harmless
from costplan.reports.sections import Field, Section, each_alone
from costplan.reports.shopping import ListedPart, Order, ShoppingList
from costplan.reports.shopping_sections import (
    all_new_section,
    cut_rows,
    cut_section,
    most_section,
    own_section,
    questions_section,
    returned_section,
    sold_out_section,
)
from costplan.reports.shopping_text import NOTHING_TO_BUY, check_groups, for_words, inspected_words

if TYPE_CHECKING:
    from xlsxwriter import Workbook
    from xlsxwriter.worksheet import Worksheet

MONEY = "#,##0.00"
HEADERS = (
    ("qty", 5),
    ("per", 11),
    ("what", 46),
    ("condition", 13),
    ("price", 9),
    ("price today", 9),
    ("amount", 10),
    ("tax", 8),
    ("for", 24),
    ("note", 20),
)
"""Columns of a supplier's sheet with their widths in characters."""
PRICE, TODAY, AMOUNT, TAX = 4, 5, 6, 7
NUMBERS = ("qty", "price", "price today", "amount", "tax", "extra", "at most")
"""Heads of columns of numbers, set to the right."""
TYPE_TODAY = 'A price typed under "price today" takes the place of the listed one in every total.'
LONGEST_SHEET_NAME = 31
FONT_POINTS = 10
LINE_POINTS = 12.75
HAIR = 7
"""The number spreadsheets give to a hairline border."""


def shopping_book(listed: ShoppingList, paper: str = "letter") -> bytes:
    """The workbook's bytes, the same for the same list. paper: letter or a4. Raises ValueError for others."""
    import xlsxwriter

    if paper not in PAPERS:
        raise ValueError(f'paper is "{paper}"; allowed: {", ".join(PAPERS)}')
    out = io.BytesIO()
    book = xlsxwriter.Workbook(
        out, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    )
    # A fixed time of creation keeps the bytes the same from run to run.
    created = datetime(listed.today.year, listed.today.month, listed.today.day)
    book.set_properties({"title": f"Shopping list, plan {listed.rank}", "created": created})
    writer = _Writer(book, listed, PAPERS[paper])
    summary = book.add_worksheet("All orders")
    writer.section(own_section(listed))
    totals = [(order, writer.order(order)) for order in listed.orders]
    writer.summary(summary, totals)
    writer.section(cut_section(listed.orders, suppliers=True))
    writer.section(returned_section(listed))
    writer.inspection()
    for section in (
        all_new_section(listed),
        sold_out_section(listed),
        most_section(listed),
        questions_section(listed),
    ):
        writer.section(section)
    book.close()
    return out.getvalue()


PAPERS = {"letter": 1, "a4": 9}
"""The numbers spreadsheets give to paper sizes."""


@dataclass(frozen=True, slots=True)
class _Total:
    """Where an order's total stands, and what it is."""

    sheet: str
    cell: str
    cents: int


def sheet_name(words: str, taken: Iterable[str]) -> str:
    """A name a workbook accepts and has not yet: 31 characters, none of []:*?/\\, no sign or quote in front."""
    plain = re.sub(r"[\[\]:*?/\\\x00-\x1f]", " ", words).strip(" '").lstrip("=+-@ '") or "supplier"
    used = {name.lower() for name in taken} | {"history"}
    name, number = plain[:LONGEST_SHEET_NAME].strip(" '"), 1
    while name.lower() in used:
        number += 1
        tail = f" {number}"
        name = plain[: LONGEST_SHEET_NAME - len(tail)].strip(" '") + tail
    return name


def tax_formula(price: str, rate: str, taxed: Iterable[tuple[int, int]]) -> str:
    """Tax rounded half to even to the cent for each piece, then counted: as the tool rounds it.

    price, rate: cells; taxed: units in a piece and how many such pieces.
    """
    terms = []
    for units, count in taxed:
        cents = f"ROUND({price}*{units}*{rate}*100,6)"
        even = f"IF(ROUND(MOD({cents},2),6)=0.5,ROUNDDOWN({cents},0),ROUND({cents},0))"
        terms.append(f"{count}*{even}")
    return f"=({'+'.join(terms)})/100" if terms else "=0"


@dataclass
class _Writer:
    book: "Workbook"
    listed: ShoppingList
    paper: int
    names: list[str] = field(default_factory=lambda: ["All orders"])
    formats: dict[str, Any] = field(default_factory=dict)
    total_row: int = 0

    def style(self, **properties: object) -> Any:
        """A format, made once."""
        key = repr(sorted(properties.items()))
        if key not in self.formats:
            base = {"valign": "top", "text_wrap": True, "font_size": FONT_POINTS}
            self.formats[key] = self.book.add_format(base | properties)
        return self.formats[key]

    def text(self, sheet: "Worksheet", row: int, column: int, words: str, **properties: object) -> None:
        """Text that stays text, also when somebody edits the cell."""
        if harmless(words) != words:
            properties["quote_prefix"] = True
        sheet.write_string(row, column, words, self.style(**properties))

    def money(self, sheet: "Worksheet", row: int, column: int, cents: int, **properties: object) -> None:
        """An amount as a number with two decimals."""
        sheet.write_number(row, column, cents / 100, self.style(num_format=MONEY, **properties))

    def formula(
        self, sheet: "Worksheet", row: int, column: int, words: str, cents: int, **properties: object
    ) -> None:
        """A formula with the amount it comes to, for readers that do not calculate."""
        sheet.write_formula(row, column, words, self.style(num_format=MONEY, **properties), cents / 100)

    def page(self, sheet: "Worksheet", header_row: int) -> None:
        """One page wide, headers repeated, pages numbered."""
        sheet.set_paper(self.paper)
        sheet.set_landscape()
        sheet.set_margins(left=0.5, right=0.5, top=0.6, bottom=0.6)
        sheet.fit_to_pages(1, 0)
        sheet.set_footer("&L&A&Rpage &P of &N")
        sheet.repeat_rows(header_row)
        sheet.freeze_panes(header_row + 1, 0)

    def grow(self, sheet: "Worksheet", row: int, cells: Iterable[tuple[str, int]]) -> None:
        """A row high enough for its wrapped texts, each with its column's width in characters."""
        lines = max((len(textwrap.wrap(words, max(width, 4))) for words, width in cells), default=1)
        sheet.set_row(row, LINE_POINTS * max(lines, 1))

    def heading(self, sheet: "Worksheet", words: str) -> None:
        """The first row of a sheet: what it is; the second: whose."""
        listed = self.listed
        self.text(sheet, 0, 0, words, bold=True, font_size=14, text_wrap=False)
        invented = f" ({listed.invented})" if listed.invented else ""
        whose = f"{listed.shop}{invented}, plan {listed.rank}, {listed.today}, {listed.currency}"
        whose = ". ".join([whose, *listed.left_out[:1]])
        self.text(sheet, 1, 0, whose, text_wrap=False)

    def headers(self, sheet: "Worksheet", row: int, columns: Iterable[tuple[str, int]]) -> None:
        """A row of column heads with their widths."""
        for column, (words, width) in enumerate(columns):
            aligned = {"align": "right"} if words in NUMBERS else {"indent": 1}
            self.text(sheet, row, column, words, bold=True, bottom=1, **aligned)
            sheet.set_column(column, column, width)

    # one supplier ---------------------------------------------------------------------------------

    def order(self, order: Order) -> _Total:
        """A supplier's sheet; returns where its total is."""
        name = sheet_name(order.name, self.names)
        self.names.append(name)
        sheet = self.book.add_worksheet(name)
        self.heading(sheet, f"{'Take from' if order.own_shelf else 'Buy at'}: {order.name}")
        if order.terms.reached:
            self.text(sheet, 1, 0, order.terms.reached, text_wrap=False)
        self.text(sheet, 2, 0, "markup rate" if order.terms.markup else "tax rate", text_wrap=False)
        sheet.write_number(2, 2, float(order.terms.on_goods), self.style(num_format="0.0###%", align="left"))
        if not order.own_shelf:
            self.text(sheet, 2, 3, TYPE_TODAY, italic=True, text_wrap=False)
        self.headers(sheet, 3, HEADERS)
        first = 4
        for row, part in enumerate(order.parts, first):
            self.part(sheet, row, part)
        row = self.totals(sheet, first, order)
        self.page(sheet, 3)
        row = self.order_cuts(sheet, row + 1, order)
        for hint in order.hints:
            self.text(sheet, row, 2, hint, italic=True, text_wrap=False)
            row += 1
        return _Total(name, f"{_letter(AMOUNT)}{self.total_row + 1}", order.total_cents)

    def part(self, sheet: "Worksheet", row: int, part: ListedPart) -> None:
        """One line of a supplier's sheet."""
        number = row + 1
        price = f'IF({_letter(TODAY)}{number}="",{_letter(PRICE)}{number},{_letter(TODAY)}{number})'
        sheet.write_number(row, 0, part.quantity, self.style(bottom=HAIR))
        price_style = self.style(num_format=MONEY, bottom=HAIR)
        sheet.write_number(row, PRICE, float(part.unit_price_cents / 100), price_style)
        sheet.write_blank(row, TODAY, None, self.style(num_format=MONEY, bg_color="#FFF7D6", border=1))
        self.formula(sheet, row, AMOUNT, f"=ROUND(A{number}*{price},2)", part.amount_cents, bottom=HAIR)
        tax = tax_formula(f"({price})", "$C$3", part.taxed)
        self.formula(sheet, row, TAX, tax, part.tax_cents, bottom=HAIR)
        seen = f"price seen {part.seen}" if part.seen else ""
        words = {
            1: part.unit,
            2: part.asked_for,
            3: part.condition,
            8: for_words(part.machines),
            9: "; ".join(word for word in (part.remarks, seen) if word),
        }
        for column, entry in words.items():
            self.text(sheet, row, column, entry, bottom=HAIR, indent=1)
        self.grow(sheet, row, [(entry, HEADERS[column][1]) for column, entry in words.items()])

    def totals(self, sheet: "Worksheet", first: int, order: Order) -> int:
        """Goods, cuts, tax, fees and the total under the lines; returns the next row."""
        row, last = first + len(order.parts), first + len(order.parts)
        amount, tax, terms = _letter(AMOUNT), _letter(TAX), order.terms
        goods = f"ROUND(SUM({amount}{first + 1}:{amount}{last}),2)"
        cuts = sum(piece.count for part in order.parts for piece in part.pieces)
        charge = to_cents(terms.cut_charge_cents)
        delivery = f"={to_cents(terms.delivery_cents) / 100}"
        if terms.free_over_cents is not None:
            delivery = (
                f"=IF({amount}{row + 1}>={to_cents(terms.free_over_cents) / 100},0,"
                f"{to_cents(terms.delivery_cents) / 100})"
            )
        charges, least = order.charges, to_cents(terms.minimum_cents) / 100
        short = f"=MAX({least}-{amount}{row + 1},0)"
        entries = (
            ("goods", f"={goods}", order.goods_cents),
            (f"cut charges, {cuts} cuts", f"={cuts}*{charge / 100}", order.cut_cents),
            (order.terms.on_goods_words, f"=ROUND(SUM({tax}{first + 1}:{tax}{last}),2)", order.tax_cents),
            *(
                (("freight", f"={order.freight_cents / 100}", order.freight_cents),)
                if order.freight_cents
                else ()
            ),
            ("order fee", f"={charges.order_fee_cents / 100}", charges.order_fee_cents),
            ("delivery", delivery, charges.delivery_cents),
            *(
                (("made up to the smallest order", short, charges.short_cents),)
                if terms.minimum_cents
                else ()
            ),
            *(
                (("errand", f"={charges.errand_cents / 100}", charges.errand_cents),)
                if charges.errand_cents
                else ()
            ),
        )
        begin = row
        for words, words_of_formula, cents in entries:
            self.text(sheet, row, 2, words, indent=1)
            self.formula(sheet, row, AMOUNT, words_of_formula, cents)
            row += 1
        self.text(sheet, row, 2, "total", bold=True, indent=1)
        self.formula(
            sheet,
            row,
            AMOUNT,
            f"=ROUND(SUM({amount}{begin + 1}:{amount}{row}),2)",
            order.total_cents,
            bold=True,
        )
        self.total_row = row
        return row + 1

    def order_cuts(self, sheet: "Worksheet", row: int, order: Order) -> int:
        """The cut list of one supplier under its totals; returns the next row."""
        rows = [entry for part in order.parts for entry in cut_rows(part)]
        if not rows:
            return row
        for column, words in (
            (2, "cut list, each piece unbroken"),
            (3, "from"),
            (4, "pieces"),
            (9, "left over"),
        ):
            self.text(sheet, row, column, words, bold=True, bottom=1, indent=1, text_wrap=False)
        for name, source, pieces, left in rows:
            row += 1
            sheet.merge_range(row, 4, row, 8, "", self.style())
            for column, entry in ((2, name), (3, source), (4, pieces), (9, left)):
                self.text(sheet, row, column, entry, indent=1)
            wide = sum(width for _, width in HEADERS[4:9])
            self.grow(sheet, row, [(name, HEADERS[2][1]), (source, HEADERS[3][1]), (pieces, wide)])
        return row + 2

    # the other sheets -----------------------------------------------------------------------------

    def summary(self, sheet: "Worksheet", totals: list[tuple[Order, _Total]]) -> None:
        """The first sheet: every order and the sum."""
        self.heading(sheet, f"Shopping list, plan {self.listed.rank}")
        self.text(sheet, 2, 0, self.listed.title, text_wrap=False)
        self.headers(sheet, 3, (("supplier", 44), ("amount", 14)))
        row = 4
        for order, total in totals:
            self.text(sheet, row, 0, order.name)
            quoted = total.sheet.replace("'", "''")
            self.formula(sheet, row, 1, f"='{quoted}'!{total.cell}", total.cents)
            row += 1
        if not totals:
            self.text(sheet, row, 0, NOTHING_TO_BUY)
            row += 1
        self.text(sheet, row, 0, "total", bold=True, top=1)
        words = f"=ROUND(SUM(B5:B{row}),2)" if totals else "=0"
        self.formula(sheet, row, 1, words, self.listed.total_cents, bold=True, top=1)
        self.page(sheet, 3)

    def section(self, section: Section) -> None:
        """A sheet of its own; nothing where there are no rows."""
        if not section.rows:
            return
        unique = sheet_name(section.head, self.names)
        self.names.append(unique)
        sheet = self.book.add_worksheet(unique)
        self.heading(sheet, section.head)
        self.text(sheet, 2, 0, section.note, italic=True, text_wrap=False)
        self.headers(sheet, 3, [(field.head, field.book) for field in section.fields])
        for row, cells in enumerate(section.rows, 4):
            for column, cell in enumerate(cells):
                if isinstance(cell, int):
                    self.money(sheet, row, column, cell, bottom=HAIR)
                else:
                    self.text(sheet, row, column, cell, bottom=HAIR, indent=1)
            wide = zip(cells, section.fields, strict=True)
            self.grow(sheet, row, [(str(cell), field.book) for cell, field in wide])
        self.page(sheet, 3)

    def inspection(self) -> None:
        """What to look at before paying, with a box to tick."""
        rows: list[tuple[str, ...]] = []
        for checks, parts in self.listed.inspections:
            rows += [("", "", inspected_words(order, part)) for order, part in parts]
            rows += [("☐", words, entry) for words, entries in check_groups(checks) for entry in entries]
        fields = (Field("", 0, 4, 4), Field("", 0, 12, 12), Field("before paying for used parts", 0, 110, 84))
        note = "common practice, no source"
        self.section(Section("Before paying for used parts", note, fields, each_alone(rows)))


def _letter(column: int) -> str:
    return chr(ord("A") + column)
