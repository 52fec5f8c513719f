"""NFPA 70 (2023) Article 455, supply of phase converters, worked by hand."""

from decimal import Decimal

import pytest

from costplan.standards import conductors, converters


@pytest.mark.parametrize(
    ("input_a", "ampacity_a", "breaker_a", "disconnect_a"),
    [
        ("40", "50", 50, "46"),  # 125 % is a standard size
        ("36", "45", 45, "41.4"),
        ("50", "62.5", 70, "57.5"),  # 455.7: next size up
        ("68", "85", 90, "78.2"),
        ("100", "125", 125, "115"),
    ],
)
def test_supply(input_a: str, ampacity_a: str, breaker_a: int, disconnect_a: str) -> None:
    """455.6(A)(1), 455.7 and 455.8(C)."""
    current_a = Decimal(input_a)

    assert converters.supply_ampacity_a(current_a) == Decimal(ampacity_a)
    assert converters.supply_breaker_a(current_a, 2023) == breaker_a
    assert converters.disconnect_a(current_a) == Decimal(disconnect_a)


def test_wire_of_a_50_ampere_converter() -> None:
    """62.5 A at the 60 C column of Table 310.16: 6 AWG has 55 A, 4 AWG has 70 A."""
    needed_a = converters.supply_ampacity_a(Decimal(50))

    assert conductors.building_wire_ampacity_a("6", 60) < needed_a
    assert conductors.building_wire_ampacity_a("4", 60) >= needed_a


def test_fixed_loads() -> None:
    """455.6(A)(2) and 455.8(C)(1): 28 A out at 240 V from 240 V is 70 A; 480 V out doubles it."""
    assert converters.supply_ampacity_fixed_loads_a(Decimal(28), 240, 240) == 70
    assert converters.supply_ampacity_fixed_loads_a(Decimal(28), 480, 240) == 140
    assert converters.disconnect_fixed_loads_a(Decimal(28), 480, 240) == 140
