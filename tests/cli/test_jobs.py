"""Finished jobs on the command line: recorded without harm, and shown beside their estimates."""

import csv
import io
import json
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import pytest
import typer
from small_shop import write_small_shop
from typer.testing import CliRunner, Result

from costplan.circuits.facts import Facts
from costplan.cli.jobs import register
from costplan.model.loading import load_catalog, load_shop

OK, USER_MISTAKE = 0, 2
EARLY = ("--name", "early", "--date", "2025-06-01", "--task", "run-cable; 2; 6 h; one electrician")
LATE = ("--name", "late", "--date", "2025-06-10", "--task", "run-cable; 1; 2; one electrician")
LATE += ("--task", "wire-device; 3; 2; owner", "--price", "R-6-20; counter; new; 13; each")


def read(shop: Path | None, folder: Path | None) -> Facts:
    assert shop is not None
    loaded, _ = load_shop(shop)
    catalog, _ = load_catalog(folder or shop.parent / "catalog")
    return cast(Facts, SimpleNamespace(shop=loaded, catalog=catalog))


def run(*arguments: str) -> Result:
    app = typer.Typer(pretty_exceptions_enable=False)
    register(app, read)
    return CliRunner().invoke(app, list(arguments))


@pytest.fixture
def shop(tmp_path: Path) -> str:
    return str(write_small_shop(tmp_path))


@pytest.fixture
def two_jobs(shop: str) -> str:
    for job in (EARLY, LATE):
        done = run("record", shop, *job)
        assert done.exit_code == OK, done.output
    return shop


def test_without_jobs_it_says_how_to_record_one(shop: str) -> None:
    done = run("jobs", shop)
    assert done.exit_code == OK
    assert "costplan record" in done.output


def test_the_table_shows_estimate_actual_difference_and_jobs_behind(two_jobs: str) -> None:
    lines = run("jobs", two_jobs).output.splitlines()
    late = next(line for line in lines if line.startswith("2025-06-10 late"))
    # by the book 10/6 h; after one job of 3 h a unit a quarter of the way towards it: 2 h
    assert late.split()[2:] == ["run-cable", "1", "one", "electrician", "1.67", "2.00", "2.00", "+0.00", "1"]
    in_force = next(line for line in lines if line.startswith("run-cable"))
    assert in_force.split()[1:7] == ["2", "40", "%", "1.667", "2.667", "2.067"]
    assert any("too low" in line and line.startswith("  by the book") for line in lines)
    assert any("offers.csv row 2" in line and "+8 %" in line for line in lines)


def test_json_and_csv_say_the_same(two_jobs: str) -> None:
    data = json.loads(run("jobs", two_jobs, "--format", "json").output)
    rows = list(csv.DictReader(io.StringIO(run("jobs", two_jobs, "--format", "csv").output)))

    assert [{key: str(value) for key, value in job.items()} for job in data["jobs"]] == rows
    assert [(job["job"], job["task"], job["jobs_before"]) for job in data["jobs"]] == [
        ("early", "run-cable", 0),
        ("late", "run-cable", 1),
        ("late", "wire-device", 0),
    ]
    assert data["tasks"][0]["jobs"] == 2
    assert data["tasks"][0]["book_hours"] == [1, 1.5, 3]
    assert data["prices"][0]["offer"] == 12
    assert data["prices"][0]["paid"] == 13
    assert data["error"]["book"]["lines"] == 3
    assert data["error"]["estimate"]["mean_error_hours"] < data["error"]["book"]["mean_error_hours"]


def test_every_estimate_adds_up(two_jobs: str) -> None:
    data = json.loads(run("jobs", two_jobs, "--format", "json").output)
    for job in data["jobs"]:
        assert job["actual_hours"] - job["estimate_hours"] == pytest.approx(job["difference_hours"])
    assert sum(job["actual_hours"] for job in data["jobs"]) == data["error"]["book"]["actual_hours"]
    actual = data["error"]["book"]["actual_hours"]
    assert data["error"]["book"]["bias"] == pytest.approx(
        sum(job["book_hours"] for job in data["jobs"]) / actual - 1, abs=1e-3
    )


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--task", "run-cable; 2"), "task; quantity; hours; crew"),
        (("--task", "run-cabel; 2; 3; owner"), 'Did you mean "run-cable"?'),
        (("--task", "run-cable; 2; soon; owner"), "soon"),
        (("--price", "R-6-20; counter; new; 13; dozen"), "dozen"),
        (("--price", "R-6-2; counter; new; 13; each"), 'Did you mean "R-6-20"?'),
        ((), "records nothing"),
    ],
)
def test_a_wrong_job_is_told_and_not_written(arguments: tuple[str, ...], words: str, shop: str) -> None:
    done = run("record", shop, "--name", "job", "--date", "2025-06-01", *arguments)
    assert done.exit_code == USER_MISTAKE
    assert words in done.output
    assert "Traceback" not in done.output
    assert not (Path(shop).parent / "catalog" / "jobs.yaml").exists()


def test_a_job_is_not_recorded_twice(two_jobs: str) -> None:
    path = Path(two_jobs).parent / "catalog" / "jobs.yaml"
    before = path.read_bytes()
    done = run("record", two_jobs, *LATE)
    assert done.exit_code == USER_MISTAKE
    assert "recorded already" in done.output
    assert path.read_bytes() == before


def test_comments_and_the_byte_order_mark_stay(shop: str) -> None:
    path = Path(shop).parent / "catalog" / "jobs.yaml"
    path.write_bytes(b"\xef\xbb\xbf# mine\njobs: []  # none yet\n")
    assert run("record", shop, *EARLY).exit_code == OK
    assert path.read_bytes().startswith(b"\xef\xbb\xbf# mine\njobs:  # none yet\n  - name: early\n")


def test_a_broken_catalog_is_told_and_not_written_to(shop: str) -> None:
    path = Path(shop).parent / "catalog" / "jobs.yaml"
    path.write_text("jobs: 3\n", encoding="utf-8")
    done = run("record", shop, *EARLY)
    assert done.exit_code == USER_MISTAKE
    assert "jobs.yaml:1:7" in done.output
    assert path.read_text(encoding="utf-8") == "jobs: 3\n"


def test_a_shipped_catalog_is_never_written_to() -> None:
    tiny = Path(__file__).parents[2] / "examples" / "tiny"
    done = run("record", str(tiny / "shop.yaml"), *EARLY)
    assert done.exit_code == USER_MISTAKE
    assert "costplan catalog copy" in done.output
    assert not (tiny / "catalog" / "jobs.yaml").exists()
