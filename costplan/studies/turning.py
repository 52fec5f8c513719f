"""At which value of a figure another plan is best, or another of two sides wins: found on the optimum, by solving anew.

The value is looked for from what the figure is now towards both ends of its range: solved at the end, then where the plans
found at both cross, until no third one is cheaper. A total that grows evenly with the figure can turn but once between two
values with the same best plan; a `curved` one is looked at in the middle too, and might turn twice between.
"""

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from costplan.ledger.lines import present_value
from costplan.ledger.options import Option
from costplan.ledger.pricing import Pricer
from costplan.ledger.simulation import walk
from costplan.program.clock import Clock, Tick
from costplan.program.ranking import TOO_LITTLE_TIME, Bench, NoPlanError, Ranked, best_plans
from costplan.program.repriced import recosted
from costplan.studies.crossing import Crossed, Sides, crossing
from costplan.studies.figures import Figure
from costplan.studies.finding_out import FindingOut

BEST = "best plan"
"""The question which plan is best of all."""

MOST_AT_HAND, MOST_TRIED = 2, 4
"""How many figures are told where nothing is solved anew, and how many are tried for that."""
MOST_KNOWN = 10
"""How many of the plans found last are tried before an end of a range is solved."""


@dataclass(frozen=True)
class Side:
    """One side of a question: its name, its best plan now, and the options that belong to it, None for all."""

    name: str
    ranked: Ranked
    allowed: Callable[[Option], bool] | None = None


@dataclass(frozen=True, slots=True)
class Point:
    """The value nearest to today's at which another wins: `wins` names the side, `ranked` is its plan there.

    `exact` is False where it may turn nearer still.
    """

    at: Decimal
    wins: str
    ranked: Ranked
    exact: bool


@dataclass(frozen=True)
class Turning:
    """A figure, the question it is asked for, who wins now, and where that changes below and above; none where it never does.

    `looked` is False where there was no time to look at all of the range.
    """

    figure: Figure
    question: str
    now: str
    points: tuple[Point, ...]
    looked: bool = True


@dataclass
class Desk:
    """One program at other values of figures, with what was solved and reckoned on it."""

    bench: Bench
    clock: Clock
    tick: Tick = bool
    benches: dict[tuple[str, Decimal], Bench] = field(default_factory=dict)
    solved: dict[tuple[str, str, Decimal], Ranked] = field(default_factory=dict)
    held: dict[str, dict[tuple[int, Decimal], int]] = field(default_factory=lambda: defaultdict(dict))
    now: dict[int, int] = field(default_factory=dict)
    known: list[Ranked] = field(default_factory=list)
    """Plans that may win somewhere: where the best of them would is tried before an end of the range is solved."""

    def turn(self, figure: Figure, question: str, one: Side, other: Side | None = None) -> Turning:
        """Where a figure turns a question between two sides, or what is best, `one`, where there is no other.

        Of two sides the one cheaper now is taken as the first.
        """
        if other is not None and other.ranked.present_value_cents < one.ranked.present_value_cents:
            one, other = other, one
        points, looked = list[Point](), True
        for end in dict.fromkeys((figure.low, figure.high)):
            if end == figure.likely:
                continue
            try:
                found = self._towards(figure, end, one, other)
            except NoPlanError:
                looked = False
                continue
            if found is not None:
                name = BEST if other is None else other.name
                points.append(Point(found.at, name, found.other, found.exact and not figure.curved))
        return Turning(figure, question, one.name, tuple(points), looked)

    def _towards(self, figure: Figure, end: Decimal, one: Side, other: Side | None) -> Crossed[Ranked] | None:
        def first(value: Decimal) -> Ranked:
            if other is None:
                return one.ranked
            found = self.solve(figure, value, one, None)
            assert found is not None
            return found

        def second(value: Decimal, at_most: int) -> Ranked | None:
            return self.solve(figure, value, other, at_most)

        def cents(plan: Ranked, value: Decimal) -> int:
            return self.cents(plan, figure, value)

        sides, stays = Sides(first, second, cents), figure.likely
        ends = [(figure.likely + end) / 2, end] if figure.curved else [end]
        if other is None and (near := self.among_known(figure, end, one.ranked)) is not None:
            return sides.turn(stays, near.at, figure.step, near.other, one.ranked)
        for wins in ends:
            wins = (wins / figure.step).to_integral_value() * figure.step
            mine = first(wins)
            its = second(wins, cents(mine, wins) - 1)
            if its is not None:
                return sides.turn(stays, wins, figure.step, its, mine)
            stays = wins
        return None

    def among_known(
        self, figure: Figure, end: Decimal, best: Ranked, *, straight: bool = False
    ) -> Crossed[Ranked] | None:
        """Where, towards an end, the first of the plans that are known gets cheaper than the best; it may turn nearer still.

        straight: by the straight line between today and the end, which may be a step off, where the figure is not curved.
        """
        wins = (end / figure.step).to_integral_value() * figure.step
        nearest: tuple[Decimal, Ranked] | None = None
        for other in self.known[-MOST_KNOWN:]:
            if other.plan == best.plan:
                continue
            now = self.today_cents(other) - best.present_value_cents
            gain = self.cents(best, figure, wins) - self.cents(other, figure, wins)
            # By a straight line, as it is but where the figure is curved.
            if gain > 0 and (nearest is None or Decimal(now) / (now + gain) < nearest[0]):
                nearest = Decimal(now) / (now + gain), other
        if nearest is None:
            return None
        share, plan = nearest
        if straight and not figure.curved:
            steps = int(share * abs(wins - figure.likely) / figure.step) + 1
            at = figure.likely + steps * figure.step * (1 if wins > figure.likely else -1)
            return Crossed(at, best, plan, exact=False)
        at = crossing(
            lambda value: self.cents(best, figure, value) - self.cents(plan, figure, value),
            figure.likely,
            wins,
            figure.step,
        )
        return Crossed(at, best, plan, exact=False)

    def solve(self, figure: Figure, value: Decimal, side: Side | None, at_most: int | None) -> Ranked | None:
        """The best plan of a side at a value of the figure that costs no more; None without one. Raises NoPlanError."""
        name = BEST if side is None else side.name
        key = (name, figure.name, value)
        if key not in self.solved:
            if self.clock.up:
                raise NoPlanError([TOO_LITTLE_TIME])
            self.tick(f"proving it at another {figure.name}")
            found = best_plans(
                self.at(figure, value),
                1,
                allowed=None if side is None else side.allowed,
                clock=Clock(self.clock.share(1)),
                at_most=at_most,
            )
            if not found:
                return None
            if not found[0].proven:
                raise NoPlanError([TOO_LITTLE_TIME])
            self.solved[key] = found[0]
            if all(found[0].plan != known.plan for known in self.known):
                self.known.append(found[0])
        ranked = self.solved[key]
        return ranked if at_most is None or ranked.present_value_cents <= at_most else None

    def cents(self, ranked: Ranked, figure: Figure, value: Decimal) -> int:
        """What a plan costs at a value of the figure, held as it is."""
        known, key = self.held[figure.name], (id(ranked), value)
        if key not in known:
            known[key] = held_cents(self.at(figure, value), ranked)
        return known[key]

    def today_cents(self, ranked: Ranked) -> int:
        """What a plan costs as figures are now."""
        if id(ranked) not in self.now:
            self.now[id(ranked)] = held_cents(self.bench, ranked)
        return self.now[id(ranked)]

    def at(self, figure: Figure, value: Decimal) -> Bench:
        """The bench at a value of the figure."""
        key = (figure.name, value)
        if key not in self.benches:
            self.benches[key] = recosted(self.bench, figure.of(value))
        return self.benches[key]


def at_hand(desk: Desk, figure: Figure, best: Ranked) -> Turning:
    """Where the first of the plans that are `known` gets cheaper than the best: nothing is solved, so another may sooner."""
    found = [
        near
        for end in dict.fromkeys((figure.low, figure.high))
        if end != figure.likely and (near := desk.among_known(figure, end, best, straight=True)) is not None
    ]
    points = tuple(Point(near.at, BEST, near.other, exact=False) for near in found)
    return Turning(figure, BEST, BEST, points, looked=False)


def at_hand_points(
    desk: Desk, asked: Sequence[Figure], best: Ranked, worth: Sequence[FindingOut]
) -> tuple[Turning, ...]:
    """The figures that turn the best plan among those at hand, at most two, those first that are worth knowing most."""
    found, order = list[Turning](), sorted(asked, key=lambda figure: -worth_cents(figure, worth))
    for figure in order[:MOST_TRIED]:
        turning = at_hand(desk, figure, best)
        if turning.points:
            found.append(turning)
        if len(found) == MOST_AT_HAND:
            break
    return tuple(found)


def worth_cents(figure: Figure, worth: Sequence[FindingOut]) -> int:
    """The most that knowing one of the figures is worth under which it is drawn."""
    return max(
        (one.worth_cents for one in worth if any(one.figure.startswith(name) for name in figure.drawn)),
        default=0,
    )


def held_cents(bench: Bench, ranked: Ranked) -> int:
    """What a plan costs on a bench that was `recosted`, held as it is, with the same hands at what they charge there."""
    facts = bench.facts
    crews = {crew.name: crew for crew in facts.crews}
    hiring = ranked.plan.hiring
    hiring = replace(hiring, crew=crews.get(hiring.crew.name, hiring.crew))
    pricer = Pricer(facts, bench.pricers[0].market, hiring)
    return present_value(walk(facts, pricer, ranked.plan, ranked.chosen).lines)


def turning_points(
    desk: Desk, asked: Sequence[Figure], best: Ranked, pairs: Sequence[tuple[str, Side, Side]] = ()
) -> tuple[Turning, ...]:
    """Every figure for what is best, and for every pair of sides with the name of its question."""
    found = []
    for figure in asked:
        found.append(desk.turn(figure, BEST, Side(BEST, best)))
        found += [desk.turn(figure, question, one, other) for question, one, other in pairs]
        desk.benches.clear()
        desk.held.clear()
    return tuple(found)
