"""The switch on a machine that its plug does not disconnect, and the lead of a drive, with what holds their cords."""

from dataclasses import replace

from costplan.circuits.facts import Facts
from costplan.circuits.grips import grip_of, held, into_machine, takes_grip
from costplan.circuits.needs import NOTHING, Bundle, Item, Need, Spec, StockNeed
from costplan.circuits.things import Made, Tie
from costplan.circuits.ways import Way
from costplan.model.catalog import MACHINE_SWITCH
from costplan.model.shop import Machine

LEAD_FT = 6
"""Feet of cord from the switch to the motor, or from its plug to a drive; common practice, no source."""
ENTRIES = 2
"""Cords that go into a switch or a drive, in and out, each with a strain relief (NFPA 70 400.14, from memory)."""


def switch_recipe(facts: Facts, machine: Machine) -> str:
    """The recipe of mounting a switch at a machine: its own where there is one, else a disconnect's."""
    return MACHINE_SWITCH if facts.has_recipe(MACHINE_SWITCH, machine) else "disconnect"


def switch_at_machine(facts: Facts, machine: Machine, way: Way, switch: Need, cord: Spec) -> StockNeed:
    """The switch as a thing of its machine, with its grips and the lead from it to the motor, without the work on it.

    cord: what the cord that goes into it must be; the lead is one like it, and so is the machine's own where that goes in.
    Where no recipe says what holds a cord that is wired in, neither grips nor lead are bought, and the reports say so.
    Raises CannotSizeError where no grip is known to fit.
    """
    item = Item(replace(switch.spec, kind=Made.OWN_SWITCH, equal=(), tie=Tie(machine=machine.name)))
    bought = Bundle((switch,))
    if takes_grip(facts, machine):
        lead = _held(facts, way, cord)
        bought = bought + Bundle((_grips(lead, ENTRIES), facts.conductors(lead, 1, LEAD_FT)))
        if not way.into_machine:
            # The lead goes into the machine through the hole and the grip that its own cord leaves.
            bought = bought + replace(into_machine(facts, machine, lead), needs=())
    return StockNeed(item, bought)


def lead_of_drive(facts: Facts, machine: Machine, way: Way, cord: Spec) -> Bundle:
    """What a bought drive that is on a cord or a plug takes besides itself: it has terminals and no line cord.

    A lead from the plug to it, one like `cord`, unless that goes into it; a grip for what goes in, unless that cord brings
    it, and one for what goes out. Mounting a drive wires it on both sides, so there is no work besides. Source: NFPA 70 240.5,
    400.5(A), 110.3(B), from memory. Nothing where no recipe says what holds a cord that is wired in, and the reports say so.
    Raises CannotSizeError where no grip is known to fit.
    """
    if way.hard_wired or not takes_grip(facts, machine):
        return NOTHING
    lead = _held(facts, way, cord)
    if way.into_machine:
        return Bundle((_grips(lead, ENTRIES - 1),))
    return Bundle((_grips(lead, ENTRIES), facts.conductors(lead, 1, LEAD_FT)))


def _held(facts: Facts, way: Way, cord: Spec) -> Spec:
    return cord if grip_of(cord) is not None else held(facts, way, cord)


def _grips(lead: Spec, count: int) -> Need:
    grip = grip_of(lead)
    assert grip is not None
    return Need(grip, count)
