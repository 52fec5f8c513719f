"""NFPA 70 (2023) 240.6(A), standard breakers, and 240.4(D), small conductors, typed from the text."""

import pytest

from costplan.standards import overcurrent

STANDARD_A = (
    15,
    20,
    25,
    30,
    35,
    40,
    45,
    50,
    60,
    70,
    80,
    90,
    100,
    110,
    125,
    150,
    175,
    200,
    225,
    250,
    300,
    350,
    400,
)


def test_standard_sizes_up_to_400_a() -> None:
    assert overcurrent.standard_sizes_a() == STANDARD_A


@pytest.mark.parametrize(("edition", "smallest_a"), [(None, 15), (2020, 15), (2023, 10)])
def test_10_a_is_standard_since_2023(edition: int | None, smallest_a: int) -> None:
    assert smallest_a == overcurrent.standard_sizes_a(edition)[0]


@pytest.mark.parametrize(
    ("awg", "limit_a"), [("18", 7), ("16", 10), ("14", 15), ("12", 20), ("10", 30), ("8", None)]
)
def test_small_copper_conductor(awg: str, limit_a: int | None) -> None:
    assert limit_a == overcurrent.small_conductor_limit_a(awg)
