"""A plan walked year by year, knowing nothing of the integer program: the second opinion.

It keeps a stock of its own, checks that what the plan takes from it is really there, and emits every line.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.circuit import installed_spot, outlet_spot
from costplan.circuits.facts import Facts
from costplan.circuits.gear import candidate
from costplan.circuits.needs import Bundle, Item, Need, Return, StockNeed
from costplan.circuits.shelf import cord_needs, fits, shelf
from costplan.model.money import to_cents
from costplan.model.shop import Scenario
from costplan.plans.ledger import courses_of, overloads
from costplan.plans.lines import Line, LineKind, Pocket
from costplan.plans.options import gear_lacks
from costplan.plans.plan import Bought, GearBought, Plan
from costplan.plans.pricing import TODAY, Pricer, When
from costplan.plans.purchase import unit_cost
from costplan.plans.stockroom import SimulationError, Stockroom
from costplan.sourcing.market import Deal
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
        self._purchase()
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

    # today's purchase -----------------------------------------------------------------------------

    def _purchase(self) -> None:
        deals = {deal.offer.row: deal for kind in self.pricer.market.deals.values() for deal in kind}
        self._check_purchase(deals)
        spent: Counter[str] = Counter()
        used: set[str] = set()
        for bought in self.plan.bought:
            deal = deals[bought.offer_row]
            used.add(deal.supplier.id)
            spent[deal.supplier.id] += self._bought_lines(deal, bought)
        for packs in self.plan.packs:
            deal = deals[packs.offer_row]
            used.add(deal.supplier.id)
            spent[deal.supplier.id] += deal.price_cents * packs.count
            self._goods_lines(deal, deal.price_cents, packs.count, deal.offer.per, Decimal(packs.count))
            units = deal.pack or 1
            self._resale_line(
                deal, f", {deal.offer.per}", units, packs.count, deal.resale_cents(units, self.facts)
            )
        for supplier in self.facts.catalog.suppliers:
            if supplier.id in used:
                self._supplier_lines(supplier.id, spent[supplier.id])

    def _bought_lines(self, deal: Deal, bought: Bought) -> int:
        cost, need = unit_cost(self.pricer.market, deal, bought.need), bought.need
        length = f", {need.length_ft} ft" if need.length_ft else ""
        if deal.pack is None:
            units = Decimal(bought.count * (need.length_ft or 1))
            self._goods_lines(deal, cost.goods, bought.count, length, units)
        self._many(
            bought, deal, LineKind.CUT, Pocket.CASH, f"cut {need.length_ft} ft, {deal.part.name}", cost.cut
        )
        self._many(
            bought,
            deal,
            LineKind.RISK,
            Pocket.ALLOWANCE,
            f"rejects among {deal.part.name}{length}",
            cost.risk,
        )
        if cost.inspection:
            hours = deal.inspect_hours * bought.count
            what = f"inspect {deal.part.name}{length}"
            self._many(bought, deal, LineKind.LABOR, Pocket.OWN_TIME, what, cost.inspection, hours=hours)
        self._resale_line(deal, length, need.length_ft or 1, bought.count, cost.resale)
        return cost.goods * bought.count

    def _resale_line(self, deal: Deal, what: str, units: int, count: int, worth: int) -> None:
        if not worth:
            return
        self.lines.append(
            Line(
                self.facts.shop.years,
                "",
                LineKind.RESALE,
                Pocket.COMES_BACK,
                f"{deal.part.name}{what}",
                "",
                -to_cents(deal.resale_exact(units, self.facts)) * count,
                -worth * count,
                f"kinds.yaml resale of {deal.kind.kind}; offers.csv row {deal.offer.row}",
                offer_row=deal.offer.row,
            )
        )

    def _goods_lines(self, deal: Deal, each: int, count: int, what: str, quantity: Decimal) -> None:
        paid = self.facts.catalog.paid.get(deal.offer.row)
        word = f"paid, {paid.trace}," if paid is not None else "seen"
        seen = f", {word} {deal.offer.seen}" if deal.offer.seen else ""
        trace = f"offers.csv row {deal.offer.row}{seen}"
        for kind, cents in ((LineKind.PART, each), (LineKind.TAX, deal.tax_cents(each))):
            if kind is LineKind.PART or cents:
                label = deal.part.name + (what if what.startswith(",") else f", {what}" if what else "")
                self.lines.append(
                    Line(
                        0,
                        "",
                        kind,
                        Pocket.CASH,
                        label,
                        "",
                        cents * count,
                        cents * count,
                        trace,
                        quantity=quantity,
                        offer_row=deal.offer.row,
                    )
                )

    def _many(
        self,
        bought: Bought,
        deal: Deal,
        kind: LineKind,
        pocket: Pocket,
        what: str,
        each: int,
        hours: Decimal = Decimal(0),
    ) -> None:
        if not each:
            return
        sources = {
            LineKind.CUT: f"suppliers.yaml {deal.supplier.id} cut_charge",
            LineKind.RISK: f"kinds.yaml {deal.kind.kind} reject, expected value",
            LineKind.LABOR: f"kinds.yaml {deal.kind.kind} inspect",
        }
        cents = each * bought.count
        crew = self.facts.owner.name if kind is LineKind.LABOR else ""
        trace = f"{sources[kind]}; offers.csv row {deal.offer.row}"
        quantity = Decimal(bought.count)
        self.lines.append(
            Line(
                0,
                "",
                kind,
                pocket,
                what,
                "",
                cents,
                cents,
                trace,
                crew=crew,
                task="inspect surplus" if crew else "",
                quantity=quantity,
                hours=hours,
                offer_row=deal.offer.row,
            )
        )

    def _supplier_lines(self, name: str, spent: int) -> None:
        supplier = next(found for found in self.facts.catalog.suppliers if found.id == name)
        if spent < to_cents(supplier.minimum_cents):
            raise SimulationError(f"the order from {name} is below its minimum")
        free = supplier.free_over_cents is not None and spent >= supplier.free_over_cents
        fees = (
            ("order fee", supplier.order_fee_cents),
            ("delivery", Decimal(0) if free else supplier.delivery_cents),
        )
        for what, cents in fees:
            if cents:
                line = self.pricer.line(
                    TODAY,
                    LineKind.FEE,
                    Pocket.CASH,
                    f"{what}, {supplier.name}",
                    "",
                    cents,
                    f"suppliers.yaml {name}",
                )
                self.lines.append(line)

    def _check_purchase(self, deals: Mapping[int, Deal]) -> None:
        for problem in _purchase_problems(self.plan, deals, self.asked):
            raise SimulationError(problem)


def _gear_why(bought: int, year: int) -> str:
    return (
        f"put in, year {year}"
        if bought == year
        else f"there since year {bought}"
        if bought
        else "there since today"
    )


def _purchase_problems(
    plan: Plan, deals: Mapping[int, Deal], asked: Mapping[Need, Counter[str]]
) -> Iterator[str]:
    given: Counter[Need] = Counter()
    for bought in plan.bought:
        given[bought.need] += bought.count
        if not bought.need.spec.met_by(deals[bought.offer_row].part):
            yield f"{deals[bought.offer_row].part.id} does not meet {bought.need.spec.describe()}"
    for need, machines in asked.items():
        if given[need] < sum(machines.values()):
            yield f"too little bought: {need.spec.describe()}"
    yield from _taken_problems(plan, deals)
    yield from _cut_problems(plan, deals)


def _taken_problems(plan: Plan, deals: Mapping[int, Deal]) -> Iterator[str]:
    taken: Counter[int] = Counter()
    packs = {entry.offer_row: entry.count for entry in plan.packs}
    for bought in plan.bought:
        if bought.reel is None:
            taken[bought.offer_row] += bought.count * (bought.need.length_ft or 1)
    for row, units in taken.items():
        deal = deals[row]
        limit = packs.get(row, 0) * deal.pack if deal.pack is not None else deal.available
        if limit is not None and units > limit:
            yield f"more taken of offer {row} than there is"
    for row, count in packs.items():
        available = deals[row].available
        if available is not None and count > available:
            yield f"more packs of offer {row} are bought than there are"


def _cut_problems(plan: Plan, deals: Mapping[int, Deal]) -> Iterator[str]:
    cut: Counter[tuple[int, int]] = Counter()
    packs = {entry.offer_row: entry.count for entry in plan.packs}
    for bought in plan.bought:
        if bought.reel is not None:
            cut[bought.offer_row, bought.reel] += bought.count * bought.need.length_ft
    for (row, reel), feet in cut.items():
        if feet > (deals[row].pack or 0):
            yield f"reel {reel} of offer {row} is cut longer than it is"
    for row in {row for row, _ in cut}:
        if sum(1 for key in cut if key[0] == row) > packs.get(row, 0):
            yield f"more reels of offer {row} are cut than bought"
