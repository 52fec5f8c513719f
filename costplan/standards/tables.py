"""Reads the published tables under `data/` and looks values up in them.

One CSV a table; `data/sources.yaml` says for each what it is, its units and how far it was confirmed.
Wire sizes stay text, since `1/0` is no number. A look-up that finds nothing raises, never returns None.
"""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType

import yaml

Row = Mapping[str, str]

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_DATA = resources.files(__package__) / "data"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a table comes from; `cite` is the form printed beside a figure."""

    title: str
    edition: str
    table: str
    units: str
    note: str

    @property
    def cite(self) -> str:
        """Title, edition and table in one phrase."""
        published = f"{self.title} {self.edition}".strip()
        return f"{published}, {self.table}" if self.table else published


@cache
def sources() -> Mapping[str, Source]:
    """Every table's source by the table's name."""
    entries = yaml.load((_DATA / "sources.yaml").read_text(encoding="utf-8"), _LOADER)
    return MappingProxyType({name: Source(**entry) for name, entry in entries.items()})


@cache
def table(name: str) -> tuple[Row, ...]:
    """All rows of a table as text, in printed order. Raises LookupError for an unknown table."""
    if name not in sources():
        raise LookupError(f'no table "{name}"; there are {", ".join(sorted(sources()))}')
    lines = (_DATA / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    return tuple(MappingProxyType(row) for row in csv.DictReader(lines))


def cite(name: str) -> str:
    """The source of a table in one phrase, for printing beside a figure taken from it."""
    table(name)
    return sources()[name].cite


def find_row(name: str, key: Mapping[str, str]) -> Row:
    """The first row whose columns equal the key. Raises LookupError naming what the table covers."""
    rows = table(name)
    found = next((row for row in rows if all(row[column] == text for column, text in key.items())), None)
    if found is None:
        raise missing_row(name, ", ".join(f"{column} {text}" for column, text in key.items()), tuple(key))
    return found


class NoRowError(LookupError):
    """What is asked for is beyond a table, or between what it has."""


def missing_row(name: str, asked: str, columns: tuple[str, ...]) -> NoRowError:
    """The error of a look-up whose row does not exist; it lists what the named columns hold."""
    held = [f"{column} {', '.join(dict.fromkeys(row[column] for row in table(name)))}" for column in columns]
    return NoRowError(f"{cite(name)} has no row for {asked}; it covers {'; '.join(held)}")


def cell(name: str, row: Row, column: str, row_title: str) -> str:
    """The text in a column of a row. Raises LookupError when the column is unknown or the cell is blank."""
    if column not in row:
        raise LookupError(f"{cite(name)} has no column {column}; its columns are {', '.join(_figures(row))}")
    if not row[column]:
        covered = ", ".join(title for title in _figures(row) if row[title])
        raise LookupError(f"{cite(name)} gives no {column} for {row_title}; that row has {covered}")
    return row[column]


def _figures(row: Row) -> list[str]:
    return [title for title in row if title != "confirmation"]


def look_up(name: str, key: Mapping[str, str], column: str) -> str:
    """The text at the row that equals the key and a column. Raises LookupError."""
    return _looked_up(name, tuple(key.items()), column)


@cache
def _looked_up(name: str, key: tuple[tuple[str, str], ...], column: str) -> str:
    title = ", ".join(f"{part} {text}" for part, text in key)
    return cell(name, find_row(name, dict(key)), column, title)
