"""Shared gear in the program: when it is put in, what hangs on it, and the limits it eases or brings."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from copy import copy
from dataclasses import replace
from functools import cache, cached_property

from costplan.circuits.capacity import Capacity, Draw, motor_extra_va
from costplan.circuits.facts import Facts
from costplan.circuits.gear import Candidate
from costplan.circuits.needs import Bundle
from costplan.circuits.ways import Way
from costplan.model.gear import SERVICE, Gear, GearKind
from costplan.model.tandems import pair_limits
from costplan.plans.options import Option, Survey
from costplan.plans.plan import GearBought
from costplan.plans.pricing import TODAY, When
from costplan.plans.program import Program, Terms
from costplan.years.upkeep import gear_course

Apply = Callable[[Bundle, When, Terms], None]


class GearRows:
    """Variables for putting gear in today or in a later year of a scenario, and the rows about it."""

    def __init__(self, program: Program, facts: Facts, survey: Survey, apply: Apply) -> None:
        self.program, self.facts, self.survey = program, facts, survey
        self.capacity = Capacity(facts)
        self.bought: dict[int, GearBought] = {}
        self.today: dict[str, int] = {}
        self.later: dict[tuple[str, str], dict[int, int]] = defaultdict(dict)
        self.used: dict[str, int] = {}
        self.any: dict[tuple[int, ...], int] = {}
        self.years = {scenario.name: survey.change_years(scenario.name) for scenario in survey.scenarios}
        for gear in survey.gear:
            if gear.at_most > 0:
                self._put_in(gear, apply)
        self._in_order()
        self._each_circuit_once()

    def _put_in(self, gear: Candidate, apply: Apply) -> None:
        there = gear.gear.installed
        index = self.program.variable(f"{gear.name} today", gear.at_most, low=1 if there else 0)
        self.today[gear.name] = index
        if not there:
            self.bought[index] = GearBought(gear.name, "", 0, 1, gear.written)
        for scenario in self.survey.scenarios:
            moves = [event.year for event in scenario.events if event.shop_moves]
            for year, bundle in gear_course(gear, 0, moves, self.facts.shop.years):
                if year > 0:
                    apply(bundle, When(year, scenario.name, scenario.weight), {index: 1})
            if there:
                continue
            for bought in self.years[scenario.name]:
                name = f"{gear.name} year {bought} {scenario.name}"
                then = self.program.variable(name, gear.at_most)
                self.later[gear.name, scenario.name][bought] = then
                self.bought[then] = GearBought(gear.name, scenario.name, bought, 1, gear.written)
                for year, bundle in gear_course(gear, bought, moves, self.facts.shop.years):
                    apply(bundle, When(year, scenario.name, scenario.weight), {then: 1})
            self._no_more_than_allowed(gear, scenario.name)
        apply(gear.bundle, TODAY, {index: 1})

    def _no_more_than_allowed(self, gear: Candidate, scenario: str) -> None:
        if self.later[gear.name, scenario]:
            last = max(self.later[gear.name, scenario])
            self.program.row(
                f"{gear.name} {scenario}", self.have(gear.name, scenario, last), high=gear.at_most
            )

    def _in_order(self) -> None:
        """Gear fed from other gear needs that first; of several service upgrades at most one is taken."""
        for gear in self.survey.gear:
            if gear.name in self.today and gear.above in self.today:
                for scenario, year in self.dates():
                    row = self.have(gear.above or "", scenario, year)
                    for index in self.have(gear.name, scenario, year):
                        row[index] = row.get(index, 0) - 1
                    self.program.row(f"{gear.above} before {gear.name}, {scenario}, year {year}", row, low=0)
        upgrades = [gear.name for gear in self.survey.gear if gear.gear.kind is GearKind.UPGRADE]
        if len(upgrades) > 1:
            for scenario, year in self.dates():
                terms: Terms = {}
                for name in upgrades:
                    terms |= self.have(name, scenario, year)
                self.program.row(f"one service upgrade, {scenario}, year {year}", terms, high=1)

    def _each_circuit_once(self) -> None:
        """Tandem breakers of all ratings together pass neither the label nor the circuits that are there."""
        for limit in pair_limits(self.facts.shop):
            for scenario, years in self.years.items():
                terms: Terms = {}
                for name, takes in limit.takes.items():
                    if name in self.today:
                        terms |= dict.fromkeys(self.have(name, scenario, max((0, *years))), takes)
                if terms:
                    self.program.row(f"{limit.what}, {scenario}", terms, high=limit.most)

    def dates(self) -> Iterable[tuple[str, int]]:
        """Scenarios and years in which circuits are made or changed, today included."""
        return ((scenario, year) for scenario, years in self.years.items() for year in (0, *years))

    def have(self, name: str, scenario: str, year: int) -> Terms:
        """How many of the gear are there at the end of a year, as a sum of variables."""
        later = self.later[name, scenario]
        return {self.today[name]: 1, **{index: 1 for bought, index in later.items() if bought <= year}}

    def poles(self, panel: str, scenario: str, year: int) -> Terms:
        """Poles that gear takes in a panel, negative where it frees them."""
        terms: Terms = {}
        for gear in self.survey.gear:
            if gear.name in self.today and gear.spaces.get(panel):
                terms |= dict.fromkeys(self.have(gear.name, scenario, year), gear.spaces[panel])
        return terms

    def gate(self, usage: Mapping[tuple[str, str, int], Terms], machine_of: Mapping[int, str]) -> None:
        """A circuit may start from a panel that gear brings only once it is there."""
        seen: set[tuple[object, ...]] = set()
        for (panel, scenario, year), terms in sorted(usage.items()):
            if panel not in self.today:
                continue
            have = self.have(panel, scenario, year)
            by_machine: dict[str, Terms] = defaultdict(dict)
            for index in terms:
                by_machine[machine_of[index]][index] = -1
            for machine, users in by_machine.items():
                key = (panel, tuple(sorted(users)), tuple(sorted(have)))
                if key not in seen:
                    seen.add(key)
                    count = max(self.program.variables[index].high for index in users)
                    row = dict.fromkeys(have, count) | users
                    self.program.row(f"{panel} for {machine}, {scenario}, year {year}", row, low=0)

    def loads(self, options: Mapping[str, Iterable[Option]], ways: Mapping[str, Mapping[Way, int]]) -> None:
        """No limit carries more than it may, in any scenario, until the shop moves."""
        if not self.capacity.limits:
            return
        on: dict[tuple[str, str, int], dict[str, Terms]] = defaultdict(lambda: defaultdict(dict))
        for machine, found in options.items():
            for option in found:
                self._drawn_by(option, ways[machine][option.way], on)
        for limit in self.capacity.limits:
            for scenario, year in self.dates():
                if self.idle(limit, scenario, year):
                    on.setdefault((limit, scenario, year), {})
        seen: set[object] = set()
        for (limit, scenario, year), draws in sorted(on.items()):
            if year < first_move(self.survey, scenario, self.facts.shop.years):
                _LimitRows(self, limit, scenario, year, draws, seen).add()

    def _drawn_by(
        self, option: Option, index: int, on: Mapping[tuple[str, str, int], dict[str, Terms]]
    ) -> None:
        for (panel, scenario, year), va in option.draws.items():
            if year == 0 or year in self.years[scenario]:
                for limit, passed in self._passed(option.machine, panel, va).items():
                    if passed:
                        on[limit, scenario, year].setdefault(option.machine, {})[index] = passed

    @cached_property
    def _passed(self) -> Callable[[str, str, int], dict[str, int]]:
        return cache(self.capacity.drawn)

    def ever(self, name: str) -> int:
        """A variable that is 1 when any gear of the shop file's entry is ever put in."""
        if name not in self.used:
            causes = [index for index, bought in self.bought.items() if bought.entry == name]
            ever = self.used[name] = self.program.variable(f"{name} ever")
            for index in causes:
                high = self.program.variables[index].high
                self.program.row(f"{name} ever: {index}", {ever: high, index: -1}, low=0)
        return self.used[name]

    def on(self, program: Program) -> "GearRows":
        """The same rows in a copy of the program."""
        other = copy(self)
        other.program, other.used, other.any = program, dict(self.used), dict(self.any)
        return other

    def any_of(self, indices: Sequence[int]) -> int:
        """A variable that is 1 when any of the others is above 0, else 0; one of them when there is no other."""
        key = tuple(sorted(indices))
        if len(key) == 1 and self.program.variables[key[0]].high == 1:
            return key[0]
        if key not in self.any:
            some = self.any[key] = self.program.variable(f"any of {len(key)} from {key[0]}")
            high = sum(self.program.variables[index].high for index in key)
            self.program.row(f"any of {key[0]}", {some: high} | dict.fromkeys(key, -1), low=0)
            self.program.row(f"any of {key[0]} only then", {some: -1} | dict.fromkeys(key, 1), low=0)
        return self.any[key]

    def put_in(self, values: Sequence[int]) -> tuple[GearBought, ...]:
        """The gear an answer puts in."""
        return tuple(
            replace(bought, count=values[index]) for index, bought in self.bought.items() if values[index]
        )

    def upgrades(self) -> list[Gear]:
        """Service upgrades that take part."""
        return [g.gear for g in self.survey.gear if g.name in self.today and g.gear.kind is GearKind.UPGRADE]

    def managers(self) -> list[Gear]:
        """Load managers that take part."""
        return [g.gear for g in self.survey.gear if g.name in self.today and g.gear.kind is GearKind.MANAGER]

    def idle(self, limit: str, scenario: str, year: int) -> Terms:
        """What converters draw through a limit just by running."""
        terms: Terms = {}
        for gear in self.survey.gear:
            if gear.name in self.today and gear.idle_va and limit in self.capacity.above(gear):
                terms |= dict.fromkeys(self.have(gear.name, scenario, year), gear.idle_va)
        return terms


class _LimitRows:
    """The rows of one limit at one date."""

    def __init__(
        self,
        gear: GearRows,
        limit: str,
        scenario: str,
        year: int,
        draws: Mapping[str, Terms],
        seen: set[object],
    ) -> None:
        self.gear, self.limit, self.draws, self.seen = gear, limit, draws, seen
        self.scenario, self.year = scenario, year
        self.mark = f"load on {limit}, {scenario}, year {year}"

    def add(self) -> None:
        """Add the rows, unless everything together could never be too much or an equal row is there."""
        capacity = self.gear.capacity
        high = [
            capacity.draw_of(machine, max(terms.values()), self._count_of(terms))
            for machine, terms in self.draws.items()
        ]
        fixed = self.gear.idle(self.limit, self.scenario, self.year)
        free = capacity.limits[self.limit].free_va
        if sum(draw.va * draw.count for draw in high) * 5 // 4 + sum(fixed.values()) + 4 <= free:
            return
        eased = self._eased() if self.limit == SERVICE else {}
        key = (self.limit, tuple(sorted((m, tuple(sorted(t.items()))) for m, t in self.draws.items())))
        held = [self.gear.have(manager.name, self.scenario, self.year) for manager in self.gear.managers()]
        key = (*key, tuple(sorted((fixed | eased).items())), tuple(tuple(sorted(have)) for have in held))  # type: ignore[assignment]
        if key in self.seen:
            return
        self.seen.add(key)
        burden = self._burden(free) if free < 0 else {}
        for members in capacity.together(self.draws):
            row = fixed | burden
            for index, gained in eased.items():
                row[index] = row.get(index, 0) + gained
            self._count(row, [draw for draw in high if draw.machine in members])
            if self.limit == SERVICE:
                self._relief(row, [draw for draw in high if draw.machine in members])
            self.gear.program.row(self.mark, row, high=max(free, 0))

    def _burden(self, free: int) -> Terms:
        """A limit that is passed already is the plan's business only when the plan puts something on it."""
        program = self.gear.program
        anything = program.variable(f"{self.mark}: anything")
        for machine, terms in self.draws.items():
            program.row(
                f"{self.mark}: {machine} is something", {anything: 1, **dict.fromkeys(terms, -1)}, low=0
            )
        idle = self.gear.idle(self.limit, self.scenario, self.year)
        for index in idle:
            program.row(f"{self.mark}: {index} idles", {anything: 1, index: -1}, low=0)
        return {anything: -free}

    def _eased(self) -> Terms:
        terms: Terms = {}
        for upgrade in self.gear.upgrades():
            have = self.gear.have(upgrade.name, self.scenario, self.year)
            terms |= dict.fromkeys(have, -self.gear.capacity.gained_va(upgrade))
        return terms

    def _count(self, row: Terms, counted: list[Draw]) -> None:
        """Loads of their own, the largest of each that take turns, and a quarter of the largest motor."""
        program = self.gear.program
        turns: dict[str, list[Draw]] = defaultdict(list)
        for draw in counted:
            if draw.turns is None:
                for index, va in self.draws[draw.machine].items():
                    row[index] = row.get(index, 0) + va
            else:
                turns[draw.turns].append(draw)
        for word, group in turns.items():
            largest = program.variable(f"{self.mark}: {word}", max(draw.va for draw in group))
            row[largest] = 1
            for draw in group:
                for terms in self._one(draw, lambda va: va):
                    program.row(f"{self.mark}: {draw.machine} in {word}", {largest: 1} | terms, low=0)
        motors = [draw for draw in counted if draw.motor]
        if motors:
            extra = program.variable(
                f"{self.mark}: largest motor", max(motor_extra_va(draw) for draw in motors)
            )
            row[extra] = 1
            for draw in motors:
                for terms in self._one(draw, lambda va: motor_extra_va(Draw("", va, True, None))):
                    program.row(f"{self.mark}: motor of {draw.machine}", {extra: 1} | terms, low=0)

    def _count_of(self, terms: Terms) -> int:
        return max(self.gear.program.variables[index].high for index in terms)

    def _one(self, draw: Draw, figure: Callable[[int], int]) -> Iterable[Terms]:
        """What one machine counts for, less: in one row where there is one machine, a row a way in a group."""
        draws = self.draws[draw.machine]
        if draw.count == 1:
            return [{index: -figure(va) for index, va in draws.items()}]
        return [{self.gear.any_of([index]): -figure(va)} for index, va in draws.items()]

    def _relief(self, row: Terms, counted: list[Draw]) -> None:
        program, capacity = self.gear.program, self.gear.capacity
        working: dict[str, Terms] = defaultdict(dict)
        for manager in self.gear.managers():
            held = [draw for draw in counted if capacity.held_back(manager, draw)]
            most = sum(draw.va * draw.count for draw in held) - capacity.holds_to_va(manager)
            if most <= 0:
                continue
            relief = program.variable(f"{self.mark}: held back by {manager.name}", most)
            at_work = program.variable(f"{self.mark}: {manager.name} at work")
            have = self.gear.have(manager.name, self.scenario, self.year)
            program.row(f"{self.mark}: {manager.name} is there", {at_work: -1, **have}, low=0)
            program.row(f"{self.mark}: {manager.name} when at work", {relief: -1, at_work: most}, low=0)
            loads = {index: va for draw in held for index, va in self.draws[draw.machine].items()}
            loads |= {relief: -1, at_work: -capacity.holds_to_va(manager)}
            program.row(f"{self.mark}: {manager.name} holds", loads, low=0)
            row[relief] = -1
            for name in manager.machines or ():
                working[name][at_work] = 1
        for name, terms in working.items():
            if len(terms) > 1:
                program.row(f"{self.mark}: one manager holds {name}", terms, high=1)


def first_move(survey: Survey, scenario: str, years: int) -> int:
    """The year the shop first moves in a scenario, one after the horizon when it never does."""
    found = next(entry for entry in survey.scenarios if entry.name == scenario)
    return min((event.year for event in found.events if event.shop_moves), default=years + 1)
