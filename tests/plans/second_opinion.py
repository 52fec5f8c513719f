"""A plain search over everything a plan decides, with no integer program: the tests' second opinion.

Circuits, what a piece of gear is made of, and the lines of labor and of later years come from the product.
Which ways, which stock of today and later serves what, which gear is put in when, whether panels and services
carry it all, who is hired, and the whole of today's purchase are searched and added up here.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from itertools import product

from costplan.circuits.circuit import Builder, Circuit, Standing
from costplan.circuits.facts import Facts
from costplan.circuits.gear import Candidate
from costplan.circuits.needs import NOTHING, Attribute, Bundle, Item, Need, Spec, StockNeed
from costplan.circuits.ways import Way
from costplan.model.catalog import Condition, Offer, Part, Role
from costplan.model.choices import SurplusRule
from costplan.model.gear import SERVICE, Gear, GearKind
from costplan.model.system import System
from costplan.plans.lines import Line, LineKind, Pocket
from costplan.plans.options import Option
from costplan.plans.pricing import TODAY, Pricer, When
from costplan.plans.ranking import Bench
from costplan.years.calendar import lives

Pair = tuple[int, int]
"""Present value and today's cash, in cents."""
Signature = tuple[tuple[str, str], ...]
Have = Mapping[str, int]
"""How many there are of each piece of gear."""


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
        supplier = self.suppliers[offer.supplier]
        assert offer.price_cents is not None
        units = need.length_ft or 1
        pack = self.pack(offer)
        per_unit = offer.price_cents / (offer.by_the_foot or pack or 1)
        price = per_unit * units
        goods = 0 if pack else cents(price)
        tax = cents(goods * supplier.tax)
        cut = cents(supplier.cut_charge_cents) if need.length_ft and not pack else 0
        risk = inspection = 0
        if offer.condition in (Condition.USED, Condition.NEW_OLD_STOCK):
            reject = kind.reject.get(offer.condition, Decimal(0))
            risk = cents(price * reject / (1 - reject))
            inspection = cents(kind.inspect_hours * self.owner_rate)
        back = 0 if pack else self._back(offer, price, need.share)
        return goods + tax + cut + risk + inspection - back, goods + tax + cut

    def _back(self, offer: Offer, price_cents: Decimal, share_of_life: Decimal = Decimal(1)) -> int:
        """What comes back at the end for goods of that price bought today, today's cents."""
        part, shop = self.facts.parts[offer.part], self.facts.shop
        kind = self.facts.kinds[part.kind]
        if not kind.portable:
            return 0
        shares = kind.resale if part.resale is None else part.resale
        share = shares.get(offer.condition, Decimal(0))
        life = part.life_years or kind.life_years
        if life is not None:
            lasts = max(int(life * share_of_life), 1)
            left = max(lasts - shop.years, 0)
            if (part.resale_rule or kind.resale_rule) == "straight line over life":
                share = share * left / lasts
            elif not left:
                share = Decimal(0)
        return cents(price_cents * share / (1 + shop.money.discount_rate) ** shop.years)

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
        assert offer.price_cents is not None
        return self._back(offer, Decimal(cents(offer.price_cents)))

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
                per = offer.by_the_foot or 1
                goods[offer.supplier] += sum(cents(offer.price_cents * units / per) for units in pieces)
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


# stock ------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Shelved:
    """A part that lies on the shelf, as the files describe it."""

    kind: str
    words: tuple[tuple[str, Attribute], ...]
    length_ft: int

    def serves(self, asked: Item) -> bool:
        """Whether the part itself meets what is asked; a shelf is in the first building."""
        equal = dict(asked.spec.equal)
        if equal.pop("of building", "0") != "0":
            return False
        spec = Spec(asked.spec.kind, tuple(equal.items()), asked.spec.at_least, asked.spec.at_most)
        part = Part.model_construct(kind=self.kind, attributes=dict(self.words))
        return self.length_ft >= asked.length_ft and spec.met_by(part)


@dataclass(frozen=True)
class Piece:
    """One thing in stock: the year that set it free, and what it takes when nobody ever uses it."""

    year: int
    thing: Item | Shelved
    unused: Bundle = NOTHING


def shelved(facts: Facts) -> list[tuple[Piece, ...]]:
    """Everything on the shelf one by one; a cord with ends is its cable and its ends together."""
    found = []
    for stored in facts.shop.shelf:
        part = facts.parts[stored.part]
        things = [Shelved(part.kind, tuple(part.attributes.items()), int(stored.length_ft or 0))]
        ends = (("plug", stored.plug), ("connector", stored.connector))
        things += [Shelved(kind, (("configuration", end),), 0) for kind, end in ends if end is not None]
        found += [tuple(Piece(0, thing) for thing in things)] * stored.count
    return found


@dataclass(frozen=True)
class Today:
    """One use of what is in stock today: what it takes, what it takes out later, what stays in stock."""

    bundles: tuple[Bundle, ...]
    taken_out: tuple[tuple[int, Bundle], ...]
    kept: tuple[Piece, ...]


@dataclass(frozen=True)
class Used:
    """Stock needs met so far: bundles spent, work that the end of a lease brings, what is still free."""

    pieces: tuple[Piece, ...]
    cords: tuple[tuple[Piece, ...], ...]
    spots: tuple[int, ...]
    bundles: tuple[Bundle, ...] = ()
    taken_out: tuple[tuple[int, Bundle], ...] = ()

    def spend(self, need: StockNeed, *, reused: bool) -> "Used":
        """The need bought, or put to use from stock."""
        if reused:
            return replace(self, bundles=(*self.bundles, need.reused))
        out = (*self.taken_out, *need.taken_out)
        return replace(self, bundles=(*self.bundles, need.bought), taken_out=out)

    def take(self, pieces: tuple[Piece, ...]) -> "Used":
        """These pieces leave the stock."""
        left = list(self.pieces)
        for piece in pieces:
            left.remove(piece)
        return replace(self, pieces=tuple(left))


class StockToday:
    """Every way of meeting today's needs from what is there: installed, set free today, on the shelf, whole cords."""

    def __init__(self, facts: Facts) -> None:
        self.facts, self.shelf = facts, shelved(facts)

    def uses(self, combination: tuple[Option, ...]) -> set[Today]:
        """Every use; turn-taking machines that ask for the very same thing share it."""
        always: list[Bundle] = []
        pieces = [piece for things in self.shelf for piece in things]
        asked: list[list[StockNeed]] = []
        shared: set[tuple[str | None, StockNeed]] = set()
        for change in (option.today for option in combination):
            if change is None:
                continue
            always.append(change.always)
            pieces += [Piece(0, back.item, back.unused) for back in change.returns]
        for option in combination:
            if option.today is None:
                continue
            mine = []
            for need in option.today.stock_needs:
                if need in option.shared:
                    if (option.today.panel, need) in shared:
                        continue
                    shared.add((option.today.panel, need))
                mine.append(need)
            asked.append(mine)
        whole = tuple(things for things in self.shelf if len(things) == 3)
        states = {Used(tuple(pieces), whole, tuple(range(len(self.facts.shop.installed))), tuple(always))}
        for mine in asked:
            states = self._met(mine, states)
        return {self._end(state) for state in states}

    def _end(self, state: Used) -> Today:
        left = Counter(state.pieces)
        safe = tuple(piece.unused for piece in left.elements() if piece.unused)
        kept = tuple(sorted((piece for piece in left.elements() if not piece.unused), key=repr))
        return Today(tuple(sorted((*state.bundles, *safe))), tuple(sorted(state.taken_out)), kept)

    def _met(self, needs: list[StockNeed], states: set[Used]) -> set[Used]:
        """Every way of meeting one machine's needs from each state: piece by piece, or on a whole cord."""
        found = self._one_by_one(needs, states)
        triple = [need for need in needs if need.item.spec.kind in ("cord", "plug", "connector")]
        if sorted(need.item.spec.kind for need in triple) != ["connector", "cord", "plug"]:
            return found
        rest = [need for need in needs if need not in triple]
        for state in states:
            for cord in set(state.cords):
                fits = all(any(p.thing.serves(n.item) for p in cord) for n in triple)
                if fits and not Counter(cord) - Counter(state.pieces):
                    left = list(state.cords)
                    left.remove(cord)
                    found |= self._one_by_one(rest, {replace(state.take(cord), cords=tuple(left))})
        return found

    def _one_by_one(self, needs: list[StockNeed], states: set[Used]) -> set[Used]:
        for need in needs:
            following = set()
            for state in states:
                following.add(state.spend(need, reused=False))
                for piece in set(state.pieces):
                    if piece.thing.serves(need.item):
                        following.add(state.take((piece,)).spend(need, reused=True))
                for i in state.spots:
                    if self._is_there(i, need):
                        rest = tuple(j for j in state.spots if j != i)
                        following.add(replace(state, spots=rest).spend(need, reused=True))
            states = following
        return states

    def _is_there(self, index: int, need: StockNeed) -> bool:
        spot, equal = self.facts.shop.installed[index], dict(need.item.spec.equal)
        return (
            need.item.spec.kind == "outlet"
            and equal["place"] in (spot.place, f"beside {spot.panel}")
            and (equal["panel"], equal["run"], equal["end"])
            == (spot.panel, str(spot.method), spot.configuration)
        )


# later years ------------------------------------------------------------------------------------------


class Later:
    """What later years cost by one way of hiring; sums of lines are worked out once."""

    def __init__(self, pricer: Pricer) -> None:
        self.pricer = pricer
        self.memo: dict[tuple[When, Bundle], tuple[int, bool, bool]] = {}
        self.visits: dict[When, Pair] = {}

    def _of(self, when: When, bundle: Bundle) -> tuple[int, bool, bool]:
        """Worth of a bundle, whether it needs a visit, and whether a permit."""
        if (when, bundle) not in self.memo:
            lines = self.pricer.later(bundle, when, "", "") if bundle else []
            hired = self.pricer.hired(bundle, today=False)
            permit = self.pricer.needs_permit(bundle, today=False)
            self.memo[when, bundle] = sum(line.present_value_cents for line in lines), hired, permit
        return self.memo[when, bundle]

    def _visit(self, when: When) -> Pair:
        if when not in self.visits:
            visit, permit = self.pricer.visit(when, permit=False), self.pricer.permit(when)
            self.visits[when] = (
                sum(line.present_value_cents for line in visit),
                sum(line.present_value_cents for line in permit),
            )
        return self.visits[when]

    def total(self, spent: list[tuple[When, Bundle]]) -> int:
        """Worth of everything spent in a scenario, each year's visit and permit once."""
        found = [(when, *self._of(when, bundle)) for when, bundle in spent]
        cost = sum(worth for _, worth, _, _ in found)
        cost += sum(self._visit(when)[0] for when in {when for when, _, hired, _ in found if hired})
        return cost + sum(self._visit(when)[1] for when in {when for when, _, _, permit in found if permit})

    def least(
        self,
        forced: list[tuple[When, Bundle]],
        needs: list[tuple[When, StockNeed]],
        pieces: list[tuple[When, Piece]],
    ) -> int:
        """The least a scenario's later years can cost, over every use of what is in stock by then."""
        best: int | None = None
        asked = [need.item for _, need in needs]
        of_use = [entry for entry in pieces if any(entry[1].thing.serves(item) for item in asked)]
        useless = [(when, piece.unused) for when, piece in pieces if (when, piece) not in of_use]

        def assign(index: int, free: tuple[int, ...], spent: list[tuple[When, Bundle]]) -> None:
            nonlocal best
            if index == len(needs):
                cost = self.total(spent + [(of_use[i][0], of_use[i][1].unused) for i in free])
                best = cost if best is None else min(best, cost)
                return
            when, need = needs[index]
            out = [(When(year, when.scenario, when.weight), bundle) for year, bundle in need.taken_out]
            assign(index + 1, free, [*spent, (when, need.bought), *out])
            tried: list[Piece] = []
            for i in free:
                piece = of_use[i][1]
                if piece.year <= when.year and piece.thing.serves(need.item) and piece not in tried:
                    tried.append(piece)
                    assign(index + 1, tuple(j for j in free if j != i), [*spent, (when, need.reused)])

        assign(0, tuple(range(len(of_use))), forced + useless)
        assert best is not None
        return best


# what panels and services carry ------------------------------------------------------------------------


@dataclass(frozen=True)
class Stand:
    """A machine at one date: the panel it hangs on, the poles it takes there, and what it draws."""

    machine: str
    panel: str
    poles: int
    va: int


@dataclass(frozen=True)
class PlainPanel:
    """A panel as the files describe it."""

    system: System
    spaces: int
    rating_a: Decimal | None
    fed_from: str
    other_a: Decimal


VOLTS = {"120/240 single-phase": 240, "120/208 three-phase": 208, "240 three-phase": 240}


def line_va(system: System, amps: Decimal) -> Decimal:
    """Volt-amperes of a line current."""
    return amps * VOLTS[system.value] * (Decimal(3).sqrt() if "three" in system.value else 1)


def up(value: Decimal) -> int:
    return int(value.to_integral_value(ROUND_CEILING))


def down(value: Decimal) -> int:
    return int(value.to_integral_value(ROUND_FLOOR))


class PlainRules:
    """Room, ratings and demand, counted straight from the files; loads are rounded up and limits down."""

    def __init__(self, facts: Facts, candidates: Mapping[str, Candidate]) -> None:
        self.facts, self.candidates = facts, candidates
        self.gear: dict[str, Gear] = {name: found.gear for name, found in candidates.items()}
        self.service = facts.shop.service
        self.panels = {
            panel.name: PlainPanel(
                panel.system,
                panel.spaces_free + self._given_up(panel.name),
                panel.rating_a,
                panel.fed_from or SERVICE,
                panel.other_load_a,
            )
            for panel in facts.shop.panels
        }
        left = [gear for gear in self.gear.values() if gear.panel_part]
        while left:
            gear = left.pop(0)
            if gear.fed_from in self.gear and gear.fed_from not in self.panels:
                left.append(gear)
                continue
            self.panels[gear.name] = self._brought(gear)

    def _given_up(self, panel: str) -> int:
        """Poles that the machines' present circuits take, which the plan is free to use otherwise."""
        present = [machine.now for machine in self.facts.shop.machines if machine.now is not None]
        return sum(now.poles for now in present if now.panel == panel)

    def _brought(self, gear: Gear) -> PlainPanel:
        part = self.facts.parts[gear.panel_part or ""].attributes
        rating = Decimal(str(part["rating_a"]))
        if gear.kind is GearKind.CONVERTER:
            system = System.DELTA_240
        elif gear.kind is GearKind.UTILITY:
            assert gear.system is not None
            system = gear.system
            rating = min(rating, gear.amps_a or rating)
        elif gear.fed_from == SERVICE:
            system = self.service.system if self.service else System.SINGLE_120_240
        else:
            system = self.panels[gear.fed_from or ""].system
        return PlainPanel(system, int(str(part["spaces"])), rating, gear.fed_from or "", Decimal(0))

    # which gear, and when

    def most(self, name: str) -> int:
        """The most that may be put in; a tandem breaker joins two one-pole circuits where the label allows it."""
        gear = self.gear[name]
        if gear.kind is not GearKind.TANDEM:
            return 1
        panel = next(panel for panel in self.facts.shop.panels if panel.name == gear.panel)
        return min(gear.at_most, panel.tandems, panel.one_pole_circuits // 2)

    def counts(self) -> Iterator[dict[str, int]]:
        """Every choice of gear for today; what is installed is there."""
        ranges = [[1] if gear.installed else range(self.most(name) + 1) for name, gear in self.gear.items()]
        for chosen in product(*ranges):
            yield {name: count for name, count in zip(self.gear, chosen, strict=True) if count}

    def later_counts(self, today: Have, years: list[int]) -> Iterator[dict[tuple[str, int], int]]:
        """Every choice of gear for later years, beside that of today."""
        open_years = [
            (name, year) for name, gear in self.gear.items() if not gear.installed for year in years
        ]
        ranges = [range(self.most(name) - today.get(name, 0) + 1) for name, _ in open_years]
        for chosen in product(*ranges):
            dated = {key: count for key, count in zip(open_years, chosen, strict=True) if count}
            total = Counter(today)
            for (name, _), count in dated.items():
                total[name] += count
            upgrades = sum(1 for name in total if self.gear[name].kind is GearKind.UPGRADE)
            if upgrades <= 1 and all(count <= self.most(name) for name, count in total.items()):
                yield dated

    def paid(self, name: str, bought: int, moves: list[int]) -> list[tuple[int, Bundle]]:
        """What one costs in later years: put in, run each year after, put in again in a move, renewed when worn."""
        found, horizon = self.candidates[name], self.facts.shop.years
        paid = [(bought, found.bundle)] if bought else []
        for year in range(bought + 1, horizon + 1):
            paid.append((year, found.yearly))
            if year in moves:
                paid.append((year, found.again))
            if found.life_years and (year - bought) % found.life_years == 0 and year != horizon:
                paid.append((year, found.renewed))
        return paid

    # whether it holds

    def all_there(self, stands: list[Stand], have: Have) -> bool:
        """Whether every panel that is used or feeds gear is there."""
        asked = {stand.panel for stand in stands}
        asked |= {self.gear[name].fed_from or "" for name, count in have.items() if count}
        return all(have.get(name, 0) > 0 for name in asked if name in self.gear)

    def large_enough(self, stands: list[Stand], have: Have, spared: Mapping[str, int]) -> bool:
        """Whether panels have the room, and panels, converters and the service carry the load."""
        there = [name for name in self.panels if name not in self.gear or have.get(name)]
        for name in there:
            taken = sum(stand.poles for stand in stands if stand.panel == name) - spared[name]
            taken += sum(self._poles(gear, name) * have.get(gear, 0) for gear in self.gear)
            if taken > self.panels[name].spaces:
                return False
        return self._carry(stands, have)

    def _carry(self, stands: list[Stand], have: Have) -> bool:
        on: dict[str, list[tuple[Stand, int]]] = {}
        for stand in stands:
            for limit, factor in self._above(stand.panel):
                if limit != SERVICE or not self._measured(stand.machine):
                    on.setdefault(limit, []).append((stand, up(stand.va * factor)))
        idle: Counter[str] = Counter()
        for name, gear in self.gear.items():
            if gear.kind is GearKind.CONVERTER and have.get(name):
                idle_w = Decimal(str(self.facts.parts[gear.part or ""].attributes["idle_w"]))
                for limit, _ in self._above(gear.fed_from or ""):
                    idle[limit] += up(idle_w)
        limits = self._limits(have)
        demands = {
            limit: self._demand(limit, on.get(limit, []), have) + idle[limit] for limit in {*on, *idle}
        }
        return all(limit not in limits or demand <= limits[limit] for limit, demand in demands.items())

    def _poles(self, name: str, panel: str) -> int:
        gear = self.gear[name]
        if gear.installed:
            return 0
        if gear.kind is GearKind.TANDEM:
            return -1 if gear.panel == panel else 0
        if gear.fed_from != panel:
            return 0
        three = gear.kind is GearKind.SUBPANEL and "three" in self.panels[panel].system.value
        return 3 if three else 2

    def _measured(self, machine: str) -> bool:
        peak = self.service is not None and self.service.measured_peak is not None
        return peak and self.facts.machines[machine].in_measured_peak

    def _above(self, panel: str) -> list[tuple[str, Decimal]]:
        """What a load passes on its way to the street, and what a converter's losses make of it."""
        passed, factor = [], Decimal(1)
        while panel != SERVICE:
            gear = self.gear.get(panel)
            passed.append((panel, factor))
            if gear is not None and gear.kind is GearKind.CONVERTER:
                passed.append((f"converter {panel}", factor))
                factor /= Decimal(str(self.facts.parts[gear.part or ""].attributes["efficiency"]))
            if gear is not None and gear.kind is GearKind.UTILITY:
                return passed
            panel = self.panels[panel].fed_from
        return [*passed, (SERVICE, factor)]

    def _limits(self, have: Have) -> dict[str, int]:
        """Volt-amperes left on everything that is there."""
        left = {}
        if self.service is not None:
            amps = [self.service.amps_a] + [self.gear[name].to_a or Decimal(0) for name in have if have[name]]
            peak = self.service.measured_peak
            taken_a = peak.amps_a * Decimal("1.25") if peak else self.service.other_load_a
            system = self.service.system
            left[SERVICE] = down(line_va(system, max(amps))) - up(line_va(system, taken_a))
        for name, panel in self.panels.items():
            gear = self.gear.get(name)
            if panel.rating_a is not None and (gear is not None or panel.fed_from != SERVICE):
                left[name] = down(line_va(panel.system, panel.rating_a)) - up(
                    line_va(panel.system, panel.other_a)
                )
            if gear is not None and gear.kind is GearKind.CONVERTER:
                output_a = Decimal(str(self.facts.parts[gear.part or ""].attributes["output_a"]))
                left[f"converter {name}"] = down(line_va(panel.system, output_a))
        return left

    def _demand(self, limit: str, loads: list[tuple[Stand, int]], have: Have) -> int:
        """The heaviest set that may run at once (220.60), a quarter more of its largest motor (430.24)."""
        sets = self.service.at_once if self.service and self.service.at_once else [[]]
        named = {name for names in sets for name in names}
        return max(
            self._together(
                [e for e in loads if e[0].machine not in named or e[0].machine in names], limit, have
            )
            for names in sets
        )

    def _together(self, loads: list[tuple[Stand, int]], limit: str, have: Have) -> int:
        machines = self.facts.machines
        turns: dict[str, list[int]] = {}
        for stand, va in loads:
            turns.setdefault(machines[stand.machine].takes_turns or f"only {stand.machine}", []).append(va)
        total = sum(max(group) for group in turns.values())
        motors = [va for stand, va in loads if machines[stand.machine].motor]
        total += max((up(Decimal(va) / 4) for va in motors), default=0)
        for name, gear in self.gear.items():
            if limit == SERVICE and gear.kind is GearKind.MANAGER and have.get(name):
                assert self.service is not None
                held = [va for stand, va in loads if self._held(gear, stand.machine)]
                total -= max(sum(held) - down(line_va(self.service.system, gear.holds_to_a or Decimal(0))), 0)
        return total

    def _held(self, gear: Gear, machine: str) -> bool:
        return machine in (gear.machines or ()) and self.facts.machines[machine].takes_turns is None


def sums(lines: list[Line]) -> tuple[int, int, int]:
    """Worth, cash, and hired labor of lines of today, in cents."""
    cash = [line for line in lines if line.pocket is Pocket.CASH]
    return (
        sum(line.present_value_cents for line in lines),
        sum(line.amount_cents for line in cash),
        sum(line.amount_cents for line in cash if line.kind is LineKind.LABOR),
    )


# the whole choice -------------------------------------------------------------------------------------


class SecondOpinion:
    """The cheapest plan of every signature, found by trying everything."""

    def __init__(self, bench: Bench, rule: SurplusRule) -> None:
        self.bench, self.facts = bench, bench.facts
        self.buying = Buying(bench.facts, rule)
        self.cap = bench.facts.shop.money.outlay_cap_cents
        self.rules = PlainRules(bench.facts, {gear.name: gear for gear in bench.survey.gear})
        self.years = {s.name: bench.survey.change_years(s.name) for s in bench.survey.scenarios}
        self.fates = {s.name: lives(bench.facts.shop, s) for s in bench.survey.scenarios}
        self.circuits: dict[tuple[str, Way, Standing], Circuit] = {}
        self.stock = StockToday(bench.facts)
        self.later_years = [(pricer, Later(pricer)) for pricer in bench.pricers]
        self.efforts: dict[tuple[str, Bundle], tuple[int, int, int, bool, bool]] = {}

    def by_signature(self) -> dict[Signature, int]:
        """Least present value of each signature, in cents."""
        best: dict[Signature, int] = {}
        for (signature, _), cost in self.by_plan().items():
            best[signature] = min(cost, best.get(signature, cost))
        return best

    def by_plan(self) -> dict[tuple[Signature, frozenset[str]], int]:
        """Least present value of each signature and each set of gear that is ever put in, in cents."""
        best: dict[tuple[Signature, frozenset[str]], int] = {}
        options = self.bench.open_options()
        for combination in product(*(options[name] for name in options)):
            signature = tuple(sorted((option.machine, option.way.signature) for option in combination))
            for today, later in self._gear_in_time(combination):
                for pricer, later_years in self.later_years:
                    for used, cost in self._costs(pricer, later_years, combination, today, later).items():
                        best[signature, used] = min(cost, best.get((signature, used), cost))
        return best

    def in_order(self, count: int) -> list[int]:
        """Costs of the first plans a person would call different: other ways, or without gear of an earlier one."""
        left, costs = dict(self.by_plan()), []
        while left and len(costs) < count:
            (signature, used), cost = min(left.items(), key=lambda entry: entry[1])
            costs.append(cost)
            left = {key: value for key, value in left.items() if key[0] != signature or not key[1] >= used}
        return costs

    def _gear_in_time(
        self, combination: tuple[Option, ...]
    ) -> Iterator[tuple[Have, dict[str, list[dict[tuple[str, int], int]]]]]:
        """Gear of today, and for each scenario every later gear with which nothing is ever too small."""
        scenarios = self.bench.survey.scenarios
        for today in self.rules.counts():
            later: dict[str, list[dict[tuple[str, int], int]]] = {}
            for scenario in scenarios:
                years = self.years[scenario.name]
                found = [
                    dated
                    for dated in self.rules.later_counts(today, years)
                    if self._holds(combination, scenario.name, today, dated)
                ]
                if not found:
                    break
                later[scenario.name] = found
            if len(later) == len(scenarios):
                yield today, later

    def _holds(
        self, combination: tuple[Option, ...], name: str, today: Have, dated: Mapping[tuple[str, int], int]
    ) -> bool:
        """Whether everything is there and large enough in every year; sizes only until the shop moves."""
        shop = self.facts.shop
        events = [e for scenario in shop.scenarios if scenario.name == name for e in scenario.events]
        moves = min((event.year for event in events if event.shop_moves), default=shop.years + 1)
        for year in range(shop.years + 1):
            have = Counter(today)
            for (gear, bought), count in dated.items():
                have[gear] += count if bought <= year else 0
            stands = self._stands(combination, name, year)
            if not self.rules.all_there(stands, have):
                return False
            spared = {panel: self._spared(combination, panel, stands) for panel in self.rules.panels}
            if year < moves and not self.rules.large_enough(stands, have, spared):
                return False
        return True

    def _stands(self, combination: tuple[Option, ...], name: str, year: int) -> list[Stand]:
        """Every machine that is there at the end of a year, by the circuit of its last change until then."""
        stands = []
        for option in combination:
            life = self.fates[name][option.machine]
            until = [standing for standing in life.standings if standing.year <= year]
            if until and (life.leaves is None or year < life.leaves):
                circuit = self._circuit(option, until[-1])
                stands.append(Stand(option.machine, circuit.panel, circuit.size.poles, circuit.draw_va))
        return stands

    def _circuit(self, option: Option, standing: Standing) -> Circuit:
        key = (option.machine, option.way, standing)
        if key not in self.circuits:
            machine = self.facts.machines[option.machine]
            self.circuits[key] = Builder(self.facts, machine, option.way).build(standing)
        return self.circuits[key]

    def _costs(
        self,
        pricer: Pricer,
        later_years: Later,
        combination: tuple[Option, ...],
        today: Have,
        later: Mapping[str, list[dict[tuple[str, int], int]]],
    ) -> dict[frozenset[str], int]:
        """The least cost by the gear that is ever put in."""
        best: dict[frozenset[str], int] = {}
        ready = [self.rules.candidates[name].bundle for name, count in today.items() for _ in range(count)]
        at_first = frozenset(name for name in today if not self.rules.gear[name].installed)
        memo: dict[object, int] = {}
        for use in self.stock.uses(combination):
            bundles = [*use.bundles, *ready]
            worth, cash = self._effort_today(pricer, bundles)
            demand: Counter[Need] = Counter()
            for bundle in bundles:
                for need in bundle.needs:
                    demand[Need(need.spec, 1, need.length_ft)] += need.quantity
            buys = [b for b, paid in self.buying.ways(demand) if self.cap is None or cash + paid <= self.cap]
            if not buys:
                continue
            sums = {at_first: worth + min(buys)}
            for name, choices in later.items():
                following: dict[frozenset[str], int] = {}
                for dated in choices:
                    key = (name, use.taken_out, use.kept, tuple(dated.items()))
                    if key not in memo:
                        memo[key] = self._later(later_years, combination, name, use, today, dated)
                    cost = memo[key]
                    for used, so_far in sums.items():
                        now = used | {gear for gear, _ in dated}
                        following[now] = min(so_far + cost, following.get(now, so_far + cost))
                sums = following
            for used, cost in sums.items():
                best[used] = min(cost, best.get(used, cost))
        return best

    def _effort_today(self, pricer: Pricer, bundles: list[Bundle]) -> Pair:
        """Worth and cash of today's work, with the visit, the permit, the minimum and the bid."""
        found = [self._effort(pricer, bundle) for bundle in bundles]
        crew, bid = pricer.hiring.crew, pricer.hiring.bid
        hired, lines = any(entry[3] for entry in found), []
        if hired:
            lines += pricer.visit(TODAY, permit=False)
        if any(entry[4] for entry in found):
            lines += pricer.permit(TODAY)
        more, cash, worked = sums(lines)
        worked += sum(entry[2] for entry in found)
        extra = max(cents(crew.minimum_cents) - worked, 0) if hired else 0
        extra += cents(bid.price_cents) if bid is not None else 0
        return (
            more + extra + sum(entry[0] for entry in found),
            cash + extra + sum(entry[1] for entry in found),
        )

    def _effort(self, pricer: Pricer, bundle: Bundle) -> tuple[int, int, int, bool, bool]:
        """Worth, cash and hired labor of a bundle's work today; whether it needs a visit and a permit."""
        key = (pricer.hiring.name, bundle)
        if key not in self.efforts:
            hired = pricer.hired(bundle, today=True)
            permit = pricer.needs_permit(bundle, today=True)
            self.efforts[key] = (*sums(pricer.effort(bundle, TODAY, "", "")), hired, permit)
        return self.efforts[key]

    def _later(
        self,
        later_years: Later,
        combination: tuple[Option, ...],
        name: str,
        use: Today,
        today: Have,
        dated: Mapping[tuple[str, int], int],
    ) -> int:
        scenario = next(found for found in self.bench.survey.scenarios if found.name == name)

        def at(year: int) -> When:
            return When(year, name, scenario.weight)

        forced = [(at(year), bundle) for year, bundle in use.taken_out]
        moves = [event.year for event in scenario.events if event.shop_moves]
        for (gear, bought), count in [*(((gear, 0), count) for gear, count in today.items()), *dated.items()]:
            paid = self.rules.paid(gear, bought, moves)
            forced += [(at(year), bundle) for year, bundle in paid for _ in range(count)]
        needs: list[tuple[When, StockNeed]] = []
        pieces = [(at(0), piece) for piece in use.kept]
        for option in combination:
            for entry in option.later(name):
                forced.append((at(entry.year), entry.change.always))
                needs += [(at(entry.year), need) for need in entry.change.stock_needs]
                pieces += [
                    (at(entry.year), Piece(entry.year, back.item, back.unused))
                    for back in entry.change.returns
                ]
        return later_years.least(forced, needs, pieces)

    def _spared(self, combination: tuple[Option, ...], panel: str, stands: list[Stand]) -> int:
        """Poles spared in a panel because turn-taking machines share a breaker of it."""
        there = {stand.machine for stand in stands if stand.panel == panel}
        groups: Counter[StockNeed] = Counter(
            need
            for option in combination
            if option.machine in there
            for need in option.shared
            if need.item.spec.kind == "breaker"
        )
        return sum((count - 1) * int(dict(need.item.spec.equal)["poles"]) for need, count in groups.items())
