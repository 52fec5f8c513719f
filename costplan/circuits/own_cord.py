"""The cord that a machine came with: which plug may go on it."""

from costplan.circuits.currents import load_current_a
from costplan.circuits.facts import Facts
from costplan.circuits.plug_marks import power_to_mark
from costplan.circuits.size_types import CannotSizeError, CircuitSize, Load
from costplan.circuits.ways import load_of
from costplan.model.shop import Machine
from costplan.standards import motors, receptacles, tables
from costplan.standards.cords import CORD_AMPACITY, cord_ampacity_a


def without_cord(machine: Machine, *, hard_wired: bool) -> bool:
    """Whether a machine is taken to have nothing that leads to its plug, or to its disconnect where it is `hard_wired`.

    So it is where nobody says a plug, a cord or how long that is, and it is not powered in such a way today.
    """
    had = machine.now is not None and (machine.now.configuration is None) is hard_wired
    return machine.plug is None and machine.cord is None and not machine.own_cord_said_ft and not had


def plug_on_own_cord(facts: Facts, machine: Machine, asked: Load, fed: Load, plug: str | None) -> str | None:
    """The plug that goes on the cord that a machine came with: `plug`, or a smaller one that its receptacle takes too.

    Raises CannotSizeError where a plug for more than its wire carries would go on it. `asked` is what its plate says, `fed`
    the same at its panel. A machine that is retooled is taken to get another cord. Source: NFPA 70 400.5(A), 240.5; a
    factory plug on its own cord is the maker's (240.5(B)(1), from memory); a 15 A plug goes into a 20 A receptacle
    (ANSI/NEMA WD 6, Table 210.21(B)(3)).
    """
    new = receptacles.known(plug)
    refused_anyway = machine.plug is not None and not machine.plug_may_change
    if new is None or plug == machine.plug or asked != load_of(machine) or refused_anyway:
        return plug
    if machine.cord is None:
        if machine.plug is not None:
            raise CannotSizeError(
                f"a {new.code} plug would go on its own cord, and the wire size of that is not said: read it off the "
                "jacket and write cord: {awg:}"
            )
        return plug
    carrying = 3 if fed.phases == 3 else 2
    ampacity_a = cord_ampacity_a(machine.cord.awg, carrying)
    if new.rating_a <= ampacity_a:
        return plug
    smaller = receptacles.smaller_plug(new.code)
    if smaller is not None and smaller.rating_a <= ampacity_a and _carries(facts, machine, fed, smaller):
        return smaller.code
    also = f", nor does a {smaller.code} plug carry it that is to be had" if smaller is not None else ""
    raise CannotSizeError(
        f"a {new.code} plug carries {new.rating_a} A, and its own cord of {machine.cord.awg} AWG {ampacity_a} A "
        f"({tables.cite(CORD_AMPACITY)}): no larger plug goes on it{also}; ask its maker for another cord"
    )


def plug_stays(machine: Machine, asked: Load, fed: Load, panel: str) -> None:
    """Raises CannotSizeError where a machine's own plug has a neutral, the panel has none, and the plug may not change."""
    if asked.plug is not None and fed.plug is None and not machine.plug_may_change:
        raise CannotSizeError(
            f"its plug {asked.plug} has a neutral and {panel} has none to pull to its receptacle; where its maker allows "
            "another plug, write plug_may_change: true"
        )


def _carries(facts: Facts, machine: Machine, fed: Load, plug: receptacles.Configuration) -> bool:
    """Whether a plug carries a load, is usually marked for a bare motor, and somebody offers it or it is on the shelf."""
    offered = facts.offered_parts | facts.parts_to_be_had
    to_be_had = any(
        part.id in offered and part.attributes.get("configuration") == plug.code
        for part in facts.parts_by_kind.get("plug", ())
    )
    power_hp, usual_hp = power_to_mark(machine, fed), receptacles.usual_mark_hp(plug.code)
    marked = power_hp is None or (usual_hp is not None and motors.covers(usual_hp, power_hp))
    return to_be_had and marked and load_current_a(fed)[0] <= plug.rating_a


def plug_of_machine(load: Load, end: CircuitSize) -> str | None:
    """The plug a machine has at an end: its own where that fits, else the one that the end takes."""
    if load.plug is None or end.configuration is None:
        return end.configuration
    takes = {device.code for device in receptacles.taking(load.plug)}
    return load.plug if end.configuration in takes else end.configuration
