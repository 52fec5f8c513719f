"""How circuits are sized, with the rule and table behind each figure."""

from decimal import Decimal

from costplan.circuits.circuit import WIRING, sized
from costplan.circuits.facts import Facts
from costplan.circuits.routes import NoRouteError
from costplan.circuits.size_types import CannotSizeError, CircuitSize, Wiring
from costplan.circuits.ways import load_of, panels_for
from costplan.model.shop import Machine, Method
from costplan.reports.words import SIZING_CAUTION


def sizes_text(facts: Facts, machine: str | None) -> str:
    """One machine's or every machine's circuit, as a wall drop and as a cord, from the nearest panel."""
    chosen = (
        [facts.machines[machine]] if machine else sorted(facts.shop.machines, key=lambda entry: entry.name)
    )
    return "\n\n".join([*(_machine(facts, entry) for entry in chosen), SIZING_CAUTION]) + "\n"


def _machine(facts: Facts, machine: Machine) -> str:
    load = load_of(machine, motor=machine.motor)
    lines = [machine.name]
    able = panels_for(facts.panels.values(), load)
    if not able:
        return f"{machine.name}\n  no panel feeds {load.volts} V, {load.phases}-phase"
    family = str(facts.shop.cords.families[0])
    for words, wiring, method in (
        ("fixed, cable in the wall", WIRING[Method.WALL], "fixed"),
        ("flexible cord", Wiring.CORD, "cord"),
    ):
        try:
            panel = min(able, key=lambda name: (facts.routes.fixed_ft(name, machine.at), name))
            route = facts.routes.cord_ft if method == "cord" else facts.routes.fixed_ft
            length = route(panel, machine.at)
            size = sized(load, wiring, family, length, facts.rules)
            lines.append(
                f"  {words}, {length.quantize(Decimal('0.1'))} ft from {panel}, {family} ends: {_short(size)}"
            )
            lines += [f"    {reason.what}: {reason.detail} [{reason.source}]" for reason in size.reasons]
        except (CannotSizeError, NoRouteError) as error:
            lines.append(f"  {words}: {error}")
    return "\n".join(lines)


def _short(size: CircuitSize) -> str:
    protection = "ground-fault breaker" if size.ground_fault else "breaker"
    return (
        f"{size.breaker_a} A {size.poles}-pole {protection}, {size.awg} AWG, {size.conductors} conductors and ground, "
        f"{size.configuration}, drop {size.voltage_drop * 100:.1f} %"
    )
