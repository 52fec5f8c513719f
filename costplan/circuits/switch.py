"""The switch on a machine that its plug does not disconnect, with what holds its cords and leads on to the motor."""

from dataclasses import replace

from costplan.circuits.facts import Facts
from costplan.circuits.grips import grip_of, held, into_machine, takes_grip
from costplan.circuits.needs import Bundle, Item, Need, Spec, StockNeed
from costplan.circuits.outlets import OWN_SWITCH
from costplan.circuits.ways import Way
from costplan.model.shop import Machine

LEAD_FT = 6
"""Feet of cord from the switch to the motor; common practice, no source."""
ENTRIES = 2
"""Cords that go into the switch, in and out, each with a strain relief (NFPA 70 400.14, since 2023 400.14, from memory)."""


def switch_at_machine(facts: Facts, machine: Machine, way: Way, switch: Need, cord: Spec) -> StockNeed:
    """The switch as a thing of its machine, with its grips and the lead from it to the motor, without the work on it.

    cord: what the cord that goes into it must be; the lead is one like it, and so is the machine's own where that goes in.
    Where no recipe says what holds a cord that is wired in, neither grips nor lead are bought, and the reports say so.
    Raises CannotSizeError where no grip is known to fit.
    """
    item = Item(replace(switch.spec, kind=OWN_SWITCH, equal=(("machine", machine.name),)))
    bought = Bundle((switch,))
    if takes_grip(facts, machine):
        lead = cord if grip_of(cord) is not None else held(facts, way, cord)
        grip = grip_of(lead)
        assert grip is not None
        bought = bought + Bundle((Need(grip, ENTRIES), facts.conductors(lead, 1, LEAD_FT)))
        if not way.into_machine:
            # The lead goes into the machine through the hole and the grip that its own cord leaves.
            bought = bought + replace(into_machine(facts, machine, lead), needs=())
    return StockNeed(item, bought)
