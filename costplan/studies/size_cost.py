"""What a circuit of another size, its lead or its ground costs today, where that turns on what nobody said."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from costplan.circuits.change import arrive
from costplan.circuits.circuit import Builder, Circuit, Standing
from costplan.circuits.facts import Facts
from costplan.circuits.machine_lead import lead_taken
from costplan.circuits.needs import Bundle, StockNeed
from costplan.circuits.present import begin
from costplan.circuits.run_parts import breaker_need
from costplan.circuits.shared_gear import candidate
from costplan.circuits.size_types import CannotSizeError
from costplan.circuits.ways import Way, load_of
from costplan.ledger.pricing import Pricer
from costplan.model.gear import Gear
from costplan.model.money import to_cents
from costplan.model.routes import NoRouteError
from costplan.model.shop import Machine
from costplan.program.ranked import Ranked
from costplan.sourcing.market import Market
from costplan.standards import conductors
from costplan.studies.hinges import money, pricer_of


@dataclass(frozen=True, slots=True)
class AsTold:
    """A machine's circuit as it would be by a way, if the machine is as told."""

    way: Way
    standing: Standing
    machine: Machine

    def cents(self, pricer: Pricer, *, as_it_is: bool = False) -> int | None:
        """All that it takes today if everything is bought: parts with tax, hours and charges; None without a price.

        as_it_is: beside what is there; else made anew.
        """
        builder = Builder(pricer.facts, self.machine, self.way)
        try:
            if as_it_is:
                step = begin(builder, self.standing).step
            else:
                step = arrive(builder, replace(self.standing, load=load_of(self.machine)))
        except (CannotSizeError, NoRouteError):
            return None
        begun = (bundle for _, thing in step.change.begun for bundle in _bought(thing))
        return pricer.bought_today_cents((step.change.always, *begun))


def difference_words(facts: Facts, ranked: Ranked, known: AsTold, other: AsTold) -> str:
    """What a machine's new circuit costs more or less today if it is as in `other`, `about USD 12.40 less`.

    At the prices of whoever sells each thing cheapest, by itself. Empty where it costs the same, or where a part of either
    has no price.
    """
    pricer = pricer_of(facts, ranked)
    one, two = known.cents(pricer), other.cents(pricer)
    if one is None or two is None or one == two:
        return ""
    return f"about {money(facts, abs(two - one))} {'more' if two > one else 'less'}"


def feeder_marked(facts: Facts, ranked: Ranked, gear: Gear, terminals_c: int) -> tuple[str, str] | None:
    """The thinner wire that would feed gear if terminals were marked so, `3`, and what the gear costs less today then.

    None where the file says what they are marked for, or no thinner wire would do; the money is empty where a part has no
    price. Source: NFPA 70-2023, 110.14(C)(1).
    """
    code, known = facts.written.code, candidate(facts, gear)
    size = known.input_size
    if size is None or gear.quote_cents is not None or "terminals_c" in code.model_fields_set:
        return None
    marked = facts.written.model_copy(update={"code": code.model_copy(update={"terminals_c": terminals_c})})
    other = candidate(Facts(marked, facts.catalog), gear)
    assert other.input_size is not None
    if conductors.awg_rank(other.input_size.awg) >= conductors.awg_rank(size.awg):
        return None
    pricer = pricer_of(facts, ranked)
    one, two = (pricer.bought_today_cents([each.bundle]) for each in (known, other))
    less = "" if one is None or two is None or two >= one else f"about {money(facts, one - two)} less"
    return other.input_size.awg, less


def kept_words(facts: Facts, ranked: Ranked, known: AsTold, other: AsTold) -> str:
    """What a circuit that is there takes more today if it is as in `other`, `about USD 31.90 more`; empty where not known.

    By itself, all bought: without permit and call-out.
    """
    pricer = pricer_of(facts, ranked)
    one, two = known.cents(pricer, as_it_is=True), other.cents(pricer, as_it_is=True)
    return (
        f"about {money(facts, two - one)} more" if one is not None and two is not None and two > one else ""
    )


def lead_words(facts: Facts, ranked: Ranked, way: Way, circuit: Circuit, machine: Machine) -> str:
    """What the lead of a machine that came without a cord adds today, `USD 38.00`; empty where a part has no price."""
    lead = lead_taken(Builder(facts, machine, way), circuit, None)
    cents = pricer_of(facts, ranked).bought_today_cents([lead])
    return "" if cents is None else money(facts, cents)


def breaker_words(facts: Facts, circuit: Circuit, rating_a: int) -> str:
    """What a breaker of another rating costs for a circuit, `USD 18.00`; empty where nobody has a price."""
    size = replace(circuit.size, breaker_a=rating_a)
    need = breaker_need(facts, circuit.panel, size, rating_a, ground_fault=size.ground_fault)
    bought = Market(facts, facts.shop.money.surplus).forecast(need)
    return "" if bought is None else money(facts, to_cents(bought.cost_cents))


def _bought(thing: StockNeed) -> Iterator[Bundle]:
    yield thing.bought
    for inner in thing.inner:
        yield from _bought(inner)
