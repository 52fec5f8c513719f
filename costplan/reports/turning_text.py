"""What turns the answer and what finding out is worth, in words and as data."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from costplan.ledger.plan import changed_machines
from costplan.model.money import format_cents
from costplan.program.ranking import Ranked
from costplan.reports.rounded import about
from costplan.reports.tables import filled, hung, table, wrapped
from costplan.reports.words import difference
from costplan.studies.comparison import Comparison
from costplan.studies.figures import Figure
from costplan.studies.turning import BEST, Point, Turning

WORTH_TELLING_CENTS = 100
"""Less than this nobody asks for."""
MOST_FOUND = 10
"""Rows of the table of what finding out is worth."""
MOST_DIGITS = 6
JSON_DIGITS = 8
ROOM_FOR_MONEY = 28
"""Characters of a row that two amounts take."""
PRICE_OF_OFFER = "price of offer "


def turning_in_short(comparison: Comparison) -> list[str]:
    """What turns the answer, a sentence a figure: moves first, then the best plan's figures at their nearest value."""
    moves, said = comparison.moves, list[str]()
    if moves is not None and moves.at is not None:
        said.append(f"moves: {moves.words}")
    for turning in comparison.turning:
        if turning.question == BEST and turning.points:
            point = min(turning.points, key=lambda point: _far(turning.figure, point))
            said.append(f"{turning.figure.name}: {_point_words(comparison, turning, point, now=True)}")
    if not said and moves is not None:
        said.append(f"not moves: {moves.words}")
    return said


def ask_first(comparison: Comparison) -> str:
    """What is most worth asking about, with what knowing it is worth; empty where nothing is."""
    found = comparison.sureness.finding_out
    if not found or found[0].worth_cents < WORTH_TELLING_CENTS:
        return ""
    money = about(found[0].worth_cents, found[0].worth_cents // 5, comparison.facts.shop.currency)
    return f"Ask first: {drawn_words(comparison, found[0].figure)}, worth {money}."


def turning_text(comparison: Comparison, width: int) -> str:
    """Every figure that was looked at, where it turns what is best and which of two sides wins, and where it never does."""
    lines = list(_turning_lines(comparison, width))
    if comparison.moves is not None:
        told = f"moves a year, both plans held as they are (an approximation): {comparison.moves.words}"
        lines.append(hung(told, width, "    ", first="  "))
    if not lines:
        return ""
    solved = all(turning.looked for turning in comparison.turning)
    how = "solved anew" if solved else "as far as there was time, or among the plans at hand"
    return "\n".join([filled(f"What turns the answer, one figure at a time ({how})", width), *lines])


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
        return "; ".join(_point_words(comparison, turning, point, now=False) for point in points)
    figure = turning.figure
    ends = f"from {_number(figure.low, figure)} to {_amount(figure, figure.high)}"
    wins = "none: no other plan is cheaper" if turning.question == BEST else f"none: {turning.now} win"
    return f"{wins} {ends}" if turning.looked else "not known for lack of time"


def _point_words(comparison: Comparison, turning: Turning, point: Point, *, now: bool) -> str:
    figure = turning.figure
    way = "above" if point.at > figure.likely else "below"
    said = f"{way} {_amount(figure, point.at)}"
    if now and not figure.relative:
        note = f", {figure.note}" if figure.note else ""
        said += f" (now {_number(figure.likely, figure, point.at)}{note})"
    if turning.question != BEST:
        return f"{said} {point.wins} win"
    return f"{said} {_winner(comparison, point.ranked)}"


def _winner(comparison: Comparison, ranked: Ranked) -> str:
    """Which plan wins: by its rank, as a pure way, or by what differs from the best."""
    for place, plan in enumerate(comparison.plans, 1):
        if plan is ranked:
            return f"plan {place} is cheaper"
    for name, plan in zip(("fixed drops", "cords"), comparison.pure_plans or (), strict=False):
        if plan is ranked:
            return f"{name} for all are cheaper"
    return f"{change_words(comparison, ranked)} is cheaper"


def change_words(comparison: Comparison, ranked: Ranked) -> str:
    """What another plan does that the best does not."""
    best = comparison.best.plan
    if changed_machines(ranked.plan, best) or ranked.plan.gear_names != best.gear_names:
        return difference(comparison.facts, ranked, comparison.best)
    if ranked.plan.hiring.name != best.hiring.name:
        return f"the same ways by {ranked.plan.hiring.name}"
    return "the same ways with other parts or lengths"


def _far(figure: Figure, point: Point) -> Decimal:
    """How far a value is off, as a share of what is looked at on that side."""
    end = figure.high if point.at > figure.likely else figure.low
    return abs(point.at - figure.likely) / abs(end - figure.likely)


def _amount(figure: Figure, value: Decimal) -> str:
    return f"{_number(value, figure)} {figure.unit}"


def _number(value: Decimal, figure: Figure, beside: Decimal | None = None) -> str:
    """So many digits that two of them tell, more where `beside` and the figure's value now would look alike."""
    other = value if beside is None else beside
    sizes = [abs(size) for size in (other, figure.likely) if size] or [figure.high]
    digits = max(0, 1 - min(sizes).adjusted())
    while (
        digits < MOST_DIGITS
        and other != figure.likely
        and round(other, digits) == round(figure.likely, digits)
    ):
        digits += 1
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
    if not name.startswith(PRICE_OF_OFFER):
        return name
    row = int(name.removeprefix(PRICE_OF_OFFER))
    offer = next(offer for offer in comparison.facts.catalog.offers if offer.row == row)
    part = comparison.facts.parts[offer.part]
    return f"price of {part.name} at {offer.supplier} (offers.csv row {row})"


def turning_data(comparison: Comparison) -> list[dict[str, Any]]:
    """The turning points, as the guide's page on JSON has them."""
    return [
        {
            "figure": turning.figure.name,
            "unit": turning.figure.unit,
            "now": _rounded(turning.figure.likely),
            "from": _rounded(turning.figure.low),
            "to": _rounded(turning.figure.high),
            "question": turning.question,
            "now_best": turning.now,
            "solved": turning.looked,
            "points": [
                {
                    "at": _rounded(point.at),
                    "wins": point.wins,
                    "change": change_words(comparison, point.ranked),
                    "exact": point.exact,
                }
                for point in turning.points
            ],
        }
        for turning in comparison.turning
    ]


def _rounded(value: Decimal) -> Decimal:
    """As many digits as values are looked at."""
    return round(value, JSON_DIGITS)


def moves_data(comparison: Comparison) -> dict[str, Any] | None:
    """What moves a year do to the two pure ways; None where that is not known."""
    moves = comparison.moves
    if moves is None:
        return None
    return {"words": moves.words, "at": None if moves.at is None else round(moves.at, 4)}


def finding_data(comparison: Comparison) -> list[dict[str, Any]]:
    """What knowing each figure is worth."""
    return [
        {
            "figure": one.figure,
            "words": drawn_words(comparison, one.figure),
            "worth": Decimal(one.worth_cents) / 100,
            "swing": Decimal(one.swing_cents) / 100,
        }
        for one in comparison.sureness.finding_out
    ]
