"""What the other rule for surplus that fails would have bought: by the share that fails, or by whole spares."""

from collections import Counter

from costplan.circuits.facts import Facts
from costplan.model.choices import RejectRule
from costplan.model.money import format_cents
from costplan.program.bench import Bench
from costplan.program.clock import Clock
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.program.repriced import repriced
from costplan.sourcing.deal import deal_of

_OTHER = {
    RejectRule.EXPECTED: RejectRule.WHOLE_SPARES,
    RejectRule.WHOLE_SPARES: RejectRule.EXPECTED,
}
_AT_ONCE = {
    RejectRule.EXPECTED: "counted by the share that fails",
    RejectRule.WHOLE_SPARES: "with whole spares bought",
}


def best_by_other_rule(bench: Bench, clock: Clock) -> Ranked | None:
    """The best plan by the other rule, solved on the same program; None where the time does not suffice."""
    money = bench.facts.written.money
    other = money.model_copy(update={"rejects": _OTHER[money.rejects]})
    known = Facts(bench.facts.written.model_copy(update={"money": other}), bench.facts.catalog)
    try:
        return best_plans(repriced(bench, known), 1, clock=clock)[0]
    except NoPlanError:
        return None


def turns_on_rejects(facts: Facts, best: Ranked, found: Ranked | None) -> list[str]:
    """What the best plan by the other rule, `found`, buys otherwise, in one sentence; nothing where both rules agree."""
    other = _OTHER[facts.shop.money.rejects]
    if found is None:
        return [
            f"what the best plan is {_AT_ONCE[other]} (money.rejects) was not found in the time given (--time-limit)"
        ]
    change = _bought_otherwise(facts, best, found)
    if not change:
        return []
    about = "" if found.proven and best.proven else "about "
    total = f"{facts.shop.currency} {format_cents(found.present_value_cents)}"
    return [
        f"{_AT_ONCE[other]} (money.rejects: {other}) the best plan costs {about}{total} and buys {change}"
    ]


def some_fail(facts: Facts, ranked: Ranked) -> bool:
    """Whether the plan buys counted surplus on which the two rules differ."""
    rows = {bought.offer_row for bought in ranked.plan.bought}
    suppliers = {supplier.id: supplier for supplier in facts.catalog.suppliers}
    for offer in facts.catalog.offers:
        if offer.row not in rows or offer.is_lot:
            continue
        part = facts.parts[offer.part]
        deal = deal_of(offer, part, facts.kinds[part.kind], suppliers[offer.supplier], spares=True)
        if deal.looked_at:
            return True
    return False


def _bought_otherwise(facts: Facts, best: Ranked, other: Ranked) -> str:
    """What is bought in another condition or number, by kind, in words; empty where nothing is."""
    mine, its = _counted(facts, best), _counted(facts, other)
    changed = sorted({kind for kind, _ in (mine - its) + (its - mine)})
    return "; ".join(f"{kind}: {_said(its, kind)} instead of {_said(mine, kind)}" for kind in changed)


def _counted(facts: Facts, ranked: Ranked) -> Counter[tuple[str, str]]:
    """Pieces in use by kind and condition; lengths are left out, since both rules count them alike."""
    offers = {offer.row: offer for offer in facts.catalog.offers}
    found: Counter[tuple[str, str]] = Counter()
    for bought in ranked.plan.bought:
        offer = offers[bought.offer_row]
        kind = facts.parts[offer.part].kind
        if facts.kinds[kind].sold == "each":
            found[kind, str(offer.condition)] += bought.count
    return found


def _said(counts: Counter[tuple[str, str]], kind: str) -> str:
    found = [f"{count} {condition}" for (name, condition), count in sorted(counts.items()) if name == kind]
    return ", ".join(found) or "none"
