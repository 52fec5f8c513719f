"""Which machine to buy: premium, tax, an old motor sold, idling, an overhaul, growth. Hand-worked; invented prices.

Present values: NIST Handbook 135, single present value and modified present value factors. Premium and tax as
an auction house and a state charge them: common practice, no source.
"""

from typing import Any

import pytest
from strategies import GEAR, KINDS, PANEL, gear_routes, make_catalog, make_shop, offer, parts, with_gear

from costplan.circuits.facts import Facts
from costplan.ledger.lines import Line, LineKind
from costplan.model.catalog import RECIPE_NAMES, Catalog
from costplan.model.shop import NextMachine
from costplan.studies.next_machine import NextPrice, price_machines

Row = dict[str, Any]

ELECTRICIAN = {
    "role": "electrician",
    "name": "electrician",
    "rate": 95,
    "pace": 1,
    "call_out": 80,
    "permit": 60,
}
CREWS = [{"name": "owner", "role": "owner", "rate": 20, "pace": 1}, ELECTRICIAN]
MONEY = {
    "discount_rate": "4 %",
    "electricity_per_kwh": "0.20",
    "growth": {"labor": "2 %", "electricity": "3 %"},
}
WORK: Row = {name: {} for name in RECIPE_NAMES} | {
    "motor swap": {"tasks": [{"task": "change-device", "quantity": 3}]},
    "phase converter": {"tasks": [{"task": "land-in-panel", "quantity": 5}]},
    "feeder": {"quote": {}},
    "subpanel": {},
}
PLANER: Row = {
    "name": "planer A",
    "at": "bench E",
    "volts": 240,
    "phases": 3,
    "hp": 3,
    "breaker": 20,
    "price": 1200,
    "premium": "15 %",
    "tax": "7 %",
    "freight": 180,
    "worth_at_end": "30 %",
    "old_motor_worth": 140,
    "rpm": 1725,
    "frame": "182T",
    "enclosure": "totally enclosed",
}
DEALERS: Row = {
    "name": "planer B",
    "at": "bench A",
    "volts": 240,
    "amps": 16,
    "plug": "NEMA 6-20",
    "price": 2350,
    "tax": "7 %",
    "freight": 90,
    "worth_at_end": "40 %",
}
WHY = "not thought of"


def ways(*forbidden: str) -> Row:
    return {"only": ["wall drop"], "hard_wired": False, "forbid_supply": dict.fromkeys(forbidden, WHY)}


def catalog() -> Catalog:
    """Circuits cost nothing here; only the motor, the converter and the named hours do."""
    free = [
        offer(
            part["id"],
            "store",
            0,
            "ft"
            if "-1" in part["id"] and part["kind"] in ("building cable", "cord", "armored cable")
            else "each",
        )
        for part in parts()
    ]
    prices = dict.fromkeys(("panel-3", "breaker-2p-40", "breaker-2p-50", "breaker-2p-60"), 0)
    known = with_gear({"kinds": KINDS}, {"motor-3": 460, "converter-5": 890, **prices}, **WORK)
    known["kinds"] = [
        kind | ({"portable": True, "resale": {"new": "25 %"}} if kind["kind"] == "phase converter" else {})
        for kind in known["kinds"]
    ]
    return make_catalog(free, crews=CREWS, **known)


def priced(machine: Row, *gear: Row) -> NextPrice:
    routes = [{"from": "panel", "to": place, "fixed": 20, "cord": 20} for place in ("bench A", "bench E")]
    shop = make_shop(
        [], panels=[PANEL], years=8, money=MONEY, gear=list(gear), routes=routes + gear_routes(list(gear))
    )
    chosen = [NextMachine.model_validate(machine)]
    return price_machines(Facts(shop, catalog()), chosen, second=False)[0]


def lines_of(price: NextPrice) -> list[Line]:
    return [*price.own_lines, *price.with_it.lines]


@pytest.fixture(scope="module")
def by_motor() -> NextPrice:
    return priced(PLANER | {"ways": ways("drive")})


@pytest.fixture(scope="module")
def by_converter() -> NextPrice:
    overhaul = {"every": 4, "hours": 2}
    converter = {"name": "converter"} | GEAR["converter"] | {"hours_per_year": 300, "overhaul": overhaul}
    return priced(PLANER | {"ways": ways("drive", "single-phase motor")}, converter)


def test_another_motor_and_the_old_one_sold(by_motor: NextPrice) -> None:
    assert by_motor.outlay_cents == 234160
    assert by_motor.total_cents == 207855
    (sold,) = [line for line in lines_of(by_motor) if line.kind is LineKind.RESALE and line.year == 0]
    assert (sold.amount_cents, sold.what) == (-14000, "old motor of planer A, sold")


def test_a_converter_idles_is_overhauled_and_sold(by_converter: NextPrice) -> None:
    """By hand 3,169.68, a cent more: there the overhaul of year 4 is one line of 292.26, here hours and call-out."""
    assert by_converter.outlay_cents == 316160
    assert by_converter.total_cents == 316967
    overhaul = [
        line for line in lines_of(by_converter) if line.year == 4 and line.kind is not LineKind.ELECTRICITY
    ]
    assert sum(line.amount_cents for line in overhaul) == 29225
    (sold,) = [line for line in by_converter.with_it.lines if line.kind is LineKind.RESALE]
    assert (sold.year, sold.amount_cents, sold.present_value_cents) == (8, -22250, -16258)


def test_the_dealers_plugs_in() -> None:
    price = priced(DEALERS | {"ways": ways()})
    assert price.outlay_cents == 260450
    assert price.total_cents == 191765


def test_each_part_of_the_price_is_its_own_line(by_motor: NextPrice) -> None:
    paid = {line.trace.split()[-1]: line.amount_cents for line in by_motor.own_lines if line.year == 0}
    assert paid == {"price": 120000, "premium": 18000, "tax": 9660, "freight": 18000}
    traded = priced(DEALERS | {"ways": ways(), "trade_in": 250})
    (line,) = [line for line in traded.own_lines if line.trace.endswith("trade_in")]
    assert (line.amount_cents, line.kind) == (-25000, LineKind.RESALE)
    assert traded.outlay_cents == 260450 - 25000
