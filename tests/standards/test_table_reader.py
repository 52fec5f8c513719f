from importlib import resources

import pytest

from costplan.standards import tables

ROWS = {
    "nema_mg1_frames": 12,
    "nema_mg1_rules": 1,
    "common_practice_motors": 2,
    "common_practice_figures": 153,
    "common_practice_prices": 87,
    "common_practice_hours": 46,
    "common_practice_spreads": 11,
    "common_practice_currencies": 7,
    "common_practice_converter_power": 1,
    "common_practice_switch_sizes": 5,
    "nfpa70_load_rules": 12,
    "ansi_nema_wd_6": 80,
    "common_practice_breaker_sizes": 24,
    "common_practice_receptacles": 2,
    "common_practice_terminals": 8,
    "ul_498_horsepower": 16,
    "iec_60309_2_series_ii": 44,
    "nfpa70_110_14_c": 6,
    "nfpa70_240_4_d": 5,
    "nfpa70_240_6_a": 24,
    "nfpa70_240_6_a_fuses": 4,
    "nfpa70_334_80": 8,
    "nfpa70_cable_support": 3,
    "common_practice_breaker_terminals": 6,
    "nfpa70_chapter_9_table_4": 6,
    "nfpa70_chapter_9_table_5": 13,
    "nfpa70_chapter_9_table_8": 15,
    "nfpa70_table_210_21_b_2": 4,
    "nfpa70_table_210_21_b_3": 7,
    "nfpa70_table_250_122": 7,
    "nfpa70_table_310_15_b_1": 13,
    "nfpa70_table_310_15_c_1": 7,
    "nfpa70_table_310_16": 13,
    "nfpa70_table_400_4": 34,
    "nfpa70_table_400_5_a_1": 9,
    "nfpa70_table_430_248": 12,
    "nfpa70_table_430_250": 15,
    "nfpa70_table_430_52": 14,
    "nfpa70_table_630_11_a": 9,
    "nfpa70_table_630_31_a_2": 9,
    "nfpa70_welder_rules": 6,
    "nfpa70_citations": 9,
    "common_practice_welders": 2,
    "nfpa70_table_c1": 13,
}


def test_every_file_has_a_source_and_every_source_a_file() -> None:
    data = resources.files("costplan.standards") / "data"
    files = {path.name.removesuffix(".csv") for path in data.iterdir() if path.name.endswith(".csv")}

    assert files == set(tables.sources())


@pytest.mark.parametrize("name", tables.sources())
def test_number_of_rows(name: str) -> None:
    assert len(tables.table(name)) == ROWS[name]


@pytest.mark.parametrize("name", tables.sources())
def test_every_row_says_how_far_it_was_confirmed(name: str) -> None:
    allowed = {"page", "page in part", "page for the family", "page for volts and hour", "from memory"}
    if name.startswith("common_practice"):
        allowed = {"common practice, no source"}

    assert {row["confirmation"] for row in tables.table(name)} <= allowed


@pytest.mark.parametrize("name", tables.sources())
def test_no_cell_is_missing_or_extra_and_no_key_repeats(name: str) -> None:
    rows = tables.table(name)

    assert all(None not in row and None not in row.values() for row in rows)
    assert len({tuple(row.items()) for row in rows}) == len(rows)


@pytest.mark.parametrize("name", tables.sources())
def test_source_says_title_table_units_and_note(name: str) -> None:
    source = tables.sources()[name]

    assert all((source.title, source.table, source.units, source.note))
    assert "http" not in source.note


def test_a_table_is_read_once() -> None:
    assert tables.table("nfpa70_table_310_16") is tables.table("nfpa70_table_310_16")


def test_unknown_table_lists_the_tables() -> None:
    with pytest.raises(LookupError, match='no table "nfpa70_table_1"; there are ansi_nema_wd_6'):
        tables.table("nfpa70_table_1")


def test_missing_row_says_what_the_table_covers() -> None:
    with pytest.raises(LookupError) as error:
        tables.look_up("nfpa70_table_400_5_a_1", {"awg": "1"}, "two_current_carrying_a")

    assert str(error.value) == (
        "NFPA 70 2023, Table 400.5(A)(1) has no row for awg 1; it covers awg 18, 16, 14, 12, 10, 8, 6, 4, 2"
    )


def test_missing_column_says_which_there_are() -> None:
    with pytest.raises(
        LookupError, match=r"has no column ampacity_a; its columns are awg, two_current_carrying_a"
    ):
        tables.look_up("nfpa70_table_400_5_a_1", {"awg": "10"}, "ampacity_a")


def test_blank_cell_raises() -> None:
    with pytest.raises(LookupError, match="gives no factor_60c for ambient_at_most_c 60; that row has"):
        tables.look_up("nfpa70_table_310_15_b_1", {"ambient_at_most_c": "60"}, "factor_60c")
