"""What several commands take: exit statuses, formats, the shop file, the catalog folder."""

from collections.abc import Callable
from enum import IntEnum, StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from costplan.circuits.facts import Facts


class Exit(IntEnum):
    """Exit statuses, as the guide lists them."""

    OK = 0
    DEFECT = 1
    USER_MISTAKE = 2
    NO_PLAN = 3


class Format(StrEnum):
    """How output is written."""

    TABLE = "table"
    JSON = "json"
    CSV = "csv"


class TableOrJson(StrEnum):
    """How output is written that is no single table."""

    TABLE = "table"
    JSON = "json"


Read = Callable[[Path | None, Path | None], "Facts"]
"""Reads a shop file and a catalog folder, or says what is wrong and ends the command with status 2."""
ShopFile = Annotated[
    Path | None, typer.Argument(help="Shop file (YAML); left out, the shipped demo.", metavar="SHOP")
]
TimeLimit = Annotated[
    float | None,
    typer.Option("--time-limit", min=1, help="Seconds after which the best found is shown."),
]
LayoutName = Annotated[
    str | None, typer.Option("--layout", help="A layout of the shop file, taken in place of today's.")
]
CatalogFolder = Annotated[
    Path | None, typer.Option("--catalog", help="Catalog folder; wins over the one the shop file names.")
]
