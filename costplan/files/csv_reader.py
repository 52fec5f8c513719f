"""Tables as people keep them in a spreadsheet: read whole, with the row and column letter of every cell.

A byte order mark, semicolons and tabs are accepted and noted; a header that does not fit is explained.
"""

import csv
import gc
import io
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

from costplan.files.problems import At, Problem, nearest
from costplan.files.text_reader import read_text
from costplan.files.visible import beginning, first_invisible, visible

_DELIMITERS = {",": "commas", ";": "semicolons", "\t": "tabs"}
_MONTH = "(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*"
_DATE_LIKE = re.compile(
    rf"(?P<d>[0-9]{{1,2}})[- ](?P<m>{_MONTH})(?:[- ]([0-9]{{2,4}}))?|(?P<m2>{_MONTH})[- ](?P<d2>[0-9]{{1,4}})"
    r"|(?P<y3>[0-9]{4})-(?P<m3>[0-9]{2})-(?P<d3>[0-9]{2})|(?P<m4>[0-9]{1,2})/(?P<d4>[0-9]{1,2})/[0-9]{2,4}",
    re.IGNORECASE,
)
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


@dataclass(frozen=True)
class Table:
    """A table, read: the rows after the header, of which the first is row `first_row` of the file.

    `columns` gives for each known name its position. `cells` holds one column for each position, of the rows
    that have as many cells as the header; `odd_rows` are the others as they are, by their index.
    """

    path: str
    header: tuple[str, ...]
    columns: dict[str, int]
    cells: tuple[Sequence[str], ...]
    odd_rows: Mapping[int, list[str]]
    first_row: int
    problems: tuple[Problem, ...]

    def at(self, row: int, name: str) -> At:
        """The place of a cell, by the row's number in the file."""
        return At(self.path, row, self.columns[name] + 1, name)

    @cached_property
    def count(self) -> int:
        """How many rows there are after the header."""
        return len(self.odd_rows) + (len(self.cells[0]) if self.cells else 0)

    @cached_property
    def sound(self) -> Sequence[int]:
        """The indexes of the rows that have as many cells as the header."""
        if not self.odd_rows:
            return range(self.count)
        return [index for index in range(self.count) if index not in self.odd_rows]

    @cached_property
    def rows(self) -> list[list[str]]:
        """Every row after the header, in order."""
        fit = map(list, zip(*self.cells, strict=True))
        return [self.odd_rows[index] if index in self.odd_rows else next(fit) for index in range(self.count)]


def read_table(path: Path, known: Sequence[str], required: Sequence[str]) -> Table:
    """Read a table with a header of `known` names, of which the `required` ones must be there.

    With an error among its problems, its rows are empty.
    """
    file = read_text(path)
    if file.text is None:
        return _no_table(file.path, file.problems)
    table = parse_table(file.text, file.path, known, required)
    if not file.had_mark:
        return table
    message = "begins with a byte order mark, as some spreadsheets write it; it was skipped"
    note = Problem(
        "table-byte-order-mark", At(file.path, 1), "", message, "nothing need be done", severity="question"
    )
    return replace(table, problems=(note, *table.problems))


def parse_table(text: str, path: str, known: Sequence[str], required: Sequence[str]) -> Table:
    """Read a table's text as `read_table` does; `path` is what messages call it."""
    rows = parse_rows(text, path, known)
    if rows.problems:
        return _no_table(path, rows.problems)
    header = tuple(cell.lower() for cell in rows.header)
    problems = _header_problems(path, rows.first_row - 1, header, known, required)
    if any(problem.severity == "error" for problem in problems):
        return _no_table(path, problems)
    if rows.delimiter != ",":
        message = f"is separated by {_DELIMITERS[rows.delimiter]}, and was read so"
        mend = "save it with commas to be rid of this note; decimals are written with a point either way"
        problems.append(
            Problem("table-separator", At(path, rows.first_row - 1), "", message, mend, severity="question")
        )
    columns = {name: index for index, name in enumerate(header) if name}
    return Table(path, header, columns, rows.cells, rows.odd_rows, rows.first_row, tuple(problems))


@dataclass(frozen=True, slots=True)
class Rows:
    """A text's rows whatever its header says; the fields are those of Table, `delimiter` parts the cells.

    With a problem there is neither header nor row.
    """

    delimiter: str
    header: tuple[str, ...]
    cells: tuple[Sequence[str], ...]
    odd_rows: Mapping[int, list[str]]
    first_row: int
    problems: tuple[Problem, ...] = ()


def parse_rows(text: str, path: str, likely: Sequence[str]) -> Rows:
    """The header and the rows of a table's text. `likely` are header names in lower case.

    What parts the cells is the sign that parts the first line into most of the likely names.
    """

    def fail(problem: Problem) -> Rows:
        return Rows(",", (), (), {}, 2, (problem,))

    if not text.strip():
        return fail(
            Problem("file-empty", At(path), "", "is empty", f"begin with the header {','.join(likely)}")
        )
    odd = first_invisible(text)
    if odd:
        line = text.count("\n", 0, odd.start()) + 1
        message = f"holds a sign that nobody sees ({visible(odd[0])})"
        mend = "delete it, or save the file again as CSV with UTF-8"
        return fail(Problem("file-odd-character", At(path, line), "", message, mend))
    delimiter = _delimiter(text, likely)
    with without_garbage_collection():
        try:
            return _parted(
                csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True), delimiter
            )
        except csv.Error as error:
            return fail(_quote_problem(path, text, delimiter, error))


def _parted(reader: Iterable[list[str]], delimiter: str) -> Rows:
    """The rows by columns. Raises csv.Error."""
    rows = list(reader)
    first = next((index for index, row in enumerate(rows) if any(map(str.strip, row))), 0)
    header = tuple(map(str.strip, rows[first]))
    body, uneven = rows[first + 1 :], dict[int, list[str]]()
    if set(map(len, body)) - {len(header)}:
        uneven = {index: row for index, row in enumerate(body) if len(row) != len(header)}
        body = [row for row in body if len(row) == len(header)]
    cells: tuple[Sequence[str], ...] = tuple(zip(*body, strict=True)) if body else ((),) * len(header)
    return Rows(delimiter, header, cells, uneven, first + 2)


@contextmanager
def without_garbage_collection() -> Iterator[None]:
    """Rows make no cycles, and looking for them takes a third of the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


_FIRST_LINE = re.compile(r"[^\r\n]*\S[^\r\n]*")


def _no_table(path: str, problems: Sequence[Problem]) -> Table:
    return Table(path, (), {}, (), {}, 2, tuple(problems))


def shape_problem(table: Table, row: int, cells: Sequence[str]) -> Problem:
    """What to say of a row with more or fewer cells than the header."""
    more = len(cells) > len(table.header)
    said = f"has {len(cells)} cells, the header has {len(table.header)}"
    mend = (
        "a comma inside a cell needs quotes around the cell"
        if more
        else "is a cell missing? Blank cells need their comma"
    )
    return Problem(
        "table-row-too-long" if more else "table-row-too-short", At(table.path, row), "", said, mend
    )


def looks_like_a_date(cell: str) -> tuple[str, ...]:
    """What a spreadsheet may have turned into this date: `20-Jun` was `6-20` or `6/20`.

    Empty when it is no date.
    """
    found = _DATE_LIKE.fullmatch(cell.strip())
    if found is None:
        return ()
    word = found["m"] or found["m2"]
    month = _MONTHS.index(word[:3].lower()) + 1 if word else int(found["m3"] or found["m4"])
    day = int(found["d"] or found["d2"] or found["d3"] or found["d4"])
    return tuple(f"{first}{sign}{second}" for sign in "-/" for first, second in ((month, day), (day, month)))


def _delimiter(text: str, known: Sequence[str]) -> str:
    found = _FIRST_LINE.search(text)
    header = found[0] if found else ""

    def fit(delimiter: str) -> tuple[int, int]:
        cells = header.split(delimiter)
        return sum(cell.strip().strip('"').lower() in known for cell in cells), len(cells)

    return max(_DELIMITERS, key=fit)


def _header_problems(
    path: str, row: int, header: Sequence[str], known: Sequence[str], required: Sequence[str]
) -> list[Problem]:
    problems = []
    if sum(name in known for name in header) < 2:
        message = "the first row is no header"
        return [Problem("table-no-header", At(path, row), "", message, f"begin with {','.join(known)}")]
    free = [name for name in known if name not in header]
    for index, name in enumerate(header):
        at = At(path, row, index + 1, name or "no name")
        if name in header[:index] and name:
            first = header.index(name) + 1
            message = (
                f'"{name}" stands twice in the header, also in column {At(path, row, first, name)}'.replace(
                    f"column {path}:{row}, ", ""
                )
            )
            problems.append(Problem("table-repeated-column", at, "", message, "keep one of them"))
        elif name and name not in known:
            guess = nearest(name, free)
            mend = f"allowed: {', '.join(known)}" + (f'. Did you mean "{guess}"?' if guess else "")
            problems.append(
                Problem(
                    "table-unknown-column", at, "", f'"{beginning(name)}" is not a column known here', mend
                )
            )
    missing = [name for name in required if name not in header]
    if missing:
        message = f"the header lacks {', '.join(missing)}"
        problems.append(
            Problem("table-missing-column", At(path, row), "", message, f"the header is {','.join(known)}")
        )
    return problems


def _quote_problem(path: str, text: str, delimiter: str, error: csv.Error) -> Problem:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    row = 0
    try:
        for _ in reader:
            row += 1
    except csv.Error:
        pass
    if "field larger" in str(error) or "unexpected end" in str(error):
        message = "begins a quote that is never closed"
    else:
        message = "has a quote in the middle of a cell"
    mend = 'close it, or write "" for a quote inside a quoted cell; inches are written in'
    return Problem("table-quote", At(path, row + 1), "", message, mend)
