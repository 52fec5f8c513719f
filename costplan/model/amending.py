"""offers.csv amended: rows repriced, added or taken out, each old row kept in history.csv, all else as written."""

import csv
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

from costplan.files.csv_reader import Table, parse_rows, parse_table
from costplan.files.difference import Edit, edited, joined, row_texts, with_cells
from costplan.files.problems import At, Problem, UserMistakeError, allowed_words, errors_of, nearest
from costplan.files.text_reader import read_text
from costplan.files.writing import NewContent
from costplan.model.catalog import Kind, Offer, Part, Supplier
from costplan.model.history import HISTORY_COLUMNS, HISTORY_FILE, HISTORY_REQUIRED
from costplan.model.offers import COLUMNS, REQUIRED, read_offers
from costplan.model.ranges import ends_of

_MARK = "\ufeff"
_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")
Key = tuple[str, str, str, str]


@dataclass(frozen=True, slots=True)
class Book:
    """A CSV file as it is on the disk: `content` its bytes, None when there is no file; `text` without a mark."""

    path: Path
    content: bytes | None
    text: str
    delimiter: str
    table: Table
    row_texts: list[str]

    def amended(self, edits: Sequence[Edit]) -> NewContent:
        """The file with the edits made and all else as it is."""
        mark = _MARK if (self.content or b"").startswith(_MARK.encode()) else ""
        return NewContent(
            self.path, self.content, (mark + edited(self.text, edits, self.delimiter)).encode("utf-8")
        )

    @property
    def last_row(self) -> int:
        """The number of the last row with anything in it."""
        return max((row for row, text in enumerate(self.row_texts, 1) if text.strip()), default=0)


def open_book(path: Path, known: Sequence[str], required: Sequence[str], *, may_be_new: bool = False) -> Book:
    """The file as it is now; with `may_be_new` one that does not exist is a header and nothing else.

    Raises UserMistakeError for what is wrong with it as a table.
    """
    try:
        content = path.read_bytes() if path.exists() or not may_be_new else None
    except OSError:
        # The reader below says it in words.
        content = None
    if content is None and may_be_new and not path.exists():
        text = joined(known, ",") + "\n"
        return Book(
            path, None, text, ",", parse_table(text, str(path), known, required), row_texts(text, ",")
        )
    file = read_text(path)
    if file.text is None:
        raise UserMistakeError(file.problems)
    table = parse_table(file.text, str(path), known, required)
    if errors_of(table.problems):
        raise UserMistakeError(table.problems)
    delimiter = parse_rows(file.text, str(path), known).delimiter
    try:
        texts = row_texts(file.text, delimiter)
    except csv.Error as error:  # pragma: no cover - the table was read by the same rules
        raise UserMistakeError(
            [Problem("table-quote", At(str(path)), "", str(error), "close the quote, or double it")]
        ) from error
    mark = _MARK if file.had_mark else ""
    return Book(path, (mark + file.text).encode("utf-8"), file.text, delimiter, table, texts)


def open_offers(path: Path, parts: Iterable[str]) -> tuple[Book, list[Offer]]:
    """offers.csv with its offers. Raises UserMistakeError when any row of it is wrong."""
    book = open_book(path, COLUMNS, REQUIRED)
    offers, problems = read_offers(book.table, set(parts))
    if errors_of(problems):
        raise UserMistakeError(problems)
    return book, offers


def key_of(offer: Offer) -> Key:
    """What makes two rows prices of the same thing: part, supplier, condition and unit."""
    return offer.part, offer.supplier, str(offer.condition), offer.per


def by_key(offers: Iterable[Offer]) -> dict[Key, list[Offer]]:
    """Offers of the same thing together."""
    found: dict[Key, list[Offer]] = defaultdict(list)
    for offer in offers:
        found[key_of(offer)].append(offer)
    return dict(found)


@dataclass(frozen=True, slots=True)
class Amendment:
    """What shall become of offers.csv: `changed` by row, `removed` rows, `added` offers in order."""

    changed: Mapping[int, Offer]
    removed: frozenset[int]
    added: tuple[Offer, ...]

    @property
    def empty(self) -> bool:
        """Whether nothing shall change."""
        return not (self.changed or self.removed or self.added)


def offer_edits(book: Book, offers: Sequence[Offer], amendment: Amendment) -> list[Edit]:
    """The rows of offers.csv to change. A new offer goes below the last one of its part, else to the end.

    A column that the header lacks and a change needs is put at its end.
    """
    by_row = {offer.row: offer for offer in offers}
    written = [cells_of(offer) for offer in amendment.added]
    needed = [name for cells in written for name, cell in cells.items() if cell]
    for row, offer in amendment.changed.items():
        needed += [name for name, cell in cells_of(offer).items() if cell != cells_of(by_row[row])[name]]
    columns, edits = _columns(book, needed)
    for row, offer in sorted(amendment.changed.items()):
        old, new = cells_of(by_row[row]), cells_of(offer)
        cells = {name: cell for name, cell in new.items() if cell != old[name]}
        before = book.row_texts[row - 1]
        placed = {columns[name]: cell for name, cell in cells.items()}
        edits.append(Edit(row, before, with_cells(before, placed, book.delimiter)))
    for row in sorted(amendment.removed):
        edits.append(Edit(row, book.row_texts[row - 1], None))
    last_of_part = {offer.part: offer.row for offer in offers}
    for offer, cells in zip(amendment.added, written, strict=True):
        text = _line(book, columns, cells)
        edits.append(Edit(last_of_part.get(offer.part, book.last_row), None, text))
    return sorted(edits, key=lambda edit: (edit.row, edit.before is None))


def history_edits(history: Book, replaced: Iterable[Offer], today: date) -> list[Edit]:
    """New rows of history.csv for offers replaced today; those it has already are not written again.

    A write that was cut short after history.csv leaves such rows.
    """
    present = set(history.row_texts)
    rows = [{**cells_of(offer), "replaced": today.isoformat()} for offer in replaced]
    columns, edits = _columns(history, [name for cells in rows for name, cell in cells.items() if cell])
    for cells in rows:
        text = _line(history, columns, cells)
        if text not in present:
            edits.append(Edit(history.last_row, None, text))
    return edits if any(edit.before is None for edit in edits) else []


def open_history(folder: Path) -> Book:
    """history.csv of a catalog folder, empty when there is none yet."""
    return open_book(folder / HISTORY_FILE, HISTORY_COLUMNS, HISTORY_REQUIRED, may_be_new=True)


def cells_of(offer: Offer) -> dict[str, str]:
    """An offer as it is written in a row, by column."""
    return {
        "part": _safe(offer.part),
        "supplier": _safe(offer.supplier),
        "condition": str(offer.condition),
        "price": "" if offer.price_cents is None else price_text(offer.price_cents),
        "per": offer.per,
        "available": "" if offer.available is None else str(offer.available),
        "seen": "" if offer.seen is None else offer.seen.isoformat(),
        "note": _safe(offer.note),
        "their_number": _safe(offer.their_number),
        "freight": price_text(offer.freight_cents) if offer.freight_cents else "",
        "usable": "" if offer.usable is None else f"{(offer.usable * 100).normalize():f} %",
    }


def price_text(price_cents: Decimal) -> str:
    """Money as it is written in offers.csv: 1250 is `12.50`, a range `[10.00/12.50/20.00]`; parts of a cent are kept."""
    if ends := ends_of(price_cents):
        return f"[{'/'.join(map(price_text, ends))}]"
    money = (price_cents / 100).normalize()
    exponent = money.as_tuple().exponent
    return f"{money:f}" if isinstance(exponent, int) and exponent < -2 else f"{money:.2f}"


Complaint = tuple[str, str, str, str]
"""A code, the column, the message and the mend."""


def misfits(
    offer: Offer,
    parts: Mapping[str, Part],
    kinds: Mapping[str, Kind],
    suppliers: Mapping[str, Supplier],
    *,
    guess: bool = True,
) -> list[Complaint]:
    """What keeps an offer out of the catalog; `guess` looks for the known word that was meant, which is slow."""
    found = unknown_part(offer.part, parts, guess=guess) + unknown_supplier(offer.supplier, suppliers)
    part = parts.get(offer.part)
    if part is not None and part.kind in kinds:
        counted = kinds[part.kind].sold == "each"
        if counted != (offer.by_the_foot is None and offer.piece_length_ft is None):
            allowed = (
                "each, box of 25, pack of 10, bag of 100, lot of 40"
                if counted
                else "ft, 100 ft, 1000 ft, reel of 250 ft, piece of 47 ft"
            )
            sold = "counted" if counted else "sold by length"
            message = f'"{offer.part}" is priced per "{offer.per}", but a {part.kind} is {sold}'
            found.append(("offer-per-unfit", "per", message, f"allowed for it: {allowed}"))
    return found


def unknown_part(part: str, parts: Collection[str], *, guess: bool = True) -> list[Complaint]:
    """The complaint of an id that no part has, none when one has it."""
    if part in parts:
        return []
    allowed = _or(part, parts) if guess else "allowed: the ids in parts.yaml; or"
    message = f'is "{part}", but there is no such part'
    return [("offer-part", "part", message, f"{allowed} add it to parts.yaml first")]


def unknown_supplier(supplier: str, suppliers: Collection[str]) -> list[Complaint]:
    """The complaint of an id that no supplier has, none when one has it."""
    if supplier in suppliers:
        return []
    message = f'is "{supplier}", but there is no such supplier'
    mend = f"{_or(supplier, suppliers)} add it to suppliers.yaml first"
    return [("offer-supplier", "supplier", message, mend)]


def _or(word: str, words: Collection[str]) -> str:
    """The allowed words, and how to go on to what may be done in their place."""
    return f"{allowed_words(word, words)}{'; or' if nearest(word, words) is None else ' If not,'}"


def _safe(text: str) -> str:
    """Text that a spreadsheet takes for no formula; the blank in front is skipped when it is read."""
    return f" {text}" if text.startswith(_FORMULA_SIGNS) else text


def _columns(book: Book, needed: Iterable[str]) -> tuple[dict[str, int], list[Edit]]:
    """Where each column is, those that are needed and lacking at the end; the edit of the header that puts them there."""
    columns = dict(book.table.columns)
    lacking = [name for name in dict.fromkeys(needed) if name not in columns]
    if not lacking:
        return columns, []
    columns |= {name: len(book.table.header) + number for number, name in enumerate(lacking)}
    row = book.table.first_row - 1
    before = book.row_texts[row - 1]
    return columns, [
        Edit(row, before, with_cells(before, {columns[name]: name for name in lacking}, book.delimiter))
    ]


def _line(book: Book, columns: Mapping[str, int], cells: Mapping[str, str]) -> str:
    """A new row with these cells, as wide as the header will be."""
    line = [""] * max(len(book.table.header), max(columns.values()) + 1)
    for name, cell in cells.items():
        if cell:
            line[columns[name]] = cell
    return joined(line, book.delimiter)
