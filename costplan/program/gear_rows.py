"""Shared gear in the program: when it is put in, what hangs on it, and the limits it eases or brings."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import cache, cached_property

from costplan.circuits.capacity import Capacity
from costplan.circuits.demand import Draw
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle
from costplan.circuits.shared_gear import Candidate
from costplan.circuits.ways import Way
from costplan.ledger.options import Option, Survey
from costplan.ledger.plan import GearBought
from costplan.ledger.pricing import TODAY, When
from costplan.model.gear import SERVICE, Gear, GearKind
from costplan.model.tandems import pair_limits
from costplan.program.load_rows import Draws, LimitAtDate, LimitRows
from costplan.program.program import Program, ProgramRows, Terms, add_terms
from costplan.years.upkeep import gear_course

Apply = Callable[[Bundle, When, Terms], None]


class GearRows(ProgramRows):
    """Variables for putting gear in today or in a later year of a scenario, and the rows about it."""

    def __init__(self, program: Program, facts: Facts, survey: Survey, apply: Apply) -> None:
        self.program, self.facts, self.survey = program, facts, survey
        self.capacity = Capacity(facts)
        self.bought: dict[int, GearBought] = {}
        self.today: dict[str, int] = {}
        self.later: dict[tuple[str, str], dict[int, int]] = defaultdict(dict)
        self.ever_variables: Mapping[str, int] = {}
        self.years = {scenario.name: survey.change_years(scenario.name) for scenario in survey.scenarios}
        self.first_shop_move = {one.name: one.first_shop_move(facts.shop.years) for one in survey.scenarios}
        for gear in survey.gear:
            if gear.at_most > 0:
                self._add_variables(gear, apply)
        self._feeding_gear_first()
        self._tandems_within_label()

    def _add_variables(self, gear: Candidate, apply: Apply) -> None:
        there = gear.gear.installed
        index = self.program.variable(
            f"{gear.name} today", gear.at_most, low=1 if there or gear.gear.required else 0
        )
        self.today[gear.name] = index
        if not there:
            self.bought[index] = GearBought(gear.name, "", 0, 1, gear.written)
        for scenario in self.survey.scenarios:
            moves = scenario.shop_move_years
            for year, bundle, _ in gear_course(gear, 0, moves, self.facts.shop.years):
                if year > 0:
                    apply(bundle, When(year, scenario.name, scenario.weight), {index: 1})
            if there or gear.gear.required:
                continue
            for year_bought in self.years[scenario.name]:
                name = f"{gear.name} year {year_bought} {scenario.name}"
                then = self.program.variable(name, gear.at_most)
                self.later[gear.name, scenario.name][year_bought] = then
                self.bought[then] = GearBought(gear.name, scenario.name, year_bought, 1, gear.written)
                for year, bundle, _ in gear_course(gear, year_bought, moves, self.facts.shop.years):
                    apply(bundle, When(year, scenario.name, scenario.weight), {then: 1})
            self._no_more_than_allowed(gear, scenario.name)
        apply(gear.bundle, TODAY, {index: 1})

    def _no_more_than_allowed(self, gear: Candidate, scenario: str) -> None:
        if self.later[gear.name, scenario]:
            last = max(self.later[gear.name, scenario])
            self.program.row(
                f"{gear.name} {scenario}", self.have(gear.name, scenario, last), high=gear.at_most
            )

    def _feeding_gear_first(self) -> None:
        """Gear fed from other gear needs that first; of several service upgrades at most one is taken."""
        for gear in self.survey.gear:
            if gear.name in self.today and gear.above in self.today:
                for scenario, year in self.dates():
                    row = self.have(gear.above or "", scenario, year)
                    add_terms(row, self.have(gear.name, scenario, year), -1)
                    self.program.row(f"{gear.above} before {gear.name}, {scenario}, year {year}", row, low=0)
        upgrades = [gear.name for gear in self.survey.gear if gear.gear.kind is GearKind.UPGRADE]
        if len(upgrades) > 1:
            for scenario, year in self.dates():
                terms: Terms = {}
                for name in upgrades:
                    terms |= self.have(name, scenario, year)
                self.program.row(f"one service upgrade, {scenario}, year {year}", terms, high=1)

    def _tandems_within_label(self) -> None:
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
        return {
            self.today[name]: 1,
            **{index: 1 for year_bought, index in later.items() if year_bought <= year},
        }

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
        on: dict[tuple[str, str, int], Draws] = {}
        for machine, found in options.items():
            for option in found:
                self._drawn_by(option, ways[machine][option.way], on)
        for limit in self.capacity.limits:
            for scenario, year in self.dates():
                if self.idle(limit, scenario, year):
                    on.setdefault((limit, scenario, year), {})
        seen: set[object] = set()
        for (limit, scenario, year), draws in sorted(on.items(), key=lambda entry: entry[0]):
            if year < self.first_shop_move[scenario]:
                here = LimitAtDate(
                    limit,
                    f"load on {limit}, {scenario}, year {year}",
                    draws,
                    self.idle(limit, scenario, year),
                    self._eased(scenario, year) if limit == SERVICE else {},
                    self._managing(scenario, year) if limit == SERVICE else (),
                )
                LimitRows(self.program, self.capacity, here, seen).add()

    def _drawn_by(self, option: Option, index: int, on: dict[tuple[str, str, int], Draws]) -> None:
        count = self.program.variables[index].high
        for (panel, scenario, year), va in option.draws.items():
            if year == 0 or year in self.years[scenario]:
                poles = option.spaces[panel, scenario, year]
                for limit, draw in self._passed(option.machine, panel, va, poles, count).items():
                    on.setdefault((limit, scenario, year), {}).setdefault(option.machine, {})[index] = draw

    @cached_property
    def _passed(self) -> Callable[[str, str, int, int, int], dict[str, Draw]]:
        return cache(self.capacity.drawn)

    def ever(self, name: str) -> int:
        """A variable that is 1 when any gear of the shop file's entry is ever put in."""
        if name not in self.ever_variables:
            causes = [index for index, bought in self.bought.items() if bought.entry == name]
            ever = self.program.variable(f"{name} ever")
            self.ever_variables = {**self.ever_variables, name: ever}
            for index in causes:
                high = self.program.variables[index].high
                self.program.row(f"{name} ever: {index}", {ever: high, index: -1}, low=0)
        return self.ever_variables[name]

    def bought_in(self, values: Sequence[int]) -> tuple[GearBought, ...]:
        """The gear an answer puts in."""
        return tuple(
            replace(bought, count=values[index]) for index, bought in self.bought.items() if values[index]
        )

    def _of_kind(self, kind: GearKind) -> list[Gear]:
        """Gear of a kind that takes part."""
        return [
            found.gear for found in self.survey.gear if found.name in self.today and found.gear.kind is kind
        ]

    def _eased(self, scenario: str, year: int) -> Terms:
        """What service upgrades take off the load on the service."""
        terms: Terms = {}
        for upgrade in self._of_kind(GearKind.UPGRADE):
            have = self.have(upgrade.name, scenario, year)
            terms |= dict.fromkeys(have, -self.capacity.gained_va(upgrade))
        return terms

    def _managing(self, scenario: str, year: int) -> tuple[tuple[Gear, Terms], ...]:
        """Load managers that take part, each with how many of it are there."""
        return tuple((gear, self.have(gear.name, scenario, year)) for gear in self._of_kind(GearKind.MANAGER))

    def idle(self, limit: str, scenario: str, year: int) -> dict[str, Terms]:
        """What converters draw through a limit just by running, by converter."""
        return {
            gear.name: dict.fromkeys(self.have(gear.name, scenario, year), gear.idle_va)
            for gear in self.survey.gear
            if gear.name in self.today and gear.idle_va and limit in self.capacity.above(gear)
        }
