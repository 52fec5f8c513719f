"""Figures that are told as a range, as the shop file has them: `95 to 125` is `[95, 110, 125]`, the middle a guess.

Only of what the shop file takes a range for; every reader raises ValueError with what was found.
"""

import re
from collections.abc import Callable
from decimal import Decimal

from costplan.files import quantities

_BETWEEN = re.compile(r"^(?:between|from)\s+", re.IGNORECASE)
_TO = re.compile(r"\s*(?:-|–|—|\bto\b|\band\b|\bor\b)\s*", re.IGNORECASE)
_LISTED = re.compile(r"\[(.*)\]")
_UNIT = re.compile(r"(?<=[0-9])\s*([^\s0-9.,/].*)$")
Value = Callable[[str], Decimal]
"""What a text of one figure comes to; raises ValueError."""


def ends_told(text: str) -> tuple[str, ...]:
    """The two figures of a range, or the three of a list, each with its unit; the text alone where it tells one.

    A unit that only the last has is that of all: `15-18 cents` is 15 cents to 18 cents.
    """
    listed = _LISTED.fullmatch(text.strip())
    said = listed[1].split(",") if listed else _TO.split(_BETWEEN.sub("", text.strip()))
    if len(said) != (3 if listed else 2) or not all(re.search("[0-9]", each) for each in said):
        return (text,)
    unit = _UNIT.search(said[-1].strip())
    ends = [each.strip() for each in said]
    return tuple(f"{each} {unit[1]}" if unit and not _UNIT.search(each) else each for each in ends)


def as_range(text: str, value: Value, shown: Callable[[Decimal], str]) -> str | None:
    """What is told as low, middle and high, by size: `[95, 110, 125]`; None where it tells one figure, or ends alike.

    The middle of two is half way between them. Raises ValueError for an end that cannot be read.
    """
    ends = sorted(value(each) for each in ends) if len(ends := ends_told(text)) > 1 else []
    if not ends or ends[0] == ends[-1]:
        return None
    middle = ends[1] if len(ends) > 2 else (ends[0] + ends[1]) / 2
    return f"[{', '.join(shown(each) for each in (ends[0], middle, ends[-1]))}]"


def money_or_range(text: str, least_cents: int, most_cents: int | None, mend: str) -> str:
    """Money as it is written, or its range in whole money. Raises ValueError with the mend for what is out of bounds."""

    def value(said: str) -> Decimal:
        cents = quantities.parse_money_cents(said)
        if cents < least_cents or (most_cents is not None and cents > most_cents):
            raise ValueError(f"is {text}; {mend}")
        return cents

    found = as_range(text, value, lambda cents: f"{(cents / 100).normalize():f}")
    if found is None:
        text = ends_told(text)[0]
        value(text)
    return found or text


def three_of(text: str) -> tuple[str, ...]:
    """The figures of an answer that was read: low, middle and high of a range, else the answer alone."""
    listed = _LISTED.fullmatch(text)
    return tuple(each.strip() for each in listed[1].split(",")) if listed else (text,)


def told_back(text: str, unit: str = "") -> str:
    """A range in words; empty for one figure."""
    three = three_of(text)
    if len(three) == 1:
        return ""
    low, middle, high = three
    return f"{low} to {high}{' ' * bool(unit)}{unit}, most likely {middle}"


def better_known(text: str) -> str:
    """How to say more of a range whose middle was guessed; empty for one figure."""
    three = three_of(text)
    return f", or write [{three[0]}, likely, {three[2]}]" if len(three) > 1 else ""
