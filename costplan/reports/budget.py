"""Text within a budget of rows: what does not fit is shortened, and says so."""

import textwrap
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from costplan.files.visible import beginning, visible

PLENTY = 1000
"""More rows than any block has."""
SHORTEST_ITEM = 4
"""Characters that the first of several items keeps."""


@dataclass(frozen=True, slots=True)
class Block:
    """Lines that belong together.

    `lines` gives them in at most so many rows, and at most all there are; `least` is how many rows it cannot do without.
    `rank`: who is given room first; `apart`: whether a blank line above it helps.
    """

    lines: Callable[[int], Sequence[str]]
    least: int
    rank: int
    apart: bool = False


def within(blocks: Sequence[Block], rows: int) -> list[str]:
    """The blocks in at most so many rows: each its least, then the first in rank as much as it wants.

    Where there are too few rows for that, the last in rank gives up its own.
    """
    wanted = [len(block.lines(PLENTY)) for block in blocks]
    given = [min(block.least, want) for block, want in zip(blocks, wanted, strict=True)]
    left = rows - sum(given)
    order = sorted(range(len(blocks)), key=lambda place: blocks[place].rank)
    for place in reversed(order):
        fewer = min(given[place], max(0, -left))
        given[place] -= fewer
        left += fewer
    for place in order:
        more = min(wanted[place] - given[place], left)
        given[place] += more
        left -= more
    said: list[str] = []
    for block, room in zip(blocks, given, strict=True):
        lines = block.lines(room) if room else []
        if said and lines and block.apart and left > 0:
            said.append("")
            left -= 1
        said += lines
    return said


def filled_rows(text: str, rows: int, width: int, indent: str = "  ") -> list[str]:
    """A text in at most so many rows; its end left out where it is longer."""
    lines = textwrap.wrap(visible(text), width, subsequent_indent=indent, break_on_hyphens=False)
    if len(lines) <= rows:
        return lines
    return [*lines[: rows - 1], beginning(f"{lines[rows - 1]} {lines[rows].strip()}", width)]


def text_block(words: str, width: int, least: int, rank: int, *, apart: bool = False) -> Block:
    """A sentence or a few, in at most three rows."""
    return Block(lambda rows: filled_rows(words, min(rows, 3), width), least, rank, apart)


def items_block(
    head: str, said: Sequence[str], width: int, least: int, rank: int, where: str, *, most: int = 5
) -> Block:
    """Items in a row, in at most so many rows, with `where` those stand that have no room."""
    return Block(lambda rows: listed(head, said, min(rows, most), width, where), least, rank)


def first_that_fits(texts: Sequence[str], rows: int, width: int) -> list[str]:
    """The first of the texts that needs no more rows than there are, else the last with its end left out."""
    fits = (lines for text in texts if len(lines := filled_rows(text, PLENTY, width)) <= rows)
    return next(fits, None) or filled_rows(texts[-1], rows, width)


def listed(head: str, items: Sequence[str], rows: int, width: int, where: str = "") -> list[str]:
    """Items in a row in at most so many rows; how many more there are, and `where` they stand."""
    texts = []
    for shown in range(len(items), 0, -1):
        more = len(items) - shown
        rest = f"; and {more} more{where}" if more else ""
        texts.append(f"{head}{'; '.join(items[:shown])}{rest}")
    if len(items) > 1:
        rest = f"; and {len(items) - 1} more{where}"
        most = rows * width - len(head) - len(rest)
        texts += [f"{head}{beginning(items[0], room)}{rest}" for room in range(most, SHORTEST_ITEM, -1)]
    return first_that_fits(texts, rows, width) if texts else []


ROWS_OF_AN_ENTRY = 2


def points(entries: Sequence[str], rows: int, width: int, where: str) -> list[str]:
    """Entries, each in one row or a few, as many as fit; how many more there are, and `where` they stand."""
    whole = [filled_rows(entry, ROWS_OF_AN_ENTRY, width, "    ") for entry in entries]
    if sum(map(len, whole)) <= rows:
        return [line for lines in whole for line in lines]
    if rows < 2:
        return listed("", entries, 1, width, where)
    lines: list[str] = []
    for number, entry in enumerate(entries):
        room = min(ROWS_OF_AN_ENTRY, rows - len(lines) - 1)
        if room < 1:
            return [*lines, f"  and {len(entries) - number} more{where}"]
        lines += filled_rows(entry, room, width, "    ")
    return lines
