"""What the switch at a machine adds, which is there because the mark of its plug is too small or not known."""

from collections.abc import Iterator, Sequence

from costplan.circuits.circuit import Builder, Circuit
from costplan.circuits.facts import Facts
from costplan.circuits.outlets import OWN_SWITCH
from costplan.ledger.holding import written
from costplan.ledger.pricing import Pricer
from costplan.ledger.steps import Act
from costplan.model.money import format_cents
from costplan.program.ranking import Ranked
from costplan.sourcing.market import Market
from costplan.years.calendar import first_standings


def switch_cents(pricer: Pricer, circuit: Circuit) -> int | None:
    """What the switch at a machine takes today, cents: its parts with tax, and hours; None where a part has no price."""
    if circuit.switch is None:
        return 0
    inner = (thing.bought for thing in circuit.switch.inner)
    return pricer.bought_today_cents((circuit.switch.bought, *inner))


def switch_words(pricer: Pricer, circuit: Circuit) -> str:
    """The money of the switch, `USD 288.00`."""
    cents = switch_cents(pricer, circuit)
    currency = pricer.facts.shop.currency
    return "an amount nobody has a price for" if cents is None else f"{currency} {format_cents(cents)}"


def turns_on_marks(facts: Facts, plans: Sequence[Ranked]) -> list[str]:
    """What of today's total turns on marks that are not known to be enough, by machine, and whether the best plan does."""
    best = plans[0]
    told = [f"{name} {words}" for name, words, _ in _switches(facts, best)]
    said = [
        "a switch stands at machines whose plug is not known to be marked for their motor: where plug and outlet are, write "
        f"the mark in parts.yaml, and it is left out ({', '.join(told)})"
    ] * bool(told)
    return said + _another_wins(facts, plans)


def _another_wins(facts: Facts, plans: Sequence[Ranked]) -> list[str]:
    """The ranked plan that would be the cheapest without the switches that unknown marks ask for."""
    without = [
        plan.present_value_cents - sum(cents or 0 for _, _, cents in _switches(facts, plan)) for plan in plans
    ]
    least = min(range(len(plans)), key=lambda index: (without[index], index))
    if least == 0:
        return []
    money = f"{facts.shop.currency} {format_cents(without[0] - without[least])}"
    return [
        f"the best plan turns on those marks: without the switches plan {least + 1} is the cheapest, by about {money}; read "
        "the marks first"
    ]


def _switches(facts: Facts, ranked: Ranked) -> Iterator[tuple[str, str, int | None]]:
    """Machines that get a switch for an unknown mark today: the name with how many, its money in words and in cents."""
    bought = {step.machine for step in ranked.steps if step.kind == OWN_SWITCH and step.act is Act.BUY}
    if not bought:
        return
    pricer = Pricer(facts, Market(facts, facts.shop.money.surplus), ranked.plan.hiring)
    standings = first_standings(facts.shop)
    for name, way, count in ranked.plan.shares():
        if name in bought and name in standings and not (way.quoted or way.gone):
            circuit: Circuit = Builder(facts, facts.machines[name], way).build(standings[name])
            if circuit.plug_marks.switched:
                each, cents = f"{count} x " if count > 1 else "", switch_cents(pricer, circuit)
                total = None if cents is None else cents * count
                yield written(facts, name), f"{each}{switch_words(pricer, circuit)}", total
