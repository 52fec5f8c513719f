"""Today's purchase inside the program: packs, reels with cut lists, by the foot, suppliers' fees."""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from math import ceil

from costplan.circuits.needs import Need
from costplan.ledger.lines import Pocket
from costplan.ledger.plan import Bought, Packs
from costplan.ledger.unit_cost import Amount, pack_cost, pack_worth, unit_cost
from costplan.model.catalog import Supplier
from costplan.model.money import to_cents
from costplan.program.order_rows import Ordered
from costplan.program.program import Gives, Program, ProgramRows, Terms
from costplan.program.reel_cutting import ReelRows
from costplan.sourcing.cutting import fit_into_reels
from costplan.sourcing.deal import Deal
from costplan.sourcing.market import Market
from costplan.sourcing.orders import most_charges

SHARES = tuple(range(2, 10))
"""Each k for which a row is added: of pieces longer than 1/k of a reel no more than k - 1 come off one."""


@dataclass(frozen=True, slots=True)
class SetAside:
    """What a variable of today's purchase counts: pieces (or feet) of an offer for a need, cut from pooled reels or not."""

    offer_row: int
    need: Need
    from_reel: bool


class PurchaseRows(ProgramRows):
    """Adds today's purchase to a program and reads it back from an answer."""

    def __init__(
        self,
        program: Program,
        market: Market,
        demand: Mapping[Need, Terms],
        askers: Mapping[str | int, Mapping[Need, int]],
    ) -> None:
        """Add the rows.

        demand: how often each variable asks for a need; askers: the most each machine can ask for.
        """
        self.program, self.market, self.demand, self.askers = program, market, demand, askers
        high = {need: sum(asked.get(need, 0) for asked in askers.values()) for need in demand}
        self.outlay: Terms = defaultdict(int)
        self.set_aside: dict[int, SetAside] = {}
        self.packs_of: dict[int, list[int]] = defaultdict(list)
        self.feet: dict[int, dict[int, int]] = {}
        self.goods: dict[str, Terms] = defaultdict(lambda: defaultdict(int))
        self.links: dict[str, list[tuple[int, int]]] = defaultdict(list)
        self.deals: dict[int, Deal] = {}
        self.most: dict[int, dict[Need, int]] = defaultdict(dict)
        self.supply: dict[Need, list[int]] = defaultdict(list)
        needs = sorted(demand)
        for need in needs:
            for deal in worth_having(market, need):
                self.deals[deal.offer.row] = deal
                self.most[deal.offer.row][need] = high[need]
        for row in sorted(self.deals):
            self._deal(self.deals[row])
        for need in needs:
            terms = {index: -count for index, count in demand[need].items()}
            terms |= dict.fromkeys(self.supply[need], 1)
            what = f"{need.spec.describe()} {need.length_ft or ''}".strip()
            program.row(f"enough {what}", terms, 0, 0, (Gives.OFFERS, what))
        for supplier in market.facts.catalog.suppliers:
            order = Ordered(
                supplier, market.owner_hour_cents, self.goods[supplier.id], self.links[supplier.id]
            )
            for index, cents in order.add(program).items():
                self.outlay[index] += cents
        tempting = frozenset(row for row, deal in self.deals.items() if self._tempts(deal))
        self.reels = ReelRows(program, self.deals, self.feet, self.packs_of, tempting)

    def _deal(self, deal: Deal) -> None:
        most = self.most[deal.offer.row]
        pieces = [need for need in most if need.length_ft]
        if deal.is_length and pieces:
            self._reels(deal, {need: most[need] for need in pieces})
            most = {need: count for need, count in most.items() if not need.length_ft}
        if most:
            self._counted(deal, most)
        packs = self.packs_of[deal.offer.row]
        if len(packs) > 1 and deal.available is not None:
            # Reels for pieces and reels for feet with joints come off one shelf.
            self.program.row(f"stock of offer {deal.offer.row}", dict.fromkeys(packs, 1), high=deal.available)

    def _counted(self, deal: Deal, most: Mapping[Need, int]) -> None:
        """Counted things, feet with joints, and pieces cut by the foot."""
        taken: Terms = {}
        for need, high in most.items():
            if deal.available is not None and deal.pack is None:
                high = min(high, deal.available // (need.length_ft or 1))
            if not high:
                continue
            taken[self._aside(deal, need, high)] = need.length_ft or 1
        if not taken:
            return
        if deal.pack is not None:
            high = deal.packs_for(sum(most.values()))
            # No more packs than all needs together fill; of them, by the row, the fewest that hold what is taken.
            packs = self._pack(deal, high if deal.available is None else min(high, deal.available))
            assert deal.holds is not None
            counted, of = deal.holds.as_integer_ratio()
            row = {packs: counted, **{index: -of * units for index, units in taken.items()}}
            self.program.row(f"packs of offer {deal.offer.row}", row, 0, counted - 1)
        elif deal.available is not None:
            self.program.row(f"stock of offer {deal.offer.row}", taken, high=deal.available)

    def _reels(self, deal: Deal, most: Mapping[Need, int]) -> None:
        """Pieces cut from whole reels, rolls or remnants: their length against that of all reels together.

        That is exact for one reel and a relaxation for more, since no piece spans two: an answer whose pieces do not fit
        is ruled out by `ReelRows`. The rows of `SHARES` count how many pieces longer than a share of the reel fit: the sum of
        the whole part of (k * length - 1) / reel over the pieces of one reel is at most k - 1 (Fekete and Schepers, from
        memory).
        """
        reels = self._most_reels(deal, most)
        length = deal.pack or 0
        bought = self._pack(deal, reels)
        aside = self.feet[deal.offer.row] = {}
        for need, count in most.items():
            index = self._aside(deal, need, count, from_reel=True)
            aside[index] = need.length_ft
            high = min(count, length // need.length_ft)
            self.program.row(f"piece {index} from a bought reel", {index: 1, bought: -high}, high=0)
        self.program.row(f"reels of offer {deal.offer.row}", {**aside, bought: -length}, high=0)
        for k in SHARES if reels > 1 else ():
            terms = {index: (k * feet - 1) // length for index, feet in aside.items()}
            if any(terms.values()):
                row = {**terms, bought: -(k - 1)}
                self.program.row(f"pieces over 1/{k} of a reel, offer {deal.offer.row}", row, high=0)

    def _tempts(self, deal: Deal) -> bool:
        """Whether a reel more than needed could cost nothing."""
        supplier = deal.supplier
        if not deal.price_cents:
            return False
        free = supplier.free_over_cents is not None and supplier.delivery_cents > 0
        return free or pack_worth(self.market, deal) <= 0

    def _most_reels(self, deal: Deal, most: Mapping[Need, int]) -> int:
        """How many reels can be worth buying.

        No more than pieces or half-full reels, and no more than what the pieces would cost by the foot.
        """
        pieces, feet, by_foot = 0, 0, 0
        for needs in self.askers.values():
            mine = {need: count for need, count in needs.items() if need in most}
            if mine:
                pieces += max(mine.values())
                feet += max(need.length_ft * count for need, count in mine.items())
                by_foot += max(count * self._by_foot(need) for need, count in mine.items())
        by_foot += self.all_fees
        reels = min(
            pieces, 2 * feet // (deal.pack or 1) + 1, by_foot // max(pack_worth(self.market, deal), 1)
        )
        return reels if deal.available is None else min(reels, deal.available)

    def _by_foot(self, need: Need) -> int:
        """What a piece costs elsewhere without limit."""
        costs = [
            unit_cost(self.market, deal, need).most
            for deal in self.market.usable(need)
            if deal.pack is None and deal.available is None
        ]
        return min(costs, default=10**9)

    @cached_property
    def all_fees(self) -> int:
        """Every supplier's fees together."""
        return sum(_fees(self.market, supplier) for supplier in self.market.facts.catalog.suppliers)

    def _aside(self, deal: Deal, need: Need, high: int, *, from_reel: bool = False) -> int:
        cost = unit_cost(self.market, deal, need)
        where = ", from reels" if from_reel else ""
        length = f" {need.length_ft} ft" if need.length_ft else ""
        name = f"offer {deal.offer.row}{where} for {need.spec.describe()}{length}"
        index = self.program.variable(name, high)
        self.set_aside[index] = SetAside(deal.offer.row, need, from_reel)
        self.supply[need].append(index)
        for what, amount in cost.amounts.items():
            if not amount:
                continue
            of, cents = index, int(amount)
            if cents != amount:
                of, cents = self._rounded(f"{what.word} of {name}", index, amount, high), 1
            self.program.add_cost(of, what.sign * cents)
            if what.pocket is Pocket.CASH:
                self.outlay[of] += cents
            if what is Amount.GOODS:
                self.goods[deal.supplier.id][of] += cents
        if not from_reel:
            self.links[deal.supplier.id].append((index, high))
        return index

    def _rounded(self, name: str, index: int, amount: Decimal, high: int) -> int:
        """A variable of whole cents that is so many times the amount, rounded with half a cent down."""
        over, under = amount.as_integer_ratio()
        cents = self.program.variable(name, ceil(amount * high))
        self.program.row(name, {cents: 2 * under, index: -2 * over}, low=-under, high=under - 1)
        return cents

    def _pack(self, deal: Deal, high: int) -> int:
        worth = pack_worth(self.market, deal)
        index = self.program.variable(f"packs of offer {deal.offer.row}", high, worth)
        self.outlay[index] += pack_cost(deal)
        self.packs_of[deal.offer.row].append(index)
        self.goods[deal.supplier.id][index] += deal.price_cents
        self.links[deal.supplier.id].append((index, high))
        return index

    def bought(self, values: tuple[int, ...]) -> tuple[Bought, ...]:
        """What was set aside for which need, and the reel each piece is cut from."""
        ready: list[Bought] = []
        pools: dict[int, list[Bought]] = defaultdict(list)
        for index, aside in self.set_aside.items():
            if values[index]:
                found = pools[aside.offer_row] if aside.from_reel else ready
                found.append(Bought(aside.offer_row, aside.need, values[index]))
        return (*ready, *(piece for pool in pools.values() for piece in self._fitted(pool, values)))

    def _fitted(self, pool: list[Bought], values: tuple[int, ...]) -> list[Bought]:
        """The pieces of a pool, each with its reel."""
        deal = self.deals[pool[0].offer_row]
        pieces = [bought.need for bought in pool for _ in range(bought.count)]
        there = sum(values[index] for index in self.packs_of[deal.offer.row])
        reels = fit_into_reels([need.length_ft for need in pieces], deal.pack or 0, there)
        if reels is None:
            pieces, reels = self._walked(pieces, self.reels.flows[deal.offer.row], values)
        counts = Counter(zip(pieces, reels, strict=True))
        return [Bought(deal.offer.row, need, count, reel) for (need, reel), count in counts.items()]

    def _walked(
        self, pieces: list[Need], steps: Mapping[tuple[int, int], int], values: tuple[int, ...]
    ) -> tuple[list[Need], list[int]]:
        """The pieces in the order of the reels that an answer's walks cut, and the reel of each."""
        left = {step: values[index] for step, index in steps.items() if values[index]}
        of_length: dict[int, list[Need]] = defaultdict(list)
        for need in pieces:
            of_length[need.length_ft].append(need)
        ordered: list[Need] = []
        reels: list[int] = []
        reel, at = 0, 0
        while left:
            step = next((step for step in left if step[0] == at), None)
            if step is None:
                reel, at = reel + 1, 0
                continue
            left[step] -= 1
            if not left[step]:
                del left[step]
            ordered.append(of_length[step[1]].pop())
            reels.append(reel)
            at += step[1]
        return ordered, reels

    def packs(self, values: tuple[int, ...]) -> tuple[Packs, ...]:
        """Whole packs and reels bought, by offer; of reels that cost nothing those that are cut."""
        counts = {row: sum(values[index] for index in packs) for row, packs in self.packs_of.items()}
        cut: dict[int, set[int]] = {row: set() for row in self.feet if not self.deals[row].price_cents}
        for bought in self.bought(values) if cut else ():
            if bought.reel is not None and bought.offer_row in cut:
                cut[bought.offer_row].add(bought.reel)
        for row, reels in cut.items():
            counts[row] = len(reels)
        return tuple(Packs(row, count) for row, count in sorted(counts.items()) if count)


def worth_having(market: Market, need: Need) -> list[Deal]:
    """Deals less those that another deal, sold singly and without limit, always undercuts.

    Dropping a dearer deal can at most lose its supplier's free delivery and cost the other's fees, so
    both must be covered by the saving on a single unit.
    """
    deals = market.usable(need)
    known = market.answers(_not_undercut)
    key = (tuple((deal.offer.row, deal.offer.price_cents) for deal in deals), need.length_ft, need.share)
    if key not in known:
        known[key] = _not_undercut(market, deals, need)
    return known[key]


def _not_undercut(market: Market, deals: Sequence[Deal], need: Need) -> list[Deal]:
    rivals = [deal for deal in deals if deal.pack is None and deal.available is None]
    return [deal for deal in deals if not any(_undercuts(market, rival, deal, need) for rival in rivals)]


def _undercuts(market: Market, other: Deal, deal: Deal, need: Need) -> bool:
    if other is deal or deal.pack is not None or deal.supplier.minimum_cents:
        return False
    mine, its = unit_cost(market, deal, need), unit_cost(market, other, need)
    fees = 0 if other.supplier.id == deal.supplier.id else _fees(market, other.supplier)
    lost = to_cents(deal.supplier.delivery_cents) if deal.supplier.free_over_cents is not None else 0
    saving = mine.least - its.most - fees - lost
    return its.cash <= mine.cash and (saving > 0 or (saving == 0 and other.offer.row < deal.offer.row))


def _fees(market: Market, supplier: Supplier) -> int:
    known = market.answers(most_charges)
    if supplier.id not in known:
        known[supplier.id] = most_charges(supplier, market.owner_hour_cents)
    return known[supplier.id]
