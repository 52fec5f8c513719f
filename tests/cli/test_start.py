"""The guided start: by options, at a terminal, with mistakes in both, and for any answers that are allowed."""

import os
import select
import signal
import subprocess
import sys
from pathlib import Path

import pytest
import typer
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from costplan.cli.start import register
from costplan.files.problems import errors_of
from costplan.files.shipped import shipped
from costplan.model.checks import check_shop
from costplan.model.loading import LoadedCatalog, load_catalog_with_places, load_shop_with_places
from costplan.model.starting import quoted

OK, USER_MISTAKE = 0, 2
END, INTERRUPT = "\x04", "\x03"
ROOT = Path(__file__).parents[2]
PROGRAM = (
    "import typer; from costplan.cli.start import register; app = typer.Typer(pretty_exceptions_enable=False);"
    "app.callback()(lambda: None); register(app); app()"
)
ANSWERS = {
    "--shop-name": "Shed: mine (invented)",
    "--years": "5",
    "--panel-system": "120/240 single-phase",
    "--spaces-free": "8",
    "--breakers": "family A",
    "--rate": "110",
    "--occupancy": "commercial",
    "--edition": "unknown",
    "--electricity": "0.16",
    "--ceiling": "3 m",
    "--machine": "table saw; bench; 240; 3 hp; 1; 35 ft",
    "--moves-per-year": "0.5",
}


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


def run(file: Path, *words: str) -> "subprocess.CompletedProcess[str]":
    """The command without a terminal."""
    return subprocess.run(
        [sys.executable, "-c", PROGRAM, "start", str(file), *words],
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
        cwd=ROOT,
        timeout=60,
        check=False,
    )


@pytest.fixture(scope="module")
def demo() -> LoadedCatalog:
    return load_catalog_with_places(shipped("catalogs") / "demo")


def mistakes(file: Path, catalog: LoadedCatalog) -> list[str]:
    """Errors in the shop file, alone and against the catalog."""
    shop = load_shop_with_places(file)
    found = errors_of([*shop.problems, *check_shop(shop, catalog)])
    return [f"{problem.at} {problem.message}" for problem in found if problem.at.path == str(file)]


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
    assert shop.invented
    assert [crew.rate_cents for crew in shop.crews if crew.pace == 1] == [11000]
    short = shop.scenarios[0].rearranged
    assert short is not None
    assert short.among == ["bench", "door, left"]


def test_the_written_file_compares(tmp_path: Path) -> None:
    file = tmp_path / "shed.yaml"
    assert run(file, *options(ANSWERS, moves_per_year="1")).returncode == OK
    command = [sys.executable, "-m", "costplan", "compare", str(file)]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, timeout=120, check=False)
    assert done.returncode == OK, done.stderr
    assert "Ranked plans" in done.stdout


def test_every_missing_answer_is_named_at_once(tmp_path: Path) -> None:
    done = run(tmp_path / "shed.yaml", "--years", "5")
    assert done.returncode == USER_MISTAKE
    assert all(name in done.stderr for name in ANSWERS if name != "--years")
    assert "--years" not in done.stderr
    assert "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


WRONG = [
    ("shop_name", " ", "empty"),
    ("years", "soon", "not a number"),
    ("years", "0", "1 to 60"),
    ("panel_system", "12 V", "120/240 single-phase"),
    ("spaces_free", "2.5", "whole number"),
    ("breakers", "famly A", 'Did you mean "family A"?'),
    ("rate", "0", "95.00"),
    ("occupancy", "barn", "dwelling garage"),
    ("edition", "new", "unknown"),
    ("electricity", "16", "0.16"),
    ("ceiling", "90 ft", "6 ft to 60 ft"),
    ("machine", "saw; bench", "6; write name; place"),
    ("machine", "saw; panel; 240; 3 hp; 1; 35 ft", "the panel itself"),
    ("machine", "saw; bench; 300; 3 hp; 1; 35 ft", "120, 208, 240, 480"),
    ("machine", "saw; bench; 240; 3; 1; 35 ft", "write the unit"),
    ("machine", "saw; bench; 240; 0 A; 1; 35 ft", "more than 0"),
    ("machine", "saw; bench; 240; 3 hp; 2; 35 ft", "1, 3"),
    ("machine", "saw; bench; 208; 3 hp; 1; 35 ft", "read the nameplate"),
    ("machine", "saw; bench; 480; 3 hp; 3; 35 ft", "no panel is three-phase"),
    ("machine", "saw; bench; 240; 40 hp; 1; 35 ft", "amperes of the nameplate"),
    ("machine", "saw; bench; 240; 3 hp; 1; 35 miles", "allowed units"),
    ("machine", "saw; bench; 240; 3 hp; 1; 0", "more than 0 ft"),
    ("moves_per_year", "2", "0 to 1"),
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
        *options(ANSWERS, years="soon", rate="dear", ceiling=None),
        "--machine",
        "table saw; door; 240; 3 hp; 1; 12 ft",
        "--today",
        "yesterday",
    )
    assert done.returncode == USER_MISTAKE
    for words in ("--years", "--rate", "an earlier machine has", "--today", "missing: --ceiling"):
        assert words in done.stderr


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
    done = run(file, *options(ANSWERS), "--catalog", str(catalog))
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
    done = run(tmp_path / "barn.yaml", *options(ANSWERS, machine=machine), "--catalog", str(tiny))
    assert done.returncode == USER_MISTAKE
    assert "no panel is three-phase" in done.stderr


def answered(file: Path, words: list[str], lines: list[str]) -> tuple[int, str]:
    """Exit status and all that a terminal showed when a person types the lines, one for each prompt.

    After the last line comes the end of input; the line INTERRUPT is Ctrl-C.
    """
    pty = pytest.importorskip("pty", reason="there are no pseudo-terminals here")
    person, terminal = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-c", PROGRAM, "start", str(file), *words],
        stdin=terminal,
        stdout=terminal,
        stderr=terminal,
        cwd=ROOT,
        close_fds=True,
    )
    os.close(terminal)
    shown, waiting = "", list(lines)
    prompts = 0
    while True:
        ready, _, _ = select.select([person], [], [], 30)
        assert ready, f"no more came after: {shown}"
        try:
            came = os.read(person, 4096)
        except OSError:  # the other end is closed
            break
        if not came:
            break
        shown += came.decode()
        asked = shown.count("> ") + shown.count("no more: ")
        while prompts < asked:
            prompts += 1
            line = waiting.pop(0) if waiting else END
            if line == INTERRUPT:
                process.send_signal(signal.SIGINT)
            else:
                os.write(person, (line if line == END else f"{line}\n").encode())
    os.close(person)
    return process.wait(timeout=30), shown


def test_a_person_at_a_terminal_is_asked_and_asked_again(tmp_path: Path, demo: LoadedCatalog) -> None:
    file = tmp_path / "shed.yaml"
    lines = ["My shed", "soon", "", "1", "", "8", "family A", "95", "commercial", "", "0.16", "12 ft"]
    lines += ["table saw; bench; 240; 3 hp", "table saw; bench; 240; 3 hp; 1; 35 ft"]
    lines += ["sander; door; 120; 12 A; 1; 20 ft", "", "5", "1"]
    status, shown = answered(file, [], lines)

    assert status == OK, shown
    assert "not a number" in shown
    assert "is empty" in shown
    assert "has 4 parts between semicolons, not 6" in shown
    assert "0 to 2" in shown
    assert mistakes(file, demo) == []
    shop = load_shop_with_places(file).shop
    assert shop is not None
    assert (shop.name, shop.years, len(shop.machines)) == ("My shed", 5, 2)


def test_only_what_was_no_option_is_asked(tmp_path: Path) -> None:
    file = tmp_path / "shed.yaml"
    status, shown = answered(file, options(ANSWERS, years=None), ["7"])
    assert status == OK, shown
    assert "How many years" in shown
    assert "What is the shop called" not in shown
    shop = load_shop_with_places(file).shop
    assert shop is not None
    assert shop.years == 7


@pytest.mark.parametrize("ending", [END, INTERRUPT], ids=["end of input", "interrupt"])
def test_an_answer_that_never_comes_writes_nothing(ending: str, tmp_path: Path) -> None:
    file = tmp_path / "shed.yaml"
    status, shown = answered(file, options(ANSWERS, years=None, rate=None), ["7", ending])
    assert status == USER_MISTAKE, shown
    assert "nothing was written" in shown
    assert "Traceback" not in shown
    assert not file.exists()


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
    st.tuples(names, names, plates, lengths), min_size=1, max_size=4, unique_by=lambda said: said[0].strip()
)


@settings(max_examples=25)
@given(
    st.fixed_dictionaries(
        {
            "--shop-name": names,
            "--years": st.integers(1, 60).map(str),
            "--panel-system": st.sampled_from(list(PLATES)),
            "--spaces-free": st.integers(0, 200).map(str),
            "--breakers": st.sampled_from(["family B", "FAMILY B"]),
            "--rate": st.decimals("0.01", 900, places=2).map(str) | st.just("$1,250.00"),
            "--occupancy": st.sampled_from(["dwelling garage", "commercial", "school", "industrial", "4"]),
            "--edition": st.sampled_from(["unknown", "2014", "2017", "2020", "2023", "Unknown"]),
            "--electricity": st.sampled_from(["0", "0.16", "$0.30"]),
            "--ceiling": st.sampled_from(["6 ft", "60", "3 m", "10.5 ft"]),
            "--moves-per-year": st.sampled_from(["0", "1", "0.5", "1/2", "0.0"]),
        }
    ),
    machines,
)
def test_any_allowed_answers_give_a_file_that_is_read_back(
    tmp_path_factory: pytest.TempPathFactory,
    answers: dict[str, str],
    listed: list[tuple[str, str, int, str]],
) -> None:
    file = tmp_path_factory.mktemp("start") / "shed.yaml"
    distance = {place.strip(): length for _, place, _, length in listed}
    words = [f"{option}={text}" for option, text in answers.items()]
    fitting = PLATES[answers["--panel-system"]]
    for name, place, plate, _ in listed:
        volts, load, phases = fitting[plate % len(fitting)]
        place = place.strip() if place.strip() != "panel" else "by the panel"
        length = distance.get(place, "9 ft")
        words.append(f"--machine={name}; {place}; {volts}; {load}; {phases}; {length}")
    done = CliRunner().invoke(application(), ["start", str(file), "--today", "2026-11-02", *words])

    assert done.exit_code == OK, done.output
    catalog = load_catalog_with_places(shipped("catalogs") / "demo")
    assert mistakes(file, catalog) == []
    shop = load_shop_with_places(file).shop
    assert shop is not None
    assert shop.name == answers["--shop-name"].strip()
    assert [machine.name for machine in shop.machines] == [name.strip() for name, *_ in listed]


@pytest.mark.parametrize("system", ["2", "120/208", "120/208 Three-Phase"])
def test_choices_may_be_given_by_number_or_beginning(system: str, tmp_path: Path) -> None:
    file = tmp_path / "shed.yaml"
    machine = "saw; bench; 208; 3 hp; 3; 35 ft"
    words = options(ANSWERS, panel_system=system, breakers="1", machine=machine)
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
