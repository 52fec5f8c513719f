"""Outlets of fixed drops over the years: left live, taken over, moved along, made safe, taken out at a lease's end.

The rules are this tool's own; every figure is invented.
"""

from decimal import Decimal
from typing import Any

import pytest
from strategies import DRILL, LATHE, PANEL, SAW, make_catalog, make_shop, move, ranked, scenario

from costplan.circuits.circuit import Builder
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle, Item, StockNeed, make_spec
from costplan.circuits.outlet_key import DISCONNECT, OutletKey, Wired
from costplan.circuits.outlets import ends_to_change, outlet_item
from costplan.circuits.ways import Way
from costplan.ledger.lines import LineKind
from costplan.ledger.options import survey
from costplan.model.choices import Family, Method
from costplan.model.shop import Shop
from costplan.program.ranked import Ranked
from costplan.standards.conductors import awg_rank
from costplan.studies.hinges import turns_on_capped_runs
from costplan.years.calendar import lives
from costplan.years.course import stream
from costplan.years.stream import Stream

Row = dict[str, Any]
DROP = Way(Method.WALL, "panel", Family.STRAIGHT)
MOVED_ALONG = Way(Method.WALL, "panel", Family.STRAIGHT, relocated=True)
ONLY = {"ways": {"only": ["wall drop"], "hard_wired": False}}
MOVED = {"move wall drop": {"tasks": [{"task": "run-cable"}, {"task": "foot-of-cable", "per": "ft"}]}}
TAKE_OUT = {
    "take out": {
        "tasks": [
            {"task": "make-safe"},
            {"task": "foot-of-cable", "per": "ft"},
            {"task": "set-outlet", "per": "end"},
        ]
    }
}
SMALL = dict.fromkeys(("conduit drop", "armored drop", "ceiling outlet"), "left out to keep the test small")
PLAIN = {"patching": False, "forbid": SMALL}
LEASE = PLAIN | {"lease": {"ends": 3, "take_out": True}}
CAPPED_TOO = PLAIN | {"lease": {"ends": 3, "take_out": True, "capped_too": True}}
SHOP_MOVES = {"year": 2, "shop_moves": True}
NOW = {
    "method": "wall drop",
    "panel": "panel",
    "configuration": "NEMA 6-20",
    "breaker": 20,
    "awg": "12",
}


def drops(*machines: Row, events: tuple[Row, ...] = (), **more: Any) -> Shop:
    return make_shop([machine | ONLY for machine in machines], scenarios=[scenario(*events)], **more)


def best(shop: Shop, **catalog: Any) -> Ranked:
    return ranked(shop, make_catalog(**catalog))[0]


def work(found: Ranked, year: int) -> dict[str, float]:
    """Tasks of a year with their quantities."""
    done: dict[str, float] = {}
    for line in found.lines:
        if line.kind is LineKind.LABOR and line.year == year:
            done[line.task] = done.get(line.task, 0) + float(line.quantity or 0)
    return done


def years_of(found: Ranked, kind: LineKind) -> list[int]:
    return sorted(line.year for line in found.lines if line.kind is kind)


def outlets_used_again(found: Ranked) -> list[tuple[Any, Any]]:
    """When each was set free, and when used again."""
    return [(r.since, r.use.since) for r in found.plan.reused if r.item.spec.kind == "outlet"]


def streamed(shop: Shop, way: Way = DROP, **catalog: Any) -> Stream:
    facts = Facts(shop, make_catalog(**catalog))
    fate = {known.name: lives(facts.shop, known)["saw"] for known in facts.shop.scenarios}
    return stream(Builder(facts, facts.machines["saw"], way), fate)


def outlet_dates(known: Stream) -> list[tuple[int, int]]:
    return [use.since for use in known.uses if use.thing.item.spec.kind == "outlet"]


# left live and taken over -----------------------------------------------------------------------------


def test_coming_back_to_an_outlet_takes_nothing_but_moving_the_machine() -> None:
    found = best(drops(SAW, events=(move(1, "saw", "bench C"), move(3, "saw", "bench A")), years=5))
    assert work(found, 3) == {"move-machine": 1, "make-safe": 1}  # of the outlet at bench C, for good
    assert years_of(found, LineKind.PERMIT) == [0, 1]


@pytest.mark.parametrize("back", ["bench A", "bench C"])
def test_several_moves_of_a_year_are_steps(back: str) -> None:
    """a -> c -> a within a year are two moves; a -> c -> c is one."""
    shop = drops(SAW, events=(move(2, "saw", "bench C"), move(2, "saw", back)))
    dates = [(0, 0), (2, 0), (2, 1)] if back == "bench A" else [(0, 0), (2, 0)]
    assert outlet_dates(streamed(shop)) == dates
    assert work(best(shop), 2)["move-machine"] == len(dates) - 1


def test_an_outlet_left_in_one_step_serves_in_a_later_step_of_the_year() -> None:
    found = best(drops(SAW, events=(move(2, "saw", "bench C"), move(2, "saw", "bench A"))))
    assert outlets_used_again(found) == [((2, 0), (2, 1))]


def outlet(breaker_at_most: int = 20, **changes: Any) -> Item:
    """An outlet as it stands, or as it is asked for."""
    key: Row = {
        "building": 0,
        "place": "bench A",
        "panel": "panel",
        "run": Method.WALL,
        "end": "NEMA 6-20",
        "poles": 2,
    }
    wired: Row = {"awg": "12", "conductors": 2, "breaker_a": 20, "protects": False, "disconnect_a": 0}
    wired |= {name: changes.pop(name) for name in (*wired, "grounded", "protected_end") if name in changes}
    wired["awg"] = awg_rank(wired["awg"])
    return outlet_item(
        OutletKey(**(key | changes), wired=Wired(**wired, breaker_most_a=Decimal(breaker_at_most)))
    )


@pytest.mark.parametrize(
    ("change", "good"),
    [
        ({}, True),
        ({"awg": "10"}, True),
        ({"awg": "14"}, False),
        ({"conductors": 3}, True),
        ({"conductors": 1}, False),
        ({"breaker_a": 15}, False),
        ({"breaker_a": 30, "breaker_at_most": 30}, False),
        ({"protects": True}, True),
        ({"place": "bench B"}, False),
        ({"panel": "other"}, False),
        ({"run": Method.ARMORED}, False),
        ({"end": "NEMA 6-30"}, False),
        ({"poles": 1}, False),
        ({"building": 1}, False),
        ({"grounded": True}, True),
        ({"protected_end": True}, True),
        ({"quote": "by others"}, False),
        ({"end": DISCONNECT, "disconnect_a": 30}, False),
    ],
)
def test_which_outlets_stand_in_for_another(change: Row, good: bool) -> None:
    """Same panel, run, ending and poles; wire and protection at least as asked; a breaker within bounds."""
    assert outlet(**change).serves(outlet()) == good


@pytest.mark.parametrize(("rating_a", "good"), [(15, False), (20, True), (30, True)])
def test_a_disconnect_that_is_too_small_is_changed_for_whoever_comes(rating_a: int, good: bool) -> None:
    there, asked = (outlet(end=DISCONNECT, disconnect_a=amps) for amps in (rating_a, 20))
    ends = tuple(StockNeed(Item(make_spec(kind)), Bundle()) for kind in ("disconnect", "breaker"))
    changed = ends_to_change(there, StockNeed(asked, Bundle(), ends=ends), worn=False)
    assert there.serves(asked) == good
    assert [end.item.spec.kind for end in changed] == ([] if good else ["disconnect"])


def test_an_outlet_without_ground_fault_protection_does_not_serve_who_needs_it() -> None:
    assert not outlet().serves(outlet(protects=True))


def test_the_outlet_a_machine_leaves_is_what_it_was_made_as() -> None:
    known = streamed(drops(SAW, events=(move(1, "saw", "bench C"),)))
    first = next(use for use in known.uses if use.thing.item.spec.kind == "outlet")
    end = first.ends[0][1]
    assert end is not None
    assert end.left is not None
    assert end.left.item.serves(first.thing.item)
    assert (end.left.panel, end.left.poles) == ("panel", 2)


@pytest.mark.parametrize(("spaces", "waits"), [(4, True), (2, False)])
def test_an_outlet_that_waits_live_takes_its_poles(spaces: int, waits: bool) -> None:
    """Two poles are free: with the outlet at bench A waiting, there is none for another at bench C."""
    events = (move(1, "saw", "bench C"), move(3, "saw", "bench A"))
    panel = PANEL | {"spaces_free": spaces}
    found = best(drops(SAW, events=events, years=5, panels=[panel]))
    assert outlets_used_again(found) == ([((1, 0), (3, 0))] if waits else [])


# made safe --------------------------------------------------------------------------------------------


def breakers_bought(found: Ranked) -> list[int]:
    return sorted(line.year for line in found.lines if line.kind is LineKind.PART and "breaker" in line.what)


def test_what_nobody_takes_over_is_made_safe_in_the_year_it_is_left_and_its_breaker_serves_again() -> None:
    found = best(drops(SAW, events=(move(2, "saw", "bench C"),)))
    assert work(found, 2)["make-safe"] == 1
    assert work(found, 2)["land-in-panel"] == 1
    assert breakers_bought(found) == [0]


def test_a_breaker_of_an_outlet_that_is_not_made_safe_is_not_free() -> None:
    building = PLAIN | {"make_safe": False}
    found = best(drops(SAW, events=(move(2, "saw", "bench C"),), building=building))
    assert breakers_bought(found) == [0, 2]
    assert "make-safe" not in work(found, 2)


@pytest.mark.parametrize("safe", [True, False])
def test_what_is_not_made_safe_stays_until_the_lease_has_it_taken_out(safe: bool) -> None:
    """Left in year 1; made safe it is gone, else it is taken out in year 3 beside the one in use."""
    building = LEASE | {"make_safe": safe}
    found = best(
        drops(SAW, events=(move(1, "saw", "bench C"),), building=building, years=3), recipes=TAKE_OUT
    )
    assert work(found, 1).get("make-safe", 0) == (1 if safe else 0)
    assert work(found, 3)["foot-of-cable"] == (35 if safe else 35 + 25)


# taken out at the lease's end -------------------------------------------------------------------------


def test_taking_out_counts_runs_feet_and_ends() -> None:
    """The run to bench A is laid over 25 ft; the 5 ft more that were bought for its ends are no work by the foot."""
    found = best(drops(SAW, building=LEASE, years=3), recipes=TAKE_OUT)
    assert work(found, 3) == {"make-safe": 1, "foot-of-cable": 25, "set-outlet": 2}
    assert years_of(found, LineKind.CALL_OUT) == [0, 3]
    assert years_of(found, LineKind.PERMIT) == [0, 3]  # feet of cable and outlets need one here


def test_taking_out_needs_a_permit_only_where_its_tasks_do() -> None:
    plain = {"take out": {"tasks": [{"task": "make-safe"}]}}
    found = best(drops(SAW, building=LEASE, years=3), recipes=plain)
    assert years_of(found, LineKind.CALL_OUT) == [0, 3]
    assert years_of(found, LineKind.PERMIT) == [0]


def test_a_lease_that_asks_for_nothing_takes_nothing_out() -> None:
    found = best(drops(SAW, building=PLAIN | {"lease": {"ends": 3}}), recipes=TAKE_OUT)
    assert work(found, 3) == {}


@pytest.mark.parametrize("moves", [2, 3])
def test_a_shop_that_moves_by_the_end_of_the_lease_has_it_taken_out_at_the_end(moves: int) -> None:
    """What was made in the first building is taken out when that lease ends; the new building has no lease."""
    shop_moves = SHOP_MOVES | {"year": moves}
    found = best(drops(SAW, events=(shop_moves,), building=LEASE, years=6), recipes=TAKE_OUT)
    taken = {year: work(found, year).get("make-safe", 0) for year in range(7)}
    assert taken == {0: 0, 1: 0, 2: 0, 3: 1, 4: 0, 5: 0, 6: 0}


def test_what_was_made_safe_before_is_not_taken_out() -> None:
    events = (move(1, "saw", "bench C"), move(2, "saw", "bench A"))
    found = best(drops(SAW, events=events, building=LEASE, years=3), recipes=TAKE_OUT)
    assert work(found, 2)["make-safe"] == 1  # bench C
    assert work(found, 3) == {"make-safe": 1, "foot-of-cable": 25, "set-outlet": 2}


def test_what_was_made_safe_before_is_taken_out_once_where_the_landlord_wants_that_too() -> None:
    """By hand: bench A's run of 25 ft in use and bench C's of 35 ft, capped in year 2: the recipe twice, each by its feet."""
    events = (move(1, "saw", "bench C"), move(2, "saw", "bench A"))
    found = best(drops(SAW, events=events, building=CAPPED_TOO, years=3), recipes=TAKE_OUT)
    assert work(found, 2)["make-safe"] == 1  # bench C
    assert work(found, 3) == {"make-safe": 2, "foot-of-cable": 25 + 35, "set-outlet": 4}


def test_what_turns_on_capped_runs_is_said_until_it_is_answered() -> None:
    """By hand, at 0 %: 1 + 35 x 0.1 + 2 hours at 100.00; call-out and permit are had for bench A's run in any case."""
    events = (move(1, "saw", "bench C"), move(2, "saw", "bench A"))

    def said(lease: Row) -> list[str]:
        money = {"discount_rate": "0 %"}
        shop = drops(SAW, events=events, building=PLAIN | {"lease": lease}, years=3, money=money)
        return list(
            turns_on_capped_runs(Facts(shop, make_catalog(recipes=TAKE_OUT)), best(shop, recipes=TAKE_OUT))
        )

    (words,) = said({"ends": 3, "take_out": True})
    assert "this plan costs USD 650.00 more" in words
    assert said({"ends": 3, "take_out": True, "capped_too": False}) == []
    assert said({"ends": 3}) == []


def test_what_is_made_safe_today_is_taken_out_in_every_scenario_at_its_own_end() -> None:
    """By hand: the saw's drop of 25 ft at bench A is left today, for the cord; the cord's own outlet is a run of 0 ft.

    Out in year 3 in one scenario; in the other the lease runs on beyond the plan and nothing comes out.
    """
    on_cord = {"ways": {"only": ["cord"], "hard_wired": False}}
    scenarios = [
        scenario(name="out in time", weight="40 %"),
        scenario(name="runs on", weight="60 %") | {"lease_ends": 9},
    ]
    shop = make_shop([SAW | on_cord | {"now": NOW}], scenarios=scenarios, building=CAPPED_TOO, years=3)
    found = best(shop, recipes=TAKE_OUT)
    assert work(found, 0)["make-safe"] == 1
    out = [line for line in found.lines if line.year == 3 and line.kind is LineKind.LABOR]
    assert {line.scenario for line in out} == {"out in time"}
    assert work(found, 3)["make-safe"] == 2  # the capped drop, and the cord's outlet
    assert work(found, 3)["foot-of-cable"] == 25


def test_an_outlet_that_waits_live_at_the_end_of_a_lease_that_is_renewed_is_used_again() -> None:
    """The lease would end in year 3, but the saw works there to year 6: nothing comes out under it before it is gone."""
    events = (move(2, "saw", "bench C"), move(4, "saw", "bench A"))
    found = best(drops(SAW, events=events, building=LEASE, years=6), recipes=TAKE_OUT)
    assert outlets_used_again(found) == [((2, 0), (4, 0))]
    assert "foot-of-cable" not in work(found, 3)
    assert work(found, 6)["foot-of-cable"] == 25
    assert work(found, 4)["make-safe"] == 1  # bench C


@pytest.mark.parametrize(("ends", "taken"), [(None, [6]), (5, [5]), (6, [6]), (7, [])])
def test_a_scenario_says_when_the_lease_ends_in_it(ends: int | None, taken: list[int]) -> None:
    """The saw leaves in year 5; a lease that nobody says is renewed counts so to then, and 7 is after the plan."""
    events = () if ends is None or ends > 5 else ({"year": 5, "machine": "saw", "leaves": True},)
    course = scenario(*events) | ({} if ends is None else {"lease_ends": ends})
    shop = make_shop([SAW | ONLY], scenarios=[course], building=LEASE, years=6)
    found = best(shop, recipes=TAKE_OUT)
    assert [year for year in range(1, 7) if "make-safe" in work(found, year)] == taken
    assert all(work(found, year)["foot-of-cable"] == 25 for year in taken)


def test_what_the_last_machine_leaves_comes_out_without_being_made_safe_first() -> None:
    """One task of the take-out, none of making safe beside it; the lease would have ended in year 3."""
    leaves = {"year": 4, "machine": "saw", "leaves": True}
    found = best(drops(SAW, events=(leaves,), building=LEASE, years=6), recipes=TAKE_OUT)
    assert work(found, 4) == {"make-safe": 1, "foot-of-cable": 25, "set-outlet": 2}


@pytest.mark.parametrize(("turns", "circuits"), [({"takes_turns": "by hand"}, 1), ({}, 2)])
def test_a_shared_outlet_is_taken_out_once(turns: Row, circuits: int) -> None:
    """Two saws on one outlet by turns are one circuit; without turns each has its own."""
    shop = drops(SAW | turns, SAW | turns | {"name": "other saw"}, building=LEASE, years=3)
    found = best(shop, recipes=TAKE_OUT)
    assert work(found, 3) == {
        "make-safe": circuits,
        "foot-of-cable": 25 * circuits,
        "set-outlet": 2 * circuits,
    }


@pytest.mark.parametrize(("turns", "circuits"), [({"takes_turns": "by hand"}, 1), ({}, 2)])
def test_machines_that_take_turns_share_in_the_building_that_the_shop_moves_to(
    turns: Row, circuits: int
) -> None:
    """Their owner's word on turns holds there too: one run in place of two, as today."""
    shop = drops(SAW | turns, SAW | turns | {"name": "other saw"}, events=(SHOP_MOVES,), years=5)
    found = best(shop)
    assert work(found, 2)["run-cable"] == work(found, 0)["run-cable"] == circuits
    assert breakers_bought(found).count(2) == circuits


def test_present_wiring_is_taken_out_by_its_own_length() -> None:
    """Its outlet is at bench E, 30 ft from the panel; the machine stands within its cord's reach."""
    shop = drops(SAW | {"now": NOW | {"place": "bench E"}, "own_cord": 25}, building=LEASE, years=3)
    assert work(best(shop, recipes=TAKE_OUT), 3)["foot-of-cable"] == 30


def test_a_run_whose_ends_are_changed_from_elsewhere_keeps_its_length() -> None:
    """The saw moves to bench C, 20 ft away and within its cord's reach, and is retooled: the run stays 25 ft."""
    retool = {"year": 1, "machine": "saw", "retool": {"volts": 120, "amps": 16}}
    shop = drops(SAW | {"own_cord": 25}, events=(move(1, "saw", "bench C"), retool), building=LEASE, years=3)
    found = best(shop, recipes=TAKE_OUT)
    assert "run-cable" not in work(found, 1)
    assert work(found, 3)["foot-of-cable"] == 25


# walls ------------------------------------------------------------------------------------------------

WALLS = {
    "flush panel": {"tasks": [{"task": "change-device", "per": "visit"}]},
    "rated wall": {"tasks": [{"task": "make-safe"}]},
}


@pytest.mark.parametrize(
    ("flush", "walls", "opened", "sealed"),
    [(None, None, 0, 0), (False, 0, 0, 0), (True, 1, 1, 2), (True, 3, 1, 6)],
)
def test_a_flush_panel_is_opened_once_a_visit_and_each_rated_wall_sealed_for_each_run(
    flush: bool | None, walls: int | None, opened: int, sealed: int
) -> None:
    """By hand: two runs in one visit open the wall at the panel once; each goes through so many rated walls."""
    panel = PANEL | ({} if flush is None else {"flush": flush})
    building = PLAIN if walls is None else PLAIN | {"rated_walls": walls}
    shop = drops(SAW, SAW | {"name": "other saw"}, panels=[panel], building=building)
    done = work(best(shop, recipes=WALLS), 0)
    assert (done.get("change-device", 0), done.get("make-safe", 0)) == (opened, sealed)


def test_the_outlet_beside_a_flush_panel_opens_it_and_goes_through_no_rated_wall() -> None:
    on_cord = {"ways": {"only": ["cord"], "hard_wired": False}}
    building = PLAIN | {"rated_walls": 2}
    shop = make_shop([SAW | on_cord], panels=[PANEL | {"flush": True}], building=building)
    done = work(best(shop, recipes=WALLS), 0)
    assert done["change-device"] == 1
    assert "make-safe" not in done


# moved along ------------------------------------------------------------------------------------------


def test_a_drop_is_moved_along_by_its_recipe_alone() -> None:
    """The new run is 35 ft: so many feet; no part, no making safe, the old place is bare."""
    known = streamed(drops(SAW, events=(move(2, "saw", "bench C"),)), MOVED_ALONG, recipes=MOVED)
    (deed,) = [deed for deed in known.deeds if deed.date[0] == 2]
    done = {task.task: int(task.quantity) for task in deed.bundle.work}
    assert done == {"run-cable": 1, "foot-of-cable": 35, "move-machine": 1}
    assert deed.bundle.needs == ()
    outlets = [use for use in known.uses if use.thing.item.spec.kind == "outlet"]
    assert [(use.since, use.ends[0][1]) for use in outlets] == [((0, 0), None)]


def test_a_moved_drop_may_be_quoted() -> None:
    quote = {"move wall drop": {"quote": {"per_run": 10, "per_ft": 2, "permit": True}}}
    found = best(drops(SAW, events=(move(2, "saw", "bench C"),)), recipes=quote)
    assert [line.amount_cents for line in found.lines if line.kind is LineKind.QUOTE] == [1000 + 35 * 200]
    assert years_of(found, LineKind.PERMIT) == [0, 2]
    assert [way.relocated for way in found.plan.ways["saw"]] == [True]


def test_both_are_compared_where_a_drop_can_be_moved() -> None:
    def kinds_of_way(shop: Shop, **catalog: Any) -> set[bool]:
        options = survey(Facts(shop, make_catalog(**catalog))).options["saw"]
        return {option.way.relocated for option in options}

    shop = drops(SAW, events=(move(2, "saw", "bench C"),))
    assert kinds_of_way(shop, recipes=MOVED) == {False, True}
    assert kinds_of_way(shop) == {False}
    assert kinds_of_way(drops(SAW), recipes=MOVED) == {False}


def test_a_moved_drop_is_left_where_it_is_in_the_end() -> None:
    events = (move(1, "saw", "bench C"), {"year": 3, "machine": "saw", "leaves": True})
    known = streamed(drops(SAW, events=events), MOVED_ALONG, recipes=MOVED)
    (outlet_use,) = [use for use in known.uses if use.thing.item.spec.kind == "outlet"]
    end = outlet_use.ends[0][1]
    assert end is not None
    assert end.left is not None
    assert (end.date, end.left.item.outlet.place) == ((3, 0), "bench C")


def test_a_drop_is_not_moved_to_another_building() -> None:
    known = streamed(drops(SAW, events=(SHOP_MOVES,)), MOVED_ALONG, recipes=MOVED)
    assert outlet_dates(known) == [(0, 0), (2, 0)]


# moving the machine -----------------------------------------------------------------------------------


@pytest.mark.parametrize("way", ["wall drop", "cord"])
def test_moving_the_machine_is_charged_at_every_move_by_whatever_way(way: str) -> None:
    """Out of reach, elsewhere, and back: three moves; the arrival is none."""
    events = (move(1, "saw", "bench C"), move(2, "saw", "bench B"), move(3, "saw", "bench A"))
    only = {"ways": {"only": [way], "hard_wired": False}}
    found = best(make_shop([SAW | only], scenarios=[scenario(*events)], years=5))
    assert [work(found, year).get("move-machine", 0) for year in range(6)] == [0, 1, 1, 1, 0, 0]


def test_moving_the_machine_is_not_charged_at_an_arrival_a_retooling_or_a_move_of_the_shop() -> None:
    retool = {"year": 1, "machine": "saw", "retool": {"volts": 120, "amps": 16}}
    found = best(drops(SAW, LATHE | {"arrives": 1}, events=(retool, SHOP_MOVES), years=5))
    assert all("move-machine" not in work(found, year) for year in range(6))


def test_a_machine_whose_outlet_is_elsewhere_does_not_move_today() -> None:
    found = best(drops(SAW | {"now": NOW | {"place": "bench B"}}))
    assert "run-cable" in work(found, 0)
    assert "move-machine" not in work(found, 0)


def test_a_group_moves_machine_by_machine() -> None:
    shop = drops(DRILL | {"count": 3}, events=(move(2, "drill", "bench C"),))
    assert work(best(shop), 2)["move-machine"] == 3


def test_a_new_spot_has_no_outlet_and_is_as_far_as_the_old_one() -> None:
    """Twice a year for two years: every time another run of 25 ft and 5, and never back."""
    event = {"every": 1, "machine": "saw", "new_spot": True, "times": 2}
    found = best(drops(SAW, events=(event,), years=3))
    assert [work(found, year).get("run-cable", 0) for year in range(4)] == [1, 2, 2, 0]
    assert [work(found, year).get("foot-of-cable", 0) for year in range(4)] == [30, 60, 60, 0]
    assert [work(found, year).get("move-machine", 0) for year in range(4)] == [0, 2, 2, 0]
    assert outlets_used_again(found) == []


def test_ends_taken_out_today_are_set_free_today() -> None:
    """The saw has a 30 A breaker on its thin run: another goes in, the run and its receptacle stay."""
    now = {"now": NOW | {"breaker": 30}}
    (left,) = streamed(drops(SAW | now)).given_today()
    assert left.item.spec.kind == "breaker"
    assert dict(left.item.spec.at_least)["rating_a"] == 30
    assert streamed(drops(SAW | {"now": NOW})).given_today() == []


@pytest.mark.parametrize(("there", "asked", "changed"), [(30, 20, 0), (20, 20, 0), (20, 30, 1)])
def test_a_disconnect_that_is_taken_over_is_good_for_the_breaker_it_had(
    there: int, asked: int, changed: int
) -> None:
    """Behind a larger breaker another one is put in: nobody knows that it carries more (NFPA 70 110.3(B), from memory)."""
    switch = StockNeed(Item(make_spec("disconnect", {}, {"rating_a": asked})), Bundle())
    breaker = StockNeed(Item(make_spec("breaker")), Bundle())
    had = outlet(there, end=DISCONNECT, breaker_a=there, disconnect_a=there)
    wanted = StockNeed(
        outlet(asked, end=DISCONNECT, breaker_a=asked, disconnect_a=asked), Bundle(), ends=(switch, breaker)
    )
    assert ends_to_change(had, wanted, worn=False).count(switch) == changed
