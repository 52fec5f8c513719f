"""Aligned tables for the terminal."""


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
