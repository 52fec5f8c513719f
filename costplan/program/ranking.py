"""The best plans in order, each proven, each a plan a person would call different."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from copy import copy
from dataclasses import dataclass, field, replace

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need
from costplan.circuits.ways import Way
from costplan.ledger.crews import Hiring, hirings
from costplan.ledger.lines import Line, Pocket, outlay, present_value
from costplan.ledger.on_offer import priced
from costplan.ledger.options import Chosen, Option, Survey, survey
from costplan.ledger.plan import Plan
from costplan.ledger.pricing import Pricer
from costplan.ledger.simulation import walk
from costplan.ledger.steps import Step
from costplan.model.choices import SurplusRule
from costplan.program.built import Choice
from costplan.program.choice import build_frame
from costplan.program.clashes import clashes
from costplan.program.clock import BUILDING, Clock, Tick
from costplan.program.frame import Frame
from costplan.program.relaxation import UNKNOWN_BOUND, relax
from costplan.program.solver import Answer, NoAnswerError, any_answer, solve
from costplan.sourcing.market import Market

Allowed = Callable[[Option], bool]


@dataclass(frozen=True)
class Ranked:
    """A plan with its streams of events, its lines and today's steps.

    `bound_cents` is the proven lower bound, the total when optimal; `last` that a search to its end found none after it.
    """

    plan: Plan
    chosen: tuple[Chosen, ...]
    lines: tuple[Line, ...]
    needed_by: Mapping[Need, Mapping[str, int]]
    bound_cents: int
    steps: tuple[Step, ...] = ()
    last: bool = False

    @property
    def present_value_cents(self) -> int:
        """The total: the sum of the lines' present values."""
        return present_value(self.lines)

    @property
    def outlay_cents(self) -> int:
        """Cash that leaves the pocket today."""
        return outlay(self.lines)

    @property
    def residual_cents(self) -> int:
        """Present value of what comes back, negative."""
        return sum(line.present_value_cents for line in self.lines if line.pocket is Pocket.COMES_BACK)

    @property
    def today_cents(self) -> int:
        """Present value of all that happens today, own time, lost time and allowances included."""
        return sum(
            line.present_value_cents
            for line in self.lines
            if line.year == 0 and line.pocket is not Pocket.COMES_BACK
        )

    @property
    def later_cents(self) -> int:
        """Present value of the later years, without what comes back."""
        return self.present_value_cents - self.residual_cents - self.today_cents

    @property
    def proven(self) -> bool:
        """Whether nothing cheaper exists under the same limits."""
        return self.bound_cents >= self.present_value_cents


class DisagreementError(AssertionError):
    """The program's objective and the simulation's total differ: a defect, never a result."""


class NoPlanError(Exception):
    """No plan keeps all limits; `reasons` name the limits that clash, `lacking` the spaces by panel where only they lack."""

    def __init__(self, reasons: list[str], lacking: Mapping[str, int] | None = None) -> None:
        super().__init__("; ".join(reasons))
        self.reasons = reasons
        self.lacking = lacking or {}


ANY_SECONDS = 60
"""How long, at least, any plan is looked for when time ran out before one was found."""


@dataclass(frozen=True)
class Bench:
    """One market surveyed: what every search over it shares."""

    facts: Facts
    pricers: tuple[Pricer, ...]
    survey: Survey
    frames: list[Frame] = field(default_factory=list, compare=False, repr=False)
    built: dict[str, Choice] = field(default_factory=dict, compare=False, repr=False)
    answered: list["_Answered"] = field(default_factory=list, compare=False, repr=False)

    @classmethod
    def over(
        cls,
        facts: Facts,
        rule: SurplusRule,
        crews: Iterable[Hiring] | None = None,
        seen: Survey | None = None,
    ) -> "Bench":
        """A shop under a sourcing rule; what is known of all its options may be passed in."""
        market = Market(facts, rule)
        pricers = tuple(Pricer(facts, market, hiring) for hiring in (crews or hirings(facts)))
        return cls(facts, pricers, priced(seen or survey(facts), market))

    def choice(self, pricer: Pricer, clock: Clock | None = None) -> Choice:
        """The program of a way of hiring over all options with a price, built once; searches narrow a copy."""
        clock, name = clock or Clock(), pricer.hiring.name
        if not self.frames:
            ways = self.with_price()
            self.frames.append(
                build_frame(self.facts, pricer.market, self.survey, ways, lambda: clock.spent(BUILDING))
            )
        if name not in self.built:
            self.built[name] = self.frames[0].hiring(pricer)
        return self.built[name]

    def build(self, clock: Clock) -> None:
        """Build the program of every way of hiring, so that copies of this process have it."""
        for pricer in self.pricers:
            self.choice(pricer, clock)

    def with_price(self) -> dict[str, tuple[Option, ...]]:
        """Options that lack no price, whether a rule is against them or not."""
        return {
            machine: tuple(option for option in options if option.missing is None)
            for machine, options in self.survey.options.items()
        }

    def open_options(self, allowed: Allowed | None = None) -> dict[str, tuple[Option, ...]]:
        """Open options by machine, narrowed where the machine has any that `allowed` admits."""
        result = {}
        for machine, options in self.survey.options.items():
            ready = tuple(option for option in options if option.open)
            narrowed = tuple(option for option in ready if allowed is None or allowed(option))
            result[machine] = narrowed or ready
        return result


def best_plans(
    bench: Bench,
    count: int,
    *,
    allowed: Allowed | None = None,
    clock: Clock | None = None,
    tick: Tick = bool,
    any_plan: bool = False,
) -> list[Ranked]:
    """The `count` cheapest different plans, best first; fewer when there are no more, or time is up.

    any_plan: where time runs out before one is found, look on for the first that comes, as long again or ANY_SECONDS.
    After the first only plans found to be the best left in time are given, so that the order holds.
    Raises NoPlanError when there is none at all, DisagreementError on a defect.
    """
    clock, options = clock or Clock(), _all_open(bench, allowed)
    known = next((entry.best for entry in bench.answered if entry.answers(bench, options)), None)
    if count == 1 and known is not None:
        return [known]

    def searches() -> Iterator[_Search]:
        for pricer in bench.pricers:
            yield _Search(bench, pricer, options, bench.choice(pricer, clock).narrowed(options))

    field = _Field(searches())
    field.fill(count, clock, tick)
    if any_plan and not field.found and field.unfinished and clock.seconds is not None:
        tick("time is up: looking for any plan")
        field.find_any(searches(), max(clock.seconds, ANY_SECONDS))
    if not field.found and field.unfinished:
        raise NoPlanError([NOT_EVEN_ANY if any_plan else TOO_LITTLE_TIME])
    if not field.found:
        clash = clashes(bench.facts, bench.survey, bench.pricers, options)
        raise NoPlanError(clash.reasons, clash.lacking)
    if not field.searches and not field.unfinished:
        field.found[-1] = replace(field.found[-1], last=True)
    if field.found[0].proven:
        bench.answered.append(_Answered.of(bench, options, field.found[0]))
    return field.found


def _all_open(bench: Bench, allowed: Allowed | None) -> dict[str, tuple[Option, ...]]:
    """Open options of every machine. Raises NoPlanError when a machine has none, or nobody is there to be hired."""
    if not bench.pricers:
        raise NoPlanError(
            ["no electrician crew is listed: add one to labor.yaml, even if you do most work yourself"]
        )
    options = bench.open_options(allowed)
    empty = [machine for machine, found in options.items() if not found]
    if empty:
        raise NoPlanError([_nothing_open(bench, machine) for machine in empty])
    return options


@dataclass(frozen=True)
class _Answered:
    """The proven best plan of these ways of every machine: also the best of fewer ways, where it uses no other."""

    hirings: tuple[str, ...]
    ways: Mapping[str, frozenset[Way]]
    best: Ranked

    @classmethod
    def of(cls, bench: Bench, options: Mapping[str, tuple[Option, ...]], best: Ranked) -> "_Answered":
        """What was asked, with the answer."""
        return cls(_hirings(bench), _ways(options), best)

    def answers(self, bench: Bench, options: Mapping[str, tuple[Option, ...]]) -> bool:
        """Whether its plan is the best of these ways too."""
        return self.hirings == _hirings(bench) and all(
            found <= self.ways[machine] and self.best.plan.ways[machine].keys() <= found
            for machine, found in _ways(options).items()
        )


def _hirings(bench: Bench) -> tuple[str, ...]:
    return tuple(pricer.hiring.name for pricer in bench.pricers)


def _ways(options: Mapping[str, tuple[Option, ...]]) -> dict[str, frozenset[Way]]:
    return {machine: frozenset(option.way for option in found) for machine, found in options.items()}


TOO_LITTLE_TIME = "no plan was found within the time limit; give it more time"
NOT_EVEN_ANY = (
    "no plan was found within the time limit, nor afterwards, when any plan would have done: give it more time "
    "(--time-limit 600), hold machines to a way that they will have anyway (--hold 'saw=cord'), or leave out of the file "
    "shared equipment, kinds of plugs and spare lengths of cords that are out of the question"
)


class _Field:
    """The searches of all ways of hiring, and what they have found together."""

    def __init__(self, searches: Iterable["_Search"]) -> None:
        self.searches = list(searches)
        self.found: list[Ranked] = []
        self.floors = [
            search.choice.floor() for search in self.searches if search.choice.left_out is not None
        ]
        self.unfinished: list[int] = list(self.floors)

    @property
    def next(self) -> "_Search":
        """The search that may hold the next plan: by cost, or by bound while it is stale."""
        return min(
            self.searches,
            key=lambda s: (s.bound if s.stale else s.answer.cost, s.stale, s.pricer.hiring.name),
        )

    def fill(self, count: int, clock: Clock, tick: Tick) -> None:
        """Find the next plans until there are so many, no more are left, or time is up."""
        while len(self.found) < count and self.searches and not (self.found and clock.up):
            search = self.next
            if search.splits:
                self.split(search)
            elif search.stale:
                last = count - len(self.found) == 1 and self.rest_above(search)
                tick(f"proving plan {len(self.found) + 1}")
                self.advance(search, clock.share(1 if last else 2))
            elif self.found and not search.proven:
                break
            else:
                self.take(search)

    def find_any(self, searches: Iterable["_Search"], seconds: float) -> None:
        """Where time ran out before any plan was found: the first that comes, from the way of hiring that seems cheapest."""
        by_bound = sorted(searches, key=lambda search: (search.bound, search.pricer.hiring.name))
        bound = min([max(by_bound[0].bound, min(self.unfinished)), *self.floors])
        for search in by_bound:
            try:
                search.find_any(seconds)
            except NoAnswerError:
                continue
            self.found.append(search.ranked(min(bound, search.answer.cost)))
            return

    def rest_above(self, search: "_Search") -> bool:
        """Whether no other search could hold the next plan, as far as is known."""
        return not any(other.stale for other in self.searches if other is not search)

    def advance(self, search: "_Search", seconds: float | None) -> None:
        """A search looks for its next plan below what others hold; where time ran out its bound is remembered."""
        held = [other.answer.cost for other in self.searches if not other.stale]
        try:
            search.advance(min(held) - 1 if held else None, seconds)
        except NoAnswerError as error:
            self.searches.remove(search)
            if error.bound is not None:
                self.unfinished.append(error.bound)

    def split(self, search: "_Search") -> None:
        """Look at each place where another plan can differ from one that is taken."""
        self.searches.remove(search)
        self.searches += search.split()

    def take(self, search: "_Search") -> None:
        """Its plan is the next in the ranking; nothing below the least bound of any search can be cheaper."""
        bound = min([other.bound for other in self.searches] + self.unfinished)
        self.found.append(search.ranked(bound))
        taken = search.plan
        for other in self.searches:
            other.exclude(taken)


class _Search:
    """All plans of a way of hiring, or those that differ from an excluded plan in one place: the best not yet excluded.

    It is stale while it has no such plan at hand; `bound` then says that there is none below.
    where: the place, counted among those where a plan can differ from the first excluded.
    """

    def __init__(
        self, bench: Bench, pricer: Pricer, options: Mapping[str, tuple[Option, ...]], choice: Choice
    ) -> None:
        self.bench, self.pricer, self.options, self.choice = bench, pricer, options, choice
        self.where: int | None = None
        self.places: tuple[int, ...] = ()
        self.excluded: list[Plan] = []
        self.answer: Answer
        self.plan: Plan
        self.hint: dict[int, int] | None = None
        self.near: int | None = None
        self.stale = True
        self._relax()

    def _relax(self) -> None:
        self.relaxed = relax(self.choice.program)
        self.bound = self.relaxed.bound if self.relaxed is not None else UNKNOWN_BOUND

    @property
    def proven(self) -> bool:
        """Whether the plan in hand is the best that is left here."""
        return self.answer.proven

    def exclude(self, plan: Plan) -> None:
        """Rule a plan out; the answer is stale when it was this very plan by another hiring or by this."""
        self.stale = self.stale or self.plan.repeats(plan)
        self.relaxed = None
        self._without(plan)

    def _without(self, plan: Plan) -> None:
        places = self.choice.exclude(plan)
        if not self.excluded:
            self.places = places
        self.excluded.append(plan)

    @property
    def splits(self) -> bool:
        """Whether its plan is taken and what is left is better looked for place by place."""
        return self.stale and self.where is None and len(self.places) > 1

    def split(self) -> list["_Search"]:
        """What is left, by the places where a plan can differ from the first excluded."""
        parts = []
        for where, place in enumerate(self.places):
            part = copy(self)
            part.where, part.choice = where, self.choice.differing(place)
            part.excluded = list(self.excluded)
            part._relax()
            part.bound = max(part.bound, self.bound)
            parts.append(part)
        return parts

    def advance(self, at_most: int | None, seconds: float | None) -> None:
        """Find the best plan left at that cost in that time; none there, and the search stays stale with a higher bound.

        Raises NoAnswerError when no plan is left at any cost, or time ran out.
        """
        while True:
            known, self.relaxed = self.relaxed, None
            try:
                answer = solve(
                    self.choice.program,
                    seconds=seconds,
                    at_most=at_most,
                    hint=self.hint,
                    near=self.near,
                    relaxed=known,
                )
            except NoAnswerError as error:
                if at_most is None or error.bound is not None:
                    raise
                self.bound = max(self.bound, at_most + 1)
                return
            if self._can_be_cut(answer):
                break
        self._hold(answer)

    def find_any(self, seconds: float) -> None:
        """Find the first plan that comes. Raises NoAnswerError when none does in that time."""
        known, self.relaxed = self.relaxed, None
        answer = any_answer(self.choice.program, seconds, known)
        while not self._can_be_cut(answer):
            answer = any_answer(self.choice.program, seconds)
        self._hold(answer)

    def _can_be_cut(self, answer: Answer) -> bool:
        """Whether its pieces can be cut from its reels, and need them all; what is not so is ruled out."""
        reels = self.choice.purchase.reels
        if reels.can_be_cut(answer.values):
            return True
        self.hint = reels.first_fit(answer.values)
        return False

    def _hold(self, answer: Answer) -> None:
        answer = self.choice.tidied(answer)
        self.answer, self.bound, self.near = answer, max(answer.bound, self.bound), answer.cost
        self.hint = dict(enumerate(answer.values))
        self.plan = self.choice.plan(answer)
        self.stale = False

    def ranked(self, bound: int) -> Ranked:
        """The plan in hand, walked over the years. Raises DisagreementError."""
        by_way = {(option.machine, option.way): option for found in self.options.values() for option in found}
        chosen = tuple(Chosen(by_way[machine, way], count) for machine, way, count in self.plan.shares())
        walked = walk(self.bench.facts, self.choice.pricer, self.plan, chosen)
        total = present_value(walked.lines)
        if total != self.answer.cost:
            raise DisagreementError(
                f"the program says {self.answer.cost} cents and the walk over the years {total}: please report this"
            )
        return Ranked(self.plan, chosen, walked.lines, walked.needed_by, bound, walked.steps)


def _nothing_open(bench: Bench, machine: str) -> str:
    options = bench.survey.options[machine]
    said = [(option.way, option.refused or option.lacking) for option in options]
    said += [(entry.way, entry.reason) for entry in bench.survey.unbuildable if entry.machine == machine]
    return f"{machine}: no way is left; {'; '.join(by_reason(said))}"


def by_reason(said: Iterable[tuple[Way, object]]) -> list[str]:
    """Each reason once, with the ways that it closes."""
    found: dict[str, dict[str, None]] = {}
    for way, reason in said:
        found.setdefault(str(reason), {})[way.label] = None
    return [f"{reason} ({'; '.join(ways)})" for reason, ways in found.items()]
