"""The list of today's work, the things that go to the shelf, and whom parts are for, of shops worked by hand."""

import csv
import io
from typing import Any

import pytest
from openpyxl import load_workbook
from test_papers_there import (
    chain,
    cord,
    drop,
    handed_on,
    laid_out,
    listed,
    machine,
    planned,
    section,
    worked,
)

from costplan.circuits.facts import Facts
from costplan.reports.bill import bill_of_materials
from costplan.reports.kept import BREAKERS_NOTE, MAKE_SAFE_NOTE, NO_ELECTRICIAN, kept_text, tasks_data
from costplan.reports.own_shop import NOT_USED_AGAIN
from costplan.reports.page import shopping_page
from costplan.reports.shopping_book import shopping_book
from costplan.reports.shopping_text import shopping_csv, shopping_text
from costplan.reports.work_draft import Phase
from costplan.reports.work_list import work_list
from costplan.reports.work_moves import Going, Moving, in_turn

Line = tuple[str, str, str]
TESTED = "test each cord made up: ground through, no short, each wire on its terminal"
IDLE_AT_B = {"place": "B", "panel": "panel", "method": "wall drop", "configuration": "NEMA 5-20"}


def lines(facts: Facts, phase: Phase | None = None) -> list[Line]:
    """Place, who and what of every line, of one phase where one is named."""
    found = work_list(facts, planned(facts)).lines
    return [(line.place, line.who, line.words) for line in found if phase in (None, line.phase)]


def text(facts: Facts) -> str:
    return kept_text(facts, planned(facts))


# breakers, receptacles, outlets made safe ---------------------------------------------------------


def test_all_work_in_the_panel_is_under_the_panel_by_the_circuit_that_it_comes_out_of() -> None:
    assert [line for line in lines(chain()) if line[0] == "panel" and "breaker" in line[2]] == [
        (
            "panel",
            "electrician",
            "take the 1-pole 20 A breaker out of the circuit at C (feeds the drill today)",
        ),
        (
            "panel",
            "electrician",
            "take the 2-pole 20 A breaker out of the circuit at A (feeds the saw today)",
        ),
        (
            "panel",
            "electrician",
            "put in 2-pole 20 A breaker, out of the circuit at A (feeds the saw today), for the circuit at E (new)",
        ),
        (
            "panel",
            "electrician",
            "put in 1-pole 20 A breaker, out of the circuit at C (feeds the drill today), "
            "for the circuit at A (feeds the saw today)",
        ),
    ]


def test_a_breaker_of_the_machine_s_own_and_one_for_the_shelf_are_in_the_panel_too() -> None:
    found = lines(handed_on())
    into = "the circuit beside panel (feeds the saw today)"
    out = "the circuit at A (feeds the drill today)"
    assert ("panel", "electrician", f"put in 1-pole 20 A breaker, out of {out}, for {into}") in found
    assert ("panel", "owner", f"to the shelf: 2-pole 20 A breaker, out of {into}") in found


def test_a_receptacle_is_taken_out_where_another_is_put_in() -> None:
    assert ("A", "electrician", "take out the NEMA 6-20 receptacle (not used again)") in lines(
        chain(), Phase.OUT
    )
    assert ("A", "electrician", "put in receptacle NEMA 5-20, bought") in lines(chain(), Phase.IN)


def test_make_safe_is_said_once_and_defers_to_the_electrician() -> None:
    found = " ".join(text(chain()).split())
    assert found.count(MAKE_SAFE_NOTE) == 1
    assert "make safe outlet NEMA 5-20 at C (wall drop)" in " ".join(words for *_, words in lines(chain()))
    assert MAKE_SAFE_NOTE not in " ".join(text(worked("s1")).split())


def test_circuits_that_are_worked_on_are_off_first_and_tested_before_anything_is_plugged_in() -> None:
    phases = [line.phase for line in work_list(chain(), planned(chain())).lines]
    assert phases == sorted(phases, key=list(Phase).index)
    (off, *_) = lines(chain())
    assert off == (
        "panel",
        "electrician",
        "switch off, lock off and verify dead: the circuit at A (feeds the saw today); "
        "the circuit at C (feeds the drill today); the main, before the panel is opened",
    )
    words = [words for *_, words in lines(chain(), Phase.MOVE)]
    tested = next(number for number, entry in enumerate(words) if "test every outlet" in entry)
    plugged = [number for number, entry in enumerate(words) if entry.startswith("plug ")]
    assert min(plugged) > tested


def test_the_directory_and_openings_that_are_left() -> None:
    assert [words for *_, words in lines(handed_on(), Phase.CHECK)] == [
        "correct the directory: circuit at A is made safe, strike it out",
        "correct the directory: circuit at E now serves saw",
        "correct the directory: circuit beside panel (feeds the saw today) now serves drill",
    ]


def test_openings_are_closed_before_the_panel_is_switched_on_again() -> None:
    words = [words for *_, words in lines(handed_on())]
    (closed,) = [number for number, entry in enumerate(words) if "cover on" in entry]
    assert words[closed] == "close 2 openings in the panel (filler plates), cover on"
    assert closed < next(number for number, entry in enumerate(words) if entry.startswith("switch on again"))
    assert lines(chain(), Phase.IN)[-1] == ("panel", "electrician", "cover on")
    assert not any("cover on" in words for *_, words in lines(worked("s1")))
    assert BREAKERS_NOTE in text(chain())
    assert BREAKERS_NOTE not in text(worked("s1"))


# runs that serve otherwise, outlets that were idle ------------------------------------------------


def test_a_run_that_is_to_serve_other_lines_is_looked_at_before_anything_is_taken_out() -> None:
    look = (
        "the panel: white wire there, wire size at least 12 AWG in every box, nothing else on the circuit, "
        "neutral not shared; if not, stop"
    )
    assert [entry for entry in lines(worked("r8"), Phase.OFF) if entry[2].startswith("open the box")] == [
        ("A", "electrician", f"open the box at A and {look}"),
        ("C", "electrician", f"open the box at C and {look}"),
    ]
    assert lines(worked("r8"), Phase.OFF)[-1][2].startswith("open the box at C")


def test_the_white_wire_of_a_converted_run_is_landed_as_what_it_becomes() -> None:
    found = [words for *_, words in lines(worked("r8"), Phase.IN)]
    assert "white to the neutral bar, re-marking off at both ends: the run at A" in found
    assert (
        "white re-marked as hot at both ends and wherever it is seen, off the neutral bar: the run at C"
        in found
    )
    assert not any("white" in words for *_, words in lines(worked("s1")))


def test_a_larger_breaker_asks_for_the_wire_of_a_run_that_is_else_the_same() -> None:
    thin = drop("A", "NEMA 5-20") | {"breaker": "15 A"}
    facts = laid_out([machine("drill", "A", "NEMA 5-20", thin)])
    assert [words for *_, words in lines(facts) if "white" in words or "AWG" in words] == [
        "open the box at A and the panel: wire size at least 12 AWG in every box, nothing else on the circuit, "
        "neutral not shared; if not, stop"
    ]


def test_an_outlet_that_was_idle_is_verified_before_it_is_used() -> None:
    moved = [words for *_, words in lines(handed_on(), Phase.MOVE)]
    (verified,) = [number for number, entry in enumerate(moved) if entry.startswith("verify")]
    assert moved[verified].startswith("verify breaker, wire, ground and volts before use: NEMA 6-20 at E")
    assert moved.index("plug the saw into the NEMA 6-20 at E") > verified
    assert not any(words.startswith("verify") for *_, words in lines(chain()))


# cords --------------------------------------------------------------------------------------------


def test_a_cord_that_stays_where_it_hangs_is_not_hung_again() -> None:
    assert lines(worked("r5"), Phase.CORDS) == [
        (
            "C",
            "owner",
            "the saw's old 40 ft cord stays where it hangs, for the drill: needs 40 ft ends included, is 40 ft: do not cut",
        ),
        ("C", "owner", "put connector NEMA 5-20 on the drill's cord, bought"),
        ("C", "owner", "put plug NEMA 5-20 on the drill's cord, bought"),
        ("C", "owner", TESTED),
    ]
    assert not any("kit" in words or words.startswith("take down") for *_, words in lines(worked("r5")))


def test_cords_that_change_hands_whole_keep_their_ends() -> None:
    """The jointer gets the saw's 30 ft, the saw the planer's 40 ft, the planer the jointer's ends on a new cable."""
    assert [words for *_, words in lines(worked("r1"), Phase.OUT)] == [
        "take down the jointer's old 20 ft cord",
        "take connector NEMA 6-20 off the jointer's old 20 ft cord",
        "take plug NEMA 6-20 off the jointer's old 20 ft cord",
        "take down the overhead kit of the jointer's old 20 ft cord",
    ]


def test_ends_come_off_an_old_cord_where_it_hung_and_the_machine_keeps_its_own_plug() -> None:
    off = lines(handed_on(), Phase.OUT)
    assert ("A", "owner", "take plug NEMA 6-20 off the saw's old 40 ft cord") in off
    shelf = [words for *_, words in lines(handed_on(), Phase.SHELF)]
    assert "to the shelf: plug NEMA 6-20, off the saw's old 40 ft cord" in shelf
    assert "Every machine keeps the plug that is on it" in " ".join(text(handed_on()).split())


@pytest.mark.parametrize("name", ["s1", "s3"])
def test_no_electrician_is_said_where_the_list_begins(name: str) -> None:
    assert text(worked(name)).splitlines()[0] == NO_ELECTRICIAN
    assert NO_ELECTRICIAN not in text(chain())


def test_a_cord_that_changes_place_is_taken_down_and_hung() -> None:
    moved = laid_out([machine("saw", "B", "NEMA 6-20", cord("A", "NEMA 6-20", 40))])
    assert [line.words for line in work_list(moved, planned(moved)).lines] == [
        "unplug the saw from its cord, and the cord from its outlet",
        "take down the saw's 40 ft cord",
        "hang the saw's 40 ft cord and what it hung from, from the outlet beside panel to B",
        "saw stands at B, its circuit ended at A: move it if it is not there yet",
        "plug the cord into the NEMA 6-20 beside panel, and the saw into the cord",
    ]


def test_a_cord_off_the_shelf_says_how_long_it_must_be() -> None:
    made = "make up the saw's cord: cord 12/3, 40 ft, from the shelf"
    words = f"{made}; needs 30 ft ends included, is 40 ft: cut it, 10 ft are left over"
    assert ("A", "owner", words) in lines(worked("s11"))


def test_a_whole_cord_off_the_shelf_is_tested_before_it_is_hung() -> None:
    beside = {"place": "A", "panel": "panel", "method": "cord", "configuration": "NEMA 6-20"}
    whole = {"part": "cord-12-3", "length": "30 ft", "plug": "NEMA 6-20", "connector": "NEMA 6-20"}
    shop = laid_out([machine("saw", "A", "NEMA 6-20")], installed=[beside], shelf=[whole])
    words = [words for _, _, words in lines(shop, Phase.CORDS)]
    hung = next(number for number, said in enumerate(words) if "from the shelf, with its ends" in said)
    assert words.index(TESTED) < hung


def test_what_is_cut_off_a_cord_serves_another_machine_after_it_is_cut() -> None:
    beside = {"panel": "panel", "method": "cord", "configuration": "NEMA 6-20"}
    machines = [machine("saw", "A", "NEMA 6-20"), machine("planer", "B", "NEMA 6-20")]
    shelf = [{"part": "cord-12-3", "length": "60 ft"}]
    facts = laid_out(machines, shelf=shelf, installed=[beside | {"place": "A"}, beside | {"place": "B"}])
    made = [words for *_, words in lines(facts, Phase.CORDS) if words.startswith("make up")]
    assert made == [
        "make up the saw's cord: cord 12/3, 60 ft, from the shelf; "
        "needs 30 ft ends included, is 60 ft: cut it, 30 ft are left over",
        "make up the planer's cord: cord 12/3, 30 ft, cut off the saw's cord; "
        "needs 20 ft ends included, is 30 ft: cut it, 10 ft are left over",
    ]
    assert [thing.cells for thing in listed(facts).returned] == [
        ("1", "cord 12/3, 10 ft, cut off", "cut off the saw's cord, for the planer")
    ]
    assert [thing.source for thing in listed(facts).own] == ["the shelf", "cut off the saw's cord"]


def test_a_kit_goes_with_its_machine_where_the_cord_that_hung_from_it_does_not() -> None:
    facts = laid_out(
        [machine("sander", "E", "NEMA 5-20", cord("D", "NEMA 5-20", 25))],
        shelf=[{"part": "cord-12-3", "length": "40 ft"}],
    )
    old = "the sander's old 25 ft cord"
    assert ("D", "owner", f"take down the overhead kit of {old}") in lines(facts, Phase.OUT)
    hung = f"hang the overhead kit for the sander's cord, the one of {old}"
    assert ("E", "owner", hung) in lines(facts, Phase.CORDS)
    assert [(thing.what, thing.source) for thing in listed(facts).own] == [
        ("cord 12/3, 40 ft", "the shelf"),
        ("connector NEMA 5-20", f"{old}, at D"),
        ("overhead kit", f"{old}, at D"),
        ("plug NEMA 5-20", f"{old}, at D"),
    ]


# machines -----------------------------------------------------------------------------------------


def test_every_machine_whose_outlet_changes_is_unplugged_and_plugged_in() -> None:
    assert lines(worked("s1")) == [
        ("A", "owner", "unplug the saw from the NEMA 6-20"),
        ("C", "owner", "unplug the jointer from the NEMA 6-20"),
        (
            "C",
            "owner",
            "set the jointer aside first, if it is not moved yet: others wait for its place, it for theirs",
        ),
        ("C", "owner", "saw stands at C, its circuit ended at A: move it if it is not there yet"),
        ("A", "owner", "jointer stands at A, its circuit ended at C: move it if it is not there yet"),
        ("A", "owner", "plug the jointer into the NEMA 6-20 at A"),
        ("C", "owner", "plug the saw into the NEMA 6-20 at C"),
        ("panel", "owner", "correct the directory: circuit at A now serves jointer"),
        ("panel", "owner", "correct the directory: circuit at C now serves saw"),
    ]


def test_a_machine_that_only_keeps_what_it_has_is_not_in_the_list() -> None:
    machines = [
        machine("saw", "A", "NEMA 6-20", drop("A", "NEMA 6-20")),
        machine("drill", "B", "NEMA 5-20", drop("C", "NEMA 5-20")),
    ]
    facts = laid_out(machines, installed=[IDLE_AT_B])
    found = work_list(facts, planned(facts))
    assert found.kept == ("saw",)
    assert not any("saw" in line.words for line in found.lines)
    assert "Kept as it is: saw." in text(facts)
    kept = [entry for entry in tasks_data(facts, planned(facts)) if entry["number"] is None]
    assert ("saw", "keep") in {(entry["machine"], entry["act"]) for entry in kept}


def test_a_place_is_vacated_before_somebody_comes_to_it() -> None:
    a_to_b, b_to_c, c_to_d = Going("saw", "A", "B"), Going("jointer", "B", "C"), Going("planer", "C", "D")
    moves = [Moving(c_to_d), Moving(b_to_c), Moving(a_to_b)]
    assert list(in_turn([a_to_b, b_to_c, c_to_d])) == moves
    away = Going("planer", "C", "")
    assert [move.going for move in in_turn([b_to_c, away])] == [away, b_to_c]


def test_of_machines_that_wait_for_each_other_one_is_set_aside() -> None:
    there, back, after = Going("saw", "A", "B"), Going("drill", "B", "A"), Going("lathe", "C", "A")
    found = list(in_turn([there, back, after]))
    assert found == [Moving(back, aside=True), Moving(there), Moving(back), Moving(after)]


# shopping -----------------------------------------------------------------------------------------


def test_what_goes_to_the_shelf_afterwards() -> None:
    assert [thing.cells for thing in listed(handed_on()).returned] == [
        ("1", "breaker, 2-pole 20 A", "the circuit beside panel (feeds the saw today)"),
        ("1", "connector NEMA 6-20", "the saw's old 40 ft cord, at A"),
        ("1", "plug NEMA 6-20", "the saw's old 40 ft cord, at A"),
        ("1", f"receptacle NEMA 5-20, {NOT_USED_AGAIN}", "the circuit at A (feeds the drill today)"),
        ("1", f"receptacle NEMA 6-20, {NOT_USED_AGAIN}", "the circuit beside panel (feeds the saw today)"),
    ]
    cut, receptacle = listed(worked("s11")).returned
    assert receptacle.what == f"receptacle NEMA 6-20, {NOT_USED_AGAIN}"
    assert cut.cells == ("1", "cord 12/3, 10 ft, cut off", "from the shelf, for the saw")
    assert listed(worked("s1")).returned == ()


def test_a_receptacle_is_told_once_where_a_run_is_made_anew() -> None:
    found = [words for place, _, words in lines(chain(), Phase.IN) if place == "E"]
    assert found == [
        "new wall drop from panel to E, 40 ft of run with ends and waste: run and box",
        "put in receptacle NEMA 6-20, from the shelf",
    ]


def test_every_paper_has_what_goes_to_the_shelf() -> None:
    paper = listed(handed_on())
    assert section(shopping_text(paper), "Goes to your shelf afterwards")[3].startswith("    1  breaker")
    rows = [row for row in csv.DictReader(io.StringIO(shopping_csv(paper))) if row["row"] == "to the shelf"]
    assert [row["what"] for row in rows] == [thing.what for thing in paper.returned]
    sheet = load_workbook(io.BytesIO(shopping_book(paper)))["Goes to your shelf afterwards"]
    cells = [tuple(cell.value for cell in row) for row in sheet.iter_rows(min_row=5)]
    assert cells == [thing.cells for thing in paper.returned]
    assert "<h2>Goes to your shelf afterwards</h2>" in shopping_page(paper)


def test_a_list_with_nothing_to_buy_says_so_and_asks_nobody() -> None:
    paper = listed(worked("s1"))
    for found in (shopping_text(paper), shopping_page(paper)):
        assert "Nothing to buy" in found
        assert "Ask every supplier" not in found
    book = load_workbook(io.BytesIO(shopping_book(paper)))
    assert book.sheetnames == ["All orders"]
    assert "Nothing to buy" in {cell.value for row in book["All orders"].iter_rows() for cell in row}


def test_parts_of_an_outlet_made_safe_are_for_that_outlet() -> None:
    whom = {part.kind: part.machines for part in listed(chain()).parts}
    assert whom["blank cover"] == ("C, made safe",)
    assert whom["outlet box"] == ("jointer",)
    bill = {row.part: row.machines for row in bill_of_materials(chain(), planned(chain()))}
    assert bill["blank-cover"] == ("C, made safe",)


# own plugs ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("plug", "shelf", "said"),
    [
        (None, [], "put a plug NEMA 6-20 on the bare ends of the saw's own cord, bought"),
        ("NEMA L6-20", [], "change the saw's own plug to NEMA 6-20, bought"),
        ("NEMA L6-20", [{"part": "plug-6-20"}], "change the saw's own plug to NEMA 6-20, from the shelf"),
    ],
)
def test_bare_ends_get_a_plug_and_a_plug_that_is_there_is_changed(
    plug: str | None, shelf: list[dict[str, str]], said: str
) -> None:
    """The drop at E has a straight-blade receptacle, since no locking one is sold."""
    more: dict[str, Any] = {
        "plug": plug,
        "amps": "12 A",
        "plug_may_change": True,
        "cord": {"length": "6 ft", "awg": "12"},
    }
    facts = laid_out([machine("saw", "E", "NEMA 6-20") | more], shelf=shelf)
    words = [words for *_, words in lines(facts)]
    assert [entry for entry in words if "own" in entry and "plug" in entry] == [said]
