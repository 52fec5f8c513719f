"""US Department of Energy, Motor Systems Tip Sheet 11, drive efficiency at part load; figures from memory."""

from decimal import Decimal

import pytest

from costplan.standards import converters

LOADS_PERCENT = ("12.5", "25", "50", "75", "100")
# rated horsepower: percent at each load
TABLE_1 = {
    3: (77, 86, 91, 93, 94),
    5: (80, 88, 92, 94, 95),
    10: (83, 90, 94, 95, 96),
    20: (86, 93, 95, 96, 97),
}


@pytest.mark.parametrize("rated_hp", TABLE_1)
def test_row(rated_hp: int) -> None:
    found = [converters.drive_efficiency(rated_hp, Decimal(load)) for load in LOADS_PERCENT]

    assert found == [Decimal(percent) / 100 for percent in TABLE_1[rated_hp]]


def test_watts_lost_worked_by_hand() -> None:
    """10 hp out at 96 % takes 7460 / 0.96 = 7770.8 W, so 310.8 W turn to heat."""
    lost_w = 7460 / converters.drive_efficiency(10) - 7460

    assert round(lost_w, 1) == Decimal("310.8")


def test_a_larger_drive_and_a_fuller_one_lose_less() -> None:
    for load in LOADS_PERCENT:
        by_size = [converters.drive_efficiency(hp, Decimal(load)) for hp in TABLE_1]
        assert by_size == sorted(by_size)
    for hp in TABLE_1:
        by_load = [converters.drive_efficiency(hp, Decimal(load)) for load in LOADS_PERCENT]
        assert by_load == sorted(by_load)
