"""What the owner is asked can be answered in the file, and an answered question is not asked again.

Each topic with a question to the owner is either answered by a word of the file, shown here on a small invented shop, or is
a thing to look at on the spot, for which no word would change a figure. A new topic has to be put into one of the two.
"""

from typing import Any

import pytest
from test_noted import BY_CORD, BY_DROP, HARD_WIRED, MAIN, Row, said, shop

from costplan.reports.remarks import Topic, Whom, all_remarks

SAW: Row = {"name": "saw", "at": "bench", "volts": 240}
UNSEEN: Row = {word: value for word, value in MAIN.items() if word != "flush"}
COMMERCIAL: Row = {"edition": 2020, "occupancy": "commercial", "ground_fault_place": False}
MEASURED: Row = {"amps": 20, "seen": "2026-09-30", "days": 30}
NOW: Row = {"method": "armored drop", "panel": "main panel", "breaker": "20 A", "awg": "12"}
WIRED: Row = {"method": "conduit drop", "panel": "main panel", "breaker": "50 A", "awg": "8"}
STRAIGHT: Row = {"ways": {"only": ["conduit drop"], "hard_wired": False}}
MIG: Row = SAW | {"load": "welder", "amps": 40, "plug": "NEMA 6-50"} | BY_DROP
MIG_THERE: Row = {"breaker": "50 A", "awg": "8", "configuration": "NEMA 6-50"}
MARKED: Row = SAW | {"hp": 3, "amps": 15, "plug": "NEMA 6-20"} | BY_DROP
BARE: Row = SAW | {"hp": 2} | BY_DROP
COMPRESSOR: Row = SAW | {"hp": 5} | HARD_WIRED
PLACES: list[Row] = [{"name": "wall", "at": [0, 0]}, {"name": "bench", "at": [10, 0]}]
KILN: Row = SAW | {"load": "heater", "amps": 40} | HARD_WIRED
OVEN: Row = SAW | {"load": "heater", "amps": 12}
SMALL: Row = {"name": "saw", "at": "bench", "volts": 120, "amps": 11, "plug": "NEMA 5-15"} | BY_DROP


def one(machine: Row, **more: Any) -> Row:
    """A shop of one machine, whose place the code does not list."""
    return shop(**({"machines": [machine], "code": COMMERCIAL} | more))


TURNS: Row = SAW | {"hp": 1, "takes_turns": "cutting"} | {"ways": {"only": ["cord"], "hard_wired": False}}
BOTH: list[Row] = [TURNS, TURNS | {"name": "jointer", "at": "corner"}]


AT_ONE_PLACE: list[Row] = [each | {"at": "bench"} | BY_DROP for each in BOTH]
CORDED: Row = SAW | {"amps": 12, "plug": "NEMA 6-20"} | BY_CORD
SMALL_ONES: list[Row] = [
    SAW | {"name": name, "volts": 120, "amps": 4, "plug": "NEMA 5-15"} | BY_CORD for name in ("saw", "sander")
]


ANSWERED: dict[Topic, list[tuple[Row, Row]]] = {
    Topic.CONTROLS_UNKNOWN: [(one(BARE), one(BARE | {"neutral": known})) for known in (True, False)],
    Topic.PANEL_RATING: [(shop(), shop(panels=[MAIN | {"rating": 100}]))],
    Topic.WET_AT_MACHINE: [
        (
            shop(
                machines=[SAW | {"amps": 12, "plug": "NEMA 6-20"} | BY_CORD],
                code={"edition": 2020, "occupancy": "commercial"},
            ),
            shop(machines=[SAW | {"amps": 12, "plug": "NEMA 6-20"} | BY_CORD], code=COMMERCIAL),
        )
    ],
    Topic.SEVERAL_ON_ONE: [
        (
            shop(machines=SMALL_ONES, code=COMMERCIAL),
            shop(machines=[each | {"takes_turns": "bench"} for each in SMALL_ONES], code=COMMERCIAL),
        )
    ],
    Topic.TURNS_AT_PANEL: [
        (
            shop(machines=BOTH, code=COMMERCIAL),
            shop(machines=[{k: v for k, v in each.items() if k != "takes_turns"} for each in BOTH]),
        )
    ],
    Topic.TURNS_AT_OUTLET: [
        (
            shop(machines=AT_ONE_PLACE, code=COMMERCIAL),
            shop(machines=[{k: v for k, v in each.items() if k != "takes_turns"} for each in AT_ONE_PLACE]),
        )
    ],
    Topic.PLUG_MARK: [
        (one(MARKED), one(MARKED | {"disconnected_by": "own switch"})),
        (one(MARKED), one(MARKED | {"disconnected_by": "breaker"})),
    ],
    Topic.HORSEPOWER_MARK: [(one(BARE), one(BARE | {"disconnected_by": "own switch"}))],
    Topic.DISCONNECT_NOT_SEEN: [
        (one(COMPRESSOR | {"now": WIRED}), one(COMPRESSOR | {"now": WIRED, "disconnected_by": "breaker"}))
    ],
    Topic.LISTING: [
        (one(MARKED), one(MARKED | {"listed": True})),
        (one(MARKED), one(MARKED | {"listed": False})),
    ],
    Topic.WELDER_WIRE: [
        (
            one(MIG | {"effective_amps": 21, "now": NOW | MIG_THERE}),
            one(MIG | {"effective_amps": 21, "terminals": 75, "now": NOW | MIG_THERE}),
        )
    ],
    Topic.PEAK_HORSEPOWER: [
        (
            one(SAW | {"hp": 2, "plug": "NEMA 6-20"} | BY_DROP),
            one(SAW | {"hp": 2, "amps": 11, "plug": "NEMA 6-20"} | BY_DROP),
        )
    ],
    Topic.HEATER_PLATE: [
        (one(KILN), one(KILN | {"largest_breaker": 60})),
        (one(KILN), one(KILN | {"breaker": 60})),
    ],
    Topic.HEATER_ON_A_PLUG: [
        (one(OVEN | BY_DROP), one(OVEN | {"plug": "NEMA 6-20"} | BY_DROP)),
        (one(OVEN | BY_DROP), one(OVEN | HARD_WIRED)),
    ],
    Topic.DETACHED_UNKNOWN: [
        *((shop(), shop(building={"detached": known})) for known in (True, False)),
        (shop(), shop(places=[place | {"detached": False} for place in PLACES])),
    ],
    Topic.DUST_UNKNOWN: [
        *((shop(), shop(building={"wood_dust": known})) for known in (True, False)),
        (shop(), shop(places=[PLACES[0], PLACES[1] | {"wood_dust": False}])),
    ],
    Topic.VAPORS_UNKNOWN: [
        *((shop(), shop(building={"flammable_vapors": known})) for known in (True, False)),
        (shop(), shop(places=[place | {"flammable_vapors": False} for place in PLACES])),
    ],
    Topic.WARM_AIR: [(one(KILN), one(KILN, code=COMMERCIAL | {"ambient_c": 30}))],
    Topic.OWN_CORD: [(one(BARE), one(BARE | {"cord": {"awg": "10", "length": 6}}))],
    Topic.BOLTED_ON_PLUG: [
        (
            one(SAW | {"hp": 2, "never_moves": True} | STRAIGHT),
            one(SAW | {"hp": 2, "never_moves": True} | HARD_WIRED),
        )
    ],
    Topic.TERMINALS: [(one(COMPRESSOR), one(COMPRESSOR | {"terminals": 75}))],
    Topic.WELDER_PLATE: [(one(MIG), one(MIG | {"effective_amps": 20, "largest_breaker": 60}))],
    Topic.DUPLEX: [
        (
            one(SMALL | {"now": NOW | {"configuration": "NEMA 5-15"}}),
            one(SMALL | {"now": NOW | {"configuration": "NEMA 5-15", "duplex": True}}),
        )
    ],
    Topic.SHARED_CIRCUIT: [
        (
            one(SMALL | {"now": NOW | {"configuration": "NEMA 5-20"}}),
            one(SMALL | {"now": NOW | {"configuration": "NEMA 5-20", "alone": known}}),
        )
        for known in (True, False)
    ],
    Topic.EDITION_UNKNOWN: [
        (
            shop(code={"occupancy": "dwelling garage"}),
            shop(code={"occupancy": "dwelling garage", "edition": 2020}),
        )
    ],
    Topic.PLACE_UNKNOWN: [(shop(code={"edition": 2020, "occupancy": "commercial"}), shop(code=COMMERCIAL))],
    Topic.SMALL_CHILDREN: [
        (
            shop(code={"edition": 2020, "occupancy": "school"}),
            shop(code={"edition": 2020, "occupancy": "school", "small_children": known}),
        )
        for known in (True, False)
    ],
    Topic.PANEL_MOUNTING: [
        (shop(panels=[UNSEEN]), shop(panels=[UNSEEN | {"flush": flush}])) for flush in (False, True)
    ],
    Topic.RATED_WALL: [
        (shop(), shop(building={"rated_walls": 0})),
        (shop(), shop(routes=[{"from": "main panel", "to": "bench", "fixed": 20, "rated_walls": 1}])),
    ],
    Topic.LOAD_UNKNOWN: [(shop(), shop(service={"amps": 100}))],
    Topic.PEAK_UNKNOWN: [
        (shop(service={"amps": 100}), shop(service={"amps": 100, "other_load": amps})) for amps in (30, 0)
    ],
    Topic.PEAK_OF_PANELS: [
        (
            shop(panels=[MAIN | {"other_load": 18}], service=service),
            shop(service=service | {"other_load": 30}),
        )
        for service in ({"amps": 100},)
    ],
    Topic.PART_OF_A_YEAR: [
        (
            shop(service={"amps": 100, "measured_peak": MEASURED}),
            shop(service={"amps": 100, "measured_peak": MEASURED | {"days": 365}}),
        )
    ],
}
"""By topic: a shop that is asked, and the same with the answer."""

ELSEWHERE = {
    Topic.GROUND_SIZE: "ground_awg, in test_noted_present.py",
    Topic.FRAME_GROUND: "another plug (plug_may_change), in test_noted_present.py",
    Topic.FEEDER_TERMINALS: "code terminals, in test_noted.py",
    Topic.STILL_CORD: "an event that moves it, in test_noted.py",
    Topic.HEATER_ON_A_CORD: "asked of a cord that was chosen by never_moves: false, in test_heater_cost.py",
}
"""Topics whose answer other tests show."""
ON_THE_SPOT = {
    Topic.VIBRATION,
    Topic.CROWDED_PANEL,
    Topic.DAMP_PANEL,
    Topic.DAMP_GEAR,
    Topic.DAMP_OUTLET,
    Topic.DAMP_CORD,
    Topic.PANEL_CONDITION,
    Topic.DETACHED,
    Topic.CEILING,
    Topic.CONTROL_WIRES,
    Topic.IN_THE_WALL,
    Topic.OLD_FINISH,
    Topic.SCHOOL,
    Topic.PERMITS,
    Topic.CORD_WIRED_IN,
    Topic.SWITCH_ON_CORD,
    Topic.LEAD_OF_DRIVE,
    Topic.LEAD_OF_HEATER,
    Topic.LINE_CORD_OF_DRIVE,
    Topic.PLUG_CHANGE,
    Topic.MOTOR_OVERLOAD,
    Topic.STARTS_BY_ITSELF,
    Topic.MOTOR_START,
    Topic.RESISTANCE_WELDER,
    Topic.VOLTAGE_DROP,
    Topic.DRIVE,
    Topic.REPLACEMENT_MOTOR,
    Topic.ROTARY_CONVERTER,
    Topic.STATIC_CONVERTER,
    Topic.TANDEM_BREAKERS,
    Topic.PANEL_WORK,
    Topic.HEATER_CLEARANCE,
}
"""Questions for whoever stands before the machine: they hold of what is bought, and no word would change a figure."""

CASES = [(topic, *pair) for topic, pairs in ANSWERED.items() for pair in pairs]


@pytest.mark.parametrize(("topic", "asked", "answered"), CASES, ids=[str(topic) for topic, _, _ in CASES])
def test_an_answer_in_the_file_ends_the_question(
    topic: Topic, asked: Row, answered: Row, tmp_path: Any
) -> None:
    assert topic in said(asked, tmp_path)
    assert topic not in said(answered, tmp_path)


def test_a_question_about_a_size_says_the_money_that_turns_on_it(tmp_path: Any) -> None:
    """By hand from the demo's offers: 27 ft of armored cable, 10/2 at 1.94 for 12/2 at 1.24: 27 x 0.70 = 18.90."""
    (listing,) = said(one(MARKED), tmp_path)[Topic.LISTING]
    assert "20 A on 10 AWG for 21.25 A if not: about USD 18.90 more then" in listing
    (terminals,) = said(one(COMPRESSOR), tmp_path)[Topic.TERMINALS]
    assert "10 AWG then, about USD " in terminals
    assert "less" in terminals


def test_every_question_to_the_owner_has_an_answer_or_is_looked_at_on_the_spot() -> None:
    asked = {entry.topic for entry in all_remarks() if any(ask.of is Whom.OWNER for ask in entry.asks)}
    assert asked <= {*ANSWERED, *ELSEWHERE, *ON_THE_SPOT}
    assert not ON_THE_SPOT & {*ANSWERED, *ELSEWHERE}


@pytest.mark.parametrize(
    ("words", "lacks"),
    [
        ({}, "I1eff or the duty cycle: effective_amps, duty_cycle and the breaker: breaker, largest_breaker"),
        ({"effective_amps": 20}, "the breaker: breaker, largest_breaker"),
        ({"duty_cycle": "40 %"}, "the breaker: breaker, largest_breaker"),
        ({"breaker": 50}, "I1eff or the duty cycle: effective_amps, duty_cycle"),
    ],
)
def test_a_welder_is_asked_for_what_the_file_lacks_only(words: Row, lacks: str, tmp_path: Any) -> None:
    """NFPA 70 630.11(A), 110.3(B): effective current or duty cycle size its wires, the maker's breaker wins."""
    assert said(one(MIG | words), tmp_path)[Topic.WELDER_PLATE] == (f"saw ({lacks})",)


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ({"hp": 3, "amps": 15, "plug": "NEMA 6-20"}, True),
        ({"hp": 2, "amps": 12, "plug": "NEMA 6-20"}, False),
        ({"hp": "1/3", "amps": 4, "plug": "NEMA 6-50"}, False),
        ({"hp": 3, "amps": 15, "plug": "NEMA 6-50"}, True),
        ({"amps": 15, "plug": "NEMA 6-20", "load": "heater"}, False),
    ],
)
def test_a_factory_plug_below_its_motor_is_asked_about(words: Row, asked: bool, tmp_path: Any) -> None:
    """430.109(F), from memory: NEMA 6-20 is usually marked 2 hp (UL 498, from memory), 6-50 is not known; up to 1/3 hp none."""
    assert (Topic.PLUG_MARK in said(one(SAW | words | BY_DROP), tmp_path)) is asked


def test_wire_that_a_later_load_asks_for_is_not_said_to_get_thinner_by_marks(tmp_path: Any) -> None:
    """5 hp go on 10 AWG of 75 C in place of 8 (NFPA 70 Tables 430.248, 310.16); 7-1/2 hp, 40 A, ask for more anyway."""
    bigger = {"year": 1, "machine": "saw", "retool": {"volts": 240, "hp": "7-1/2"}}
    later = one(COMPRESSOR, years=4, scenarios=[{"name": "as planned", "weight": 1, "events": [bigger]}])
    assert Topic.TERMINALS not in said(later, tmp_path)
