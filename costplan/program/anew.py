"""One shop solved again and again at other costs: rows, relaxations and what was proven at some costs serve at others.

What no plan undercuts at some costs is a row for all others: by those costs none is cheaper than the best one was. With
such rows the relaxation alone often proves that the plan at hand stays the best, and nothing is searched.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from costplan.ledger.options import Option
from costplan.ledger.plan import Plan
from costplan.ledger.pricing import Pricer
from costplan.program.built import Choice
from costplan.program.clock import Clock, Tick
from costplan.program.frame import CAP, Frame
from costplan.program.program import Program, Row, Variable
from costplan.program.ranking import TOO_LITTLE_TIME, Allowed, Bench, NoPlanError, Ranked, all_open, walked
from costplan.program.search import Search, Searches
from costplan.program.visit_rows import MINIMUM

MOST_FLOORS = 6
"""How many proven costs are rows at once: those of the costs solved first, and of the last ones."""
USUAL_GAP = 0.015
"""By what share the best plan is expected above its relaxation before one is known. A choice, no source."""
ROUNDED_CENTS = 200
"""By how much what is rounded line by line may be off a straight line, with room to spare."""
WIDER = 1.1
"""How much wider than at the last costs that share is taken."""

NO_PLAN = "no plan keeps all limits"
At = tuple[str, Decimal]
"""A figure along which totals grow evenly, and its value."""


@dataclass(frozen=True)
class _Floor:
    """What variables cost once, and what no plan cost less; `hired` is today's hired labor by variable, for a least charge."""

    cost: Mapping[int, int]
    cents: int
    hired: Mapping[int, int]

    def beside(self, hired: Mapping[int, int]) -> tuple[Mapping[int, int], int]:
        """The same where hired labor costs otherwise, and with it what is short of the least charge.

        That is at most as much more here as labor costs more there: max(0, m - a) - max(0, m - b) <= max(0, b - a).
        """
        more = {index: cents - self.hired.get(index, 0) for index, cents in hired.items()}
        more = {index: cents for index, cents in more.items() if cents > 0}
        if not more:
            return self.cost, self.cents
        return {
            index: self.cost.get(index, 0) + more.get(index, 0) for index in {*self.cost, *more}
        }, self.cents


@dataclass
class _Kept:
    """A way of hiring as it was built first: the rows of its choice, to which those found later are added."""

    choice: Choice
    variables: tuple[Variable, ...]
    """Before any was narrowed, and before any was added."""
    frame: Frame
    money: tuple[int, ...]
    """The numbers of the rows about money."""
    floors: list[_Floor] = field(default_factory=list)
    values: tuple[int, ...] = ()
    gap: float = USUAL_GAP

    @classmethod
    def of(cls, choice: Choice, variables: Iterable[Variable], frame: Frame) -> "_Kept":
        """The choice, narrowed, and its variables before that."""
        rows = choice.program.rows
        money = tuple(number for number, row in enumerate(rows) if row.name in (MINIMUM, CAP))
        return cls(choice, tuple(variables), frame, money)

    def at(self, frame: Frame, pricer: Pricer) -> Choice | None:
        """The choice at other costs; None where they bring other rows."""
        if frame.body.causes is not self.frame.body.causes or not _same_rows(frame, self.frame):
            return None
        costs, known = frame.costs(pricer), self.choice.program
        names = [known.rows[number].name for number in self.money]
        if tuple(costs.variables) != self.variables or [row.name for row in costs.rows] != names:
            return None
        # The lists are shared on purpose: rows that rule out what cannot be cut hold at any cost.
        program = Program(known.variables, known.rows, dict(costs.cost), costs.fixed_cost)
        for number, row in zip(self.money, costs.rows, strict=True):
            program.rows[number] = row
        linear = self.choice.linears[0]
        linear.shared = False
        linear.recost(program, self.money)
        return replace(
            self.choice,
            program=program,
            pricer=pricer,
            purchase=self.choice.purchase.on(program),
            gear=self.choice.gear.on(program),
        )

    @property
    def hired(self) -> Mapping[int, int]:
        """Today's hired labor by variable, where there is a least charge."""
        rows = self.choice.program.rows
        return next((dict(rows[n].terms) for n in self.money if rows[n].name == MINIMUM), {})

    def proved(self, cents: int) -> None:
        """Note that no plan costs less than so much by the costs at hand, which a cap alone could forbid at others."""
        program = self.choice.program
        if any(program.rows[number].name == CAP for number in self.money):
            return
        self.floors.append(_Floor(program.cost, cents - program.fixed_cost, self.hired))
        if len(self.floors) > MOST_FLOORS:
            del self.floors[1]

    def bound(self) -> int:
        """What nothing costs less at the costs at hand, by all that was proven at others."""
        hired, program = self.hired, self.choice.program
        return self.choice.linears[0].bound_above(program, [floor.beside(hired) for floor in self.floors])


def _same_rows(one: Frame, other: Frame) -> bool:
    mine, its = one.purchase.program.rows, other.purchase.program.rows
    return mine is its or _plain(mine) == _plain(its)


def _plain(rows: list[Row]) -> list[object]:
    return [(row.name, row.terms, row.low, row.high) for row in rows]


class _One(Searches):
    """Searches that are over with the first plan, so that nothing is ruled out for a second."""

    def take(self, search: Search) -> None:
        """Its plan is the best."""
        self.found.append(search.holds(min([other.bound for other in self.open] + self.unfinished)))


class Anew:
    """The best plan of some ways of every machine, at one cost after another."""

    def __init__(
        self,
        bench: Bench,
        allowed: Allowed | None = None,
        unlike: Plan | None = None,
        like: Plan | None = None,
    ) -> None:
        """bench: the shop that is solved anew.

        allowed: options that are left; unlike: a plan whose kinds of ways, gear and hands are not wanted together; like:
        one that must have these in common. Raises NoPlanError where a machine has no way.
        """
        if like is not None:
            kinds = like.kinds

            def allowed(option: Option) -> bool:
                return option.way.signature in kinds[option.machine]

        self.unlike, self.like = unlike, like
        self.options: Mapping[str, tuple[Option, ...]] = all_open(bench, allowed)
        self.kept: dict[str, _Kept] = {}
        self.bounds: dict[tuple[str, str], dict[Decimal, int]] = defaultdict(dict)

    def best(
        self, bench: Bench, clock: Clock, at_most: int | None = None, tick: Tick = bool, at: At | None = None
    ) -> Ranked | None:
        """The proven best plan on a bench `recosted` from the first; None where nothing is as cheap as `at_most` cents.

        at: what bounds are remembered by where totals grow evenly along it. A plan that is a cent cheaper than `at_most`
        may be overlooked. Raises NoPlanError without one, or where time is up.
        """
        pricers = [
            pricer
            for pricer in bench.pricers
            if (self.like is None or pricer.hiring.name == self.like.hiring.name)
            and not self._dearer(pricer.hiring.name, at, at_most)
        ]
        choices = {pricer.hiring.name: self._choice(bench, pricer, clock) for pricer in pricers}
        left = {
            name: choice
            for name, choice in choices.items()
            if not self._none_below(name, choice, at_most, at)
        }
        searches = _One(left.values(), at_most)
        for search in searches.open:
            self._begin(search, at_most)
        searches.fill(1, clock, tick)
        found = searches.found[0] if searches.found else None
        if searches.unfinished or (found and found.bound_cents < found.cost_cents):
            raise NoPlanError([TOO_LITTLE_TIME])
        if found is None and at_most is None:
            raise NoPlanError([NO_PLAN])
        least = found.cost_cents if found is not None else at_most
        for name, choice in choices.items():
            if name in self.kept and self.kept[name].choice is choice and least is not None:
                self.kept[name].proved(least)
        if found is None:
            return None
        self._remember(searches, found.choice)
        return walked(bench.facts, found, self.options)

    def _choice(self, bench: Bench, pricer: Pricer, clock: Clock) -> Choice:
        name, frame = pricer.hiring.name, bench.frame(clock)
        kept = self.kept.get(name)
        if kept is not None and (again := kept.at(frame, pricer)) is not None:
            kept.choice = again
            return again
        built = bench.choice(pricer, clock)
        choice = built.narrowed(self.options)
        if self.unlike is not None and self.unlike.hiring.name == name:
            choice.exclude(self.unlike, more_gear=True)
        if self.like is not None:
            choice.hold_to_gear_of(self.like)
        if kept is None and built.left_out is None:
            self.kept[name] = _Kept.of(choice, built.program.variables, frame)
        return choice

    def _dearer(self, name: str, at: At | None, at_most: int | None) -> bool:
        """Whether a way of hiring costs more between two values at which its relaxation is known.

        The least of what grows evenly lies above the straight line between two of its values.
        """
        if at is None or at_most is None:
            return False
        along, value = at
        known = self.bounds[along, name]
        low = max((each for each in known if each <= value), default=None)
        high = min((each for each in known if each >= value), default=None)
        if low is None or high is None:
            return False
        share = (value - low) / (high - low) if high > low else Decimal(0)
        return known[low] + (known[high] - known[low]) * share > at_most + ROUNDED_CENTS

    def _none_below(self, name: str, choice: Choice, at_most: int | None, at: At | None) -> bool:
        """Whether the relaxation, with what was proven at other costs, says that nothing costs less."""
        relaxed, kept = choice.relaxed(), self.kept.get(name)
        if relaxed is not None and at is not None:
            self.bounds[at[0], name][at[1]] = relaxed.bound
        if at_most is None:
            return False
        if relaxed is None or relaxed.bound > at_most:
            return relaxed is not None
        if kept is None or kept.choice is not choice or not kept.floors:
            return False
        return kept.bound() >= at_most

    def _begin(self, search: Search, at_most: int | None) -> None:
        """Where a search begins: from the last plan of the same hiring, as far above its relaxation as that was."""
        kept = self.kept.get(search.name)
        alike = kept is not None and kept.choice is search.choice
        search.hint = dict(enumerate(kept.values)) if kept is not None and alike else {}
        if search.relaxed is not None:
            gap = USUAL_GAP if kept is None else kept.gap
            near = int(search.relaxed.cost + abs(search.relaxed.cost) * gap * WIDER)
            search.near = near if at_most is None else min(near, at_most)

    def _remember(self, searches: Searches, choice: Choice) -> None:
        kept = self.kept.get(choice.pricer.hiring.name)
        search = next(search for search in searches.open if search.choice is choice)
        if kept is None:
            return
        if kept.choice.program.variables == choice.program.variables or kept.choice is choice:
            kept.values = search.answer.values
        if search.relaxed is not None and search.relaxed.cost:
            kept.gap = abs(search.answer.cost / search.relaxed.cost - 1)
