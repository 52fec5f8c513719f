"""Today's purchase of some needs alone, as a plan with its lines: for examples that are only about buying."""

from collections import Counter
from dataclasses import replace

from strategies import bought_by_program, make_shop

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need
from costplan.ledger.crews import hirings
from costplan.ledger.lines import present_value
from costplan.ledger.plan import Bought, Packs, Plan
from costplan.ledger.pricing import Pricer
from costplan.ledger.simulation import walk
from costplan.model.catalog import Catalog
from costplan.program.ranked import Ranked
from costplan.sourcing.cutting import fit_into_reels
from costplan.sourcing.market import Market


def bought_today(
    catalog: Catalog, needs: dict[Need, int], seconds: float | None = None, **shop: object
) -> tuple[Facts, Ranked]:
    """The cheapest purchase of so many of each need, walked; it powers no machine."""
    facts = Facts(make_shop(**shop), catalog)
    purchase, answer = bought_by_program(facts, needs, seconds)
    market = purchase.market
    hiring = hirings(facts)[0]
    plan = Plan({}, hiring, purchase.bought(answer.values), purchase.packs(answer.values), (), (), ())
    walked = walk(facts, Pricer(facts, market, hiring), plan, ())
    assert present_value(walked.lines) == answer.cost
    return facts, Ranked(
        plan, (), walked.lines, {need: {"bench": count} for need, count in needs.items()}, answer.cost
    )


def bought_elsewhere(facts: Facts, ranked: Ranked, row: int, other: int) -> Ranked:
    """The plan with everything one offer serves bought from another, and walked anew.

    Raises SimulationError where the order falls below its supplier's minimum.
    """
    market = Market(facts, facts.shop.money.surplus)
    deals = {deal.offer.row: deal for found in market.deals.values() for deal in found}
    deal, plan = deals[other], ranked.plan
    moved = [replace(b, offer_row=other, reel=None) for b in plan.bought if b.offer_row == row]
    kept = [b for b in plan.bought if b.offer_row != row]
    packs = Counter({entry.offer_row: entry.count for entry in plan.packs if entry.offer_row != row})
    if deal.pack is not None:
        pieces = [b.need for b in moved for _ in range(b.count) if b.need.length_ft]
        if pieces:
            reels = fit_into_reels([need.length_ft for need in pieces], deal.pack, len(pieces))
            assert reels is not None
            moved = [
                Bought(other, need, 1, reel + packs[other]) for need, reel in zip(pieces, reels, strict=True)
            ]
            packs[other] += max(reels) + 1
        else:
            packs[other] += -(-sum(b.count for b in moved) // deal.pack)
    changed = replace(
        plan,
        bought=(*kept, *moved),
        packs=tuple(Packs(offer, count) for offer, count in sorted(packs.items())),
    )
    walked = walk(facts, Pricer(facts, market, plan.hiring), changed, ranked.chosen)
    return Ranked(changed, ranked.chosen, walked.lines, walked.needed_by, ranked.bound_cents)
