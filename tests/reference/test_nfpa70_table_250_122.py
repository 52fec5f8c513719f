"""NFPA 70 (2023) Table 250.122, equipment grounding conductors, typed from the table."""

import pytest

from costplan.standards import conductors

# breaker: copper
TABLE_250_122 = {
    15: "14",
    20: "12",
    60: "10",
    100: "8",
    200: "6",
    300: "4",
    400: "3",
}


@pytest.mark.parametrize("breaker_a", TABLE_250_122)
def test_row(breaker_a: int) -> None:
    assert conductors.grounding_conductor_awg(breaker_a) == TABLE_250_122[breaker_a]


@pytest.mark.parametrize(("breaker_a", "awg"), [(30, "10"), (40, "10"), (50, "10"), (70, "8"), (125, "6")])
def test_a_breaker_between_rows_takes_the_next_row(breaker_a: int, awg: str) -> None:
    assert awg == conductors.grounding_conductor_awg(breaker_a)
