"""Lessons In Electric Circuits, vol. I (textbook), chapter on conductors, section "Specific resistance".

A 230 V source, a load that must see 220 V at 25 A, 2300 ft away; copper of 10.09 ohm-cmil per foot at 20 C.
The book's own constant is used, so only the formula and the areas are ours.
"""

from decimal import Decimal

import pytest

from costplan.circuits.sizing import voltage_drop_v
from costplan.standards import conductors

COPPER_20_C_OHM_CMIL_PER_FT = Decimal("10.09")
LENGTH_FT = Decimal(2300)
CURRENT_A = Decimal(25)
ALLOWED_DROP_V = Decimal(10)


def drop_v(area_cmil: Decimal, current_a: Decimal) -> Decimal:
    return voltage_drop_v(1, LENGTH_FT, COPPER_20_C_OHM_CMIL_PER_FT / area_cmil * 1000, current_a)


def test_the_area_the_book_asks_for_drops_exactly_10_v() -> None:
    assert float(drop_v(Decimal(116_035), CURRENT_A)) == pytest.approx(10, abs=1e-4)


def test_1_0_is_too_small_and_2_0_will_do() -> None:
    areas = {awg: Decimal(conductors.area_cmil(awg)) for awg in ("1/0", "2/0")}

    assert drop_v(areas["1/0"], CURRENT_A) > ALLOWED_DROP_V
    assert drop_v(areas["2/0"], CURRENT_A) <= ALLOWED_DROP_V


def test_first_size_that_fits_is_the_books_choice() -> None:
    sizes = conductors.building_wire_sizes()
    fits = (awg for awg in sizes if drop_v(Decimal(conductors.area_cmil(awg)), CURRENT_A) <= ALLOWED_DROP_V)

    assert next(fits) == "2/0"


def test_the_same_run_in_14_awg_cannot_carry_the_load() -> None:
    """The book's 4107 cmil: 11.301 ohm there and back, so 230 V push 20.352 A through wire alone."""
    loop_ohm = drop_v(Decimal(4107), Decimal(1))

    assert float(loop_ohm) == pytest.approx(11.301, abs=5e-4)
    assert float(230 / loop_ohm) == pytest.approx(20.352, abs=5e-4)
