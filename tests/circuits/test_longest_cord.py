"""A cord longer than the user would consider is no way; 300 ft is common practice, no source. Shops are invented."""

import pytest
from strategies import SAW, make_catalog, make_shop

from costplan.circuits import present
from costplan.circuits.facts import Facts
from costplan.ledger.options import Option, survey
from costplan.model.choices import Method


def cords(longest_ft: int) -> list[object]:
    """The saw's ways by a cord, of 30 ft and more, and those that are none."""
    shop = make_shop([SAW])
    choices = shop.cords.model_copy(update={"longest_ft": longest_ft})
    found = survey(Facts(shop.model_copy(update={"cords": choices}), make_catalog()))
    return [
        entry if isinstance(entry, Option) else entry.reason
        for entry in (*found.options["saw"], *found.unbuildable)
        if entry.way.method is Method.CORD
    ]


def test_what_is_longer_is_no_way_and_says_its_length() -> None:
    within, beyond = cords(300), cords(10)
    assert within
    assert all(isinstance(entry, Option) for entry in within)
    assert beyond
    assert all("ft long, and the longest to consider is 10 ft" in str(entry) for entry in beyond)


@pytest.mark.parametrize(("cord_ft", "reach_ft"), [(None, 9), (25, 19), (5, 0)])
def test_a_pendant_that_is_there_reaches_as_far_as_it_is_long(cord_ft: int | None, reach_ft: int) -> None:
    """By hand: under 10 ft 6 ft hang down to the machine at 4 ft, the rest goes across; a new pendant has 15 ft."""
    cord = {} if cord_ft is None else {"cord": {"length": f"{cord_ft} ft", "awg": "12", "conductors": 3}}
    there = {"method": "ceiling outlet", "panel": "panel", "configuration": "NEMA 6-20", "breaker": 20}
    shop = make_shop([SAW | {"now": there | cord}])
    (saw,) = shop.machines
    assert saw.now is not None
    assert present.reach_ft(shop, saw, saw.now) == reach_ft
