"""Changes to a catalog's prices, worked out and shown before anything is written."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from costplan.files.csv_reader import parse_table
from costplan.files.difference import Edit, difference_text, joined
from costplan.files.problems import At, Problem, UserMistakeError, errors_of, in_order
from costplan.files.quantities import told_apart
from costplan.files.writing import NewContent
from costplan.model.amending import (
    Amendment,
    Book,
    Complaint,
    Key,
    by_key,
    cells_of,
    history_edits,
    key_of,
    misfits,
    offer_edits,
    open_book,
    open_history,
    open_offers,
    unknown_part,
    unknown_supplier,
)
from costplan.model.catalog import Kind, Offer, Part, Supplier
from costplan.model.history import HISTORY_FILE, PastOffer
from costplan.model.loading import OFFERS_FILE, load_catalog_with_places
from costplan.model.offers import COLUMNS, READERS, read_offers
from costplan.model.price_list import MAP_COLUMNS, MAP_FILE, ColumnMap, PriceList, read_maps, read_price_list
from costplan.model.ranges import ends_of
from costplan.sourcing.oddities import price_jumps
from costplan.sourcing.placing import NONE_NEAR, Placing, placing

MOST_GUESSES = 12
"""For so many unknown words the nearest known one is looked for; it takes long, and more are not read."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """What would be written: the files, the difference for a person, a sentence, and questions about it."""

    writes: tuple[NewContent, ...]
    difference: str
    summary: str
    questions: tuple[Problem, ...] = ()


@dataclass(frozen=True)
class OpenCatalog:
    """A catalog folder opened for changing; the offers are as offers.csv says, whatever jobs have paid."""

    folder: Path
    parts: Mapping[str, Part]
    kinds: Mapping[str, Kind]
    suppliers: Mapping[str, Supplier]
    book: Book
    offers: Sequence[Offer]

    def place(self, row: int, name: str) -> At:
        """Where a cell of offers.csv is."""
        table = self.book.table
        return table.at(row, name) if name in table.columns else At(table.path, row)


def open_catalog(folder: Path) -> OpenCatalog:
    """Open a folder for changing. Raises UserMistakeError with all that is wrong with its files."""
    loaded = load_catalog_with_places(folder)
    if loaded.catalog is None:
        raise UserMistakeError(errors_of(loaded.problems))
    catalog = loaded.catalog
    parts = {part.id: part for part in catalog.parts}
    book, offers = open_offers(folder / OFFERS_FILE, parts)
    return OpenCatalog(
        folder,
        parts,
        {kind.kind: kind for kind in catalog.kinds},
        {supplier.id: supplier for supplier in catalog.suppliers},
        book,
        offers,
    )


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which offer is meant: by its row, or by its part and as much as tells it from the part's other offers."""

    part: str
    supplier: str | None = None
    condition: str | None = None
    per: str | None = None
    row: int | None = None


def add_offer(
    opened: OpenCatalog, cells: Mapping[str, str], today: date, *, another: bool = False
) -> Proposal:
    """Propose a new offer. `cells` are as they would be written, by column; the day seen is today unless said.

    Raises UserMistakeError for cells that cannot be read, an unknown part or supplier, a unit that does not
    fit, and for a thing that has a price already unless `another` lot of it is meant.
    """
    fields, problems = _read({**dict.fromkeys(COLUMNS, ""), "seen": today.isoformat(), **cells})
    if problems:
        lost = lost_part(opened, cells["part"]) + unknown_supplier(cells["supplier"], opened.suppliers)
        raise UserMistakeError([*problems, *_complaints(lost)])
    offer = Offer.model_construct(**fields, row=0)
    problems = _complaints(
        lost_part(opened, offer.part)
        or misfits(offer, opened.parts, opened.kinds, opened.suppliers, guess=False)
    )
    same = by_key(opened.offers).get(key_of(offer), [])
    if same and not another:
        rows = _rows(same)
        message = f"is there already, in {rows} of {opened.book.path}"
        mend = "say reprice instead of add, or --another when it is a second lot"
        problems.append(_spoken("offer-there", "part", message, mend))
    if problems:
        raise UserMistakeError(problems)
    return _proposal(opened, Amendment({}, frozenset(), (offer,)), today)


def reprice_offer(opened: OpenCatalog, wanted: Wanted, cells: Mapping[str, str], today: date) -> Proposal:
    """Propose new cells (price, available, seen, note) for one offer; the old row goes to the history.

    Raises UserMistakeError when not exactly one offer is meant, or a cell cannot be read.
    """
    old = _the_one(opened, wanted)
    fields, problems = _read({"seen": today.isoformat(), **cells})
    if problems:
        raise UserMistakeError(problems)
    new = old.model_copy(update=fields)
    changed = {} if cells_of(new) == cells_of(old) else {old.row: new}
    return _proposal(opened, Amendment(changed, frozenset(), ()), today)


def remove_offer(opened: OpenCatalog, wanted: Wanted, today: date) -> Proposal:
    """Propose to take one offer out; its row goes to the history. Raises UserMistakeError as reprice does."""
    return _proposal(opened, Amendment({}, frozenset({_the_one(opened, wanted).row}), ()), today)


@dataclass(frozen=True)
class Import:
    """What to do with a supplier's list: how to read it, and what to say of rows that need not be taken.

    `only_known` leaves out rows of parts that the catalog does not have.
    """

    path: Path
    supplier: str
    columns: Mapping[str, str]
    always: Mapping[str, str]
    words: Mapping[tuple[str, str], str]
    only_known: bool = False


def _in_their_words(problem: Problem) -> Problem:
    """The problem; where a list has another word for a unit or a condition, with how to say what it means."""
    if problem.code not in ("offer-per", "offer-condition"):
        return problem
    name, means = ("per", "1000 ft") if problem.code == "offer-per" else ("condition", "new")
    mend = f"{problem.mend}; or say what their word means, as --word '{name}:THEIRS={means}'"
    return replace(problem, mend=mend)


def import_offers(opened: OpenCatalog, wish: Import, today: date) -> Proposal:
    """Propose all of a supplier's list, and the column map to remember, or nothing of either.

    A row's part is found by our id, by the supplier's own number, or by its standard name. Raises UserMistakeError
    with every bad row, those among them that fit no part or more than one.
    """
    if wish.supplier not in opened.suppliers:
        raise UserMistakeError(_complaints(unknown_supplier(wish.supplier, opened.suppliers)))
    maps, problems = read_maps(opened.folder)
    if errors_of(problems):
        raise UserMistakeError(problems)
    remembered = maps.get(wish.supplier, ColumnMap(wish.supplier))
    by = remembered.with_more(wish.columns, wish.always, wish.words)
    names = placing(opened.parts, opened.offers, wish.supplier)
    listed, problems = read_price_list(wish.path, by, frozenset(opened.parts), today.isoformat(), names.part)
    if listed is None:
        raise UserMistakeError(problems)
    offers = [offer for offer in listed.offers if not wish.only_known or offer.part in opened.parts]
    problems += _misfit_problems(opened, listed, offers, names)
    amendment, counts, found = _matched(opened, listed, offers, {*listed.columns, *by.always})
    problems += found
    if problems:
        raise UserMistakeError(in_order(map(_in_their_words, problems)))
    counts["left out"] = len(listed.offers) - len(offers)
    proposal = _proposal(opened, amendment, today)
    map_write, map_difference = _remembered(opened.folder, remembered, by)
    said = ", ".join(f"{count:,} {what}" for what, count in counts.items() if count) or "nothing in it"
    return replace(
        proposal,
        writes=(*map_write, *proposal.writes),
        difference="\n".join(filter(None, (map_difference, proposal.difference))),
        summary=f"{wish.path}: {said}",
        questions=(*proposal.questions, *_not_placed(listed, opened, names)),
    )


def _not_placed(listed: PriceList, opened: OpenCatalog, names: Placing) -> Iterator[Problem]:
    """The rows that were left out, each with the parts that may have been meant."""
    lost = [offer for offer in listed.offers if offer.part not in opened.parts]
    for number, offer in enumerate(lost):
        near = (
            names.nearest(offer.part)
            if number < MOST_GUESSES
            else "the parts are not looked through for more"
        )
        message = f'is "{offer.part}", left out; {near}'
        mend = _say_which(offer)
        problem = _row_problem(listed, offer, "list-not-placed", message, mend)
        yield replace(problem, severity="question")


def _say_which(offer: Offer) -> str:
    return f'if it is one of ours, say --word "part:{offer.part}=ID", or write their number beside that part in {OFFERS_FILE}'


def _misfit_problems(
    opened: OpenCatalog, listed: PriceList, offers: Sequence[Offer], names: Placing
) -> list[Problem]:
    problems = []
    known: dict[tuple[str, str], list[Complaint]] = {}
    guesses = 0
    for offer in offers:
        key = offer.part, offer.per
        if key not in known:
            guesses += offer.part not in opened.parts
            found = misfits(offer, opened.parts, opened.kinds, opened.suppliers, guess=False)
            near = names.nearest(offer.part) if guesses <= MOST_GUESSES else "its nearest are not looked for"
            known[key] = [_with_nearest(complaint, near, offer) for complaint in found]
        problems += [
            Problem(code, listed.at(offer.row, column), f"row {offer.row} › {column}", message, mend)
            for code, column, message, mend in known[key]
        ]
    return problems


def _with_nearest(complaint: Complaint, near: str, offer: Offer) -> Complaint:
    """An unknown part's complaint with those that may have been meant; any other as it is."""
    code, column, message, mend = complaint
    if code != "offer-part":
        return complaint
    return (
        code,
        column,
        f"{message}; {near}",
        f"{_say_which(offer)}; or {mend.partition('; or ')[2]}, or say --only-known",
    )


def _matched(
    opened: OpenCatalog, listed: PriceList, offers: Sequence[Offer], said: set[str]
) -> tuple[Amendment, Counter[str], list[Problem]]:
    """Which rows of ours each listed offer changes; those that say more than they should are problems."""
    ours = by_key(opened.offers)
    first_row: dict[Key, int] = {}
    changed: dict[int, Offer] = {}
    added: list[Offer] = []
    counts: Counter[str] = Counter({"repriced": 0, "added": 0, "as they were": 0, "older than ours": 0})
    problems = []
    fields = {"price_cents": "price"} | {
        name: name for name in ("seen", "available", "note", "their_number", "usable")
    }
    fields |= {"freight_cents": "freight"}
    for offer in offers:
        key = key_of(offer)
        if key in first_row:
            message = f'lists "{offer.part}" per {offer.per} again, as row {first_row[key]} does'
            problems.append(_row_problem(listed, offer, "list-twice", message, "keep one of the two rows"))
            continue
        first_row[key] = offer.row
        same = ours.get(key, [])
        if len(same) > 1:
            message = f'is "{offer.part}", which {_rows(same)} of {OFFERS_FILE} price alike'
            mend = "take all but one of those out first"
            problems.append(_row_problem(listed, offer, "list-unclear", message, mend))
        elif not same:
            added.append(offer)
            counts["added"] += 1
        else:
            old = same[0]
            update = {
                name: getattr(offer, name)
                for name, ours_ in fields.items()
                if ours_ in said | {"seen", "price"}
            }
            new = old.model_copy(update=update)
            if old.seen and new.seen and new.seen < old.seen:
                counts["older than ours"] += 1
            elif cells_of(new) == cells_of(old):
                counts["as they were"] += 1
            else:
                changed[old.row] = new
                counts["repriced"] += 1
    return Amendment(changed, frozenset(), tuple(added)), counts, problems


def _row_problem(listed: PriceList, offer: Offer, code: str, message: str, mend: str) -> Problem:
    return Problem(code, listed.at(offer.row, "part"), f"row {offer.row} › part", message, mend)


def _remembered(folder: Path, old: ColumnMap, new: ColumnMap) -> tuple[tuple[NewContent, ...], str]:
    """The map's file with what is new in it, and the difference; nothing when it says so already."""
    had, wants = old.rows(), new.rows()
    if had == wants:
        return (), ""
    book = open_book(folder / MAP_FILE, MAP_COLUMNS, MAP_COLUMNS, may_be_new=True)
    order = [book.table.columns[name] for name in MAP_COLUMNS]
    edits = []
    for number, cells in enumerate(book.table.rows, book.table.first_row):
        if len(cells) > order[0] and cells[order[0]].strip() == new.supplier:
            edits.append(Edit(number, book.row_texts[number - 1], None))
    for row in wants:
        line = [""] * len(book.table.header)
        for position, cell in zip(order, row, strict=True):
            line[position] = cell
        edits.append(Edit(book.last_row, None, joined(line, book.delimiter)))
    kept = {edit.before for edit in edits} & {edit.after for edit in edits}
    shown = [edit for edit in edits if (edit.before or edit.after) not in kept]
    return (book.amended(edits),), difference_text(MAP_FILE, shown)


def _proposal(opened: OpenCatalog, amendment: Amendment, today: date) -> Proposal:
    if amendment.empty:
        return Proposal((), "", "nothing to change")
    by_row = {offer.row: offer for offer in opened.offers}
    replaced = [by_row[row] for row in sorted({*amendment.changed, *amendment.removed})]
    edits = offer_edits(opened.book, opened.offers, amendment)
    write = opened.book.amended(edits)
    _prove(opened, amendment, write)
    writes = [write]
    if replaced:
        history = open_history(opened.folder)
        more = history_edits(history, replaced, today)
        writes[:0] = [history.amended(more)] if more else []
    shown = difference_text(OFFERS_FILE, edits)
    if replaced:
        shown += f"\n{HISTORY_FILE}, {len(replaced):,} old row{'s' if len(replaced) > 1 else ''} kept"
    past = [PastOffer(offer, today) for offer in replaced]
    questions = tuple(price_jumps(amendment.changed.values(), past, opened.place))
    counted = (
        (len(amendment.changed), "repriced"),
        (len(amendment.added), "added"),
        (len(amendment.removed), "taken out"),
    )
    return Proposal(
        tuple(writes), shown, ", ".join(f"{count:,} {what}" for count, what in counted if count), questions
    )


def _prove(opened: OpenCatalog, amendment: Amendment, write: NewContent) -> None:
    """Read the new text and compare: it must hold the offers meant and no others."""
    text = write.after.decode("utf-8").removeprefix("\ufeff")
    table = parse_table(text, str(write.path), COLUMNS, ())
    offers, problems = read_offers(table, frozenset(opened.parts))
    wanted = [
        amendment.changed.get(offer.row, offer)
        for offer in opened.offers
        if offer.row not in amendment.removed
    ]
    if errors_of(problems) or Counter(map(_said, offers)) != Counter(map(_said, [*wanted, *amendment.added])):
        raise RuntimeError(
            f"{write.path} would not read as it should; nothing was written: please report this"
        )


def _said(offer: Offer) -> tuple[object, ...]:
    return (
        *key_of(offer),
        offer.price_cents and (offer.price_cents, ends_of(offer.price_cents)),
        offer.available,
        offer.seen,
        offer.note,
        offer.their_number,
        offer.freight_cents,
        offer.usable,
    )


def _complaints(found: Sequence[Complaint]) -> list[Problem]:
    """Complaints of what the command line says."""
    return [_spoken(code, column, message, mend) for code, column, message, mend in found]


def _spoken(code: str, name: str, message: str, mend: str) -> Problem:
    return Problem(code, At("command line"), "PART" if name == "part" else f"--{name}", message, mend)


def _read(cells: Mapping[str, str]) -> tuple[dict[str, Any], list[Problem]]:
    """Cells of the command line understood, by the names of Offer's fields."""
    fields: dict[str, Any] = {}
    problems = []
    for name, cell in cells.items():
        try:
            fields["price_cents" if name == "price" else name] = READERS[name](cell)
        except ValueError as error:
            message, mend = told_apart(error)
            problems.append(_spoken(f"offer-{name}", name, message, mend))
    return fields, problems


def lost_part(opened: OpenCatalog, part: str) -> list[Complaint]:
    """The complaint of an id that no part has, with the parts that may have been meant; none when one has it."""
    near = Placing(opened.parts, {}).nearest(part)
    if part in opened.parts or near == NONE_NEAR:
        return unknown_part(part, opened.parts)
    message = f'is "{part}", but there is no such part; {near}'
    return [("offer-part", "part", message, "write one of these ids; or add it to parts.yaml first")]


def _the_one(opened: OpenCatalog, wanted: Wanted) -> Offer:
    if wanted.part not in opened.parts:
        raise UserMistakeError(_complaints(lost_part(opened, wanted.part)))
    tests: tuple[tuple[object, Callable[[Offer], object], str], ...] = (
        (wanted.supplier, lambda offer: offer.supplier, "supplier"),
        (wanted.condition, lambda offer: str(offer.condition), "condition"),
        (wanted.per, lambda offer: offer.per, "per"),
        (wanted.row, lambda offer: offer.row, "row"),
    )
    all_of_part = [offer for offer in opened.offers if offer.part == wanted.part]
    fit = [offer for offer in all_of_part if all(said is None or said == of(offer) for said, of, _ in tests)]
    if len(fit) == 1:
        return fit[0]
    shown = [
        f"row {offer.row}: {offer.supplier}, {offer.condition}, per {offer.per}"
        for offer in (fit or all_of_part)
    ]
    said = ", ".join(f"--{name} {word}" for word, _, name in tests if word is not None)
    if fit:
        message, mend = f'has {len(fit)} offers of "{wanted.part}" that fit', "say which: " + "; ".join(shown)
    elif all_of_part:
        message, mend = f'has no offer of "{wanted.part}" with {said}', "there are " + "; ".join(shown)
    else:
        message, mend = f'has no offer of "{wanted.part}" yet', "say add instead"
    raise UserMistakeError([Problem("offer-which", At(str(opened.book.path)), "", message, mend)])


def _rows(offers: Sequence[Offer]) -> str:
    numbers = [str(offer.row) for offer in offers]
    return f"row {numbers[0]}" if len(numbers) == 1 else f"rows {', '.join(numbers[:-1])} and {numbers[-1]}"
