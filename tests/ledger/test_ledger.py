"""The plain count of poles and volt-amperes finds a plan that does not fit. Shops are invented, each figure worked by hand.

A plan is made where there is room, and counted in a shop that is the same but for one figure, as if the program had missed it.
"""

from itertools import combinations
from typing import Any

import pytest
from strategies import (
    DRILL,
    FEET,
    PANEL,
    SAW,
    WALL_ONLY,
    make_catalog,
    make_gear_shop,
    move,
    scenario,
    with_gear,
)

from costplan.circuits.facts import Facts
from costplan.ledger.ledger import at_year, moments, overloads
from costplan.model.choices import SurplusRule
from costplan.program.bench import Bench
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans
from costplan.years.calendar import scenarios_of

MACHINES = [SAW | WALL_ONLY, DRILL | WALL_ONLY]
LATHE = SAW | {"name": "lathe", "at": "bench E"} | WALL_ONLY
COMES = {"year": 2, "machine": "lathe", "arrives": "bench E"}


def facts_of(machines: list[dict[str, Any]], names: tuple[str, ...] = (), **shop: Any) -> Facts:
    return Facts(make_gear_shop(machines, names, **shop), make_catalog(**with_gear()))


def best(facts: Facts) -> Ranked:
    return best_plans(Bench.over(facts, SurplusRule.ALLOWED), 1)[0]


def too_much(facts: Facts, found: Ranked) -> list[str]:
    return list(overloads(facts, found.plan, found.chosen, scenarios_of(facts.shop)[0]))


@pytest.mark.parametrize(
    ("spaces_free", "said"), [(3, []), (2, ["panel is 1 space short, one a pole: as planned, year 0"])]
)
def test_poles(spaces_free: int, said: list[str]) -> None:
    """240 V takes two poles and 120 V one."""
    found = best(facts_of(MACHINES))
    tight = facts_of(MACHINES, panels=[PANEL | {"spaces_free": spaces_free}])

    assert too_much(tight, found) == said
    (room,) = at_year(tight, found.plan, found.chosen, 0).panels()
    assert (room.free, room.by_gear, room.by_circuits, room.left) == (spaces_free, 0, 3, spaces_free - 3)


@pytest.mark.parametrize(
    ("amps", "said"), [(50, []), (49, ["service carries 240 VA too much: as planned, year 0"])]
)
def test_volt_amperes(amps: int, said: list[str]) -> None:
    """30 A and the saw's 16 A with a quarter on top (NFPA 70 430.24) are 50 A; one ampere of 240 V is 240 VA."""
    found = best(facts_of(MACHINES[:1]))
    tight = facts_of(MACHINES[:1], service={"amps": amps, "other_load": 30})

    assert too_much(tight, found) == said
    (limit,) = at_year(tight, found.plan, found.chosen, 0).limits()
    assert (limit.most_va, limit.taken_va, limit.added_va) == (amps * 240, 30 * 240, 20 * 240)
    assert limit.left_va == (amps - 50) * 240


def test_a_limit_that_is_passed_already_stops_nothing_until_something_is_put_on_it() -> None:
    """The quoted way has no load that is counted, so that 30 A on 20 A is as it was (DEVELOPERS, limits)."""
    way = {"name": "bus", "method": "cord", "put_in": {"money": 100}}
    full = {"amps": 20, "other_load": 30}
    quoted = facts_of([SAW], quoted_ways=[way], service=full)

    assert not too_much(quoted, best(quoted))
    loaded = facts_of(MACHINES[:1], service=full)
    assert too_much(loaded, best(facts_of(MACHINES[:1]))) == [
        "service carries 7200 VA too much: as planned, year 0"
    ]


@pytest.mark.parametrize(("shop_moves", "fits"), [(None, False), (3, False), (2, True)])
def test_what_comes_later_counts_from_its_year_on_and_no_more_once_the_shop_has_moved(
    shop_moves: int | None, fits: bool
) -> None:
    """The saw's two poles today, the lathe's two in year 2; panels of the building that the shop moves to are unknown."""
    moves = [] if shop_moves is None else [{"year": shop_moves, "shop_moves": True}]
    shop: dict[str, Any] = {"scenarios": [scenario(COMES, *moves)], "years": 5}
    found = best(facts_of([MACHINES[0], LATHE], **shop))
    facts = facts_of([MACHINES[0], LATHE], panels=[PANEL | {"spaces_free": 3}], **shop)

    assert too_much(facts, found) == (
        [] if fits else ["panel is 1 space short, one a pole: as planned, year 2"]
    )
    left = [at_year(facts, found.plan, found.chosen, year).panels()[0].left for year in (0, 1, 2)]
    assert left == [1, 1, -1]


def test_gear_that_is_asked_for_and_not_bought() -> None:
    """A main disconnect that is listed is put in, since it saves nothing that would choose it."""
    found = best(facts_of(MACHINES))
    asking = facts_of(MACHINES, ("main switch",), service={"amps": 100})

    assert too_much(asking, found) == ["main switch is asked for and not there: as planned, year 0"]
    assert not too_much(asking, best(asking))
    years = [year for year, _ in moments(asking, found.plan, found.chosen, scenarios_of(asking.shop)[0])]
    assert years == [0]


@pytest.mark.parametrize(
    ("events", "poles"),
    [
        ([move(2, "saw", "bench C")], [2, 2, 4, 4, 4]),
        ([move(2, "saw", "bench C"), move(4, "saw", "bench A")], [2, 2, 4, 4, 4]),
        ([move(2, "saw", "bench C"), move(4, "saw", "bench E")], [2, 2, 4, 4, 6]),
    ],
)
def test_outlets_that_nobody_makes_safe_keep_their_poles(
    events: list[dict[str, Any]], poles: list[int]
) -> None:
    """Two poles an outlet: that of bench A stays live from year 2 on and is used again, not added to, when the saw is back."""
    why = "left out to keep the test small"
    building = {
        "patching": False,
        "construction": "type V",
        "finished_walls": True,
        "make_safe": False,
        "forbid": dict.fromkeys(("conduit drop", "armored drop", "ceiling outlet"), why),
    }
    # The second panel is so far away that nothing is fed from it.
    panels = [PANEL, PANEL | {"name": "second", "spaces_free": 2}]
    far = [{"from": "second", "to": place, "fixed": 500, "cord": 500} for place in FEET]
    near = [{"from": "panel", "to": place, "fixed": ft, "cord": ft} for place, ft in FEET.items()]
    between = [{"from": a, "to": b, "cord": 20} for a, b in combinations(FEET, 2)]
    facts = facts_of(
        MACHINES[:1],
        building=building,
        panels=panels,
        routes=[*near, *far, *between],
        scenarios=[scenario(*events)],
        years=6,
    )
    found = best(facts)

    rooms = [at_year(facts, found.plan, found.chosen, year).panels() for year in range(5)]
    assert [[room.by_circuits for room in by_panel] for by_panel in rooms] == [[count, 0] for count in poles]
