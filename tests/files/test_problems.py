from dataclasses import replace

from costplan.files.problems import (
    At,
    Problem,
    UserMistakeError,
    as_dicts,
    column_letter,
    nearest,
    render_text,
    said_once,
)

VOLTS = Problem(
    "machine-volts",
    At("garage.yaml", 14, 12),
    "machines › table saw › volts",
    'is "24O", not a number',
    "allowed: 120, 208, 240, 480. Did you mean 240?",
    "    volts: 24O",
    3,
)
PRICE = Problem(
    "offer-price-missing",
    At("offers.csv", 31, 5, "price"),
    "",
    '"BR230" at "Example Surplus" has no price',
    "write a price, or delete the row",
)


def test_problems_are_shown_with_place_excerpt_and_mend() -> None:
    assert render_text([PRICE, VOLTS, VOLTS]) == (
        'garage.yaml:14:12: machine-volts: machines › table saw › volts is "24O", not a number\n'
        "   14 |     volts: 24O\n"
        "      |            ^^^ allowed: 120, 208, 240, 480. Did you mean 240?\n"
        'offers.csv:31, column E (price): offer-price-missing: "BR230" at "Example Surplus" has no price\n'
        "      write a price, or delete the row\n"
        "2 problems in 2 files; nothing was computed"
    )


def _unsaid(row: int, name: str, message: str = "says no wire size") -> Problem:
    return Problem(
        "now-wire-unsaid",
        At("garage.yaml", 10 + row, 9),
        f"machines › {name} › now",
        message,
        "read it off the jacket",
        severity="question",
        trail=("machines", row, "now"),
    )


def test_what_one_mend_asks_of_several_is_one_block_that_names_them_all() -> None:
    asked = [_unsaid(0, "saw"), _unsaid(1, "lathe"), _unsaid(2, "kiln", "says 8 AWG"), _unsaid(3, "drill")]
    text = render_text(asked, at_most_alike=1)
    assert text.count("read it off the jacket") == 1
    assert "      the same of lathe (line 11), drill (line 13)" in text
    assert "      and of kiln (line 12): it says 8 AWG" in text
    assert text.endswith("4 questions in 1 file")
    assert len(as_dicts(asked)) == 4
    assert [problem.field_path for problem in said_once(asked)] == [
        "machines › saw, lathe, drill › now",
        "machines › kiln › now",
    ]


def test_errors_and_other_fields_are_told_one_by_one() -> None:
    errors = [replace(each, severity="error") for each in (_unsaid(0, "saw"), _unsaid(1, "lathe"))]
    assert said_once(errors) == errors
    assert render_text(errors).count("read it off the jacket") == 2
    other = replace(_unsaid(1, "lathe"), trail=("machines", 1, "plug"), field_path="machines › lathe › plug")
    assert said_once([_unsaid(0, "saw"), other]) == [_unsaid(0, "saw"), other]


def test_many_alike_are_counted() -> None:
    many = [Problem("odd", At("x.csv", row), "", "is odd", "", severity="question") for row in range(1, 31)]

    assert render_text(many, at_most_alike=2).splitlines() == [
        "x.csv:1: odd: question: is odd",
        "x.csv:2: odd: question: is odd",
        "x.csv: odd: and 28 more like this",
        "30 questions in 1 file",
    ]


def test_long_lines_are_cut_around_the_place() -> None:
    long = Problem("odd", At("x.yaml", 1, 301), "", "is odd", "mend it", "x" * 300 + "HERE" + "y" * 300, 4)
    _, line, carets, _ = render_text([long]).splitlines()

    assert len(line) < 120
    assert line[carets.index("^") : carets.rindex("^") + 1] == "HERE"


def test_terminal_controls_are_not_passed_on() -> None:
    shown = render_text(
        [Problem("odd", At("x.yaml", 1, 1), "a\x1b[31m", "is\x07 odd", "", excerpt="\x1b]0;x")]
    )

    assert "\x1b" not in shown
    assert "\x07" not in shown


def test_dicts_hold_what_the_text_says() -> None:
    assert as_dicts([PRICE]) == [
        {
            "code": "offer-price-missing",
            "severity": "error",
            "path": "offers.csv",
            "line": 31,
            "column": 5,
            "header": "price",
            "field": "",
            "message": '"BR230" at "Example Surplus" has no price',
            "mend": "write a price, or delete the row",
        }
    ]


def test_error_carries_its_problems() -> None:
    assert UserMistakeError([VOLTS]).problems == (VOLTS,)


def test_columns_have_the_letters_of_spreadsheets() -> None:
    assert [column_letter(n) for n in (1, 26, 27, 52, 703)] == ["A", "Z", "AA", "AZ", "AAA"]


def test_nearest_word_forgives_case_and_a_slip() -> None:
    assert nearest("VLOTS", ["hp", "volts"]) == "volts"
    assert nearest("colour", ["hp", "volts"]) is None
