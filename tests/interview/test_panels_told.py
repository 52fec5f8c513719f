"""How far a machine stands from each of several panels: told in its line or answered, never taken to be the same."""

from datetime import date
from pathlib import Path

import pytest
from typer.testing import CliRunner

from costplan.cli.main import app
from costplan.interview.dialogue import Dialogue
from costplan.interview.machine_line import PanelAnswer, far_from, machine_misfits, read_machine
from costplan.interview.questions import sections
from costplan.interview.told_lines import lines_told
from costplan.interview.told_panels import by_panel
from costplan.interview.untold_distances import out_of_reach, untold_words
from costplan.model.loading import load_shop_with_places

OK, USER_MISTAKE = 0, 2
PANELS = (
    PanelAnswer("main", "120/240 single-phase", "family A", "42"),
    PanelAnswer("Sub panel", "120/240 single-phase", "family A", "12"),
    PanelAnswer("far", "240 three-phase", "family B", "12"),
)
PAGE = """\
today: 2026-11-02
occupancy: commercial
panel: main; 120/240 single-phase; family A; 42
panel: sub; 120/240 single-phase; family A; 12
panel: far; 240 three-phase; family B; 24
"""


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("55 / 42 ft", [("", "55 / 42 ft")]),
        ("from 30 to 60 ft", [("", "from 30 to 60 ft")]),
        ("55 / 42 ft from main, 20 ft from sub panel", [("main", "55 / 42 ft"), ("sub panel", "20 ft")]),
        (
            "55 ft from the main panel and 20 ft from the Sub panel",
            [("main", "55 ft"), ("Sub panel", "20 ft")],
        ),
        ("20 ft from far", [("far", "20 ft")]),
    ],
)
def test_lengths_by_panel(text: str, found: list[tuple[str, str]]) -> None:
    assert by_panel(text, [panel.name for panel in PANELS]) == found


@pytest.mark.parametrize(
    ("distance", "why"),
    [
        ("55 ft from main, 20 ft from shed", '"shed" is no panel; allowed: main'),
        ("55 ft from main, 20 ft", "not each says from which panel"),
        ("55 ft from main, 20 ft from main", "names main twice"),
        ("55 ft from main, 20 ft from far; from sub panel", "it is from sub panel; write its distance too"),
        ("30 ft, 40 ft from main, 20 ft from far; 2", "a line for each distance"),
    ],
)
def test_a_distance_from_a_panel_is_told_once_and_from_one_there_is(distance: str, why: str) -> None:
    where, _, more = distance.partition(";")
    with pytest.raises(ValueError, match=why):
        read_machine(f"saw;; 240; 3 hp; 1; {where}; {more}", PANELS)


def test_each_panel_has_its_own_feet() -> None:
    saw = read_machine(
        "saw; bay; 240; 3 hp; 1; 20-25 ft from sub panel, 55 / 42 ft from main; from main", PANELS
    )
    assert (saw.told.panel, saw.fixed_text, saw.cord_text) == ("main", "55 ft", "42 ft")
    assert far_from(saw, PANELS) == {"main": (55, 42), "Sub panel": (25, 25)}
    assert saw.taken == ("20-25 is taken as 25, the longer",)
    beside = read_machine("fan; bay; 120; 1 hp; 1; 30 ft; from sub panel", PANELS)
    assert "write the same" in next(machine_misfits(beside, [saw], PANELS))
    alike = read_machine("fan; bay; 120; 1 hp; 1; 25 ft; from sub panel", PANELS)
    assert list(machine_misfits(alike, [saw], PANELS)) == []


def start(folder: Path, page: str) -> tuple[int, str, Path]:
    """Exit status, what was said, and the file, of a start from a page."""
    notes, file = folder / "notes.txt", folder / "shop.yaml"
    notes.write_text(PAGE + page, encoding="utf-8")
    done = CliRunner().invoke(app, ["start", str(file), "--catalog", "demo", "--machines", str(notes)])
    return done.exit_code, " ".join(done.output.split()), file


def test_what_was_told_of_each_panel_is_a_route_and_what_was_not_is_said(tmp_path: Path) -> None:
    page = "saw;; 240; 3 hp; 1; 55 / 42 ft from main, 25 ft from sub\nlathe;; 120; 1 hp; 1; 20 / 15 ft; from sub\n"
    status, said, file = start(tmp_path, page)
    assert status == OK, said
    shop = load_shop_with_places(file).shop
    assert shop is not None
    assert [(route.start, route.end, route.fixed_ft, route.cord_ft) for route in shop.routes] == [
        ("main", "saw", 55, 42),
        ("sub", "saw", 25, 25),
    ]
    assert [machine.at for machine in shop.machines] == ["saw", ""]
    assert "how far lathe is from main was not told, so no plan feeds it from there" in said
    # Its plate is single-phase of 240 V, which two lines of a delta have too.
    assert "how far saw is from far was not told" in said
    assert "lathe is from far" not in said
    assert "# How far lathe is from main was not told, so no plan feeds it from there." in file.read_text(
        encoding="utf-8"
    )


def test_a_route_to_a_shared_place_is_that_of_all_who_stand_there(tmp_path: Path) -> None:
    page = "saw; bay; 120; 1 hp; 1; 55 ft from main\nfan; bay; 120; 1 hp; 1; 20 ft from sub\n"
    status, said, file = start(tmp_path, page)
    assert (status, "was not told" in said) == (OK, False), said
    shop = load_shop_with_places(file).shop
    assert shop is not None
    assert [(route.start, route.end) for route in shop.routes] == [("main", "bay"), ("sub", "bay")]


def test_the_other_spot_of_one_that_goes_back_and_forth_has_its_own_feet(tmp_path: Path) -> None:
    page = "saw;; 120; 1 hp; 1; 55 ft from main, 20 ft from sub; moves every year; back and forth 40 ft, 12 ft apart\n"
    status, said, file = start(tmp_path, page)
    assert status == OK, said
    assert "how far the other spot of saw is from sub was not told, so no plan feeds it from there" in said
    shop = load_shop_with_places(file).shop
    assert shop is not None
    assert ("sub", "other spot of saw") not in [(route.start, route.end) for route in shop.routes]


def test_where_no_panel_or_one_is_read_nothing_of_another_is_asked() -> None:
    saw = read_machine("saw;; 240; 3 hp; 1; 55 ft", PANELS)
    for panels in ((), PANELS[:1]):
        assert list(out_of_reach([saw], panels)) == list(untold_words([saw], panels)) == []
    assert len(list(untold_words([saw], PANELS))) == 2


def test_a_panel_that_feeds_it_once_it_is_retooled_counts_too(tmp_path: Path) -> None:
    status, said, _ = start(
        tmp_path, "lathe;; 120; 1 hp; 1; 20 ft from main, 9 ft from sub; retooled to 240 V in year 2\n"
    )
    assert status == OK, said
    assert "how far lathe is from far was not told" in said


def test_machines_that_change_places_need_a_panel_that_reaches_them_all(tmp_path: Path) -> None:
    page = "moves a year: 1\nsaw;; 240; 3 hp; 1; 55 ft from main{}\nlathe;; 120; 1 hp; 1; 20 ft from sub{}\n"
    status, said, file = start(tmp_path, page.format("", ""))
    assert status == USER_MISTAKE
    assert "moves a year: saw and lathe change places, but no panel that feeds saw was told" in said
    assert not file.exists()
    status, said, _ = start(tmp_path, page.format("", ", 50 ft from main"))
    assert status == OK, said


HEAD = ("Shed", "", "6", "rented shop", "", "", "", "12", "", "sub", "", "", "8", "")
SAW = ("saw", "", "12.8 A", "240", "", "1", "3", "6-20", "1", "40", "30")


def talk(*answers: str) -> Dialogue:
    """A dialogue after these answers, each as it is typed."""
    found = Dialogue(sections("Shed", None, lambda _: ["nothing"], date(2026, 11, 26)))
    for answer in answers:
        assert found.asked is not None
        found.take(found.asked.read(answer or found.default(found.asked)))
    return found


def line_of(found: Dialogue) -> str:
    while found.asked is not None:
        found.take(found.asked.read(found.default(found.asked)))
    return lines_told(found.known)["machine"][0]


@pytest.mark.parametrize(
    ("answer", "distance"),
    [
        ("25 / 20", "40 ft / 30 ft from main panel, 25 / 20 ft from sub"),
        ("25 ft from sub", "40 ft / 30 ft from main panel, 25 ft from sub"),
        ("", "40 ft / 30 ft"),
        ("I don't know", "40 ft / 30 ft"),
    ],
)
def test_the_distance_from_another_panel_is_asked_and_never_guessed(answer: str, distance: str) -> None:
    found = talk(*HEAD, "", *SAW)
    assert found.asked is not None
    assert (found.asked.question.key, found.asked.asks) == (
        "also from",
        "And how far from sub, by wall and by cord?",
    )
    found = talk(*HEAD, "", *SAW, answer)
    assert line_of(found).split("; ")[5] == distance


def test_feet_from_one_panel_are_not_those_from_another() -> None:
    """Where the panel of a machine changes, all its distances are asked anew, with what was said before."""
    found = talk(*HEAD, "", *SAW, "25 / 20")
    assert found.change("saw from") == ""
    asked = []
    for answer in ("sub", "25", "20", "40 / 30"):
        assert found.asked is not None
        asked.append((found.asked.question.key, found.asked.asks))
        found.take(found.asked.read(answer))
    assert [key for key, _ in asked] == ["from", "distance", "cord", "also from"]
    assert asked[1][1] == "How far from sub would wiring run?"
    assert asked[3][1] == "And how far from main panel, by wall and by cord?"
    assert line_of(found).split("; ")[5] == "25 ft / 20 ft from sub, 40 / 30 ft from main panel"
