"""offers.csv read fast: each distinct cell is understood once, and only odd rows are looked at closely."""

import re
from collections import deque
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from functools import partial
from itertools import islice, repeat
from operator import add
from typing import Any, overload

from costplan.files.csv_reader import Table, looks_like_a_date, shape_problem, without_garbage_collection
from costplan.files.problems import Problem, allowed_words, nearest
from costplan.files.quantities import (
    MisreadError,
    day_mend,
    parse_fraction,
    parse_money_cents,
    parse_number,
    told_apart,
)
from costplan.files.visible import LONGEST_TEXT, beginning
from costplan.model.catalog import Condition, Offer
from costplan.model.ranges import TENTH_OF_A_CENT, Ranged, low_likely_high, something

COLUMNS = (
    "part",
    "supplier",
    "condition",
    "price",
    "per",
    "available",
    "seen",
    "note",
    "their_number",
    "freight",
    "usable",
)
REQUIRED = ("part", "supplier", "condition", "price", "per")
_plain_price = re.compile(r"[0-9]{1,9}\.[0-9]{2}").fullmatch
_plain_prices = re.compile(r"(?:[0-9]{1,9}\.[0-9]{2}\n)*+").fullmatch
_UNITS = "each, ft, 100 ft, 1000 ft, box of 25, lot of 40, reel of 250 ft, piece of 47 ft, stick of 10 ft"


_Meaning = Callable[[Iterable[str]], Iterable[Any]]
"""What a column's cells mean, in one go."""


class Offers(Sequence[Offer]):
    """Checked offers in the order of their rows, each made when it is looked at and kept from then on."""

    def __init__(self, columns: Sequence[Sequence[str]], meanings: Sequence[_Meaning], rows: Sequence[int]):
        """`columns` and `meanings` of cells follow COLUMNS; `rows` are the numbers in the file."""
        self._columns, self._meanings, self._rows = columns, meanings, rows
        self._made: dict[int, Offer] = {}
        self._all: list[Offer] | None = None

    def __len__(self) -> int:
        return len(self._rows)

    @overload
    def __getitem__(self, index: int) -> Offer: ...

    @overload
    def __getitem__(self, index: slice) -> list[Offer]: ...

    def __getitem__(self, index: int | slice) -> Offer | list[Offer]:
        if isinstance(index, slice):
            return [self[position] for position in range(*index.indices(len(self)))]
        if self._all is not None:
            return self._all[index]
        position = range(len(self))[index]
        if position not in self._made:
            self._made[position] = self._make([position])[0]
        return self._made[position]

    def __iter__(self) -> Iterator[Offer]:
        if self._all is None:
            with without_garbage_collection():
                made = self._make(range(len(self))) if len(self) else []
            for position, offer in self._made.items():
                made[position] = offer
            self._all = made
            self._made.clear()
        return iter(self._all)

    def __eq__(self, other: object) -> bool:
        return list(self) == list(other) if isinstance(other, Sequence) else NotImplemented

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return f"Offers({list(self)!r})"

    def _make(self, positions: Sequence[int]) -> list[Offer]:
        some = len(positions) < len(self)
        readings: list[Iterable[Any]] = []
        for column, meaning in zip(self._columns, self._meanings, strict=True):
            cells = map(column.__getitem__, positions) if some else column
            readings.append(meaning(cells))
        return _offers([*readings, map(self._rows.__getitem__, positions) if some else self._rows])


def read_offers(table: Table, parts: Collection[str]) -> tuple[list[Offer], list[Problem]]:
    """Offers of a table, and what is wrong with its rows; each offer is made at once.

    `parts` are the known ids, empty when parts.yaml could not be read; unknown ids that a spreadsheet turned
    into dates are explained here, other unknown ids are left to the cross-checks.
    """
    offers, problems = check_offers(table, parts)
    return list(offers), problems


def check_offers(table: Table, parts: Collection[str]) -> tuple[Sequence[Offer], list[Problem]]:
    """As `read_offers`, but an offer is made only when it is looked at, which no answer needs of all."""
    with without_garbage_collection():
        return _checked(table, parts)


def _checked(table: Table, parts: Collection[str]) -> tuple[Sequence[Offer], list[Problem]]:
    odd = set(table.odd_rows)
    sound = table.sound
    columns: list[Sequence[str]] = []
    meanings: list[_Meaning] = []
    for name in COLUMNS:
        texts = table.cells[table.columns[name]] if name in table.columns else _Blanks(len(sound))
        meaning, bad = _understood(texts, name, parts if name == "part" else None)
        if bad:
            odd.update(index for index, text in zip(sound, texts, strict=True) if text in bad)
        columns.append(texts)
        meanings.append(meaning)
    numbers = range(table.first_row, table.first_row + table.count)
    if not odd:
        return Offers(columns, meanings, numbers), []
    problems: list[Problem] = []
    close: dict[int, Offer] = {}
    for index in sorted(odd):
        fields = _carefully(table, numbers[index], table.rows[index], parts, problems)
        if fields is not None:
            close[numbers[index]] = _offers([*([fields[name]] for name in COLUMNS), [numbers[index]]])[0]
    fit = [at for at, index in enumerate(sound) if index not in odd]
    kept = [[column[at] for at in fit] for column in columns]
    offers = Offers(kept, meanings, [numbers[sound[at]] for at in fit])
    if not close:
        return offers, problems
    return sorted([*offers, *close.values()], key=lambda offer: offer.row), problems


class _Blanks(Sequence[str]):
    """The column of a name that the header lacks."""

    def __init__(self, many: int) -> None:
        self._many = many

    def __len__(self) -> int:
        return self._many

    def __getitem__(self, index: Any) -> Any:
        return [""] * len(range(self._many)[index]) if isinstance(index, slice) else ""

    def __iter__(self) -> Iterator[str]:
        return repeat("", self._many)


def _understood(texts: Sequence[str], name: str, known: Collection[str] | None) -> tuple[_Meaning, set[str]]:
    """What each distinct text says of a column, and the texts that need a closer look."""
    if name == "price" and _plain_prices("\n".join([*texts, ""])):
        return _plain_cents, set()
    read = READERS[name]
    meaning: dict[str, Any] = {}
    bad: set[str] = set()
    for text in dict.fromkeys(texts):
        try:
            meaning[text] = read(text)
        except ValueError:
            bad.add(text)
        if known is not None and text not in known:
            bad.add(text)
    return partial(map, meaning.__getitem__), bad


def _plain_cents(cells: Iterable[str]) -> Iterable[Decimal]:
    """Cents of prices that are all written like 12.50."""
    return map(Decimal, map(add, cells, repeat("E2")))


def _offers(columns: Sequence[Iterable[Any]]) -> list[Offer]:
    """Offers of checked values, one column for each of COLUMNS and one of row numbers.

    Does what `Offer.model_construct` does, a column at a time: its look at every alias took most of the time.
    """
    fields = [
        {
            "part": part,
            "supplier": supplier,
            "condition": condition,
            "price_cents": price_cents,
            "per": per,
            "available": available,
            "seen": seen,
            "note": note,
            "their_number": their_number,
            "freight_cents": freight_cents,
            "usable": usable,
            "row": row,
        }
        for (
            part,
            supplier,
            condition,
            price_cents,
            per,
            available,
            seen,
            note,
            their_number,
            freight_cents,
            usable,
            row,
        ) in zip(*columns, strict=True)
    ]
    offers = list(map(Offer.__new__, repeat(Offer, len(fields))))
    fill = object.__setattr__
    state: tuple[tuple[str, Iterable[Any]], ...] = (
        ("__dict__", fields),
        ("__pydantic_fields_set__", repeat(set(Offer.model_fields))),
        ("__pydantic_extra__", repeat(None)),
        ("__pydantic_private__", repeat(None)),
    )
    for name, values in state:
        deque(map(fill, offers, repeat(name), values), maxlen=0)
    return offers


def _carefully(
    table: Table, row: int, cells: list[str], parts: Collection[str], problems: list[Problem]
) -> dict[str, Any] | None:
    """One row cell by cell; None when it is blank or wrong."""
    if not any(cell.strip() for cell in cells):
        return None
    if len(cells) != len(table.header):
        # Spreadsheets leave out trailing commas, and add some; only cells with something in them count.
        full = _fitted(cells, len(table.header), [table.columns[name] for name in REQUIRED])
        if full is None:
            problems.append(shape_problem(table, row, cells))
            return None
        cells = full
    reading: dict[str, Any] = {}
    found: list[Problem] = []
    refitted = cells is not table.rows[row - table.first_row]
    for name in COLUMNS:
        position = table.columns.get(name)
        cell = cells[position] if position is not None else ""
        try:
            reading[name] = READERS[name](cell)
        except ValueError as error:
            message, mend = told_apart(error)
            crumbs = f"row {row} › {name}"
            found.append(Problem(f"offer-{name}", table.at(row, name), crumbs, message, mend))
    date_like = _turned_into_a_date(table, row, reading["part"], parts) if "part" in reading else None
    found += [date_like] if date_like is not None else []
    # A row with a cell too many usually holds a stray comma, and what follows from it is noise.
    problems += (
        [shape_problem(table, row, table.rows[row - table.first_row])] if found and refitted else found
    )
    return None if found else reading


def _fitted(cells: list[str], width: int, required: list[int]) -> list[str] | None:
    if len(cells) > width:
        return cells[:width] if not any(cell.strip() for cell in islice(cells, width, None)) else None
    return cells + [""] * (width - len(cells)) if len(cells) > max(required) else None


def _turned_into_a_date(table: Table, row: int, part: str, parts: Collection[str]) -> Problem | None:
    before = looks_like_a_date(part)
    if not before or part in parts:
        return None
    likely = sorted(known for known in parts if any(text in known for text in before))
    was = " or ".join(f'"{text}"' for text in (likely or (before[0], before[2]))[:3])
    message = f'is "{part}": a spreadsheet probably turned {was} into a date'
    mend = "format the column as text, then write the id again; ids that begin with a letter are safe"
    return Problem("offer-part-date", table.at(row, "part"), f"row {row} › part", message, mend)


def _text(what: str) -> Callable[[str], str]:
    def read(cell: str) -> str:
        text = cell.strip()
        if not text:
            raise MisreadError("is blank", f"write the id of a {what}")
        return _bounded(text)

    return read


def _condition(cell: str) -> Condition:
    text = cell.strip().lower()
    words = [str(condition.value) for condition in Condition]
    if not text:
        raise MisreadError("is blank", f"allowed: {', '.join(words)}")
    if text in _OTHER_CONDITIONS:
        raise MisreadError(
            f'is "{beginning(cell.strip())}"',
            f'allowed: {", ".join(words)}. Did you mean "{_OTHER_CONDITIONS[text]}"?',
        )
    spelled = text.replace(" ", "-").replace("_", "-")
    if spelled not in words:
        raise MisreadError(f'is "{beginning(cell.strip())}"', allowed_words(spelled, words))
    return Condition(spelled)


def _bounded(text: str) -> str:
    if len(text) > LONGEST_TEXT:
        raise MisreadError(f"has {len(text)} characters", f"at most {LONGEST_TEXT} are read")
    return text


def _note(cell: str) -> str:
    return _bounded(" ".join(cell.split()))


_OTHER_CONDITIONS = {
    "second-hand": "used",
    "second hand": "used",
    "surplus": "used",
    "nos": "new-old-stock",
    "old stock": "new-old-stock",
    "stock": "on-hand",
    "shelf": "on-hand",
}


def _price(cell: str) -> Decimal | None:
    if _plain_price(cell):
        return Decimal(cell + "E2")
    text = cell.strip()
    if not text:
        return None
    if text.startswith("[") or text.count("/") == 2:
        return _price_range(text)
    try:
        cents = parse_money_cents(text, thousandths=True)
    except MisreadError as error:
        if any(map(str.isdigit, text)):
            raise
        mend = f"{error.mend}, or leave it blank while nobody has told you a price"
        raise MisreadError(error.found, mend) from None
    if cents < 0:
        raise MisreadError(f'is "{beginning(cell.strip())}", below nothing', "a price is 0 or more")
    return cents


def _price_range(text: str) -> Ranged:
    """Low, likely and high, in brackets: without them a spreadsheet takes 4/5/80 for a day."""
    if not (text.startswith("[") and text.endswith("]")):
        raise MisreadError(
            f'is "{beginning(text)}", which may be a range or a day', "write a range in brackets: [40/55/80]"
        )
    between = "/" if "/" in text else ", "
    entries = [entry.strip() for entry in text[1:-1].split(between.strip())]
    read = partial(parse_money_cents, thousandths=True)
    return something(low_likely_high(entries, read, "[40/55/80]", between, TENTH_OF_A_CENT))


def _per(cell: str) -> str:
    text = " ".join(cell.split()).lower()
    if not text:
        raise MisreadError("is blank", f"allowed: {_UNITS}")
    per = _OTHER_UNITS.get(text, text)
    try:
        return Offer.known_unit(per)
    except ValueError:
        guess = nearest(per, ("each", "ft", "100 ft", "1000 ft", "box of 25", "reel of 250 ft"))
        hint = f'. Did you mean "{guess}"?' if guess else ""
        raise MisreadError(f'is "{beginning(cell.strip())}"', f"allowed: {_UNITS}{hint}") from None


_OTHER_UNITS = {
    "ea": "each",
    "pc": "each",
    "piece": "each",
    "foot": "ft",
    "feet": "ft",
    "per ft": "ft",
    "1 ft": "ft",
}


def _available(cell: str) -> int | None:
    text = cell.strip()
    if not text:
        return None
    number = parse_number(text)
    if re.fullmatch(r"[0-9]+\.[0-9]{2}", text):
        raise MisreadError(
            f'is "{beginning(text)}", as prices are written', f"write how many can be had, as {number:.0f}"
        )
    if number != number.to_integral_value() or number < 0:
        raise MisreadError(
            f'is "{beginning(cell.strip())}"', "write how many can be had, or leave it blank for any number"
        )
    return int(number)


def _seen(cell: str) -> date | None:
    text = cell.strip()
    if not text:
        return None
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        try:
            return date.fromisoformat(text)
        except ValueError:
            raise MisreadError(f'is "{text}", a day that no calendar has', "check month and day") from None
    raise MisreadError(
        f'is "{beginning(cell.strip())}", not a day as year-month-day',
        f"{day_mend(text)}, and format the column as text",
    )


def _freight(cell: str) -> Decimal:
    if not cell.strip():
        return Decimal(0)
    cents = parse_money_cents(cell.strip(), thousandths=True)
    if cents < 0:
        raise MisreadError(f'is "{beginning(cell.strip())}", below nothing', "freight is 0 or more")
    return cents


def _usable(cell: str) -> Decimal | None:
    if not cell.strip():
        return None
    share = parse_fraction(cell.strip())
    if not 0 < share <= 1:
        raise MisreadError(f'is "{beginning(cell.strip())}"', "allowed: above 0 % to 100 %")
    return share


READERS: Mapping[str, Callable[[str], Any]] = {
    "part": _text("part"),
    "supplier": _text("supplier"),
    "condition": _condition,
    "price": _price,
    "per": _per,
    "available": _available,
    "seen": _seen,
    "note": _note,
    "their_number": _note,
    "freight": _freight,
    "usable": _usable,
}
"""How each cell of a row is understood; raises ValueError: what was found; what is allowed."""
