"""`explain`: sums of printed lines, keys as the guide has them, and what is said of what is not there."""

import csv
import io
import json
import re
from typing import Any

import pytest
from command import ROOT, TINY, costplan

OK, USER_MISTAKE = 0, 2
TOTAL = 80500
HEAD = {
    "explains",
    "cap_left_aside",
    "shop",
    "currency",
    "present_value",
    "proven",
    "could_be_cheaper",
    "left_out",
}


def explained(*arguments: str) -> dict[str, Any]:
    done = costplan("explain", TINY, *arguments, "--format", "json")
    assert done.returncode == OK, done.stderr
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def cents(value: float) -> int:
    return round(value * 100)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--machine", "lathe"), "drill, saw"),
        (("--machine", "saw", "--way", "catapult"), "it could be"),
        (("--way", "cord"), "name it with --machine"),
        (("--strategy", "cord"), "cords"),
        (("--plan", "40"), "there are only 4 plans"),
        (("--plan", "1"), "from 2 to 50"),
        (("--line", "99"), "lines 1 to 23"),
        (("--line", "0"), "out of range"),
        (("--line", "first"), '"first" is no whole number'),
        (("--line", "2", "--plan", "2"), "one thing at a time"),
        (("--format", "xlsx"), "table"),
        (("--bigger", "hp=5", "--in-year", "2"), "name it with --machine"),
        (("--machine", "drill", "--bigger", "hp=5,volts=240"), "belong together"),
        (("--machine", "drill", "--bigger", "hp", "--in-year", "2"), "no list of WORD=VALUE"),
        (("--machine", "drill", "--bigger", "hp=5", "--in-year", "2"), "lacks volts"),
        (("--machine", "drill", "--bigger", "amps=x,volts=240", "--in-year", "2"), "not a number"),
        (("--machine", "drill", "--bigger", "amps=24,volts=240", "--in-year", "9"), "from 1 to 3"),
        (("--machine", "drill", "--bigger", "amps=24,volts=240", "--in-year", "2"), "nobody sells 10 AWG"),
        (("--machine", "saw", "--bigger", "amps=24,volts=240", "--in-year", "2"), "hangs on a cord"),
    ],
)
def test_what_is_not_there_is_answered_with_what_there_is(arguments: tuple[str, ...], words: str) -> None:
    done = costplan("explain", TINY, *arguments)
    assert done.returncode == USER_MISTAKE
    assert words in done.stderr
    assert done.stdout == ""
    assert "Traceback" not in done.stderr


def test_the_tables_of_the_total_add_up_to_it() -> None:
    text = costplan("explain", TINY).stdout
    blocks = [block for block in text.split("\n\n") if block.startswith(("What it is for", "Whom it is for"))]
    assert len(blocks) == 2
    for block in blocks:
        amounts = [cents(float(line.split()[-1].replace(",", ""))) for line in block.splitlines()[3:]]
        assert sum(amounts[:-1]) == amounts[-1] == TOTAL


def test_the_lines_of_a_machine_add_up() -> None:
    found = explained("--machine", "saw")
    for name in ("alone", "shared"):
        lines = found[name]["lines"]
        assert sum(cents(line["present_value"]) for line in lines) == cents(found[name]["present_value"])
        assert all("saw" in line["for"] for line in lines)
    assert found["circuits"][0]["rules"]


@pytest.mark.parametrize(
    "arguments", [("--plan", "2"), ("--machine", "drill", "--way", "cord"), ("--strategy", "cords")]
)
def test_differences_add_up_to_what_it_costs_more(arguments: tuple[str, ...]) -> None:
    found = explained(*arguments)
    rows = found["differences"]
    assert sum(cents(row["more"]) for row in rows) == cents(found["more"]) == 5500
    assert sum(cents(row["plan_1"]) for row in rows) + cents(found["alike"]) == TOTAL
    assert sum(cents(row["other"]) for row in rows) + cents(found["alike"]) == TOTAL + 5500


@pytest.mark.parametrize(
    ("arguments", "column", "total"),
    [
        ((), "present_value", TOTAL),
        (("--plan", "2"), "more", 5500),
        (("--machine", "drill", "--way", "cord"), "more", 5500),
        (("--machine", "saw"), "present_value", 45500 + 1000),
    ],
)
def test_the_csv_is_the_table_of_the_json_and_adds_up(
    arguments: tuple[str, ...], column: str, total: int
) -> None:
    """The saw's own lines come to 455.00 and those it shares to 10.00, as its text has them."""
    rows = list(csv.DictReader(io.StringIO(csv_of(*arguments))))
    assert sum(cents(float(row[column])) for row in rows) == total


def test_the_csv_of_a_line_is_its_chain() -> None:
    rows = list(csv.DictReader(io.StringIO(csv_of("--line", "21"))))
    assert [(row["step"], row["words"]) for row in rows] == [
        (link["step"], link["words"]) for link in explained("--line", "21")["chain"]
    ]


def csv_of(*arguments: str) -> str:
    done = costplan("explain", TINY, *arguments, "--format", "csv")
    assert done.returncode == OK, done.stderr
    return done.stdout


def test_a_line_leads_to_its_row_its_task_and_its_rule() -> None:
    def steps(number: int) -> dict[str, str]:
        return {link["step"]: link["words"] for link in explained("--line", str(number))["chain"]}

    # numbers as in the golden of the lines: the cord of year 2, the box for both, an hour of the electrician
    later, box, hour = steps(21), steps(14), steps(6)
    assert later["offer"].startswith("offers.csv row 16: cord-12-3 at store")
    assert later["scenario"] == "the saw moves once, year 2"
    assert box["for"] == "drill, saw"
    assert "outlet box" in box["asked for"]
    assert "[" in box["rule"]
    assert hour["task"].startswith("labor.yaml task set-outlet: 1.0000 man-hours of one unit; 1 of them")
    assert hour["by"] == "electrician: 1.0000 hours at 100.00"


def documented() -> dict[str, set[str]]:
    """The keys by what they are of, as the guide has them."""
    page = (ROOT / "costplan" / "guide" / "json-and-csv.md").read_text(encoding="utf-8")
    block = page.split("`costplan explain --format json`", 1)[1].split("`bids`, `jobs`", 1)[0]
    common, special = block.split("and with them", 1)
    found = {"all": {word for row in _rows(common) for word in re.findall(r"`(\w+)`", row[0])}}
    for names, of, *_ in _rows(special):
        for kind in of.split(", "):
            found.setdefault(kind, set()).update(re.findall(r"`(\w+)`", names))
    return found


def _rows(text: str) -> list[list[str]]:
    lines = [line for line in text.splitlines() if line.startswith("| `")]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]


@pytest.mark.parametrize(
    "arguments",
    [(), ("--machine", "saw"), ("--machine", "drill", "--way", "cord"), ("--plan", "2"), ("--line", "6")],
)
def test_the_json_has_exactly_the_keys_that_the_guide_documents(arguments: tuple[str, ...]) -> None:
    found, keys = explained(*arguments), documented()
    assert keys["all"] == HEAD
    assert set(found) == HEAD | keys[found["explains"]]
