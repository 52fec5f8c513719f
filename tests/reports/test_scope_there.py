"""The scope sheet of a shop that is there, as a master electrician reads it: nothing contradicts, nothing is left open."""

import csv
import io
from collections import Counter
from decimal import Decimal
from functools import cache
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest
from test_papers_there import (
    NAMES,
    Row,
    chain,
    cord,
    drop,
    handed_on,
    laid_out,
    machine,
    section,
    worked,
)

from costplan.circuits.facts import Facts
from costplan.circuits.outlet_key import OutletKey
from costplan.circuits.outlets import outlet_item
from costplan.ledger.ledger import at_year
from costplan.ledger.lines import Line
from costplan.ledger.steps import Act, Step
from costplan.model.catalog import Kind, Offer, Part, Recipe
from costplan.model.choices import Method, SurplusRule
from costplan.model.layouts import laid_out as as_laid_out
from costplan.model.loading import load_catalog, load_shop
from costplan.program.bench import Bench
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans
from costplan.reports.conversion import IN_CONDUIT, NEUTRAL_GAINED, NEUTRAL_LOST, Conductor, of_receptacles
from costplan.reports.page import scope_page
from costplan.reports.remarks import Topic, remark
from costplan.reports.scope import ScopeSheet, scope_sheet
from costplan.reports.scope_later import directories
from costplan.reports.scope_notes import MAKE_SAFE_MEANS, OWNERS_WORD
from costplan.reports.scope_plan import Alternate
from costplan.reports.scope_sections import BREAKERS_NOTE, CIRCUIT_FIELDS
from costplan.reports.scope_text import scope_csv, scope_text
from costplan.reports.scope_work import Besides, WorkRow, same_work
from costplan.studies.comparison import Comparison
from costplan.studies.hinges import assumed_of_the_next_building

ROOT = Path(__file__).parents[2]
FAULT = "Ground-fault protection of the receptacle"
SHEETS: dict[int, tuple[Facts, ScopeSheet]] = {}
RANKED: dict[int, tuple[Facts, tuple[Ranked, ...]]] = {}


def ranked(facts: Facts) -> tuple[Ranked, ...]:
    """Its three best plans, found once."""
    if id(facts) not in RANKED:
        RANKED[id(facts)] = facts, tuple(best_plans(Bench.over(facts, SurplusRule.ALLOWED), 3))
    return RANKED[id(facts)][1]


def sheet(facts: Facts) -> ScopeSheet:
    """Its scope sheet with two alternates, made once."""
    if id(facts) not in SHEETS:
        comparison = cast(Comparison, SimpleNamespace(facts=facts, plans=ranked(facts)))
        SHEETS[id(facts)] = facts, scope_sheet(comparison)
    return SHEETS[id(facts)][1]


def alternate(facts: Facts, words: str) -> Alternate:
    """The alternate that is told by these words."""
    return next(entry for entry in sheet(facts).alternates if entry.words == words)


def told(rows: tuple[WorkRow, ...]) -> list[tuple[str, str]]:
    return [(row.place, row.words) for row in rows]


@cache
def exchanged() -> Facts:
    """A saw and a drill change places, and each run is converted; the drill's is on 15 A."""
    thin = drop("C", "NEMA 5-20") | {"breaker": "15 A"}
    machines = [
        machine("saw", "C", "NEMA 6-20", drop("A", "NEMA 6-20")),
        machine("drill", "A", "NEMA 5-20", thin),
    ]
    return laid_out(machines, shelf=[{"part": "receptacle-6-20"}, {"part": "receptacle-5-20"}])


@cache
def cords() -> Facts:
    """A planer on a cord gets the outlet of a saw, which takes over the one beside the panel."""
    return laid_out(
        [
            machine("saw", "D", "NEMA 6-20", drop("A", "NEMA 6-20")),
            machine("planer", "A", "NEMA 6-20", cord("B", "NEMA 6-20", 20)),
        ]
    )


@cache
def they_change_places() -> Facts:
    shop, problems = load_shop(ROOT / "tests" / "shops" / "layouts.yaml")
    catalog = load_catalog(ROOT / "examples" / "tiny" / "catalog")[0]
    assert shop is not None, problems
    assert catalog is not None
    return Facts(as_laid_out(shop, shop.layouts[0]), catalog)


# alternates ---------------------------------------------------------------------------------------


def test_an_alternate_shows_every_circuit_that_differs_from_the_base() -> None:
    """The saw keeps the outlet that the base gives to the drill, so the drill's new one is part of the alternate."""
    other = alternate(handed_on(), "saw by cord from panel")
    assert [(row.number, row.machines, row.place, row.is_there) for row in other.circuits] == [
        (1, ("saw",), "beside panel", True),
        (2, ("drill",), "beside panel", False),
    ]
    assert other.circuits[1].state == "new"


def test_an_alternate_says_what_it_leaves_out_and_what_it_adds() -> None:
    other = alternate(handed_on(), "saw by cord from panel")
    assert told(other.leaves_out) == [
        ("E", "test before use: receptacle NEMA 6-20R, idle so far"),
        ("beside panel", "change a device: receptacle NEMA 6-20R out, receptacle NEMA 5-20R in"),
        (
            "in panel",
            "change a device: circuit beside panel: 2-pole 20 A off, 1-pole 20 A on (out of the circuit at A)",
        ),
        ("in panel", "close openings: filler plates of the bidder's in the spaces that stay empty"),
    ]
    assert told(other.adds) == [
        ("beside panel", "run to an outlet beside the panel: line 2"),
        ("beside panel", "set the box and the outlet: line 2"),
        (
            "in panel",
            "set the breaker and land the circuit: circuit beside panel: 1-pole 20 A on (out of the circuit at A)",
        ),
    ]
    assert other.breakers == ("1-pole 20 A breaker: out of the circuit at A, into the circuit beside panel",)
    assert other.after == ("made safe: drill's at A", "panel: spaces free 2 today, 2 after")


@pytest.mark.parametrize("name", NAMES)
def test_the_base_with_what_an_alternate_changes_is_the_alternate(name: str) -> None:
    """What each plan's own sheet asks for is the base's work, less what the alternate leaves out, and what it adds."""
    facts = worked(name)
    base, plans = sheet(facts), ranked(facts)
    for entry, plan in zip(base.alternates, plans[1:], strict=True):
        alone = scope_sheet(cast(Comparison, SimpleNamespace(facts=facts, plans=(plan,))))
        sum_up = _counted(base.work)
        sum_up.subtract(_counted(entry.leaves_out))
        sum_up.update(_counted(entry.adds))
        assert +sum_up == _counted(alone.work)
        assert not -sum_up


def _counted(rows: tuple[WorkRow, ...]) -> Counter[object]:
    counts: Counter[object] = Counter()
    for row in rows:
        counts[same_work(row)] += row.quantity  # type: ignore[assignment]
    return counts


def test_a_cord_that_is_made_anew_is_no_circuit_that_stays_as_it_is() -> None:
    other = alternate(cords(), "planer by cord from panel, saw by wall drop from panel")
    row = next(row for row in other.circuits if row.machines == ("planer",))
    assert row.cord == "owner's cord, 30 ft, 3 × 12 AWG with the ground, made new"
    assert row.state == "the outlet is as it is now, nothing to do at it"
    assert any(words.startswith("brings: 30 ft in one piece, flexible cord") for words in other.owner_instead)
    assert (
        "does: make up and hang a cord: from beside panel to A, 30 ft (beside panel, planer)"
        in other.owner_instead
    )


def test_an_alternate_s_machine_keeps_its_line_and_has_a_price_blank() -> None:
    facts = cords()
    number = {name: row.number for row in sheet(facts).circuits for name in row.machines}
    for entry in sheet(facts).alternates:
        assert all(row.number == number[row.machines[0]] for row in entry.circuits)
        for paper in (scope_text(sheet(facts)), scope_page(sheet(facts))):
            assert f"Alternate {entry.letter}, add or deduct: ____" in paper
    assert CIRCUIT_FIELDS[0].head == "line"


# panels and breakers ------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_the_spaces_of_the_site_are_those_of_the_panel_s_table(name: str) -> None:
    facts = worked(name)
    (room,) = at_year(facts, ranked(facts)[0].plan, ranked(facts)[0].chosen, 0).panels()
    for panel in sheet(facts).panels:
        assert panel.free_after == room.left == panel.free_today + panel.poles_today - panel.poles_after
        words = dict(sheet(facts).site)[panel.panel]
        assert f"spaces free, counted in poles: {panel.free_today} today, {panel.free_after} after" in words


def test_work_in_the_panel_is_under_the_panel_with_its_circuit() -> None:
    assert [row.words for row in sheet(chain()).work if row.place == "in panel"] == [
        "set the breaker and land the circuit: circuit at E: 2-pole 20 A on (out of the circuit at A)",
        "change a device: circuit at A: 2-pole 20 A off, 1-pole 20 A on (out of the circuit at C)",
        "correct the directory: A: sander (saw until now); B: saw (jointer until now); "
        "C: made safe, strike it out (drill until now); D: drill (sander until now); E: jointer (new)",
    ]


def test_each_device_says_what_goes_out_and_what_goes_in() -> None:
    work = told(sheet(exchanged()).work)
    shelf = "(from the shelf)"
    assert (
        "A",
        f"change a device: receptacle NEMA 6-20R out, receptacle NEMA 5-20R in {shelf}",
    ) in work
    assert (
        "C",
        f"change a device: receptacle NEMA 5-20R out, receptacle NEMA 6-20R in {shelf}",
    ) in work
    assert ("in panel", "change a device: circuit at A: 2-pole 20 A off, 1-pole 20 A on (new)") in work


def test_spaces_left_open_are_closed_and_breakers_may_stay() -> None:
    rows = [row for row in sheet(handed_on()).work if row.besides is Besides.OPENINGS]
    assert [(row.place, row.quantity) for row in rows] == [("in panel", 2)]
    assert not [row for row in sheet(chain()).work if row.besides is Besides.OPENINGS]
    for paper in (scope_text(sheet(chain())), scope_page(sheet(chain()))):
        assert " ".join(BREAKERS_NOTE.split()[:8]) in " ".join(paper.split())


def test_whose_directory_it_is() -> None:
    """Where nobody is hired the owner corrects it."""
    facts = worked("s1")
    assert sheet(facts).work == ()
    assert [row.place for row in sheet(facts).owner_does if row.besides is Besides.DIRECTORY] == ["in panel"]
    assert not [row for row in sheet(chain()).owner_does if row.besides]


# what to look at ----------------------------------------------------------------------------------


def notes(facts: Facts, about: str) -> list[str]:
    return [note for note in sheet(facts).notes if note.startswith(about)]


def test_a_conversion_says_what_becomes_of_the_white_conductor() -> None:
    (to_120,) = notes(exchanged(), "A (drill), 2-pole to 1-pole")
    (to_240,) = notes(exchanged(), "C (saw), 1-pole to 2-pole")
    assert NEUTRAL_GAINED in to_120
    assert NEUTRAL_LOST in to_240
    (before,) = [note for note in sheet(exchanged()).notes if "Before a run serves other lines" in note]
    assert "its neutral is shared with no other" in before
    assert "from memory" in before
    assert not any("Before a run serves other lines" in note for note in sheet(worked("s1")).notes)


def test_a_white_wire_in_conduit_is_no_wire_to_re_mark() -> None:
    rooms = {**_building(), "forbid": {"wall drop": "left out", "armored drop": "left out"}}
    machines = [
        machine("saw", "C", "NEMA 6-20", drop("A", "NEMA 6-20") | {"method": "conduit drop"}),
        machine("drill", "A", "NEMA 5-20", drop("C", "NEMA 5-20") | {"method": "conduit drop"}),
    ]
    facts = laid_out(machines, building=rooms, shelf=[{"part": "receptacle-6-20"}])
    converted = [note for note in sheet(facts).notes if "-pole to " in note]
    assert all(IN_CONDUIT in note for note in converted)


@pytest.mark.parametrize(
    ("before", "after", "wires", "run", "found"),
    [
        ("NEMA 5-20", "NEMA 6-20", 2, "armored drop", [Conductor.WHITE_TO_HOT]),
        ("NEMA 5-20", "NEMA 6-20", 2, "conduit drop", [Conductor.WHITE_TO_HOT, Conductor.IN_CONDUIT]),
        ("NEMA 5-20", "NEMA 6-20", 3, "wall drop", [Conductor.WHITE_SPARED]),
        ("NEMA 6-20", "NEMA 5-20", 2, "wall drop", [Conductor.WHITE_TO_NEUTRAL]),
        ("NEMA 6-20", "NEMA L6-20", 2, "wall drop", []),
        ("disconnect", "NEMA 6-20", 2, "wall drop", []),
    ],
)
def test_another_receptacle_says_what_its_run_serves(
    before: str, after: str, wires: int, run: str, found: list[Conductor]
) -> None:
    """NFPA 70 200.6, 200.7(C)(1): the white wire of a cable is re-marked, in conduit a wire is pulled anew."""
    assert list(of_receptacles(before, after, wires, Method(run))) == found


def test_later_work_re_marks_the_white_wire_of_a_run_that_becomes_240_v() -> None:
    """NFPA 70 200.7(C)(1): a saw that is retooled from 120 to 240 V keeps its two-wire cable."""
    retooled = {"year": 1, "machine": "saw", "retool": {"volts": 240, "amps": 12}}
    saw = machine("saw", "A", "NEMA 5-20", drop("A", "NEMA 5-20"))
    facts = laid_out([saw], scenarios=[{"name": "grows", "weight": 1, "events": [retooled]}])
    words = [row.words for row in sheet(facts).later if "NEMA 6-20R in" in row.words]
    assert len(words) == 1
    assert NEUTRAL_LOST in words[0]
    assert "200.7(C)(1)" in words[0]
    (keep,) = sheet(facts).keep
    assert keep.endswith("which becomes 2-pole in year 1")
    for text in (scope_text(sheet(facts)), scope_csv(sheet(facts)), scope_page(sheet(facts))):
        assert keep in " ".join(text.split())


def _building() -> Row:
    return {"ceiling_height": "10 ft", "patching": False}


def test_a_smaller_breaker_than_the_one_it_gets_is_a_question_of_the_wire() -> None:
    (note,) = notes(exchanged(), "C (saw) is on")
    assert note == (
        "C (saw) is on 15 A today: before 20 A verify the wire's size in every box and that nothing else is on it; "
        "if not, stop and price a new run"
    )
    assert not notes(exchanged(), "A (drill) is on")


def test_what_is_made_safe_is_whose_and_is_defined_once() -> None:
    (row,) = [row for row in sheet(chain()).work if "safe" in row.what]
    assert row.detail == "drill's old outlet, receptacle NEMA 5-20R"
    assert sheet(chain()).notes.count(MAKE_SAFE_MEANS) == 1
    assert not any(MAKE_SAFE_MEANS in entry.notes for entry in sheet(chain()).alternates)


def test_what_nobody_said_is_marked() -> None:
    facts = handed_on()
    saw = next(row for row in sheet(facts).circuits if row.machines == ("saw",))
    assert saw.assumed == " (amperes assumed from the receptacle: look)"
    assert saw.conductors == (
        "2 × 12 AWG (assumed from the receptacle: look); ground wire and cable in the wall (assumed: look)"
    )
    (panel,) = sheet(facts).panels
    shown = {row.at: row.today.breaker for row in panel.rows}
    assert shown["E"] == "20 A 2-pole (amperes assumed from the receptacle: look)"
    assert shown["A"] == "20 A 1-pole"
    marked = [
        row["section"] for row in _csv(facts) if row["state"] == "(amperes assumed from the receptacle: look)"
    ]
    assert marked == ["panel before", "panel after"]
    said = {"breaker": "20 A", "poles": 2, "awg": "12", "conductors": 2}
    idle = {"place": "E", "panel": "panel", "method": "wall drop", "configuration": "NEMA 6-20"} | said
    told_all = laid_out([machine("saw", "E", "NEMA 6-20", cord("A", "NEMA 6-20", 40))], installed=[idle])
    assert [row.assumed for row in sheet(told_all).circuits] == [""]


def test_only_what_is_filled_in_is_marked_as_assumed() -> None:
    """The owner states amperes, wire size and the ground; poles and number of wires follow from the receptacle."""
    now = {
        "method": "wall drop",
        "panel": "panel",
        "configuration": "NEMA 6-20",
        "breaker": "20 A",
        "awg": "12",
    }
    paper = sheet(laid_out([machine("saw", "E", "NEMA 6-20", now | {"ground_awg": "12"})]))
    (row,) = paper.circuits
    assert row.assumed == ""  # the face of its receptacle shows the poles
    assert row.conductors == (
        "2 × 12 AWG (number of wires assumed: look); 12 AWG ground; cable in the wall (assumed: look)"
    )
    (panel,) = paper.panels
    assert [row.today.breaker for row in panel.rows] == ["20 A 2-pole"]
    assert paper.notes.count(OWNERS_WORD) == 1


def test_a_run_that_is_there_is_about_as_long_as_its_route() -> None:
    """35 ft of route; a new one has 5 ft for its ends."""
    rows = {row.machines[0]: (row.is_there, row.run_ft) for row in sheet(chain()).circuits}
    assert rows == {
        "sander": (True, 25),
        "saw": (True, 15),
        "drill": (True, 20),
        "jointer": (False, 40),
    }
    text = " ".join(scope_page(sheet(chain())).split())
    assert "wall drop, there already, about 25 ft" in text
    assert "wall drop, 40 ft with ends and waste" in text


def test_an_idle_outlet_is_tested_before_it_is_used() -> None:
    (row,) = [row for row in sheet(handed_on()).work if row.besides is Besides.TEST]
    assert (row.place, row.machines, row.detail) == ("E", ("saw",), "receptacle NEMA 6-20R, idle so far")
    assert not [row for row in sheet(chain()).work if row.besides is Besides.TEST]


# later work ---------------------------------------------------------------------------------------


def test_later_work_has_its_year_its_way_and_its_length() -> None:
    facts = they_change_places()
    rows = [(row.when, row.moves, row.place, row.words) for row in sheet(facts).later]
    run = "wall drop from panel, 40 ft, 2 × 12 AWG and 12 AWG ground, receptacle NEMA 6-20R"
    moves = "drill, bench A to bench C"
    assert rows == [
        ("2", moves, "bench A", "make unused wiring safe: drill's old outlet, receptacle NEMA 6-20R"),
        ("2", moves, "bench C", f"run the cable: {run}"),
        ("2", moves, "bench C", "set the box and the outlet"),
        (
            "2",
            moves,
            "in panel",
            "set the breaker and land the circuit: circuit at bench C: 2-pole 20 A on "
            "(out of the circuit at bench A)",
        ),
        (
            "2",
            moves,
            "in panel",
            "correct the directory: bench A: made safe, strike it out (drill until now); "
            "bench C: drill (new)",
        ),
    ]
    listed = [row for row in _csv(facts) if row["section"] == "later work"]
    assert [row["what"] for row in listed] == [words for *_, words in rows]


def rented(**more: Any) -> Facts:
    """A saw on a cord and a drill on a drop, as they are, in a building whose landlord has all fixed wiring taken out."""
    machines = [
        machine("saw", "C", "NEMA 6-20", cord("C", "NEMA 6-20", 40)),
        machine("drill", "A", "NEMA 6-20", drop("A", "NEMA 6-20")),
    ]
    for entry, method in zip(machines, ("cord", "wall drop"), strict=True):
        entry["ways"] = {"only": [method], "hard_wired": False}
    building = _building() | {"construction": "type V", "finished_walls": True}
    building["lease"] = {"ends": 2, "take_out": True, "there_too": True}
    out = {"take out": {"tasks": [{"task": "make-safe"}]}}
    return laid_out(machines, building=building, years=4, recipes=out, **more)


def test_take_outs_stand_where_the_outlet_is_and_in_the_year_in_which_the_last_machine_goes() -> None:
    """The lease would end in year 2; the saw's outlet is beside the panel, wherever its cord goes."""
    rows = [(row.when, row.machine, row.place) for row in sheet(rented()).later if "safe" in row.what]
    assert rows == [("4", "drill", "A"), ("4", "saw", "beside panel")]
    assert dict(sheet(rented()).site)["lease"] == (
        "ends in 2 years, fixed wiring then comes out, what is there today too; as planned: counted as renewed to year 4"
    )


def test_take_outs_of_a_building_left_say_so_and_each_scenario_has_its_year() -> None:
    """New outlets of the other building have the same places; a lease that runs to year 5 ends after the plan."""
    goes = {"name": "goes", "weight": "0.4", "events": [{"year": 3, "shop_moves": True}]}
    stay = {"name": "stay", "weight": "0.6", "lease_ends": 5}
    paper = sheet(rented(scenarios=[stay, goes]))
    rows = [(row.when, row.machine, row.place) for row in paper.later if "safe" in row.what]
    left = "in the building left"
    assert rows == [("3, if goes", "drill", f"A, {left}"), ("3, if goes", "saw", f"beside panel, {left}")]
    assert dict(paper.site)["lease"] == (
        "ends in 2 years, fixed wiring then comes out, what is there today too; "
        "stay: it runs to year 5; goes: counted as renewed to year 3"
    )


@pytest.mark.parametrize(
    ("known", "said"),
    [({}, True), ({"new_building": "not known"}, True), ({"new_building": "as here"}, False)],
)
def test_work_in_a_building_that_nobody_described_is_said_to_be_as_in_this_one(
    known: dict[str, str], said: bool
) -> None:
    goes = {"name": "goes", "weight": "1", "events": [{"year": 3, "shop_moves": True} | known]}
    facts = rented(scenarios=[goes])
    (best,) = best_plans(Bench.over(facts, facts.shop.money.surplus), 1)
    for words in (sheet(facts).later_asked, assumed_of_the_next_building(facts, best)):
        assert any("as in this building: its service and phases" in line for line in words) is said


def test_a_plug_on_a_machine_s_own_cord_is_put_on_at_the_machine() -> None:
    """The cord and its ends start at the outlet beside the panel."""
    bare = machine("saw", "C", "NEMA 6-20", ways={"only": ["cord"], "hard_wired": False})
    del bare["plug"]
    rows = sheet(laid_out([bare])).owner_does
    assert {row.place for row in rows if row.what == "put on a plug"} == {"C"}
    assert {row.place for row in rows if row.what == "make up and hang a cord"} == {"beside panel"}


def _csv(facts: Facts) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(scope_csv(sheet(facts)))))


def test_without_work_today_the_sheet_says_so_first() -> None:
    facts = they_change_places()
    words = "No electrician's work today; asked for are the alternates and the later work only."
    assert sheet(facts).nothing_today == words
    assert scope_text(sheet(facts)).split("\n\n")[1] == words
    assert words in scope_page(sheet(facts)).replace("&#39;", "'")
    assert sheet(chain()).nothing_today == ""


# the owner ----------------------------------------------------------------------------------------


def test_parts_of_the_owner_s_cords_are_not_in_the_bid() -> None:
    paper = sheet(handed_on())
    assert [(part.what, part.goes_to) for part in paper.owner_supplies] == [
        ("receptacle, NEMA 5-20R", "beside panel"),
        ("blank cover", "A"),
    ]
    assert [(part.what, part.condition, part.goes_to) for part in paper.owners_cords] == [
        ("plug, NEMA 5-20P", "new", "C"),
        ("connector body, NEMA 5-20R", "new", "C"),
        ("cord 12/3, 40 ft, from saw", "on-hand", "C"),
        ("overhead kit, from saw", "on-hand", "C"),
    ]
    for text in (scope_text(paper), scope_page(paper).replace("&#39;", "'")):
        assert "Owner's cords, not in this bid" in text


def test_what_is_taken_out_stays_with_the_owner() -> None:
    assert sheet(handed_on()).left_with_owner == (
        "1 x breaker 2-pole 20 A, out of the circuit beside panel",
        "1 x connector NEMA 6-20, saw's until now",
        "1 x plug NEMA 6-20, saw's until now",
        "1 x receptacle NEMA 5-20R, out of the outlet at A",
        "1 x receptacle NEMA 6-20R, out of the outlet beside panel",
    )


def test_parts_go_to_their_places() -> None:
    going = {part.what: part.goes_to for part in sheet(exchanged()).owner_supplies}
    assert going["receptacle NEMA 5-20"] == "A"
    assert going["receptacle NEMA 6-20"] == "C"
    (breaker,) = [what for what in going if what.startswith("breaker")]
    assert going[breaker] == "panel"


def test_what_is_changed_at_a_run_that_stays_goes_to_its_end() -> None:
    """The saw's run at A and the breaker are there; only its receptacle is bought, and a drill's beside the panel."""
    thin = drop("A", "NEMA 5-20") | {"duplex": True}
    machines = [machine("saw", "A", "NEMA 6-20", thin), machine("drill", "C", "NEMA 6-20")]
    machines[1]["ways"] = {"forbid": {"wall drop": "no", "conduit drop": "no", "armored drop": "no"}}
    panels = [panel | {"spaces_free": 8} for panel in worked("s13").shop.model_dump()["panels"]]
    paper = sheet(laid_out(machines, panels=panels))
    (changed,) = [part for part in paper.owner_supplies if part.what.startswith("receptacle, NEMA 6-20R")]
    assert changed.quantity == 2
    assert changed.goes_to == "A, beside panel"


def test_a_cord_that_is_hung_says_to_where() -> None:
    (row,) = [row for row in sheet(handed_on()).owner_does if "cord" in row.what]
    assert row.words == "make up and hang a cord: from beside panel to C, 40 ft"


# questions ----------------------------------------------------------------------------------------


def test_circuits_that_change_are_a_question_of_the_permit() -> None:
    words = (
        "A (drill), C (saw) change in voltage, poles or breaker size: is a permit needed here? ____________"
    )
    assert words in sheet(exchanged()).permits
    assert not [entry for entry in sheet(worked("s1")).permits if entry.endswith("____")]


def test_protection_of_what_is_set_or_changed_is_asked_and_not_decided() -> None:
    asked = [entry for entry in sheet(exchanged()).asked if entry.startswith(FAULT)]
    assert asked == [
        f"{FAULT} at A (drill, NEMA 5-20): is it required here? Price with: ____________ without: ____________",
        f"{FAULT} at C (saw, NEMA 6-20): is it required here? Price with: ____________ without: ____________",
    ]
    assert not [entry for entry in sheet(worked("s1")).asked if entry.startswith(FAULT)]
    for facts in (exchanged(), chain()):
        assert "without ground-fault" not in scope_text(sheet(facts))


def test_an_alternate_names_its_tasks_that_need_a_permit() -> None:
    (needed,) = alternate(handed_on(), "saw by cord from panel").permits
    assert needed.startswith(
        "For what it adds, by the owner's list these need one: run to an outlet beside the panel;"
    )
    facts = unlisted()
    words = {words for entry in sheet(facts).alternates for words in entry.permits}
    assert "For what it adds, none by the owner's list: needed here? ____________" in words


@cache
def unlisted() -> Facts:
    """The same shop where no task needs a permit."""
    facts = handed_on()
    tasks = [task.model_copy(update={"permit": False}) for task in facts.catalog.tasks]
    return Facts(facts.shop, facts.catalog.model_copy(update={"tasks": tasks}))


def test_an_alternate_asks_of_the_receptacles_that_it_sets_itself() -> None:
    """The base asks of the one beside the panel that the drill takes over; in the alternate the drill's is new."""
    other = alternate(handed_on(), "drill by wall drop from panel, saw by cord from panel")
    assert other.protection == (
        f"{FAULT} at C (drill, NEMA 5-20): is it required here? Price with: ____________ without: ____________",
    )
    new = alternate(handed_on(), "saw by cord from panel").protection
    assert [words for words in new if words in sheet(handed_on()).asked] == list(new) != []
    paper = sheet(handed_on())
    for text in (scope_text(paper), scope_page(paper), scope_csv(paper)):
        assert "Ground-fault protection" in text
        assert "at C (drill, NEMA 5-20)" in text


def test_later_work_asks_of_its_permit_and_its_receptacles() -> None:
    paper = sheet(they_change_places())
    permit, fault = paper.later_asked
    assert permit.startswith("Permit for later work: by the owner's list these need one: run the cable;")
    assert fault == (
        f"Year 2: {FAULT} at bench C (drill, NEMA 6-20): is it required here? "
        "Price with: ____________ without: ____________"
    )
    for text in (scope_text(paper), scope_csv(paper), scope_page(paper)):
        assert "The bidder supplies the parts of later work" in text.replace("&#39;", "'")
        assert "Year 2: Ground-fault protection" in text


def test_an_alternate_with_other_later_work_has_a_blank_for_each() -> None:
    paper = sheet(they_change_places())
    split = [entry for entry in paper.alternates if entry.later_instead]
    assert split
    assert paper.totals[:2] == ("base", "later work, base")
    for entry in split:
        words = f"Alternate {entry.letter}, add or deduct: today ______________ / later work ______________"
        assert words in scope_text(paper)
        assert words in scope_page(paper)
        assert f"alternate {entry.letter}, later work, add or deduct" in paper.totals
    assert "later work, base" not in sheet(chain()).totals


def test_a_blank_for_every_total() -> None:
    assert sheet(chain()).totals == (
        "base",
        "permit",
        "visits",
        "load calculation (NEC 220)",
        "new parts in place of the owner's 1 that are not new, add",
        "alternate A, add or deduct",
        "alternate B, add or deduct",
    )
    rows = section(scope_text(sheet(chain())), "Totals")
    assert all(row.endswith("____________") for row in rows[3:])


@pytest.mark.parametrize("facts", [chain, handed_on, exchanged, cords], ids=lambda made: made.__name__)
def test_the_sheet_fits_a_page(facts: Any) -> None:
    paper = sheet(facts())
    lines = scope_text(paper).split("\n")
    assert [line for line in lines if len(line) > 100 and line != paper.caution] == []


@pytest.mark.parametrize("facts", [chain, handed_on, exchanged, cords], ids=lambda made: made.__name__)
def test_the_page_and_the_csv_say_what_the_text_says(facts: Any) -> None:
    paper = sheet(facts())
    page = " ".join(scope_page(paper).replace("&#39;", "'").replace("&#34;", '"').split())
    cells = {cell for row in _csv(facts()) for cell in row.values()}
    said = [row.words for row in (*paper.work, *paper.owner_does)]
    said += [*paper.notes, *paper.left_with_owner, *paper.totals, *paper.permits]
    for entry in paper.alternates:
        said += [row.words for row in (*entry.leaves_out, *entry.adds)]
        said += [*entry.after, *entry.owner_instead]
    for words in said:
        assert words in page, words
        assert words in cells, words
    assert sum(row.quantity for row in paper.work) >= Decimal(0)


# cords of alternates ------------------------------------------------------------------------------


def test_a_cord_that_hangs_elsewhere_is_rehung_by_the_owner() -> None:
    """The saw's cord hangs to A and the saw stands at E."""
    other = alternate(handed_on(), "saw by cord from panel")
    saw = other.circuits[0]
    assert saw.cord.endswith("the same cord, rehung from A to E: owner")
    assert saw.state == "the outlet is as it is now, nothing to do at it"
    assert "does: hang a cord: 40 ft, rehung from A to E (beside panel, saw)" in other.owner_instead


def test_a_whole_cord_of_another_machine_is_hung_by_the_owner() -> None:
    facts = eye_four()
    rows = [row.words for row in sheet(facts).owner_does if row.machines == ("planer",)]
    assert rows == ["hang a cord: 30 ft, saw's until now, rehung from D to A"]


@cache
def eye_four() -> Facts:
    """A planer whose cord is too short gets the one of a saw that goes farther than it reaches."""
    return laid_out(
        [
            machine("saw", "C", "NEMA 6-20", cord("D", "NEMA 6-20", 30)),
            machine("planer", "A", "NEMA 6-20", cord("B", "NEMA 6-20", 20)),
        ]
    )


@pytest.mark.parametrize("name", NAMES)
def test_an_alternate_s_directory_takes_the_place_of_the_base_s(name: str) -> None:
    facts = worked(name)
    base = _directory(sheet(facts).work)
    for entry, plan in zip(sheet(facts).alternates, ranked(facts)[1:], strict=True):
        alone = scope_sheet(cast(Comparison, SimpleNamespace(facts=facts, plans=(plan,))))
        mine = _directory(alone.work)
        both = [place for place in mine if place in base and mine[place] != base[place]]
        assert entry.directory == tuple(f"{place}: {mine[place]}" for place in both)


def _directory(rows: tuple[WorkRow, ...]) -> dict[str, str]:
    return {row.place: row.detail for row in rows if row.besides is Besides.DIRECTORY}


def test_the_directory_of_an_alternate_is_on_every_paper() -> None:
    entry = alternate(handed_on(), "saw by cord from panel")
    assert entry.directory
    paper = sheet(handed_on())
    for text in (scope_text(paper), scope_page(paper), scope_csv(paper)):
        assert "Instead, directory" in text


def test_cable_of_an_alternate_is_told_in_pieces() -> None:
    other = alternate(cords(), "planer by cord from panel, saw by wall drop from panel")
    cables = [words for words in other.owner_instead if "flexible cord" in words]
    assert cables == [
        "no more: 25 ft in one piece, flexible cord SOOW 12/3, hard service, 600 V, new",
        "brings: 30 ft in one piece, flexible cord SOOW 12/3, hard service, 600 V, new",
    ]
    assert "brings: 1 set, ends and kit: the planer's own, on-hand" in other.owner_instead


# drives -------------------------------------------------------------------------------------------


@cache
def drives() -> Facts:
    """A mill and a lathe on wall drops of 30 and 20 A change places, and each takes the drive that suits the other's outlet."""
    large, small = drop("A", "NEMA 6-30"), drop("B", "NEMA 6-20")
    thick = {"breaker": "30 A", "poles": 2, "awg": "10", "drive": "large"}
    rated = {"volts": 240, "phases": 3, "hp": 3, "ways": {"hard_wired": False, "only": ["wall drop"]}}
    rated |= {"disconnected_by": "breaker"}
    machines = [
        {"name": "mill", "at": "B", "plug": "NEMA 6-30", "now": large | thick} | rated,
        {"name": "lathe", "at": "A", "plug": "NEMA 6-20", "now": small | {"drive": "small"}} | rated,
    ]
    facts = laid_out(machines)
    catalog, names = facts.catalog, ("hp", "volts", "output_a", "input_a", "efficiency")
    sizes = {"small": (3, 240, 11, 16, Decimal("0.96")), "large": (5, 240, 18, 24, Decimal("0.96"))}
    sold: dict[str, tuple[str, Row]] = {
        name: ("drive", dict(zip(names, values, strict=True))) for name, values in sizes.items()
    } | {
        "breaker-2p-30": (
            "breaker",
            {"family": "family A", "poles": 2, "rating_a": 30, "ground_fault": False, "volts": 240},
        ),
        "nm-10-2": ("building cable", {"awg": "10", "conductors": 2, "ground_awg": "10"}),
        "receptacle-6-30": ("receptacle", {"configuration": "NEMA 6-30"}),
        "plug-6-30": ("plug", {"configuration": "NEMA 6-30"}),
    }
    parts = [
        Part.model_validate({"id": name, "kind": kind, "name": name, "attributes": attributes})
        for name, (kind, attributes) in sold.items()
    ]
    last = max(offer.row for offer in catalog.offers)
    said = {"supplier": "store", "condition": "new", "price": 200}
    offers = [
        Offer.model_validate(
            said | {"part": name, "row": last + row, "per": "ft" if name == "nm-10-2" else "each"}
        )
        for row, name in enumerate(sold, 1)
    ]
    kind = Kind.model_validate({"kind": "drive", "attributes": list(names), "portable": True})
    fitted = Recipe.model_validate({"tasks": [{"task": "change-device"}]})
    update = {
        "parts": [*catalog.parts, *parts],
        "offers": [*catalog.offers, *offers],
        "kinds": [*catalog.kinds, kind],
        "recipes": {**catalog.recipes, "drive": fitted},
    }
    return Facts(facts.shop, catalog.model_copy(update=update))


def test_a_drive_that_changes_machines_is_named_in_the_work() -> None:
    work = {place: words for place, words in told(sheet(drives()).work) if "drive" in words}
    end = "set it to the motor's nameplate, test the direction"
    assert work == {
        "A": f"change a device: take the 5 hp drive off the mill, fit and wire it to the lathe, {end}",
        "B": f"change a device: take the 3 hp drive off the lathe, fit and wire it to the mill, {end}",
    }


def test_drives_have_a_block_of_their_own_with_the_plug_on_the_line_cord() -> None:
    paper = sheet(drives())
    more = "copper or thicker, as the circuit is sized; a flexible cord may need more"
    assert sorted(paper.drives) == [
        f"3 hp drive: off the lathe, onto the mill; plug NEMA 6-20, the owner puts it on; its line cord 12 AWG {more}",
        f"5 hp drive: off the mill, onto the lathe; plug NEMA 6-30, the owner puts it on; its line cord 10 AWG {more}",
    ]
    assert f"lathe, mill: {remark(Topic.DRIVE).work}" in paper.notes
    for text in (scope_text(paper), scope_page(paper)):
        assert "Drives that change machines" in text
    assert [row["what"] for row in _csv(drives()) if row["section"] == "drive changes machines"] == list(
        paper.drives
    )


def test_fitting_a_drive_is_not_excluded() -> None:
    assert (
        sheet(drives()).not_included[-1].endswith("but for the drives and motors that this sheet has fitted")
    )
    assert sheet(chain()).not_included[-1].endswith("motors and controls inside them")


# panels -------------------------------------------------------------------------------------------


def test_spaces_side_by_side_are_asked_for_where_a_breaker_of_two_poles_goes_in() -> None:
    words = (
        "panel: Are the free spaces side by side, as a breaker of two poles or more needs them? ____________"
    )
    assert words in sheet(chain()).asked
    assert words not in sheet(drives()).asked


def test_openings_are_closed_whatever_way_is_chosen() -> None:
    assert "close every opening left, whatever way is chosen" in " ".join(scope_text(sheet(chain())).split())


def test_a_later_directory_names_two_circuits_that_end_beside_one_panel() -> None:
    """A machine leaves an outlet beside the panel and gets another one there."""
    steps = [
        Step(act, "saw", outlet_item(OutletKey(0, end, "panel", "beside panel", 2, Method.CORD)))
        for act, end in ((Act.MAKE_SAFE, "NEMA 6-20"), (Act.BUY, "NEMA 6-30"))
    ]
    hired = [SimpleNamespace(step=step, scenario="", year=2, machine="saw") for step in steps]
    ((_, row),) = directories(handed_on(), cast(list[Line], hired), {"": {}})
    assert row.detail == (
        "beside the panel: made safe, strike it out (saw until now); beside the panel: saw (new)"
    )
