"""NFPA 70 (2023) 210.21(B)(1) and Table 210.21(B)(3), receptacles and their circuits, typed from memory."""

import pytest

from costplan.standards.receptacles import may_be_behind

SIZES_A = (15, 20, 30, 50, 60)
# Amperes of the circuit: the smallest receptacle that may be on it.
LEAST_A = {15: 15, 20: 15, 25: 30, 30: 30, 35: 50, 40: 50, 50: 50, 60: 60}


@pytest.mark.parametrize(("circuit_a", "least_a"), LEAST_A.items())
def test_receptacles_of_a_circuit(circuit_a: int, least_a: int) -> None:
    assert [size for size in SIZES_A if may_be_behind(size, circuit_a)] == [
        size for size in SIZES_A if size >= least_a
    ]


def test_a_40_a_receptacle_is_for_40_a() -> None:
    assert may_be_behind(40, 40)
    assert not may_be_behind(40, 45)
