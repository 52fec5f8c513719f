"""EC&M magazine, Code Q&A, "Sizing conductors for single motor", 20 March 2014: 7.5 hp, 230 V, 3-phase."""

from decimal import Decimal

from costplan.circuits.breaker import motor_limit_a
from costplan.circuits.size_types import Load, Rules, Wiring
from costplan.circuits.sizing import size_circuit
from costplan.model.choices import LoadKind, Occupancy

MOTOR = Load(240, 3, False, LoadKind.MOTOR, Decimal("7.5"), None, True, None)
RULES = Rules(2014, Occupancy.INDUSTRIAL, False, Decimal("0.03"), Decimal(30))


def test_step_by_step() -> None:
    """22 A from the table, 27.5 A at 125 %, 10 AWG; a breaker of 55 A, next standard 60 A, at 250 %."""
    size = size_circuit(MOTOR, Wiring.CONDUIT, None, Decimal(50), RULES)

    assert size.current_a == 22
    assert size.minimum_ampacity_a == Decimal("27.5")
    assert size.awg == "10"
    assert motor_limit_a(MOTOR, size.current_a) == 60
