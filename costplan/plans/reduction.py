"""Ways that can never beat another way of the same machine are dropped before solving.

Two exchange arguments, both exact. A way is dropped when another asks for weaker parts, no more work and
no more of anything else. It is also dropped when the other's cost at its worst (everything bought alone,
every fee paid) is no more than its own at its best (cheapest prices, no fees, everything shared).
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from costplan.circuits.capacity import Capacity
from costplan.circuits.circuit import installed_spot, outlet_spot
from costplan.circuits.facts import Facts
from costplan.circuits.gear import Candidate
from costplan.circuits.needs import Bundle, Item, Need, Return, StockNeed
from costplan.circuits.shelf import shelf
from costplan.plans.options import Option
from costplan.plans.pricing import TODAY, Pricer, When
from costplan.plans.purchase import pack_cost, pack_worth, unit_cost
from costplan.sourcing.market import Deal
from costplan.years.calendar import scenarios_of

Options = Mapping[str, tuple[Option, ...]]

UNBOUNDED_CENTS = 10**12
"""Stands for more than anything here costs."""


@dataclass(frozen=True)
class _Profile:
    """What an option costs and asks, in the terms that comparisons need.

    `spared` are today's needs that stock might meet, `sure_visits` the visits that no stock can save.
    """

    option: Option
    needs: tuple[tuple[Need, int], ...]
    spared: tuple[tuple[Need, int], ...]
    flows: tuple[object, ...]
    visits: frozenset[tuple[When, bool]]
    sure_visits: frozenset[tuple[When, bool]]
    labor_today: int
    rest: int
    cash_today: int
    spaces: Mapping[tuple[str, str, int], int]
    loads: Mapping[tuple[str, str, int], int]
    at_best: int
    at_worst: int
    needs_at_best: int


class Reducer:
    """Compares the options of one market and one way of hiring; profiles are made once and kept."""

    def __init__(
        self, facts: Facts, pricer: Pricer, options: Options, gear: tuple[Candidate, ...] = ()
    ) -> None:
        self.facts, self.pricer, self.options, self.gear = facts, pricer, options, gear
        self.weights = {scenario.name: scenario.weight for scenario in scenarios_of(facts.shop)}
        self.capped = facts.shop.money.outlay_cap_cents is not None
        self.saved_memo: dict[tuple[Item, When], int] = {}
        self.profiles: dict[int, _Profile] = {}
        self.need_memo: dict[Need, tuple[int, Deal | None, int]] = {}

    def reduce(self, options: Options, *, across_methods: bool) -> dict[str, tuple[Option, ...]]:
        """Options by machine without those another of the same machine beats.

        options: all or some of the reducer's; across_methods: also compare ways a person would call
        different, which is only right when just the best plan is wanted.
        """
        if across_methods:
            options = self._start_from(options)
        kept = {}
        for machine, found in options.items():
            profiles = [self.profile(option) for option in found]
            profiles.sort(key=lambda profile: (profile.at_worst, repr(profile.option.way)))
            winners: dict[object, list[_Profile]] = defaultdict(list)
            for profile in profiles:
                rivals = winners[None if across_methods else profile.option.way.signature]
                if not any(self.beats(rival, profile) for rival in rivals):
                    rivals.append(profile)
            best = [profile.option for rivals in winners.values() for profile in rivals]
            kept[machine] = tuple(sorted(best, key=lambda option: repr(option.way)))
        return kept

    def _start_from(self, options: Options) -> Options:
        """The options left after comparing within methods, which holds for any choice of whole methods."""
        within = {id(option) for found in self.within_methods.values() for option in found}
        return {machine: tuple(o for o in found if id(o) in within) for machine, found in options.items()}

    @cached_property
    def within_methods(self) -> Options:
        """All options, compared within methods only."""
        return self.reduce(self.options, across_methods=False)

    def beats(self, one: _Profile, other: _Profile) -> bool:
        """Whether any plan with `other` is no worse with `one` in its place."""
        if not self.spaces_fit(one, other):
            return False
        if bool(one.option.shared) != bool(other.option.shared):
            return False
        return self.asks_less(one, other) or (not self.capped and self.always_cheaper(one, other))

    def spaces_fit(self, one: _Profile, other: _Profile) -> bool:
        """Whether the one takes no panel space and no capacity, at no time, that could run out and the other spares."""
        return all(
            poles <= other.spaces.get(key, 0) or key[0] in self.roomy for key, poles in one.spaces.items()
        ) and all(va <= other.loads.get(key, 0) for key, va in one.loads.items())

    def asks_less(self, one: _Profile, other: _Profile) -> bool:
        """Whether the one asks for weaker parts, no more work, and the same stock."""
        return (
            one.labor_today <= other.labor_today
            and one.rest <= other.rest
            and one.cash_today <= other.cash_today
            and one.flows == other.flows
            and one.option.shared == other.option.shared
            and one.visits <= other.visits
            and _weaker(one.needs, other.needs)
        )

    def always_cheaper(self, one: _Profile, other: _Profile) -> bool:
        """Compare only what differs: the one at its dearest against the other at its cheapest."""
        if one.option.shared or other.option.shared:
            return False
        labor = max(0, one.labor_today - other.labor_today)
        saved = max(0, other.labor_today - one.labor_today - int(self.pricer.hiring.crew.minimum_cents))
        if one.at_worst + labor + self.lost_thresholds > other.at_best + saved + other.needs_at_best:
            return False
        visits = sum(self.visit_cents(when, permit) for when, permit in one.visits - other.sure_visits)
        extra, spared = _more(_all_needs(one), other.needs), _more(other.needs, _all_needs(one))
        worst = self.worst(extra)
        if worst is None:
            return False
        best = sum(self.need_cents(need)[0] * count for need, count in spared.items())
        at_worst = one.at_worst + labor + visits + self.lost_thresholds + worst
        return at_worst <= other.at_best + saved + best

    def worst(self, needs: Mapping[Need, int]) -> int | None:
        """The most the needs can cost without limited stock, each supplier's fees once; None when unbounded."""
        cents, fees = 0, {}
        for need, count in needs.items():
            _, deal, high = self.need_cents(need)
            if deal is None:
                return None
            cents += high * count
            if deal.pack is not None:
                cents += pack_cost(deal)
            supplier = deal.supplier
            fees[supplier.id] = int(
                supplier.order_fee_cents + supplier.delivery_cents + supplier.minimum_cents
            )
        return cents + sum(fees.values())

    def visit_cents(self, when: When, permit: bool) -> int:
        """Present value of a visit, or of its permit."""
        lines = self.pricer.permit(when) if permit else self.pricer.visit(when, permit=False)
        return sum(line.present_value_cents for line in lines)

    @cached_property
    def lost_thresholds(self) -> int:
        """The most that buying less can cost: every free delivery lost, every order minimum missed."""
        suppliers = self.facts.catalog.suppliers
        free = sum(int(s.delivery_cents) for s in suppliers if s.free_over_cents is not None)
        return free + sum(int(s.minimum_cents) for s in suppliers)

    @cached_property
    def roomy(self) -> set[str]:
        """Panels whose spaces can never run out."""
        most: dict[str, int] = defaultdict(int)
        for found in self.options.values():
            by_panel: dict[str, int] = defaultdict(int)
            for option in found:
                for key, poles in option.spaces(self.facts.shop.years).items():
                    by_panel[key[0]] = max(by_panel[key[0]], poles)
            for panel, poles in by_panel.items():
                most[panel] += poles
        for gear in self.gear:
            for panel, poles in gear.spaces.items():
                most[panel] += max(poles, 0)
        there = {panel.name for panel in self.facts.shop.panels}
        return {name for name in there if most[name] <= self.facts.panels[name].spaces_free}

    @cached_property
    def capacity(self) -> Capacity:
        """The limits of the shop."""
        return Capacity(self.facts)

    @cached_property
    def tight(self) -> set[str]:
        """Limits that the machines together could pass."""
        most: dict[str, int] = defaultdict(int)
        for machine, found in self.options.items():
            by_limit: dict[str, int] = defaultdict(int)
            draws = {(key[0], va) for o in found for key, va in o.draws(self.facts.shop.years).items()}
            for panel, va in draws:
                for limit, passed in self.capacity.drawn(machine, panel, va).items():
                    by_limit[limit] = max(by_limit[limit], passed)
            for limit, va in by_limit.items():
                most[limit] += va
        idle = sum(gear.idle_va for gear in self.gear)
        return {
            name
            for name, limit in self.capacity.limits.items()
            if most[name] * 5 // 4 + idle + len(self.options) > limit.free_va
        }

    def loads(self, option: Option) -> dict[tuple[str, str, int], int]:
        """What an option draws through limits that could be passed, by limit, scenario and year."""
        if not self.tight:
            return {}
        return {
            (limit, scenario, year): passed
            for (panel, scenario, year), va in option.draws(self.facts.shop.years).items()
            for limit, passed in self.capacity.drawn(option.machine, panel, va).items()
            if limit in self.tight
        }

    # profiles -------------------------------------------------------------------------------------

    @cached_property
    def flowing(self) -> set[object]:
        """Stock needs and returns, by scenario and year, that some stock could link; today's scenario is empty."""
        needs, returns = self._asked_and_freed()
        returns[""] |= {(0, Return(item)) for item in shelf(self.facts)}
        linked: set[object] = set()
        for scenario, asked in needs.items():
            by_kind: dict[str, list[tuple[str, int, Return]]] = defaultdict(list)
            for of in {scenario, ""}:
                for year, back in returns[of]:
                    if of == scenario or not back.unused:
                        by_kind[back.item.spec.kind].append((of, year, back))
            for year, need in asked:
                for of, then, back in by_kind[need.item.spec.kind]:
                    if then <= year and back.item.serves(need.item):
                        linked |= {(scenario, year, need), (of, then, back)}
                if year == 0 and need.item.spec.kind == "outlet" and outlet_spot(need.item) in self.installed:
                    linked.add((scenario, year, need))
        return linked

    def _asked_and_freed(
        self,
    ) -> tuple[dict[str, set[tuple[int, StockNeed]]], dict[str, set[tuple[int, Return]]]]:
        """Every stock need and every return with its year, by scenario."""
        needs: dict[str, set[tuple[int, StockNeed]]] = defaultdict(set)
        returns: dict[str, set[tuple[int, Return]]] = defaultdict(set)
        for option in (option for found in self.options.values() for option in found):
            if option.today is not None:
                needs[""] |= {(0, need) for need in option.today.stock_needs}
                returns[""] |= {(0, back) for back in option.today.returns}
            for scenario in option.courses:
                for dated in option.later(scenario):
                    needs[scenario] |= {(dated.year, need) for need in dated.change.stock_needs}
                    returns[scenario] |= {(dated.year, back) for back in dated.change.returns}
        return needs, returns

    @cached_property
    def installed(self) -> set[tuple[str, ...]]:
        """Where outlets are there and unused."""
        return {installed_spot(spot) for spot in self.facts.shop.installed}

    def profile(self, option: Option) -> _Profile:
        """What an option costs and asks, made once."""
        if id(option) not in self.profiles:
            self.profiles[id(option)] = self._profile(option)
        return self.profiles[id(option)]

    def _profile(self, option: Option) -> _Profile:
        flows: Counter[object] = Counter()
        visits: set[tuple[When, bool]] = set()
        sure: set[tuple[When, bool]] = set()
        needs: list[Need] = []
        spared: list[Need] = []
        labor = rest = cash = 0
        floor = ceiling = 0
        for when, bundle, flow in self._bundles(option):
            if when.year == 0:
                (needs if flow is None else spared).extend(bundle.needs)
            cost = self.pricer.cost(bundle, when)
            worth, hired, out = cost.worth_cents, cost.hired_today_cents, cost.cash_today_cents
            calls = {(when, flag) for flag, called in ((False, cost.hired), (True, cost.permit)) if called}
            visits |= calls
            if flow is None:
                labor, rest, cash = labor + hired, rest + worth - hired, cash + out - hired
                floor, ceiling = floor + worth - hired, ceiling + worth - hired
                sure |= calls
                continue
            flows[when.scenario, when.year, flow] += 1
            floor -= self._most_saved(flow, when) if isinstance(flow, Return) else 0
            ceiling += max(worth, 0)
        return _Profile(
            option,
            tuple(sorted(_counted(needs).items())),
            tuple(sorted(_counted(spared).items())),
            tuple(sorted(flows.items(), key=repr)),
            frozenset(visits),
            frozenset(sure),
            labor,
            rest,
            cash,
            option.spaces(self.facts.shop.years),
            self.loads(option),
            floor,
            ceiling,
            sum(max(self.need_cents(need)[0], 0) * count for need, count in _counted(needs).items()),
        )

    def _bundles(self, option: Option) -> Iterable[tuple[When, Bundle, object | None]]:
        """Every bundle with its date; those that stock may spare come with what flows."""
        seen_today = False
        for scenario, courses in option.courses.items():
            for dated in courses:
                if dated.year == 0 and seen_today:
                    continue
                seen_today = seen_today or dated.year == 0
                when = TODAY if dated.year == 0 else When(dated.year, scenario, self.weights[scenario])
                yield when, dated.change.always, None
                for need in dated.change.stock_needs:
                    linked = (when.scenario, dated.year, need) in self.flowing
                    yield when, need.bought, need if linked else None
                    for year, bundle in need.taken_out:
                        for name in option.courses if dated.year == 0 else (scenario,):
                            yield When(year, name, self.weights[name]), bundle, need if linked else None
                for back in dated.change.returns:
                    linked = (when.scenario, dated.year, back) in self.flowing
                    yield when, back.unused, back if linked else None

    @cached_property
    def later_needs(self) -> Mapping[tuple[str, str], tuple[tuple[int, StockNeed], ...]]:
        """Every stock need of a later year, by scenario and kind."""
        found: dict[tuple[str, str], dict[tuple[int, StockNeed], None]] = defaultdict(dict)
        for options in self.options.values():
            for option in options:
                for scenario in option.courses:
                    for dated in option.later(scenario):
                        for need in dated.change.stock_needs:
                            found[scenario, need.item.spec.kind][dated.year, need] = None
        return {key: tuple(needs) for key, needs in found.items()}

    def _most_saved(self, back: Return, when: When) -> int:
        """The most that giving an item back can be worth to anyone, besides what leaving it unused costs."""
        key = (back.item, when)
        if key not in self.saved_memo:
            if when.year == 0:
                later = sum(self._saved_in(back, scenario, 0) for scenario in self.weights)
                self.saved_memo[key] = max(self._saved_today(back), later)
            else:
                self.saved_memo[key] = self._saved_in(back, when.scenario, when.year)
        return self.saved_memo[key]

    def _saved_in(self, back: Return, scenario: str, since: int) -> int:
        weight = self.weights[scenario]
        return max(
            (
                self._with_taking_out(need, When(year, scenario, weight))
                for year, need in self.later_needs.get((scenario, back.item.spec.kind), ())
                if year >= since and back.item.serves(need.item)
            ),
            default=0,
        )

    def _with_taking_out(self, need: StockNeed, when: When) -> int:
        taken_out = sum(
            self.pricer.cost(bundle, When(year, when.scenario, when.weight)).worth_cents
            for year, bundle in need.taken_out
        )
        visit = sum(self.visit_cents(when, permit) for permit in (False, True))
        return self.pricer.cost(need.bought, when).worth_cents + taken_out + visit

    def _saved_today(self, back: Return) -> int:
        return max(
            (
                self._today_at_worst(need)
                for need in self.todays_needs.get(back.item.spec.kind, ())
                if back.item.serves(need.item)
            ),
            default=0,
        )

    def _today_at_worst(self, need: StockNeed) -> int:
        parts = self.worst(_counted(need.bought.needs))
        visit = sum(self.visit_cents(TODAY, permit) for permit in (False, True))
        effort = self.pricer.cost(need.bought, TODAY).worth_cents
        out = sum(
            self.pricer.cost(bundle, When(year, name, weight)).worth_cents
            for year, bundle in need.taken_out
            for name, weight in self.weights.items()
        )
        return UNBOUNDED_CENTS if parts is None else parts + effort + visit + out

    @cached_property
    def todays_needs(self) -> Mapping[str, tuple[StockNeed, ...]]:
        """Every stock need of today, by kind."""
        found: dict[str, dict[StockNeed, None]] = defaultdict(dict)
        for options in self.options.values():
            for option in options:
                for need in option.today.stock_needs if option.today is not None else ():
                    found[need.item.spec.kind][need] = None
        return {kind: tuple(needs) for kind, needs in found.items()}

    def need_cents(self, need: Need) -> tuple[int, Deal | None, int]:
        """Lowest cents for one unit of a need today; and the deal without limit that is cheapest, with its cents."""
        if need not in self.need_memo:
            low: list[int] = []
            high: list[tuple[int, int, Deal]] = []
            for deal in self.pricer.market.usable(need):
                cost = unit_cost(self.pricer.market, deal, need)
                share = (
                    pack_worth(deal, self.facts) * (need.length_ft or 1) // deal.pack
                    if deal.pack is not None
                    else 0
                )
                low.append(cost.worth + share)
                if deal.available is None and not (deal.is_length and need.length_ft):
                    high.append((cost.worth + share + (1 if share else 0), deal.offer.row, deal))
            dearest = min(high, default=None, key=lambda entry: entry[:2])
            self.need_memo[need] = (
                min(low, default=0),
                dearest[2] if dearest else None,
                dearest[0] if dearest else 0,
            )
        return self.need_memo[need]


def _all_needs(profile: _Profile) -> tuple[tuple[Need, int], ...]:
    """What an option asks of today's purchase when stock spares it nothing."""
    if not profile.spared:
        return profile.needs
    total = Counter(dict(profile.needs))
    total.update(dict(profile.spared))
    return tuple(total.items())


def _counted(needs: Iterable[Need]) -> dict[Need, int]:
    counts: Counter[Need] = Counter()
    for need in needs:
        counts[Need(need.spec, 1, need.length_ft)] += need.quantity
    return dict(counts)


def _more(ones: tuple[tuple[Need, int], ...], others: tuple[tuple[Need, int], ...]) -> dict[Need, int]:
    """What the ones ask beyond the others."""
    have = dict(others)
    return {need: count - have.get(need, 0) for need, count in ones if count > have.get(need, 0)}


def _weaker(ones: tuple[tuple[Need, int], ...], others: tuple[tuple[Need, int], ...]) -> bool:
    """Whether whatever meets the others also meets the ones, one for one."""
    left = list(others)
    for one, count in ones:
        match = next(
            (
                (other, its)
                for other, its in left
                if its >= count
                and other.length_ft >= one.length_ft
                and (one.length_ft > 0) == (other.length_ft > 0)
                and other.spec.covers(one.spec)
            ),
            None,
        )
        if match is None:
            return False
        left.remove(match)
    return True
