"""NFPA 70 (2023) 220.87, load added to a measured service, and 220.60, worked by hand."""

from decimal import Decimal

import pytest

from costplan.standards import loads


def test_measured_peak_and_a_new_motor() -> None:
    """220.87: 78 A measured counts as 97.5 A; a 7-1/2 hp motor of 40 A still goes on a 150 A service."""
    existing_a = loads.existing_demand_a(Decimal(78))

    assert existing_a == Decimal("97.5")
    assert existing_a + 40 == Decimal("137.5")


def test_largest_peak_that_leaves_a_100_ampere_service_full() -> None:
    assert loads.existing_demand_a(Decimal(80)) == 100


@pytest.mark.parametrize(
    ("edition", "factor"), [(2023, "1.25"), (2020, "1.25"), (2017, "1"), (2008, "1"), (None, "1.25")]
)
def test_motor_that_is_not_the_largest_of_a_set(edition: int | None, factor: str) -> None:
    """220.60: a 12 A motor beside 20 A of heat counts as 15 A since 2020."""
    assert loads.noncoincident_motor_factor(edition) == Decimal(factor)
    assert Decimal(12) * loads.noncoincident_motor_factor(2020) == 15
