"""The choice as one integer program: ways, stock, visits, and today's purchase.

Every cost coefficient is the rounded present value of the very line that is printed, so the program's
objective is the printed total to the cent.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from costplan.circuits.circuit import installed_spot, outlet_spot
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle, Item, Need, Return, StockNeed
from costplan.circuits.shelf import cord_needs, fits, shelf, whole_cords
from costplan.circuits.ways import Way
from costplan.plans.gear_rows import GearRows, first_move
from costplan.plans.lines import Line, LineKind, Pocket
from costplan.plans.options import Option, Survey
from costplan.plans.plan import Plan, Reused, SharedOutlet, WholeCordUsed
from costplan.plans.pricing import TODAY, Pricer, When
from costplan.plans.program import Program
from costplan.plans.purchase import PurchaseRows
from costplan.plans.solver import Answer

Terms = dict[int, int]


@dataclass
class _Flow:
    """A stock need or a return of one scenario and year, with the option variables that cause it."""

    when: When
    terms: Terms = field(default_factory=dict)
    most: dict[str, int] = field(default_factory=dict)

    def add(self, variable: int, machine: str, count: int) -> None:
        self.terms[variable] = self.terms.get(variable, 0) + count
        self.most[machine] = max(self.most.get(machine, 0), self.terms[variable])

    @property
    def high(self) -> int:
        return sum(self.most.values())


@dataclass(frozen=True)
class Choice:
    """A built program and how to read a plan out of an answer."""

    program: Program
    pricer: Pricer
    ways: Mapping[str, Mapping[Way, int]]
    reuse: Mapping[int, Reused]
    shared: Mapping[int, tuple[str, Item, tuple[int, ...]]]
    purchase: PurchaseRows
    outlay: Mapping[int, int]
    gear: GearRows
    whole: Mapping[int, WholeCordUsed]

    def plan(self, answer: Answer) -> Plan:
        """The plan an answer stands for."""
        values = answer.values
        chosen = {name: next(way for way, i in ways.items() if values[i]) for name, ways in self.ways.items()}
        reused = tuple(replace(key, count=values[i]) for i, key in self.reuse.items() if values[i])
        shared = tuple(
            SharedOutlet(group, item)
            for i, (group, item, members) in self.shared.items()
            if sum(values[m] for m in members) > 1 and values[i]
        )
        return Plan(
            chosen,
            self.pricer.hiring,
            self.purchase.bought(values),
            self.purchase.packs(values),
            reused,
            shared,
            tuple(replace(used, count=values[i]) for i, used in self.whole.items() if values[i]),
            self.gear.put_in(values),
        )

    def exclude(self, plan: Plan) -> None:
        """Rule out every plan a person would call the same."""
        same: Terms = {}
        for machine, ways in self.ways.items():
            for way, index in ways.items():
                if way.signature == plan.ways[machine].signature:
                    same[index] = 1
        for name in plan.gear_names:
            same[self.gear.ever(name)] = 1
        self.program.row("another plan", same, high=len(self.ways) + len(plan.gear_names) - 1)


def build_choice(
    facts: Facts,
    pricer: Pricer,
    survey: Survey,
    options: Mapping[str, Iterable[Option]],
    reel_by_reel: frozenset[int] = frozenset(),
) -> Choice:
    """The program over these options, with today's purchase inside.

    reel_by_reel: offers whose reels are told apart, see `PurchaseRows`.
    """
    return _Builder(facts, pricer, survey, reel_by_reel).build(options)


class _Builder:
    def __init__(self, facts: Facts, pricer: Pricer, survey: Survey, reel_by_reel: frozenset[int]) -> None:
        self.facts, self.pricer, self.survey, self.reel_by_reel = facts, pricer, survey, reel_by_reel
        self.program = Program()
        self.ways: dict[str, dict[Way, int]] = {}
        self.demand: dict[Need, Terms] = defaultdict(dict)
        self.machine_of: dict[int, str] = {}
        self.pipes: dict[tuple[When, Return], dict[int, str]] = defaultdict(dict)
        self.installed_pipes: dict[tuple[str, ...], list[int]] = defaultdict(list)
        self.outlay: Terms = defaultdict(int)
        self.hired_today: Terms = defaultdict(int)
        self.visits: dict[When, dict[str, dict[int, int]]] = defaultdict(lambda: {"work": {}, "permit": {}})
        self.needs: dict[tuple[When, StockNeed], _Flow] = {}
        self.returns: dict[tuple[When, Return], _Flow] = {}
        self.reuse: dict[int, Reused] = {}
        self.shared: dict[int, tuple[str, Item, tuple[int, ...]]] = {}
        self.whole: dict[int, WholeCordUsed] = {}
        self.whole_for: dict[StockNeed, list[int]] = defaultdict(list)
        self.spaces: dict[tuple[str, str, int], Terms] = defaultdict(dict)

    def build(self, options: Mapping[str, Iterable[Option]]) -> Choice:
        gear = GearRows(self.program, self.facts, self.survey, self._apply)
        for machine, open_options in options.items():
            self.ways[machine] = {}
            for option in open_options:
                self._option(machine, option)
            self.program.row(f"one way for {machine}", dict.fromkeys(self.ways[machine].values(), 1), 1, 1)
        shared_outlets = self._shared_outlets(options)
        self._whole_cords(options)
        self._stock(shared_outlets)
        self._panel_spaces(gear)
        gear.gate(self.spaces, self.machine_of)
        gear.loads(options, self.ways)
        self._visits()
        purchase = PurchaseRows(
            self.program, self.pricer.market, self.facts, self.demand, self._askers(), self.reel_by_reel
        )
        for index, cents in purchase.outlay.items():
            self.outlay[index] += cents
        self._cap()
        return Choice(
            self.program,
            self.pricer,
            self.ways,
            self.reuse,
            self.shared,
            purchase,
            dict(self.outlay),
            gear,
            self.whole,
        )

    # ways -----------------------------------------------------------------------------------------

    def _option(self, machine: str, option: Option) -> None:
        index = self.program.variable(f"{machine} by {option.way.describe()}")
        self.ways[machine][option.way] = index
        self.machine_of[index] = machine
        today = option.today
        if today is not None:
            self._apply(today.always, TODAY, {index: 1})
            self._flows(TODAY, today.stock_needs, today.returns, index, machine)
        for scenario in self.survey.scenarios:
            for dated in option.later(scenario.name):
                when = When(dated.year, scenario.name, scenario.weight)
                self._apply(dated.change.always, when, {index: 1})
                self._flows(when, dated.change.stock_needs, dated.change.returns, index, machine)
        self._spaces_of(option, index)

    def _flows(
        self, when: When, needs: Iterable[StockNeed], returns: Iterable[Return], index: int, machine: str
    ) -> None:
        for need, count in Counter(needs).items():
            self.needs.setdefault((when, need), _Flow(when)).add(index, machine, count)
        for back, count in Counter(returns).items():
            self.returns.setdefault((when, back), _Flow(when)).add(index, machine, count)

    def _apply(self, bundle: Bundle, when: When, terms: Terms) -> None:
        """Charge a bundle to an integer expression of variables."""
        if not bundle:
            return
        today = when.year == 0
        if today:
            for need in bundle.needs:
                self._demand(need, terms)
        cost = self.pricer.cost(bundle, when)
        for index, count in terms.items():
            self.program.add_cost(index, cost.worth_cents * count)
            if today:
                self.outlay[index] += cost.cash_today_cents * count
                self.hired_today[index] += cost.hired_today_cents * count
        for what, called in (("work", cost.hired), ("permit", cost.permit)):
            if called:
                self.visits[when][what].update({index: self.program.variables[index].high for index in terms})

    def _demand(self, need: Need, terms: Terms) -> None:
        row = self.demand[Need(need.spec, 1, need.length_ft)]
        for index, count in terms.items():
            row[index] = row.get(index, 0) + count * need.quantity

    def _askers(self) -> dict[str, dict[Need, int]]:
        """The most each machine can ask of each need, one way a machine; other variables count as themselves."""
        askers: dict[str, dict[Need, int]] = defaultdict(dict)
        for need, terms in self.demand.items():
            for index, count in terms.items():
                machine = self.machine_of.get(index)
                most = count if machine else count * self.program.variables[index].high
                asker = askers[machine or f"variable {index}"]
                asker[need] = max(asker.get(need, 0), most)
        return dict(askers)

    def _by_machine(self, causes: Iterable[int]) -> list[Terms]:
        """Causes that exclude each other together, since a machine has one way; the rest one by one."""
        groups: dict[str, Terms] = defaultdict(dict)
        for index in causes:
            groups[self.machine_of.get(index, f"variable {index}")][index] = 1
        return list(groups.values())

    # visits ---------------------------------------------------------------------------------------

    def _visits(self) -> None:
        for when, causes in self.visits.items():
            mark = f"year {when.year} {when.scenario}".strip()
            visit = self._flag(f"visit {mark}", causes["work"], self.pricer.visit(when, permit=False), when)
            self._flag(f"permit {mark}", causes["permit"], self.pricer.permit(when), when)
            if when.year == 0 and visit is not None:
                self._minimum(visit)
        if self.pricer.hiring.bid is not None:
            cents = sum(line.amount_cents for line in self.pricer.bid())
            index = self.program.variable("fixed bid", 1, cents, low=1)
            self.outlay[index] += cents

    def _flag(self, name: str, causes: Mapping[int, int], lines: list[Line], when: When) -> int | None:
        worth = sum(line.present_value_cents for line in lines)
        if not causes or (worth == 0 and when.year > 0):
            return None
        index = self.program.variable(name, 1, worth)
        for together in self._by_machine(causes):
            high = max(causes[cause] for cause in together)
            self.program.row(
                f"{name} for {min(together)}", {index: high, **dict.fromkeys(together, -1)}, low=0
            )
        if when.year == 0:
            self.outlay[index] += sum(line.amount_cents for line in lines if line.pocket is Pocket.CASH)
            self.hired_today[index] += sum(
                line.amount_cents
                for line in lines
                if line.kind is LineKind.LABOR and line.pocket is Pocket.CASH
            )
        return index

    def _minimum(self, visit: int) -> None:
        least = int(self.pricer.hiring.crew.minimum_cents)
        if not least:
            return
        short = self.program.variable("short of the minimum", least, 1)
        self.outlay[short] += 1
        terms = dict(self.hired_today)
        terms[short] = 1
        terms[visit] = terms.get(visit, 0) - least
        self.program.row("minimum charge", terms, low=0)

    # stock ----------------------------------------------------------------------------------------

    def _shared_outlets(
        self, options: Mapping[str, Iterable[Option]]
    ) -> dict[tuple[str, StockNeed], list[int]]:
        members: dict[tuple[str, StockNeed], list[int]] = defaultdict(list)
        for machine, open_options in options.items():
            for option in open_options:
                for need in option.shared:
                    assert need.shared_by is not None
                    members[need.shared_by, need].append(self.ways[machine][option.way])
        groups = {}
        for (group, need), indices in members.items():
            if len({self.machine_of[index] for index in indices}) > 1:
                groups[group, need] = indices
        return groups

    def _whole_cords(self, options: Mapping[str, Iterable[Option]]) -> None:
        """Cords on the shelf that a machine could hang on today as they are, ends and all."""
        takers: dict[tuple[StockNeed, StockNeed, StockNeed], dict[str, Terms]] = defaultdict(
            lambda: defaultdict(dict)
        )
        cords = whole_cords(self.facts)
        for machine, found in options.items() if cords else ():
            for option in found:
                asked = cord_needs(option.today.stock_needs) if option.today is not None else None
                if asked is not None:
                    takers[asked][machine][self.ways[machine][option.way]] = 1
        for cord, count in cords.items():
            used: Terms = {}
            for asked, machines in takers.items():
                if fits(cord, asked):
                    items = (asked[0].item, asked[1].item, asked[2].item)
                    high = min(count, len(machines))
                    index = self.program.variable(f"whole {_say(cord.cable)} for {_say(items[0])}", high)
                    self.whole[index] = WholeCordUsed(cord, items, 0)
                    who = {i: -1 for terms in machines.values() for i in terms}
                    self.program.row(
                        f"who takes {self.program.variables[index].name}", {index: 1, **who}, high=0
                    )
                    used[index] = 1
                    for need in asked:
                        self.whole_for[need].append(index)
                    for piece in cord.pieces:
                        self.pipes[TODAY, Return(piece)][index] = ""
            self.program.row(f"whole cords {_say(cord.cable)}", used, high=count)

    def _stock(self, shared_outlets: Mapping[tuple[str, StockNeed], list[int]]) -> None:
        """Needs met from stock where that is possible, else bought; what nobody uses is made safe."""
        for item, count in shelf(self.facts).items():
            index = self.program.variable(f"on the shelf: {_say(item)}", low=1)
            self.returns.setdefault((TODAY, Return(item)), _Flow(TODAY)).add(index, "the shelf", count)
        there = Counter(installed_spot(spot) for spot in self.facts.shop.installed)
        for (when, need), flow in self.needs.items():
            sources = self._sources(when, need, there)
            whole = self.whole_for[need] if when.year == 0 else []
            saved = self._saved_by_sharing(when, need, shared_outlets)
            if not sources and not whole and saved is None:
                self._buy(need, when, flow.terms)
                continue
            bought = self.program.variable(
                f"bought year {when.year} {when.scenario}: {_say(need.item)}", flow.high
            )
            balance = {bought: 1, **{index: -count for index, count in flow.terms.items()}}
            if saved is not None:
                balance[saved] = 1
            balance |= dict.fromkeys(whole, 1)
            for source in sources:
                pipe = self._pipe(source, when, need, flow)
                balance[pipe] = 1
                self._apply(need.reused, when, {pipe: 1})
            self.program.row(f"balance {self.program.variables[bought].name}", balance, 0, 0)
            self._buy(need, when, {bought: 1})
        for spot, pipes in self.installed_pipes.items():
            self.program.row(f"installed at {spot[0]}", dict.fromkeys(pipes, 1), high=there[spot])
        self._left_over()

    def _buy(self, need: StockNeed, when: When, terms: Terms) -> None:
        self._apply(need.bought, when, terms)
        for year, bundle in need.taken_out:
            for then in self._whens(when, year):
                self._apply(bundle, then, terms)

    def _whens(self, when: When, year: int) -> list[When]:
        if when.scenario:
            return [When(year, when.scenario, when.weight)]
        return [When(year, scenario.name, scenario.weight) for scenario in self.survey.scenarios]

    def _sources(
        self, when: When, need: StockNeed, there: Counter[tuple[str, ...]]
    ) -> list[tuple[When, Return] | tuple[str, ...]]:
        sources: list[tuple[When, Return] | tuple[str, ...]] = [
            (then, back)
            for then, back in self.returns
            if _in_time(then, back, when) and back.item.serves(need.item)
        ]
        if when.year == 0 and need.item.spec.kind == "outlet" and there[outlet_spot(need.item)]:
            sources.append(outlet_spot(need.item))
        return sources

    def _pipe(self, source: tuple, when: When, need: StockNeed, flow: _Flow) -> int:  # type: ignore[type-arg]
        if not isinstance(source[0], When):
            index = self.program.variable(f"installed used: {_say(need.item)}", flow.high)
            self.reuse[index] = Reused("", 0, need.item, 0, need.item, 0, installed=True)
            self.installed_pipes[source].append(index)
            return index
        then, back = source
        high = min(flow.high, self.returns[then, back].high)
        name = f"stock {then.year} to {when.year} {when.scenario}: {_say(back.item)} for {_say(need.item)}"
        index = self.program.variable(name, high)
        self.reuse[index] = Reused(when.scenario, then.year, back.item, when.year, need.item, 0)
        self.pipes[then, back][index] = when.scenario
        return index

    def _saved_by_sharing(
        self, when: When, need: StockNeed, shared_outlets: Mapping[tuple[str, StockNeed], list[int]]
    ) -> int | None:
        if when.year != 0 or need.shared_by is None:
            return None
        indices = shared_outlets.get((need.shared_by, need))
        if indices is None:
            return None
        machines = {self.machine_of[index] for index in indices}
        used = self.program.variable(f"outlet used by {need.shared_by}: {_say(need.item)}")
        saved = self.program.variable(
            f"outlets saved by {need.shared_by}: {_say(need.item)}", len(machines) - 1
        )
        for together in self._by_machine(indices):
            row = {used: 1, **dict.fromkeys(together, -1)}
            self.program.row(f"{self.program.variables[used].name}: {min(together)}", row, low=0)
        spared = dict.fromkeys(indices, 1) | {used: -1, saved: -1}
        self.program.row(f"sharing {_say(need.item)}", spared, 0, 0)
        self.shared[saved] = (need.shared_by, need.item, tuple(indices))
        return saved

    def _left_over(self) -> None:
        for (when, back), flow in self.returns.items():
            pipes = self.pipes.get((when, back), {})
            if not pipes:
                self._apply(back.unused, when, flow.terms)
                continue
            free = dict(flow.terms)
            if not back.unused:
                for scenario in sorted(set(pipes.values()) - {""}) or [when.scenario]:
                    taken = [index for index, of in pipes.items() if of in (scenario, "")]
                    self.program.row(f"stock of {_say(back.item)}", free | dict.fromkeys(taken, -1), low=0)
                continue
            unused = self.program.variable(
                f"unused year {when.year} {when.scenario}: {_say(back.item)}", flow.high
            )
            self.program.row(
                f"stock of {_say(back.item)}", free | dict.fromkeys(pipes, -1) | {unused: -1}, 0, 0
            )
            self._apply(back.unused, when, {unused: 1})

    # limits ---------------------------------------------------------------------------------------

    def _spaces_of(self, option: Option, index: int) -> None:
        for key, poles in option.spaces.items():
            self.spaces[key][index] = poles

    def _panel_spaces(self, gear: GearRows) -> None:
        """No panel is ever too full, until the shop moves."""
        years = self.facts.shop.years
        seen: set[tuple[str, tuple[tuple[int, int], ...]]] = set()
        saved = [index for index, (_, item, _) in self.shared.items() if item.spec.kind == "breaker"]
        dates = {(panel, *date) for panel in self.facts.panels for date in gear.dates()}
        for panel, scenario, year in sorted(dates | set(self.spaces)):
            row = dict(self.spaces.get((panel, scenario, year), {}))
            for index in saved:
                _, item, members = self.shared[index]
                if any(member in row for member in members):
                    row[index] = -int(dict(item.spec.equal)["poles"])
            row |= gear.poles(panel, scenario, year)
            key = (panel, tuple(sorted(row.items())))
            if year >= first_move(self.survey, scenario, years) or key in seen or not row:
                continue
            seen.add(key)
            high = self.facts.panels[panel].spaces_free
            self.program.row(f"spaces in {panel}, {scenario}, year {year}", row, high=high)

    def _cap(self) -> None:
        cap = self.facts.shop.money.outlay_cap_cents
        if cap is not None:
            self.program.row("cap on today's outlay", dict(self.outlay), high=int(cap))


def _in_time(then: When, back: Return, when: When) -> bool:
    """Whether what is set free then can serve a need of that date.

    What is set free today serves later needs of every scenario, unless it would have to be made safe meanwhile.
    """
    if then.scenario == when.scenario:
        return then.year <= when.year
    return then.year == 0 and not back.unused


def _say(item: Item) -> str:
    words = f"{item.spec.kind} " + " ".join(value for name, value in item.spec.equal if name != "bundle")
    sizes = " ".join(f"{name}>={value}" for name, value in item.spec.at_least)
    return f"{words} {sizes} {item.length_ft or ''}".strip()
