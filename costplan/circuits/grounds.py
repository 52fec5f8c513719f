"""Grounds of circuits that are there: receptacles without a ground contact, and grounds too thin for a breaker."""

from collections.abc import Iterable

from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way
from costplan.model.choices import Method
from costplan.model.installed import SMALLEST_AWG, protected_to_a
from costplan.model.shop import Machine
from costplan.standards import conductors, receptacles


def without_ground(machine: Machine) -> str | None:
    """The plug without a ground contact that a machine came with, where it stays; None for any other.

    Such a receptacle may stay where it is and is never put in anew (NFPA 70 250.140, 406.4(D), from memory).
    """
    stays = machine.plug is not None and not machine.plug_may_change
    return machine.plug if stays and not receptacles.has_ground(machine.plug) else None


def no_new_receptacle(facts: Facts, machine: Machine, way: Way, places: Iterable[str]) -> str | None:
    """Why a way with a plug would ask for a new receptacle or connector without a ground contact; None where it does not."""
    plug = without_ground(machine)
    if plug is None or way.hard_wired or way.quoted or way.gone:
        return None
    if way.method is Method.CORD or way.into_machine:
        is_there = machine.now is not None and (machine.now.method, machine.now.configuration) == (
            way.method,
            plug,
        )
    else:
        is_there = all(_is_there(facts, way.method, place, plug) for place in places)
    if is_there:
        return None
    return (
        f"its plug {plug} has no ground contact, and such a receptacle is never put in anew (NEC 250.140): where its maker "
        "allows another plug, write plug_may_change: true"
    )


def _is_there(facts: Facts, method: Method, place: str, plug: str) -> bool:
    """Whether a receptacle that takes the plug ends a run of that method at a place today, in use or idle."""
    shop = facts.shop
    used = [
        (m.now.method, m.now.place or m.at, m.now.configuration) for m in shop.machines if m.now is not None
    ]
    idle = [(outlet.method, outlet.place, outlet.configuration) for outlet in shop.installed]
    return (method, place, plug) in (*used, *idle)


def same_ground(end: str, wanted_end: str, *, stated: bool) -> bool:
    """Whether a run that ends so has a ground for another end: a receptacle without a ground contact shows none.

    `stated`: its ground's size is said, so that there is one.
    """
    if end == wanted_end:
        return True
    return receptacles.has_ground(wanted_end) and (stated or receptacles.has_ground(end))


def ground_suits(ground_awg: str, breaker_a: int, awg: str) -> bool:
    """Whether a ground is thick enough behind a breaker; one of which nobody said the size is taken to be."""
    if not ground_awg:
        return True
    return conductors.awg_rank(ground_awg) >= conductors.awg_rank(conductors.least_ground_awg(breaker_a, awg))


def wire_with_ground(awg: str, ground_awg: str) -> str:
    """The wire that a run counts as for others: no thicker than its ground, where the file says it, suits the breaker of."""
    if not ground_awg:
        return awg
    sizes = [size for size in conductors.building_wire_sizes() if _between(size, awg)]
    suiting = [size for size in sizes if ground_suits(ground_awg, protected_to_a(size), size)]
    return suiting[-1] if suiting else SMALLEST_AWG


def _between(size: str, awg: str) -> bool:
    rank = conductors.awg_rank
    return rank(SMALLEST_AWG) <= rank(size) <= rank(awg)
