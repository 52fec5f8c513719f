"""What turns the answer and what finding out is worth, in words and as data."""

from collections.abc import Iterator
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Any, NamedTuple

from costplan.ledger.same_plan import changed_machines
from costplan.model.choices import PURE_WAYS
from costplan.model.money import format_cents
from costplan.program.ranked import Ranked
from costplan.reports.rounded import about
from costplan.reports.tables import filled, hung, table, wrapped
from costplan.reports.words import difference
from costplan.studies.comparison import Comparison
from costplan.studies.figures import Figure
from costplan.studies.shops_anew import Stretch, Stretches, WholeFigure
from costplan.studies.turning import BEST, Point, Turning, same_make, same_ways
from costplan.studies.uncertain import price_of
from costplan.studies.winners_map import MOVES_A_YEAR, NEAR, MapCell, WinnersMap, is_moves

WORTH_TELLING_CENTS = 100
"""Less than this nobody asks for."""
MOST_FOUND = 10
"""Rows of the table of what finding out is worth."""
MOST_DIGITS = 6
AS_WRITTEN = 2
"""Digits behind the point to which a value now is told as it is written."""
AWAY, ALL = Decimal("0.01"), Decimal(1)
"""How far beyond a turn the value may lie that is told, as a share of it. A choice, no source."""
HELD = ", both held as they are, which nothing proves"
"""Said of a value at which nothing was solved."""
JSON_DIGITS = 8
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ*"
"""Makes of plans on a map; what is beyond them is one sign."""
ROOM_FOR_MONEY = 28
"""Characters of a row that two amounts take."""


class InShort(NamedTuple):
    """A sentence, and whether it says too that its figure is the one to ask about first."""

    words: str
    asks: bool = False


def turning_in_short(comparison: Comparison) -> list[InShort]:
    """What turns the answer, a sentence a figure: the best plan's figures at their nearest value, then the pure ways' moves."""
    moves, said, first = comparison.moves, list[InShort](), _first_to_ask(comparison)
    # Hours of one task are asked of nobody: they come last where there is little room.
    told = [turning.solved for turning in comparison.turning]
    for turning in sorted(told, key=lambda turning: turning.figure.three is not None):
        if turning.question == BEST and turning.points:
            asks = first in turning.figure.drawn
            ask = f" (ask first: {_worth(comparison)})" if asks else ""
            words = _point_words(comparison, turning, turning.nearest, now=True)
            said.append(InShort(f"{turning.figure.name}{ask}: {words}", asks))
    if moves is not None and moves.at is not None:
        said.append(InShort(f"moves: {moves.words}"))
    if not said and moves is not None:
        said.append(InShort(f"not moves: {moves.words}"))
    return said


def ask_first(comparison: Comparison) -> str:
    """What is most worth asking about, with what knowing it saves; empty where nothing was drawn beside another plan."""
    if not comparison.sureness.finding_out:
        return ""
    first = _first_to_ask(comparison)
    if first is None:
        return f"Of prices, hours and rates ask none first: no answer saves {comparison.facts.shop.currency} 1 on average."
    return f"Ask first: {drawn_words(comparison, first)} ({_worth(comparison)})."


def _first_to_ask(comparison: Comparison) -> str | None:
    """The figure that is most worth knowing, as the draws name it; None where none is worth telling."""
    found = comparison.sureness.finding_out
    return found[0].figure if found and found[0].worth_cents >= WORTH_TELLING_CENTS else None


def _worth(comparison: Comparison) -> str:
    """What knowing the first one is worth, in round money."""
    cents = comparison.sureness.finding_out[0].worth_cents
    return f"worth {about(cents, cents // 5, comparison.facts.shop.currency)}"


def turning_text(comparison: Comparison, width: int) -> str:
    """Every figure that was looked at, where it turns what is best and which of two sides wins, and where it never does."""
    lines = [*_turning_lines(comparison, width), *_stretches_lines(comparison, width)]
    counted = any(found.figure.now is None for found in comparison.turned.stretches)
    if comparison.moves is not None and not counted:
        told = f"moves a year, both plans held as they are (an approximation): {comparison.moves.words}"
        lines.append(hung(told, width, "    ", first="  "))
    if not lines:
        return ""
    solved = all(turning.looked for turning in comparison.turning)
    how = "solved anew" if solved else "as far as there was time, or among the plans at hand"
    text = "\n".join([filled(f"What turns the answer, one figure at a time ({how})", width), *lines])
    grid = comparison.turned.grid
    return text if grid is None else f"{text}\n\n{map_text(comparison, grid, width)}"


def _stretches_lines(comparison: Comparison, width: int) -> Iterator[str]:
    """Who wins at whole years, feet and moves, where the shop is made anew for each."""
    figure: WholeFigure | None = None
    for found in comparison.turned.stretches:
        if found.figure != figure:
            figure = found.figure
            now = (
                "evenly, in place of the moves in the scenarios"
                if figure.now is None
                else f"now {figure.now}"
            )
            yield hung(f"{figure.name}: {figure.unit}, {now}", width, "    ", first="  ")
        yield hung(f"{found.question}: {_stretches_said(comparison, found)}", width, "      ", first="    ")


def _stretches_said(comparison: Comparison, found: Stretches) -> str:
    figure, stretches = found.figure, found.stretches
    if not stretches:
        return "not looked at for lack of time"
    partly = "" if found.looked else "; not looked at between, where it may turn back"
    if stretches[0].low > figure.low or stretches[-1].high < figure.high:
        partly = f"; not all of {figure.low} to {figure.high} looked at for lack of time"
    elif len(stretches) == 1 and stretches[0].ranked is not None:
        wins = "no other plan is cheaper" if found.question == BEST else f"{stretches[0].wins} win"
        return f"none: {wins} from {figure.low} to {figure.high}{partly}"
    return "; ".join(_stretch_said(comparison, found, stretch) for stretch in stretches) + partly


def _stretch_said(comparison: Comparison, found: Stretches, stretch: Stretch) -> str:
    low, high = (f"{round(value, 3):f}" for value in (stretch.low, stretch.high))
    if "." in low:
        low = low.rstrip("0").rstrip(".")
    if "." in high:
        high = high.rstrip("0").rstrip(".")
    values = low if low == high else f"{low} to {high}"
    if stretch.ranked is None:
        return f"{values} {stretch.wins}"
    if found.question != BEST:
        return f"{values} {stretch.wins}"
    if same_make(stretch.ranked, comparison.best):
        return f"{values} plan 1"
    return f"{values} {_elsewhere(comparison, stretch.ranked)}"


def _elsewhere(comparison: Comparison, ranked: Ranked) -> str:
    """A plan of the shop made anew: by the rank of one of its make, else by what differs from the best."""
    for place, plan in enumerate(comparison.plans, 1):
        if same_make(plan, ranked):
            return f"plan {place}"
    if ranked.plan.ways.keys() != comparison.best.plan.ways.keys():
        return "another plan"
    return change_words(comparison, ranked)


def map_text(comparison: Comparison, grid: WinnersMap, width: int) -> str:
    """The map of two figures: a letter a make of plan, in the order in which they are met."""
    makes = list[Ranked]()
    rows = []
    for value, cells in zip(grid.rows, grid.cells, strict=True):
        row = [_map_value(grid.first, value)]
        for cell in cells:
            place = next((n for n, make in enumerate(makes) if same_make(make, cell.ranked)), len(makes))
            makes += [cell.ranked] * (place == len(makes))
            row.append(f"{LETTERS[min(place, len(LETTERS) - 1)]}{_marks(cell)}")
        rows.append(row)
    first, second = (_map_name(figure) for figure in (grid.first, grid.second))
    heads = [first, *(_map_value(grid.second, value) for value in grid.columns)]
    said = [
        hung(
            f"{LETTERS[min(n, len(LETTERS) - 1)]}: {_make_words(comparison, make)}", width, "    ", first="  "
        )
        for n, make in enumerate(makes)
    ]
    head = (
        f"Which plan wins, by {first} (down) and {second} (across); ~ another plan at hand is within {NEAR * 100:.0f} %, "
        "? is not proven"
    )
    return "\n".join([filled(head, width), table(heads, rows, right=set()), *said])


def _marks(cell: MapCell) -> str:
    return "~" * cell.near_tie + "?" * (not cell.proven)


def _make_words(comparison: Comparison, ranked: Ranked) -> str:
    best = comparison.best.plan
    if same_make(ranked, comparison.best):
        return "plan 1"
    if ranked.plan.ways.keys() != best.ways.keys():
        return "another plan"
    return _elsewhere(comparison, ranked)


def _map_name(figure: Figure) -> str:
    return MOVES_A_YEAR if is_moves(figure) else figure.name


def _map_value(figure: Figure, value: Decimal) -> str:
    if is_moves(figure):
        return f"{value:f}"
    return f"{round(value, 3):f}".rstrip("0").rstrip(".") if value % 1 else f"{value:.0f}"


def _turning_lines(comparison: Comparison, width: int) -> Iterator[str]:
    figure: Figure | None = None
    for turning in comparison.turning:
        if turning.figure != figure:
            figure = turning.figure
            yield hung(f"{figure.name}: {_amount(figure, figure.likely)}", width, "    ", first="  ")
        yield hung(f"{turning.question}: {_said(comparison, turning)}", width, "      ", first="    ")


def _said(comparison: Comparison, turning: Turning) -> str:
    if turning.points:
        points = sorted(turning.points, key=lambda point: point.at)
        said = "; ".join(_point_words(comparison, turning, point, now=False) for point in points)
        return said if turning.looked else f"{said}; not all of its range was solved"
    figure = turning.figure
    ends = f"from {_number(figure.low, figure)} to {_amount(figure, figure.high)}"
    wins = "none: no other plan is cheaper" if turning.question == BEST else f"none: {turning.now} win"
    return f"{wins} {ends}" if turning.looked else "not known for lack of time"


def _point_words(comparison: Comparison, turning: Turning, point: Point, *, now: bool) -> str:
    figure = turning.figure
    way = "above" if point.at > figure.likely else "below"
    at = _beyond(figure, point)
    sure = point.exact or point.held or turning.looked
    said = f"{way} {at:,f} {figure.unit}{'' if sure else ', perhaps sooner,'}"
    notes = [f"now {_number(figure.likely, figure, at)}"] if now and not figure.relative else []
    notes += [figure.note] if now and figure.note else []
    if figure.three is not None:
        notes.append(in_the_file(figure, at, whole=not now))
    said += f" ({', '.join(notes)})" if notes else ""
    if turning.question != BEST:
        return f"{said} {point.wins} win{HELD * point.held}"
    return f"{said} {_winner(comparison, point.ranked)}{HELD * point.held}"


def _beyond(figure: Figure, point: Point) -> Decimal:
    """The value to tell: a little beyond the turn, where the other one wins, with digits enough to be near it."""
    return told_beyond(point.at, figure.likely, AWAY)


def told_beyond(at: Decimal, now: Decimal, away: Decimal) -> Decimal:
    """A value rounded away from what it is now, with the fewest digits that are no farther off than such a share of it."""
    rounding = ROUND_CEILING if at > now else ROUND_FLOOR
    for digits in range(MOST_DIGITS + 1):
        found = at.quantize(Decimal(1).scaleb(-digits), rounding)
        if abs(found - at) <= away * abs(at):
            return found
    return at


def in_the_file(figure: Figure, at: Decimal, *, whole: bool) -> str:
    """What to write for the mean of three to be so much: all three by a share, and where they still rise the likely one."""
    assert figure.three is not None
    low, likely, high = figure.three
    # Whole percents, away from now, are always beyond the turn and seldom far beyond.
    share = told_beyond((at / figure.likely - 1) * 100, Decimal(0), ALL) if at else Decimal(-100)
    said = f"all three {abs(share):f} % {'more' if share > 0 else 'less'}"
    # Source: the classic three-point (PERT) mean, (low + 4 likely + high) / 6.
    other = told_beyond((6 * at - low - high) / 4, likely, AWAY)
    if not whole or not low <= other <= high:
        return said
    return f"in the file {said}, or a likely figure of {other:f} between {low:f} and {high:f}"


def _winner(comparison: Comparison, ranked: Ranked) -> str:
    """Which plan wins: by its rank, as a pure way, by other hands than these, or by what differs from the best."""
    pure = comparison.pure_plans or ()
    named = [(f"plan {place}", "is", plan) for place, plan in enumerate(comparison.plans, 1)]
    named += [(f"{name} for all", "are", plan) for name, plan in zip(PURE_WAYS, pure, strict=False)]
    for alike, hands in ((same_make, ""), (same_ways, f" by {ranked.plan.hiring.name}")):
        for name, verb, plan in named:
            if alike(plan, ranked):
                return f"{name}{hands} {verb} cheaper"
    return f"{change_words(comparison, ranked)} is cheaper"


def change_words(comparison: Comparison, ranked: Ranked) -> str:
    """What another plan does that the best does not."""
    best = comparison.best.plan
    if changed_machines(ranked.plan, best) or ranked.plan.gear_names != best.gear_names:
        hands = f", by {ranked.plan.hiring.name}" if ranked.plan.hiring.name != best.hiring.name else ""
        return f"{difference(comparison.facts, ranked, comparison.best)}{hands}"
    if ranked.plan.hiring.name != best.hiring.name:
        return f"the same ways by {ranked.plan.hiring.name}"
    return "the same ways with other parts or lengths"


def _amount(figure: Figure, value: Decimal) -> str:
    return f"{_number(value, figure)} {figure.unit}"


def _number(value: Decimal, figure: Figure, beside: Decimal | None = None) -> str:
    """So many digits that three of them tell, more where `beside` and the figure's value now would look alike.

    The value now is told as it is written, where that has no more than two digits behind the point.
    """
    other = value if beside is None else beside
    sizes = [abs(size) for size in (other, figure.likely) if size] or [figure.high]
    digits = max(0, 2 - min(sizes).adjusted())
    while (
        digits < MOST_DIGITS
        and other != figure.likely
        and round(other, digits) == round(figure.likely, digits)
    ):
        digits += 1
    if value == figure.likely == round(value, AS_WRITTEN):
        digits = max(digits, AS_WRITTEN)
    text = f"{value:,.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def finding_text(comparison: Comparison, width: int) -> str:
    """What knowing each figure is worth, and how far it moves the difference of the first two plans."""
    found = [one for one in comparison.sureness.finding_out if one.worth_cents or one.swing_cents]
    if not found:
        return ""
    rows = [
        [
            wrapped(drawn_words(comparison, one.figure), width - ROOM_FOR_MONEY),
            format_cents(one.worth_cents),
            format_cents(one.swing_cents),
        ]
        for one in found[:MOST_FOUND]
    ]
    head = (
        "What finding out is worth before you choose a plan, on average over the draws; swing: how far plan 2 less plan 1 "
        f"moves from the figure's 10th to its 90th percentile. All at once: {format_cents(comparison.sureness.all_known_cents)}"
    )
    text = table(["figure", "worth", "swing"], rows, right={1, 2})
    return f"{filled(head, width)}\n{text}"


def drawn_words(comparison: Comparison, name: str) -> str:
    """A figure of the draws in words."""
    facts = comparison.facts
    offer = next((offer for offer in facts.catalog.offers if price_of(offer) == name), None)
    if offer is None:
        return name
    return f"price of {facts.parts[offer.part].name} at {offer.supplier} (offers.csv row {offer.row})"


def _rounded(value: Decimal) -> Decimal:
    """As many digits as values are looked at."""
    return round(value, JSON_DIGITS)


def stretches_data(comparison: Comparison) -> list[dict[str, Any]]:
    """Who wins at whole years, feet and moves, as the guide's page on JSON has it."""
    return [
        {
            "figure": found.figure.name,
            "unit": found.figure.unit,
            "now": found.figure.now,
            "question": found.question,
            "all_looked_at": found.looked,
            "stretches": [
                {
                    "from": _rounded(stretch.low),
                    "to": _rounded(stretch.high),
                    "wins": stretch.wins
                    if found.question != BEST or stretch.ranked is None
                    else _make_words(comparison, stretch.ranked),
                }
                for stretch in found.stretches
            ],
        }
        for found in comparison.turned.stretches
    ]


def map_data(comparison: Comparison) -> dict[str, Any] | None:
    """The map of two figures; None without one."""
    grid = comparison.turned.grid
    if grid is None:
        return None
    return {
        "rows": {"figure": _map_name(grid.first), "values": [_rounded(value) for value in grid.rows]},
        "columns": {"figure": _map_name(grid.second), "values": [_rounded(value) for value in grid.columns]},
        "cells": [
            [
                {
                    "wins": _make_words(comparison, cell.ranked),
                    "total": Decimal(cell.cents) / 100,
                    "next_total": None if cell.next_cents is None else Decimal(cell.next_cents) / 100,
                    "near_tie": cell.near_tie,
                    "proven": cell.proven,
                }
                for cell in row
            ]
            for row in grid.cells
        ],
    }


def moves_data(comparison: Comparison) -> dict[str, Any] | None:
    """What moves a year do to the two pure ways; None where that is not known."""
    moves = comparison.moves
    if moves is None:
        return None
    return {"words": moves.words, "at": None if moves.at is None else round(moves.at, 4)}
