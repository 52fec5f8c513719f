"""Sizing against figures worked by hand from the tables; each test says the steps."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import make_catalog, make_shop

from costplan.circuits.breaker import motor_limit_a
from costplan.circuits.currents import load_current_a
from costplan.circuits.facts import Facts
from costplan.circuits.recipes import counted
from costplan.circuits.size_types import CannotSizeError, CircuitSize, Load, Rules, Wiring
from costplan.circuits.sizing import size_circuit, voltage_drop_v
from costplan.model.choices import LoadKind, Occupancy
from costplan.standards import receptacles
from costplan.standards.conductors import awg_rank, grounding_conductor_awg
from costplan.standards.cords import cord_ampacity_a

FIXED = (Wiring.CABLE, Wiring.CONDUIT, Wiring.ARMORED)


def load(
    volts: int = 240,
    phases: int = 1,
    *,
    hp: str | None = None,
    amps: str | None = None,
    motor: bool = True,
    neutral: bool = False,
    continuous: bool = False,
    breaker: int | None = None,
) -> Load:
    return Load(
        volts,
        phases,
        neutral,
        LoadKind.MOTOR if motor else LoadKind.OTHER,
        Decimal(hp) if hp else None,
        Decimal(amps) if amps else None,
        continuous,
        breaker,
    )


def rules(
    edition: int | None = 2020,
    occupancy: str = "commercial",
    *,
    place: bool = False,
    drop: str = "0.03",
    ambient: str = "30",
) -> Rules:
    return Rules(edition, Occupancy(occupancy), place, Decimal(drop), Decimal(ambient))


def size(
    machine: Load,
    wiring: Wiring = Wiring.CABLE,
    family: str | None = "straight",
    feet: int = 20,
    code: Rules | None = None,
    floor_a: int = 0,
    **more: Any,
) -> CircuitSize:
    return size_circuit(machine, wiring, family, Decimal(feet), code or rules(), floor_a, **more)


def detail(sized: CircuitSize, what: str) -> str:
    return next(reason.detail for reason in sized.reasons if reason.what == what)


def test_3_hp_single_phase_drop() -> None:
    """17 A by the table, 21.25 A at 125 %, next usual breaker 30 A, NEMA 6-30, 10 AWG cable with ground."""
    sized = size(load(hp="3"))

    assert (sized.current_a, sized.minimum_ampacity_a) == (17, Decimal("21.25"))
    assert (sized.breaker_a, sized.breaker_at_most_a, sized.poles) == (30, 30, 2)
    assert (sized.awg, sized.awg_at_most, sized.grounding_awg) == ("10", "8", "10")
    assert (sized.conductors, sized.wires) == (2, 3)
    assert sized.configuration == "NEMA 6-30"


def test_3_hp_single_phase_cord_is_10_3() -> None:
    """Two current-carrying conductors: 12 AWG is good for 25 A, so a 30 A breaker takes 10 AWG, 30 A."""
    sized = size(load(hp="3"), Wiring.CORD)

    assert (sized.awg, sized.wires, sized.cord_volts_at_least) == ("10", 3, 300)


def test_5_hp_three_phase_cord_is_12_4() -> None:
    """15.2 A, 19 A at 125 %, 20 A breaker, L15-20; three current-carrying: 12 AWG is good for 20 A."""
    sized = size(load(phases=3, hp="5"), Wiring.CORD, "locking")

    assert (sized.current_a, sized.minimum_ampacity_a) == (Decimal("15.2"), 19)
    assert (sized.breaker_a, sized.poles, sized.configuration) == (20, 3, "NEMA L15-20")
    assert (sized.awg, sized.conductors, sized.wires) == ("12", 3, 4)


def test_30_a_three_phase_cord_is_8_4() -> None:
    """7.5 hp: 22 A, 27.5 A, 30 A breaker; 10/4 on three-phase is only 25 A, so 8 AWG."""
    sized = size(load(phases=3, hp="7.5"), Wiring.CORD, "pin and sleeve")

    assert (sized.breaker_a, sized.awg, sized.wires) == (30, "8", 4)
    assert sized.configuration == "IEC 60309 30 A 3P+E 250 V 9h"


@pytest.mark.parametrize(
    ("amps", "ampacity_a", "breaker_a", "awg", "configuration"),
    [
        ("12", "15", 20, "12", "NEMA 5-20"),
        ("12.8", "16", 20, "12", "NEMA 5-20"),
        ("16", "20", 20, "12", "NEMA 5-20"),
        ("16.1", "20.125", 30, "10", "NEMA 5-30"),
    ],
)
def test_120_v_motor_by_nameplate(
    amps: str, ampacity_a: str, breaker_a: int, awg: str, configuration: str
) -> None:
    sized = size(load(120, amps=amps))

    assert sized.minimum_ampacity_a == Decimal(ampacity_a)
    assert (sized.poles, sized.breaker_a, sized.awg) == (1, breaker_a, awg)
    assert (sized.configuration, sized.conductors, sized.wires) == (configuration, 2, 3)


@pytest.mark.parametrize(
    ("motor", "continuous", "ampacity_a"), [(False, False, 16), (False, True, 20), (True, False, 20)]
)
def test_125_percent_for_motors_and_continuous_loads_only(
    motor: bool, continuous: bool, ampacity_a: int
) -> None:
    assert size(load(amps="16", motor=motor, continuous=continuous)).minimum_ampacity_a == ampacity_a


def test_480_v_takes_600_v_cord() -> None:
    sized = size(load(480, 3, hp="10"), Wiring.CORD, "locking")

    assert (sized.current_a, sized.cord_volts_at_least, sized.configuration) == (14, 600, "NEMA L16-20")


def test_neutral_adds_a_conductor() -> None:
    sized = size(load(hp="3", neutral=True))

    assert (sized.conductors, sized.wires, sized.configuration) == (3, 4, "NEMA 14-30")


@pytest.mark.parametrize(("volts", "awg"), [(240, "10"), (208, "8")])
def test_neutral_beside_two_lines_of_a_wye_carries_current(volts: int, awg: str) -> None:
    """NFPA 70 400.5(A), from memory: 30 A takes 10 AWG cord with two, 8 AWG with three carrying."""
    sized = size(load(volts, amps="28", motor=False, neutral=True), Wiring.CORD)

    assert (sized.breaker_a, sized.awg) == (30, awg)


def test_five_wires_on_a_wye_with_neutral() -> None:
    sized = size(load(208, 3, hp="5", neutral=True), family="locking")

    assert (sized.conductors, sized.wires, sized.configuration) == (4, 5, "NEMA L21-30")


def test_hard_wired_has_no_receptacle() -> None:
    """50 A: wire for 125 %; the breaker by habit 175 %, 87.5 A, next usual 90 A, within 250 %."""
    sized = size(load(hp="10"), family=None)

    assert sized.configuration is None
    assert (sized.minimum_ampacity_a, sized.breaker_a, sized.awg, sized.awg_at_most) == (
        Decimal("62.5"),
        90,
        "4",
        "1",
    )


@pytest.mark.parametrize("wiring", FIXED)
def test_fixed_wiring_uses_the_60_c_column(wiring: Wiring) -> None:
    """40 A: 8 AWG is 40 A at 60 C; 50 A: 6 AWG is 55 A, though 8 AWG would do at 75 C."""
    heaters = [load(amps=amps, motor=False) for amps in ("38", "48")]

    assert [size(heater, wiring).awg for heater in heaters] == ["8", "6"]


def test_next_size_up_for_larger_conductors_only() -> None:
    """6 AWG, 55 A, may stand behind 60 A (240.4(B)); 12 AWG never behind more than 20 A (240.4(D))."""
    assert size(load(amps="55", motor=False), family=None).awg == "6"
    assert size(load(amps="21", motor=False), family=None).awg == "10"


@pytest.mark.parametrize("amps", ["31", "34"])
def test_a_motors_circuit_goes_by_the_table(amps: str) -> None:
    """NFPA 70 430.6(A)(1): the table's current, however little the plate says."""
    current_a, reason = load_current_a(load(120, hp="3", amps=amps))

    assert current_a == 34
    assert f"the nameplate says {amps} A, but a motor's circuit goes by the table" in reason.detail


def test_the_amperes_of_a_machine_with_a_plug_rule_beside_its_horsepower() -> None:
    """NFPA 70 430.6(A)(1) Exception No. 3, from memory: 3 hp on the plate, 12.8 A, a 6-20 plug."""
    sized = size(replace(load(hp="3", amps="12.8"), plug="NEMA 6-20"))

    assert (sized.current_a, sized.minimum_ampacity_a) == (Decimal("12.8"), 16)
    assert (sized.breaker_a, sized.awg, sized.configuration) == (20, "12", "NEMA 6-20")
    assert "NFPA 70 430.6(A)(1) Exception No. 3" in next(
        reason.source for reason in sized.reasons if reason.what == "load current"
    )


def test_an_unlisted_machine_goes_by_the_table_whatever_its_plug() -> None:
    """NFPA 70 430.6(A)(1), Table 430.248, 430.22: 3 hp at 240 V is 17 A, 21.25 A to carry, 10 AWG at 60 C (Table 310.16).

    1-1/2 hp at 120 V is 20 A, for which no 5-15 plug is; the exception is a listed appliance's alone.
    """
    saw = replace(load(hp="3", amps="12.8"), plug="NEMA 6-20")
    sized = size(replace(saw, listed=False))
    assert (sized.current_a, sized.minimum_ampacity_a) == (17, Decimal("21.25"))
    assert (sized.breaker_a, sized.awg, sized.configuration) == (20, "10", "NEMA 6-20")
    assert size(replace(saw, listed=True)).awg == "12"
    with pytest.raises(CannotSizeError, match="NEMA 5-15 carries 15 A"):
        size(replace(load(120, hp="1.5", amps="15"), plug="NEMA 5-15", listed=False))


def test_a_machine_with_a_plug_is_taken_to_draw_no_more_than_that_carries() -> None:
    """1 hp at 120 V is 16 A by the table, but a listed machine with a 5-15 plug draws 15 A at most (210.21(B), 110.3(B))."""
    sized = size(replace(load(120, hp="1"), plug="NEMA 5-15"))

    assert (sized.current_a, sized.breaker_a, sized.configuration) == (15, 20, "NEMA 5-20")
    assert "15 A at most" in detail(sized, "load current")
    assert "proves no current" in detail(sized, "load current")
    assert "write its amperes" in detail(sized, "load current")
    with pytest.raises(CannotSizeError, match="NEMA 6-20 carries 20 A and the nameplate asks for 50 A"):
        size(replace(load(hp="10"), plug="NEMA 6-20"))


@pytest.mark.parametrize(
    ("volts", "amps", "plug", "breaker_a", "configuration"),
    [
        (120, "12", "NEMA 5-15", 20, "NEMA 5-20"),
        (120, "15", "NEMA 5-15", 20, "NEMA 5-20"),
        (240, "12", "NEMA 6-20", 20, "NEMA 6-20"),
        (240, "12", "NEMA 6-30", 30, "NEMA 6-30"),
        (240, "10", "NEMA L6-15", 15, "NEMA L6-15"),
    ],
)
def test_the_circuit_follows_the_plug(
    volts: int, amps: str, plug: str, breaker_a: int, configuration: str
) -> None:
    """The T slot of 5-20 and 6-20 takes a 15 A plug; no other receptacle takes one of fewer amperes."""
    family = "locking" if "L" in plug else "straight"
    sized = size(replace(load(volts, amps=amps), plug=plug), family=family)

    assert (sized.breaker_a, sized.configuration) == (breaker_a, configuration)
    assert sized.breaker_most_a <= breaker_a


@pytest.mark.parametrize(
    ("machine", "family", "breaker_a", "configuration"),
    [
        (replace(load(120, amps="9"), plug="NEMA 5-15", breaker_at_most_a=15), "straight", 15, "NEMA 5-15"),
        (
            replace(load(amps="30", motor=False), plug="NEMA 6-50", breaker_at_most_a=40),
            "straight",
            40,
            "NEMA 6-50",
        ),
        (replace(load(amps="24", motor=False), breaker_at_most_a=28), None, 25, None),
        (replace(load(hp="5"), breaker_at_most_a=40), None, 40, None),
        (replace(load(hp="2"), breaker_at_most_a=15), "straight", 15, "NEMA 6-15"),
    ],
)
def test_the_largest_breaker_of_the_plate_holds_for_every_load(
    machine: Load, family: str | None, breaker_a: int, configuration: str | None
) -> None:
    """A standard size within what the plate allows (NFPA 70 240.6(A), 110.3(B)), whatever plug or habit would have."""
    sized = size(machine, Wiring.CONDUIT, family)

    assert (sized.breaker_a, sized.configuration) == (breaker_a, configuration)
    assert sized.breaker_most_a <= machine.breaker_at_most_a if machine.breaker_at_most_a else False


def test_a_largest_breaker_below_the_current_is_refused() -> None:
    with pytest.raises(CannotSizeError, match="at most 15 A, and it draws 24 A: read the plate again"):
        size(replace(load(amps="24", motor=False), breaker_at_most_a=15))


def test_the_smallest_circuit_may_be_15_a() -> None:
    fifteen = replace(rules(), smallest_circuit_a=15)
    sized = size(replace(load(120, amps="12"), plug="NEMA 5-15"), code=fifteen)

    assert (sized.breaker_a, sized.awg, sized.configuration) == (15, "14", "NEMA 5-15")


def test_a_plug_is_never_exchanged_for_a_larger_one() -> None:
    with pytest.raises(CannotSizeError, match=r"NEMA 6-20 carries 20 A and the nameplate asks for 24 A"):
        size(replace(load(amps="24"), plug="NEMA 6-20"))
    kiln = replace(load(amps="18", motor=False, continuous=True), plug="NEMA 6-20")
    with pytest.raises(CannotSizeError, match=r"18 A for hours, which asks for 22\.5 A"):
        size(kiln)


def welder(**plate: Any) -> Load:
    return replace(load(amps="46", motor=False), kind=LoadKind.WELDER, **plate)


def test_a_welder_by_its_duty_cycle() -> None:
    """46 A at 40 %: 0.63 x 46 = 28.98 A (Table 630.11(A)); the plug's 50 A on 8 AWG at 75 C, limit 92 to 100 A (630.12(A))."""
    sized = size(welder(duty_cycle=Decimal("0.4"), plug="NEMA 6-50", terminals_c=75), Wiring.CONDUIT, feet=60)

    assert sized.minimum_ampacity_a == Decimal("28.98")
    assert (sized.breaker_a, sized.awg, sized.configuration) == (50, "8", "NEMA 6-50")
    assert sized.grounding_awg == "10"
    assert round(sized.voltage_drop * 240, 2) == Decimal("4.29")


def test_a_welder_without_duty_cycle_counts_whole_and_with_effective_amperes_by_them() -> None:
    assert size(welder(plug="NEMA 6-50")).minimum_ampacity_a == 46
    assert size(welder(plug="NEMA 6-50", effective_a=Decimal(29))).minimum_ampacity_a == 29
    assert size(welder(), family=None).breaker_a == 50


@pytest.mark.parametrize(
    ("machine", "awg", "breaker_a", "least_a", "most_a"),
    [
        (load(hp="5", amps="23"), "8", 50, 35, 70),
        (load(480, 3, hp="10"), "12", 30, 20, 35),
        (load(hp="2"), "12", 30, 15, 30),
        (load(hp="3"), "10", 30, 25, 45),
        (load(phases=3, hp="5"), "12", 30, 20, 40),
        (load(phases=3, hp="3"), "12", 20, 15, 25),
    ],
)
def test_a_hard_wired_motor_starts_on_its_breaker(
    machine: Load, awg: str, breaker_a: int, least_a: int, most_a: int
) -> None:
    """Wire by 125 % (430.22); breaker by habit 175 %, at most 250 % and the next size (430.52): 240.4(G), not 240.4(D)."""
    sized = size(machine, Wiring.CONDUIT, None)

    assert (sized.awg, sized.breaker_a) == (awg, breaker_a)
    assert (sized.breaker_at_least_a, sized.breaker_most_a) == (least_a, most_a)
    assert grounding_conductor_awg(sized.breaker_at_most_a) == grounding_conductor_awg(breaker_a)


def test_the_starting_margin_is_the_users() -> None:
    calm = replace(rules(), starting_margin=Decimal("1.25"))
    assert size(load(hp="5"), Wiring.CONDUIT, None, code=calm).breaker_a == 40


def test_terminals_marked_75_c_take_thinner_wire_but_in_nonmetallic_cable() -> None:
    """42 A: 6 AWG at 60 C, 8 AWG at 75 C; nonmetallic cable stays at 60 C (334.80)."""
    oven = replace(load(amps="42", motor=False), terminals_c=75)

    assert size(oven, Wiring.CONDUIT, None).awg == "8"
    assert size(oven, Wiring.CABLE, None).awg == "6"
    assert size(replace(oven, terminals_c=None), Wiring.CONDUIT, None).awg == "6"


def test_horsepower_of_what_is_no_motor_counts_only_without_amperes() -> None:
    assert load_current_a(load(hp="3", amps="12", motor=False))[0] == 12
    assert load_current_a(load(hp="3", motor=False))[0] == 17


def test_nameplate_serves_where_the_table_ends() -> None:
    current_a, reason = load_current_a(load(hp="15", amps="60"))

    assert current_a == 60
    assert "Table 430.248 has no row for 15 hp" in reason.detail


def test_no_current_known() -> None:
    with pytest.raises(CannotSizeError, match=r"no row for 15 hp.*; write amps from the nameplate"):
        size(load(hp="15"))
    with pytest.raises(CannotSizeError, match="neither amps nor hp is stated; write amps"):
        size(load())


def test_makers_breaker_wins() -> None:
    sized = size(load(hp="3", breaker=40))

    assert (sized.breaker_a, sized.breaker_at_most_a) == (40, 40)
    assert (sized.awg, sized.configuration) == ("8", "NEMA 6-50")
    assert "maker's stated size wins" in detail(sized, "breaker")


def test_makers_breaker_below_the_load_keeps_the_wire_and_says_so() -> None:
    """21.25 A still asks for 10 AWG and a device of at least 17 A."""
    sized = size(load(hp="3", breaker=15))

    assert (sized.breaker_a, sized.awg, sized.configuration) == (15, "10", "NEMA 6-20")
    assert "below the load current of 17 A" in detail(sized, "breaker")


def test_makers_breaker_that_is_no_standard_size() -> None:
    with pytest.raises(CannotSizeError, match=r"33 A breaker is no standard size.*nearest are 30 and 35 A"):
        size(load(hp="3", breaker=33))


def test_10_a_breaker_is_for_hard_wired_machines_since_2023() -> None:
    small = load(120, amps="5", breaker=10)

    assert size(small, family=None, code=rules(2023)).breaker_a == 10
    with pytest.raises(CannotSizeError, match=r"may not feed a receptacle \(NFPA 70 210\.18\)"):
        size(small, code=rules(2023))
    with pytest.raises(CannotSizeError, match="no standard size"):
        size(small, family=None, code=rules(2020))


def test_floor_raises_the_class() -> None:
    sized = size(load(amps="10", motor=False), floor_a=30)

    assert (sized.breaker_a, sized.awg, sized.configuration) == (30, "10", "NEMA 6-30")


def test_floor_never_lifts_the_breaker_over_the_motors_limit() -> None:
    """1 hp: 8 A, 250 % is 20 A; wire and receptacle follow the 50 A class, the breaker stays at 20 A."""
    sized = size(load(hp="1"), floor_a=50)

    assert (sized.breaker_a, sized.breaker_at_most_a) == (20, 20)
    assert (sized.awg, sized.configuration) == ("6", "NEMA 6-50")


def test_cord_for_an_outlet_already_sized_is_protected_by_its_breaker() -> None:
    outlet = size(load(hp="3", breaker=35))
    cord = size(load(hp="3", breaker=35), Wiring.CORD, floor_a=outlet.breaker_a)

    assert cord.configuration == outlet.configuration
    assert cord_ampacity_a(cord.awg, 2) >= outlet.breaker_a


@pytest.mark.parametrize(
    ("hp", "current_a", "limit_a"), [("1", 8, 20), ("3", 17, 45), ("5", 28, 70), ("10", 50, 125)]
)
def test_motor_breaker_limit(hp: str, current_a: int, limit_a: int) -> None:
    """250 % of them, next standard size."""
    assert motor_limit_a(load(hp=hp), Decimal(current_a)) == limit_a


def test_voltage_drop_by_hand() -> None:
    """2 x 100 ft x 1.24 ohm / 1000 x 17 A = 4.216 V; three-phase √3 / 2 of that."""
    single = voltage_drop_v(1, Decimal(100), Decimal("1.24"), Decimal(17))

    assert single == Decimal("4.216")
    assert float(voltage_drop_v(3, Decimal(100), Decimal("1.24"), Decimal(17))) == pytest.approx(
        3.651, abs=1e-3
    )


def test_long_run_steps_the_gauge_up() -> None:
    """17 A over 200 ft: 10 AWG drops 8.43 V of 240, 3.5 %; 8 AWG 5.29 V, 2.2 %; 10 AWG ground grows to 8."""
    sized = size(load(hp="3"), feet=200)

    assert (sized.awg, sized.grounding_awg) == ("8", "8")
    assert sized.voltage_drop == Decimal("5.2904") / 240
    assert "enlarged in proportion as 10 became 8 AWG (250.122(B))" in detail(sized, "grounding conductor")
    assert "unity power factor" in detail(sized, "voltage drop")


def test_drop_beyond_what_the_terminals_take() -> None:
    """12 A at 120 V over 150 ft: even 10 AWG, the thickest for a 20 A device, drops 4.46 V, 3.7 %: advice, no rule."""
    sized = size(load(120, amps="12"), feet=150)

    assert (sized.awg, sized.drops_too_much) == ("10", True)
    assert round(sized.voltage_drop * 120, 2) == Decimal("4.46")
    assert "8 AWG would drop 2.3 %, but no thicker wire goes under the terminals" in detail(
        sized, "voltage drop"
    )
    spliced = size(load(120, amps="12"), feet=150, pigtails=True)
    assert (spliced.awg, spliced.grounding_awg, spliced.pigtails, spliced.breaker_a) == ("8", "8", 1, 20)
    assert not spliced.drops_too_much
    unsold = size(load(120, amps="12"), feet=150, pigtails=True, heaviest="12")
    assert (unsold.awg, unsold.grounding_awg, unsold.pigtails, unsold.drops_too_much) == ("12", "12", 0, True)
    assert "nobody sells that new at a price" in detail(unsold, "voltage drop")


def test_no_length_no_drop() -> None:
    assert size(load(hp="3"), feet=0).voltage_drop == 0


def test_negative_length() -> None:
    with pytest.raises(CannotSizeError, match="a run of -1 ft is negative"):
        size(load(hp="3"), feet=-1)


@pytest.mark.parametrize(("ambient", "awg"), [("30", "12"), ("35", "12"), ("40", "12"), ("45", "10")])
def test_warm_air_thickens_cord(ambient: str, awg: str) -> None:
    """20 A breaker, two carrying: 12 AWG is 25 A x 0.82 = 20.5 A at 40 C, 17.75 A at 45 C."""
    assert size(load(amps="16"), Wiring.CORD, code=rules(ambient=ambient)).awg == awg


def test_wire_thicker_than_the_terminals_take() -> None:
    """At 50 C 10 AWG is 30 A x 0.58 = 17.4 A, so 20 A asks for 8 AWG, and a 20 A device takes 10."""
    with pytest.raises(CannotSizeError, match="asks for 8 AWG, but the terminals of a 20 A device"):
        size(load(amps="16"), Wiring.CORD, code=rules(ambient="50"))


def test_cool_air_is_no_credit() -> None:
    assert size(load(amps="20.5", motor=False), Wiring.CORD, code=rules(ambient="10")).awg == "10"


def test_warm_air_corrects_fixed_wiring_from_the_90_c_column() -> None:
    """12 AWG at 40 C: 30 A x 0.91 = 27.3 A, still above its 20 A terminals; at 60 C 30 x 0.71 = 21.3 A."""
    heater = load(amps="20", motor=False)

    assert size(heater, code=rules(ambient="40")).awg == "12"
    assert size(heater, code=rules(ambient="60")).awg == "12"
    assert size(heater, code=rules(ambient="65")).awg == "10"


def test_cord_may_not_hang_in_air_above_55_c() -> None:
    with pytest.raises(CannotSizeError, match=r"Table 310\.15\(B\)\(1\) gives no factor_60c for 56 C"):
        size(load(hp="3"), Wiring.CORD, code=rules(ambient="56"))


def test_cord_ends_at_2_awg() -> None:
    with pytest.raises(CannotSizeError, match=r"2 AWG, carries 80 A.*power it by fixed wiring"):
        size(load(phases=3, hp="25"), Wiring.CORD, "pin and sleeve")


def test_nonmetallic_cable_ends_at_2_awg_and_conduit_goes_on() -> None:
    big = load(phases=3, hp="40")

    with pytest.raises(
        CannotSizeError, match=r"must carry 130 A.*2 AWG, carries 95 A.*use wire in conduit or armored cable"
    ):
        size(big, family=None)
    # 104 A, 130 A at 125 %: above 100 A the 75 C column, 1 AWG 130 A (110.14(C)(1)(b))
    assert size(big, Wiring.CONDUIT, None).awg == "1"


def test_no_receptacle_large_enough() -> None:
    with pytest.raises(CannotSizeError, match="straight family has no 70 A receptacle"):
        size(load(hp="10"))


GARAGE, SHOP = "dwelling garage", "commercial"


@pytest.mark.parametrize(
    ("machine", "edition", "occupancy", "place", "needed"),
    [
        (load(120, amps="12"), 2008, GARAGE, False, True),
        (load(120, amps="20"), 2017, GARAGE, False, False),
        (load(hp="3"), 2017, GARAGE, False, False),
        (load(hp="3"), 2020, GARAGE, False, True),
        (load(hp="3"), None, GARAGE, False, True),
        (load(phases=3, hp="3"), 2023, GARAGE, False, False),
        (load(120, amps="12"), 2023, SHOP, False, False),
        (load(120, amps="12"), 2014, SHOP, True, True),
        (load(hp="3"), 2014, SHOP, True, False),
        (load(hp="3"), 2017, SHOP, True, True),
        (load(hp="3"), None, SHOP, True, True),
        (load(208, 3, hp="3"), 2020, SHOP, True, True),
        (load(208, 3, hp="3"), 2014, SHOP, True, False),
        (load(240, 3, hp="3"), 2020, SHOP, True, False),
        (load(480, 3, hp="3"), 2020, SHOP, True, False),
        (load(amps="60", motor=False), 2020, SHOP, True, False),
        (load(amps="60", motor=False), 2020, GARAGE, False, True),
    ],
)
def test_ground_fault_protection(
    machine: Load, edition: int | None, occupancy: str, place: bool, needed: bool
) -> None:
    """NFPA 70 210.8(A) and (B) by edition; above 50 A only dwellings ask for it on single-phase."""
    sized = size(machine, family="pin and sleeve", code=rules(edition, occupancy, place=place))

    assert sized.ground_fault is needed
    assert ("not known" in detail(sized, "ground fault")) is (edition is None)


@pytest.mark.parametrize(("occupancy", "words"), [(SHOP, "208 V or more to ground"), (GARAGE, "three-phase")])
def test_a_three_phase_receptacle_without_protection_says_why(occupancy: str, words: str) -> None:
    """NFPA 70 210.8, from memory: (B) goes by 150 V to ground, half of 240 V times the root of three is 208 V; (A) has
    single-phase receptacles."""
    sized = size(load(240, 3, hp="3"), family="pin and sleeve", code=rules(2020, occupancy, place=True))
    assert words in detail(sized, "ground fault")
    assert "from 20" not in detail(sized, "ground fault")


def test_hard_wiring_removes_the_receptacle_rule() -> None:
    assert not size(load(hp="3"), family=None, code=rules(2023, GARAGE)).ground_fault


def test_every_figure_has_a_reason() -> None:
    sized = size(load(hp="3"), Wiring.CORD)
    reasons = {reason.what: reason for reason in sized.reasons}

    assert set(reasons) == {
        "load current",
        "minimum ampacity",
        "breaker",
        "motor limit",
        "largest breaker",
        "receptacle",
        "conductor",
        "largest wire",
        "voltage drop",
        "grounding conductor",
        "ground fault",
        "cord volts",
    }
    assert reasons["load current"].source == "NFPA 70 430.6(A)(1); NFPA 70 2023, Table 430.248"
    assert reasons["load current"].detail == "3 hp at 240 V: row 3 hp, 17 A"
    assert all(reason.source and reason.detail for reason in sized.reasons)


def test_figures_from_memory_say_so() -> None:
    sized = size(load(480, 3, amps="40"), Wiring.CORD, "pin and sleeve")

    assert sized.awg == "4"
    assert detail(sized, "conductor").endswith("from memory, not confirmed")
    assert detail(sized, "receptacle").endswith("from memory, not confirmed")


AMPS = st.decimals("0.1", "75", places=1)
FEET = st.integers(0, 150)
SYSTEMS = st.sampled_from([(120, 1), (208, 1), (240, 1), (208, 3), (240, 3), (480, 3)])
WIRINGS = st.sampled_from(list(Wiring))
FAMILIES = st.sampled_from(["straight", "locking", receptacles.PIN_AND_SLEEVE, None])


def attempt(machine: Load, wiring: Wiring, family: str | None, feet: int, code: Rules) -> CircuitSize | None:
    try:
        return size_circuit(machine, wiring, family, Decimal(feet), code)
    except CannotSizeError:
        return None


@settings(max_examples=150, deadline=None)
@given(AMPS, AMPS, FEET, SYSTEMS, WIRINGS, FAMILIES, st.booleans())
def test_more_current_never_gives_less(
    a: Decimal,
    b: Decimal,
    feet: int,
    system: tuple[int, int],
    wiring: Wiring,
    family: str | None,
    motor: bool,
) -> None:
    less, more = (
        attempt(load(*system, amps=str(amps), motor=motor), wiring, family, feet, rules(drop="0.10"))
        for amps in sorted((a, b))
    )
    assume(less and more)
    assert less is not None
    assert more is not None

    assert awg_rank(less.awg) <= awg_rank(more.awg)
    assert less.breaker_a <= more.breaker_a


@settings(max_examples=150, deadline=None)
@given(AMPS, FEET, FEET, SYSTEMS, WIRINGS, FAMILIES)
def test_a_longer_run_never_gives_thinner_wire(
    amps: Decimal, a: int, b: int, system: tuple[int, int], wiring: Wiring, family: str | None
) -> None:
    near, far = (
        attempt(load(*system, amps=str(amps)), wiring, family, feet, rules()) for feet in sorted((a, b))
    )
    assume(near and far)
    assert near is not None
    assert far is not None

    assert awg_rank(near.awg) <= awg_rank(far.awg)
    assert near.breaker_a == far.breaker_a


@settings(max_examples=200, deadline=None)
@given(AMPS, FEET, SYSTEMS, WIRINGS, FAMILIES, st.booleans(), st.integers(10, 50))
def test_what_is_sized_holds_together(
    amps: Decimal,
    feet: int,
    system: tuple[int, int],
    wiring: Wiring,
    family: str | None,
    motor: bool,
    ambient: int,
) -> None:
    code = rules(ambient=str(ambient))
    sized = attempt(load(*system, amps=str(amps), motor=motor), wiring, family, feet, code)
    assume(sized)
    assert sized is not None

    assert sized.current_a <= sized.minimum_ampacity_a <= sized.breaker_a <= sized.breaker_at_most_a
    assert awg_rank("14") <= awg_rank(sized.awg) <= awg_rank(sized.awg_at_most)
    assert awg_rank(sized.grounding_awg) <= awg_rank(sized.awg)
    assert sized.drops_too_much == (sized.voltage_drop > code.drop_limit)
    if sized.configuration is not None:
        device = receptacles.find_configuration(sized.configuration)
        assert device.rating_a >= sized.breaker_at_most_a
        assert device.wires == sized.wires
    if wiring is Wiring.CORD:
        carrying = 3 if system[1] == 3 else 2
        assert cord_ampacity_a(sized.awg, carrying) >= sized.breaker_at_most_a


@pytest.mark.parametrize(
    ("kind", "source"),
    [
        (LoadKind.MOTOR, "NFPA 70 240.4, 430.52"),
        (LoadKind.HEATER, "NFPA 70 240.4"),
        (LoadKind.WELDER, "NFPA 70 630.12(A); NFPA 70 630.12(B); 240.4(G)"),
        (LoadKind.SPOT_WELDER, "NFPA 70 630.32(A); NFPA 70 630.32(B); 240.4(G)"),
    ],
)
def test_the_largest_breaker_is_cited_by_the_kind_of_load(kind: LoadKind, source: str) -> None:
    """NFPA 70 430.52 is of motors only; a welder's breaker goes by 630.12 or 630.32."""
    sized = size(replace(load(amps="12"), kind=kind), Wiring.CONDUIT)
    assert next(reason.source for reason in sized.reasons if reason.what == "largest breaker") == source


@pytest.mark.parametrize(("configuration", "box_a"), [("NEMA 15-30", 30), ("NEMA 15-50", 50), (None, 30)])
def test_box_and_cover_take_the_receptacle_though_its_breaker_is_smaller(
    configuration: str | None, box_a: int
) -> None:
    """A 50 A receptacle is too large for a 30 A box, whatever the breaker (common practice, no source)."""
    sized = replace(size(load(208, 3, hp="5")), configuration=configuration)
    assert sized.breaker_a == 30
    facts = Facts(make_shop(), make_catalog())
    assert dict(counted(facts, "outlet box", 1, {}, sized).spec.at_least) == {"rating_a": box_a}
