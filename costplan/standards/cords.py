"""Flexible cord: its types, its sizes and what each carries (NFPA 70 Tables 400.4 and 400.5(A)(1))."""

from costplan.standards import tables
from costplan.standards.conductors import awg_rank

TYPES = "nfpa70_table_400_4"
CORD_AMPACITY = "nfpa70_table_400_5_a_1"


def largest_awg_of_service(service: str) -> str:
    """Thickest wire a service class is made in: junior hard 10, hard 2 AWG. Raises LookupError."""
    return tables.look_up(TYPES, {"service": service}, "awg_at_most")


def made_in_service(service: str, awg: str) -> bool:
    """Whether cords of a service class are made so thick. Raises LookupError for an unknown class."""
    return awg_rank(awg) <= awg_rank(largest_awg_of_service(service))


def cord_sizes() -> tuple[str, ...]:
    """AWG sizes of Table 400.5(A)(1), thin to thick."""
    return tuple(row["awg"] for row in tables.table(CORD_AMPACITY))


def cord_ampacity_a(awg: str, current_carrying: int) -> int:
    """Ampacity of hard and junior hard service cord in amperes at 30 C ambient.

    `current_carrying` counts conductors that carry current, 2 or 3, never the ground.
    Raises LookupError. Source: NFPA 70 Table 400.5(A)(1).
    """
    column = {2: "two_current_carrying_a", 3: "three_current_carrying_a"}.get(
        current_carrying, f"{current_carrying} current-carrying conductors"
    )
    return int(tables.look_up(CORD_AMPACITY, {"awg": awg}, column))
