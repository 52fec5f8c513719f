"""Facts about a machine in plain words, as they may follow in its line of a guided start."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from costplan.files import quantities
from costplan.interview.told_moves import MOST_ALIKE, Moves, read_moves, two_meanings
from costplan.interview.told_retoolings import EXAMPLES, MOST_YEARS, Retooling, odd_retoolings, read_retooling
from costplan.model.choices import RUNS, LoadKind, Method
from costplan.model.labels import LABELS
from costplan.model.reading import PartsError, allowed, noted, part, plain, whole

LONGEST_CORD_FT = 200
MOST_HOURS = 8760
FACTS = (
    "plug 6-20",
    "never moves",
    "bolted down",
    "heater",
    "welder",
    "not a motor",
    "continuous",
    "not continuous",
    "runs unattended",
    "never unattended",
    "75 % heat is enough",
    "duty cycle 40 %",
    "effective 20 A",
    "starts by itself",
    "does not start by itself",
    "in the measured peak",
    "arrives in 2 years",
    "leaves in 5 years",
    *EXAMPLES,
    "own cord 8 ft",
    "80 h a year",
    "from PANEL",
    "7 move every year",
    "moves every 3 years",
    "moves twice a year",
    "back and forth 55 / 42 ft, 20 ft apart",
    "maker allows a longer cord",
    "now armored drop 6-20 20 A 12 gauge",
    "quoted fixed drop 420",
    "quoted cord 90",
)
"""One example of every fact that is read."""
COUNT_SAID = "how many there are, as a number"


@dataclass(frozen=True, slots=True)
class Now:
    """The circuit a machine has today; without a receptacle it is hard-wired, without a wire nobody looked."""

    method: str
    receptacle: str | None
    breaker: str
    awg: str | None


@dataclass(frozen=True, slots=True)
class Quote:
    """What somebody asked for a whole way, for each machine, and for moving one where that was said."""

    method: Method
    money: str
    move: str | None = None


@dataclass(frozen=True, slots=True)
class Told:
    """All that the further parts of a line say; texts are for the file, None is what nobody said.

    `other_spot` is how far from the panel the spot is that it moves to and back from, `apart` how far that is from where
    it stands; left out, each move is to a new spot.
    """

    count: int = 1
    plug: str | None = None
    never_moves: bool | None = None
    load: LoadKind | None = None
    continuous: bool | None = None
    unattended: bool | None = None
    least_heat: str | None = None
    duty_cycle: str | None = None
    effective: str | None = None
    starts_by_itself: bool | None = None
    ran: bool = False
    arrives: str | None = None
    leaves: str | None = None
    own_cord: str | None = None
    full_load_hours: str | None = None
    panel: str = ""
    moves: Moves | None = None
    other_spot: str | None = None
    apart: str | None = None
    now: Now | None = None
    quotes: tuple[Quote, ...] = ()
    retoolings: tuple[Retooling, ...] = ()
    """By year."""


def read_facts(texts: Iterable[str]) -> Told:
    """Everything that further parts of a line say, in any order. Raises PartsError with all that is wrong."""
    mistakes: list[str] = []
    found: dict[str, object] = {}
    listed: list[Quote | Retooling] = []
    nothing: tuple[str, object] = ("", None)
    texts = tuple(texts)
    unread = [text for text in texts if not told_by(text)]
    if unread:
        named, are = (
            " and ".join(f'"{text}"' for text in unread),
            "is no fact that is" if len(unread) == 1 else "are no facts that are",
        )
        hints = [hint for text in unread if (hint := said_elsewhere(text) or meant(text))]
        mistakes.append("; ".join([f"{named} {are} read here", *dict.fromkeys(hints), FACTS_BELOW]))
    for text in [each for each in texts if each not in unread]:
        word, value = noted(mistakes, partial(_fact, text), nothing)
        if isinstance(value, Quote | Retooling):
            listed.append(value)
        elif word in found and found[word] != value:
            mistakes.append(f'"{text}" says {_SAID[word]} a second time; write it once')
        elif word:
            found[word] = value
    quotes = [each for each in listed if isinstance(each, Quote)]
    retoolings = sorted((each for each in listed if isinstance(each, Retooling)), key=lambda each: each.year)
    mistakes += _quoted_twice(quotes)
    if not mistakes:
        meanings = (two_meanings(text, int(str(found.get("count", 1)))) for text in texts)
        mistakes += filter(None, meanings)
        mistakes += [*_contradictions(found), *odd_retoolings(retoolings, found)]
    if mistakes:
        raise PartsError(mistakes)
    if "other_spot" in found:
        found["other_spot"], found["apart"] = found["other_spot"]  # type: ignore[misc]
    return Told(**found, quotes=tuple(quotes), retoolings=tuple(retoolings))  # type: ignore[arg-type]


FACTS_BELOW = "all that are read stand below"
"""Ends what is said of facts that are not read: the list is told once, however many lines have some."""
_ELSEWHERE = (
    (
        r".*\b(?:go|goes|going|rise|rises|grow|grows|up)\b.*%.*",
        "how prices grow is written in the file: money: {growth: {parts: [0 %, 2 %, 5 %]}}",
    ),
    (
        r".*\b(?:maybe|perhaps|possibly|probably|might|may)\b.*|.*[0-9]\s*%.*\bchance\b.*",
        "what may happen is written in the file, in a scenario with its weight: events: [{year: 2, machine: NAME, arrives: "
        "PLACE}], or retool: {volts: 240, hp: 3 hp} in place of arrives",
    ),
)


def said_elsewhere(text: str) -> str:
    """Where the shop file says what no line of notes does; empty for what is not known."""
    return next((hint for pattern, hint in _ELSEWHERE if re.fullmatch(pattern, text, re.IGNORECASE)), "")


def meant(text: str) -> str:
    """The nearest fact; empty where none is near."""
    return allowed(text, FACTS).partition(". ")[2]


def told_by(text: str) -> str:
    """The word that a part of a line says something of, well said or not; empty where it is no fact that is read."""
    return next((word for pattern, word, _ in _PATTERNS if pattern.fullmatch(plain(text))), "")


def facts_in(text: str) -> Iterator[str]:
    """Facts with commas or semicolons between; in `quoted cord 90, 15 a move` the comma is within one."""
    for said in text.split(";"):
        fact = ""
        for piece in filter(None, map(str.strip, said.split(","))):
            longer = f"{fact}, {piece}"
            if fact and not told_by(piece) and told_by(longer):
                fact = longer
                continue
            yield from filter(None, [fact])
            fact = piece
        yield from filter(None, [fact])


_SAID: Mapping[str, str] = {
    "count": "how many there are",
    "plug": "its plug",
    "never_moves": "whether it moves",
    "load": "what it is",
    "continuous": "whether it is continuous",
    "unattended": "whether it runs unattended",
    "least_heat": "how much of its heat is enough",
    "duty_cycle": "its duty cycle",
    "effective": "its effective amperes",
    "starts_by_itself": "whether it starts by itself",
    "ran": "that it is in the measured peak",
    "arrives": "when it arrives",
    "leaves": "when it leaves",
    "own_cord": "its own cord",
    "full_load_hours": "its hours",
    "panel": "from which panel",
    "moves": "how it moves",
    "other_spot": "how far its other spot is",
    "now": "what it has now",
}


def _quoted_twice(quotes: Sequence[Quote]) -> Iterator[str]:
    for index, quote in enumerate(quotes):
        if any(quote.method is other.method for other in quotes[:index]):
            yield f"quoted {quote.method} {quote.money} is the second quote for a {quote.method}; write one of them"


def _contradictions(found: Mapping[str, object]) -> list[str]:
    return [*_of_its_load(found), *_of_its_years(found), *_of_its_moves(found)]


def _of_its_load(found: Mapping[str, object]) -> Iterator[str]:
    load = found.get("load", LoadKind.MOTOR)
    assert isinstance(load, LoadKind)
    if "duty_cycle" in found and not load.welds:
        yield "a duty cycle is a welder's; say welder, or leave it out"
    if "effective" in found and load is not LoadKind.WELDER:
        yield "effective amperes are an arc welder's; say welder, or leave them out"
    for word, what in (("least_heat", "how much heat is enough"), ("unattended", "running unattended")):
        if word in found and load is not LoadKind.HEATER:
            yield f"{what} is said of a heater; say heater, or leave it out"


def _of_its_years(found: Mapping[str, object]) -> Iterator[str]:
    arrives, leaves = found.get("arrives"), found.get("leaves")
    if arrives is not None and leaves is not None and int(str(leaves)) <= int(str(arrives)):
        yield f"it leaves in year {leaves}, but arrives in year {arrives} only; write a later year"
    if arrives is not None and "now" in found:
        yield f"it arrives in year {arrives}, but has a circuit now; write one of the two"


def _of_its_moves(found: Mapping[str, object]) -> list[str]:
    moves, count = found.get("moves"), found.get("count", 1)
    if not isinstance(moves, Moves):
        back = "it goes back and forth, but nothing says how often; write for example: moves twice a year"
        return [back] if "other_spot" in found else []
    if found.get("never_moves"):
        return ["it never moves, and moves every so often; write one of the two"]
    if moves.how_many is not None and moves.how_many > int(str(count)):
        return [f"{moves.how_many} move, but there are {count}; write how many there are, or fewer moves"]
    return []


def _fact(text: str) -> tuple[str, object]:
    """What one part says that some pattern reads, by the word it is kept under. Raises ValueError."""
    for pattern, word, read in _PATTERNS:
        match = pattern.fullmatch(plain(text))
        if match:
            return word, read(match)
    raise AssertionError(text)  # whoever calls has looked


def _count(match: "re.Match[str]") -> int:
    try:
        return int(whole(1, MOST_ALIKE)(match[0]))
    except ValueError:
        raise ValueError(
            f'how many is "{match[0]}"; allowed: a whole number from 1 to {MOST_ALIKE}; '
            "write how many are alike, or leave it out for one"
        ) from None


def _plug(match: "re.Match[str]") -> str:
    return configuration_of(match[1]) if match[1] else _lacks(match[0], "which one", "plug 6-20")


def configuration_of(text: str) -> str:
    """The code of a plug or receptacle: `6-20` and `nema 6-20p` are NEMA 6-20."""
    bare = re.fullmatch(
        r"(?:NEMA\s*)?((?:TT|ML|L)?-?[0-9]{1,2}-[0-9]{1,3})[PR]?", text.strip(), re.IGNORECASE
    )
    return f"NEMA {bare[1].upper()}" if bare else text.strip()


def _own_cord(match: "re.Match[str]") -> str:
    if not match[1]:
        _lacks(match[0], "how long", "own cord 8 ft")
    length = part("own cord", quantities.parse_length_ft, match[1])
    if not 0 <= length <= LONGEST_CORD_FT:
        raise ValueError(f"own cord is {match[1]}; allowed: 0 ft to {LONGEST_CORD_FT} ft")
    return match[1]


def _hours(match: "re.Match[str]") -> str:
    hours = part("hours a year", quantities.parse_number, match[1])
    if not 0 < hours <= MOST_HOURS:
        raise ValueError(f"hours a year are {match[1]}; allowed: more than 0, at most {MOST_HOURS}")
    return match[1]


def _moves(match: "re.Match[str]") -> Moves:
    """`7 move every year`, `moves every 3 years`, `moves twice a year`."""
    return read_moves(match[0])


def _load(match: "re.Match[str]") -> LoadKind:
    return LoadKind(" ".join(match[1].lower().split()).replace("arc welder", "welder"))


def _other(_: "re.Match[str]") -> LoadKind:
    return LoadKind.OTHER


def _duty_cycle(match: "re.Match[str]") -> str:
    text = match[1] if "%" in match[1] else f"{match[1]} %"
    share = part("duty cycle", quantities.parse_fraction, text)
    if not 0 < share <= 1:
        raise ValueError(f"duty cycle is {text}; allowed: more than 0 %, at most 100 %")
    return text


def _heat(match: "re.Match[str]") -> str:
    if not 0 < int(match[1]) <= 100:
        raise ValueError(f"heat that is enough is {match[1]} %; allowed: more than 0 %, at most 100 %")
    return f"{match[1]} %"


def _effective(match: "re.Match[str]") -> str:
    text = match[1]
    amps = part("effective amperes", partial(quantities.parse_quantity, units=quantities.CURRENT_UNITS), text)
    if amps <= 0:
        raise ValueError(
            f"effective amperes are {text}; write what the plate calls effective: effective 20 A"
        )
    return text


def _year_of(match: "re.Match[str]") -> str:
    """`arrives in 2 years`, `arrives year 2`, `bought next year`; the plan knows whole years only."""
    word, text, unit = match[1].lower(), match[2], (match[3] or "").lower()
    if unit.startswith("year") and text.lower() in ("next", "a", "one"):
        return "1"
    if unit.startswith(("month", "week")):
        raise ValueError(
            f"{word} in {text} {unit} is no whole year, and the plan counts whole years: write {word} in 1 year, "
            "at whose end it then comes or goes, or leave it out for today"
        )
    try:
        return whole(1, MOST_YEARS)(text)
    except ValueError as error:
        raise ValueError(f"{word} {error}; write for example: {word} in 2 years") from None


_BREAKER = re.compile(r"\b([0-9.]+)\s*(?:amps?|a)\b", re.IGNORECASE)
_GAUGE = re.compile(r"(?:#\s*)?\b([0-9]+(?:/0)?)\s*(?:gauge|awg|ga)\b", re.IGNORECASE)
_FILLERS = re.compile(
    r"\b(?:outlet|receptacle|breaker|wire|hard-wired|hard wired|on|with|and)\b|,", re.IGNORECASE
)


def _now(match: "re.Match[str]") -> Now:
    method, rest = _method(match[1], RUNS, "now")
    breaker, gauge = _BREAKER.search(rest), _GAUGE.search(rest)
    if breaker is None:
        _lacks(match[0], "its breaker", "now armored drop 6-20 20 A 12 gauge")
    left = " ".join(_FILLERS.sub(" ", _GAUGE.sub(" ", _BREAKER.sub(" ", rest, count=1), count=1)).split())
    assert breaker is not None
    return Now(method, configuration_of(left) if left else None, f"{breaker[1]} A", gauge and gauge[1])


def _quote(match: "re.Match[str]") -> Quote:
    method, rest = _method(match[1], tuple(Method), "quoted")
    rest, _, move = rest.partition(",")
    money = re.sub(r"\s+each$", "", rest.strip(), flags=re.IGNORECASE)
    if not money:
        _lacks(match[0], "for how much", f"quoted {method} 420")
    if _price(method, money) <= Decimal(0):
        raise ValueError(f"quoted {method} is {money}; write what one of them costs, for example 420")
    if not move:
        return Quote(method, money)
    a_move = _A_MOVE.fullmatch(move.strip())
    if a_move is None:
        raise ValueError(
            f'"{move.strip()}" after the price is no price of a move; write for example: 40 a move'
        )
    if _price(method, a_move[1]) < 0:
        raise ValueError(f"a move of a {method} is {a_move[1]}; write what it costs, 0 for nothing")
    return Quote(method, money, a_move[1])


_A_MOVE = re.compile(r"(\S+)\s*(?:a|per|each)\s+move", re.IGNORECASE)


def _price(method: Method, money: str) -> Decimal:
    return part(f"quoted {method}", quantities.parse_money_cents, money)


def _method(text: str, methods: Iterable[Method], begin: str) -> tuple[Method, str]:
    """The method that a text begins with, and what follows. Raises ValueError."""
    known = list(methods)
    names = {name: method for method in known for name in (LABELS.methods[method], str(method))}
    for name in sorted(names, key=len, reverse=True):
        if re.match(rf"{name}s?\b", text, re.IGNORECASE):
            return names[name], text[len(name) :].removeprefix("s").strip()
    first = " ".join(re.split(r"\s+(?=[0-9$])", text)[0].split()[:2])
    guess = allowed(first, known)
    raise ValueError(f'"{begin} {text}" names no way after "{begin}"; {guess}')


def _lacks(text: str, what: str, example: str) -> str:
    raise ValueError(f'"{text}" does not say {what}; write for example: {example}')


def _yes(_: "re.Match[str]") -> bool:
    return True


def _no(_: "re.Match[str]") -> bool:
    return False


def _other_spot(match: "re.Match[str]") -> tuple[str, str]:
    """How far the other spot is from the panel, and from where the machine stands."""
    if not match[1] or not match[2]:
        _lacks(match[0], "how far the other spot is", "back and forth 55 / 42 ft, 20 ft apart")
    return match[1], match[2]


def _panel(match: "re.Match[str]") -> str:
    return match[1]


def _retooling(match: "re.Match[str]") -> Retooling:
    return read_retooling(match[0])


_UNSURE = r".*\b(?:maybe|perhaps|possibly|probably|might|may|chance)\b"
_PATTERNS: tuple[tuple["re.Pattern[str]", str, Callable[["re.Match[str]"], object]], ...] = tuple(
    (re.compile(pattern, re.IGNORECASE), word, read)
    for pattern, word, read in (
        (r"[-+0-9.,/]+|many|some|several", "count", _count),
        (rf"(?!{_UNSURE})(?:.*\s)?(?:retool|rewir|refit|convert|reconnect)\w*\b.*", "retools", _retooling),
        (r"plug(?:\s+(.+))?", "plug", _plug),
        (r"never moved?s?|(?:(?:is|are)\s+)?bolted(?:\s+down)?", "never_moves", _yes),
        (r"(?:its )?maker allows a longer cord", "never_moves", _no),
        (r"back and forth(?:\s+(.+?)(?:,\s*(.+?)\s+apart)?)?", "other_spot", _other_spot),
        (r"no motors?|not (?:an? )?motors?|other", "load", _other),
        (r"(?:an?\s+)?(motor|heater|arc welder|welder|spot welder|seam welder)", "load", _load),
        (r"(?:runs? |ever )?(?:unattended|alone overnight|overnight alone)", "unattended", _yes),
        (r"(?:never|not|is never|does not run) unattended|always attended", "unattended", _no),
        (r"([0-9]{1,3})\s*%\s+(?:of its )?heat (?:is enough|will do)", "least_heat", _heat),
        (r"duty cycle\s+(.+)", "duty_cycle", _duty_cycle),
        (r"effective(?:\s+amps)?\s+(.+)", "effective", _effective),
        (r"(?:starts?|switch(?:es)? on|runs?) by itself|self[- ]starting", "starts_by_itself", _yes),
        (r"(?:does not|never|not) starts? by itself", "starts_by_itself", _no),
        (r"(?:is\s+)?in the (?:measured )?peak|ran when (?:the peak|it) was measured", "ran", _yes),
        (
            r"(arrives?|comes?|bought)\s+(?:in|after|within)?\s*(?:year\s+)?(\S+)\s*(years?|months?|weeks?)?",
            "arrives",
            _year_of,
        ),
        (
            r"(leaves?|goes)\s+(?:in|after)?\s*(?:year\s+)?(\S+)\s*(years?|months?|weeks?)?",
            "leaves",
            _year_of,
        ),
        (r"continuous(?:ly)?", "continuous", _yes),
        (r"not continuous(?:ly)?", "continuous", _no),
        (r"own cord(?:\s+(.+))?", "own_cord", _own_cord),
        (r"(\S+)\s*(?:h|hrs?|hours?)\s*(?:(?:an?|per)\s+|/\s*)(?:year|yr)", "full_load_hours", _hours),
        (r"from\s+(.+)", "panel", _panel),
        (
            r".*\bmoved?s?\b.*\b(?:every|each|years?|months?|times|monthly|yearly|annually)\b.*",
            "moves",
            _moves,
        ),
        (r"now\s+(.+)", "now", _now),
        (r"quoted\s+(.+)", "quotes", _quote),
    )
)
