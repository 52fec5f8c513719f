"""Two figures at once: who wins at each pair of their values, each proven or marked as not proven."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.ledger.lines import present_value
from costplan.program.anew import Anew
from costplan.program.clock import Clock, Tick
from costplan.program.ranking import Bench, NoPlanError, Ranked
from costplan.program.repriced import recosted
from costplan.studies.figures import Figure, figures
from costplan.studies.shops_anew import between_moves, moves_of
from costplan.studies.turning import held_walk

SHARES = tuple(Decimal(share) for share in ("0.5", "0.75", "1", "1.25", "1.5"))
"""Of what a figure is now: where a map looks. A choice, no source."""
MOVES_LOOKED_AT = tuple(Decimal(moves) for moves in ("0", "0.1", "0.2", "0.5", "1"))
"""Moves a year where a map looks. A choice, no source."""
MOVES_A_YEAR = "moves a year"


class UnknownFigureError(LookupError):
    """No figure has that name; the message says which there are."""


@dataclass(frozen=True, slots=True)
class MapCell:
    """Who wins at a pair of values, by how much before the next known plan of other machines' ways, and whether proven."""

    ranked: Ranked
    cents: int
    proven: bool


@dataclass(frozen=True)
class WinnersMap:
    """A cell for every value of the first figure (rows) and of the second (columns)."""

    first: Figure
    second: Figure
    rows: tuple[Decimal, ...]
    columns: tuple[Decimal, ...]
    cells: tuple[tuple[MapCell, ...], ...]


def winners_map(
    facts: Facts,
    plans: Sequence[Ranked],
    names: tuple[str, str],
    clock: Clock,
    tick: Tick = bool,
    values: tuple[Sequence[Decimal], Sequence[Decimal]] | None = None,
) -> WinnersMap:
    """The map of two figures by their names.

    plans: the plans at hand, the best first; values: where to look, else around what the figures are now. With moves a year
    the scenarios of the file give way to none and one a year, evenly. Raises UnknownFigureError, and NoPlanError.
    """
    if MOVES_A_YEAR in names:
        moves = moves_of(facts)
        if moves is None:
            raise UnknownFigureError(
                "moves a year cannot be counted for this shop: nothing moves, or a group does"
            )
        facts = between_moves(moves, 0)
    bench = Bench.over(facts, facts.shop.money.surplus)
    anew = Anew(bench)
    best = anew.best(bench, clock)
    assert best is not None
    first, second = (_named(facts, best, plans, name) for name in names)
    rows, columns = values or (_looked_at(first), _looked_at(second))
    # Plans of the shop with other scenarios have other streams; what is found on the way is tried first then.
    known = [best, *(() if MOVES_A_YEAR in names else plans)]
    cells = []
    for row in rows:
        line = []
        for column in columns:
            at = second.on(first.on(facts, _written(first, row)), _written(second, column))
            tick(f"proving it at another {first.name} and {second.name}")
            line.append(_cell(bench, at, anew, known, clock))
        cells.append(tuple(line))
    return WinnersMap(first, second, tuple(rows), tuple(columns), tuple(cells))


def _cell(bench: Bench, facts: Facts, anew: Anew, known: list[Ranked], clock: Clock) -> MapCell:
    """The best of the known plans held, or one that is cheaper still, which then is known."""
    there = recosted(bench, facts)
    costs = [present_value(held_walk(there, plan)) for plan in known]
    least = min(costs)
    held = known[costs.index(least)]
    if clock.up:
        return MapCell(held, least, proven=False)
    try:
        found = anew.best(there, Clock(clock.share(1)), least - 1)
    except NoPlanError:
        return MapCell(held, least, proven=False)
    if found is None:
        return MapCell(held, least, proven=True)
    known.append(found)
    return MapCell(found, found.present_value_cents, proven=True)


def names_of(facts: Facts, best: Ranked, plans: Iterable[Ranked]) -> list[str]:
    """The figures that a map can have."""
    found = [figure.name for figure in figures(facts, best, tuple(plans))]
    return [*found, MOVES_A_YEAR]


def _named(facts: Facts, best: Ranked, plans: Sequence[Ranked], name: str) -> Figure:
    asked = figures(facts, best, plans)
    if name == MOVES_A_YEAR:
        # The weight of the scenario without any, told the other way round.
        return next(figure for figure in asked if figure.name == 'weight of "no moves"')
    found = next((figure for figure in asked if figure.name == name), None)
    if found is None:
        raise UnknownFigureError(
            f'"{name}" is no figure of this shop; there are: {", ".join(names_of(facts, best, plans))}'
        )
    return found


def is_moves(figure: Figure) -> bool:
    """Whether it stands for moves a year."""
    return figure.name == 'weight of "no moves"'


def _looked_at(figure: Figure) -> tuple[Decimal, ...]:
    if is_moves(figure):
        return MOVES_LOOKED_AT
    found = (min(max(figure.likely * share, figure.low), figure.high) for share in SHARES)
    return tuple(dict.fromkeys(found))


def _written(figure: Figure, value: Decimal) -> Decimal:
    """The value as the figure counts it."""
    return (1 - value) * 100 if is_moves(figure) else value
