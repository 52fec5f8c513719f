"""Today's purchase of a plan, checked and turned into lines, knowing nothing of the integer program."""

from collections import Counter
from collections.abc import Iterator, Mapping
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need
from costplan.ledger.lines import INSPECT_SURPLUS, Line, LineKind, Pocket
from costplan.ledger.plan import Bought, Plan
from costplan.ledger.pricing import TODAY, Pricer
from costplan.ledger.stockroom import SimulationError
from costplan.ledger.unit_cost import Amount, pack_inspection, unit_cost
from costplan.model.money import format_cents, to_cents
from costplan.sourcing.deal import Deal
from costplan.sourcing.orders import order_charges
from costplan.sourcing.resale import resale_cents, resale_exact, resale_trace, resells_whole

Asked = Mapping[Need, Mapping[str, int]]


def purchase_lines(facts: Facts, pricer: Pricer, plan: Plan, asked: Asked) -> list[Line]:
    """Every line of what the plan buys today: goods, tax, cuts, risk, inspection, resale, suppliers' fees.

    asked: how many pieces (or feet) of each need each machine takes.
    Raises SimulationError when too little is bought, or more than there is.
    """
    return _Receipt(facts, pricer, plan, asked).write()


class _Receipt:
    def __init__(self, facts: Facts, pricer: Pricer, plan: Plan, asked: Asked) -> None:
        self.facts, self.pricer, self.plan, self.asked = facts, pricer, plan, asked
        self.lines: list[Line] = []
        self.whom: tuple[str, ...] = ()
        """The machines that the lines being written are for."""

    def write(self) -> list[Line]:
        """Check the purchase and write all its lines."""
        deals = {deal.offer.row: deal for kind in self.pricer.market.deals.values() for deal in kind}
        for problem in _purchase_problems(self.plan, deals, self.asked):
            raise SimulationError(problem)
        spent: Counter[str] = Counter()
        used: set[str] = set()
        for bought in self.plan.bought:
            deal = deals[bought.offer_row]
            used.add(deal.supplier.id)
            self.whom = tuple(sorted(self.asked.get(bought.need, {})))
            spent[deal.supplier.id] += self._bought_lines(deal, bought)
        for packs in self.plan.packs:
            deal = deals[packs.offer_row]
            used.add(deal.supplier.id)
            cut = (bought.need for bought in self.plan.bought if bought.offer_row == packs.offer_row)
            self.whom = tuple(sorted({name for need in cut for name in self.asked.get(need, {})}))
            spent[deal.supplier.id] += deal.price_cents * packs.count
            goods, tax = deal.price_cents * packs.count, deal.tax_cents(deal.price_cents) * packs.count
            self._goods_lines(deal, goods, tax, deal.offer.per, Decimal(packs.count), packs.count)
            units = deal.pack or 1
            amount = to_cents(resale_exact(deal, units, self.facts)) * packs.count
            worth = resale_cents(deal, units, self.facts) * packs.count
            if resells_whole(deal):
                self._resale_line(deal, f", {deal.offer.per}", amount, worth, Decimal(1), packs.count)
            self._of_packs(deal, packs.count)
        for supplier in self.facts.catalog.suppliers:
            if supplier.id in used:
                self._supplier_lines(supplier.id, spent[supplier.id])
        return self.lines

    def _bought_lines(self, deal: Deal, bought: Bought) -> int:
        need, count = bought.need, bought.count
        cost = unit_cost(self.pricer.market, deal, need).of(count)
        length = f", {need.length_ft} ft" if need.length_ft else ""
        name = deal.part.name
        # Feet that are joined are rounded once for all, but for the look at each.
        each = 0 if deal.by_the_foot and not need.length_ft else count
        if deal.pack is None:
            units = Decimal(count * (need.length_ft or 1))
            self._goods_lines(deal, int(cost[Amount.GOODS]), int(cost[Amount.TAX]), length, units, each)
        self._with(
            deal,
            LineKind.CUT,
            Pocket.CASH,
            f"cut {need.length_ft} ft, {name}",
            cost[Amount.CUT],
            count=count,
            pieces=each,
        )
        self._with(
            deal,
            LineKind.RISK,
            Pocket.ALLOWANCE,
            f"rejects among {name}{length}",
            cost[Amount.RISK],
            count=count,
            pieces=each,
        )
        freight = f"freight, {name}{length}"
        self._with(deal, LineKind.FREIGHT, Pocket.CASH, freight, cost[Amount.FREIGHT], pieces=each)
        again = f"cuts and freight of what replaces rejects among {name}{length}"
        self._with(
            deal, LineKind.FREIGHT, Pocket.ALLOWANCE, again, cost[Amount.AGAIN], count=count, pieces=each
        )
        if cost[Amount.INSPECTION]:
            hours, what = deal.inspection_hours(count), f"inspect {name}{length}"
            worth = cost[Amount.INSPECTION]
            self._with(deal, LineKind.LABOR, Pocket.OWN_TIME, what, worth, hours, count, pieces=count)
        if not resells_whole(deal):
            exact = resale_exact(deal, need.length_ft or 1, self.facts, need.share)
            joined = deal.by_the_foot and not need.length_ft
            amount = to_cents(exact * count) if joined else to_cents(exact) * count
            pieces = 0 if joined else count
            self._resale_line(deal, length, amount, int(cost[Amount.RESALE]), need.share, pieces)
        return int(cost[Amount.GOODS])

    def _resale_line(
        self, deal: Deal, what: str, amount: int, worth: int, wear: Decimal, pieces: int
    ) -> None:
        """What comes back at the end: the amount then, and its worth today.

        Each of the pieces is rounded by itself, then and today; feet that are joined (no pieces) once for all.
        """
        if not worth:
            return
        counted = "; feet are discounted before they are rounded" if not pieces else ""
        if pieces > 1:
            each, today = format_cents(amount // pieces), format_cents(worth // pieces)
            counted = f"; {pieces} at {each}, each worth {today} today"
        self.lines.append(
            Line(
                self.facts.shop.years,
                "",
                LineKind.RESALE,
                Pocket.COMES_BACK,
                f"{deal.part.name}{what}",
                "",
                -amount,
                -worth,
                f"{resale_trace(deal, self.facts, wear)}; offers.csv row {deal.offer.row}{counted}",
                offer_row=deal.offer.row,
                bought_for=self.whom,
            )
        )

    def _goods_lines(
        self, deal: Deal, goods: int, tax: int, what: str, quantity: Decimal, pieces: int
    ) -> None:
        paid = self.facts.catalog.paid.get(deal.offer.row)
        word = f"paid, {paid.trace}," if paid is not None else "seen"
        seen = f", {word} {deal.offer.seen}" if deal.offer.seen else ""
        trace = f"offers.csv row {deal.offer.row}{seen}"
        on_top = LineKind.MARKUP if deal.supplier.markup else LineKind.TAX
        for kind, cents in ((LineKind.PART, goods), (on_top, tax)):
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
                        cents,
                        cents,
                        trace,
                        quantity=quantity,
                        per=deal.per,
                        offer_row=deal.offer.row,
                        bought_for=self.whom,
                        pieces=pieces if pieces > 1 else 0,
                    )
                )

    def _with(
        self,
        deal: Deal,
        kind: LineKind,
        pocket: Pocket,
        what: str,
        amount: Decimal,
        hours: Decimal = Decimal(0),
        count: int = 0,
        *,
        pieces: int = 0,
    ) -> None:
        """A line of something that comes with the goods; `pieces` of it are each rounded by itself."""
        if not amount:
            return
        sources = {
            LineKind.CUT: f"suppliers.yaml {deal.supplier.id} cut_charge",
            LineKind.RISK: f"kinds.yaml {deal.kind.kind} reject, expected value",
            LineKind.LABOR: f"kinds.yaml {deal.kind.kind} inspect",
            LineKind.FREIGHT: "offers.csv freight",
        }
        cents = int(amount)
        crew = self.facts.owner.name if kind is LineKind.LABOR else ""
        trace = f"{sources[kind]}; offers.csv row {deal.offer.row}"
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
                task=INSPECT_SURPLUS if crew else "",
                quantity=Decimal(count),
                hours=hours,
                offer_row=deal.offer.row,
                bought_for=self.whom,
                pieces=pieces if pieces > 1 else 0,
            )
        )

    def _of_packs(self, deal: Deal, count: int) -> None:
        """Freight of so many packs, and the look at all that is in them."""
        freight = Decimal(to_cents(deal.freight_cents) * count)
        self._with(
            deal,
            LineKind.FREIGHT,
            Pocket.CASH,
            f"freight, {deal.part.name}, {deal.offer.per}",
            freight,
            pieces=count,
        )
        worth, hours = pack_inspection(self.pricer.market, deal) * count, deal.pack_inspection_hours * count
        if worth:
            what, looked_at = f"inspect {deal.part.name}", deal.looked_at * count
            amount = Decimal(worth)
            self._with(deal, LineKind.LABOR, Pocket.OWN_TIME, what, amount, hours, looked_at, pieces=count)

    def _supplier_lines(self, name: str, spent: int) -> None:
        supplier = next(found for found in self.facts.catalog.suppliers if found.id == name)
        charges = order_charges(supplier, spent, self.pricer.market.owner_hour_cents)
        trace = f"suppliers.yaml {name}"
        for what, cents in charges.paid:
            if cents:
                words, of = f"{what}, {supplier.name}", f"{what} of {name}"
                line = self.pricer.line(
                    TODAY, LineKind.FEE, Pocket.CASH, words, "", Decimal(cents), trace, price_of=of
                )
                self.lines.append(line)
        if charges.errand_own_cents:
            self.lines.append(
                Line(
                    0,
                    "",
                    LineKind.LABOR,
                    Pocket.OWN_TIME,
                    f"errand to {supplier.name}",
                    "",
                    charges.errand_own_cents,
                    charges.errand_own_cents,
                    f"{trace} errand",
                    crew=self.facts.owner.name,
                    task="errand",
                    quantity=Decimal(1),
                    hours=supplier.errand.own_hours,
                )
            )


def _purchase_problems(plan: Plan, deals: Mapping[int, Deal], asked: Asked) -> Iterator[str]:
    given: Counter[Need] = Counter()
    for bought in plan.bought:
        given[bought.need] += bought.count
        if not bought.need.spec.met_by(deals[bought.offer_row].part):
            yield f"{deals[bought.offer_row].part.id} does not meet {bought.need.spec.describe()}"
    for need, machines in asked.items():
        if given[need] != sum(machines.values()):
            word = "little" if given[need] < sum(machines.values()) else "much"
            yield f"too {word} bought: {need.spec.describe()}"
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
        limit = packs.get(row, 0) * deal.holds if deal.holds is not None else deal.available
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
