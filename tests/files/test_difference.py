import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costplan.files.difference import Edit, difference_text, edited, joined, row_texts, with_cells

CELL = st.text(alphabet='ab ,;"\n\r\té', max_size=6)
ROWS = st.lists(st.lists(CELL, min_size=1, max_size=4), min_size=1, max_size=6)


def parsed(text: str, delimiter: str = ",") -> list[list[str]]:
    return list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))


@st.composite
def files(draw: st.DrawFn) -> tuple[str, str]:
    """A CSV text with its delimiter: any line ends, blank lines, with or without the last line end."""
    delimiter = draw(st.sampled_from(",;\t"))
    line_end = draw(st.sampled_from(["\n", "\r\n"]))
    lines = [joined(cells, delimiter) for cells in draw(ROWS)]
    for at in draw(st.lists(st.integers(0, len(lines)), max_size=2)):
        lines.insert(at, "")
    return line_end.join(lines) + draw(st.sampled_from(["", line_end])), delimiter


@given(files(), st.data())
def test_every_other_row_is_kept_character_for_character(file: tuple[str, str], data: st.DataObject) -> None:
    text, delimiter = file
    rows = row_texts(text, delimiter)
    assert len(rows) == len(parsed(text, delimiter))
    changed = data.draw(st.sets(st.integers(1, len(rows))) if rows else st.just(set()))
    removed = {row for row in changed if data.draw(st.booleans())}
    added_after = data.draw(st.lists(st.integers(1, max(1, len(rows))), max_size=2)) if rows else []
    edits = [Edit(row, rows[row - 1], None if row in removed else f"new{row}") for row in sorted(changed)]
    edits += [Edit(row, None, f"more{at}") for at, row in enumerate(added_after)]

    expected = []
    for row, old in enumerate(rows, 1):
        expected += [] if row in removed else [f"new{row}" if row in changed else old]
        expected += [f"more{at}" for at, after in enumerate(added_after) if after == row]

    assert row_texts(edited(text, edits, delimiter), delimiter) == expected
    assert edited(text, [], delimiter) == text


@given(files(), st.data())
def test_cells_are_replaced_one_by_one(file: tuple[str, str], data: st.DataObject) -> None:
    text, delimiter = file
    for row, cells in zip(row_texts(text, delimiter), parsed(text, delimiter), strict=True):
        position, cell = data.draw(st.integers(0, 5)), data.draw(CELL)
        after = with_cells(row, {position: cell}, delimiter)
        expected = cells + [""] * (position + 1 - len(cells))
        expected[position] = cell
        assert [*(parsed(after, delimiter) or [[]])[0], ""][: len(expected)] == expected or expected == [""]
        assert with_cells(row, {}, delimiter) == row


def test_line_ends_and_a_missing_last_one_are_kept() -> None:
    text = "part,price\r\na,1\r\nb,2"

    assert edited(text, [Edit(3, None, "c,3")], ",") == "part,price\r\na,1\r\nb,2\r\nc,3"
    assert edited(text, [Edit(2, None, "c,3")], ",") == "part,price\r\na,1\r\nc,3\r\nb,2"
    assert edited(text, [Edit(3, "b,2", None)], ",") == "part,price\r\na,1\r\n"


def test_a_row_that_is_not_what_it_was_is_left_alone() -> None:
    with pytest.raises(ValueError, match="row 2 is not what it was"):
        edited("part,price\na,1\n", [Edit(2, "a,2", "a,3")], ",")
    with pytest.raises(ValueError, match="no row 5"):
        edited("part,price\na,1\n", [Edit(5, "a,2", "a,3")], ",")


def test_the_difference_shows_old_and_new_and_counts_the_rest() -> None:
    edits = [Edit(2, "a,1", "a,2"), Edit(2, None, "b,3"), *(Edit(row, "x", None) for row in range(5, 9))]

    text = difference_text("offers.csv", edits, at_most=3)

    assert text.splitlines() == [
        "offers.csv, row 2",
        "  - a,1",
        "  + a,2",
        "offers.csv, new row after row 2",
        "  + b,3",
        "offers.csv, row 5",
        "  - x",
        "offers.csv, and 3 more rows",
    ]


def test_new_rows_that_go_to_one_place_are_told_once() -> None:
    edits = [Edit(1, None, "a,1"), Edit(1, None, "b,2"), Edit(4, None, "c,3")]
    assert difference_text("offers.csv", edits).splitlines() == [
        *("offers.csv, 2 new rows after row 1", "  + a,1", "  + b,2"),
        *("offers.csv, new row after row 4", "  + c,3"),
    ]
