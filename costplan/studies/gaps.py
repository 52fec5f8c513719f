"""What is missing: ways that are closed because nobody knows a price or a length, and what they cost at least."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import pairwise

from costplan.circuits.facts import DRIVE, Facts
from costplan.circuits.motor_swap import MOTOR
from costplan.circuits.needs import WIRE_SIZES, Need, Spec
from costplan.circuits.ways import Way, refusal
from costplan.ledger.aging import changes
from costplan.ledger.on_offer import lost_panels
from costplan.ledger.options import Option, Unbuildable
from costplan.ledger.standalone import standalone
from costplan.model.catalog import Condition, Offer, Part, Supplier
from costplan.model.choices import SurplusRule
from costplan.program.bench import Bench
from costplan.program.clock import Clock
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.standards.conductors import awg_of_rank
from costplan.years.calendar import lives, scenarios_of

Wanted = Callable[[Way], bool]
NOBODY = "no price yet"
SIZED_BY_PRICE = (DRIVE, MOTOR)
"""Kinds whose priced parts decide how a circuit is sized, so that a made-up price would change more than money."""


@dataclass(frozen=True, slots=True)
class Gap:
    """A machine that lacks a way only for want of a price, or because none can be measured or built; and why.

    `cheaper`: it has one that is complete, and one that could be cheaper is not.
    """

    machine: str
    reason: str
    cheaper: bool = False


@dataclass(frozen=True, slots=True)
class Closed:
    """One missing price or length, and the ways it closes for several machines."""

    what: str
    ways: tuple[tuple[str, str], ...]

    @property
    def machines(self) -> tuple[str, ...]:
        """The machines, each once."""
        return tuple(dict.fromkeys(machine for machine, _ in self.ways))


@dataclass(frozen=True, slots=True)
class Threat:
    """Incomplete ways that could beat the best complete plan, with what the whole costs at least.

    `ways` are machine, way and what is missing; `at_least_cents` is None when it cannot be said.
    """

    ways: tuple[tuple[str, str, str], ...]
    at_least_cents: int | None


def gap(bench: Bench, machine: str, wanted: Wanted, *, others_first: bool = False) -> Gap | None:
    """Why a machine that may have such a way has none that is complete; None when it has one, or may have none.

    others_first: what is there may serve others, so that a way that nobody sells is not complete for being there.
    """
    options = [o for o in bench.priced_survey.options[machine] if o.refused is None and wanted(o.way)]
    if any(option.for_sale if others_first else option.open for option in options):
        return None
    if options:
        return Gap(machine, what_lacks(bench, least_lacking(bench, options)))
    reasons = [entry.reason for entry in unbuildable(bench, machine, wanted)]
    return Gap(machine, reasons[0]) if reasons else None


def by_reason(gaps: Iterable[Gap]) -> dict[str, list[str]]:
    """The machines of gaps by what they lack."""
    reasons: dict[str, list[str]] = {}
    for entry in gaps:
        reasons.setdefault(entry.reason, []).append(entry.machine)
    return reasons


def unbuildable(bench: Bench, machine: str, wanted: Wanted) -> list[Unbuildable]:
    """Ways of a machine that no rule refuses and that cannot be measured or built."""
    shop, entry = bench.facts.shop, bench.facts.machines[machine]
    return [
        way
        for way in bench.priced_survey.unbuildable
        if way.machine == machine and wanted(way.way) and refusal(shop, entry, way.way) is None
    ]


def may_have(bench: Bench, machine: str, wanted: Wanted) -> bool:
    """Whether no rule keeps the machine from every such way."""
    return any(
        option.refused is None and wanted(option.way) for option in bench.priced_survey.options[machine]
    ) or bool(unbuildable(bench, machine, wanted))


def least_lacking(bench: Bench, options: Iterable[Option]) -> Option:
    """The option of which the fewest things have no price."""
    return min(options, key=lambda option: _order(bench, option))


def _order(bench: Bench, option: Option) -> tuple[int, str]:
    return len({need.spec for need in lacking_needs(bench, option)}), repr(option.way)


def what_lacks(bench: Bench, option: Option) -> str:
    """What has no price, in words without lengths, so that machines that lack the same say the same."""
    new = "new " if bench.pricers[0].market.rule is SurplusRule.NEW_ONLY else ""
    specs = dict.fromkeys(need.spec.describe() for need in lacking_needs(bench, option))
    if specs and not lost_panels(option, bench.priced_survey.gear_out):
        return " and ".join(f"no price for {new}{spec}" for spec in specs)
    return option.lacking or ""


def lacking_needs(bench: Bench, option: Option) -> list[Need]:
    """The needs of a way that nobody sells at a price, each once."""
    market = bench.pricers[0].market
    found: dict[Need, None] = {}
    for _, year, bundle in standalone(bench.facts, option.stream):
        for need in bundle.needs:
            if not market.to_be_had(need, year):
                found[need] = None
    return list(found)


def lacks_later(bench: Bench, option: Option) -> str:
    """When a way first takes what has no price where that is later than today, and what happens then; else empty."""
    market = bench.pricers[0].market
    when: dict[str, int] = {}
    for scenario, year, bundle in standalone(bench.facts, option.stream):
        if any(not market.to_be_had(need, year) for need in bundle.needs):
            when[scenario] = min(year, when.get(scenario, year))
    if not when or lost_panels(option, bench.priced_survey.gear_out) or not all(when.values()):
        return ""
    first = min(when.values())
    named = [scenario for scenario, year in when.items() if year == first and scenario]
    shop = bench.facts.shop
    standings = [
        pair
        for scenario in scenarios_of(shop)
        if scenario.name in named
        for pair in pairwise(lives(shop, scenario)[option.machine].standings)
        if pair[1].year == first
    ]
    retooled = any(before.load != after.load for before, after in standings)
    why = {"is retooled"} if retooled else {after.why for _, after in standings}
    of = f" of {' and '.join(named)}" if named else ""
    return f"in year {first}{of}" + (f", when it {why.pop()}" if len(why) == 1 else "")


def _ends_lacking(bench: Bench, option: Option) -> list[Need]:
    """What nobody sells of the work that makes an outlet of a run that has other ends, each once."""
    market = bench.pricers[0].market
    return list(
        dict.fromkeys(
            need
            for use in option.stream.uses
            for end in use.thing.ends
            for need in end.reused.needs
            if not market.to_be_had(need, use.since[0])
        )
    )


def _hindered_ways(bench: Bench) -> list[Option]:
    """Options of kinds of way that are open, but not out of what is there: what nobody sells would keep or move it."""
    found = []
    for options in bench.priced_survey.options.values():
        for_sale = {option.way.as_built for option in options if option.for_sale}
        found += [
            option
            for option in options
            if option.refused is None
            and ((option.lacking and option.way.as_built in for_sale) or _ends_lacking(bench, option))
        ]
    return found


def closed_ways(bench: Bench) -> list[Option]:
    """For every machine and kind of way that only lacks a price, its options, also where what is there may serve."""
    found = []
    for options in bench.priced_survey.options.values():
        open_groups = {option.way.group for option in options if option.for_sale}
        found += [
            option
            for option in options
            if option.refused is None and option.lacking and option.way.group not in open_groups
        ]
    return found


def _unmeasured(bench: Bench) -> Iterator[Unbuildable]:
    for machine, options in bench.priced_survey.options.items():
        known = {option.way.group for option in options}
        for entry in unbuildable(bench, machine, lambda _: True):
            if entry.unmeasured and entry.way.group not in known:
                yield entry


def closed_for_several(bench: Bench) -> tuple[Closed, ...]:
    """Missing prices and lengths that close a kind of way for more than one machine, the worst first."""
    ways: dict[str, dict[tuple[str, str], None]] = defaultdict(dict)
    least: dict[tuple[str, str], Option] = {}
    for option in closed_ways(bench):
        key = (option.machine, option.way.label)
        if key not in least or _order(bench, option) < _order(bench, least[key]):
            least[key] = option
    for key, option in sorted(least.items()):
        ways[what_lacks(bench, option)][key] = None
    for entry in _unmeasured(bench):
        ways[entry.reason][entry.machine, entry.way.label] = None
    found = [Closed(what, tuple(closed)) for what, closed in ways.items()]
    several = [closed for closed in found if len(closed.machines) > 1]
    return tuple(sorted(several, key=lambda closed: (-len(closed.machines), closed.what)))


# what it costs at least ------------------------------------------------------------------------------


def for_nothing(bench: Bench, options: Iterable[Option]) -> Bench:
    """The bench with what these options lack to be had for nothing, so that what it finds is a lower bound."""
    needs = {
        need for option in options for need in (*lacking_needs(bench, option), *_ends_lacking(bench, option))
    }
    needs = {
        need for need in needs if need.spec.kind not in SIZED_BY_PRICE and need.spec.kind in bench.facts.kinds
    }
    facts = _with_free(bench.facts, sorted(needs))
    market = bench.pricers[0].market
    free = Bench.over(
        facts, market.rule, crews=[p.hiring for p in bench.pricers], whole_survey=bench.priced_survey
    )
    marked = {
        machine: tuple(
            replace(option, refused=known.refused)
            for option, known in zip(free.priced_survey.options[machine], found, strict=True)
        )
        for machine, found in bench.priced_survey.options.items()
    }
    return replace(free, priced_survey=replace(free.priced_survey, options=marked))


def _with_free(facts: Facts, needs: Iterable[Need]) -> Facts:
    catalog = facts.catalog
    row = max((offer.row for offer in catalog.offers), default=1)
    parts, offers = [], []
    for number, need in enumerate(needs, 1):
        part = _part(f"{NOBODY} {number}", need.spec)
        by_the_foot = need.length_ft or facts.kinds[need.spec.kind].sold != "each"
        parts.append(part)
        offers.append(
            Offer.model_validate(
                {
                    "part": part.id,
                    "supplier": NOBODY,
                    "condition": Condition.NEW,
                    "price": 0,
                    "per": "ft" if by_the_foot else "each",
                    "row": row + number,
                }
            )
        )
    return Facts(
        facts.shop,
        catalog.model_copy(
            update={
                "parts": [*catalog.parts, *parts],
                "offers": [*catalog.offers, *offers],
                "suppliers": [*catalog.suppliers, Supplier(id=NOBODY, name=NOBODY)],
            }
        ),
    )


def _part(name: str, spec: Spec) -> Part:
    """The least part that meets a spec."""
    attributes: dict[str, str | Decimal | bool] = dict(spec.equal)
    for attribute, value in (*spec.at_most, *spec.at_least):
        attributes[attribute] = awg_of_rank(int(value)) if attribute in WIRE_SIZES else value
    return Part(id=name, kind=spec.kind, name=spec.describe(), attributes=attributes)


def least_cost(
    bench: Bench, options: Mapping[str, Iterable[Option]], clock: Clock
) -> tuple[int, Ranked | None] | None:
    """What any plan of these options costs at least, and the plan; None when there is none or it cannot be said."""
    narrowed = {machine: tuple(found) for machine, found in options.items()}
    if not narrowed:
        return 0, None
    try:
        only = replace(bench, priced_survey=replace(bench.priced_survey, options=narrowed))
        ranked = best_plans(only, 1, clock=clock)[0]
    except NoPlanError:
        return None
    return min(ranked.bound_cents, ranked.present_value_cents), ranked


def at_least(bench: Bench, choose: Callable[[Option], bool], gaps: Iterable[Gap], clock: Clock) -> int | None:
    """What a row costs at least that has gaps: missing parts for nothing, machines without any such way left out.

    choose: which options belong to the row. None when it cannot be said.
    """
    lacking = {entry.machine for entry in gaps}
    options = {
        machine: [o for o in found if (o.way.gone or choose(o)) and o.refused is None]
        for machine, found in bench.priced_survey.options.items()
    }
    free = for_nothing(bench, (option for machine in lacking for option in options[machine]))
    known = {
        machine: [option for option in found if (option.way.gone or choose(option)) and option.open]
        for machine, found in free.priced_survey.options.items()
    }
    left_out = [machine for machine, found in known.items() if not found]
    if any(bench.facts.machines[machine].now is not None for machine in left_out):
        return None
    found = least_cost(free, {machine: found for machine, found in known.items() if found}, clock)
    return None if found is None else found[0]


def threat(bench: Bench, best: Ranked, clock: Clock) -> Threat | None:
    """Ways that lack a price or a length, and could be part of a cheaper plan than the best complete one."""
    unmeasured = tuple(
        dict.fromkeys((entry.machine, entry.way.label, entry.reason) for entry in _unmeasured(bench))
    )
    if unmeasured:
        return Threat(unmeasured, None)
    return _cheaper(bench, [*closed_ways(bench), *_hindered_ways(bench)], best, clock)


def hindered(bench: Bench, belongs: Callable[[Option], bool], best: Ranked, clock: Clock) -> Threat | None:
    """What could make a row cheaper than its best complete plan, were it known what keeping what is there costs."""
    options = {
        machine: tuple(option for option in found if option.way.gone or belongs(option))
        for machine, found in bench.priced_survey.options.items()
    }
    row = replace(bench, priced_survey=replace(bench.priced_survey, options=options))
    return _cheaper(row, _hindered_ways(row), best, clock)


def _cheaper(bench: Bench, lacking: Sequence[Option], best: Ranked, clock: Clock) -> Threat | None:
    """Whether options that lack a price could be part of a plan that is cheaper than the best complete one."""
    if not lacking:
        return None
    free = for_nothing(bench, lacking)
    closed = {(option.machine, option.way): option for option in lacking}
    options = {
        machine: [
            option
            for option, known in zip(found, bench.priced_survey.options[machine], strict=True)
            if known.open or (option.open and (machine, option.way) in closed)
        ]
        for machine, found in free.priced_survey.options.items()
    }
    found = least_cost(free, options, clock)
    if found is None or found[1] is None or found[0] >= best.present_value_cents:
        return None
    ways = tuple(
        (machine, way.label, what)
        for machine, way, _ in found[1].plan.shares()
        if (machine, way) in closed and (what := _lacked(bench, closed[machine, way], found[1]))
    )
    return Threat(ways, found[0]) if ways else None


def _lacked(bench: Bench, option: Option, ranked: Ranked) -> str:
    """What of that which nobody sells a plan takes for an option, in words; empty when it takes nothing of it."""
    if option.lacking:
        return what_lacks(bench, option)
    facts, market = bench.facts, bench.pricers[0].market
    uses = set(option.stream.uses)
    lacked = dict.fromkeys(
        need.spec.describe()
        for taken in ranked.plan.reused
        if taken.use in uses
        for put_in in changes(facts, taken.use, taken.left, taken.since[0]).uses
        for need in put_in.thing.reused.needs
        if not market.to_be_had(need, taken.use.since[0])
    )
    words = " and ".join(f"no price for {spec}" for spec in lacked)
    return f"{words}, to change the ends of a run that is there" if words else ""
