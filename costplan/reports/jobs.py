"""Finished jobs beside their estimates: a table, or data for JSON and CSV."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from costplan.model.catalog import Catalog
from costplan.model.experience import (
    PRIOR_JOBS,
    ErrorSummary,
    Experience,
    JobError,
    PaceExperience,
    PriceError,
    crews_by_name,
    expected_hours,
    experiences,
    job_errors,
    pace_experiences,
    price_errors,
    summary,
)
from costplan.model.labor import Crew
from costplan.model.money import format_cents, to_cents
from costplan.reports.data_text import csv_text
from costplan.reports.tables import table
from costplan.reports.words import MAN_HOURS

CSV_COLUMNS = (
    "job",
    "date",
    "task",
    "quantity",
    "crew",
    "book_hours",
    "estimate_hours",
    "actual_hours",
    "difference_hours",
    "jobs_before",
)


@dataclass(frozen=True, slots=True)
class JobsReport:
    """What the jobs of a catalog teach; `tasks` and `paces` are those with jobs behind them."""

    invented: bool
    errors: tuple[JobError, ...]
    tasks: tuple[Experience, ...]
    paces: tuple[PaceExperience, ...]
    prices: tuple[PriceError, ...]
    by_book: ErrorSummary
    as_known: ErrorSummary


def jobs_report(catalog: Catalog, crews: Iterable[Crew], *, invented: bool) -> JobsReport:
    """Every job's hours and prices beside their estimates.

    `crews` replace the catalog's of the same name. The catalog's tasks are the book, so they must be as read.
    """
    known = crews_by_name([*catalog.crews, *crews])
    errors = job_errors(catalog.tasks, catalog.jobs, known)
    learned = experiences(catalog.tasks, catalog.jobs, known)
    moved = pace_experiences(catalog.tasks, catalog.jobs, known)
    return JobsReport(
        invented,
        tuple(errors),
        tuple(found for found in learned.values() if found.jobs),
        tuple(found for found in moved.values() if found.jobs),
        tuple(price_errors(catalog.offers, catalog.jobs, catalog.paid)),
        summary([(error.book_hours, error.actual_hours) for error in errors]),
        summary([(error.expected_hours, error.actual_hours) for error in errors]),
    )


def jobs_text(report: JobsReport) -> str:
    """The report for a terminal."""
    if not report.errors and not report.prices:
        return (
            "No finished jobs are recorded. costplan record adds one to jobs.yaml beside labor.yaml; "
            "its hours and prices are then used.\n"
        )
    invented = " (invented demo data)" if report.invented else ""
    parts = [f"What was really paid{invented}"]
    if report.errors:
        parts += [
            "Hours by job: the book's, the estimate from the book and the jobs of earlier days, and what it took\n"
            + _hours_table(report.errors),
            _summary_text(report),
            f"Hours a unit in force, {MAN_HOURS}: own hours weigh n / (n + {PRIOR_JOBS:f}) after n jobs\n"
            + _tasks_table(report.tasks),
        ]
    if report.paces:
        parts.append(
            f"Paces in force, beside one electrician at the same tasks: own paces weigh n / (n + {PRIOR_JOBS:f})\n"
            + _paces_table(report.paces)
        )
    if report.prices:
        parts.append(
            "Prices paid; one paid later than the offer's price was seen is used in its place\n"
            + _prices_table(report.prices)
        )
    return "\n\n".join(parts) + "\n"


def jobs_data(report: JobsReport) -> dict[str, Any]:
    """The report as plain data; hours and shares with up to four decimals, money with two."""
    return {
        "invented": report.invented,
        "prior_jobs": PRIOR_JOBS,
        "jobs": [dict(zip(CSV_COLUMNS, _values(error), strict=True)) for error in report.errors],
        "error": {"book": _summary_data(report.by_book), "estimate": _summary_data(report.as_known)},
        "tasks": [
            {
                "task": found.task.id,
                "name": found.task.name,
                "jobs": found.jobs,
                "weight": _four(found.weight),
                "book_hours": [_four(hours) for hours in found.book_hours],
                "book_mean_hours": _four(expected_hours(found.book_hours)),
                "own_mean_hours": _four(found.own_hours or Decimal(0)),
                "hours": [_four(hours) for hours in found.task.hours],
                "mean_hours": _four(expected_hours(found.task.hours)),
            }
            for found in report.tasks
        ],
        "paces": [
            {
                "crew": found.crew.name,
                "jobs": found.jobs,
                "weight": _four(found.weight),
                "book_pace": _four(found.book_pace),
                "own_pace": _four(found.own_pace or Decimal(0)),
                "pace": _four(found.crew.pace),
            }
            for found in report.paces
        ],
        "prices": [
            {
                "job": error.job,
                "date": error.day.isoformat(),
                "part": error.price.part,
                "supplier": error.price.supplier,
                "condition": str(error.price.condition),
                "per": error.price.per,
                "offer_row": error.row or None,
                "offer": None if error.asked_cents is None else _money(error.asked_cents),
                "paid": _money(error.price.price_cents),
            }
            for error in report.prices
        ],
    }


def jobs_csv(report: JobsReport) -> str:
    """The hours, one row a job and task."""
    return csv_text(
        CSV_COLUMNS, (dict(zip(CSV_COLUMNS, _values(error), strict=True)) for error in report.errors)
    )


def _hours_table(errors: Sequence[JobError]) -> str:
    rows = []
    last = ""
    for error in errors:
        job = f"{error.day} {error.job}"
        rows.append(
            [
                "" if job == last else job,
                error.task,
                _plain(error.quantity),
                error.crew,
                f"{error.book_hours:.2f}",
                f"{error.expected_hours:.2f}",
                f"{error.actual_hours:.2f}",
                f"{error.difference_hours:+.2f}",
                str(error.jobs_before),
            ]
        )
        last = job
    headers = ["job", "task", "qty", "crew", "book", "estimate", "actual", "difference", "jobs before"]
    return table(headers, rows, {2, 4, 5, 6, 7, 8})


def _tasks_table(tasks: Sequence[Experience]) -> str:
    rows = [
        [
            found.task.id,
            str(found.jobs),
            _percent(found.weight),
            f"{expected_hours(found.book_hours):.3f}",
            f"{found.own_hours or Decimal(0):.3f}",
            f"{expected_hours(found.task.hours):.3f}",
            " / ".join(f"{hours:.3f}" for hours in found.task.hours),
        ]
        for found in tasks
    ]
    headers = ["task", "jobs", "weight", "book", "own", "in force", "low / likely / high"]
    return table(headers, rows, {1, 2, 3, 4, 5})


def _paces_table(paces: Sequence[PaceExperience]) -> str:
    rows = [
        [
            found.crew.name,
            str(found.jobs),
            _percent(found.weight),
            f"{found.book_pace:.2f}",
            f"{found.own_pace or Decimal(0):.2f}",
            f"{found.crew.pace:.2f}",
        ]
        for found in paces
    ]
    return table(["crew", "jobs", "weight", "said", "own", "in force"], rows, {1, 2, 3, 4, 5})


def _prices_table(prices: Sequence[PriceError]) -> str:
    rows = []
    for error in prices:
        asked, paid = error.asked_cents, error.price.price_cents
        rows.append(
            [
                f"{error.day} {error.job}",
                error.price.part,
                error.price.supplier,
                str(error.price.condition),
                error.price.per,
                "" if asked is None else format_cents(to_cents(asked)),
                format_cents(to_cents(paid)),
                f"{(paid / asked - 1) * 100:+.0f} %" if asked else "",
                f"offers.csv row {error.row}" if error.row else "no single offer",
            ]
        )
    headers = ["job", "part", "supplier", "condition", "per", "offer", "paid", "difference", "where"]
    return table(headers, rows, {5, 6, 7})


def _summary_text(report: JobsReport) -> str:
    lines = ["Error of the estimates, all jobs"]
    for words, off in (("by the book", report.by_book), ("as known then", report.as_known)):
        line = f"  {words}: {off.estimated_hours:.2f} h for {off.actual_hours:.2f} h"
        line += f", off by {off.mean_error_hours:.2f} h a line"
        if off.error_share is not None and off.bias is not None:
            way = "too low" if off.bias < 0 else "too high"
            bias = f"{_percent(abs(off.bias))} {way}" if off.bias else "neither too low nor too high"
            line += f" ({_percent(off.error_share)} of the hours); in all {bias}"
        lines.append(line)
    return "\n".join(lines)


def _values(error: JobError) -> list[Any]:
    return [
        error.job,
        error.day.isoformat(),
        error.task,
        _four(error.quantity),
        error.crew,
        _four(error.book_hours),
        _four(error.expected_hours),
        _four(error.actual_hours),
        _four(error.difference_hours),
        error.jobs_before,
    ]


def _summary_data(off: ErrorSummary) -> dict[str, Any]:
    return {
        "lines": off.count,
        "estimated_hours": _four(off.estimated_hours),
        "actual_hours": _four(off.actual_hours),
        "mean_error_hours": _four(off.mean_error_hours),
        "error_share": None if off.error_share is None else _four(off.error_share),
        "bias": None if off.bias is None else _four(off.bias),
    }


def _four(number: Decimal) -> Decimal:
    return Decimal(_plain(round(number, 4)))


def _money(cents: Decimal) -> Decimal:
    return Decimal(format_cents(to_cents(cents), thousands=False))


def _plain(number: Decimal) -> str:
    return f"{number.normalize():f}"


def _percent(share: Decimal) -> str:
    return f"{share * 100:.0f} %"
