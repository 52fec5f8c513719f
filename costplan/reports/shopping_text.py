"""The shopping list for a terminal and as CSV."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from costplan.model.money import format_cents, format_price
from costplan.reports.data_text import csv_text, money
from costplan.reports.inspection import Checks
from costplan.reports.own_shop import DO_NOT_CUT, FROM_YOUR_OWN, TO_YOUR_SHELF, OwnThing
from costplan.reports.questions import ASK_EVERYONE, ASK_HEAD
from costplan.reports.sections import section_text
from costplan.reports.shopping import ListedPart, Order, Piece, ShoppingList
from costplan.reports.shopping_sections import (
    all_new_section,
    cut_rows,
    cut_section,
    most_section,
    no_limit_words,
    own_section,
    returned_section,
    sold_out_section,
)
from costplan.reports.substitutes import SurplusLimit
from costplan.reports.tables import filled, table, wrapped

MOST_NAMES = 3
NOTHING_TO_BUY = "Nothing to buy"
MORE = "More: --all prints what used parts may cost, and what to take instead of what is sold out."


def shopping_text(listed: ShoppingList, *, whole: bool = True) -> str:
    """The list as tables: orders, cut lists, what to ask and inspect; whole: what used parts may cost, what else will do."""
    prices = [section_text(section) for section in (most_section(listed), sold_out_section(listed))]
    parts = [
        _head(listed),
        section_text(own_section(listed)),
        *(_order(order, listed.currency) for order in listed.orders),
        _orders(listed),
        section_text(all_new_section(listed)),
        section_text(cut_section(listed.orders)),
        section_text(returned_section(listed)),
        _questions(listed),
        _inspections(listed),
        *(prices if whole else (MORE,) if any(prices) else ()),
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def _head(listed: ShoppingList) -> str:
    invented = f"  ({listed.invented})" if listed.invented else ""
    return "\n".join(
        [
            f"Shopping list for plan {listed.rank}, {listed.shop}{invented}",
            f"{listed.today}, {listed.currency}; {listed.title}",
            *map(filled, listed.left_out),
        ]
    )


def _order(order: Order, currency: str) -> str:
    rows = []
    for part in order.parts:
        rows.append(
            [
                str(part.quantity),
                part.unit,
                wrapped(
                    "; ".join(filter(None, (part.asked_for + cut_words(part), part.pairs, part.said))), 56
                ),
                part.condition,
                format_price(part.unit_price_cents),
                format_cents(part.amount_cents),
                wrapped(for_words(part.machines), 30),
            ]
        )
    for words, cents in order_extras(order):
        rows.append(["", "", words, "", "", format_cents(cents), ""])
    rows.append(["", "", f"total, {currency}", "", "", format_cents(order.total_cents), ""])
    text = table(["qty", "per", "what", "condition", "price", "amount", "for"], rows, {0, 4, 5})
    hints = "".join(f"\n  {hint}" for hint in order.hints)
    heading = f"Take from: {order.name}" if order.own_shelf else f"Buy at: {order.name}"
    reached = f"\n{order.terms.reached}" if order.terms.reached else ""
    return f"{heading}{reached}\n{text}{hints}"


def order_extras(order: Order) -> Iterator[tuple[str, int]]:
    """What an order costs besides its goods; what is nothing is left out."""
    for words, cents in (
        ("cut charges", order.cut_cents),
        (order.terms.on_goods_words, order.tax_cents),
        ("freight", order.freight_cents),
        *order.charges.paid,
    ):
        if cents:
            yield words, cents


def _orders(listed: ShoppingList) -> str:
    if not listed.orders:
        return NOTHING_TO_BUY
    rows = [[order.name, format_cents(order.total_cents)] for order in listed.orders]
    rows.append(["total", format_cents(listed.total_cents)])
    return "All orders\n" + table(["supplier", "amount"], rows, {1})


def cut_words(part: ListedPart) -> str:
    """Lengths to cut and what is left over, in brackets; empty when nothing is cut."""
    words = []
    if part.pieces:
        words.append(f"cut {pieces_words(part.pieces)}")
    if part.reels:
        words.append("cuts below")
    if part.spare:
        words.append(f"{part.spare} {'ft' if part.spare_unit == 'ft' else 'of them'} left over")
    if part.more:
        words.append(part.more)
    return f" ({'; '.join(words)})" if words else ""


def pieces_words(pieces: tuple[Piece, ...]) -> str:
    """`2 of 30 ft, 1 of 25 ft`."""
    return ", ".join(f"{piece.count} of {piece.length_ft} ft" for piece in pieces)


def _questions(listed: ShoppingList) -> str:
    lines = [_bullet(entry.words) for entry in listed.questions]
    lines += [_bullet(ASK_EVERYONE)] if listed.orders else []
    return f"{ASK_HEAD}\n" + "\n".join(lines) if lines else ""


def _inspections(listed: ShoppingList) -> str:
    blocks = []
    for checks, parts in listed.inspections:
        lines = [_bullet(inspected_words(order, part), "  ") for order, part in parts]
        for words, entries in check_groups(checks):
            lines += [_bullet(f"{words}: {entry}", "    [ ] ") for entry in entries]
        blocks.append("\n".join(lines))
    return (
        "Before paying for used parts (common practice, no source)\n" + "\n\n".join(blocks) if blocks else ""
    )


def check_groups(checks: Checks) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The checks with what to do with each."""
    return (("look", checks.look), ("test", checks.test), ("walk away", checks.walk_away))


def inspected_words(order: Order, part: ListedPart) -> str:
    """A surplus line in one phrase: how many, what, where, and the most to pay."""
    most = "".join(
        f"; pay at most {format_cents(limit.most_cents)} {per_words(limit.unit)}"
        for limit in part.most
        if limit.most_cents is not None and limit.condition == part.condition
    )
    unit = "" if part.unit == "each" else f"{part.unit} "
    return f"{part.quantity} {unit}{part.what}, {part.condition}, {order.name}{most}"


def per_words(unit: str) -> str:
    """What a price is for, after the price: `each`, `a foot`, `for a reel of 250 ft`."""
    return {"each": "each", "ft": "a foot"}.get(unit, f"for a {unit}")


def for_words(machines: tuple[str, ...]) -> str:
    """Machine names, at most three of them."""
    more = len(machines) - MOST_NAMES
    return ", ".join(machines[:MOST_NAMES]) + (f" and {more} more" if more > 0 else "")


def limit_words(limit: SurplusLimit) -> str:
    """The most in figures, or why there is none."""
    return format_cents(limit.most_cents) if limit.most_cents is not None else no_limit_words(limit)


def _bullet(words: str, mark: str = "  - ") -> str:
    return mark + wrapped(words, 104).replace("\n", "\n" + " " * len(mark))


CSV_COLUMNS = (
    "supplier",
    "row",
    "part",
    "what",
    "standard",
    "attributes",
    "condition",
    "quantity",
    "unit",
    "unit_price",
    "amount",
    "for",
    "cuts",
    "left_over",
    "left_over_unit",
    "price_seen",
    "note",
    "pay_at_most",
    "if_sold_out",
    "if_sold_out_extra",
    "offer_row",
    "their_number",
)


def shopping_csv(listed: ShoppingList) -> str:
    """One row for each part, cut charge, tax and fee; the amounts add up to the list's total."""
    return csv_text(CSV_COLUMNS, _csv_rows(listed))


def _csv_rows(listed: ShoppingList) -> Iterator[dict[str, Any]]:
    for thing in listed.own:
        yield {"supplier": FROM_YOUR_OWN.lower(), "row": "own", **_own_cells(thing)}
    for order in listed.orders:
        for part in order.parts:
            yield {"supplier": order.name, "row": "part", **_part_cells(part)}
        for words, cents in order_extras(order):
            yield {"supplier": order.name, "row": words, "what": words, "amount": money(cents)}
    for back in listed.returned:
        kind = {"supplier": TO_YOUR_SHELF.lower(), "row": "to the shelf", "quantity": back.count}
        yield kind | {"what": back.what, "note": f"from {back.source}"}


def _own_cells(thing: OwnThing) -> dict[str, Any]:
    cells = {
        "what": thing.what,
        "note": f"from {thing.source}",
        "for": thing.machine,
        "quantity": thing.count,
    }
    if not thing.cut_to_ft:
        return cells | ({"cuts": f"{DO_NOT_CUT}: needs {thing.needs_ft} ft"} if thing.needs_ft else {})
    left = {"left_over": thing.offcut_ft, "left_over_unit": "ft"} if thing.offcut_ft else {}
    return cells | {"cuts": f"cut yourself to {thing.cut_to_ft} ft"} | left


def _part_cells(part: ListedPart) -> dict[str, Any]:
    cells = {
        "part": part.part,
        "what": part.what,
        "standard": part.designation,
        "attributes": ", ".join(part.attributes),
        "condition": part.condition,
        "quantity": part.quantity,
        "unit": part.unit,
        "unit_price": Decimal(format_price(part.unit_price_cents, thousands=False)),
        "amount": money(part.amount_cents),
        "for": ", ".join(part.machines),
        "cuts": " | ".join(f"{source}: {pieces}" for _, source, pieces, _ in cut_rows(part)),
        "left_over": part.spare,
        "left_over_unit": part.spare_unit,
        "price_seen": part.seen,
        "note": "; ".join(filter(None, (part.remarks, part.more))),
        "pay_at_most": "; ".join(f"{limit.condition} {limit_words(limit)}" for limit in part.most),
        "offer_row": part.offer_row,
        "their_number": part.their_number,
    }
    if not part.substitutes:
        return cells
    first = part.substitutes[0]
    instead = f"{first.what}, {first.condition}, {first.supplier}"
    return cells | {"if_sold_out": instead, "if_sold_out_extra": money(first.extra_cents)}
