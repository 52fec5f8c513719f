"""The parts of a comparison that can be asked for, by the words of `--show`."""

from collections.abc import Iterable
from enum import StrEnum
from typing import TypeVar

from costplan.files.problems import allowed_words


class Part(StrEnum):
    """A part of a comparison, in the order in which they are printed."""

    TOTALS = "totals"
    PLANS = "plans"
    MACHINES = "machines"
    GEAR = "gear"
    BUY = "buy"
    WORK = "work"
    YEARS = "years"
    OUTLAYS = "outlays"
    BUDGET = "budget"
    UNRANKED = "unranked"
    LINES = "lines"
    NOTES = "notes"


SEARCHED = (Part.OUTLAYS, Part.BUDGET)
"""Parts that take a search of their own, which the first screen does not name for want of room."""
ALL = "all"
EVERY_PART = tuple(Part)


class NextPart(StrEnum):
    """A part of the page for a next machine, in the order in which they are printed."""

    MACHINES = "machines"
    WAYS = "ways"
    MONEY = "money"
    ROOM = "room"
    WORK = "work"
    BUY = "buy"
    COUNT = "count"


EVERY_NEXT_PART = tuple(NextPart)
P = TypeVar("P", bound=StrEnum)


def parts_named(text: str, kind: type[P]) -> tuple[P, ...]:
    """The parts that the words ask for, in the order of printing. Raises ValueError naming words that are none."""
    words = [word.strip() for word in text.split(",")]
    for word in words:
        if word != ALL and word not in list(kind):
            raise ValueError(f'"{word}": there is no such part; {allowed_words(word, part_words(kind))}')
    return tuple(part for part in kind if ALL in words or part in words)


def part_words(kind: type[StrEnum]) -> Iterable[str]:
    """All words that `--show` takes."""
    return [*(str(part) for part in kind), ALL]
