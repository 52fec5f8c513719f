"""All that a command prints goes through here: no text of a file or a path can steer the terminal."""

import typer

from costplan.files.visible import visible


def say(text: str, *, error: bool = False, end: str = "\n") -> None:
    """Print the text, to standard error if asked; signs that would steer the terminal are written out."""
    typer.echo(visible(text) + end, err=error, nl=False)
