"""Flexible cord types (NFPA 70 Table 400.4)."""

from costplan.standards import tables
from costplan.standards.conductors import awg_rank

TYPES = "nfpa70_table_400_4"


def largest_awg_of_service(service: str) -> str:
    """Thickest wire a service class is made in: junior hard 10, hard 2 AWG. Raises LookupError."""
    return tables.look_up(TYPES, {"service": service}, "awg_at_most")


def made_in_service(service: str, awg: str) -> bool:
    """Whether cords of a service class are made so thick. Raises LookupError for an unknown class."""
    return awg_rank(awg) <= awg_rank(largest_awg_of_service(service))
