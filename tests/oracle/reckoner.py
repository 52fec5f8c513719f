"""A plain reckoner: prices given ways of powering over the years from the written rules alone.

It shares no code with the program's own pricing, so that the two can disagree. It looks at every variant, crew and
part that the rules leave open and takes the cheapest total; what it cannot reckon plainly it refuses (NotReckoned).
What is set free is taken in the order of events; where more than one assignment is possible it refuses too.
"""

from collections import defaultdict
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from itertools import product

from booking import Buy, Variant, Work, configuration_of, load_of
from buying import Bought, Market, Spec, Worth
from events import Course, NotReckoned, courses
from walking import Walk

from costplan.model.catalog import Catalog, Condition
from costplan.model.choices import Family, Method
from costplan.model.labor import Crew, FixedBid, Role
from costplan.model.shop import Machine, Shop

__all__ = ["Line", "NotReckoned", "Reckoning", "reckon"]

_TOO_MANY = 20_000
_FIXED = (Method.WALL, Method.CONDUIT, Method.ARMORED)


@dataclass(frozen=True, slots=True)
class Line:
    """One amount of one year, in that year's money, and its present value with the scenario's weight."""

    year: int
    scenario: str
    what: str
    machine: str
    amount_cents: int
    present_value_cents: int
    pocket: str
    """cash, own time, lost time, comes back or allowance."""


@dataclass(frozen=True, slots=True)
class Reckoning:
    """All lines of the cheapest variant of a strategy."""

    lines: tuple[Line, ...]

    @property
    def total_cents(self) -> int:
        """The sum of all present values."""
        return sum(line.present_value_cents for line in self.lines)

    @property
    def today_cash_cents(self) -> int:
        """What is paid in cash today."""
        return sum(line.amount_cents for line in self.lines if line.year == 0 and line.pocket == "cash")

    @property
    def by_year(self) -> dict[int, int]:
        """Present value by year."""
        found: dict[int, int] = defaultdict(int)
        for line in self.lines:
            found[line.year] += line.present_value_cents
        return dict(sorted(found.items()))


def reckon(
    shop: Shop, catalog: Catalog | None, strategy: str | dict[str, str], rule: str = "allowed"
) -> Reckoning:
    """The cheapest reckoning of a strategy; `rule` is allowed or new only, for surplus.

    Raises NotReckoned, with a sentence, for what this plain reckoner does not price.
    """
    catalog = catalog or Catalog(parts=[], kinds=[], suppliers=[], tasks=[], crews=[], recipes={}, offers=[])
    words = _words_of(shop, strategy)
    _refuse(shop)
    plans = courses(shop)
    choices = [_variants(shop, catalog, machine, _word(words, machine)) for machine in shop.machines]
    crews = {crew.name: crew for crew in [*catalog.crews, *shop.crews]}
    owners = [crew for crew in crews.values() if crew.role is Role.OWNER]
    hired = [crew for crew in crews.values() if crew.role is Role.ELECTRICIAN]
    offers: list[tuple[Crew | None, FixedBid | None]] = [(crew, None) for crew in hired or [None]]
    offers += [(crews[bid.rest_by], bid) for bid in shop.bids]
    best: Reckoning | None = None
    tried = 0
    for variants in product(*choices):
        chosen = dict(zip((machine.name for machine in shop.machines), variants, strict=True))
        for crew, bid in offers:
            pricing = _Pricing(shop, catalog, plans, chosen, owners[0] if owners else None, crew, bid, rule)
            for parts in pricing.policies():
                tried += 1
                if tried > _TOO_MANY:
                    raise NotReckoned("There are too many variants to try them all.")
                found = pricing.reckoning(parts)
                if best is None or found.total_cents < best.total_cents:
                    best = found
    if best is None:
        raise NotReckoned("There is nothing to reckon.")
    return best


def _refuse(shop: Shop) -> None:
    said = {
        "gear": shop.gear and "Shared gear",
        "installed": shop.installed and "Installed outlets",
        "shelf": shop.shelf and "A shelf",
        "bids": shop.bids_file and "A file of bids",
        "turns": any(machine.takes_turns for machine in shop.machines) and "Machines that take turns",
        "losses": any(machine.full_load_hours for machine in shop.machines)
        and shop.money.electricity_cents_per_kwh
        and "Lost electricity",
    }
    for words in said.values():
        if words:
            raise NotReckoned(f"{words}: not reckoned.")


def _words_of(shop: Shop, strategy: str | dict[str, str]) -> dict[str, str]:
    if isinstance(strategy, dict):
        return strategy
    for named in shop.strategies:
        if named.name == strategy:
            return named.ways
    raise NotReckoned(f'The shop has no strategy "{strategy}".')


def _word(words: dict[str, str], machine: Machine) -> str:
    found = words.get(machine.name, words.get("*"))
    if found is None:
        raise NotReckoned(f"The strategy says nothing of {machine.name}.")
    return found


def _variants(shop: Shop, catalog: Catalog, machine: Machine, word: str) -> list[Variant]:
    for quoted in shop.quoted_ways:
        if quoted.name == word and (quoted.machines is None or machine.name in quoted.machines):
            return [Variant(quoted.method, quoted=quoted)]
    if len(shop.panels) != 1:
        raise NotReckoned("Ways from the catalog are reckoned with exactly one panel.")
    methods = _methods(shop, machine, word)
    if machine.ways.hard_wired is True or (
        machine.ways.hard_wired is None and any(part.kind == "disconnect" for part in catalog.parts)
    ):
        raise NotReckoned(f"{machine.name} may be hard-wired; only receptacles are reckoned.")
    recipes = {**catalog.recipes, **shop.recipes, **machine.recipes}
    families = _families(shop, catalog, machine)
    found = []
    events = [event for scenario in shop.scenarios for event in scenario.events]
    retooled = any(event.retool and event.machine == machine.name for event in events)
    for method in methods:
        for family in families:
            if method is Method.CORD:
                found += [
                    Variant(method, family, slack, heavy=heavy)
                    for slack in shop.cords.slack_ft
                    for heavy in ((False, True) if retooled else (False,))
                ]
            else:
                moved = f"move {method.value}" in recipes
                found += [
                    Variant(method, family, moved=way) for way in ((False, True) if moved else (False,))
                ]
    return found


def _methods(shop: Shop, machine: Machine, word: str) -> list[Method]:
    if word == "fixed drop":
        shut = {*shop.building.forbid, *machine.ways.forbid}
        only = machine.ways.only or list(Method)
        return [method for method in _FIXED if method in only and method not in shut]
    if word in {method.value for method in (*_FIXED, Method.CORD)}:
        return [Method(word)]
    raise NotReckoned(f'"{word}" is not reckoned; a method other than ceiling outlet, or a quoted way, is.')


def _families(shop: Shop, catalog: Catalog, machine: Machine) -> list[str]:
    """Families that are allowed and of which the machine's receptacle is for sale, and a plug if it needs one."""
    priced = {offer.part for offer in catalog.offers if offer.price_cents is not None}
    sold = {
        (part.kind, str(part.attributes.get("configuration", "")))
        for part in catalog.parts
        if part.id in priced
    }
    if Family.PIN_AND_SLEEVE in shop.cords.families and any(code.startswith("IEC") for _, code in sold):
        raise NotReckoned("Pin and sleeve devices are not reckoned.")
    load = load_of(machine, shop.code.edition)
    found = []
    for family in (Family.STRAIGHT, Family.LOCKING):
        code = configuration_of(machine, family.value, load)
        ends = ("receptacle",) if machine.plug == code else ("receptacle", "plug")
        if family in shop.cords.families and all((kind, code) in sold for kind in ends):
            found.append(family.value)
    if not found:
        raise NotReckoned(f"No receptacle, or no plug, for {machine.name} has a price.")
    return found


class _Lives(dict[Spec, int | None]):
    """Years in service of whatever is bought for a spec; asked once, then kept."""

    def __init__(self, market: Market, parts: dict[Spec, str]) -> None:
        super().__init__()
        self.market, self.parts = market, parts

    def __missing__(self, spec: Spec) -> int | None:
        offers = self.market.fitting(spec, self.parts.get(spec))
        lives = {self.market.life_years(self.market.parts[offer.part], spec.lasts) for offer in offers}
        if len(lives) > 1:
            raise NotReckoned(f"Parts for {spec} have different lives.")
        self[spec] = lives.pop()
        return self[spec]


class _Pricing:
    """Prices the walks of all scenarios for one choice of variants and crew."""

    def __init__(
        self,
        shop: Shop,
        catalog: Catalog,
        plans: tuple[Course, ...],
        variants: dict[str, Variant],
        owner: Crew | None,
        crew: Crew | None,
        bid: FixedBid | None,
        rule: str,
    ) -> None:
        self.shop, self.catalog, self.plans, self.variants = shop, catalog, plans, variants
        self.owner, self.crew, self.bid = owner, crew, bid
        self.muted = False
        if owner and (owner.set_up_hours or owner.minimum_cents):
            raise NotReckoned("A set-up or a minimum of the owner is not reckoned.")
        self.hour_cents = owner.rate_cents if owner else Decimal(0)
        self.market = Market(shop, catalog, rule, self.hour_cents)
        self.worth = Worth(self.market, shop.years)
        may = {task.id for task in catalog.tasks if Role.OWNER in task.who}
        self.owner_may = (
            frozenset(may if shop.owner_does is None else may & set(shop.owner_does))
            if owner
            else frozenset()
        )

    # Which part for which need ---------------------------------------------------------------------------

    def policies(self) -> list[dict[Spec, str]]:
        """Every choice of one part for each need whose fitting parts differ in life or resale."""
        choices: dict[Spec, list[str]] = {}
        for spec in self._specs():
            parts = {}
            for offer in self.market.fitting(spec):
                part = self.market.parts[offer.part]
                resale = tuple(sorted((c.value, self.market.resale_share(part, c)) for c in Condition))
                life = self.market.life_years(part, spec.lasts)
                parts[part.id] = (life, resale, self.market.straight_line(part) and life is not None)
            if len(set(parts.values())) > 1:
                choices[spec] = sorted(parts)
        return [dict(zip(choices, combination, strict=True)) for combination in product(*choices.values())]

    def _specs(self) -> list[Spec]:
        """Every need that can come up, from walks in which nothing wears out."""
        never: dict[Spec, int | None] = defaultdict(lambda: None)
        found: dict[Spec, None] = {}
        for plan in self.plans:
            for buy in self._walk(plan, never).buys:
                found[buy.piece.spec] = None
        return list(found)

    def _walk(self, plan: Course, lives: dict[Spec, int | None]) -> Walk:
        pace = self.owner.pace if self.owner else Decimal(1)
        walk = Walk(self.shop, self.catalog, plan, self.variants, lives, self.owner_may, pace)
        walk.run()
        return walk

    # Lines -----------------------------------------------------------------------------------------------

    def reckoning(self, parts: dict[Spec, str]) -> Reckoning:
        """All lines of all scenarios."""
        lives = _Lives(self.market, parts)
        walks = [self._walk(plan, lives) for plan in self.plans]
        self.sums: dict[tuple[int, str, str, str, str], Decimal] = defaultdict(Decimal)
        for number, (plan, walk) in enumerate(zip(self.plans, walks, strict=True)):
            if number == 0:
                self._today(walk.buys, parts)
            self._labor(plan, walk.works, number == 0)
            for buy in walk.buys:
                if buy.year:
                    self._later(plan, buy, parts)
        today = [sorted((b.machine, str(b.piece)) for b in walk.buys if b.year == 0) for walk in walks]
        if any(entry != today[0] for entry in today):
            raise NotReckoned("Today's purchase differs between scenarios.")
        return Reckoning(tuple(self._line(key, amount) for key, amount in self.sums.items()))

    def _line(self, key: tuple[int, str, str, str, str], exact_cents: Decimal) -> Line:
        """What is the same for one machine in one year is one line; its present value is that of the whole cents."""
        year, scenario, what, machine, pocket = key
        weight = next((plan.weight for plan in self.plans if plan.name == scenario), Decimal(1))
        amount = _cents(exact_cents)
        present = amount / (1 + self.shop.money.discount_rate) ** year * weight
        return Line(year, scenario, what, machine, amount, _cents(present), pocket)

    def _add(
        self,
        plan: Course | None,
        year: int,
        what: str,
        machine: str,
        exact_cents: Decimal,
        pocket: str,
        growth: Decimal = Decimal(0),
    ) -> None:
        if not exact_cents or (self.muted and not year):
            return
        grown = exact_cents * (1 + growth) ** year
        scenario = plan.name if plan is not None and year else ""
        self.sums[year, scenario, what, machine, pocket] += grown

    def _today(self, buys: list[Buy], parts: dict[Spec, str]) -> None:
        pieces = [buy.piece for buy in buys if buy.year == 0]
        if not pieces:
            return
        last = (1 + self.shop.money.discount_rate) ** self.shop.years

        def worth(bought: Bought) -> Decimal:
            return self.worth(bought, 0, Decimal(1)) / last

        bought, fees = self.market.today(pieces, parts, worth)
        tax: dict[str, Decimal] = defaultdict(Decimal)
        for entry in bought:
            name = entry.part.name
            tax[entry.offer.supplier] += entry.tax_cents
            self._add(None, 0, f"{name} from {entry.offer.supplier}", "", entry.goods_cents, "cash")
            self._add(None, 0, f"cut of {name}", "", entry.cut_cents, "cash")
            self._add(None, 0, f"risk of {name}", "", entry.risk_cents, "allowance")
            self._add(None, 0, f"inspecting {name}", "", entry.inspect_hours * self.hour_cents, "own time")
            self._sell(None, entry, 0, "", Decimal(1))
        for supplier in tax:
            self._add(None, 0, f"tax at {supplier}", "", tax[supplier], "cash")
            self._add(None, 0, f"fees of {supplier}", "", Decimal(fees.get(supplier, 0)), "cash")

    def _later(self, plan: Course, buy: Buy, parts: dict[Spec, str]) -> None:
        growth = self.shop.money.growth
        bought = self.market.later(buy.piece, parts.get(buy.piece.spec))
        name = bought.part.name
        cash = bought.goods_cents + bought.cut_cents + bought.tax_cents
        self._add(plan, buy.year, name, buy.machine, cash, "cash", growth.parts)
        self._add(
            plan, buy.year, f"risk of {name}", buy.machine, bought.risk_cents, "allowance", growth.parts
        )
        hours = bought.inspect_hours * self.hour_cents
        self._add(plan, buy.year, f"inspecting {name}", buy.machine, hours, "own time", growth.labor)
        self._sell(plan, bought, buy.year, buy.machine, (1 + growth.parts) ** buy.year)

    def _sell(self, plan: Course | None, bought: Bought, year: int, machine: str, growth: Decimal) -> None:
        back = self.worth(bought, year, growth)
        if not back:
            return
        name = plan.name if plan else ""
        what = f"{bought.part.name} sold"
        self.sums[self.shop.years, name, what, machine, "comes back"] -= back

    def _labor(self, plan: Course, works: list[Work], first: bool) -> None:
        growth = self.shop.money.growth
        hired_paid = own_paid = False
        for year in sorted({work.year for work in works}):
            mine = [work for work in works if work.year == year]
            self.muted = not first
            visits: dict[object, list[Work]] = defaultdict(list)
            for work in mine:
                self._add(plan, year, work.what, work.machine, work.money_cents, "cash", growth.parts)
                self._add(plan, year, work.what, work.machine, -work.back_cents, "comes back")
                own = work.own_hours * self.hour_cents
                self._add(plan, year, work.what, work.machine, own, "own time", growth.labor)
                if work.own_hours and self.owner is None:
                    raise NotReckoned("There is own work but no owner among the crews.")
                if work.hired_hours or work.permit == "hired":
                    visits[work.visit].append(work)
            self._standing(plan, year, mine)
            for visit in sorted(visits, key=str):
                hired_paid = self._visit(plan, year, visits[visit], hired_paid)
            owned = [work for work in mine if work.own_hours or work.permit == "own"]
            if owned and self.owner:
                self._add(
                    plan, year, "owner's way there", "", self.owner.call_out_cents, "cash", growth.labor
                )
                if any(work.permit == "own" for work in owned):
                    permit = _permit(self.owner, own_paid)
                    self._add(plan, year, "owner's permit", "", permit, "cash", growth.labor)
                    own_paid = True
        self.muted = False

    def _standing(self, plan: Course, year: int, works: list[Work]) -> None:
        """The shop stands once a visit for its longest task, and for each piece of the owner's work."""
        visits: dict[object, Decimal] = defaultdict(Decimal)
        for work in works:
            if work.hired:
                visits[work.visit] = max(visits[work.visit], work.stops_hours)
            else:
                lost = work.stops_hours * self.shop.money.shop_hour_cents
                self._add(plan, year, work.what, work.machine, lost, "lost time")
        for hours in visits.values():
            self._add(plan, year, "the visit", "", hours * self.shop.money.shop_hour_cents, "lost time")

    def _visit(self, plan: Course, year: int, works: list[Work], paid: bool) -> bool:
        growth = self.shop.money.growth.labor
        crew = self.crew
        if crew is None:
            raise NotReckoned("There is hired work but no hired crew.")
        if year == 0 and self.bid:
            return self._by_bid(plan, works, self.bid, crew)
        hour = crew.rate_cents / crew.pace
        labor = crew.set_up_hours * hour
        for work in works:
            labor += work.hired_hours * hour
            self._add(
                plan, year, f"labor: {work.what}", work.machine, work.hired_hours * hour, "cash", growth
            )
        self._add(plan, year, "set-up", "", crew.set_up_hours * hour, "cash", growth)
        self._add(plan, year, "call-out", "", crew.call_out_cents, "cash", growth)
        if labor < crew.minimum_cents:
            self._add(plan, year, "up to the minimum", "", crew.minimum_cents - labor, "cash", growth)
        if not any(work.permit == "hired" for work in works):
            return paid
        self._add(plan, year, "permit", "", _permit(crew, paid), "cash", growth)
        return True

    def _by_bid(self, plan: Course, works: list[Work], bid: FixedBid, crew: Crew) -> bool:
        """A bid for all of today's hired work; one that leaves work out, or holds the permit, is refused."""
        if bid.includes_permit or any(work.what not in bid.covers for work in works):
            raise NotReckoned("A bid that leaves work out or holds the permit is not reckoned.")
        self._add(plan, 0, f"bid: {bid.name}", "", bid.price_cents, "cash")
        if not any(work.permit == "hired" for work in works):
            return False
        self._add(plan, 0, "permit", "", crew.permit_cents, "cash")
        return True


def _permit(crew: Crew, paid: bool) -> Decimal:
    later = crew.later_permit_cents
    return crew.permit_cents if not paid or later is None else later


def _cents(exact: Decimal) -> int:
    return int(exact.to_integral_value(rounding=ROUND_HALF_EVEN))
