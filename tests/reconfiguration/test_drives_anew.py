"""Drives that are there, worked by hand: who keeps one, who takes another's, and what circuit it asks for.

The prices are those of the tiny example and of `drawn_anew`; a drive of 3 hp takes 16 A and costs 200, one of 5 hp
takes 24 A and costs 300, mounting either is an electrician's task, 100. 125 % of the input current decides the breaker
(NFPA 70 430.122(A)): 20 A on 12 AWG, 30 A on 10 AWG. A new drop of n ft, 5 ft more than its route, is n or 2n + box 5 +
receptacle 10 + 300 and a breaker 20 unless one is free; an own plug changed is 10; an outlet made safe 105. That a
drive stays on its machine for nothing and is mounted again elsewhere is common practice, without a source.
"""

from decimal import Decimal
from typing import Any

import pytest
from drawn_anew import Row, outlet, present
from drawn_anew import shop_row as row_of
from totals_anew import WIDE, product_cents

from costplan.model.catalog import Catalog, Kind, Offer, Part, Recipe
from costplan.model.layouts import laid_out
from costplan.model.shop import Shop

RATED = {"small": (3, 16, 200), "large": (5, 24, 300)}
"""Horsepower, input amperes and price of a drive."""
FREE_PANELS = 20


def with_drives(sold: tuple[str, ...] = ("small", "large")) -> Catalog:
    """The wide catalog with both drives, those named on sale."""
    last = max(offer.row for offer in WIDE.offers)
    parts = [
        Part.model_validate(
            {
                "id": name,
                "kind": "drive",
                "name": f"{name} drive",
                "attributes": {
                    "hp": hp,
                    "volts": 240,
                    "output_a": 11 if hp == 3 else 18,
                    "input_a": amps,
                    "efficiency": Decimal("0.96"),
                },
            }
        )
        for name, (hp, amps, _) in RATED.items()
    ]
    offers = [
        Offer.model_validate(
            {
                "part": name,
                "supplier": "store",
                "condition": "new",
                "price": price,
                "per": "each",
                "row": last + row,
            }
        )
        for row, (name, (_, _, price)) in enumerate(RATED.items(), 1)
        if name in sold
    ]
    kind = Kind.model_validate(
        {
            "kind": "drive",
            "attributes": ["hp", "volts", "output_a", "input_a", "efficiency"],
            "portable": True,
        }
    )
    mounted = Recipe.model_validate({"tasks": [{"task": "change-device"}]})
    return WIDE.model_copy(
        update={
            "parts": [*WIDE.parts, *parts],
            "offers": [*WIDE.offers, *offers],
            "kinds": [*WIDE.kinds, kind],
            "recipes": {**WIDE.recipes, "drive": mounted},
        }
    )


def motor(
    name: str, hp: int, place: str, plug: str, drive: str = "", had_at: str = "", by: str = "breaker"
) -> Row:
    """A three-phase machine on a wall drop; with a drive it has the drop that this asks for, where it was.

    Its breaker in sight disconnects it, unless said, so that no plug's horsepower mark counts (NFPA 70 430.102, 430.109(F)).
    """
    row: Row = {"name": name, "at": place, "volts": 240, "phases": 3, "hp": hp, "plug": plug}
    row |= {"disconnected_by": by} if by else {}
    row |= {"ways": {"hard_wired": False, "only": ["wall drop"]}}
    if drive:
        row["now"] = present("wall drop", had_at or place, plug) | {"drive": drive}
    return row


def least(machines: list[Row], catalog: Catalog, layout: Row | None = None, **more: Any) -> int | None:
    """The least total in dollars."""
    row = row_of(machines, more.pop("installed", []), more.pop("shelf", []), FREE_PANELS) | more
    if layout is not None:
        row["layouts"] = [{"name": "idea"} | layout]
    shop = Shop.model_validate(row)
    cents = product_cents(laid_out(shop, shop.layouts[0]) if layout is not None else shop, catalog)
    assert cents is None or cents % 100 == 0
    return None if cents is None else cents // 100


MOUNT = 100
SAFE = 105


def drop(feet: int, dollars_a_foot: int, *, breaker: int = 20) -> int:
    """A new wall drop whose run has so many feet."""
    return feet * dollars_a_foot + 5 + 10 + 300 + breaker


def test_a_drive_stays_on_its_machine_for_nothing() -> None:
    assert least([motor("mill", 3, "A", "NEMA 6-20", "small")], with_drives()) == 0


def test_a_drive_larger_than_its_machine_needs_stays_too_with_its_heavier_circuit() -> None:
    assert least([motor("mill", 3, "A", "NEMA 6-30", "large")], with_drives()) == 0


def test_a_drive_that_nobody_sells_stays_all_the_same() -> None:
    assert least([motor("mill", 3, "A", "NEMA 6-20", "small")], with_drives(())) == 0


def test_a_machine_that_moves_takes_its_drive_along() -> None:
    """A new drop at B, its breaker out of the old one, which is made safe; nothing is mounted."""
    mill = motor("mill", 3, "B", "NEMA 6-20", "small", had_at="A")
    assert least([mill], with_drives()) == drop(20, 1, breaker=0) + SAFE


def test_two_machines_change_places_and_leave_their_drives_where_they_were() -> None:
    """Each mounts the drive of the place it comes to and gets another plug; both drops serve as they are."""
    mill = motor("mill", 3, "B", "NEMA 6-30", "large", had_at="A")
    lathe = motor("lathe", 3, "A", "NEMA 6-20", "small", had_at="B")
    assert least([mill, lathe], with_drives()) == 2 * MOUNT + 2 * 10


def test_the_drive_of_what_is_sold_serves_what_is_brought() -> None:
    mill, lathe = motor("mill", 5, "A", "NEMA 6-30", "large"), motor("lathe", 3, "A", "NEMA 6-30")
    assert least([mill], with_drives(), {"without": ["mill"], "brought": [lathe]}) == MOUNT


def test_the_circuit_is_made_for_the_drive_that_is_taken() -> None:
    """At B a drop of 20 ft of the thick cable with the breaker of A, which is made safe."""
    mill, lathe = motor("mill", 5, "A", "NEMA 6-30", "large"), motor("lathe", 3, "B", "NEMA 6-30")
    expected = MOUNT + drop(20, 2, breaker=0) + SAFE
    assert least([mill], with_drives(), {"without": ["mill"], "brought": [lathe]}) == expected


def test_a_large_drive_on_the_shelf_with_its_heavier_circuit_beats_a_small_one_bought() -> None:
    lathe = motor("lathe", 3, "A", "NEMA 6-30")
    assert least([lathe], with_drives(), shelf=[{"part": "large"}]) == MOUNT + drop(30, 2)


def test_a_small_one_bought_beats_it_where_its_circuit_is_there() -> None:
    lathe, idle = motor("lathe", 3, "A", "NEMA 6-20"), outlet("wall drop", "A", "NEMA 6-20")
    assert least([lathe], with_drives(), shelf=[{"part": "large"}], installed=[idle]) == MOUNT + 200


def test_a_drive_on_the_shelf_serves_though_nobody_sells_any() -> None:
    lathe = motor("lathe", 3, "A", "NEMA 6-30")
    assert least([lathe], with_drives(()), shelf=[{"part": "large"}]) == MOUNT + drop(30, 2)


def test_a_drive_serves_one_machine() -> None:
    """The shelf's serves one of two, and nobody sells another."""
    machines = [motor("lathe", 3, "A", "NEMA 6-30"), motor("mill", 3, "B", "NEMA 6-30")]
    assert least(machines, with_drives(()), shelf=[{"part": "large"}]) is None
    both = least(machines, with_drives(()), shelf=[{"part": "large", "count": 2}])
    assert both == 2 * MOUNT + drop(30, 2) + drop(20, 2)


def test_a_small_drive_never_serves_a_large_machine() -> None:
    mill = motor("mill", 5, "A", "NEMA 6-30")
    assert least([mill], with_drives(), shelf=[{"part": "small"}]) == MOUNT + 300 + drop(30, 2)


@pytest.mark.parametrize("years", [2, 4])
def test_a_drive_stays_on_a_machine_that_moves_later(years: int) -> None:
    """In year 1 the mill leaves and the lathe takes over its drop, with its own drive; A is made safe."""
    lathe = motor("lathe", 3, "A", "NEMA 6-20", "small")
    mill = motor("mill", 3, "B", "NEMA 6-20", "small") | {"leaves": 1}
    events = [{"machine": "lathe", "year": 1, "move": "B"}]
    scenarios = [{"name": "it goes", "weight": "100 %", "events": events}]
    assert least([lathe, mill], with_drives(), scenarios=scenarios, years=years) == SAFE


@pytest.mark.parametrize(("by", "switch"), [("breaker", 0), ("own switch", 140), ("", 140)])
def test_another_plug_ahead_of_a_drive_must_be_marked_for_its_motor(by: str, switch: int) -> None:
    """A 6-30 is usually marked 2 hp, below 3 hp: a disconnect 40 and the work on it, 100 (NFPA 70 430.109(F), from memory).

    Its own switch is behind the drive and disconnects no drive; its breaker in sight does.
    """
    lathe, idle = motor("lathe", 3, "A", "NEMA 6-20", by=by), outlet("wall drop", "A", "NEMA 6-30")
    catalog = _with_switch(with_drives(()))
    found = least([lathe], catalog, shelf=[{"part": "large"}], installed=[idle])
    assert found == MOUNT + 10 + switch


def _with_switch(catalog: Catalog) -> Catalog:
    """The catalog with a disconnect for 40, put in as a device is changed, for 100."""
    rating = {"rating_a": 60, "poles": 2, "volts": 240}
    offer = {
        "part": "switch",
        "supplier": "store",
        "condition": "new",
        "price": 40,
        "per": "each",
        "row": 9999,
    }
    return catalog.model_copy(
        update={
            "kinds": [*catalog.kinds, Kind(kind="disconnect", attributes=list(rating))],
            "parts": [
                *catalog.parts,
                Part.model_validate(
                    {"id": "switch", "kind": "disconnect", "name": "switch", "attributes": rating}
                ),
            ],
            "offers": [*catalog.offers, Offer.model_validate(offer)],
            "recipes": {
                **catalog.recipes,
                "disconnect": Recipe.model_validate({"tasks": [{"task": "change-device"}]}),
            },
        }
    )
