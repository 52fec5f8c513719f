"""The lead from the terminals of a machine that came without a cord to the plug that it is given."""

from costplan.circuits.circuit import Builder, Circuit
from costplan.circuits.grips import held, takes_grip, with_fitting_grip
from costplan.circuits.needs import NOTHING, Bundle, Item
from costplan.circuits.own_cord import without_cord
from costplan.circuits.size_types import CircuitSize
from costplan.model.catalog import MACHINE_LEAD
from costplan.model.routes import whole_feet


def machine_lead(builder: Builder, circuit: Circuit) -> Item | None:
    """The lead that a machine takes with its plug; None where it has a cord, or no recipe says what a lead takes.

    As long as the recipe's extra, and of the wire that a cord of its circuit has (NFPA 70 240.5, 400.5(A)). A longer machine
    cord and one that is wired in are their own lead, and a drive's is bought with it. Raises CannotSizeError.
    """
    facts, machine, load = builder.facts, builder.machine, circuit.supplied.load
    plugged = circuit.machine_plug is not None and not builder.way.into_machine and not load.driven
    if (
        not plugged
        or not without_cord(machine, hard_wired=False)
        or not facts.has_recipe(MACHINE_LEAD, machine)
    ):
        return None
    recipe = builder.recipe(MACHINE_LEAD)
    cord = builder.lead(load, circuit.size, None, builder.rules(circuit.panel, circuit.standing))
    if takes_grip(facts, machine, MACHINE_LEAD):
        cord = held(facts, builder.way, cord)
    return Item(cord, whole_feet(recipe.extra_ft) if recipe.quote is None else 0)


def lead_taken(builder: Builder, wanted: Circuit, as_is: Circuit | None) -> Bundle:
    """What the lead of a machine takes besides its plug; nothing where the one that it was given before still serves."""
    lead = machine_lead(builder, wanted)
    had = None if as_is is None or as_is.machine_plug is None else machine_lead(builder, as_is)
    if lead is None or (had is not None and _carries(had, lead)):
        return NOTHING
    work = with_fitting_grip(builder.expanded(MACHINE_LEAD, size=_of(wanted)), lead.spec)
    cord = (builder.facts.conductors(lead.spec, 1, lead.length_ft),) if lead.length_ft else ()
    return Bundle(cord) + work


def _of(circuit: Circuit) -> CircuitSize:
    return circuit.cord_size or circuit.size


def _carries(had: Item, lead: Item) -> bool:
    """Whether a lead has wires as many and as thick as another, of whatever jacket."""
    low, asked = dict(had.spec.at_least), dict(lead.spec.at_least)
    return all(low[name] >= asked[name] for name in ("awg", "conductors", "volts"))
