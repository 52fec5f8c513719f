"""A plan walked year by year, knowing nothing of the integer program: the second opinion.

It keeps a stock of its own, checks that what the plan takes from it is really there, and emits every line.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.gear import candidate
from costplan.circuits.needs import Bundle, Need, Return
from costplan.circuits.shelf import fits, shelf
from costplan.model.choices import VisitRule
from costplan.model.money import to_cents
from costplan.plans.aging import (
    Wearing,
    begun,
    cord_uses,
    follow,
    inner_uses,
    new_today,
    still_good,
    taken,
    uses_along,
)
from costplan.plans.ledger import overloads
from costplan.plans.lines import Line, LineKind, Pocket
from costplan.plans.options import Chosen, gear_lacks
from costplan.plans.plan import Bought, GearBought, Plan, Visits
from costplan.plans.pricing import TODAY, Call, Pricer, When
from costplan.plans.purchase import unit_cost
from costplan.plans.stockroom import SimulationError, Stockroom
from costplan.sourcing.market import Deal
from costplan.years.calendar import scenarios_of
from costplan.years.stream import Date, Trip, Use
from costplan.years.upkeep import gear_course


@dataclass(frozen=True)
class Walk:
    """A plan's lines, and which machines each need of today is for."""

    lines: tuple[Line, ...]
    needed_by: Mapping[Need, Mapping[str, int]]


def walk(facts: Facts, pricer: Pricer, plan: Plan, chosen: Sequence[Chosen]) -> Walk:
    """Every line of the plan. Raises SimulationError when the plan does not hold together."""
    return _Walker(facts, pricer, plan, chosen).walk()


@dataclass(frozen=True, slots=True)
class _Paid:
    """Work done at a date and what it makes somebody pay for a visit."""

    bundle: Bundle
    trip: Trip


class _Walker:
    def __init__(self, facts: Facts, pricer: Pricer, plan: Plan, chosen: Sequence[Chosen]) -> None:
        self.facts, self.pricer, self.plan, self.chosen = facts, pricer, plan, chosen
        self.horizon = facts.shop.years
        self.scenarios = scenarios_of(facts.shop)
        self.weights = {scenario.name: scenario.weight for scenario in self.scenarios}
        self.lines: list[Line] = []
        self.asked: dict[Need, Counter[str]] = defaultdict(Counter)
        self.paid: dict[When, list[_Paid]] = defaultdict(list)
        self.stock = Stockroom(facts, plan.reused)
        self.whole_left = list(plan.whole_cords)
        self.whole_uses: Counter[Use] = Counter()
        self.lasting = {(entry.use, entry.lives): entry.count for entry in plan.lasting}
        self.to_share: dict[Use, int] = Counter({shared.use: shared.saved for shared in plan.shared})

    def walk(self) -> Walk:
        self._check_counts()
        self._gear()
        for item, count in shelf(self.facts).items():
            for _ in range(count):
                self.stock.set_free("", (0, 0), "", Return(new_today(self.facts, item)))
        self._walk_scenario("")
        for scenario in self.scenarios:
            self._walk_scenario(scenario.name)
            for problem in overloads(self.facts, self.plan, self.chosen, scenario):
                raise SimulationError(problem)
        self._left_over()
        if any(used.count for used in self.whole_left):
            raise SimulationError("a whole cord set aside today is never used")
        if any(self.lasting.values()):
            raise SimulationError("parts chosen by how long they last are never used")
        self._visits()
        self._purchase()
        return Walk(tuple(self.lines), {need: dict(machines) for need, machines in self.asked.items()})

    def _check_counts(self) -> None:
        count: Counter[str] = Counter()
        for found in self.chosen:
            count[found.option.machine] += found.count
        for machine in self.facts.shop.machines:
            if count[machine.name] != machine.count:
                raise SimulationError(f"{count[machine.name]} of {machine.count} {machine.name} are powered")

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
                        when = self._when(scenario.name, year)
                        for _ in range(bought.count):
                            self._spend(bundle, when, gear.name, _gear_why(bought.year, year))
            if bought.year == 0:
                for _ in range(bought.count):
                    self._spend(ready.bundle, TODAY, gear.name, "put in today")

    # circuits -------------------------------------------------------------------------------------

    def _walk_scenario(self, scenario: str) -> None:
        """Everything of a scenario in the order of its dates; of today, when the scenario is empty."""
        uses: dict[Date, list[tuple[str, Use]]] = defaultdict(list)
        for found in self.chosen:
            machine, stream = found.option.machine, found.option.stream
            for _ in range(found.count):
                for deed in (deed for deed in stream.deeds if deed.scenario == scenario):
                    when = self._when(scenario, deed.date[0])
                    self._spend(deed.bundle, when, machine, deed.why, deed.trip)
                for use in (use for use in stream.uses if use.scenario == scenario):
                    uses[use.since].append((machine, use))
                for given in (given for given in stream.given if given.scenario == scenario):
                    self.stock.set_free(scenario, given.date, machine, given.left)
                if not scenario:
                    self._whole_cord(stream.uses)
        for date in sorted({*uses, *self.stock.dates(scenario)}):
            for machine, use in uses[date]:
                if use.present:
                    self._there(machine, use)
            self._unused_parts(scenario, date)
            for machine, use in uses[date]:
                if not use.present:
                    self._begin(machine, use)

    def _unused_parts(self, scenario: str, date: Date) -> None:
        """What is set free of things that nobody ever uses again."""
        for machine, left in self.stock.never_used(scenario, date):
            for item in left.freed:
                self.stock.set_free(scenario, date, machine, Return(item))

    def _begin(self, machine: str, use: Use) -> None:
        when = self._when(use.scenario, use.since[0])
        found = self.stock.take(use)
        if found is not None:
            stored, left = found
            good = still_good(self.facts, use, left.item, stored[0])
            if not good or not left.item.serves(use.thing.item):
                raise SimulationError(f"{left.item} cannot serve {use.thing.item}")
            self._spend(use.thing.reused, when, machine, use.why, use.trip)
            for year, bundle in left.standing:
                if stored[0] <= year < use.since[0]:
                    self._spend(bundle, self._when(use.scenario, year), machine, "the lease ends")
            for along in uses_along(use):
                self._begin(machine, along)
            self._follow(machine, use, taken(self.facts, use, left.item, stored[0]))
        elif use.thing.found_only:
            raise SimulationError(f"{use.thing.item} is not in stock")
        elif self.whole_uses[use]:
            self._on_whole_cord(machine, use)
        elif self.stock.take_installed(use):
            self._spend(use.thing.reused, when, machine, use.why, use.trip)
            self._there(machine, use)
        elif self.to_share.get(use):
            self.to_share[use] -= 1
        else:
            self._buy(machine, use, when)

    def _buy(self, machine: str, use: Use, when: When) -> None:
        wear = self._new_wear(use)
        self._spend(use.thing.bought_with(wear[1]), when, machine, use.why, use.trip)
        for inner in inner_uses(use):
            self._begin(machine, inner)
        self._follow(machine, use, wear)

    def _there(self, machine: str, use: Use) -> None:
        """What is there already is as new today, with what it holds."""
        for known in (use, *inner_uses(use)):
            self._follow(machine, known, begun(self.facts, known))

    def _new_wear(self, use: Use) -> Wearing:
        for (of, lives), count in self.lasting.items():
            if of == use and count:
                self.lasting[of, lives] -= 1
                return begun(self.facts, use, lives)
        return begun(self.facts, use)

    def _follow(self, machine: str, use: Use, wear: Wearing) -> None:
        for scenario, _ in use.ends:
            renewals, freed = follow(use, scenario, *wear, self.horizon)
            for year, bundle in renewals:
                self._spend(bundle, self._when(scenario, year), machine, "is worn out")
            for date, left in freed:
                if date[0] or scenario == use.ends[0][0]:
                    self.stock.set_free(scenario if date[0] else "", date, machine, left)

    def _whole_cord(self, uses: tuple[Use, ...]) -> None:
        """Take a whole cord from the shelf for a machine that hangs on it, as the plan says."""
        asked = cord_uses(uses)
        for position, used in enumerate(self.whole_left):
            if asked is not None and used.count and used.uses == asked:
                if not fits(used.cord, tuple(use.thing for use in asked)):
                    raise SimulationError(f"{used.cord} cannot serve {asked}")
                self.whole_left[position] = replace(used, count=used.count - 1)
                for piece in used.cord.pieces:
                    self.stock.remove("", (0, 0), new_today(self.facts, piece))
                self.whole_uses.update(asked)
                return

    def _on_whole_cord(self, machine: str, use: Use) -> None:
        self.whole_uses[use] -= 1
        item = next(
            piece
            for used in self.plan.whole_cords
            for of, piece in zip(used.uses, used.cord.pieces, strict=True)
            if of == use
        )
        self._follow(machine, use, taken(self.facts, use, new_today(self.facts, item), 0))

    def _left_over(self) -> None:
        """What nobody ever used again is made safe, or stands until it is taken out."""
        for scenario, date, machine, left in self.stock.unused():
            self._spend(left.unused, self._when(scenario, date[0]), machine, "left unused")
            for year, bundle in left.standing if left.stays else ():
                if year >= date[0]:
                    for name in (scenario,) if scenario else tuple(self.weights):
                        self._spend(bundle, self._when(name, year), machine, "the lease ends")

    # money ----------------------------------------------------------------------------------------

    def _when(self, scenario: str, year: int) -> When:
        return When(year, scenario, self.weights[scenario]) if year else TODAY

    def _spend(self, bundle: Bundle, when: When, machine: str, why: str, trip: Trip = ()) -> None:
        if not bundle:
            return
        if when.year == 0:
            for need in bundle.needs:
                self.asked[replace(need, quantity=1)][machine] += need.quantity
            self.lines += self.pricer.effort(bundle, when, machine, why)
        else:
            self.lines += self.pricer.later(bundle, when, machine, why)
        self.paid[when].append(_Paid(bundle, trip))

    def _visits(self) -> None:
        """Visits, the year's own or one a move, with their permits; the first permit of a scenario is told apart."""
        each = self.facts.shop.hired_visits is VisitRule.EACH_MOVE
        planned = {(v.scenario, v.year, v.trip): v for v in self.plan.visits}
        had: dict[tuple[str, Call], bool] = {}
        for when in sorted(self.paid, key=lambda when: (when.year, when.scenario)):
            for call, permit in ((Call.VISIT, Call.PERMIT), (Call.OWN_VISIT, Call.OWN_PERMIT)):
                counts = self._counts(when, call, permit, planned if each else {})
                visits, permits = sum(v for v, _ in counts), sum(p for _, p in counts)
                for _ in range(visits):
                    self.lines += self.pricer.visit(when, call)
                for _ in range(permits):
                    first = not (had.get((when.scenario, call)) or had.get(("", call)))
                    self.lines += self.pricer.permit(when, permit, first=first)
                    had[when.scenario, call] = True
                if call is Call.VISIT and not when.year and visits:
                    self._minimum()
        self.lines += self.pricer.bid()

    def _counts(
        self, when: When, call: Call, permit: Call, planned: Mapping[tuple[str, int, Trip], Visits]
    ) -> list[tuple[int, int]]:
        """Visits and permits of one date: of the year's own visit, then of every move that has its own."""
        by_trip: dict[Trip, list[tuple[Bundle, frozenset[Call]]]] = defaultdict(list)
        for paid in self.paid[when]:
            calls = self.pricer.calls(paid.bundle, today=when.year == 0)
            by_trip[paid.trip if call.hired else ()].append((paid.bundle, calls))
        found = []
        for trip, called in by_trip.items():
            if not trip:
                found.append(
                    (int(any(call in c for _, c in called)), int(any(permit in c for _, c in called)))
                )
                continue
            said = planned.get((when.scenario, when.year, trip))
            visits, permits = (said.count, said.permits) if said is not None else (0, 0)
            if visits < _most_alike(called, call) or permits < _most_alike(called, permit):
                raise SimulationError(f"{visits} visits are too few for the work of {trip}")
            found.append((visits, permits))
        return found

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


def _most_alike(called: list[tuple[Bundle, frozenset[Call]]], call: Call) -> int:
    """How many machines at least need it: each does the same piece of work once."""
    return max(Counter(bundle for bundle, calls in called if call in calls).values(), default=0)


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
