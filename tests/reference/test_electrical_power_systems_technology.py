"""Electrical Power Systems Technology (textbook), figure 10-7: the first span of a lamp circuit."""

from decimal import Decimal

from costplan.circuits.sizing import voltage_drop_v


def test_first_span_of_14_awg_at_12_a() -> None:
    """120 V, 2.57 ohm per 1000 ft, 10 ft: 0.6168 V lost, 119.3832 V (printed 119.383) at the first lamp."""
    drop = voltage_drop_v(1, Decimal(10), Decimal("2.57"), Decimal(12))

    assert drop == Decimal("0.6168")
    assert Decimal(120) - drop == Decimal("119.3832")
