"""A plain search over everything a plan decides, with no integer program: the tests' second opinion.

Circuits and the lines of labor and of later years come from the product. Which ways, which stock serves
what, who is hired, and the whole of today's purchase are searched and added up here.
"""

from collections import Counter
from collections.abc import Iterator
from decimal import ROUND_HALF_EVEN, Decimal
from itertools import product

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle, Need, Return, StockNeed
from costplan.model.catalog import Condition, Offer, Role
from costplan.model.shop import SurplusRule
from costplan.plans.lines import LineKind, Pocket
from costplan.plans.options import Option
from costplan.plans.pricing import TODAY, Pricer, When
from costplan.plans.ranking import Bench

Pair = tuple[int, int]
"""Present value and today's cash, in cents."""
Signature = tuple[tuple[str, tuple[str, str]], ...]


def cents(exact: Decimal) -> int:
    return int(exact.quantize(Decimal(1), rounding=ROUND_HALF_EVEN))


def frontier(pairs: set[Pair]) -> list[Pair]:
    """Pairs that no other beats in both figures."""
    kept: list[Pair] = []
    for worth, cash in sorted(pairs):
        if not kept or cash < kept[-1][1]:
            kept.append((worth, cash))
    return kept


# today's purchase -------------------------------------------------------------------------------------


class Buying:
    """Every way of buying a list of needs, worked out from the offers as the user wrote them."""

    def __init__(self, facts: Facts, rule: SurplusRule) -> None:
        self.facts, self.rule = facts, rule
        self.suppliers = {supplier.id: supplier for supplier in facts.catalog.suppliers}
        owners = [crew for crew in facts.catalog.crews if crew.role is Role.OWNER]
        self.owner_rate = owners[0].rate_cents if owners else Decimal(0)
        self.memo: dict[tuple[tuple[Need, int], ...], list[Pair]] = {}
        self.offers_memo: dict[Need, list[Offer]] = {}

    def offers(self, need: Need) -> list[Offer]:
        """Offers that can meet a need; of those without limit at a feeless supplier only the cheapest."""
        if need not in self.offers_memo:
            fit = [offer for offer in self.facts.catalog.offers if self.fits(offer, need)]
            free = [offer for offer in fit if self.free(offer)]
            best = min(free, key=lambda offer: self.unit(offer, need)) if free else None
            self.offers_memo[need] = [offer for offer in fit if offer is best or not self.free(offer)]
        return self.offers_memo[need]

    def free(self, offer: Offer) -> bool:
        supplier = self.suppliers[offer.supplier]
        fees = supplier.order_fee_cents + supplier.delivery_cents + supplier.minimum_cents
        new = offer.condition is Condition.NEW
        return new and not fees and offer.available is None and offer.per in ("each", "ft")

    def fits(self, offer: Offer, need: Need) -> bool:
        part = self.facts.parts[offer.part]
        surplus = offer.condition in (Condition.USED, Condition.NEW_OLD_STOCK)
        if surplus and (self.rule is SurplusRule.NEW_ONLY or self.facts.kinds[part.kind].must_be_new):
            return False
        if not need.spec.met_by(part) or offer.price_cents is None or offer.available == 0:
            return False
        length = offer.piece_length_ft
        if need.length_ft:
            return offer.by_the_foot is not None or (length is not None and length >= need.length_ft)
        return offer.by_the_foot is None and length is None

    def pack(self, offer: Offer) -> int:
        """Feet or pieces in a pack, 0 when sold singly."""
        if offer.piece_length_ft is not None:
            return int(offer.piece_length_ft)
        return offer.pack_size if offer.pack_size > 1 else 0

    def unit(self, offer: Offer, need: Need) -> Pair:
        """Worth and cash of one piece, without the price of a pack."""
        kind = self.facts.kinds[need.spec.kind]
        supplier, shop = self.suppliers[offer.supplier], self.facts.shop
        assert offer.price_cents is not None
        units = need.length_ft or 1
        pack = self.pack(offer)
        price = offer.price_cents * units / (pack or 1)
        goods = 0 if pack else cents(price)
        tax = cents(goods * supplier.tax)
        cut = cents(supplier.cut_charge_cents) if need.length_ft and not pack else 0
        risk = inspection = 0
        if offer.condition in (Condition.USED, Condition.NEW_OLD_STOCK):
            reject = kind.reject.get(offer.condition, Decimal(0))
            risk = cents(price * reject / (1 - reject))
            inspection = cents(kind.inspect_hours * self.owner_rate)
        back = 0
        if kind.portable:
            share = kind.resale.get(offer.condition, Decimal(0))
            if kind.life_years is not None:
                share = share * max(kind.life_years - shop.years, 0) / kind.life_years
            back = 0 if pack else cents(price * share / (1 + shop.money.discount_rate) ** shop.years)
        return goods + tax + cut + risk + inspection - back, goods + tax + cut

    def ways(self, demand: Counter[Need]) -> list[Pair]:
        """Worth and cash of every purchase worth considering; empty when the needs cannot be met."""
        key = tuple(sorted(demand.items()))
        if key not in self.memo:
            self.memo[key] = self._search(key)
        return self.memo[key]

    def _search(self, demand: tuple[tuple[Need, int], ...]) -> list[Pair]:
        states: dict[tuple[tuple[int, tuple[int, ...]], ...], set[Pair]] = {(): {(0, 0)}}
        by_row = {offer.row: offer for offer in self.facts.catalog.offers}
        for need, count in demand:
            offers = self.offers(need)
            units = {offer.row: self.unit(offer, need) for offer in offers}
            following: dict[tuple[tuple[int, tuple[int, ...]], ...], set[Pair]] = {}
            for counts in compositions(count, len(offers)):
                worth = sum(n * units[offer.row][0] for n, offer in zip(counts, offers, strict=True))
                cash = sum(n * units[offer.row][1] for n, offer in zip(counts, offers, strict=True))
                for taken, pairs in states.items():
                    book = dict(taken)
                    for n, offer in zip(counts, offers, strict=True):
                        if n and not self.free(offer):
                            book[offer.row] = tuple(
                                sorted(book.get(offer.row, ()) + (need.length_ft or 1,) * n)
                            )
                    if all(self._enough(by_row[row], pieces) for row, pieces in book.items()):
                        key = tuple(sorted(book.items()))
                        following.setdefault(key, set()).update((w + worth, c + cash) for w, c in pairs)
            states = {key: set(frontier(pairs)) for key, pairs in following.items()}
        result: set[Pair] = set()
        for taken, pairs in states.items():
            fees, back = self._packs_and_fees({by_row[row].row: pieces for row, pieces in taken})
            result |= {(worth + fees - back, cash + fees) for worth, cash in pairs}
        return frontier(result)

    def _enough(self, offer: Offer, pieces: tuple[int, ...]) -> bool:
        if offer.available is None:
            return True
        if self.pack(offer):
            return self._packs(offer, pieces) <= offer.available
        return sum(pieces) <= offer.available

    def _packs(self, offer: Offer, pieces: tuple[int, ...]) -> int:
        if offer.piece_length_ft is not None:
            return fewest_bins(pieces, self.pack(offer))
        return -(-sum(pieces) // self.pack(offer))

    def _pack_resale(self, offer: Offer) -> int:
        """What a whole pack fetches at the end, today."""
        kind, shop = self.facts.kinds[self.facts.parts[offer.part].kind], self.facts.shop
        if not kind.portable:
            return 0
        assert offer.price_cents is not None
        share = kind.resale.get(offer.condition, Decimal(0))
        if kind.life_years is not None:
            share = share * max(kind.life_years - shop.years, 0) / kind.life_years
        return cents(cents(offer.price_cents) * share / (1 + shop.money.discount_rate) ** shop.years)

    def _packs_and_fees(self, taken: dict[int, tuple[int, ...]]) -> Pair:
        """Prices of packs with their tax and the suppliers' fees; and what the packs fetch at the end."""
        goods: Counter[str] = Counter()
        total = back = 0
        used: set[str] = set()
        for offer in self.facts.catalog.offers:
            pieces = taken.get(offer.row, ())
            if not pieces:
                continue
            assert offer.price_cents is not None
            used.add(offer.supplier)
            if self.pack(offer):
                count = self._packs(offer, pieces)
                back += count * self._pack_resale(offer)
                goods[offer.supplier] += count * cents(offer.price_cents)
                total += count * (
                    cents(offer.price_cents) + cents(offer.price_cents * self.suppliers[offer.supplier].tax)
                )
            else:
                goods[offer.supplier] += cents(offer.price_cents) * sum(pieces)
        for name in used:
            supplier = self.suppliers[name]
            free = supplier.free_over_cents is not None and goods[name] >= supplier.free_over_cents
            total += cents(supplier.order_fee_cents) + (0 if free else cents(supplier.delivery_cents))
        return total, back


def compositions(total: int, parts: int) -> Iterator[tuple[int, ...]]:
    """All ways to split a count among so many offers."""
    if parts == 0:
        if total == 0:
            yield ()
        return
    if parts == 1:
        yield (total,)
        return
    for first in range(total + 1):
        for rest in compositions(total - first, parts - 1):
            yield (first, *rest)


def fewest_bins(pieces: tuple[int, ...], length: int) -> int:
    """The fewest reels that the pieces can be cut from, by trying everything."""

    def fit(left: tuple[int, ...], bins: tuple[int, ...]) -> bool:
        if not left:
            return True
        piece, rest = left[-1], left[:-1]
        tried = set()
        for i, room in enumerate(bins):
            if room >= piece and room not in tried:
                tried.add(room)
                if fit(rest, (*bins[:i], room - piece, *bins[i + 1 :])):
                    return True
        return False

    count = -(-sum(pieces) // length)
    while not fit(tuple(sorted(pieces)), (length,) * count):
        count += 1
    return count


# later years ------------------------------------------------------------------------------------------


def scenario_cost(
    pricer: Pricer,
    forced: list[tuple[When, Bundle]],
    needs: list[tuple[When, StockNeed]],
    returns: list[tuple[When, Return]],
) -> int:
    """The least a scenario's later years can cost, over every use of what comes back."""
    best: int | None = None
    memo: dict[tuple[When, Bundle], int] = {}

    def worth(when: When, bundle: Bundle) -> int:
        if (when, bundle) not in memo:
            lines = pricer.later(bundle, when, "", "") if bundle else []
            memo[when, bundle] = sum(line.present_value_cents for line in lines)
        return memo[when, bundle]

    def total(spent: list[tuple[When, Bundle]]) -> int:
        cost = sum(worth(when, bundle) for when, bundle in spent)
        for when in {when for when, bundle in spent if pricer.hired(bundle, today=False)}:
            cost += sum(line.present_value_cents for line in pricer.visit(when, permit=False))
        for when in {when for when, bundle in spent if pricer.needs_permit(bundle, today=False)}:
            cost += sum(line.present_value_cents for line in pricer.permit(when))
        return cost

    def assign(index: int, free: tuple[int, ...], spent: list[tuple[When, Bundle]]) -> None:
        nonlocal best
        if index == len(needs):
            unused = [(returns[i][0], returns[i][1].unused) for i in free]
            cost = total(spent + unused)
            best = cost if best is None else min(best, cost)
            return
        when, need = needs[index]
        out = [(When(year, when.scenario, when.weight), bundle) for year, bundle in need.taken_out]
        assign(index + 1, free, [*spent, (when, need.bought), *out])
        tried: list[tuple[When, Return]] = []
        for i in free:
            then, back = returns[i]
            if then.year <= when.year and back.item.serves(need.item) and returns[i] not in tried:
                tried.append(returns[i])
                assign(index + 1, tuple(j for j in free if j != i), [*spent, (when, need.reused)])

    assign(0, tuple(range(len(returns))), forced)
    assert best is not None
    return best


# the whole choice -------------------------------------------------------------------------------------


class SecondOpinion:
    """The cheapest plan of every signature, found by trying everything."""

    def __init__(self, bench: Bench, rule: SurplusRule) -> None:
        self.bench, self.facts = bench, bench.facts
        self.buying = Buying(bench.facts, rule)
        self.cap = bench.facts.shop.money.outlay_cap_cents

    def by_signature(self) -> dict[Signature, int]:
        """Least present value of each signature, in cents."""
        best: dict[Signature, int] = {}
        options = self.bench.open_options()
        for combination in product(*(options[name] for name in options)):
            if not self._spaces_suffice(combination):
                continue
            signature = tuple(sorted((option.machine, option.way.signature) for option in combination))
            for pricer in self.bench.pricers:
                cost = self._cost(pricer, combination)
                if cost is not None:
                    best[signature] = min(cost, best.get(signature, cost))
        return best

    def _cost(self, pricer: Pricer, combination: tuple[Option, ...]) -> int | None:
        best: int | None = None
        for bundles, taken_out in self._todays(combination):
            later = sum(
                self._later(pricer, combination, name.name, taken_out) for name in self.bench.survey.scenarios
            )
            worth, cash = self._effort_today(pricer, bundles)
            demand: Counter[Need] = Counter()
            for bundle in bundles:
                for need in bundle.needs:
                    demand[Need(need.spec, 1, need.length_ft)] += need.quantity
            for bought, paid in self.buying.ways(demand):
                if self.cap is None or cash + paid <= self.cap:
                    cost = later + worth + bought
                    best = cost if best is None else min(best, cost)
        return best

    def _todays(
        self, combination: tuple[Option, ...]
    ) -> Iterator[tuple[list[Bundle], list[tuple[int, Bundle]]]]:
        """Bundles of today and what they have taken out later, for every use of installed outlets.

        Turn-taking machines that ask for the very same thing share it.
        """
        always = [option.today.always for option in combination if option.today is not None]
        needs: list[StockNeed] = []
        shared: set[tuple[str | None, StockNeed]] = set()
        for option in combination:
            for need in option.today.stock_needs if option.today is not None else ():
                if need in option.shared:
                    if (need.shared_by, need) in shared:
                        continue
                    shared.add((need.shared_by, need))
                needs.append(need)

        def use(
            index: int, spots: tuple[int, ...], got: list[Bundle], out: list[tuple[int, Bundle]]
        ) -> Iterator[tuple[list[Bundle], list[tuple[int, Bundle]]]]:
            if index == len(needs):
                yield always + got, out
                return
            need = needs[index]
            yield from use(index + 1, spots, [*got, need.bought], [*out, *need.taken_out])
            for i in spots:
                if self._is_there(i, need):
                    rest = tuple(j for j in spots if j != i)
                    yield from use(index + 1, rest, [*got, need.reused], out)

        yield from use(0, tuple(range(len(self.facts.shop.installed))), [], [])

    def _is_there(self, index: int, need: StockNeed) -> bool:
        spot, equal = self.facts.shop.installed[index], dict(need.item.spec.equal)
        return (
            need.item.spec.kind == "outlet"
            and equal["place"] in (spot.place, f"beside {spot.panel}")
            and (equal["panel"], equal["run"], equal["end"])
            == (spot.panel, str(spot.method), spot.configuration)
        )

    def _effort_today(self, pricer: Pricer, bundles: list[Bundle]) -> Pair:
        lines = [line for bundle in bundles for line in pricer.effort(bundle, TODAY, "", "")]
        crew, bid = pricer.hiring.crew, pricer.hiring.bid
        hired = any(pricer.hired(bundle, today=True) for bundle in bundles)
        if hired:
            lines += pricer.visit(TODAY, permit=False)
        if any(pricer.needs_permit(bundle, today=True) for bundle in bundles):
            lines += pricer.permit(TODAY)
        worked = sum(
            line.amount_cents for line in lines if line.kind is LineKind.LABOR and line.pocket is Pocket.CASH
        )
        more = max(cents(crew.minimum_cents) - worked, 0) if hired else 0
        more += cents(bid.price_cents) if bid is not None else 0
        worth = sum(line.present_value_cents for line in lines) + more
        return worth, sum(line.amount_cents for line in lines if line.pocket is Pocket.CASH) + more

    def _later(
        self, pricer: Pricer, combination: tuple[Option, ...], name: str, taken_out: list[tuple[int, Bundle]]
    ) -> int:
        scenario = next(found for found in self.bench.survey.scenarios if found.name == name)
        forced = [(When(year, name, scenario.weight), bundle) for year, bundle in taken_out]
        needs: list[tuple[When, StockNeed]] = []
        returns: list[tuple[When, Return]] = []
        for option in combination:
            for dated in option.later(name):
                when = When(dated.year, name, scenario.weight)
                forced.append((when, dated.change.always))
                needs += [(when, need) for need in dated.change.stock_needs]
                returns += [(when, back) for back in dated.change.returns]
        return scenario_cost(pricer, forced, needs, returns)

    def _spaces_suffice(self, combination: tuple[Option, ...]) -> bool:
        """Poles in every panel, scenario and year, until the shop moves; a shared breaker counts once."""
        shop = self.facts.shop
        moves = [event.year for scenario in shop.scenarios for event in scenario.events if event.shop_moves]
        taken: Counter[tuple[str, str, int]] = Counter()
        for option in combination:
            taken.update(option.spaces(shop.years))
        groups: Counter[StockNeed] = Counter(
            need for option in combination for need in option.shared if need.item.spec.kind == "breaker"
        )
        free = {panel.name: panel.spaces_free for panel in shop.panels}
        for (panel, name, year), poles in taken.items():
            if year >= min(moves, default=shop.years + 1):
                continue
            spared = 0
            for need, count in groups.items():
                here = [
                    o for o in combination if need in o.shared and (panel, name, year) in o.spaces(shop.years)
                ]
                spared += (count - 1) * int(dict(need.item.spec.equal)["poles"]) if here else 0
            if poles - spared > free[panel]:
                return False
        return True
