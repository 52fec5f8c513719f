"""A section of a paper, described once: its head, its note, its columns, its rows; and as text.

The workbook (`shopping_book`) and the pages (`templates/section.html.j2`) are written from the same description.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from costplan.model.money import format_cents
from costplan.reports.tables import BLANK, table, wrapped

NOTE_WIDTH = 98
"""Characters of a line of a note."""
Cell = str | int
"""Words, or whole cents."""
Rows = tuple[tuple[Cell, ...], ...]


@dataclass(frozen=True, slots=True)
class Field:
    """A column: its head; at how many characters text wraps (0: never); characters in a workbook; percent of a page.

    number: set to the right; blank: left for the reader to write in.
    """

    head: str
    text: int
    book: int
    page: int
    number: bool = False
    blank: bool = False


@dataclass(frozen=True, slots=True)
class Section:
    """A table with its head and its note. Rows that belong together are a group, whose first `shared` cells are shown once.

    text: how its parts are put together for a terminal; ticked: with a box before each row on a page; few: how many rows
    of a group text and pages show at most; totals: of how many rows, the last ones, a page makes totals; none: what is
    said where there are no rows; without it the section is then left out, unless it is there `always`.
    """

    head: str
    note: str
    fields: tuple[Field, ...]
    groups: tuple[Rows, ...]
    text: str = "{head}\n{rows}"
    ticked: bool = False
    shared: int = 1
    few: int | None = None
    totals: int = 0
    none: str = ""
    always: bool = False

    @property
    def rows(self) -> Rows:
        """All rows, each in full."""
        return tuple(row for group in self.groups for row in group)

    @property
    def shown(self) -> tuple[tuple[str, ...], ...]:
        """The rows that a terminal shows, money in words, the first cells of a group once."""
        return self._in_words(self.shared)

    @property
    def paged(self) -> tuple[tuple[str, ...], ...]:
        """The rows that a page shows: in full, since one may end within a group, but where groups are cut short."""
        return self._in_words(self.shared if self.few else 0)

    def _in_words(self, once: int) -> tuple[tuple[str, ...], ...]:
        return tuple(
            tuple(
                "" if place and column < once else format_cents(cell) if isinstance(cell, int) else cell
                for column, cell in enumerate(row)
            )
            for group in self.groups
            for place, row in enumerate(group[: self.few])
        )


@dataclass(frozen=True, slots=True)
class Points:
    """Sentences under a head; blank: each with room for a price. Left out where there are none."""

    head: str
    lines: tuple[str, ...]
    note: str = ""
    blank: bool = False


@dataclass(frozen=True, slots=True)
class Group:
    """Sections under one head, with words before them and after them."""

    head: str
    words: str
    parts: "tuple[Section | Points, ...]"
    foot: str = ""


Part = Section | Points | Group


def each_alone(rows: Iterable[tuple[Cell, ...]]) -> tuple[Rows, ...]:
    """Every row a group of its own."""
    return tuple((row,) for row in rows)


def part_text(part: Part) -> str:
    """A part for a terminal; empty where it is left out."""
    if isinstance(part, Section):
        return section_text(part)
    if isinstance(part, Points):
        said = [part.head, points_text(part.lines, f"  {BLANK}  " if part.blank else "  - "), part.note]
        return "\n".join(filter(None, said)) if part.lines else ""
    head = ": ".join(filter(None, (part.head, part.words)))
    return "\n".join(filter(None, (head, *map(part_text, part.parts), part.foot)))


def points_text(lines: Iterable[str], mark: str = "  - ") -> str:
    """Sentences, each with a mark before it."""
    indent = "\n" + " " * len(mark)
    return "\n".join(mark + wrapped(line, NOTE_WIDTH - len(mark)).replace("\n", indent) for line in lines)


def section_text(section: Section) -> str:
    """The section for a terminal; empty where it has no rows and says nothing of it."""
    if not section.groups and not section.none and not section.always:
        return ""
    fields = section.fields
    rows = [
        [
            BLANK if field.blank else wrapped(cell, field.text) if field.text else cell
            for cell, field in zip(row, fields, strict=True)
        ]
        for row in section.shown
    ]
    numbers = {column for column, field in enumerate(fields) if field.number}
    drawn = table([field.head for field in fields], rows, numbers)
    if not rows and section.none:
        drawn = f"  {section.none}"
    return section.text.format(head=section.head, note=section.note, rows=drawn).strip("\n")
