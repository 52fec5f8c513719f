"""Circuits that are there and unsafe are asked about, and those that may stay are not.

Source: NFPA 70 sections beside each case; a master electrician's reading of a shop with such circuits. Shops are invented.
"""

from pathlib import Path

import pytest
from small_shop import FILES, write_small_shop

from costplan.checks.checks import check_shop, pair_of
from costplan.circuits.as_it_stands import asked_as_it_stands
from costplan.circuits.facts import Facts
from costplan.files.problems import Problem
from costplan.model.loading import load_catalog_with_places, load_shop_with_places

SAW = "    volts: 240\n    hp: 3\n    plug: NEMA 6-20\n"
assert SAW in FILES["garage.yaml"]


def asked(folder: Path, plate: str, now: str = "") -> set[str]:
    """The codes of what is asked about the saw with another plate and a circuit."""
    return {problem.code for problem in questions(folder, plate, now)}


CODES = ("now-", "plate-breaker", "heater-breaker")


def questions(
    folder: Path, plate: str, now: str = "", method: str = "wall drop", codes: tuple[str, ...] = CODES
) -> list[Problem]:
    """What is asked about the saw with another plate and a circuit."""
    there = f"    now: {{method: {method}, panel: main, {now}}}\n" if now else ""
    path = write_small_shop(folder, {"garage.yaml": FILES["garage.yaml"].replace(SAW, plate + there)})
    shop, catalog = load_shop_with_places(path), load_catalog_with_places(folder / "catalog")
    pair = pair_of(shop, catalog)
    assert pair is not None, shop.problems
    found = [*asked_as_it_stands(pair, Facts(pair.shop, pair.catalog)), *check_shop(shop, catalog)]
    return [problem for problem in found if problem.code.startswith(codes)]


def plate(words: str, volts: int = 240) -> str:
    return f"    volts: {volts}\n" + "".join(f"    {word}\n" for word in words.split("; "))


@pytest.mark.parametrize(
    ("machine", "now", "codes"),
    [
        ("hp: 3; amps: 14; plug: NEMA 6-20", "configuration: NEMA 6-20, breaker: 20, awg: '12'", set()),
        ("hp: 5", "configuration: NEMA 6-30, breaker: 30, awg: '12'", {"now-wire-thin", "now-wire-breaker"}),
        ("hp: 5", "configuration: NEMA 6-50, breaker: 40, awg: '8'", set()),
        ("hp: 5", "breaker: 50, awg: '8'", set()),
        ("hp: 5", "breaker: 50, awg: '10'", {"now-wire-thin"}),
        ("hp: 5", "breaker: 90, awg: '8'", {"now-breaker-large", "now-ground-unknown"}),
        ("hp: 5", "breaker: 90, awg: '8', ground_awg: '8'", {"now-breaker-large"}),
        ("hp: 5", "breaker: 20, awg: '8'", {"now-breaker-small"}),
        ("hp: 5", "breaker: 70, awg: '8'", {"now-ground-unknown"}),
        ("hp: 5", "breaker: 70, awg: '8', ground_awg: '10'", {"now-ground-thin"}),
        ("hp: 5", "breaker: 70, awg: '8', ground_awg: '8'", set()),
        ("amps: 14; plug: NEMA 6-15", "configuration: NEMA 6-50, breaker: 50, awg: '6'", {"now-plug-mates"}),
        ("amps: 14; plug: NEMA 6-15", "configuration: NEMA 6-20, breaker: 20, awg: '12'", set()),
        ("amps: 12; plug: NEMA 6-15", "configuration: NEMA 6-15, breaker: 20, awg: '12'", {"now-duplex"}),
        (
            "amps: 12; plug: NEMA 6-15",
            "configuration: NEMA 6-15, breaker: 20, awg: '12', duplex: true",
            set(),
        ),
        (
            "amps: 26; load: other",
            "configuration: NEMA 6-20, breaker: 20, awg: '10'",
            {"now-receptacle-load", "now-breaker-small"},
        ),
        ("amps: 40; load: heater", "breaker: 40, awg: '8'", {"now-wire-thin", "now-breaker-small"}),
        ("amps: 40; load: heater", "breaker: 50, awg: '6'", set()),
        (
            "amps: 46; load: welder; duty_cycle: 40 %; plug: NEMA 6-50",
            "configuration: NEMA 6-50, breaker: 50, awg: '10'",
            {"now-welder-wire"},
        ),
        (
            "amps: 46; load: welder; duty_cycle: 40 %; plug: NEMA 6-50",
            "configuration: NEMA 6-50, breaker: 50, awg: '12'",
            {"now-wire-thin", "now-wire-breaker"},
        ),
        (
            "amps: 46; load: welder; duty_cycle: 40 %; plug: NEMA 6-50",
            "configuration: NEMA 6-50, breaker: 60, awg: '6'",
            {"now-welder-receptacle"},
        ),
    ],
)
def test_what_is_there_is_asked_about_where_it_cannot_stand(
    machine: str, now: str, codes: set[str], tmp_path: Path
) -> None:
    """Wire by 430.22, 630.11, 210.19; breakers by 240.4, 430.52, 630.12; receptacles by 210.21; grounds by 250.122."""
    assert asked(tmp_path, plate(machine), now) == codes


def test_a_plug_through_a_cord_of_two_families_mates(tmp_path: Path) -> None:
    """A cord may have a locking end at the wall and the machine's own family at the machine; other volts it does not make."""
    cord = "cord: {length: 9 ft, awg: '12', conductors: 3}"
    there = f"configuration: CODE, breaker: 20, awg: '12', poles: POLES, {cord}"
    locking = there.replace("CODE", "NEMA L6-20").replace("POLES", "2")
    assert asked(tmp_path, plate("amps: 12; plug: NEMA 6-20"), locking) == set()
    other = there.replace("CODE", "NEMA L5-20").replace("POLES", "1")
    assert asked(tmp_path, plate("amps: 12; plug: NEMA 6-20"), other) == {"now-plug-mates"}


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("hp: 3; largest_breaker: 20", True),
        ("hp: 3; breaker: 20", True),
        ("hp: 3; largest_breaker: 25", False),
        ("hp: 3; amps: 14; plug: NEMA 6-20; breaker: 20", False),
        ("amps: 40; load: heater; breaker: 40", True),
        ("amps: 46; load: welder; duty_cycle: 40 %; breaker: 30", False),
    ],
)
def test_a_plates_breaker_below_what_wires_must_carry_is_asked_about(
    words: str, found: bool, tmp_path: Path
) -> None:
    """3 hp at 240 V is 17 A, 21.25 A by 430.22; 40 A of heat 50 A; a welder of 46 A at 40 % 28.98 A (630.11(A))."""
    assert ("plate-breaker-small" in asked(tmp_path, plate(words))) is found


KILN = "amps: 34; load: heater"


@pytest.mark.parametrize(
    ("words", "method", "awg", "read"),
    [
        (KILN, "conduit drop", "8", True),
        (KILN, "armored drop", "8", True),
        (KILN, "wall drop", "8", False),
        (KILN, "conduit drop", "10", False),
        (f"{KILN}; terminals: 60", "conduit drop", "8", False),
        (f"{KILN}; terminals: 75", "conduit drop", "8", None),
    ],
)
def test_a_breaker_that_terminals_of_75_c_allow_is_a_matter_of_reading_their_marks(
    words: str, method: str, awg: str, read: bool | None, tmp_path: Path
) -> None:
    """NFPA 70 110.14(C)(1)(a): 8 AWG carries 40 A at 60 C and 50 A at 75 C (Table 310.16); 34 A for hours ask for 42.5 A.

    Cable in a wall stays at 60 C whatever the marks (334.80); 10 AWG is for 30 A by 240.4(D).
    """
    found = questions(tmp_path, plate(words), f"breaker: 50, awg: '{awg}'", method)
    told = [problem.mend for problem in found if problem.code in ("now-wire-breaker", "now-wire-thin")]
    assert bool(told) is (read is not None)
    assert all(("read the marks" in mend and "unsafe" not in mend) is read for mend in told)


def test_a_wire_names_the_terminals_that_its_breaker_is_judged_by(tmp_path: Path) -> None:
    found = questions(tmp_path, plate(KILN), "breaker: 50, awg: '8'", "conduit drop")
    told = {problem.code: problem.message for problem in found}
    assert "at most 40 A protect with terminals for 60 C, 50 A with 75 C" in told["now-wire-breaker"]


@pytest.mark.parametrize(
    ("load", "breaker", "said"),
    [
        (
            "amps: 48; effective_amps: 20; load: welder",
            50,
            "40 A at most for this welder alone, by the wire's 60 C column",
        ),
        ("amps: 50; load: spot welder", 70, "60 A at most for this welder alone, by the wire's 60 C column"),
    ],
)
def test_a_welders_breaker_is_told_by_its_own_rule(
    load: str, breaker: int, said: str, tmp_path: Path
) -> None:
    """630.12(B): an arc welder's at most 200 % of the wire's 20 A, 40 A; 630.32(B): a resistance welder's 300 %, 60 A."""
    found = questions(tmp_path, plate(load), f"breaker: {breaker}, awg: '12'", "conduit drop")
    told = next(problem.message for problem in found if problem.code == "now-wire-breaker")
    assert said in told
    assert ("630.32(B)" if "spot" in load else "630.12(B)") in told
    assert "240.4(B)" not in told


# one of two openings -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "volts", "there", "codes"),
    [
        ("hp: 1; amps: 14; plug: NEMA 5-15", 120, "NEMA 5-15, breaker: 20", {"now-receptacle-load"}),
        (
            "hp: 1; amps: 14; plug: NEMA 5-15",
            120,
            "NEMA 5-15, breaker: 20, duplex: true",
            {"now-receptacle-load"},
        ),
        ("hp: 1/2; amps: 11; plug: NEMA 5-15", 120, "NEMA 5-15, breaker: 20, duplex: true", set()),
        ("hp: 1; amps: 14; plug: NEMA 5-15", 120, "NEMA 5-20, breaker: 20", set()),
        ("amps: 18; load: other; plug: NEMA 5-20", 120, "NEMA 5-20, breaker: 20", {"now-duplex-load"}),
        (
            "amps: 18; load: other; plug: NEMA 5-20",
            120,
            "NEMA 5-20, breaker: 20, duplex: true",
            {"now-duplex-load"},
        ),
        ("amps: 18; load: other; plug: NEMA 5-20", 120, "NEMA 5-20, breaker: 20, duplex: false", set()),
        ("amps: 26; load: other; plug: NEMA 6-30", 240, "NEMA 6-30, breaker: 30", set()),
    ],
)
def test_one_of_two_openings_carries_80_percent_of_its_amperes(
    words: str, volts: int, there: str, codes: set[str], tmp_path: Path
) -> None:
    """Table 210.21(B)(2): 12 A on 15 A, of a circuit of 15 or 20 A; 16 A on 20 A; one alone on its circuit has no such bound.

    One of 15 A alone on 20 A is too small by 210.21(B)(1), so that of 14 A neither answer will do; 30 A are made singly.
    """
    awg = "'10'" if "6-30" in there else "'12'"
    assert asked(tmp_path, plate(words, volts), f"configuration: {there}, awg: {awg}") == codes


# what marks of terminals do for a welder ----------------------------------------------------------------

MIG = "amps: 48; effective_amps: EFFECTIVE; load: welder; plug: NEMA 6-50"


@pytest.mark.parametrize(
    ("effective_a", "breaker", "awg", "more", "codes", "read"),
    [
        (21, 50, "12", "", {"now-wire-thin", "now-wire-breaker"}, True),
        (21, 50, "14", "", {"now-wire-thin", "now-wire-breaker"}, False),
        (19, 50, "12", "", {"now-wire-breaker"}, True),
        (19, 40, "12", "", {"now-welder-wire"}, None),
        (21, 50, "12", "; terminals: 75", {"now-welder-wire"}, None),
        (21, 50, "12", "; terminals: 60", {"now-wire-thin", "now-wire-breaker"}, False),
    ],
)
def test_a_welders_wire_by_the_marks_of_its_terminals(
    effective_a: int, breaker: int, awg: str, more: str, codes: set[str], read: bool | None, tmp_path: Path
) -> None:
    """12 AWG: 20 A at 60 C, 25 A at 75 C (Table 310.16), 200 % are 40 A and 50 A (630.12(B)); 14 AWG: 15 A, 20 A.

    So 21 A effective on 12 AWG behind 50 A is lawful with 75 C at both ends, and a matter of reading the marks (110.14(C)).
    """
    words = MIG.replace("EFFECTIVE", str(effective_a)) + more
    there = f"configuration: NEMA 6-50, breaker: {breaker}, awg: '{awg}'"
    found = questions(tmp_path, plate(words), there, "conduit drop")
    found = [problem for problem in found if problem.code.startswith("now-w")]
    assert {problem.code for problem in found} == codes
    told = [problem.mend for problem in found if problem.code != "now-welder-wire"]
    assert all(("read the marks" in mend and "unsafe" not in mend) is read for mend in told)


@pytest.mark.parametrize(
    ("awg", "method", "ordinary"),
    [("8", "conduit drop", True), ("10", "conduit drop", False), ("8", "wall drop", False)],
)
def test_a_welders_outlet_is_for_it_alone_unless_75_c_make_it_an_ordinary_one(
    awg: str, method: str, ordinary: bool, tmp_path: Path
) -> None:
    """8 AWG: 40 A at 60 C, 50 A at 75 C (Table 310.16), in nonmetallic cable 60 C always (334.80); 10 AWG 30 A (240.4(D))."""
    there = f"configuration: NEMA 6-50, breaker: 50, awg: '{awg}'"
    found = questions(tmp_path, plate(MIG.replace("EFFECTIVE", "21")), there, method)
    (mend,) = [problem.mend for problem in found if problem.code == "now-welder-wire"]
    assert ("ordinary circuit" in mend) is ordinary


@pytest.mark.parametrize(
    ("words", "asked_for"),
    [
        (
            "hp: 3; amps: 12.8; plug: NEMA 6-20",
            "20 A on 12 AWG for 16 A if it is listed, 20 A on 10 AWG for 21.25 A if not",
        ),
        ("hp: 3; amps: 12.8; plug: NEMA 6-20; listed: true", ""),
        ("hp: 3; amps: 12.8; plug: NEMA 6-20; listed: false", ""),
        ("hp: 2; amps: 11; plug: NEMA 6-20", ""),
        ("hp: 3; amps: 12.8", ""),
        ("hp: 3; plug: NEMA 6-20", ""),
        ("hp: 10; amps: 12.8; plug: NEMA 6-20", ""),
    ],
)
def test_the_listing_of_a_machine_is_asked_where_its_circuit_turns_on_it(
    words: str, asked_for: str, tmp_path: Path
) -> None:
    """430.6(A)(1) Exception 3: 3 hp is 17 A by Table 430.248, 2 hp 12 A, for which 12 AWG does too; without a plug none is.

    10 hp beside 12.8 A is a peak, no rating, and is asked about as such.
    """
    found = questions(tmp_path, plate(words), codes=("listing-unsaid",))
    assert bool(found) is bool(asked_for)
    assert all(asked_for in problem.message for problem in found)


# the breaker of a heater --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "now", "found"),
    [
        ("amps: 30; load: heater; plug: NEMA 14-50", "", True),
        ("amps: 30; load: heater; plug: NEMA 14-50; largest_breaker: 50", "", False),
        ("amps: 30; load: heater; plug: NEMA 14-50; breaker: 40", "", False),
        ("amps: 32; load: heater; plug: NEMA 14-50", "", False),
        ("amps: 30; load: other; plug: NEMA 14-50", "", False),
        ("amps: 30; load: heater", "breaker: 50, awg: '6'", True),
        ("amps: 30; load: heater", "breaker: 45, awg: '6'", False),
        ("amps: 12; load: heater", "breaker: 30, awg: '10'", True),
    ],
)
def test_a_heaters_breaker_is_within_150_percent(words: str, now: str, found: bool, tmp_path: Path) -> None:
    """422.11(E), from memory: 30 A: 45 A, a standard size (240.6(A)); 32 A: 48 A, the next is 50 A; up to 13.3 A: 20 A."""
    assert ("heater-breaker" in asked(tmp_path, plate(words), now)) is found


# what else is on the circuit ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "now", "refused"),
    [
        ("amps: 16; plug: NEMA 6-20", "configuration: NEMA 6-20, breaker: 20, awg: '12'", False),
        ("amps: 17; plug: NEMA 6-20", "configuration: NEMA 6-20, breaker: 20, awg: '12'", True),
        ("amps: 24; plug: NEMA 6-30", "configuration: NEMA 6-30, breaker: 30, awg: '10'", False),
        ("amps: 25; plug: NEMA 6-30", "configuration: NEMA 6-30, breaker: 30, awg: '10'", True),
        ("amps: 10; load: heater", "breaker: 20, awg: '12'", False),
        ("amps: 11; load: heater", "breaker: 20, awg: '12'", True),
        ("amps: 11; load: heater", "breaker: 40, awg: '8'", True),
        ("amps: 10; load: welder; plug: NEMA 6-20", "configuration: NEMA 6-20, breaker: 20, awg: '12'", True),
    ],
)
def test_a_machine_beside_others_on_its_circuit(words: str, now: str, refused: bool, tmp_path: Path) -> None:
    """210.23(A)(1), (B)(2): 80 % of 20 A are 16 A, of 30 A 24 A; (A)(2): fastened in place 50 %, 10 A; 40 A is not shared."""
    assert ("now-shared" in asked(tmp_path, plate(words), f"{now}, alone: false")) is refused
    assert "now-shared" not in asked(tmp_path, plate(words), f"{now}, alone: true")
