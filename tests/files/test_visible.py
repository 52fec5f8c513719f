"""What nobody sees is refused where it is read and written out where it is printed."""

import json
import sys
import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from costplan.files.csv_reader import parse_table
from costplan.files.visible import INVISIBLE, LONGEST_TEXT, short, visible
from costplan.files.yaml_reader import parse_yaml

SEEN = {chr(code) for code in (*range(0x600, 0x606), 0x6DD, 0x70F, 0x890, 0x891, 0x8E2, 0x110BD, 0x110CD)}
"""Marks of Arabic, Syriac and Kaithi writing: of category Cf, but they are seen."""
STEERING = [
    chr(code)
    for code in range(sys.maxunicode + 1)
    if unicodedata.category(chr(code)) in ("Cc", "Cf", "Cs", "Zl", "Zp") and chr(code) not in "\n\r\t"
]
"""By the interpreter's own tables of the Unicode Standard."""


def codes(text: str) -> list[str]:
    return [problem.code for problem in parse_yaml(text, "shop.yaml").problems]


def test_no_sign_that_steers_is_left() -> None:
    left = {sign for sign in STEERING if sign in visible(f"a{sign}b")}

    assert left <= SEEN
    assert visible("a\rb\r\nc") == "a\\u000db\r\nc"


@given(st.text(st.sampled_from(STEERING) | st.characters(exclude_categories=["Cs"])))
def test_json_keeps_its_meaning(text: str) -> None:
    written = json.dumps([text], ensure_ascii=False)

    (kept,) = json.loads(visible(written))
    assert kept.encode("utf-16", "surrogatepass") == text.encode("utf-16", "surrogatepass")


def test_letters_of_all_writings_stay() -> None:
    text = "Säge ½ in., 鋸盤, منشار\n\tΩ 120 °C"

    assert visible(text) == text


def test_a_terminal_cannot_be_steered_by_a_name() -> None:
    assert visible("dr\x1b[2Jill\u202e") == r"dr\u001b[2Jill\u202e"
    assert visible("\U000e0041") == r"\udb40\udc41"


def test_yaml_refuses_what_nobody_sees_raw_or_written_as_an_escape() -> None:
    assert codes("shop: dr\u200bill") == ["file-odd-character"]
    assert codes('shop: "dr\\x1b[2Jill"') == ["file-odd-character"]
    assert codes('"sh\\u202eop": drill') == ["file-odd-character"]


def test_tables_refuse_what_nobody_sees() -> None:
    table = parse_table("part,price\nsaw,1\ndr\x1b[2Jill,2\n", "offers.csv", ["part", "price"], [])

    (problem,) = table.problems
    assert (problem.code, problem.at.line) == ("file-odd-character", 3)


def test_a_text_over_several_lines_is_read_as_one() -> None:
    assert parse_yaml('shop: "two\\nlines"', "x").data == {"shop": "two lines"}
    assert parse_yaml("shop: |\n  two\n  lines\n", "x").data == {"shop": "two lines"}


def test_endless_texts_and_lists_are_refused() -> None:
    assert codes(f"shop: {'a' * (LONGEST_TEXT + 1)}") == ["text-too-long"]
    assert codes(f"shop: {'a' * LONGEST_TEXT}") == []
    assert codes(f"shop: [{'1,' * 100_001}]") == ["yaml-too-much"]


def test_long_names_are_cut_in_their_middle() -> None:
    assert short("a" * 200 + "b" * 200).startswith("aaa")
    assert short("a" * 200 + "b" * 200).endswith("...bbbbbbbbbbbbbbbbb")
    assert len(short("a" * 400)) == 120


def test_line_ends_and_tabs_are_no_signs_that_steer() -> None:
    assert INVISIBLE.search("a\tb\r\nc") is None
    assert visible("a\tb\r\nc\rd") == "a\tb\r\nc\\u000dd"
