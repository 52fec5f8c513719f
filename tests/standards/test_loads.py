from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costplan.standards import loads, overcurrent

CURRENTS = st.lists(st.decimals(1, 60, places=1), min_size=1, max_size=6)


@given(CURRENTS, st.decimals(0, 50, places=1))
def test_a_feeder_carries_all_and_a_quarter_of_the_largest(
    currents_a: list[Decimal], other_a: Decimal
) -> None:
    needed_a = loads.motor_feeder_a(currents_a, other_a)

    assert needed_a - sum(currents_a) - other_a == max(currents_a) / 4
    assert needed_a == loads.motor_feeder_a(sorted(currents_a), other_a)


@given(CURRENTS)
def test_a_feeder_device_is_no_smaller_than_any_branch_device_and_rounds_down(
    currents_a: list[Decimal],
) -> None:
    branch_a = [overcurrent.next_standard_size_a(current_a * Decimal("2.5")) for current_a in currents_a]
    limit_a = loads.motor_feeder_limit_a(branch_a, currents_a)

    assert max(branch_a) <= loads.motor_feeder_device_a(branch_a, currents_a) <= limit_a


def test_no_motors() -> None:
    assert loads.motor_feeder_a([], Decimal(20)) == 20
    with pytest.raises(ValueError, match="has no motors"):
        loads.motor_feeder_limit_a([], [])


def test_devices_and_currents_of_different_motors() -> None:
    with pytest.raises(ValueError, match="shorter"):
        loads.motor_feeder_limit_a([20, 30], [Decimal(8)])


def test_a_limit_below_every_size() -> None:
    with pytest.raises(LookupError, match="14 A or less"):
        loads.motor_feeder_device_a([14], [Decimal(5)])


def test_factors() -> None:
    assert loads.existing_demand_factor() == Decimal("1.25")
    assert loads.largest_motor_factor() == Decimal("0.25")
    assert loads.rule_value("existing demand short record") == 30


def test_where_a_rule_stands() -> None:
    assert loads.cite_rule("largest motor") == "NFPA 70 2023, 430.24"
    with pytest.raises(LookupError, match="has no row for rule weather"):
        loads.rule_value("weather")
