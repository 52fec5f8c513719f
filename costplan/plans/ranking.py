"""The best plans in order, each proven, each a plan a person would call different."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from time import monotonic

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need
from costplan.model.choices import SurplusRule
from costplan.plans.built import Choice
from costplan.plans.choice import build_choice
from costplan.plans.clashes import clashes
from costplan.plans.crews import Hiring, hirings
from costplan.plans.lines import Line, Pocket, outlay, present_value
from costplan.plans.options import Chosen, Option, Survey, priced, survey
from costplan.plans.plan import Plan
from costplan.plans.pricing import Pricer
from costplan.plans.relaxation import relax
from costplan.plans.simulation import walk
from costplan.plans.solver import Answer, NoAnswerError, solve
from costplan.sourcing.market import Market

Allowed = Callable[[Option], bool]


@dataclass(frozen=True)
class Ranked:
    """A plan with its streams of events and its lines; `bound_cents` is the proven lower bound, the total when optimal."""

    plan: Plan
    chosen: tuple[Chosen, ...]
    lines: tuple[Line, ...]
    needed_by: Mapping[Need, Mapping[str, int]]
    bound_cents: int

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
    """No plan keeps all limits; `reasons` name the limits that clash."""

    def __init__(self, reasons: list[str]) -> None:
        super().__init__("; ".join(reasons))
        self.reasons = reasons


MOST_CUTTINGS = 3
"""How often impossible cuttings of one offer are ruled out one by one before its reels are told apart."""
LEAST_SECONDS = 0.5
"""What a search gets even when time is up, so that there is something to show."""


@dataclass
class Clock:
    """The time limit of a run and when it began."""

    seconds: float | None = None
    started: float = field(default_factory=monotonic)

    def share(self, parts: int) -> float | None:
        """One of so many equal parts of the time left, at least a little; None for no limit."""
        if self.seconds is None:
            return None
        return max((self.seconds - (monotonic() - self.started)) / parts, LEAST_SECONDS)

    @property
    def up(self) -> bool:
        """Whether the time is up."""
        return self.seconds is not None and monotonic() - self.started >= self.seconds

    def part(self, share: float) -> "Clock":
        """A clock for a share of the whole time."""
        return Clock(None if self.seconds is None else self.seconds * share)


@dataclass(frozen=True)
class Bench:
    """One market surveyed: what every search over it shares."""

    facts: Facts
    pricers: tuple[Pricer, ...]
    survey: Survey
    built: dict[str, Choice] = field(default_factory=dict, compare=False, repr=False)

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

    def waiting(self, options: Mapping[str, tuple[Option, ...]]) -> list["_Waiting"]:
        """Every way of hiring with the least any plan of these options can cost by it, the cheapest first."""
        found = [_Waiting(pricer, self.choice(pricer).narrowed(options)) for pricer in self.pricers]
        return sorted(found, key=lambda entry: (entry.least, entry.pricer.hiring.name))

    def choice(self, pricer: Pricer) -> Choice:
        """The program of a way of hiring over all options with a price, built once; searches narrow a copy."""
        name = pricer.hiring.name
        if name not in self.built:
            self.built[name] = build_choice(self.facts, pricer, self.survey, self.with_price())
        return self.built[name]

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
    tick: Callable[[], object] = bool,
) -> list[Ranked]:
    """The `count` cheapest different plans, best first; fewer when there are no more, or time is up.

    After the first only plans found to be the best left in time are given, so that the order holds.
    Raises NoPlanError when there is none at all, DisagreementError on a defect.
    """
    clock = clock or Clock()
    if not bench.pricers:
        raise NoPlanError(
            ["no electrician crew is listed: add one to labor.yaml, even if you do most work yourself"]
        )
    options = bench.open_options(allowed)
    empty = [machine for machine, found in options.items() if not found]
    if empty:
        raise NoPlanError([_nothing_open(bench, machine) for machine in empty])
    field = _Field(count, bench.waiting(options))
    while len(field.found) < count:
        share = clock.share(1 if count == 1 and not field.waiting else 2)
        if field.found and clock.up:
            break
        if field.must_open:
            search = _Search(bench, field.open(), options, field.excluded)
            at_most = field.cheapest - 1 if count == 1 and field.cheapest is not None else None
            field.enter(search, search.advance(at_most, share))
            tick()
        elif not field.searches:
            break
        elif field.next().stale:
            search = field.next()
            field.again(search, search.advance(None, share))
            tick()
        elif field.found and not field.next().proven:
            break
        else:
            field.take(field.next())
    if not field.found:
        raise NoPlanError(
            [TOO_LITTLE_TIME]
            if field.unfinished
            else clashes(bench.facts, bench.survey, bench.pricers, options)
        )
    return field.found


TOO_LITTLE_TIME = "no plan was found within the time limit; give it more time"


class _Field:
    """The searches of all ways of hiring, and what they have found together.

    `waiting` are ways of hiring not searched yet, the most promising first, each with the least it can cost.
    """

    def __init__(self, count: int, waiting: list["_Waiting"]) -> None:
        self.count, self.waiting = count, waiting
        self.excluded: list[Plan] = []
        self.searches: list[_Search] = []
        self.found: list[Ranked] = []
        self.unfinished: list[int] = []

    @property
    def cheapest(self) -> int | None:
        """The least cost found so far."""
        return min((search.cost for search in self.searches), default=None)

    @property
    def must_open(self) -> bool:
        """Whether the next way of hiring in line could hold the next plan."""
        if not self.waiting or not self.searches:
            return bool(self.waiting)
        search = self.next()
        return self.waiting[0].least < (search.bound if search.stale else search.cost)

    def open(self) -> "_Waiting":
        """The next way of hiring in line, which then is searched."""
        return self.waiting.pop(0)

    def enter(self, search: "_Search", outcome: "_Outcome") -> None:
        """A search joins when it found a plan; when time ran out its bound is remembered."""
        if outcome.found:
            self.searches.append(search)
        elif outcome.bound is not None:
            self.unfinished.append(outcome.bound)

    def again(self, search: "_Search", outcome: "_Outcome") -> None:
        """A search looked for its next plan."""
        if not outcome.found:
            self.searches.remove(search)
            if outcome.bound is not None:
                self.unfinished.append(outcome.bound)

    def next(self) -> "_Search":
        """The search that may hold the next plan: by cost, or by bound while it is stale."""
        return min(
            self.searches,
            key=lambda s: (s.bound if s.stale else s.cost, s.stale, s.choice.pricer.hiring.name),
        )

    def take(self, search: "_Search") -> None:
        """Its plan is the next in the ranking; nothing below the least bound of any search can be cheaper."""
        waiting = [entry.least for entry in self.waiting]
        bound = min([other.bound for other in self.searches] + self.unfinished + waiting)
        self.found.append(search.ranked(bound))
        self.excluded.append(search.plan)
        for other in self.searches:
            other.exclude(search.plan)


@dataclass(frozen=True, slots=True)
class _Outcome:
    """Whether a search found a plan; if not for lack of time, the bound it reached."""

    found: bool
    bound: int | None = None


class _Waiting:
    """A way of hiring not searched yet: its program, and the least that its relaxation allows."""

    def __init__(self, pricer: Pricer, choice: Choice) -> None:
        self.pricer, self.choice = pricer, choice
        self.relaxed = relax(choice.program)
        self.least = self.relaxed.bound if self.relaxed is not None else -(10**15)


class _Search:
    """One way of hiring: its program, and the best plan not yet excluded."""

    def __init__(
        self,
        bench: Bench,
        waiting: _Waiting,
        options: Mapping[str, tuple[Option, ...]],
        excluded: Iterable[Plan],
    ) -> None:
        self.bench, self.pricer, self.options = bench, waiting.pricer, options
        self.reel_by_reel: frozenset[int] = frozenset()
        self.cuttings: Counter[int] = Counter()
        self.excluded: list[Plan] = list(excluded)
        self.choice: Choice = waiting.choice
        self.relaxed = None if self.excluded else waiting.relaxed
        for plan in self.excluded:
            self.choice.exclude(plan)
        self.answer: Answer
        self.plan: Plan
        self.stale = False

    @property
    def cost(self) -> int:
        """The cost of the plan in hand."""
        return self.answer.cost

    @property
    def proven(self) -> bool:
        """Whether the plan in hand is the best that is left by this way of hiring."""
        return self.answer.proven

    @property
    def bound(self) -> int:
        """No plan left costs less; excluding plans can only raise it."""
        return self.answer.bound

    def exclude(self, plan: Plan) -> None:
        """Rule a plan out; the answer is stale when it was this very plan by another hiring or by this."""
        self.choice.exclude(plan)
        self.excluded.append(plan)
        self.stale = self.stale or self.plan.repeats(plan)

    def advance(self, at_most: int | None, seconds: float | None) -> _Outcome:
        """Find the best plan left at that cost in that time."""
        before = getattr(self, "answer", None)
        hint = dict(enumerate(before.values)) if before is not None else None
        near = before.cost if before is not None else None
        while True:
            try:
                known, self.relaxed = self.relaxed, None
                answer = solve(
                    self.choice.program,
                    seconds=seconds,
                    at_most=at_most,
                    hint=hint,
                    near=near,
                    relaxed=known,
                )
            except NoAnswerError as error:
                return _Outcome(False, error.bound)
            unfit = self.choice.purchase.unfit(answer.values) - self.reel_by_reel
            if not unfit:
                break
            values = answer.values
            undecided = {row for row in unfit if not self._ruled_out(row, values)}
            if undecided:
                self._tell_reels_apart(frozenset(undecided))
                hint = None
        self.answer = answer
        self.plan = self.choice.plan(self.answer)
        self.stale = False
        return _Outcome(True)

    def _ruled_out(self, offer_row: int, values: tuple[int, ...]) -> bool:
        """Whether the impossible cutting was ruled out; not for ever, since every time costs a search."""
        self.cuttings[offer_row] += 1
        return self.cuttings[offer_row] <= MOST_CUTTINGS and self.choice.purchase.forbid(values, offer_row)

    def _tell_reels_apart(self, offers: frozenset[int]) -> None:
        """Build the program anew with the reels of these offers one by one."""
        self.reel_by_reel |= offers
        bench = self.bench
        whole = build_choice(bench.facts, self.pricer, bench.survey, bench.with_price(), self.reel_by_reel)
        self.choice = whole.narrowed(self.options)
        for plan in self.excluded:
            self.choice.exclude(plan)

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
        return Ranked(self.plan, chosen, walked.lines, walked.needed_by, bound)


def _nothing_open(bench: Bench, machine: str) -> str:
    options = bench.survey.options[machine]
    reasons = [f"{option.way.group}: {option.refused or option.missing}" for option in options]
    reasons += [
        f"{way.way.group}: {way.reason}" for way in bench.survey.unbuildable if way.machine == machine
    ]
    return f"{machine}: no way is left; " + "; ".join(dict.fromkeys(reasons))
