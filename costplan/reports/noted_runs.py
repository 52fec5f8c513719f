"""Cables that leave a panel together: how many may lie bundled before one carries less than it is counted for."""

from collections.abc import Iterable, Iterator
from decimal import Decimal

from costplan.circuits.run_parts import wiring_of
from costplan.circuits.size_types import CircuitSize, Wiring
from costplan.circuits.wire import current_carrying
from costplan.model.choices import Method
from costplan.reports.remarks import Topic
from costplan.reports.there import Powered
from costplan.standards import conductors, overcurrent

BUNDLES = (Wiring.CABLE, Wiring.ARMORED)
"""What lies beside each other without a pipe of its own."""
FREE_AWG, FREE_IN_EACH, FREE_CARRYING = "12", 3, 20
"""Armored cables of this wire, with so many that carry current in each, are free of the loss up to so many in all (NFPA 70
310.15(C)(1)(d), from memory)."""


def of_runs(made: Iterable[Powered], ambient_c: Decimal) -> Iterator[tuple[Topic, str]]:
    """Panels from which more cables are run than may lie together, with how many there are and may be."""
    leaving: dict[str, list[Powered]] = {}
    for entry in made:
        if wiring_of(entry.way) in BUNDLES and entry.way.method is not Method.CORD:
            leaving.setdefault(entry.circuit.panel, []).append(entry)
    for panel, runs in leaving.items():
        carrying = sum(_carrying(entry) for entry in runs)
        most = min(most_together(entry.circuit.size, ambient_c) or carrying for entry in runs)
        if most < carrying and not _free(runs, carrying):
            more = f"{len(runs)} cables with {carrying} wires that carry current; at most {most} such wires together"
            yield Topic.BUNDLED_RUNS, f"{panel} ({more})"


def most_together(size: CircuitSize, ambient_c: Decimal) -> int | None:
    """How many wires that carry current may lie together with a circuit's; None for any number.

    Its 90 C ampacity times the factor must carry what it was sized for, and be protected by its breaker where the wire alone
    decides that (NFPA 70 Table 310.15(C)(1), 240.4(B), (D)). At least its own.
    """
    cool_a = conductors.building_wire_ampacity_a(size.awg, 90) * conductors.ambient_factor(ambient_c, 90)
    column_a = Decimal(conductors.building_wire_ampacity_a(size.awg, size.column_c or 60))

    def protected_to_a(ampacity_a: Decimal) -> int:
        return overcurrent.largest_breaker_a(size.awg, min(ampacity_a, column_a))

    alone = size.breaker_a > protected_to_a(cool_a)
    most: int | None = 0
    for at_most, factor in conductors.bundled_factors():
        ampacity_a = cool_a * factor
        if ampacity_a < size.minimum_ampacity_a or not (
            alone or protected_to_a(ampacity_a) >= size.breaker_a
        ):
            break
        most = at_most
    return most


def _carrying(entry: Powered) -> int:
    return current_carrying(entry.circuit.supplied.load)


def _free(runs: Iterable[Powered], carrying: int) -> bool:
    plain = all(
        wiring_of(entry.way) is Wiring.ARMORED
        and entry.circuit.size.awg == FREE_AWG
        and _carrying(entry) <= FREE_IN_EACH
        for entry in runs
    )
    return plain and carrying <= FREE_CARRYING
