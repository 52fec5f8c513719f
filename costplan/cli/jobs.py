"""What finished jobs took: beside their estimates, and recorded."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from costplan.cli.choices import CatalogFolder, Format, Read, ShopFile
from costplan.cli.endings import fail
from costplan.cli.screen import say

if TYPE_CHECKING:
    from costplan.files.problems import Problem
    from costplan.model.loading import LoadedCatalog, LoadedShop


def register(app: typer.Typer, read: Read) -> None:
    """Add the commands `jobs` and `record`."""

    @app.command(epilog="Example: costplan jobs myshop/shop.yaml --format csv")
    def jobs(
        shop: ShopFile = None,
        catalog: CatalogFolder = None,
        format_: Annotated[
            Format, typer.Option("--format", help="table, json, or csv (the hours).")
        ] = Format.TABLE,
    ) -> None:
        """Show finished jobs beside their estimates, and the hours a unit that follow from them."""
        from costplan.reports.data_text import json_text
        from costplan.reports.invented import made_up
        from costplan.reports.jobs import jobs_csv, jobs_data, jobs_report, jobs_text

        facts = read(shop, catalog)
        report = jobs_report(facts.catalog, facts.shop.crews, invented=bool(made_up(facts)))
        if format_ is Format.JSON:
            say(json_text(jobs_data(report)), end="")
        elif format_ is Format.CSV:
            say(jobs_csv(report), end="")
        else:
            say(jobs_text(report), end="")

    app.command(
        epilog="Example: costplan record myshop/shop.yaml --name 'two drops' --date 2026-03-02 "
        "--task 'fish-cable-ft; 60; 4.5 h; one electrician'"
    )(record)


def record(
    shop: Annotated[Path, typer.Argument(help="Shop file (YAML).", metavar="SHOP")],
    name: Annotated[str, typer.Option(help="What the job was.")],
    date: Annotated[str, typer.Option(help="The day it was finished, year-month-day.")],
    task: Annotated[
        list[str] | None, typer.Option(help="'task; quantity; hours; crew', once for each task.")
    ] = None,
    price: Annotated[
        list[str] | None,
        typer.Option(help="'part; supplier; condition; price; per', once for each price paid."),
    ] = None,
    catalog: Annotated[
        Path | None, typer.Option("--catalog", help="Catalog folder; wins over the one the shop file names.")
    ] = None,
) -> None:
    """Add a finished job to jobs.yaml in the catalog folder; everything else in the file is kept."""
    from costplan.files.problems import UserMistakeError, render_text
    from costplan.model.recording import job_lines

    try:
        lines = job_lines(name, date, task or [], price or [])
    except ValueError as error:
        fail(str(error))
    try:
        path = _recorded(shop, catalog, lines)
    except UserMistakeError as error:
        fail(render_text(error.problems))
    say(f"Added the job to {path}. Next: costplan jobs {shop}")


def _recorded(shop: Path, catalog: Path | None, lines: list[str]) -> Path:
    """Write the job, after checking it against shop and catalog. Raises UserMistakeError."""
    from costplan.files.locking import locked
    from costplan.files.problems import UserMistakeError, errors_of
    from costplan.files.writing import NewContent, exchange
    from costplan.model.loading import JOBS_FILE, catalog_of, load_shop_with_places
    from costplan.model.recording import with_job

    loaded = load_shop_with_places(shop)
    known = catalog_of(loaded, catalog)
    folder = known.folder
    _not_shipped(folder)
    errors = errors_of([*loaded.problems, *known.problems]) or _misfits(loaded, known, lines)
    if errors:
        raise UserMistakeError(errors)
    path = folder / JOBS_FILE
    with locked(folder):
        before = path.read_bytes() if path.exists() else None
        mark = b"\xef\xbb\xbf" if before is not None and before.startswith(b"\xef\xbb\xbf") else b""
        text = (before or b"")[len(mark) :].decode("utf-8")
        exchange([NewContent(path, before, mark + with_job(text, str(path), lines).encode("utf-8"))])
    return path


def _not_shipped(folder: Path) -> None:
    from costplan.files.problems import At, Problem, UserMistakeError
    from costplan.files.shipped import shipped

    whole = folder.resolve()
    if any(whole.is_relative_to(shipped(kind).resolve()) for kind in ("catalogs", "examples")):
        message = "is a catalog that comes with costplan, which is not written to"
        mend = "copy it with costplan catalog copy FOLDER and name the copy in the shop file"
        raise UserMistakeError([Problem("catalog-shipped", At(str(folder)), "", message, mend)])


def _misfits(shop: "LoadedShop", catalog: "LoadedCatalog", lines: list[str]) -> "list[Problem]":
    """What the job names that shop and catalog do not know."""
    from costplan.checks.check_jobs import RULES
    from costplan.files.problems import At, Problem, errors_of
    from costplan.files.yaml_reader import parse_yaml
    from costplan.model.loading import JOBS_FILE
    from costplan.model.pair import Pair
    from costplan.model.recording import job_of

    job = job_of(lines)
    if shop.shop is None or catalog.catalog is None or catalog.offers is None:
        return []
    text = "jobs:\n" + "".join(f"  {line}\n" for line in lines)
    alone = catalog.catalog.model_copy(update={"jobs": [job], "paid": {}})
    files = {**catalog.places, JOBS_FILE: parse_yaml(text, "the new job").places}
    pair = Pair(shop.shop, shop.places, alone, files, catalog.offers)
    found = errors_of(problem for rule in RULES for problem in rule(pair))
    if any((other.name, other.day) == (job.name, job.day) for other in catalog.catalog.jobs):
        message = f'is "{job.name}" of {job.day}, which is recorded already'
        found.append(
            Problem("job-repeated", At("the new job", 2), "name", message, "give it another name or day")
        )
    return found
