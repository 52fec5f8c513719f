"""At which value of a figure another plan is best, or another of two sides wins: found on the optimum, by solving anew.

The value is looked for from what the figure is now towards both ends of its range: solved at the end, then where the plans
found at both cross, until no third one is cheaper. A total that grows evenly with the figure can turn but once between two
values with the same best plan; a `curved` one is looked at in the middle too, and might turn twice between. Plans of the
same make, which differ in parts or lengths, are one plan here: a turn is what a person would call another plan.
"""

from collections import defaultdict
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from costplan.ledger.held import HeldPlan
from costplan.ledger.least_charges import least_charges
from costplan.ledger.lines import Line, present_value
from costplan.ledger.options import Option
from costplan.ledger.plan import Plan
from costplan.ledger.same_plan import repeats
from costplan.program.anew import NO_PLAN, Anew
from costplan.program.bench import Bench
from costplan.program.clock import Clock, Tick
from costplan.program.ranked import TOO_LITTLE_TIME, NoPlanError, Ranked
from costplan.program.repriced import only_parts_differ, recosted
from costplan.studies.crossing import Sides, crossing
from costplan.studies.figures import Figure
from costplan.studies.held_lines import HeldLines
from costplan.studies.held_plans import held_pricer, held_walk

OTHERS, ANY = "another plan", "any plan"
BEST = "best plan"
"""The question which plan is best of all."""

MOST_KNOWN = 20
"""How many of the plans found last are tried before an end of a range is solved."""
MOST_ROUNDS = 16
"""How many values are solved towards one end before the search for where it turns ends."""
NEAR_SHARE = 2000
"""Into how many parts a range is cut for the first stride beside a crossing that is not exact. A choice, no source."""


@dataclass(frozen=True)
class Side:
    """One side of a question: its name, its best plan now, and the options that belong to it, None for all.

    `unlike`: a plan whose make it does not have.
    """

    name: str
    ranked: Ranked
    allowed: Callable[[Option], bool] | None = None
    unlike: Plan | None = None


@dataclass(frozen=True, slots=True)
class Point:
    """The value nearest to today's at which another wins: `wins` names the side, `ranked` is its plan there.

    `exact` is False where it may turn nearer still. `held` says that plans were held as they are and nothing was solved
    there: with other parts the one that wins now may win there too.
    """

    at: Decimal
    wins: str
    ranked: Ranked
    exact: bool
    held: bool = False


@dataclass(frozen=True)
class Turning:
    """A figure, the question it is asked for, who wins now, and where that changes below and above; none where it never does.

    `looked` is False where not all of the range was solved.
    """

    figure: Figure
    question: str
    now: str
    points: tuple[Point, ...]
    looked: bool = True

    @property
    def nearest(self) -> Point:
        """Of its points the one nearest to now, as a share of what is looked at on that side."""
        return min(
            self.points,
            key=lambda point: abs(point.at - self.figure.likely) / abs(self.end(point) - self.figure.likely),
        )

    @property
    def solved(self) -> "Turning":
        """The same with the points alone at which it was solved anew."""
        return replace(self, points=tuple(point for point in self.points if not point.held))

    def end(self, point: Point) -> Decimal:
        """The end of the range towards which a point lies."""
        return self.figure.high if point.at > self.figure.likely else self.figure.low


@dataclass
class Desk:
    """One program at other values of figures, with what was solved and reckoned on it.

    `known` are plans that may win somewhere, found as figures are now: where the best of them would is tried before an end
    of a range is solved.
    """

    bench: Bench
    clock: Clock
    tick: Tick = bool
    known: list[Ranked] = field(default_factory=list)
    best: Ranked | None = None
    """The best plan of all as figures are now."""
    solves: int | None = None
    """How often it may still be solved anew, None for as often as there is time."""
    benches: dict[tuple[str, Decimal], Bench] = field(default_factory=dict)
    lines: dict[Hashable, tuple[Line, ...]] = field(default_factory=dict)
    """The lines of plans as figures are now, by the plan's key, as all that follows."""
    held: dict[tuple[str, Hashable], HeldLines] = field(default_factory=dict)
    walked: dict[tuple[str, Hashable, Decimal], int] = field(default_factory=dict)
    bought: dict[Hashable, HeldPlan] = field(default_factory=dict)
    """Plans with what they buy, by the plan."""
    solvers: dict[str, Anew | None] = field(default_factory=dict)
    of_side: dict[str, list[Ranked]] = field(default_factory=lambda: defaultdict(list))
    least: dict[tuple[str, str, Decimal], int] = field(default_factory=dict)
    """What nothing costs less, by side, figure and value."""
    reached: dict[tuple[str, Decimal], Point] = field(default_factory=dict)
    """The nearest value, by figure and end, at which a plan of another make was proven the best on the way there."""

    def __post_init__(self) -> None:
        """The plans that are known were found as figures are now."""
        for ranked in (*self.known, *([self.best] if self.best is not None else [])):
            self.lines[ranked.plan.key] = ranked.lines

    # plans held as they are ------------------------------------------------------------------------

    def lines_now(self, ranked: Ranked) -> tuple[Line, ...]:
        """A plan's lines as figures are now."""
        if ranked.plan.key not in self.lines:
            self.lines[ranked.plan.key] = held_walk(self.bench, ranked)
        return self.lines[ranked.plan.key]

    def about_cents(self, ranked: Ranked, figure: Figure, value: Decimal) -> int:
        """What a plan costs at a value by its lines: to the cent, but where the figure is rough."""
        key = (figure.name, ranked.plan.key)
        if key not in self.held:
            lines = self.lines_now(ranked)
            charges = least_charges(self.bench.facts, ranked.plan, lines)
            self.held[key] = HeldLines.of(figure, lines, charges)
        return self.held[key].cents(value)

    def cents(self, ranked: Ranked, figure: Figure, value: Decimal) -> int:
        """What a plan costs at a value, to the cent."""
        if not figure.rough:
            return self.about_cents(ranked, figure, value)
        if value == figure.likely:
            return present_value(self.lines_now(ranked))
        key = (figure.name, ranked.plan.key, value)
        if key not in self.walked:
            self.walked[key] = self._held_cents(figure, value, ranked)
        return self.walked[key]

    def _held_cents(self, figure: Figure, value: Decimal, ranked: Ranked) -> int:
        """What a plan costs at a value, held as it is: walked anew where more than prices of parts are others there."""
        bench = self.at(figure, value)
        if not only_parts_differ(self.bench.facts, bench.facts):
            return present_value(held_walk(bench, ranked))
        plan = ranked.plan
        if plan.key not in self.bought:
            self.bought[plan.key] = HeldPlan.of(held_pricer(self.bench, ranked), plan, ranked.chosen)
        return self.bought[plan.key].cents(held_pricer(bench, ranked))

    def crossing(
        self,
        first: Ranked,
        other: Ranked,
        figure: Figure,
        stays: Decimal,
        wins: Decimal,
        *,
        exactly: bool = True,
    ) -> Decimal:
        """The value next to `stays` at which the other plan is cheaper, which it is at `wins` and not at `stays`.

        exactly: by a walk at each value where the figure is rough, else by a straight line, or by the lines where it is curved.
        """

        def about(value: Decimal) -> int:
            return self.about_cents(first, figure, value) - self.about_cents(other, figure, value)

        def gain(value: Decimal) -> int:
            return self.cents(first, figure, value) - self.cents(other, figure, value)

        if not figure.rough:
            return crossing(about, stays, wins, figure.step)
        if exactly:
            return crossing(gain, stays, wins, figure.step)
        if figure.curved and about(stays) <= 0 < about(wins):
            return crossing(about, stays, wins, figure.step)
        below, above = gain(stays), gain(wins)
        wide, way = int(abs(wins - stays) / figure.step), 1 if wins > stays else -1
        # Half a cent is where the rounded gain goes from none to one.
        far, stride = (1 - 2 * below) * wide // max(2 * (above - below), 1) + 1, 1
        while far < wide and gain(stays + far * figure.step * way) <= 0:
            far, stride = far + stride, 4 * stride
        return stays + min(far, wide) * figure.step * way

    def least_of(self, plans: Sequence[Ranked], figure: Figure, value: Decimal) -> Ranked | None:
        """The plan that costs least at a value by its lines; None without any."""
        if not plans:
            return None
        return min(plans, key=lambda plan: self.about_cents(plan, figure, value))

    # solving anew ----------------------------------------------------------------------------------

    def solve(self, figure: Figure, value: Decimal, side: Side, at_most: int) -> Ranked | None:
        """The best plan of a side at a value of the figure that costs no more; None without one. Raises NoPlanError."""
        key = (side.name, figure.name, value)
        if at_most < self.least.get(key, at_most):
            return None
        if self.clock.up or self.solves == 0:
            raise NoPlanError([TOO_LITTLE_TIME])
        if self.solves is not None:
            self.solves -= 1
        self.tick(f"proving it at another {figure.name}")
        solver = self._solver(side)
        if solver is None:
            return None
        clock = Clock(self.clock.share(1))
        found = solver.best(self.at(figure, value), clock, at_most)
        self.least[key] = at_most + 1 if found is None else found.present_value_cents
        if found is not None:
            self.of_side[side.name].append(found)
            if side.name in (OTHERS, ANY) and all(found.plan != known.plan for known in self.known):
                self.known.append(found)
        return found

    def _solver(self, side: Side) -> Anew | None:
        """What solves a side anew; None where it has no plan."""
        if side.name not in self.solvers:
            solver = Anew(self.bench, side.allowed, side.unlike)
            try:
                # Many searches at other values are quicker if they begin from this one; a few are not.
                if self.solves is None:
                    solver.best(self.bench, Clock(self.clock.share(2)))
            except NoPlanError as error:
                if error.reasons != [NO_PLAN]:
                    raise
                self.solvers[side.name] = None
            else:
                self.solvers[side.name] = solver
        return self.solvers[side.name]

    def best_of(self, side: Side, figure: Figure, value: Decimal) -> Ranked:
        """The best plan of a side at a value. Raises NoPlanError."""
        known, cents = self._known_of(side, figure, value)
        return self.solve(figure, value, side, cents - 1) or known

    def no_dearer(self, side: Side, figure: Figure, value: Decimal, at_most: int) -> Ranked | None:
        """The best plan of a side at a value, None where it costs more than that, which is told sooner. Raises NoPlanError."""
        known, cents = self._known_of(side, figure, value)
        found = self.solve(figure, value, side, min(cents - 1, at_most))
        return known if found is None and cents <= at_most else found

    def _known_of(self, side: Side, figure: Figure, value: Decimal) -> tuple[Ranked, int]:
        """The plan found of a side that costs least at a value, and what."""
        plans = [side.ranked, *self.of_side[side.name]]
        costs = [self.cents(plan, figure, value) for plan in plans]
        least = min(costs)
        return plans[costs.index(least)], least

    def at(self, figure: Figure, value: Decimal) -> Bench:
        """The bench at a value of the figure."""
        key = (figure.name, value)
        if key not in self.benches:
            self.benches[key] = recosted(self.bench, figure.of(value))
        return self.benches[key]

    def done_with(self, figure: Figure) -> None:
        """Forget what was reckoned at its values."""
        self.benches = {key: bench for key, bench in self.benches.items() if key[0] != figure.name}

    # turning points --------------------------------------------------------------------------------

    def turn(self, figure: Figure, question: str, one: Side, other: Side | None = None) -> Turning:
        """Where a figure turns a question between two sides, or what is best, `one`, where there is no other.

        Of two sides the one cheaper now is taken as the first. Towards an end for which there was no time, points are those of
        the plans at hand.
        """
        if other is not None and other.ranked.present_value_cents < one.ranked.present_value_cents:
            one, other = other, one
        points, looked = list[Point](), True
        for end in dict.fromkeys((figure.low, figure.high)):
            if end == figure.likely:
                continue
            try:
                if self.clock.up:
                    raise NoPlanError([TOO_LITTLE_TIME])
                found = (
                    self.best_towards(figure, end, one.ranked)
                    if other is None
                    else self._between(figure, end, one, other)
                )
            except NoPlanError:
                looked = False
                # What is known without solving is better than nothing.
                found = (
                    self.reached.get((figure.name, end)) or self.among_known(figure, end, one.ranked)
                    if other is None
                    else self._held(figure, end, one, other)
                )
            if found is not None:
                points.append(found)
        return Turning(figure, question, one.name, tuple(points), looked)

    def _ends(self, figure: Figure, end: Decimal) -> list[Decimal]:
        """Where one looks first: at the end, and where a total may turn twice in the middle too."""
        ends = [(figure.likely + end) / 2, end] if figure.curved else [end]
        return [(value / figure.step).to_integral_value() * figure.step for value in ends]

    def best_towards(
        self, figure: Figure, end: Decimal, best: Ranked, near: Point | None = None
    ) -> Point | None:
        """The value nearest to now at which a plan of another make is best; `near` is that of the plans that are known.

        The least of all others bends down only, so where it lies above one held plan at both ends it does so between; else
        one goes to where it crosses that, until no other is cheaper there, nor one of the same make with other parts.
        """
        others = Side(OTHERS, best, unlike=best.plan)
        anyone = Side(ANY, best)
        stays, mine, rest = figure.likely, best, self._ends(figure, end)
        near = near or self.among_known(figure, end, best)
        wins, other = (end, None) if near is None else (near.at, near.ranked)
        for _ in range(MOST_ROUNDS):
            if other is None:
                if not rest:
                    return None
                wins = rest.pop(0)
                other = self._cheaper(figure, wins, others, mine)
                stays = wins if other is None else stays
                continue
            at = self.crossing(mine, other, figure, stays, wins, exactly=False)
            found = self._any_cheaper(figure, at, anyone, other)
            self._note_reached(figure, end, Point(at, BEST, found or other, exact=False), anyone)
            if found is not None and same_make(found, best):
                stays, mine, other = at, found, None
                rest = [value for value in self._ends(figure, end) if abs(value - end) < abs(at - end)]
                continue
            if found is not None:
                wins, other = at, found
                continue
            exact = self.crossing(mine, other, figure, stays, wins) if figure.rough else at
            if abs(exact - at) > abs(at - stays) / NEAR_SHARE:
                nearer = self.solve(figure, exact, others, self.cents(other, figure, exact) - 1)
                if nearer is not None:
                    wins, other = exact, nearer
                    continue
            return Point(exact, BEST, other, exact=not figure.curved)
        return None if other is None else self.reached.get((figure.name, end))

    def _note_reached(self, figure: Figure, end: Decimal, point: Point, anyone: Side) -> None:
        """Keep a point where its plan is of another make than the best one now, and solving proved that none is cheaper."""
        least = self.least.get((anyone.name, figure.name, point.at))
        if least == self.cents(point.ranked, figure, point.at) and not same_make(point.ranked, anyone.ranked):
            self.reached[figure.name, end] = point

    def _any_cheaper(self, figure: Figure, value: Decimal, anyone: Side, than: Ranked) -> Ranked | None:
        """A plan that is cheaper than another at a value, or is known, costs as much and is of the best plan's make."""
        cents, best = self.cents(than, figure, value), anyone.ranked
        known = [best, *self.known, *self.of_side[anyone.name]]
        alike = [plan for plan in known if same_make(plan, best)]
        for plans, at_most in ((alike, cents), (known, cents - 1)):
            near = self.least_of([plan for plan in plans if plan is not than], figure, value)
            if near is not None and self.cents(near, figure, value) <= at_most:
                return near
        return self.solve(figure, value, anyone, cents - 1)

    def _cheaper(
        self, figure: Figure, value: Decimal, side: Side, than: Ranked, by: int = 1
    ) -> Ranked | None:
        """A plan of a side that is cheaper than another at a value by so many cents, what is known first."""
        at_most = self.cents(than, figure, value) - by
        alike = side.unlike is None
        known = [side.ranked, *self.of_side[side.name]] if alike else self.known
        known = [plan for plan in known if same_make(plan, side.ranked) is alike and plan is not than]
        near = self.least_of(known, figure, value)
        if near is not None and self.cents(near, figure, value) <= at_most:
            return near
        return self.solve(figure, value, side, at_most)

    def _between(self, figure: Figure, end: Decimal, one: Side, other: Side) -> Point | None:
        def cents(plan: Ranked, value: Decimal) -> int:
            return self.cents(plan, figure, value)

        def second(value: Decimal, at_most: int) -> Ranked | None:
            return self.no_dearer(other, figure, value, at_most)

        def cross(first: Ranked, its: Ranked, stays: Decimal, wins: Decimal) -> Decimal:
            return self.crossing(first, its, figure, stays, wins)

        sides = Sides(lambda value: self.best_of(one, figure, value), second, cents, cross)
        stays = figure.likely
        for wins in self._ends(figure, end):
            mine = self.best_of(one, figure, wins)
            its = second(wins, cents(mine, wins) - 1)
            if its is not None:
                found = sides.turn(stays, wins, figure.step, its, mine)
                return Point(found.at, other.name, found.other, found.exact and not figure.curved)
            stays = wins
        return None

    def _held(self, figure: Figure, end: Decimal, one: Side, other: Side) -> Point | None:
        """Where, towards an end, the second of two sides gets cheaper with the plans they have now, by their lines."""

        def gain(value: Decimal) -> int:
            return self.about_cents(one.ranked, figure, value) - self.about_cents(other.ranked, figure, value)

        wins = self._ends(figure, end)[-1]
        if gain(wins) <= 0:
            return None
        at = crossing(gain, figure.likely, wins, figure.step)
        return Point(at, other.name, other.ranked, exact=False, held=True)

    def among_known(self, figure: Figure, end: Decimal, best: Ranked) -> Point | None:
        """Where, towards an end, the first of the plans that are known gets cheaper than the best, by their lines."""
        wins = self._ends(figure, end)[-1]
        way, nearest = 1 if wins > figure.likely else -1, list[tuple[Decimal, Ranked]]()
        for other in self.known[-MOST_KNOWN:]:
            if same_make(other, best):
                continue

            def gain(value: Decimal, other: Ranked = other) -> int:
                return self.about_cents(best, figure, value) - self.about_cents(other, figure, value)

            until = nearest[0][0] if nearest else wins
            if gain(until) > 0 >= gain(figure.likely):
                at = crossing(gain, figure.likely, until, figure.step)
                # Of plans that cross at the same value the one of the higher rank is told.
                nearest = nearest if nearest and at == until else [(at, other)]
        if not nearest:
            return None
        at, plan = nearest[0]
        if figure.rough and not self.clock.up:
            # By lines alone it is a little off: a walk beyond it, or two, have the last word.
            far = at
            while self.cents(best, figure, far) <= self.cents(plan, figure, far):
                if far == wins:
                    return None
                far = min(wins * way, (far + (far - figure.likely) / 4 + way * figure.step) * way) * way
                far = (far / figure.step).to_integral_value() * figure.step
            at = self.crossing(best, plan, figure, figure.likely, far, exactly=False)
        return Point(at, BEST, plan, exact=False, held=True)


def same_make(one: Ranked, other: Ranked) -> bool:
    """Whether a person would call them one plan: the same kinds of ways and gear by the same hands, other parts or lengths."""
    return one.plan.hiring.name == other.plan.hiring.name and same_ways(one, other)


def same_ways(one: Ranked, other: Ranked) -> bool:
    """Whether a person would say that they power all machines alike, with the same gear, by whatever hands."""
    mine, its = one.plan, other.plan
    return mine.gear_names == its.gear_names and repeats(mine, its) and repeats(its, mine)


def best_points(desk: Desk, asked: Sequence[Figure], best: Ranked) -> tuple[Turning, ...]:
    """Every figure for what is best, each told when it is known."""
    found = list[Turning]()
    for figure in asked:
        found.append(desk.turn(figure, BEST, Side(BEST, best)))
        desk.done_with(figure)
        desk.tick(f"{figure.name} {'can' if found[-1].points else 'does not'} turn it")
    return tuple(found)


def turning_points(
    desk: Desk, asked: Sequence[Figure], pairs: Sequence[tuple[str, Side, Side]]
) -> tuple[Turning, ...]:
    """Every figure for every pair of sides with the name of its question."""
    found = list[Turning]()
    for figure in asked:
        found += [desk.turn(figure, question, one, other) for question, one, other in pairs]
        desk.done_with(figure)
    return tuple(found)
