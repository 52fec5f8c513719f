"""The shopping list as a workbook and as a page: text stays text, sheets are set up, nothing is fetched."""

import csv
import io
import re
from dataclasses import replace
from decimal import ROUND_HALF_EVEN, Decimal
from functools import cache
from html.parser import HTMLParser
from typing import Any

import pytest
from bought_today import bought_today
from openpyxl import load_workbook
from strategies import MARKETS, make_catalog, make_shop, offer, ranked

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need, make_spec
from costplan.reports.page import scope_page, shopping_page
from costplan.reports.scope import scope_sheet
from costplan.reports.scope_text import scope_csv
from costplan.reports.shopping import ShoppingList, list_of
from costplan.reports.shopping_book import sheet_name, shopping_book, tax_formula
from costplan.reports.shopping_text import shopping_csv, shopping_text
from costplan.studies.comparison import compare
from costplan.studies.wanted import Wanted

NASTY = ("=1+1", "+1", "-1", "@sum", "=HYPERLINK(1)", "<script>alert(1)</script>", 'a"b', "{{ 7*7 }}")
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


@cache
def listed(market: str) -> ShoppingList:
    catalog = make_catalog(**MARKETS[market])
    shop = make_shop()
    return list_of(Facts(shop, catalog), ranked(shop, catalog)[0])


def book(of: ShoppingList, paper: str = "letter") -> Any:
    return load_workbook(io.BytesIO(shopping_book(of, paper)))


@cache
def nasty(word: str) -> ShoppingList:
    """A list whose supplier, part, note and machine are all called the same."""
    catalog = make_catalog(
        [offer(word, "store", 5, note=word, condition="used"), offer(word, "store", 7)],
        suppliers=[{"id": "store", "name": word}],
        kinds=[{"kind": "thing", "attributes": ["shade"], "reject": {"used": "5 %"}}],
        more_parts=[{"id": word, "kind": "thing", "name": word, "attributes": {"shade": word}}],
    )
    facts, plan = bought_today(catalog, {Need(make_spec("thing", {"shade": word}), 1): 2})
    needed = {need: {word: sum(machines.values())} for need, machines in plan.needed_by.items()}
    return list_of(facts, replace(plan, needed_by=needed))


@pytest.mark.parametrize("word", NASTY)
def test_no_cell_of_the_workbook_runs_what_the_user_wrote(word: str) -> None:
    workbook = book(nasty(word))
    shown = 0
    for sheet in workbook:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    own = re.sub(r"'[^']*'![A-Z]+[0-9]+", "", str(cell.value))
                    assert word not in own
                    assert re.match(r"=(ROUND|\(|IF|SUM|\d|$)", own)
                elif cell.value == word:
                    assert cell.data_type == "s"
                    assert bool(cell.quotePrefix) == word.startswith(FORMULA_STARTS)
                    shown += 1
    assert shown >= 3


@pytest.mark.parametrize("word", NASTY)
def test_no_cell_of_the_csv_starts_a_formula(word: str) -> None:
    rows = list(csv.reader(io.StringIO(shopping_csv(nasty(word)))))
    cells = [cell for row in rows for cell in row]
    assert any(word in cell for cell in cells)
    assert not [cell for cell in cells if cell.startswith(FORMULA_STARTS) and not is_number(cell)]


def is_number(cell: str) -> bool:
    return re.fullmatch(r"-?\d+(\.\d+)?", cell) is not None and cell not in NASTY


class Tags(HTMLParser):
    """Every tag and attribute of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.links: list[str] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.links += [
            f"{name}={value}" for name, value in attrs if name in ("src", "href", "onload", "onclick")
        ]

    def handle_data(self, data: str) -> None:
        self.text += data


@pytest.mark.parametrize("word", NASTY)
def test_the_page_escapes_what_the_user_wrote(word: str) -> None:
    page = shopping_page(nasty(word))
    tags = Tags()
    tags.feed(page)
    assert "script" not in tags.tags
    assert word in tags.text
    assert "49" not in tags.text or word != "{{ 7*7 }}"


@pytest.mark.parametrize("market", ["surplus", "reels"])
def test_a_page_fetches_nothing_and_runs_nothing(market: str) -> None:
    comparison = compare(Facts(make_shop(), make_catalog(**MARKETS[market])), Wanted(plans=2))
    for page in (shopping_page(listed(market)), scope_page(scope_sheet(comparison))):
        tags = Tags()
        tags.feed(page)
        assert not tags.tags & {"script", "img", "link", "iframe", "object", "form"}
        assert tags.links == []
        assert "url(" not in page
        assert "http:" not in page
        assert "https:" not in page
        assert "@import" not in page


def test_the_scope_csv_starts_no_formula() -> None:
    shop = make_shop(
        [
            {"name": "=1+1", "at": "bench A", "volts": 240, "amps": 16, "plug": "NEMA 6-20"},
            {"name": "@x", "at": "bench B", "volts": 120, "amps": 16, "plug": "NEMA 5-20"},
        ]
    )
    sheet = scope_sheet(compare(Facts(shop, make_catalog()), Wanted(plans=2)), access="=2+2")
    cells = [cell for row in csv.reader(io.StringIO(scope_csv(sheet))) for cell in row]
    assert "'=1+1" in cells
    assert not [cell for cell in cells if cell.startswith(FORMULA_STARTS)]
    assert "<script" not in scope_page(sheet)


@pytest.mark.parametrize("market", MARKETS)
def test_a_sheet_a_supplier_with_formulas_for_amounts_and_totals(market: str) -> None:
    of = listed(market)
    workbook = book(of)
    for order in of.orders:
        sheet = workbook[sheet_name(order.name, ["All orders"])]
        amounts = [sheet.cell(row, 7).value for row in range(5, 5 + len(order.parts))]
        assert all(str(amount).startswith("=ROUND(A") for amount in amounts)
        totals = [row for row in range(5, sheet.max_row + 1) if sheet.cell(row, 3).value == "total"]
        assert len(totals) == 1
        assert str(sheet.cell(totals[0], 7).value).startswith("=ROUND(SUM(G")
    assert [workbook.sheetnames[0]] == ["All orders"]


@pytest.mark.parametrize("market", MARKETS)
def test_formulas_carry_what_they_come_to(market: str) -> None:
    """Readers that do not calculate show these; the office suite's own result is checked elsewhere."""
    of = listed(market)
    workbook = load_workbook(io.BytesIO(shopping_book(of)), data_only=True)
    first = workbook["All orders"]
    amounts = [round(first.cell(row, 2).value * 100) for row in range(5, 6 + len(of.orders))]
    assert amounts == [*(order.total_cents for order in of.orders), of.total_cents]


@pytest.mark.parametrize(("paper", "number"), [("letter", "1"), ("a4", "9")])
def test_every_sheet_is_set_up_for_print(paper: str, number: str) -> None:
    workbook = book(listed("surplus"), paper)
    assert len(workbook.sheetnames) >= 6
    for sheet in workbook:
        assert str(sheet.page_setup.paperSize) == number
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert (sheet.page_setup.fitToWidth or 1, sheet.page_setup.fitToHeight) == (1, 0)
        assert sheet.print_title_rows == "$4:$4"


def test_a_paper_nobody_has_is_refused() -> None:
    with pytest.raises(ValueError, match="allowed: letter, a4"):
        shopping_book(listed("surplus"), "legal")


def test_the_same_list_gives_the_same_bytes() -> None:
    of = listed("reels")
    assert shopping_book(of) == shopping_book(of)
    assert shopping_page(of) == shopping_page(of)
    assert shopping_text(of) == shopping_text(of)


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("Parts: [all] *?/\\", "Parts   all"),
        ("'quoted'", "quoted"),
        ("", "supplier"),
        ("History", "History 2"),
        ("x" * 40, "x" * 31),
    ],
)
def test_sheet_names_are_such_as_a_workbook_takes(words: str, name: str) -> None:
    assert sheet_name(words, []) == name


def test_sheet_names_differ_though_suppliers_are_called_alike() -> None:
    taken: list[str] = []
    for _ in range(12):
        taken.append(sheet_name("A supplier with a long name indeed, downtown", taken))
    assert len({name.lower() for name in taken}) == 12
    assert all(len(name) <= 31 for name in taken)


@pytest.mark.parametrize("price", ["0.50", "1.50", "2.50", "10.10", "0.07", "19.99"])
@pytest.mark.parametrize("rate", ["0.07", "0.0625", "0.05", "0"])
def test_the_tax_formula_rounds_half_to_even(price: str, rate: str) -> None:
    """The formula, worked out here as a spreadsheet would, against the tool's rounding."""
    cents = (Decimal(price) * 3 * Decimal(rate) * 100).quantize(Decimal(1), ROUND_HALF_EVEN)
    formula = tax_formula(price, rate, ((3, 2),))
    assert round(spreadsheet(formula) * 100) == 2 * cents


def spreadsheet(formula: str) -> float:
    """The handful of functions the formula uses, with a spreadsheet's rounding away from zero."""

    def rounded(value: float, digits: int) -> float:
        step = Decimal(1).scaleb(-digits)
        return float(Decimal(repr(value)).quantize(step, "ROUND_HALF_UP"))

    def down(value: float, digits: int) -> float:
        return float(Decimal(repr(value)).quantize(Decimal(1).scaleb(-digits), "ROUND_DOWN"))

    words = formula.lstrip("=").replace("IF(", "WHEN(").replace("=0.5", "==0.5")
    known = {
        "ROUND": rounded,
        "ROUNDDOWN": down,
        "MOD": lambda a, b: a % b,
        "WHEN": lambda t, a, b: a if t else b,
    }
    return float(eval(words, {"__builtins__": {}}, known))
