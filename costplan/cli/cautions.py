"""The command for cautions and questions: all there are, or those that a shop's best plan calls for."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from costplan.cli.choices import CatalogFolder, LayoutName, Read, TableOrJson
from costplan.cli.comparing import best_plan
from costplan.cli.endings import fail
from costplan.cli.screen import say

if TYPE_CHECKING:
    from costplan.circuits.facts import Facts


def register(app: typer.Typer, read: Read) -> None:
    """Add `cautions`; `read` loads the shop and its catalog."""

    @app.command(epilog="Example: costplan cautions myshop/shop.yaml")
    def cautions(
        shop: Annotated[
            Path | None,
            typer.Argument(help="Your shop file; left out, all there are, with when each is said."),
        ] = None,
        catalog: CatalogFolder = None,
        layout: LayoutName = None,
        format_: Annotated[TableOrJson, typer.Option("--format", help="table or json.")] = TableOrJson.TABLE,
    ) -> None:
        """Print cautions in full, and what to ask of whom; of a shop those that its best plan calls for."""
        if shop is None:
            if catalog is not None or layout is not None:
                fail("--catalog and --layout are about a shop: name its file")
            text, data = _all()
        else:
            from costplan.studies.case import in_layout

            text, data = _of(in_layout(read(shop, catalog), layout))
        if format_ is TableOrJson.JSON:
            from costplan.reports.data_text import json_text

            text = json_text(data)
        say(text, end="")


def _all() -> tuple[str, list[dict[str, Any]]]:
    from costplan.reports.remarks_text import all_data, all_text

    return all_text(), all_data()


def _of(facts: "Facts") -> tuple[str, list[dict[str, Any]]]:
    from costplan.reports.noted import noted
    from costplan.reports.remarks_text import noted_text, remarks_data
    from costplan.reports.words import title

    best = best_plan(facts)
    said = noted(facts, best)
    head = f"{facts.shop.name}, its best plan: {title(facts, best)}"
    return f"{head}\n\n{noted_text(said)}", remarks_data(said)
