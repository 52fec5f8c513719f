"""The commands that keep a catalog alive, on a copy of the shipped one."""

import csv
import errno
import json
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner, Result

from costplan.circuits.facts import Facts
from costplan.cli import upkeep
from costplan.files import writing
from costplan.files.shipped import shipped
from costplan.model.loading import load_catalog, load_shop

TODAY = ("--today", "2026-11-20")
PARTS = """parts:
  - {id: plug-a, kind: plug, name: plug A, attributes: {configuration: "NEMA 6-20"}}
  - {id: plug-b, kind: plug, name: plug B, attributes: {configuration: "NEMA 6-30"}}
  - {id: wire, kind: wire, name: wire, attributes: {awg: "12"}}
"""
KINDS = """kinds:
  - {kind: plug, attributes: [configuration]}
  - {kind: wire, attributes: [awg], sold: length}
"""
SUPPLIERS = """suppliers:
  - {id: counter, name: Counter (invented)}
  - {id: barn, name: Barn (invented)}
"""
OFFERS = """part,supplier,condition,price,per,available,seen,note
plug-a,counter,new,12.00,each,,2026-08-29,
plug-a,barn,used,4.40,each,4,2026-10-21,"clean blades, ""looked"" at"

plug-b,counter,new,19,each,,2026-08-13,
wire,counter,new,0.60,ft,,2026-11-01,
"""


YAML = ("kinds", "labor", "parts", "recipes", "suppliers")


def make_app() -> typer.Typer:
    app = typer.Typer(pretty_exceptions_enable=False)
    app.callback()(lambda: None)
    upkeep.register(app, no_shop)
    return app


def no_shop(shop: Path | None, catalog: Path | None) -> Facts:
    raise NotImplementedError


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A small catalog; labor and recipes are the shipped ones."""
    path = tmp_path / "catalog"
    path.mkdir()
    for name in ("labor.yaml", "recipes.yaml"):
        shutil.copy(shipped("catalogs") / "demo" / name, path / name)
    for name, text in (("parts", PARTS), ("kinds", KINDS), ("suppliers", SUPPLIERS)):
        (path / f"{name}.yaml").write_text(text)
    (path / "offers.csv").write_text(OFFERS)
    return path


def run(*words: object) -> Result:
    return CliRunner().invoke(make_app(), ["catalog", *map(str, words)])


def offers(folder: Path) -> str:
    return (folder / "offers.csv").read_text()


def files(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_adding_shows_the_difference_and_writes_only_when_told(folder: Path) -> None:
    words = ("add", folder, "plug-a", "3.9", "--supplier", "barn", "--condition", "new-old-stock", *TODAY)

    asked = run(*words)

    assert asked.exit_code == 2
    assert "say --yes" in asked.stderr
    assert "+ plug-a,barn,new-old-stock,3.90,each,,2026-11-20," in asked.stdout
    assert offers(folder) == OFFERS

    assert run(*words, "--yes").exit_code == 0
    lines = OFFERS.splitlines(keepends=True)
    assert offers(folder) == "".join(
        [*lines[:3], "plug-a,barn,new-old-stock,3.90,each,,2026-11-20,\n", *lines[3:]]
    )
    assert "history.csv" not in files(folder)


def test_repricing_changes_two_cells_and_keeps_the_old_row(folder: Path) -> None:
    done = run("reprice", folder, "plug-a", "$4.75", "--supplier", "barn", *TODAY, "--yes")

    assert done.exit_code == 0, done.stderr
    assert offers(folder) == OFFERS.replace("4.40,each,4,2026-10-21", "4.75,each,4,2026-11-20")
    with (folder / "history.csv").open() as file:
        rows = list(csv.DictReader(file))
    assert [(row["price"], row["note"], row["replaced"]) for row in rows] == [
        ("4.40", 'clean blades, "looked" at', "2026-11-20")
    ]


def test_what_is_unchanged_keeps_its_spelling(folder: Path) -> None:
    run("reprice", folder, "plug-b", "20", "--available", "3", *TODAY, "--yes")
    assert "plug-b,counter,new,20.00,each,3,2026-11-20,\n" in offers(folder)

    again = run("reprice", folder, "plug-b", "20.00", *TODAY, "--yes")
    assert again.exit_code == 0
    assert "nothing to change" in again.stdout


def test_dropping_keeps_the_row_as_history_and_the_history_shows_it(folder: Path) -> None:
    run("reprice", folder, "plug-b", "22.80", *TODAY, "--yes")
    assert run("remove", folder, "plug-b", "--today", "2026-11-21", "--yes").exit_code == 0
    assert "plug-b" not in offers(folder)

    shown = run("history", folder, "plug-b", "--format", "json")

    rows = json.loads(shown.stdout)
    assert [(row["price"], row["change"], row["seen"], row["until"]) for row in rows] == [
        ("19.00", "", "2026-08-13", "2026-11-20"),
        ("22.80", "+20.0 %", "2026-11-20", "2026-11-21"),
    ]
    assert "22.80" in run("history", folder, "plug-b").stdout
    assert run("history", folder, "plug-c").exit_code == 2


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ("add", "plug-c", "x", "--supplier", "countre", "--condition", "usd"),
            ("plug-a", "counter", '"used"', '"x"'),
        ),
        (
            ("add", "plug-a", "1", "--supplier", "counter", "--condition", "new", "--per", "ft"),
            ("but a plug is counted", "box of 25"),
        ),
        (("add", "plug-a", "1", "--supplier", "counter", "--condition", "new"), ("row 2", "reprice")),
        (("reprice", "plug-a", "1"), ("row 2: counter", "row 3: barn")),
        (("reprice", "plug-a", "1", "--supplier", "barn", "--condition", "new"), ("no offer", "row 2")),
        (("remove", "plug-d"), ("no such part", "plug-a")),
    ],
)
def test_mistakes_are_all_said_and_nothing_is_written(
    folder: Path, words: Sequence[str], said: Sequence[str]
) -> None:
    done = run(words[0], folder, *words[1:], "--yes")

    assert done.exit_code == 2
    assert "Traceback" not in done.stderr
    for part in said:
        assert part in done.stderr
    assert offers(folder) == OFFERS
    assert "nothing was written" in done.stderr


def test_another_lot_may_be_added(folder: Path) -> None:
    words = (
        "add",
        folder,
        "plug-a",
        "1",
        "--supplier",
        "counter",
        "--condition",
        "new",
        "--another",
        "--yes",
    )
    assert run(*words, *TODAY).exit_code == 0
    assert offers(folder).count("plug-a,counter,new") == 2


def test_line_ends_mark_and_separator_are_kept(folder: Path) -> None:
    old = ("\ufeff" + OFFERS.replace('"clean blades, ""looked"" at"', "x").replace(",", ";")).replace(
        "\n", "\r\n"
    )
    (folder / "offers.csv").write_bytes(old.encode())

    assert run("reprice", folder, "plug-b", "20", *TODAY, "--yes").exit_code == 0

    new = old.replace("plug-b;counter;new;19;each;;2026-08-13", "plug-b;counter;new;20.00;each;;2026-11-20")
    assert (folder / "offers.csv").read_bytes() == new.encode()


def test_text_that_a_spreadsheet_would_run_is_defused(folder: Path) -> None:
    run(
        "add",
        folder,
        "plug-b",
        "1",
        "--supplier",
        "barn",
        "--condition",
        "used",
        "--note",
        "=1+1",
        *TODAY,
        "--yes",
    )
    assert ", =1+1\n" in offers(folder)


def test_a_full_disk_leaves_every_file_whole(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second file of the two no longer fits."""
    real, calls = os.fsync, []

    def full(handle: int) -> None:
        calls.append(handle)
        if len(calls) == 2:
            raise OSError(errno.ENOSPC, "No space left on device")
        real(handle)

    monkeypatch.setattr(writing.os, "fsync", full)
    before = files(folder)

    done = run("reprice", folder, "plug-b", "20", *TODAY, "--yes")

    assert done.exit_code == 2
    assert "No space left on device" in done.stderr
    assert offers(folder) == OFFERS
    assert files(folder) == before


def test_a_read_only_folder_is_said(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(**_: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    if os.geteuid() == 0:
        # To root no folder is read-only.
        monkeypatch.setattr(writing.tempfile, "mkstemp", refused)
    else:
        folder.chmod(0o555)
    done = run("reprice", folder, "plug-b", "20", *TODAY, "--yes")
    folder.chmod(0o755)

    assert done.exit_code == 2
    assert "Permission denied" in done.stderr
    assert offers(folder) == OFFERS


def test_a_file_changed_while_a_person_thinks_is_left_alone(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    theirs = OFFERS + "wire,barn,used,0.20,ft,,2026-11-19,\n"

    def thinking() -> bool:
        (folder / "offers.csv").write_text(theirs)
        return True

    monkeypatch.setattr(upkeep, "_agreed", thinking)

    done = run("reprice", folder, "plug-b", "20", *TODAY)

    assert done.exit_code == 2
    assert "changed by someone else" in done.stderr
    assert offers(folder) == theirs
    assert "history.csv" not in files(folder)


def test_a_no_writes_nothing(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(upkeep, "_agreed", lambda: False)
    done = run("reprice", folder, "plug-b", "20", *TODAY)
    assert done.exit_code == 0
    assert "Nothing was written" in done.stdout
    assert offers(folder) == OFFERS


LIST = "Item,Net,Unit\n88-1,13.00,EA\nplug-b,21.00,EA\n"
MAPS = ("--map", "part=Item", "--map", "price=Net", "--map", "per=Unit", "--always", "condition=new")
WORDS = ("--word", "per:EA=each", "--word", "part:88-1=plug-a")


def test_a_list_is_imported_by_a_map_that_is_remembered(folder: Path) -> None:
    path = folder.parent / "list.csv"
    path.write_text(LIST)
    words = ("import", folder, path, "--supplier", "counter", *TODAY)

    asked = run(*words, *MAPS, *WORDS)
    assert asked.exit_code == 2
    assert "price_lists.csv, 6 new rows after row 1" in asked.stdout
    assert files(folder) == sorted([*(f"{name}.yaml" for name in YAML), "offers.csv"])

    done = run(*words, *MAPS, *WORDS, "--yes")
    assert done.exit_code == 0, done.stderr
    assert "2 repriced" in done.stdout
    path.write_text(LIST.replace("13.00", "14.00"))
    assert "1 repriced, 1 as they were" in run(*words, "--yes").stdout
    assert "plug-a,counter,new,14.00,each,,2026-11-20," in offers(folder)


def test_every_bad_row_of_a_list_is_shown(folder: Path) -> None:
    path = folder.parent / "list.csv"
    path.write_text("Item,Net,Unit\n" + "".join(f"plug-a,{n} dollars,box of {n}\n" for n in range(2, 62)))

    done = run("import", folder, path, "--supplier", "counter", *MAPS, "--yes")

    assert done.exit_code == 2
    assert done.stderr.count("offer-price") == 60
    assert "60 problems in 1 file; nothing was written" in done.stderr
    assert offers(folder) == OFFERS
    assert "price_lists.csv" not in files(folder)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--map", "price"), "FIELD=COLUMN"),
        (("--map", "prize=Net"), 'Did you mean "price"?'),
        (("--always", "color=red"), "no field of an offer"),
        (("--word", "EA=each"), "FIELD:THEIRS=OURS"),
        (("--supplier", "countre"), 'Did you mean "counter"?'),
        ((), "there is no such file"),
    ],
)
def test_a_wrong_import_is_explained(folder: Path, words: Sequence[str], said: str) -> None:
    done = run("import", folder, folder / "none.csv", "--supplier", "counter", *words, "--yes")
    assert done.exit_code == 2
    assert said in done.stderr


def test_a_unit_in_another_word_is_told_how_to_say_what_it_means(folder: Path) -> None:
    path = folder.parent / "list.csv"
    path.write_text("Item,Net,Unit\nplug-a,13.00,M\n")

    done = run("import", folder, path, "--supplier", "counter", *MAPS, "--yes")

    assert done.exit_code == 2
    assert 'is "M"' in done.stderr
    assert "--word 'per:THEIRS=1000 ft'" in done.stderr


def test_odd_prices_are_listed(folder: Path) -> None:
    (folder / "offers.csv").write_text(OFFERS + "plug-b,barn,new,480,each,,2025-01-01,\n")

    shown = run("odd", folder, *TODAY, "--format", "json")

    assert shown.exit_code == 0
    found = {(entry["code"], entry["line"]) for entry in json.loads(shown.stdout)}
    assert found == {("offer-each-as-pack", 7), ("offer-price-old", 7)}
    assert "price of a pack of 25" in run("odd", folder, *TODAY).stdout


def test_a_price_written_twice_is_an_error_of_odd_too(folder: Path) -> None:
    first = next(line for line in OFFERS.splitlines()[1:] if ",each," in line)
    (folder / "offers.csv").write_text(OFFERS + first + "\n")

    shown = run("odd", folder, *TODAY)

    assert shown.exit_code == 2
    assert "offer-twice: prices" in shown.stdout
    assert "keep one of rows" in shown.stdout


def test_calls_worth_making_are_said() -> None:
    app = typer.Typer(pretty_exceptions_enable=False)
    app.callback()(lambda: None)
    upkeep.register(app, tiny)

    shown = CliRunner().invoke(app, ["catalog", "calls", "--days", "1", "--times", "8", "--format", "json"])

    assert shown.exit_code == 0, shown.stderr
    data = json.loads(shown.stdout)
    assert {call["part"] for call in data["calls"]} == {"cord-12-3", "nm-12-2"}
    assert data["calls"][0]["plan_changes_below"] is None
    assert "wall drop" in data["calls"][0]["plan_changes_above"]["change"]


def tiny(shop: Path | None, catalog: Path | None) -> Facts:
    folder = shipped("examples") / "tiny"
    read, kept = load_shop(folder / "shop.yaml")[0], load_catalog(folder / "catalog")[0]
    assert read is not None
    assert kept is not None
    return Facts(read, kept)


SCRIPT = """
import os, signal, sys
import typer
from costplan.circuits.facts import Facts
from costplan.cli import upkeep
from costplan.files import writing
{hook}
app = typer.Typer(pretty_exceptions_enable=False)
app.callback()(lambda: None)
upkeep.register(app, None)
app(["catalog", *sys.argv[1:]])
"""
KILLS = {
    "while the first file is written": "writing.os.fsync = lambda handle: os.kill(os.getpid(), signal.SIGKILL)",
    "with both written beside": "writing.Path.replace = lambda *_: os.kill(os.getpid(), signal.SIGKILL)",
    "between the two": (
        "real = writing.Path.replace; done = []\n"
        "def once(self, target):\n"
        "    if done: os.kill(os.getpid(), signal.SIGKILL)\n"
        "    done.append(1); return real(self, target)\n"
        "writing.Path.replace = once"
    ),
}


def started(hook: str, *words: object) -> "subprocess.Popen[bytes]":
    return subprocess.Popen(
        [sys.executable, "-c", SCRIPT.format(hook=hook), *map(str, words)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )


@pytest.mark.parametrize("when", KILLS)
def test_a_kill_leaves_the_old_files_whole_and_trying_again_mends_all(folder: Path, when: str) -> None:
    words = ("reprice", folder, "plug-b", "20", *TODAY, "--yes")

    killed = started(KILLS[when], *words)

    killed.communicate(timeout=60)
    assert killed.returncode == -signal.SIGKILL
    assert offers(folder) == OFFERS

    assert run(*words).exit_code == 0
    assert "plug-b,counter,new,20.00,each,,2026-11-20" in offers(folder)
    assert (folder / "history.csv").read_text().count("plug-b") == 1
    assert not [name for name in files(folder) if name.startswith(".")]


def test_writers_at_once_lose_nothing(folder: Path) -> None:
    prices = [f"{dollars}.00" for dollars in range(1, 7)]
    slow = "real = writing.os.fsync\nimport time\nwriting.os.fsync = lambda handle: (time.sleep(0.1), real(handle))"
    writers = [
        started(
            slow,
            "add",
            folder,
            "plug-a",
            price,
            "--supplier",
            "barn",
            "--condition",
            "used",
            "--another",
            "--yes",
        )
        for price in prices
    ]
    for writer in writers:
        _, said = writer.communicate(timeout=120)
        assert writer.returncode == 0, said

    assert all(f"plug-a,barn,used,{price},each" in offers(folder) for price in prices)
    assert len(offers(folder).splitlines()) == len(OFFERS.splitlines()) + len(prices)
