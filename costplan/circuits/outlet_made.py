"""An outlet as it stands, told as a thing in stock: where it is, with the wire and the breaker that are there."""

from costplan.circuits.circuit import Circuit
from costplan.circuits.grounds import GROUNDED, wire_with_ground
from costplan.circuits.needs import Attribute, Item, make_spec
from costplan.circuits.outlets import disconnect_a, fused_at
from costplan.circuits.run_parts import PROTECTED_END, protected_end
from costplan.standards import receptacles


def outlet_as_made(circuit: Circuit) -> Item:
    """The outlet as it stands: where it is, with the wire and the breaker that are there."""
    size, breaker = circuit.size, circuit.breaker.item.spec
    equal = dict(circuit.outlet.item.spec.equal) | {
        "place": circuit.outlet_place,
        "end": size.configuration or "disconnect",
        "poles": str(size.poles),
    }
    low: dict[str, Attribute] = {
        "awg": wire_with_ground(size.awg, circuit.ground_awg),
        "conductors": size.conductors,
        "breaker": dict(breaker.at_least)["rating_a"],
        "protects": int(dict(breaker.equal)["ground_fault"] == "true"),
        "disconnect": disconnect_a(circuit.receptacle),
    }
    if protected_end(circuit.receptacle):
        low[PROTECTED_END] = 1
    if circuit.ground_awg and not receptacles.has_ground(size.configuration):
        low[GROUNDED] = 1
    fused = fused_at(circuit.receptacle, circuit.fuses)
    high = {"breaker": dict(breaker.at_most)["rating_a"]} | fused
    return Item(make_spec("outlet", dict(equal), low | fused, high))
