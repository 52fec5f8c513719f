"""The sections of the shopping list besides its orders, each described once for text, workbook and page."""

from collections.abc import Iterable, Iterator
from itertools import groupby

from costplan.reports.own_shop import FROM_YOUR_OWN, OWN_NOTE, TO_YOUR_SHELF
from costplan.reports.questions import ASK_EVERYONE, ASK_HEAD
from costplan.reports.sections import NOTE_WIDTH, Field, Section, each_alone
from costplan.reports.shopping import ListedPart, Order, Piece, Reel, ShoppingList
from costplan.reports.substitutes import SurplusLimit
from costplan.reports.tables import wrapped

SOLD_OUT_NOTE = (
    "more than the line it replaces, with tax, cuts, fees, rejects, inspection and what is sold at the end; "
    "the rest of the list stays as it is; what a line says of marks and of damp places holds for what takes its place too"
)
ALL_NEW_NOTE = (
    "what an electrician may ask for, or else refuse to warrant; with cuts, tax and freight, delivery and other fees of orders "
    "apart"
)
MOST_NOTE = "the most one may cost before new is the better buy; rejects and your time to inspect are in it"
FEW = 3
"""What to take instead that text and pages show of a part; the workbook has all."""
PIECES = (
    Field("cable", 40, 50, 40),
    Field("from", 28, 26, 18),
    Field("pieces", 50, 44, 30),
    Field("left over", 0, 12, 9),
)


def own_section(listed: ShoppingList) -> Section:
    """What to take of the shop's own, and what to cut of it."""
    return Section(
        FROM_YOUR_OWN,
        wrapped(OWN_NOTE, NOTE_WIDTH),
        (
            Field("qty", 5, 6, 5, number=True),
            Field("what", 24, 50, 34),
            Field("from", 24, 36, 22),
            Field("for", 14, 30, 18),
            Field("cut to", 12, 12, 9, number=True),
            Field("left over", 9, 12, 9, number=True),
        ),
        each_alone(thing.cells for thing in listed.own),
        text="{head}\n{rows}\n{note}",
        ticked=True,
    )


def returned_section(listed: ShoppingList) -> Section:
    """What goes to the shelf when the work is done."""
    return Section(
        TO_YOUR_SHELF,
        "what nobody uses any more, and what is cut off",
        (Field("qty", 5, 6, 6, number=True), Field("what", 44, 60, 45), Field("from", 44, 60, 45)),
        each_alone(thing.cells for thing in listed.returned),
        ticked=True,
    )


def cut_section(orders: Iterable[Order], *, suppliers: bool = False) -> Section:
    """Every cable with its cuts; suppliers: with whom each is bought from."""
    named = (Field("supplier", 0, 28, 0),) if suppliers else ()
    return Section(
        "Cut list",
        "each piece unbroken",
        (*named, *PIECES),
        each_alone(
            (*([order.name] if suppliers else []), *cells)
            for order in orders
            for part in order.parts
            for cells in cut_rows(part)
        ),
        text="{head}, {note}\n{rows}",
        ticked=True,
    )


def all_new_section(listed: ShoppingList) -> Section:
    """One line: what the parts that are not new would cost new."""
    found = listed.all_new
    rows = []
    if found is not None:
        lines = ", ".join(f"{count} {condition}" for condition, count in found.conditions)
        lacking = (
            f"at least, since no new price is known of {', '.join(found.unpriced)}"
            if found.unpriced
            else "yes"
        )
        rows = [(lines, found.here_cents, found.new_cents, found.more_cents, lacking)]
    return Section(
        "All of it new",
        ALL_NEW_NOTE,
        (
            Field("lines that are not new", 30, 40, 30),
            Field("here", 0, 14, 12, number=True),
            Field("new", 0, 14, 12, number=True),
            Field("more", 0, 14, 12, number=True),
            Field("complete", 30, 60, 34),
        ),
        each_alone(rows),
        text="{head} ({note})\n{rows}",
    )


def most_section(listed: ShoppingList) -> Section:
    """Up to which price surplus pays."""
    return Section(
        "What used parts may cost",
        MOST_NOTE,
        (
            Field("what", 40, 48, 38),
            Field("condition", 0, 14, 12),
            Field("per", 0, 16, 13),
            Field("at most", 0, 14, 10, number=True),
            Field("against", 50, 60, 27),
        ),
        each_alone(
            (part.what, limit.condition, limit.unit, _limit(limit), limit.against)
            for part in listed.parts
            for limit in part.most
        ),
        text="{head} ({note})\n{rows}",
    )


def _limit(limit: SurplusLimit) -> str | int:
    return limit.most_cents if limit.most_cents is not None else no_limit_words(limit)


def no_limit_words(limit: SurplusLimit) -> str:
    """Why there is no price up to which surplus pays."""
    return "not even free" if limit.against else "nothing new known"


def sold_out_section(listed: ShoppingList) -> Section:
    """What to take instead, part by part."""
    return Section(
        "If it is sold out",
        f"extra: {SOLD_OUT_NOTE}",
        (
            Field("sold out", 36, 44, 25),
            Field("take instead", 46, 48, 30),
            Field("at", 22, 28, 15),
            Field("qty", 0, 14, 9, number=True),
            Field("price", 0, 10, 7, number=True),
            Field("extra", 0, 10, 7, number=True),
            Field("note", 26, 30, 7),
        ),
        tuple(rows for part in listed.parts if (rows := tuple(_instead(part)))),
        text="{head} ({note})\n{rows}",
        few=FEW,
    )


def _instead(part: ListedPart) -> Iterator[tuple[str | int, ...]]:
    name = f"{part.what}, {part.condition}"
    for entry in part.substitutes:
        what, amount = f"{entry.what}, {entry.condition}", f"{entry.quantity} {entry.unit}"
        yield name, what, entry.supplier, amount, entry.price_cents, entry.extra_cents, entry.note
    if not part.substitutes and part.offer_row:
        yield name, "nothing else listed will do", "", "", "", "", ""


def questions_section(listed: ShoppingList) -> Section:
    """What to ask by phone, with room for the answer."""
    asked = [(entry.whom, entry.what, entry.why, "") for entry in listed.questions]
    of_all = [("every supplier", ASK_EVERYONE, "", "")] if listed.orders else []
    return Section(
        ASK_HEAD,
        "",
        (
            Field("whom", 0, 28, 15),
            Field("ask", 0, 70, 42),
            Field("why", 0, 50, 27),
            Field("answer", 0, 24, 16, blank=True),
        ),
        each_alone([*asked, *of_all]),
    )


def cut_rows(part: ListedPart) -> Iterator[tuple[str, str, str, str]]:
    """Cable, where it is cut from, pieces with machines, left over; reels cut alike are one row."""
    name = part.described
    if part.pieces:
        yield name, "cut by the supplier, by the foot", _for(part.pieces), ""
    for _, alike in groupby(part.reels, key=lambda reel: reel.pieces):
        reels = list(alike)
        left = f"{reels[0].left_over_ft} ft" if reels[0].left_over_ft else "nothing"
        each = " each" if len(reels) > 1 else ""
        yield name, _reels_name(part, reels), _for(reels[0].pieces) or "nothing", left + each


def _reels_name(part: ListedPart, reels: list[Reel]) -> str:
    """`reel of 250 ft, no. 2 to 3 of 5, each`."""
    if len(reels) == 1:
        return f"{part.unit}, no. {reels[0].number} of {len(part.reels)}"
    return f"{part.unit}, no. {reels[0].number} to {reels[-1].number} of {len(part.reels)}, each"


def _for(pieces: tuple[Piece, ...]) -> str:
    return "; ".join(
        f"{piece.count} of {piece.length_ft} ft"
        + (f" for {', '.join(piece.machines)}" if piece.machines else "")
        for piece in pieces
    )
