"""How often machines are moved, as a range: the lines that follow it, and the draws against the closed form.

The money of the moves is worked by hand (call-out 110.00 and permit 40.00 a visit, 285.00 a move, 3 %, 5 years); invented.
"""

from math import sqrt
from typing import Any

import pytest
from scipy import stats
from strategies import SAW, make_catalog, make_shop, ranked

from costplan.circuits.facts import Facts
from costplan.ledger.lines import LineKind
from costplan.model.shop import Shop
from costplan.program.ranked import Ranked
from costplan.studies.sureness import Drawable, Settings, how_sure, sampled
from costplan.studies.uncertain import Uncertain

CREWS: list[dict[str, Any]] = [
    {"name": "owner", "role": "owner", "rate": 0, "pace": 1},
    {
        "name": "electrician",
        "role": "electrician",
        "rate": 90,
        "pace": 1,
        "call_out": 110,
        "permit": 40,
    },
]
CATALOG = make_catalog(crews=CREWS)
DROP = {"name": "drop", "method": "wall drop", "put_in": {"money": 500, "hours": 0}}
MOVED = DROP | {"move": {"money": 60, "hours": "2.5 h", "permit": True}}
LATER = 267_631
"""Two moves a year in years 1 to 4 in one visit each: 720.00 x (0.970874 + 0.942596 + 0.915142 + 0.888487)."""


def shop_of(often: dict[str, Any], *, machines: int = 1, events: tuple[dict[str, Any], ...] = ()) -> Shop:
    saws = [SAW | {"name": f"saw {number}"} for number in range(1, machines + 1)]
    rearranged = {"among": ["bench A", "bench B"], "machines": ["saw 1"], **often}
    return make_shop(
        saws,
        years=5,
        money={"discount_rate": "3 %", "price_uncertainty": "0 %"},
        quoted_ways=[MOVED],
        scenarios=[{"name": "busy", "weight": 1, "rearranged": rearranged, "events": list(events)}],
    )


def best(shop: Shop) -> Ranked:
    return ranked(shop, CATALOG)[0]


def drawn(shop: Shop, draws: int = 40_000) -> Any:
    facts = Facts(shop, CATALOG)
    return sampled([Drawable(facts, best(shop))], Settings(3, draws)).totals[0]


@pytest.mark.parametrize(
    ("often", "ends"),
    [
        ({"times_per_year": [1, 2, 3]}, (1, 2, 3)),
        ({"times_in_all": [4, 8, 10]}, (4, 8, 10)),
        ({"times_per_year": [2, 2, 2]}, (2, 2, 2)),
    ],
)
def test_a_total_with_moves_follows_their_range(
    often: dict[str, Any], ends: tuple[float, float, float]
) -> None:
    """Eight moves in four visits are likely; n of them cost n eighths, so the total is 500.00 + 2,676.31 n / 8."""
    low, likely, high = ends
    shop = shop_of(often)
    facts, plan = Facts(shop, CATALOG), best(shop)
    today = plan.present_value_cents - LATER
    # a cent a line may differ, since lines are cut finer than by hand
    assert today == pytest.approx(50_000, abs=16)
    totals = drawn(shop)
    mean = (low + 4 * likely + high) / 6
    variance = (mean - low) * (high - mean) / 7
    assert totals.mean() == pytest.approx(today + LATER * mean / likely, rel=0.005)
    assert totals.std() == pytest.approx(LATER / likely * sqrt(variance), rel=0.02, abs=1)
    if low < high:
        mode = (likely - low) / (high - low)
        moves = stats.beta(1 + 4 * mode, 1 + 4 * (1 - mode), low, high - low)
        found = how_sure([Drawable(facts, plan)], Settings(3, 40_000)).plans[0].total
        for cents, share in ((found.low_cents, 0.1), (found.median_cents, 0.5), (found.high_cents, 0.9)):
            assert cents == pytest.approx(today + LATER * moves.ppf(share) / likely, rel=0.01)


def test_a_plan_reckons_with_the_mean_and_without_a_range_moves_are_certain() -> None:
    alone, ranged = (best(shop_of({"times_per_year": often})) for often in (2, [0, 2, 4]))
    assert alone.present_value_cents == ranged.present_value_cents
    assert not any(line.in_turn for line in alone.lines)
    assert drawn(shop_of({"times_per_year": 2}), 1000).std() == 0


def test_what_another_event_needs_anyway_does_not_follow() -> None:
    # in year 2 the other saw has the electrician come with a permit in any case
    event = {"year": 2, "machine": "saw 2", "move": "bench C"}
    plan = best(shop_of({"times_per_year": [1, 2, 6]}, machines=2, events=(event,)))
    visits = {
        (line.year, line.kind): line.in_turn
        for line in plan.lines
        if line.kind in (LineKind.CALL_OUT, LineKind.PERMIT)
    }
    of_year = {year: {follows for (when, _), follows in visits.items() if when == year} for year in range(5)}
    assert of_year == {0: set(), 1: {True}, 2: {False}, 3: {True}, 4: {True}}
    work = [line for line in plan.lines if line.year == 2 and line.machine]
    assert {(line.machine, line.in_turn) for line in work} == {("saw 1", True), ("saw 2", False)}


def test_care_and_wear_do_not_follow_and_what_a_move_buys_does() -> None:
    care = {"yearly cord care": {"tasks": [{"task": "wire-plug"}]}}
    catalog = make_catalog(crews=[CREWS[0] | {"rate": 20}, CREWS[1]], recipes=care)
    shop = make_shop(
        [SAW | {"ways": {"only": ["cord"], "hard_wired": False}}],
        scenarios=[
            {
                "name": "busy",
                "weight": 1,
                "rearranged": {"times_in_all": [1, 2, 3], "among": ["bench A", "bench C"]},
            }
        ],
    )
    plan = ranked(shop, catalog)[0]
    later = [line for line in plan.lines if line.year and line.amount_cents]
    following = {line.task or line.what for line in later if line.in_turn}
    assert "move-machine" in following
    assert all(not line.in_turn for line in later if line.task == "wire-plug" and "care" in line.trace)
    assert any("care" in line.trace for line in later)
    facts = Facts(shop, catalog)
    moving = [group for group in Uncertain(facts).grouped(plan.lines).worth if group]
    names = {mover.figure.name for group in moving for mover in group}
    assert "moves in busy" in names
