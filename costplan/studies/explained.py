"""Why a plan costs what it costs, why another way does not win, and the least change that would make it win."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way
from costplan.ledger.holding import known_ways, means, words_by_machine, written
from costplan.ledger.options import Option
from costplan.model.bids import Bid
from costplan.model.choices import PURE_WAYS, Powering
from costplan.model.labels import JACKETS, spare_length
from costplan.program.bench import Allowed, Bench
from costplan.program.clock import Clock, Tick
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.standards.conductors import awg_rank
from costplan.studies.bid_choice import with_bids
from costplan.studies.comparison import METHODS
from costplan.studies.gaps import Threat, least_lacking, threat, what_lacks
from costplan.studies.left_out import bench_of_the_rest
from costplan.studies.rows import row_cell
from costplan.studies.strategies import Words, as_if_allowed, forbidden


@dataclass(frozen=True)
class RankedShop:
    """A shop with its ranked plans, as `compare` has them."""

    bench: Bench
    plans: tuple[Ranked, ...]
    threat: Threat | None = None
    """Ways without a price or a length that could be part of a cheaper plan."""

    @property
    def facts(self) -> Facts:
        """The shop, without the machines that have no way."""
        return self.bench.facts

    @property
    def best(self) -> Ranked:
        """The cheapest plan."""
        return self.plans[0]

    def strands(self, name: str) -> tuple[str, ...]:
        """The machines of the plain shop that a name the user wrote stands for, or the one of that name; none for others."""
        facts, here = self.facts, self.bench.priced_survey.options
        alike = [each for each in here if each == name or written(facts, each) == name]
        return tuple(each for each in alike if each not in facts.not_powered)


def opened(
    facts: Facts,
    bids: Sequence[Bid] = (),
    *,
    plans: int = 1,
    expired: bool = False,
    clock: Clock | None = None,
    tick: Tick = bool,
) -> RankedShop:
    """The ranked plans with received bids among the ways of hiring, as `compare` has them. Raises NoPlanError."""
    full = with_bids(facts, bids, today=facts.shop.today, expired=expired) if bids else facts
    bench = bench_of_the_rest(full, full.shop.money.surplus)
    clock = clock or Clock()
    ranked = best_plans(bench, plans, clock=clock.part(0.6), tick=tick, any_plan=True)
    return RankedShop(bench, tuple(ranked), threat(bench, ranked[0], Clock(clock.share(2))))


Belongs = Callable[[str, Way], bool]
"""Whether a plan in question may power a machine by a way."""


@dataclass(frozen=True)
class Instead:
    """The best plan in which machines are powered otherwise, beside the best of all.

    `ranked` is None where there is none; `closed` says why, or, with a plan, which rule is against it: the plan is then what
    it would cost if the rule were not there. `unknown` says what has no price of ways that might be cheaper still.
    """

    belongs: Belongs
    ranked: Ranked | None
    closed: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()

    @property
    def allowed(self) -> bool:
        """Whether there is such a plan and no rule is against it."""
        return self.ranked is not None and not self.closed

    def takes(self, ranked: Ranked) -> bool:
        """Whether another plan powers all machines so, too."""
        return all(self.belongs(name, way) for name, way, _ in ranked.plan.shares())


def by_words(words: Words) -> Belongs:
    """Ways that the words for their machine mean; machines without words may have any."""
    return lambda machine, way: machine not in words or means(words[machine], way)


def instead(bench: Bench, words: Words, clock: Clock, tick: Tick = bool) -> Instead:
    """The best plan by other ways of some machines, or why there is none; proven unless time runs out."""
    belongs, rules = by_words(words), forbidden(bench, words)
    bench = as_if_allowed(bench, words) if rules else bench
    lacking = _lacking(bench, words)
    if lacking:
        return Instead(belongs, None, (*rules, *lacking))
    tick("proving it by another way")
    try:
        ranked = best_plans(bench, 1, allowed=_allowed(belongs), clock=clock)[0]
    except NoPlanError as error:
        return Instead(belongs, None, rules or tuple(error.reasons))
    return Instead(belongs, ranked, rules, _unknown(bench, words))


def _allowed(belongs: Belongs) -> Allowed:
    return lambda option: belongs(option.machine, option.way)


def _unknown(bench: Bench, words: Words) -> tuple[str, ...]:
    """What nobody sells at a price of the named ways, each once."""
    found = [
        what_lacks(bench, option)
        for machine, said in words.items()
        for option in bench.priced_survey.options[machine]
        if option.refused is None and option.lacking is not None and means(said, option.way)
    ]
    return tuple(dict.fromkeys(found))


def _lacking(bench: Bench, words: Words) -> tuple[str, ...]:
    """Why machines have no way of those named that is complete; what a rule is against is not asked here."""
    found: dict[str, dict[str, None]] = {}
    for machine, said in words.items():
        named = [option for option in bench.priced_survey.options[machine] if means(said, option.way)]
        if any(option.open for option in named):
            continue
        unpriced = [option for option in named if option.refused is None]
        if unpriced:
            why = [what_lacks(bench, least_lacking(bench, unpriced))]
        else:
            entries = (entry for entry in bench.priced_survey.unbuildable if entry.machine == machine)
            why = [entry.reason for entry in entries if means(said, entry.way)]
        for reason in why or [f'there is no way "{said}"']:
            found.setdefault(reason, {})[written(bench.facts, machine)] = None
    return tuple(f"{', '.join(names)}: {reason}" for reason, names in found.items())


@dataclass(frozen=True)
class OtherWay:
    """A kind of way of a machine: its key and how it is printed, and the best plan with it."""

    group: str
    label: str
    instead: Instead


def other_ways(
    case: RankedShop, machines: Sequence[str], clock: Clock, tick: Tick = bool
) -> tuple[OtherWay, ...]:
    """Every other kind of way of a machine with the best plan by it, the cheapest first, then what is out."""
    taken = {way.group for name, way, count in case.best.plan.shares() if name in machines and count}
    groups = {way.group: way for name in machines for way in known_ways(case.bench.priced_survey, name)}
    left = [(group, way) for group, way in sorted(groups.items()) if {group} != taken]
    found = [
        OtherWay(
            group,
            way.label,
            instead(case.bench, dict.fromkeys(machines, group), Clock(clock.share(len(left) - place)), tick),
        )
        for place, (group, way) in enumerate(left)
    ]
    return tuple(sorted(found, key=lambda entry: (not entry.instead.allowed, *_cost(entry), entry.group)))


def _cost(entry: OtherWay) -> tuple[bool, int]:
    ranked = entry.instead.ranked
    return (ranked is None, ranked.present_value_cents if ranked is not None else 0)


@dataclass(frozen=True)
class Variant:
    """What a cord or drop could have besides: spare length, a fourth wire, another jacket, heavier wire; and its plan."""

    what: str
    ranked: Ranked | None
    now: bool
    """Whether the best plan has it."""


def variants(case: RankedShop, machine: str, clock: Clock, tick: Tick = bool) -> tuple[Variant, ...]:
    """Spare lengths, wires, jackets and gauges that a machine's kind of way could have, each with its proven best plan.

    Nothing else of the plan is held, so that the difference is what the option is worth. Empty where the best plan has several
    kinds of ways for it, or there is nothing to choose.
    """
    ways = {way for name, way, count in case.best.plan.shares() if name == machine and count}
    if len(ways) != 1:
        return ()
    mine = next(iter(ways))
    alike = [
        option.way
        for option in case.bench.priced_survey.options[machine]
        if option.open and option.way.group == mine.group and option.way.panel == mine.panel
    ]
    asked = [choice for choices in _choices(alike) if len(choices) > 1 for choice in sorted(choices)]
    found = []
    for place, choice in enumerate(asked):
        ranked = best_with(case.bench, machine, mine, choice, Clock(clock.share(len(asked) - place)), tick)
        found.append(Variant(choice.words, ranked, choice.of(mine)))
    return tuple(found)


@dataclass(frozen=True, order=True, slots=True)
class FieldValue:
    """One value of a field of a way."""

    field: str
    place: Decimal
    value: object
    words: str

    def of(self, way: Way) -> bool:
        """Whether a way has it."""
        return bool(getattr(way, self.field) == self.value)


def _choices(ways: Sequence[Way]) -> tuple[set[FieldValue], ...]:
    """The values that can be chosen of each field that is bought as an option."""
    lengths = {FieldValue("slack_ft", way.slack_ft, way.slack_ft, spare_length(way.slack_ft)) for way in ways}
    wires = {
        FieldValue(
            "spare_conductor",
            Decimal(way.spare_conductor),
            way.spare_conductor,
            "a spare wire" if way.spare_conductor else "no spare wire",
        )
        for way in ways
    }
    jackets = {
        FieldValue("service", Decimal(list(JACKETS).index(way.service)), way.service, JACKETS[way.service])
        for way in ways
        if way.service is not None
    }
    gauges = {
        FieldValue(
            "least_awg",
            Decimal(awg_rank(way.least_awg) if way.least_awg else 0),
            way.least_awg,
            f"{way.least_awg} AWG from the first" if way.least_awg else "wire as each load asks",
        )
        for way in ways
    }
    return lengths, wires, jackets, gauges


def best_with(
    bench: Bench, machine: str, like: Way, choice: FieldValue, clock: Clock, tick: Tick = bool
) -> Ranked | None:
    """The best plan in which a machine has a way of the same kind with a choice; None where there is none."""

    def allowed(option: Option) -> bool:
        way = option.way
        same = way.group == like.group and way.panel == like.panel
        return option.machine != machine or (same and choice.of(way))

    tick(f"proving it with {choice.words}")
    try:
        return best_plans(bench, 1, allowed=allowed, clock=clock)[0]
    except NoPlanError:
        return None


def strategy_plan(case: RankedShop, name: str, clock: Clock, tick: Tick = bool) -> Instead | None:
    """The best plan of a pure way, or of a strategy of the shop file; None for a name that neither has.

    Machines that a rule keeps from a pure way have their cheapest other one, as in the matrix. Raises UnknownWordsError.
    """
    bench = case.bench
    if name in PURE_WAYS:
        tick(f"proving {name}")
        methods = METHODS[Powering(name)]
        cell = row_cell(bench, lambda _, way: way.method in methods, clock)
        closed = () if cell.ranked is not None else (cell.why_not,)

        def belongs(machine: str, way: Way) -> bool:
            return machine in cell.exceptions or way.gone or way.method in methods

        return Instead(belongs, cell.ranked, closed)
    for known in case.facts.shop.strategies:
        if known.name == name:
            return instead(
                bench,
                words_by_machine(case.facts, bench.priced_survey, known.ways, all_must=False),
                clock,
                tick,
            )
    return None
