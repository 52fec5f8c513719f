"""The questions of a guided start: what is asked, what is allowed, and what an answer means.

Every answer is kept as the text that goes into the shop file. Every reader raises ValueError with what was
found, a semicolon, and what is allowed.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from io import StringIO
from typing import TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from costplan.files import quantities
from costplan.files.problems import nearest
from costplan.model.catalog import Part
from costplan.model.choices import Occupancy
from costplan.model.nameplate import Electrical
from costplan.model.system import System, phases

PANEL = "panel"
"""What the one panel of a started shop is called."""
UNKNOWN = "unknown"
MACHINE_FORM = "name; place; volts; hp or amps; phases; distance; how many"
MACHINE_FORM_SAID = f"{MACHINE_FORM} (the last is optional)"
MACHINE_EXAMPLE = "wood lathe; bay; 120; 1 hp; 1; 55 ft; 12"
MOST_ALIKE = 1000
MOST_LINES = 1000
"""More machine lines than this are another file."""
MOST_MOVES_A_YEAR = 100
"""More is likely a slip, and takes long to compare; the file itself may say more."""
LONGEST_NAME = 60
LONGEST_ROUTE_FT = 1000
ELSEWHERE = "another spot"
"""Where a machine goes that moves in a shop of one place."""
_Read = TypeVar("_Read")


class PartsError(ValueError):
    """What is wrong with the parts of one line, each said in `mistakes`."""

    def __init__(self, mistakes: Iterable[str]) -> None:
        self.mistakes = tuple(mistakes)
        super().__init__("; and ".join(self.mistakes))


@dataclass(frozen=True, slots=True)
class Question:
    """One question: its option, its sentence, the words to choose from, and how an answer is read.

    `default` is what Enter alone means at a terminal; None asks again.
    """

    option: str
    asks: str
    read: Callable[[str], str]
    default: str | None = None
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MachineAnswer:
    """One machine, or `count` of them alike, as texts for the file and as values to hold other answers against."""

    name: str
    place: str
    volts_text: str
    load_word: str
    load_text: str
    phases: int
    distance_text: str
    volts: int
    hp: Decimal | None
    distance_ft: Decimal
    count: int = 1


@dataclass(frozen=True, slots=True)
class Answers:
    """All answers, as texts for the file."""

    shop_name: str
    years: str
    panel_system: str
    spaces_free: str
    breakers: str
    rate: str
    occupancy: str
    edition: str
    electricity: str
    ceiling: str
    machines: tuple[MachineAnswer, ...]
    moves_per_year: str


SAMPLE = Answers(
    shop_name="sample",
    years="5",
    panel_system=System.SINGLE_120_240,
    spaces_free="6",
    breakers="",
    rate="95",
    occupancy=Occupancy.COMMERCIAL,
    edition=UNKNOWN,
    electricity="0.16",
    ceiling="10 ft",
    machines=(),
    moves_per_year="0",
)
"""Answers that any machine can be tried with."""


def questions(families: Sequence[str]) -> tuple[Question, ...]:
    """The questions with one short answer each, in order; machines and moves are asked after them.

    `families` are the breaker families that the catalog sells.
    """
    systems, occupancies = tuple(map(str, System)), tuple(map(str, Occupancy))
    return (
        Question("shop-name", "What is the shop called?", read_name),
        Question("years", "How many years do you plan for?", _whole(1, 60), "5"),
        Question("panel-system", "What does the panel give?", _one_of(systems), systems[0], systems),
        Question("spaces-free", "How many spaces are free in the panel, counted in poles?", _whole(0, 200)),
        Question(
            "breakers",
            "Which family of breakers does its label ask for?",
            _one_of(families),
            families[0] if len(families) == 1 else None,
            tuple(families),
        ),
        Question("rate", "What does one electrician charge an hour?", _rate),
        Question(
            "occupancy", "What is the building to the code?", _one_of(occupancies), "commercial", occupancies
        ),
        Question("edition", "Which edition of the NEC is in force, for example 2020?", _edition, UNKNOWN),
        Question("electricity", "What does a kilowatt-hour cost, for example 0.16?", _electricity),
        Question("ceiling", "How high is the ceiling, for example 10 ft or 3 m?", _ceiling, "10 ft"),
    )


def read_name(text: str) -> str:
    """A name of anything. Raises ValueError when it is blank, long, or not printable."""
    cleaned = _plain(text)
    if len(cleaned) > LONGEST_NAME:
        raise ValueError(f"has {len(cleaned)} letters; at most {LONGEST_NAME} are allowed")
    return cleaned


def lines_of_notes(text: str) -> Iterator[tuple[int, str]]:
    """The machine lines of a notes file with their numbers; blank lines and lines that begin with # are skipped."""
    for number, line in enumerate(StringIO(text, newline=None), 1):
        if line.strip() and not is_comment(line):
            yield number, line


def is_comment(line: str) -> bool:
    """Whether a line of notes says no machine but something to whoever reads it."""
    return line.lstrip().startswith("#")


def read_machine(text: str) -> MachineAnswer:
    """One machine written as MACHINE_FORM, with or without how many. Raises PartsError with all that is wrong."""
    name, place, volts, load, phases_text, distance, how_many = _parts_of(text)
    mistakes: list[str] = []
    name = _noted(mistakes, lambda: _part("name", read_name, name), "")
    place = _noted(mistakes, lambda: _part("place", _place, place), "")
    word = _noted(mistakes, lambda: _load_word(load), "")
    phases_read = _noted(mistakes, lambda: int(_part("phases", _phases, phases_text)), 0)
    said = {"volts": volts, word or "amps": load if word else 1, "phases": phases_read or 1}
    plate = _noted(mistakes, lambda: _plate(said), None)
    distance_ft = _noted(
        mistakes, lambda: _length("distance", distance, Decimal(0), Decimal(LONGEST_ROUTE_FT)), Decimal(0)
    )
    count = _noted(mistakes, lambda: int(_part("how many", _how_many, how_many)), 0)
    if mistakes or plate is None:
        raise PartsError(mistakes)
    return MachineAnswer(
        name,
        place,
        volts,
        word,
        load,
        phases_read,
        distance,
        int(plate.volts),
        plate.hp,
        distance_ft,
        count,
    )


def machine_misfit(machine: MachineAnswer, earlier: Iterable[MachineAnswer]) -> str:
    """Why a machine does not go with those before it, empty when it does."""
    for other in earlier:
        if other.name == machine.name:
            return f'name is "{machine.name}", which an earlier machine has; give each a name of its own'
        if other.place == machine.place and other.distance_ft != machine.distance_ft:
            return (
                f'distance is {machine.distance_text}, but "{machine.place}" was {other.distance_text} away '
                f'for "{other.name}"; write the same, or name another place'
            )
    return ""


def moves_question() -> Question:
    """The question after moves; a machine may move several times a year, and every move is counted."""

    def read(text: str) -> str:
        cleaned = _plain(text)
        if not 0 <= quantities.parse_number(cleaned) <= MOST_MOVES_A_YEAR:
            raise ValueError(
                f"is {cleaned}; allowed: 0 to {MOST_MOVES_A_YEAR} a year, all machines together, 0.5 is every second year"
            )
        return cleaned

    asks = (
        "How many times a year is a machine moved, all machines together? "
        "Seven moved once are 7, 0.5 is one every second year, 0 is never."
    )
    return Question("moves-per-year", asks, read)


def families_for(parts: Iterable[Part], system: str | None) -> tuple[str, ...]:
    """The breaker families of a catalog; for a three-phase panel those with 3-pole breakers, if there are any."""
    poles: dict[str, set[str]] = {}
    for part in parts:
        if part.kind == "breaker" and "family" in part.attributes:
            family = poles.setdefault(str(part.attributes["family"]), set())
            family.add(str(part.attributes.get("poles", "")))
    if system is not None and phases(System(system)) == 3:
        three = tuple(sorted(family for family, counts in poles.items() if "3" in counts))
        if three:
            return three
    return tuple(sorted(poles))


def _plain(text: str) -> str:
    cleaned = text.strip()
    if not cleaned:
        raise ValueError("is empty; write something")
    if not cleaned.isprintable():
        raise ValueError("holds a character that cannot be printed; write it again")
    return cleaned


def _parts_of(text: str) -> list[str]:
    """The seven parts of a machine line, how many as 1 where it is left out; tabs count as blanks."""
    parts = [part.strip() for part in _plain(" ".join(text.split())).split(";")]
    most = MACHINE_FORM.count(";") + 1
    if len(parts) not in (most - 1, most):
        raise PartsError(
            [
                f"has {len(parts)} {'part' if len(parts) == 1 else 'parts'} between semicolons, "
                f"not {most - 1} or {most}; write {MACHINE_FORM_SAID}, for example: {MACHINE_EXAMPLE}"
            ]
        )
    return [*parts[: most - 1], "".join(parts[most - 1 :]) or "1"]


def _noted(mistakes: list[str], read: Callable[[], _Read], instead: _Read) -> _Read:
    """What was read; `instead` after noting why it could not be."""
    try:
        return read()
    except PartsError as error:
        mistakes += error.mistakes
    except ValueError as error:
        mistakes.append(str(error))
    return instead


def _place(text: str) -> str:
    place = read_name(text)
    if place == PANEL:
        raise ValueError(f'is "{PANEL}", which is the panel itself; name the spot where it stands')
    return place


def _phases(text: str) -> str:
    if text.strip() not in ("1", "3"):
        raise ValueError(f'is "{text}"; allowed: 1, 3')
    return text


def _how_many(text: str) -> str:
    try:
        return _whole(1, MOST_ALIKE)(text)
    except ValueError:
        raise ValueError(
            f'is "{text}"; allowed: a whole number from 1 to {MOST_ALIKE}; write how many are alike, or leave it out for one'
        ) from None


def _part(word: str, read: Callable[[str], str], text: str) -> str:
    try:
        return read(text)
    except ValueError as error:
        raise ValueError(f"{word} {error}") from None


def _load_word(text: str) -> str:
    unit = text.lower().lstrip("+-0123456789./, ")
    if unit in quantities.HORSEPOWER_UNITS:
        return "hp"
    if unit in quantities.CURRENT_UNITS:
        return "amps"
    raise ValueError(f'hp or amps is "{text}"; write the unit: 3 hp, 2.2 kW or 12.8 A')


def _plate(words: Mapping[str, object]) -> Electrical:
    try:
        return Electrical.model_validate(words)
    except ValidationError as error:
        raise PartsError(map(_said_of, error.errors(include_url=False))) from None


def _said_of(found: ErrorDetails) -> str:
    where = f"{found['loc'][0]} " if found["loc"] else ""
    if found["type"] == "greater_than":
        return f"{where}is {found['input']}; it must be more than 0"
    return f"{where}{found.get('ctx', {}).get('error', found['msg'])}"


def _whole(least: int, most: int) -> Callable[[str], str]:
    def read(text: str) -> str:
        cleaned = _plain(text)
        number = quantities.parse_number(cleaned)
        if number != number.to_integral_value() or not least <= number <= most:
            raise ValueError(f"is {cleaned}; allowed: a whole number from {least} to {most}")
        return str(int(number))

    return read


def _one_of(words: Sequence[str]) -> Callable[[str], str]:
    def read(text: str) -> str:
        cleaned = _plain(text)
        folded = cleaned.lower()
        exact = [word for word in words if word.lower() == folded]
        if exact:
            return exact[0]
        if cleaned.isdecimal() and cleaned.isascii() and 1 <= int(cleaned[:4]) <= len(words):
            return words[int(cleaned[:4]) - 1]
        begun = [word for word in words if word.lower().startswith(folded)]
        if len(begun) == 1:
            return begun[0]
        guess = nearest(cleaned, words)
        hint = f'. Did you mean "{guess}"?' if guess else ""
        raise ValueError(f'is "{cleaned}"; allowed: {", ".join(words)}{hint}')

    return read


def _length(word: str, text: str, above: Decimal, most: Decimal) -> Decimal:
    try:
        length = quantities.parse_length_ft(_plain(text))
    except ValueError as error:
        raise ValueError(f"{word} {error}") from None
    if not above < length <= most:
        raise ValueError(f"{word} is {text}; allowed: more than {above} ft, at most {most} ft")
    return length


def _ceiling(text: str) -> str:
    cleaned = _plain(text)
    if not 6 <= quantities.parse_length_ft(cleaned) <= 60:
        raise ValueError(f"is {cleaned}; allowed: 6 ft to 60 ft; 3 m is read too")
    return cleaned


def _rate(text: str) -> str:
    cleaned = _plain(text)
    if quantities.parse_money_cents(cleaned) < 1:
        raise ValueError(f"is {cleaned}; write what one hour costs, for example 95.00")
    return cleaned


def _electricity(text: str) -> str:
    cleaned = _plain(text)
    if not 0 <= quantities.parse_money_cents(cleaned) <= 500:
        raise ValueError(f"is {cleaned}; allowed: 0 to 5, in whole money, so 16 cents are 0.16")
    return cleaned


def _edition(text: str) -> str:
    cleaned = _plain(text)
    if cleaned.lower() == UNKNOWN:
        return UNKNOWN
    try:
        return _whole(1990, 2050)(cleaned)
    except ValueError:
        raise ValueError(
            f"is {cleaned}; allowed: a year such as 2014, 2017, 2020 or 2023, or {UNKNOWN}"
        ) from None
