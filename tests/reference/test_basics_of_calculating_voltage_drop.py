"""EC&M magazine, "Basics of calculating voltage drop", example 1.

480 V three-phase, 20 A, 200 ft; the article's effective impedances in steel conduit, ohms per 1000 ft.
"""

from decimal import Decimal

import pytest

from costplan.circuits.sizing import voltage_drop_v


@pytest.mark.parametrize(("awg", "ohm_per_kft", "drop_v"), [("10", "1.1", 7.6), ("12", "1.7", 11.8)])
def test_three_phase_drop(awg: str, ohm_per_kft: str, drop_v: float) -> None:
    """The article prints 7.7 V after showing 7620.8 / 1000, hence the tolerance."""
    found = voltage_drop_v(3, Decimal(200), Decimal(ohm_per_kft), Decimal(20))

    assert float(found) == pytest.approx(drop_v, abs=0.1), awg
