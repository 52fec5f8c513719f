"""Bids among the ways of hiring, so that who does which work becomes part of the plan."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.model.bids import Bid, LeftOut, bid_of, shop_with_bids, sorted_out
from costplan.plans.crews import hirings
from costplan.plans.hired_scope import ScopeItem, scope_today
from costplan.plans.ranking import Bench, Clock, NoPlanError, Ranked, best_plans


def with_bids(facts: Facts, bids: Iterable[Bid], *, today: date, expired: bool = False) -> Facts:
    """The facts with the bids among the crews and fixed bids, so that the comparison chooses among them.

    Bids that cannot take part are left out; `kept_out` names them. expired: count bids whose day has passed.
    """
    shop = shop_with_bids(facts.shop, facts.crews, bids, today=today, expired=expired)
    return Facts(shop, facts.catalog)


def kept_out(facts: Facts, bids: Iterable[Bid], *, today: date, expired: bool = False) -> tuple[LeftOut, ...]:
    """The bids that take no part in the choice, each with its reason; `facts` are without the bids."""
    return sorted_out(bids, facts.shop, facts.crews, today=today, expired=expired)[1]


def without_bids(facts: Facts) -> Facts:
    """The facts of the estimate: the fixed bids of the shop file put aside."""
    return Facts(facts.shop.model_copy(update={"bids": []}), facts.catalog) if facts.shop.bids else facts


def all_bids(facts: Facts, bids: Iterable[Bid]) -> tuple[Bid, ...]:
    """The fixed bids of the shop file, then those of the file of bids."""
    return (*(bid_of(fixed) for fixed in facts.shop.bids), *bids)


@dataclass(frozen=True, slots=True)
class InPlace:
    """The best plan when one way of hiring takes the estimate's place; `beyond` warns of work it outgrew."""

    name: str
    ranked: Ranked | None
    why_not: str
    beyond: tuple[str, ...]


def in_place(
    facts: Facts,
    ranked: Ranked,
    bids: Iterable[Bid],
    *,
    today: date,
    expired: bool = False,
    seconds: float | None = None,
    tick: Callable[[], object] = bool,
) -> tuple[InPlace, ...]:
    """The best plan by each bid that can take part, and by nobody else: who does which work is part of it.

    facts: without the bids; ranked: the plan the bids were asked for. Raises DisagreementError on a defect.
    """
    listed = tuple(bids)
    ready, _ = sorted_out(listed, facts.shop, facts.crews, today=today, expired=expired)
    known = with_bids(facts, listed, today=today, expired=expired)
    ways = [way for bid in ready for way in hirings(known, [bid.bidder]) if (way.bid is None) == bid.hourly]
    if not ways:
        return ()
    bench = Bench.over(known, facts.shop.money.surplus, crews=ways)
    clock, found = Clock(seconds), []
    for position, pricer in enumerate(bench.pricers):
        alone = replace(bench, pricers=(pricer,))
        try:
            best = best_plans(alone, 1, clock=Clock(clock.share(len(bench.pricers) - position)))[0]
        except NoPlanError as error:
            found.append(InPlace(pricer.hiring.name, None, str(error), ()))
        else:
            beyond = tuple(beyond_scope(known, scope_today(facts, ranked), best))
            found.append(InPlace(pricer.hiring.name, best, "", beyond))
        tick()
    return tuple(found)


def beyond_scope(facts: Facts, scope: Iterable[ScopeItem], ranked: Ranked) -> Iterator[str]:
    """Covered work of a plan by a fixed bid that is more than the scope the price was asked for, in words.

    A fixed price is for the work it was asked for; the choice takes it to hold for any plan.
    """
    bid = ranked.plan.hiring.bid
    if bid is None:
        return
    asked: dict[str, Decimal] = defaultdict(Decimal)
    taken: dict[str, Decimal] = defaultdict(Decimal)
    for item in scope:
        asked[item.task] += item.quantity
    for item in scope_today(facts, ranked):
        if item.task in bid.covers:
            taken[item.task] += item.quantity
    for task, quantity in taken.items():
        if quantity > asked[task]:
            name = facts.tasks[task].name
            yield f"{bid.name}: {name}: {quantity:f} in this plan, {asked[task]:f} when asked"
