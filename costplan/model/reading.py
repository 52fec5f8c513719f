"""Short texts of people read and refused: every reader raises ValueError with what was found, and what is allowed."""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TypeVar

from costplan.files import quantities
from costplan.files.problems import nearest
from costplan.files.quantities import MisreadError

LONGEST_NAME = 60
_Read = TypeVar("_Read")


class PartsError(ValueError):
    """What is wrong with the parts of one line, each said in `mistakes`."""

    def __init__(self, mistakes: Iterable[str]) -> None:
        self.mistakes = tuple(mistakes)
        super().__init__("; and ".join(self.mistakes))


def noted(mistakes: list[str], read: Callable[[], _Read], instead: _Read) -> _Read:
    """What was read; `instead` after noting why it could not be."""
    try:
        return read()
    except PartsError as error:
        mistakes += error.mistakes
    except ValueError as error:
        mistakes.append(str(error))
    return instead


def part(word: str, read: Callable[[str], _Read], text: str) -> _Read:
    """A part of a line, its mistakes told after its word."""
    try:
        return read(text)
    except PartsError:
        raise
    except ValueError as error:
        raise ValueError(f"{word} {error}") from None


def plain(text: str) -> str:
    """The text without blanks around it. Raises ValueError when it is blank or not printable."""
    cleaned = text.strip()
    if not cleaned:
        raise MisreadError("is empty", "write something")
    if not cleaned.isprintable():
        raise MisreadError("holds a character that cannot be printed", "write it again")
    return cleaned


def parts_of(text: str) -> list[str]:
    """What stands between semicolons; tabs count as blanks. Raises ValueError when it cannot be printed."""
    return [piece.strip() for piece in plain(" ".join(text.split())).split(";")]


def read_name(text: str) -> str:
    """A name of anything. Raises ValueError when it is blank, long, or not printable."""
    cleaned = plain(text)
    if len(cleaned) > LONGEST_NAME:
        raise MisreadError(f"has {len(cleaned)} letters", f"at most {LONGEST_NAME} are allowed")
    return cleaned


def whole(least: int, most: int) -> Callable[[str], str]:
    """A reader of whole numbers."""

    def read(text: str) -> str:
        cleaned = plain(text)
        number = quantities.parse_number(cleaned, str(min(max(least, 5), most)))
        if number != number.to_integral_value() or not least <= number <= most:
            raise MisreadError(f"is {cleaned}", f"allowed: a whole number from {least} to {most}")
        return str(int(number))

    return read


def one_of(words: Sequence[str], also: Mapping[str, str] | None = None) -> Callable[[str], str]:
    """A reader of one of these words: by number where none is one itself, beginning, or some words, if they mean one only.

    `also` are other words for them; a sentence that has all words of one of them, and no `not` or `or`, means it too.
    """

    def read(text: str) -> str:
        cleaned = plain(text)
        folded = cleaned.lower()
        exact = [word for word in words if word.lower() == folded]
        if exact:
            return exact[0]
        numbered = not any(word.isdecimal() for word in words)
        if numbered and cleaned.isdecimal() and cleaned.isascii() and 1 <= int(cleaned[:4]) <= len(words):
            return words[int(cleaned[:4]) - 1]
        found = _begun(folded, words) or _within(folded, {word: word for word in words} | dict(also or {}))
        if len(found) == 1:
            return found[0]
        if found:
            raise MisreadError(f'is "{cleaned}", which may be {" or ".join(found)}', "write more of the one")
        raise MisreadError(f'is "{cleaned}"', allowed(cleaned, words))

    return read


def _begun(folded: str, words: Iterable[str]) -> list[str]:
    """Those that begin so, or have every word of it."""
    said = _words(folded)
    return [word for word in words if word.lower().startswith(folded) or (said and said <= _words(word))]


_UNSURE = {"not", "no", "never", "or", "neither", "nor", "without", "non"}


def _within(folded: str, meanings: Mapping[str, str]) -> list[str]:
    """What a sentence means that has all words of one of these, the longest of them."""
    said = _words(folded)
    found = {words: meant for words, meant in meanings.items() if _words(words) <= said}
    longest = {
        meant for words, meant in found.items() if not any(_words(words) < _words(other) for other in found)
    }
    return [] if said & _UNSURE else sorted(longest)


def _words(text: str) -> frozenset[str]:
    """The words of a text, small, in the singular, with what stands on either side of a slash as words too."""
    found = re.findall(r"[a-z0-9.]+(?:/[a-z0-9.]+)*", text.lower())
    parts = [part for word in found for part in (word, *word.split("/"))]
    return frozenset(word.removesuffix("s") if len(word) > 3 else word for word in parts)


_MEANT = 'Did you mean "{}"?'


def allowed(word: str, words: Iterable[str]) -> str:
    """All words that are allowed, and the nearest to what was found."""
    listed = list(dict.fromkeys(words))
    guess = nearest(word, listed)
    hint = f". {_MEANT.format(guess)}" if guess else ""
    return f"allowed: {', '.join(listed)}{hint}"


def guess_in(complaint: str, text: str) -> str:
    """What a text says with the guess of a complaint about it in place of what was not read; empty without a guess."""
    begin, end = _MEANT.split("{}")
    before, _, after = complaint.partition(begin)
    guess = after.partition(end)[0]
    wrong = re.search(r'"([^"]+)"', before)
    return text.replace(wrong[1], guess) if guess and wrong and wrong[1] in text else guess
