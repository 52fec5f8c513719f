"""What was asked about turning points, and all that was found: figures, shops made anew, two named sides, a map."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from costplan.circuits.facts import Facts
from costplan.files.asked import WrongUseError
from costplan.files.problems import allowed_words
from costplan.ledger.holding import UnknownWordsError, means
from costplan.model.choices import PURE_WAYS, Method
from costplan.program.bench import Bench
from costplan.program.clock import Clock, Tick
from costplan.program.ranked import NoPlanError, Ranked
from costplan.studies.at_hand import at_hand_points, by_worth, solved_nearer
from costplan.studies.beside import beside
from costplan.studies.figures import figures, names_of_tasks
from costplan.studies.finding_out import FindingOut
from costplan.studies.rows import Cell
from costplan.studies.shops_anew import Hold, Stretch, Stretches, looked_at, moves_of, whole_figures
from costplan.studies.strategies import Words
from costplan.studies.turning import Desk, Point, Side, Turning, best_points, turning_points
from costplan.studies.winners_map import MOVES_A_YEAR, UnknownFigureError, WinnersMap, names_of, winners_map

FOR_MAP, FOR_FIGURES = 0.6, 0.8
"""Shares of the time after which a map, and without a second process the best plan along figures, ends. A choice, no source."""
PURE = "pure ways"
"""The question which of `PURE_WAYS` is cheaper."""
_Turn = tuple[str, str, str, tuple[Point, ...], bool]
_Stretched = tuple[str, str, tuple[Stretch, ...], bool]


Pair = str | Sequence[str]
"""Two names, or both in one text with a comma between them."""


@dataclass(frozen=True, slots=True)
class Ask:
    """What is to be solved anew: always every figure; `between` names two sides, `grid` two figures."""

    between: tuple[str, str] | None = None
    grid: tuple[str, str] | None = None


def ask_of(*, turning: bool, between: Pair | None, map_of: Pair | None) -> Ask | None:
    """What is to be solved anew for what could turn the answer. Raises WrongUseError for what is not two names."""
    if not turning and between is None and map_of is None:
        return None
    return Ask(_two("--between", between), _two("--map", map_of))


def _two(option: str, said: Pair | None) -> tuple[str, str] | None:
    if said is None:
        return None
    names = [name.strip() for name in (said.split(",") if isinstance(said, str) else said)]
    if len(names) != 2 or not all(names) or names[0] == names[1]:
        told = said if isinstance(said, str) else ", ".join(said)
        raise WrongUseError(f'{option} "{told}": give two different names with a comma between them')
    return names[0], names[1]


@dataclass(frozen=True)
class Turned:
    """Turning points of figures; who wins at whole values of what is built by; a map of two figures."""

    points: tuple[Turning, ...] = ()
    stretches: tuple[Stretches, ...] = ()
    grid: WinnersMap | None = None
    notes: tuple[str, ...] = ()
    """What was asked for and could not be answered, and why."""


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


def at_hand(
    main: Bench,
    best: Ranked,
    others: Sequence[Ranked],
    worth: Sequence[FindingOut],
    by_others: Sequence[Ranked],
    clock: Clock,
    most: int,
) -> Turned:
    """What turns the answer among the plans at hand and the same by other hands: so many figures, solved anew a little."""
    desk = Desk(main, Clock(clock.left), known=[*others, *by_others], best=best)
    told = at_hand_points(desk, figures(main.facts, best, others), best, worth)
    return Turned(solved_nearer(desk, told, best, most))


def refuse_unknown(facts: Facts, ask: Ask, strategies: Iterable[str]) -> None:
    """Raises UnknownWordsError for what is no name of a side or of a figure; nothing is solved for that."""
    reasons, sides = list[str](), [*PURE_WAYS, *strategies]
    for name in ask.between or ():
        if name not in sides:
            mend = allowed_words(name, sides)
            reasons.append(f'--between "{name}": there is no such strategy; {mend}')
    moves = MOVES_A_YEAR in (ask.grid or ())
    known = names_of(facts, moves=moves)
    first = len(set(known).difference(names_of_tasks(facts)))
    for name in ask.grid or ():
        if name not in known:
            mend = allowed_words(name, known, at_most=first)
            reasons.append(f'--map "{name}": there is no such figure; {mend}')
    if moves and moves_of(facts) is None:
        reasons.append(f"--map: {MOVES_A_YEAR} cannot be counted here: nothing moves, or a group does")
    if reasons:
        raise UnknownWordsError(reasons)


def turned(
    main: Bench,
    best: Ranked,
    others: Sequence[Ranked],
    sides: Mapping[str, Side],
    ask: Ask,
    clock: Clock,
    tick: Tick = bool,
    worth: Sequence[FindingOut] = (),
    hold: Hold = lambda bench: bench,
    by_others: Sequence[Ranked] = (),
) -> Turned:
    """Everything that was asked for, solved anew: the map first, then the best plan along figures, what matters most first.

    sides: the two pure ways, where both have a proven plan, and every strategy that has one; worth: what the draws say of
    figures; hold: keeps what is held so in shops made anew; by_others: plans at hand by other hands. Two sides, and shops
    made anew, are looked at in a second process where there is one.
    """
    facts, notes = main.facts, list[str]()
    asked, grid = by_worth(figures(facts, best, others), worth), None
    known_plans = [*others, *by_others]
    lacking = [name for name in ask.between or () if name not in sides]
    notes += [f"{name} is not compared: it has no complete, proven plan" for name in lacking]
    pairs = _pairs(sides, None if lacking else ask.between)
    if ask.grid is not None:
        try:
            grid = winners_map(facts, [best, *others], ask.grid, clock.part(FOR_MAP), tick, hold=hold)
        except UnknownFigureError as error:
            notes.append(f"there is no map: {error}")
        except NoPlanError:
            notes.append("there is no map: no time was left for it")

    def besides() -> tuple[list[_Turn], list[_Stretched]]:
        made = [
            (found.figure.name, found.question, found.stretches, found.looked)
            for found in looked_at(facts, best, others, pairs, Clock(clock.share(2)), tick, hold)
        ]
        desk = Desk(main, Clock(clock.left), tick, list(known_plans), best)
        return [_plain(turn) for turn in turning_points(desk, asked, pairs)], made

    with beside(besides, pays=True) as second:
        own = clock if second.under_way else clock.part(FOR_FIGURES)
        points = best_points(Desk(main, own, tick, list(known_plans), best), asked, best)
        of_pairs, made = second.result()
    known = {figure.name: figure for figure in asked}
    of_sides = [
        Turning(known[name], question, now, found, looked) for name, question, now, found, looked in of_pairs
    ]
    turns = [turn for figure in asked for turn in (*points, *of_sides) if turn.figure.name == figure.name]
    whole = {figure.name: figure for figure in whole_figures(facts, best, others)}
    stretches = tuple(
        Stretches(whole[name], question, found, looked) for name, question, found, looked in made
    )
    return Turned(tuple(turns), stretches, grid, tuple(notes))


def _pairs(sides: Mapping[str, Side], between: tuple[str, str] | None) -> list[tuple[str, Side, Side]]:
    """Questions of two sides by their names: those asked for, then the pure ways."""
    found = {}
    if between is not None and set(between) != set(PURE_WAYS):
        found[f"{between[0]} or {between[1]}"] = between
    if all(name in sides for name in PURE_WAYS):
        found[PURE] = PURE_WAYS
    return [(question, sides[one], sides[other]) for question, (one, other) in found.items()]


def _plain(turn: Turning) -> "_Turn":
    """What a second process tells of a turning: all but the figure, of which the name is enough."""
    return turn.figure.name, turn.question, turn.now, turn.points, turn.looked
