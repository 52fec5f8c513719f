"""What every comparison of options asks about them, worked out once for all markets and ways of hiring."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from costplan.circuits.capacity import Capacity
from costplan.circuits.circuit import installed_spot, outlet_spot
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle, Return, StockNeed
from costplan.circuits.shelf import shelf
from costplan.circuits.ways import Way
from costplan.plans.options import Option, Survey
from costplan.plans.pricing import TODAY, When
from costplan.years.calendar import scenarios_of

Options = Mapping[str, tuple[Option, ...]]
Key = tuple[str, Way]
Taken = Mapping[tuple[str, str, int], int]


@dataclass(frozen=True)
class Traffic:
    """What flows between all options of a shop through stock, and what they take of panels and limits.

    Options that a market has no offer for are looked at too: a link more than needed only makes a comparison
    more careful.
    """

    facts: Facts
    survey: Survey

    @property
    def options(self) -> Options:
        """All options by machine."""
        return self.survey.options

    @cached_property
    def weights(self) -> Mapping[str, Decimal]:
        """Weights of the scenarios by name."""
        return {scenario.name: scenario.weight for scenario in scenarios_of(self.facts.shop)}

    @cached_property
    def _told(self) -> dict[Key, tuple[tuple[When, Bundle, StockNeed | Return | None], ...]]:
        return {}

    def bundles(self, option: Option) -> tuple[tuple[When, Bundle, StockNeed | Return | None], ...]:
        """Every bundle of an option with its date; those that stock may spare come with what flows."""
        key = (option.machine, option.way)
        if key not in self._told:
            self._told[key] = tuple(self._bundles(option))
        return self._told[key]

    @cached_property
    def _taken(self) -> dict[Key, tuple[Taken, Taken]]:
        return {}

    def takes(self, option: Option) -> tuple[Taken, Taken]:
        """Poles an option takes by panel, and volt-amperes by limit that could be passed, by scenario and year."""
        key = (option.machine, option.way)
        if key not in self._taken:
            self._taken[key] = (option.spaces, self.loads(option))
        return self._taken[key]

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

    def _bundles(self, option: Option) -> Iterator[tuple[When, Bundle, StockNeed | Return | None]]:
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

    @cached_property
    def returns(self) -> Mapping[tuple[str, str], tuple[tuple[int, Return], ...]]:
        """Everything set free that costs something when nobody uses it, by scenario and kind; today's is empty."""
        found: dict[tuple[str, str], dict[tuple[int, Return], None]] = defaultdict(dict)
        _, returns = self._asked_and_freed()
        for scenario, freed in returns.items():
            for year, back in freed:
                if back.unused:
                    found[scenario, back.item.spec.kind][year, back] = None
        return {key: tuple(freed) for key, freed in found.items()}

    @cached_property
    def todays_needs(self) -> Mapping[str, tuple[StockNeed, ...]]:
        """Every stock need of today, by kind."""
        found: dict[str, dict[StockNeed, None]] = defaultdict(dict)
        for options in self.options.values():
            for option in options:
                for need in option.today.stock_needs if option.today is not None else ():
                    found[need.item.spec.kind][need] = None
        return {kind: tuple(needs) for kind, needs in found.items()}

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
            draws = {(key[0], va) for o in found for key, va in o.draws.items()}
            for panel, va in draws:
                for limit, passed in self.capacity.drawn(machine, panel, va).items():
                    by_limit[limit] = max(by_limit[limit], passed)
            for limit, va in by_limit.items():
                most[limit] += va
        idle = sum(gear.idle_va for gear in self.survey.gear)
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
            for (panel, scenario, year), va in option.draws.items()
            for limit, passed in self.capacity.drawn(option.machine, panel, va).items()
            if limit in self.tight
        }
