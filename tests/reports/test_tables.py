"""Tables that fit: no line wider than asked, no word lost, numbers never cut."""

import random

from hypothesis import given
from hypothesis import strategies as st

from costplan.reports.budget import Block, filled_rows, listed, points, within
from costplan.reports.strategies_text import heading
from costplan.reports.tables import fitted


def drawn_rows(seed: int) -> list[list[str]]:
    """Rows of words and numbers, some cells empty, some as long as a sentence."""
    draw = random.Random(seed)

    def words() -> str:
        return " ".join("abcdefghi"[: draw.randint(1, 9)] for _ in range(draw.choice((0, 1, 4, 12))))

    def number() -> str:
        return f"{draw.choice((0, 1, 10**4, 10**7)) * draw.uniform(-1, 1):,.2f}"

    return [[words(), number(), words(), number(), words()] for _ in range(draw.randint(1, 6))]


@given(seed=st.integers(0, 2**32), width=st.integers(40, 140))
def test_a_table_is_no_wider_than_asked_and_loses_nothing(seed: int, width: int) -> None:
    rows = drawn_rows(seed)
    headers = ["name", "amount today", "what", "worth", "where it comes from"]
    text = fitted(headers, rows, {1, 3}, width)
    assert max(map(len, text.splitlines())) <= width
    printed = sorted(word.strip(";") for word in text.split())
    for row in rows:
        for word in " ".join(row).split():
            assert word in printed


def test_what_does_not_fit_stands_under_its_row() -> None:
    rows = [["saw", "by a cord from the panel beside the door", "1,234.56"]]
    assert fitted(["machine", "way", "total"], rows, {2}, 40, under=(1,)) == (
        "machine  way                       total\n"
        "-------  ---------------------  --------\n"
        "saw      by a cord from the     1,234.56\n"
        "         panel beside the door"
    )
    assert fitted(["machine", "way", "total"], rows, {2}, 30, under=(1,)) == (
        "machine     total\n"
        "-------  --------\n"
        "saw      1,234.56\n"
        "    way: by a cord from the\n"
        "    panel beside the door"
    )


def test_numbers_that_do_not_fit_make_records() -> None:
    rows = [["saw", "1,234,567.00", "-1,234,567.00", ""]]
    assert fitted(["", "cash", "comes back", "year"], rows, {1, 2, 3}, 24) == (
        "saw\n  cash: 1,234,567.00\n  comes back:\n    -1,234,567.00"
    )


def test_a_block_is_given_its_least_then_room_by_rank_and_the_last_gives_up_first() -> None:
    def block(name: str, least: int, rank: int) -> Block:
        return Block(lambda rows: [f"{name}{n}" for n in range(min(rows, 4))], least, rank)

    blocks = [block("a", 2, 1), block("b", 1, 0)]
    assert within(blocks, 6) == ["a0", "a1", "b0", "b1", "b2", "b3"]
    assert within(blocks, 2) == ["a0", "b0"]
    assert within(blocks, 9) == ["a0", "a1", "a2", "a3", "b0", "b1", "b2", "b3"]


def test_what_is_shortened_says_so() -> None:
    assert filled_rows("one two three four", 1, 12) == ["one two ..."]
    assert listed("x: ", ["one", "two", "three"], 1, 22, ": --all") == ["x: one; two; three"]
    assert listed("x: ", ["one", "two", "three", "four five"], 1, 24, ": all") == ["x: one; and 3 more: all"]
    assert listed("x: ", ["one two three four", "fifty six"], 1, 28, ": all") == [
        "x: one ...; and 1 more: all"
    ]
    assert points(["! one", "? two", "? three"], 2, 20, ": check") == ["! one", "  and 2 more: check"]


def test_one_column_for_both_is_headed_all_new_where_nothing_used_is_sold() -> None:
    """The words stand above the note that no used parts are in the catalog, so they must not say that some are allowed."""
    assert [heading(column, used=False) for column in ("new", "surplus")] == ["all new", "all new"]
    assert heading("surplus", used=True) == "used parts allowed"
