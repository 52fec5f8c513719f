"""Price lists as suppliers send them, read by a column map that the catalog remembers.

price_lists.csv holds the maps, one row a fact: a field of ours is found in a column of theirs; a word of theirs
in it means one of ours; or, without a column, the field always says the same.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from costplan.files.csv_reader import Rows, Table, parse_rows, read_table, shape_problem
from costplan.files.problems import At, Problem, allowed_words, column_letter, nearest
from costplan.files.quantities import told_apart
from costplan.files.text_reader import read_text
from costplan.model.catalog import Offer
from costplan.model.offers import COLUMNS, READERS, check_offers

MAP_FILE = "price_lists.csv"
MAP_COLUMNS = ("supplier", "field", "column", "word", "means")
FIELDS = tuple(name for name in COLUMNS if name != "supplier")
"""What a price list can say; the supplier is the one that sent it."""
NEEDED = ("part", "condition", "price", "per")
Place = Callable[[str, str], str]
"""The id of the part that a row means, from its part and their number as written; what was written if not certain."""


@dataclass(frozen=True)
class ColumnMap:
    """How one supplier's lists are read.

    `columns`: our field to their header; `always`: our field to what it always says; `words`: our field and
    their word in lower case to our word.
    """

    supplier: str
    columns: Mapping[str, str] = field(default_factory=dict)
    always: Mapping[str, str] = field(default_factory=dict)
    words: Mapping[tuple[str, str], str] = field(default_factory=dict)

    def with_more(
        self,
        columns: Mapping[str, str],
        always: Mapping[str, str],
        words: Mapping[tuple[str, str], str],
    ) -> "ColumnMap":
        """The map with what is said anew winning over what it says."""
        kept_columns = {name: said for name, said in self.columns.items() if name not in always}
        kept_always = {name: said for name, said in self.always.items() if name not in columns}
        lower = {(name, word.strip().lower()): means for (name, word), means in words.items()}
        return replace(
            self,
            columns={**kept_columns, **columns},
            always={**kept_always, **always},
            words={**self.words, **lower},
        )

    def rows(self) -> list[tuple[str, ...]]:
        """The map as rows of price_lists.csv."""
        facts: list[tuple[str, ...]] = [
            (self.supplier, name, said, "", "") for name, said in self.columns.items()
        ]
        facts += [(self.supplier, name, "", "", said) for name, said in self.always.items()]
        facts += [
            (self.supplier, name, self.columns.get(name, ""), word, means)
            for (name, word), means in self.words.items()
        ]
        return facts


def read_maps(folder: Path) -> tuple[dict[str, ColumnMap], list[Problem]]:
    """The maps a catalog remembers by supplier, and what is wrong with them; none when there is no file yet."""
    path = folder / MAP_FILE
    if not path.exists():
        return {}, []
    table = read_table(path, MAP_COLUMNS, MAP_COLUMNS)
    problems = list(table.problems)
    maps: dict[str, ColumnMap] = {}
    width = len(table.header)
    for number, cells in enumerate(table.rows, table.first_row):
        if not any(cell.strip() for cell in cells):
            continue
        full = [*cells, *[""] * (width - len(cells))]
        supplier, name, column, word, means = (full[table.columns[said]].strip() for said in MAP_COLUMNS)
        if name not in FIELDS:
            crumbs = f"row {number} › field"
            message, mend = f'is "{name}", no field of an offer', allowed_words(name, FIELDS)
            problems.append(Problem("map-field", table.at(number, "field"), crumbs, message, mend))
            continue
        known = maps.setdefault(supplier, ColumnMap(supplier))
        if word:
            maps[supplier] = replace(known, words={**known.words, (name, word.lower()): means})
        elif column:
            maps[supplier] = replace(known, columns={**known.columns, name: column})
        else:
            maps[supplier] = replace(known, always={**known.always, name: means})
    return maps, problems


@dataclass(frozen=True)
class PriceList:
    """A supplier's list in our terms: offers with the rows of their file.

    `columns` gives for each field of ours the position of its column in their file and the header's word.
    """

    offers: Sequence[Offer]
    path: str
    columns: Mapping[str, tuple[int, str]]

    def at(self, row: int, name: str) -> At:
        """Where their file says a field of ours; the row alone when it does not."""
        if name not in self.columns:
            return At(self.path, row)
        position, header = self.columns[name]
        return At(self.path, row, position + 1, header)


def read_price_list(
    path: Path, by: ColumnMap, parts: frozenset[str], seen: str, place: Place
) -> tuple[PriceList | None, list[Problem]]:
    """A supplier's file read by a map; None with an error that leaves nothing to read.

    A field without a column or a fixed word is taken from the column of the same name. `seen` is the day, as
    year-month-day, of prices that state none. `place` says which part a row means.
    """
    file = read_text(path)
    if file.text is None:
        return None, list(file.problems)
    rows = parse_rows(file.text, str(path), [*(said.lower() for said in by.columns.values()), *FIELDS])
    if rows.problems:
        return None, list(rows.problems)
    positions, problems = _positions(rows, str(path), by)
    problems += _constant_problems(by)
    if problems:
        return None, problems
    always = {"seen": seen, **by.always, "supplier": by.supplier}
    always = {name: said for name, said in always.items() if name not in positions}
    table, odd = _in_our_terms(rows, str(path), positions, always, by, place)
    offers, found = check_offers(table, parts)
    shown = {name: (position, rows.header[position]) for name, position in positions.items()}
    listed = PriceList(offers, str(path), shown)
    blank = [
        Problem(
            "offer-price",
            listed.at(offer.row, "price"),
            f"row {offer.row} › price",
            "is blank",
            "write the price, or take the row out of the list",
        )
        for offer in offers
        if offer.price_cents is None
    ]
    found = [replace(problem, at=listed.at(problem.at.line, problem.at.header)) for problem in found]
    return listed, [*odd, *found, *blank]


def _header_below(rows: Rows, by: ColumnMap) -> int | None:
    """The row, among the first few, that has all columns that are asked for, below a title; None where there is none."""
    asked = {said.strip().lower() for said in by.columns.values()}
    listed = Table("", rows.header, {}, rows.cells, rows.odd_rows, rows.first_row, ()).rows
    for number, row in enumerate(listed[:HEADER_WITHIN], start=rows.first_row):
        if asked <= {cell.strip().lower() for cell in row}:
            return number
    return None


HEADER_WITHIN = 20
"""So many rows are looked through for a header below a title."""


def _positions(rows: Rows, path: str, by: ColumnMap) -> tuple[dict[str, int], list[Problem]]:
    """Where each field of ours is in their file."""
    headers = [name.lower() for name in rows.header]
    at = At(path, rows.first_row - 1)
    positions: dict[str, int] = {}
    problems = []
    for name, said in by.columns.items():
        where = [index for index, header in enumerate(headers) if header == said.strip().lower()]
        if len(where) == 1:
            positions[name] = where[0]
        elif where:
            letters = ", ".join(column_letter(index + 1) for index in where)
            message = f'"{said}" stands in the header more than once, in columns {letters}'
            problems.append(Problem("map-column", at, name, message, "give one of them another name"))
        else:
            message = f'is to be found in the column "{said}", but the header has none'
            mend = allowed_words(said, filter(None, rows.header))
            below = _header_below(rows, by)
            mend = f"row {below} looks like the header: delete the rows above it" if below else mend
            problems.append(Problem("map-column", at, name, message, mend))
    for name in FIELDS:
        if name not in by.columns and name not in by.always and headers.count(name) == 1:
            positions[name] = headers.index(name)
    known = {*positions, *by.always, *by.columns}
    for name in NEEDED:
        if name not in known and not (name == "part" and "their_number" in known):
            guess = nearest(name, filter(None, rows.header))
            hint = f'; is it --map {name}="{guess}"?' if guess else ""
            message = f"has no column in this list; the header is: {', '.join(rows.header)}"
            mend = f"say --map {name}=COLUMN, or --always {name}=WORD when every row says the same{hint}"
            problems.append(Problem("map-missing", at, name, message, mend))
    return positions, problems


def _constant_problems(by: ColumnMap) -> list[Problem]:
    problems = []
    for name, said in by.always.items():
        try:
            READERS[name](said)
        except ValueError as error:
            message, mend = told_apart(error)
            problems.append(Problem("map-always", At(MAP_FILE), f"always {name}", message, mend))
    for (name, word), means in by.words.items():
        try:
            READERS[name](means)
        except ValueError as error:
            message, mend = told_apart(error)
            problems.append(Problem("map-word", At(MAP_FILE), f'{name}, "{word}"', message, mend))
    return problems


def _in_our_terms(
    rows: Rows,
    path: str,
    positions: Mapping[str, int],
    always: Mapping[str, str],
    by: ColumnMap,
    place: Place,
) -> tuple[Table, list[Problem]]:
    """Their rows as rows of COLUMNS with our words in them; rows with nothing in them stay blank."""
    theirs = Table(path, rows.header, {}, rows.cells, rows.odd_rows, rows.first_row, ())
    width, furthest = (
        len(rows.header),
        max((positions[name] for name in NEEDED if name in positions), default=0),
    )
    words: dict[str, dict[str, str]] = {name: {} for name in COLUMNS}
    for (name, word), means in by.words.items():
        words[name][word] = means
    problems = []
    ours: list[list[str]] = []
    blank: dict[int, list[str]] = {}
    for index, cells in enumerate(theirs.rows):
        if not any(map(str.strip, cells)):
            blank[index] = []
            continue
        if len(cells) <= furthest or any(map(str.strip, cells[width:])):
            problems.append(shape_problem(theirs, index + rows.first_row, cells))
            blank[index] = []
            continue
        row = []
        for name in COLUMNS:
            position = positions.get(name)
            said = (
                always.get(name, "") if position is None else cells[position] if position < len(cells) else ""
            )
            row.append(words[name].get(said.strip().lower(), said) if words[name] else said)
        part, number = COLUMNS.index("part"), COLUMNS.index("their_number")
        row[part] = place(row[part].strip(), row[number].strip())
        ours.append(row)
    columns: tuple[Sequence[str], ...] = tuple(zip(*ours, strict=True)) if ours else ((),) * len(COLUMNS)
    named = {name: index for index, name in enumerate(COLUMNS)}
    return Table(path, COLUMNS, named, columns, blank, rows.first_row, ()), problems
