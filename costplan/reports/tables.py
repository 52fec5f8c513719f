"""Aligned tables for the terminal, none wider than asked."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import zip_longest

from costplan.files.visible import visible

WIDEST = 140
"""Characters in a line, however wide the terminal: longer ones are hard to read."""
BLANK = "____________"
"""Room for somebody to write an answer, or a price."""
GAP = 2
"""Blanks between two columns."""
SHORTEST_CELL = 16
"""Characters a column of words keeps beside others, before it goes under the row."""


def table(headers: list[str], rows: list[list[str]], right: set[int]) -> str:
    """An aligned table; the columns in `right` are numbers."""
    from tabulate import tabulate

    align = ["right" if column in right else "left" for column in range(len(headers))]
    return tabulate(
        rows, headers=headers, colalign=align if rows else None, disable_numparse=True, tablefmt="simple"
    )


def fitted(
    headers: list[str],
    rows: list[list[str]],
    right: set[int],
    width: int,
    at_most: int = 60,
    under: Sequence[int] = (),
    narrow: Mapping[int, int] | None = None,
) -> str:
    """An aligned table of at most `width` characters: cells of words are wrapped, never wider than `at_most`.

    narrow: by column, how wide its words are at most, where others need the room more.

    What does not fit beside the rest goes under each row: the columns in `under` first, then the widest of words, never
    the first column. Where numbers alone are too wide, each row becomes a record: a line for every cell that holds something.
    """
    rows = [[visible(cell) for cell in row] for row in rows]
    shown = list(range(len(headers)))
    wide = [column for column in shown[1:] if column not in right and column not in under]
    wide.sort(key=lambda column: -max((len(row[column]) for row in rows), default=0))
    leaving, limits = [*under, *wide], [(narrow or {}).get(column, at_most) for column in shown]
    while (widths := _widths(headers, rows, shown, right, width, limits)) is None:
        if not leaving:
            return _records(headers, rows, width)
        shown.remove(leaving.pop(0))
    numbers = {place for place, column in enumerate(shown) if column in right}
    lines = _drawn([headers[column] for column in shown], widths, numbers)
    lines.append((" " * GAP).join("-" * width for width in widths))
    for row in rows:
        lines += _drawn([row[column] for column in shown], widths, numbers)
        rest = [f"{headers[c]}: {row[c]}" for c in range(len(headers)) if c not in shown and row[c]]
        lines += [hung("; ".join(rest), width, "    ", first="    ")] if rest else []
    return "\n".join(lines)


def _widths(
    headers: Sequence[str],
    rows: Sequence[Sequence[str]],
    shown: Sequence[int],
    right: set[int],
    width: int,
    limits: Sequence[int],
) -> list[int] | None:
    """How wide each column that is shown may be so that all fit; None where they cannot."""
    wanted, least = [], []
    for column in shown:
        head, cells = headers[column], [row[column] for row in rows]
        longest, head_word = max(map(len, cells), default=0), _longest_word(head)
        if column in right:
            wanted.append(max(longest, len(head)))
            least.append(max(longest, head_word))
        else:
            word = max(map(_longest_word, cells), default=0)
            limit = max(limits[column], min(word, SHORTEST_CELL))
            wanted.append(max(min(longest, limit), min(len(head), limit), head_word))
            least.append(max(min(longest, SHORTEST_CELL, limit), head_word))
    room = width - GAP * (len(shown) - 1)
    if sum(least) > room:
        return None
    numbers = [column in right for column in shown]
    while sum(wanted) > room:
        # Headings of numbers are wrapped first, then the widest column gives way.
        giving = [place for place in range(len(shown)) if wanted[place] > least[place]]
        wanted[max(giving, key=lambda place: (numbers[place], wanted[place]))] -= 1
    return wanted


def _drawn(row: Sequence[str], widths: Sequence[int], right: set[int]) -> list[str]:
    """A row as lines, its cells wrapped to the widths of their columns."""
    cells = [wrapped(cell, width).split("\n") for cell, width in zip(row, widths, strict=True)]
    lines = []
    for parts in zip_longest(*cells, fillvalue=""):
        placed = (
            part.rjust(width) if column in right else part.ljust(width)
            for column, (part, width) in enumerate(zip(parts, widths, strict=True))
        )
        lines.append((" " * GAP).join(placed).rstrip())
    return lines


def aligned(rows: Sequence[Sequence[str]], right: set[int]) -> list[str]:
    """Rows in columns as wide as they need, a line each, without a rule."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [line for row in rows for line in _drawn(row, widths, right)]


def _longest_word(text: str) -> int:
    return max(map(len, text.split()), default=0)


def _records(headers: Sequence[str], rows: Iterable[Sequence[str]], width: int) -> str:
    """A block for every row: its first cell, under it the other cells that hold something, each by its heading."""
    lines = []
    for row in rows:
        said = [(head, cell) for head, cell in zip(headers, row, strict=True) if cell]
        for place, (head, cell) in enumerate(said):
            named = f"{head}: {cell}" if head else cell
            lines.append(hung(named, width, "    ", first="  " if place else ""))
    return "\n".join(lines)


def wrapped(text: str, width: int = 60) -> str:
    """Text broken into lines of at most `width` characters."""
    import textwrap

    return "\n".join(textwrap.wrap(text, width, break_on_hyphens=False)) or text


def hung(text: str, width: int, indent: str, first: str = "") -> str:
    """Text broken into lines of at most `width` characters, all but the first indented."""
    import textwrap

    lines = textwrap.wrap(
        visible(text), width, initial_indent=first, subsequent_indent=indent, break_on_hyphens=False
    )
    return "\n".join(lines) or text


def filled(text: str, width: int = WIDEST) -> str:
    """A long sentence broken into lines; what is short stays as it is."""
    return wrapped(text, width) if len(text) > width else text
