"""The dialogue of a guided start without a terminal: what is asked again after a change, a complaint, one more alike.

What a person means by an answer is common practice, no source; every expectation is stated by hand.
"""

from collections.abc import Iterable
from datetime import date

import pytest

from costplan.interview.answers import read_panel
from costplan.interview.asking import Known
from costplan.interview.dialogue import END, Dialogue, Misfit
from costplan.interview.questions import PANEL, sections
from costplan.interview.spoken import spoken, yes_or_no
from costplan.interview.told_lines import lines_told, room_misfit
from costplan.model.reading import guess_in, one_of

HEAD = ("Shed", "", "6", "rented shop", "", "", "", "12", "", "")
SAW = ("saw", "", "12.8 A", "240", "", "1", "3", "6-20", "40", "", "never", "", "")
KILN = ("kiln", "", "24", "240", "", "heater", "", "6-30", "45", "", "", "", "")


def dialogue(*answers: str) -> Dialogue:
    """A dialogue after these answers, each as it is typed."""
    talk = Dialogue(sections("Shed", None, lambda _: [PANEL, "nothing"], date(2026, 11, 26)))
    say(talk, answers)
    return talk


def say(talk: Dialogue, answers: Iterable[str]) -> None:
    for answer in answers:
        assert talk.asked is not None
        talk.take(talk.asked.read(answer or talk.default(talk.asked)))


def asked(talk: Dialogue) -> str:
    assert talk.asked is not None
    return talk.asked.question.key


def to_the_end(talk: Dialogue) -> Known:
    while talk.asked is not None:
        say(talk, [""])
    return talk.known


def test_one_answer_of_an_earlier_machine_is_changed_and_nothing_else_is_asked() -> None:
    talk = dialogue(*HEAD, *SAW, *KILN)
    assert (asked(talk), talk.change("Saw amps")) == ("machine", "")
    assert (asked(talk), talk.default(talk.asked)) == ("amperes", "12.8 A")  # type: ignore[arg-type]
    say(talk, ["10"])
    assert asked(talk) == "machine"
    assert talk.change("saw plug to 6-15") == "6-15"
    say(talk, ["6-15"])
    assert [(g["machine"], g["amperes"], g["plug"]) for g in to_the_end(talk).of("machine")] == [
        ("saw", "10 A", "NEMA 6-15"),
        ("kiln", "24 A", "NEMA 6-30"),
    ]


def test_what_was_taken_by_default_is_asked_again_when_its_default_changes() -> None:
    """The saw's cord was as long as its wiring; a longer way must not leave the cord as it was in silence."""
    talk = dialogue(*HEAD, *SAW)
    talk.change("saw distance")
    say(talk, ["60"])
    assert (asked(talk), talk.asked and talk.default(talk.asked)) == ("cord", "the same")
    say(talk, [""])
    assert asked(talk) == "machine"


def test_a_machine_is_renamed_everywhere_and_taken_away() -> None:
    talk = dialogue(*HEAD, *SAW, *KILN, "", "saw and kiln")
    talk.change("saw name")
    say(talk, ["big saw"])
    assert talk.remove("KILN") == "kiln"
    known = to_the_end(talk)
    assert [group["machine"] for group in known.of("machine")] == ["big saw"]
    with pytest.raises(ValueError, match="no machine and no panel"):
        talk.remove("kiln")


def test_turns_follow_a_new_name() -> None:
    talk = dialogue(*HEAD, *SAW, *KILN, "", "saw and kiln")
    talk.change("saw name")
    say(talk, ["big saw"])
    assert to_the_end(talk).said["turns"] == "big saw, kiln"


def test_a_machine_is_added_after_the_last_was_told() -> None:
    talk = dialogue(*HEAD, *SAW, "")
    talk.add("machine")
    say(talk, KILN)
    assert [group["machine"] for group in to_the_end(talk).of("machine")] == ["saw", "kiln"]


def test_only_what_a_complaint_is_about_is_asked_again() -> None:
    talk = dialogue(*HEAD, *SAW)

    def check(known: Known, section: str, number: int) -> Misfit | None:
        wrong = section == "machine" and known.of("machine")[0]["plug"] == "NEMA 6-20"
        return Misfit("that plug is wrong", [("machine", 1, "plug")]) if wrong else None

    found = talk.misfit(check)
    assert found is not None
    assert asked(talk) == "plug"
    say(talk, ["6-15"])
    assert talk.misfit(check) is None
    assert asked(talk) == "machine"
    assert talk.walked[-1] == ("machine", 1, "more")


def test_what_was_refused_is_no_default() -> None:
    """A full panel whose label allows no tandem breakers: Enter then means what may be done, not what was refused."""
    head = (*HEAD[:7], "0", "", "")
    talk = dialogue(*head, *SAW, "", PANEL, "")
    place = ("room", 1, "room")
    found = Misfit("that makes no room", [place], "nothing")
    talk.misfit(lambda _, section, number: found if section == "room" else None)
    assert (asked(talk), talk.asked and talk.default(talk.asked)) == ("room", "nothing")


@pytest.mark.parametrize(
    ("group", "refused"),
    [
        ({"room": "tandem breakers, a subpanel", "tandems": "2", "20 A circuits": "4"}, False),
        ({"room": "tandem breakers, a subpanel", "tandems": "2", "20 A circuits": "2"}, True),
        ({"room": "tandem breakers", "tandems": "0"}, True),
        ({"room": "tandem breakers", "tandems": "1", "15 A circuits": "2"}, False),
        ({"room": "another panel at the service"}, False),
        ({"room": "nothing"}, False),
    ],
)
def test_what_is_to_make_room_makes_some(group: dict[str, str], refused: bool) -> None:
    """A tandem breaker takes two plain circuits into one space; a subpanel's breaker takes two (common practice)."""
    assert bool(room_misfit({"at": "main", "left": "0", "needed": "2", **group})) is refused


def test_stopping_in_the_midst_of_a_change_keeps_all_answers() -> None:
    talk = dialogue(*HEAD, *SAW, *KILN)
    whole = talk.kept()
    talk.change("years")
    assert talk.kept() == whole
    talk.back()
    talk.back()
    assert talk.kept() == whole


def test_one_more_like_the_last_is_asked_its_name_and_distances_only() -> None:
    talk = dialogue(*HEAD, *SAW)
    assert talk.again("3")
    assert talk.asked is not None
    assert (talk.asked.may_end, talk.default(talk.asked)) == (True, "saw 2")
    keys = []
    for answer in ("second saw", "20", "18"):
        keys.append(asked(talk))
        say(talk, [answer])
    assert keys == ["machine", "distance", "cord"]
    group = talk.known.of("machine")[1]
    assert (group["how many"], group["distance"], group["cord"], group["amperes"]) == (
        *("3", "20 ft", "18 ft", "12.8 A"),
    )


@pytest.mark.parametrize(
    ("words", "known"),
    [
        ("jointer", "is nothing that was answered"),
        ("saw colour", "is nothing that was answered"),
        ("saw", "write which one"),
    ],
)
def test_what_cannot_be_changed_is_told(words: str, known: str) -> None:
    talk = dialogue(*HEAD, *SAW)
    with pytest.raises(ValueError, match=known):
        talk.change(words)
    assert asked(talk) == "machine"


def test_a_heater_is_asked_for_three_hours_and_stays_unless_said() -> None:
    """NEC Article 100: continuous is three hours or more; the cautious answer is the default."""
    group = dialogue(*HEAD, *KILN).known.of("machine")[0]
    assert (group["three hours"], group["moves"]) == ("yes", "never")
    assert "three hours" not in dialogue(*HEAD, *SAW).known.of("machine")[0]


def test_a_lease_is_asked_for_its_wiring_once_and_for_what_comes_after() -> None:
    def rest(*answers: str) -> list[str]:
        talk = dialogue(*HEAD, *SAW, "", "", "", "", "", "", "")
        keys = []
        for answer in answers:
            keys.append(asked(talk))
            say(talk, [answer])
        return [*keys, *lines_told(to_the_end(talk)).get("lease", [])]

    assert rest("no lease") == ["lease"]
    assert rest("in 4 years", "yes", "") == [
        "lease",
        "take out",
        "after the lease",
        "ends in 4 years, take out, renewed",
    ]
    assert rest("ends 4, take out", "we move") == [
        "lease",
        "after the lease",
        "ends in 4 years, take out, we move out",
    ]
    assert rest("2030", "yes", "we move")[-1] == rest("until the end of 2030", "yes", "we move")[-1]
    assert rest("ends 2030, take out", "")[-1] == "ends in 4 years, take out, renewed"
    assert rest("in June 2030", "")[-1] == rest("2030-06-30", "")[-1] == "ends in 4 years, renewed"
    assert rest("March 2030", "")[-1] == "ends in 3 years, renewed"
    with pytest.raises(ValueError, match="half a year"):
        rest("2026")
    assert rest("after 6 years", "no") == ["lease", "take out", "ends in 6 years, leave in"]
    assert rest("after 6 years", "") == ["lease", "take out", "ends in 6 years"]
    with pytest.raises(ValueError, match="in 8 years, and your plan counts 6: write none"):
        rest("after 8 years")


def test_years_that_an_option_said_bound_the_lease_too() -> None:
    talk = Dialogue(sections("Shed", None, lambda _: [PANEL], date(2026, 11, 26), "3"))
    lease = next(q for section in talk.sections for q in section.questions if q.key == "lease")
    assert lease.read("in 3 years", Known()) == "ends in 3 years"
    with pytest.raises(ValueError, match="your plan counts 3"):
        lease.read("in 4 years", Known())


LATHES = ("lathe", "4", "", "120", "motor", "1", "5-15")


def test_each_machine_of_a_group_gets_its_own_distance() -> None:
    """Hand-worked: a range is cut into equal gaps; 6 from 30 to 80 ft stand at 30, 40 ... 80, those of two in the mean."""
    talk = dialogue(*HEAD, *LATHES, "30, 40, 50 and 60 ft")
    assert asked(talk) == "cord"
    with pytest.raises(ValueError, match="is one length, and the wiring has 30 ft, 40 ft"):
        say(talk, ["22"])
    say(talk, ["from 20 to 50", "", "", ""])
    line = next(iter(lines_told(to_the_end(talk))["machine"]))
    assert "; 30 ft, 40 ft, 50 ft, 60 ft / 20 ft, 30 ft, 40 ft, 50 ft; 4" in line
    ranged = dialogue(*HEAD, "mill", "6", *LATHES[2:], "about 30 to 80 ft")
    assert asked(ranged) == "spread"
    say(ranged, [""])
    assert ranged.known.here["spread"] == "spread out: 2 at 35 ft, 2 at 55 ft, 1 at 70 ft, 1 at 80 ft"
    for count, said, why in (
        ("4", "30, 40 and 60 ft", "lengths of 3 for 4"),
        ("1", "30 and 40 ft", 'Did you mean "30 / 40 ft"'),
        ("2", "30,5 ft", "a point for parts of a foot"),
    ):
        with pytest.raises(ValueError, match=why):
            dialogue(*HEAD, "lathe", count, *LATHES[2:], said)


@pytest.mark.parametrize("said", ["40 / 30 ft", "40/30", "40 by wall, 30 by cord", "cord 30, wall 40 ft"])
def test_two_lengths_at_the_first_question_answer_both(said: str) -> None:
    talk = dialogue(*HEAD, "lathe", "", *LATHES[2:], said)
    assert asked(talk) == "moves"
    assert "; 40 ft / 30 ft; 1" in next(iter(lines_told(to_the_end(talk))["machine"]))


def test_a_range_of_one_machine_is_the_longer_and_asks_for_the_cord() -> None:
    talk = dialogue(*HEAD, "lathe", "", *LATHES[2:], "about 25-30 ft")
    assert (asked(talk), talk.known.here["distance"]) == ("cord", "30 ft")


def test_the_main_of_a_panel_is_asked_and_bounds_the_service_of_an_only_panel() -> None:
    talk = dialogue(*HEAD[:8], "100 A main breaker", "12", "", *SAW, *KILN, "", "")
    assert talk.known.of("panel")[0]["main"] == "100 A"
    assert (asked(talk), talk.asked and talk.asked.default) == ("service", "100 A")
    assert lines_told(to_the_end(talk))["panel"][0].endswith("; 12; 100 A; 12 A")
    assert dialogue(*HEAD[:8], "I don't know").known.of("panel")[0]["main"] == "unknown"
    with pytest.raises(ValueError, match="15 A to 2000 A"):
        dialogue(*HEAD[:8], "5")


@pytest.mark.parametrize(
    ("said", "told"), [("12.5 A", "; 100 A; 12.5 A"), ("none", "; 0 A"), ("unknown", "; 100 A")]
)
def test_what_else_hangs_on_a_panel_is_asked_where_its_main_is_known(said: str, told: str) -> None:
    talk = dialogue(*HEAD[:8], "100")
    assert asked(talk) == "other load"
    with pytest.raises(ValueError, match="0 A to 2000 A"):
        say(talk, ["-3"])
    say(talk, [said, "", *SAW, ""])
    (line,) = lines_told(to_the_end(talk))["panel"]
    assert line.endswith(told)
    assert read_panel(line, None).other_load == {"12.5 A": "12.5 A", "none": "0 A"}.get(said, "")
    assert asked(dialogue(*HEAD[:8], "unknown")) == "panel"


def test_who_runs_with_nobody_there_is_asked_where_it_matters() -> None:
    """A kiln that heats for hours is proposed; who is not named runs only with somebody there."""
    talk = dialogue(*HEAD, *SAW, *KILN, "", "", "100")
    assert (asked(talk), talk.asked and talk.asked.default) == ("start alone", "kiln")
    saw, kiln = lines_told(to_the_end(talk))["machine"]
    assert kiln.endswith("; runs unattended")
    assert "unattended" not in saw
    none = dialogue(*HEAD, *SAW, *KILN, "", "", "100", "none")
    assert [line.rpartition("; ")[2] for line in lines_told(to_the_end(none))["machine"]] == [
        "does not start by itself",
        "never unattended",
    ]
    unsure = dialogue(*HEAD, *SAW, *KILN, "", "saw, kiln", "")
    assert (asked(unsure), unsure.asked and unsure.asked.default) == ("start alone", "unknown")
    with pytest.raises(ValueError, match="waits for nobody"):
        say(unsure, ["kiln"])


def test_the_list_says_nothing_twice() -> None:
    talk = dialogue(*HEAD[:8], "100", "none", "", *LATHES, "30 to 60 ft", "", "", "twice a year", "", "", "")
    _, (name, facts), (rest, all_else) = talk.groups()
    assert (name, facts[:6]) == (
        "lathe",
        ["4 alike", "120 V", "motor", "1 hp", "plug NEMA 5-15", "wiring 30 to 60 ft"],
    )
    assert "moves 2 times a year" in facts
    assert rest == "all else"
    assert all_else == [
        "shop Shed",
        "prices nameplates and distances",
        "years 6 years",
        "occupancy commercial",
    ]
    panel = dict(talk.groups())["main panel"]
    assert panel[0] == "120/240 single-phase"
    assert panel[2:] == ["12 spaces free", "main 100 A", "other load 0 A"]


def test_the_end_is_checked_and_asked_again() -> None:
    talk = dialogue(*HEAD, *SAW)
    to_the_end(talk)
    talk.misfit(lambda _, section, number: Misfit("no", [("rest", 1, "lease")]) if section == END else None)
    assert asked(talk) == "lease"
    say(talk, [""])
    assert asked(talk) == "write it"


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("about 6 years, I think", "6 years"),
        ("twenty-five feet", "25 feet"),
        ("a dozen", "12"),
        ("one hundred and twenty", "120"),
        ("it's a motor.", "motor"),
        ("roughly two hundred", "200"),
    ],
)
def test_answers_are_read_as_they_are_spoken(text: str, meant: str) -> None:
    assert meant in list(spoken(text))


def test_a_word_means_one_choice_or_is_asked_again() -> None:
    buildings = one_of(
        ("dwelling garage", "commercial"), {"rented": "commercial", "garage": "dwelling garage"}
    )
    assert (buildings("a Rented shop"), buildings("GARAGE"), buildings("2")) == (
        *("commercial", "dwelling garage", "commercial"),
    )
    for unsure in ("rented garage", "not commercial", "garage or commercial", "barn"):
        with pytest.raises(ValueError, match=unsure.split()[0]):
            buildings(unsure)
    volts = one_of(("120/240 single-phase", "240 three-phase"))
    with pytest.raises(ValueError, match="which may be 120/240 single-phase or 240 three-phase"):
        volts("240")
    sizes = one_of(("14", "12", "10", "8", "6"))
    with pytest.raises(ValueError, match="allowed: 14"):
        sizes("5")
    loads = one_of(("motor", "welder", "spot welder"))
    assert (loads("spot welders"), loads("a welder, for repairs")) == ("spot welder", "welder")
    assert (yes_or_no("Yes, please!"), yes_or_no("NOPE")) == ("yes", "no")


def test_yes_takes_what_was_guessed() -> None:
    def guessed(text: str) -> str:
        try:
            one_of(("wall drop", "cord"))(text)
        except ValueError as error:
            return guess_in(str(error), text)
        return ""

    assert guessed("wal drpo") == "wall drop"
    assert guessed("zzz") == ""
    assert guess_in(
        '"boltd down" is no fact; allowed: x. Did you mean "bolted down"?', "boltd down, own cord 8 ft"
    ) == ("bolted down, own cord 8 ft")


def test_a_plate_of_other_volts_than_the_panels_is_asked_of_its_heat() -> None:
    """240 V elements at 208 V: (208 / 240)^2 is 0.751 of the heat (Ohm's law); a 230 V motor stands 208 V."""
    wye = ("Shed", "", "6", "school", "", "2", "", "12", "", "")
    kiln = ("kiln", "", "40", "240", "", "heater", "")

    def facts(*answers: str) -> str:
        talk = dialogue(*wye, *kiln, *answers, "6-50", "45", "", "", "", "")
        return next(iter(lines_told(to_the_end(talk))["machine"]))

    assert "; 75 % heat is enough; " in facts("yes")
    assert facts("75 %") == facts("yes"), "as the file of answers keeps it"
    assert "heat is enough" not in facts("no") + facts("")
    lathe = dialogue(*wye, "lathe", "4", "", "208-230/460", "3", "motor", "3")
    assert (asked(lathe), lathe.known.here["volts"]) == ("plug", "208-230/460")
    assert asked(dialogue(*wye, "saw", "", "12", "230")) == "phases"
    assert asked(dialogue(*wye, *kiln[:3], "208", "", "heater", "")) == "plug"
    with pytest.raises(ValueError, match="no panel has"):
        dialogue(*wye, "press", "", "12", "480")


@pytest.mark.parametrize(
    ("before", "said", "kept"),
    [
        (HEAD[:7], "14 of 42", "14"),
        (HEAD[:7], "14 of the 42 spaces are free", "14"),
        ((*HEAD, "saw", ""), "don't know", "not on the plate"),
        ((*HEAD, *SAW, "", ""), "no idea", "unknown"),
        (HEAD, "14 in bandsaws", "14 in bandsaws"),
    ],
)
def test_what_an_owner_says_is_taken(before: tuple[str, ...], said: str, kept: str) -> None:
    question = dialogue(*before).asked
    assert question is not None
    assert question.read(said) == kept


@pytest.mark.parametrize(
    ("before", "said", "complaint"),
    [
        (HEAD, "4 lathes", 'asked next, so write the name alone. Did you mean "lathes"'),
        ((*HEAD, "welder", "", "36"), "208/240", 'the amperes were "36 A"'),
        ((*HEAD, "welder", "", "36"), "12.4", "^is 12.4; allowed: 120"),
        ((*HEAD, *SAW[:-1]), "geared, speed levers", '^"geared" and "speed levers" are no facts'),
    ],
)
def test_what_an_owner_says_is_refused_in_one_sentence(
    before: tuple[str, ...], said: str, complaint: str
) -> None:
    question = dialogue(*before).asked
    assert question is not None
    with pytest.raises(ValueError, match=complaint) as refused:
        question.read(said)
    assert str(refused.value).count("allowed") <= 1


@pytest.mark.parametrize(
    ("before", "said", "kept"),
    [
        (HEAD[:6], "no idea", "as on the label of main panel"),
        ((*HEAD, *LATHES[:1], "3", *LATHES[2:]), "25 ft, all three", "25 ft"),
        ((*HEAD, *LATHES, "30", "", ""), "nothing", "no"),
        ((*HEAD, *LATHES, "30", "", "", "", "", *SAW, ""), "lathes and saws", "lathe, saw"),
        (("Shop", "quotes", "6", "lift", "", ""), "$1,450 each", "$1450"),
        (("Shop", "quotes", "6", "lift", "", ""), "no quote", "none"),
    ],
)
def test_what_strangers_typed_is_taken(before: tuple[str, ...], said: str, kept: str) -> None:
    """What was typed where two shops were entered from notes made beforehand."""
    talk = dialogue(*before)
    assert talk.asked is not None
    assert talk.asked.read(said) == kept


@pytest.mark.parametrize(
    ("before", "said", "why"),
    [
        ((*HEAD, *LATHES, "30", ""), "some move every summer", 'how many move is "some"'),
        ((*HEAD, "saw", ""), "6-20", "looks like a plug"),
        ((*HEAD, *LATHES, "30", "", ""), "perhaps", "allowed: no, wall drop"),
        (
            (*HEAD, *LATHES, "30", "", "", ""),
            "starts with the light",
            r"no fact that is read here; type \? for all",
        ),
        (("Shop", "quotes", "6", "lift", "", "", "none"), "none", "none for a fixed drop either"),
    ],
)
def test_what_strangers_typed_is_refused_with_the_reason(
    before: tuple[str, ...], said: str, why: str
) -> None:
    talk = dialogue(*before)
    assert talk.asked is not None
    with pytest.raises(ValueError, match=why):
        talk.asked.read(said)


def test_a_kiln_that_runs_alone_is_no_welder() -> None:
    """Facts of a heater were read as a welder's where hours were looked for, which broke off."""
    talk = dialogue(*HEAD, *KILN[:-1], "overnight alone", "", "", "")
    assert asked(talk) == "service"
    assert "electricity" not in to_the_end(talk).said


def test_the_question_at_hand_is_changed_by_answering_it() -> None:
    talk = dialogue(*HEAD, *SAW, "")
    assert asked(talk) == "rate"
    assert talk.change("rate 95") == "95"
    assert asked(talk) == "rate", "it stays the one to answer"
