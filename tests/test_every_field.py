"""No figure that a user writes is silently without effect: every field of the files, changed, changes what is said.

Shops and figures are invented; the rule that is tested is this tool's own.
"""

import json
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from every_field import (
    BOTH,
    CORD,
    GONE,
    SAW,
    SHOPS,
    WALL,
    Case,
    Change,
    Said,
    Sees,
    asks,
    changed,
    cheaper,
    dearer,
    every_field,
    impossible,
    other,
    read,
)
from strategies import DELTA, GEAR, NOW, one_pole

from costplan.model.bids import BidsFile
from costplan.model.catalog import Offer, Phase, Renewal
from costplan.model.loading import CATALOG_FILES, JobsFile
from costplan.model.shop import Shop

READ_FROM_THE_TABLE = {"Offer.row"}
"""Not written by a user: where an offer stands."""


def c(change: Change, sees: Sees, shop: str = "plain", given: Change | None = None) -> Case:
    return Case(change, sees, shop, given or {})


WIRED_NOW = {"shop/machines/saw/now": NOW}
HARD_WIRED_NOW = {
    "shop/machines/saw/now": {word: value for word, value in NOW.items() if word != "configuration"},
    "shop/machines/saw/ways": WALL | {"hard_wired": True},
}
BARE_SAW: dict[str, object] = {"shop/machines/saw/plug": GONE}
CONDUIT = {"only": ["conduit drop"], "hard_wired": True}
HARD_WIRED = BARE_SAW | {"shop/machines/saw/ways": WALL | {"hard_wired": True}, "shop/machines/saw/amps": 33}
WELDER = BARE_SAW | {"shop/machines/saw/load": "welder", "shop/machines/saw/amps": 28}
SPOT_WELDER = WELDER | {"shop/machines/saw/load": "spot welder", "shop/machines/saw/duty_cycle": 0.05}
IDEA = {"shop/layouts": [{"name": "idea", "at": {"saw": "bench C"}}]}
NEXT = "shop/scenarios/busy/events/-1"

MOVES_TO = {
    "shop/scenarios/busy/events/+": {"year": 3, "shop_moves": True, "building": {"occupancy": "industrial"}}
}
BRINGS = {"shop/layouts": [{"name": "idea", "brought": [SAW | {"name": "lathe", "at": "bench D"}]}]}
THERE = {
    "shop/installed": [
        {"place": "bench A", "panel": "panel", "method": "wall drop", "configuration": "NEMA 6-20"}
    ]
}
NO_PERMITS = {
    f"labor/tasks/{task}/permit": False
    for task in ("run-cable", "foot-of-cable", "set-outlet", "land-in-panel")
}
TWIN = SAW | {"name": "planer", "at": "bench C"}
USED_PLUG = {"part": "plug-6-20", "supplier": "store", "condition": "used", "price": 1, "per": "each"}
PLUG = USED_PLUG | {"condition": "new", "per": "box of 2"}
BARE = {"shop/machines/saw/plug": GONE}
BARN = {"suppliers/suppliers/+": {"id": "barn", "name": "The Barn (invented)"}}
AT_BARN = {**BARE, **BARN, "offers/+": PLUG | {"supplier": "barn", "price": 4}}
BRICK = {"shop/hour_factors": {"brick": 1.5}}
HIGH: Change = {
    "shop/hour_factors": {"high": {"factor": 2, "ceiling_above": 10}},
    "shop/building/ceiling_height": 11,
}
PLACES = {
    **{f"shop/places/{i}/at": [10 * i + 5, 3] for i in range(5)},
    "shop/places/+": {"name": "wall", "at": [0, 0]},
    "shop/panels/0/place": "wall",
    "shop/routes": [],
}
OVERHEAD = {"only": ["ceiling outlet"]}
IN_WALLS = {
    "kinds/kinds/building cable/nonmetallic": True,
    "shop/building/construction": "type V",
    "shop/building/finished_walls": True,
    "shop/machines/saw/ways": BOTH,
    "shop/machines/drill/ways": BOTH,
}
TWO_PANELS = {
    "shop/panels/+": {
        "name": "second",
        "system": "120/240 single-phase",
        "breakers": "family A",
        "spaces_free": 12,
        "rating": 100,
    },
    "shop/routes/+": {"from": "second", "to": "bench A", "fixed": 5, "cord": 5},
}
LEASE = {
    "shop/building/lease": {"ends": 5, "take_out": True},
    "recipes/recipes/take out": {"tasks": [{"task": "make-safe", "quantity": 3}]},
}
WALLS_WORKED_IN: dict[str, object] = {
    "recipes/recipes/flush panel": {"tasks": [{"task": "make-safe", "per": "visit"}]},
    "recipes/recipes/rated wall": {"tasks": [{"task": "make-safe"}]},
}
MEASURED = {"amps": 10, "seen": "2026-10-01", "days": 40}
AT_PEAK = {"shop/service": {"amps": 60, "measured_peak": MEASURED}}
AT_PEAK_KW = {
    "shop/service": {
        "amps": 60,
        "measured_peak": {"kw": 2.4, "power_factor": 1, "seen": "2026-10-01", "days": 40},
    }
}
WEAK = {
    "id": "weak",
    "kind": "cord",
    "name": "weak cord",
    "attributes": {"awg": "12", "conductors": 3, "service": "junior hard", "volts": 300, "type": "SJOOW"},
}
CORDED = {
    "shop/machines/drill/now": NOW
    | {
        "method": "cord",
        "poles": 1,
        "configuration": "NEMA 5-20",
        "cord": {"length": 30, "awg": "12", "conductors": 3},
    }
}
AT_480_VOLTS = {
    "shop/cords/families": ["straight", "locking"],
    "shop/panels/+": DELTA | {"name": "wye", "system": "277/480 three-phase"},
    "shop/routes/+": {"from": "wye", "to": "bench B", "fixed": 15, "cord": 15},
    "shop/machines/+": {
        "name": "press",
        "at": "bench B",
        "volts": 480,
        "phases": 3,
        "hp": 5,
        "breaker": 20,
        "plug": "NEMA L16-20",
        "ways": CORD,
        "now": NOW
        | {
            "method": "cord",
            "panel": "wye",
            "poles": 3,
            "conductors": 3,
            "configuration": "NEMA L16-20",
            "cord": {"length": 30, "awg": "12", "conductors": 4, "volts": 600},
        },
    },
    **{
        f"parts/parts/+{kind}": {
            "id": kind,
            "kind": kind,
            "name": kind,
            "attributes": {"configuration": "NEMA L16-20"},
        }
        for kind in ("receptacle", "plug", "connector")
    },
    **{
        f"offers/+{kind}": {"part": kind, "supplier": "store", "condition": "new", "price": 30, "per": "each"}
        for kind in ("receptacle", "plug", "connector")
    },
}
ON_SHELF = {
    "shop/shelf": [{"part": "cord-12-3", "length": 30, "plug": "NEMA 5-20", "connector": "NEMA 5-20"}]
}
QUOTE = "recipes/recipes/wall drop"
LIFTED = f"{QUOTE}/charges/0"
LIFT = {
    "labor/charges": [
        {"id": "lift", "name": "lift", "price": 90},
        {"id": "dump", "name": "dump", "price": 190},
    ],
    f"{QUOTE}/charges": [{"charge": "lift", "per": "run"}],
}
QUOTED_WALL = {QUOTE: {"extra": 5, "quote": {"per_run": 100, "hours_per_run": 1}}}
WORN = {"kinds/kinds/plug/life": 3, "kinds/kinds/plug/resale": {"new": 0.5}, **BARE}
ONE_QUOTE = {"shop/quoted_ways/0": GONE}
PRESSES_AND_LATHE = {"shop/machines/+": {"name": "lathe"}}
QUOTED_PANEL = {
    "shop/panels": [
        {"name": "main", "system": "120/240 single-phase", "breakers": "A", "spaces_free": 6},
        {"name": "small", "system": "120/240 single-phase", "breakers": "A", "spaces_free": 1},
    ],
    "shop/quoted_ways/0/panel": "main",
    "shop/quoted_ways/0/poles": 1,
    "shop/quoted_ways/1": GONE,
}
STRATEGY = {"shop/strategies": [{"name": "all drops", "ways": {"*": "drop by quote"}}]}
TWO_BIDDERS = {
    "shop/bids_file": "bids.yaml",
    "bids": {
        "bids": [
            {
                "bidder": "crew by the hour",
                "date": "2026-10-20",
                "valid_until": "2026-12-31",
                "kind": "hourly",
                "rate": 90,
                "pace": 1,
                "call_out": 40,
                "minimum": 80,
                "set_up": 0.5,
                "permit": 50,
            },
            {
                "bidder": "fixed bidder",
                "date": "2026-10-20",
                "valid_until": "2026-12-31",
                "kind": "fixed",
                "price": 300,
                "covers": ["run-cable", "foot-of-cable", "set-outlet", "land-in-panel"],
                "includes_permit": True,
                "rest_by": "electrician",
            },
        ]
    },
}
OURS = {
    "shop/bids": [
        {"name": "fixed", "price": 200, "covers": ["run-cable", "foot-of-cable"], "rest_by": "electrician"}
    ]
}
JOBS = {
    "jobs": {
        "jobs": [
            {
                "name": "first job",
                "date": "2026-10-15",
                "tasks": [{"task": "run-cable", "quantity": 2, "hours": 5, "crew": "electrician"}],
                "prices": [
                    {
                        "part": "receptacle-6-20",
                        "supplier": "store",
                        "condition": "new",
                        "price": 25,
                        "per": "each",
                    }
                ],
            }
        ]
    }
}
GROUP = {
    "shop/machines/saw/count": 3,
    "shop/machines/saw/at": GONE,
    "shop/machines/saw/route": {"panel": "panel", "fixed": 30, "cord": 30},
    "shop/scenarios/busy/events": [{"year": 2, "machine": "saw", "new_spot": True}],
}
RETOOL = {
    "shop/scenarios/busy/events/0": {"year": 2, "machine": "saw", "retool": {"volts": 240, "amps": 16}},
    "shop/cords/slack": [0],
}
ROUND = {
    "shop/scenarios/busy/events": [],
    "shop/scenarios/busy/rearranged": {"times_per_year": 1, "among": ["bench A", "bench B", "bench C"]},
}
SHORT = "shop/scenarios/busy/rearranged"
TWICE = ROUND | {f"{SHORT}/times_per_year": 2}
FIRST = "shop/scenarios/busy/events/0"
STANDS = {"shop/scenarios/busy/events": [{"year": 2, "machine": "drill", "move": "bench A"}]}
CIRCUITS = one_pole(8)
IN_PANEL = "shop/panels/0/one_pole_circuits/0"
GEARS: dict[str, Change] = {
    "utility": {
        "shop/gear/0": {
            "name": "converter",
            "kind": "utility three-phase",
            "system": "240 three-phase",
            "amps": 100,
            "panel_part": "panel-3",
            "at": "bench E",
            "quote": 1500,
        }
    },
    "upgrade": {
        "shop/service": {"amps": 40, "other_load": 10},
        "shop/gear/+": {"name": "larger", "kind": "service upgrade", "to": 200},
    },
    "tandem": {
        "shop/panels/0/spaces_free": 2,
        "shop/panels/0/tandems": 4,
        "shop/panels/0/one_pole_circuits": [CIRCUITS],
        "shop/gear/+": {"name": "tandems", "kind": "tandem breaker", "panel": "panel", "at_most": 4},
    },
    "manager": {
        "shop/service": {"amps": 45, "other_load": 10},
        "shop/gear/+": {
            "name": "manager",
            "kind": "load manager",
            "part": "manager-60",
            "machines": ["saw", "mill"],
            "holds_to": 20,
        },
    },
}
OVERHAUL = {"shop/gear/converter/overhaul": {"every": 2, "money": 50, "hours": 1, "own_hours": 1}}
ONE_AT_A_TIME: dict[str, object] = {
    # the mill's 9.6 A of three phases are 18.5 A here, with a quarter more 23.1; the saw's 16 A with it 39.1
    "shop/service": {"amps": 38, "other_load": 10, "at_most": [{"count": 1, "of": ["saw", "mill"]}]},
}
STATIC: dict[str, object] = {
    "kinds/kinds/phase converter/may_state": ["power_share"],
    "parts/parts/converter-5/attributes/power_share": 0.75,
    "shop/machines/mill/power_needed": 0.7,
}
LATHE = "shop/next_machines/lathe"
HARD_WIRED_LATHE: dict[str, object] = {
    f"{LATHE}/plug": GONE,
    f"{LATHE}/amps": 33,
    f"{LATHE}/ways": WALL | {"hard_wired": True},
}
WELDING_LATHE: dict[str, object] = {f"{LATHE}/plug": GONE, f"{LATHE}/load": "welder", f"{LATHE}/amps": 28}
SPOT_WELDING_LATHE = WELDING_LATHE | {f"{LATHE}/load": "spot welder", f"{LATHE}/duty_cycle": 0.05}

MATCHED = {"rpm": 1740, "frame": "182T", "enclosure": "totally enclosed"}
SWAPPABLE: dict[str, object] = {
    "shop/machines/mill/ways": WALL,
    **{f"shop/machines/mill/{word}": value for word, value in MATCHED.items()},
}
"""The mill may have a drive or another motor, which matches its plate."""
MOTOR_WORDS = {
    "two_speed": True,
    "brake": True,
    "control_transformer": True,
    "rpm": 1140,
    "frame": "145T",
    "shaft": "7/8 in",
    "enclosure": "XP",
    "other_load": 3,
}
NEW_MILL: dict[str, object] = {
    "shop/machines/mill": GONE,
    "shop/next_machines": [
        {"name": "new mill", "price": 9, "at": "bench C", "volts": 240, "phases": 3, "hp": 3, "ways": WALL}
        | MATCHED
    ],
}
LATER_MILL: dict[str, object] = {
    **SWAPPABLE,
    "shop/scenarios": [
        {
            "name": "busy",
            "weight": 1,
            "events": [
                {"year": 2, "machine": "mill", "retool": {"volts": 240, "phases": 3, "hp": 3} | MATCHED}
            ],
        }
    ],
}
LATER = "shop/scenarios/busy/events/0/retool"
PUMP = {"what": "coolant pump", "hp": 1}
PUMPED = {**SWAPPABLE, "shop/machines/mill/more_motors": [PUMP]}
CORD_OF_SAW = {"shop/machines/saw/cord": {"awg": "12", "length": 6}}
AT_208: dict[str, object] = {
    **BARE_SAW,
    "shop/panels/0/system": "120/208 three-phase",
    "shop/machines/saw/load": "heater",
    "shop/machines/saw/amps": 12,
    "shop/machines/saw/least_heat": 0.7,
}

FIELDS: dict[str, Case] = {
    # motors, cords and heat
    **{
        f"Machine.{word}": c({f"shop/machines/mill/{word}": value}, other("sizes"), "geared", SWAPPABLE)
        for word, value in MOTOR_WORDS.items()
    },
    **{
        f"NextMachine.{word}": c({f"shop/next_machines/0/{word}": value}, other("sizes"), "geared", NEW_MILL)
        for word, value in (MOTOR_WORDS | {"more_motors": [PUMP]}).items()
    },
    **{
        f"Retool.{word}": c({f"{LATER}/{word}": value}, other("json"), "geared", LATER_MILL)
        for word, value in (MOTOR_WORDS | {"more_motors": [PUMP]}).items()
        if word != "control_transformer"
    },
    "Retool.control_transformer": c(
        {f"{LATER}/control_transformer": True}, asks("motor-word-later"), "geared", LATER_MILL
    ),
    "SecondMotor.what": c(
        {"shop/machines/mill/more_motors/0/what": "oil pump"}, other("sizes", "oil pump"), "geared", PUMPED
    ),
    "SecondMotor.hp": c(
        {"shop/machines/mill/more_motors/0/hp": 2}, other("sizes", "row 2 hp"), "geared", PUMPED
    ),
    "SecondMotor.amps": c(
        {"shop/machines/mill/more_motors/0": {"amps": 5}}, other("sizes", "5 A stated"), "geared", PUMPED
    ),
    "SecondMotor.phases": c(
        {"shop/machines/mill/more_motors/0/phases": 1}, other("sizes", "row 1 hp, 8 A"), "geared", PUMPED
    ),
    "FactoryCord.awg": c(
        {"shop/machines/saw/cord/awg": "14"},
        other("sizes", "14 AWG 18 A"),
        given={
            **CORD_OF_SAW,
            "shop/machines/saw/plug_may_change": True,
            "shop/cords/families": ["straight", "locking"],
        },
    ),
    "FactoryCord.length": c({"shop/machines/saw/cord/length": 60}, cheaper, given=CORD_OF_SAW),
    "NextMachine.cord": c(
        {"shop/next_machines/lathe/cord": {"awg": "12", "length": 60}}, other("next"), "buying", ROUND
    ),
    "Machine.least_heat": c({"shop/machines/saw/least_heat": 0.9}, asks("machine-208-or-240"), given=AT_208),
    "NextMachine.least_heat": c(
        {"shop/next_machines/lathe/least_heat": 0.9},
        other("sizes", "75 % of their heat"),
        "buying",
        {
            **AT_208,
            "shop/next_machines/lathe/plug": GONE,
            "shop/next_machines/lathe/amps": 12,
            "shop/next_machines/lathe/load": "heater",
            "shop/next_machines/lathe/least_heat": 0.7,
        },
    ),
    # the shop
    "Shop.shop": c({"shop/shop": "Another shop"}, other("table", "Another shop")),
    "Shop.invented": c({"shop/invented": True}, other("table")),
    "Shop.currency": c({"shop/currency": "EUR"}, other("table", "EUR")),
    "Shop.catalog": c({"shop/catalog": "elsewhere"}, asks("catalog-missing")),
    "Shop.today": c({"shop/today": "2027-11-01"}, asks("offer-price-old")),
    "Shop.years": c({"shop/years": 3}, cheaper),
    "HourFactor.factor": c(
        {"shop/hour_factors/brick": 2}, dearer, given={**BRICK, "shop/places/0/hour_factors": ["brick"]}
    ),
    "HourFactor.tasks": c(
        {"shop/hour_factors/brick": {"factor": 2, "tasks": ["make-safe"]}},
        cheaper,
        given={"shop/hour_factors": {"brick": 2}, "shop/places/0/hour_factors": ["brick"]},
    ),
    "HourFactor.ceiling_above": c({"shop/hour_factors/high/ceiling_above": 11}, cheaper, given=HIGH),
    "HourFactor.ceiling_to": c(
        {"shop/hour_factors/high/ceiling_to": 12},
        asks("ceiling-hours"),
        given=HIGH | {"shop/building/ceiling_height": 13},
    ),
    **{
        f"JobCharge.{word}": c({f"labor/charges/lift/{word}": value}, sees, given=LIFT)
        for word, value, sees in (
            ("name", "another lift", other("lines", "another lift")),
            ("price", 120, dearer),
        )
    },
    "JobCharge.id": c({"labor/charges/lift/id": "platform"}, asks("recipe-charge"), given=LIFT),
    "RecipeCharge.charge": c({f"{LIFTED}/charge": "dump"}, dearer, given=LIFT),
    "RecipeCharge.per": c({f"{LIFTED}/per": "end"}, dearer, given=LIFT),
    "RecipeCharge.quantity": c({f"{LIFTED}/quantity": 2}, dearer, given=LIFT),
    "LaborFile.hour_factors": c(
        {"labor/hour_factors/brick": 2},
        dearer,
        given={"labor/hour_factors": {"brick": 1}, "shop/places/0/hour_factors": ["brick"]},
    ),
    "Shop.hired_visits": c(
        {"shop/hired_visits": "each move"},
        dearer,
        given={"shop/machines/drill/ways": WALL, "shop/scenarios/busy/events/1/year": 2},
    ),
    "Shop.bids_file": c({"shop/bids_file": "bids.yaml"}, other("json"), given={"bids": TWO_BIDDERS["bids"]}),
    "Shop.owner_does": c(
        {"shop/owner_does": []}, dearer, given={"labor/tasks/set-outlet/who": ["owner", "electrician"]}
    ),
    "Shop.must_be_new": c({"shop/must_be_new": ["plug"]}, dearer, given={**BARE, "offers/+": USED_PLUG}),
    "Shop.may_be_used": c(
        {"shop/may_be_used": ["breaker"]},
        cheaper,
        given={"offers/+": USED_PLUG | {"part": "breaker-2p-20"}},
    ),
    "LaborFile.crews": c({"labor/crews/electrician/rate": 150}, dearer),
    "RecipesFile.recipes": c({"recipes/recipes/wall drop/tasks": []}, cheaper),
    # offers
    "Offer.part": c({"offers/-1/part": "plug-6-30"}, dearer, given={**BARE, "offers/+": PLUG}),
    "Offer.supplier": c(
        {"offers/-1/supplier": "barn"},
        dearer,
        given={**BARE, **BARN, "suppliers/suppliers/barn/delivery": 3, "offers/+": PLUG},
    ),
    "Offer.condition": c({"offers/-1/condition": "used"}, dearer, given={**BARE, "offers/+": PLUG}),
    "Offer.price": c({"offers/-1/price": 2}, dearer, given={**BARE, "offers/+": PLUG}),
    "Offer.per": c({"offers/-1/per": "box of 10"}, other("lines"), given={**BARE, "offers/+": PLUG}),
    "Offer.available": c({"offers/-1/available": 0}, dearer, given={**BARE, "offers/+": PLUG}),
    "Offer.seen": c(
        {"offers/-1/seen": "2024-01-01"},
        other("shopping", "2024-01-01"),
        given={**BARE, "offers/+": PLUG | {"seen": "2026-10-01"}},
    ),
    "Offer.their_number": c(
        {"offers/-1/their_number": "88-104"},
        other("shopping", "no. 88-104: "),
        given={**BARE, "offers/+": PLUG},
    ),
    "Offer.freight": c({"offers/-1/freight": 2}, dearer, given={**BARE, "offers/+": PLUG}),
    "Offer.usable": c(
        {"offers/-1/usable": "10 %"},
        dearer,
        given={**BARE, "kinds/kinds/plug/inspect": 0, "offers/+": USED_PLUG | {"per": "lot of 4"}},
    ),
    "Offer.note": c(
        {"offers/-1/note": "behind the counter"},
        other("shopping", "behind the counter"),
        given={**BARE, "offers/+": PLUG},
    ),
    # money
    "Money.discount_rate": c({"shop/money": {"discount_rate": "10 %"}}, cheaper),
    "Money.shop_hour": c(
        {"shop/money": {"shop_hour": 30}}, dearer, given={"labor/tasks/move-machine/stops_shop": 1}
    ),
    "Money.electricity_per_kwh": c(
        {"shop/money": {"electricity_per_kwh": 0.3}}, dearer, given={"shop/machines/saw/full_load_hours": 800}
    ),
    "Money.outlay_cap": c({"shop/money": {"outlay_cap": 50}}, impossible),
    "Money.surplus": c(
        {"shop/money": {"surplus": "new only"}}, dearer, given={**BARE, "offers/+": USED_PLUG}
    ),
    "Money.rejects": c(
        {"shop/money": {"rejects": "whole spares"}}, dearer, given={**BARE, "offers/+": USED_PLUG}
    ),
    "Money.price_uncertainty": c(
        {"shop/money": {"price_uncertainty": "30 %"}}, other("json"), given={"shop/machines/saw/ways": BOTH}
    ),
    "Money.distribution": c(
        {"shop/money/distribution": "triangular"},
        other("json"),
        given={"labor/tasks/set-outlet/hours": [1, 2, 5]},
    ),
    "Growth.parts": c({"shop/money": {"growth": {"parts": "9 %"}}}, dearer),
    "Growth.labor": c({"shop/money": {"growth": {"labor": "9 %"}}}, dearer),
    "Growth.electricity": c({"shop/money/growth": {"electricity": "9 %"}}, dearer, "geared"),
    # the code and the building
    "Code.edition": c({"shop/code/edition": 2014}, cheaper, given={"shop/code/ground_fault_place": True}),
    "Code.occupancy": c({"shop/code/occupancy": "dwelling garage"}, dearer),
    "Code.ground_fault_place": c({"shop/code/ground_fault_place": True}, dearer),
    "Code.small_children": c(
        {"shop/code/small_children": True}, other("json"), given={"shop/code/occupancy": "school"}
    ),
    "Machine.drop_limit": c({"shop/machines/saw/drop_limit": "0.1 %"}, other("sizes")),
    "Code.drop_limit": c({"shop/code/drop_limit": "0.5 %"}, other("sizes")),
    "Code.terminals": c(
        {"shop/code/terminals": 75}, other("sizes"), given={**HARD_WIRED, "shop/machines/saw/ways": CONDUIT}
    ),
    "Code.starting_margin": c({"shop/code/starting_margin": "250 %"}, other("sizes"), given=HARD_WIRED),
    "Code.smallest_circuit": c(
        {"shop/code/smallest_circuit": 15},
        other("sizes"),
        given={"shop/machines/saw/amps": 9, "shop/machines/saw/plug": GONE},
    ),
    "Code.ambient_c": c({"shop/code/ambient_c": 50}, other("sizes")),
    "Building.ceiling_height": c({"shop/building/ceiling_height": 14}, dearer, given=PLACES),
    "Building.construction": c(
        {"shop/building/construction": "type II"}, other("json", "type II"), given=IN_WALLS
    ),
    "Building.finished_walls": c(
        {"shop/building/finished_walls": False}, other("json", "not laid exposed"), given=IN_WALLS
    ),
    "Building.detached": c(
        {"shop/building/detached": True}, other("scope", "apart from the building that feeds it")
    ),
    "Building.wood_dust": c({"shop/building/wood_dust": True}, other("scope", "with wood dust")),
    "Building.flammable_vapors": c(
        {"shop/building/flammable_vapors": True}, other("scope", "with flammable vapors")
    ),
    "Building.forbid": c(
        {"shop/building/forbid": {"cord": "no cords here"}},
        other("json", "no cords here"),
        given={"shop/machines/saw/ways": BOTH, "shop/machines/drill/ways": BOTH},
    ),
    "Building.patching": c(
        {"shop/building/patching": True},
        dearer,
        given={"recipes/recipes/patch": {"tasks": [{"task": "make-safe"}]}},
    ),
    "Building.make_safe": c({"shop/building/make_safe": False}, cheaper),
    "Lease.ends": c(
        {"shop/building/lease/ends": 4},
        other("lines"),
        given=LEASE | {"shop/scenarios/busy/events/+": {"year": 4, "shop_moves": True}},
    ),
    "Lease.take_out": c({"shop/building/lease/take_out": False}, cheaper, given=LEASE),
    "Lease.there_too": c(
        {"shop/building/lease/there_too": True},
        dearer,
        given=LEASE | WIRED_NOW | {"shop/machines/saw/ways": WALL},
    ),
    "Lease.capped_too": c({"shop/building/lease/capped_too": True}, dearer, given=LEASE),
    # panels, places, routes
    "Panel.name": c(("panel", "board"), other("scope", "board")),
    "Panel.flush": c({"shop/panels/0/flush": True}, dearer, given=WALLS_WORKED_IN),
    "Building.rated_walls": c({"shop/building/rated_walls": 2}, dearer, given=WALLS_WORKED_IN),
    "Route.rated_walls": c(
        {"shop/routes/0/rated_walls": 0}, cheaper, given=WALLS_WORKED_IN | {"shop/building/rated_walls": 2}
    ),
    "Panel.system": c({"shop/panels/0/system": "120/208 three-phase"}, asks("machine-208-or-240")),
    "Panel.breakers": c({"shop/panels/0/breakers": "family B"}, asks("panel-breakers")),
    "Panel.spaces_free": c({"shop/panels/0/spaces_free": 2}, impossible),
    "Panel.spaces": c({"shop/panels/0/spaces": 13}, asks("panel-spaces"), given=WIRED_NOW),
    "Panel.place": c(
        {"shop/panels/0/place": "bench D"},
        dearer,
        given={**BRICK, "shop/places/3/hour_factors": ["brick"]},
    ),
    "Panel.rating": c({"shop/panels/0/rating": 20}, impossible),
    "Panel.fed_from": c(
        {"shop/panels/second/fed_from": "panel"},
        impossible,
        given={**TWO_PANELS, **STANDS, "shop/panels/0/rating": 20},
    ),
    "Panel.other_load": c({"shop/panels/0/other_load": 80}, impossible, given={"shop/panels/0/rating": 100}),
    "Panel.manufactured_leg": c({"shop/panels/0/manufactured_leg": True}, asks("machine-no-panel")),
    "Panel.tandems": c({"shop/panels/0/tandems": 1}, impossible, "geared", GEARS["tandem"]),
    "OnePoleCircuits.breaker": c({f"{IN_PANEL}/breaker": 15}, cheaper, "geared", GEARS["tandem"]),
    "OnePoleCircuits.awg": c({f"{IN_PANEL}/awg": "14"}, impossible, "geared", GEARS["tandem"]),
    "OnePoleCircuits.count": c({f"{IN_PANEL}/count": 3}, impossible, "geared", GEARS["tandem"]),
    "OnePoleCircuits.test_button": c(
        {f"{IN_PANEL}/test_button": True}, impossible, "geared", GEARS["tandem"]
    ),
    "OnePoleCircuits.shared_neutral": c(
        {f"{IN_PANEL}/shared_neutral": True}, impossible, "geared", GEARS["tandem"]
    ),
    "OnePoleCircuits.tied": c({f"{IN_PANEL}/tied": True}, impossible, "geared", GEARS["tandem"]),
    "Spot.name": c(("bench A", "corner"), other("scope", "corner")),
    "Spot.at": c({"shop/places/0/at": [40, 3]}, other("lines"), given=PLACES),
    "Spot.hour_factors": c({"shop/places/0/hour_factors": ["brick"]}, dearer, given=BRICK),
    "Spot.occupancy": c({"shop/places/0/occupancy": "dwelling garage"}, dearer),
    "Spot.ground_fault_place": c({"shop/places/0/ground_fault_place": True}, dearer),
    "Spot.construction": c(
        {"shop/places/0/construction": "type II"}, other("json", "at bench A", "type II"), given=IN_WALLS
    ),
    "Spot.finished_walls": c(
        {"shop/places/0/finished_walls": False},
        other("json", "at bench A", "not laid exposed"),
        given=IN_WALLS,
    ),
    "Spot.detached": c({"shop/places/0/detached": True}, other("json", "leaves its building")),
    "Spot.wood_dust": c({"shop/places/0/wood_dust": True}, other("scope", "with wood dust")),
    "Spot.flammable_vapors": c(
        {"shop/places/0/flammable_vapors": True}, other("scope", "with flammable vapors")
    ),
    "Route.from": c({"shop/routes/0/from": "nowhere"}, asks("route-from")),
    "Route.to": c({"shop/routes/0/to": "nowhere"}, asks("route-to")),
    "Route.fixed": c({"shop/routes/0/fixed": 50}, dearer),
    "Route.cord": c({"shop/routes/1/cord": 50}, dearer),
    "Route.hour_factors": c({"shop/routes/0/hour_factors": ["brick"]}, dearer, given=BRICK),
    "OwnRoute.panel": c({"shop/machines/saw/route/panel": "far"}, asks("machine-route-panel"), given=GROUP),
    "OwnRoute.fixed": c({"shop/machines/saw/route/fixed": 50}, dearer, given=GROUP),
    "OwnRoute.rated_walls": c(
        {"shop/machines/saw/route/rated_walls": 1}, dearer, given=GROUP | WALLS_WORKED_IN
    ),
    "OwnRoute.cord": c(
        {"shop/machines/saw/route/cord": 50}, dearer, given={**GROUP, "shop/machines/saw/ways": CORD}
    ),
    # machines
    "Machine.volts": c({"shop/machines/drill/volts": 240}, other("sizes")),
    "Machine.phases": c({"shop/machines/mill/phases": 1}, cheaper, "geared"),
    "Machine.amps": c({"shop/machines/saw/amps": 24}, dearer, given=BARE_SAW),
    "Machine.hp": c({"shop/machines/mill/hp": 5}, other("sizes"), "geared"),
    "Machine.neutral": c({"shop/machines/saw/neutral": True}, other("sizes")),
    "Machine.continuous": c(
        {"shop/machines/saw/continuous": False},
        other("sizes"),
        given={**BARE_SAW, "shop/machines/saw/load": "heater", "shop/machines/saw/amps": 18},
    ),
    "Machine.breaker": c({"shop/machines/saw/breaker": 30}, dearer, given=BARE_SAW),
    "Machine.largest_breaker": c({"shop/machines/saw/largest_breaker": 20}, other("sizes"), given=HARD_WIRED),
    "Machine.terminals": c(
        {"shop/machines/saw/terminals": 75},
        other("sizes"),
        given={**HARD_WIRED, "shop/machines/saw/ways": CONDUIT},
    ),
    "Machine.duty_cycle": c({"shop/machines/saw/duty_cycle": 0.4}, other("sizes"), given=WELDER),
    "Machine.effective_amps": c({"shop/machines/saw/effective_amps": 12}, other("sizes"), given=WELDER),
    "Machine.one_operation": c({"shop/machines/saw/one_operation": True}, other("sizes"), given=SPOT_WELDER),
    "Machine.plug_may_change": c(
        {"shop/machines/saw/plug_may_change": True},
        other("sizes"),
        given={"shop/cords/families": ["straight", "locking"], **CORD_OF_SAW},
    ),
    "Machine.name": c(("saw", "large saw"), other("table", "large saw")),
    "Machine.count": c({"shop/machines/drill/count": 2}, dearer),
    "Machine.at": c({"shop/machines/saw/at": "bench C"}, dearer, given=STANDS),
    "Machine.lasts": c(
        {"shop/machines/saw/lasts": {"receptacle": 0.5}}, dearer, given={"kinds/kinds/receptacle/life": 4}
    ),
    "Machine.old_motor_worth": c(
        {"shop/machines/mill/old_motor_worth": 30},
        cheaper,
        "geared",
        SWAPPABLE | {"shop/machines/mill/ways/forbid_supply": {"drive": "not wanted"}},
    ),
    "Machine.motor": c({"shop/machines/saw/motor": False}, other("sizes")),
    "Machine.load": c({"shop/machines/saw/load": "heater"}, other("sizes")),
    "Machine.own_cord": c({"shop/machines/saw/own_cord": 60}, cheaper),
    "Machine.plug": c({"shop/machines/saw/plug": GONE}, dearer),
    "Machine.arrives": c({"shop/machines/saw/arrives": 1}, other("lines")),
    "Machine.leaves": c({"shop/machines/saw/leaves": 3}, other("lines")),
    "Machine.never_moves": c({"shop/machines/drill/never_moves": True}, asks("event-never-moves")),
    "Machine.takes_turns": c(
        {"shop/machines/saw/takes_turns": "cutting"},
        cheaper,
        given={"shop/machines/+": TWIN | {"at": "bench A", "takes_turns": "cutting"}, **STANDS},
    ),
    "Machine.disconnected_by": c(
        {"shop/machines/saw/disconnected_by": "own switch"},
        other("sizes"),
        given={**BARE, "shop/machines/saw/hp": 3},
    ),
    "Machine.listed": c(
        {"shop/machines/saw/listed": False}, other("sizes"), given={"shop/machines/saw/hp": 3}
    ),
    "Machine.starts_by_itself": c(
        {"shop/machines/saw/starts_by_itself": True}, impossible, "geared", ONE_AT_A_TIME
    ),
    "Machine.unattended": c({"shop/machines/saw/unattended": True}, impossible, "geared", ONE_AT_A_TIME),
    "Machine.power_needed": c(
        {"shop/machines/mill/power_needed": 0.9}, asks("converter-share"), "geared", STATIC
    ),
    "Machine.full_load_hours": c(
        {"shop/machines/saw/full_load_hours": 500}, dearer, given={"shop/money": {"electricity_per_kwh": 0.2}}
    ),
    "Machine.in_measured_peak": c(
        {"shop/machines/saw/in_measured_peak": True},
        other("table"),
        "geared",
        AT_PEAK,
    ),
    "Machine.recipes": c(
        {"shop/machines/saw/recipes": {"wall drop": {"tasks": []}}},
        cheaper,
    ),
    "Present.method": c({"shop/machines/saw/now/method": "armored drop"}, other("lines"), given=WIRED_NOW),
    "Present.panel": c(
        {"shop/machines/saw/now/panel": "second"}, other("total"), given={**WIRED_NOW, **TWO_PANELS}
    ),
    "Present.place": c({"shop/machines/saw/now/place": "bench C"}, dearer, given=WIRED_NOW),
    "Present.configuration": c({"shop/machines/saw/now/configuration": "NEMA 6-30"}, dearer, given=WIRED_NOW),
    "Present.breaker": c({"shop/machines/saw/now/breaker": 15}, dearer, given=WIRED_NOW),
    "Present.poles": c({"shop/machines/saw/now/poles": 1}, dearer, given=HARD_WIRED_NOW),
    "Present.disconnect": c({"shop/machines/saw/now/disconnect": "15 A"}, dearer, given=HARD_WIRED_NOW),
    "Present.awg": c({"shop/machines/saw/now/awg": "14"}, dearer, given=WIRED_NOW),
    "Present.ground_awg": c({"shop/machines/saw/now/ground_awg": "14"}, dearer, given=WIRED_NOW),
    "Present.duplex": c(
        {"shop/machines/saw/now/duplex": False},
        asks("now-receptacle-small"),
        given={"shop/machines/saw/now": NOW | {"configuration": "NEMA 6-15"}, "shop/machines/saw/amps": 9},
    ),
    "Present.alone": c(
        {"shop/machines/saw/now/alone": False},
        asks("now-shared"),
        given={"shop/machines/saw/now": NOW | {"configuration": "NEMA 6-20"}, "shop/machines/saw/amps": 17},
    ),
    "Present.spare": c(
        {"shop/machines/saw/now/spare": True},
        cheaper,
        given={**WIRED_NOW, "shop/machines/saw/now/place": "bench C"},
    ),
    "Present.conductors": c(
        {"shop/machines/mill/now/conductors": 2},
        dearer,
        "geared",
        {
            "shop/machines/mill/now": NOW
            | {"panel": "delta", "configuration": "NEMA 15-20", "poles": 3, "conductors": 3},
            "shop/panels/+": DELTA,
            "shop/routes/+": {"from": "delta", "to": "bench C", "fixed": 35},
        },
    ),
    "Present.drive": c(
        {"shop/machines/mill/now/drive": "drive-3"},
        cheaper,
        "geared",
        {"shop/machines/mill/ways": WALL, "shop/machines/mill/now": NOW},
    ),
    "Ways.only": c({"shop/machines/saw/ways/only": ["cord"]}, other("ways")),
    "Ways.forbid": c(
        {"shop/machines/saw/ways/forbid": {"cord": "too hot"}},
        other("json", "too hot"),
        given={"shop/machines/saw/ways": BOTH},
    ),
    "Ways.forbid_supply": c(
        {"shop/machines/mill/ways/forbid_supply": {"drive": "old windings"}},
        other("json", "old windings"),
        "geared",
        {"shop/machines/mill/ways": WALL},
    ),
    "Ways.from_catalog": c(
        {"shop/machines/saw/ways/from_catalog": True},
        other("ways"),
        given={
            "shop/quoted_ways": [
                {"name": "by quote", "method": "wall drop", "machines": ["saw"], "put_in": {"money": 9}}
            ]
        },
    ),
    "Ways.fused": c(
        {"shop/machines/saw/ways/fused": True},
        impossible,
        given=BARE_SAW | {"shop/machines/saw/ways": WALL | {"hard_wired": True}},
    ),
    "Ways.hard_wired": c({"shop/machines/saw/ways/hard_wired": True}, other("ways")),
    # quotes
    "QuotedWay.name": c(("cord by quote", "long cord"), other("table", "long cord"), "quoted"),
    "QuotedWay.method": c({"shop/quoted_ways/1/method": "ceiling outlet"}, other("json"), "quoted"),
    "QuotedWay.machines": c({"shop/quoted_ways/1/machines": ["lathe"]}, dearer, "quoted", PRESSES_AND_LATHE),
    "QuotedWay.comes_back": c({"shop/quoted_ways/1/comes_back": 30}, cheaper, "quoted"),
    "QuotedWay.panel": c({"shop/quoted_ways/0/panel": "small"}, impossible, "quoted", QUOTED_PANEL),
    "QuotedWay.poles": c({"shop/quoted_ways/0/poles": 3}, impossible, "quoted", QUOTED_PANEL),
    **{
        f"QuotedWay.{step}.{word}": c(
            {f"shop/quoted_ways/0/{step}/{word}": value},
            dearer,
            "quoted",
            {**ONE_QUOTE, "shop/crews/owner/permit": 30},
        )
        for step in ("put_in", "move", "renew")
        for word, value in (("money", 777), ("hours", 9), ("own_hours", 9), ("permit", True))
    },
    **{
        f"QuotedWay.take_out.{word}": c(
            {f"shop/quoted_ways/0/take_out/{word}": value},
            dearer,
            "quoted",
            {
                **ONE_QUOTE,
                "shop/crews/owner/permit": 30,
                "shop/building": {"lease": {"ends": 6, "take_out": True}},
                "shop/quoted_ways/0/take_out": {"money": 1},
            },
        )
        for word, value in (("money", 777), ("hours", 9), ("own_hours", 9), ("permit", True))
    },
    "QuotedWay.there_today": c({"shop/quoted_ways/0/there_today": True}, cheaper, "quoted", ONE_QUOTE),
    "QuotedWay.renew.every": c({"shop/quoted_ways/0/renew/every": 1}, dearer, "quoted", ONE_QUOTE),
    "Strategy.name": c(("all drops", "no cords"), other("table", "no cords"), "quoted", STRATEGY),
    "Strategy.ways": c({"shop/strategies/0/ways": {"*": "cord by quote"}}, other("json"), "quoted", STRATEGY),
    # layouts
    "Layout.name": c(("idea", "thought"), other("table", "thought"), given=IDEA),
    "Layout.at": c({"shop/layouts/0/at": {"saw": "bench E"}}, other("table"), given=IDEA),
    "Layout.without": c({"shop/layouts/0/without": ["drill"]}, other("table", "is dropped"), given=IDEA),
    "Layout.swap": c({"shop/layouts/0/swap": {"drill": "lathe"}}, other("table"), given=BRINGS),
    "Layout.brought": c(
        {"shop/layouts/0/brought": [SAW | {"name": "lathe", "at": "bench D"}]}, other("table"), given=IDEA
    ),
    # what is there
    "Installed.place": c({"shop/installed/0/place": "bench C"}, dearer, given=THERE),
    "Installed.panel": c({"shop/installed/0/panel": "second"}, other("total"), given={**THERE, **TWO_PANELS}),
    "Installed.method": c({"shop/installed/0/method": "armored drop"}, dearer, given=THERE),
    "Installed.configuration": c({"shop/installed/0/configuration": "NEMA 6-30"}, dearer, given=THERE),
    "Installed.breaker": c({"shop/installed/0/breaker": 30}, asks("installed-receptacle-small"), given=THERE),
    "Installed.poles": c({"shop/installed/0/poles": 1}, asks("installed-poles-receptacle"), given=THERE),
    "Installed.awg": c({"shop/installed/0/awg": "14"}, asks("installed-awg-thin"), given=THERE),
    "Installed.ground_awg": c(
        {"shop/installed/0/ground_awg": "14"}, asks("installed-ground-thin"), given=THERE
    ),
    "Installed.duplex": c(
        {"shop/installed/0/duplex": False},
        asks("installed-receptacle-small"),
        given={
            **THERE,
            "shop/installed": [{**THERE["shop/installed"][0], "configuration": "NEMA 6-15", "breaker": 20}],
        },
    ),
    "Installed.conductors": c(
        {"shop/installed/0/conductors": 2},
        asks("installed-conductors"),
        given={**THERE, "shop/installed/0/configuration": "NEMA 14-20"},
    ),
    "Stored.part": c({"shop/shelf/0/part": "weak"}, dearer, given={**ON_SHELF, "parts/parts/+": WEAK}),
    "Stored.count": c({"shop/shelf/0/count": 2}, cheaper, given={**ON_SHELF, "shop/machines/drill/count": 2}),
    "Stored.length": c({"shop/shelf/0/length": 12}, dearer, given=ON_SHELF),
    "Stored.plug": c({"shop/shelf/0/plug": GONE}, dearer, given=ON_SHELF),
    "Stored.connector": c({"shop/shelf/0/connector": GONE}, dearer, given=ON_SHELF),
    # the service and shared gear
    "PowerService.system": c({"shop/service/system": "240 three-phase"}, other("table"), "geared"),
    "PowerService.amps": c({"shop/service/amps": 30}, impossible, "geared"),
    "PowerService.other_load": c({"shop/service/other_load": 90}, impossible, "geared"),
    "PowerService.at_once": c({"shop/service/at_once": [["saw"], ["mill"]]}, other("table"), "geared"),
    "AtMost.count": c({"shop/service/at_most/0/count": 2}, impossible, "geared", ONE_AT_A_TIME),
    "AtMost.of": c(
        {"shop/service/at_most/0/of": ["mill", "lathe"]},
        impossible,
        "geared",
        {**ONE_AT_A_TIME, "shop/machines/+": TWIN | {"name": "lathe", "amps": 2}},
    ),
    "MeasuredPeak.amps": c({"shop/service/measured_peak/amps": 30}, impossible, "geared", AT_PEAK),
    "MeasuredPeak.kw": c(
        {"shop/service/measured_peak": {"kw": 7.2, "power_factor": 1, "seen": "2026-10-01"}},
        impossible,
        "geared",
        AT_PEAK,
    ),
    "MeasuredPeak.power_factor": c(
        {"shop/service/measured_peak/power_factor": 0.4}, impossible, "geared", AT_PEAK_KW
    ),
    "MeasuredPeak.seen": c(
        {"shop/service/measured_peak/seen": "2024-10-01"}, asks("peak-old"), "geared", AT_PEAK
    ),
    "MeasuredPeak.days": c({"shop/service/measured_peak/days": 7}, asks("peak-short"), "geared", AT_PEAK),
    "Gear.name": c(("converter", "big converter"), other("table", "big converter"), "geared"),
    "Gear.kind": c({"shop/gear/converter/kind": "load manager"}, asks("gear"), "geared"),
    "Gear.installed": c({"shop/gear/converter/installed": True}, cheaper, "geared"),
    "Gear.part": c({"shop/gear/converter/part": "converter-4"}, cheaper, "geared"),
    "Gear.panel_part": c({"shop/gear/converter/panel_part": "panel-1"}, asks("gear-panel-phases"), "geared"),
    "Gear.fed_from": c(
        {"shop/gear/converter/fed_from": "second"},
        other("total"),
        "geared",
        {**TWO_PANELS, "shop/routes/+": {"from": "second", "to": "bench E", "fixed": 5}},
    ),
    "Gear.at": c({"shop/gear/converter/at": "bench D"}, cheaper, "geared"),
    "Gear.system": c(
        {"shop/gear/converter/system": "277/480 three-phase"},
        asks("machine-no-panel"),
        "geared",
        GEARS["utility"],
    ),
    "Gear.amps": c({"shop/gear/converter/amps": 5}, impossible, "geared", GEARS["utility"]),
    "Gear.to": c({"shop/gear/larger/to": 45}, impossible, "geared", GEARS["upgrade"]),
    "Gear.panel": c(
        {"shop/gear/tandems/panel": "second"},
        asks("tandem-not-allowed"),
        "geared",
        {**GEARS["tandem"], **TWO_PANELS},
    ),
    "Gear.at_most": c({"shop/gear/tandems/at_most": 1}, impossible, "geared", GEARS["tandem"]),
    "Gear.machines": c({"shop/gear/manager/machines": ["saw"]}, impossible, "geared", GEARS["manager"]),
    "Gear.holds_to": c({"shop/gear/manager/holds_to": 45}, impossible, "geared", GEARS["manager"]),
    "Gear.breaker": c({"shop/gear/converter/breaker": 40}, asks("converter-breaker-trips"), "geared"),
    "Gear.life": c({"shop/gear/converter/life": 2}, dearer, "geared"),
    "Gear.hours_per_year": c({"shop/gear/converter/hours_per_year": 900}, dearer, "geared"),
    "Gear.quote": c({"shop/gear/converter/quote": 9000}, dearer, "geared"),
    "Gear.fees": c({"shop/gear/converter/fees": {"rigging": 70}}, dearer, "geared"),
    "Gear.yearly_fee": c({"shop/gear/converter/yearly_fee": 70}, dearer, "geared"),
    **{
        f"Gear.overhaul.{word}": c(
            {f"shop/gear/converter/overhaul/{word}": value}, dearer, "geared", OVERHAUL
        )
        for word, value in (("money", 90), ("hours", 9), ("own_hours", 9), ("permit", True), ("every", 1))
    },
    # a next machine
    "NextMachine.volts": c({f"{LATHE}/volts": 208}, other("next"), "buying"),
    "NextMachine.phases": c({f"{LATHE}/phases": 3}, other("next"), "buying"),
    "NextMachine.amps": c({f"{LATHE}/amps": 24}, other("next"), "buying"),
    "NextMachine.hp": c(
        {f"{LATHE}/hp": 5}, other("next"), "buying", {f"{LATHE}/amps": GONE, f"{LATHE}/hp": 3}
    ),
    "NextMachine.neutral": c({f"{LATHE}/neutral": True}, other("sizes"), "buying"),
    "NextMachine.continuous": c(
        {f"{LATHE}/continuous": False},
        other("next"),
        "buying",
        {f"{LATHE}/plug": GONE, f"{LATHE}/load": "heater", f"{LATHE}/amps": 18},
    ),
    "NextMachine.breaker": c({f"{LATHE}/breaker": 30}, other("next"), "buying", {f"{LATHE}/plug": GONE}),
    "NextMachine.largest_breaker": c(
        {f"{LATHE}/largest_breaker": 20}, other("sizes"), "buying", HARD_WIRED_LATHE
    ),
    "NextMachine.terminals": c(
        {f"{LATHE}/terminals": 75},
        other("sizes"),
        "buying",
        {**HARD_WIRED_LATHE, f"{LATHE}/ways": CONDUIT},
    ),
    "NextMachine.duty_cycle": c({f"{LATHE}/duty_cycle": 0.4}, other("sizes"), "buying", WELDING_LATHE),
    "NextMachine.effective_amps": c({f"{LATHE}/effective_amps": 9}, other("sizes"), "buying", WELDING_LATHE),
    "NextMachine.one_operation": c(
        {f"{LATHE}/one_operation": True}, other("sizes"), "buying", SPOT_WELDING_LATHE
    ),
    "NextMachine.plug_may_change": c(
        {f"{LATHE}/plug_may_change": True},
        other("sizes"),
        "buying",
        {f"{LATHE}/ways": {"only": ["wall drop"]}},
    ),
    "NextMachine.drop_limit": c({f"{LATHE}/drop_limit": "0.1 %"}, other("sizes"), "buying"),
    "NextMachine.name": c(("lathe", "long lathe"), other("next", "long lathe"), "buying"),
    "NextMachine.count": c({f"{LATHE}/count": 2}, asks("next-machine-count"), "buying"),
    "NextMachine.at": c({f"{LATHE}/at": "bench E"}, other("next"), "buying"),
    "NextMachine.route": c(
        {f"{LATHE}/route/fixed": 70},
        other("next"),
        "buying",
        {f"{LATHE}/at": GONE, f"{LATHE}/route": {"fixed": 9}},
    ),
    "NextMachine.lasts": c(
        {f"{LATHE}/lasts": {"receptacle": 0.5}}, other("next"), "buying", {"kinds/kinds/receptacle/life": 4}
    ),
    "NextMachine.old_motor_worth": c(
        {"shop/next_machines/0/old_motor_worth": 30},
        other("next"),
        "geared",
        {
            "shop/gear": [],
            "shop/routes": [{"from": "panel", "to": b, "fixed": 20} for b in ("bench A", "bench C")],
            "shop/machines/mill": GONE,
            "shop/next_machines": [
                {
                    "name": "new mill",
                    "price": 9,
                    "at": "bench C",
                    "volts": 240,
                    "phases": 3,
                    "hp": 3,
                    "ways": WALL | {"forbid_supply": {"drive": "no"}},
                }
                | MATCHED
            ],
        },
    ),
    "NextMachine.motor": c({f"{LATHE}/motor": False}, other("sizes"), "buying"),
    "NextMachine.load": c({f"{LATHE}/load": "heater"}, other("sizes"), "buying"),
    "NextMachine.own_cord": c({f"{LATHE}/own_cord": 60}, other("next"), "buying", ROUND),
    "NextMachine.plug": c({f"{LATHE}/plug": GONE}, other("next"), "buying"),
    "NextMachine.arrives": c({f"{LATHE}/arrives": 2}, other("next"), "buying"),
    "NextMachine.leaves": c({f"{LATHE}/leaves": 2}, other("next"), "buying"),
    "NextMachine.never_moves": c({f"{LATHE}/never_moves": True}, other("next"), "buying", ROUND),
    "NextMachine.takes_turns": c(
        {f"{LATHE}/takes_turns": "cutting"},
        other("next"),
        "buying",
        {f"{LATHE}/at": "bench A", "shop/machines/saw/takes_turns": "cutting"},
    ),
    "NextMachine.disconnected_by": c(
        {f"{LATHE}/disconnected_by": "own switch"},
        other("next"),
        "buying",
        {f"{LATHE}/plug": GONE, f"{LATHE}/hp": 3},
    ),
    "NextMachine.listed": c({f"{LATHE}/listed": False}, other("next"), "buying", {f"{LATHE}/hp": 3}),
    "NextMachine.starts_by_itself": c(
        {f"{LATHE}/starts_by_itself": True},
        other("next"),
        "buying",
        {
            f"{LATHE}/at": "bench A",
            f"{LATHE}/takes_turns": "cutting",
            "shop/machines/saw/takes_turns": "cutting",
        },
    ),
    "NextMachine.unattended": c(
        {f"{LATHE}/unattended": True},
        other("next"),
        "buying",
        {
            f"{LATHE}/at": "bench A",
            f"{LATHE}/takes_turns": "cutting",
            "shop/machines/saw/takes_turns": "cutting",
        },
    ),
    "NextMachine.power_needed": c(
        {f"{LATHE}/power_needed": 0.9}, asks("power-needed", no_effect=True), "buying"
    ),
    "NextMachine.full_load_hours": c(
        {f"{LATHE}/full_load_hours": 500},
        other("next"),
        "buying",
        {"shop/money": {"electricity_per_kwh": 0.2}},
    ),
    "NextMachine.in_measured_peak": c(
        {f"{LATHE}/in_measured_peak": True}, asks("measured-peak-later"), "buying"
    ),
    "NextMachine.now": c({f"{LATHE}/now": NOW}, asks("next-machine-now"), "buying"),
    "NextMachine.ways": c({f"{LATHE}/ways": CORD}, other("next"), "buying"),
    "NextMachine.recipes": c({f"{LATHE}/recipes": {"wall drop": {}}}, other("next"), "buying"),
    "NextMachine.price": c({f"{LATHE}/price": 1200}, other("next"), "buying"),
    "NextMachine.premium": c({f"{LATHE}/premium": 0.1}, other("next"), "buying"),
    "NextMachine.tax": c({f"{LATHE}/tax": 0.1}, other("next"), "buying"),
    "NextMachine.trade_in": c({f"{LATHE}/trade_in": 100}, other("next"), "buying"),
    "NextMachine.freight": c({f"{LATHE}/freight": 100}, other("next"), "buying"),
    "NextMachine.tooling": c({f"{LATHE}/tooling": 100}, other("next"), "buying"),
    "NextMachine.worth_at_end": c({f"{LATHE}/worth_at_end": 0.2}, other("next"), "buying"),
    # what happens
    "Scenario.name": c(("busy", "restless"), other("lines", "restless")),
    "Scenario.lease_ends": c({"shop/scenarios/calm/lease_ends": 9}, cheaper, given=LEASE),
    "Scenario.weight": c({"shop/scenarios/calm/weight": 0.1, "shop/scenarios/busy/weight": 0.9}, dearer),
    "Event.year": c({f"{FIRST}/year": 1}, dearer),
    "Event.years": c(
        {f"{FIRST}/years": [1, 2, 3]},
        dearer,
        given={**GROUP, f"{FIRST}/year": GONE, f"{FIRST}/years": [1, 3]},
    ),
    "Event.every": c({"shop/scenarios/moves/events/0/every": 1}, dearer, "quoted"),
    "Event.machine": c({f"{FIRST}/machine": "drill"}, other("lines")),
    "Event.how_many": c({"shop/scenarios/moves/events/0/how_many": 3}, dearer, "quoted"),
    "Event.move": c({f"{FIRST}/move": "bench D"}, cheaper),
    "Event.new_spot": c({FIRST: {"year": 2, "machine": "saw", "new_spot": True}}, other("lines")),
    "Event.times": c({f"{FIRST}/times": 2}, dearer, given=GROUP),
    "Event.arrives": c(
        {f"{FIRST}/arrives": "bench C"},
        other("lines"),
        given={f"{FIRST}/move": GONE, f"{FIRST}/arrives": "bench A"},
    ),
    "Event.leaves": c({FIRST: {"year": 2, "machine": "saw", "leaves": True}}, cheaper),
    "Event.shop_moves": c({"shop/scenarios/busy/events/+": {"year": 3, "shop_moves": True}}, dearer),
    "Event.route_factor": c(
        {"shop/scenarios/busy/events/-1/route_factor": 2},
        dearer,
        given={"shop/scenarios/busy/events/+": {"year": 3, "shop_moves": True}},
    ),
    "Event.new_building": c(
        {"shop/scenarios/busy/events/-1/new_building": "as here"},
        other("scope"),
        given={"shop/scenarios/busy/events/+": {"year": 3, "shop_moves": True}},
    ),
    "SpaceWords.occupancy": c({f"{NEXT}/building/occupancy": "dwelling garage"}, dearer, given=MOVES_TO),
    "SpaceWords.ground_fault_place": c({f"{NEXT}/building/ground_fault_place": True}, dearer, given=MOVES_TO),
    "SpaceWords.construction": c(
        {f"{NEXT}/building/construction": "type II"},
        other("json", "in the building that the shop moves to", "type II"),
        given=IN_WALLS | MOVES_TO,
    ),
    "SpaceWords.finished_walls": c(
        {f"{NEXT}/building/finished_walls": False},
        other("json", "in the building that the shop moves to", "not laid exposed"),
        given=IN_WALLS | MOVES_TO,
    ),
    "SpaceWords.detached": c(
        {f"{NEXT}/building/detached": True}, other("scope", "apart from the building"), given=MOVES_TO
    ),
    "SpaceWords.wood_dust": c(
        {f"{NEXT}/building/wood_dust": True}, other("scope", "with wood dust"), given=MOVES_TO
    ),
    "SpaceWords.flammable_vapors": c(
        {f"{NEXT}/building/flammable_vapors": True}, other("scope", "with flammable vapors"), given=MOVES_TO
    ),
    "Rearranged.times_per_year": c({f"{SHORT}/times_per_year": 2}, dearer, given=ROUND),
    "Rearranged.times_in_all": c(
        {f"{SHORT}/times_in_all": 5},
        dearer,
        given={**ROUND, f"{SHORT}/times_per_year": GONE, f"{SHORT}/times_in_all": 2},
    ),
    "Rearranged.machines": c({f"{SHORT}/machines": ["saw"]}, other("lines"), given=ROUND),
    "Rearranged.among": c({f"{SHORT}/among": ["bench A", "bench E"]}, other("lines"), given=ROUND),
    **{
        f"Retool.{word}": c({f"{FIRST}/retool/{word}": value}, other("json"), given=RETOOL)
        for word, value in (("volts", 120), ("amps", 24))
    },
    **{
        f"Retool.{word}": c(
            {f"{FIRST}/retool/{word}": value},
            other("json"),
            given={**RETOOL, **given},
        )
        for word, value, given in (
            ("breaker", 30, BARE_SAW),
            ("largest_breaker", 20, {**HARD_WIRED, "shop/machines/saw/amps": 16}),
        )
    },
    "Retool.phases": c({f"{FIRST}/retool/phases": 3}, asks("machine-no-three-phase"), given=RETOOL),
    "Retool.hp": c(
        {f"{FIRST}/retool/hp": 10}, impossible, given={**RETOOL, f"{FIRST}/retool": {"volts": 240, "hp": 3}}
    ),
    "Retool.neutral": c({f"{FIRST}/retool/neutral": True}, other("ways"), given=RETOOL),
    "Retool.continuous": c(
        {f"{FIRST}/retool/continuous": False},
        other("json"),
        given={**RETOOL, **BARE_SAW, f"{FIRST}/retool/amps": 18, "shop/machines/saw/load": "heater"},
    ),
    # cords
    "CordChoices.slack": c({"shop/cords/slack": [15]}, other("lines")),
    "CordChoices.families": c({"shop/cords/families": ["locking"]}, other("ways")),
    "CordChoices.spare_conductor": c({"shop/cords/spare_conductor": True}, other("ways")),
    "CordChoices.service": c({"shop/cords/service": ["junior hard"]}, other("json")),
    "CordChoices.longest": c({"shop/cords/longest": 5}, impossible),
    "CordChoices.pendant": c(
        {"shop/cords/pendant": 25}, dearer, given={"shop/machines/drill/ways": OVERHEAD}
    ),
    "PresentCord.length": c({"shop/machines/drill/now/cord/length": 12}, dearer, given=CORDED),
    "PresentCord.awg": c({"shop/machines/drill/now/cord/awg": "16"}, dearer, given=CORDED),
    "PresentCord.conductors": c({"shop/machines/drill/now/cord/conductors": 2}, dearer, given=CORDED),
    "PresentCord.volts": c({"shop/machines/press/now/cord/volts": 300}, dearer, "geared", AT_480_VOLTS),
    "PresentCord.service": c({"shop/machines/drill/now/cord/service": "junior hard"}, dearer, given=CORDED),
    # crews and bids
    "Crew.name": c({"labor/crews/electrician/name": "one electrician"}, other("lines", "one electrician")),
    "Crew.role": c({"labor/crews/owner/role": "electrician"}, other("lines")),
    "Crew.rate": c({"labor/crews/owner/rate": 30}, dearer),
    "Crew.pace": c({"labor/crews/electrician/pace": 2}, cheaper),
    "Crew.rate_from": c(
        {"labor/crews/electrician/rate_from": "pair"},
        asks("rate-reckoned"),
        given={"labor/crews/+": {"name": "pair", "role": "electrician", "rate": 990, "pace": 2}},
    ),
    "Crew.people": c(
        {"labor/crews/electrician/people": 2}, cheaper, given={"labor/crews/electrician/pace": GONE}
    ),
    "Crew.call_out": c({"labor/crews/electrician/call_out": 90}, dearer),
    "Crew.minimum": c({"labor/crews/electrician/minimum": 5000}, dearer),
    "Crew.set_up": c({"labor/crews/electrician/set_up": 1}, dearer),
    "Crew.permit": c({"labor/crews/electrician/permit": 90}, dearer),
    "Crew.later_permit": c({"labor/crews/electrician/later_permit": 5}, cheaper),
    "Bid.people": c(
        {"bids/bids/0/people": 2}, other("leveled"), given={**TWO_BIDDERS, "bids/bids/0/pace": GONE}
    ),
    "FixedBid.name": c({"shop/bids/0/name": "the offer"}, other("lines", "the offer"), given=OURS),
    "FixedBid.price": c({"shop/bids/0/price": 210}, dearer, given=OURS),
    "FixedBid.covers": c({"shop/bids/0/covers": ["run-cable"]}, dearer, given=OURS),
    "FixedBid.rest_by": c(
        {"shop/bids/0/rest_by": "pair"},
        other("json"),
        given={**OURS, "labor/crews/+": {"name": "pair", "role": "electrician", "rate": 110}},
    ),
    "FixedBid.includes_permit": c(
        {"shop/bids/0/includes_permit": True},
        cheaper,
        given={**OURS, "labor/tasks/set-outlet/permit": False, "labor/tasks/land-in-panel/permit": False},
    ),
    **{
        f"Bid.{word}": c({f"bids/bids/0/{word}": value}, other("leveled"), given=TWO_BIDDERS)
        for word, value in (
            ("bidder", "somebody else"),
            ("rate", 70),
            ("pace", 2),
            ("call_out", 90),
            ("minimum", 5000),
            ("set_up", 3),
            ("permit", 500),
            ("valid_until", "2026-10-25"),
            ("note", "comes on Mondays"),
        )
    },
    **{
        f"Bid.{word}": c({f"bids/bids/1/{word}": value}, other("leveled"), given=TWO_BIDDERS)
        for word, value in (
            ("price", 333),
            ("covers", ["run-cable"]),
            ("covers_machines", ["saw"]),
            ("includes_permit", False),
            ("includes_parts", ["receptacle"]),
        )
    },
    "Bid.rest_by": c({"bids/bids/1/rest_by": "crew by the hour"}, other("leveled"), given=TWO_BIDDERS),
    "Bid.date": c({"bids/bids/0/date": "2027-01-01"}, asks("bid-in-future"), given=TWO_BIDDERS),
    "Bid.kind": c({"bids/bids/0/kind": "fixed"}, asks("bid-price-missing"), given=TWO_BIDDERS),
    # parts and kinds
    "Part.id": c({"parts/parts/plug-6-20/id": "p"}, asks("offer-part"), given=BARE),
    "Part.kind": c({"parts/parts/plug-6-20/kind": "connector"}, impossible, given=BARE),
    "Part.name": c(
        {"parts/parts/plug-6-20/name": "yellow plug"}, other("shopping", "yellow plug"), given=BARE
    ),
    "Part.attributes": c(
        {"parts/parts/plug-6-20/attributes/configuration": "NEMA 6-15"}, impossible, given=BARE
    ),
    "Part.life": c({"parts/parts/plug-6-20/life": 2}, dearer, given=BARE),
    "Part.resale": c({"parts/parts/plug-6-20/resale": {"new": 0.6}}, cheaper, given=BARE),
    "Part.resale_rule": c(
        {"parts/parts/plug-6-20/resale_rule": "straight line over life"},
        dearer,
        given={**WORN, "kinds/kinds/plug/life": 10},
    ),
    "Kind.kind": c({"kinds/kinds/plug/kind": "stopper"}, asks("part-kind"), given=BARE),
    "Kind.attributes": c(
        {"kinds/kinds/plug/attributes": ["configuration", "color"]},
        asks("part-attribute-missing"),
        given=BARE,
    ),
    "Kind.may_state": c(
        {"kinds/kinds/disconnect/may_state": []},
        asks("part-attribute-unknown"),
        given={
            "kinds/kinds/disconnect/may_state": ["hp_240_v_1_phase"],
            "parts/parts/switch/attributes/hp_240_v_1_phase": 3,
        },
    ),
    "Kind.sold": c(
        {"kinds/kinds/building cable/sold": "length"},
        other("lines"),
        given={
            "offers/+": {
                "part": "nm-12-2",
                "supplier": "store",
                "condition": "new",
                "price": 5,
                "per": "piece of 20 ft",
            }
        },
    ),
    "Kind.nonmetallic": c(
        {"kinds/kinds/building cable/nonmetallic": True},
        other("json", "the type is not known"),
        given={"shop/machines/saw/ways": BOTH},
    ),
    "Kind.portable": c({"kinds/kinds/plug/portable": False}, dearer, given=BARE),
    "Kind.must_be_new": c(
        {"kinds/kinds/plug/must_be_new": True}, dearer, given={**BARE, "offers/+": USED_PLUG}
    ),
    "Kind.life": c({"kinds/kinds/plug/life": 2}, dearer, given=BARE),
    "Kind.resale": c({"kinds/kinds/plug/resale/new": 0.6}, cheaper, given=BARE),
    "Kind.resale_rule": c(
        {"kinds/kinds/plug/resale_rule": "straight line over life"},
        dearer,
        given={**WORN, "kinds/kinds/plug/life": 10},
    ),
    "Kind.reject": c({"kinds/kinds/plug/reject/used": 0.5}, dearer, given={**BARE, "offers/+": USED_PLUG}),
    "Kind.price_uncertainty": c({"kinds/kinds/plug/price_uncertainty": "30 %"}, other("json"), given=BARE),
    "Kind.moves_with": c({"kinds/kinds/breaker/moves_with": "copper"}, other("json")),
    "Kind.inspect": c({"kinds/kinds/plug/inspect": 0.3}, dearer, given={**BARE, "offers/+": USED_PLUG}),
    # suppliers
    "Supplier.id": c({"suppliers/suppliers/store/id": "shop"}, asks("offer-supplier")),
    "Supplier.name": c(
        {"suppliers/suppliers/store/name": "Corner Store (invented)"}, other("shopping", "Corner Store")
    ),
    "Supplier.phone": c({"suppliers/suppliers/store/phone": "ext. 12"}, other("shopping", "phone ext. 12")),
    "Supplier.account": c({"suppliers/suppliers/store/account": "S-77"}, other("shopping", "account S-77")),
    "Supplier.address": c(
        {"suppliers/suppliers/store/address": "by the mill"}, other("shopping", "address by the mill")
    ),
    "Supplier.order_fee": c({"suppliers/suppliers/barn/order_fee": 2}, dearer, given=AT_BARN),
    "Supplier.delivery": c({"suppliers/suppliers/barn/delivery": 2}, dearer, given=AT_BARN),
    "Supplier.free_over": c(
        {"suppliers/suppliers/barn/free_over": 3},
        cheaper,
        given={**AT_BARN, "suppliers/suppliers/barn/delivery": 2},
    ),
    "Supplier.minimum": c({"suppliers/suppliers/barn/minimum": 50}, dearer, given=AT_BARN),
    "Errand.money": c({"suppliers/suppliers/barn/errand": {"money": 2}}, dearer, given=AT_BARN),
    "Errand.own_hours": c({"suppliers/suppliers/barn/errand": {"own_hours": "0.2 h"}}, dearer, given=AT_BARN),
    "Supplier.cut_charge": c({"suppliers/suppliers/store/cut_charge": 2}, dearer),
    "Supplier.tax": c({"suppliers/suppliers/store/tax": "7 %"}, dearer),
    "Supplier.markup": c({"suppliers/suppliers/store/markup": "20 %"}, dearer),
    # labor and recipes
    "Task.id": c({"labor/tasks/run-cable/id": "pull"}, asks("recipe-task")),
    "Task.name": c({"labor/tasks/run-cable/name": "pull a cable"}, other("scope", "pull a cable")),
    "Task.hours": c({"labor/tasks/run-cable/hours": [1, 2, 3]}, dearer),
    "Task.who": c({"labor/tasks/run-cable/who": ["owner"]}, cheaper),
    "Task.permit": c(
        {"labor/tasks/make-safe/permit": True},
        dearer,
        given={"labor/crews/electrician/permit": 900, **NO_PERMITS},
    ),
    "Task.stops_shop": c(
        {"labor/tasks/run-cable/stops_shop": 3}, dearer, given={"shop/money": {"shop_hour": 30}}
    ),
    "Recipe.extra": c({f"{QUOTE}/extra": 12}, dearer),
    "Recipe.waste": c({f"{QUOTE}/waste": "20 %"}, dearer),
    "RecipePart.kind": c({"recipes/recipes/receptacle/parts/0/kind": "blank cover"}, cheaper),
    "RecipePart.per": c(
        {"recipes/recipes/wall drop/parts/0/per": "wire"},
        dearer,
        given={"recipes/recipes/wall drop/parts": [{"kind": "blank cover"}]},
    ),
    "RecipePart.quantity": c({"recipes/recipes/receptacle/parts/0/quantity": 2}, dearer),
    "RecipePart.attributes": c(
        {"recipes/recipes/receptacle/parts/0/attributes": {"rating_a": 100}}, impossible
    ),
    "RecipeTask.task": c({f"{QUOTE}/tasks/0/task": "move-machine"}, cheaper),
    "RecipeTask.per": c({f"{QUOTE}/tasks/0/per": "end"}, dearer),
    "RecipeTask.quantity": c({f"{QUOTE}/tasks/0/quantity": 2}, dearer),
    **{
        f"Quote.{word}": c({f"{QUOTE}/quote/{word}": value}, dearer, given=QUOTED_WALL)
        for word, value in (
            ("per_run", 150),
            ("per_ft", 1),
            ("hours_per_run", 2),
            ("hours_per_ft", 0.2),
            ("own_hours_per_run", 2),
            ("own_hours_per_ft", 0.2),
        )
    },
    "Quote.permit": c({f"{QUOTE}/quote/permit": True}, dearer, given={**QUOTED_WALL, **NO_PERMITS}),
    # jobs
    "Job.name": c({"jobs/jobs/0/name": "kitchen job"}, other("jobs", "kitchen job"), given=JOBS),
    "Job.date": c({"jobs/jobs/0/date": "2026-09-01"}, other("jobs", "2026-09-01"), given=JOBS),
    "JobTask.task": c({"jobs/jobs/0/tasks/0/task": "set-outlet"}, other("lines"), given=JOBS),
    "JobTask.quantity": c({"jobs/jobs/0/tasks/0/quantity": 1}, dearer, given=JOBS),
    "JobTask.hours": c({"jobs/jobs/0/tasks/0/hours": 9}, dearer, given=JOBS),
    "JobTask.crew": c(
        {"jobs/jobs/0/tasks/0/crew": "pair"},
        dearer,
        given={**JOBS, "labor/crews/+": {"name": "pair", "role": "electrician", "rate": 990, "pace": 2}},
    ),
    "PaidPrice.part": c({"jobs/jobs/0/prices/0/part": "receptacle-6-30"}, cheaper, given=JOBS),
    "PaidPrice.supplier": c({"jobs/jobs/0/prices/0/supplier": "barn"}, cheaper, given={**JOBS, **BARN}),
    "PaidPrice.condition": c({"jobs/jobs/0/prices/0/condition": "used"}, cheaper, given=JOBS),
    "PaidPrice.price": c({"jobs/jobs/0/prices/0/price": 35}, dearer, given=JOBS),
    "PaidPrice.per": c({"jobs/jobs/0/prices/0/per": "box of 10"}, cheaper, given=JOBS),
}
"""For every field a figure that is changed, and what must follow."""


def n(code: str, change: Change, shop: str = "plain", given: Change | None = None) -> Case:
    return Case(change, asks(code, no_effect=True), shop, given or {})


BRICK_AT_A = {**BRICK, "shop/places/0/hour_factors": ["brick"]}

WITHOUT_EFFECT: dict[str, Case] = {
    **{
        f"{word} of a single-phase motor": n("motor-word-unused", {f"shop/machines/saw/{word}": value})
        for word, value in MOTOR_WORDS.items()
        if word not in ("two_speed", "other_load")
    },
    "listed of a saw without horsepower": n("listing-unused", {"shop/machines/saw/listed": True}),
    "effective amperes of a spot welder": n(
        "welder-word-unused", {"shop/machines/saw/effective_amps": 9}, given=SPOT_WELDER
    ),
    "one operation of an arc welder": n(
        "welder-word-unused", {"shop/machines/saw/one_operation": True}, given=WELDER
    ),
    "least heat where the volts are the plate's": n(
        "least-heat-unused",
        {"shop/machines/saw/load": "heater", "shop/machines/saw/least_heat": 0.7},
    ),
    "the owner's minimum": n("owner-no-effect", {"labor/crews/owner/minimum": 90}),
    "the owner's set-up": n("owner-no-effect", {"labor/crews/owner/set_up": 1}),
    "resale of what stays": n("resale-not-portable", {"kinds/kinds/breaker/resale": {"new": 0.3}}),
    "resale of a part that stays": n(
        "resale-not-portable", {"parts/parts/breaker-2p-20/resale": {"new": 0.3}}
    ),
    **{
        f"life of a {kind}": n("life-no-effect", {f"kinds/kinds/{kind}/life": 2}, "geared")
        for kind in ("panel", "load manager", "tandem breaker", "service equipment")
    },
    "a factor between two places": n(
        "hour-factor-no-work", {"shop/routes/9/hour_factors": ["brick"]}, given=BRICK_AT_A
    ),
    "a factor of a place nobody works at": n(
        "hour-factor-no-work", {"shop/places/2/hour_factors": ["brick"]}, given=BRICK_AT_A
    ),
    "a factor of a route to where nobody works": n(
        "hour-factor-no-work", {"shop/routes/2/hour_factors": ["brick"]}, given=BRICK_AT_A
    ),
    "a factor that no place names": n("hour-factor-unused", BRICK),
    "coordinates of one place only": n("place-at-unused", {"shop/places/2/at": [3, 4]}),
    "coordinates where all is measured": n(
        "place-at-unused", {f"shop/places/{i}/at": [3, 4 + i] for i in range(5)}
    ),
    "tandems that nobody thinks of": n("tandems-alone", {"shop/panels/0/tandems": 3}),
    "circuits that no tandem pairs": n("tandems-alone", {"shop/panels/0/one_pole_circuits": [CIRCUITS]}),
    "in a peak that nobody measured": n(
        "measured-peak-missing", {"shop/machines/saw/in_measured_peak": True}
    ),
    "other load beside a measured peak": n(
        "other-load-measured", {"shop/service/other_load": 20}, "geared", AT_PEAK
    ),
    "taking turns with nobody": n("takes-turns-alone", {"shop/machines/saw/takes_turns": "cutting"}),
    "the worth of a motor that stays": n("old-motor-stays", {"shop/machines/saw/old_motor_worth": 30}),
    "the worth of a motor that must stay": n(
        "old-motor-stays", {"shop/machines/mill/old_motor_worth": 30}, "geared"
    ),
    "must be new twice": n("must-be-new-already", {"shop/must_be_new": ["breaker"]}),
    "a place of 210.8(B) in a dwelling": n(
        "ground-fault-dwelling",
        {"shop/code/ground_fault_place": True},
        given={"shop/code/occupancy": "dwelling garage"},
    ),
    "small children in a dwelling": n(
        "children-dwelling",
        {"shop/code/small_children": True},
        given={"shop/code/occupancy": "dwelling garage"},
    ),
    "a place of 210.8(B) in a dwelling, of a place": n(
        "ground-fault-dwelling",
        {"shop/places/0/ground_fault_place": True},
        given={"shop/places/0/occupancy": "dwelling garage"},
    ),
    **{
        f"{word} of a place where nobody works": n("place-fact-unused", {f"shop/places/2/{word}": said})
        for word, said in (
            ("occupancy", "school"),
            ("ground_fault_place", False),
            ("construction", "type V"),
            ("finished_walls", True),
            ("detached", True),
            ("wood_dust", False),
            ("flammable_vapors", False),
        )
    },
    "a type of construction in a dwelling": n(
        "construction-dwelling",
        {"shop/building/construction": "type V"},
        given={"shop/code/occupancy": "dwelling garage"},
    ),
    "a finish where the type decides": n(
        "finish-no-cable",
        {"shop/building/finished_walls": True},
        given={"shop/building/construction": "type II"},
    ),
    "hours without a price": n("electricity-no-price", {"shop/machines/saw/full_load_hours": 300}),
    "a converter's hours without a price": n("electricity-no-price", {"shop/money": {}}, "geared"),
    "a price without hours": n("electricity-price-alone", {"shop/money": {"electricity_per_kwh": 0.3}}),
    "growth without a price": n(
        "electricity-growth-alone", {"shop/money": {"growth": {"electricity": 0.03}}}
    ),
    "tasks beside a quote": n("recipe-no-effect", {f"{QUOTE}/quote": {"per_run": 90}}),
    **{
        f"{word} of a recipe without a length": n(
            "recipe-no-effect", {f"recipes/recipes/receptacle/{word}": 0.5}
        )
        for word in ("extra", "waste")
    },
    **{
        f"feet of {entries} of a recipe without a length": n(
            "recipe-no-effect", {f"recipes/recipes/receptacle/{entries}/0/per": "ft"}
        )
        for entries in ("tasks", "parts")
    },
    **{
        f"a quote's {word} without a length": n(
            "recipe-no-effect",
            {f"recipes/recipes/receptacle/quote/{word}": 9},
            given={"recipes/recipes/receptacle": {"quote": {"per_run": 9}}},
        )
        for word in ("per_ft", "hours_per_ft", "own_hours_per_ft")
    },
    "a machine's recipe for shared gear": n(
        "recipe-not-machines", {"shop/machines/mill/recipes": {"feeder": {}}}, "geared"
    ),
    "free delivery that is free": n("free-over-alone", {"suppliers/suppliers/store/free_over": 30}),
    **{
        f"{word} of a supplier without offers": n(
            "supplier-idle", {f"suppliers/suppliers/barn/{word}": "0.05"}, given=BARN
        )
        for word in ("order_fee", "delivery", "minimum", "cut_charge", "tax")
    },
    **{
        f"a share that is rejected of {condition}": n(
            "reject-no-surplus", {"kinds/kinds/plug/reject": {condition: 0.2}}
        )
        for condition in ("new", "on-hand")
    },
    **{
        f"{word} of gear that is there": n(
            "gear-installed-cost",
            {f"shop/gear/converter/{word}": value},
            "geared",
            {"shop/gear/converter/installed": True},
        )
        for word, value in (("quote", 500), ("fees", {"rigging": 50}))
    },
    **{
        f"{word} of a quoted machine": n("quoted-no-effect", {f"shop/machines/press/{word}": value}, "quoted")
        for word, value in (
            ("own_cord", 30),
            ("continuous", True),
            ("neutral", True),
            ("breaker", 30),
            ("load", "heater"),
            ("takes_turns", "pressing"),
            ("full_load_hours", 9),
            ("old_motor_worth", 9),
            ("ways", {"hard_wired": True}),
            ("ways", {"fused": True}),
        )
    },
    "sources of a quoted machine": n(
        "quoted-no-effect",
        {"shop/machines/press/ways": {"forbid_supply": {"drive": "its controls"}}},
        "quoted",
    ),
    **{
        f"{word} of a shop of quotes": n("quoted-no-effect", {f"shop/{word}": value}, "quoted")
        for word, value in (
            ("cords", {"slack": [3]}),
            ("recipes", {"wall drop": {}}),
            ("hour_factors", {"brick": 2}),
        )
    },
    "a share of no life": n("lasts-no-life", {"shop/machines/saw/lasts": {"receptacle": 0.5}}),
    "a visit for each move of what stays": n(
        "visits-without-moves",
        {"shop/hired_visits": "each move"},
        given={"shop/scenarios/busy/events": []},
    ),
    "an event of the last year": n("event-at-the-end", {f"{FIRST}/year": 5}),
    "a move of a quote that stays": n("quoted-move-never", {"shop/scenarios/moves/events": []}, "quoted"),
    "a renewal that never comes": n("quoted-renew-never", {"shop/quoted_ways/0/renew/every": 7}, "quoted"),
    "an overhaul that never comes": n(
        "gear-overhaul-never", {"shop/gear/converter/overhaul": {"every": 9, "money": 5}}, "geared"
    ),
    "catalog ways of a machine without a quote": n(
        "from-catalog-alone", {"shop/machines/saw/ways/from_catalog": True}
    ),
}
"""Figures that count for nothing where they stand, and what is asked about each."""

GEAR_VALUES = {
    "part": "manager-60",
    "panel_part": "panel-1",
    "fed_from": "panel",
    "at": "bench A",
    "system": "240 three-phase",
    "amps": 50,
    "to": 300,
    "panel": "panel",
    "at_most": 3,
    "machines": ["saw"],
    "holds_to": 9,
    "breaker": 50,
    "life": 2,
    "hours_per_year": 9,
}
USED_BY = {
    "phase converter": {"part", "panel_part", "fed_from", "at", "breaker", "life", "hours_per_year"},
    "subpanel": {"panel_part", "fed_from", "at", "system"},
    "utility three-phase": {"panel_part", "at", "system", "amps"},
    "service upgrade": {"to"},
    "load manager": {"part", "machines", "holds_to"},
    "tandem breaker": {"panel", "at_most"},
    "main disconnect": {"amps"},
}
"""By kind of gear the words that count for it; every other is refused."""
GEAR_OF_KIND: dict[str, tuple[str, Change]] = {
    "phase converter": ("converter", {}),
    "subpanel": ("far", {"shop/gear/+": {"name": "far"} | GEAR["subpanel"]}),
    "utility three-phase": ("converter", GEARS["utility"]),
    "service upgrade": ("larger", GEARS["upgrade"]),
    "load manager": ("manager", GEARS["manager"]),
    "tandem breaker": ("tandems", GEARS["tandem"]),
    "main disconnect": (
        "main switch",
        {"shop/gear/+": {"name": "main switch", "kind": "main disconnect", "amps": 100, "quote": 500}},
    ),
}
OF_OTHER_KINDS = [(kind, word) for kind in GEAR_OF_KIND for word in GEAR_VALUES if word not in USED_BY[kind]]


RANGES: dict[str, Case] = {
    "Offer.price": c(
        {"offers/-1/price": "[1/3/9]"}, other("json"), given={**BARE, "offers/+": PLUG | {"price": 3}}
    ),
    "Task.hours": c({"labor/tasks/set-outlet/hours": [0.5, 1, 1.5]}, other("json")),
    "Crew.rate": c({"labor/crews/electrician/rate": [90, 100, 130]}, other("json")),
    "Crew.rate of the owner": c({"labor/crews/owner/rate": [0, 20, 40]}, other("json")),
    "Money.discount_rate": c(
        {"shop/money": {"discount_rate": ["-1 %", "2 %", "4 %"]}},
        other("json"),
        given={"shop/money": {"discount_rate": "2 %"}},
    ),
    "Growth.parts": c({"shop/money": {"growth": {"parts": ["-2 %", 0, "5 %"]}}}, other("json")),
    "Growth.labor": c({"shop/money": {"growth": {"labor": ["-2 %", 0, "5 %"]}}}, other("json")),
    "Money.electricity_per_kwh": c(
        {"shop/money": {"electricity_per_kwh": [0.1, 0.2, 0.45]}},
        other("json"),
        given={"shop/machines/saw/full_load_hours": 800, "shop/money": {"electricity_per_kwh": 0.2}},
    ),
    "Growth.electricity": c(
        {"shop/money/growth": {"electricity": ["-2 %", 0, "5 %"]}}, other("json"), "geared"
    ),
    "Kind.resale": c({"kinds/kinds/plug/resale/new": [0.1, 0.2, 0.9]}, other("json"), given=BARE),
    "Kind.reject": c(
        {"kinds/kinds/plug/reject/used": [0.05, 0.1, 0.4]},
        other("json"),
        given={**BARE, "offers/+": USED_PLUG},
    ),
    "Part.resale": c(
        {"parts/parts/plug-6-20/resale": {"new": [0.1, 0.2, 0.9]}},
        other("json"),
        given={**BARE, "parts/parts/plug-6-20/resale": {"new": 0.2}},
    ),
    "Rearranged.times_per_year": c({f"{SHORT}/times_per_year": [1, 2, 5]}, other("json"), given=TWICE),
    "Rearranged.times_in_all": c(
        {f"{SHORT}/times_in_all": [1, 2, 5]},
        other("json"),
        given={**ROUND, f"{SHORT}/times_per_year": GONE, f"{SHORT}/times_in_all": 2},
    ),
    "Scenario.weight": c(
        {"shop/scenarios/calm/weight": [0.1, 0.5, 0.8]},
        other("json"),
        given={"shop/scenarios/calm/weight": 0.5, "shop/scenarios/busy/weight": 0.5},
    ),
}
"""Figures that may be a range, each written as one whose likely figure is what it was before."""
AS_BEFORE = ("Task.hours", "Rearranged.times_in_all")
"""Those that count as before: hours whose mean is the figure, the whole number next to the mean."""


@pytest.mark.parametrize("figure", RANGES)
def test_a_range_counts_by_its_mean_and_changes_how_sure_it_is(figure: str, folder: Path) -> None:
    case = RANGES[figure]
    before, after = before_and_after(case, folder)
    assert after.errors == []
    assert case.sees(before, after)
    if figure == "Scenario.weight":
        # Its mean counts as a share of the means of all weights: tests/model/test_told.py.
        return
    if figure not in AS_BEFORE:
        alone = replace(case, change={where: _mean_of(said) for where, said in case.change.items()})
        _, before = before_and_after(alone, folder)
    assert after.total == before.total


def _mean_of(said: Any) -> Any:
    """What was written with (low + 4 likely + high) / 6 in place of a range."""
    if isinstance(said, dict):
        return {key: _mean_of(value) for key, value in said.items()}
    if isinstance(said, str) and said.startswith("["):
        low, likely, high = map(Decimal, said.strip("[]").split("/"))
        return str(round((low + 4 * likely + high) / 6, 3))
    if not isinstance(said, list):
        return said
    percent = any(isinstance(end, str) for end in said)
    low, likely, high = (Decimal(str(end).removesuffix(" %")) for end in said)
    average = round((low + 4 * likely + high) / 6, 6)
    return f"{average.normalize():f} %" if percent else float(average)


def test_every_field_is_looked_at() -> None:
    walked = every_field(Shop, *CATALOG_FILES.values(), JobsFile, Offer, BidsFile, each_time=(Phase, Renewal))
    assert len(walked) == len(set(walked))
    assert set(walked) - READ_FROM_THE_TABLE == set(FIELDS)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("shops")


def before_and_after(case: Case, folder: Path) -> tuple[Said, Said]:
    """What is said of a case's shop, which has no mistakes, and what is said after the change."""
    files = changed(SHOPS[case.shop](), case.given)
    before, after = (read(folder, json.dumps(one)) for one in (files, changed(files, case.change)))
    assert before.errors == []
    return before, after


@pytest.mark.parametrize("field", FIELDS)
def test_changing_it_changes_what_is_said(field: str, folder: Path) -> None:
    assert FIELDS[field].sees(*before_and_after(FIELDS[field], folder))


@pytest.mark.parametrize("figure", WITHOUT_EFFECT)
def test_a_figure_without_effect_is_asked_about(figure: str, folder: Path) -> None:
    assert WITHOUT_EFFECT[figure].sees(*before_and_after(WITHOUT_EFFECT[figure], folder))


@pytest.mark.parametrize(("kind", "word"), OF_OTHER_KINDS)
def test_gear_does_not_say_what_belongs_to_another_kind(kind: str, word: str, folder: Path) -> None:
    name, given = GEAR_OF_KIND[kind]
    change = {f"shop/gear/{name}/{word}": GEAR_VALUES[word]}
    _, after = before_and_after(Case(change, asks("gear-other-kind"), "geared", given), folder)
    assert "gear-other-kind" in after.codes
    assert after.errors


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({f"{FIRST}/route_factor": 2}, "belongs to shop_moves only"),
        ({f"{FIRST}/times": 2}, "belongs to new_spot only"),
        ({f"{FIRST}/new_building": "as here"}, "belongs to shop_moves only"),
        ({f"{FIRST}/building": {"detached": True}}, "belongs to shop_moves only"),
    ],
)
def test_words_of_other_events_are_refused(change: Change, said: str, folder: Path) -> None:
    _, after = before_and_after(Case(change, asks("event-entry")), folder)
    assert said in after.codes["event-entry"]


@pytest.mark.parametrize(
    ("change", "shop", "priced"),
    [
        ({"labor/tasks/move-machine/permit": True}, "plain", {"labor/crews/owner/permit": 40}),
        ({"shop/quoted_ways/0/move/permit": True}, "quoted", {"shop/crews/owner/permit": 40}),
    ],
)
def test_a_permit_for_own_work_without_a_price_is_asked_about(
    change: dict[str, bool], shop: str, priced: dict[str, int], folder: Path
) -> None:
    """Until the owner's crew says what one costs, it is counted as nothing."""
    given = ONE_QUOTE if shop == "quoted" else {}
    before, after = before_and_after(Case(change, asks("own-permit-price"), shop, given), folder)
    assert asks("own-permit-price")(before, after)
    before, after = before_and_after(Case({**change, **priced}, dearer, shop, given), folder)
    assert "own-permit-price" not in after.codes
    assert dearer(before, after)
