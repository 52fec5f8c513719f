"""A section of a paper, described once: its head, its note, its columns, its rows; and as text.

The workbook (`shopping_book`) and the pages (`templates/section.html.j2`) are written from the same description.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from costplan.model.money import format_cents
from costplan.reports.tables import table, wrapped

NOTE_WIDTH = 98
"""Characters of a line of a note."""
FEW = 3
"""Rows of a group that text and pages show; a workbook has all."""
Cell = str | int
"""Words, or whole cents."""
Rows = tuple[tuple[Cell, ...], ...]


@dataclass(frozen=True, slots=True)
class Field:
    """A column: its head; at how many characters text wraps (0: never); characters in a workbook; percent of a page.

    number: set to the right.
    """

    head: str
    text: int
    book: int
    page: int
    number: bool = False


@dataclass(frozen=True, slots=True)
class Section:
    """A table with its head and its note. Rows that belong together are a group, whose first cell is shown once.

    text: how its parts are put together for a terminal; ticked: with a box before each row on a page.
    """

    head: str
    note: str
    fields: tuple[Field, ...]
    groups: tuple[Rows, ...]
    text: str = "{head}\n{rows}"
    ticked: bool = False

    @property
    def rows(self) -> Rows:
        """All rows, each in full."""
        return tuple(row for group in self.groups for row in group)

    @property
    def shown(self) -> tuple[tuple[str, ...], ...]:
        """The rows that text and pages show, money in words, the first cell of a group once."""
        return tuple(
            tuple(
                "" if place and not column else format_cents(cell) if isinstance(cell, int) else cell
                for column, cell in enumerate(row)
            )
            for group in self.groups
            for place, row in enumerate(group[:FEW])
        )


def each_alone(rows: Iterable[tuple[Cell, ...]]) -> tuple[Rows, ...]:
    """Every row a group of its own."""
    return tuple((row,) for row in rows)


def section_text(section: Section) -> str:
    """The section for a terminal; empty where it has no rows."""
    if not section.groups:
        return ""
    fields = section.fields
    rows = [
        [wrapped(cell, field.text) if field.text else cell for cell, field in zip(row, fields, strict=True)]
        for row in section.shown
    ]
    numbers = {column for column, field in enumerate(fields) if field.number}
    drawn = table([field.head for field in fields], rows, numbers)
    return section.text.format(head=section.head, note=section.note, rows=drawn)
