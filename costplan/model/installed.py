"""What an outlet under `installed:` is, where the user left figures out."""

from dataclasses import dataclass

from costplan.model.circuits_there import Installed
from costplan.standards import conductors, overcurrent, receptacles, tables

SMALLEST_AWG = "14"
"""The thinnest wire of a branch circuit (NFPA 70 210.19)."""
SMALLEST_CIRCUIT_A, USUAL_SMALLEST_A = 15, 20
"""The smallest circuit with a receptacle (NFPA 70 210.18), and by habit (common practice, no source), in amperes."""


@dataclass(frozen=True, slots=True)
class InstalledSize:
    """Breaker in amperes and poles, wire size and number of wires without the ground."""

    breaker_a: int
    poles: int
    awg: str
    conductors: int


def installed_size(outlet: Installed) -> InstalledSize:
    """The outlet's figures; what is left out follows from its receptacle.

    The breaker has the receptacle's amperes and a pole for each line; the wire is the thinnest that the breaker
    may protect, and it has what the receptacle's contacts ask for. What is said is taken as it is said.
    Raises LookupError when the tables lack the configuration, or a wire for the breaker.
    """
    device = receptacles.find_configuration(outlet.configuration)
    breaker_a = device.rating_a if outlet.breaker_a is None else int(outlet.breaker_a)
    return InstalledSize(
        breaker_a=breaker_a,
        poles=device.breaker_poles if outlet.poles is None else outlet.poles,
        awg=thinnest_awg(breaker_a) if outlet.awg is None else outlet.awg,
        conductors=device.conductors if outlet.conductors is None else outlet.conductors,
    )


def thinnest_awg(breaker_a: int) -> str:
    """The thinnest copper wire that a breaker may protect, AWG, at 30 C and by the column of unknown terminals.

    Raises LookupError above the table. Source: NFPA 70 240.4, 110.14(C), Table 310.16.
    """
    for awg in conductors.building_wire_sizes():
        if conductors.awg_rank(awg) >= conductors.awg_rank(SMALLEST_AWG) and protected_to_a(awg) >= breaker_a:
            return awg
    raise tables.missing_row(conductors.BUILDING_WIRE, f"a breaker of {breaker_a} A", ("awg",))


def protected_to_a(awg: str, column_c: int | None = None) -> int:
    """The largest breaker that protects a copper wire, in amperes, at 30 C and by a column, of unknown terminals unless said.

    Raises LookupError. Source: NFPA 70 240.4, 110.14(C), Table 310.16.
    """
    ampacity_a = conductors.building_wire_ampacity_a(awg, column_c or conductors.terminal_column_c())
    return overcurrent.largest_breaker_a(awg, ampacity_a)


def usual_ground_awg(awg: str) -> str:
    """The ground that a run of that wire mostly has: that of the breaker which protects it. Raises LookupError."""
    return conductors.least_ground_awg(protected_to_a(awg), awg)
