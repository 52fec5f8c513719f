"""The pages printed by a real browser: no row is cut between pages, nothing runs over the edge."""

import re
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from strategies import MARKETS, make_catalog, make_shop, ranked

from costplan.circuits.facts import Facts
from costplan.reports.page import scope_page, shopping_page
from costplan.reports.scope import ScopeSheet, scope_sheet
from costplan.reports.shopping import ShoppingList, list_of
from costplan.studies.comparison import compare
from costplan.studies.wanted import Wanted

BROWSER = next((found for name in ("chromium", "chromium-browser") if (found := shutil.which(name))), None)
TEXT_OF = shutil.which("pdftotext")
pytestmark = [
    pytest.mark.skipif(BROWSER is None, reason="Chromium is missing: apt-get install chromium"),
    pytest.mark.skipif(TEXT_OF is None, reason="pdftotext is missing: apt-get install poppler-utils"),
]
PAPERS = {"Letter": (612, 792), "A4": (595, 842)}
"""Width and height in points."""
ROWS = 90
MARGIN_POINTS = 12 / 25.4 * 72


def long_words(number: int) -> str:
    """A text that wraps over several lines, its first and last word marked."""
    return f"start{number} " + "a part with quite a long name " * 5 + f"end{number}"


@cache
def long_list() -> ShoppingList:
    catalog = make_catalog(**MARKETS["reels"])
    shop = make_shop()
    of = list_of(Facts(shop, catalog), ranked(shop, catalog)[0])
    part = next(part for order in of.orders for part in order.parts)
    many = tuple(
        replace(
            part, described=long_words(n), note="x" * 70, pieces=(), reels=(), substitutes=(), offer_row=0
        )
        for n in range(ROWS)
    )
    return replace(of, orders=(replace(of.orders[0], parts=many), *of.orders[1:]))


@cache
def long_scope() -> ScopeSheet:
    sheet = scope_sheet(compare(Facts(make_shop(), make_catalog()), Wanted(plans=3)))
    row = sheet.circuits[0]
    many = tuple(replace(row, number=n, outlet=long_words(n), cord="") for n in range(ROWS // 3))
    work = sheet.work[0]
    tasks = tuple(replace(work, what=long_words(1000 + n), lines=()) for n in range(ROWS // 3))
    return replace(sheet, circuits=many, work=tasks)


def printed(page: str, paper: str, folder: Path) -> Path:
    """The page as the browser prints it on that paper."""
    assert BROWSER is not None
    file, pdf = folder / "page.html", folder / "page.pdf"
    file.write_text(page.replace("@page {", f"@page {{ size: {paper};", 1), encoding="utf-8")
    flags = ["--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer"]
    profile = f"--user-data-dir={folder / 'profile'}"
    command = [BROWSER, *flags, profile, f"--print-to-pdf={pdf}", file.as_uri()]
    subprocess.run(command, capture_output=True, timeout=120, check=False)
    assert pdf.exists()
    return pdf


def words_of(pdf: Path) -> Iterator[tuple[int, float, float, float, float, str]]:
    """Every word with its page, its box and the page's width."""
    assert TEXT_OF is not None
    done = subprocess.run([TEXT_OF, "-bbox", str(pdf), "-"], capture_output=True, text=True, check=True)
    page = 0
    width = height = 0.0
    for line in done.stdout.splitlines():
        size = re.search(r'<page width="([\d.]+)" height="([\d.]+)"', line)
        if size:
            page, width, height = page + 1, float(size[1]), float(size[2])
        word = re.search(
            r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*)</word>', line
        )
        if word:
            yield page, float(word[1]), float(word[3]), width, height - float(word[4]), word[5]


PAGES = {"shopping list": lambda: shopping_page(long_list()), "scope sheet": lambda: scope_page(long_scope())}


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("what", PAGES)
def test_no_row_is_cut_and_nothing_runs_over_the_edge(what: str, paper: str, tmp_path: Path) -> None:
    words = list(words_of(printed(PAGES[what](), paper, tmp_path)))
    pages = {page for page, *_ in words}
    assert len(pages) > 3
    assert {round(width) for _, _, _, width, _, _ in words} == {PAPERS[paper][0]}
    starts = {word[5:]: page for page, *_, word in words if re.fullmatch(r"start\d+", word)}
    ends = {word[3:]: page for page, *_, word in words if re.fullmatch(r"end\d+", word)}
    assert len(starts) >= ROWS // 2
    assert starts == ends
    for _, left, right, width, above_bottom, word in words:
        assert left >= MARGIN_POINTS - 1, word
        assert right <= width - MARGIN_POINTS + 1, word
        assert above_bottom >= MARGIN_POINTS - 1, word


@pytest.mark.parametrize("paper", PAPERS)
def test_the_head_of_a_table_is_printed_on_every_page_of_it(paper: str, tmp_path: Path) -> None:
    words = list(words_of(printed(shopping_page(long_list()), paper, tmp_path)))
    rows = {page for page, *_, word in words if re.fullmatch(r"start\d+.*", word)}
    heads = {page for page, *_, word in words if word == "condition"}
    assert len(rows) > 2
    assert rows <= heads
