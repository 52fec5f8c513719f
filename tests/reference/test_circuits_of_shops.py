"""Whole machines sized as a good electrician would, from plate to outlet, worked by hand.

Sections and tables are NFPA 70, 2023; what is recalled is marked from memory where it is used. The figures of each case
were worked by hand from those tables: the conductor, the breaker that is usual and the most that the code allows, the
outlet, ground fault and voltage drop (Chapter 9 Table 8, stranded, 75 C, unity power factor).
"""

from decimal import Decimal
from typing import Any

import pytest
from strategies import make_catalog, make_shop

from costplan.circuits.circuit import Builder, Circuit
from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way, refusal
from costplan.model.choices import Family, Method, Service
from costplan.model.shop import Machine, Shop
from costplan.years.calendar import first_standings

Row = dict[str, Any]
GARAGE: Row = {"edition": 2020, "occupancy": "dwelling garage"}
SHOP: Row = {"edition": 2020}
SPLIT: Row = {"name": "panel", "system": "120/240 single-phase", "breakers": "family A", "spaces_free": 20}
WYE: Row = SPLIT | {"system": "277/480 three-phase"}


def shop_with(machine: Row, feet: int, code: Row, panel: Row = SPLIT) -> Shop:
    routes = [{"from": "panel", "to": "bench A", "fixed": feet, "cord": feet}]
    return make_shop([machine | {"at": "bench A"}], panels=[panel], routes=routes, code=code)


def circuit(machine: Row, way: Way, feet: int, code: Row = SHOP, panel: Row = SPLIT) -> Circuit:
    shop = shop_with({"name": "machine"} | machine, feet, code, panel)
    built: Circuit = Builder(Facts(shop, make_catalog()), shop.machines[0], way).build(
        first_standings(shop)["machine"]
    )
    return built


def conduit(family: Family | None = None) -> Way:
    return Way(Method.CONDUIT, "panel", family)


def drop_volts(found: Circuit, volts: int) -> Decimal:
    return (found.size.voltage_drop * volts).quantize(Decimal("0.01"))


VACUUM: Row = {"volts": 120, "amps": 12, "hp": "5.5", "plug": "NEMA 5-15"}
LISTED_SAW: Row = {"volts": 240, "amps": "12.8", "hp": 3, "plug": "NEMA 6-20"}


def test_a_vacuum_with_a_boastful_horsepower_goes_by_its_plug_and_amperes() -> None:
    """12 A x 1.25 = 15 A; usual 20 A on 12 AWG, a 5-20 that takes its 5-15 plug; 1.43 V over 30 ft."""
    found = circuit(VACUUM, conduit(Family.STRAIGHT), 30, GARAGE)
    size = found.size
    assert (size.breaker_a, size.breaker_at_least_a, size.awg, size.grounding_awg) == (20, 15, "12", "12")
    assert (size.configuration, found.machine_plug) == ("NEMA 5-20", "NEMA 5-15")
    assert size.ground_fault
    assert drop_volts(found, 120) == Decimal("1.43")


@pytest.mark.parametrize(("edition", "ground_fault"), [(2017, False), (2020, True), (2023, True)])
def test_a_listed_saw_keeps_its_plug(edition: int, ground_fault: bool) -> None:
    """12.8 A x 1.25 = 16 A, not the table's 17 A for 3 hp: 20 A, 12 AWG, 6-20; 2.03 V over 40 ft."""
    found = circuit(LISTED_SAW, conduit(Family.STRAIGHT), 40, GARAGE | {"edition": edition})
    size = found.size
    assert (size.minimum_ampacity_a, size.breaker_a, size.breaker_most_a, size.awg) == (16, 20, 20, "12")
    assert (size.configuration, found.machine_plug) == ("NEMA 6-20", "NEMA 6-20")
    assert size.ground_fault == ground_fault
    assert drop_volts(found, 240) == Decimal("2.03")


def test_the_plug_of_a_listed_machine_is_not_cut_off_nor_exchanged() -> None:
    """Exchanging it voids the listing (110.3(B)); where the maker allows it, the file says so."""
    shop = shop_with({"name": "saw"} | LISTED_SAW | {"ways": {}}, 40, GARAGE)
    saw = shop.machines[0]
    free = saw.model_copy(update={"plug_may_change": True})
    plain = Way(Method.WALL, "panel", Family.STRAIGHT)
    longer = Way(Method.WALL, "panel", Family.STRAIGHT, slack_ft=Decimal(15), service=Service.HARD)
    for way in (Way(Method.WALL, "panel", None), Way(Method.WALL, "panel", Family.LOCKING), longer):
        assert "write plug_may_change: true" in (refusal(shop, saw, way) or "")
        assert refusal(shop, free, way) is None
    assert refusal(shop, saw, plain) is None


@pytest.mark.parametrize(
    ("said", "plugged"),
    [
        ({}, False),
        ({"never_moves": True}, False),
        ({"amps": 18}, True),
        ({"cord": {"awg": "4"}}, True),
        ({"never_moves": False}, True),
        ({"load": "other"}, True),
    ],
)
def test_a_large_heater_with_bare_ends_has_no_plug(said: dict[str, object], plugged: bool) -> None:
    """A kiln of 48 A: a cord only where its maker meant it for one (422.16(A), from memory); hard-wired it always may be."""
    kiln = {"name": "kiln", "volts": 240, "amps": 48, "load": "heater", "ways": {}} | said
    shop = shop_with(kiln, 40, GARAGE)
    refused = [
        refusal(shop, shop.machines[0], Way(Method.WALL, "panel", family))
        for family in (None, Family.PIN_AND_SLEEVE)
    ]
    assert [each is None for each in refused] == [True, plugged]


def test_a_cord_with_locking_ends_at_the_panel_takes_the_machines_own_plug() -> None:
    """Bandsaw, plate 14 A, 6-20 plug, 40 ft from the panel: 12/3, L6-20 at the panel, a 6-20 connector; 2.22 V."""
    way = Way(Method.CORD, "panel", Family.LOCKING, service=Service.HARD)
    found = circuit({"volts": 240, "amps": 14, "hp": 3, "plug": "NEMA 6-20"}, way, 40)
    cord = found.cord_size
    assert cord is not None
    assert (found.size.configuration, cord.configuration) == ("NEMA L6-20", "NEMA 6-20")
    assert (found.machine_plug, cord.awg, cord.wires) == ("NEMA 6-20", "12", 3)


@pytest.mark.parametrize(
    ("machine", "panel", "feet", "awg", "breaker_a", "most_a", "ground", "volts_lost"),
    [
        ({"volts": 240, "hp": 5, "amps": 23}, SPLIT, 45, "8", 50, 70, "10", "1.96"),
        ({"volts": 480, "phases": 3, "hp": 10}, WYE, 80, "12", 30, 35, "12", "3.84"),
    ],
)
def test_hard_wired_motors_start_on_their_breakers(
    machine: Row, panel: Row, feet: int, awg: str, breaker_a: int, most_a: int, ground: str, volts_lost: str
) -> None:
    """Compressor 28 A by the table (35 A wire, 70 A most); pump 14 A (17.5 A wire, 35 A most): 430.22, 430.52."""
    found = circuit(machine | {"ways": {"hard_wired": True}}, conduit(), feet, panel=panel)
    size = found.size
    assert (size.awg, size.breaker_a, size.breaker_most_a, size.grounding_awg) == (
        awg,
        breaker_a,
        most_a,
        ground,
    )
    assert drop_volts(found, machine["volts"]) == Decimal(volts_lost)


def test_a_drill_press_of_2_hp_on_an_outlet() -> None:
    """Table 12 A x 1.25 = 15 A: 20 A on 12 AWG and a 6-20, never 30 A behind it; 2.38 V over 50 ft."""
    found = circuit({"volts": 240, "hp": 2}, conduit(Family.STRAIGHT), 50)
    assert (found.size.awg, found.size.breaker_a, found.size.breaker_most_a) == ("12", 20, 20)
    assert found.size.configuration == "NEMA 6-20"
    assert drop_volts(found, 240) == Decimal("2.38")


def test_a_stick_welder_on_its_own_plug() -> None:
    """46 A at 40 %: 0.63 x 46 = 28.98 A; behind its 6-50 50 A on 8 AWG at 75 C, 4.29 V over 60 ft."""
    plate = {"volts": 240, "amps": 46, "load": "welder", "duty_cycle": "40 %", "plug": "NEMA 6-50"}
    found = circuit(plate, conduit(Family.STRAIGHT), 60, SHOP | {"terminals": 75})
    size = found.size
    assert (size.minimum_ampacity_a, size.breaker_a, size.awg) == (Decimal("28.98"), 50, "8")
    assert (size.configuration, size.grounding_awg) == ("NEMA 6-50", "10")
    assert drop_volts(found, 240) == Decimal("4.29")


@pytest.mark.parametrize(("terminals", "awg", "volts_lost"), [(60, "4", None), (75, "6", "1.89")])
def test_a_kiln_of_48_a_is_hard_wired_on_60_a(terminals: int, awg: str, volts_lost: str | None) -> None:
    """Continuous: 48 x 1.25 = 60 A for wire and breaker (210.19(A)(1), 210.20(A)); 6 AWG only where all is marked 75 C."""
    kiln: Row = {"volts": 240, "amps": 48, "load": "heater", "continuous": True, "terminals": terminals}
    found = circuit(kiln, conduit(), 40, {"edition": 2023})
    size = found.size
    assert (size.awg, size.breaker_a, size.grounding_awg) == (awg, 60, "10")
    assert not size.ground_fault
    if volts_lost:
        assert drop_volts(found, 240) == Decimal(volts_lost)


@pytest.mark.parametrize(
    ("method", "terminals", "awg"),
    [
        (Method.CONDUIT, 60, "6"),
        (Method.CONDUIT, 75, "8"),
        (Method.ARMORED, 60, "6"),
        (Method.WALL, 75, "6"),
    ],
)
def test_an_oven_of_42_a_by_every_method(method: Method, terminals: int, awg: str) -> None:
    """Not continuous: 50 A; 60 C where an end is not marked (110.14(C)); nonmetallic cable always 60 C (334.80)."""
    oven: Row = {"volts": 240, "amps": 42, "load": "heater", "continuous": False, "terminals": terminals}
    found = circuit(oven, Way(method, "panel", None), 55)
    assert (found.size.awg, found.size.breaker_a, found.size.grounding_awg) == (awg, 50, "10")


@pytest.mark.parametrize(
    ("outlet", "by_edition"),
    [
        ({"volts": 120, "amps": 12, "plug": "NEMA 5-20"}, (True, True, True, True)),
        ({"volts": 240, "amps": 12, "plug": "NEMA 6-20"}, (False, False, True, True)),
        (
            {"volts": 240, "amps": 40, "load": "welder", "plug": "NEMA 6-50"},
            (False, False, True, True),
        ),
    ],
)
def test_ground_fault_in_a_garage_by_edition(outlet: Row, by_edition: tuple[bool, ...]) -> None:
    """210.8(A): 125 V since long, 125 to 250 V from 2020; a hard-wired saw in none, since it speaks of receptacles."""
    found = tuple(
        circuit(outlet, conduit(Family.STRAIGHT), 30, GARAGE | {"edition": edition}).size.ground_fault
        for edition in (2014, 2017, 2020, 2023)
    )
    assert found == by_edition
    bare = {word: said for word, said in outlet.items() if word != "plug"}
    assert not circuit(bare, conduit(), 30, GARAGE).size.ground_fault


def test_what_a_machine_is_told_twice_is_refused() -> None:
    with pytest.raises(ValueError, match="says load: motor and motor: false"):
        Machine.model_validate({"name": "saw", "volts": 240, "amps": 9, "load": "motor", "motor": False})
