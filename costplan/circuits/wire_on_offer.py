"""The wire of a run or a cord limited to what somebody sells new at a price, in the lengths asked for."""

from collections.abc import Callable
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need
from costplan.circuits.size_types import CircuitSize
from costplan.standards import conductors


def as_heavy_as_sold(
    by_rules: Callable[..., CircuitSize], sold: Callable[[CircuitSize], bool]
) -> CircuitSize:
    """The heaviest wire up to the advice that is sold; the one that the current asks for is always allowed."""
    size = by_rules(heaviest=None)
    while size.awg != size.awg_by_current and not sold(size):
        thinner = [awg for awg in _between(size) if conductors.awg_rank(awg) < conductors.awg_rank(size.awg)]
        size = by_rules(heaviest=thinner[-1])
    return size


def _between(size: CircuitSize) -> list[str]:
    """Wire sizes from the one that the current asks for to the one that is laid."""
    low, high = conductors.awg_rank(size.awg_by_current), conductors.awg_rank(size.awg)
    return [awg for awg in conductors.building_wire_sizes() if low <= conductors.awg_rank(awg) <= high]


def cord_on_offer(facts: Facts, size: CircuitSize, cord_ft: int) -> bool:
    """Whether somebody sells a cord at least of its wire, with its wires and for its volts, in one piece so long."""
    known = [
        part
        for part in facts.parts_by_kind.get("cord", ())
        if conductors.awg_rank(size.awg)
        <= conductors.awg_rank(str(part.attributes.get("awg", "18")))
        <= conductors.awg_rank(size.awg_at_most)
        and Decimal(str(part.attributes.get("conductors", 0))) >= size.wires
        and Decimal(str(part.attributes.get("volts", 0))) >= size.cord_volts_at_least
    ]
    return any(part_on_offer(facts, part.id, cord_ft) for part in known)


def need_on_offer(facts: Facts, need: Need) -> bool:
    """Whether somebody sells a part that meets the need, as `part_on_offer` says."""
    return any(part_on_offer(facts, part.id, need.length_ft) for part in facts.parts_meeting(need.spec))


def part_on_offer(facts: Facts, part: str, length_ft: int) -> bool:
    """Whether somebody sells it new at a price, in one piece of that length where it is asked for so."""
    sold = facts.sold.get(part)
    return sold is not None and sold.longest_new_ft is not None and sold.longest_new_ft >= length_ft
