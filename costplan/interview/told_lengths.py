"""Lengths as people say them: one, the wall's and the cord's, and those of a group whose machines stand apart."""

import itertools
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from costplan.files import quantities
from costplan.interview.spoken import without_around

LONGEST_ROUTE_FT = 1000
MOST_SPOTS = 4
"""Into how many distances a range is divided: every further one is another entry that a comparison weighs."""
_NUMBER = r"[0-9]+(?:\.[0-9]+)?"
_RANGE = re.compile(
    rf"(?:(?:about|around|roughly|from|between)\s+)?({_NUMBER})\s*(?:ft|feet|m|')?\s*(?:-|–|to|and)\s*({_NUMBER})"
    r"(?=\s*(?:ft|feet|foot|m|'|/|$))",
    re.IGNORECASE,
)
"""A length between two figures; 12-1/2 is none, and `30 and 60` is one only after `between`."""
_TAPE_PARTS = ("2", "3", "4", "8", "16", "32")


@dataclass(frozen=True, slots=True)
class Stretch:
    """So many machines alike that stand so far away; the text has its unit."""

    count: int
    text: str


def longer_of(text: str) -> tuple[str, tuple[str, ...]]:
    """The text with the longer length in place of a range, which is on the safe side, and words for each so taken."""
    taken: list[str] = []

    def longer(found: "re.Match[str]") -> str:
        if not _is_range(found, text):
            return found[0]
        larger = max(found[1], found[2], key=Decimal)
        taken.append(f"{found[0].strip()} is taken as {larger}, the longer")
        return larger

    return _RANGE.sub(longer, text), tuple(taken)


def _is_range(found: "re.Match[str]", text: str) -> bool:
    """Whether two figures are the ends of a range: not those of 12-1/2, nor two that `and` joins alone."""
    below = re.match(r"/([0-9]+)", text[found.end() :])
    if below and below[1] in _TAPE_PARTS and Decimal(found[2]) < Decimal(below[1]):
        return False
    return "and" not in found[0].lower() or "between" in found[0].lower()


def range_of(text: str) -> tuple[Decimal, Decimal, str] | None:
    """The ends of a text that is one range and nothing else, and its unit: `about 30 to 60 ft`."""
    said = without_around(text)
    found = _RANGE.match(said)
    if found is None or not _is_range(found, said):
        return None
    unit = said[found.end() :].strip() or "ft"
    ends = sorted((Decimal(found[1]), Decimal(found[2])))
    return None if re.search(r"[0-9/,]", unit) or ends[0] == ends[1] else (ends[0], ends[1], unit)


def evenly(low: Decimal, high: Decimal, unit: str, count: int) -> tuple[Stretch, ...]:
    """So many machines from the nearest to the farthest, with the same gap between all.

    Those of more than MOST_SPOTS stand together, as far as they do in the mean, rounded up.
    """
    step = (high - low) / (count - 1)
    at = [low + step * number for number in range(count)]
    size, longer = divmod(count, min(count, MOST_SPOTS))
    least = Decimal("0.1") if unit.lower() in ("m", "meter", "meters", "metres", "metre") else Decimal(1)
    found, first = [], 0
    for number in range(min(count, MOST_SPOTS)):
        members = at[first : first + size + (number < longer)]
        first += len(members)
        mean = (sum(members, Decimal(0)) / len(members)).quantize(Decimal("1e-9"))
        far = (mean / least).to_integral_value(ROUND_CEILING) * least
        found.append(Stretch(len(members), f"{far.normalize():f} {unit}"))
    return tuple(found)


def read_lengths(text: str, count: int) -> tuple[tuple[Stretch, Stretch], ...]:
    """How far the wiring and the cord of each machine of a group go, those together that go as far. Raises ValueError."""
    said = wall_and_cord(text)
    parts = halves(said)
    if not any(is_list(part) for part in parts):
        fixed, cord = read_distance(said)
        return ((Stretch(count, fixed), Stretch(count, cord)),)
    if len(parts) > 2:
        raise ValueError(f'is "{text}"; write all lengths of the wiring, one slash, and all of the cords')
    unit = next((found[1] for part in reversed(parts) if (found := _LAST_UNIT.search(part))), "ft")
    walls, cords = (_one_by_one(stretches(part, count, unit)) for part in (parts[0], parts[-1]))
    if len(parts) > 1 and not all(map(is_list, parts)):
        raise ValueError(
            f'is "{text}"; write as many lengths of cords as of wiring, or the wiring\'s alone for both'
        )
    pairs = Counter(zip(walls, cords, strict=True))
    return tuple((Stretch(some, wall), Stretch(some, cord)) for (wall, cord), some in pairs.items())


def _one_by_one(found: Sequence[Stretch]) -> list[str]:
    return [each.text for each in found for _ in range(each.count)]


_OF_ALL = re.compile(
    r"^all(?:\s+(?:of\s+them|[0-9]+))?\s+(?:at\s+)?|[\s,]*(?:(?:for|to)\s+)?all(?:\s+of\s+them|\s+\w+)?$",
    re.I,
)


def of_all(text: str) -> str:
    """The text without words that say it of all: `25 ft, all three` is `25 ft`."""
    return _OF_ALL.sub("", text.strip())


def is_list(text: str) -> bool:
    """Whether it has lengths of several machines."""
    pieces = _pieces(text)
    return len(pieces) > 1 or any(map(_SOME.fullmatch, pieces))


def _pieces(text: str) -> list[str]:
    return [without_around(piece) for piece in _BETWEEN.split(without_around(text)) if piece.strip()]


_BETWEEN = re.compile(r"\s*(?:,\s*and\b|,|\band\b|&|\+)\s*", re.IGNORECASE)
_SOME = re.compile(r"([0-9]+)\s*(?:x|×|(?:of\s+them\s+)?(?:(?:is|are|stand)\s+)?at)\s+(.+)", re.IGNORECASE)
_UNIT = re.compile(r"[^0-9\s.,/-].*$")
_LAST_UNIT = re.compile(r"(?<=[0-9])\s*([a-z]+|')$", re.IGNORECASE)


def stretches(text: str, count: int, unit: str = "ft") -> tuple[Stretch, ...]:
    """How far each machine of a group stands: `30, 40 and 60 ft`, `2 at 30 ft, 1 at 45 ft`; one length is that of all.

    `unit` is that of lengths that say none. Raises ValueError where the lengths are not as many as the machines.
    """
    if not is_list(text):
        return (Stretch(count, _with_unit(text, unit)),)
    pieces = _pieces(text)
    if re.search(r"[0-9],[0-9](?![0-9])", text):
        raise ValueError(
            f'is "{text.strip()}"; write a point for parts of a foot, or a blank after the comma'
        )
    unit = next((found[0] for piece in reversed(pieces) if (found := _UNIT.search(_length_in(piece)))), unit)
    told: list[Stretch] = []
    for piece in pieces:
        some = _SOME.fullmatch(piece)
        length = _length_in(piece)
        said = length if _UNIT.search(length) else f"{length} {unit}"
        told.append(Stretch(int(some[1]) if some else 1, _length(said)))
    total = sum(each.count for each in told)
    if count == 1 and total == 2:
        first, second = (each.text.removesuffix(unit).strip() for each in told)
        raise ValueError(
            f"is \"{text.strip()}\", two lengths of one machine; with a slash they are the wall's and the cord's. "
            f'Did you mean "{first} / {second} {unit}"?'
        )
    if total != count:
        raise ValueError(
            f'is "{text.strip()}", lengths of {total} for {count}; write one for each (the same twice where two stand '
            "equally far), 2 at 30 ft, 1 at 45 ft, or from 30 to 60 ft"
        )
    return tuple(told)


def _length_in(piece: str) -> str:
    some = _SOME.fullmatch(piece)
    return some[2].strip() if some else piece


def stretches_in_words(found: Sequence[Sequence[Stretch]], end: int = 0) -> str:
    """The one end of each as it may be written again: `30 ft, 40 ft`, `2 at 30 ft, 1 at 45 ft`; of one alone its length."""
    said = [each[end] for each in found]
    if len(said) == 1 or all(each.count == 1 for each in said):
        return ", ".join(each.text for each in said)
    return ", ".join(f"{each.count} at {each.text}" for each in said)


_OF_CORD = re.compile(r"\b(?:cords?|hang(?:s|ing)?|overhead)\b", re.IGNORECASE)
_OF_WALL = re.compile(r"\b(?:walls?|wiring|wired?|fixed|conduit|pipe|drops?|cable)\b", re.IGNORECASE)
_FIGURE = re.compile(rf"(?<![0-9./-]){_NUMBER}\s*(ft|feet|foot|m|')?(?![0-9]|[/-][0-9])", re.IGNORECASE)
_PARTED = re.compile(r"[,;/]|\b(?:and|but|or)\b", re.IGNORECASE)


def wall_and_cord(text: str) -> str:
    """`40 by wall, 30 by cord` as `40 / 30 ft`; any other text as it is."""
    figures = list(_FIGURE.finditer(text))
    cord, wall = _OF_CORD.search(text), _OF_WALL.search(text)
    if len(figures) != 2 or not (cord or wall):
        return text
    if cord and wall:
        swapped = cord.start() < wall.start()
    else:  # the one word is of the first figure, unless it stands after the second or after what parts the two
        word = (cord or wall or figures[0]).start()
        parted = _PARTED.search(text, figures[0].end())
        of_second = word > figures[1].start() or (parted is not None and parted.start() < word)
        swapped = bool(cord) is not of_second
    lengths = [re.sub(r"[^0-9.]", "", figure[0]) for figure in figures]
    unit = next((figure[1] for figure in reversed(figures) if figure[1]), "ft")
    return " / ".join(reversed(lengths) if swapped else lengths) + f" {unit}"


_MIXED = re.compile(r"[0-9]\s*-\s*[0-9]+/[0-9]|[0-9]\s+[0-9]+/[0-9]")


def read_distance(text: str) -> tuple[str, str]:
    """The wall's length and the cord's: one text for both, or two with a slash between; one unit does for both."""
    said = halves(text)
    if len(said) > 2:
        raise ValueError(f"is \"{text}\", more than two lengths; write the wall's and the cord's: 55 / 42 ft")
    if len(said) == 1:
        length = _length(text)
        return length, length
    fixed, cord = said
    unit = _UNIT.search(cord) or _UNIT.search(fixed)
    after = "" if unit is None else unit[0] if unit[0] == "'" else f" {unit[0]}"
    fixed, cord = (said if not said or _UNIT.search(said) else f"{said}{after}" for said in (fixed, cord))
    return _length(fixed), _length(cord)


def halves(text: str) -> list[str]:
    """What stands between slashes that part lengths: those with blanks on both sides, else those of no fraction."""
    spaced = [found.start() for found in re.finditer(r"(?<=\s)/(?=\s)", text)]
    ends = [-1, *(spaced or _slashes(text)), len(text)]
    return [text[start + 1 : end].strip() for start, end in itertools.pairwise(ends)]


def _slashes(text: str) -> Iterator[int]:
    """Where a slash parts two lengths; the one of 12-1/2 ft does not."""
    mixed = [found.span() for found in _MIXED.finditer(text)]
    for found in re.finditer("/", text):
        if not any(start <= found.start() < end for start, end in mixed):
            yield found.start()


def _with_unit(text: str, unit: str) -> str:
    said = text.strip()
    return _length(said if _UNIT.search(said) else f"{said} {unit}")


def _length(text: str) -> str:
    if not text:
        raise ValueError("is empty; write a length, or two: 55 ft, or 55 / 42 ft, the wall's and the cord's")
    length = quantities.parse_length_ft(text)
    if not 0 < length <= LONGEST_ROUTE_FT:
        raise ValueError(f"is {text}; allowed: more than 0 ft, at most {LONGEST_ROUTE_FT} ft")
    return text
