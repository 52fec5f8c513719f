"""NFPA 70 (2023) 220.87, load added to a measured service, worked by hand."""

from decimal import Decimal

from costplan.standards import loads


def test_measured_peak_and_a_new_motor() -> None:
    """220.87: 78 A measured counts as 97.5 A; a 7-1/2 hp motor of 40 A still goes on a 150 A service."""
    existing_a = loads.existing_demand_a(Decimal(78))

    assert existing_a == Decimal("97.5")
    assert existing_a + 40 == Decimal("137.5")


def test_largest_peak_that_leaves_a_100_ampere_service_full() -> None:
    assert loads.existing_demand_a(Decimal(80)) == 100
