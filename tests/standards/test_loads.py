from decimal import Decimal

import pytest

from costplan.standards import loads


def test_factors() -> None:
    assert loads.existing_demand_factor() == Decimal("1.25")
    assert loads.largest_motor_factor() == Decimal("0.25")


def test_a_rule_that_is_not_listed() -> None:
    with pytest.raises(LookupError, match="has no row for rule weather"):
        loads.rule_value("weather")
