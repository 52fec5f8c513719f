"""A published ten-activity network of three-point estimates: expected times.

Source: lecture slides "PRIME CPM/PERT", unit 4, problem 1, weeks; the printed column of expected times.
"""

from decimal import Decimal

import pytest

from costplan.model.experience import expected_hours

ACTIVITIES = {
    "A": (5, 6, 7, 6),
    "B": (1, 3, 5, 3),
    "C": (1, 4, 7, 4),
    "D": (1, 2, 3, 2),
    "E": (1, 2, 9, 3),
    "F": (1, 5, 9, 5),
    "G": (2, 2, 8, 3),
    "H": (4, 4, 10, 5),
    "I": (2, 5, 8, 5),
    "J": (2, 2, 8, 3),
}
"""Low, likely, high and expected, as printed."""


@pytest.mark.parametrize("name", ACTIVITIES)
def test_expected_time(name: str) -> None:
    low, likely, high, expected = ACTIVITIES[name]
    hours = (Decimal(low), Decimal(likely), Decimal(high))
    assert expected_hours(hours) == expected
