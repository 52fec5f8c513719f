"""A shop that is there already: circuits of now, the shelf, and whole cords; totals worked by hand.

Prices and hours are those of `strategies`, all invented: every task one hour, the electrician 100 an hour, the
owner 20, call-out 50, permit 60.
"""

from typing import Any

import pytest
from strategies import DRILL, SAW, make_catalog, make_shop, ranked, store_offers

from costplan.circuits.facts import Facts
from costplan.ledger.lines import LineKind
from costplan.ledger.steps import Act
from costplan.model.shop import Machine
from costplan.program.ranked import Ranked
from costplan.reports.kept import kept_text
from costplan.reports.work_draft import Phase
from costplan.reports.work_list import work_list

Row = dict[str, Any]

NOW: Row = {
    "method": "wall drop",
    "panel": "panel",
    "configuration": "NEMA 6-20",
    "breaker": "20 A",
    "poles": 2,
    "awg": "12",
}
ON_CORD: Row = NOW | {
    "method": "cord",
    "cord": {"length": "40 ft", "awg": "12", "conductors": 3, "volts": 600, "service": "hard"},
}
WALL: Row = {"ways": {"only": ["wall drop"], "hard_wired": False}}
CORD: Row = {"ways": {"only": ["cord"], "hard_wired": False}}


def best(machine: Row, **shop: Any) -> tuple[Facts, Ranked]:
    facts = Facts(make_shop([machine], **shop), make_catalog(store_offers()))
    return facts, ranked(facts.shop, facts.catalog)[0]


def test_a_machine_that_stays_as_it_is_costs_nothing() -> None:
    facts, plan = best(SAW | WALL | {"now": NOW})

    assert plan.present_value_cents == 0
    assert plan.lines == ()
    assert work_list(facts, plan).lines == ()
    assert "Kept as it is: saw." in kept_text(facts, plan)


HARD_WIRED: Row = {word: said for word, said in NOW.items() if word != "configuration"}
DIRECT: Row = {"ways": {"only": ["wall drop"], "hard_wired": True}}


def test_a_hard_wired_machine_that_stays_as_it_is_costs_nothing() -> None:
    _, plan = best(SAW | DIRECT | {"now": HARD_WIRED})
    assert plan.lines == ()


def test_a_disconnect_that_is_too_small_is_changed() -> None:
    """By hand: the disconnect 40, an hour of mounting it as at a new run 100, the call-out 50 and its permit 60."""
    _, plan = best(SAW | DIRECT | {"now": HARD_WIRED | {"disconnect": "15 A"}})
    assert plan.present_value_cents == 4000 + 10000 + 5000 + 6000


FIFTEEN: Row = {"method": "wall drop", "panel": "panel", "breaker": "15 A", "awg": "14"}
SMALL: Row = DRILL | WALL | {"amps": 9, "plug": "NEMA 5-15"}


@pytest.mark.parametrize(
    ("configuration", "breaker", "awg"),
    [
        ("NEMA 5-15", "15 A", "14"),
        ("NEMA 5-15", "20 A", "12"),
        ("NEMA 5-20", "20 A", "12"),
    ],
)
def test_a_small_machine_keeps_any_outlet_that_takes_its_plug(
    configuration: str, breaker: str, awg: str
) -> None:
    """A pair of 15 A receptacles may be on 20 A (NFPA 70 Table 210.21(B)(3)); a 5-20 takes a 5-15 plug."""
    now = FIFTEEN | {"configuration": configuration, "breaker": breaker, "awg": awg}
    _, plan = best(SMALL | {"now": now})
    assert plan.lines == ()


def test_thin_wire_behind_a_large_breaker_does_not_stay() -> None:
    _, plan = best(SMALL | {"now": FIFTEEN | {"configuration": "NEMA 5-20", "breaker": "20 A"}})
    assert plan.present_value_cents > 0


def test_small_machines_change_places_on_15_a_outlets() -> None:
    """Each takes over what the other had: no circuit of 20 A is made where the shop has 15 A ones."""
    outlet = FIFTEEN | {"configuration": "NEMA 5-15"}
    machines = [
        SMALL | {"name": "drill", "at": "bench A", "now": outlet | {"place": "bench B"}},
        SMALL | {"name": "grinder", "at": "bench B", "now": outlet | {"place": "bench A"}},
    ]
    shop = make_shop(machines)
    plan = ranked(shop, make_catalog(store_offers()))[0]
    assert [line.what for line in plan.lines if line.amount_cents and line.kind is LineKind.PART] == []
    assert {step.act for step in plan.steps if step.kind == "outlet"} == {Act.TAKE_OVER}


@pytest.mark.parametrize(
    ("nameplate", "poles", "wires"),
    [
        ({"volts": 240, "phases": 3, "amps": "9 A"}, 3, 3),
        ({"volts": 240, "phases": 3, "amps": "9 A", "neutral": True}, 3, 4),
        ({"volts": 240, "amps": "9 A"}, 2, 2),
        ({"volts": 120, "amps": "9 A"}, 1, 2),
    ],
)
def test_poles_and_wires_of_a_hard_wired_circuit_follow_from_the_nameplate(
    nameplate: Row, poles: int, wires: int
) -> None:
    bare = {word: said for word, said in HARD_WIRED.items() if word != "poles"}
    now = Machine.model_validate(nameplate | {"name": "mill", "at": "A", "now": bare}).now
    assert now is not None
    assert (now.poles, now.conductors) == (poles, wires)


def test_poles_and_wires_of_a_circuit_follow_from_its_receptacle() -> None:
    said = {word: said for word, said in NOW.items() if word != "poles"} | {"configuration": "NEMA 15-20"}
    now = Machine.model_validate({"name": "mill", "at": "A", "volts": 240, "amps": "9 A", "now": said}).now
    assert now is not None
    assert (now.poles, now.conductors) == (3, 3)


def test_a_cord_that_is_long_enough_is_kept_with_its_ends() -> None:
    _, plan = best(SAW | CORD | {"now": ON_CORD})

    assert plan.present_value_cents == 0


def test_a_cord_that_is_too_short_is_bought_anew_and_its_ends_are_kept() -> None:
    short = ON_CORD | {"cord": ON_CORD["cord"] | {"length": "10 ft"}}
    facts, plan = best(SAW | CORD | {"now": short})

    bought = [line.what for line in plan.lines if line.kind is LineKind.PART]
    assert bought == ["cord 12/3, 30 ft"]
    left = [line.words for line in work_list(facts, plan).lines if line.phase is Phase.SHELF]
    assert left == ["to the shelf: cord 12/3, 10 ft, of the saw's old 10 ft cord"]


def test_another_way_gives_up_the_old_outlet_which_is_made_safe() -> None:
    facts, plan = best(SAW | CORD | {"now": NOW})

    tasks = {line.task for line in plan.lines if line.kind is LineKind.LABOR}
    assert "make-safe" in tasks or any("safe" in task for task in tasks)
    assert any(
        line.step is not None and line.step.act is Act.MAKE_SAFE for line in work_list(facts, plan).lines
    )
    # the breaker stays in the panel and serves the new outlet, so none is bought
    assert not any("breaker" in line.what for line in plan.lines if line.kind is LineKind.PART)


def test_its_poles_are_free_for_whatever_replaces_it() -> None:
    full = [
        {
            "name": "panel",
            "system": "120/240 single-phase",
            "breakers": "family A",
            "spaces_free": 0,
        }
    ]
    _, plan = best(SAW | WALL | {"now": NOW}, panels=full)

    assert plan.present_value_cents == 0


def test_a_whole_cord_on_the_shelf_saves_cable_ends_and_the_work_on_them() -> None:
    stored = {"part": "cord-12-3", "length": "35 ft", "plug": "NEMA 6-20", "connector": "NEMA 6-20"}
    _, without = best(SAW | CORD)
    facts, plan = best(SAW | CORD, shelf=[stored])

    # cord 30 x 3 = 90, plug 12, connector 20, less their resale 38.40 at the end; the owner's three hours at 20
    assert without.present_value_cents - plan.present_value_cents == 9000 + 1200 + 2000 - 3840 + 6000
    assert plan.plan.whole_cords[0].count == 1
    words = [line.words for line in work_list(facts, plan).lines]
    assert any(line.startswith("hang cord 12/3, 35 ft, from the shelf, with its ends, ") for line in words)


def test_a_bare_cable_on_the_shelf_is_cut_down_and_made_up() -> None:
    _, without = best(SAW | CORD)
    facts, plan = best(SAW | CORD, shelf=[{"part": "cord-12-3", "length": "50 ft"}])

    assert without.present_value_cents - plan.present_value_cents == 9000 - 3600
    words = [line.words for line in work_list(facts, plan).lines]
    cut = "cord 12/3, 50 ft, from the shelf; needs 30 ft ends included, is 50 ft: cut it, 20 ft are left over"
    assert f"make up the saw's cord: {cut}" in words


def test_two_machines_do_not_share_one_piece_of_the_shelf() -> None:
    stored = {"part": "cord-12-3", "length": "50 ft"}
    other = SAW | {"name": "second saw"}
    facts = Facts(make_shop([SAW | CORD, other | CORD], shelf=[stored]), make_catalog(store_offers()))
    plan = ranked(facts.shop, facts.catalog)[0]

    assert sum(reuse.count for reuse in plan.plan.reused) == 1


@pytest.mark.parametrize("comes_in", ["calm", "busy"])
def test_a_cord_that_waits_for_the_first_scenario_is_put_on_the_shelf_today(comes_in: str) -> None:
    """The saw's cord is given up for a drop today, and the lathe hangs on it from year 2 of one of two scenarios."""
    comes = {"year": 2, "machine": "lathe", "arrives": "bench B"}
    lathe = SAW | CORD | {"name": "lathe"}
    scenarios = [
        {"name": name, "weight": "0.5", "events": [comes] if name == comes_in else []}
        for name in ("calm", "busy")
    ]
    shop = make_shop([SAW | WALL | {"now": ON_CORD}, lathe], scenarios=scenarios)
    found = ranked(shop, make_catalog(store_offers()))[0]
    assert [entry.cable.scenario for entry in (used.asked for used in found.plan.whole_cords)] == [comes_in]
    waits = [step for step in found.steps if step.act is Act.BACK_TO_SHELF and step.whole]
    assert len(waits) == (comes_in == "calm")
