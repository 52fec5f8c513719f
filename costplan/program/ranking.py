"""The best plans in order, each proven, each a plan a person would call different."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import partial

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need
from costplan.circuits.ways import Way
from costplan.ledger.crews import Hiring, hirings
from costplan.ledger.lines import Line, Pocket, outlay, present_value
from costplan.ledger.on_offer import priced
from costplan.ledger.options import Chosen, Option, Survey, alike_for_ways, survey
from costplan.ledger.plan import Plan
from costplan.ledger.pricing import Pricer
from costplan.ledger.simulation import walk
from costplan.ledger.steps import Step
from costplan.model.choices import SurplusRule
from costplan.program.build import build_frame
from costplan.program.choice import Choice
from costplan.program.clashes import clashes
from costplan.program.clock import BUILDING, Clock, Tick
from costplan.program.frame import Frame
from costplan.program.search import Found, Searches
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


@dataclass
class Built:
    """What was built of a bench and answered on it so far; `alike` is the frame that its own is `repriced` from, if any."""

    alike: Frame | None = None
    frame: Frame | None = None
    choices: dict[str, Choice] = field(default_factory=dict)
    answered: list["_Answered"] = field(default_factory=list)

    @property
    def for_others(self) -> Frame | None:
        """The frame that a bench of the same ways at other prices can be repriced from, if there is one."""
        return self.frame or self.alike


@dataclass(frozen=True)
class Bench:
    """One market surveyed: what every search over it shares."""

    facts: Facts
    pricers: tuple[Pricer, ...]
    survey: Survey
    seen: Survey
    built: Built = field(default_factory=Built, compare=False, repr=False)

    @classmethod
    def over(
        cls,
        facts: Facts,
        rule: SurplusRule,
        crews: Iterable[Hiring] | None = None,
        seen: Survey | None = None,
        known: "Bench | None" = None,
    ) -> "Bench":
        """A shop under a sourcing rule; what is known of all its options may be passed in.

        known: the bench of the shop with other machines, crews or bids; what does not turn on these is found once.
        """
        market, firsts, built = Market(facts, rule), list[Pricer](), Built()
        alike = known if known and known.pricers and alike_for_ways(known.facts, facts) else None
        if alike is not None and (alike.facts.owner, alike.facts.tasks) == (facts.owner, facts.tasks):
            market, firsts = alike.pricers[0].market.repriced(facts, rule), list(alike.pricers)
        pricers = tuple(Pricer.among(firsts, facts, market, hiring) for hiring in (crews or hirings(facts)))
        seen = seen or survey(facts, known.seen if known is not None else None)
        found = priced(seen, market)
        if firsts and alike is not None and found == alike.survey and _same_loads(alike.facts, facts):
            built = Built(alike.built.for_others)
        return cls(facts, pricers, found, seen, built)

    def choice(self, pricer: Pricer, clock: Clock | None = None) -> Choice:
        """The program of a way of hiring over all options with a price, built once; searches narrow a copy."""
        clock, name = clock or Clock(), pricer.hiring.name
        if name not in self.built.choices:
            self.built.choices[name] = self.frame(clock).hiring(pricer)
        return self.built.choices[name]

    def frame(self, clock: Clock) -> Frame:
        """The program before anybody is hired, built once; of a `repriced` bench from the first one's."""
        built, market = self.built, self.pricers[0].market
        if built.frame is None and built.alike is not None:
            built.frame = built.alike.repriced(market)
        elif built.frame is None:
            out_of_time = partial(clock.spent, BUILDING)
            built.frame = build_frame(self.facts, market, self.survey, self.with_price(), out_of_time)
        return built.frame

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


def _same_loads(one: Facts, other: Facts) -> bool:
    """Whether the same machines run at once in two shops that are alike for ways."""
    return (one.shop.machines, one.shop.service) == (other.shop.machines, other.shop.service)


def best_plans(
    bench: Bench,
    count: int,
    *,
    allowed: Allowed | None = None,
    clock: Clock | None = None,
    tick: Tick = bool,
    any_plan: bool = False,
    at_most: int | None = None,
) -> list[Ranked]:
    """The `count` cheapest different plans, best first; fewer when there are no more, or time is up.

    at_most: the cost above which nothing is wanted, in cents; where nothing is that cheap, no plan is given.
    any_plan: where time runs out before one is found, look on for the first that comes, as long again or ANY_SECONDS.
    After the first only plans found to be the best left in time are given, so that the order holds.
    Raises NoPlanError when there is none at all, DisagreementError on a defect.
    """
    clock, options = clock or Clock(), all_open(bench, allowed)
    known = next((entry.best for entry in bench.built.answered if entry.answers(bench, options)), None)
    if count == 1 and known is not None:
        return [known] if at_most is None or known.present_value_cents <= at_most else []

    def choices() -> Iterator[Choice]:
        for pricer in bench.pricers:
            yield bench.choice(pricer, clock).narrowed(options)

    searches = Searches(choices(), at_most)
    searches.fill(count, clock, tick)
    if any_plan and not searches.found and searches.unfinished and clock.seconds is not None:
        tick("time is up: looking for any plan")
        searches.find_any(choices(), Clock(max(clock.seconds, ANY_SECONDS)))
    if not searches.found and at_most is not None and not searches.unfinished:
        return []
    if not searches.found and searches.unfinished:
        raise NoPlanError([NOT_EVEN_ANY if any_plan else TOO_LITTLE_TIME])
    if not searches.found:
        programs = [choice.program for choice in choices()]
        clash = clashes(bench.facts, bench.survey, programs, options, clock, narrowed=allowed is not None)
        without = [
            f"{entry.machine} is left out already: {'; '.join(entry.reasons)}"
            for entry in bench.facts.left_out
        ]
        raise NoPlanError([*clash.reasons, *without], clash.lacking)
    ranked = [as_ranked(bench.facts, found, options) for found in searches.found]
    if not searches.open and not searches.unfinished:
        ranked[-1] = replace(ranked[-1], last=True)
    if ranked[0].proven:
        bench.built.answered.append(_Answered.of(bench, options, ranked[0]))
    return ranked


def as_ranked(facts: Facts, found: Found, options: Mapping[str, tuple[Option, ...]]) -> Ranked:
    """A plan that was found, walked over the years. Raises DisagreementError."""
    by_way = {(option.machine, option.way): option for ways in options.values() for option in ways}
    chosen = tuple(Chosen(by_way[machine, way], count) for machine, way, count in found.plan.shares())
    done = walk(facts, found.choice.pricer, found.plan, chosen)
    total = present_value(done.lines)
    if total != found.cost_cents:
        raise DisagreementError(
            f"the program says {found.cost_cents} cents and the walk over the years {total}: please report this"
        )
    return Ranked(found.plan, chosen, done.lines, done.needed_by, found.bound_cents, done.steps)


def all_open(bench: Bench, allowed: Allowed | None) -> dict[str, tuple[Option, ...]]:
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
