"""What the switch at a machine adds, which is there because the mark of its plug is too small or not known."""

from costplan.circuits.circuit import Circuit
from costplan.circuits.facts import Facts
from costplan.model.money import format_cents, to_cents
from costplan.plans.pricing import TODAY, Pricer
from costplan.plans.ranking import Ranked
from costplan.sourcing.market import Market


def switch_cents(pricer: Pricer, circuit: Circuit) -> int | None:
    """What the switch at a machine takes today, cents: its parts with tax, and hours; None where a part has no price."""
    if circuit.switch is None:
        return 0
    cents = 0
    for bundle in (circuit.switch.bought, *(inner.bought for inner in circuit.switch.inner)):
        cents += sum(line.amount_cents for line in pricer.effort(bundle, TODAY, "", ""))
        for need in bundle.needs:
            bought = pricer.market.forecast(need)
            if bought is None:
                return None
            cents += to_cents(bought.cost_cents)
    return cents


def switch_words(pricer: Pricer, circuit: Circuit) -> str:
    """The money of the switch, `USD 288.00`."""
    cents = switch_cents(pricer, circuit)
    currency = pricer.facts.shop.currency
    return "an amount nobody has a price for" if cents is None else f"{currency} {format_cents(cents)}"


def pricer_of(facts: Facts, ranked: Ranked) -> Pricer:
    """What prices today's work of a plan."""
    return Pricer(facts, Market(facts, facts.shop.money.surplus), ranked.plan.hiring)
