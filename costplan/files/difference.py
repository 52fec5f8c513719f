"""Rows of a CSV text changed, added or taken out, all else left character for character; the change shown."""

import csv
import io
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

MOST_SHOWN = 40


@dataclass(frozen=True, slots=True)
class Edit:
    """One row to change. `row` is its number as a spreadsheet counts; texts are without the line's end.

    `before` is None for a new row, which goes after `row`; `after` is None for a row that is taken out.
    """

    row: int
    before: str | None
    after: str | None


@dataclass(frozen=True, slots=True)
class _Span:
    start: int
    end: int
    next_start: int


def row_texts(text: str, delimiter: str) -> list[str]:
    """The text of every row without its line's end, in order. Raises csv.Error for an unclosed quote."""
    return [text[span.start : span.end] for span in _spans(text, delimiter)]


def edited(text: str, edits: Sequence[Edit], delimiter: str) -> str:
    """`text` with the edits made, every other row and line end as it was.

    Raises ValueError when a row does not read as an edit says it did, csv.Error for an unclosed quote.
    """
    spans = list(_spans(text, delimiter))
    changed: dict[int, Edit] = {}
    added: dict[int, list[str]] = defaultdict(list)
    for edit in edits:
        if edit.before is None:
            added[edit.row].append(edit.after or "")
            continue
        if not 1 <= edit.row <= len(spans) or edit.row in changed:
            raise ValueError(f"there is no row {edit.row} to change, or it is changed twice")
        span = spans[edit.row - 1]
        if text[span.start : span.end] != edit.before:
            raise ValueError(f"row {edit.row} is not what it was")
        changed[edit.row] = edit
    line_end = _line_end(text)
    pieces: list[str] = []
    at = 0
    for row in sorted({*changed, *added}):
        span = spans[min(row, len(spans)) - 1] if spans and row else _Span(0, 0, 0)
        if row in changed:
            after = changed[row].after
            pieces += [
                text[at : span.start],
                *([] if after is None else [after, text[span.end : span.next_start]]),
            ]
            at = span.next_start
        if row in added:
            before = text[at : span.next_start]
            pieces.append(before)
            at = max(at, span.next_start)
            ended = span.next_start > span.end or span.next_start == 0
            for new in added[row]:
                pieces += [new, line_end] if ended else [line_end, new]
    return "".join([*pieces, text[at:]])


def joined(cells: Sequence[str], delimiter: str) -> str:
    """Cells as one row, quoted only where they must be; without a line's end."""
    line = io.StringIO(newline="")
    csv.writer(line, delimiter=delimiter, lineterminator="\r\n").writerow(cells)
    return line.getvalue().removesuffix("\r\n")


def with_cells(row_text: str, new: dict[int, str], delimiter: str) -> str:
    """A row's text with the cells at some positions replaced; the others keep their spelling and quotes."""
    raw = _raw_cells(row_text, delimiter)
    raw += [""] * (max(new, default=-1) + 1 - len(raw))
    for position, cell in new.items():
        # A lone blank cell would be quoted by the writer, which no one wants in the middle of a row.
        raw[position] = joined([cell], delimiter) if cell else ""
    return delimiter.join(raw)


def difference_text(name: str, edits: Sequence[Edit], at_most: int = MOST_SHOWN) -> str:
    """The edits for a person: each old row after a minus, each new row after a plus; long lists are counted.

    New rows that go to one place are told together.
    """
    lines = []
    shown = enumerate(edits[:at_most])
    for (row, new), together in groupby(
        shown, lambda numbered: (numbered[1].row, numbered[1].before is None)
    ):
        found = [edit for _, edit in together]
        rows = f"{len(found)} new rows" if len(found) > 1 else "new row"
        lines.append(f"{name}, {rows} after row {row}" if new else f"{name}, row {row}")
        for edit in found:
            lines += [f"  - {_one_line(edit.before)}"] if edit.before is not None else []
            lines += [f"  + {_one_line(edit.after)}"] if edit.after is not None else []
    if len(edits) > at_most:
        lines.append(f"{name}, and {len(edits) - at_most:,} more rows")
    return "\n".join(lines)


def _spans(text: str, delimiter: str) -> Iterator[_Span]:
    lines = list(io.StringIO(text, newline=""))
    ends = [0]
    for line in lines:
        ends.append(ends[-1] + len(line))
    reader = csv.reader(lines, delimiter=delimiter, strict=True)
    begun = 0
    for _ in reader:
        start, next_start = ends[begun], ends[reader.line_num]
        yield _Span(start, start + len(text[start:next_start].rstrip("\r\n")), next_start)
        begun = reader.line_num


def _raw_cells(row_text: str, delimiter: str) -> list[str]:
    cells: list[str] = []
    at = 0
    while True:
        end = at
        if row_text[at : at + 1] == '"':
            end = at + 1
            while (end := row_text.find('"', end)) >= 0 and row_text[end + 1 : end + 2] == '"':
                end += 2
        found = row_text.find(delimiter, end)
        if found < 0:
            return [*cells, row_text[at:]]
        cells.append(row_text[at:found])
        at = found + 1


def _line_end(text: str) -> str:
    first = text.find("\n")
    if first < 0:
        return "\r" if "\r" in text else "\n"
    return "\r\n" if text[first - 1 : first] == "\r" else "\n"


def _one_line(text: str | None) -> str:
    shown = (text or "").replace("\r", "").replace("\n", " / ")
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in shown)
