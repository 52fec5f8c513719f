"""jobs.yaml beside labor.yaml: read when it is there, every mistake told at its place."""

from pathlib import Path

import pytest
from small_shop import write_small_shop

from costplan.checks.check_jobs import RULES
from costplan.files.problems import Problem
from costplan.model.loading import LoadedCatalog, load_catalog_with_places, load_shop_with_places
from costplan.model.pair import Pair
from costplan.model.schema import catalog_schema

JOBS = """\
jobs:
  - name: shed
    date: 2025-06-10
    tasks:
      - {task: run-cable, quantity: 2, hours: 4 h, crew: one electrician}
    prices:
      - {part: R-6-20, supplier: counter, condition: new, price: 13.00, per: each}
"""


def loaded(folder: Path, jobs: str | None) -> LoadedCatalog:
    write_small_shop(folder, {"catalog/jobs.yaml": jobs})
    return load_catalog_with_places(folder / "catalog")


def checked(folder: Path, jobs: str) -> list[Problem]:
    catalog = loaded(folder, jobs)
    shop = load_shop_with_places(folder / "garage.yaml")
    assert shop.shop is not None
    assert catalog.catalog is not None
    assert catalog.offers is not None
    pair = Pair(shop.shop, shop.places, catalog.catalog, catalog.places, catalog.offers)
    return [problem for rule in RULES for problem in rule(pair)]


def test_a_catalog_needs_no_jobs(tmp_path: Path) -> None:
    read = loaded(tmp_path, None)
    assert read.problems == ()
    assert read.catalog is not None
    assert (read.catalog.jobs, read.catalog.paid) == ([], {})


def test_jobs_are_read_and_their_prices_are_in_force(tmp_path: Path) -> None:
    catalog = loaded(tmp_path, JOBS).catalog
    assert catalog is not None
    assert [job.name for job in catalog.jobs] == ["shed"]
    assert catalog.offers[0].price_cents == 1300
    assert str(catalog.offers[0].seen) == "2025-06-10"
    assert (catalog.paid[2].asked_cents, catalog.paid[2].trace) == (1200, "jobs.yaml:7")
    assert catalog.offers[1].price_cents == 300


def test_a_sound_file_has_no_problems(tmp_path: Path) -> None:
    assert checked(tmp_path, JOBS) == []


@pytest.mark.parametrize(
    ("old", "new", "code", "line", "words"),
    [
        ("date: 2025-06-10", "date: 10.6.2025", "job-date", 3, "not a day"),
        ("quantity: 2", "quantity: 0", "task-quantity", 5, "out of range"),
        ("hours: 4 h", "hours: -1", "task-hours", 5, "out of range"),
        ("hours: 4 h, ", "", "task-hours-missing", 5, 'lacks "hours"'),
        ("crew:", "crw:", "task-unknown-word", 5, "not a word known"),
        ("per: each", "per: dozen", "price-per", 7, "dozen"),
        ("price: 13.00", 'price: "13,00"', "price-price", 7, "13.00"),
        ("condition: new", "condition: nw", "price-condition", 7, "nw"),
    ],
)
def test_mistakes_of_the_file(old: str, new: str, code: str, line: int, words: str, tmp_path: Path) -> None:
    assert old in JOBS
    problems = loaded(tmp_path, JOBS.replace(old, new)).problems
    found = next(problem for problem in problems if problem.code == code)
    assert found.at.path.endswith("jobs.yaml")
    assert found.at.line == line
    assert words in found.message + found.mend


@pytest.mark.parametrize(
    ("old", "new", "code", "severity", "words"),
    [
        ("task: run-cable", "task: run-cabel", "job-task", "error", 'Did you mean "run-cable"?'),
        ("one electrician", "one electritian", "job-crew", "error", 'Did you mean "one electrician"?'),
        ("part: R-6-20", "part: R-6-2", "job-part", "error", 'Did you mean "R-6-20"?'),
        ("supplier: counter", "supplier: conter", "job-supplier", "error", 'Did you mean "counter"?'),
        ("2025-06-10", "2026-06-10", "job-in-future", "question", "after the day of the plan"),
        ("hours: 4 h", "hours: 240", "job-hours-odd", "question", "45 min is read too"),
        ("hours: 4 h", "hours: 4 min", "job-hours-odd", "question", "45 min is read too"),
        ("price: 13.00", "price: 1300", "job-price-odd", "question", "row 2 of offers.csv says 12.00"),
        ("condition: new", "condition: on-hand", "job-price-unused", "question", "offers.csv"),
    ],
)
def test_mistakes_between_the_files(
    old: str, new: str, code: str, severity: str, words: str, tmp_path: Path
) -> None:
    assert old in JOBS
    problems = {problem.code: problem for problem in checked(tmp_path, JOBS.replace(old, new))}
    assert problems[code].severity == severity
    assert problems[code].at.path.endswith("jobs.yaml")
    assert words in problems[code].message + problems[code].mend


def test_a_job_written_twice_is_told(tmp_path: Path) -> None:
    problems = checked(tmp_path, JOBS + JOBS.partition("\n")[2])
    assert [problem.code for problem in problems] == ["job-repeated"]


def test_an_empty_file_and_a_folder_are_told(tmp_path: Path) -> None:
    assert [problem.mend for problem in loaded(tmp_path, "").problems] == ["begin with jobs:"]
    (tmp_path / "catalog" / "jobs.yaml").unlink()
    (tmp_path / "catalog" / "jobs.yaml").mkdir()
    assert [problem.code for problem in load_catalog_with_places(tmp_path / "catalog").problems] == [
        "file-is-folder"
    ]


def test_the_schema_knows_jobs() -> None:
    assert "jobs" in catalog_schema()["$defs"]["jobs.yaml"]["properties"]
