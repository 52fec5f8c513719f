"""The commands for the papers a person carries: the shopping list and the electrician's scope sheet."""

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from costplan.cli.bids import BidsFileOption
from costplan.cli.choices import CatalogFolder, Exit, LayoutName, ShopFile
from costplan.cli.comparing import compared
from costplan.cli.endings import fail, told_of, told_unproven
from costplan.cli.reading import opened
from costplan.cli.screen import say

if TYPE_CHECKING:
    from costplan.studies.comparison import Comparison


class PaperFormat(StrEnum):
    """How a shopping list is written."""

    TABLE = "table"
    CSV = "csv"
    XLSX = "xlsx"
    HTML = "html"


class SheetFormat(StrEnum):
    """How a scope sheet is written."""

    TABLE = "table"
    CSV = "csv"
    HTML = "html"


class Paper(StrEnum):
    """Paper sizes of a workbook; a page prints on any."""

    LETTER = "letter"
    A4 = "a4"


PlanNumber = Annotated[int, typer.Option("--plan", min=1, max=50, help="Which of the ranked plans.")]
OutputFile = Annotated[
    Path | None, typer.Option("--output", help="A file that does not exist yet; left out, the terminal.")
]
TimeLimit = Annotated[
    float | None, typer.Option("--time-limit", min=1, help="Seconds after which the best found is taken.")
]


def register(app: typer.Typer) -> None:
    """Add `shopping` and `scope`."""

    @app.command(
        epilog="Example: costplan shopping myshop/shop.yaml --format xlsx --output shopping.xlsx",
    )
    def shopping(
        shop: ShopFile = None,
        catalog: CatalogFolder = None,
        layout: LayoutName = None,
        plan: PlanNumber = 1,
        format_: Annotated[
            PaperFormat, typer.Option("--format", help="table, csv, xlsx or html.")
        ] = PaperFormat.TABLE,
        output: OutputFile = None,
        paper: Annotated[Paper, typer.Option(help="Paper the xlsx is set up for.")] = Paper.LETTER,
        whole: Annotated[
            bool, typer.Option("--all", help="Also what used parts may cost, and what to take instead.")
        ] = False,
        bids_file: BidsFileOption = None,
        time_limit: TimeLimit = None,
    ) -> None:
        """Print what to buy today by supplier: cut lists, totals, what to ask, inspect and take instead."""
        from costplan.program.clock import Clock

        clock = Clock(time_limit)
        if format_ is PaperFormat.XLSX and output is None:
            fail("an xlsx is a file: name one with --output shopping.xlsx")
        _not_there(output)
        _ends_as(output, format_, PaperFormat)
        case = opened(shop, catalog, layout=layout, bids=bids_file)
        comparison = compared(case, plan=plan, plans=plan, seconds=clock.left, only_plans=True)
        _put(_shopping(comparison, plan, format_, paper, whole), output)
        told_unproven(comparison, plan)
        told_of(comparison.facts.left_out)

    @app.command(
        epilog="Example: costplan scope myshop/shop.yaml --format html --output scope.html",
    )
    def scope(
        shop: ShopFile = None,
        catalog: CatalogFolder = None,
        layout: LayoutName = None,
        plan: PlanNumber = 1,
        format_: Annotated[
            SheetFormat, typer.Option("--format", help="table, csv or html.")
        ] = SheetFormat.TABLE,
        output: OutputFile = None,
        access: Annotated[
            str, typer.Option(help="When the shop is open to work, for example 'Mon to Fri, 7 to 16'.")
        ] = "",
        alternates: Annotated[
            int, typer.Option(min=0, max=5, help="How many other plans are priced as alternates.")
        ] = 2,
        bids_file: BidsFileOption = None,
        time_limit: TimeLimit = None,
    ) -> None:
        """Print what electricians bid on, without prices: circuits, work by location, what the owner brings."""
        from costplan.program.clock import Clock

        clock = Clock(time_limit)
        _not_there(output)
        _ends_as(output, format_, SheetFormat)
        case = opened(shop, catalog, layout=layout, bids=bids_file)
        count = max(plan, alternates + 1)
        comparison = compared(case, plan=plan, plans=count, seconds=clock.left, only_plans=True)
        _put(_scope(comparison, plan, format_, access, alternates), output)
        told_unproven(comparison, plan)
        told_of(comparison.facts.left_out)


def _shopping(comparison: "Comparison", plan: int, format_: PaperFormat, paper: Paper, whole: bool) -> bytes:
    from costplan.reports.shopping import shopping_list

    listed = shopping_list(comparison, plan)
    if format_ is PaperFormat.XLSX:
        from costplan.reports.shopping_book import shopping_book

        return shopping_book(listed, paper.value)
    if format_ is PaperFormat.HTML:
        from costplan.reports.page import shopping_page

        return shopping_page(listed).encode()
    from costplan.reports.shopping_text import shopping_csv, shopping_text

    text = shopping_csv(listed) if format_ is PaperFormat.CSV else shopping_text(listed, whole=whole)
    return text.encode()


def _scope(comparison: "Comparison", plan: int, format_: SheetFormat, access: str, alternates: int) -> bytes:
    from costplan.reports.scope import scope_sheet

    sheet = scope_sheet(comparison, plan, access=access, alternates=alternates)
    if format_ is SheetFormat.HTML:
        from costplan.reports.page import scope_page

        return scope_page(sheet).encode()
    from costplan.reports.scope_text import scope_csv, scope_text

    return (scope_csv(sheet) if format_ is SheetFormat.CSV else scope_text(sheet)).encode()


def _not_there(output: Path | None) -> None:
    """Say so before the long work when the file cannot be written anyway."""
    if output is not None and (output.exists() or output.is_symlink()):
        fail(f"{output} is there already: name another file")
    if output is not None and not output.absolute().parent.is_dir():
        fail(f"{output.parent} is no folder: make it first, or name another file")


_ENDINGS = {".xlsx": "xlsx", ".html": "html", ".htm": "html", ".csv": "csv"}
"""What a file's ending says of its format."""


def _ends_as(output: Path | None, chosen: StrEnum, known: type[StrEnum]) -> None:
    """Ends the command where a file's name says another format than is written."""
    said = _ENDINGS.get(output.suffix.lower()) if output is not None else None
    if output is None or said in (None, chosen.value):
        return
    if said in {format_.value for format_ in known}:
        fail(
            f"{output} would hold the format {chosen.value}: add --format {said}, or name a file that ends otherwise"
        )
    fail(f"{output}: this is not written as {said}, but as {', '.join(format_.value for format_ in known)}")


def _put(content: bytes, output: Path | None) -> None:
    from costplan.files.problems import UserMistakeError
    from costplan.files.writing import write_bytes

    if output is None:
        say(content.decode(), end="")
        return
    try:
        write_bytes(output, content)
    except UserMistakeError as error:
        for problem in error.problems:
            say(f"{problem.at} {problem.message}: {problem.mend}", error=True)
        raise typer.Exit(Exit.USER_MISTAKE) from None
    say(f"Wrote {output}.")
