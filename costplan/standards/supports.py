"""How far apart runs are supported, and how near a box the first support is."""

from dataclasses import dataclass
from decimal import Decimal

from costplan.standards import tables

SUPPORT = "nfpa70_cable_support"


@dataclass(frozen=True, slots=True)
class Support:
    """Feet between supports at most, and inches from a box to the first one at most."""

    every_ft: Decimal
    from_box_in: int


def of(kind: str) -> Support | None:
    """The supports of a run of that kind of wiring, None for what has no row. Source: NFPA 70 330.30, 334.30, 358.30."""
    row = next((row for row in tables.table(SUPPORT) if row["wiring"] == kind), None)
    return None if row is None else Support(Decimal(row["every_ft"]), int(row["from_box_in"]))
