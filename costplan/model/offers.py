"""offers.csv read fast: each distinct cell is understood once, and only rows with something odd are looked at closely."""

import re
from collections.abc import Callable, Collection
from datetime import date
from decimal import Decimal
from itertools import islice
from typing import Any

from costplan.files.csv_reader import Table, looks_like_a_date, shape_problem
from costplan.files.problems import Problem, allowed_words, nearest
from costplan.files.quantities import parse_money_cents, parse_number
from costplan.model.catalog import Condition, Offer

COLUMNS = ("part", "supplier", "condition", "price", "per", "available", "seen", "note")
REQUIRED = ("part", "supplier", "condition", "price", "per")

_PLAIN_PRICE = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,4})?")
_FIELDS = frozenset(Offer.model_fields)
_UNITS = "each, ft, 100 ft, 1000 ft, box of 25, reel of 250 ft, piece of 47 ft, stick of 10 ft"

Reading = dict[str, Any]


class _Cells:
    """What the cells of one column mean; each distinct text is parsed once, bad ones raise ValueError."""

    def __init__(self, parse: Callable[[str], Any]) -> None:
        self.parse = parse
        self.known: dict[str, Any] = {}

    def read(self, text: str) -> Any:
        if text not in self.known:
            self.known[text] = self.parse(text)
        return self.known[text]


def read_offers(
    table: Table, parts: Collection[str], suppliers: Collection[str]
) -> tuple[list[Offer], list[Problem]]:
    """Offers of a table, and what is wrong with its rows.

    `parts` and `suppliers` are the known ids, empty when their files could not be read; unknown ids that a
    spreadsheet turned into dates are explained here, other unknown ids are left to the cross-checks.
    """
    order = [table.columns.get(name, -1) for name in COLUMNS]
    part_ids = frozenset(parts)
    columns = [_Cells(_READERS[name]) for name in COLUMNS]
    known = [column.known for column in columns]
    part_at, supplier_at, condition_at, price_at, per_at, available_at, seen_at, note_at = order
    conditions, prices, pers, availables, seens = known[2], known[3], known[4], known[5], known[6]
    width = len(table.header)
    offers: list[Offer] = []
    problems: list[Problem] = []
    new, fill = Offer.__new__, object.__setattr__
    for row, cells in enumerate(table.rows, start=table.first_row):
        # The short way: every cell was seen before or is plain. Anything else goes the careful way below.
        try:
            part, supplier = cells[part_at], cells[supplier_at]
            if part not in part_ids or len(cells) != width:
                raise KeyError(part)
            fields = {
                "part": part,
                "supplier": supplier,
                "condition": conditions[cells[condition_at]],
                "price_cents": prices[cells[price_at]],
                "per": pers[cells[per_at]],
                "available": availables[cells[available_at]] if available_at >= 0 else None,
                "seen": seens[cells[seen_at]] if seen_at >= 0 else None,
                "note": cells[note_at] if note_at >= 0 else "",
                "row": row,
            }
            if supplier not in suppliers:
                raise KeyError(supplier)
        except (KeyError, IndexError):
            reading = _carefully(table, row, cells, columns, part_ids, problems)
            if reading is None:
                continue
            fields = reading
        # What Offer.model_construct does, without its look at every alias: it is most of the time of 10,000 rows.
        offer = new(Offer)
        fill(offer, "__dict__", fields)
        fill(offer, "__pydantic_fields_set__", _FIELDS)
        fill(offer, "__pydantic_extra__", None)
        fill(offer, "__pydantic_private__", None)
        offers.append(offer)
    return offers, problems


def _carefully(
    table: Table,
    row: int,
    cells: list[str],
    columns: list[_Cells],
    parts: Collection[str],
    problems: list[Problem],
) -> Reading | None:
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
    reading: Reading = {"row": row}
    sound = True
    for name, column in zip(COLUMNS, columns, strict=True):
        position = table.columns.get(name)
        cell = cells[position] if position is not None else ""
        try:
            reading["price_cents" if name == "price" else name] = column.read(cell)
        except ValueError as error:
            message, _, mend = str(error).partition("; ")
            crumbs = f"row {row} › {name}"
            problems.append(Problem(f"offer-{name}", table.at(row, name), crumbs, message, mend))
            sound = False
    if sound:
        date_like = _turned_into_a_date(table, row, str(reading["part"]), parts)
        if date_like is not None:
            problems.append(date_like)
            return None
    return reading if sound else None


def _fitted(cells: list[str], width: int, required: list[int]) -> list[str] | None:
    if len(cells) > width:
        return cells[:width] if not any(cell.strip() for cell in islice(cells, width, None)) else None
    return cells + [""] * (width - len(cells)) if len(cells) > max(required) else None


def _turned_into_a_date(table: Table, row: int, part: str, parts: Collection[str]) -> Problem | None:
    before = looks_like_a_date(part)
    if not before or part in parts:
        return None
    likely = next((known for text in before for known in parts if text in known), None)
    was = f'"{likely}"' if likely else f'"{before[0]}" or "{before[2]}"'
    message = f'is "{part}": a spreadsheet probably turned {was} into a date'
    mend = "format the column as text before typing, then write the id again; ids that begin with a letter are safe"
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
    spelled = text.replace(" ", "-").replace("_", "-")
    if spelled not in words:
        raise ValueError(f'is "{_short(cell)}"; {allowed_words(spelled, words)}')
    return Condition(spelled)


def _price(cell: str) -> Decimal | None:
    text = cell.strip()
    if not text:
        return None
    cents = Decimal(text) * 100 if _PLAIN_PRICE.fullmatch(text) else parse_money_cents(text)
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
        raise ValueError(
            f'is "{_short(cell)}"; write how many can be had, in whole `per`, or leave it blank for any number'
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
