"""The cord that a machine came with: which plug may go on it."""

from costplan.circuits.size_types import CannotSizeError, Load
from costplan.circuits.ways import load_of
from costplan.model.shop import Machine
from costplan.standards import conductors, receptacles, tables


def plug_suits_cord(machine: Machine, asked: Load, fed: Load, plug: str | None) -> None:
    """Raises CannotSizeError where a plug for more than its wire carries would go on the cord that a machine came with.

    `asked` is what its plate says, `fed` the same at its panel. A machine that is retooled is taken to get another cord.
    Source: NFPA 70 400.5(A), 240.5; a factory plug on its own cord is the maker's (240.5(B)(1), from memory).
    """
    new = receptacles.known(plug)
    refused_anyway = machine.plug is not None and not machine.plug_may_change
    if new is None or plug == machine.plug or asked != load_of(machine) or refused_anyway:
        return
    if machine.cord is None:
        if machine.plug is not None:
            raise CannotSizeError(
                f"a {new.code} plug would go on its own cord, and the wire size of that is not said: read it off the "
                "jacket and write cord: {awg:}"
            )
        return
    carrying = 3 if fed.phases == 3 else 2
    ampacity_a = conductors.cord_ampacity_a(machine.cord.awg, carrying)
    if new.rating_a > ampacity_a:
        raise CannotSizeError(
            f"a {new.code} plug carries {new.rating_a} A, and its own cord of {machine.cord.awg} AWG {ampacity_a} A "
            f"({tables.cite(conductors.CORD)}): no larger plug goes on it; ask its maker for another cord"
        )
