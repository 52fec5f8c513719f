"""Offers made when they are looked at against offers read one by one, and history.csv."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costplan.files.csv_reader import Table, parse_table
from costplan.model.catalog import Offer
from costplan.model.history import read_history
from costplan.model.offers import COLUMNS, READERS, REQUIRED, check_offers, read_offers

GOOD = {
    "part": ["a", " b ", "c"],
    "supplier": ["s", "t"],
    "condition": ["new", "Used", "new old stock"],
    "price": ["1.50", "", "$1,250", "0.125", "3"],
    "per": ["each", "EA", "box of 25", "100 ft"],
    "available": ["", "3", "1,000"],
    "seen": ["", "2026-11-01"],
    "note": ["", "x", " =1 "],
    "their_number": ["", "88-1", " 0012 "],
    "freight": ["", "26", "1.50"],
    "usable": ["", "60 %", "1"],
}
BAD = ["?", "-1", "20-Jun", "2026-13-01"]


@st.composite
def tables(draw: st.DrawFn) -> Table:
    names = draw(st.permutations(COLUMNS)) if draw(st.booleans()) else list(REQUIRED)
    odd = st.sampled_from(BAD) if draw(st.booleans()) else st.nothing()
    rows = draw(st.lists(st.tuples(*(st.sampled_from(GOOD[name]) | odd for name in names)), max_size=8))
    lines = [",".join(f'"{cell}"' if "," in cell else cell for cell in row) for row in rows]
    if draw(st.booleans()):
        lines.insert(draw(st.integers(0, len(lines))), draw(st.sampled_from(["", ",,", "a,s,new"])))
    text = "\n".join([",".join(names), *lines])
    return parse_table(text, "offers.csv", COLUMNS, REQUIRED)


def slowly(table: Table) -> tuple[list[Offer], set[int]]:
    """Each row by itself; and the rows that are bad."""
    offers, bad = [], set()
    for row, cells in enumerate(table.rows, table.first_row):
        if not any(cell.strip() for cell in cells):
            continue
        at = table.columns
        try:
            if len(cells) <= max(at[name] for name in REQUIRED):
                raise ValueError("short")
            fields = {
                name: READERS[name](cells[at[name]] if name in at and at[name] < len(cells) else "")
                for name in COLUMNS
            }
        except ValueError:
            bad.add(row)
        else:
            money = {"price_cents": fields.pop("price"), "freight_cents": fields.pop("freight")}
            offers.append(Offer(**fields, price_cents=None, row=row).model_copy(update=money))
    return offers, bad


@given(tables(), st.data())
def test_quickly_read_offers_are_those_read_one_by_one(table: Table, data: st.DataObject) -> None:
    expected, bad = slowly(table)
    parts = {"a", "b"}

    lazy, problems = check_offers(table, parts)

    assert {problem.at.line for problem in problems} >= bad
    known = [offer for offer in expected if offer.part not in ("20-Jun", "2026-13-01")]
    if lazy and data.draw(st.booleans()):
        at = data.draw(st.integers(-len(lazy), len(lazy) - 1))
        assert lazy[at] == known[at]
        assert lazy[at] is lazy[at] is list(lazy)[at]
    assert list(lazy) == known == read_offers(table, parts)[0]
    assert lazy[1:3] == known[1:3]
    assert len(lazy) == len(known)


def test_there_is_no_offer_beyond_the_last() -> None:
    rows = "".join(f"p{number % 3},s,new,{number}.00,each\n" for number in range(1, 8))
    table = parse_table(f"{','.join(REQUIRED)}\n{rows}", "offers.csv", COLUMNS, REQUIRED)
    offers, _ = check_offers(table, {"p0", "p1", "p2"})

    with pytest.raises(IndexError):
        offers[7]


def test_what_was_found_is_told_whole_though_it_holds_a_semicolon() -> None:
    table = parse_table(
        f"{','.join(REQUIRED)}\np,s,new; open box,1.00,each\n", "offers.csv", COLUMNS, REQUIRED
    )
    _, (problem,) = check_offers(table, {"p"})

    assert problem.message == 'is "new; open box"'
    assert problem.mend.startswith("allowed: new, ")


def test_history_is_read_with_the_place_of_what_is_wrong(tmp_path: Path) -> None:
    assert read_history(tmp_path) == ([], [])
    (tmp_path / "history.csv").write_text(
        "part,supplier,condition,price,per,available,seen,note,replaced\n"
        "a,s,new,1.00,each,,2026-01-01,,2026-02-01\n"
        "a,s,new,1.00,each,,2026-01-01,,soon\n"
        "a,s,new,1.00,each,,2026-01-01,,\n"
    )
    past, problems = read_history(tmp_path)

    assert [(entry.offer.row, entry.replaced.isoformat()) for entry in past] == [(2, "2026-02-01")]
    assert [(problem.at.line, problem.code) for problem in problems] == [
        (3, "history-replaced"),
        (4, "history-replaced"),
    ]
