"""What gear costs, year by year."""

from typing import Any

import pytest
from strategies import MILL, make_catalog, make_gear_shop, with_gear

from costplan.circuits.facts import Facts
from costplan.circuits.shared_gear import Candidate, candidate
from costplan.years.upkeep import gear_course


def converter(**changes: Any) -> Candidate:
    shop = make_gear_shop(
        [MILL],
        ("converter",),
        gear_changes={"converter": changes},
        money={"electricity_per_kwh": "0.20"},
    )
    facts = Facts(shop, make_catalog(**with_gear()))
    return candidate(facts, facts.shop.gear[0])


def named(found: Candidate, bought: int, moves: list[int], horizon: int) -> list[tuple[int, str]]:
    words = {
        id(found.bundle): "put in",
        id(found.yearly): "run",
        id(found.again): "again",
        id(found.renewed): "renewed",
        id(found.overhauled): "overhauled",
    }
    return [(year, words[id(bundle)]) for year, bundle, _ in gear_course(found, bought, moves, horizon)]


def test_it_is_put_in_and_runs_from_the_next_year() -> None:
    assert named(converter(), 0, [], 2) == [(0, "put in"), (1, "run"), (2, "run")]
    assert named(converter(), 2, [], 3) == [(2, "put in"), (3, "run")]
    assert named(converter(), 3, [], 3) == [(3, "put in")]


def test_it_is_put_in_again_where_the_shop_moves_after() -> None:
    assert named(converter(hours_per_year=0), 1, [1, 2], 3) == [(1, "put in"), (2, "again")]


@pytest.mark.parametrize(
    ("bought", "horizon", "years"),
    [(0, 7, [3, 6]), (1, 7, [4]), (0, 6, [3]), (0, 3, []), (2, 4, [])],
)
def test_it_is_renewed_when_worn_but_not_at_the_end(bought: int, horizon: int, years: list[int]) -> None:
    found = converter(life=3, hours_per_year=0)
    assert [year for year, what in named(found, bought, [], horizon) if what == "renewed"] == years


@pytest.mark.parametrize(
    ("bought", "horizon", "years"), [(0, 8, [4]), (0, 9, [4, 8]), (1, 8, [5]), (0, 4, []), (4, 8, [])]
)
def test_an_overhaul_comes_back_but_not_in_the_last_year(bought: int, horizon: int, years: list[int]) -> None:
    """Every 4 years while it is there. Common practice, no source."""
    found = converter(hours_per_year=0, overhaul={"every": 4, "money": 90, "hours": 2, "own_hours": 1})
    assert [year for year, what in named(found, bought, [], horizon) if what == "overhauled"] == years
    assert [charge.amount_cents for charge in found.overhauled.charges] == [9000]
    assert [work.own for work in found.overhauled.work] == [False, True]


def test_what_is_there_costs_nothing_today() -> None:
    assert named(converter(installed=True), 0, [], 1) == [(1, "run")]
