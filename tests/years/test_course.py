"""Wear, care and departures over the years."""

from decimal import Decimal
from typing import Any

import pytest
from strategies import KINDS, SAW, make_catalog, make_shop, move, scenario

from costplan.circuits.circuit import Builder
from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way
from costplan.ledger.aging import begun, follow, inner_uses
from costplan.model.choices import Family, Method, Service
from costplan.years.calendar import lives
from costplan.years.course import stream

CORD = Way(Method.CORD, "panel", Family.STRAIGHT, Decimal(0), False, Service.HARD)
DROP = Way(Method.WALL, "panel", Family.STRAIGHT)
CARE = {"yearly cord care": {"tasks": [{"task": "wire-plug"}]}}


def dates(
    way: Way, *events: dict[str, Any], life: int | None = None, care: bool = False, years: int = 6
) -> list[tuple[int, str]]:
    kinds = [kind | {"life": life} if kind["kind"] == "cord" and life else kind for kind in KINDS]
    shop = make_shop([SAW], scenarios=[scenario(*events)], years=years)
    facts = Facts(shop, make_catalog(kinds=kinds, recipes=CARE if care else {}))
    fate = lives(shop, shop.scenarios[0])["saw"]
    known = stream(Builder(facts, facts.machines["saw"], way), {"as planned": fate})
    found = {(deed.date[0], deed.why) for deed in known.deeds}
    for use in known.uses:
        found.add((use.since[0], use.why))
        found |= {(end.date[0], "ends") for _, end in use.ends if end is not None}
        for worn in (use, *inner_uses(use)):
            renewals, _ = follow(worn, "as planned", *begun(facts, worn), years)
            kind = worn.thing.item.spec.kind
            found |= {(year, f"the {kind} is worn out") for year, _ in renewals}
    return sorted(found)


def test_a_cord_is_replaced_when_worn_but_not_in_the_last_year() -> None:
    assert dates(CORD, life=3) == [(0, "is here today"), (3, "the cord is worn out")]


def test_a_new_cable_after_a_move_starts_a_new_life() -> None:
    found = dates(CORD, move(2, "saw", "bench C"), life=3)
    assert found == [
        (0, "is here today"),
        (2, "ends"),
        (2, "moves to bench C"),
        (5, "the cord is worn out"),
    ]


def test_a_kept_cable_goes_on_wearing_after_a_move() -> None:
    found = dates(CORD, move(2, "saw", "bench B"), life=3)
    assert (3, "the cord is worn out") in found


def test_a_drop_never_wears_and_needs_no_care() -> None:
    assert dates(DROP, life=2, care=True) == [(0, "is here today")]


def test_a_cord_is_cared_for_every_year() -> None:
    cared = [year for year, why in dates(CORD, care=True, years=3) if why == "yearly care of the cord"]
    assert cared[-3:] == [1, 2, 3]


def test_nothing_happens_after_a_machine_has_left() -> None:
    found = dates(CORD, {"year": 2, "machine": "saw", "leaves": True}, life=3, care=True)
    assert max(year for year, _ in found) == 2
    assert found[-1] == (2, "yearly care of the cord")
    assert (2, "ends") in found


@pytest.mark.parametrize(
    ("events", "shared"),
    [
        ([], [(0, True)]),
        ([move(2, "saw", "bench C")], [(0, False), (2, False)]),
        ([{"year": 2, "shop_moves": True}], [(0, True), (2, True)]),
    ],
)
def test_turns_share_todays_outlets_that_are_kept_to_the_end_or_until_the_shop_moves(
    events: list[dict[str, Any]], shared: list[tuple[int, bool]]
) -> None:
    """An outlet that one of them leaves is no longer there for both, but all is made anew where the shop moves to."""
    shop = make_shop([SAW | {"takes_turns": "one hand"}], scenarios=[scenario(*events)])
    facts = Facts(shop, make_catalog())
    fate = lives(shop, shop.scenarios[0])["saw"]
    known = stream(Builder(facts, facts.machines["saw"], DROP), {"as planned": fate})

    outlets = [use for use in known.uses if use.thing.item.spec.kind == "outlet"]
    assert [(use.since[0], use.thing.shared_by is not None) for use in outlets] == shared
    assert all(use.thing.shared_by == ("one hand", "panel") for use in outlets if use.thing.shared_by)


def test_what_a_cord_hung_from_is_set_free_once_today_whatever_the_scenarios() -> None:
    """One overhead kit is there, so one is free for others; today is the same day in every scenario (no source: a count)."""
    cord = {"length": "40 ft", "awg": "12", "conductors": 3, "volts": 600, "service": "hard"}
    now = {
        "method": "cord",
        "panel": "panel",
        "configuration": "NEMA 6-20",
        "breaker": 20,
        "awg": "12",
        "cord": cord,
    }
    calm, busy = (
        scenario(name="calm", weight="0.5"),
        scenario(move(2, "saw", "bench C"), name="busy", weight="0.5"),
    )
    facts = Facts(make_shop([SAW | {"now": now}], scenarios=[calm, busy]), make_catalog())
    fate = {known.name: lives(facts.shop, known)["saw"] for known in facts.shop.scenarios}
    known = stream(Builder(facts, facts.machines["saw"], DROP), fate)

    kits = [given for given in known.given if given.left.item.spec.kind == "kit"]
    assert [(given.scenario, given.date) for given in kits] == [("", (0, 0))]
    assert [left.item.spec.kind for left in known.given_today()] == ["kit"]
