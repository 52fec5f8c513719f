from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costplan.standards import converters


@given(st.decimals(12, 300, places=1))
def test_the_supply_breaker_covers_the_input_and_is_no_further_up_than_needed(input_a: Decimal) -> None:
    breaker_a = converters.supply_breaker_a(input_a)

    assert breaker_a >= input_a * Decimal("1.25") >= converters.disconnect_a(input_a) >= input_a


def test_an_input_above_the_list_of_breakers() -> None:
    with pytest.raises(LookupError, match=r"240\.6\(A\) has no row for 401\.25 A"):
        converters.supply_breaker_a(Decimal(321))
