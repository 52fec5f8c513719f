"""history.csv: the offers that were replaced or taken out, each with the day that happened."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from costplan.files.csv_reader import read_table
from costplan.files.problems import Problem
from costplan.files.quantities import MisreadError, told_apart
from costplan.model.catalog import Offer
from costplan.model.offers import COLUMNS, READERS, REQUIRED, read_offers

HISTORY_FILE = "history.csv"
LATER_COLUMNS = ("their_number", "freight", "usable")
"""Columns that came after files with a history were written."""
HISTORY_COLUMNS = (*(name for name in COLUMNS if name not in LATER_COLUMNS), "replaced", *LATER_COLUMNS)
HISTORY_REQUIRED = (*REQUIRED, "replaced")


@dataclass(frozen=True, slots=True)
class PastOffer:
    """An offer as it was; `replaced` is the day another took its place. Its row is the one in history.csv."""

    offer: Offer
    replaced: date


def read_history(folder: Path) -> tuple[list[PastOffer], list[Problem]]:
    """The past offers of a catalog folder in the order of the file, none when there is no history yet."""
    path = folder / HISTORY_FILE
    if not path.exists():
        return [], []
    table = read_table(path, HISTORY_COLUMNS, HISTORY_REQUIRED)
    problems = list(table.problems)
    if not table.columns:
        return [], problems
    parts = {cell.strip() for cell in table.cells[table.columns["part"]]}
    offers, found = read_offers(table, parts)
    problems += found
    past = []
    position = table.columns["replaced"]
    for offer in offers:
        cells = table.rows[offer.row - table.first_row]
        cell = cells[position] if position < len(cells) else ""
        try:
            day = READERS["seen"](cell)
            if day is None:
                raise MisreadError("is blank", "write the day the offer was replaced: 2025-06-20")
        except ValueError as error:
            message, mend = told_apart(error)
            crumbs = f"row {offer.row} › replaced"
            problems.append(
                Problem("history-replaced", table.at(offer.row, "replaced"), crumbs, message, mend)
            )
        else:
            past.append(PastOffer(offer, day))
    return past, problems


@dataclass(frozen=True, slots=True)
class Price:
    """One price of a part over time: `until` is None for what is asked today."""

    offer: Offer
    until: date | None


def prices_over_time(part: str, offers: Iterable[Offer], past: Iterable[PastOffer]) -> list[Price]:
    """All prices of a part, by supplier, condition and unit, and in each the oldest first."""
    found = [Price(entry.offer, entry.replaced) for entry in past if entry.offer.part == part]
    found += [Price(offer, None) for offer in offers if offer.part == part]
    return sorted(
        found,
        key=lambda price: (
            price.offer.supplier,
            str(price.offer.condition),
            price.offer.per,
            price.until or date.max,
            price.offer.seen or date.min,
            price.offer.row,
        ),
    )
