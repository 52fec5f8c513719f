from decimal import Decimal
from pathlib import Path

import pytest

from costplan.files.yaml_reader import breadcrumb, parse_yaml, place_of, read_yaml


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("12", 12),
        ("-3", -3),
        ("1.50", Decimal("1.50")),
        ("true", True),
        ("false", False),
        ("null", None),
        ("", None),
        ("no", "no"),
        ("on", "on"),
        ("YES", "YES"),
        ("6_20", "6_20"),
        ("6-20", "6-20"),
        ("12/3", "12/3"),
        ("010", "010"),
        ("0x1F", "0x1F"),
        ("12:30", "12:30"),
        ("1e3", "1e3"),
        ("2025-06-20", "2025-06-20"),
        (".inf", ".inf"),
        ('"12"', "12"),
        ("9" * 40, "9" * 40),
    ],
)
def test_only_plain_numbers_and_true_false_null_are_more_than_text(written: str, read: object) -> None:
    data = parse_yaml(f"a: {written}\n", "x.yaml").data

    assert data is not None
    assert data["a"] == read
    assert type(data["a"]) is type(read)


def test_keys_are_text_as_typed() -> None:
    assert parse_yaml("120: a\nno: b\n", "x.yaml").data == {"120": "a", "no": "b"}


def test_places_are_lines_and_columns_as_editors_count() -> None:
    places = parse_yaml("é: ü\nmachines:\n  - name: säge\n    volts:   240\n", "dir/x.yaml").places

    assert places.by_trail[("machines", 0, "volts")][:3] == (4, 14, "240")
    assert place_of(places, ("machines", 0, "volts")) == "x.yaml:4"
    assert place_of(places, ("machines", 0)) == "x.yaml:3"
    assert place_of(places, ("machines", 0, "volts", "deeper")) == "x.yaml:4"


def test_breadcrumb_calls_entries_by_name_else_by_number() -> None:
    data = {"machines": [{"name": "saw"}, {"volts": 240}], "events": [{"year": 2, "machine": "saw"}]}

    assert breadcrumb(data, ("machines", 0, "volts")) == "machines › saw › volts"
    assert breadcrumb(data, ("machines", 1)) == "machines › #2"
    assert breadcrumb(data, ("events", 0)) == "events › year 2, saw"


def test_repeated_word_names_both_lines_and_the_first_stays() -> None:
    read = parse_yaml("a: 1\nb: 2\na: {c: 3}\n", "x.yaml")

    assert read.data == {"a": 1, "b": 2}
    assert [(str(p.at), p.field_path, p.message) for p in read.problems] == [
        ("x.yaml:3:1", "a", "is written twice, in line 1 and here")
    ]


@pytest.mark.parametrize("deep", ["[" * 5000, "- " * 5000, "{a: " * 5000])
def test_endless_nesting_is_refused(deep: str) -> None:
    read = parse_yaml(f"a: 1\nb:\n  {deep}", "x.yaml")

    assert read.data is None
    assert read.problems


def test_aliases_are_never_multiplied() -> None:
    lines = ["a0: &a0 [x, x]"] + [f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}]" for n in range(1, 60)]
    read = parse_yaml("\n".join(lines), "x.yaml")

    assert read.data is None
    assert {problem.code for problem in read.problems} == {"yaml-alias"}


def test_missing_file_folder_and_odd_name_are_problems(tmp_path: Path) -> None:
    (tmp_path / "garage.yaml").write_text("shop: x\n")

    assert read_yaml(tmp_path / "garrage.yaml").problems[0].mend.endswith('garage.yaml"?')
    assert read_yaml(tmp_path).problems[0].code == "file-is-folder"
    assert read_yaml(tmp_path / "no" / "x.yaml").problems[0].code == "file-missing"
    assert read_yaml(Path("a\0b")).problems[0].code in ("file-missing", "file-not-read")


def test_a_table_in_place_of_a_shop_file_is_said_to_be_one(tmp_path: Path) -> None:
    (tmp_path / "offers.csv").write_text("part,supplier\n" * 50)

    (problem,) = read_yaml(tmp_path / "offers.csv").problems

    assert problem.code == "file-is-table"
    assert "myshop/shop.yaml" in problem.mend
