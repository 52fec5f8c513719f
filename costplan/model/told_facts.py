"""Facts about a machine in plain words, as they may follow in its line of a guided start."""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from costplan.files import quantities
from costplan.model.choices import RUNS, Method
from costplan.model.reading import PartsError, allowed, noted, plain, whole

MOST_ALIKE = 1000
LONGEST_CORD_FT = 200
MOST_HOURS = 8760
FACTS = (
    "plug 6-20",
    "never moves",
    "bolted down",
    "not a motor",
    "continuous",
    "own cord 8 ft",
    "80 h a year",
    "from PANEL",
    "7 move every year",
    "moves every 3 years",
    "now armored drop 6-20 20 A 12 gauge",
    "quoted fixed drop 420",
    "quoted cord 90",
)
"""One example of every fact that is read."""
COUNT_SAID = "how many there are, as a number"


@dataclass(frozen=True, slots=True)
class Moves:
    """That machines of a line move every so many years; None means all of them."""

    every: int
    how_many: int | None = None


@dataclass(frozen=True, slots=True)
class Now:
    """The circuit a machine has today; without a receptacle it is hard-wired."""

    method: str
    receptacle: str | None
    breaker: str
    awg: str


@dataclass(frozen=True, slots=True)
class Quote:
    """What somebody asked for a whole way, for each machine."""

    method: Method
    money: str


@dataclass(frozen=True, slots=True)
class Told:
    """All that the further parts of a line say; texts are for the file."""

    count: int = 1
    plug: str | None = None
    never_moves: bool = False
    no_motor: bool = False
    continuous: bool = False
    own_cord: str | None = None
    full_load_hours: str | None = None
    panel: str = ""
    moves: Moves | None = None
    now: Now | None = None
    quotes: tuple[Quote, ...] = ()


def read_facts(texts: Iterable[str]) -> Told:
    """Everything that further parts of a line say, in any order. Raises PartsError with all that is wrong."""
    mistakes: list[str] = []
    found: dict[str, object] = {}
    quotes: list[Quote] = []
    nothing: tuple[str, object] = ("", None)
    for text in texts:
        word, value = noted(mistakes, partial(_fact, text), nothing)
        if isinstance(value, Quote):
            if any(quote.method is value.method for quote in quotes):
                mistakes.append(f'"{text}" is the second quote for a {value.method}; write one of them')
            quotes.append(value)
        elif word in found:
            mistakes.append(f'"{text}" says {_SAID[word]} a second time; write it once')
        elif word:
            found[word] = value
    if not mistakes:
        mistakes += _contradictions(found)
    if mistakes:
        raise PartsError(mistakes)
    return Told(**found, quotes=tuple(quotes))  # type: ignore[arg-type]


_SAID: Mapping[str, str] = {
    "count": "how many there are",
    "plug": "its plug",
    "never_moves": "that it never moves",
    "no_motor": "that it is not a motor",
    "continuous": "that it is continuous",
    "own_cord": "its own cord",
    "full_load_hours": "its hours",
    "panel": "from which panel",
    "moves": "how it moves",
    "now": "what it has now",
}


def _contradictions(found: Mapping[str, object]) -> list[str]:
    moves, count = found.get("moves"), found.get("count", 1)
    if not isinstance(moves, Moves):
        return []
    if "never_moves" in found:
        return ["it never moves, and moves every so often; write one of the two"]
    if moves.how_many is not None and moves.how_many > int(str(count)):
        return [f"{moves.how_many} move, but there are {count}; write how many there are, or fewer moves"]
    return []


def _fact(text: str) -> tuple[str, object]:
    """What one part says, by the word it is kept under. Raises ValueError."""
    for pattern, word, read in _PATTERNS:
        match = pattern.fullmatch(plain(text))
        if match:
            return word, read(match)
    raise ValueError(f'"{text}" is no fact that is read here; {allowed(text, (*FACTS, COUNT_SAID))}')


def _count(match: "re.Match[str]") -> int:
    try:
        return int(whole(1, MOST_ALIKE)(match[0]))
    except ValueError:
        raise ValueError(
            f'how many is "{match[0]}"; allowed: a whole number from 1 to {MOST_ALIKE}; '
            "write how many are alike, or leave it out for one"
        ) from None


def _plug(match: "re.Match[str]") -> str:
    return _configuration(match[1]) if match[1] else _lacks(match[0], "which one", "plug 6-20")


def _configuration(text: str) -> str:
    """The code of a plug or receptacle: `6-20` and `nema 6-20p` are NEMA 6-20."""
    bare = re.fullmatch(
        r"(?:NEMA\s*)?((?:TT|ML|L)?-?[0-9]{1,2}-[0-9]{1,3})[PR]?", text.strip(), re.IGNORECASE
    )
    return f"NEMA {bare[1].upper()}" if bare else text.strip()


def _own_cord(match: "re.Match[str]") -> str:
    if not match[1]:
        _lacks(match[0], "how long", "own cord 8 ft")
    try:
        length = quantities.parse_length_ft(match[1])
    except ValueError as error:
        raise ValueError(f"own cord {error}") from None
    if not 0 <= length <= LONGEST_CORD_FT:
        raise ValueError(f"own cord is {match[1]}; allowed: 0 ft to {LONGEST_CORD_FT} ft")
    return match[1]


def _hours(match: "re.Match[str]") -> str:
    try:
        hours = quantities.parse_number(match[1])
    except ValueError as error:
        raise ValueError(f"hours a year {error}") from None
    if not 0 < hours <= MOST_HOURS:
        raise ValueError(f"hours a year are {match[1]}; allowed: more than 0, at most {MOST_HOURS}")
    return match[1]


_ORDINALS = {"": 1, "single": 1, "second": 2, "other": 2, "third": 3, "fourth": 4, "fifth": 5}


def _moves(match: "re.Match[str]") -> Moves:
    """`7 move every year`, `moves every 3 years`, `2 moved every second summer`."""
    who, when = (match[1] or "all").lower(), match[2].strip().lower()
    how_many = None if who in ("all", "it") else int(_told("how many move", whole(1, MOST_ALIKE), who))
    every = _ORDINALS.get(when)
    if every is None:
        every = int(_told("every how many years", whole(1, 60), when))
    return Moves(every, how_many)


def _told(what: str, read: Callable[[str], str], text: str) -> str:
    try:
        return read(text)
    except ValueError as error:
        raise ValueError(f"{what} {error}; write for example: 7 move every 2 years") from None


_BREAKER = re.compile(r"\b([0-9.]+)\s*(?:amps?|a)\b", re.IGNORECASE)
_GAUGE = re.compile(r"(?:#\s*)?\b([0-9]+(?:/0)?)\s*(?:gauge|awg|ga)\b", re.IGNORECASE)
_FILLERS = re.compile(
    r"\b(?:outlet|receptacle|breaker|wire|hard-wired|hard wired|on|with|and)\b|,", re.IGNORECASE
)


def _now(match: "re.Match[str]") -> Now:
    method, rest = _method(match[1], RUNS, "now")
    breaker, gauge = _BREAKER.search(rest), _GAUGE.search(rest)
    if breaker is None or gauge is None:
        lacks = "its breaker" if breaker is None else "its wire"
        _lacks(match[0], lacks, "now armored drop 6-20 20 A 12 gauge")
    left = " ".join(_FILLERS.sub(" ", _GAUGE.sub(" ", _BREAKER.sub(" ", rest, count=1), count=1)).split())
    assert breaker is not None
    assert gauge is not None
    return Now(method, _configuration(left) if left else None, f"{breaker[1]} A", gauge[1])


def _quote(match: "re.Match[str]") -> Quote:
    method, rest = _method(match[1], tuple(Method), "quoted")
    money = re.sub(r"\s+each$", "", rest, flags=re.IGNORECASE)
    if not money:
        _lacks(match[0], "for how much", f"quoted {method} 420")
    try:
        cents = quantities.parse_money_cents(money)
    except ValueError as error:
        raise ValueError(f"quoted {method} {error}") from None
    if cents <= Decimal(0):
        raise ValueError(f"quoted {method} is {money}; write what one of them costs, for example 420")
    return Quote(method, money)


def _method(text: str, methods: Iterable[Method], begin: str) -> tuple[Method, str]:
    """The method that a text begins with, and what follows. Raises ValueError."""
    known = list(methods)
    for method in known:
        if re.match(rf"{method}s?\b", text, re.IGNORECASE):
            return method, text[len(method) :].removeprefix("s").strip()
    first = " ".join(re.split(r"\s+(?=[0-9$])", text)[0].split()[:2])
    guess = allowed(first, known)
    raise ValueError(f'"{begin} {text}" names no way after "{begin}"; {guess}')


def _lacks(text: str, what: str, example: str) -> str:
    raise ValueError(f'"{text}" does not say {what}; write for example: {example}')


def _yes(_: "re.Match[str]") -> bool:
    return True


def _panel(match: "re.Match[str]") -> str:
    return match[1]


_PATTERNS: tuple[tuple["re.Pattern[str]", str, Callable[["re.Match[str]"], object]], ...] = tuple(
    (re.compile(pattern, re.IGNORECASE), word, read)
    for pattern, word, read in (
        (r"[-+0-9.,/]+|many|some|several", "count", _count),
        (r"plug(?:\s+(.+))?", "plug", _plug),
        (r"never moved?s?|(?:(?:is|are)\s+)?bolted(?:\s+down)?", "never_moves", _yes),
        (r"no motors?|not (?:an? )?motors?", "no_motor", _yes),
        (r"continuous(?:ly)?", "continuous", _yes),
        (r"own cord(?:\s+(.+))?", "own_cord", _own_cord),
        (r"(\S+)\s*(?:h|hrs?|hours?)\s*(?:(?:an?|per)\s+|/\s*)(?:year|yr)", "full_load_hours", _hours),
        (r"from\s+(.+)", "panel", _panel),
        (
            r"(?:(\S+)\s+(?:of them\s+)?)?(?:(?:is|are|get)\s+)?moved?s?\s+"
            r"(?:every|each)\s+(.*?)\s*(?:years?|summers?|winters?)",
            "moves",
            _moves,
        ),
        (r"now\s+(.+)", "now", _now),
        (r"quoted\s+(.+)", "quotes", _quote),
    )
)
