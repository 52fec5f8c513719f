"""Aligned tables for the terminal."""

WIDEST = 140
"""Characters in a line of prose."""
BLANK = "____________"
"""Room for somebody to write an answer, or a price."""


def table(headers: list[str], rows: list[list[str]], right: set[int]) -> str:
    """An aligned table; the columns in `right` are numbers."""
    from tabulate import tabulate

    align = ["right" if column in right else "left" for column in range(len(headers))]
    return tabulate(
        rows, headers=headers, colalign=align if rows else None, disable_numparse=True, tablefmt="simple"
    )


def wrapped(text: str, width: int = 60) -> str:
    """Text broken into lines of at most `width` characters."""
    import textwrap

    return "\n".join(textwrap.wrap(text, width)) or text


def filled(text: str) -> str:
    """A long sentence broken into lines; what is short stays as it is."""
    return wrapped(text, WIDEST) if len(text) > WIDEST else text
