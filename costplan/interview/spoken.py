"""What people say around an answer: small words before and after it, numbers in letters, yes and no.

It is tried only where a text as it stands is no answer, and what was understood is said back.
"""

import re
from collections.abc import Iterator
from datetime import date

YES = ("yes", "y", "yes please", "yeah", "yep", "sure", "ok", "okay", "correct", "right", "true")
NO = ("no", "n", "nope", "no thanks", "not", "false")
NOT_KNOWN = (
    "unknown",
    "don't know",
    "dont know",
    "do not know",
    "i don't know",
    "i dont know",
    "no idea",
    "not sure",
)
"""Words for what nobody knows."""
DONE = ("", "none", "no", "n", "done", "no more", "nothing", "that's all", "that is all", "finished", "nope")
"""Words that end a list."""
_AROUND = (
    r"about|around|roughly|approximately|approx\.?|circa|nearly|almost|maybe|probably|perhaps|some(?=\s+[0-9])|only|just|"
    r"i think|i guess|i believe|we have|i have|it has|there (?:is|are)|they are|it is|it's|its|that is|that's|a|an|the"
)
_BEFORE = re.compile(rf"^(?:{_AROUND})\s+", re.IGNORECASE)
_AFTER = re.compile(
    r"[\s,]*(?:\bor so|\bi think|\bi guess|\bmaybe|\bplease|\beach|\bin all|\bin total|[.!])$", re.IGNORECASE
)
_UNITS = {
    **{
        "zero": 0,
        "one": 1,
        "two": 2,
        "three": 3,
        "four": 4,
        "five": 5,
        "six": 6,
        "seven": 7,
        "eight": 8,
        "nine": 9,
    },
    **{"ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16},
    **{"seventeen": 17, "eighteen": 18, "nineteen": 19},
}
_TENS = {
    "twenty": 20,
    "thirty": 30,
    "forty": 40,
    "fifty": 50,
    "sixty": 60,
    "seventy": 70,
    "eighty": 80,
    "ninety": 90,
}
_NUMBER = re.compile(
    rf"\b(?:(?P<hundreds>a|{'|'.join(_UNITS)})\s+hundred(?:\s+and)?(?:\s+|\b))?"
    rf"(?:(?P<tens>{'|'.join(_TENS)})(?:[\s-](?P<ones>{'|'.join(_UNITS)}))?|(?P<unit>{'|'.join(_UNITS)})"
    r"|(?P<dozen>(?:a )?dozen)|(?P<pair>(?:a )?(?:couple|pair)(?: of)?))?\b",
    re.IGNORECASE,
)


def spoken(text: str) -> Iterator[str]:
    """Other texts that say the same: without the words around it, then with its numbers in figures."""
    bare = without_around(text)
    for said in (bare, figures(bare), figures(text)):
        if said and said != text:
            yield said


def without_around(text: str) -> str:
    """The text without small words before and after it: `about 6 years, I think` is `6 years`."""
    said = text.strip()
    while True:
        shorter = _AFTER.sub("", _BEFORE.sub("", said)).strip()
        if shorter == said or not shorter:
            return said
        said = shorter


_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_CALENDAR = re.compile(
    r"(?:\b(?:until|till|to|through|by|in|the|end|of)\s+)*"
    rf"(?:\b(?P<month>{'|'.join(_MONTHS)})[a-z]*\.?\s+(?:[0-9]{{1,2}},?\s+)?)?"
    r"\b(?P<year>20[0-9]{2})(?:-(?P<number>0[1-9]|1[0-2])(?:-[0-3][0-9])?)?\b",
    re.IGNORECASE,
)


def years_from(today: date, text: str) -> str:
    """The text with years from a day in place of a calendar year: in November 2026 `until 2030` is `4 years`.

    A month said too is rounded to the nearest whole year. Raises ValueError where that is none.
    """

    def counted(found: "re.Match[str]") -> str:
        said = found["number"] or str(
            _MONTHS.index(found["month"].lower()) + 1 if found["month"] else today.month
        )
        months = (int(found["year"]) - today.year) * 12 + int(said) - today.month
        if months < 6:
            raise ValueError(
                f'is "{text}", less than half a year from {today.isoformat()}; write at least 1 year'
            )
        return f"{(months + 6) // 12} years"

    return _CALENDAR.sub(counted, text)


def figures(text: str) -> str:
    """The text with numbers in figures: `twenty-five feet` is `25 feet`, `a dozen` is `12`."""
    return _NUMBER.sub(_figure, text)


def _figure(found: "re.Match[str]") -> str:
    if not found[0].strip():
        return found[0]
    if found["dozen"] or found["pair"]:
        return "12" if found["dozen"] else "2"
    hundreds = (found["hundreds"] or "").lower()
    number = 100 * (1 if hundreds == "a" else _UNITS.get(hundreds, 0))
    number += _TENS.get((found["tens"] or "").lower(), 0)
    number += sum(_UNITS.get((found[word] or "").lower(), 0) for word in ("ones", "unit"))
    return str(number) + (" " if found[0].endswith(" ") else "")


def yes_or_no(text: str) -> str:
    """`yes` or `no`, also as they are spoken. Raises ValueError."""
    said = re.sub(r"[^a-z ]", "", text.strip().lower()).strip()
    first = said.split(" ")[0] if said else ""
    if said in YES or first in ("yes", "yeah", "yep"):
        return "yes"
    if said in NO or first in ("no", "nope", "never"):
        return "no"
    raise ValueError(f'is "{text.strip()}"; write yes or no')
