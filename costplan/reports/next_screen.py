"""The first screen of a next machine: what it costs all in, by which way, and what it takes, in 24 rows of 80 columns."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from costplan.ledger.lines import LineKind, Pocket
from costplan.model.left_out import Without
from costplan.reports.budget import Block, filled_rows, first_that_fits, items_block, text_block, within
from costplan.reports.invented import made_up_in_short
from costplan.reports.next_page import (
    added_gear,
    amperes_left,
    chosen_words,
    close_words,
    counted_words,
    incomplete_lines,
    noted_with,
    parts_difference,
    spaces_when_it_comes,
    until_it_runs,
)
from costplan.reports.parts import NextPart, part_words
from costplan.reports.rounded import in_steps
from costplan.reports.screen_parts import COLUMNS, ROWS, WIDE_ENOUGH, cautions_rows
from costplan.reports.tables import aligned
from costplan.reports.words import named, one_or_more
from costplan.studies.next_machine import CountedCost, NextPrice
from costplan.studies.sureness import spread_between

WORK = (LineKind.LABOR, LineKind.CALL_OUT, LineKind.PERMIT, LineKind.MINIMUM, LineKind.BID)
"""What is paid for work and beside it."""


def next_screen(
    prices: Sequence[NextPrice],
    counted: Sequence[CountedCost] = (),
    left_out: Sequence[Without] = (),
    width: int = COLUMNS,
) -> str:
    """The answer in at most `ROWS` rows, none wider than the terminal; what had to be shortened says so.

    left_out: machines that have no way.
    """
    width = min(max(width, COLUMNS), WIDE_ENOUGH)
    best = prices[0]
    spreads = {price.machine.name: _spread(price) for price in prices}
    out = [
        f"{one_or_more(entry)}: {reason}"
        for entry in (*best.facts.left_out, *left_out)
        for reason in entry.reasons
    ]
    open_ones = [price.machine.name for price in prices if not price.proven]
    unproven = f"Not proven, time ran out: {named(open_ones, 3)} may cost less or more." if open_ones else ""
    blocks = [
        Block(lambda rows: _answer(prices, spreads, min(rows, 4), width), 2, 0),
        items_block("Left out, in no figure: ", out, width, 1, 2, ": --show machines", most=3),
        text_block(unproven, width, 1, 1),
        items_block("! ", list(incomplete_lines(prices)), width, 1, 3, ": --show machines", most=3),
        text_block("; ".join(close_words(best)), width, 1, 5),
        Block(
            lambda rows: _rivals(prices, spreads, rows, width) if len(prices) > 1 else [], 3, 4, apart=True
        ),
        Block(lambda rows: _ways(best, spreads[best.machine.name], rows, width), 3, 6, apart=True),
        text_block(_takes(best, spreads[best.machine.name]), width, 1, 7, apart=True),
        items_block("Room: ", _room(best), width, 1, 8, ": --show room"),
        text_block(counted_words(counted) if counted else "", width, 1, 9),
        Block(
            lambda rows: cautions_rows([entry.topic for entry in noted_with(best)], min(rows, 2), width), 2, 0
        ),
        text_block(f"More: --show {','.join(part_words(NextPart))}", width, 1, 0),
    ]
    return "\n".join(within(blocks, ROWS)) + "\n"


def _spread(price: NextPrice) -> int:
    """What the figures of a machine are rounded by: how uncertain its power is, which its price tag is not."""
    return spread_between(price.facts, price.with_it, price.without)


def _answer(prices: Sequence[NextPrice], spreads: Mapping[str, int], rows: int, width: int) -> list[str]:
    best, facts = prices[0], prices[0].facts
    name = best.machine.name
    spread = spreads[name]
    total = (
        f"{name} costs about {facts.shop.currency} {in_steps(best.total_cents, spread)} all in over {facts.shop.years} "
        f"years, in today's money: {in_steps(best.machine_cents, spread)} for the machine, "
        f"{in_steps(best.power_cents, spread)} for its power; cash for it {in_steps(best.outlay_cents, spread)} today."
    )
    others = []
    for price in prices[1:]:
        more = in_steps(price.total_cents - best.total_cents, max(spread, spreads[price.machine.name]))
        others.append(f"{price.machine.name} about {more} more")
    invented = made_up_in_short(facts)
    texts = [
        " ".join(filter(None, [total, f"{named(others, most)}." if others else "", invented]))
        for most in (3, 2, 1)
    ]
    return first_that_fits(texts, rows, width)


def _table(
    heads: Sequence[str], rows: Sequence[Sequence[str]], right: set[int], room: int, where: str
) -> list[str]:
    lines = aligned([heads, *rows], right)
    return lines if len(lines) <= room else [*lines[: room - 1], f"and {len(lines) - room + 1} more: {where}"]


def _rivals(prices: Sequence[NextPrice], spreads: Mapping[str, int], rows: int, width: int) -> list[str]:
    """The machines side by side, the cheapest all in first."""
    cells = []
    for price in prices:
        spread = spreads[price.machine.name]
        figures = (price.total_cents, price.machine_cents, price.power_cents, price.outlay_cents)
        (name,) = filled_rows(price.machine.name, 1, width - 50)
        cells.append([name, *(in_steps(figure, spread) for figure in figures)])
    heads = ["about", "all in", "the machine", "its power", "cash today"]
    return _table(heads, cells, {1, 2, 3, 4}, rows, "--show machines")


def _ways(price: NextPrice, spread: int, rows: int, width: int) -> list[str]:
    """What its power costs by each source and kind of run, the cheapest first; what nothing can be said of last."""
    cells = []
    for variant in price.variants:
        if variant.power_cents is None:
            (why,) = filled_rows(variant.why_not or "cannot be done", 1, width - 45)
            cells.append([variant.words, "none", why])
            continue
        proven = variant.ranked is not None and variant.ranked.proven
        more = variant.power_cents - price.power_cents
        said = f"{in_steps(more, spread)} more" if more else "the cheapest"
        cells.append(
            [variant.words, in_steps(variant.power_cents, spread), said + (not proven) * ", not proven"]
        )
    if not cells:
        return filled_rows(f"Its power: {chosen_words(price, price.with_it)}.", min(rows, 2), width)
    heads = [f"{price.machine.name} powered", "power", ""]
    heads[0] = filled_rows(heads[0], 1, 40)[0]
    return _table(heads, cells, {1}, rows, "--show ways")


def _takes(price: NextPrice, spread: int) -> str:
    """What its power takes until it runs: parts, hired work, the owner's own hours, and new shared equipment."""
    parts = sum(cents for _, _, cents in parts_difference(price))
    more = [(1, line) for line in until_it_runs(price, price.with_it)]
    more += [(-1, line) for line in until_it_runs(price, price.without)]
    hired = sum(
        sign * line.amount_cents for sign, line in more if line.kind in WORK and line.pocket is Pocket.CASH
    )
    own = sum((sign * line.hours for sign, line in more if line.pocket is Pocket.OWN_TIME), Decimal(0))
    new = [name for name, _, _ in added_gear(price, price.with_it)]
    gear = f", new: {', '.join(new)}" if new else ""
    return (
        f"It takes: parts {in_steps(parts, spread)}, hired work {in_steps(hired, spread)}, "
        f"{own:.1f} hours of your own work{gear}."
    )


def _room(price: NextPrice) -> list[str]:
    """What is left of panels and of the service, without it and with it."""
    said = []
    for before, left in spaces_when_it_comes(price):
        free = before.room.left if before else 0
        later = f", {left.least.left} in year {left.least.year}" if left.least else ""
        if free != left.room.left or later:
            said.append(f"{left.room.panel} from {free} to {left.room.left} free spaces{later}")
    for limit, was, left_a in amperes_left(price):
        change = f"from {was} to {left_a}" if was and was != left_a else left_a
        said.append(f"{limit} {change} A still free")
    return said
