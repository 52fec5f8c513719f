"""Spaces that later work takes, counted by hand: beside which breaker, for which machine, in which year. Shops invented."""

from typing import Any

import pytest
from strategies import DRILL, PANEL, SAW, make_catalog, make_shop, scenario
from test_spaces_left import BACK, BY_CORD, TO_TWO_POLES

from costplan.circuits.facts import Facts
from costplan.model.choices import SurplusRule
from costplan.program.bench import Bench
from costplan.program.ranking import best_plans
from costplan.reports.scope_plan import plan_today
from costplan.studies.spaces_kept import Kept, spaces_kept

AGAIN = TO_TWO_POLES | {"year": 4}
STAYS = scenario(name="stays", weight="0.5")
BY_WALL = DRILL | {"ways": {"only": ["wall drop"], "hard_wired": False}}
SAW_BY_CORD = SAW | {"ways": {"only": ["cord"], "hard_wired": False}}


def kept(
    machines: list[dict[str, Any]], *scenarios: dict[str, object], free: int = 12
) -> tuple[list[Kept], tuple[str, ...]]:
    """What is kept in a panel, and its words."""
    panels = [PANEL | {"spaces_free": free}]
    facts = Facts(make_shop(machines, panels=panels, scenarios=list(scenarios)), make_catalog())
    ranked = best_plans(Bench.over(facts, SurplusRule.ALLOWED), 1)[0]
    return spaces_kept(facts, ranked), plan_today(facts, ranked).kept


def test_a_breaker_that_becomes_two_pole_needs_the_space_beside_it() -> None:
    """The drill has line 1 and one pole today; 240 V in year 2 takes the space beside it, and again in year 4 the same."""
    found, words = kept([BY_CORD], scenario(TO_TWO_POLES, BACK, AGAIN))
    assert found == [Kept("panel", "drill", 2, 1, 1, 2)]
    assert words == (
        "panel: 1 space next to the 1-pole breaker (line 1, drill), which becomes 2-pole in year 2",
    )


def test_it_names_the_scenario_where_only_one_expects_it() -> None:
    found, words = kept([BY_CORD], scenario(TO_TWO_POLES, name="grows", weight="0.5"), STAYS)
    assert [entry.scenarios for entry in found] == [("grows",)]
    assert words[0].endswith("2-pole in year 2 if grows")


def test_a_machine_that_arrives_needs_as_many_side_by_side_as_it_has_poles() -> None:
    found, words = kept([BY_CORD, SAW_BY_CORD | {"arrives": 3}])
    assert found == [Kept("panel", "saw", 3, 1, 0, 2)]
    assert words == ("panel: 2 spaces side by side: for saw, 2-pole, in year 3",)


def test_a_group_needs_them_for_each() -> None:
    machines = [BY_CORD | {"count": 2}, SAW_BY_CORD | {"arrives": 1, "count": 3}]
    found, words = kept(machines, scenario(TO_TWO_POLES))
    assert [(entry.machine, entry.spaces) for entry in found] == [("saw", 6), ("drill", 2)]
    assert words == (
        "panel: 6 spaces, 2 side by side for each: for 3 saws, 2-pole, in year 1",
        "panel: 2 spaces next to the 1-pole breakers (line 1, 2 drills), which become 2-pole in year 2",
    )


@pytest.mark.parametrize(
    "event",
    [{"year": 1, "machine": "drill", "move": "bench C"}, {"year": 1, "machine": "drill", "leaves": True}],
)
def test_a_circuit_made_elsewhere_with_as_many_poles_needs_none(event: dict[str, object]) -> None:
    assert kept([BY_WALL, SAW_BY_CORD], scenario(event)) == ([], ())


def test_what_is_not_free_today_is_said() -> None:
    """Two spaces: the saw has both until it leaves in year 1; then the drill comes."""
    goes = {"year": 1, "machine": "saw", "leaves": True}
    found, words = kept([BY_CORD | {"arrives": 1}, SAW_BY_CORD], scenario(goes), free=2)
    assert found == [Kept("panel", "drill", 1, 1, 0, 1)]
    assert words[-1] == (
        "panel: of these 1 none free after today's work; what goes until then makes room for the rest"
    )
