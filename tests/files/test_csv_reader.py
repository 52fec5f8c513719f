import pytest

from costplan.files.csv_reader import looks_like_a_date, parse_table

KNOWN = ("part", "price", "note")


@pytest.mark.parametrize("sign", [",", ";", "\t"])
def test_rows_keep_the_number_a_spreadsheet_shows(sign: str) -> None:
    text = 'part,price,note\n\nA,1,"two\nlines"\nB,2,\n'.replace(",", sign)
    table = parse_table(text, "x.csv", KNOWN, KNOWN[:2])

    assert table.first_row == 2
    assert [row[0] if row else "" for row in table.rows] == ["", "A", "B"]
    assert str(table.at(4, "price")) == "x.csv:4, column B (price)"


def test_columns_may_stand_in_any_order_and_case() -> None:
    table = parse_table(" Price ,PART\n1,A\n", "x.csv", KNOWN, KNOWN[:2])

    assert table.columns == {"price": 0, "part": 1}
    assert not table.problems


@pytest.mark.parametrize(
    ("cell", "before"),
    [
        ("20-Jun", "6-20"),
        ("Jun-20", "6-20"),
        ("3-Dec", "12/3"),
        ("2025-06-20", "6-20"),
        ("12/3/2025", "12/3"),
        ("20-June-25", "6-20"),
    ],
)
def test_dates_are_traced_back(cell: str, before: str) -> None:
    assert before in looks_like_a_date(cell)


@pytest.mark.parametrize("cell", ["6-20", "R-6-20", "12/3", "L6-30", "", "June bug", "20-Jux"])
def test_ids_are_not_taken_for_dates(cell: str) -> None:
    assert looks_like_a_date(cell) == ()
