"""The guided start: by options, at a terminal, with mistakes in both, and for any answers that are allowed."""

import json
import re
from contextlib import suppress
from decimal import Decimal
from pathlib import Path
from typing import Any

import command
import pytest
import typer
from command import Done
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import DRILL, SAW, make_shop
from typer.testing import CliRunner

from costplan.checks.checks import check_shop
from costplan.cli.own_catalog import for_higher_volts
from costplan.cli.start import register
from costplan.cli.started import begin
from costplan.files.problems import errors_of
from costplan.files.shipped import shipped
from costplan.model.loading import LoadedCatalog, load_catalog_with_places, load_shop_with_places
from costplan.model.ranges import ends_of
from costplan.model.shop import Shop
from costplan.model.spelled_out import spelled_out
from costplan.model.yaml_text import quoted

OK, USER_MISTAKE = 0, 2
ROOT = Path(__file__).parents[2]
ANSWERS = {
    "--shop-name": "Shed: mine (invented)",
    "--years": "5",
    "--panel": "panel; 120/240 single-phase; family A; 8",
    "--rate": "110",
    "--occupancy": "commercial",
    "--edition": "unknown",
    "--electricity": "0.16",
    "--ceiling": "3 m",
    "--machine": "table saw; bench; 240; 3 hp; 1; 35 ft",
    "--moves-per-year": "0.5",
    "--catalog": "demo",
}
NEEDED = ("--panel", "--occupancy", "--machine")
"""What has no default."""


def application() -> typer.Typer:
    app = typer.Typer(pretty_exceptions_enable=False)
    app.callback()(lambda: None)
    register(app)
    return app


def options(answers: dict[str, str], **changed: str | None) -> list[str]:
    """The answers as options; a name with an underscore replaces one, None leaves it out."""
    said = {
        **answers,
        **{f"--{name.replace('_', '-')}": text for name, text in changed.items() if text is not None},
    }
    for name, text in changed.items():
        if text is None:
            del said[f"--{name.replace('_', '-')}"]
    return [word for pair in said.items() for word in pair]


def run(file: Path, *words: str) -> Done:
    """The command without a terminal."""
    return command.run("start", str(file), *words)


@pytest.fixture(scope="module")
def demo() -> LoadedCatalog:
    return load_catalog_with_places(shipped("catalogs") / "demo")


def mistakes(file: Path, catalog: LoadedCatalog) -> list[str]:
    """Errors in the shop file, alone and against the catalog."""
    shop = load_shop_with_places(file)
    found = errors_of([*shop.problems, *check_shop(shop, catalog)])
    return [f"{problem.at} {problem.message}" for problem in found if problem.at.path == str(file)]


def counts(file: Path) -> dict[str, int]:
    """How many of each machine a shop file has."""
    shop = load_shop_with_places(file).shop
    assert shop is not None
    return {machine.name: machine.count for machine in shop.machines}


def test_options_alone_write_a_file_without_mistakes(tmp_path: Path, demo: LoadedCatalog) -> None:
    file = tmp_path / "shed.yaml"
    second = ["--machine", "sander; door, left; 120 V; 12.8 A; 1; 10.7 m"]
    done = run(file, *options(ANSWERS), *second, "--today", "2026-11-02")

    assert done.returncode == OK, done.stderr
    assert f"costplan check {file}" in done.stdout
    assert mistakes(file, demo) == []
    shop = load_shop_with_places(file).shop
    assert shop is not None
    assert (shop.name, shop.years, str(shop.today)) == ("Shed: mine (invented)", 5, "2026-11-02")
    assert [(machine.name, machine.at) for machine in shop.machines] == [
        ("table saw", "bench"),
        ("sander", "door, left"),
    ]
    # The shop is its owner's; only the prices are the demo's, which its name says.
    assert (shop.invented, shop.catalog) == (False, "demo")
    assert [crew.rate_cents for crew in shop.crews if crew.pace == 1] == [11000]
    short = shop.scenarios[0].rearranged
    assert short is not None
    assert short.among == ["bench", "door, left"]


@pytest.mark.parametrize(
    ("second", "among"),
    [
        ("sander; door; 120 V; 12.8 A; 1; 35 ft", ["bench", "door"]),
        ("compressor; closet; 240 V; 5 hp; 1; 35 ft; never moves", ["bench", "another spot"]),
        ("drill; bench; 120 V; 6 A; 1; 35 ft; never moves", ["bench", "another spot"]),
    ],
)
def test_machines_move_to_no_place_where_only_such_stand_as_never_move(
    second: str, among: list[str], tmp_path: Path, demo: LoadedCatalog
) -> None:
    file = tmp_path / "shed.yaml"
    done = run(file, *options(ANSWERS), "--machine", second)
    assert done.returncode == OK, done.stderr
    assert mistakes(file, demo) == []
    shop = load_shop_with_places(file).shop
    assert shop is not None
    assert shop.scenarios[0].rearranged is not None
    assert shop.scenarios[0].rearranged.among == among


def test_the_written_file_compares(tmp_path: Path) -> None:
    file = tmp_path / "shed.yaml"
    assert run(file, *options(ANSWERS, moves_per_year="1")).returncode == OK
    done = command.run("compare", str(file))
    assert done.returncode == OK, done.stderr
    assert "the best mix costs" in done.stdout


def test_every_missing_answer_is_named_at_once(tmp_path: Path) -> None:
    done = run(tmp_path / "shed.yaml", "--years", "5")
    assert done.returncode == USER_MISTAKE
    assert all(name in done.stderr for name in NEEDED)
    assert not any(name in done.stderr for name in ANSWERS if name not in (*NEEDED, "--machine"))
    assert "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


WRONG = [
    ("shop_name", " ", "empty"),
    ("years", "soon", "not a number"),
    ("years", "0", "1 to 60"),
    ("panel", "panel; 12 V; family A; 8", 'system is "12 V"; allowed: 120/240 single-phase'),
    ("panel", "panel; 120/240; family A; 2.5", "free spaces is 2.5; allowed: a whole number"),
    ("panel", "panel; 120/240; famly A; 8", 'Did you mean "family A"?'),
    ("panel", "panel; 120/240; family A", "has 3 parts between semicolons, not 4 to 6; write name; system"),
    ("rate", "0", "95.00"),
    ("occupancy", "barn", "dwelling garage"),
    ("edition", "new", "unknown"),
    ("electricity", "16", "0.16"),
    ("ceiling", "90 ft", "6 ft to 60 ft"),
    ("machine", "saw; bench", "6 or more; write name; place"),
    (
        "machine",
        "saw; bench; 240; 3 hp; 1; 35 ft; 2; red",
        '"red" is no fact that is read here; all that are read stand below',
    ),
    ("machine", "saw; bench; 240; 3 hp; 1; 35 ft; 0", 'how many is "0"; allowed: a whole number from 1'),
    ("machine", "saw; bench; 240; 3 hp; 1; 35 ft; -1", 'how many is "-1"; allowed'),
    ("machine", "saw; bench; 240; 3 hp; 1; 35 ft; 2.5", 'how many is "2.5"; allowed'),
    ("machine", "saw; bench; 240; 3 hp; 1; 35 ft; many", 'how many is "many"; allowed'),
    ("machine", "saw; bench; 240; 3 hp; 1; 35 ft; 1001", "from 1 to 1000"),
    ("machine", "saw; panel; 240; 3 hp; 1; 35 ft", "the panel itself"),
    ("machine", "saw; bench; 300; 3 hp; 1; 35 ft", "120, 208, 240, 480"),
    ("machine", "saw; bench; 240; 3; 1; 35 ft", "write the unit"),
    ("machine", "saw; bench; 240; 0 A; 1; 35 ft", "above 0"),
    ("machine", "saw; bench; 240; 3 hp; 2; 35 ft", "1, 3"),
    ("machine", "saw; bench; 480; 3 hp; 3; 35 ft", "no panel is three-phase"),
    ("machine", "saw; bench; 240; 40 hp; 1; 35 ft", "amperes of the nameplate"),
    ("machine", "saw; bench; 240; 3 hp; 1; 35 miles", "allowed units"),
    ("machine", "saw; bench; 240; 3 hp; 1; 0", "more than 0 ft"),
    ("machine", "saw; bench; 240; 3 hp; 1; 35 / 28 / 9 ft", "more than two lengths"),
    ("machine", "saw; bench; 240; 3 hp; 1; 35 / many ft", "distance is"),
    ("machine", "saw; bench; 240; 3 hp; 1; 35; boltd down", 'Did you mean "bolted down"?'),
    (
        "machine",
        "saw; bench; 240; 3 hp; 1; 35; 2; boltd down",
        'Did you mean "bolted down"?; all that are read stand below',
    ),
    ("machine", "saw; bench; 240; 3 hp; 1; 35; plug", "does not say which one; write for example: plug 6-20"),
    ("machine", "saw; bench; 240; 3 hp; 1; 35; plug round one", 'plug is "round one", not a receptacle'),
    ("machine", "saw; bench; 240; 3 hp; 1; 35; plug 6-20; plug 6-15", "its plug a second time"),
    ("machine", "saw; bench; 240; 3 hp; 1; 35; 2; 3", "how many there are a second time"),
    ("machine", "saw; bench; 240; 3 hp; 1; 35; 2; 3 move every year", "3 move, but there are 2"),
    ("machine", "saw; bench; 240; 3 hp; 1; 35; 2; 2 move every often year", "every how many years"),
    ("machine", "saw; bench; 240; 3 hp; 1; 35; never moves; moves every year", "write one of the two"),
    (
        "machine",
        "saw; bench; 240; 3 hp; 1; 35; not a motor",
        "3 hp is a motor's; write the amperes",
    ),
    ("machine", "saw; bench; 240; 3 hp; 1; 35; own cord 900 ft", "0 ft to 200 ft"),
    ("machine", "saw; bench; 240; 3 hp; 1; 35; 9000 h a year", "at most 8760"),
    (
        "machine",
        "saw; bench; 240; 3 hp; 1; 35; from pannel",
        'is no panel; allowed: panel. Did you mean "panel"?',
    ),
    (
        "machine",
        "saw; bench; 240; 3 hp; 1; 35; now 6-20 20 A 12 gauge",
        'names no way after "now"; allowed: wall',
    ),
    ("machine", "saw; bench; 240; 3 hp; 1; 35; now armored drop 6-20 12 gauge", "does not say its breaker"),
    ("machine", "saw; bench; 240; 3 hp; 1; 35; quoted fixd drop 420", 'Did you mean "fixed drop"?'),
    ("machine", "saw; bench; 240; 3 hp; 1; 35; quoted cord", "does not say for how much"),
    ("machine", "saw; bench; 240; 3 hp; 1; 35; quoted cord 9; quoted cord 8", "second quote for a cord"),
    ("lease", "someday", "ends 8, take out"),
    ("lease", "ends 0", "from 1 to 60"),
    ("forbid", "wall drop", "does not say a reason; write for example: wall drop; masonry walls"),
    ("forbid", "wal drop: masonry", 'Did you mean "wall drop"?'),
    ("strategy", "all cords", "does not say ways; write for example: all cords; *=cord"),
    ("strategy", "all cords: cord", "gives no machine a way"),
    ("strategy", "all cords: *=string", '"string" is no way; allowed: wall drop'),
    ("strategy", "all cords: table saw=cord, table saw=cord", "is named twice"),
    ("strategy", "all cords: tabel saw=cord", 'Did you mean "table saw"?'),
    ("service", "5 A", "15 A to 2000 A"),
    ("measured_peak", "38 A", "say how large that is, too: service: 100 A"),
    ("measured_peak", "9 kW", "needs its power factor"),
    ("subpanel", "pannel", '"pannel" is no panel; allowed: panel. Did you mean "panel"?'),
    ("tandems", "panel; 4", "lacks something; write the panel"),
    (
        "tandems",
        "panel; 4; 20 A",
        '"20 A" is no circuit that is read here; write for example: 20 A 12 gauge 6',
    ),
    ("turns", "table saw", "table saw alone takes turns with nobody"),
    ("turns", "table saw, planer", '"planer" is no machine; allowed: table saw'),
    ("machine", "saw; bench; 240; 3 hp, 4 hp; 1; 35 ft", "says hp twice"),
    ("machine", "saw; bench; 240; 3 hp; 1; 35; arrives in 6 months", "the plan counts whole years"),
    ("machine", "saw; bench; 240; 3 hp; 1; 35; duty cycle 40 %", "a duty cycle is a welder's"),
    ("machine", "kiln; bench; 240; 3 hp; 1; 35; heater", "3 hp is a motor's; write its kW or the amperes"),
    ("machine", "saw; bench; 240; 3 hp; 1; 35; moves twice a yaer", "is no fact that is read here"),
    ("moves_per_year", "-1", "0 to 100"),
    ("moves_per_year", "101", "0 to 100"),
    ("moves_per_year", "often", "not a number"),
]


@pytest.mark.parametrize(("name", "text", "words"), WRONG)
def test_wrong_options_are_told_with_what_is_allowed(
    name: str, text: str, words: str, tmp_path: Path
) -> None:
    file = tmp_path / "shed.yaml"
    done = CliRunner().invoke(application(), ["start", str(file), *options(ANSWERS, **{name: text})])
    assert done.exit_code == USER_MISTAKE
    assert f"--{name.replace('_', '-')}" in done.output
    assert words in done.output
    assert not file.exists()


def test_wrong_and_missing_options_are_listed_together(tmp_path: Path) -> None:
    done = run(
        tmp_path / "shed.yaml",
        *options(ANSWERS, years="soon", rate="dear", occupancy=None),
        "--machine",
        "table saw; door; 240; 3 hp; 1; 12 ft",
        "--today",
        "yesterday",
    )
    assert done.returncode == USER_MISTAKE
    for words in ("--years", "--rate", "an earlier machine has", "--today", "missing: --occupancy"):
        assert words in done.stderr


def test_one_page_says_what_makes_room_and_what_is_measured(tmp_path: Path, demo: LoadedCatalog) -> None:
    file = tmp_path / "shed.yaml"
    more = {
        "--service": "100",
        "--measured-peak": "21 kW; power factor 0.9; 2026-09-30; 365 days",
        "--tandems": "panel; 2; 20 A 12 gauge 4; 15 A 14 gauge 3",
        "--subpanel": "panel",
        "--turns": "table saw, sander",
    }
    words = [
        *options({**ANSWERS, **more}, moves_per_year="0"),
        *("--machine", "sander; door; 120; 12 A; 1; 25-30 ft; 2; in the measured peak; starts by itself"),
        *(
            "--machine",
            "welder; gate; 240; 40 A; 1; 20; welder; duty cycle 30; effective 22 A; leaves in 3 years",
        ),
        *("--today", "2026-11-02"),
    ]
    done = run(file, *words)
    assert done.returncode == OK, done.stderr
    assert "25-30 is taken as 30, the longer" in done.stderr
    assert mistakes(file, demo) == []
    shop = shop_of(file)
    assert shop.service is not None
    peak = shop.service.measured_peak
    assert peak is not None
    assert (shop.service.amps_a, peak.power_kw, peak.power_factor, peak.days) == (
        100,
        21,
        Decimal("0.9"),
        365,
    )
    assert (str(shop.gear[0].kind), shop.gear[0].at_most) == ("tandem breaker", 2)
    assert {(str(gear.kind), gear.fed_from) for gear in shop.gear[1:]} == {("subpanel", "panel")}
    assert [(c.breaker_a, c.awg, c.count) for c in shop.panels[0].one_pole_circuits] == [
        (20, "12", 4),
        (15, "14", 3),
    ]
    saw, sander, welder = shop.machines
    assert saw.takes_turns == sander.takes_turns is not None
    assert (sander.in_measured_peak, sander.starts_by_itself, welder.takes_turns) == (True, True, None)
    assert (str(welder.load), welder.duty_cycle, welder.effective_a, welder.leaves) == (
        "welder",
        Decimal("0.3"),
        22,
        3,
    )


def test_two_machines_at_one_place_are_one_distance_away(tmp_path: Path) -> None:
    done = run(tmp_path / "shed.yaml", *options(ANSWERS), "--machine", "sander; bench; 120; 12 A; 1; 36 ft")
    assert done.returncode == USER_MISTAKE
    assert '"bench" was 35 ft away for "table saw"' in done.stderr


@pytest.mark.parametrize("made", ["file", "broken link"])
def test_nothing_is_ever_written_over(made: str, tmp_path: Path) -> None:
    file = tmp_path / "shed.yaml"
    if made == "file":
        file.write_text("mine", encoding="utf-8")
    else:
        file.symlink_to(tmp_path / "nowhere.yaml")
    done = run(file, *options(ANSWERS))
    assert done.returncode == USER_MISTAKE
    assert "is there already" in done.stderr
    assert made == "broken link" or file.read_text(encoding="utf-8") == "mine"
    assert not (tmp_path / "nowhere.yaml").exists()


def test_a_folder_that_is_not_there_is_told_before_anything_is_asked(tmp_path: Path) -> None:
    done = run(tmp_path / "no" / "shed.yaml", *options(ANSWERS))
    assert done.returncode == USER_MISTAKE
    assert "there is no folder" in done.stderr


def test_a_catalog_of_ones_own_is_named_relative_to_the_file(tmp_path: Path) -> None:
    catalog = ROOT / "examples" / "tiny" / "catalog"
    file = tmp_path / "shed.yaml"
    done = run(file, *options(ANSWERS, catalog=str(catalog)))
    assert done.returncode == OK, done.stderr
    shop = load_shop_with_places(file).shop
    assert shop is not None
    assert shop.catalog is not None
    assert (tmp_path / shop.catalog).resolve() == catalog
    assert not shop.invented


def test_three_phases_are_allowed_where_the_catalog_can_make_them(
    tmp_path: Path, demo: LoadedCatalog
) -> None:
    machine = "saw; bench; 240; 3 hp; 3; 35 ft"
    done = run(tmp_path / "shed.yaml", *options(ANSWERS, machine=machine))
    assert done.returncode == OK, done.stderr
    assert mistakes(tmp_path / "shed.yaml", demo) == []
    tiny = ROOT / "examples" / "tiny" / "catalog"
    done = run(tmp_path / "barn.yaml", *options(ANSWERS, machine=machine, catalog=str(tiny)))
    assert done.returncode == USER_MISTAKE
    assert "no panel is three-phase" in done.stderr


names = st.text(
    st.characters(exclude_categories=("C", "Z"), exclude_characters=";"), min_size=1, max_size=20
) | st.sampled_from(["true", "null", "~", "- a", "a: b", "#1", "1_0", "table saw", "0x1F", "*x", "a, b"])
lengths = st.integers(1, 300).map(lambda feet: f"{feet} ft") | st.sampled_from(["10.7 m", "35'", "12-1/2 ft"])
PLATES = {
    "120/240 single-phase": [("240", "3 hp", "1"), ("230 V", "2.2 kW", "1"), ("115 V", "3/4 hp", "1")],
    "120/208 three-phase": [("120", "12.8 A", "1"), ("208", "3 hp", "1"), ("200 V", "5 hp", "3")],
    "240 three-phase": [("240", "7-1/2 hp", "3"), ("240", "20 amps", "1")],
    "277/480 three-phase": [("460", "5 hp", "3"), ("480 V", "8 A", "1")],
}
plates = st.integers(0, 5)
machines = st.lists(
    st.tuples(names, names, plates, lengths, st.sampled_from(["", ";", "; 1", ";12"])),
    min_size=1,
    max_size=4,
    unique_by=lambda said: said[0].strip(),
)


@settings(max_examples=12)
@given(
    st.fixed_dictionaries(
        {
            "--shop-name": names,
            "--years": st.integers(1, 60).map(str),
            "--panel": st.builds(
                "panel; {}; {}; {}".format,
                st.sampled_from(list(PLATES)),
                st.sampled_from(["family B", "FAMILY B"]),
                st.integers(0, 200),
            ),
            "--rate": st.decimals("0.01", 900, places=2).map("{:.2f}".format) | st.just("$1,250.00"),
            "--occupancy": st.sampled_from(["dwelling garage", "commercial", "school", "industrial", "4"]),
            "--edition": st.sampled_from(["unknown", "2014", "2017", "2020", "2023", "Unknown"]),
            "--electricity": st.sampled_from(["0", "0.16", "$0.30"]),
            "--ceiling": st.sampled_from(["6 ft", "60", "3 m", "10.5 ft"]),
            "--moves-per-year": st.sampled_from(["0", "1", "0.5", "1/2", "0.0", "30", "100"]),
        }
    ),
    machines,
)
def test_any_allowed_answers_give_a_file_that_is_read_back(
    tmp_path_factory: pytest.TempPathFactory,
    answers: dict[str, str],
    listed: list[tuple[str, str, int, str, str]],
) -> None:
    file = tmp_path_factory.mktemp("start") / "shed.yaml"
    distance = {place.strip(): length for _, place, _, length, _ in listed}
    words = [f"{option}={text}" for option, text in answers.items()]
    fitting = PLATES[answers["--panel"].split("; ")[1]]
    for name, place, plate, _, how_many in listed:
        volts, load, phases = fitting[plate % len(fitting)]
        place = place.strip() if place.strip() != "panel" else "by the panel"
        length = distance.get(place, "9 ft")
        words.append(f"--machine={name}; {place}; {volts}; {load}; {phases}; {length}{how_many}")
    done = CliRunner().invoke(
        application(), ["start", str(file), "--catalog", "demo", "--today", "2026-11-02", *words]
    )

    assert done.exit_code == OK, done.output
    catalog = load_catalog_with_places(shipped("catalogs") / "demo")
    assert mistakes(file, catalog) == []
    shop = load_shop_with_places(file).shop
    assert shop is not None
    assert shop.name == answers["--shop-name"].strip()
    told = {name.strip(): int(how_many.strip("; ") or 1) for name, *_, how_many in listed}
    assert counts(file) == told


@pytest.mark.parametrize("system", ["2", "120/208", "120/208 Three-Phase"])
def test_choices_may_be_given_by_number_or_beginning(system: str, tmp_path: Path) -> None:
    file = tmp_path / "shed.yaml"
    machine = "saw; bench; 208; 3 hp; 3; 35 ft"
    words = options(ANSWERS, panel=f"panel; {system}; 1; 8", machine=machine)
    assert CliRunner().invoke(application(), ["start", str(file), *words]).exit_code == OK
    shop = load_shop_with_places(file).shop
    assert shop is not None
    assert str(shop.panels[0].system) == "120/208 three-phase"
    assert shop.panels[0].breakers == "family B"


def test_quotes_only_where_yaml_needs_them() -> None:
    assert quoted("table saw") == "table saw"
    assert quoted("3/4 hp") == "3/4 hp"
    assert quoted("a: b") == '"a: b"'
    assert quoted("true") == '"true"'


THIRTY = """\
# along the long wall
wood lathe; bay; 120; 1 hp; 1; 55 ft; 12
engine lathe; bay; 240; 3 hp; 1; 55 ft

   # the rest
table saw; saw island; 240; 3 hp; 1; 38 ft; 2
drill press; north wall; 120; 3/4 hp; 1; 22 ft; 5
grinder; north wall; 120; 1/2 hp; 1; 22 ft; 3
sewing machine; gallery; 120; 3 A; 1; 70 ft; 4
welder; door;\t240; 30 A; 1; 15 ft; 1
compressor; door; 240; 5 hp; 1; 15 ft; 2
"""
COUNTS = {
    "wood lathe": 12,
    "engine lathe": 1,
    "table saw": 2,
    "drill press": 5,
    "grinder": 3,
    "sewing machine": 4,
    "welder": 1,
    "compressor": 2,
}


def noted(folder: Path, content: bytes, *more: str, **changed: str) -> tuple[int, str, Path]:
    """Exit status, what was said, and the file, of a start from these notes."""
    notes, file = folder / "notes.txt", folder / "shop.yaml"
    notes.write_bytes(content)
    words = options(ANSWERS, machine=None, **changed)
    done = CliRunner().invoke(application(), ["start", str(file), *words, "--machines", str(notes), *more])
    return done.exit_code, done.output, file


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"], ids=["plain", "byte order mark"])
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_a_notes_file_is_read_whatever_its_line_ends(mark: bytes, ending: str, tmp_path: Path) -> None:
    status, said, file = noted(tmp_path, mark + THIRTY.replace("\n", ending).encode())
    assert status == OK, said
    assert counts(file) == COUNTS
    assert "30 machines on 8 lines" in said


def test_a_mark_before_the_first_machine_is_no_part_of_its_name(tmp_path: Path) -> None:
    status, said, file = noted(tmp_path, b"\xef\xbb\xbfsaw; bench; 240; 3 hp; 1; 35 ft\r\n")
    assert status == OK, said
    assert counts(file) == {"saw": 1}


def test_notes_stand_beside_machine_options(tmp_path: Path) -> None:
    more = ("--machine", "planer; gallery; 240; 3 hp; 1; 70 ft; 2")
    status, said, file = noted(tmp_path, THIRTY.encode(), *more)
    assert status == OK, said
    assert counts(file) == COUNTS | {"planer": 2}

    again = ("--machine", "welder; gallery; 240; 3 hp; 1; 70 ft")
    (tmp_path / "other").mkdir()
    status, said, file = noted(tmp_path / "other", THIRTY.encode(), *again)
    assert status == USER_MISTAKE
    assert "an earlier machine has" in said
    assert not file.exists()


def test_all_mistakes_of_a_notes_file_are_told_with_their_lines(tmp_path: Path) -> None:
    lines = [
        "# a comment",
        "saw; bench; 241; 3; 2; 0; many",
        "",
        "drill; bench",
        "sander; bench; 240; 3 hp; 1; 35 ft; 0",
        "planer; panel; 240; 3 hp; 1; 35 ft; -1",
        "kiln; door; 240; 18 A; 1; 12 ft; 2.5",
        "mixer; door; 240; 40 hp; 1; 12 ft",
        "lathe; wall; 120; 1 hp; 1; 20 ft; 12",
        "lathe; wall; 120; 1 hp; 1; 20 ft",
        "grinder; wall; 120; 1 hp; 1; 21 ft",
    ]
    status, said, file = noted(tmp_path, "\r\n".join(lines).encode(), years="soon")
    assert status == USER_MISTAKE
    assert not file.exists()
    notes = tmp_path / "notes.txt"
    for number, words in (
        (2, "volts is 241; allowed: 120, 208, 240, 480"),
        (2, 'hp or amps is "3"; write the unit'),
        (2, 'phases is "2"; allowed: 1, 3'),
        (2, "distance is 0; allowed: more than 0 ft"),
        (2, 'how many is "many"; allowed: a whole number from 1 to 1000; write how many are alike'),
        (4, "has 2 parts between semicolons, not 6 or more; write name; place"),
        (5, 'how many is "0"; allowed'),
        (6, 'place is "panel", which is the panel itself'),
        (6, 'how many is "-1"; allowed'),
        (7, 'how many is "2.5"; allowed'),
        (8, "write the amperes of the nameplate"),
        (10, 'name is "lathe", which an earlier machine has'),
        (11, "write the same, or name another place"),
    ):
        assert any(line.startswith(f"{notes}:{number}: ") and words in line for line in said.splitlines()), (
            number,
            words,
            said,
        )
    assert said.count(f"{notes}:") == 13
    assert '--years "soon"' in said


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "names no machine; write one a line: name; place"),
        (b"\n# nothing yet\n\n", "names no machine"),
        (b"\x89PNG\r\n\x1a\n", "is not UTF-8 text"),
        ("drill; bench; 240; 3 hp; 1; 35 ft".encode("utf-16"), "is saved as UTF-16"),
        (b"caf\xe9; bench; 240; 3 hp; 1; 35 ft", 'save it again as "UTF-8"'),
        (b"saw; ben\0ch; 240; 3 hp; 1; 35 ft", "cannot be printed"),
        (b"saw\n" * 1001, "has 1001 lines; at most 1000 are allowed"),
    ],
    ids=["empty", "comments", "picture", "utf-16", "latin-1", "nul", "long"],
)
def test_a_file_that_holds_no_notes_is_told(content: bytes, words: str, tmp_path: Path) -> None:
    status, said, file = noted(tmp_path, content)
    assert status == USER_MISTAKE
    assert str(tmp_path / "notes.txt") in said
    assert words in said
    assert len(said.splitlines()) == 1
    assert not file.exists()


def test_notes_that_are_not_there_or_a_folder_are_told(tmp_path: Path) -> None:
    words = options(ANSWERS, machine=None)
    for name, told in (("nots.txt", "there is no such file"), (".", "is a folder, not a file")):
        done = run(tmp_path / "shop.yaml", *words, "--machines", str(tmp_path / name))
        assert done.returncode == USER_MISTAKE
        assert told in done.stderr
        assert "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_notes_that_may_not_be_read_are_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened = Path.open

    def closed(path: Path, *how: Any, **more: Any) -> Any:
        if path.name == "notes.txt" and how == ("rb",):
            raise PermissionError(13, "Permission denied")
        return opened(path, *how, **more)

    monkeypatch.setattr(Path, "open", closed)
    status, said, file = noted(tmp_path, THIRTY.encode())
    assert status == USER_MISTAKE
    assert "notes.txt: cannot be read: Permission denied; check its name and its permissions" in said
    assert not file.exists()


def test_thirty_machines_in_eight_groups_are_compared(tmp_path: Path) -> None:
    """Seven moves a year of three, none at the end of the last: 14, each of one machine of a group."""
    status, said, file = noted(
        tmp_path, THIRTY.encode(), panel="panel; 120/240; family A; 60", moves_per_year="7", years="3"
    )
    assert status == OK, said
    done = command.run("compare", str(file), "--plans", "1", "--format", "json")
    assert done.returncode == OK, done.stderr
    plan = json.loads(done.stdout)["plans"][0]
    assert plan["proven"]
    powered = {
        name: sum(way["count"] for way in machine["ways"]) for name, machine in plan["machines"].items()
    }
    assert powered == COUNTS
    moves = [line for line in plan["lines"] if line["trace"].startswith("labor.yaml task move-machine")]
    assert sorted(line["year"] for line in moves) == [year for year in (1, 2) for _ in range(7)]


def test_more_moves_than_machines_are_all_counted(tmp_path: Path, demo: LoadedCatalog) -> None:
    status, said, file = noted(
        tmp_path, b"saw; bench; 240; 3 hp; 1; 35 ft\ndrill; door; 120; 1 hp; 1; 20 ft", moves_per_year="5"
    )
    assert status == OK, said
    assert mistakes(file, demo) == []
    shop = load_shop_with_places(file).shop
    assert shop is not None
    events = spelled_out(shop).shop.scenarios[0].events
    assert [event.year for event in events] == [year for year in (1, 2, 3, 4) for _ in range(5)]
    assert [event.machine for event in events if event.year == 1].count("saw") == 3


def test_one_move_is_of_one_machine_of_a_group(tmp_path: Path) -> None:
    status, said, file = noted(tmp_path, b"lathe; bay; 120; 1 hp; 1; 55 ft; 12", moves_per_year="1")
    assert status == OK, said
    assert "# One move is one machine, of a group too" in file.read_text(encoding="utf-8")
    shop = load_shop_with_places(file).shop
    assert shop is not None
    plain = spelled_out(shop).shop
    assert [(event.year, event.machine) for event in plain.scenarios[0].events] == [
        (1, "lathe 1"),
        (2, "lathe 2"),
        (3, "lathe 3"),
        (4, "lathe 4"),
    ]
    assert sum(machine.count for machine in plain.machines) == 12


@pytest.mark.parametrize("moves", ["0", "7"])
def test_what_the_comments_propose_can_be_written(moves: str, tmp_path: Path, demo: LoadedCatalog) -> None:
    status, said, file = noted(tmp_path, THIRTY.encode(), moves_per_year=moves)
    assert status == OK, said
    begin = r"lease:|forbid:|scenarios:|events:|quoted_ways:| *- \{| *- name:| *(?:weight|events):"
    text = re.sub(rf"(?m)^( *)# (?={begin})", r"\1", file.read_text(encoding="utf-8"))
    added = re.findall(r"(?m)^#   (\w+: (?:\{.*\}|NEMA \S+|\d+ ft|\S+))", text)
    assert [words.split(":")[0] for words in added] == [
        *("plug", "never_moves", "load", "continuous", "own_cord", "full_load_hours", "now"),
    ]
    first = "    amps: 30 A\n"
    text = text.replace(first, first + "".join(f"    {words}\n" for words in added))
    file.write_text(text, encoding="utf-8")
    assert mistakes(file, demo) == []
    shop = load_shop_with_places(file).shop
    assert shop is not None
    assert (len(shop.panels), len(shop.quoted_ways), len(shop.scenarios[0].events)) == (2, 1, 1)
    assert shop.scenarios[0].events[0].how_many == 6
    assert shop.building.lease is not None


PAGE = """\
# everything on one page
shop: Evening shop (invented)
years: until 2032
today: 2026-11-02
lease: ends 2031, take out
not allowed: wall drop; brick walls
not allowed: ceiling outlet; the beams are listed
edition: 2020
occupancy: school
ceiling: 14 ft
electricity: 17 cents a kWh
rate: 92 an hour
panel: main; 120/240 one phase; family A; 42 free
panel: big one; 240 three-phase; family B; 24

carving lathe; ; 120; half hp; 1; 55 / 42 ft; 6; plug 5-20; 4 move every year; 80 h a year
sander; far wall; 120; 1-1/2 hp; 1; 38 ft/30 ft; 3; 2 move every second year
table saw;; 240; 3 hp; single; 35/28; now armored drop 6-20 20 A 12 gauge; plug NEMA 6-20
kiln;; 240; 18 A; 1; 62/55; never moves; quoted fixed drop 420; not a motor; 2; continuous; own cord 8 ft
planer; ; 240; 5 hp; 3; 44 ft; from big one; quoted cord 90; moves every 3 years
fan; far wall; 240; 2 hp; 1; 40 / 34; from Big One; bolted down
compare: all cords; *=cord
compare: mixed; carving lathe=cords, sander=cord, kiln=quoted fixed drop, *=fixed drops
"""
"""A page that says everything, invented."""


def from_page(folder: Path, page: str, *more: str) -> tuple[int, str, Path]:
    """Exit status, what was said, and the file, of a start from a page alone."""
    notes, file = folder / "notes.txt", folder / "shop.yaml"
    notes.write_text(page, encoding="utf-8")
    words = ["start", str(file), "--catalog", "demo", "--machines", str(notes), *more]
    done = CliRunner().invoke(application(), words)
    return done.exit_code, done.output, file


def shop_of(file: Path) -> Shop:
    """The shop that a file says."""
    shop = load_shop_with_places(file).shop
    assert shop is not None
    return shop


def test_one_page_says_everything(tmp_path: Path, demo: LoadedCatalog) -> None:
    done = run(tmp_path / "shop.yaml")
    assert done.returncode == USER_MISTAKE
    status, said, file = from_page(tmp_path, PAGE)
    assert status == OK, said
    assert mistakes(file, demo) == []
    shop = shop_of(file)
    assert (shop.name, shop.years, str(shop.today)) == ("Evening shop (invented)", 6, "2026-11-02")
    assert shop.building.lease is not None
    assert (shop.building.lease.ends_year, shop.building.lease.take_out) == (5, True)
    assert shop.building.forbid == {"wall drop": "brick walls", "ceiling outlet": "the beams are listed"}
    assert (shop.code.edition, str(shop.code.occupancy)) == (2020, "school")
    assert (shop.building.ceiling_height_ft, shop.money.electricity_cents_per_kwh) == (14, 17)
    assert [crew.rate_cents for crew in shop.crews if crew.pace == 1] == [9200]
    assert [(p.name, str(p.system), p.breakers, p.spaces_free) for p in shop.panels] == [
        ("main", "120/240 single-phase", "family A", 42),
        ("big one", "240 three-phase", "family B", 24),
    ]
    assert counts(file) == {"carving lathe": 6, "sander": 3, "table saw": 1, "kiln": 2, "planer": 1, "fan": 1}
    lathe, sander, saw, kiln, planer, fan = shop.machines
    assert lathe.route is not None
    assert (lathe.at, lathe.route.panel, lathe.route.fixed_ft, lathe.route.cord_ft) == ("", "main", 55, 42)
    assert (lathe.hp, lathe.plug, lathe.full_load_hours) == (Decimal("0.5"), "NEMA 5-20", 80)
    assert (sander.at, sander.route, sander.hp) == ("far wall", None, Decimal("1.5"))
    assert saw.plug == "NEMA 6-20"
    assert saw.now is not None
    assert (str(saw.now.method), saw.now.panel, saw.now.configuration) == (
        "armored drop",
        "main",
        "NEMA 6-20",
    )
    assert (saw.now.breaker_a, saw.now.poles, saw.now.awg) == (20, 2, "12")
    assert (kiln.never_moves, kiln.motor, kiln.continuous, kiln.own_cord_ft) == (True, False, True, 8)
    assert (planer.phases, planer.never_moves, fan.never_moves) == (3, False, True)
    assert planer.route is not None
    assert (planer.route.panel, planer.route.fixed_ft, planer.route.cord_ft) == ("big one", 44, 44)
    assert [(r.start, r.end, r.fixed_ft, r.cord_ft) for r in shop.routes] == [
        ("main", "far wall", 38, 30),
        ("big one", "far wall", 40, 34),
    ]
    assert [m.name for m in shop.machines if m.ways.from_catalog] == ["kiln", "planer"]
    drop, cord = shop.quoted_ways
    assert (str(drop.method), drop.machines, drop.put_in.money_cents) == ("fixed drop", ["kiln"], 42000)
    assert (drop.panel, drop.poles, drop.move) == ("main", 2, None)
    assert (str(cord.method), cord.machines, cord.put_in.money_cents, cord.poles) == (
        "cord",
        ["planer"],
        9000,
        3,
    )
    assert cord.move is not None
    events = [(e.every, e.machine, e.how_many, e.new_spot) for e in shop.scenarios[0].events]
    assert events == [(1, "carving lathe", 4, True), (2, "sander", 2, True), (3, "planer", None, True)]
    assert {strategy.name: strategy.ways for strategy in shop.strategies} == {
        "all cords": {"*": "cord"},
        "mixed": {"carving lathe": "cord", "sander": "cord", "kiln": drop.name, "*": "fixed drop"},
    }


def test_the_shop_of_a_page_is_checked_and_compared_with_its_strategies(tmp_path: Path) -> None:
    """The page less its planer and fan, which would only take time."""
    page = "\n".join(line for line in PAGE.splitlines() if not line.startswith(("planer", "fan")))
    status, said, file = from_page(tmp_path, page)
    assert status == OK, said
    words = ("compare", str(file), "--plans", "1", "--format", "json", "--time-limit", "280")
    check, compare = command.run("check", str(file)), command.run(*words)
    assert check.returncode == OK, check.stdout
    assert compare.returncode == OK, compare.stderr
    data = json.loads(compare.stdout)
    assert data["plans"][0]["proven"]
    assert [row["name"] for row in data["strategies"]] == ["all cords", "mixed"]
    assert all(row["surplus"] >= data["plans"][0]["present_value"] for row in data["strategies"])


def test_a_page_leaves_only_what_it_does_not_say(tmp_path: Path) -> None:
    for word, option in (("occupancy", "occupancy"), ("panel", "panel")):
        page = "\n".join(line for line in PAGE.splitlines() if not line.startswith(f"{word}:"))
        notes = tmp_path / "page.txt"
        notes.write_text(page.replace("; from big one", "").replace("; from Big One", ""), encoding="utf-8")
        done = run(tmp_path / "shop.yaml", "--machines", str(notes))
        assert done.returncode == USER_MISTAKE
        assert done.stderr.rstrip().endswith(f"missing: --{option}")


def test_moves_are_told_by_the_lines_or_for_all_machines_together(tmp_path: Path) -> None:
    still = "\n".join(
        line.split("; 4 move")[0].split("; 2 move")[0].split("; moves")[0] for line in PAGE.splitlines()
    )
    status, said, file = from_page(tmp_path, still)
    assert status == OK, said
    assert shop_of(file).scenarios == []
    file.unlink()
    status, said, file = from_page(tmp_path, still + "\nmoves a year: never\n")
    assert status == OK, said
    assert shop_of(file).scenarios == []
    file.unlink()
    status, said, file = from_page(tmp_path, PAGE + "moves a year: 1 to 2\n")
    assert status == OK, said
    assert "moves a year: [1, 1.5, 2], of table saw together; how carving lathe, sander, planer move" in said
    (scenario,) = shop_of(file).scenarios
    assert scenario.rearranged is not None
    assert scenario.rearranged.machines == ["table saw"]
    assert scenario.rearranged.among == ["table saw", "another spot"]
    told = {(event.machine, event.every) for event in scenario.events if event.machine}
    assert told == {("carving lathe", 1), ("sander", 2), ("planer", 3)}
    file.unlink()
    moving = "\n".join(line for line in PAGE.splitlines() if not line.startswith("table saw"))
    status, said, file = from_page(tmp_path, moving.replace("table saw=", "planer=") + "\nmoves a year: 3\n")
    assert status == USER_MISTAKE
    assert "moves a year: no machine is left to move" in said


def test_machines_that_move_all_over_the_shop_have_places_and_routes_between_them(
    tmp_path: Path, demo: LoadedCatalog
) -> None:
    page = b"saw;; 240; 3 hp; 1; 35 / 28 ft\npanel; ; 120; 1 hp; 1; 20 ft"
    status, said, file = noted(tmp_path, page, moves_per_year="2")
    assert status == OK, said
    assert mistakes(file, demo) == []
    shop = shop_of(file)
    assert [machine.at for machine in shop.machines] == ["saw", "place of panel"]
    assert [(r.start, r.end, r.cord_ft) for r in shop.routes] == [
        ("panel", "saw", 28),
        ("panel", "place of panel", 20),
        ("saw", "place of panel", 28),
    ]


def test_an_option_wins_over_the_page_and_tells_so(tmp_path: Path) -> None:
    more = (
        "--rate",
        "100",
        "--years",
        "6",
        "--panel",
        "main; 120/240; family A; 30",
        "--strategy",
        "all cords; *=cord",
    )
    more += ("--forbid", "wall drop: plaster", "--lease", "none")
    status, said, file = from_page(tmp_path, PAGE, *more)
    assert status == OK, said
    notes = tmp_path / "notes.txt"
    assert f'--rate "100" stands; {notes}:12: rate says 92 an hour' in said
    assert f"stands; {notes}:13: panel says main; 120/240 one phase; family A; 42 free" in said
    assert f'--lease "none" stands; {notes}:5: lease says ends 2031, take out' in said
    assert f"{notes}:6: not allowed says wall drop; brick walls" in said
    assert said.count(" stands; ") == 4
    shop = shop_of(file)
    assert [panel.spaces_free for panel in shop.panels] == [30, 24]
    assert shop.building.lease is None
    assert shop.building.forbid == {"wall drop": "plaster", "ceiling outlet": "the beams are listed"}
    assert len(shop.strategies) == 2


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("years: 7", "years is said a second time; write it once"),
        ("panel: Main; 120/240; family A; 3", "panel: main was said before; write it once"),
        ("not allowed: wall drop; plaster", "wall drop was said before"),
        ("raet: 92", '"raet" is no word that leads a line; allowed: shop, years, panel'),
        ("pannel: x; 120/240; family A; 3", 'Did you mean "panel"?'),
        ("lease: ends never", "lease is"),
        ("just a remark", "has 1 part between semicolons"),
        (
            "compare: third; sandr=cord, *=cord",
            'compare: "sandr" is no machine; allowed: carving lathe',
        ),
        ("compare: third; sander=cord", "says nothing about carving lathe, table saw"),
    ],
)
def test_mistakes_of_a_page_are_told_with_their_lines(line: str, words: str, tmp_path: Path) -> None:
    status, said, file = from_page(tmp_path, PAGE + line + "\n")
    assert status == USER_MISTAKE
    assert words in said
    assert f"{tmp_path / 'notes.txt'}:24: " in said
    assert not file.exists()


def test_a_page_with_a_lease_beyond_the_plan_is_told(tmp_path: Path) -> None:
    status, said, file = from_page(tmp_path, PAGE.replace("ends 2031", "ends 9"))
    assert status == USER_MISTAKE
    assert "lease" in said
    assert not file.exists()


def test_fixed_drops_that_are_not_allowed_are_every_kind_of_drop(tmp_path: Path) -> None:
    status, said, file = from_page(tmp_path, PAGE.replace("wall drop; brick", "fixed drops; brick"))
    assert status == OK, said
    assert {"wall drop", "conduit drop", "armored drop"} < set(shop_of(file).building.forbid)


def test_what_runs_at_once_and_passes_the_main_is_told_in_place_of_a_comparison(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By hand: four of 20 A on both lines of a 60 A service are 80 A; three are no more than it has (3 x 20)."""
    compared: list[Path] = []

    def told(service: str) -> str:
        options = {
            "panel": ["main; 120/240 single-phase; ; 20; 100 A main breaker; none"],
            "machine": [
                "oven;; 240; 20 A; 1; 30 ft; 3; not a motor",
                "press;; 240; 20 A; 1; 30 ft; 1; not a motor",
            ],
            "occupancy": ["commercial"],
            "service": [service],
            "today": ["2026-11-02"],
        }
        file = tmp_path / f"{service}.yaml"
        with suppress(typer.Exit):
            begin(file, None, options, None, lambda file, seconds: compared.append(file), typed=False)
        return " ".join(capsys.readouterr().out.split())

    said = told("60")
    assert "draws up to 80 A a line, and the service has 60 A for it" in said
    assert "3 at once would fit" in said
    assert "rating: 100 A, other_load: 0 A" in (tmp_path / "60.yaml").read_text(encoding="utf-8")
    assert compared == []
    assert "Comparing it now" in told("80")
    assert compared == [tmp_path / "80.yaml"]


def test_the_small_catalog_is_made_for_the_higher_volts_of_small_motors_too() -> None:
    """A motor of 120 V and 13 A draws half of it at 240 V; its parts must be there when a retooling is written later."""
    machines = [
        DRILL | {"name": "band saw", "amps": 13, "hp": 1},
        SAW,
        DRILL | {"name": "iron", "load": "heater"},
    ]
    again = for_higher_volts(make_shop(machines))
    assert again is not None
    assert [(m.name, m.volts, m.amps_a, m.hp, m.plug) for m in again.machines] == [
        ("band saw", 240, Decimal("6.5"), 1, None)
    ]
    assert for_higher_volts(make_shop([SAW])) is None


def test_ranges_of_a_page_are_ranges_of_the_file_and_it_says_so(tmp_path: Path, demo: LoadedCatalog) -> None:
    """By hand: the pair's rate rises with the other's, as 197 / 110 of the catalog's 110 and 95 to 125 of it."""
    page = PAGE.replace("92 an hour", "95 to 125 an hour").replace("17 cents", "15-18 cents")
    page = page.replace("moves every 3 years", "moves once or twice a year")
    status, said, file = from_page(tmp_path, page)
    assert status == OK, said
    assert mistakes(file, demo) == []
    said = " ".join(said.split())
    assert "rate is taken as 95 to 125, most likely 110" in said
    assert "electricity is taken as 0.15 to 0.18" in said
    shop = shop_of(file)
    assert ends_of(shop.money.electricity_cents_per_kwh) == (15, Decimal("16.5"), 18)
    one, pair = (ends_of(crew.rate_cents) for crew in shop.crews)
    assert one is not None
    assert pair is not None
    assert one == (9500, 11000, 12500)
    assert [round(each / pair[1], 3) for each in pair] == [round(each / one[1], 3) for each in one]
    seldom, often = shop.scenarios
    assert (seldom.weight, often.weight) == (Decimal("0.5"), Decimal("0.5"))
    assert [(e.machine, e.times) for e in seldom.events] == [
        ("carving lathe", 1),
        ("sander", 1),
        ("planer", 1),
    ]
    assert [(e.machine, e.times) for e in often.events] == [
        ("carving lathe", 1),
        ("sander", 1),
        ("planer", 2),
    ]


def test_a_page_of_a_shop_without_room_says_what_would_help_after_it_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By hand: an oven of 240 V takes two spaces, and one is free."""
    options = {
        "panel": ["main; 120/240 single-phase; family A; 1"],
        "machine": ["oven;; 240; 20 A; 1; 30 ft; not a motor"],
        "occupancy": ["commercial"],
        "today": ["2026-11-02"],
    }
    file = tmp_path / "oven.yaml"
    begin(file, None, options, None, None, typed=False)
    said = " ".join(capsys.readouterr().out.split())
    assert (
        "No plan is possible yet: main has 1 free space, and a circuit for every machine takes 2 or more."
        in said
    )
    assert "subpanel: PANEL" in said
    assert file.exists()
