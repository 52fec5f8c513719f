"""What the next load triggers, why one converter would not do, lines in balance: figures worked by hand, shops invented."""

from types import SimpleNamespace
from typing import Any

import pytest
from strategies import (
    DRILL,
    GRINDER,
    MILL,
    PANEL,
    SAW,
    WALL_ONLY,
    make_catalog,
    make_gear_shop,
    scenario,
    with_gear,
)

from costplan.circuits.demand import Draw
from costplan.circuits.facts import Facts
from costplan.ledger.ledger import Headroom, at_year
from costplan.model.choices import SurplusRule
from costplan.program.bench import Bench
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans
from costplan.reports.room import room_text
from costplan.studies import next_step
from costplan.studies.next_step import NextStep, next_steps

DEAR = {"drive-3": 9000, "drive-5": 9000, "motor-3": 9000}
LATHE = SAW | {"name": "lathe", "at": "bench E"} | WALL_ONLY
COMES = scenario({"year": 2, "machine": "lathe", "arrives": "bench E"}, name="busy")


def best(shop: dict[str, Any], prices: dict[str, int] | None = None) -> tuple[Facts, Ranked]:
    facts = Facts(make_gear_shop(**shop), make_catalog(**with_gear(prices=DEAR | (prices or {}))))
    return facts, best_plans(Bench.over(facts, SurplusRule.ALLOWED), 1)[0]


def service(shop: dict[str, Any]) -> NextStep:
    return next(step for step in next_steps(*best(shop)) if step.limit == "service")


def test_what_the_service_has_left_and_what_more_needs() -> None:
    """30 and 16 A with a quarter are 50 of 60 A: 10 A, no motor's quarter above 4 A. An upgrade: equipment, work, fee."""
    found = service(
        {"machines": [SAW | WALL_ONLY], "names": ("upgrade",), "service": {"amps": 60, "other_load": 30}}
    )
    assert (found.today.left.left_va, found.today.motor_va) == (2400, 2400)
    assert found.least is None
    assert found.upgrade is not None
    assert found.upgrade.name == "upgrade"
    # 350 for equipment, three hours at 100, connection 300; call-out 50 and permit 60 of its own
    assert found.upgrade.cents == 106000


def test_a_larger_motor_brings_its_quarter() -> None:
    """80 A left but for 16 and 4: a motor m above 16 A adds m and a quarter of it less 4 A: 1.25 m = 84, m = 67.2."""
    found = service({"machines": [SAW | WALL_ONLY], "service": {"amps": 100}})
    assert found.today.left.left_va == 80 * 240
    assert found.today.motor_va == int(67.2 * 240)
    assert found.upgrade is None


def test_later_years_are_told_where_they_are_fuller() -> None:
    """Another 16 A in year 2."""
    found = service({"machines": [SAW | WALL_ONLY, LATHE], "service": {"amps": 60}, "scenarios": [COMES]})
    assert found.least is not None
    assert (found.least.year, found.least.scenario) == (2, "busy")
    assert found.today.left.left_va - found.least.left.left_va == 16 * 240


def test_the_lines_are_said_where_some_are_on_one() -> None:
    """16 A on both lines with a quarter, the drill's 16 A on one of them."""
    facts, ranked = best({"machines": [SAW | WALL_ONLY, DRILL | WALL_ONLY], "service": {"amps": 100}})
    moment = at_year(facts, ranked.plan, ranked.chosen, 0)
    assert moment.balance("service").lines_va == (36 * 240, 20 * 240)
    assert "Lines: service 36.0 / 20.0 A" in room_text(facts, ranked)
    alone, plan = best({"machines": [SAW | WALL_ONLY], "service": {"amps": 100}})
    assert "Lines:" not in room_text(alone, plan)


def test_what_is_taken_already_is_said_as_the_file_has_it() -> None:
    """18 A of a panel's other load are no measured peak; without any word nothing is counted."""
    panel = PANEL | {"rating": 100, "other_load": 18}
    said = room_text(*best({"machines": [SAW | WALL_ONLY], "panels": [panel], "service": {"amps": 100}}))
    told = " ".join(said.split())
    assert (
        "taken already: of service the other load of the panels fed from it; of panel the other load that the file says"
        in told
    )
    assert "measured peak" not in told
    silent = room_text(*best({"machines": [SAW | WALL_ONLY], "service": {"amps": 100}}))
    assert "of service nothing, since nobody said" in " ".join(silent.split())


SECOND = {
    "name": "second",
    "kind": "phase converter",
    "part": "converter-4",
    "panel_part": "panel-3",
    "fed_from": "panel",
    "at": "bench C",
    "hours_per_year": 200,
}
FIRST = SECOND | {"name": "first", "at": "bench E"}


def test_two_converters_are_explained() -> None:
    """15.2 A with a quarter and twice 9.6 A are 38.2 of 24 A; without the 5 hp 21.6 A are within."""
    machines = [GRINDER | WALL_ONLY, MILL | WALL_ONLY, MILL | WALL_ONLY | {"name": "press"}]
    facts, ranked = best(
        {"machines": machines, "gear": [FIRST, SECOND], "panels": [PANEL | {"spaces_free": 20}]}
    )
    text = " ".join(room_text(facts, ranked).split())
    assert "first alone would not do: its output carries 24.0 A" in text
    assert "they draw 38.2 A" in text
    facts, ranked = best({"machines": machines[1:2], "gear": [FIRST, SECOND]})
    assert "alone would not do" not in room_text(facts, ranked)


@pytest.mark.parametrize(
    ("routes", "said"), [([], True), ([{"from": "far", "to": "bench A", "fixed": 9}], False)]
)
def test_a_subpanel_that_reaches_nothing_says_so(routes: list[dict[str, Any]], said: bool) -> None:
    far = {"name": "far", "kind": "subpanel", "panel_part": "panel-1", "fed_from": "panel", "at": "bench D"}
    plain = make_gear_shop([SAW | WALL_ONLY])
    known = [route.model_dump(by_alias=True, exclude_none=True) for route in plain.routes]
    facts, ranked = best({"machines": [SAW | WALL_ONLY], "gear": [far], "routes": known + routes})
    text = " ".join(room_text(facts, ranked).split())
    assert ("far can feed nothing, since no length from it is known: add routes from: far" in text) is said


def test_a_machine_that_starts_by_itself_is_named() -> None:
    own = SAW | WALL_ONLY | {"starts_by_itself": True}
    facts, ranked = best({"machines": [own, DRILL | WALL_ONLY], "service": {"amps": 100}})
    said = " ".join(room_text(facts, ranked).split())
    assert "Counted always, since saw starts or runs without anybody" in said


def test_a_quarter_more_of_the_largest_motor_is_rounded_up() -> None:
    """NFPA 70 430.24: 125 % of the largest; of 10 VA the quarter is 2.5, so 3, as limits have it."""
    asked = list[Draw]()

    class Even:
        def balance(self, _: str, more: list[Draw]) -> SimpleNamespace:
            asked.extend(more)
            return SimpleNamespace(worst_va=0)

    next_step._fits(Even(), Headroom("service", 1, 0, 0), 10)  # type: ignore[arg-type]
    assert [(draw.va, draw.extra_va) for draw in asked] == [(10, 3)]
