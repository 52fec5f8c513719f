"""Ways that can never beat another way of the same machine are dropped before solving.

Two exchange arguments, both exact. A way is dropped when another asks for weaker parts, no more work and
no more of anything else. It is also dropped when the other's cost at its worst (everything bought alone,
every fee paid) is no more than its own at its best (cheapest prices, no fees, everything shared).
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Item, Need, Return, StockNeed
from costplan.plans.options import Option
from costplan.plans.pricing import TODAY, Pricer, When
from costplan.plans.traffic import Options, Traffic
from costplan.plans.unit_cost import pack_cost, pack_worth, unit_cost
from costplan.sourcing.market import Deal

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

    def __init__(self, facts: Facts, pricer: Pricer, options: Options, traffic: Traffic) -> None:
        self.facts, self.pricer, self.options, self.traffic = facts, pricer, options, traffic
        self.weights = self.traffic.weights
        self.capped = facts.shop.money.outlay_cap_cents is not None
        self.saved_memo: dict[tuple[Item, When], int] = {}
        self.spared_memo: dict[tuple[Item, When], int] = {}
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

    def least_cents(self, options: Options) -> int:
        """A bound below every plan of these options: each machine at its best, nothing shared paid twice."""
        bid = sum(line.present_value_cents for line in self.pricer.bid())
        return bid + sum(
            min(self._floor(self.profile(option)) for option in found) for found in options.values()
        )

    def _floor(self, profile: _Profile) -> int:
        floor = profile.at_best + profile.labor_today + profile.needs_at_best
        for need in profile.option.shared:
            needs = _counted(need.bought.needs)
            floor -= sum(max(self.need_cents(part)[0], 0) * count for part, count in needs.items())
            floor -= self._effort_and_taking_out(need)
        return floor

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
                for key, poles in option.spaces.items():
                    by_panel[key[0]] = max(by_panel[key[0]], poles)
            for panel, poles in by_panel.items():
                most[panel] += poles
        for gear in self.traffic.survey.gear:
            for panel, poles in gear.spaces.items():
                most[panel] += max(poles, 0)
        there = {panel.name for panel in self.facts.shop.panels}
        return {name for name in there if most[name] <= self.facts.panels[name].spaces_free}

    # profiles -------------------------------------------------------------------------------------

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
        for when, bundle, flow in self.traffic.bundles(option):
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
            floor -= (
                self._most_saved(flow, when) if isinstance(flow, Return) else self._most_spared(flow, when)
            )
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
            *self.traffic.takes(option),
            floor,
            ceiling,
            sum(max(self.need_cents(need)[0], 0) * count for need, count in _counted(needs).items()),
        )

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

    def _most_spared(self, need: StockNeed, when: When) -> int:
        """The most that taking something for this need can spare: making safe what would be left unused."""
        key = (need.item, when)
        if key not in self.spared_memo:
            self.spared_memo[key] = max(
                (
                    self._unused_cents(back, TODAY if year == 0 else replace(when, year=year))
                    for year, back in self.traffic.returns.get((when.scenario, need.item.spec.kind), ())
                    if year <= when.year and back.item.serves(need.item)
                ),
                default=0,
            )
        return self.spared_memo[key]

    def _unused_cents(self, back: Return, when: When) -> int:
        parts = self.worst(_counted(back.unused.needs)) if when.year == 0 else 0
        visit = sum(self.visit_cents(when, permit) for permit in (False, True))
        return (
            UNBOUNDED_CENTS
            if parts is None
            else parts + self.pricer.cost(back.unused, when).worth_cents + visit
        )

    def _saved_in(self, back: Return, scenario: str, since: int) -> int:
        weight = self.weights[scenario]
        return max(
            (
                self._with_taking_out(need, When(year, scenario, weight))
                for year, need in self.traffic.later_needs.get((scenario, back.item.spec.kind), ())
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
                for need in self.traffic.todays_needs.get(back.item.spec.kind, ())
                if back.item.serves(need.item)
            ),
            default=0,
        )

    def _today_at_worst(self, need: StockNeed) -> int:
        parts = self.worst(_counted(need.bought.needs))
        visit = sum(self.visit_cents(TODAY, permit) for permit in (False, True))
        return UNBOUNDED_CENTS if parts is None else parts + visit + self._effort_and_taking_out(need)

    def _effort_and_taking_out(self, need: StockNeed) -> int:
        """What a stock need of today costs besides parts and visits when it is bought."""
        return self.pricer.cost(need.bought, TODAY).worth_cents + sum(
            self.pricer.cost(bundle, When(year, name, weight)).worth_cents
            for year, bundle in need.taken_out
            for name, weight in self.weights.items()
        )

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
                low.append(cost.least + share)
                if deal.available is None and not (deal.is_length and need.length_ft):
                    high.append((cost.most + share + (1 if share else 0), deal.offer.row, deal))
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
