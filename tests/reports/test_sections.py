"""A section described once: as text, its groups shown once and cut short, money in words; hand-worked."""

from decimal import Decimal

import pytest

from costplan.reports.data_text import csv_text
from costplan.reports.sections import Field, Group, Points, Section, each_alone, part_text, section_text

FIELDS = (Field("sold out", 8, 20, 60), Field("extra", 0, 10, 40, number=True))


def test_a_group_shows_its_first_cell_once_and_three_rows_at_most() -> None:
    rows = tuple(("plug", cents) for cents in (100, 200, 300, 400))
    found = Section(
        "If sold out", "more", FIELDS, (rows, (("box", "none"),)), text="{head} ({note})\n{rows}", few=3
    )
    assert found.shown == (("plug", "1.00"), ("", "2.00"), ("", "3.00"), ("box", "none"))
    assert found.paged == found.shown
    assert len(found.rows) == 5
    assert section_text(found).splitlines() == [
        "If sold out (more)",
        "sold out      extra",
        "----------  -------",
        "plug           1.00",
        "               2.00",
        "               3.00",
        "box            none",
    ]


def test_rows_alone_show_every_cell() -> None:
    found = Section("Cut list", "", FIELDS, each_alone([("plug", 5), ("plug", 6)]))
    assert found.shown == (("plug", "0.05"), ("plug", "0.06"))
    assert section_text(Section("Cut list", "", FIELDS, ())) == ""


def test_a_page_shows_every_cell_of_a_group_that_is_not_cut_short() -> None:
    found = Section("Work", "", FIELDS, ((("bench", 5), ("bench", 6)),))
    assert found.shown == (("bench", "0.05"), ("", "0.06"))
    assert found.paged == (("bench", "0.05"), ("bench", "0.06"))


def test_what_is_left_out_and_what_says_that_it_is_nothing() -> None:
    assert part_text(Section("Work", "", FIELDS, (), none="nothing")) == "Work\n  nothing"
    assert part_text(Points("Access", ())) == ""
    assert part_text(Points("Access", ("by the yard",), note="  later")) == "Access\n  - by the yard\n  later"
    group = Group("Alternate A", "cords", (Points("Adds", ("a box",)), Points("Permit", ())), "add: ____")
    assert part_text(group) == "Alternate A: cords\nAdds\n  - a box\nadd: ____"


def test_rows_as_csv() -> None:
    """None and what is not there are empty, numbers below nothing stay numbers, words that could run are quoted."""
    rows = [{"what": "=1+1", "more": Decimal("-3.00")}, {"more": None, "for": ["saw", "drill"]}]
    assert csv_text(("what", "more", "for"), rows).splitlines() == [
        "what,more,for",
        "'=1+1,-3.00,",
        ",,saw; drill",
    ]
    with pytest.raises(ValueError, match="mores"):
        csv_text(("what",), [{"mores": 1}])
