"""The command for the guide: its pages, or one of them."""

from typing import Annotated

import typer

from costplan.cli.endings import fail
from costplan.cli.screen import columns, say

WIDEST = 100
"""Columns above which a line of prose is hard to follow."""


def register(app: typer.Typer) -> None:
    """Add `guide`."""

    @app.command(epilog="Example: costplan guide shop-file")
    def guide(
        page: Annotated[
            str | None, typer.Argument(help="The page to print; left out, all there are.")
        ] = None,
        as_written: Annotated[
            bool, typer.Option("--markdown", help="Print the Markdown it is made from.")
        ] = False,
    ) -> None:
        """Print a page of the guide, or list its pages."""
        from costplan.reports.guide import ORDER, list_text, page_text
        from costplan.reports.guide import page as page_of

        if page is None:
            say(list_text(), end="")
            return
        if page not in ORDER:
            fail(f'"{page}" is no page of the guide; there are {", ".join(ORDER)}')
        read = page_of(page)
        say(read.text if as_written else page_text(read, min(columns(), WIDEST)), end="")
