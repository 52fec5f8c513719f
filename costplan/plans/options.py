"""The ways each machine could be powered, walked through every scenario, with why some are out."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from costplan.circuits.circuit import Builder
from costplan.circuits.facts import Facts
from costplan.circuits.gear import Candidate, candidate
from costplan.circuits.needs import Bundle, Change, Need, StockNeed
from costplan.circuits.routes import NoRouteError
from costplan.circuits.size_types import CannotSizeError
from costplan.circuits.supply import supplies_known
from costplan.circuits.ways import Way, all_ways, load_of, refusal, sources
from costplan.model.shop import Machine, Scenario
from costplan.sourcing.market import Market
from costplan.years.calendar import Life, lives, scenarios_of
from costplan.years.course import Dated, course


@dataclass(frozen=True)
class Option:
    """One way for one machine: what it does in every scenario, and why it may be out.

    `refused` is a rule against it, `missing` a price nobody gives; both None means it takes part.
    """

    machine: str
    way: Way
    courses: Mapping[str, tuple[Dated, ...]]
    years: int
    shared: tuple[StockNeed, ...] = ()
    refused: str | None = None
    missing: str | None = None

    @property
    def open(self) -> bool:
        """Whether it takes part in the choice."""
        return self.refused is None and self.missing is None

    @property
    def today(self) -> Change | None:
        """What it takes today; None for a machine that comes later."""
        for dated in next(iter(self.courses.values())):
            if dated.year == 0:
                return dated.change
        return None

    @cached_property
    def spaces(self) -> Mapping[tuple[str, str, int], int]:
        """Poles it takes by panel, scenario and year."""
        return self._standing(lambda change: change.poles)

    def _standing(self, figure: Callable[[Change], int]) -> dict[tuple[str, str, int], int]:
        taken: dict[tuple[str, str, int], int] = {}
        for scenario, dated in self.courses.items():
            now: tuple[str, int] | None = None
            for year in range(self.years + 1):
                for change in (entry.change for entry in dated if entry.year == year):
                    if change.panel is not None:
                        now = (change.panel, figure(change))
                    elif change.left:
                        now = None
                if now is not None:
                    taken[now[0], scenario, year] = now[1]
        return taken

    @cached_property
    def draws(self) -> Mapping[tuple[str, str, int], int]:
        """Volt-amperes it draws by panel, scenario and year."""
        return self._standing(lambda change: change.draw_va)

    def later(self, scenario: str) -> tuple[Dated, ...]:
        """Its changes after today in a scenario."""
        return tuple(dated for dated in self.courses[scenario] if dated.year > 0)


@dataclass(frozen=True)
class Unbuildable:
    """A way that sizing or the routes rule out, with the reason; `unmeasured` when only a length is missing."""

    machine: str
    way: Way
    reason: str
    unmeasured: bool = False


@dataclass(frozen=True)
class Survey:
    """All options of all machines, and the ways that cannot be built."""

    scenarios: tuple[Scenario, ...]
    options: Mapping[str, tuple[Option, ...]]
    unbuildable: tuple[Unbuildable, ...]
    gear: tuple[Candidate, ...] = ()
    gear_out: Mapping[str, str] = field(default_factory=dict)

    def change_years(self, scenario: str) -> list[int]:
        """Years after today in which some machine's circuit is made or changed in a scenario."""
        return sorted(
            {
                dated.year
                for found in self.options.values()
                for option in found
                for dated in option.later(scenario)
                if dated.change.panel is not None
            }
        )


def survey(facts: Facts) -> Survey:
    """Walk every way of every machine through every scenario. Pure; nothing is chosen or priced here."""
    scenarios = scenarios_of(facts.shop)
    fates = {scenario.name: lives(facts.shop, scenario) for scenario in scenarios}
    options: dict[str, tuple[Option, ...]] = {}
    unbuildable: list[Unbuildable] = []
    for machine in sorted(facts.shop.machines, key=lambda machine: machine.name):
        found: list[Option] = []
        fate = {name: fates[name][machine.name] for name in fates}
        load = load_of(machine, motor=machine.motor)
        changes = any(len(life.standings) > 1 for life in fate.values())
        loads = list(dict.fromkeys([load, *(s.load for life in fate.values() for s in life.standings)]))
        starts = sources(tuple(facts.panels.values()), loads, supplies_known(facts))
        for way in sorted(all_ways(facts.shop, machine, starts, load, changes=changes), key=repr):
            try:
                found.append(_option(facts, machine, way, fate))
            except (CannotSizeError, NoRouteError) as error:
                unmeasured = isinstance(error, NoRouteError)
                unbuildable.append(Unbuildable(machine.name, way, str(error), unmeasured))
        options[machine.name] = tuple(found)
    gear, gear_out = _gear(facts)
    return Survey(scenarios, options, tuple(unbuildable), gear, gear_out)


def _gear(facts: Facts) -> tuple[tuple[Candidate, ...], dict[str, str]]:
    """Gear that could be put in, and why the rest cannot."""
    ready, out = [], {}
    for gear in facts.shop.gear:
        try:
            ready.append(candidate(facts, gear))
        except (CannotSizeError, NoRouteError) as error:
            out[gear.name] = str(error)
    return tuple(ready), out


def priced(seen: Survey, market: Market) -> Survey:
    """The survey with the options and the gear marked for which the market has no offer."""
    out = dict(seen.gear_out)
    for gear in seen.gear:
        lacking = gear_lacks(market, gear)
        if lacking:
            out[gear.name] = lacking
    ready = [gear for gear in seen.gear if gear.name not in out]
    while any(gear.above in out for gear in ready):
        for gear in [gear for gear in ready if gear.above in out]:
            out[gear.name] = f"{gear.above}, which feeds it, is out: {out[gear.above or '']}"
            ready.remove(gear)
    options = {
        machine: tuple(replace(option, missing=_missing(market, option, out)) for option in found)
        for machine, found in seen.options.items()
    }
    return replace(seen, options=options, gear=tuple(ready), gear_out=out)


def _option(
    facts: Facts,
    machine: Machine,
    way: Way,
    fate: Mapping[str, Life],
) -> Option:
    builder = Builder(facts, machine, way)
    courses = {name: course(builder, life) for name, life in fate.items()}
    return Option(
        machine.name,
        way,
        courses,
        facts.shop.years,
        _shared(courses),
        refusal(facts.shop, machine, way),
    )


def _shared(courses: Mapping[str, tuple[Dated, ...]]) -> tuple[StockNeed, ...]:
    """Today's outlet and breaker, when turn-taking machines may share them.

    Counted only where the machine keeps the outlet to the end in every scenario, or until the shop moves.
    """
    first = next(iter(courses.values()))
    if not first or first[0].year != 0:
        return ()
    shared = tuple(need for need in first[0].change.stock_needs if need.shared_by)
    items = {need.item for need in shared}
    given_back = any(
        back.item in items for dated in courses.values() for entry in dated for back in entry.change.returns
    )
    replaced = any(
        need.item.spec.kind in ("receptacle", "disconnect")
        for dated in courses.values()
        for entry in dated
        for need in entry.change.stock_needs
    )
    return () if given_back or replaced else shared


def _missing(market: Market, option: Option, gear_out: Mapping[str, str]) -> str | None:
    """The first part that nobody sells at a price, or gear that is out; None when all can be had."""
    for dated in option.courses.values():
        for entry in dated:
            if entry.change.panel in gear_out:
                return f"{entry.change.panel}: {gear_out[entry.change.panel or '']}"
            for bundle in (entry.change.always, *(need.bought for need in entry.change.stock_needs)):
                lacking = _lacking(market, bundle, entry.year)
                if lacking:
                    return lacking
    return None


def gear_lacks(market: Market, gear: Candidate) -> str | None:
    """The first part that gear takes and nobody sells, now or when it is moved or replaced within the plan."""
    shop = market.facts.shop
    moves = any(event.shop_moves for scenario in scenarios_of(shop) for event in scenario.events)
    renewed = gear.life_years is not None and gear.life_years < shop.years
    return (
        _lacking(market, gear.bundle, 0)
        or (_lacking(market, gear.again, 1) if moves else None)
        or (_lacking(market, gear.renewed, 1) if renewed else None)
    )


def _lacking(market: Market, bundle: Bundle, year: int) -> str | None:
    for need in bundle.needs:
        if not _to_be_had(market, need, year):
            length = f", {need.length_ft} ft in one piece" if need.length_ft else ""
            return f"no priced offer for {need.spec.describe()}{length}"
    return None


def _to_be_had(market: Market, need: Need, year: int) -> bool:
    return bool(market.usable(need)) if year == 0 else market.forecast(need) is not None
