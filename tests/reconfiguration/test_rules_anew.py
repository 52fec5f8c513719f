"""One rule at a time in shops of one or two machines, worked by hand, for product and plain reckoner alike.

Each test names its rule. The rules are common practice among shops and electricians, without a source; the totals are
worked by hand from the invented prices of `drawn_anew` and the tiny example. Feet from the panel, with the 5 ft of each
run or cord: A 30, B 20, C 40, D 25. All of the electrician's tasks are 100, making safe 105.
"""

from dataclasses import replace

import pytest
from drawn_anew import Drawn, machine, outlet, present, with_hanging
from totals_anew import WIDE, both

from costplan.model.catalog import Catalog

HANGING = with_hanging(WIDE)
KIT = 1500
HUNG = 10000
SAFE = 10500
NEW_AT_A = 3000 + 10000 + 500 + 1000 + 10000 + 10000
"""A new drop to A for a saw: 30 ft of 12/2 at 1, 100, box 5, receptacle 10, set 100, land 100; and a breaker."""
BREAKER = 2000
SAW, PLANER = machine("saw", "saw", "A"), machine("planer", "saw", "B")
DRILL = machine("drill", "drill", "A")
CORD_30 = {"part": "cord-12-3", "length": "30 ft", "plug": "NEMA 6-20", "connector": "NEMA 6-20"}
BESIDE = outlet("cord", "A", "NEMA 6-20")


def agreed(drawn: Drawn, catalog: Catalog = WIDE, *, spare: bool = False) -> int | None:
    """The total on which both agree."""
    found, right = both(drawn.row(spare=spare), catalog)
    assert found == right
    return right


# what is taken over ------------------------------------------------------------------------------------


def test_an_outlet_serves_one_machine() -> None:
    drawn = Drawn((SAW, SAW | {"name": "other"}), (present("wall drop", "A", "NEMA 6-20"), None))
    assert agreed(drawn) == NEW_AT_A + BREAKER


def test_thin_wire_serves_no_larger_load_and_thick_wire_a_smaller() -> None:
    on_thick = Drawn((SAW,), (present("wall drop", "A", "NEMA 6-30"),))
    on_thin = Drawn((machine("kiln", "kiln", "A"),), (present("wall drop", "A", "NEMA 6-20"),))
    assert agreed(on_thick) == 10000 + 1000 + 10000 + BREAKER
    # 30 ft of 10/2 at 2, a dollar a foot more than 12/2
    assert agreed(on_thin) == NEW_AT_A + 3000 + BREAKER + SAFE


# spares ------------------------------------------------------------------------------------------------


def test_an_idle_installed_outlet_stays_live_for_nothing() -> None:
    drawn = Drawn((SAW,), (present("wall drop", "A", "NEMA 6-20"),), (outlet("wall drop", "B", "NEMA 5-20"),))
    assert agreed(drawn) == 0


def test_an_idle_installed_outlet_keeps_its_poles_which_spaces_free_does_not_count() -> None:
    full = Drawn((SAW,), (None,), (outlet("wall drop", "B", "NEMA 5-20"),), spaces_free=1)
    assert agreed(full) is None
    assert agreed(replace(full, spaces_free=2)) == NEW_AT_A + BREAKER
    taken_over = replace(full, installed=(outlet("wall drop", "A", "NEMA 6-20"),), spaces_free=0)
    assert agreed(taken_over) == 0


def test_an_idle_installed_outlet_has_the_wire_that_is_told_of_it() -> None:
    """On 10 AWG it serves a kiln with another receptacle and breaker; on what a 6-20 usually has it would not."""
    thick = outlet("wall drop", "A", "NEMA 6-20") | {"awg": "10"}
    assert agreed(Drawn((machine("kiln", "kiln", "A"),), (None,), (thick,))) == 10000 + 1000 + 10000 + BREAKER


def test_an_outlet_that_its_machine_leaves_is_made_safe_and_gives_up_breaker_and_poles() -> None:
    moved = Drawn((SAW,), (present("wall drop", "B", "NEMA 6-20"),), spaces_free=0)
    assert agreed(moved) == NEW_AT_A + SAFE


def test_an_outlet_of_fewer_poles_makes_no_room() -> None:
    assert agreed(Drawn((SAW,), (present("wall drop", "A", "NEMA 5-20"),), spaces_free=0)) is None


def test_an_outlet_that_its_machine_leaves_as_a_spare_stays_live_with_its_breaker() -> None:
    """That it keeps its poles is in `hard_shops`."""
    moved = Drawn((SAW,), (present("wall drop", "B", "NEMA 6-20"),), spaces_free=2)
    assert agreed(moved, spare=True) == NEW_AT_A + BREAKER


def test_a_spare_serves_whoever_comes() -> None:
    """The saw onto the planer's drop; the planer's new one, 10 ft shorter than one to A, with a breaker of its own."""
    drawn = Drawn((PLANER, SAW), (present("wall drop", "A", "NEMA 6-20"), None))
    assert agreed(drawn, spare=True) == NEW_AT_A - 1000 + BREAKER


# receptacles and breakers ------------------------------------------------------------------------------


def test_breakers_are_exchanged_and_receptacles_are_not() -> None:
    """Two runs get each other's breaker, 100 each, and each a receptacle that is bought, 100 and 10."""
    drop_a, drop_b = present("wall drop", "A", "NEMA 6-20"), present("wall drop", "B", "NEMA 5-20")
    assert agreed(Drawn((DRILL, PLANER), (drop_a, drop_b))) == 2 * 10000 + 2 * (10000 + 1000)


def test_a_receptacle_taken_out_of_a_run_goes_into_no_new_outlet_but_a_breaker_does() -> None:
    """Drill at A: receptacle 110, breaker 100 + 10; planer at B: a new drop, 10 ft shorter, with A's breaker."""
    drawn = Drawn((DRILL, PLANER), (present("wall drop", "A", "NEMA 6-20"), None))
    assert agreed(drawn) == 11000 + 11000 + NEW_AT_A - 1000


def test_a_new_outlet_takes_its_receptacle_and_its_breaker_from_the_shelf() -> None:
    bare = Drawn((SAW,), (None,))
    assert agreed(bare) == NEW_AT_A + BREAKER
    assert agreed(replace(bare, shelf=({"part": "receptacle-6-20"},))) == NEW_AT_A + BREAKER - 1000
    assert agreed(replace(bare, shelf=({"part": "breaker-2p-20"},))) == NEW_AT_A


# cords and kits ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("catalog", [WIDE, HANGING], ids=["hung for nothing", "hung for 100"])
def test_a_whole_cord_takes_its_kit_along_and_is_not_hung_anew(catalog: Catalog) -> None:
    """The kiln goes onto the idle drop, the saw takes its outlet beside the panel and its cord."""
    drawn = Drawn(
        (SAW, machine("kiln", "kiln", "C")),
        (None, present("cord", "A", "NEMA 6-20", 40)),
        (outlet("wall drop", "C", "NEMA 6-30"),),
    )
    assert agreed(drawn, catalog) == 0


@pytest.mark.parametrize(("catalog", "work"), [(WIDE, 0), (HANGING, HUNG)])
def test_a_kit_that_is_free_hangs_again_with_the_work_of_hanging(catalog: Catalog, work: int) -> None:
    """The planer's cord is too short for the saw: 30 ft of cable bought, half of it back, the planer's ends and kit."""
    drawn = Drawn(
        (SAW, PLANER),
        (None, present("cord", "B", "NEMA 6-20", 20)),
        (outlet("wall drop", "B", "NEMA 6-20"),),
    )
    assert agreed(drawn, catalog) == 6000 - 3000 + work


@pytest.mark.parametrize("catalog", [WIDE, HANGING], ids=["hung for nothing", "hung for 100"])
def test_a_kit_serves_its_own_machine_first(catalog: Catalog) -> None:
    """The planer needs 40 ft at C, bought, half of it back; its outlet, ends and kit stay."""
    drawn = Drawn((machine("planer", "saw", "C"),), (present("cord", "A", "NEMA 6-20", 30),))
    assert agreed(drawn, catalog) == 8000 - 4000


def test_a_cord_its_ends_and_its_kit_serve_one_machine() -> None:
    """Whoever has the cord that is there, the other buys 30 ft at 2, half of it back, plug 10, connector 20, kit 15."""
    drawn = Drawn((SAW, SAW | {"name": "other"}), (None, present("cord", "A", "NEMA 6-20", 30)), (BESIDE,))
    assert agreed(drawn) == 6000 - 3000 + 1000 + 2000 + KIT


@pytest.mark.parametrize(("catalog", "work"), [(WIDE, 0), (HANGING, HUNG)])
def test_a_cord_off_the_shelf_has_no_kit(catalog: Catalog, work: int) -> None:
    assert agreed(Drawn((SAW,), (None,), (BESIDE,), (CORD_30,)), catalog) == KIT + work


def test_two_like_cords_on_the_shelf_serve_two_machines() -> None:
    two = (CORD_30 | {"count": 2},)
    assert agreed(Drawn((SAW, SAW | {"name": "other"}), (None, None), (BESIDE, BESIDE), two)) == 2 * KIT
