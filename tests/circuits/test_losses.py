"""Electricity lost on the way to a machine, worked by hand."""

from decimal import Decimal
from typing import Any

import pytest
from strategies import MILL, SAW, WALL_ONLY, make_catalog, make_gear_shop, make_shop, scenario, with_gear

from costplan.circuits.change import alter
from costplan.circuits.circuit import Builder, Circuit
from costplan.circuits.facts import Facts
from costplan.circuits.losses import energy_lost, lost_w, wire_w
from costplan.circuits.needs import NOTHING
from costplan.circuits.ways import Way
from costplan.model.choices import Family, Method, Service, Supply
from costplan.years.calendar import lives, scenarios_of

PRICE = {"electricity_per_kwh": "0.20"}


def built(machine: dict[str, Any], way: Way, **money: Any) -> tuple[Facts, Circuit]:
    shop = make_gear_shop([machine], ("converter",), money=PRICE | money)
    facts = Facts(shop, make_catalog(**with_gear()))
    standing = lives(shop, scenarios_of(shop)[0])[machine["name"]].standings[0]
    return facts, Builder(facts, shop.machines[0], way).build(standing)


WALL = Way(Method.WALL, "panel", Family.STRAIGHT)
DRIVEN = Way(Method.WALL, "panel", Family.STRAIGHT, supply=Supply.DRIVE)
CONVERTED = Way(Method.WALL, "converter", Family.STRAIGHT)


def test_a_pair_of_wires() -> None:
    """25 ft and 5 ft of 12 AWG, 1.98 ohm per 1,000 ft (NFPA 70 chapter 9 table 8), 16 A in both wires."""
    _, circuit = built(SAW, WALL)
    assert wire_w(circuit) == 2 * 16**2 * Decimal("1.98") * 30 / 1000


def test_a_cord_adds_its_length() -> None:
    cord = Way(Method.CORD, "panel", Family.STRAIGHT, Decimal(0), False, Service.HARD)
    _, circuit = built(SAW, cord)
    # 5 ft to the outlet and a cord of 30 ft
    assert wire_w(circuit) == 2 * 16**2 * Decimal("1.98") * 35 / 1000


def test_a_circuit_that_stays_at_a_retool_loses_by_the_current_it_carries_then() -> None:
    """10 A become 16 A on the run of 25 and 5 ft and the cord of 30 ft that are there."""
    cord = Way(Method.CORD, "panel", Family.STRAIGHT, Decimal(0), False, Service.HARD)
    retool = {"year": 1, "machine": "saw", "retool": {"volts": 240, "amps": 16}}
    shop = make_shop([SAW | {"amps": 10}], scenarios=[scenario(retool)])
    facts = Facts(shop, make_catalog())
    first, later = lives(shop, shop.scenarios[0])["saw"].standings
    for way, feet in ((WALL, 30), (cord, 35)):
        builder = Builder(facts, shop.machines[0], way)
        after = alter(builder, builder.build(first), later).circuit
        assert after is not None
        assert wire_w(after) == 2 * 16**2 * Decimal("1.98") * feet / 1000


def test_three_wires_of_three_phases_and_the_converter() -> None:
    """9.6 A in three wires of 18 and 5 ft; 3 hp are 2,238 W, through 90 %: a ninth, 248.7 W, is lost."""
    facts, circuit = built(MILL, CONVERTED)
    wires = 3 * Decimal("9.6") ** 2 * Decimal("1.98") * 23 / 1000
    assert wire_w(circuit) == wires
    assert round(lost_w(facts, circuit) - wires, 3) == round(Decimal(2238) / 9, 3)


def test_a_drive_loses_its_share_and_its_wires_carry_its_input() -> None:
    """16 A in two wires of 35 and 5 ft, and 2,238 W x (1 / 0.95 - 1)."""
    facts, circuit = built(MILL, DRIVEN)
    wires = 2 * Decimal(16) ** 2 * Decimal("1.98") * 40 / 1000
    assert wire_w(circuit) == wires
    assert round(lost_w(facts, circuit) - wires, 3) == round(Decimal(2238) * (1 / Decimal("0.95") - 1), 3)


def test_a_year() -> None:
    """30.41 W for 500 h are 15.2064 kWh, at 0.20: 3.04."""
    facts, circuit = built(SAW | {"full_load_hours": 500}, WALL)
    charge = energy_lost(facts, facts.shop.machines[0], circuit).charges[0]
    assert charge.energy
    assert charge.amount_cents == Decimal("304.13")


@pytest.mark.parametrize(
    ("hours", "price"), [(0, "0.20"), (500, "0"), (100, "0.20")], ids=["idle", "free", "below a dollar"]
)
def test_losses_that_decide_nothing_are_left_out(hours: int, price: str) -> None:
    facts, circuit = built(SAW | {"full_load_hours": hours}, WALL, electricity_per_kwh=price)
    assert energy_lost(facts, facts.shop.machines[0], circuit) == NOTHING


def test_a_machine_that_wears_no_cord_still_pays_for_its_losses() -> None:
    """In the plan: 3.04 in each of four years, undiscounted; 12.16 in all."""
    from strategies import ranked

    from costplan.ledger.lines import LineKind

    shop = make_gear_shop(
        [SAW | WALL_ONLY | {"full_load_hours": 500}], money=PRICE | {"discount_rate": "0 %"}
    )
    lines = [line for line in ranked(shop, make_catalog())[0].lines if line.kind is LineKind.ELECTRICITY]
    assert [(line.year, line.amount_cents) for line in lines] == [(1, 304), (2, 304), (3, 304), (4, 304)]
