"""Signs that nobody sees: those that steer a terminal, turn the direction of writing or take no room."""

import re
from collections.abc import Sequence

INVISIBLE = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\xad\u061c\u180e\u200b-\u200f\u202a-\u202e\u2060-\u206f"
    "\ud800-\udfff\ufeff\ufff9-\uffff\U00013430-\U0001343f\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0001\U000e0020-\U000e007f]"
)
"""Signs that no text of a user needs; general categories Cc, Cf and Cs of the Unicode Standard, line ends and tabs apart."""
LONGEST_TEXT = 300
"""Characters of one text in a user's file; what is longer fits no table and no message."""
CUT = " ..."
"""What stands for words that are left out."""
_STEERING = re.compile(f"{INVISIBLE.pattern}|[\x85\u2028\u2029]|\r(?!\n)")


def first_invisible(text: str) -> re.Match[str] | None:
    """The first sign that no text of a user needs; None where there is none."""
    # What holds no others than plain letters is known ten times as fast.
    if text.isascii() and text.replace("\n", "").replace("\r", "").replace("\t", "").isprintable():
        return None
    return INVISIBLE.search(text)


def visible(text: str) -> str:
    r"""The text as it may reach a screen or a page: each sign that steers written out, such as \u001b.

    Line ends and tabs stay. JSON keeps its meaning, since its strings write such signs in the same way.
    """
    return text if text.isascii() and text.isprintable() else _STEERING.sub(_written_out, text)


def short(text: str, at_most: int = 120) -> str:
    """The text, its middle left out where it is longer."""
    return text if len(text) <= at_most else f"{text[: at_most - 20]}...{text[-17:]}"


def beginning(text: str, at_most: int = 40) -> str:
    """The text, its end left out where it is longer: whole words, unless its first one is too long by itself.

    Words that lead to a sum which has no room go with it: of `would cost about 1,200` nothing stays.
    """
    if len(text) <= at_most:
        return text
    whole, _, _ = text[: max(at_most - len(CUT), 0) + 1].rpartition(" ")
    said = _without_loose_end(whole.rstrip(" ;,:("))
    return said + CUT if said else f"{text[: max(at_most - 3, 0)]}..."


_LOOSE = re.compile(
    "a|about|above|an|and|are|around|as|at|below|but|by|costs?|for|from|in|is|least|less|more|most|nearly|of|on|or|over|than|"
    "that|the|to|under|up|was|were|which|will|with|would",
    re.IGNORECASE,
)
"""Words that lead to what follows them, so that nothing is said where they stand last."""
_CURRENCY = re.compile(r"[A-Z]{3}|[$€£]")


def _without_loose_end(text: str) -> str:
    """The text without words at its end that lead to a sum, a name or another clause; its first word stays."""
    words = text.split(" ")
    while len(words) > 1 and (_LOOSE.fullmatch(words[-1]) or _CURRENCY.fullmatch(words[-1])):
        words.pop()
        words[-1] = words[-1].rstrip(";,:(")
    return " ".join(words)


def _written_out(found: re.Match[str]) -> str:
    units = found[0].encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{high:02x}{low:02x}" for high, low in zip(units[::2], units[1::2], strict=True))


def listed(names: Sequence[str]) -> str:
    """Names in a row, the last after `and`; one alone as it is. There must be one."""
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last
