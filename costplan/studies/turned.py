"""What was asked about turning points, and all that was found: figures, shops made anew, two named sides, a map."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from costplan.ledger.holding import UnknownWordsError, means
from costplan.model.choices import Method
from costplan.program.clock import Clock, Tick
from costplan.program.ranking import Bench, NoPlanError, Ranked
from costplan.studies.figures import figures
from costplan.studies.finding_out import FindingOut
from costplan.studies.rows import Cell
from costplan.studies.shops_anew import Stretches, looked_at
from costplan.studies.strategies import Words
from costplan.studies.turning import Desk, Side, Turning, at_hand_points, turning_points
from costplan.studies.winners_map import UnknownFigureError, WinnersMap, winners_map

FOR_FIGURES = 0.7
"""Share of the time after which shops are made anew. A choice, no source."""
PURE = "pure ways"
"""The question which of fixed drops and cords is cheaper."""


@dataclass(frozen=True, slots=True)
class Ask:
    """What is to be solved anew: always every figure; `between` names two sides, `grid` two figures."""

    between: tuple[str, str] | None = None
    grid: tuple[str, str] | None = None


@dataclass(frozen=True)
class Turned:
    """Turning points of figures; who wins at whole values of what is built by; a map of two figures."""

    points: tuple[Turning, ...] = ()
    stretches: tuple[Stretches, ...] = ()
    grid: WinnersMap | None = None


NOTHING_TURNED = Turned()


def side_of_row(name: str, cell: Cell, methods: Collection[Method]) -> Side | None:
    """A row of the matrix as a side; None without a proven plan."""
    ranked = cell.ranked
    if ranked is None or not ranked.proven:
        return None
    return Side(
        name, ranked, lambda option: option.machine in cell.exceptions or option.way.method in methods
    )


def side_of_words(name: str, ranked: Ranked | None, words: Words) -> Side | None:
    """A strategy as a side; None without a proven plan."""
    if ranked is None or not ranked.proven:
        return None
    return Side(
        name, ranked, lambda option: option.machine not in words or means(words[option.machine], option.way)
    )


def at_hand(main: Bench, best: Ranked, others: Sequence[Ranked], worth: Sequence[FindingOut]) -> Turned:
    """What turns the answer among the plans at hand."""
    desk = Desk(main, Clock(), known=list(others), best=best)
    return Turned(at_hand_points(desk, figures(main.facts, best, others), best, worth))


def turned(
    main: Bench,
    best: Ranked,
    others: Sequence[Ranked],
    sides: Mapping[str, Side],
    ask: Ask,
    clock: Clock,
    tick: Tick = bool,
) -> Turned:
    """Everything that was asked for, solved anew.

    sides: the two pure ways, where both have a proven plan, and every strategy that has one. Raises UnknownWordsError for
    names that are none of them.
    """
    facts, pairs = main.facts, list[tuple[str, Side, Side]]()
    fixed, cords = sides.get("fixed drops"), sides.get("cords")
    if fixed is not None and cords is not None:
        pairs.append((PURE, fixed, cords))
    if ask.between is not None:
        unknown = [name for name in ask.between if name not in sides]
        if unknown:
            raise UnknownWordsError(
                [
                    f'"{name}" is no strategy with a complete, proven plan; there are: {", ".join(sides)}'
                    for name in unknown
                ]
            )
        one, other = (sides[name] for name in ask.between)
        if {one.name, other.name} != {"fixed drops", "cords"}:
            pairs.insert(0, (f"{one.name} or {other.name}", one, other))
    grid = None
    if ask.grid is not None:
        try:
            grid = winners_map(facts, [best, *others], ask.grid, clock, tick)
        except UnknownFigureError as error:
            raise UnknownWordsError([str(error)]) from None
        except NoPlanError:
            grid = None
    asked = figures(facts, best, others)
    desk = Desk(main, clock.part(FOR_FIGURES), tick, list(others), best)
    points = turning_points(desk, asked, best, pairs)
    stretches = looked_at(facts, best, others, pairs, clock, tick)
    return Turned(points, tuple(stretches), grid)
