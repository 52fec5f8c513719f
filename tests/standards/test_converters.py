from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costplan.standards import converters, tables


@given(st.decimals(12, 300, places=1))
def test_the_supply_breaker_covers_the_input_and_is_no_further_up_than_needed(input_a: Decimal) -> None:
    breaker_a = converters.supply_breaker_a(input_a)

    assert breaker_a >= converters.supply_ampacity_a(input_a) >= converters.disconnect_a(input_a) >= input_a


def test_an_input_above_the_list_of_breakers() -> None:
    with pytest.raises(LookupError, match=r"240\.6\(A\) has no row for 401\.25 A"):
        converters.supply_breaker_a(Decimal(321))


@pytest.mark.parametrize(
    ("rated_hp", "load_percent", "efficiency"),
    [("1", 100, "0.94"), ("7.5", 100, "0.95"), ("30", 100, "0.97"), ("10", 60, "0.94"), ("10", 5, "0.83")],
)
def test_a_drive_between_rows_takes_the_one_below(rated_hp: str, load_percent: int, efficiency: str) -> None:
    assert converters.drive_efficiency(Decimal(rated_hp), load_percent) == Decimal(efficiency)


def test_a_solid_state_converter_loses_less_than_a_rotary_one() -> None:
    assert converters.converter_efficiency("rotary") < converters.converter_efficiency("solid-state") < 1


def test_figures_name_their_source() -> None:
    assert tables.cite(converters.DRIVE_LOSSES).startswith("US Department of Energy")
    assert tables.cite(converters.CONVERTER_LOSSES).startswith("Common practice, no source")


def test_a_converter_of_another_kind() -> None:
    with pytest.raises(LookupError, match="has no row for kind static; it covers kind rotary, solid-state"):
        converters.converter_efficiency("static")
