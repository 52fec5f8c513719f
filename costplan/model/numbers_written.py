"""Every number in an entry and in all within it, with where it is written: what rules about single figures walk over."""

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from costplan.files.yaml_reader import Trail
from costplan.model.base import Entry, words_of
from costplan.model.ranges import ends_of

_NO_NUMBERS = frozenset({str, bool, date, type(None)})
"""Types that hold no number, passed over at once."""
_MAY_BE_NEGATIVE = frozenset(
    {("Growth", "*"), ("Spot", "at"), ("Code", "ambient_c"), ("Money", "discount_rate")}
)
"""Entries and words whose numbers may be below nothing."""


class Number(NamedTuple):
    """A number, the entry it is in, the entry's field and where that stands in the file: several numbers may be one field."""

    trail: Trail
    entry: Entry
    name: str
    field: Trail
    value: Decimal

    @property
    def word(self) -> str:
        """The field's word in the file."""
        return str(self.field[-1])

    @property
    def below_nothing(self) -> bool:
        """Whether it is negative and may not be."""
        kind = type(self.entry).__name__
        return self.value < 0 and not _MAY_BE_NEGATIVE & {(kind, "*"), (kind, self.word)}


def numbers_of(entry: Entry, trail: Trail = ()) -> Iterator[Number]:
    """Every number in an entry and within it, as far as it could be read; attributes of parts are the kinds' own."""
    read = vars(entry)
    for name, word in words_of(type(entry)):
        value = read.get(name)
        if type(value) not in _NO_NUMBERS:
            field = (*trail, word)
            for where, inner in _in(value, field):
                if isinstance(inner, Entry):
                    yield from numbers_of(inner, where)
                elif name != "attributes":
                    yield Number(where, entry, name, field, inner)


def _in(value: object, trail: Trail) -> Iterator[tuple[Trail, Decimal | Entry]]:
    """Numbers and entries in a value, each with its trail in the file's words."""
    if isinstance(value, Decimal | int) and (three := ends_of(value)):
        yield from _in(three, trail)
    elif isinstance(value, Decimal | Entry):
        yield trail, value
    elif isinstance(value, int) and not isinstance(value, bool):
        yield trail, Decimal(value)
    elif isinstance(value, tuple) and value and isinstance(value[0], tuple):
        # Several figures of a plate that are written as one: 9.4-8.6/4.3.
        for inner in (figure for figures in value for figure in figures):
            yield from _in(inner, trail)
    elif isinstance(value, list | tuple):
        for index, inner in enumerate(value):
            yield from _in(inner, (*trail, index))
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _in(inner, (*trail, str(key)))
