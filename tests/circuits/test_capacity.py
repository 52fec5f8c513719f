"""What limits the loads and how loads count against it; every figure worked by hand from the rules."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import MILL, PANEL, SAW, make_catalog, make_gear_shop, with_gear

from costplan.circuits.capacity import Capacity, Limit, TakenFrom, volt_amperes
from costplan.circuits.demand import Draw
from costplan.circuits.facts import Facts
from costplan.model.gear import Gear
from costplan.model.system import System

OVEN = {"name": "oven", "at": "bench A", "volts": 240, "amps": 20, "load": "heater"}
LATHE = SAW | {"name": "lathe"}
TURNS = {"takes_turns": "by hand"}
PEAK = {"amps": 40, "seen": "2026-10-01", "days": 30}


def capacity(
    machines: list[dict[str, Any]] | None = None, names: tuple[str, ...] = (), **more: Any
) -> Capacity:
    shop = make_gear_shop(machines or [SAW, LATHE, OVEN, MILL], names, **{"service": {"amps": 100}} | more)
    return Capacity(Facts(shop, make_catalog(**with_gear())))


def passed(rules: Capacity, machine: str, panel: str, va: int) -> dict[str, int]:
    return {name: draw.va for name, draw in rules.drawn(machine, panel, va).items()}


def worst_va(rules: Capacity, draws: list[Draw], managed: Iterable[Gear] = ()) -> int:
    return rules.balance(draws, managed, {}, 2).worst_va


def demand(rules: Capacity, *managed: int, **va: int) -> int:
    gear = [rules.facts.shop.gear[index] for index in managed]
    return worst_va(rules, [rules.draw_of(name, drawn) for name, drawn in va.items()], gear)


@pytest.mark.parametrize(
    ("system", "va"),
    [
        (System.SINGLE_120_240, 24000),
        (System.DELTA_240, 41569),
        (System.WYE_120_208, 36026),
        (System.WYE_277_480, 83138),
    ],
)
def test_a_service_of_100_a(system: System, va: int) -> None:
    """240 V x 100 A; three-phase the root of three as much of the volts between lines."""
    assert int(volt_amperes(system, Decimal(100))) == va
    limits = capacity([SAW], panels=[PANEL], service={"amps": 100, "system": system}).limits
    # on three phases a fiftieth of an ampere more, which rounding may take up
    assert limits["service"].most_va == int(
        va if system is System.SINGLE_120_240 else volt_amperes(system, Decimal("100.02"))
    )


def test_existing_load() -> None:
    """Calculated as it is; measured at 125 % of the peak (NFPA 70 220.87), and then only that counts."""
    assert capacity(service={"amps": 100, "other_load": 30}).limits["service"].free_va == 70 * 240
    both = capacity(service={"amps": 100, "other_load": 30, "measured_peak": PEAK}).limits["service"]
    assert (both.taken_va, both.free_va) == (50 * 240, 50 * 240)


def test_where_it_is_said_what_hangs_on_a_limit() -> None:
    """A peak before all; then the larger of what is said of it and of the panels behind, and 0 A is said too."""
    loaded, none = [PANEL | {"rating": 60, "other_load": 18}], [PANEL | {"rating": 60}]
    for panels, service, of_service, of_panel in (
        (none, {"amps": 100, "measured_peak": PEAK}, TakenFrom.PEAK, TakenFrom.UNSAID),
        (loaded, {"amps": 100}, TakenFrom.BEHIND, TakenFrom.SAID),
        (loaded, {"amps": 100, "other_load": 30}, TakenFrom.SAID, TakenFrom.SAID),
        (loaded, {"amps": 100, "other_load": 10}, TakenFrom.BEHIND, TakenFrom.SAID),
        (none, {"amps": 100, "other_load": 0}, TakenFrom.SAID, TakenFrom.UNSAID),
        (none, {"amps": 100}, TakenFrom.UNSAID, TakenFrom.UNSAID),
    ):
        rules = capacity(panels=panels, service=service)
        assert (rules.taken_from("service"), rules.taken_from("panel")) == (of_service, of_panel)


def test_without_a_service_and_gear_nothing_is_limited() -> None:
    assert capacity(service=None).limits == {}


def test_panels_behind_others_carry_their_rating() -> None:
    behind = {"name": "behind", "rating": 60, "other_load": 10, "fed_from": "panel"}
    rules = capacity(panels=[PANEL, PANEL | behind], service=None)
    assert rules.limits == {"behind": Limit("behind", 60 * 240, 10 * 240)}
    assert [step.name for step in rules.path("behind")] == ["behind", "panel", "service"]


def test_what_gear_brings_is_limited() -> None:
    rules = capacity(names=("converter", "subpanel", "utility"), gear_changes={"utility": {"amps": 50}})
    assert {name: limit.most_va for name, limit in rules.limits.items()} == {
        "service": 24000,
        # 60 A and 30 A at 240 V, three-phase, and a fiftieth of an ampere for rounding
        "converter": 24949,
        "output of converter": 12479,
        "subpanel": 14400,
        # the lesser of the panel's 60 A and the utility's 50 A
        "utility": 20792,
    }


def test_a_load_passes_a_converter_at_its_efficiency() -> None:
    rules = capacity(names=("converter", "subpanel"))
    assert [(step.name, step.factor) for step in rules.path("converter")] == [
        ("converter", 1),
        ("output of converter", 1),
        ("panel", 1 / Decimal("0.9")),
        ("service", 1 / Decimal("0.9")),
    ]
    assert passed(rules, "mill", "converter", 3991) == {
        "converter": 3991,
        "output of converter": 3991,
        # 3,991 / 0.9 = 4,434.4
        "service": 4435,
    }
    assert passed(rules, "saw", "subpanel", 3840) == {"subpanel": 3840, "service": 3840}


def test_the_utility_feeds_past_the_service() -> None:
    assert passed(capacity(names=("utility",)), "mill", "utility", 3991) == {"utility": 3991}


def test_a_machine_in_the_measured_peak_adds_nothing_at_the_service() -> None:
    """NFPA 70 220.87: the measured demand has it already; at the other limits it still counts."""
    measured = SAW | {"in_measured_peak": True}
    service = {"amps": 100, "measured_peak": PEAK}
    there = capacity([measured], ("subpanel",), service=service)
    assert passed(there, "saw", "subpanel", 3840) == {"subpanel": 3840}
    assert passed(capacity([measured], service={"amps": 100}), "saw", "panel", 3840) == {"service": 3840}


def test_loads_add_up_with_a_quarter_of_the_largest_motor() -> None:
    """NFPA 70 430.24: 3,840 + 3,991 + 4,800, and a quarter of 3,991, which is 997.75."""
    rules = capacity()
    assert demand(rules, saw=3840, mill=3991, oven=4800) == 12631 + 998
    assert demand(rules, oven=4800) == 4800
    assert demand(rules) == 0


def test_motors_that_take_turns_count_the_largest() -> None:
    """NFPA 70 220.60: 3,991 alone, and its quarter."""
    rules = capacity([SAW | TURNS, MILL | TURNS, OVEN])
    assert demand(rules, saw=3840, mill=3991) == 3991 + 998
    assert demand(rules, saw=3840, mill=3991, oven=4800) == 4800 + 3991 + 998


@pytest.mark.parametrize("edition", [2017, 2020, None])
def test_a_motor_beside_a_larger_load_it_takes_turns_with(edition: int | None) -> None:
    """The oven alone, and a quarter of the motor: no less than 125 % of the motor, which 220.60 asks from 2020."""
    rules = capacity([SAW | TURNS, OVEN | TURNS], code={"edition": edition})
    assert demand(rules, saw=3840, oven=6000) == 6000 + 960
    assert demand(rules, saw=3840, oven=3840) == 3840 + 960


def test_the_largest_of_those_that_take_turns_counts_once() -> None:
    """NFPA 70 220.60 and 430.24: the saw is the largest; its 3,840 and a quarter are 4,800."""
    assert demand(capacity([SAW | TURNS, OVEN | TURNS]), saw=3840, oven=1000) == 4800


def test_of_sets_that_run_together_the_heaviest_counts() -> None:
    """The mill runs with either: 3,840 and 3,991 and 998, or 4,800 and 3,991 and 998."""
    rules = capacity(
        [SAW, OVEN, MILL, LATHE], service={"amps": 100, "at_once": [["saw"], ["oven"], ["saw", "lathe"]]}
    )
    assert demand(rules, saw=3840, mill=3991, oven=4800) == 4800 + 3991 + 998
    assert demand(rules, saw=3840, mill=3991, oven=4800, lathe=3840) == 2 * 3840 + 3991 + 998


def test_a_load_manager_holds_its_machines_to_its_figure() -> None:
    """Two saws of 3,840 held to 10 A, 2,400 VA together; the quarter of the largest motor stays."""
    held = {"manager": {"machines": ["saw", "lathe"], "holds_to": 10}}
    rules = capacity(names=("manager",), gear_changes=held)
    assert demand(rules, 0, saw=3840, lathe=3840, oven=4800) == 2400 + 4800 + 960
    assert demand(rules, saw=3840, lathe=3840, oven=4800) == 7680 + 4800 + 960
    assert demand(rules, 0, saw=1000, oven=4800) == 1000 + 4800 + 250


def test_what_takes_turns_is_not_held_back_twice() -> None:
    rules = capacity(
        [SAW | TURNS, LATHE | TURNS],
        ("manager",),
        gear_changes={"manager": {"machines": ["saw", "lathe"], "holds_to": 10}},
    )
    assert demand(rules, 0, saw=3840, lathe=3840) == 3840 + 960


def test_an_upgrade_adds_the_difference() -> None:
    rules = capacity(names=("upgrade",))
    assert rules.gained_va(rules.facts.shop.gear[0]) == 100 * 240
    assert capacity(names=("upgrade",), service=None).gained_va(rules.facts.shop.gear[0]) == 0


def test_draws_are_sorted_onto_limits() -> None:
    rules = capacity(names=("converter",))
    on = rules.by_limit([("mill", "converter", 3991, 3, 1), ("saw", "panel", 3840, 2, 1)])
    assert {limit: [(d.machine, d.va) for d in found] for limit, found in on.items()} == {
        "converter": [("mill", 3991)],
        "output of converter": [("mill", 3991)],
        "service": [("mill", 4435), ("saw", 3840)],
    }


def test_machines_alike_count_each_and_the_largest_motor_once() -> None:
    """Three of 4,000 VA and a quarter of one of them (NFPA 70 430.24)."""
    rules = capacity()
    assert worst_va(rules, [rules.draw_of("saw", 4000, 3)]) == 3 * 4000 + 1000


def test_a_load_manager_holds_every_one_of_machines_alike() -> None:
    """20 A x 240 V at once, whatever three of 4,000 VA would draw, and a quarter of the largest motor."""
    shop = {"gear_changes": {"manager": {"machines": ["saw"], "holds_to": 20}}}
    rules = capacity(names=("manager",), **shop)
    gear = rules.facts.shop.gear
    assert worst_va(rules, [rules.draw_of("saw", 4000, 3)], gear) == 20 * 240 + 1000


VA = st.integers(1, 9000)


@given(VA, VA, VA, st.integers(0, 3000))
def test_more_load_never_asks_less(saw: int, oven: int, mill: int, more: int) -> None:
    for machines in ([SAW, OVEN, MILL], [SAW | TURNS, OVEN | TURNS, MILL]):
        rules = capacity(machines, ("manager",))
        for managed in ((), (0,)):
            less = demand(rules, *managed, saw=saw, oven=oven, mill=mill)
            assert less <= demand(rules, *managed, saw=saw + more, oven=oven, mill=mill)
            assert demand(rules, *managed, saw=saw, oven=oven) <= less
            assert less >= 0


def test_a_quarter_is_rounded_up() -> None:
    rules = capacity()
    assert rules.draw_of("saw", 5).extra_va == 2
    assert rules.draw_of("oven", 5).extra_va == 0
