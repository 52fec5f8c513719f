"""Two figures at once: who wins at each pair of their values, each proven or marked as not proven."""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.ledger.lines import present_value
from costplan.program.anew import Anew
from costplan.program.bench import Bench
from costplan.program.clock import Clock, Tick
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.repriced import recosted
from costplan.studies.figures import Figure, figures, possible_names, weight_of
from costplan.studies.held_plans import held_walk
from costplan.studies.shops_anew import MORE_MOVES, Hold, between_moves, moves_of, share_of_moves
from costplan.studies.turning import same_make

SHARES = tuple(Decimal(share) for share in ("0.5", "0.75", "1", "1.25", "1.5"))
"""Of what a figure is now: where a map looks. A choice, no source."""
MOVES_LOOKED_AT = tuple(Decimal(moves) for moves in ("0", "0.1", "0.2", "0.5", "1"))
"""Moves a year where a map looks. A choice, no source."""
MOVES_A_YEAR = "moves a year"
NEAR = Decimal("0.02")
"""Up to which share of the total another plan is a near tie. A choice, no source."""


class UnknownFigureError(LookupError):
    """No plan at hand depends on it."""


@dataclass(frozen=True, slots=True)
class MapCell:
    """Who wins at a pair of values, whether proven, and what the next plan of another make costs there, of those known."""

    ranked: Ranked
    cents: int
    proven: bool
    next_cents: int | None = None

    @property
    def near_tie(self) -> bool:
        """Whether another plan that is known costs little more."""
        return self.next_cents is not None and self.next_cents - self.cents <= NEAR * abs(self.cents)


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
    hold: Hold = lambda bench: bench,
) -> WinnersMap:
    """The map of two figures by their names.

    plans: the plans at hand, the best first; values: where to look, else around what the figures are now. With moves a year
    those in the scenarios give way to none and one a year, evenly, as `moves_of` must allow. Raises UnknownFigureError,
    NoPlanError.
    """
    more = frozenset[str]()
    if MOVES_A_YEAR in names:
        moves = moves_of(facts)
        assert moves is not None
        facts, more = between_moves(moves, 0)
    bench = hold(Bench.over(facts, facts.shop.money.surplus))
    anew = Anew(bench)
    best = anew.best(bench, clock)
    assert best is not None
    first, second = (_named(facts, best, plans, name, more) for name in names)
    rows, columns = values or (_looked_at(first), _looked_at(second))
    # Plans of the shop with other scenarios have other streams; what is found on the way is tried first then.
    known = [best, *(() if MOVES_A_YEAR in names else plans)]
    spots = [
        [
            _Spot(recosted(bench, second.on(first.on(facts, _written(first, row)), _written(second, column))))
            for column in columns
        ]
        for row in rows
    ]
    cells = []
    for line in spots:
        tick(f"proving it at another {first.name} and {second.name}")
        cells.append([_cell(spot, anew, known, clock) for spot in line])
    told = tuple(
        tuple(replace(cell, next_cents=_next(spot, cell, known)) for spot, cell in zip(*both, strict=True))
        for both in zip(spots, cells, strict=True)
    )
    return WinnersMap(first, second, tuple(rows), tuple(columns), told)


@dataclass
class _Spot:
    """The shop at two values, with what plans held as they are cost there, by their keys."""

    bench: Bench
    held: dict[Hashable, int] = field(default_factory=dict)

    def cents(self, ranked: Ranked) -> int:
        """What a plan held as it is costs there."""
        key = ranked.plan.key
        if key not in self.held:
            self.held[key] = present_value(held_walk(self.bench, ranked))
        return self.held[key]


def _cell(spot: _Spot, anew: Anew, known: list[Ranked], clock: Clock) -> MapCell:
    """The best of the known plans held, or one that is cheaper still, which then is known."""
    costs = [spot.cents(plan) for plan in known]
    least = min(costs)
    best = known[costs.index(least)]
    if clock.up:
        return MapCell(best, least, proven=False)
    try:
        found = anew.best(spot.bench, Clock(clock.share(1)), least - 1)
    except NoPlanError:
        return MapCell(best, least, proven=False)
    if found is None:
        return MapCell(best, least, proven=True)
    known.append(found)
    return MapCell(found, found.present_value_cents, proven=True)


def _next(spot: _Spot, cell: MapCell, known: Sequence[Ranked]) -> int | None:
    """What the cheapest known plan of another make costs; None without one."""
    others = [plan for plan in known if not same_make(plan, cell.ranked)]
    return min((spot.cents(plan) for plan in others), default=None)


def names_of(facts: Facts, *, moves: bool) -> list[str]:
    """The figures that a map may have, before it is known what plans cost; beside moves a year no scenarios have weights."""
    weights = [weight_of(scenario.name) for scenario in facts.shop.scenarios] if moves else []
    return [MOVES_A_YEAR, *(name for name in possible_names(facts) if name not in weights)]


def _named(facts: Facts, best: Ranked, plans: Sequence[Ranked], name: str, more: frozenset[str]) -> Figure:
    if name == MOVES_A_YEAR:
        return share_of_moves(facts, more)
    found = next((figure for figure in figures(facts, best, plans) if figure.name == name), None)
    if found is None:
        raise UnknownFigureError(f"no plan at hand depends on {name}")
    return found


def is_moves(figure: Figure) -> bool:
    """Whether it stands for moves a year."""
    return figure.name == MORE_MOVES


def _looked_at(figure: Figure) -> tuple[Decimal, ...]:
    if is_moves(figure):
        return MOVES_LOOKED_AT
    found = (min(max(figure.likely * share, figure.low), figure.high) for share in SHARES)
    return tuple(dict.fromkeys(found))


def _written(figure: Figure, value: Decimal) -> Decimal:
    """The value as the figure counts it."""
    return value * 100 if is_moves(figure) else value
