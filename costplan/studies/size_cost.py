"""What a circuit of another size, its lead or its ground costs today, where that turns on what nobody said."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from costplan.circuits.change import arrive
from costplan.circuits.circuit import Builder, Circuit, Standing
from costplan.circuits.facts import Facts
from costplan.circuits.machine_lead import lead_taken
from costplan.circuits.needs import Bundle, StockNeed
from costplan.circuits.present import begin
from costplan.circuits.run_parts import breaker_need
from costplan.circuits.size_types import CannotSizeError
from costplan.circuits.ways import Way, load_of
from costplan.ledger.pricing import Pricer
from costplan.model.money import format_cents, to_cents
from costplan.model.routes import NoRouteError
from costplan.model.shop import Machine
from costplan.program.ranking import Ranked
from costplan.sourcing.market import Market


def difference_words(
    facts: Facts,
    ranked: Ranked,
    way: Way,
    standing: Standing,
    machine: Machine,
    other: Machine,
    other_way: Way | None = None,
) -> str:
    """What a machine's new circuit costs more or less today if it is as `other` says, `about USD 12.40 less`.

    other_way: and is powered this way; left out, the same.

    At the prices of whoever sells each thing cheapest, by itself. Empty where it costs the same, or where a part of either
    has no price.
    """
    pricer = _pricer(facts, ranked)
    known = ((way, machine), (other_way or way, other))
    one, two = (_cents(pricer, by, standing, as_told) for by, as_told in known)
    if one is None or two is None or one == two:
        return ""
    return f"about {facts.shop.currency} {format_cents(abs(two - one))} {'more' if two > one else 'less'}"


def lead_words(facts: Facts, ranked: Ranked, way: Way, circuit: Circuit, machine: Machine) -> str:
    """What the lead of a machine that came without a cord adds today, `USD 38.00`; empty where a part has no price."""
    return _told(_pricer(facts, ranked), (lead_taken(Builder(facts, machine, way), circuit, None),))


def kept_words(
    facts: Facts, ranked: Ranked, way: Way, standing: Standing, machine: Machine, other: Machine
) -> str:
    """What a circuit that is there takes more today if it is as `other` says, `about USD 31.90`; empty where not known.

    By itself, all bought: without permit and call-out.
    """
    pricer = _pricer(facts, ranked)
    one, two = (_begun_cents(pricer, way, standing, known) for known in (machine, other))
    if one is None or two is None:
        return ""
    return f"about {facts.shop.currency} {format_cents(two - one)} more" if two > one else ""


def _begun_cents(pricer: Pricer, way: Way, standing: Standing, machine: Machine) -> int | None:
    try:
        step = begin(Builder(pricer.facts, machine, way), standing).step
    except (CannotSizeError, NoRouteError):
        return None
    begun = (bundle for _, thing in step.change.begun for bundle in _bought(thing))
    return pricer.bought_today_cents((step.change.always, *begun))


def _pricer(facts: Facts, ranked: Ranked) -> Pricer:
    return Pricer(facts, Market(facts, facts.shop.money.surplus), ranked.plan.hiring)


def _told(pricer: Pricer, bundles: Iterable[Bundle]) -> str:
    cents = pricer.bought_today_cents(bundles)
    return "" if cents is None else f"{pricer.facts.shop.currency} {format_cents(cents)}"


def breaker_words(facts: Facts, circuit: Circuit, rating_a: int) -> str:
    """What a breaker of another rating costs for a circuit, `USD 18.00`; empty where nobody has a price."""
    market = Market(facts, facts.shop.money.surplus)
    size = replace(circuit.size, breaker_a=rating_a)
    need = breaker_need(facts, circuit.panel, size, rating_a, ground_fault=size.ground_fault)
    bought = market.forecast(need)
    return "" if bought is None else f"{facts.shop.currency} {format_cents(to_cents(bought.cost_cents))}"


def _cents(pricer: Pricer, way: Way, standing: Standing, machine: Machine) -> int | None:
    """All that a circuit takes today if everything is bought: parts with tax, hours and charges; None without a price."""
    try:
        step = arrive(Builder(pricer.facts, machine, way), replace(standing, load=load_of(machine)))
    except (CannotSizeError, NoRouteError):
        return None
    begun = (bundle for _, thing in step.change.begun for bundle in _bought(thing))
    return pricer.bought_today_cents((step.change.always, *begun))


def _bought(thing: StockNeed) -> Iterator[Bundle]:
    yield thing.bought
    for inner in thing.inner:
        yield from _bought(inner)
