"""What the next machine really costs: the difference of two proven optima, with it and without it."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import zip_longest

from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way
from costplan.ledger.lines import Line, LineKind, Pocket, outlay, present_value
from costplan.ledger.options import Option, Unbuildable
from costplan.ledger.pricing import TODAY, Pricer, When
from costplan.model.choices import DROPS, Method, Supply
from costplan.model.left_out import Without
from costplan.model.shop import Machine, NextMachine
from costplan.program.bench import Bench
from costplan.program.clock import Clock, Tick
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.studies.beside import beside
from costplan.studies.gaps import Threat, threat
from costplan.studies.left_out import bench_of_the_rest, machines_without_a_way


@dataclass(frozen=True, slots=True)
class Variant:
    """The shop with the machine held to one source or one kind of run; `power_cents` is what that adds.

    `unmeasured`: nothing can be said of it, since no length to it is known.
    """

    words: str
    ranked: Ranked | None
    power_cents: int | None
    why_not: str = ""
    unmeasured: bool = False


@dataclass(frozen=True)
class NextPrice:
    """One machine priced: its own lines, and the best plan of the shop without it, with it, with two of it.

    `without_threat` and `with_threat` are incomplete ways that could be cheaper than those plans.
    """

    machine: NextMachine
    facts: Facts
    own_lines: tuple[Line, ...]
    without: Ranked
    with_it: Ranked
    variants: tuple[Variant, ...]
    with_two: Ranked | None
    why_not_two: str = ""
    without_threat: Threat | None = None
    with_threat: Threat | None = None

    @property
    def machine_cents(self) -> int:
        """Present value of the machine itself: price, premium, tax, freight, tooling, less trade-in and worth at the end."""
        return present_value(self.own_lines)

    @property
    def power_cents(self) -> int:
        """Present value of everything the shop must add or change for it."""
        return self.with_it.present_value_cents - self.without.present_value_cents

    @property
    def total_cents(self) -> int:
        """All in."""
        return self.machine_cents + self.power_cents

    @property
    def outlay_cents(self) -> int:
        """Cash today, the machine's and the power's."""
        return outlay(self.own_lines) + self.with_it.outlay_cents - self.without.outlay_cents

    @property
    def proven(self) -> bool:
        """Whether both optima are proven, so that the difference is exact."""
        return self.without.proven and self.with_it.proven

    @property
    def second_power_cents(self) -> int | None:
        """What the power of a second one like it costs once this one is there; None when it was not asked."""
        return (
            None
            if self.with_two is None
            else self.with_two.present_value_cents - self.with_it.present_value_cents
        )


class Benches:
    """The shop without any next machine, and with some of them, each surveyed on from what is known of the others."""

    def __init__(self, facts: Facts) -> None:
        """Machines of the shop that have no way are left out. Raises NoPlanError when none has."""
        self.rule = facts.shop.money.surplus
        self.without = bench_of_the_rest(facts, self.rule)
        self.facts = self.without.facts
        self._alike: dict[tuple[str, int], Bench] = {}

    def with_alike(self, machine: NextMachine, count: int = 1) -> Bench:
        """The shop with so many of a machine."""
        if (machine.name, count) not in self._alike:
            known = self.with_alike(machine, count - 1) if count > 1 else self.without
            facts = with_alike(self.facts, machine, count)
            self._alike[machine.name, count] = Bench.over(facts, self.rule, known=known)
        return self._alike[machine.name, count]


@dataclass(frozen=True, slots=True)
class Base:
    """The best plan of the shop without any next machine, and what is incomplete of it."""

    plan: Ranked
    threat: Threat | None


def without_any(benches: Benches, machines: int, clock: Clock, tick: Tick) -> Base:
    """The shop as it is, in the share of the time that it has beside so many machines. Raises NoPlanError."""
    bench, parts = benches.without, 2 + 8 * machines
    tick("proving the shop without it")
    plan = best_plans(bench, 1, clock=Clock(clock.share(parts)))[0]
    return Base(plan, threat(bench, plan, Clock(clock.share(parts))))


def price_machines(
    facts: Facts | Benches,
    machines: Iterable[NextMachine],
    *,
    second: bool = True,
    all_ways: bool = True,
    seconds: float | None = None,
    tick: Tick = bool,
    base: "Base | None" = None,
) -> list[NextPrice]:
    """Price machines side by side, the cheapest all in first.

    second: also price another one like it; all_ways: give the variants of all, not of the cheapest alone; base: the shop
    without them where it is solved. Machines of the shop that have no way are left out; each of `machines` has one (see
    `with_a_way`). Raises NoPlanError when a shop has no plan.
    """
    chosen = list(machines)
    clock = Clock(seconds)
    benches = facts if isinstance(facts, Benches) else Benches(facts)
    base = base or without_any(benches, len(chosen), clock, tick)
    without = base.plan
    several = len(chosen) > 1

    def solved(some: Sequence[NextMachine]) -> list[_Solved]:
        found = []
        for position, machine in enumerate(some):
            share = Clock(clock.share(len(some) - position))
            one = _solved(
                benches, machine, without, share, tick, second=second, ways=all_ways, alone=not several
            )
            found.append(one)
        return found

    with beside(lambda: solved(chosen[1::2]), pays=several) as others:
        here = solved(chosen[::2])
        there = others.result() if several else []
    prices = []
    for position, machine in enumerate(chosen):
        bench, one = benches.with_alike(machine), (there if position % 2 else here)[position // 2]
        prices.append(
            NextPrice(
                machine,
                bench.facts,
                tuple(_own_lines(bench.pricers[0], machine)),
                without,
                one.with_it,
                one.variants,
                one.two,
                one.why_not_two,
                base.threat,
                one.threat,
            )
        )
    prices.sort(key=lambda price: (price.total_cents, price.machine.name))
    if prices and not all_ways:
        cheapest = prices[0].machine
        found = _variants(benches.with_alike(cheapest), cheapest, without, clock, tick, alone=True)
        prices[0] = replace(prices[0], variants=found)
    return prices


@dataclass(frozen=True, slots=True)
class _Solved:
    """What was solved for one machine: the plan with it, what it lacks, its variants, and with another one like it."""

    with_it: Ranked
    threat: Threat | None
    variants: tuple[Variant, ...]
    two: Ranked | None
    why_not_two: str


def _solved(
    benches: Benches,
    machine: NextMachine,
    without: Ranked,
    clock: Clock,
    tick: Tick,
    *,
    second: bool,
    ways: bool,
    alone: bool,
) -> _Solved:
    """Solve for one machine; where it is `alone` another one like it in a second process, where the shop is large."""

    def best_of_two() -> Ranked | None:
        two = benches.with_alike(machine, 2) if second else None
        return None if two is None else best_plans(two, 1, clock=Clock(clock.share(1)))[0]

    bench = benches.with_alike(machine)
    two, why_not_two = None, ""
    with beside(best_of_two, pays=second and alone and benches.without.priced_survey.large) as another:
        tick(f"proving the shop with {machine.name}")
        with_it = best_plans(bench, 1, clock=Clock(clock.share(7)))[0]
        incomplete = threat(bench, with_it, Clock(clock.share(6)))
        variants = _variants(bench, machine, without, clock, tick) if ways else ()
        if second:
            tick("proving two of them")
        try:
            two = another.result()
        except NoPlanError as error:
            why_not_two = str(error)
    return _Solved(with_it, incomplete, variants, two, why_not_two)


def _variants(
    bench: Bench, machine: NextMachine, without: Ranked, clock: Clock, tick: Tick, *, alone: bool = False
) -> tuple[Variant, ...]:
    """Each source and each kind of run for the machine, the cheapest first; where nothing else runs, in two processes."""
    held = _held_to(bench, machine.name)

    def solved(some: Iterable[tuple[str, Callable[[Way], bool]]]) -> list[Variant]:
        found = []
        for words, allowed in some:
            tick("proving each way for it")
            found.append(_variant(bench, words, allowed, without, Clock(clock.share(6))))
        return found

    its = held[1::2] if alone else []
    with beside(lambda: solved(its), pays=bool(its)) as others:
        here = solved(held[::2] if alone else held)
        there = others.result() if its else []
    found = [variant for pair in zip_longest(here, there) for variant in pair if variant is not None]
    found += _without_price(bench, machine)
    return tuple(sorted(found, key=lambda variant: (variant.power_cents is None, variant.power_cents or 0)))


def with_a_way(
    benches: Benches, machines: Iterable[NextMachine]
) -> tuple[list[NextMachine], tuple[Without, ...]]:
    """The machines that have a way in this shop, and those that have none, with why."""
    ready, out = [], []
    for machine in machines:
        why_not = machines_without_a_way(benches.with_alike(machine)).get(machine.name)
        if why_not is None:
            ready.append(machine)
        else:
            out.append(Without(machine.name, machine.count, why_not))
    return ready, tuple(out)


def with_machines(facts: Facts, machines: Iterable[Machine]) -> Facts:
    """The same shop with machines added."""
    added = [*facts.written.machines, *machines]
    return Facts(facts.written.model_copy(update={"machines": added}), facts.catalog)


def with_alike(facts: Facts, machine: NextMachine, count: int) -> Facts:
    """The shop with so many machines alike, at the same place.

    Where the shop file says what runs at once, each of them runs in turn with the same others as the first;
    a load manager that holds the first back holds them all.
    """
    names = [machine.name, *(f"{machine.name} no. {number}" for number in range(2, count + 1))]
    shop, service = facts.written, facts.written.service
    if service is not None:
        sets = [
            [name if entry == machine.name else entry for entry in together]
            for together in service.at_once
            for name in (names if machine.name in together else names[:1])
        ]
        limited = [
            most.model_copy(update={"of": [*most.of, *names[1:]]}) if machine.name in most.of else most
            for most in service.at_most
        ]
        service = service.model_copy(update={"at_once": sets, "at_most": limited})
    gear = [
        entry.model_copy(update={"machines": [*entry.machines, *names[1:]]})
        if entry.machines and machine.name in entry.machines
        else entry
        for entry in shop.gear
    ]
    shop = shop.model_copy(update={"service": service, "gear": gear})
    return with_machines(
        Facts(shop, facts.catalog), [machine.model_copy(update={"name": name}) for name in names]
    )


def source_words(way: Way, *, three_phase: bool) -> str:
    """Where a way takes its power from, in words."""
    if way.supply is not Supply.PANEL:
        return f"by a {way.supply}"
    return f"from {way.other_panel or way.panel}" if three_phase else f"from {way.panel}"


def run_words(way: Way) -> str:
    """The kind of run, in words."""
    if way.method in DROPS:
        return "by a fixed drop"
    return "by a cord from beside the panel" if way.method is Method.CORD else "by a ceiling outlet"


def _held_to(bench: Bench, machine: str) -> list[tuple[str, Callable[[Way], bool]]]:
    """Every source with any kind of run, and every kind of run with any source; one of a kind says nothing."""
    entry = bench.facts.machines[machine]
    ways = [option.way for option in bench.open_options()[machine]]

    def source(way: Way) -> str:
        return source_words(way, three_phase=entry.phases == 3)

    found: list[tuple[str, Callable[[Way], bool]]] = []
    for name in (source, run_words):
        words = sorted({name(way) for way in ways})
        if len(words) > 1:
            found += [(word, _says(name, word)) for word in words]
    return found


def _without_price(bench: Bench, machine: NextMachine) -> list[Variant]:
    """Sources that nothing can be said of, since no length to them is known or the machine does not suit, with the reason."""
    three_phase = machine.phases == 3
    known = {
        source_words(option.way, three_phase=three_phase)
        for option in bench.priced_survey.options[machine.name]
        if option.refused is None
    }
    reasons: dict[str, Unbuildable] = {}
    for entry in bench.priced_survey.unbuildable:
        if entry.machine == machine.name and (entry.unmeasured or entry.way.supply is not Supply.PANEL):
            reasons.setdefault(source_words(entry.way, three_phase=three_phase), entry)
    return [
        Variant(words, None, None, entry.reason, unmeasured=entry.unmeasured)
        for words, entry in reasons.items()
        if words not in known
    ]


def _says(name: Callable[[Way], str], word: str) -> Callable[[Way], bool]:
    return lambda way: name(way) == word


def _variant(
    bench: Bench, words: str, allowed: Callable[[Way], bool], without: Ranked, clock: Clock
) -> Variant:
    def admit(option: Option) -> bool:
        return option.machine != bench.facts.shop.machines[-1].name or allowed(option.way)

    try:
        ranked = best_plans(bench, 1, allowed=admit, clock=clock)[0]
    except NoPlanError as error:
        return Variant(words, None, None, str(error))
    return Variant(words, ranked, ranked.present_value_cents - without.present_value_cents)


def _own_lines(pricer: Pricer, machine: NextMachine) -> Iterable[Line]:
    """The machine's own money, each its own line, in its year; and what it fetches at the end."""
    years = pricer.facts.shop.years
    when = When(machine.arrives, "", Decimal(1)) if machine.arrives else TODAY
    growth = pricer.parts_growth(when)
    premium = machine.price_cents * machine.premium
    for what, word, cents in (
        ("price", "price", machine.price_cents),
        (f"buyer's premium, {machine.premium * 100:f} % of the price", "premium", premium),
        ("tax on price and premium", "tax", (machine.price_cents + premium) * machine.tax),
        ("freight and rigging", "freight", machine.freight_cents),
        ("tooling", "tooling", machine.tooling_cents),
        ("trade-in of the one it replaces", "trade_in", -machine.trade_in_cents),
    ):
        if cents:
            yield pricer.line(
                when,
                LineKind.MACHINE if cents > 0 else LineKind.RESALE,
                Pocket.CASH,
                f"{machine.name}: {what}",
                machine.name,
                cents * growth,
                f"shop file next_machines {word}",
            )
    worth = machine.price_cents * machine.worth_at_end
    if worth:
        end = When(years, "", Decimal(1))
        trace = "shop file next_machines worth_at_end"
        yield pricer.line(end, LineKind.RESALE, Pocket.COMES_BACK, machine.name, machine.name, -worth, trace)


@dataclass(frozen=True, slots=True)
class CountedCost:
    """The power of so many machines alike, on drives only, and behind shared gear only."""

    count: int
    each_cents: int | None
    shared_cents: int | None


def by_count(
    facts: Facts | Benches,
    machine: NextMachine,
    most: int,
    *,
    seconds: float | None = None,
    tick: Tick = bool,
) -> list[CountedCost]:
    """What powering 1 to `most` machines like this one adds, each on a drive against all behind shared gear."""
    clock, found = Clock(seconds), []
    benches = facts if isinstance(facts, Benches) else Benches(facts)
    best = best_plans(benches.without, 1, clock=Clock(clock.share(1 + 2 * most)))[0]
    without = best.present_value_cents
    for count in range(1, most + 1):
        tick(f"proving {count} of them")
        bench = benches.with_alike(machine, count)
        names = {entry.name for entry in bench.facts.shop.machines[-count:]}
        costs: Mapping[bool, int | None] = {
            shared: _held_cost(bench, names, shared, Clock(clock.share(2 * (most - count + 1))))
            for shared in (False, True)
        }
        found.append(
            CountedCost(count, *(None if cost is None else cost - without for cost in costs.values()))
        )
    return found


def turning_count(counted: Iterable[CountedCost]) -> int | None:
    """The first number of machines from which shared gear is cheaper, None when it never is."""
    return next(
        (
            entry.count
            for entry in counted
            if entry.shared_cents is not None
            and (entry.each_cents is None or entry.shared_cents < entry.each_cents)
        ),
        None,
    )


def _held_cost(bench: Bench, names: set[str], shared: bool, clock: Clock) -> int | None:
    def admit(option: Option) -> bool:
        drive = option.way.supply is Supply.DRIVE
        gear = option.way.supply is Supply.PANEL
        return option.machine not in names or (gear if shared else drive)

    options = bench.open_options()
    if any(not any(admit(option) for option in options[name]) for name in names):
        return None
    try:
        return best_plans(bench, 1, allowed=admit, clock=clock)[0].present_value_cents
    except NoPlanError:
        return None
