"""What turns the answer as the first screen tells it: at most two figures, each to its nearest turn, with few solves."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from itertools import islice

from costplan.program.ranked import NoPlanError, Ranked
from costplan.studies.beside import beside
from costplan.studies.figures import Figure
from costplan.studies.finding_out import FindingOut
from costplan.studies.turning import BEST, Desk, Point, Turning

MOST_TOLD, MOST_TRIED = 2, 4
"""How many figures are told, and how many are tried for that."""
FEW_SOLVES, MORE_SOLVES = 1, 6
"""How often one is solved anew where the ways are many, and where they are not. A choice, no source."""


def turning_at_hand(desk: Desk, figure: Figure, best: Ranked) -> Turning:
    """Where the first of the plans that are `known` gets cheaper than the best: nothing is solved, so another may sooner."""
    ends = [end for end in dict.fromkeys((figure.low, figure.high)) if end != figure.likely]
    found = [near for end in ends if (near := desk.among_known(figure, end, best)) is not None]
    return Turning(figure, BEST, BEST, tuple(found), looked=False)


def at_hand_points(
    desk: Desk, asked: Sequence[Figure], best: Ranked, worth: Sequence[FindingOut]
) -> Iterator[Turning]:
    """The figures that turn the best plan among those at hand, one after the other, those first that are worth knowing most."""
    # What can be asked for comes before the hours of one task.
    order = sorted(by_worth(asked, worth), key=lambda each: each.three is not None)
    tried = (turning_at_hand(desk, figure, best) for figure in order[:MOST_TRIED])
    return (turning for turning in tried if turning.points)


def solved_nearer(
    desk: Desk, at_hand: Iterator[Turning], best: Ranked, most: int = MOST_TOLD
) -> tuple[Turning, ...]:
    """The first of them, at most so many, that solving proves to turn, each with its nearest turn solved anew.

    It stays inexact where few solves do not prove that none is nearer. The last of those that are asked together is
    solved in a second process where there is one.
    """
    large, found = desk.bench.priced_survey.large, list[Turning]()

    def nearer(turning: Turning) -> Turning:
        desk.solves = FEW_SOLVES if large else MORE_SOLVES
        return replace(turning, points=_solved_nearer(desk, turning, best))

    while together := list(islice(at_hand, most - len(found))):
        *first, last = together
        with beside(partial(nearer, last), pays=large and bool(first)) as second:
            solved = [nearer(turning) for turning in first]
            solved.append(second.result())
        found += [turning for turning in solved if turning.points]
    return tuple(found)


def _solved_nearer(desk: Desk, turning: Turning, best: Ranked) -> tuple[Point, ...]:
    nearest = turning.nearest
    figure, end = turning.figure, turning.end(nearest)
    try:
        found = desk.best_towards(figure, end, best, nearest)
    except NoPlanError:
        found = desk.reached.get((figure.name, end))
    desk.done_with(figure)
    others = [point for point in turning.points if point is not nearest]
    return (found, *others) if found is not None else ()


def by_worth(asked: Sequence[Figure], worth: Sequence[FindingOut]) -> list[Figure]:
    """Figures in the order in which they matter: what knowing each is worth, then how far it moves the first two plans.

    Of figures that are drawn together the first stands for all.
    """
    matters, seen = dict[str, tuple[int, int]](), set[frozenset[str]]()
    for figure in asked:
        drawn = [one for one in worth if figure.drawn not in seen and one.figure in figure.drawn]
        seen.add(figure.drawn)
        matters[figure.name] = (
            max((one.worth_cents for one in drawn), default=0),
            max((abs(one.swing_cents) for one in drawn), default=0),
        )
    return sorted(asked, key=lambda figure: matters[figure.name], reverse=True)
