"""What turns on whether a landlord wants runs out that were made safe before and lie capped in the wall."""

from costplan.circuits.facts import Facts
from costplan.ledger.lines import present_value
from costplan.ledger.pricing import Pricer
from costplan.ledger.simulation import walk
from costplan.model.money import format_cents
from costplan.program.ranking import Ranked
from costplan.sourcing.market import Market


def turns_on_capped_runs(facts: Facts, best: Ranked) -> list[str]:
    """What the plan would cost more with capped runs taken out too, where nobody said; nothing where that is no money."""
    lease = facts.written.building.lease
    if lease is None or not lease.take_out or lease.capped_too is not None:
        return []
    too = lease.model_copy(update={"capped_too": True})
    building = facts.written.building.model_copy(update={"lease": too})
    other = Facts(facts.written.model_copy(update={"building": building}), facts.catalog)
    more_cents = _total_cents(other, best) - _total_cents(facts, best)
    if not more_cents:
        return []
    money = f"{facts.shop.currency} {format_cents(more_cents)}"
    return [
        "nobody said whether runs made safe before come out with the lease too, so they stay capped in the wall here "
        f"(capped_too): with them this plan costs {money} more"
    ]


def _total_cents(facts: Facts, ranked: Ranked) -> int:
    """The plan walked anew, in today's money."""
    pricer = Pricer(facts, Market(facts, facts.shop.money.surplus), ranked.plan.hiring)
    return present_value(walk(facts, pricer, ranked.plan, ranked.chosen).lines)
