"""Figures that change what is built: years of stay, distance of a machine, moves a year. Each value is a shop made anew.

Whole values only, and who wins at each of them: it may change more than once. One looks at both ends and between two values
with different winners first, then at all others for as long as there is time, and says where there was not enough.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from decimal import Decimal
from itertools import pairwise

from costplan.circuits.facts import Facts
from costplan.ledger.same_plan import changed_machines
from costplan.model.choices import SurplusRule
from costplan.model.routes import NoRouteError
from costplan.model.shop import Route
from costplan.program.bench import Bench
from costplan.program.clock import Clock, Tick
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.studies.figures import Figure, weight_figure
from costplan.studies.moves import among_places, at_moves, may_move
from costplan.studies.turning import BEST, Desk, Side, same_make

MOST_YEARS, MOST_FEET, MOST_MOVES = 2, 2, 12
"""Up to how many times the years and the distance of now one looks, and up to how many moves a year. A choice, no source."""
LEAST_YEARS, LEAST_FEET = 12, 60
"""Up to which years and feet at least."""
FOR_ENDS = 0.6
"""The share of the time for ends and for where the winner changes, before all else is looked at. A choice, no source."""
STAY, MOVE = "as many moves", "one more"
"""What scenarios are called between two numbers of moves."""
MORE_MOVES = "one more move a year"


@dataclass(frozen=True)
class WholeFigure:
    """A figure of whole steps: what it is now, None where it is none of them, its ends, and the shop when it is so much."""

    name: str
    unit: str
    now: int | None
    low: int
    high: int
    at: Callable[[int], Facts]


@dataclass(frozen=True)
class Stretch:
    """Values from one to another at which the same wins: a side's name, or a plan of one make. None: nothing is possible."""

    low: Decimal
    high: Decimal
    wins: str
    ranked: Ranked | None


@dataclass(frozen=True)
class Stretches:
    """Who wins a question from the lowest value to the highest; `looked` at every whole value, or only where it says so."""

    figure: WholeFigure
    question: str
    stretches: tuple[Stretch, ...]
    looked: bool


Hold = Callable[[Bench], Bench]
"""Keeps the machines that are held to a way at that."""
Found = tuple[str, Ranked | None]
Wins = Callable[[int], Found]
NOTHING: Found = ("no plan is possible", None)


def years_of(facts: Facts) -> WholeFigure:
    """Years of stay."""

    def at(years: int) -> Facts:
        return Facts(facts.written.model_copy(update={"years": years}), facts.catalog)

    now = facts.shop.years
    return WholeFigure("years of stay", "years", now, 1, max(now * MOST_YEARS, LEAST_YEARS), at)


def distance_of(facts: Facts, best: Ranked, others: Sequence[Ranked]) -> WholeFigure | None:
    """Feet of fixed wiring to the machine in which the plans differ first; what else is measured grows or shrinks as much.

    None where no route to its place was measured: then moving it changes more than one length.
    """
    changed = (name for other in others for name in sorted(changed_machines(other.plan, best.plan)))
    for name in changed:
        place = facts.machines[name].at
        mine = [route for route in facts.shop.routes if route.end == place and route.fixed_ft is not None]
        if not mine:
            continue
        now = min(int(route.fixed_ft) for route in mine if route.fixed_ft is not None)

        def at(feet: int, place: str = place, now: int = now) -> Facts:
            more = feet - now

            def longer(route: Route) -> Route:
                lengths = {"fixed_ft": route.fixed_ft, "cord_ft": route.cord_ft}
                other = {key: max(ft + more, Decimal(0)) for key, ft in lengths.items() if ft is not None}
                return route.model_copy(update=other) if route.end == place else route

            plain = facts.spelled_out.shop
            changed = plain.model_copy(update={"routes": [longer(route) for route in plain.routes]})
            return Facts(changed, facts.catalog)

        return WholeFigure(
            f"distance of {name}", "ft from the panel", now, 1, max(now * MOST_FEET, LEAST_FEET), at
        )
    return None


def moves_of(facts: Facts) -> WholeFigure | None:
    """Machine moves a year, evenly over all years but the last, in place of those the scenarios say; None without any."""
    names = may_move(facts)
    if facts.shop.years < 2 or not names:
        return None
    among = among_places(facts, names)

    def at(moves: int) -> Facts:
        return at_moves(facts, names, among, moves * (facts.shop.years - 1))

    return WholeFigure("moves a year", "machine moves a year", None, 0, min(MOST_MOVES, len(names)), at)


def between_moves(figure: WholeFigure, moves: int) -> tuple[Facts, frozenset[str]]:
    """A shop with so many moves a year or one more, either as likely, and the names of the scenarios with one more.

    What it costs grows evenly between the two.
    """
    facts = figure.at(moves)
    stays, more = (
        [
            scenario.model_copy(update={"name": f"{scenario.name}, {name}", "weight": scenario.weight / 2})
            for scenario in shop.written.scenarios
        ]
        for shop, name in ((facts, STAY), (figure.at(moves + 1), MOVE))
    )
    written = facts.written.model_copy(update={"scenarios": [*stays, *more]})
    return Facts(written, facts.catalog), frozenset(scenario.name for scenario in more)


def share_of_moves(facts: Facts, more: frozenset[str]) -> Figure:
    """How likely the scenarios with one more move a year are, in a shop of `between_moves`."""
    return weight_figure(facts, MORE_MOVES, more)


@dataclass
class _Asked:
    """A question along a figure: who wins at every value that was looked at; `now` is known from the start."""

    figure: WholeFigure
    question: str
    sides: tuple[Side, ...]
    wins: Wins
    same: Callable[[Found, Found], bool]
    known: dict[int, Found]

    def look(self, value: int) -> None:
        """Solve it at a value, once. Raises _TimeUpError."""
        if value not in self.known:
            self.known[value] = self.wins(value)

    def narrow(self) -> None:
        """Look at both ends, then between any two values with different winners. Raises _TimeUpError."""
        self.look(self.figure.low)
        self.look(self.figure.high)
        while (between := self.next(every=False)) is not None:
            self.look(between)

    def next(self, *, every: bool) -> int | None:
        """The value to look at next, in the widest gap: of all, or of those between different winners only."""
        gaps = [
            (high - low, low)
            for low, high in pairwise(sorted(self.known))
            if high - low > 1 and (every or not self.same(self.known[low], self.known[high]))
        ]
        if not gaps:
            return None
        wide, low = max(gaps)
        return low + wide // 2

    def told(self) -> Stretches:
        """Values with the same winner together."""
        found = list[Stretch]()
        for value, winner in sorted(self.known.items()):
            if found and self.same(winner, (found[-1].wins, found[-1].ranked)):
                found[-1] = replace(found[-1], high=Decimal(value))
            else:
                found.append(Stretch(Decimal(value), Decimal(value), *winner))
        ends = self.known.keys() >= {self.figure.low, self.figure.high}
        return Stretches(self.figure, self.question, tuple(found), ends and self.next(every=True) is None)


class _TimeUpError(Exception):
    """There was no time for a value."""


@dataclass
class Shops:
    """The shop at whole values of a figure, each solved once."""

    figure: WholeFigure
    rule: SurplusRule
    clock: Clock
    tick: Tick
    hold: Hold
    benches: dict[int, Bench | None] = field(default_factory=dict)
    longest: float = 0
    """Seconds that the slowest of them took to make."""

    def bench(self, value: int) -> Bench | None:
        """The shop at a value; None where it cannot be."""
        if value not in self.benches:
            left = self.clock.left
            if left is not None and left <= self.longest:
                raise _TimeUpError
            self.tick(f"proving it at other {self.figure.name}")
            try:
                self.benches[value] = self.hold(Bench.over(self.figure.at(value), self.rule))
            except (NoPlanError, NoRouteError):
                self.benches[value] = None
            if left is not None and self.clock.left is not None:
                self.longest = max(self.longest, left - self.clock.left)
        return self.benches[value]

    def solved(self, value: int, side: Side | None, at_most: int | None = None) -> Ranked | None:
        """The best plan of a side, None without one that costs no more than `at_most` cents."""
        bench = self.bench(value)
        if bench is None:
            return None
        if side is not None and side.allowed is not None:
            options = bench.priced_survey.options
            # A side that a machine cannot keep to is no way there, not another one.
            if any(not any(o.open and side.allowed(o) for o in found) for found in options.values()):
                return None
        try:
            allowed = None if side is None else side.allowed
            found = best_plans(bench, 1, allowed=allowed, clock=Clock(self.clock.left), at_most=at_most)
        except NoPlanError:
            if self.clock.up:
                raise _TimeUpError from None
            return None
        if found and not found[0].proven:
            raise _TimeUpError
        return found[0] if found else None

    def best(self, value: int) -> Found:
        """The best plan of all."""
        ranked = self.solved(value, None)
        return NOTHING if ranked is None else (BEST, ranked)

    def of_two(self, one: Side, other: Side) -> Wins:
        """Which of two sides is cheaper, the first where they are even; the one that won last is solved first."""
        won = min(one, other, key=lambda side: side.ranked.present_value_cents)

        def wins(value: int) -> Found:
            nonlocal won
            first, second = (one, other) if won is one else (other, one)
            mine = self.solved(value, first)
            at_most = None if mine is None else mine.present_value_cents - (first is one)
            its = self.solved(value, second, at_most)
            if its is not None:
                won, mine = second, its
            return NOTHING if mine is None else (won.name, mine)

        return wins


def _same_plan(one: Found, other: Found) -> bool:
    if one[1] is None or other[1] is None:
        return one[1] is other[1]
    return same_make(one[1], other[1])


def _same_side(one: Found, other: Found) -> bool:
    return one[0] == other[0]


def whole_figures(facts: Facts, best: Ranked, others: Sequence[Ranked]) -> tuple[WholeFigure, ...]:
    """All such figures of a shop."""
    asked = (years_of(facts), distance_of(facts, best, others), moves_of(facts))
    return tuple(each for each in asked if each is not None)


def looked_at(
    facts: Facts,
    best: Ranked,
    others: Sequence[Ranked],
    pairs: Sequence[tuple[str, Side, Side]],
    clock: Clock,
    tick: Tick = bool,
    hold: Hold = lambda bench: bench,
) -> Iterator[Stretches]:
    """All such figures for pairs of sides, and for what is best.

    Each has its share of the time for its ends and where the winner changes; then all of them fill the gaps between.
    """
    rule, asked = facts.shop.money.surplus, list[tuple[Shops, list[_Asked]]]()
    figures = whole_figures(facts, best, others)
    for place, figure in enumerate(figures):
        own = None if clock.left is None else clock.left * FOR_ENDS / (len(figures) - place)
        shops = Shops(figure, rule, Clock(own), tick, hold)
        questions = _questions(shops, best, pairs)
        asked.append((shops, questions))
        with suppress(_TimeUpError):
            for each in questions:
                each.narrow()
        # One shop takes much room, and none is asked for again.
        shops.benches.clear()
    divided = [
        [_divided(shops.figure, each, Clock(clock.share(3)), tick, hold) for each in questions]
        for shops, questions in asked
    ]
    for shops, questions in sorted(asked, key=lambda entry: entry[0].figure.high):
        shops.clock = Clock(clock.left)
        with suppress(_TimeUpError):
            for each in questions:
                while (value := each.next(every=True)) is not None:
                    for other in questions:
                        other.look(value)
                    shops.benches.clear()
    for (_, questions), cuts in zip(asked, divided, strict=True):
        for each, cut in zip(questions, cuts, strict=True):
            yield _cut(each.told(), cut)


def _questions(shops: Shops, best: Ranked, pairs: Sequence[tuple[str, Side, Side]]) -> list[_Asked]:
    """What is asked along a figure: which of two sides wins, and what is best."""

    def known(winner: Found) -> dict[int, Found]:
        return {} if shops.figure.now is None else {shops.figure.now: winner}

    found = list[_Asked]()
    for question, one, other in pairs:
        cheap = min(one, other, key=lambda side: side.ranked.present_value_cents)
        now = known((cheap.name, cheap.ranked))
        found.append(_Asked(shops.figure, question, (one, other), shops.of_two(one, other), _same_side, now))
    return [*found, _Asked(shops.figure, BEST, (), shops.best, _same_plan, known((BEST, best)))]


def _divided(
    figure: WholeFigure, asked: _Asked, clock: Clock, tick: Tick, hold: Hold
) -> dict[Decimal, Decimal]:
    """Moves a year between two whole numbers at which the winner changes, by the lower one."""
    cuts = dict[Decimal, Decimal]()
    for low, high in pairwise(asked.told().stretches if figure.now is None else ()):
        if high.low - low.high != 1 or clock.up or low.ranked is None or high.ranked is None:
            continue
        at = _share(figure, int(low.high), asked.sides, asked.question, clock, tick, hold)
        if at is not None:
            cuts[low.high] = at
    return cuts


def _cut(found: Stretches, cuts: Mapping[Decimal, Decimal]) -> Stretches:
    """Stretches that meet between two whole numbers, where one of these is as likely as it must be for the winner to change."""
    ends = list(found.stretches)
    for place, (low, high) in enumerate(pairwise(found.stretches)):
        if high.low - low.high == 1 and low.high in cuts:
            ends[place] = replace(ends[place], high=cuts[low.high])
            ends[place + 1] = replace(ends[place + 1], low=cuts[low.high])
    return replace(found, stretches=tuple(ends))


def _share(
    figure: WholeFigure,
    moves: int,
    sides: tuple[Side, ...],
    question: str,
    clock: Clock,
    tick: Tick,
    hold: Hold,
) -> Decimal | None:
    """The moves a year between so many and one more at which the winner changes."""
    facts, more = between_moves(figure, moves)
    bench = hold(Bench.over(facts, facts.shop.money.surplus))

    def now(side: Side | None) -> Ranked:
        allowed = None if side is None else side.allowed
        return best_plans(bench, 1, allowed=allowed, clock=Clock(clock.left))[0]

    try:
        best = now(None)
        weight = share_of_moves(bench.facts, more)
        desk = Desk(bench, clock, tick, best=best)
        if sides:
            one, other = (replace(side, ranked=now(side)) for side in sides)
            turning = desk.turn(weight, question, one, other)
        else:
            turning = desk.turn(weight, BEST, Side(BEST, best))
    except NoPlanError:
        return None
    points = [moves + point.at / 100 for point in turning.points]
    return points[0] if len(points) == 1 else None
