"""A guided start: a page of notes, or a dozen questions, each an option too; a commented shop file at the end."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from costplan.cli.endings import fail
from costplan.cli.interview import Interview
from costplan.cli.screen import say

if TYPE_CHECKING:
    from costplan.model.loading import LoadedCatalog


def register(app: typer.Typer) -> None:
    """Add the command `start`."""
    app.command(
        epilog="Example: costplan start myshop.yaml --machine 'wood lathe; bay; 120; 1 hp; 1; 55 / 42 ft; 12'"
    )(start)


def start(
    file: Annotated[
        Path, typer.Argument(help="The shop file to write; it must not exist yet.", metavar="FILE")
    ],
    machines: Annotated[
        Path | None,
        typer.Option(
            help="A page of notes: a line for each machine, and lines such as years: 8 for all other answers.",
            metavar="NOTES",
        ),
    ] = None,
    machine: Annotated[
        list[str] | None,
        typer.Option(
            help="'name; place; volts; hp or amps; phases; distance; how many', the last optional; once for each "
            "machine, or for so many alike. Facts may follow: plug 6-20; bolted down; 7 move every year."
        ),
    ] = None,
    shop_name: Annotated[str | None, typer.Option(help="What the shop is called.")] = None,
    years: Annotated[str | None, typer.Option(help="Years to plan for, 1 to 60.")] = None,
    panel: Annotated[
        list[str] | None,
        typer.Option(
            help="'name; system; breakers; free spaces', once for each: 'main; 120/240 single-phase; family A; 42'. "
            "Systems: 120/240 single-phase, 120/208 three-phase, 240 three-phase, 277/480 three-phase; "
            "breakers is the family on the label, as parts.yaml calls it."
        ),
    ] = None,
    rate: Annotated[str | None, typer.Option(help="What one electrician charges an hour.")] = None,
    occupancy: Annotated[
        str | None, typer.Option(help="'dwelling garage', commercial, school or industrial.")
    ] = None,
    edition: Annotated[
        str | None, typer.Option(help="NEC edition in force, for example 2020, or unknown.")
    ] = None,
    electricity: Annotated[
        str | None, typer.Option(help="Price of a kilowatt-hour, for example 0.16 or 16 cents.")
    ] = None,
    ceiling: Annotated[str | None, typer.Option(help="Height of the ceiling, for example 10 ft.")] = None,
    moves_per_year: Annotated[
        str | None,
        typer.Option(
            help="Machine moves a year, all machines together, 0 to 100; where no line says which machines move."
        ),
    ] = None,
    lease: Annotated[
        str | None, typer.Option(help="What the lease says: 'ends 8, take out', or none.")
    ] = None,
    forbid: Annotated[
        list[str] | None,
        typer.Option(help="What is not allowed in the building, and why: 'wall drop: masonry walls'."),
    ] = None,
    strategy: Annotated[
        list[str] | None,
        typer.Option(help="A strategy to compare by name, in the words of --hold: 'all cords: *=cord'."),
    ] = None,
    catalog: Annotated[
        Path | None, typer.Option(help="Catalog folder the file will name; left out, the shipped demo.")
    ] = None,
    today: Annotated[
        str | None, typer.Option(help="Day of the plan, year-month-day; left out, the day it is.")
    ] = None,
) -> None:
    """Write a first shop file from a page of notes; what neither notes nor options say is asked."""
    once = {
        "shop-name": shop_name,
        "years": years,
        "rate": rate,
        "occupancy": occupancy,
        "edition": edition,
        "electricity": electricity,
        "ceiling": ceiling,
        "moves-per-year": moves_per_year,
        "lease": lease,
        "today": today,
    }
    given = {name: [text] for name, text in once.items() if text is not None}
    often = {"panel": panel, "machine": machine, "forbid": forbid, "strategy": strategy}
    given |= {name: texts for name, texts in often.items() if texts}
    _must_be_free(file)
    interview = Interview(file, _catalog(catalog), catalog, given)
    interview.read_all(machines)
    if interview.missing and not sys.stdin.isatty():
        names = ", ".join(f"--{name}" for name in interview.missing)
        interview.wrong.append(
            f"without a terminal every answer is needed as an option or in the notes; missing: {names}"
        )
    if interview.wrong:
        fail("\n".join(interview.wrong))
    for told in interview.told:
        say(told, error=True)
    try:
        answers = interview.ask_the_rest()
    except (EOFError, KeyboardInterrupt):
        fail("\nstopped before the last answer; nothing was written")
    _write(file, interview.text_of(answers), interview.loaded, interview.counted())


def _must_be_free(file: Path) -> None:
    if file.exists() or file.is_symlink():
        fail(f"{file} is there already; name another file, nothing is ever written over")
    if not file.parent.is_dir():
        fail(f"{file}: there is no folder {file.parent}; make it first")


def _catalog(folder: Path | None) -> "LoadedCatalog":
    from costplan.files.problems import errors_of, render_text
    from costplan.files.shipped import shipped
    from costplan.model.answers import families_for
    from costplan.model.loading import load_catalog_with_places

    path = folder or shipped("catalogs") / "demo"
    loaded = load_catalog_with_places(path)
    if loaded.catalog is None:
        fail(render_text(errors_of(loaded.problems)))
    if not families_for(loaded.catalog.parts, None):
        fail(f"{path}: parts.yaml has no breaker with a family, so no panel can be named; add the breakers")
    return loaded


def _write(file: Path, text: str, loaded: "LoadedCatalog", counted: str) -> None:
    from costplan.files.problems import UserMistakeError, render_text
    from costplan.files.writing import write_text
    from costplan.model.starting import mistakes_of

    mistakes = mistakes_of(text, file, loaded)
    if mistakes:
        fail(f"these answers do not go together; nothing was written\n{render_text(mistakes)}")
    try:
        write_text(file, text)
    except UserMistakeError as error:
        fail(render_text(error.problems))
    say(f"Wrote {file}, {counted}. Next: costplan check {file}, then costplan compare {file}")
