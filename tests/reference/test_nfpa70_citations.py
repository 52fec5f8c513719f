"""Sections of NFPA 70 that moved between the editions of 2014 and 2023.

Source: a master electrician's reading and a second person's hand-worked cases (Table 310.15(B)(16) in 2014 and 2017, Table
430.52 before 2023, 400.7 and 400.8 in 2014), and the numbers of the editions, from memory.
"""

import pytest

from costplan.standards import tables
from costplan.standards.citations import CITATIONS, all_cited, cited, section


@pytest.mark.parametrize(
    ("newest", "by_edition"),
    [
        ("Table 310.16", ("Table 310.15(B)(16)", "Table 310.15(B)(16)", "Table 310.16", "Table 310.16")),
        ("Table 430.52(C)(1)", ("Table 430.52", "Table 430.52", "Table 430.52", "Table 430.52(C)(1)")),
        ("430.52(C)(1)", ("430.52(C)(1)",) * 4),
        ("424.4(B)", ("424.3(B)", "424.3(B)", "424.4(B)", "424.4(B)")),
        ("210.18", ("210.3", "210.3", "210.18", "210.18")),
        ("400.12(1)", ("400.8(1)", "400.12(1)", "400.12(1)", "400.12(1)")),
        ("400.14", ("400.10", "400.14", "400.14", "400.14")),
        ("Table 250.122", ("Table 250.122",) * 4),
    ],
)
def test_a_section_has_its_number_in_each_edition(newest: str, by_edition: tuple[str, ...]) -> None:
    assert tuple(section(newest, edition) for edition in (2014, 2017, 2020, 2023)) == by_edition
    assert section(newest, None) == newest


def test_a_cited_table_names_the_edition_in_force() -> None:
    words = f"{tables.cite('nfpa70_table_310_16')}; 110.14(C); 400.10, 400.14"
    assert all_cited(words, 2017) == "NFPA 70 2017, Table 310.15(B)(16); 110.14(C); 400.10, 400.14"
    assert all_cited(words, 2014).endswith("400.7, 400.10")
    assert all_cited(words, 2023) == all_cited(words, None) == words


def test_figures_that_are_no_sections_stay() -> None:
    """A price looks like a section; only what the code is named before is one."""
    words = "costs 400.10 of 210.18, and is refused (NEC 400.12, NFPA 70 2023, Table 310.16)"
    assert (
        cited(words, 2014)
        == "costs 400.10 of 210.18, and is refused (NEC 400.8, NFPA 70 2014, Table 310.15(B)(16))"
    )
    assert all_cited("29 CFR 1910.147", 2014) == "29 CFR 1910.147"


def test_every_row_names_a_section_that_is_cited_here() -> None:
    for row in tables.table(CITATIONS):
        assert section(row["section"], int(row["last_edition"])) == row["was"] != row["section"]
