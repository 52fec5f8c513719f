"""Bids among the ways of hiring, so that who does which work becomes part of the plan."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.ledger.crews import hirings
from costplan.ledger.options import Option
from costplan.model.bids import Bid, bid_of, shop_with_bids, why_out
from costplan.program.bench import Allowed, Bench
from costplan.program.clock import Clock, Tick
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.studies.comparison import Comparison, compare
from costplan.studies.hired_scope import ScopeItem, scope_today
from costplan.studies.left_out import bench_of_the_rest
from costplan.studies.turned import refuse_unknown
from costplan.studies.wanted import USUAL, Wanted


def with_bids(facts: Facts, bids: Iterable[Bid], *, today: date, expired: bool = False) -> Facts:
    """The facts with the bids among the crews and fixed bids, so that the comparison chooses among them.

    Bids that cannot take part are left out; `why_out` says why. expired: count bids whose day has passed.
    """
    shop = shop_with_bids(facts.written, facts.crews, bids, today=today, expired=expired)
    return Facts(shop, facts.catalog)


def without_bids(facts: Facts) -> Facts:
    """The facts of the estimate: the fixed bids of the shop file put aside."""
    return Facts(facts.written.model_copy(update={"bids": []}), facts.catalog) if facts.shop.bids else facts


def all_bids(facts: Facts, bids: Iterable[Bid]) -> tuple[Bid, ...]:
    """The fixed bids of the shop file, then those of the file of bids."""
    return (*(bid_of(fixed) for fixed in facts.shop.bids), *bids)


def compare_with_bids(
    facts: Facts,
    bids: Sequence[Bid],
    wanted: Wanted = USUAL,
    *,
    expired: bool = False,
) -> Comparison:
    """The comparison with received bids among the ways of hiring; without bids, the plain comparison.

    expired: count bids whose day has passed. What keeps a bid out, and work a fixed price would be stretched to, are among
    the warnings.
    Raises NoPlanError, UnknownWordsError.
    """
    if not bids:
        return compare(facts, wanted)
    if wanted.exact_turning is not None:
        names = [strategy.name for strategy in facts.shop.strategies] if wanted.strategies else []
        refuse_unknown(facts, wanted.exact_turning, names)
    share = None if wanted.seconds is None else wanted.seconds / 2
    today = facts.shop.today
    estimated = bench_of_the_rest(without_bids(facts), facts.shop.money.surplus)
    asked = best_plans(estimated, 1, clock=Clock(share), tick=wanted.tick)[0]
    full = with_bids(facts, bids, today=today, expired=expired)
    compared = compare(full, replace(wanted, seconds=share), known=estimated)
    out = [
        f"bid of {bid.bidder} takes no part: {reason}"
        for bid, reason in zip(
            bids, why_out(bids, facts.shop, facts.crews, today=today, expired=expired), strict=True
        )
        if reason
    ]
    scope = scope_today(estimated.facts, asked)
    return replace(
        compared, warnings=(*compared.warnings, *out, *beyond_scope(compared.facts, scope, compared.best))
    )


@dataclass(frozen=True, slots=True)
class InPlace:
    """One way of hiring in the estimate's place: the plan as asked for, and the best plan.

    `as_asked` has every machine powered as in the plan the bid was asked for, `ranked` as is cheapest then;
    either is None when there is no such plan, `why_not` then says why. `beyond` names the work of `ranked`
    that a fixed price was not asked for, `asked_beyond` that of `as_asked`, which may differ in small things.
    """

    name: str
    as_asked: Ranked | None
    ranked: Ranked | None
    why_not: str
    beyond: tuple[str, ...]
    asked_beyond: tuple[str, ...] = ()


def in_place(
    facts: Facts,
    ranked: Ranked,
    bids: Iterable[Bid],
    *,
    today: date,
    expired: bool = False,
    seconds: float | None = None,
    tick: Tick = bool,
    estimated: Bench | None = None,
) -> tuple[InPlace, ...]:
    """Each bid that can take part, hired with nobody else but the crew it names for the rest.

    facts: without the bids; ranked: the plan the bids were asked for, of the bench `estimated` where that is at hand.
    Raises DisagreementError on a defect.
    """
    listed = tuple(bids)
    out = why_out(listed, facts.shop, facts.crews, today=today, expired=expired)
    known = with_bids(facts, listed, today=today, expired=expired)
    ways = [
        way
        for bid, reason in zip(listed, out, strict=True)
        if not reason
        for way in hirings(known, [bid.bidder])
        if (way.bid is None) == bid.hourly
    ]
    if not ways:
        return ()
    bench = Bench.over(known, facts.shop.money.surplus, crews=ways, known=estimated)
    clock, found, scope = Clock(seconds), [], scope_today(facts, ranked)
    for position, pricer in enumerate(bench.pricers):
        tick(f"proving it by {pricer.hiring.name}")
        share = clock.share(len(bench.pricers) - position)
        found.append(_alone(replace(bench, pricers=(pricer,)), ranked, scope, Clock(share)))
    return tuple(found)


def _alone(bench: Bench, asked: Ranked, scope: tuple[ScopeItem, ...], clock: Clock) -> InPlace:
    """The only way of hiring of a bench in the estimate's place."""
    wanted = {(machine, way.signature) for machine, way, _ in asked.plan.shares()}

    def same_way(option: Option) -> bool:
        return (option.machine, option.way.signature) in wanted

    best, why_not = _best(bench, None, clock.part(0.5))
    if best is None or best.plan.kinds == asked.plan.kinds:
        as_asked = best
    else:
        as_asked, why_not = _best(bench, same_way, clock)
    beyond, asked_beyond = (
        () if plan is None else tuple(beyond_scope(bench.facts, scope, plan)) for plan in (best, as_asked)
    )
    return InPlace(bench.pricers[0].hiring.name, as_asked, best, why_not, beyond, asked_beyond)


def _best(bench: Bench, allowed: Allowed | None, clock: Clock) -> tuple[Ranked | None, str]:
    try:
        return best_plans(bench, 1, allowed=allowed, clock=clock)[0], ""
    except NoPlanError as error:
        return None, str(error)


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
