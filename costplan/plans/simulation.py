"""A plan walked year by year, knowing nothing of the integer program: the second opinion.

It keeps a stock of its own, checks that what the plan takes from it is really there, and emits every line.
"""

from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.circuit import installed_spot, outlet_spot
from costplan.circuits.facts import Facts
from costplan.circuits.gear import candidate
from costplan.circuits.needs import Bundle, Item, Need, Return, StockNeed
from costplan.circuits.shelf import cord_needs, fits, shelf
from costplan.model.shop import Scenario
from costplan.plans.ledger import courses_of, overloads
from costplan.plans.lines import Line, LineKind, Pocket
from costplan.plans.options import gear_lacks
from costplan.plans.plan import GearBought, Plan
from costplan.plans.pricing import TODAY, Pricer, When
from costplan.plans.receipt import purchase_lines
from costplan.plans.stockroom import SimulationError, Stockroom
from costplan.years.calendar import scenarios_of
from costplan.years.course import Dated
from costplan.years.upkeep import gear_course


@dataclass(frozen=True)
class Walk:
    """A plan's lines, and which machines each need of today is for."""

    lines: tuple[Line, ...]
    needed_by: Mapping[Need, Mapping[str, int]]


def walk(facts: Facts, pricer: Pricer, plan: Plan) -> Walk:
    """Every line of the plan. Raises SimulationError when the plan does not hold together."""
    return _Walker(facts, pricer, plan).walk()


class _Walker:
    def __init__(self, facts: Facts, pricer: Pricer, plan: Plan) -> None:
        self.facts, self.pricer, self.plan = facts, pricer, plan
        self.scenarios = scenarios_of(facts.shop)
        self.lines: list[Line] = []
        self.asked: dict[Need, Counter[str]] = defaultdict(Counter)
        self.visits: dict[When, list[Bundle]] = defaultdict(list)
        self.stock_today = Stockroom(r for r in plan.reused if not r.scenario and not r.installed)
        self.whole_left = list(plan.whole_cords)
        self.kept_today: list[tuple[int, str, Return]] = []

    def walk(self) -> Walk:
        courses = courses_of(self.facts, self.plan)
        self._gear()
        self._today(courses)
        for scenario in self.scenarios:
            self._scenario(scenario, courses[scenario.name])
            for problem in overloads(self.facts, self.plan, scenario, courses[scenario.name]):
                raise SimulationError(problem)
        self._visits()
        self.lines += purchase_lines(self.facts, self.pricer, self.plan, self.asked)
        return Walk(tuple(self.lines), {need: dict(machines) for need, machines in self.asked.items()})

    # gear -----------------------------------------------------------------------------------------

    def _gear(self) -> None:
        """What shared gear costs: put in when the plan says, run, moved and renewed from then on."""
        shop = self.facts.shop
        put_in = [(bought, self.facts.gear[bought.name]) for bought in self.plan.gear]
        there = [(GearBought(gear.name, "", 0, 1), gear) for gear in shop.gear if gear.installed]
        for bought, gear in put_in + there:
            ready = candidate(self.facts, gear)
            if gear.installed and gear_lacks(self.pricer.market, ready):
                continue
            for scenario in self.scenarios:
                if bought.scenario not in ("", scenario.name):
                    continue
                moves = [event.year for event in scenario.events if event.shop_moves]
                for year, bundle in gear_course(ready, bought.year, moves, shop.years):
                    if year > 0:
                        when = When(year, scenario.name, scenario.weight)
                        for _ in range(bought.count):
                            self._spend(bundle, when, gear.name, _gear_why(bought.year, year))
            if bought.year == 0:
                for _ in range(bought.count):
                    self._spend(ready.bundle, TODAY, gear.name, "put in today")

    # today ----------------------------------------------------------------------------------------

    def _today(self, courses: Mapping[str, Mapping[str, tuple[Dated, ...]]]) -> None:
        first = courses[self.scenarios[0].name]
        self._set_free_today(first)
        installed = self._installed()
        shared = {(entry.group, entry.item) for entry in self.plan.shared}
        provided: set[tuple[str, Item]] = set()
        for machine, dated in first.items():
            for entry in dated:
                if entry.year == 0:
                    self._spend(entry.change.always, TODAY, machine, entry.change.why)
                    on_whole = self._whole_cord(entry.change.stock_needs)
                    for need in entry.change.stock_needs:
                        if need in on_whole:
                            continue
                        self._today_need(need, machine, entry.change.why, installed, shared, provided)
        if any(used.count for used in self.whole_left):
            raise SimulationError("a whole cord set aside today is never used")
        for year, machine, back in self.stock_today.unused():
            if back.unused:
                self._spend(back.unused, TODAY, machine, "left unused")
            else:
                self.kept_today.append((year, machine, back))

    def _whole_cord(self, needs: tuple[StockNeed, ...]) -> tuple[StockNeed, ...]:
        """The needs that a whole cord from the shelf meets, which it then leaves."""
        asked = cord_needs(needs)
        for position, used in enumerate(self.whole_left):
            if asked is not None and used.count and used.asked == tuple(need.item for need in asked):
                if not fits(used.cord, asked):
                    raise SimulationError(f"{used.cord} cannot serve {asked}")
                self.whole_left[position] = replace(used, count=used.count - 1)
                for piece in used.cord.pieces:
                    self.stock_today.remove(0, piece)
                return asked
        return ()

    def _set_free_today(self, first: Mapping[str, tuple[Dated, ...]]) -> None:
        """Stock of today: the shelf, and what machines give up that are powered another way from now on."""
        for item, count in shelf(self.facts).items():
            self.stock_today.set_free(0, "", Return(item), count)
        for machine, dated in first.items():
            for entry in dated:
                if entry.year == 0:
                    for back in entry.change.returns:
                        self.stock_today.set_free(0, machine, back)

    def _installed(self) -> Counter[Item]:
        """Installed outlets the plan uses today, by the outlet they stand in for."""
        used: Counter[Item] = Counter()
        spots: Counter[tuple[str, ...]] = Counter()
        for reuse in self.plan.reused:
            if reuse.installed:
                used[reuse.need] += reuse.count
                spots[outlet_spot(reuse.need)] += reuse.count
        there = Counter(installed_spot(spot) for spot in self.facts.shop.installed)
        if any(count > there[spot] for spot, count in spots.items()):
            raise SimulationError("more installed outlets are used than there are")
        return used

    def _today_need(
        self,
        need: StockNeed,
        machine: str,
        why: str,
        installed: Counter[Item],
        shared: set[tuple[str, Item]],
        provided: set[tuple[str, Item]],
    ) -> None:
        share = (need.shared_by or "", need.item)
        if share in shared and share in provided:
            return
        if share in shared:
            provided.add(share)
        if installed[need.item]:
            installed[need.item] -= 1
            self._spend(need.reused, TODAY, machine, why)
            return
        if self.stock_today.take(0, need.item):
            self._spend(need.reused, TODAY, machine, why)
            return
        self._spend(need.bought, TODAY, machine, why)
        for year, bundle in need.taken_out:
            for scenario in self.scenarios:
                self._spend(bundle, When(year, scenario.name, scenario.weight), machine, "the lease ends")

    # later years ----------------------------------------------------------------------------------

    def _scenario(self, scenario: Scenario, courses: Mapping[str, tuple[Dated, ...]]) -> None:
        stock = Stockroom(r for r in self.plan.reused if r.scenario == scenario.name)
        for year, machine, back in self.kept_today:
            stock.set_free(year, machine, back)
        for year in range(1, self.facts.shop.years + 1):
            when = When(year, scenario.name, scenario.weight)
            changes = [
                (machine, e.change) for machine, dated in courses.items() for e in dated if e.year == year
            ]
            for machine, change in changes:
                for back in change.returns:
                    stock.set_free(year, machine, back)
            for machine, change in changes:
                self._spend(change.always, when, machine, change.why)
                for need in change.stock_needs:
                    if stock.take(year, need.item):
                        self._spend(need.reused, when, machine, change.why)
                    else:
                        self._buy_later(need, when, machine, change.why)
        for year, machine, back in stock.unused():
            self._spend(back.unused, When(year, scenario.name, scenario.weight), machine, "left unused")

    def _buy_later(self, need: StockNeed, when: When, machine: str, why: str) -> None:
        self._spend(need.bought, when, machine, why)
        for year, bundle in need.taken_out:
            self._spend(bundle, replace(when, year=year), machine, "the lease ends")

    # money ----------------------------------------------------------------------------------------

    def _spend(self, bundle: Bundle, when: When, machine: str, why: str) -> None:
        if not bundle:
            return
        if when.year == 0:
            for need in bundle.needs:
                self.asked[Need(need.spec, 1, need.length_ft)][machine] += need.quantity
            self.lines += self.pricer.effort(bundle, when, machine, why)
        else:
            self.lines += self.pricer.later(bundle, when, machine, why)
        self.visits[when].append(bundle)

    def _visits(self) -> None:
        for when in sorted(self.visits, key=lambda when: (when.year, when.scenario)):
            bundles, today = self.visits[when], when.year == 0
            hired = any(self.pricer.hired(bundle, today=today) for bundle in bundles)
            permit = any(self.pricer.needs_permit(bundle, today=today) for bundle in bundles)
            if hired:
                self.lines += self.pricer.visit(when, permit=False)
            if permit:
                self.lines += self.pricer.permit(when)
            if today and hired:
                self._minimum()
        self.lines += self.pricer.bid()

    def _minimum(self) -> None:
        crew = self.plan.hiring.crew
        worked = sum(
            line.amount_cents
            for line in self.lines
            if (line.year, line.kind, line.pocket) == (0, LineKind.LABOR, Pocket.CASH)
        )
        short = int(crew.minimum_cents) - worked
        if short > 0:
            what = f"short of the minimum, {crew.name}"
            self.lines.append(
                self.pricer.line(
                    TODAY, LineKind.MINIMUM, Pocket.CASH, what, "", Decimal(short), "labor.yaml crew minimum"
                )
            )


def _gear_why(bought: int, year: int) -> str:
    return (
        f"put in, year {year}"
        if bought == year
        else f"there since year {bought}"
        if bought
        else "there since today"
    )
