"""Words as people say them in a guided start: moves, plates, ranges, peaks, tandem breakers, turns."""

from dataclasses import replace
from decimal import Decimal

import pytest

from costplan.interview.answer_readers import amps as amps_read
from costplan.interview.answer_readers import moves as moves_read
from costplan.interview.answer_readers import name_in
from costplan.interview.answers import SAMPLE, StrategyAnswer, family_reader, read_spaces, singles
from costplan.interview.asking import Known
from costplan.interview.machine_line import PanelAnswer, read_machine
from costplan.interview.ranges_told import told_back
from costplan.interview.room_told import Alike, Peak, TandemAnswer, read_peak, read_tandems, read_turns
from costplan.interview.standing_apart import each_apart
from costplan.interview.starting_room import shortages
from costplan.interview.told_facts import read_facts
from costplan.interview.told_lengths import longer_of
from costplan.interview.told_moves import Moves, read_moves
from costplan.interview.told_plates import read_loads
from costplan.model.part_of_catalog import only, relabelled, sellers_of, sold_by, some_suppliers


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("twice a year", Moves(1, None, 2)),
        ("5 of them every January", Moves(1, 5)),
        ("18 of 34 move each January", Moves(1, 18)),
        ("every 3 years", Moves(3)),
        ("every 6 months", Moves(1, None, 2)),
        ("a couple of times a year", Moves(1, None, 2)),
        ("7 move every year", Moves(1, 7)),
        ("moves every other year", Moves(2)),
        ("3 times a year", Moves(1, None, 3)),
        ("monthly", Moves(1, None, 12)),
        ("once a month", Moves(1, None, 12)),
        ("twice a month", Moves(1, None, 24)),
        ("moves 1 a year", Moves(1)),
        ("moves 2 a year", Moves(1, None, 2)),
        ("2 moves a year", Moves(1, None, 2)),
        ("moves once each year", Moves(1)),
        ("once every 2 years", Moves(2)),
    ],
)
def test_moves_as_spoken(text: str, meant: Moves) -> None:
    assert read_moves(text) == meant
    assert read_moves(meant.words) == meant


def test_a_bare_number_of_moves_of_a_group_may_be_either() -> None:
    """Two of twelve once a year are 2 moves a year, all twelve twice a year 24."""
    for text in ("moves 2 a year", "2 moves a year"):
        assert read_machine(f"saw;; 240; 3 hp; 1; 30 ft; {text}").told.moves == Moves(1, None, 2)
        with pytest.raises(ValueError, match="write 2 move every year, or moves twice a year"):
            read_machine(f"saw;; 240; 3 hp; 1; 30 ft; 12; {text}")
        with pytest.raises(ValueError, match="write 2 move every year, or moves twice a year"):
            moves_read(text, Known(here={"how many": "12"}))
    assert moves_read("2 a year", Known(here={"how many": "1"})) == "2 times a year"


@pytest.mark.parametrize(
    ("text", "least", "most"),
    [
        ("once or twice a year", Moves(1), Moves(1, None, 2)),
        ("moves 1-2 times a year", Moves(1), Moves(1, None, 2)),
        ("moves every 2 to 3 years", Moves(3), Moves(2)),
        ("4 of them move once or twice a year", Moves(1, 4), Moves(1, 4, 2)),
    ],
)
def test_a_range_of_moves_has_its_least_and_its_most(text: str, least: Moves, most: Moves) -> None:
    found = read_moves(text)
    assert (replace(found, most=None), found.most) == (least, most)
    assert read_moves(found.words) == found


def test_a_range_that_is_not_one_of_moves_is_refused() -> None:
    for text in ("3-4 of them every year", "4-6 times a month"):
        with pytest.raises(ValueError, match="write"):
            read_moves(text)


@pytest.mark.parametrize(
    ("option", "text", "kept"),
    [
        # By hand: the middle is (95 + 125) / 2 = 110, (15 + 18) / 2 = 16.5 cents, (1 + 2) / 2 = 1.5.
        ("rate", "95 to 125 an hour", "[95, 110, 125]"),
        ("rate", "between $125 and $95", "[95, 110, 125]"),
        ("rate", "[95, 100, 125]", "[95, 100, 125]"),
        ("rate", "95-95", "95"),
        ("electricity", "15-18 cents a kWh", "[0.15, 0.165, 0.18]"),
        ("moves-per-year", "once or twice a year", "[1, 1.5, 2]"),
        ("moves-per-year", "twice a year", "2"),
    ],
)
def test_what_the_file_takes_a_range_for_is_kept_as_one(option: str, text: str, kept: str) -> None:
    assert singles()[option].read(text) == kept
    assert singles()[option].read(kept) == kept


def test_an_end_of_a_range_is_held_to_the_same_bounds() -> None:
    for option, text in (("rate", "95 or ask"), ("electricity", "15 cents to 900 cents"), ("rate", "0-95")):
        with pytest.raises(ValueError, match="write"):
            singles()[option].read(text)
    assert told_back("[95, 110, 125]", "an hour") == "95 to 125 an hour, most likely 110"
    assert told_back("95") == ""


def test_the_same_fact_said_twice_counts_once() -> None:
    assert read_facts(["bolted down", "never moves"]) == read_facts(["bolted down"])


def test_volts_in_the_place_of_amperes_and_spaces_in_that_of_a_label_are_asked_again() -> None:
    with pytest.raises(ValueError, match="looks like its volts; write its amperes, or 240 A"):
        amps_read("240", Known())
    assert amps_read("240 A", Known()) == "240 A"
    with pytest.raises(ValueError, match="a number; write the letters on its label"):
        family_reader(None, "main")("8")
    assert family_reader(None, "main")("K7") == "K7"


@pytest.mark.parametrize(
    "text", ["soon", "5 times a month", "2-3 of them a year", "every 5 months", "a few times a year", ""]
)
def test_moves_that_say_no_figure_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"write|allowed"):
        read_moves(text)


@pytest.mark.parametrize(
    ("text", "loads"),
    [
        ("3 hp", (("hp", "3 hp"),)),
        ("3 hp 12.8 A", (("hp", "3 hp"), ("amps", "12.8 A"))),
        ("half hp / 9.8 amps", (("hp", "half hp"), ("amps", "9.8 amps"))),
        ("1-1/2 hp, 9.4-8.6/4.3 A", (("hp", "1-1/2 hp"), ("amps", "9.4-8.6/4.3 A"))),
    ],
)
def test_horsepower_and_amperes_of_one_plate(text: str, loads: tuple[tuple[str, str], ...]) -> None:
    assert read_loads(text) == loads


@pytest.mark.parametrize("text", ["3", "3 hp, 4 hp", ""])
def test_loads_without_a_unit_or_said_twice_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match="hp or amps is"):
        read_loads(text)


@pytest.mark.parametrize(
    ("text", "longer"),
    [
        ("about 25-30 ft", "30 ft"),
        ("25 to 30 / 20-22 ft", "30 / 22 ft"),
        ("12-1/2 ft", "12-1/2 ft"),
        ("35 ft", "35 ft"),
        ("8-10 m", "10 m"),
    ],
)
def test_of_a_range_the_longer_is_taken(text: str, longer: str) -> None:
    assert longer_of(text)[0] == longer


def test_facts_of_loads_years_and_starting() -> None:
    told = read_facts(["welder", "duty cycle 40", "effective 20 A", "starts by itself", "leaves in 4 years"])
    assert (told.load, told.duty_cycle, told.effective, told.starts_by_itself, told.leaves) == (
        "welder",
        "40 %",
        "20 A",
        True,
        "4",
    )
    for said in ("arrives next year", "bought next year", "comes in a year", "arrives in 1 year"):
        assert read_facts([said]).arrives == "1"
    assert read_facts(["moves once a month"]).moves == Moves(1, None, 12)
    for wrong in (
        ["arrives next month"],
        ["arrives in 6 months"],
        ["duty cycle 40 %"],
        ["heater", "effective 20 A"],
        ["arrives in 2 years", "now cord 6-20 20 A"],
        ["arrives in 3 years", "leaves in 2 years"],
        ["quoted cord 90, something"],
    ):
        with pytest.raises(ValueError, match=r"write|say"):
            read_facts(wrong)


def test_peaks_tandems_and_turns() -> None:
    assert read_peak("38") == Peak("38 A", None, "30")
    assert read_peak("38 A; 2026-09-30; 365 days") == Peak("38 A", "2026-09-30", "365")
    assert read_tandems("main; 4; 20 A 12 gauge 6; 15 A 14 gauge") == TandemAnswer(
        "main", "4", (Alike("20 A", "12", "6"), Alike("15 A", "14", "1"))
    )
    assert read_turns("saw, planer") == ("saw", "planer")
    assert read_peak("21 kW; power factor 0.9; 365 days") == Peak("", None, "365", "21 kW", "0.9")
    assert read_peak("21 kVA").power_factor == "1"
    for wrong in ("9 kW", "38 A; power factor 0.9", "9 kW; power factor 90"):
        with pytest.raises(ValueError, match="power factor"):
            read_peak(wrong)
    for read, text in ((read_peak, "38 A; someday"), (read_tandems, "main; 4"), (read_turns, ", ")):
        with pytest.raises(ValueError, match=r"write|name two"):
            read(text)


def test_spaces_that_lack_are_counted_in_poles() -> None:
    """By hand: a saw of two poles, two sanders of one, a kiln of two: six; four are free. What has a circuit asks for none."""
    panel = PanelAnswer("main", "120/240 single-phase", "family A", "4")
    lines = [
        "saw;; 240; 3 hp; 1; 30 ft",
        "sander;; 120; 9 A; 1; 30 ft; 2",
        "kiln;; 240; 18 A; 1; 30 ft; heater",
        "drill;; 120; 9 A; 1; 30 ft; now wall drop 5-20 20 A",
    ]
    short = list(shortages([panel], [read_machine(line, [panel]) for line in lines]))
    assert [(each.needed, each.lacking) for each in short] == [(6, 2)]
    assert list(shortages([panel], [read_machine(lines[0], [panel])])) == []


PARTS = """\
# about
parts:
  # breaker
  - {id: breaker-1, kind: breaker, name: "breaker, family A, 1-pole", attributes: {family: "family A", poles: 1}}
  - {id: breaker-2, kind: breaker, name: "breaker, family A, 2-pole", attributes: {family: "family A", poles: 2}}
  # label
  - {id: label, kind: label, name: "label", attributes: {}}
"""
OFFERS = """\
part,supplier,condition,price,per,available,seen,note
breaker-1,counter,new,9.00,each,,2026-10-01,
breaker-1,surplus,used,1.00,each,3,2026-10-01,
breaker-2,counter,new,14.00,each,,2026-10-01,
label,counter,new,,each,,,ask
"""
OTHER = """\
  - {id: breaker-b, kind: breaker, name: "breaker, family B, 3-pole", attributes: {family: "family B", poles: 3}}
"""
OTHER_OFFER = "breaker-b,counter,new,30.00,each,,2026-10-01,\n"


def test_a_catalog_with_labels_and_some_parts_only() -> None:
    labels = {"type T1": "family A", "as on the label of hut": "family A"}
    parts, offers = relabelled(PARTS, OFFERS, labels)
    assert 'id: breaker-1, kind: breaker, name: "breaker, family type T1, 1-pole"' in parts
    assert "family: type T1, poles: 1" in parts
    assert 'id: breaker-1-2, kind: breaker, name: "breaker, as on the label of hut, 1-pole"' in parts
    assert offers.count("breaker-1-2,") == 2
    assert only(parts, {"breaker-1-2"}).count("- {id:") == 1
    assert "# label" not in only(PARTS, {"breaker-1"})
    parts_kept = {"breaker-1", "breaker-1-2", "label"}
    kept = sold_by(offers, "counter", parts_kept, parts_kept)
    rows = sorted(tuple(row.split(",")[:3]) for row in kept.splitlines()[1:])
    new = [("breaker-1", "counter", "new"), ("breaker-1-2", "counter", "new")]
    used = [("breaker-1", "surplus", "used"), ("breaker-1-2", "surplus", "used")]
    assert rows == sorted(new + used)
    assert relabelled(PARTS, OFFERS, {"family A": "family A"})[0] == PARTS
    # A label that is another family's name here: the two do not mix, and "family" is said once.
    named, sold = relabelled(PARTS + OTHER, OFFERS + OTHER_OFFER, {"family A": "family B"})
    assert [line.split(",")[0] for line in named.splitlines() if "family" in line] == ["  - {id: breaker-b"]
    assert 'name: "breaker, family A, 3-pole", attributes: {family: family A' in named
    assert "breaker-1" not in sold
    assert "breaker-b" in sold
    suppliers = "suppliers:\n  - id: counter\n    tax: 6 %\n  - id: surplus\n"
    assert some_suppliers(suppliers, {"counter"}) == "suppliers:\n  - id: counter\n    tax: 6 %\n"
    assert sellers_of(kept) == {"counter", "surplus"}
    assert sellers_of(sold_by(offers, "counter", parts_kept, {"label"})) == {"counter"}


def test_a_machine_of_quotes_needs_no_plate() -> None:
    told = read_machine("lathes;;;;;;12; quoted cord 90, 15 a move; quoted fixed drop 420")
    assert (told.plated, told.count) == (False, 12)
    assert [(quote.method, quote.money, quote.move) for quote in told.told.quotes] == [
        ("cord", "90", "15"),
        ("fixed drop", "420", None),
    ]
    assert read_machine("saw;; 240; 3 hp; 1; 30 ft").fixed_ft == Decimal(30)


def test_a_group_that_stands_apart_is_one_entry_a_distance() -> None:
    """By hand: of four lathes three move; the two at 30 ft and the one at 45 ft, since those come first."""
    line = (
        "lathe; ; 120; 1 hp; 1; 2 at 30 ft, 1 at 45 ft, 1 at 60 ft / 22, 22, 30, 40 ft; 4; 3 move every year"
    )
    saw = read_machine("saw; ; 120; 1 hp; 1; 20 ft; 1")
    room = replace(SAMPLE.room, turns=(("lathe", "saw"),))
    answers = replace(
        SAMPLE,
        machines=(read_machine(line), saw),
        room=room,
        strategies=(StrategyAnswer("mine", (("lathe", "cord"), ("*", "wall drop"))),),
    )
    found = each_apart(answers)
    assert [(each.name, each.count, each.fixed_text, each.cord_text) for each in found.machines] == [
        ("lathe at 30 ft", 2, "30 ft", "22 ft"),
        ("lathe at 45 ft", 1, "45 ft", "30 ft"),
        ("lathe at 60 ft", 1, "60 ft", "40 ft"),
        ("saw", 1, "20 ft", "20 ft"),
    ]
    assert [each.told.moves for each in found.machines] == [Moves(1), Moves(1), None, None]
    assert found.room.turns == (("lathe at 30 ft", "lathe at 45 ft", "lathe at 60 ft", "saw"),)
    assert [name for name, _ in found.strategies[0].ways] == [
        *("lathe at 30 ft", "lathe at 45 ft", "lathe at 60 ft", "*"),
    ]
    assert each_apart(replace(SAMPLE, machines=(saw,))).machines == (saw,)


def test_one_unit_does_for_all_lengths() -> None:
    """Metres said at the end are those of the wiring too, which would else be a third of it in feet."""
    machine = read_machine("lathe; ; 120; 1 hp; 1; 9, 12 / 8, 10 m; 2")
    assert [(wall.text, cord.text) for wall, cord in machine.apart_each] == [("9 m", "8 m"), ("12 m", "10 m")]
    with pytest.raises(ValueError, match="all at"):
        read_machine("lathe; bay; 120; 1 hp; 1; 30, 40 ft; 2")


def test_a_heater_is_told_by_its_kilowatts() -> None:
    """P / V and P / (V root 3): 6000 / 208 = 28.846, 9000 / (240 x 1.7321) = 21.651, each rounded up to a hundredth.

    5.5 kW on a plate of 230 V are 23.913 A there, whatever its panel has.
    """
    for line, amps in (
        ("oven;; 208; 6 kW; 1; 50 ft; heater", "28.85 A"),
        ("kiln;; 240; 9 kW; 3; 50 ft; heater", "21.66 A"),
        ("kiln;; 230; 5.5 kW; 1; 50 ft; heater", "23.92 A"),
        ("kiln;; 240; 6 kW; 1; 50 ft; heater", "25 A"),
    ):
        told = read_machine(line)
        assert (dict(told.loads), told.hp) == ({"amps": amps}, None)
        assert "watts over volts" in told.taken[0]
    for line, why in (
        ("oven;; 208-240; 6 kW; 1; 50 ft; heater", "several volts"),
        ("oven;; 208; 8 hp; 1; 50 ft; heater", "a motor's"),
        ("computer;; 120; 1 kW; 1; 50 ft; not a motor", "a motor's"),
    ):
        with pytest.raises(ValueError, match=why):
            read_machine(line)
    with pytest.raises(ValueError, match=r"25 A at 240 V or 28\.85 A at 208 V"):
        amps_read("6 kW", Known())


def test_what_is_written_in_the_file_alone_is_said_to_be() -> None:
    for text, where in (
        ("maybe comes", "scenario with its weight"),
        ("perhaps retooled to 240 V in year 2", "scenario with its weight"),
        ("copper might go up 10-30 %", "growth: "),
    ):
        with pytest.raises(ValueError, match=where):
            read_machine(f"saw;; 240; 3 hp; 1; 30 ft; {text}" if "%" not in text else text)
    with pytest.raises(ValueError, match='Did you mean "bolted down"') as caught:
        read_facts(["bolted dwn"])
    assert "duty cycle" not in str(caught.value)
    assert read_facts(["arrives within 2 years"]).arrives == "2"


def test_examples_are_answers_to_the_question() -> None:
    """Years and spaces are whole numbers, and a figure is no name."""
    for option, said in (("years", "5 years, maybe 7"), ("years", "long")):
        with pytest.raises(ValueError, match="write it like 5"):
            singles()[option].read(said)
    with pytest.raises(ValueError, match="write 5 or 7"):
        singles()["years"].read("5 to 7 years")
    with pytest.raises(ValueError, match="write it like 5"):
        read_spaces("a few")
    for name in ("25-30 A", "95 to 125 an hour", "16 ft", "7"):
        with pytest.raises(ValueError, match="write what it is called"):
            name_in("machine")(name, Known())
    assert name_in("machine")("14 in bandsaw", Known()) == "14 in bandsaw"
