"""Short texts of people read and refused: every reader raises ValueError with what was found, and what is allowed."""

from collections.abc import Callable, Iterable, Sequence
from typing import TypeVar

from costplan.files import quantities
from costplan.files.problems import nearest

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
        raise ValueError("is empty; write something")
    if not cleaned.isprintable():
        raise ValueError("holds a character that cannot be printed; write it again")
    return cleaned


def parts_of(text: str) -> list[str]:
    """What stands between semicolons; tabs count as blanks. Raises ValueError when it cannot be printed."""
    return [piece.strip() for piece in plain(" ".join(text.split())).split(";")]


def read_name(text: str) -> str:
    """A name of anything. Raises ValueError when it is blank, long, or not printable."""
    cleaned = plain(text)
    if len(cleaned) > LONGEST_NAME:
        raise ValueError(f"has {len(cleaned)} letters; at most {LONGEST_NAME} are allowed")
    return cleaned


def whole(least: int, most: int) -> Callable[[str], str]:
    """A reader of whole numbers."""

    def read(text: str) -> str:
        cleaned = plain(text)
        number = quantities.parse_number(cleaned)
        if number != number.to_integral_value() or not least <= number <= most:
            raise ValueError(f"is {cleaned}; allowed: a whole number from {least} to {most}")
        return str(int(number))

    return read


def one_of(words: Sequence[str]) -> Callable[[str], str]:
    """A reader of one of these words, by its number or its beginning too."""

    def read(text: str) -> str:
        cleaned = plain(text)
        folded = cleaned.lower()
        exact = [word for word in words if word.lower() == folded]
        if exact:
            return exact[0]
        if cleaned.isdecimal() and cleaned.isascii() and 1 <= int(cleaned[:4]) <= len(words):
            return words[int(cleaned[:4]) - 1]
        begun = [word for word in words if word.lower().startswith(folded)]
        if len(begun) == 1:
            return begun[0]
        raise ValueError(f'is "{cleaned}"; {allowed(cleaned, words)}')

    return read


def allowed(word: str, words: Iterable[str]) -> str:
    """All words that are allowed, and the nearest to what was found."""
    listed = list(dict.fromkeys(words))
    guess = nearest(word, listed)
    hint = f'. Did you mean "{guess}"?' if guess else ""
    return f"allowed: {', '.join(listed)}{hint}"
