"""A published ten-activity network of three-point estimates: expected times and variances.

Source: lecture slides "PRIME CPM/PERT", unit 4, problem 1, weeks; the printed column of expected times.
"""

from decimal import Decimal

import pytest

from costplan.model.experience import expected_hours, hours_spread

ACTIVITIES = {
    "A": (5, 6, 7, 6, "0.11"),
    "B": (1, 3, 5, 3, "0.44"),
    "C": (1, 4, 7, 4, "1.00"),
    "D": (1, 2, 3, 2, "0.11"),
    "E": (1, 2, 9, 3, "1.78"),
    "F": (1, 5, 9, 5, "1.78"),
    "G": (2, 2, 8, 3, "1.00"),
    "H": (4, 4, 10, 5, "1.00"),
    "I": (2, 5, 8, 5, "1.00"),
    "J": (2, 2, 8, 3, "1.00"),
}
"""Low, likely, high; expected and variance as printed."""


@pytest.mark.parametrize("name", ACTIVITIES)
def test_expected_time_and_variance(name: str) -> None:
    low, likely, high, expected, variance = ACTIVITIES[name]
    hours = (Decimal(low), Decimal(likely), Decimal(high))
    assert expected_hours(hours) == expected
    assert hours_spread(hours) ** 2 == pytest.approx(Decimal(variance), abs=Decimal("0.006"))
