"""Flexible cord types (NFPA 70 Table 400.4)."""

from dataclasses import dataclass
from functools import cache

from costplan.standards import tables
from costplan.standards.conductors import awg_rank

TYPES = "nfpa70_table_400_4"


@dataclass(frozen=True, slots=True)
class CordType:
    """A cord type as printed on the jacket. `service` is `hard` or `junior hard`."""

    code: str
    service: str
    volts: int
    oil_resistant: bool
    wet_and_sunlight: bool
    awg_at_least: str
    awg_at_most: str
    conductors_at_most: int | None

    def made_in(self, awg: str) -> bool:
        """Whether the type is made in a wire size."""
        return awg_rank(self.awg_at_least) <= awg_rank(awg) <= awg_rank(self.awg_at_most)


@cache
def cord_types() -> tuple[CordType, ...]:
    """All hard and junior hard service cord types."""
    return tuple(
        CordType(
            code=row["type"],
            service=row["service"],
            volts=int(row["volts"]),
            oil_resistant=row["jacket_oil_resistant"] == "yes",
            wet_and_sunlight=row["wet_and_sunlight"] == "yes",
            awg_at_least=row["awg_at_least"],
            awg_at_most=row["awg_at_most"],
            conductors_at_most=int(row["conductors_at_most"]) if row["conductors_at_most"] else None,
        )
        for row in tables.table(TYPES)
    )


def find_cord_type(code: str) -> CordType:
    """The cord type of the letters on the jacket, `SOOW`. Raises LookupError."""
    found = next((known for known in cord_types() if known.code == code), None)
    if found is None:
        raise tables.missing_row(TYPES, f"type {code}", ("type",))
    return found


def volts_of_service(service: str) -> int:
    """Rated volts of a service class: junior hard 300, hard 600. Raises LookupError."""
    return int(tables.look_up(TYPES, {"service": service}, "volts"))


def largest_awg_of_service(service: str) -> str:
    """Thickest wire a service class is made in: junior hard 10, hard 2 AWG. Raises LookupError."""
    return tables.look_up(TYPES, {"service": service}, "awg_at_most")


def made_in_service(service: str, awg: str) -> bool:
    """Whether cords of a service class are made so thick. Raises LookupError for an unknown class."""
    return awg_rank(awg) <= awg_rank(largest_awg_of_service(service))
