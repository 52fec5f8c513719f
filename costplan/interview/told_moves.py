"""How often a machine moves, as people say it: `twice a year`, `every 3 years`, `5 of them every January`."""

import re
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from fractions import Fraction

from costplan.model.reading import plain, whole

MOST_ALIKE = 1000
MOST_TIMES = 52
"""More moves of one machine in a year are a slip, or a machine on wheels, which needs no plan."""
_BARE = re.compile(
    r"(?:moved?s?\s+)?(?P<times>[0-9]+|one|two|three|four)(?:\s+moves?)?(?:\s+(?:an?|per)\s+|\s*/\s*)(?:year|yr)",
    re.IGNORECASE,
)
"""Moves counted by a bare number."""
EXAMPLES = ("twice a year", "once or twice a year", "every 3 years", "5 of them every January")
_ORDINALS = {"": 1, "single": 1, "second": 2, "other": 2, "third": 3, "fourth": 4, "fifth": 5}
_TIMES = {"once": 1, "twice": 2, "a couple of": 2, "one": 1, "two": 2, "three": 3, "four": 4}
_SEASONS = (
    "years?|summers?|winters?|springs?|autumns?|falls?|january|february|march|april|may|june|july|august|"
    "september|october|november|december"
)
_WHO = (
    r"(?:(?P<who>\S+)(?:\s+of\s+(?:them|the\s+\S+|[0-9]+))?\s+)??(?:(?:is|are|get|gets)\s+)?(?:moved?s?\s+)?"
)
_EVERY = re.compile(rf"{_WHO}(?:every|each)\s+(?P<every>.*?)\s*(?P<unit>{_SEASONS}|months?)", re.IGNORECASE)
_OFTEN = re.compile(
    rf"{_WHO}(?P<times>once|twice|a couple of times|a few times|(?:\S+)\s+times|monthly|yearly|annually)"
    r"(?:\s+(?:an?|per|each|every|in a|in every)\s+(?P<per>year|month))?",
    re.IGNORECASE,
)
_TWO = re.compile(r"\b(?P<one>\w+)\s*(?:-|–|\bto\b|\bor\b)\s*(?P<other>\w+)", re.IGNORECASE)
"""The two figures of a range: once or twice, 2 to 3."""
_ALL = ("", "once", "all", "it", "they", "this")


@dataclass(frozen=True, slots=True)
class Moves:
    """That machines of a line move every so many years, so often in each of them; None means all of them.

    `most` is how they may move oftener, where it was told as a range, of which this is then the least.
    """

    every: int
    how_many: int | None = None
    times: int = 1
    most: "Moves | None" = None

    @property
    def a_year(self) -> Fraction:
        """How often a year each of them moves."""
        return Fraction(self.times, self.every)

    def of(self, how_many: int | None) -> "Moves":
        """The same of so many of the group; None means all of it."""
        most = None if self.most is None else replace(self.most, how_many=how_many)
        return replace(self, how_many=how_many, most=most)

    @property
    def words(self) -> str:
        """The same as it may be written again."""
        who = "" if self.how_many is None else f"{self.how_many} of them "
        if self.most is not None:
            alike = self.every == self.most.every == 1
            times = (self.times, self.most.times) if alike else (self.most.every, self.every)
            often = "{} to {} times a year" if alike else "every {} to {} years"
            return who + often.format(*times)
        often = f"{self.times} times a year" if self.times > 1 else "every year"
        return who + (often if self.every == 1 else f"every {self.every} years")


def read_moves(text: str) -> Moves:
    """How often a machine, or so many of a group, moves. Raises ValueError with what was found and how to write it."""
    cleaned = plain(text)
    found = _TWO.search(cleaned)
    if found is not None:
        with suppress(ValueError):
            two = (
                cleaned[: found.start()] + found[each] + cleaned[found.end() :] for each in ("one", "other")
            )
            least, most = sorted(map(_one, two), key=lambda moves: moves.a_year)
            alike = least.every == most.every == 1 or least.times == most.times == 1
            if least.a_year < most.a_year and alike and least.how_many == most.how_many:
                return replace(least, most=most)
    return _one(cleaned)


def two_meanings(text: str, count: int) -> str:
    """Why `moves 2 a year` is not read of a group: two of them, or each of them twice; empty where it is clear."""
    found = _BARE.fullmatch(plain(text))
    if found is None or count == 1:
        return ""
    said = found["times"]
    times = {"1": "once", "one": "once", "2": "twice", "two": "twice"}.get(said.lower(), f"{said} times")
    return (
        f'"{plain(text)}" of {count} may be {said} of them or each of them {times}; write {said} move every year, or moves '
        f"{times} a year"
    )


def _one(cleaned: str) -> Moves:
    bare = _BARE.fullmatch(cleaned)
    if bare is not None:
        return Moves(1, None, _times(bare["times"].lower()))
    every, often = _EVERY.fullmatch(cleaned), _OFTEN.fullmatch(cleaned)
    if every is not None:
        return _every(every)
    if often is not None and (often["per"] or often["times"].lower() in ("monthly", "yearly", "annually")):
        times = _times(often["times"].lower())
        return Moves(1, _how_many(often["who"]), _a_year(times) if often["per"] == "month" else times)
    raise ValueError(f'is "{cleaned}"; write for example: {", ".join(EXAMPLES)}')


def _every(found: "re.Match[str]") -> Moves:
    when, unit = found["every"].lower(), found["unit"].lower()
    known = _ORDINALS.get(when)
    number = int(_told("every how many years", whole(1, 60), when)) if known is None else known
    how_many = _how_many(found["who"])
    if not unit.startswith("month"):
        return Moves(number, how_many)
    if number > 12 or 12 % number:
        raise ValueError(f"every {number} months is no even part of a year; write how many times a year")
    return Moves(1, how_many, 12 // number)


def _how_many(said: str | None) -> int | None:
    who = (said or "").lower()
    return None if who in _ALL else int(_told("how many move", whole(1, MOST_ALIKE), who))


def _times(said: str) -> int:
    if said in ("yearly", "annually"):
        return 1
    if said == "monthly":
        return 12
    number = said.removesuffix("times").strip()
    return _TIMES.get(number) or int(_told("how often", whole(1, MOST_TIMES), number))


def _a_year(a_month: int) -> int:
    if 12 * a_month > MOST_TIMES:
        raise ValueError(
            f"{a_month} times a month is more than {MOST_TIMES} a year; write fewer, or leave it out"
        )
    return 12 * a_month


def _told(what: str, read: Callable[[str], str], text: str) -> str:
    try:
        return read(text)
    except ValueError as error:
        raise ValueError(f"{what} {error}; write for example: 7 move every 2 years") from None
