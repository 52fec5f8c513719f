"""Whatever a file, a path or the system says, a command ends with a sentence and a status, never with a trace."""

import errno
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from command import ROOT, TINY
from typer.testing import CliRunner

from costplan.cli import comparing
from costplan.cli.choices import Exit
from costplan.cli.main import app

LONG = "a" * 300


def said(*arguments: str) -> tuple[int, str]:
    """The status and all that is printed."""
    result = CliRunner().invoke(app, arguments)
    return result.exit_code, result.output


@pytest.mark.parametrize(
    "arguments",
    [
        ["compare", LONG],
        ["compare", TINY, "--catalog", LONG],
        ["shopping", TINY, "--output", LONG],
        ["example", "tiny", LONG],
        ["start", LONG],
        ["record", TINY, "--name", "x", "--bids", LONG],
        ["compare", TINY, "--bids", LONG],
        ["catalog", "odd", LONG],
    ],
    ids=lambda arguments: " ".join(arguments).replace(LONG, "LONG"),
)
def test_a_path_that_no_system_takes_is_the_users_to_mend(arguments: list[str]) -> None:
    status, output = said(*arguments)

    assert status == Exit.USER_MISTAKE
    assert "Traceback" not in output
    assert output.strip()


def test_a_catalog_name_that_no_system_takes_is_told_with_all_else(tmp_path: Path) -> None:
    shop = tmp_path / "shop.yaml"
    text = (ROOT / TINY).read_text()
    shop.write_text(re.sub("^catalog:.*", f"catalog: {LONG}", text, flags=re.MULTILINE))

    status, output = said("check", str(shop))

    assert status == Exit.USER_MISTAKE
    assert "catalog-missing" in output


def test_a_folder_that_may_not_be_read_is_the_users_to_mend(monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(path: Path) -> None:
        raise PermissionError(errno.EACCES, "Permission denied", str(path))

    monkeypatch.setattr("costplan.model.loading.scandir", refused)
    status, output = said("compare", str(ROOT / TINY))

    assert status == Exit.USER_MISTAKE
    assert "catalog-missing" in output
    assert "Permission denied" in output


def test_a_part_without_any_price_that_only_later_work_needs_is_no_defect(tmp_path: Path) -> None:
    """The blank cover is needed where an outlet is made safe in year 2, and nowhere else."""
    folder = tmp_path / "shop"
    shutil.copytree((ROOT / TINY).parent, folder)
    offers = folder / "catalog" / "offers.csv"
    rows = [line for line in offers.read_text().splitlines() if not line.startswith("blank-cover")]
    offers.write_text("\n".join(rows) + "\n")

    status, output = said("compare", str(folder / "shop.yaml"), "--plans", "1")

    assert status == 0
    assert "no price for blank cover" in output


@pytest.mark.parametrize(
    ("file", "old", "new", "code"),
    [
        ("shop.yaml", "today: 2026-11-02", "today: 0001-01-01", "today"),
        ("catalog/labor.yaml", "rate: 100.00, pace: 1", "rate: 100.00, pace: 0.000000000000001", "crew-pace"),
        (
            "catalog/labor.yaml",
            "rate: 100.00, pace: 1",
            "rate: 100.00, rate_from: nobody, pace: 1",
            "rate-from",
        ),
        ("catalog/offers.csv", "2.00,ft", '"2.00,ft', "table-quote"),
    ],
)
def test_figures_that_once_ended_in_a_trace_are_told(
    file: str, old: str, new: str, code: str, tmp_path: Path
) -> None:
    folder = tmp_path / "shop"
    shutil.copytree((ROOT / TINY).parent, folder)
    text = (folder / file).read_text()
    assert old in text
    (folder / file).write_text(text.replace(old, new, 1))

    status, output = said("check", str(folder / "shop.yaml"))

    assert status == Exit.USER_MISTAKE
    assert f": {code}: " in output


def test_a_device_and_a_pipe_are_not_read(tmp_path: Path) -> None:
    pipe = tmp_path / "labor.yaml"
    os.mkfifo(pipe)

    for path in ("/dev/zero", str(pipe)):
        status, output = said("check", path)
        assert status == Exit.USER_MISTAKE
        assert "file-no-file" in output


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
@pytest.mark.parametrize("words", [["size", TINY], ["--help"]])
def test_a_full_output_is_told(words: list[str]) -> None:
    with Path("/dev/full").open("w") as full:
        command = [sys.executable, "-m", "costplan", *words]
        result = subprocess.run(
            command, stdout=full, stderr=subprocess.PIPE, encoding="utf-8", cwd=ROOT, check=False
        )

    assert result.returncode == Exit.USER_MISTAKE
    assert result.stderr.strip().splitlines()[-1] == "the output cannot be written: No space left on device"


@pytest.mark.parametrize("command", ["schema shop", f"check {TINY}", f"shopping {TINY}"])
def test_a_closed_output_is_told(command: str) -> None:
    result = subprocess.run(
        ["bash", "-c", f"{sys.executable} -m costplan {command} >&-"],
        capture_output=True,
        encoding="utf-8",
        cwd=ROOT,
        check=False,
    )

    assert result.returncode == Exit.USER_MISTAKE
    assert result.stderr == "the output cannot be written: standard output is closed\n"


def test_a_reader_who_goes_away_is_no_news() -> None:
    command = f"{sys.executable} -m costplan schema shop | head -1"
    result = subprocess.run(
        ["bash", "-c", command], capture_output=True, encoding="utf-8", cwd=ROOT, check=False
    )

    assert (result.stdout, result.stderr) == ("{\n", "")


def test_a_defect_ends_with_a_sentence_and_its_trace_in_a_file(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise KeyError("crod")

    monkeypatch.setattr("costplan.cli.main.compared", broken)
    status, output = said("compare", TINY)

    assert status == Exit.DEFECT
    assert "Traceback" not in output
    told = re.fullmatch(
        r"This is a defect of costplan and not of your files. Please report it; the details are in (.+)\.\n",
        output.splitlines(keepends=True)[-1],
    )
    assert told
    kept = Path(told[1])
    report = kept.read_text(encoding="utf-8")
    kept.unlink()
    assert "KeyError: 'crod'" in report
    assert "Traceback" in report
    assert comparing.__name__ not in output


@pytest.mark.parametrize(
    "arguments", [["compare", "--dr\x1b[2Jill"], ["dr\x1b[2Jill"], ["check", "dr\x1b[2J\u202eill"]]
)
def test_no_argument_reaches_the_terminal_raw(arguments: list[str]) -> None:
    status, output = said(*arguments)

    assert status == Exit.USER_MISTAKE
    assert "\x1b" not in output
    assert "\u202e" not in output
