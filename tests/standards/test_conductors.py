from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costplan.standards import conductors

SIZES = ("24", "18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")


def test_rank_orders_thin_to_thick() -> None:
    ranks = [conductors.awg_rank(awg) for awg in SIZES]

    assert ranks == sorted(set(ranks))


@pytest.mark.parametrize("text", ["", "0", "00", "5/0", "10/0", "-14", "14 AWG", "500kcmil", "1.5", "40"])
def test_rank_refuses_what_is_no_size(text: str) -> None:
    with pytest.raises(ValueError, match="not a wire size; write AWG as"):
        conductors.awg_rank(text)


@given(st.sampled_from(SIZES), st.sampled_from(SIZES))
def test_thicker_and_thinner_share_the_pair(a: str, b: str) -> None:
    assert {conductors.thicker(a, b), conductors.thinner(a, b)} == {a, b}


@pytest.mark.parametrize("celsius", [60, 75, 90])
def test_thicker_building_wire_carries_more(celsius: int) -> None:
    sizes = conductors.building_wire_sizes()
    ampacities = [conductors.building_wire_ampacity_a(awg, celsius) for awg in sizes]

    assert all(thin < thick for thin, thick in pairwise(ampacities))


@given(st.decimals(-40, 55, places=1), st.decimals(-40, 55, places=1))
def test_warmer_air_never_helps(a: Decimal, b: Decimal) -> None:
    cool, warm = sorted((a, b))

    assert conductors.ambient_factor(cool, 60) >= conductors.ambient_factor(warm, 60)


def test_air_above_the_table() -> None:
    with pytest.raises(LookupError, match="has no row for 71 C"):
        conductors.ambient_factor(Decimal(71), 90)


def test_grounding_conductor_above_the_table() -> None:
    with pytest.raises(LookupError, match="has no row for 500 A"):
        conductors.grounding_conductor_awg(500)
