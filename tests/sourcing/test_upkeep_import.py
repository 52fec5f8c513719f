"""Suppliers' lists taken over: all or nothing, every bad row said, the column map remembered."""

import shutil
from collections.abc import Mapping
from datetime import date
from pathlib import Path

import pytest

from costplan.files.problems import Problem, UserMistakeError
from costplan.files.shipped import shipped
from costplan.files.writing import exchange
from costplan.model.price_list import MAP_FILE, ColumnMap, read_maps
from costplan.sourcing.placing import Placing
from costplan.sourcing.upkeep import Import, Proposal, import_offers, lost_part, open_catalog

TODAY = date(2026, 11, 20)
OFFERS = """part,supplier,condition,price,per,available,seen,note
plug-a,counter,new,12.00,each,,2026-08-29,mine
plug-b,counter,new,19,each,5,2026-08-13,
plug-b,barn,used,8,each,2,2026-08-13,
wire,counter,new,0.60,ft,,2026-11-01,
"""
COLUMNS = {"part": "Item", "price": "Net", "per": "Unit"}
ALWAYS = {"condition": "new"}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    path = tmp_path / "catalog"
    path.mkdir()
    for name in ("labor.yaml", "recipes.yaml"):
        shutil.copy(shipped("catalogs") / "demo" / name, path / name)
    parts = "".join(
        f'  - {{id: plug-{end}, kind: plug, name: plug, attributes: {{configuration: "NEMA 6-{amps}"}}}}\n'
        for end, amps in (("a", 20), ("b", 30))
    )
    (path / "parts.yaml").write_text(
        f'parts:\n{parts}  - {{id: wire, kind: wire, name: wire, attributes: {{awg: "12"}}}}\n'
    )
    (path / "kinds.yaml").write_text(
        "kinds:\n  - {kind: plug, attributes: [configuration]}\n  - {kind: wire, attributes: [awg], sold: length}\n"
    )
    (path / "suppliers.yaml").write_text(
        "suppliers:\n  - {id: counter, name: Counter (invented)}\n  - {id: barn, name: Barn (invented)}\n"
    )
    (path / "offers.csv").write_text(OFFERS)
    return path


def propose(
    folder: Path,
    text: str,
    columns: Mapping[str, str] = COLUMNS,
    always: Mapping[str, str] = ALWAYS,
    words: Mapping[tuple[str, str], str] | None = None,
    *,
    supplier: str = "counter",
    only_known: bool = False,
) -> Proposal:
    path = folder.parent / "list.csv"
    path.write_text(text)
    wish = Import(path, supplier, columns, always, words or {}, only_known)
    return import_offers(open_catalog(folder), wish, TODAY)


def refused(folder: Path, text: str, **more: object) -> list[Problem]:
    with pytest.raises(UserMistakeError) as error:
        propose(folder, text, **more)  # type: ignore[arg-type]
    assert (folder / "offers.csv").read_text() == OFFERS
    return list(error.value.problems)


def test_known_offers_are_repriced_new_ones_added_and_the_rest_is_kept(folder: Path) -> None:
    proposal = propose(folder, "Item,Net,Unit,Whatever\nplug-b,20.00,each,x\nplug-a,2.50,box of 10,\n")
    exchange(proposal.writes)

    assert (folder / "offers.csv").read_text() == OFFERS.replace(
        "mine\n", "mine\nplug-a,counter,new,2.50,box of 10,,2026-11-20,\n"
    ).replace("19,each,5,2026-08-13", "20.00,each,5,2026-11-20")
    assert "plug-b,counter,new,19.00,each,5,2026-08-13,,2026-11-20" in (folder / "history.csv").read_text()
    assert proposal.summary.endswith("1 repriced, 1 added")
    assert not proposal.questions


def test_the_map_is_remembered_with_its_words_and_used_again(folder: Path) -> None:
    words = {("per", "EA"): "each", ("part", "88-1"): "plug-a"}
    exchange(propose(folder, "Item;Net;Unit\n88-1;13.00;ea\n", words=words).writes)

    maps, problems = read_maps(folder)
    assert not problems
    assert maps == {
        "counter": ColumnMap("counter", COLUMNS, ALWAYS, {("per", "ea"): "each", ("part", "88-1"): "plug-a"})
    }
    again = propose(folder, "Net,Item,Unit\n14.00,88-1,EA\n", {}, {})
    assert [write.path.name for write in again.writes] == ["history.csv", "offers.csv"]
    assert "+ plug-a,counter,new,14.00,each" in again.difference


def test_a_map_said_anew_replaces_that_supplier_s_and_no_other(folder: Path) -> None:
    (folder / MAP_FILE).write_text(
        "supplier,field,column,word,means\nbarn,price,Cost,,\ncounter,price,Old,,\n\nbarn,condition,,,used\n"
    )
    exchange(propose(folder, "Item,Net,Unit\nplug-a,13.00,each\n").writes)

    text = (folder / MAP_FILE).read_text()
    assert text.startswith("supplier,field,column,word,means\nbarn,price,Cost,,\n\nbarn,condition,,,used\n")
    assert read_maps(folder)[0]["counter"].columns["price"] == "Net"


def test_half_bad_imports_nothing_and_every_bad_row_is_listed(folder: Path) -> None:
    good = "".join(f"plug-b,{number}.00,box of {number}\n" for number in range(2, 42))
    bad = "".join(f"plug-b,no price,box of {number}\n" for number in range(2, 41))

    problems = refused(folder, f"Item,Net,Unit\n{good}{bad}plug-c,1,each\n")

    assert [problem.at.line for problem in problems] == list(range(42, 82))
    first, last = problems[0], problems[-1]
    assert str(first.at).endswith("list.csv:42, column B (Net)")
    assert first.message == 'is "no price", not a number'
    assert last.message.startswith(
        'is "plug-c", but there is no such part; the nearest: "plug-a" (plug, NEMA 6-20P); "plug-b"'
    )
    assert '--word "part:plug-c=ID"' in last.mend


@pytest.mark.parametrize(
    ("rows", "code", "column"),
    [
        ("plug-a,,each", "offer-price", "B"),
        ("plug-a,-1,each", "offer-price", "B"),
        ('plug-a,"1,50",each', "offer-price", "B"),
        ("plug-a,1,dozen", "offer-per", "C"),
        ("plug-a,1,ft", "offer-per-unfit", "C"),
        ("wire,1,each", "offer-per-unfit", "C"),
        ("20-Jun,1,each", "offer-part-date", "A"),
        ("plug-a,1,each\nplug-a,2,each", "list-twice", "A"),
        ("plug-a,1", "table-row-too-short", ""),
        ("plug-a,1,each,3", "table-row-too-long", ""),
    ],
)
def test_each_kind_of_bad_row_has_its_place_and_mend(folder: Path, rows: str, code: str, column: str) -> None:
    problems = refused(folder, f"Item,Net,Unit\n{rows}\n")

    problem = next(problem for problem in problems if problem.code == code)
    assert problem.at.line == 2 + rows.count("\n")
    assert f"column {column} " in str(problem.at) if column else problem.at.column == 0
    assert problem.mend


def test_a_list_without_the_columns_says_which_are_missing(folder: Path) -> None:
    problems = refused(folder, "Item no.,Net,Unit\nplug-a,1,each\n", columns={"part": "Item"}, always={})

    said = {problem.field_path: problem for problem in problems}
    assert 'Did you mean "Item no."?' in said["part"].mend
    assert "--always condition=WORD" in said["condition"].mend
    assert {problem.code for problem in problems} == {"map-column", "map-missing"}


def test_words_and_fixed_words_are_checked_before_any_row(folder: Path) -> None:
    problems = refused(
        folder,
        "Item,Net,Unit\nplug-a,1,each\n",
        always={"condition": "mint"},
        words={("per", "EA"): "dozen"},
    )
    assert {problem.code for problem in problems} == {"map-always", "map-word"}


def test_our_own_rows_that_are_alike_leave_it_unclear(folder: Path) -> None:
    doubled = OFFERS + "plug-a,counter,new,11.00,each,,2026-09-01,\n"
    (folder / "offers.csv").write_text(doubled)
    with pytest.raises(UserMistakeError, match=r"rows 2 and 6 of offers\.csv price alike"):
        propose(folder, "Item,Net,Unit\nplug-a,13,each\n")


def test_unknown_parts_may_be_left_out_and_blank_rows_are_no_rows(folder: Path) -> None:
    text = "Item,Net,Unit\n,,\nplug-z,1,each\n\nplug-a,13.00,each,\n"
    proposal = propose(folder, text, only_known=True)
    assert proposal.summary.endswith("1 repriced, 1 left out")


def test_a_list_older_than_our_price_changes_nothing(folder: Path) -> None:
    columns = {**COLUMNS, "seen": "Date"}
    proposal = propose(folder, "Item,Net,Unit,Date\nplug-a,13.00,each,2026-08-01\n", columns)
    assert "1 older than ours" in proposal.summary
    assert [write.path.name for write in proposal.writes] == [MAP_FILE]


def test_a_price_far_from_the_old_one_is_questioned(folder: Path) -> None:
    proposal = propose(folder, "Item,Net,Unit\nplug-a,120.00,each\n")
    assert [problem.code for problem in proposal.questions] == ["offer-price-jump"]


def test_an_unknown_supplier_is_said(folder: Path) -> None:
    problems = refused(folder, "Item,Net,Unit\nplug-a,1,each\n", supplier="countre")
    assert [problem.field_path for problem in problems] == ["--supplier"]


NUMBERED = """part,supplier,condition,price,per,available,seen,note,their_number
plug-a,counter,new,12.00,each,,2026-08-29,mine,0088
plug-b,counter,new,19,each,5,2026-08-13,,
"""
BY_NUMBER = {"their_number": "No.", "price": "Net", "per": "Unit"}


def test_a_list_with_their_numbers_puts_them_into_a_header_that_lacks_the_column(folder: Path) -> None:
    exchange(propose(folder, "No.,Item,Net,Unit\n0088,plug-a,12.50,each\n", COLUMNS | BY_NUMBER).writes)
    lines = (folder / "offers.csv").read_text().splitlines()
    assert lines[0] == "part,supplier,condition,price,per,available,seen,note,their_number"
    assert lines[1] == "plug-a,counter,new,12.50,each,,2026-11-20,mine,0088"
    assert lines[2:] == OFFERS.splitlines()[2:]


def test_a_number_of_theirs_finds_its_part(folder: Path) -> None:
    (folder / "offers.csv").write_text(NUMBERED)
    (folder / "history.csv").write_text("part,supplier,condition,price,per,available,seen,note,replaced\n")
    proposal = propose(folder, "No.,Net,Unit\n0088,13.00,each\n", BY_NUMBER)
    assert "+ plug-a,counter,new,13.00,each,,2026-11-20,mine,0088" in proposal.difference
    exchange(proposal.writes)
    assert (folder / "history.csv").read_text() == (
        "part,supplier,condition,price,per,available,seen,note,replaced,their_number\n"
        "plug-a,counter,new,12.00,each,,2026-08-29,mine,2026-11-20,0088\n"
    )


def test_a_number_of_another_supplier_finds_nothing(folder: Path) -> None:
    (folder / "offers.csv").write_text(NUMBERED)
    with pytest.raises(UserMistakeError, match='is "0088", but there is no such part; none is near'):
        propose(folder, "No.,Net,Unit\n0088,9,each\n", BY_NUMBER, supplier="barn")


@pytest.mark.parametrize(
    "said", ["NEMA 6-20P", "6-20p", "Plug NEMA 6-20P", "nema 6-20P plug", "plug, NEMA 6-20P"]
)
def test_a_standard_name_finds_the_one_part_that_has_it(folder: Path, said: str) -> None:
    proposal = propose(folder, f'Item,Net,Unit\n"{said}",13.00,each\n')
    assert "+ plug-a,counter,new,13.00,each" in proposal.difference


def test_a_name_that_two_parts_have_is_left_to_a_person(folder: Path) -> None:
    (problem,) = refused(folder, "Item,Net,Unit\nplug,13.00,each\n")
    assert problem.message == (
        'is "plug", but there is no such part; it fits "plug-a" (plug, NEMA 6-20P); "plug-b" (plug, NEMA 6-30P)'
    )
    assert 'say --word "part:plug=ID"' in problem.mend


@pytest.mark.parametrize("said", ["6-20 outlet", "Plug 6-20", "the one of 6-20P"])
def test_words_in_another_order_are_near_by_their_sizes(folder: Path, said: str) -> None:
    """A size that is said must be the part's: 6-30 is never near to 6-20, however alike the rest is."""
    near = Placing(open_catalog(folder).parts, {}).nearest(said)
    assert near == 'the nearest: "plug-a" (plug, NEMA 6-20P)'
    (complaint,) = lost_part(open_catalog(folder), said)
    assert complaint[2].endswith(near)


def test_what_could_not_be_placed_is_listed_with_the_nearest_though_left_out(folder: Path) -> None:
    text = "Item,Net,Unit\nNEMA 6-20R,1,each\nchalk,2,each\nplug-b,20,each\n"
    proposal = propose(folder, text, only_known=True)
    assert proposal.summary.endswith("1 repriced, 2 left out")
    first, second = proposal.questions
    assert (first.code, first.severity, first.at.line) == ("list-not-placed", "question", 2)
    assert first.message.startswith('is "NEMA 6-20R", left out; the nearest: "plug-a" (plug, NEMA 6-20P)')
    assert second.message == 'is "chalk", left out; none is near'


def test_a_title_above_the_header_is_said_with_the_row_of_the_header(folder: Path) -> None:
    found = refused(folder, "Price list,,\n,,\nItem,Net,Unit\nplug-a,13.00,each\n")

    assert {problem.mend for problem in found} == {"row 3 looks like the header: delete the rows above it"}
