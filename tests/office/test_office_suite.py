"""The papers in a real office suite: formulas recalculated, CSV read and written again, nothing lost or run."""

import csv
import io
import re
import shutil
import subprocess
import zipfile
from functools import cache
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from bought_today import bought_today
from openpyxl import load_workbook
from strategies import MARKETS, make_catalog, make_shop, offer, piece, ranked

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need, make_spec
from costplan.reports.scope import scope_sheet
from costplan.reports.scope_text import scope_csv
from costplan.reports.shopping import ShoppingList, list_of
from costplan.reports.shopping_book import shopping_book
from costplan.reports.shopping_text import shopping_csv
from costplan.studies.comparison import compare
from costplan.studies.wanted import Wanted

SUITE = shutil.which("soffice")
needs_suite = pytest.mark.skipif(
    SUITE is None, reason="LibreOffice is missing: apt-get install libreoffice-calc"
)
NASTY = ("=1+1", "+1 in", "-1 in", "@sum(A1)", "=HYPERLINK(1)", "a;b,c\"d\ne'f", "ä ½ in", "0012", "1e5")


@cache
def listed(market: str) -> ShoppingList:
    catalog = make_catalog(**MARKETS[market])
    shop = make_shop()
    return list_of(Facts(shop, catalog), ranked(shop, catalog)[0])


def converted(file: Path, to: str, *options: str) -> Path:
    """The file as the office suite writes it anew."""
    assert SUITE is not None
    folder = file.parent / "converted"
    profile = f"-env:UserInstallation={(file.parent / 'profile').as_uri()}"
    command = [SUITE, "--headless", profile, *options, "--convert-to", to, "--outdir", str(folder), str(file)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=180, check=False)
    result = folder / f"{file.stem}.{to}"
    assert result.exists(), done.stderr
    return result


def without_values(book: bytes) -> bytes:
    """The workbook without the values its formulas carry, so that whoever reads it must calculate."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(book)) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            content = old.read(name)
            if name.startswith("xl/worksheets/sheet"):
                content = re.sub(rb"(</f>)<v>[^<]*</v>", rb"\1", content)
            new.writestr(name, content)
    return out.getvalue()


def recalculated(folder: Path, book: bytes) -> Any:
    """The workbook with every formula worked out by the office suite."""
    file = folder / "list.xlsx"
    file.write_bytes(without_values(book))
    return load_workbook(converted(file, "xlsx"), data_only=True)


def cents(cell: Any) -> int:
    assert cell.value is not None
    return round(cell.value * 100)


def half_cents() -> ShoppingList:
    """Tax that falls on half a cent for each piece: 7 % of 1.50, 2.50 and of 5 ft at 0.50."""
    catalog = make_catalog(
        [
            offer("receptacle-6-20", "store", "1.50"),
            offer("plug-6-20", "store", "2.50"),
            offer("nm-12-2", "store", "0.50", "ft"),
        ],
        suppliers=[{"id": "store", "name": "Joe's (invented)", "tax": "7 %", "cut_charge": "1.25"}],
    )
    needs = {
        Need(make_spec(kind, {"configuration": "NEMA 6-20"}), 1): count
        for kind, count in (("receptacle", 3), ("plug", 5))
    }
    facts, plan = bought_today(catalog, {**needs, piece(5): 2, piece(15): 1})
    return list_of(facts, plan)


@needs_suite
@pytest.mark.parametrize("market", [*MARKETS, "half cents"])
def test_the_office_suite_comes_to_the_same_totals(market: str, tmp_path: Path) -> None:
    of = half_cents() if market == "half cents" else listed(market)
    workbook = recalculated(tmp_path, shopping_book(of))
    first = workbook["All orders"]
    amounts = [cents(first.cell(row, 2)) for row in range(5, 6 + len(of.orders))]
    assert amounts == [*(order.total_cents for order in of.orders), of.total_cents]
    for sheet, order in zip(workbook.worksheets[1:], of.orders, strict=False):
        lines = range(5, 5 + len(order.parts))
        assert [cents(sheet.cell(row, 7)) for row in lines] == [part.amount_cents for part in order.parts]
        assert [cents(sheet.cell(row, 8)) for row in lines] == [part.tax_cents for part in order.parts]


@needs_suite
def test_a_price_typed_in_changes_amount_tax_delivery_and_total(tmp_path: Path) -> None:
    """Five at 10.00 and 18.00 delivery; at 13.00 the goods reach 64.00 and the delivery goes."""
    catalog = make_catalog(
        [offer("receptacle-6-20", "post", 10)],
        suppliers=[
            {"id": "post", "name": "By Post (invented)", "delivery": 18, "free_over": 64, "tax": "7 %"}
        ],
    )
    need = Need(make_spec("receptacle", {"configuration": "NEMA 6-20"}), 1)
    facts, plan = bought_today(catalog, {need: 5})
    of = list_of(facts, plan)
    assert of.total_cents == 5000 + 350 + 1800
    workbook = load_workbook(io.BytesIO(shopping_book(of)))
    workbook["By Post (invented)"]["F5"] = 13
    changed = io.BytesIO()
    workbook.save(changed)
    first = recalculated(tmp_path, changed.getvalue())["All orders"]
    assert cents(first["B5"]) == 6500 + 455
    assert cents(first["B6"]) == 6500 + 455


def nasty_csv() -> str:
    """A list in which every word of the user's is as bad as can be."""
    catalog = make_catalog(
        [offer(f"part {i}", "store", i + 1, note=word) for i, word in enumerate(NASTY)],
        suppliers=[{"id": "store", "name": "=cmd"}],
        kinds=[{"kind": "thing", "attributes": ["shade"]}],
        more_parts=[
            {"id": f"part {i}", "kind": "thing", "name": word, "attributes": {"shade": word}}
            for i, word in enumerate(NASTY)
        ],
    )
    facts, plan = bought_today(catalog, {Need(make_spec("thing", {"shade": w}), 1): 1 for w in NASTY})
    return shopping_csv(list_of(facts, plan))


def scope_as_csv() -> str:
    return scope_csv(scope_sheet(compare(Facts(make_shop(), make_catalog()), Wanted(plans=2))))


PAPERS = {
    "shopping": lambda: shopping_csv(listed("reels")),
    "nasty": nasty_csv,
    "scope": scope_as_csv,
}


@pytest.mark.parametrize("paper", PAPERS)
def test_csv_survives_pandas(paper: str) -> None:
    text = PAPERS[paper]()
    frame = pd.read_csv(io.StringIO(text), dtype=str, keep_default_na=False)
    assert len(frame) > 3
    assert frame.to_csv(index=False, lineterminator="\n") == text


def test_pandas_adds_up_the_amounts() -> None:
    frame = pd.read_csv(io.StringIO(shopping_csv(listed("delivery"))))
    assert round(frame["amount"].sum() * 100) == listed("delivery").total_cents


@needs_suite
@pytest.mark.parametrize("paper", PAPERS)
def test_csv_survives_the_office_suite(paper: str, tmp_path: Path) -> None:
    """Read as text columns where it matters: every cell comes back, and none became a formula."""
    text = PAPERS[paper]()
    file = tmp_path / "paper.csv"
    file.write_text(text, encoding="utf-8", newline="")
    columns = len(text.splitlines()[0].split(","))
    as_text = "/".join(f"{column}/2" for column in range(1, columns + 1))
    book = converted(file, "xlsx", f"--infilter=CSV:44,34,76,1,{as_text}")
    sheet = load_workbook(book).worksheets[0]
    back = [["" if cell.value is None else str(cell.value) for cell in row] for row in sheet.iter_rows()]
    rows = list(csv.reader(io.StringIO(text)))
    assert [row[:columns] for row in back] == rows
    assert not [cell for row in sheet.iter_rows() for cell in row if cell.data_type == "f"]


@needs_suite
def test_no_formula_runs_when_the_csv_is_simply_opened(tmp_path: Path) -> None:
    """With the suite's own guesses of what is a number, as a double click would do."""
    file = tmp_path / "paper.csv"
    file.write_text(nasty_csv(), encoding="utf-8", newline="")
    sheet = load_workbook(converted(file, "xlsx", "--infilter=CSV:44,34,76,1")).worksheets[0]
    cells = [cell for row in sheet.iter_rows() for cell in row]
    assert len(cells) > 50
    assert not [cell for cell in cells if cell.data_type == "f"]
