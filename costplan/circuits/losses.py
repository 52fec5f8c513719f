"""Electricity that a circuit loses in a year: in its wires, its drive, and the converters it hangs behind."""

from decimal import Decimal

from costplan.circuits.circuit import Circuit
from costplan.circuits.facts import Facts
from costplan.circuits.needs import NOTHING, Bundle, Charge
from costplan.circuits.supply import running_w
from costplan.model.catalog import Part
from costplan.model.shop import Machine
from costplan.standards.conductors import resistance_ohm_per_kft

LEAST_CENTS_A_YEAR = 100
"""Losses below a dollar a year are left out: they decide nothing and would fill the bill with lines."""


def energy_lost(facts: Facts, machine: Machine, circuit: Circuit) -> Bundle:
    """What the circuit's losses cost in a year at today's price of electricity; nothing when hours are 0."""
    hours, price = machine.full_load_hours, facts.shop.money.electricity_cents_per_kwh
    if not hours or not price:
        return NOTHING
    cents = lost_w(facts, circuit) * hours / 1000 * price
    if cents < LEAST_CENTS_A_YEAR:
        return NOTHING
    return Bundle(charges=(Charge("electricity lost in wires and gear", round(cents, 2), energy=True),))


def lost_w(facts: Facts, circuit: Circuit) -> Decimal:
    """Watts lost at full load in the wires of the circuit, its drive, and the converters above its panel."""
    power_w = running_w(circuit.supplied.load)
    parts = [part for _, part in facts.converters_above(circuit.panel)]
    through = sum((power_w * (1 / efficiency_of(part) - 1) for part in parts), Decimal(0))
    return wire_w(circuit) + circuit.supplied.lost_w + through


def wire_w(circuit: Circuit) -> Decimal:
    """Watts lost in the run and the cord: I squared R in every conductor that carries the current."""
    carrying = 3 if circuit.supplied.load.phases == 3 else 2
    ohms = circuit.run_ft * resistance_ohm_per_kft(circuit.size.awg)
    if circuit.cable is not None and circuit.cord_size is not None:
        ohms += circuit.cable.length_ft * resistance_ohm_per_kft(circuit.cord_size.awg)
    return carrying * circuit.size.current_a**2 * ohms / 1000


def efficiency_of(part: Part) -> Decimal:
    """A converter's efficiency at load, as a share."""
    return part.number("efficiency")
