"""How circuits are sized, with the rule and table behind each figure."""

from decimal import Decimal

from costplan.circuits.circuit import WIRING, sized
from costplan.circuits.facts import Facts
from costplan.circuits.gear import candidate
from costplan.circuits.size_types import CannotSizeError, CircuitSize, Wiring
from costplan.circuits.supply import supplied
from costplan.circuits.ways import load_of, panels_for
from costplan.model.choices import Method, Supply
from costplan.model.gear import Gear, GearKind
from costplan.model.routes import NoRouteError
from costplan.model.shop import Machine
from costplan.reports.words import SIZING_CAUTION

CONVERTER_RULE = (
    "conductors 125 % of the rated single-phase input [NFPA 70 455.6(A)(1)], breaker 125 % or the next size up "
    "[455.7], disconnect 115 % [455.8(C)], single-phase loads kept off the made leg [455.9]"
)
FEEDER_RULE = "sized to the rating of the panel it feeds [NFPA 70 215.2, 215.3]"


FEEDER_REASONS = ("load current", "conductor", "largest wire", "voltage drop", "grounding conductor")


def sizes_text(facts: Facts, machine: str | None) -> str:
    """One machine's or every machine's circuit, as a wall drop and as a cord, from the nearest panel."""
    here = [entry for entry in facts.shop.machines if entry.name not in facts.taken_away]
    chosen = sorted(
        (entry for entry in here if machine in (None, entry.name, facts.group_of.get(entry.name))),
        key=lambda entry: entry.name,
    )
    gear = [] if machine else [_gear(facts, entry) for entry in facts.shop.gear if entry.brings_panel]
    return "\n\n".join([*(_machine(facts, entry) for entry in chosen), *gear, SIZING_CAUTION]) + "\n"


def _gear(facts: Facts, gear: Gear) -> str:
    """How the feed of gear that brings a panel is sized."""
    try:
        found = candidate(facts, gear)
    except (CannotSizeError, NoRouteError) as error:
        return f"{gear.name}\n  {error}"
    size = found.input_size
    if size is None:
        return f"{gear.name}\n  fed by its own service, which the utility sizes"
    rule = CONVERTER_RULE if gear.kind is GearKind.CONVERTER else FEEDER_RULE
    lines = [gear.name, f"  feeder in conduit, {found.feeder_ft} ft: {_short(size)}", f"    rule: {rule}"]
    return "\n".join(
        lines + [f"    {reason.what}: {reason.detail} [{reason.source}]" for reason in size.reasons]
    )


def _machine(facts: Facts, machine: Machine) -> str:
    if not machine.volts:
        return f"{machine.name}\n  its ways are quoted and its nameplate is not stated: nothing to size"
    load = load_of(machine, machine)
    lines = [machine.name if machine.count == 1 else f"{machine.count} x {machine.name}"]
    able = _reaching(facts, machine, panels_for(facts.panels.values(), load))
    if not able and load.phases == 3:
        with_route = " with a route to it" if panels_for(facts.panels.values(), load) else ""
        lines.append(f"  no panel{with_route} feeds it; sized here with a drive, from one phase")
        try:
            load = supplied(facts, machine, load, Supply.DRIVE).load
        except (CannotSizeError, KeyError) as error:
            return f"{machine.name}\n  no panel{with_route} feeds {load.volts} V, {load.phases}-phase, and no drive: {error}"
        able = _reaching(facts, machine, panels_for(facts.panels.values(), load))
    able = able or panels_for(facts.panels.values(), load)
    if not able:
        return f"{machine.name}\n  no panel feeds {load.volts} V, {load.phases}-phase"
    family = str(facts.shop.cords.families[0])
    for words, wiring, method in (
        ("fixed, cable in the wall", WIRING[Method.WALL], "fixed"),
        ("flexible cord", Wiring.CORD, "cord"),
    ):
        try:
            panel, length = _nearest(facts, machine, able, method)
            size = sized(load, wiring, family, length, facts.rules)
            lines.append(
                f"  {words}, {length.quantize(Decimal('0.1'))} ft from {panel}, {family} ends: {_short(size)}"
            )
            lines += [f"    {reason.what}: {reason.detail} [{reason.source}]" for reason in size.reasons]
        except (CannotSizeError, NoRouteError) as error:
            lines.append(f"  {words}: {error}")
    return "\n".join(lines)


def _reaching(facts: Facts, machine: Machine, panels: list[str]) -> list[str]:
    """Those of the panels from which a run to the machine can be measured."""
    own = machine.route
    if machine.at or own is None:
        return [panel for panel in panels if facts.routes.has_route(panel, machine.at)]
    return [panel for panel in panels if own.panel in (None, panel)]


def _nearest(facts: Facts, machine: Machine, panels: list[str], method: str) -> tuple[str, Decimal]:
    """The nearest panel, and the feet from there. Raises NoRouteError."""
    own = machine.route
    if machine.at or own is None:
        panel = min(panels, key=lambda name: (facts.routes.fixed_ft(name, machine.at), name))
        route = facts.routes.cord_ft if method == "cord" else facts.routes.fixed_ft
        return panel, route(panel, machine.at)
    length = own.cord_ft if method == "cord" else own.fixed_ft
    if length is None or own.panel not in (None, *panels):
        raise NoRouteError(f"no length of its own for this; add {method}: to its route")
    return own.panel or min(panels), length


def _short(size: CircuitSize) -> str:
    protection = "ground-fault breaker" if size.ground_fault else "breaker"
    end = f"{size.configuration}, " if size.configuration else ""
    return (
        f"{size.breaker_a} A {size.poles}-pole {protection}, {size.awg} AWG, {size.conductors} conductors and ground, "
        f"{end}drop {size.voltage_drop * 100:.1f} %"
    )
