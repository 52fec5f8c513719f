"""Cords in later years, worked by hand by somebody who had not seen the program: exchanged, kept whole, cut.

Prices of the tiny example: cord 2 a foot with half of it back at the end where the plan bought it, plug 10, connector 20,
kit 15, making an outlet safe 105, putting cords together the owner's, free. A cord is as long as its place is far and
5 ft more. Cords that are there fetch nothing. All of it is common practice, without a source. A new set of ends and a
kit is 45; a panel outlet that nobody uses any more is made safe.
"""

from itertools import combinations
from typing import Any

import pytest
from drawn_anew import Row, present, shop_row
from totals_anew import TINY, product_cents

from costplan.model.layouts import laid_out
from costplan.model.shop import Shop

FREE_PANELS = 20
FEET = {f"at {feet}": feet for feet in (10, 15, 20, 25, 30, 35, 55)}
DRILL: Row = {"volts": 120, "plug": "NEMA 5-20"}


def corded(name: str, feet: int, cord_ft: int = 0, **more: Any) -> Row:
    """A machine on a cord, with one that is there and its outlet beside the panel where its length is said."""
    row: Row = {"name": name, "at": f"at {feet}", "volts": 240, "amps": "16 A", "plug": "NEMA 6-20"} | more
    row["ways"] = {"hard_wired": False, "only": ["cord"]}
    if cord_ft:
        row["now"] = present("cord", row["at"], row["plug"], cord_ft)
    return row


def move(year: int, name: str, feet: int) -> Row:
    """A machine that goes to another place."""
    return {"machine": name, "year": year, "move": f"at {feet}"}


def least(machines: list[Row], events: list[Row], layout: Row | None = None) -> int:
    """The least total in dollars."""
    row = shop_row(machines, [], [], FREE_PANELS)
    places = [*FEET]
    row["places"] = [{"name": place} for place in places]
    row["routes"] = [
        {"from": "panel", "to": place, "fixed": f"{feet} ft", "cord": f"{feet} ft"}
        for place, feet in FEET.items()
    ]
    row["routes"] += [{"from": a, "to": b, "cord": "20 ft"} for a, b in combinations(places, 2)]
    if events:
        row["scenarios"] = [{"name": "as told", "weight": "100 %", "events": events}]
    if layout is not None:
        row["layouts"] = [{"name": "idea"} | layout]
    shop = Shop.model_validate(row)
    cents = product_cents(laid_out(shop, shop.layouts[0]) if layout is not None else shop, TINY)
    assert cents is not None
    assert cents % 100 == 0
    return cents // 100


SWAP = [move(1, "saw", 35), move(1, "planer", 15)]


def test_two_machines_that_change_places_exchange_their_cords() -> None:
    assert least([corded("saw", 15, 20), corded("planer", 35, 40)], SWAP) == 0


def test_half_an_exchange_where_one_cord_is_too_short() -> None:
    """The saw takes the 40 ft; the planer buys 30 ft, 60 with 30 back, for the saw's old ends."""
    events = [move(1, "saw", 35), move(1, "planer", 25)]
    assert least([corded("saw", 15, 20), corded("planer", 35, 40)], events) == 30


def test_cables_are_exchanged_and_each_keeps_its_ends() -> None:
    machines = [corded("drill", 15, 20, **DRILL), corded("planer", 35, 40)]
    assert least(machines, [move(1, "drill", 35), move(1, "planer", 15)]) == 0


def test_who_comes_takes_the_long_cord_whole_and_needs_it_later() -> None:
    """The jointer takes the planer's 40 ft for 20, and needs them in year 3; the drill buys 35 ft, 70 with 35 back."""
    machines = [
        corded("planer", 35, 40, leaves=2),
        corded("drill", 10, 15),
        corded("jointer", 15, arrives=2),
    ]
    assert least(machines, [move(2, "drill", 30), move(3, "jointer", 35)]) == 35


def test_a_cord_taken_today_is_as_long_as_it_is_in_year_3() -> None:
    """The lathe takes 40 ft for 25 and needs them in year 3; the bandsaw buys 35 ft for the grinder's ends."""
    machines = [corded("planer", 35, 40), corded("grinder", 15, 20)]
    brought = [corded("lathe", 20), corded("bandsaw", 30)]
    layout = {"without": ["planer", "grinder"], "brought": brought}
    assert least(machines, [move(3, "lathe", 35)], layout) == 35


CUT = [corded("planer", 55, 60, leaves=1), corded("grinder", 10, 15)]


def test_a_cord_is_cut_for_two_where_its_length_is_of_no_later_use() -> None:
    """60 ft are 30 for the jointer and 25 for the grinder, which has its own ends."""
    assert least([*CUT, corded("jointer", 25, arrives=1)], [move(1, "grinder", 20)]) == 0


def test_it_is_kept_whole_where_its_length_is_needed_later() -> None:
    """The jointer takes all 60 ft and needs them in year 3; the grinder buys 25 ft, 50 with 25 back."""
    events = [move(1, "grinder", 20), move(3, "jointer", 55)]
    assert least([*CUT, corded("jointer", 25, arrives=1)], events) == 25


def test_it_is_cut_where_that_pays_although_more_is_needed_later() -> None:
    """40 ft for the grinder and 20 for the jointer, which buys 30 ft in year 3, 60 with 30 back."""
    events = [move(1, "grinder", 35), move(3, "jointer", 25)]
    assert least([*CUT, corded("jointer", 15, arrives=1)], events) == 30


@pytest.mark.parametrize(("saw_ft", "expected"), [(30, 0), (25, 30)])
def test_cords_are_exchanged_today_for_what_later_years_ask(saw_ft: int, expected: int) -> None:
    """The planer is sold. The saw, which stays until year 1, takes its 40 ft today, and the lathe the saw's cord.

    The saw's 30 ft are what the lathe needs in year 3; of 25 ft it buys 30 ft then, 60 with 30 back.
    """
    machines = [corded("planer", 35, 40), corded("saw", saw_ft - 5, saw_ft)]
    layout = {"without": ["planer"], "brought": [corded("lathe", 15)]}
    assert least(machines, [move(1, "saw", 35), move(3, "lathe", 25)], layout) == expected
