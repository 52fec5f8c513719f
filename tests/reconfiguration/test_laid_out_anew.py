"""The plain reckoner of shops laid out anew: shops worked by hand, and properties that any right answer has.

COSTPLAN_SOAK=500 draws so many shops instead of a few.
"""

import ast
import os
from dataclasses import replace
from pathlib import Path

import pytest
from drawn_anew import (
    PLACES,
    Drawn,
    machine,
    outlet,
    present,
    shop_of,
    shops,
    tiny_catalog,
    wide_catalog,
)
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from laid_out_anew import NotReckonedError, Reading, lay_out

from costplan.model.loading import load_shop

HERE = Path(__file__).parent
TINY, WIDE = tiny_catalog(), wide_catalog()
KIT_CENTS = 1500
EXAMPLES = int(os.environ.get("COSTPLAN_SOAK", "30"))
BY_HAND = {
    "s1": 0,  # two machines on equal drops change places: unplug, plug in
    "s2": 0,  # one on a drop and one on a cord change places: each takes the other's outlet, cord and kit stay
    "s3": 0,  # two on cords of 30 and 40 ft change places: the cords are exchanged
    "s4": 0,  # a place that needs 40 ft, and a remnant of 40 ft on the shelf: the ends go onto it
    "s5": 46000,  # run 40 + 100, receptacle 10, box 5, set 100, breaker kept and landed 100, old drop safe 105
    "s6": 23000,  # receptacle changed 100, breaker 100 + 20, plug 10, cable kept
    "s6w": 22000,  # receptacle changed 100, breaker 100 + 20, run kept
    "s8": 46000,  # new run with the other's freed breaker 355, the other's old drop safe 105
    "s10": 12000,  # kit 15, old drop safe 105
    "s11": 44500,  # outlet beside the panel 10 + 100 + 10 + 5 + 100 + 100, kit 15, old drop safe 105
    "s13": 42000,  # two receptacles changed and bought 220, two breakers exchanged 200
}
"""Totals in cents of the shops in `shops/`, worked by hand from the prices of the tiny example."""
RECEPTACLES_ARE_BOUGHT = Reading(taken_out_receptacles_serve=False)
"""How the shops were worked by hand; it matters in s13 only."""


def total(drawn_row: dict[str, object], reading: Reading | None = None) -> int | None:
    found = lay_out(shop_of(drawn_row), WIDE, reading)
    return None if found is None else found.total_cents


@pytest.mark.parametrize("name", BY_HAND)
def test_a_shop_comes_out_as_by_hand(name: str) -> None:
    shop, problems = load_shop(HERE / "shops" / f"{name}.yaml")
    assert shop is not None, problems
    found = lay_out(shop, TINY, RECEPTACLES_ARE_BOUGHT)
    assert found is not None
    assert found.total_cents == BY_HAND[name], str(found)


@pytest.mark.parametrize("name", BY_HAND)
def test_receptacles_that_are_taken_out_serve_where_two_are_exchanged(name: str) -> None:
    shop, problems = load_shop(HERE / "shops" / f"{name}.yaml")
    assert shop is not None, problems
    found = lay_out(shop, TINY)
    assert found is not None
    assert BY_HAND[name] - found.total_cents == (2000 if name == "s13" else 0), str(found)


def test_every_shop_worked_by_hand_is_there() -> None:
    assert {path.stem for path in (HERE / "shops").glob("*.yaml")} == set(BY_HAND)


def test_nothing_of_what_it_is_to_check_is_imported() -> None:
    for module in ("laid_out_anew.py", "prices_anew.py", "drawn_anew.py"):
        found = {
            name
            for node in ast.walk(ast.parse((HERE / module).read_text()))
            for name in (
                [alias.name for alias in node.names]
                if isinstance(node, ast.Import)
                else [node.module or ""]
                if isinstance(node, ast.ImportFrom)
                else []
            )
            if name.startswith("costplan")
        }
        assert all(name.startswith("costplan.model.") for name in found), found


SAW = machine("saw", "saw", "A")


def test_a_whole_cord_takes_its_kit_along_and_leaves_its_machine_without() -> None:
    """The drill stays on its cord's outlet and place in each; who has the kit is all that differs."""
    long = present("cord", "A", "NEMA 6-20", 40)
    stays_fixed = Drawn(
        (SAW, machine("kiln", "kiln", "C")), (None, long), (outlet("wall drop", "C", "NEMA 6-30"),)
    )
    found = lay_out(shop_of(stays_fixed.row()), WIDE)
    assert found is not None
    assert found.total_cents == 0
    assert any("whole, with its kit" in line.what for line in found.lines)


def test_a_cord_off_the_shelf_has_no_kit() -> None:
    cord = {"part": "cord-12-3", "length": "30 ft", "plug": "NEMA 6-20", "connector": "NEMA 6-20"}
    drawn = Drawn((SAW,), (None,), (outlet("cord", "A", "NEMA 6-20"),), (cord,))
    assert total(drawn.row()) == KIT_CENTS


def test_two_like_cords_on_the_shelf_serve_two_machines() -> None:
    cord = {"part": "cord-12-3", "length": "30 ft", "plug": "NEMA 6-20", "connector": "NEMA 6-20", "count": 2}
    beside = outlet("cord", "A", "NEMA 6-20")
    drawn = Drawn((SAW, SAW | {"name": "other"}), (None, None), (beside, beside), (cord,))
    assert total(drawn.row()) == 2 * KIT_CENTS


def test_an_outlet_serves_one_machine() -> None:
    drawn = Drawn((SAW, SAW | {"name": "other"}), (present("wall drop", "A", "NEMA 6-20"), None))
    # 30 ft of 12/2, 100, box 5, receptacle 10, 100, breaker 20, 100
    assert total(drawn.row()) == 3000 + 10000 + 500 + 1000 + 10000 + 2000 + 10000


def test_a_cord_its_ends_and_its_kit_serve_one_machine() -> None:
    """Whoever has the cord that is there, the other buys 30 ft at 2, half of it back, plug 10, connector 20, kit 15."""
    beside = outlet("cord", "A", "NEMA 6-20")
    drawn = Drawn((SAW, SAW | {"name": "other"}), (None, present("cord", "A", "NEMA 6-20", 30)), (beside,))
    assert total(drawn.row()) == 6000 - 3000 + 1000 + 2000 + KIT_CENTS


def test_thin_wire_serves_no_larger_load_and_thick_wire_a_smaller() -> None:
    kiln, saw = machine("kiln", "kiln", "A"), SAW
    on_thick = Drawn((saw,), (present("wall drop", "A", "NEMA 6-30"),))
    on_thin = Drawn((kiln,), (present("wall drop", "A", "NEMA 6-20"),))
    assert total(on_thick.row()) == 10000 + 1000 + 10000 + 2000
    # 30 ft of 10/2 at 2, 100, box 5, receptacle 10, 100, breaker 20, 100; the thin drop made safe 105
    assert total(on_thin.row()) == 6000 + 10000 + 500 + 1000 + 10000 + 2000 + 10000 + 10500


def test_an_idle_outlet_is_made_safe_or_stays_and_takes_its_poles() -> None:
    drawn = Drawn((SAW,), (present("wall drop", "A", "NEMA 6-20"),), (outlet("wall drop", "B", "NEMA 5-20"),))
    stays = Reading(idle_installed_made_safe=False)
    assert total(drawn.row()) == 10500
    assert total(drawn.row(), stays) == 0
    full = replace(drawn, now=(None,), spaces_free=0)
    assert total(full.row(), stays) is None
    one_more = replace(full, spaces_free=2)
    assert total(one_more.row(), stays) is not None


def test_poles_of_what_is_made_safe_are_free_again() -> None:
    moved = Drawn((SAW,), (present("wall drop", "B", "NEMA 6-20"),), spaces_free=0)
    assert total(moved.row()) is not None
    larger = Drawn((SAW,), (present("wall drop", "A", "NEMA 5-20"),), spaces_free=0)
    assert total(larger.row()) is None


@settings(max_examples=EXAMPLES)
@given(shops(thick=False, methods=st.just("wall drop")))
def test_drops_cost_the_same_by_now_and_by_installed(drawn: Drawn) -> None:
    assert total(drawn.row()) == total(drawn.row_without_now())


@settings(max_examples=EXAMPLES)
@given(shops(thick=False))
def test_cords_cost_the_same_by_now_and_by_the_shelf_but_for_their_kits(drawn: Drawn) -> None:
    by_now, by_shelf = total(drawn.row()), total(drawn.row_without_now())
    if by_now is None or by_shelf is None:
        assert by_now is by_shelf is None
    else:
        assert by_now <= by_shelf <= by_now + KIT_CENTS * drawn.on_cords


@settings(max_examples=EXAMPLES)
@given(shops(methods=st.just("wall drop")), st.randoms(use_true_random=False))
def test_who_has_which_drop_today_is_the_same(drawn: Drawn, random: object) -> None:
    order = list(range(len(drawn.now)))
    random.shuffle(order)  # type: ignore[attr-defined]
    exchanged = replace(drawn, now=tuple(drawn.now[i] for i in order))
    assert total(drawn.row()) == total(exchanged.row())


@settings(max_examples=EXAMPLES)
@given(shops(), st.sampled_from(["breaker-1p-20", "breaker-2p-20", "receptacle-5-20", "plug-6-20"]))
def test_one_thing_more_on_the_shelf_never_costs_more(drawn: Drawn, part: str) -> None:
    more = replace(drawn, shelf=(*drawn.shelf, {"part": part}))
    before, after = total(drawn.row()), total(more.row())
    assert (before is None) == (after is None)
    assert before is None or after is None or after <= before


@settings(max_examples=EXAMPLES)
@given(shops(), PLACES)
def test_a_shop_that_is_laid_out_as_told_costs_nothing(drawn: Drawn, place: str) -> None:
    """Every machine has just what it asks for, where it asks for it."""
    assume(all(now is not None for now in drawn.now))
    now = tuple(
        present(had["method"], machine["at"], machine["plug"], 40)
        for had, machine in zip(drawn.now, drawn.machines, strict=True)
        if had is not None
    )
    assert total(replace(drawn, now=now, installed=()).row()) == 0


def test_what_it_cannot_reckon_is_refused() -> None:
    row = Drawn((SAW,), (None,)).row()
    later = row | {"scenarios": [{"name": "busy", "weight": 1, "events": []}]}
    with pytest.raises(NotReckonedError):
        lay_out(shop_of(later), WIDE)
    other = row | {"machines": [SAW | {"amps": "9 A"}]}
    with pytest.raises(NotReckonedError):
        lay_out(shop_of(other), WIDE)
