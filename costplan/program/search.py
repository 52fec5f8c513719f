"""The search of the plans of all ways of hiring: best first by what the relaxation says, lumps before the rest.

In textbooks this is best-first branch and bound whose leaves go to another solver. A search is of one way of hiring within
bounds. Where its relaxation has a fraction of a piece of gear it is split in two, with less of that and with more; where its
plan is taken, by the places in which another plan can differ. What no split tells more about is solved. None is looked at
that the relaxation puts above a plan at hand.
"""

from collections.abc import Iterable
from copy import copy
from dataclasses import dataclass

from costplan.ledger.plan import Plan
from costplan.ledger.same_plan import repeats
from costplan.program.choice import Choice
from costplan.program.clock import Clock, Tick
from costplan.program.relaxation import UNKNOWN_BOUND, Relaxation
from costplan.program.solver import Answer, NoAnswerError, any_answer, cheapest_with, solve

USUAL_GAP = 0.015
"""By what share the best plan is expected above its relaxation before one is known. A choice, no source."""


@dataclass(frozen=True, slots=True)
class Found:
    """A plan with its cost, and the choice that it was made from; `bound_cents`: nothing that is left costs less."""

    choice: Choice
    plan: Plan
    cost_cents: int
    bound_cents: int


class Searches:
    """The searches of all ways of hiring, and what they have found together."""

    def __init__(self, choices: Iterable[Choice], at_most: int | None = None) -> None:
        """The choice of every way of hiring; at_most: cost above which nothing is wanted."""
        self.at_most = at_most
        self.open = [Search(choice, at_most) for choice in choices]
        self.found: list[Found] = []
        self.floors = [
            search.choice.floor() for search in self.open if search.choice.body.stock_rows is not None
        ]
        self.unfinished: list[int] = list(self.floors)

    @property
    def most_promising(self) -> "Search":
        """The search that may hold the next plan: by cost, or by bound while it lacks a plan."""
        return min(
            self.open, key=lambda s: (s.bound if s.lacks_plan else s.answer.cost, s.lacks_plan, s.name)
        )

    def fill(self, count: int, clock: Clock, tick: Tick) -> None:
        """Find the next plans until there are so many, no more are left, or time is up."""
        while len(self.found) < count and self.open and not (self.found and clock.up):
            search = self.most_promising
            if self.at_most is not None and search.bound > self.at_most:
                break
            if search.lacks_plan and not search.relaxation_is_current:
                search.relax()
            elif parts := search.split():
                self.open.remove(search)
                self.open += parts
            elif search.lacks_plan:
                last = count - len(self.found) == 1 and self.rest_above(search)
                tick(f"proving plan {len(self.found) + 1}")
                self.advance(search, count, clock.share(1 if last else 2))
            elif self.found and not search.answer.proven:
                break
            else:
                self.take(search)
                if len(self.found) < count:
                    self.exclude(search.plan)

    def find_any(self, choices: Iterable[Choice], clock: Clock) -> None:
        """Where time ran out before any plan was found: the first that comes, from the way of hiring that seems cheapest."""
        by_bound = sorted(map(Search, choices), key=lambda search: (search.bound, search.name))
        bound = min([max(by_bound[0].bound, min(self.unfinished)), *self.floors])
        for search in by_bound:
            try:
                search.find_any(clock)
            except NoAnswerError:
                continue
            self.found.append(search.holds(min(bound, search.answer.cost)))
            return

    def rest_above(self, search: "Search") -> bool:
        """Whether no other search is likely to hold the next plan, as far as is known."""
        likely = search.bound + abs(search.bound) * USUAL_GAP
        return not any(
            other.lacks_plan and other.bound <= likely for other in self.open if other is not search
        )

    def advance(self, search: "Search", count: int, seconds: float | None) -> None:
        """A search looks for its next plan as far as it may be wanted; where time ran out its bound is remembered."""
        try:
            search.advance(self.farthest(count), seconds)
        except NoAnswerError as error:
            self.open.remove(search)
            if error.bound is not None:
                self.unfinished.append(max(error.bound, search.bound))

    def farthest(self, count: int) -> int | None:
        """What the last plan wanted may cost; None where that is not known.

        Where several are wanted it lies above the next one at hand, by the usual distance between plans so far for each that
        is wanted after it. So no search is gone through again for each of them.
        """
        held = [search.answer.cost for search in self.open if not search.lacks_plan]
        if not held:
            return self.at_most
        apart = (min(held) - self.found[0].cost_cents) // len(self.found) if self.found else 0
        last = min(held) - 1 + apart * (count - len(self.found) - 1)
        return last if self.at_most is None else min(last, self.at_most)

    def take(self, search: "Search") -> None:
        """Its plan is the next in the ranking; nothing below the least bound of any search can be cheaper."""
        bound = min([other.bound for other in self.open] + self.unfinished)
        self.found.append(search.holds(bound))

    def exclude(self, plan: Plan) -> None:
        """Rule a plan that is taken out of every search."""
        for search in self.open:
            search.exclude(plan)


class Search:
    """All plans of a way of hiring within bounds: the best not yet excluded.

    `lacks_plan`: it has no such plan at hand; `bound` then says that there is none below. `relaxation_is_current`: `relaxed`,
    which is None where the relaxation said nothing, is that of the program as it is now.
    """

    def __init__(self, choice: Choice, near: int | None = None) -> None:
        """near: a cost a little above which the first plan is expected."""
        self.choice = choice
        self.places: tuple[int, ...] = ()
        """Where a plan can differ from the first excluded, each a variable; empty once split by them."""
        self.excluded: list[Plan] = []
        self.answer: Answer
        self.plan: Plan
        self.hint: dict[int, int] | None = None
        self.near = near
        self.lacks_plan = True
        self.bound = UNKNOWN_BOUND
        self.relaxed: Relaxation | None = None
        self.relaxation_is_current = False
        self.relax()

    @property
    def name(self) -> str:
        """The way of hiring."""
        return self.choice.pricer.hiring.name

    def relax(self) -> None:
        """Solve the relaxation of what is left here."""
        self.relaxed, self.relaxation_is_current = self.choice.relaxed(), True
        if self.relaxed is not None:
            self.bound = max(self.bound, self.relaxed.bound)

    def exclude(self, plan: Plan) -> None:
        """Rule a plan out; the search lacks one when its own is that very plan, by this hiring or by another."""
        self.lacks_plan = self.lacks_plan or repeats(self.plan, plan)
        self.relaxation_is_current = False
        places = self.choice.exclude(plan)
        if not self.excluded:
            self.places = places
        self.excluded.append(plan)

    def split(self) -> list["Search"]:
        """What is left here, in parts by gear or by place; none where that tells no more.

        Parts by gear are apart. Parts by place overlap, since a plan may differ in several places, and miss nothing: a row
        of `Choice.exclude` wants one of the places at 1, so every plan left is in some part. The cheapest of all parts is
        the cheapest of all, and once it is taken it is ruled out of each of them.
        """
        if not self.lacks_plan:
            return []
        if len(self.places) > 1:
            return [self._part(place, low=1, places=()) for place in self.places]
        gear = self._gear_in_fractions()
        if gear is None or self.relaxed is None:
            return []
        below = int(self.relaxed.values[gear])
        return [self._part(gear, high=below), self._part(gear, low=below + 1)]

    def _gear_in_fractions(self) -> int | None:
        """The variable of the gear that is farthest from a whole number, today's before later; None where all are whole."""
        if self.relaxed is None:
            return None
        relaxed, gear = self.relaxed, self.choice.gear
        for indices in (gear.today.values(), gear.bought):
            away, index = max(((relaxed.fraction(i), i) for i in indices), default=(0.0, 0))
            if away:
                return index
        return None

    def _part(
        self,
        index: int,
        *,
        low: int | None = None,
        high: int | None = None,
        places: tuple[int, ...] | None = None,
    ) -> "Search":
        """A copy of this search within narrower bounds of a variable."""
        part = copy(self)
        part.choice = self.choice.copy()
        part.choice.program.narrow(index, low, high)
        part.excluded = list(self.excluded)
        part.places = self.places if places is None else places
        part.relax()
        return part

    def advance(self, at_most: int | None, seconds: float | None) -> None:
        """Find the best plan left at that cost in that time; where there is none, only the bound is higher.

        Raises NoAnswerError when no plan is left at any cost, or time ran out.
        """
        while self.relaxed is not None and self.choice.purchase.reels.cut_off(self.relaxed.values):
            self.relax()
        clock, mended = Clock(seconds), None
        while True:
            if not self.relaxation_is_current:
                self.relax()
            try:
                answer = solve(
                    self.choice.program,
                    seconds=clock.left,
                    at_most=at_most,
                    hint=self.hint,
                    near=self.near,
                    start=mended,
                    relaxed=self.relaxed,
                    records=self.choice.records,
                )
            except NoAnswerError as error:
                if at_most is None or error.bound is not None:
                    raise
                self.bound = max(self.bound, at_most + 1)
                return
            if self._can_be_cut(answer):
                break
            # Rows are added only, so what was proven without them stays so.
            self.bound, self.near = max(self.bound, answer.bound), answer.cost
            mended = self._mended(answer, at_most)
            if mended is not None and mended.proven:
                answer = mended
                break
        self._hold(answer)

    def _mended(self, uncut: Answer, at_most: int | None) -> Answer | None:
        """The ways of an answer that cannot be cut, with reels that it can be cut from; None where that costs too much."""
        ways = [index for of_machine in self.choice.ways.values() for index in of_machine.values()]
        held = {index: uncut.values[index] for index in ways}
        while True:
            try:
                answer = cheapest_with(self.choice.program, held, self.hint, self.bound, self.choice.records)
            except NoAnswerError:
                return None
            if at_most is not None and answer.cost > at_most:
                return None
            if self._can_be_cut(answer):
                return answer

    def find_any(self, clock: Clock) -> None:
        """Find the first plan that comes. Raises NoAnswerError when none does in that time."""
        program, records, relaxed = self.choice.program, self.choice.records, self.relaxed
        while not self._can_be_cut(answer := any_answer(program, clock.left, relaxed, records)):
            relaxed = None
        self._hold(answer)

    def _can_be_cut(self, answer: Answer) -> bool:
        """Whether its pieces can be cut from its reels, and need them all; what is not so is ruled out."""
        reels = self.choice.purchase.reels
        if reels.can_be_cut(answer.values):
            return True
        self.hint = reels.first_fit(answer.values)
        self.relaxation_is_current = False
        return False

    def _hold(self, answer: Answer) -> None:
        # Ruling out what cannot be cut may have added variables, which an older relaxation does not have.
        answer = self.choice.tidied(answer, self.relaxed if self.relaxation_is_current else None)
        self.answer, self.bound, self.near = answer, max(answer.bound, self.bound), answer.cost
        self.hint = dict(enumerate(answer.values))
        self.plan = self.choice.plan(answer)
        self.lacks_plan = False

    def holds(self, bound: int) -> Found:
        """The plan in hand."""
        return Found(self.choice, self.plan, self.answer.cost, bound)
