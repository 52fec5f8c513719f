"""An outlet as it stands, told as a thing in stock: where it is, with the wire and the breaker that are there."""

from dataclasses import replace

from costplan.circuits.circuit import Circuit
from costplan.circuits.grounds import wire_with_ground
from costplan.circuits.needs import Item
from costplan.circuits.outlet_key import DISCONNECT
from costplan.circuits.outlets import outlet_item, wired
from costplan.standards import receptacles
from costplan.standards.conductors import awg_rank


def outlet_as_made(circuit: Circuit) -> Item:
    """The outlet as it stands: where it is, with the wire and the breaker that are there."""
    size = circuit.size
    known = wired(size, circuit.receptacle, circuit.fuses, circuit.breaker.item)
    known = replace(
        known,
        awg=awg_rank(wire_with_ground(size.awg, circuit.ground_awg)),
        grounded=bool(circuit.ground_awg) and not receptacles.has_ground(size.configuration),
    )
    return outlet_item(
        replace(
            circuit.outlet.item.outlet,
            place=circuit.outlet_place,
            end=size.configuration or DISCONNECT,
            poles=size.poles,
            wired=known,
        )
    )
