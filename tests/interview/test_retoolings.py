"""A retooling in a line of notes, as people say it: what is read, what stays, what is refused, and its event."""

from dataclasses import replace
from pathlib import Path

import pytest
from typer.testing import CliRunner

from costplan.cli.main import app
from costplan.interview.answer_readers import facts
from costplan.interview.answers import SAMPLE
from costplan.interview.asking import Known
from costplan.interview.machine_line import MachineAnswer, PanelAnswer, read_machine
from costplan.interview.standing_apart import each_apart
from costplan.interview.starting_room import shortages
from costplan.interview.told_facts import facts_in, read_facts
from costplan.interview.told_retoolings import Retooling, read_retooling
from costplan.model.events import Event
from costplan.model.loading import load_shop_with_places

OK, USER_MISTAKE = 0, 2
HEAD = """\
shop: Invented
today: 2026-11-02
occupancy: commercial
panel: main; 120/240 single-phase; family A; 42
panel: far; 240 three-phase; family B; 24
"""


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("retooled to 240 V, 6.5 A in year 2", Retooling(2, "240", (("amps", "6.5 A"),))),
        ("retooled to 240 V 3 hp three-phase in 3 years", Retooling(3, "240", (("hp", "3 hp"),), 3)),
        ("rewired for 240 V next year", Retooling(1, "240")),
        ("rewired for 240 next year", Retooling(1, "240")),
        ("converted to 240 V single-phase in year 3", Retooling(3, "240", (), 1)),
        (
            "is retooled to three-phase, 208-230 volts, 5 hp and 14 A after 2 years",
            Retooling(2, "208-230", (("hp", "5 hp"), ("amps", "14 A")), 3),
        ),
        ("in year 4 retooled to 240 V single phase", Retooling(4, "240", (), 1)),
        ("3 of them retooled to 240 V, 6.5 A in a year", Retooling(1, "240", (("amps", "6.5 A"),), None, 3)),
        ("all are refitted with 5 hp within 2 years", Retooling(2, None, (("hp", "5 hp"),))),
    ],
)
def test_retoolings_as_spoken(text: str, meant: Retooling) -> None:
    assert read_retooling(text) == meant
    assert read_retooling(meant.words) == meant
    assert read_facts([*(["3"] if meant.how_many else []), text]).retoolings == (meant,)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("retooled in 2 years", "does not say to what"),
        ("retooled to 240 V, 6.5 A", "does not say when"),
        ("retooled to 240 V, 6.5 A in 2029", "in how many years"),
        ("retooled to 240 V, 6.5 A in 6 months", "whole years: write in 1 year"),
        ("retooled to 240 V, 6.5 A in year 2.5", "whole number from 1 to 60"),
        ("retooled to 240 V, 6.5 in year 2", "write the unit"),
        ("retooled to 300 V, 6.5 A in year 2", "allowed: 120, 208, 240, 480"),
        ("many of them retooled to 240 V, 6.5 A in year 2", "how many are retooled"),
    ],
)
def test_what_lacks_of_a_retooling_is_asked(text: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        read_facts([text])


def later(line: str) -> list[tuple[int, int | None, str]]:
    """The plates to come of a machine's line, in words."""
    return [(each.year, each.how_many, each.plate.words) for each in read_machine(line).retooled]


def test_what_was_not_said_stays_and_is_said() -> None:
    """Horsepower is the motor's; amperes are those of other volts and do not stay: the code's table has them then."""
    drill = read_machine("drill;; 120; 1 hp, 13 A; 1; 30 ft; retooled to 240 V in year 2")
    assert [each.plate.words for each in drill.retooled] == ["240 V, 1 hp, single-phase"]
    assert (
        "taken as 240 V, 1 hp, single-phase: what was not said stays; its amperes are then the code's"
        in drill.taken[0]
    )
    saw = "saw;; 240; 3 hp; 1; 30 ft; retooled to 5 hp in year 4; retooled to three-phase in year 2"
    assert later(saw) == [(2, None, "240 V, 3 hp, three-phase"), (4, None, "240 V, 5 hp, three-phase")]
    assert later("lathe;; 120; 1 hp; 1; 30 ft; retooled to 240 V, 6.5 A in year 2") == [
        (2, None, "240 V, 1 hp, 6.5 A, single-phase")
    ]
    told = read_machine("fan;; 120; 1 hp; 1; 30 ft; retooled to 240 V, 1 hp in year 2")
    assert (len(told.retooled), told.taken) == (1, ())
    # 6 kW at 230 V are 26.09 A, rounded up: P / V.
    assert later("kiln;; 208; 28 A; 1; 30 ft; heater; retooled to 230 V, 6 kW in year 2") == [
        (2, None, "230 V, 26.09 A, single-phase")
    ]


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("120; 13 A; 1; 30 ft; retooled to 240 V in year 2", "amperes alone, 13 A.*write them: retooled to 240 V, ... A in"),
        ("240; 12 A; 1; 30 ft; retooled to three-phase in year 2", "amperes alone, 12 A"),
        ("240; 3 hp; 1; 30 ft; retooled to 240 V in year 2", "names already"),
        ("240; 3 hp; 1; 30 ft; retooled to 240 V, 3 hp in year 2", "what it is already"),
        ("115/230; 14/7 A; 1; 30 ft; retooled to 230 V in year 2", "names already"),
        ("240; 3 hp; 1; 30 ft; retooled to 28 A in year 2", "another; write its horsepower too"),
        ("240; 18 A; 1; 30 ft; heater; retooled to 240 V, 8 hp in year 2", "motor's"),
        ("240; 9 A; 1; 30 ft; not a motor; retooled to 5 hp in year 2", "is not a motor"),
        ("240; 3 hp; 3; 30 ft; retooled to 120 V in year 2", "three-phase at 120 V"),
        ("120; 1 hp; 1; 30 ft; arrives in 3 years; retooled to 240 V in year 2", "arrives in year 3 only"),
        ("120; 1 hp; 1; 30 ft; arrives in 2 years; retooled to 240 V in year 2", "the plate it comes with"),
        ("120; 1 hp; 1; 30 ft; leaves in 2 years; retooled to 240 V in year 2", "has left in year 2"),
        ("120; 1 hp; 1; 30 ft; retooled to 240 V in year 2; rewired for 208 V in 2 years", "twice in year 2"),
        ("120; 1 hp; 1; 30 ft; 3; 4 of them retooled to 240 V in year 2", "there are 3"),
        (
            "120; 1 hp; 1; 30 ft; 3; 2 of them retooled to 240 V in year 2; retooled to three-phase in year 3",
            "not alike",
        ),
    ],
)  # fmt: skip
def test_contradictions_are_refused(line: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        read_machine(f"saw;; {line}")
    with pytest.raises(ValueError, match="has no plate"):
        read_machine("saw;;;;;; 2; quoted cord 90; retooled to 240 V, 3 A in year 2")


def test_a_group_that_stands_apart_is_retooled_nearest_first() -> None:
    """By hand: of four lathes three; both at 30 ft, and one of the two at 45 ft."""
    line = "lathe; ; 120; 1 hp; 1; 2 at 30 ft, 2 at 45 ft; 4; 3 of them retooled to 240 V in year 2"
    found = each_apart(replace(SAMPLE, machines=(read_machine(line),)))
    assert [[each.how_many for each in machine.retooled] for machine in found.machines] == [[None], [1]]


def test_spaces_count_what_a_retooling_takes_more() -> None:
    """One pole today and two once it is retooled; three for three phases, of which a circuit that is there has two."""

    def needed(line: str) -> list[int]:
        panel = PanelAnswer("main", "240 three-phase", "family B", "0")
        return [short.needed for short in shortages([panel], [read_machine(line)])]

    assert needed("drill;; 120; 1 hp; 1; 30 ft; 3; from main; retooled to 240 V in year 2") == [6]
    assert needed("saw;; 240; 3 hp; 1; 30 ft; retooled to three-phase in year 2") == [3]
    assert needed(
        "saw;; 240; 3 hp; 1; 30 ft; now conduit drop 6-20 20 A; retooled to three-phase in year 2"
    ) == [1]
    assert needed("saw;; 240; 3 hp; 1; 30 ft; now conduit drop 6-20 20 A") == []


def test_a_retooling_is_taken_in_the_dialogue() -> None:
    known = Known(
        here={"how many": "1", "load": "motor", "moves": "not planned", "today": "no", "more": "nothing"}
    )
    said = facts("own cord 8 ft, retooled to 240 V, 6.5 A in year 2", known)
    assert said == "own cord 8 ft; retooled to 240 V, 6.5 A in year 2"
    with pytest.raises(ValueError, match="does not say to what"):
        facts("retooled in 2 years", known)
    with pytest.raises(ValueError, match="has left in year 2"):
        facts("retooled to 240 V, 6.5 A in year 2, leaves in 2 years", known)


def test_a_comma_may_be_within_a_fact() -> None:
    said = "starts by itself, retooled to 240 V, 6.5 A in year 2, quoted cord 90, 15 a move, own cord 8 ft"
    assert list(facts_in(said)) == [
        *(
            "starts by itself",
            "retooled to 240 V, 6.5 A in year 2",
            "quoted cord 90, 15 a move",
            "own cord 8 ft",
        )
    ]


def start(folder: Path, page: str) -> tuple[int, str, Path]:
    """Exit status, what was said, and the file, of a start from a page."""
    notes, file = folder / "notes.txt", folder / "shop.yaml"
    notes.write_text(HEAD + page, encoding="utf-8")
    done = CliRunner().invoke(app, ["start", str(file), "--catalog", "demo", "--machines", str(notes)])
    return done.exit_code, done.output, file


def events(file: Path) -> dict[str, list[Event]]:
    """The events of each scenario."""
    shop = load_shop_with_places(file).shop
    assert shop is not None
    return {scenario.name: scenario.events for scenario in shop.scenarios}


def told(event: Event) -> tuple[object, ...]:
    """What an event of a retooling says."""
    plate = event.retool
    assert plate is not None
    return (
        event.machine,
        event.year,
        event.how_many,
        int(plate.volts),
        plate.phases,
        plate.hp,
        plate.amps_a,
        plate.continuous,
    )


DRILL = "drill;; 120; 1 hp; 1; 30 ft; retooled to 240 V in year 2\n"
LATHES = "lathe;; 120; 13 A; 1; 40 ft; 4; continuous; 3 of them retooled to 240 V, 6.5 A next year\n"
RETOOLED = [("drill", 2, None, 240, 1, 1, None, None), ("lathe", 1, 3, 240, 1, None, 6.5, True)]


def test_where_nothing_moves_the_scenario_has_the_retoolings_alone(tmp_path: Path) -> None:
    status, said, file = start(tmp_path, DRILL + LATHES)
    assert status == OK, said
    assert {name: [told(event) for event in found] for name, found in events(file).items()} == {
        "machines are retooled": RETOOLED
    }


@pytest.mark.parametrize(
    ("more", "scenarios"),
    [
        ("saw;; 240; 3 hp; 1; 30 ft; moves once or twice a year\n", ["machines are moved seldom", "machines are moved often"]),
        ("moves a year: 2\n", ["machines are moved in turn"]),
        ("lease: ends 3, take out, we move\n", ["machines are retooled"]),
    ],
)  # fmt: skip
def test_every_course_of_events_has_the_retoolings(more: str, scenarios: list[str], tmp_path: Path) -> None:
    status, said, file = start(tmp_path, DRILL + LATHES + more)
    assert status == OK, said
    found = events(file)
    assert list(found) == scenarios
    for each in found.values():
        assert [told(event) for event in each if event.retool is not None] == RETOOLED
    assert any(event.shop_moves for each in found.values() for event in each) == ("lease" in more)


def test_a_machine_moves_only_while_it_is_there(tmp_path: Path) -> None:
    """By hand, in 6 years: one that comes in year 2 moves in 3, 4 and 5; one that goes in year 4 in 2; one from 5 on never."""
    status, said, file = start(
        tmp_path,
        "years: 6\n"
        "saw;; 240; 3 hp; 1; 30 ft; arrives in 2 years; moves twice a year; retooled to three-phase in year 3\n"
        "fan;; 240; 3 hp; 1; 30 ft; leaves in 4 years; moves every 2 years\n"
        "iron;; 120; 3 A; 1; 30 ft; arrives in 5 years; moves every year\n"
        "file;; 120; 3 A; 1; 30 ft; arrives in 1 year; moves every 2 years; back and forth 40 ft, 12 ft apart\n",
    )
    assert status == OK, said
    (found,) = events(file).values()
    assert [(each.machine, each.years, each.times, each.move) for each in found if each.years] == [
        ("saw", [3, 4, 5], 2, None),
        ("fan", [2], 1, None),
        ("file", [3], 1, "other spot of file"),
        ("file", [5], 1, "file"),
    ]
    assert [told(each)[:2] for each in found if each.retool is not None] == [("saw", 3)]


@pytest.mark.parametrize(
    ("page", "why"),
    [
        ("years: 4\n" + DRILL.replace("year 2", "year 4"), "drill: it is retooled in year 4, but the plan ends with year 4"),
        (DRILL.replace("year 2", "year 9"), "but the plan ends with year 5"),
        (LATHES.replace("240 V, 6.5 A", "480 V, 3 A"), "480 V"),
        (DRILL.replace("240 V", "240 V, 700 hp"), "hp is 700 hp in year 2, for which the code's table"),
    ],
)  # fmt: skip
def test_a_retooling_that_the_shop_cannot_have_is_refused(page: str, why: str, tmp_path: Path) -> None:
    status, said, file = start(tmp_path, page)
    assert status == USER_MISTAKE
    assert why in " ".join(said.split())
    assert not file.exists()


def test_a_late_retooling_is_tried_in_a_plan_that_is_long_enough(tmp_path: Path) -> None:
    status, said, _ = start(tmp_path, "years: 12\n" + DRILL.replace("year 2", "year 9"))
    assert status == OK, said


def test_a_machine_is_what_its_line_says() -> None:
    machine = read_machine("saw;; 240; 3 hp; 1; 30 ft; retooled to three-phase in year 2")
    assert isinstance(machine, MachineAnswer)
    assert (machine.poles, machine.most_poles) == (2, 3)
