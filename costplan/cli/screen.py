"""All that a command prints goes through here: no text of a file or a path can steer the terminal."""

import shutil

import typer

from costplan.files.visible import visible

NARROWEST = 40
"""Characters a row has at least, whatever a terminal says of itself."""


def columns() -> int:
    """Characters in a row of the terminal: COLUMNS where it is set, 80 where there is no terminal."""
    return max(shutil.get_terminal_size(fallback=(80, 24)).columns, NARROWEST)


def say(text: str, *, error: bool = False, end: str = "\n") -> None:
    """Print the text, to standard error if asked; signs that would steer the terminal are written out."""
    typer.echo(visible(text) + end, err=error, nl=False)
