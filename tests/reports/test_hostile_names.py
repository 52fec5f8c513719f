"""Names that would run, break or hide something in every format written: text, CSV, JSON, HTML page, workbook.

Other formats are not written; whoever adds one adds it to FORMATS. Which beginnings of a cell a spreadsheet runs as a
formula is common practice, no source. Names that steer a terminal are refused where they are read, and written out.
"""

import csv
import io
import json
import re
from collections.abc import Callable
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import pytest
from openpyxl import load_workbook
from typer.testing import CliRunner

from costplan.circuits.facts import Facts
from costplan.cli.choices import Exit
from costplan.cli.main import app
from costplan.files.visible import visible
from costplan.model.loading import load_catalog_with_places, load_shop_with_places
from costplan.plans.comparison import Comparison, compare
from costplan.reports.data import comparison_data, json_text, lines_csv
from costplan.reports.page import scope_page, shopping_page
from costplan.reports.scope import scope_sheet
from costplan.reports.scope_text import scope_csv, scope_text
from costplan.reports.shopping import shopping_list
from costplan.reports.shopping_book import shopping_book
from costplan.reports.shopping_text import shopping_csv, shopping_text
from costplan.reports.sizes import sizes_text
from costplan.reports.terminal import comparison_text

TINY = Path(__file__).parents[2] / "examples" / "tiny"
HOSTILE = {
    "formula": '=HYPERLINK("http://x.invalid","y")',
    "plus": "+1+1",
    "minus": "-2+3",
    "at sign": "@SUM(A1:A9)",
    "blank before a formula": " =1+1",
    "tags": "<script>alert(1)</script><b>&amp;</b>",
    "attribute": "\" onload='x' ",
    "quotes": "\"a\" 'b' `c` “d”",
    "commas": "a,b;c|d",
    "line ends": "first\nsecond\r\nthird",
    "template": "{{ 7 * 7 }}{% if x %}{0}%s",
    "path": "../../etc/x\\y:*?[z]",
    "long": "a" * 280,
    "one long word of wide letters": "測" * 200,
}
STEERING = {
    "escape": "\x1b[2J",
    "bell": "\x07",
    "null": "\x00",
    "turned around": "\u202egnp.exe",
    "isolated": "\u2066x\u2069",
    "no width": "a\u200bb",
    "one control more": "\x9b2J",
    "delete": "a\x7f",
}
FUNCTIONS = {"SUM", "ROUND", "ROUNDDOWN", "MOD"}
CONTROLS = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u200b\u200e\u200f\u202a-\u202e\u2066-\u2069]")


def written(folder: Path, name: str) -> Path:
    """The example of two machines, the second left out, its names in every place those of a stranger."""
    shop = (TINY / "shop.yaml").read_text(encoding="utf-8")
    start, end = shop.index("  - name: drill"), shop.index("scenarios:")
    shop = shop[:start] + shop[end:]
    for word in ("saw", "bench A", "panel", "bench C"):
        quoted = json.dumps(f"{name} {word[-1]}")
        shop = re.sub(
            rf"(?<=name: |  at: |from: |hine: |move: ){word}\b|(?<=to: ){word}\b", lambda _, q=quoted: q, shop
        )
    shop = re.sub("^shop: .*", lambda _: f"shop: {json.dumps(name)}", shop, flags=re.MULTILINE)
    (folder / "catalog").mkdir()
    (folder / "shop.yaml").write_text(shop, encoding="utf-8")
    for path in sorted((TINY / "catalog").glob("*.*")):
        text = path.read_text(encoding="utf-8")
        if path.name in ("parts.yaml", "suppliers.yaml", "labor.yaml"):
            text = re.sub(
                r'(?<=name: )("[^"\n]*"|[^,}\n"]+)',
                lambda found: (
                    found[0]
                    if found[0] in ("owner", "electrician")
                    else json.dumps(f"{name} {found[0].strip(chr(34))}"[:299])
                ),
                text,
            )
        (folder / "catalog" / path.name).write_text(text, encoding="utf-8")
    return folder / "shop.yaml"


@cache
def compared(name: str) -> Comparison:
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        path = written(Path(folder), name)
        shop, catalog = load_shop_with_places(path), load_catalog_with_places(path.parent / "catalog")
    assert shop.shop is not None, [problem.message for problem in shop.problems]
    assert catalog.catalog is not None, [problem.message for problem in catalog.problems]
    return compare(Facts(shop.shop, catalog.catalog), plans=1)


def shown(name: str) -> str:
    """The name as everything shows it: in one line, or as it is."""
    return " ".join(name.split()) if "\n" in name else name


def is_text(text: str, name: str) -> None:
    assert CONTROLS.search(visible(text)) is None
    assert shown(name).split()[0][:20] in text


def is_csv(text: str, name: str) -> None:
    rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert len({len(row) for row in rows}) == 1
    for cell in (cell for row in rows for cell in row):
        number = re.fullmatch(r"-?[0-9.]+", cell)
        assert number or not re.match(r"\s*[=+\-@\t\r]", cell), cell
    assert any(shown(name).strip() in cell for row in rows for cell in row)


def is_json(text: str, name: str) -> None:
    told = json.loads(text)
    assert told["shop"] == shown(name)
    assert f"{shown(name)} w" in json.dumps(told, ensure_ascii=False).replace("\\\\", "\\").replace(
        '\\"', '"'
    )


class Reader(HTMLParser):
    """The tags and the text of a page."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: set[str] = set()
        self.words: list[str] = []
        self.attributes: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes |= {word for word, _ in attrs}

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def is_page(text: str, name: str) -> None:
    page = Reader()
    page.feed(text)
    assert "script" not in page.tags
    assert not {word for word in page.attributes if word.startswith("on")}
    assert shown(name).strip() in " ".join("".join(page.words).split()) or shown(name) in "".join(page.words)
    assert CONTROLS.search(text) is None


def is_book(content: bytes, name: str) -> None:
    book = load_workbook(io.BytesIO(content))
    cells = [
        cell
        for sheet in book.worksheets
        for row in sheet.iter_rows()
        for cell in row
        if cell.value is not None
    ]
    formulas = [str(cell.value) for cell in cells if cell.data_type == "f"]
    sheets = {f"'{title.replace(chr(39), 2 * chr(39))}'!" for title in book.sheetnames}
    for formula in formulas:
        found = re.findall(r"'(?:[^']|'')*'!", formula)
        assert set(found) <= sheets
        # Beside the sheets' names there are cells, figures, signs and the functions that the list needs.
        assert re.fullmatch(r"=(?:'(?:[^']|'')*'!|[-+*/(),.:0-9A-Z$ =<>\"])+", formula), formula
        assert set(re.findall(r"[A-Z]{3,}", re.sub(r"'(?:[^']|'')*'!", "", formula))) <= FUNCTIONS, formula
    assert any(shown(name).strip() in str(cell.value) for cell in cells if cell.data_type == "s")
    assert all(
        len(sheet.title) <= 31 and not re.search(r"[\[\]:*?/\\]", sheet.title) for sheet in book.worksheets
    )


FORMATS: dict[str, tuple[Callable[[Comparison], str | bytes], Callable[..., None]]] = {
    "compare": (lambda found: comparison_text(found, show_lines=True), is_text),
    "compare, JSON": (lambda found: json_text(comparison_data(found)), is_json),
    "compare, CSV": (lines_csv, is_csv),
    "size": (lambda found: sizes_text(found.facts, None), is_text),
    "shopping": (lambda found: shopping_text(shopping_list(found)), is_text),
    "shopping, CSV": (lambda found: shopping_csv(shopping_list(found)), is_csv),
    "shopping, page": (lambda found: shopping_page(shopping_list(found)), is_page),
    "shopping, workbook": (lambda found: shopping_book(shopping_list(found)), is_book),
    "scope": (lambda found: scope_text(scope_sheet(found)), is_text),
    "scope, CSV": (lambda found: scope_csv(scope_sheet(found)), is_csv),
    "scope, page": (lambda found: scope_page(scope_sheet(found)), is_page),
}


@pytest.mark.parametrize("format_", FORMATS)
@pytest.mark.parametrize("kind", HOSTILE)
def test_a_hostile_name_is_a_name_in_every_format(kind: str, format_: str) -> None:
    write, looks = FORMATS[format_]

    looks(write(compared(HOSTILE[kind])), HOSTILE[kind])


@pytest.mark.parametrize("as_json", [False, True])
@pytest.mark.parametrize("kind", STEERING)
def test_a_steering_name_is_refused_and_written_out(kind: str, as_json: bool, tmp_path: Path) -> None:
    path = written(tmp_path, "plain")
    path.write_bytes(path.read_bytes().replace(b'"plain w"', f'"saw {STEERING[kind]}"'.encode()))

    result = CliRunner().invoke(app, ["check", str(path), *(["--format", "json"] if as_json else [])])

    assert result.exit_code == Exit.USER_MISTAKE
    assert "file-odd-character" in result.output
    assert CONTROLS.search(result.output) is None


@pytest.mark.parametrize("kind", STEERING)
def test_a_steering_name_written_with_a_backslash_is_refused_too(kind: str, tmp_path: Path) -> None:
    path = written(tmp_path, STEERING[kind])

    result = CliRunner().invoke(app, ["check", str(path)])

    assert result.exit_code == Exit.USER_MISTAKE
    assert "file-odd-character" in result.output
    assert CONTROLS.search(result.output) is None
