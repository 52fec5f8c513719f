"""What is said of welders and of circuits that are there, where it applies and nowhere else.

Sections stand beside the words in remarks.yaml. All shops are invented.
"""

from decimal import Decimal
from typing import Any

import pytest
from test_noted import BY_DROP, HARD_WIRED, MAIN, Row, catalog, facts_of, said, shop

from costplan.circuits.circuit import Builder
from costplan.circuits.grounds import ground_suits, no_new_receptacle, wire_with_ground
from costplan.circuits.outlet_key import OutletKey, Wired
from costplan.circuits.outlets import outlet_item, same_run
from costplan.circuits.present import begin
from costplan.circuits.ways import Way
from costplan.model.choices import Family, Method, SurplusRule
from costplan.program.bench import Bench
from costplan.program.ranking import best_plans
from costplan.reports.circuits import NOT_SEEN, UNSEEN, circuits_today
from costplan.reports.noted import noted_before
from costplan.reports.remarks import Topic
from costplan.reports.scope import scope_sheet
from costplan.reports.sizes import sizes_text
from costplan.standards.conductors import awg_rank
from costplan.studies.comparison import compare
from costplan.studies.left_out import machines_without_a_way
from costplan.studies.wanted import Wanted
from costplan.years.calendar import first_standings

WELDER: Row = {
    "name": "welder",
    "at": "bench",
    "volts": 240,
    "amps": 46,
    "load": "welder",
    "duty_cycle": "40 %",
}
COMMERCIAL = {"edition": 2020, "occupancy": "commercial", "ground_fault_place": False}


def test_a_welder_is_asked_for_its_plate_and_what_else_its_outlet_serves(tmp_path: Any) -> None:
    """NFPA 70 630.11, 630.12: behind an outlet its wire is its breaker's; hard-wired it is thinner, for the welder only."""
    plugged = said(shop(code=COMMERCIAL, machines=[WELDER | {"plug": "NEMA 6-50"} | BY_DROP]), tmp_path)
    assert plugged[Topic.WELDER] == ("welder",)
    assert Topic.BREAKER_ABOVE_WIRE not in plugged
    wired = said(shop(code=COMMERCIAL, machines=[WELDER | HARD_WIRED]), tmp_path)
    assert wired[Topic.WELDER] == wired[Topic.BREAKER_ABOVE_WIRE] == ("welder",)
    oven = said(
        shop(code=COMMERCIAL, machines=[WELDER | HARD_WIRED | {"load": "other", "duty_cycle": None}]),
        tmp_path,
    )
    assert not {Topic.WELDER, Topic.BREAKER_ABOVE_WIRE} & set(oven)


# receptacles without a ground contact ------------------------------------------------------------------

DRYER: Row = {
    "name": "dryer",
    "at": "bench",
    "volts": 240,
    "amps": 24,
    "load": "heater",
    "plug": "NEMA 10-30",
} | {"ways": {"only": ["armored drop"]}}
OLD: Row = {
    "method": "armored drop",
    "panel": "main panel",
    "configuration": "NEMA 10-30",
    "breaker": "30 A",
    "awg": "10",
}
MAY: Row = {"plug_may_change": True, "cord": {"awg": "10"}}


def test_a_plug_without_ground_stays_where_its_receptacle_is(tmp_path: Any) -> None:
    """NFPA 70 250.140, from memory: only what is there may keep such a receptacle; the frame's ground is asked."""
    written = shop(machines=[DRYER | {"now": OLD}], code=COMMERCIAL)
    found = said(written, tmp_path)
    assert found[Topic.FRAME_GROUND] == ("dryer",)
    assert Topic.PLUG_CHANGE not in found
    facts = facts_of(written, tmp_path)
    best = best_plans(Bench.over(facts, facts.shop.money.surplus), 1)[0]
    assert not best.plan.bought
    assert Topic.FRAME_GROUND in {entry.topic for entry in noted_before(facts)}
    assert Topic.FRAME_GROUND not in {entry.topic for entry in noted_before(facts_of(shop(), tmp_path))}


def test_no_receptacle_without_ground_is_put_in_anew(tmp_path: Any) -> None:
    bench = Bench.over(facts_of(shop(machines=[DRYER], code=COMMERCIAL), tmp_path), SurplusRule.NEW_ONLY)
    (reasons,) = machines_without_a_way(bench).values()
    assert any("never put in anew (NEC 250.140)" in reason for reason in reasons)


@pytest.mark.parametrize("words", [{}, {"cord": {"awg": "10"}}])
def test_a_plug_without_ground_is_exchanged_only_where_its_maker_allows_it(words: Row, tmp_path: Any) -> None:
    """NFPA 70 110.3(B); the cord's gauge is its condition (Table 400.5(A)(1)): 10 AWG carries 30 A, 12 AWG 25 A."""
    refused = Bench.over(
        facts_of(shop(machines=[DRYER | words], code=COMMERCIAL), tmp_path), SurplusRule.NEW_ONLY
    )
    assert machines_without_a_way(refused)
    written = shop(machines=[DRYER | {"plug_may_change": True} | words], code=COMMERCIAL)
    bench = Bench.over(facts_of(written, tmp_path), SurplusRule.NEW_ONLY)
    plugged = [o for o in bench.priced_survey.options["dryer"] if o.refused is None and o.way.family]
    assert bool(plugged) is bool(words)
    if words:
        found = said(written, tmp_path)
        assert found[Topic.FRAME_GROUND] == ("dryer",)


def test_a_run_without_ground_serves_no_receptacle_with_one(tmp_path: Any) -> None:
    """A new run is priced unless the file says the size of a ground in the old one."""
    way = Way(Method.ARMORED, "main panel", Family.STRAIGHT)
    kept = []
    for more in ({}, {"ground_awg": "10"}):
        facts = facts_of(shop(machines=[DRYER | MAY | {"now": OLD | more}], code=COMMERCIAL), tmp_path)
        builder = Builder(facts, facts.machines["dryer"], way)
        begun = begin(builder, first_standings(facts.shop)["dryer"]).step.change.begun
        kept.append("outlet" not in [str(slot) for slot, _ in begun])
    assert kept == [False, True]


def test_an_outlet_without_ground_is_taken_over_by_its_like_only() -> None:
    def outlet(end: str, *, grounded: bool = False) -> Any:
        wired = Wired(awg_rank("10"), Decimal(30), Decimal(30), 2, grounded=grounded)
        return outlet_item(OutletKey(0, end, "panel", "bench", 2, Method.ARMORED, wired=wired)).spec

    assert same_run(outlet("NEMA 10-30"), outlet("NEMA 10-30"))
    assert not same_run(outlet("NEMA 10-30"), outlet("NEMA 6-30"))
    assert not same_run(outlet("NEMA 6-30"), outlet("NEMA 10-30"))
    assert same_run(outlet("NEMA 10-30", grounded=True), outlet("NEMA 6-30"))
    assert same_run(outlet("NEMA 6-20"), outlet("NEMA 6-30"))


# what nobody sees --------------------------------------------------------------------------------------


def test_a_receptacle_below_its_breaker_is_asked_for_its_openings(tmp_path: Any) -> None:
    """NFPA 70 210.21(B)(1), Table 210.21(B)(3): 15 A on 20 A, a duplex only."""
    vacuum = {"name": "vacuum", "at": "bench", "volts": 120, "amps": 12, "plug": "NEMA 5-15"} | BY_DROP
    now = {
        "method": "armored drop",
        "panel": "main panel",
        "configuration": "NEMA 5-15",
        "breaker": "20 A",
        "awg": "12",
    }
    asked = [
        Topic.DUPLEX in said(shop(machines=[vacuum | {"now": now | more}], code=COMMERCIAL), tmp_path)
        for more in ({}, {"duplex": True}, {"breaker": "15 A"}, {"configuration": "NEMA 5-20"})
    ]
    assert asked == [True, False, False, False]


def test_a_ground_that_may_be_too_thin_for_the_breaker_that_stays_is_asked_for(tmp_path: Any) -> None:
    """5 hp on 8 AWG: 70 A asks for an 8 AWG ground, 50 A for 10 AWG (Table 250.122); 8/2 cable has 10."""
    motor = {
        "name": "compressor",
        "at": "bench",
        "volts": 240,
        "hp": 5,
        "ways": {"only": ["armored drop"], "hard_wired": True},
    }
    now = {
        "method": "armored drop",
        "panel": "main panel",
        "breaker": "70 A",
        "awg": "8",
        "disconnect": "100 A",
    }
    asked = [
        said(shop(machines=[motor | {"now": now | more}], code=COMMERCIAL), tmp_path).get(Topic.GROUND_SIZE)
        for more in ({}, {"ground_awg": "8"}, {"breaker": "50 A"})
    ]
    # With a ground of 10 AWG a breaker of 60 A takes the place of the 70 A one, with its label and its hours; no new run.
    (told,) = asked[0] or ("",)
    assert str(told).startswith("compressor (at least 8 AWG; with one of 10 AWG about USD ")
    assert asked[1:] == [None, None]
    facts = facts_of(shop(machines=[motor | {"now": now | {"ground_awg": "10"}}], code=COMMERCIAL), tmp_path)
    bought = best_plans(Bench.over(facts, facts.shop.money.surplus), 1)[0].plan.bought
    rows = {entry.offer_row for entry in bought}
    kinds = {facts.parts[offer.part].kind for offer in catalog().offers if offer.row in rows}
    assert kinds == {"breaker", "label"}


@pytest.mark.parametrize(
    ("awg", "ground", "counts"),
    [
        ("12", "", "12"),
        ("12", "12", "12"),
        ("12", "14", "14"),
        ("10", "12", "12"),
        ("8", "10", "8"),
        ("4", "10", "6"),
    ],
)
def test_a_run_counts_for_others_as_thick_as_its_ground_suits(awg: str, ground: str, counts: str) -> None:
    """Table 250.122: a ground of 14 AWG up to 15 A, 12 to 20 A, 10 to 60 A; wire of 14 to 6 to 15, 20, 30, 40, 60 A."""
    assert wire_with_ground(awg, ground) == counts
    assert ground_suits(ground, 15, awg)


def test_what_is_there_exchanges_no_plug(tmp_path: Any) -> None:
    """NFPA 70 110.3(B): a saw on its own drop keeps its plug there too, unless its maker allows another."""
    saw = {
        "name": "saw",
        "at": "bench",
        "volts": 240,
        "amps": 12.8,
        "plug": "NEMA 6-20",
        "ways": {"only": ["armored drop"]},
    }
    now = {
        "method": "armored drop",
        "panel": "main panel",
        "configuration": "NEMA 6-20",
        "breaker": "20 A",
        "awg": "12",
    }

    def ends(**more: Any) -> set[str]:
        facts = facts_of(shop(machines=[saw | {"now": now} | more], code=COMMERCIAL), tmp_path)
        options = Bench.over(facts, SurplusRule.NEW_ONLY).priced_survey.options["saw"]
        return {str(option.way.family) for option in options if option.refused is None}

    assert ends() == {"straight"}
    assert {"None", "locking"} <= ends(plug_may_change=True, cord={"awg": "12"})


def test_a_breaker_above_its_wire_is_told_of_a_run_that_is_taken_over(tmp_path: Any) -> None:
    """NFPA 70 240.4(G), 630.12(B): a welder with 50 A on the 10 AWG run that it has, now on a larger breaker."""
    now = {
        "method": "conduit drop",
        "panel": "main panel",
        "breaker": "30 A",
        "awg": "10",
        "disconnect": "60 A",
    }
    found = said(shop(code=COMMERCIAL, machines=[WELDER | HARD_WIRED | {"now": now}]), tmp_path)
    changed = said(
        shop(code=COMMERCIAL, machines=[WELDER | HARD_WIRED | {"now": now, "breaker": "50 A"}]), tmp_path
    )
    assert changed[Topic.BREAKER_ABOVE_WIRE] == ("welder",)
    assert Topic.BREAKER_ABOVE_WIRE not in found


# hard-wired motors that stay -----------------------------------------------------------------------------

WIRED: Row = {"method": "conduit drop", "panel": "main panel", "breaker": "40 A", "awg": "8"}


@pytest.mark.parametrize(
    ("breaker", "started"),
    [("40 A", ("saw (40 A, by habit at least 49 A; 50 A: USD 21.00)",)), ("50 A", None)],
)
def test_what_disconnects_a_hard_wired_motor_that_stays_is_asked(
    breaker: str, started: tuple[str, ...] | None, tmp_path: Any
) -> None:
    """NFPA 70 430.102(B), 430.109, 430.32: 5 hp at 240 V is 28 A, 32.2 A at 115 %; of no disconnect is told, so it is asked."""
    saw = {"name": "saw", "at": "bench", "volts": 240, "hp": 5, "now": WIRED | {"breaker": breaker}}
    written = shop(code=COMMERCIAL, machines=[saw | HARD_WIRED])
    found = said(written, tmp_path)
    assert found[Topic.DISCONNECT_NOT_SEEN] == (
        "saw (nobody described what disconnects it today; at least 5 hp at 240 V, 1-phase)",
    )
    assert not {Topic.DISCONNECT_IN_SIGHT, Topic.HORSEPOWER_MARK} & set(found)
    assert found[Topic.MOTOR_OVERLOAD] == ("saw",)
    assert found.get(Topic.MOTOR_START) == started
    facts = facts_of(written, tmp_path)
    row = circuits_today(facts, best_plans(Bench.over(facts, facts.shop.money.surplus), 1)[0])[0]
    assert row.state == UNSEEN
    assert row.outlet == (
        f"{NOT_SEEN}disconnect, 2-pole, lockable, at least 32.2 A (115 % of the motor), marked for at least 5 hp at 240 V, "
        "1-phase"
    )


def test_a_heater_or_a_plugged_motor_that_stays_is_not_asked_for_its_disconnect(tmp_path: Any) -> None:
    plugged = {
        "method": "armored drop",
        "panel": "main panel",
        "configuration": "NEMA 6-20",
        "breaker": 20,
        "awg": "12",
    }
    saw = {"name": "saw", "at": "bench", "volts": 240, "amps": 12, "plug": "NEMA 6-20", "now": plugged}
    oven = {
        "name": "oven",
        "at": "bench",
        "volts": 240,
        "amps": 24,
        "load": "heater",
        "now": WIRED,
    } | HARD_WIRED
    found = said(shop(code=COMMERCIAL, machines=[saw | BY_DROP, oven]), tmp_path)
    assert not {
        Topic.DISCONNECT_IN_SIGHT,
        Topic.DISCONNECT_NOT_SEEN,
        Topic.MOTOR_OVERLOAD,
        Topic.MOTOR_START,
    } & set(found)


# what the file answers already, and what it does not ---------------------------------------------------------


def test_a_spot_welder_is_asked_what_it_draws_at_most_and_not_what_an_arc_welder_is(tmp_path: Any) -> None:
    """NFPA 70 630.31, 630.32, from memory: rated kVA is at a duty cycle of 50 %; load: says which welder it is."""
    spot = {"name": "spot", "at": "bench", "volts": 240, "amps": 24, "load": "spot welder"} | HARD_WIRED
    found = said(shop(code=COMMERCIAL, machines=[spot]), tmp_path)
    assert found[Topic.RESISTANCE_WELDER] == ("spot",)
    assert Topic.WELDER not in found
    arc = said(shop(code=COMMERCIAL, machines=[WELDER | HARD_WIRED]), tmp_path)
    assert Topic.WELDER in arc
    assert Topic.RESISTANCE_WELDER not in arc


@pytest.mark.parametrize(("amps", "asked"), [(34, True), (18, False)])
def test_a_large_heater_on_a_cord_is_asked_for_its_makers_word(amps: int, asked: bool, tmp_path: Any) -> None:
    """NFPA 70 110.3(B), 400.12: most makers of kilns allow no longer cord."""
    kiln = {
        "name": "kiln",
        "at": "bench",
        "volts": 240,
        "amps": amps,
        "load": "heater",
        "ways": {"only": ["cord"]},
    }
    assert (Topic.HEATER_ON_A_CORD in said(shop(code=COMMERCIAL, machines=[kiln]), tmp_path)) is asked


@pytest.mark.parametrize("starts", [True, False])
def test_what_starts_by_itself_is_asked_how(starts: bool, tmp_path: Any) -> None:
    """NFPA 70 430.43: no overload device starts a motor again by itself where that can hurt somebody."""
    pump = {"name": "pump", "at": "bench", "volts": 240, "hp": 2, "starts_by_itself": starts} | HARD_WIRED
    assert (Topic.STARTS_BY_ITSELF in said(shop(code=COMMERCIAL, machines=[pump]), tmp_path)) is starts


@pytest.mark.parametrize(
    ("plate", "asked"),
    [({"hp": 2}, True), ({"hp": 2, "amps": 11}, False), ({"amps": 15, "load": "heater"}, False)],
)
def test_peak_horsepower_is_asked_of_motors_whose_amperes_are_not_said(
    plate: Row, asked: bool, tmp_path: Any
) -> None:
    machine = {"name": "tool", "at": "bench", "volts": 240, "plug": "NEMA 6-20"} | plate | BY_DROP
    found = said(shop(code=COMMERCIAL, machines=[machine]), tmp_path)
    assert (Topic.PEAK_HORSEPOWER in found) is asked
    assert Topic.FACTORY_PLUG in found


@pytest.mark.parametrize(("days", "asked"), [(30, True), (365, False)])
def test_a_year_of_measuring_is_not_asked_for_its_days(days: int, asked: bool, tmp_path: Any) -> None:
    """NFPA 70 220.87: a year's highest demand, or 30 days recorded."""
    peak = {"amps": "20 A", "seen": "2026-10-01", "days": days}
    service = {"system": "120/240 single-phase", "amps": "200 A", "measured_peak": peak}
    found = {entry.topic for entry in noted_before(facts_of(shop(service=service), tmp_path))}
    assert Topic.MEASURED_PEAK in found
    assert (Topic.PART_OF_A_YEAR in found) is asked


def test_one_of_each_is_priced_as_it_would_be_made_and_not_as_it_is_there(tmp_path: Any) -> None:
    """5 hp at 208 V: 30.8 A (NFPA 70 Table 430.248), at 175 % 53.9 A, the next size 60 A (240.6(A)); there are 40 A."""
    wye = MAIN | {"system": "120/208 three-phase"}
    saw = {"name": "saw", "at": "bench", "volts": 208, "hp": 5, "now": WIRED} | HARD_WIRED
    facts = facts_of(shop(code=COMMERCIAL, panels=[wye], machines=[saw]), tmp_path)
    sheet = scope_sheet(compare(facts, Wanted(plans=1)))
    (row,) = sheet.circuits
    assert (row.breaker_a, row.state) == (40, UNSEEN)
    (one,) = [words for words in sheet.each if words.startswith("one more circuit")]
    assert "60 A 2-pole" in one
    assert (
        "disconnect, 2-pole, 60 A 208 V or more, lockable, marked for at least 5 hp at 208 V, 1-phase" in one
    )
    assert NOT_SEEN not in one


NOW_10_30: Row = {
    "method": "cord",
    "panel": "panel",
    "configuration": "NEMA 10-30",
    "breaker": 30,
    "awg": "10",
}
ITS_CORD: Row = {"length": "20 ft", "awg": "10", "conductors": 3, "volts": 600, "service": "hard"}


@pytest.mark.parametrize(
    ("now", "stays"),
    [
        (None, False),
        (NOW_10_30 | {"cord": ITS_CORD}, True),
        (NOW_10_30 | {"method": "wall drop"}, False),
        (NOW_10_30 | {"cord": ITS_CORD, "configuration": "NEMA 14-30"}, False),
    ],
)
def test_a_cord_of_a_plug_without_ground_stays_where_it_is_such_a_cord(
    now: Row | None, stays: bool, tmp_path: Any
) -> None:
    """NFPA 70 250.140, 406.4(D), from memory: its connector may stay, and is never put in anew."""
    dryer = {"name": "dryer", "at": "bench", "volts": 240, "amps": 20, "plug": "NEMA 10-30"}
    facts = facts_of(shop(machines=[dryer | ({} if now is None else {"now": now})]), tmp_path)
    why = no_new_receptacle(facts, facts.shop.machines[0], Way(Method.CORD, "panel", Family.STRAIGHT), [])
    assert (why is None) is stays


@pytest.mark.parametrize(("listed", "asked"), [(True, True), (False, False)])
def test_an_outlet_that_stays_where_a_new_one_would_be_protected_is_told(
    listed: bool, asked: bool, tmp_path: Any
) -> None:
    """NFPA 70 210.8(B) is for outlets that are made, 406.4(D)(3) for a receptacle that is replaced; both from memory."""
    now = {
        "method": "conduit drop",
        "panel": "main panel",
        "configuration": "NEMA 6-20",
        "breaker": "20 A",
        "awg": "12",
    }
    saw = {"name": "saw", "at": "bench", "volts": 240, "amps": 12, "plug": "NEMA 6-20", "now": now}
    written = shop(code=COMMERCIAL | {"ground_fault_place": listed}, machines=[saw])
    assert (Topic.PROTECTION_STAYS in said(written, tmp_path)) is asked
    sized = sizes_text(facts_of(written, tmp_path), "saw")
    assert ("an outlet that is there and stays is not asked to be changed" in sized) is asked
    if asked:
        hired = shop(
            code=COMMERCIAL | {"ground_fault_place": listed}, machines=[saw | {"now": now | {"awg": "14"}}]
        )
        assert Topic.PROTECTION_STAYS not in said(hired, tmp_path)
