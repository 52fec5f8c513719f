"""Sizing at the very edge of a rule, where one ampere more or less is another answer; each test says the steps.

Figures are of the tables of the NFPA 70 sections named, worked by hand; machines are invented.
"""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from costplan.circuits.currents import load_current_a, minimum_ampacity_a
from costplan.circuits.size_types import CannotSizeError, CircuitSize, Load, Rules, Wiring
from costplan.circuits.sizing import size_circuit
from costplan.model.choices import LoadKind, Occupancy
from costplan.model.plate_figures import PlateRating

RULES = Rules(2020, Occupancy.COMMERCIAL, False, Decimal("0.05"), Decimal(30))
HEATER = Load(240, 1, False, LoadKind.OTHER, None, Decimal(40), False, None)
SAW = Load(120, 1, False, LoadKind.MOTOR, None, Decimal(12), False, None)


def size(
    load: Load,
    wiring: Wiring = Wiring.CONDUIT,
    family: str | None = None,
    feet: int = 20,
    rules: Rules = RULES,
) -> CircuitSize:
    return size_circuit(load, wiring, family, Decimal(feet), rules)


def why(sized: CircuitSize, what: str) -> str:
    return "; ".join(f"{each.detail} [{each.source}]" for each in sized.reasons if each.what == what)


@pytest.mark.parametrize(("amps", "awg"), [(100, "1"), (101, "2")])
def test_the_75_c_column_begins_above_100_a(amps: int, awg: str) -> None:
    """110.14(C)(1): up to 100 A 60 C, 1 AWG of 110 A, since 2 AWG has 95 A; above it 75 C, 2 AWG of 115 A (Table 310.16)."""
    assert size(replace(HEATER, amps_a=Decimal(amps))).awg == awg


@pytest.mark.parametrize(
    ("wiring", "cited", "not_cited"),
    [
        (Wiring.CORD, "Table 400.5(A)(1)", "310.16"),
        (Wiring.CABLE, "Table 310.16; 110.14(C); 334.80", "400.5"),
        (Wiring.CONDUIT, "Table 310.16; 110.14(C)", "334.80"),
    ],
)
def test_each_wiring_is_cited_by_its_own_table(wiring: Wiring, cited: str, not_cited: str) -> None:
    said = why(size(replace(HEATER, amps_a=Decimal(18)), wiring, "straight"), "conductor")

    assert cited in said
    assert not_cited not in said


@pytest.mark.parametrize(("load", "most_a"), [(SAW, 20), (replace(HEATER, volts=120, amps_a=Decimal(9)), 20)])
def test_a_20_a_circuit_that_is_there_serves_a_15_a_plug(load: Load, most_a: int) -> None:
    """A 5-20 receptacle takes a 5-15 plug (ANSI/NEMA WD 6): made anew it has 15 A where the user says so, and 20 A may stay."""
    sized = size(
        replace(load, plug="NEMA 5-15"), family="straight", rules=replace(RULES, smallest_circuit_a=15)
    )

    assert (sized.breaker_a, sized.breaker_most_a) == (15, most_a)


@pytest.mark.parametrize(
    ("amps", "breaker_a", "warned"),
    [("17", 20, "below the 21.25 A that its wires must carry"), ("17", 25, ""), ("16", 20, "")],
)
def test_a_makers_breaker_below_what_the_wires_carry_is_said(amps: str, breaker_a: int, warned: str) -> None:
    """17 A ask for wires of 21.25 A (430.22), above a 20 A breaker of the plate; 16 A ask for just 20 A."""
    motor = replace(SAW, volts=240, amps_a=Decimal(amps), maker_breaker_a=breaker_a)
    said = why(size(motor), "breaker")

    assert warned in said if warned else "below" not in said


@pytest.mark.parametrize(("limit", "awg", "too_much"), [("0.0396", "12", False), ("0.0395", "10", False)])
def test_a_drop_of_just_the_limit_is_within_it(limit: str, awg: str, too_much: bool) -> None:
    """12 AWG, 1.98 ohm per 1000 ft (Chapter 9 Table 8): 2 x 100 ft x 1.98 x 12 A / 1000 = 4.752 V, 3.96 % of 120 V."""
    sized = size(SAW, family="straight", feet=100, rules=replace(RULES, drop_limit=Decimal(limit)))

    assert (sized.awg, sized.drops_too_much) == (awg, too_much)
    thin = "12 AWG would carry the current and drop 4.0 %"
    assert (thin in why(sized, "voltage drop")) is (awg != "12")


def test_only_a_welders_outlet_is_said_to_have_thicker_wire_than_by_itself() -> None:
    """12 A that is no welder: 12 AWG behind a 20 A outlet is what 240.4(D) asks for, and no courtesy."""
    assert not why(size(replace(HEATER, amps_a=Decimal(12)), family="straight"), "wire of its outlet")


def test_a_continuous_load_of_just_80_percent_keeps_its_plug() -> None:
    """16 A for hours ask for 20 A (210.20(A)), which is what a 6-20 plug and its circuit have; 16.1 A ask for 20.125 A."""
    oven = replace(HEATER, amps_a=Decimal(16), continuous=True, plug="NEMA 6-20")

    assert (size(oven, family="straight").breaker_a, size(oven, family="straight").awg) == (20, "12")
    with pytest.raises(CannotSizeError, match=r"16\.1 A for hours, which asks for 20\.125 A"):
        size(replace(oven, amps_a=Decimal("16.1")), family="straight")


@pytest.mark.parametrize(("floor_a", "said"), [(20, False), (25, True)])
def test_a_class_above_the_motors_limit_is_said(floor_a: int, said: bool) -> None:
    """1 hp at 240 V: 8 A (Table 430.248), 250 % is 20 A (Table 430.52): a class of 25 A is beyond it, one of 20 A is not."""
    motor = replace(SAW, volts=240, amps_a=None, hp=Decimal(1))
    sized = size_circuit(motor, Wiring.CONDUIT, "straight", Decimal(20), RULES, floor_a)

    assert sized.breaker_a == 20
    assert ("would pass the motor's limit" in why(sized, "breaker")) is said


@pytest.mark.parametrize(
    ("amps", "most_a", "said"),
    [(16, 20, ""), (24, 25, "25 A in place of 30 A"), (24, 30, "")],
)
def test_a_plate_that_lowers_the_breaker_is_said_and_one_that_just_allows_it_is_not(
    amps: int, most_a: int, said: str
) -> None:
    """16 A on the usual 20 A, 24 A on the usual 30 A; at most 25 A on the plate is a standard size (240.6(A), 110.3(B))."""
    found = why(
        size(replace(HEATER, amps_a=Decimal(amps), breaker_at_most_a=most_a)), "maker's largest breaker"
    )
    assert said in found if said else not found


def test_a_plate_that_lowers_the_breaker_below_what_the_wires_carry_is_to_be_read_again() -> None:
    """18 A for hours: wires and breaker for 22.5 A (210.19(A), 210.20(A)); a plate of at most 20 A cannot be right."""
    oven = replace(HEATER, amps_a=Decimal(18), continuous=True, breaker_at_most_a=20)
    assert "below the 22.5 A that its wires must carry: read the plate again" in why(
        size(oven), "maker's largest breaker"
    )
    assert "read the plate again" not in why(
        size(replace(oven, breaker_at_most_a=25)), "maker's largest breaker"
    )


def test_a_start_that_no_usual_size_within_the_limit_allows_gets_the_largest_below_it() -> None:
    """10 A: at most 250 %, 25 A (Table 430.52); a habit of 250 % asks for the usual 30 A, so it is the usual 20 A."""
    hard = replace(RULES, starting_margin=Decimal("2.5"))
    sized = size(replace(SAW, volts=240, amps_a=Decimal(10)), rules=hard)

    assert (sized.breaker_a, sized.breaker_most_a) == (20, 25)


@pytest.mark.parametrize(
    ("kind", "percent", "wire_a", "limit_a"),
    [(LoadKind.WELDER, 200, 60, 100), (LoadKind.SPOT_WELDER, 300, 90, 150)],
)
def test_the_shares_of_a_welders_breaker_are_said(
    kind: LoadKind, percent: int, wire_a: int, limit_a: int
) -> None:
    """46 A, 28 A effective or half of 46 A: 10 AWG of 30 A; 630.12 has 200 % of wire and current, 630.32 has 300 %."""
    welder = replace(HEATER, kind=kind, amps_a=Decimal(46))
    sized = size(replace(welder, effective_a=Decimal(28)) if kind is LoadKind.WELDER else welder)

    assert f"may be {percent} % of that or the next size, {wire_a} A" in why(sized, "conductor")
    assert f"{percent} % of 46 A, next standard size: at most {limit_a} A" in why(sized, "welder limit")


@pytest.mark.parametrize(("terminals_c", "awg", "most_a"), [(60, "6", 110), (75, "8", 100)])
def test_a_breaker_that_is_there_behind_an_arc_welders_plug_is_bound_by_the_wire(
    terminals_c: int, awg: str, most_a: int
) -> None:
    """200 % of 62 A is 124, so 125 A (630.12(A)); of 6 AWG at 60 C 110 A, of 8 AWG at 75 C 100 A (630.12(B))."""
    welder = replace(HEATER, kind=LoadKind.WELDER, amps_a=Decimal(62), duty_cycle=Decimal("0.2"))
    sized = size(replace(welder, plug="NEMA 6-50", terminals_c=terminals_c), family="straight")

    assert (sized.awg, sized.breaker_a, sized.breaker_most_a) == (awg, 50, most_a)


@pytest.mark.parametrize(
    ("wiring", "terminals_c", "words"),
    [
        (Wiring.CONDUIT, None, "60 C column, since 75 C terminals are not known"),
        (Wiring.CONDUIT, 75, "75 C column, as its terminals are marked"),
        (Wiring.CABLE, 75, "60 C column, as 334.80 has it"),
    ],
)
def test_why_a_column_holds_is_said(wiring: Wiring, terminals_c: int | None, words: str) -> None:
    """110.14(C)(1)(a): 60 C unless the terminals are marked; Table 310.16 is confirmed, so that nothing is from memory."""
    said = why(size(replace(HEATER, terminals_c=terminals_c), wiring), "conductor")

    assert words in said
    assert "from memory" not in said


@pytest.mark.parametrize(("amps", "carried"), [("20", True), ("20.1", False)])
def test_just_a_plugs_amperes_at_volts_that_the_plate_does_not_name_are_carried(
    amps: str, carried: bool
) -> None:
    """A 6-20 plug carries 20 A (ANSI/NEMA WD 6), which a single receptacle on its circuit has (210.21(B)(1)); not more."""
    known = PlateRating(240, Decimal(240), Decimal("17.3"))
    oven = replace(HEATER, volts=208, amps_a=Decimal(amps), plug="NEMA 6-20", worked_from=known)
    if carried:
        assert size(oven, family="straight").configuration == "NEMA 6-20"
        return
    with pytest.raises(CannotSizeError, match=r"20\.1 A must be taken"):
        size(oven, family="straight")


def test_an_arc_welder_on_a_20_a_circuit_has_the_larger_receptacle_that_takes_its_plug() -> None:
    """30 A at 20 % are 13.5 A (630.11(A)); a 20 A circuit has a 20 A receptacle (210.21(B)(1)), into which a 5-15 plug goes."""
    welder = replace(HEATER, kind=LoadKind.WELDER, volts=120, amps_a=Decimal(30), plug="NEMA 5-15")
    sized = size(replace(welder, duty_cycle=Decimal("0.2"), maker_breaker_a=20), family="straight")

    assert (sized.minimum_ampacity_a, sized.breaker_a, sized.configuration) == (
        Decimal("13.5"),
        20,
        "NEMA 5-20",
    )


def test_a_receptacle_that_just_carries_the_start_is_no_reason_for_a_smaller_breaker() -> None:
    """10 A with a habit of 200 % start on 20 A, which a 6-20 carries; 12 A would start on 24 A, which it does not."""
    twice = replace(RULES, starting_margin=Decimal(2))
    motor = replace(SAW, volts=240, amps_a=Decimal(10))

    assert "so that it starts" in why(size(motor, family="straight", rules=twice), "breaker")
    assert "a start would have 24 A by habit, and its receptacle carries 20 A" in why(
        size(replace(motor, amps_a=Decimal(12)), family="straight", rules=twice), "breaker"
    )


def test_the_limit_of_one_motor_and_of_several_is_said() -> None:
    """1 hp: 8 A, 250 % is 20 A (430.52); with 5 A besides 20 and 5 are 25 A (430.53(C)(4), from memory)."""
    motor = replace(SAW, volts=240, amps_a=None, hp=Decimal(1))

    assert why(size(motor), "motor limit").startswith(
        "250 % of 8 A, next standard size: a breaker of at most 20 A"
    )
    several = why(size(replace(motor, other_a=Decimal(5))), "motor limit")
    assert (
        "the largest motor's 8 A, next standard size, and the other 5 A, then down: a breaker of at most 25 A"
        in several
    )


@pytest.mark.parametrize(("plug", "volts", "said"), [("NEMA 5-15", 120, True), ("NEMA 6-20", 240, False)])
def test_a_circuit_above_its_plug_is_said(plug: str, volts: int, said: bool) -> None:
    """No circuit below 20 A is made here, a habit of the trade: 20 A for a 15 A plug, and nothing to say of a 20 A plug."""
    sized = size(replace(SAW, volts=volts, plug=plug), family="straight")

    assert sized.breaker_a == 20
    assert ("no circuit below 20 A is made here" in why(sized, "breaker")) is said


def test_the_habit_that_a_motor_starts_by_is_said() -> None:
    """175 % of 12 A are 21 A, the next usual size 30 A, the limit just 250 %, 30 A (common practice; 430.52)."""
    assert "30 A: usual size not below 175 % of 12 A, so that it starts" in why(
        size(replace(SAW, volts=240)), "breaker"
    )


@pytest.mark.parametrize(
    ("changes", "asked"),
    [
        ({"amps_a": Decimal(18)}, "18 A"),
        ({"amps_a": Decimal(18), "kind": LoadKind.MOTOR}, "18 A"),
        ({"amps_a": Decimal(40), "kind": LoadKind.WELDER, "effective_a": Decimal(16)}, "16 A"),
    ],
)
def test_a_makers_breaker_makes_no_plug_larger(changes: dict[str, Any], asked: str) -> None:
    """A 5-15 plug carries 15 A (ANSI/NEMA WD 6), whatever breaker the plate allows: used as it is listed (110.3(B))."""
    plugged = replace(HEATER, volts=120, plug="NEMA 5-15", maker_breaker_a=20, **changes)
    with pytest.raises(CannotSizeError, match=f"carries 15 A and the nameplate asks for {asked}"):
        size(plugged, family="straight")
    assert size(plugged).breaker_a == 20


@pytest.mark.parametrize(
    ("volts", "hp", "breaker_a", "most_a"), [(480, 10, 30, 35), (240, 5, 30, 40), (240, 10, 50, 60)]
)
def test_a_breaker_may_be_bought_up_to_the_motors_limit_where_the_ground_stays(
    volts: int, hp: int, breaker_a: int, most_a: int
) -> None:
    """14, 15.2 and 28 A (Table 430.250), 250 % to 35, 40 and 70 A (430.52); 10 AWG grounds end at 60 A (Table 250.122)."""
    motor = replace(SAW, volts=volts, phases=3, amps_a=None, hp=Decimal(hp))
    sized = size(motor)

    assert (sized.breaker_a, sized.breaker_at_most_a) == (breaker_a, most_a)


@pytest.mark.parametrize(("amps", "configuration"), [("20", "NEMA 6-20"), ("20.4", "NEMA 6-30")])
def test_a_receptacle_carries_all_of_the_current_whatever_the_makers_breaker(
    amps: str, configuration: str
) -> None:
    """A 6-20 carries 20 A (ANSI/NEMA WD 6), not 20.4 A."""
    motor = replace(SAW, volts=240, amps_a=Decimal(amps), maker_breaker_a=20)
    assert size(motor, family="straight").configuration == configuration


def test_the_wire_within_the_advice_is_told_or_that_there_is_none() -> None:
    """12 A at 120 V over 100 ft: 12 AWG 3.96 %, 10 AWG (1.24 ohm per 1000 ft) 2.48 %; over 5000 ft no wire does."""
    advice = replace(RULES, drop_limit=Decimal("0.03"))

    assert size(SAW, feet=100, rules=advice).awg_in_advice == "10"
    assert size(SAW, feet=5000, rules=advice).awg_in_advice == ""


@pytest.mark.parametrize(
    ("feet", "awg", "ends", "where"),
    [(150, "8", 1, "at its outlet, in a box"), (220, "6", 2, "at its outlet and in the panel, in a box")],
)
def test_a_heavier_run_is_spliced_where_an_end_does_not_take_it(
    feet: int, awg: str, ends: int, where: str
) -> None:
    """12 A, 3 % of 120 V is 3.6 V: 150 ft of 8 AWG (0.778 ohm) 2.8 V, 220 ft of 6 AWG (0.491 ohm) 2.6 V (Chapter 9 Table 8).

    A 20 A receptacle takes up to 10 AWG, a 20 A breaker up to 8 AWG: common practice, no source.
    """
    advice = replace(RULES, drop_limit=Decimal("0.03"))
    sized = size_circuit(SAW, Wiring.CONDUIT, "straight", Decimal(feet), advice, pigtails=True)

    assert (sized.awg, sized.pigtails) == (awg, ends)
    assert where in why(sized, "pigtails")


@pytest.mark.parametrize(
    ("kind", "bound"),
    [(LoadKind.OTHER, ""), (LoadKind.MOTOR, ", the motor"), (LoadKind.WELDER, ", the welder")],
)
def test_what_bounds_the_largest_breaker_is_named(kind: LoadKind, bound: str) -> None:
    """A motor's by 430.52, a welder's by 630.12, any other's by its wire (240.4)."""
    said = why(size(replace(HEATER, kind=kind, amps_a=Decimal(16))), "largest breaker")
    assert f"the receptacle{bound} and the maker allow" in said


def test_how_large_a_circuit_a_plug_goes_on_is_said() -> None:
    """Into a 20 A receptacle goes a 15 A plug, into a 30 A one it does not (ANSI/NEMA WD 6)."""
    saw = replace(SAW, plug="NEMA 5-15", maker_breaker_a=30)
    with pytest.raises(CannotSizeError, match=r"NEMA 5-15 goes on circuits up to 20 A, and .* has 30 A"):
        size(saw, family="straight")


@pytest.mark.parametrize(
    ("load", "ampacity_a", "source"),
    [
        (replace(SAW, amps_a=Decimal(16)), 20, "430.22"),
        (replace(SAW, amps_a=Decimal(16), other_a=Decimal(4)), 24, "430.24"),
        (
            replace(HEATER, continuous=True, amps_a=Decimal(16), other_a=Decimal(4)),
            25,
            "210.19(A), 210.20(A)",
        ),
    ],
)
def test_of_what_is_no_motor_all_that_is_continuous_counts_at_125_percent(
    load: Load, ampacity_a: int, source: str
) -> None:
    """16 A x 1.25 is 20 A (430.22); 4 A beside the motor count once (430.24); 20 A that stay on count 25 A (210.19(A))."""
    least_a, reason = minimum_ampacity_a(load, load_current_a(load)[0])
    assert (least_a, reason.source) == (ampacity_a, f"NFPA 70 {source}")


@pytest.mark.parametrize(
    ("plate", "said"),
    [
        ({"kind": LoadKind.WELDER}, "0.63 x 40 A at a duty cycle of 40 %: 25.2 A"),
        ({"kind": LoadKind.SPOT_WELDER, "one_operation": True}, "one operation at a duty cycle of 40 %"),
    ],
)
def test_the_duty_cycle_of_a_welder_is_said_in_percent(plate: dict[str, Any], said: str) -> None:
    """0.63 at 40 % (Table 630.11(A))."""
    load = replace(HEATER, duty_cycle=Decimal("0.4"), **plate)
    assert said in minimum_ampacity_a(load, Decimal(40))[1].detail


@pytest.mark.parametrize(
    ("listed", "said"), [(True, "plug and is listed,"), (None, "taken as listed, since nobody")]
)
def test_whether_somebody_said_that_a_machine_is_listed_is_said(listed: bool | None, said: str) -> None:
    saw = replace(SAW, hp=Decimal(1), plug="NEMA 5-15", listed=listed)
    assert said in load_current_a(saw)[1].detail
