"""The quick way of splitting a table against csv.reader, the plain and slow one."""

import csv
import io
from unittest.mock import patch

from hypothesis import given, settings
from hypothesis import strategies as st

from costplan.files import csv_reader
from costplan.files.csv_reader import parse_rows, parse_table

HEADER = "part,price,note"


def slowly(text: str) -> tuple[list[list[str]], bool]:
    """The rows after the header, and whether the text can be read."""
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    except csv.Error:
        return [], False
    first = next(index for index, row in enumerate(rows) if any(map(str.strip, row)))
    return rows[first + 1 :], True


@settings(max_examples=400)
@given(
    st.lists(
        st.sampled_from(["a", '"', '""', ",", ",,", "\n", "\r\n", "\r", '"x,y"', " ", "\x01", "é", "1.50"])
    ),
    st.sampled_from(["", "\n", "\r\n"]),
    st.sampled_from(["", "price", "part"]),
)
def test_both_ways_read_the_same(pieces: list[str], end: str, apart: str) -> None:
    text = f"{HEADER}\n{''.join(pieces)}{end}"
    expected, can_be_read = slowly(text)

    with patch.object(csv_reader, "_LONG", 0):
        table = parse_table(text, "x.csv", HEADER.split(","), ["part"], apart)

    assert (table.problems == ()) is can_be_read
    assert table.rows == expected
    assert [len(row) for row in expected].count(3) == len(table.sound)


@given(st.lists(st.sampled_from(['"', "a", ",", "\n", " ", '"b"', "\t"]), min_size=1, max_size=8))
def test_headers_are_read_the_same(pieces: list[str]) -> None:
    text = "".join(pieces)
    if not text.strip():
        return
    rows = parse_rows(text, "x.csv", ())
    try:
        expected = list(csv.reader(io.StringIO(text, newline=""), delimiter=rows.delimiter, strict=True))
    except csv.Error:
        assert rows.problems
        return
    first = next((index for index, row in enumerate(expected) if any(map(str.strip, row))), 0)
    assert rows.header == tuple(cell.strip() for cell in expected[first])
    assert rows.first_row == first + 2


@given(
    st.lists(
        st.lists(
            st.sampled_from(["a", "", '"x,y"', '"two\nlines"', '"say ""hi"""', " b "]), min_size=5, max_size=5
        ),
        max_size=6,
    ),
    st.integers(0, 4),
)
def test_rows_cut_around_a_column_are_the_same_rows(rows: list[list[str]], position: int) -> None:
    names = ["v", "w", "x", "y", "z"]
    text = "\n".join([",".join(names), *(",".join(cells) for cells in rows)])
    expected, _ = slowly(text)

    with patch.object(csv_reader, "_LONG", 0):
        table = parse_table(text, "x.csv", names, ["v"], names[position])

    assert isinstance(table.read, csv_reader.Apart) is (0 < position < 4 and bool(rows))
    assert table.rows == expected
    assert table.count == len(expected)
