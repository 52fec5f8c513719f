"""offers.csv read fast: each distinct cell is understood once, and only odd rows are looked at closely."""

import re
from collections import deque
from collections.abc import Callable, Collection, Iterable, Sequence
from datetime import date
from decimal import Decimal
from itertools import islice, repeat
from typing import Any

from costplan.files.csv_reader import Table, looks_like_a_date, shape_problem
from costplan.files.problems import Problem, allowed_words, nearest
from costplan.files.quantities import parse_money_cents, parse_number
from costplan.model.catalog import Condition, Offer

COLUMNS = ("part", "supplier", "condition", "price", "per", "available", "seen", "note")
REQUIRED = ("part", "supplier", "condition", "price", "per")

_plain_price = re.compile(r"[0-9]{1,9}\.[0-9]{2}").fullmatch
_UNITS = "each, ft, 100 ft, 1000 ft, box of 25, reel of 250 ft, piece of 47 ft, stick of 10 ft"


def read_offers(table: Table, parts: Collection[str]) -> tuple[list[Offer], list[Problem]]:
    """Offers of a table, and what is wrong with its rows.

    `parts` are the known ids, empty when parts.yaml could not be read; unknown ids that a spreadsheet turned
    into dates are explained here, other unknown ids are left to the cross-checks.
    """
    width = len(table.header)
    odd = {index for index, cells in enumerate(table.rows) if len(cells) != width}
    sound = [cells for cells in table.rows if len(cells) == width] if odd else table.rows
    numbers = (
        [index for index in range(len(table.rows)) if index not in odd] if odd else range(len(table.rows))
    )
    columns = list(zip(*sound, strict=True)) if sound else [()] * width
    readings = []
    for name in COLUMNS:
        position = table.columns.get(name)
        cells = columns[position] if position is not None else ("",) * len(sound)
        meaning, bad = _understood(cells, _READERS[name], parts if name == "part" else None)
        if bad:
            odd.update(index for index, cell in zip(numbers, cells, strict=True) if cell in bad)
        readings.append(list(map(meaning.__getitem__, cells)))
    rows = (index + table.first_row for index in numbers)
    offers = _offers([*readings, rows])
    if not odd:
        return offers, []
    problems: list[Problem] = []
    sound_offers = {offer.row: offer for offer in offers if offer.row - table.first_row not in odd}
    for index in sorted(odd):
        row = index + table.first_row
        fields = _carefully(table, row, table.rows[index], parts, problems)
        if fields is not None:
            sound_offers[row] = _offers([*([fields[name]] for name in COLUMNS), [row]])[0]
    return [sound_offers[row] for row in sorted(sound_offers)], problems


def _understood(
    cells: Iterable[str], read: Callable[[str], Any], known: Collection[str] | None
) -> tuple[dict[str, Any], set[str]]:
    """What each distinct cell means, and the cells that need a closer look."""
    meaning: dict[str, Any] = {}
    bad: set[str] = set()
    for cell in set(cells):
        try:
            meaning[cell] = read(cell)
        except ValueError:
            meaning[cell] = None
            bad.add(cell)
        else:
            if known is not None and cell not in known:
                bad.add(cell)
    return meaning, bad


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
            "row": row,
        }
        for part, supplier, condition, price_cents, per, available, seen, note, row in zip(
            *columns, strict=True
        )
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
            reading[name] = _READERS[name](cell)
        except ValueError as error:
            message, _, mend = str(error).partition("; ")
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
            raise ValueError(f"is blank; write the id of a {what}")
        return text

    return read


def _condition(cell: str) -> Condition:
    text = cell.strip().lower()
    words = [str(condition.value) for condition in Condition]
    if not text:
        raise ValueError(f"is blank; allowed: {', '.join(words)}")
    if text in _OTHER_CONDITIONS:
        raise ValueError(
            f'is "{_short(cell)}"; allowed: {", ".join(words)}. Did you mean "{_OTHER_CONDITIONS[text]}"?'
        )
    spelled = text.replace(" ", "-").replace("_", "-")
    if spelled not in words:
        raise ValueError(f'is "{_short(cell)}"; {allowed_words(spelled, words)}')
    return Condition(spelled)


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
    cents = parse_money_cents(text)
    if cents < 0:
        raise ValueError(f'is "{_short(cell)}", below nothing; a price is 0 or more')
    return cents


def _per(cell: str) -> str:
    text = " ".join(cell.split()).lower()
    if not text:
        raise ValueError(f"is blank; allowed: {_UNITS}")
    per = _OTHER_UNITS.get(text, text)
    try:
        return Offer.known_unit(per)
    except ValueError:
        guess = nearest(per, ("each", "ft", "100 ft", "1000 ft", "box of 25", "reel of 250 ft"))
        hint = f'. Did you mean "{guess}"?' if guess else ""
        raise ValueError(f'is "{_short(cell)}"; allowed: {_UNITS}{hint}') from None


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
    if number != number.to_integral_value() or number < 0:
        raise ValueError(f'is "{_short(cell)}"; write how many can be had, or leave it blank for any number')
    return int(number)


def _seen(cell: str) -> date | None:
    text = cell.strip()
    if not text:
        return None
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        try:
            return date.fromisoformat(text)
        except ValueError:
            raise ValueError(f'is "{text}", a day that no calendar has; check month and day') from None
    raise ValueError(
        f'is "{_short(cell)}", not a day as year-month-day; write 2025-06-20, and format the column as text'
    )


def _short(cell: str) -> str:
    text = cell.strip()
    return text if len(text) <= 40 else f"{text[:37]}..."


_READERS: dict[str, Callable[[str], Any]] = {
    "part": _text("part"),
    "supplier": _text("supplier"),
    "condition": _condition,
    "price": _price,
    "per": _per,
    "available": _available,
    "seen": _seen,
    "note": str.strip,
}
