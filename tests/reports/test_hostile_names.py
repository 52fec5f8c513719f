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
from costplan.files.problems import as_dicts
from costplan.files.visible import visible
from costplan.model.bids import Bid
from costplan.model.catalog import Job
from costplan.model.loading import load_catalog_with_places, load_shop_with_places
from costplan.model.shop import NextMachine
from costplan.reports.bids import BidsReport, bids_data, bids_text
from costplan.reports.data import comparison_data, lines_csv
from costplan.reports.data_text import json_text
from costplan.reports.first_screen import first_screen
from costplan.reports.jobs import JobsReport, jobs_csv, jobs_data, jobs_report, jobs_text
from costplan.reports.next_columns import next_data
from costplan.reports.next_page import next_text
from costplan.reports.noted import noted, noted_before
from costplan.reports.page import scope_page, shopping_page
from costplan.reports.remarks_text import before_problems, noted_text, remarks_data
from costplan.reports.scope import scope_sheet
from costplan.reports.scope_text import scope_csv, scope_text
from costplan.reports.shopping import shopping_list
from costplan.reports.shopping_book import shopping_book
from costplan.reports.shopping_text import shopping_csv, shopping_text
from costplan.reports.sizes import sizes_text
from costplan.reports.terminal import comparison_text
from costplan.studies.asked_next import NextAnswer
from costplan.studies.bid_choice import all_bids, without_bids
from costplan.studies.comparison import Comparison, compare
from costplan.studies.leveling import level
from costplan.studies.next_machine import NextPrice, price_machines
from costplan.studies.wanted import Wanted

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
    return compare(Facts(shop.shop, catalog.catalog), Wanted(plans=1))


def shown(name: str) -> str:
    """The name as everything shows it: in one line, or as it is."""
    return " ".join(name.split()) if "\n" in name else name


def is_text(text: str, name: str) -> None:
    assert CONTROLS.search(visible(text)) is None
    assert visible(shown(name).split()[0])[:20] in visible(text)


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


def is_json_of_jobs(text: str, name: str) -> None:
    (job,) = json.loads(text)["jobs"]
    assert job["job"] == f"{shown(name)} j"


def is_json_of_a_machine(text: str, name: str) -> None:
    told = json.loads(text)
    assert (told["shop"], told["machines"][0]["name"]) == (shown(name), f"{shown(name)} z")


def is_json_of_bids(text: str, name: str) -> None:
    told = json.loads(text)
    assert (told["shop"], told["bids"][0]["bidder"]) == (shown(name), f"{shown(name)} b")


def is_json_of_questions(text: str, name: str) -> None:
    assert all(set(entry) >= {"code", "message", "mend"} for entry in json.loads(text))


def is_plain(text: str, _: str) -> None:
    assert text.strip()
    assert CONTROLS.search(visible(text)) is None


def is_remarks(text: str, _: str) -> None:
    assert json.loads(text)


@cache
def priced(name: str) -> list[NextPrice]:
    """A next machine of that name, at a place of that name."""
    facts = compared(name).facts
    machine = NextMachine.model_validate(
        {
            "name": f"{shown(name)} z",
            "at": facts.shop.places[0].name,
            "volts": 240,
            "amps": "12 A",
            "price": 500,
        }
    )
    return price_machines(facts, [machine], second=False)


def bids_of(found: Comparison, name: str) -> BidsReport:
    """A bid by somebody of that name on the best plan."""
    said = {
        "date": "2026-10-20",
        "valid_until": "2026-12-31",
        "kind": "fixed",
        "price": 480,
        "rest_by": "electrician",
    }
    bid = Bid.model_validate({"bidder": f"{shown(name)} b", "covers": ["run-cable"], **said})
    facts, ranked = without_bids(found.facts), found.plans[0]
    return BidsReport(level(facts, ranked, all_bids(facts, (bid,)), today=facts.shop.today), 1, ())


def jobs_of(found: Comparison, name: str) -> JobsReport:
    """A finished job of that name."""
    job = {
        "name": f"{shown(name)} j",
        "date": "2026-10-12",
        "tasks": [{"task": "run-cable", "quantity": 2, "hours": "3 h", "crew": "electrician"}],
    }
    catalog = found.facts.catalog.model_copy(update={"jobs": [Job.model_validate(job)]})
    return jobs_report(catalog, found.facts.shop.crews, invented=True)


def told_before(found: Comparison) -> list[dict[str, str | int]]:
    """What `check` asks before there is a plan."""
    return as_dicts(before_problems(noted_before(found.facts)))


FORMATS: dict[str, tuple[Callable[..., str | bytes], Callable[..., None]]] = {
    "compare": (lambda found, _: first_screen(found), is_text),
    "compare --show all": (lambda found, _: comparison_text(found), is_text),
    "compare, JSON": (lambda found, _: json_text(comparison_data(found)), is_json),
    "compare, CSV": (lambda found, _: lines_csv(found), is_csv),
    "size": (lambda found, _: sizes_text(found.facts, None), is_text),
    "shopping": (lambda found, _: shopping_text(shopping_list(found)), is_text),
    "shopping, CSV": (lambda found, _: shopping_csv(shopping_list(found)), is_csv),
    "shopping, page": (lambda found, _: shopping_page(shopping_list(found)), is_page),
    "shopping, workbook": (lambda found, _: shopping_book(shopping_list(found)), is_book),
    "scope": (lambda found, _: scope_text(scope_sheet(found)), is_text),
    "scope, CSV": (lambda found, _: scope_csv(scope_sheet(found)), is_csv),
    "scope, page": (lambda found, _: scope_page(scope_sheet(found)), is_page),
    "next": (lambda _, name: next_text(priced(name)), is_text),
    "next, JSON": (
        lambda _, name: json_text(next_data(NextAnswer(tuple(priced(name))))),
        is_json_of_a_machine,
    ),
    "bids": (lambda found, name: bids_text(bids_of(found, name)), is_text),
    "bids, JSON": (lambda found, name: json_text(bids_data(bids_of(found, name))), is_json_of_bids),
    "jobs": (lambda found, name: jobs_text(jobs_of(found, name)), is_text),
    "jobs, JSON": (lambda found, name: json_text(jobs_data(jobs_of(found, name))), is_json_of_jobs),
    "jobs, CSV": (lambda found, name: jobs_csv(jobs_of(found, name)), is_csv),
    "cautions": (lambda found, _: noted_text(noted(found.facts, found.plans[0])), is_plain),
    "cautions, JSON": (
        lambda found, _: json_text(remarks_data(noted(found.facts, found.plans[0]))),
        is_remarks,
    ),
    "check, JSON": (lambda found, _: json_text(told_before(found)), is_json_of_questions),
}


@pytest.mark.parametrize("format_", FORMATS)
@pytest.mark.parametrize("kind", HOSTILE)
def test_a_hostile_name_is_a_name_in_every_format(kind: str, format_: str) -> None:
    write, looks = FORMATS[format_]

    looks(write(compared(HOSTILE[kind]), HOSTILE[kind]), HOSTILE[kind])


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
