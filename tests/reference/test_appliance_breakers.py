"""Breakers of heaters whose plates name none, worked by hand before they were built (NFPA 70 422.11(E), from memory).

Up to 13.3 A at most 20 A; above that 150 % of its amperes, or the next standard size of 240.6(A) where that is none. What runs
for hours asks for 125 % (210.20(A)); a 50 A receptacle may be on a circuit of 40 A (Table 210.21(B)(3)).
"""

from decimal import Decimal
from typing import Any

import pytest

from costplan.circuits.breaker import appliance_limit_a
from costplan.circuits.size_types import Rules, Wiring
from costplan.circuits.sizing import size_circuit
from costplan.circuits.ways import load_of
from costplan.model.choices import Occupancy
from costplan.model.shop import Machine

RULES = Rules(2020, Occupancy.COMMERCIAL, False, Decimal("0.05"), Decimal(30))


def heater(**words: Any) -> Any:
    return load_of(Machine.model_validate({"name": "oven", "volts": 240, "load": "heater"} | words))


@pytest.mark.parametrize(
    ("amps", "limit_a"), [("12", 20), ("13.3", 20), ("24", 40), ("30", 45), ("32", 50), ("34", 60)]
)
def test_the_largest_breaker_of_a_heater(amps: str, limit_a: int) -> None:
    """1.5 x 24 = 36, next 40; x 30 = 45; x 32 = 48, next 50; x 34 = 51, next 60."""
    assert appliance_limit_a(heater(amps=amps), Decimal(amps)) == limit_a


def test_a_plug_of_50_a_on_an_oven_of_30_a() -> None:
    """1.25 x 30 = 37.5 A asks for 40 A, within 45 A: a 14-50R on a circuit of 40 A; what is there may have 45 A."""
    size = size_circuit(heater(amps=30, plug="NEMA 14-50"), Wiring.CONDUIT, "straight", Decimal(20), RULES)
    assert (size.breaker_a, size.configuration, size.awg, size.breaker_most_a) == (40, "NEMA 14-50", "8", 45)


@pytest.mark.parametrize("words", [{"largest_breaker": 50}, {"breaker": 50}])
def test_what_the_plate_names_wins(words: dict[str, int]) -> None:
    size = size_circuit(
        heater(amps=30, plug="NEMA 14-50", **words), Wiring.CONDUIT, "straight", Decimal(20), RULES
    )
    assert size.breaker_a == 50
