"""NFPA 70 (2023) Article 455, supply of phase converters, worked by hand."""

from decimal import Decimal

import pytest

from costplan.standards import converters


@pytest.mark.parametrize(
    ("input_a", "breaker_a", "disconnect_a"),
    [
        ("40", 50, "46"),  # 125 % is a standard size
        ("36", 45, "41.4"),
        ("50", 70, "57.5"),  # 455.7: next size up
        ("68", 90, "78.2"),
        ("100", 125, "115"),
    ],
)
def test_supply(input_a: str, breaker_a: int, disconnect_a: str) -> None:
    """455.7 and 455.8(C)."""
    current_a = Decimal(input_a)

    assert converters.supply_breaker_a(current_a, 2023) == breaker_a
    assert converters.disconnect_a(current_a) == Decimal(disconnect_a)
