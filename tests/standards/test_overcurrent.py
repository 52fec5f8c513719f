from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costplan.standards import overcurrent

CURRENTS = st.decimals(15, 400, places=2)


def test_every_usual_size_is_a_standard_size() -> None:
    assert set(overcurrent.usual_sizes_a()) <= set(overcurrent.standard_sizes_a())


@pytest.mark.parametrize(
    ("current_a", "usual_a"), [("0", 15), ("15", 15), ("21.25", 30), ("42.5", 50), ("51", 60)]
)
def test_next_usual_size(current_a: str, usual_a: int) -> None:
    assert overcurrent.next_usual_size_a(Decimal(current_a)) == usual_a


@given(CURRENTS)
def test_next_and_largest_standard_size_enclose_the_current(current_a: Decimal) -> None:
    below, above = overcurrent.largest_standard_size_a(current_a), overcurrent.next_standard_size_a(current_a)

    assert below <= current_a <= above
    assert not [size for size in overcurrent.standard_sizes_a() if below < size < above]


def test_above_the_list() -> None:
    with pytest.raises(LookupError, match=r"240\.6\(A\) has no row for 401 A"):
        overcurrent.next_standard_size_a(401)
    with pytest.raises(LookupError, match="ends at 200 A"):
        overcurrent.next_usual_size_a(201)


def test_below_the_list() -> None:
    with pytest.raises(LookupError, match="14 A or less"):
        overcurrent.largest_standard_size_a(14)


def test_unknown_motor_class() -> None:
    with pytest.raises(LookupError, match="has no row for device inverse-time breaker, motor diesel"):
        overcurrent.motor_protection_percent("inverse-time breaker", "diesel")
