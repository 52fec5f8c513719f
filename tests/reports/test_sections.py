"""A section described once: as text, its groups shown once and cut short, money in words; hand-worked."""

from costplan.reports.sections import Field, Section, each_alone, section_text

FIELDS = (Field("sold out", 8, 20, 60), Field("extra", 0, 10, 40, number=True))


def test_a_group_shows_its_first_cell_once_and_three_rows_at_most() -> None:
    rows = tuple(("plug", cents) for cents in (100, 200, 300, 400))
    found = Section("If sold out", "more", FIELDS, (rows, (("box", "none"),)), text="{head} ({note})\n{rows}")
    assert found.shown == (("plug", "1.00"), ("", "2.00"), ("", "3.00"), ("box", "none"))
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
