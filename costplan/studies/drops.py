"""Voltage drop in the best plan, machine by machine: what is priced, and what else could be done."""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from decimal import ROUND_CEILING, Decimal

from costplan.circuits.circuit import Builder, Circuit
from costplan.circuits.facts import Facts
from costplan.circuits.heavier import rules_of
from costplan.circuits.run_parts import wiring_of
from costplan.circuits.size_types import CannotSizeError, CircuitSize, Load, Rules
from costplan.circuits.sizing import size_circuit
from costplan.circuits.ways import Way
from costplan.ledger.holding import written
from costplan.ledger.on_offer import open_by_purchase
from costplan.ledger.options import Option, stream_of
from costplan.ledger.standalone import standalone_cents
from costplan.ledger.wires_chosen import wired_for_later
from costplan.model.money import format_cents
from costplan.model.plate_figures import PlateRating
from costplan.model.shop import Machine
from costplan.program.bench import Bench
from costplan.program.ranked import Ranked
from costplan.years.calendar import first_standings, lives, scenarios_of

ANY_DROP = Decimal(1)
"""A limit that no run of this tool reaches: the wire is the one that the current asks for."""


def drop_notes(bench: Bench, best: Ranked) -> Iterator[str]:
    """Machines of a plan whose first circuit drops more than is advised, or has heavier wire so that it does not."""
    facts, standings = bench.facts, first_standings(bench.facts.shop)
    for name, way, _ in best.plan.made_here():
        machine = facts.machines[name]
        if machine.now is not None and not way.pooled:
            continue
        said = drop_note(bench, machine, way, Builder(facts, machine, way).build(standings[name]))
        if said:
            yield f"{written(facts, name)}: {said}"


def drop_note(bench: Bench, machine: Machine, way: Way, circuit: Circuit) -> str:
    """What is priced for the drop of a circuit and what else could be done; empty where the drop asks for nothing."""
    facts, size = bench.facts, circuit.cord_size or circuit.size
    if size.drops_too_much:
        return (
            f"the voltage drops {size.voltage_drop * 100:.1f} % on {size.awg} AWG, more than the "
            f"{_rules(facts, machine, circuit).drop_limit * 100:.1f} % that is advised, no rule: motors start slower and run "
            f"hotter{_cure(size)}{_other_volts(facts, machine, circuit, way)}"
        )
    if size.awg == size.awg_by_current or size.drop_by_current <= _rules(facts, machine, circuit).drop_limit:
        return ""
    return (
        f"{size.awg} AWG keeps the drop at {size.voltage_drop * 100:.1f} %; the {size.awg_by_current} AWG that the "
        f"current asks for would drop {size.drop_by_current * 100:.1f} %, is allowed and "
        f"{_saves(bench, machine, way, size)}{_other_volts(facts, machine, circuit, way)}"
    )


def _whole(share: Decimal) -> int:
    """The next whole percentage."""
    return int((share * 100).to_integral_value(ROUND_CEILING))


def _cure(size: CircuitSize) -> str:
    """What would keep the drop within the advice, where heavier wire alone does."""
    if not size.awg_in_advice:
        return "; no wire is heavy enough: ask about a nearer panel"
    return f"; {size.awg_in_advice} AWG would keep it: costplan size says why it is not priced"


def _saves(bench: Bench, machine: Machine, way: Way, size: CircuitSize) -> str:
    """How much less the machine alone costs with the wire that the current asks for, over all years, and what to write then."""
    dear, cheap = (_alone(bench, machine, way, limit) for limit in (machine.drop_limit, ANY_DROP))
    write = f"for it write drop_limit: {_whole(size.drop_by_current)} % on the machine"
    if dear is None or cheap is None:
        return f"costs an amount less that is not known, since it has no price: {write}"
    if cheap >= dear:
        return "costs no less over the years, for this machine alone"
    return f"costs about {format_cents(dear - cheap)} less, for this machine alone: {write}"


def _alone(bench: Bench, machine: Machine, way: Way, limit: Decimal | None) -> int | None:
    """What the machine alone costs with a limit on the drop, wired for now or for later loads; None: no price."""
    facts, pricer = bench.facts, bench.pricers[0]
    entry = machine.model_copy(update={"drop_limit": limit})
    fates = {
        scenario.name: lives(facts.shop, scenario)[machine.name] for scenario in scenarios_of(facts.shop)
    }
    options = list[Option]()
    # What is not among the parts cannot be sized: it is no choice here, as what nobody sells is none.
    with suppress(CannotSizeError):
        for each in wired_for_later(facts, entry, replace(way, least_awg=""), fates):
            with suppress(CannotSizeError):
                stream = stream_of(facts, entry, each, fates)
                options.append(Option(entry.name, each, stream, facts.shop.years))
    priced = [each for each in options if open_by_purchase(pricer.market, each, bench.priced_survey.gear_out)]
    return min((standalone_cents(pricer, each) for each in priced), default=None)


def _other_volts(facts: Facts, machine: Machine, circuit: Circuit, way: Way) -> str:
    """What the other voltage of its plate would do, or the question whether it has one."""
    load = circuit.supplied.load
    higher = [known for known in machine.rated() if known.volts > load.volts]
    if not higher:
        asks = load.volts == 120 and len(machine.rated()) == 1
        return "; is its plate for 120 and 240 V? Then write volts: 120/240" if asks else ""
    volts = higher[0].volts
    size = _at(facts, machine, circuit, way, _rewired(load, higher[0], circuit.size.current_a))
    if size is None:
        return ""
    priced = (
        "priced as a way of its own"
        if way.volts
        else f"write volts: {volts} and the plug for it to price that"
    )
    return (
        f"; wired for {volts} V it draws {size.current_a.quantize(Decimal('0.1')).normalize():f} A and drops "
        f"{size.drop_by_current * 100:.1f} % on {size.awg_by_current} AWG, with a {size.poles}-pole breaker: {priced}"
    )


def _rules(facts: Facts, machine: Machine, circuit: Circuit) -> Rules:
    return rules_of(facts.rules_at(circuit.standing.place), machine)


def _rewired(load: Load, known: PlateRating, current_a: Decimal) -> Load:
    """The load at another voltage of its plate, on the plug that goes with it; as many volt-amperes where none are said."""
    hp_only = load.hp is not None and load.amps_a is None
    amps_a = known.amps_a or (None if hp_only else current_a * load.volts / known.volts)
    return replace(
        load, volts=known.volts, amps_a=amps_a, plug=None, maker_breaker_a=None, breaker_at_most_a=None
    )


def _at(facts: Facts, machine: Machine, circuit: Circuit, way: Way, load: Load) -> CircuitSize | None:
    family = str(way.family) if way.family else None
    length_ft = circuit.route_ft + (circuit.cable.length_ft if circuit.cable is not None else 0)
    try:
        return size_circuit(load, wiring_of(way), family, length_ft, _rules(facts, machine, circuit))
    except CannotSizeError:
        return None
