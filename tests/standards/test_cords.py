from itertools import pairwise

import pytest

from costplan.standards import cords
from costplan.standards.cords import cord_ampacity_a, cord_sizes


def test_junior_hard_service_stops_at_10_awg() -> None:
    assert (cords.largest_awg_of_service("hard"), cords.largest_awg_of_service("junior hard")) == ("2", "10")


@pytest.mark.parametrize("carrying", [2, 3])
def test_thicker_cord_carries_more(carrying: int) -> None:
    ampacities = [cord_ampacity_a(awg, carrying) for awg in cord_sizes()]

    assert all(thin < thick for thin, thick in pairwise(ampacities))


def test_cord_with_four_current_carrying_conductors_is_not_in_the_table() -> None:
    with pytest.raises(LookupError, match="no column 4 current-carrying conductors"):
        cord_ampacity_a("10", 4)
