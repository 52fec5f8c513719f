"""A page of notes for a guided start: lines with a leading word, such as `rate: 92`, and lines of machines."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from io import StringIO

from costplan.files.problems import nearest
from costplan.interview.machine_line import LEAST_PARTS, MACHINE_FORM
from costplan.model.reading import allowed

MOST_LINES = 1000
"""More lines than this are another file."""
MACHINE = "machine"
WORDS: Mapping[str, str] = {
    "shop": "shop-name",
    "years": "years",
    "panel": "panel",
    "rate": "rate",
    "own hour": "own-hour",
    "occupancy": "occupancy",
    "edition": "edition",
    "electricity": "electricity",
    "ceiling": "ceiling",
    "vapors": "vapors",
    "moves a year": "moves-per-year",
    "lease": "lease",
    "not allowed": "forbid",
    "compare": "strategy",
    "today": "today",
    "service": "service",
    "measured peak": "measured-peak",
    "tandems": "tandems",
    "subpanel": "subpanel",
    "another panel": "another-panel",
    "turns": "turns",
    "at once": "at-once",
}
"""Words that lead a line, by the option that says the same."""
_ALSO = {option: option for option in WORDS.values()} | {
    "moves": "moves-per-year",
    "code": "edition",
    "peak": "measured-peak",
}


@dataclass(frozen=True, slots=True)
class Note:
    """One line: its number, the option that says the same, and what stands after the leading word."""

    number: int
    option: str
    text: str


def notes_of(text: str) -> Iterator[Note]:
    """The lines of a page; blank lines and lines that begin with # are skipped."""
    for number, line in enumerate(StringIO(text, newline=None), 1):
        if line.strip() and not is_comment(line):
            option, rest = _led(line)
            yield Note(number, option, rest)


def is_comment(line: str) -> bool:
    """Whether a line of notes says nothing but something to whoever reads it."""
    return line.lstrip().startswith("#")


def word_of(option: str) -> str:
    """The word that leads a line which says the same as an option."""
    return next((word for word, known in WORDS.items() if known == option), option)


def unknown_word(note: Note) -> str:
    """Why a line that begins with a word and a colon is no machine and nothing else; empty when it may be a machine."""
    word, colon, _ = note.text.partition(":")
    if note.option != MACHINE or not colon or ";" in word or note.text.count(";") >= LEAST_PARTS - 1:
        return ""
    if ";" in note.text and nearest(word.strip(), WORDS) is None:
        return ""
    return (
        f'"{word.strip()}" is no word that leads a line; {allowed(word.strip(), WORDS)}; '
        f"a machine is written {MACHINE_FORM}"
    )


def _led(line: str) -> tuple[str, str]:
    word, colon, rest = line.partition(":")
    folded = " ".join(word.lower().split())
    option = WORDS.get(folded) or _ALSO.get(folded)
    return (option, rest.strip()) if colon and option else (MACHINE, line.strip())
