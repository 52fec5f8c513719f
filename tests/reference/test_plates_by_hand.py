"""Plates worked by hand: second motors, volts of plates and panels, motors in another's place, drives, factory cords.

Source: circuits worked by hand for this tool from NFPA 70, 2023 (430.6, 430.22, 430.24, 430.52, 430.53, 430.110, Tables
430.248 and 430.250, 400.5(A)(1)), each figure with its working beside it; NEMA MG 1 12.44 (10 % of a plate's volts) and its
frames from memory. Shops, plates and prices are invented.
"""

import re
from decimal import Decimal
from typing import Any

import pytest
from strategies import (
    DELTA,
    GEAR_RECIPES,
    MILL,
    SAW,
    gear_offers,
    gear_parts,
    make_catalog,
    make_gear_shop,
    offer,
    with_gear,
)

from costplan.circuits.breaker import motor_limit_a
from costplan.circuits.circuit import Builder, Standing
from costplan.circuits.currents import currents, load_current_a, minimum_ampacity_a, switched_hp
from costplan.circuits.facts import Facts
from costplan.circuits.size_types import CannotSizeError, CircuitSize, Load, Rules, Wiring
from costplan.circuits.sizing import size_circuit
from costplan.circuits.supply import supplied, through_transformer
from costplan.circuits.volts import fed_from
from costplan.circuits.ways import Way, load_of
from costplan.model.choices import Family, Method, Occupancy, Supply
from costplan.model.shop import Machine, Panel
from costplan.standards.loads import autotransformer_breaker_a
from costplan.standards.motors import equivalent_hp

Row = dict[str, Any]
RULES = Rules(2023, Occupancy.COMMERCIAL, False, Decimal("0.03"), Decimal(30))
WYE = Panel.model_validate(
    {"name": "wye", "system": "120/208 three-phase", "breakers": "family A", "spaces_free": 9}
)
SINGLE = WYE.model_copy(update={"name": "main", "system": "120/240 single-phase"})


def machine(**words: Any) -> Machine:
    return Machine.model_validate({"name": "it", "at": "bench C"} | words)


def at(panel: Panel, **words: Any) -> Load:
    fed = fed_from(panel, load_of(machine(**words)))
    assert fed is not None
    assert fed.load is not None, fed.why_not
    return fed.load


def sized(load: Load, family: str | None = None) -> CircuitSize:
    return size_circuit(load, Wiring.CONDUIT, family, Decimal(40), RULES)


# second motors ------------------------------------------------------------------------------------

HYDRAULIC = {"what": "hydraulic pump", "hp": 1}
LATHE: Row = {
    "volts": 230,
    "phases": 3,
    "hp": 5,
    "more_motors": [HYDRAULIC, {"what": "coolant pump", "hp": "1/8 hp", "amps": 0.6}],
}
MILL_OF_THREE: Row = {"volts": 230, "hp": 3, "more_motors": [{"hp": 1}, {"hp": "1/3"}]}
PRESS: Row = {
    "volts": "200-208",
    "phases": 3,
    "hp": 10,
    "more_motors": [{"hp": 3}, {"what": "coolant pump", "hp": "1/2", "phases": 1}],
}
"""Its coolant pump hangs between two lines: the fullest line carries all three motors."""


@pytest.mark.parametrize(
    ("words", "draws_a", "wire_a", "awg", "most_a", "marked_hp"),
    [
        # 15.2 + 4.2 + 0.6; 15.2 x 1.25 + 4.8; 38 -> 40, + 4.8 -> 40; 20.0 A is above 5 hp's 15.2 A
        (LATHE, "20", "23.8", "10", 40, "7.5"),
        # 17 + 8 + 3.6; 21.25 + 11.6; 42.5 -> 45, + 11.6 = 56.6 -> 50; 28.6 A is above 5 hp's 28 A
        (MILL_OF_THREE, "28.6", "32.85", "8", 50, "7.5"),
        # 30.8 + 10.6 + 5.4; 38.5 + 16; 77 -> 80, + 16 = 96 -> 90; 46.8 A is above 15 hp's 46.2 A
        (PRESS, "46.8", "54.5", "6", 90, "20"),
    ],
    ids=["lathe with two pumps", "single-phase mill", "press at 208 V"],
)
def test_several_motors_on_one_circuit(
    words: Row, draws_a: str, wire_a: str, awg: str, most_a: int, marked_hp: str
) -> None:
    load = load_of(machine(**words))
    current_a, _ = load_current_a(load)
    assert current_a == Decimal(draws_a)
    assert minimum_ampacity_a(load, current_a)[0] == Decimal(wire_a)
    assert motor_limit_a(load, current_a) == most_a
    assert switched_hp(load) == Decimal(marked_hp)
    size = sized(load)
    assert (size.awg, size.breaker_at_most_a <= most_a, size.breaker_a <= most_a) == (awg, True, True)


def test_a_plugged_machine_of_three_motors_has_an_outlet_for_all_of_them() -> None:
    """32.85 A, usual 40 to 50 A behind a 6-50: 175 % of 17 A and 11.6 A more is 41.35 A; its 3 hp alone would fit a 6-30."""
    size = sized(load_of(machine(**MILL_OF_THREE)), "straight")
    assert (size.configuration, size.breaker_a) == ("NEMA 6-50", 50)


def test_what_is_besides_the_motors_counts_once() -> None:
    """2 hp, 6.8 A, and a transformer of 100 VA, 0.42 A at 240 V: 8.5 + 0.42 = 8.92 A; 17 -> 20, + 0.42 -> 20."""
    load = load_of(machine(volts=230, phases=3, hp=2, other_load=0.42, control_transformer=True))
    current_a, _ = load_current_a(load)
    assert (currents(load).largest_a, current_a) == (Decimal("6.8"), Decimal("7.22"))
    assert minimum_ampacity_a(load, current_a)[0] == Decimal("8.92")
    assert motor_limit_a(load, current_a) == 20


def test_a_two_speed_motor_goes_by_its_plate() -> None:
    """9.8 A at the higher draw: 12.25 A of wire, 24.5 -> 25 A; the table's 9.6 A for 3 hp is passed over (430.6(A)(1))."""
    load = load_of(machine(volts=230, phases=3, hp=3, amps=9.8, two_speed=True))
    current_a, _ = load_current_a(load)
    assert current_a == Decimal("9.8")
    assert minimum_ampacity_a(load, current_a)[0] == Decimal("12.25")
    assert motor_limit_a(load, current_a) == 25


def test_the_table_ends_and_is_not_stretched() -> None:
    with pytest.raises(LookupError, match="no row for 9999 A"):
        equivalent_hp(Decimal(9999), 3, 240)


# volts of plates and panels -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("panel", "wire_a", "most_a"),
    # 18.7 x 1.25 and 46.75 -> 50; 17 x 1.25 and 42.5 -> 45
    [(WYE, "23.375", 50), (SINGLE, "21.25", 45)],
    ids=["208 V", "240 V"],
)
def test_a_range_is_served_at_both_ends(panel: Panel, wire_a: str, most_a: int) -> None:
    load = at(panel, volts="208-230", hp=3, amps="18.5-17")
    current_a, _ = load_current_a(load)
    assert minimum_ampacity_a(load, current_a)[0] == Decimal(wire_a)
    assert motor_limit_a(load, current_a) == most_a
    assert sized(load).awg == "10"


@pytest.mark.parametrize(
    ("volts", "amps", "told"),
    [
        ("208-230", "18.5-17", {208: "18.5", 240: "17"}),
        ("208-230/460", "9.4-8.6/4.3", {208: "9.4", 240: "8.6", 480: "4.3"}),
        # one figure for a range is that of its higher end, and a motor draws more below: 17 x 230 / 208
        ("208-230", "17", {208: "18.80", 240: "17"}),
        ("200-208", "19.6-18.7", {208: "19.6"}),
        ("230/460", "8.6/4.3", {240: "8.6", 480: "4.3"}),
    ],
)
def test_amperes_go_with_their_volts(volts: str, amps: str, told: dict[int, str]) -> None:
    rated = machine(volts=volts, phases=3, amps=amps).rated()
    assert {known.volts: known.amps_a for known in rated} == {at: Decimal(a) for at, a in told.items()}


def test_a_plate_of_several_volts_is_connected_as_its_plug_or_at_the_highest_that_the_panel_gives() -> None:
    bare = at(SINGLE, volts="115/230", hp=1, amps="16/8")
    assert (bare.volts, bare.amps_a, bare.fed_at) == (
        240,
        8,
        "its plate has several volts: its leads must be set for 240 V",
    )
    plugged = at(SINGLE, volts="115/230", hp=1, amps="12/6", plug="NEMA 5-15")
    assert (plugged.volts, plugged.amps_a, plugged.plug) == (120, 12, "NEMA 5-15")
    assert at(WYE, volts="208-230/460", phases=3, hp=3, amps="9.4-8.6/4.3").amps_a == Decimal("9.4")


def test_a_230_volt_motor_at_208_volts_is_priced_by_that_column_and_told() -> None:
    """208 / 230 = 90.4 %, within 10 %; torque (0.904)^2 = 82 %; Table 430.248 at 208 V: 18.7 A."""
    load = at(WYE, volts=230, hp=3, amps=17)
    assert load_current_a(load)[0] == Decimal("18.7")
    assert "90 % of its volts, 82 % of its torque" in load.fed_at
    fed = fed_from(WYE, load_of(machine(volts=230, hp=3, amps=17)))
    assert fed is not None
    assert not fed.own


@pytest.mark.parametrize(
    ("panel", "words", "why"),
    [
        (SINGLE, {"volts": 200, "hp": 3}, "240 V is 120 % of that, outside the 10 %"),
        (WYE, {"volts": 240, "hp": 3}, "208 V is 87 % of that"),
        (
            SINGLE,
            {"volts": 208, "amps": 28.8, "load": "heater"},
            "133 % of their heat at 240 V, which burns them out",
        ),
        (
            WYE,
            {"volts": 240, "amps": 25, "load": "heater"},
            r"75 % of their heat at 208 V.*write least_heat: 75 %",
        ),
        (
            WYE,
            {"volts": 240, "amps": 25, "load": "heater", "least_heat": "80 %"},
            "75 % of their heat at 208 V",
        ),
        (WYE, {"volts": 230, "amps": 30, "load": "welder"}, 'does the plate say "208-230"'),
    ],
)
def test_other_volts_that_are_not_given(panel: Panel, words: Row, why: str) -> None:
    fed = fed_from(panel, load_of(machine(**words)))
    assert fed is not None
    assert fed.load is None
    assert re.search(why, fed.why_not), fed.why_not


@pytest.mark.parametrize(
    ("panel", "words", "draws_a", "wire_a"),
    [
        (SINGLE, {"volts": 240, "amps": 25}, "25", "31.25"),
        # 25 x 208 / 240 = 21.7, x 1.25 = 27.1
        (WYE, {"volts": 240, "amps": 25, "least_heat": "75 %"}, "21.67", "27.0875"),
        (WYE, {"volts": "208/240", "amps": "21.7/25"}, "21.7", "27.125"),
        # 5 kW at 230 V: 22.7 A at 240 V, 109 % of its heat; 19.7 A at 208 V, 82 %
        (SINGLE, {"volts": 230, "amps": 21.74}, "22.69", "28.3625"),
        (WYE, {"volts": 230, "amps": 21.74, "least_heat": "80 %"}, "19.67", "24.5875"),
        # 12 kW three-phase: 28.9 x 208 / 240 = 25.0 A
        (WYE, {"volts": 240, "phases": 3, "amps": 28.9, "least_heat": "75 %"}, "25.05", "31.3125"),
    ],
)
def test_a_heater_draws_less_at_lower_volts(panel: Panel, words: Row, draws_a: str, wire_a: str) -> None:
    load = at(panel, load="heater", continuous=True, **words)
    current_a, _ = load_current_a(load)
    assert current_a == Decimal(draws_a)
    assert minimum_ampacity_a(load, current_a)[0] == Decimal(wire_a)


@pytest.mark.parametrize(
    ("words", "panel", "draws_a", "wire_a", "said"),
    [
        # Table 430.248, 3 hp at 208 V: 18.7 A, above 15 x 230 / 208 = 16.59 A; 125 % is 23.375 A
        ({"hp": 3, "amps": 15}, WYE, "18.7", "23.375", "16.59 A reckoned from 15 A at the plate's 230 V"),
        # a plate above the table grows with the lower volts: 18 x 230 / 208
        ({"hp": 3, "amps": 18}, WYE, "19.91", "24.8875", "19.91 A reckoned from 18 A at the plate's 230 V"),
        # at the plate's own volts its amperes rule (430.6(A)(1) Exception 3)
        ({"hp": 3, "amps": 15}, SINGLE, "15", "18.75", "15 A stated"),
        # named on the plate, the amperes at 208 V are stated
        ({"hp": 3, "amps": "16.5/15", "volts": "208/230"}, WYE, "16.5", "20.625", "16.5 A stated"),
        # 6.5 hp beside 12 A is a peak: by the table it would be 35 A
        ({"hp": "6.5", "amps": 12}, WYE, "13.27", "16.5875", "13.27 A reckoned from 12 A"),
        # no horsepower, no table: only the plate, reckoned
        ({"amps": 15}, WYE, "16.59", "20.7375", "16.59 A reckoned from 15 A"),
    ],
)
def test_a_plugged_motor_at_other_volts(
    words: Row, panel: Panel, draws_a: str, wire_a: str, said: str
) -> None:
    """430.6(A)(1) Exception 3 asks for amperes marked for the volts, from memory; Table 430.248 for 208 V."""
    load = at(panel, **{"volts": 230, "plug": "NEMA 6-20"} | words)
    current_a, why = load_current_a(load)
    assert current_a == Decimal(draws_a)
    assert minimum_ampacity_a(load, current_a)[0] == Decimal(wire_a)
    assert said in why.detail
    assert ("stated" in why.detail) == ("stated" in said)


def test_a_plug_too_small_for_the_table_at_other_volts() -> None:
    """5 hp at 208 V: 30.8 A by Table 430.248, above the 30 A of its plug, though 24 A x 230 / 208 = 26.5 A is not."""
    load = at(WYE, volts=230, plug="NEMA 6-30", hp=5, amps=24)
    with pytest.raises(
        CannotSizeError, match=r"at 208 V, which its plate does not name, 30.8 A must be taken"
    ):
        sized(load, "straight")


# transformers -------------------------------------------------------------------------------------

KIND = {"kind": "buck-boost transformer", "attributes": ["kva", "winding_v", "boost_v", "phases"]}


def boost(kva: str, boost_v: int = 32) -> Row:
    return {
        "id": f"boost-{kva}-{boost_v}",
        "kind": "buck-boost transformer",
        "name": f"transformer {kva} kVA",
        "attributes": {"kva": kva, "winding_v": 240, "boost_v": boost_v, "phases": 1},
    }


def kiln_on_208(parts: list[Row], **words: Any) -> Any:
    given = with_gear(**{"buck-boost transformer": {"tasks": [{"task": "change-device", "quantity": 2}]}})
    catalog = make_catalog(
        **given | {"kinds": [*given["kinds"], KIND], "more_parts": [*given["more_parts"], *parts]}
    )
    kiln = {"name": "kiln", "at": "bench C", "volts": 240, "amps": 48, "load": "heater", "continuous": True}
    facts = Facts(make_gear_shop([kiln | words], panels=[DELTA | {"system": "120/208 three-phase"}]), catalog)
    it = facts.shop.machines[0]
    (panel,) = facts.shop.panels
    return through_transformer(facts, it, load_of(it), panel)


def test_a_kiln_of_240_volts_on_208_through_a_transformer() -> None:
    """208 x (1 + 32 / 240) = 235.7 V; 48 x 235.7 / 240 = 47.1 A; 32 V x 48 A = 1.54 kVA; 53.4 A in, x 1.25 = 66.8 A."""
    fed = kiln_on_208([boost("1.5"), boost("2"), boost("2", 16)])
    current_a, _ = load_current_a(fed.load)
    assert round(current_a, 1) == Decimal("53.4")
    assert dict(fed.device.item.spec.equal) == {"winding_v": "240", "boost_v": "32", "phases": "1"}
    assert dict(fed.device.item.spec.at_least) == {"kva": Decimal("1.536")}
    size = sized(fed.load)
    assert (size.awg, size.breaker_a) == ("4", 70)
    assert fed.device.bought.work


def test_a_transformer_that_the_catalog_lacks_is_asked_for() -> None:
    with pytest.raises(
        CannotSizeError, match="no buck-boost transformer in the catalog brings 208 V near 240 V"
    ):
        kiln_on_208([boost("2", 16)])
    with pytest.raises(CannotSizeError, match="two or three transformers"):
        kiln_on_208([boost("2")], phases=3)
    with pytest.raises(CannotSizeError, match="neutral"):
        kiln_on_208([boost("2")], neutral=True)


@pytest.mark.parametrize(
    ("words", "kva", "breaker_a"),
    [
        # 1 kVA / 32 V = 31.25 A out, x 1.1333 = 35.4 A in, x 1.25 = 44.3 -> 45 A; the kiln needs 33.4 x 1.25 = 41.7 -> 45 A
        ({"amps": 30}, "0.96", 45),
        # 28 A x 1.1333 = 31.7 A in; x 1.75 = 55.5 -> 60 A, above 45: 1.5 kVA, 53.1 A in, x 1.25 = 66.4 -> 70 A allow it
        ({"amps": None, "load": "motor", "hp": 5, "continuous": False}, "1.5", 60),
        # 36 A x 32 = 1.15 kVA: 1.5 kVA as it is; 40.1 x 1.25 = 50.1 -> 60 A, and 70 A allowed
        ({"amps": 36}, "1.152", 60),
        # 7 A: 0.22 kVA; one of 0.25 is 8.85 A in, below 9: 167 % = 14.8, so no breaker of 15 A; 0.5: 17.7 x 1.25 -> 25 A
        ({"amps": 7}, "0.5", 20),
    ],
)
def test_the_breaker_ahead_of_a_transformer(words: Row, kva: str, breaker_a: int) -> None:
    """450.4(A), from memory: at most 125 % of its own rated input, the next standard size up from 9 A on."""
    sold = ["0.25", "0.5"] if words["amps"] == 7 else ["1", "1.5", "2"]
    fed = kiln_on_208([boost(size) for size in sold], **words)
    (least,) = dict(fed.device.item.spec.at_least).values()
    assert least.quantize(Decimal("0.001")) == Decimal(kva)
    size = sized(fed.load)
    assert size.breaker_a == breaker_a
    assert size.breaker_at_most_a <= fed.load.breaker_at_most_a
    assert "NEC 450.4(A)" in fed.load.fed_at


def test_the_largest_breaker_by_a_transformer_of_its_size() -> None:
    """450.4(A): 35.4 A in: 44.3 -> 45; 53.1: 66.4 -> 70; 70.8: 88.5 -> 90; below 9 A 167 %, down."""
    found = [autotransformer_breaker_a(Decimal(in_a)) for in_a in ("35.4", "53.1", "70.8", "9", "28", "36")]
    assert found == [45, 70, 90, 15, 35, 45]
    with pytest.raises(LookupError):
        autotransformer_breaker_a(Decimal("8.9"))  # 14.9 A, and the smallest of every edition is 15


# another motor, drives ------------------------------------------------------------------------------


def by(supply: Supply, **words: Any) -> Any:
    facts = Facts(make_gear_shop([MILL | words]), make_catalog(**with_gear()))
    it = facts.shop.machines[0]
    return supplied(
        facts, it, at(SINGLE.model_copy(update={"system": "240 three-phase"}), **MILL | words), supply
    )


def test_a_motor_that_matches_makes_a_circuit_of_its_own() -> None:
    """3 hp single-phase: 17 x 1.25 = 21.25 A, 10 AWG; 42.5 -> 45 A at most."""
    fed = by(Supply.MOTOR)
    current_a, _ = load_current_a(fed.load)
    assert (current_a, motor_limit_a(fed.load, current_a), sized(fed.load).awg) == (17, 45, "10")


@pytest.mark.parametrize(
    ("words", "why"),
    [
        ({"rpm": 1140}, "1725 rpm, not 1140"),
        ({"rpm": 3450}, "1725 rpm, not 3450"),
        ({"frame": "145T"}, "frame 184T, not 145T, shaft 1.125 in, not 0.875"),
        ({"frame": "182TC", "shaft": "1-1/8 in"}, "frame 184T, not 182TC"),
        ({"shaft": "7/8 in"}, "shaft 1.125 in, not 0.875"),
        ({"enclosure": "explosion-proof"}, "totally enclosed, not explosion-proof"),
        ({"rpm": None}, r"read the speed \(rpm:\) off the plate"),
        ({"rpm": None, "frame": None, "enclosure": None}, "speed.*frame.*shaft.*closed"),
        ({"frame": "D90"}, r"read the shaft \(shaft:\)"),
        ({"more_motors": [{"what": "coolant pump", "hp": "1/8"}]}, "without power: coolant pump"),
        ({"two_speed": True}, "two speeds"),
        ({"brake": True}, "brake, which is part of its guarding"),
    ],
)
def test_a_motor_that_does_not_match_is_told_with_what_to_read(words: Row, why: str) -> None:
    with pytest.raises(CannotSizeError, match=why):
        by(Supply.MOTOR, **words)


@pytest.mark.parametrize(
    "words", [{"rpm": 1745}, {"rpm": 1760}, {"frame": "184T"}, {"enclosure": "ODP"}, {"shaft": "1-1/8 in"}]
)
def test_a_motor_that_is_near_enough_matches(words: Row) -> None:
    """Within 3 % of the speed, of the same shaft and height, or closed where the old one is open."""
    assert by(Supply.MOTOR, **words).device is not None


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (
            {"more_motors": [{"what": "coolant pump", "hp": "1/8"}]},
            "runs one motor, and it has more: coolant pump",
        ),
        ({"two_speed": True}, "its two-speed motor is"),
        ({"brake": True}, "brake must not hang on a drive"),
    ],
)
def test_what_rules_out_a_drive(words: Row, why: str) -> None:
    with pytest.raises(CannotSizeError, match=why):
        by(Supply.DRIVE, **words)


def test_a_lathe_with_a_pump_keeps_its_motors_on_three_phases() -> None:
    """3 hp 208-230/460 V, 1725 rpm, 182T, with a coolant pump of 1/8 hp: neither a drive nor another motor alone."""
    lathe = {"volts": "208-230/460", "more_motors": [{"what": "coolant pump", "hp": "1/8", "amps": 0.5}]}
    for supply in (Supply.DRIVE, Supply.MOTOR):
        with pytest.raises(CannotSizeError, match="coolant pump"):
            by(supply, **lathe)
    load = by(Supply.PANEL, **lathe).load
    # 9.6 x 1.25 + 0.5 = 12.5 A
    assert minimum_ampacity_a(load, load_current_a(load)[0])[0] == Decimal("12.5")


def test_a_drive_for_a_mill_is_fed_by_its_input() -> None:
    """3 hp: 9.6 A out, more than 9.6 x 1.73 = 16.6 A in by the maker; never 9.6 x 1.25 = 12 A on 14 AWG."""
    given = with_gear({"more_parts": []})
    parts = [
        part | {"attributes": part["attributes"] | {"input_a": 24}}
        for part in gear_parts()
        if part["id"] == "drive-3"
    ]
    others = [part for part in gear_parts() if part["id"] != "drive-3"]
    catalog = make_catalog(
        **given | {"more_parts": [*parts, *others], "recipes": GEAR_RECIPES, "more_offers": gear_offers()}
    )
    facts = Facts(make_gear_shop([MILL]), catalog)
    fed = supplied(facts, facts.shop.machines[0], load_of(machine(**MILL)), Supply.DRIVE)
    size = sized(fed.load, "straight")
    # 24 A x 1.25 = 30 A
    assert (size.minimum_ampacity_a, size.awg, size.breaker_a, size.configuration) == (
        30,
        "10",
        30,
        "NEMA 6-30",
    )


# the cord it came with --------------------------------------------------------------------------------


def built(way: Way, **words: Any) -> Any:
    facts = Facts(make_gear_shop([SAW | {"plug_may_change": True} | words]), make_catalog())
    it = facts.shop.machines[0]
    return Builder(facts, it, way).build(Standing(0, it.at, load_of(it), 0, Decimal(1), ""))


LOCKING = Way(Method.WALL, "panel", Family.LOCKING)


def test_no_plug_goes_on_a_cord_that_its_wire_does_not_carry() -> None:
    """Table 400.5(A)(1), two conductors carrying current: 14 AWG 18 A, 12 AWG 25 A; an L6-20 is for 20 A."""
    assert built(LOCKING, cord={"awg": "12"}).machine_plug == "NEMA L6-20"
    with pytest.raises(
        CannotSizeError, match="NEMA L6-20 plug carries 20 A, and its own cord of 14 AWG 18 A"
    ):
        built(LOCKING, cord={"awg": "14"})
    with pytest.raises(CannotSizeError, match=r"wire size of that is not said.*cord: \{awg:\}"):
        built(LOCKING)


SMALL_PLUGS = [
    {"id": f"plug-{code[5:]}", "kind": "plug", "name": f"plug {code}", "attributes": {"configuration": code}}
    for code in ("NEMA 5-15", "NEMA 6-15")
]


def with_small_plugs(sold: bool = True, **words: Any) -> Any:
    offers = [offer(part["id"], "store", 6) for part in SMALL_PLUGS] if sold else []
    facts = Facts(make_gear_shop([words]), make_catalog(more_parts=SMALL_PLUGS, more_offers=offers))
    it = facts.shop.machines[0]
    way = Way(Method.WALL, "panel", Family.STRAIGHT, volts=240 if "/" in str(words["volts"]) else 0)
    return Builder(facts, it, way).build(Standing(0, it.at, load_of(it), 0, Decimal(1), ""))


CHANGED: Row = {
    "name": "saw",
    "at": "bench A",
    "volts": "115/230",
    "amps": "14/7",
    "hp": 1,
    "plug": "NEMA 5-15",
    "plug_may_change": True,
    "cord": {"awg": "14"},
}


@pytest.mark.parametrize(
    ("words", "plug", "receptacle"),
    [
        # 7 A on 14 AWG, 18 A: too thin for a 20 A plug, not for the 6-15 that the T slot of a 6-20 takes (WD 6)
        ({}, "NEMA 6-15", "NEMA 6-20"),
        # 12 AWG, 25 A, takes the 20 A plug
        ({"cord": {"awg": "12"}}, "NEMA 6-20", "NEMA 6-20"),
        # bare ends: 1 hp at 240 V, 8 A; a 6-15 is usually marked 1 1/2 hp (UL 498, from memory)
        ({"plug": None, "volts": 240, "amps": 7}, "NEMA 6-15", "NEMA 6-20"),
        # 120 V alike: a heater of 9 A, a 5-15 into a 5-20
        (
            {"plug": None, "volts": 120, "amps": 9, "hp": None, "load": "heater"},
            "NEMA 5-15",
            "NEMA 5-20",
        ),
    ],
)
def test_a_smaller_plug_goes_on_a_thin_cord(words: Row, plug: str, receptacle: str) -> None:
    found = with_small_plugs(**CHANGED | words)
    assert (found.machine_plug, found.size.configuration, found.size.breaker_a) == (plug, receptacle, 20)


@pytest.mark.parametrize(
    ("sold", "words"),
    [
        (False, {}),
        # 16 A is more than a 15 A plug carries
        (True, {"amps": "32/16", "hp": None}),
        # 16 AWG carries 13 A: not even the smaller plug
        (True, {"cord": {"awg": "16"}}),
        # bare ends: no 15 A plug is usually marked for 3 hp, whose table current is 17 A besides
        (True, {"plug": None, "volts": 240, "amps": 12, "hp": 3}),
    ],
)
def test_no_smaller_plug_where_it_will_not_do(sold: bool, words: Row) -> None:
    with pytest.raises(CannotSizeError, match="no larger plug goes on it"):
        with_small_plugs(sold, **CHANGED | words)


def test_the_factory_plug_stays_on_the_factory_cord() -> None:
    assert built(Way(Method.WALL, "panel", Family.STRAIGHT), cord={"awg": "14"}).machine_plug == "NEMA 6-20"
    assert built(Way(Method.WALL, "panel", Family.LOCKING, Decimal(15)), cord={"awg": "14"}).flexible


def test_a_bare_end_gets_no_plug_that_its_cord_does_not_carry() -> None:
    words: Row = {"plug": None, "amps": 24, "cord": {"awg": "12"}}
    with pytest.raises(CannotSizeError, match="30 A, and its own cord of 12 AWG 25 A"):
        built(Way(Method.WALL, "panel", Family.STRAIGHT), **words)
    words["cord"] = {"awg": "10"}
    assert built(Way(Method.WALL, "panel", Family.STRAIGHT), **words).machine_plug == "NEMA 6-30"


# plugs with a neutral ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("panel", "words", "end", "poles", "conductors"),
    [
        # 125/250 V: 240 V between the lines, 208 V on a wye; three conductors and a ground
        (SINGLE, {"volts": 240, "amps": 30, "plug": "NEMA 14-50"}, "NEMA 14-50", 2, 3),
        (WYE, {"volts": 208, "amps": 30, "plug": "NEMA 14-50"}, "NEMA 14-50", 2, 3),
        (SINGLE, {"volts": "120/240", "amps": "20/20", "plug": "NEMA 14-30"}, "NEMA 14-30", 2, 3),
        # 120/208 V three-phase: four conductors and a ground
        (WYE, {"volts": 208, "phases": 3, "amps": 20, "plug": "NEMA L21-30"}, "NEMA L21-30", 3, 4),
        # used or not, the neutral is one wire
        (SINGLE, {"volts": 240, "amps": 30, "plug": "NEMA 14-50", "neutral": True}, "NEMA 14-50", 2, 3),
        # without one nothing is pulled
        (SINGLE, {"volts": 240, "amps": 20, "plug": "NEMA 6-30"}, "NEMA 6-30", 2, 2),
    ],
)
def test_the_neutral_of_a_plug_is_pulled(
    panel: Panel, words: Row, end: str, poles: int, conductors: int
) -> None:
    """ANSI/NEMA WD 6: 14-50 and 14-30 are 125/250 V, L21-30 is 3-phase wye 120/208 V; line to line they have the machine's."""
    load = at(panel, load="other", continuous=False, **words)
    size = sized(load, "locking" if end.startswith("NEMA L") else "straight")
    assert (size.configuration, size.poles, size.conductors, size.wires) == (
        end,
        poles,
        conductors,
        conductors + 1,
    )
    said = " ".join(reason.detail for reason in size.reasons)
    assert ("may use for its 120 V parts" in said) == (conductors > poles and not load.neutral)


def on_delta(**words: Any) -> Any:
    oven = {"name": "oven", "at": "bench C", "volts": 240, "amps": 16, "load": "other", "plug": "NEMA 14-30"}
    facts = Facts(make_gear_shop([oven | words], panels=[DELTA]), make_catalog())
    it = facts.shop.machines[0]
    way = Way(Method.WALL, DELTA["name"], Family.STRAIGHT)
    return Builder(facts, it, way).build(Standing(0, it.at, load_of(it), 0, Decimal(1), ""))


def test_a_plug_with_a_neutral_is_for_no_panel_without_one() -> None:
    """A 240 V delta has no neutral to pull, and 120/208 V devices are not for 240 V (ANSI/NEMA WD 6)."""
    with pytest.raises(CannotSizeError, match=r"14-30 has a neutral and .* has none to pull"):
        on_delta()
    changed = on_delta(plug_may_change=True, cord={"awg": "12"})
    assert (changed.size.configuration, changed.machine_plug) == ("NEMA 6-20", "NEMA 6-20")
    wye_plug = load_of(machine(volts=240, phases=3, amps=20, plug="NEMA L21-30"))
    assert wye_plug.plug is None


def test_hard_wired_it_has_no_neutral() -> None:
    """Where the plug is taken off, the machine has the wires that it uses."""
    load = at(SINGLE, volts=240, amps=30, plug="NEMA 14-50", load="other")
    assert sized(load).conductors == 2
