"""What a change keeps and what it buys again, for a drop and for a cord: a run and two ends."""

from collections import Counter
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from strategies import DELTA, DRILL, LATHE, PANEL, SAW, make_catalog, make_shop, move, ranked, scenario

from costplan.circuits.change import alter, leave
from costplan.circuits.circuit import Builder
from costplan.circuits.facts import Facts
from costplan.circuits.needs import NOTHING, Bundle, Change, Item, Slot, StockNeed
from costplan.circuits.present import begin
from costplan.circuits.ways import Way
from costplan.model.choices import Family, Method, Service
from costplan.model.shop import Shop
from costplan.years.calendar import lives, scenarios_of

CATALOG = make_catalog(recipes={"move machine": {"tasks": [{"task": "move-machine"}]}})
DROP = Way(Method.WALL, "panel", Family.STRAIGHT)
LONGER = Way(Method.WALL, "panel", Family.STRAIGHT, Decimal(25), False, Service.HARD)
CORD = Way(Method.CORD, "panel", Family.STRAIGHT, Decimal(0), False, Service.HARD)
SLACK = Way(Method.CORD, "panel", Family.STRAIGHT, Decimal(15), False, Service.HARD)
SPARE = Way(Method.CORD, "panel", Family.STRAIGHT, Decimal(0), True, Service.HARD)


def changes(way: Way, *events: dict[str, Any], machine: dict[str, Any] = SAW, **shop: Any) -> list[Change]:
    """Every change of the machine's circuit, today's first."""
    facts = Facts(make_shop([machine], scenarios=[scenario(*events)], **shop), CATALOG)
    fate = lives(facts.shop, scenarios_of(facts.shop)[0])[machine["name"]]
    builder = Builder(facts, facts.machines[machine["name"]], way)
    step = begin(builder, fate.standings[0]).step
    found = [step.change]
    for standing in fate.standings[1:]:
        assert step.circuit is not None
        step = alter(builder, step.circuit, standing)
        found.append(step.change)
    if fate.leaves is not None:
        assert step.circuit is not None
        found.append(leave(builder, step.circuit, fate.leaves_why).change)
    return found


def anew(thing: StockNeed) -> Bundle:
    """What a thing and all it asks for take when nothing is in stock."""
    return sum([thing.bought, *(anew(inner) for inner in thing.inner)], NOTHING)


def taken(change: Change) -> Bundle:
    """What the change takes when nothing is in stock."""
    return sum([change.always, *(anew(thing) for _, thing in change.begun)], NOTHING)


def bought(change: Change) -> Counter[str]:
    """Kinds of what the change buys when nothing is in stock; lengths in feet behind the kind."""
    bundle = taken(change)
    kinds: Counter[str] = Counter()
    for need in bundle.needs:
        kinds[f"{need.spec.kind} {need.length_ft}" if need.length_ft else need.spec.kind] += need.quantity
    return kinds


def work(change: Change) -> Counter[str]:
    bundle = taken(change)
    return Counter({task.task: int(task.quantity) for task in bundle.work if task.quantity >= 1})


def freed(change: Change) -> list[Item]:
    """What the change sets free, and what comes off an outlet that nobody takes over."""
    left = [*(left for _, left in change.ended if left is not None), *change.freed]
    inner = [item for back in left for entry in back.inner for item in entry.freed]
    return [*(back.item for back in left), *(item for back in left for item in back.freed), *inner]


def given_back(change: Change) -> list[str]:
    return sorted(item.spec.kind for item in freed(change))


# today ------------------------------------------------------------------------------------------------


def test_a_drop_today() -> None:
    today = changes(DROP)[0]
    assert bought(today) == {"building cable 30": 1, "receptacle": 1, "outlet box": 1, "breaker": 1}
    assert given_back(today) == []


def test_a_cord_today() -> None:
    today = changes(CORD)[0]
    assert bought(today) == {
        "armored cable 5": 1,
        "receptacle": 1,
        "outlet box": 1,
        "breaker": 1,
        "cord 30": 1,
        "plug": 1,
        "connector": 1,
        "overhead kit": 1,
    }


HELD_UP = make_catalog(
    recipes={"overhead cord": {"parts": [{"kind": "overhead kit", "per": "ft", "quantity": "0.1"}]}}
)


@pytest.mark.parametrize(
    ("way", "place", "kits", "given"),
    [
        (CORD, "bench B", 3, None),  # 25 + 5 ft of cord, held up each 10 ft
        (CORD, "bench C", 4, 3),  # a cord of 35 + 5 ft hangs from four, and the three come down
        (SLACK, "bench C", 0, 0),  # its 30 + 15 ft are there, and hang from what they hang from
    ],
)
def test_what_a_cord_hangs_from_follows_its_feet(way: Way, place: str, kits: int, given: int | None) -> None:
    """One each 10 ft begun, as the recipe says; common practice, no source."""
    shop = make_shop([SAW], scenarios=[scenario(*([move(1, "saw", place)] if given is not None else []))])
    facts = Facts(shop, HELD_UP)
    builder = Builder(facts, facts.machines["saw"], way)
    standings = lives(shop, scenarios_of(shop)[0])["saw"].standings
    step = begin(builder, standings[0]).step
    if given is not None:
        assert step.circuit is not None
        step = alter(builder, step.circuit, standings[1])
    assert bought(step.change).get("overhead kit", 0) == kits
    back = [left.item for slot, left in step.change.ended if slot is Slot.KIT and left is not None]
    assert sum(dict(item.spec.at_least)["overhead kit"] for item in back) == (given or 0)


# moves ------------------------------------------------------------------------------------------------


def test_a_move_within_the_reach_of_a_longer_machine_cord_buys_nothing() -> None:
    moved = changes(LONGER, move(1, "saw", "bench B"))[1]
    assert bought(moved) == {}
    assert given_back(moved) == []
    assert work(moved) == {"move-machine": 1}


def test_a_move_within_the_slack_of_a_cord_buys_nothing() -> None:
    moved = changes(SLACK, move(1, "saw", "bench C"))[1]
    assert bought(moved) == {}
    assert given_back(moved) == []
    assert work(moved) == {"move-machine": 1}


def test_a_move_beyond_reach_takes_a_new_run_and_outlet_and_sets_the_breaker_free() -> None:
    """The outlet left behind stays live; made safe, it sets its breaker free for the landing of the new run."""
    moved = changes(DROP, move(1, "saw", "bench C"))[1]
    assert bought(moved) == {"building cable 40": 1, "receptacle": 1, "outlet box": 1, "breaker": 1}
    assert given_back(moved) == ["breaker", "outlet"]
    (left,) = [left for slot, left in moved.ended if slot is Slot.OUTLET]
    assert left is not None
    assert left.unused.work[0].task == "make-safe"
    breaker, receptacle = moved.begun[0][1].inner
    assert receptacle.item.spec.kind == "receptacle"
    assert left.freed[0].serves(breaker.item)
    assert [task.task for task in breaker.reused.work] == ["land-in-panel"]
    assert breaker.reused.needs == ()


def test_a_move_beyond_the_slack_takes_a_longer_cable_and_keeps_the_ends() -> None:
    moved = changes(CORD, move(1, "saw", "bench C"))[1]
    assert bought(moved) == {"cord 40": 1}
    assert given_back(moved) == ["cord"]
    assert "run-cable" not in work(moved)


def test_a_move_nearer_to_the_panel_keeps_the_cord() -> None:
    assert bought(changes(CORD, move(1, "saw", "bench B"))[1]) == {}


def drops_only(*events: dict[str, Any], machines: list[dict[str, Any]]) -> Shop:
    only = {"ways": {"only": ["wall drop"], "hard_wired": False}}
    return make_shop([machine | only for machine in machines], scenarios=[scenario(*events)])


def test_a_drop_back_at_a_place_with_its_outlet_costs_nothing_but_the_electrician_to_nobody() -> None:
    """Away in year 1 and back in year 3: the outlet left behind serves again, nothing is bought."""
    away = ranked(drops_only(move(1, "saw", "bench C"), machines=[SAW]), CATALOG)[0]
    back = ranked(drops_only(move(1, "saw", "bench C"), move(3, "saw", "bench A"), machines=[SAW]), CATALOG)[
        0
    ]
    assert [line.what for line in back.lines if line.year == 3 and str(line.kind) == "part"] == [
        "blank cover"
    ]
    assert [line.what for line in away.lines if line.year == 1 and "blank" in line.what] == ["blank cover"]
    assert any(reuse.use.since == (3, 0) and reuse.item.spec.kind == "outlet" for reuse in back.plan.reused)


def test_another_machine_may_take_the_outlet_that_one_leaves() -> None:
    swap = ranked(
        drops_only(move(2, "lathe", "bench E"), move(2, "saw", "bench C"), machines=[SAW, LATHE]), CATALOG
    )[0]
    outlets = [reuse for reuse in swap.plan.reused if reuse.item.spec.kind == "outlet"]
    assert [(reuse.since, reuse.use.since) for reuse in outlets] == [((2, 0), (2, 0))]


def test_an_old_cable_serves_another_machine_from_stock() -> None:
    cords = {"ways": {"only": ["cord"]}}
    shop = make_shop(
        [SAW | cords, LATHE | cords | {"arrives": 2, "at": "bench B"}],
        scenarios=[scenario(move(1, "saw", "bench C"))],
    )
    plan = ranked(shop, CATALOG)[0].plan
    assert [(r.since[0], r.use.since[0], r.item.spec.kind) for r in plan.reused] == [(1, 2, "cord")]


def test_a_cord_that_begins_longer_serves_the_longer_place_too() -> None:
    """40 ft reach bench C: 35 ft of way and 5 ft of ends, by the recipe of the tests."""
    today, moved = changes(replace(CORD, first_cord_ft=40), move(1, "saw", "bench C"))
    assert bought(today)["cord 40"] == 1
    assert bought(moved) == {}


def test_a_cord_that_is_exchanged_at_every_move_is_given_up_whole_and_only_then() -> None:
    """Cable and both ends are another cord's, what it hangs from stays; a retooling at the same place exchanges nothing."""
    exchanged = replace(CORD, exchanges=True)
    retooled, moved = changes(exchanged, TO_FEWER_AMPS, move(2, "saw", "bench B"))[1:]
    assert (bought(retooled), given_back(retooled)) == ({}, [])
    assert bought(moved) == {"cord 20": 1, "plug": 1, "connector": 1}
    assert given_back(moved) == ["connector", "cord", "plug"]


def test_what_a_cord_hung_from_serves_the_next_cord() -> None:
    today, left = changes(CORD, {"year": 2, "machine": "saw", "leaves": True})
    (hung,) = [need for slot, need in today.begun if slot is Slot.KIT]
    (back,) = [given for slot, given in left.ended if slot is Slot.KIT and given is not None]
    assert back.item.serves(hung.item)


# volts, current, phases -------------------------------------------------------------------------------

TO_FEWER_AMPS = {"year": 1, "machine": "saw", "retool": {"volts": 240, "amps": 14}}
TO_240 = {"year": 1, "machine": "drill", "retool": {"volts": 240, "amps": 16}}
TO_30_A = {"year": 1, "machine": "saw", "retool": {"volts": 240, "amps": 24}}
TO_THREE_PHASE = {"year": 1, "machine": "saw", "retool": {"volts": 240, "phases": 3, "amps": 12}}


def test_other_volts_at_the_same_current_keep_the_drops_cable() -> None:
    change = changes(DROP, TO_240, machine=DRILL)[1]
    assert bought(change) == {"receptacle": 1, "breaker": 1, "plug": 1}
    assert given_back(change) == ["breaker", "receptacle"]
    assert "run-cable" not in work(change)


def test_other_volts_at_the_same_current_keep_the_cords_cable() -> None:
    change = changes(CORD, TO_240, machine=DRILL)[1]
    assert bought(change) == {"receptacle": 1, "breaker": 1, "plug": 2, "connector": 1}
    assert given_back(change) == ["breaker", "connector", "plug", "receptacle"]


@pytest.mark.parametrize("way", [CORD, SLACK])
def test_a_cord_that_a_retool_kept_moves_on_with_the_ends_it_got_then(way: Way) -> None:
    kept = changes(way, TO_240, move(2, "drill", "bench D"), move(3, "drill", "bench B"), machine=DRILL)
    assert [bought(change) for change in kept[2:]] == [{}, {}]
    assert [given_back(change) for change in kept[2:]] == [[], []]


ON_A_15_A_RECEPTACLE = {"panel": "panel", "configuration": "NEMA 5-15", "awg": "12"}
BY_A_CORD = {"method": "cord", "cord": {"awg": "12", "length": "30 ft", "conductors": 3}}
ITS_MAKERS_BREAKER = {"year": 1, "machine": "drill", "retool": {"volts": 120, "amps": 11, "breaker": "20 A"}}


@pytest.mark.parametrize(("way", "by"), [(DROP, {"method": "wall drop"}), (CORD, BY_A_CORD)])
def test_a_receptacle_that_stays_keeps_the_plugs_that_go_in_it(way: Way, by: dict[str, Any]) -> None:
    """One of 15 A on a 20 A circuit is one of two or more and carries 12 A (NFPA 70 210.21(B)(2), (3)); a 5-20 plug, whose
    blade is turned, does not go into it (ANSI/NEMA WD 6)."""
    there = {"name": "drill", "at": "bench A", "volts": 120, "amps": 10}
    now = {"now": ON_A_15_A_RECEPTACLE | by | {"breaker": "15 A"}}
    other_breaker = changes(way, ITS_MAKERS_BREAKER, machine=there | now)
    assert [bought(change) for change in other_breaker] == [{}, {"breaker": 1}]
    now = {"now": ON_A_15_A_RECEPTACLE | by | {"breaker": "20 A"}}
    habit_is_20_a = changes(way, move(1, "drill", "bench A"), machine=there | now)
    assert [bought(change) for change in habit_is_20_a] == [{}]


def test_a_15_a_receptacle_goes_where_the_breaker_becomes_one_that_it_may_not_be_behind() -> None:
    """Behind 30 A only 30 A receptacles may be (NFPA 70 Table 210.21(B)(3))."""
    there = {"name": "drill", "at": "bench A", "volts": 120, "amps": 10}
    now = {"now": ON_A_15_A_RECEPTACLE | {"method": "wall drop", "breaker": "15 A", "awg": "10"}}
    retool = {"year": 1, "machine": "drill", "retool": {"volts": 120, "amps": 11, "breaker": "30 A"}}
    assert bought(changes(DROP, retool, machine=there | now)[1])["receptacle"] == 1


def test_more_current_than_the_cable_carries_takes_a_new_run() -> None:
    change = changes(DROP, TO_30_A)[1]
    assert bought(change)["building cable 30"] == 1
    assert given_back(change) == ["breaker", "outlet"]


def test_more_current_than_the_cable_carries_takes_a_new_cable() -> None:
    change = changes(CORD, TO_30_A)[1]
    assert bought(change)["cord 30"] == 1
    assert "cord" in given_back(change)


def test_three_phases_take_a_new_run_from_a_three_phase_panel() -> None:
    change = changes(DROP, TO_THREE_PHASE, panels=[PANEL, DELTA])[1]
    assert change.panel == "delta"
    assert change.poles == 3
    assert bought(change)["building cable 30"] == 1


@pytest.mark.parametrize(("way", "new_cable"), [(CORD, True), (SPARE, False)])
def test_three_phases_keep_a_cord_that_has_four_conductors(way: Way, new_cable: bool) -> None:
    change = changes(way, TO_THREE_PHASE, panels=[PANEL, DELTA])[1]
    assert change.panel == "delta"
    assert ("cord 30" in bought(change)) == new_cable
    assert {"receptacle", "plug", "connector", "breaker", "armored cable 5"} <= set(bought(change))


# departures -------------------------------------------------------------------------------------------


def test_nothing_portable_comes_back_from_a_drop_when_the_machine_leaves() -> None:
    left = changes(DROP, {"year": 2, "machine": "saw", "leaves": True})[-1]
    assert left.left
    assert bought(left) == {}
    assert given_back(left) == ["breaker", "outlet"]


def test_cable_and_connectors_come_back_from_a_cord_when_the_machine_leaves() -> None:
    left = changes(CORD, {"year": 2, "machine": "saw", "leaves": True})[-1]
    assert {"cord", "plug", "connector"} <= set(given_back(left))


def test_cords_are_sold_at_the_end_and_cable_in_the_wall_is_not() -> None:
    catalog = make_catalog(more_offers=[])
    cord = ranked(make_shop([SAW | {"ways": {"only": ["cord"]}}]), catalog)[0]
    drop = ranked(make_shop([SAW | {"ways": {"only": ["wall drop"], "hard_wired": False}}]), catalog)[0]
    assert cord.residual_cents == -round(30 * 300 * Decimal("0.4")) - round(1200 * Decimal("0.2"))
    assert drop.residual_cents == 0


def test_a_shop_move_leaves_a_drop_behind() -> None:
    moved = changes(DROP, {"year": 2, "shop_moves": True})[1]
    assert bought(moved) == {"building cable 30": 1, "receptacle": 1, "outlet box": 1, "breaker": 1}
    assert given_back(moved) == []


def test_a_shop_move_brings_cord_and_ends_along() -> None:
    moved = changes(CORD, {"year": 2, "shop_moves": True})[1]
    assert bought(moved) == {"armored cable 5": 1, "receptacle": 1, "outlet box": 1, "breaker": 1}


def test_a_shop_move_to_longer_runs_takes_a_longer_cord() -> None:
    moved = changes(CORD, {"year": 2, "shop_moves": True, "route_factor": 2})[1]
    assert bought(moved)["cord 55"] == 1
    assert "plug" not in bought(moved)


def test_ways_by_other_cords_have_one_outlet_and_a_machine_told_otherwise_its_own() -> None:
    facts = Facts(make_shop([SAW], scenarios=[scenario()]), CATALOG)
    machine = facts.machines[SAW["name"]]
    standing = lives(facts.shop, scenarios_of(facts.shop)[0])[machine.name].standings[0]
    known = Builder(facts, machine, DROP).build(standing)
    assert Builder(facts, machine, LONGER).build(standing).outlet is known.outlet
    # The advice on voltage drop is the machine's: 0.1 % asks for thicker wire than the shop's limit does.
    careful = machine.model_copy(update={"drop_limit": Decimal("0.001")})
    assert Builder(facts, careful, DROP).build(standing).size != known.size
    assert Builder(facts, machine, DROP).build(standing) is known
