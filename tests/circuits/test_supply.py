"""What a three-phase machine's circuit feeds when a drive or another motor stands in for three phases."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from strategies import GEAR_RECIPES, MILL, READ, SAW, gear_offers, make_catalog, make_gear_shop, with_gear

from costplan.circuits.facts import Facts
from costplan.circuits.needs import make_spec
from costplan.circuits.size_types import CannotSizeError, Load, WiresBy
from costplan.circuits.supply import draw_va, running_w, supplied, supplies_known
from costplan.circuits.ways import load_of
from costplan.model.choices import LoadKind, Supply


def facts_of(machine: dict[str, Any], **catalog: Any) -> Facts:
    return Facts(make_gear_shop([machine]), make_catalog(**with_gear() | catalog))


def load(machine: dict[str, Any]) -> Load:
    entry = make_gear_shop([machine]).machines[0]
    return load_of(entry)


def by(supply: Supply, machine: dict[str, Any], **catalog: Any) -> Any:
    facts = facts_of(machine, **catalog)
    return supplied(facts, facts.shop.machines[0], load(machine), supply)


def test_a_panel_feeds_the_machine_itself() -> None:
    fed = by(Supply.PANEL, MILL)
    assert (fed.load, fed.device, fed.lost_w) == (load(MILL), None, 0)


@pytest.mark.parametrize("supply", [Supply.DRIVE, Supply.MOTOR])
def test_a_single_phase_machine_needs_neither(supply: Supply) -> None:
    assert by(supply, SAW).device is None


def test_a_drive_is_fed_single_phase_and_continuous() -> None:
    """3 hp: the drive for 16 A in, 95 % efficient, loses 2,238 W x (1 / 0.95 - 1) = 117.8 W."""
    fed = by(Supply.DRIVE, MILL)
    # The motor's horsepower goes along, for the mark of what the drive is unplugged by (NFPA 70 430.109(F)).
    wanted = Load(240, 1, False, LoadKind.OTHER, Decimal(3), Decimal(16), True, None, driven=True)
    # The wires of a drive go by its rated input (430.122(A), from memory).
    assert fed.load == replace(wanted, wires_by=WiresBy.DRIVE)
    assert round(fed.lost_w, 1) == Decimal("117.8")
    spec = fed.device.item.spec
    assert dict(spec.equal) == {"volts": "240"}
    # 9.6 A: NFPA 70 table 430.250, 3 hp at 230 V
    assert dict(spec.at_least) == {
        "output_a": Decimal("9.6"),
        "efficiency": Decimal("0.95"),
        "hp": 3,
    }
    assert dict(spec.at_most) == {"input_a": 16}
    assert fed.device.bought.work == fed.device.reused.work != ()
    assert not fed.device.reused.needs


def test_the_drive_with_the_least_input_is_taken() -> None:
    fed = by(Supply.DRIVE, MILL, more_offers=[row for row in gear_offers() if row["part"] != "drive-3"])
    assert fed.load.amps_a == 24


@pytest.mark.parametrize("hp", [4, 5])
def test_a_drive_is_no_smaller_than_the_motor(hp: int) -> None:
    # the table has no 4 hp, so the plate's amperes count
    plate = {"hp": 5} if hp == 5 else {"hp": 4, "amps": 10}
    assert by(Supply.DRIVE, MILL | plate | {"breaker": 30}).load.amps_a == 24


def test_what_no_drive_runs_is_said() -> None:
    with pytest.raises(
        CannotSizeError, match=r"no drive in the catalog with a price runs 7-1/2 hp, 22 A at 240 V"
    ):
        by(Supply.DRIVE, MILL | {"hp": "7.5"})
    with pytest.raises(CannotSizeError, match="motors only"):
        by(
            Supply.DRIVE,
            {word: value for word, value in MILL.items() if word not in READ} | {"load": "heater"},
        )
    with pytest.raises(CannotSizeError, match="at 208 V"):
        by(Supply.DRIVE, MILL | {"volts": 208})


def test_another_motor_of_the_same_power_runs_from_one_phase() -> None:
    fed = by(Supply.MOTOR, MILL)
    assert fed.load == Load(240, 1, False, LoadKind.MOTOR, Decimal(3), None, False, None)
    # 1740 rpm, 182T, totally enclosed: 3 % off is the same speed, 184T has the same shaft and height (NEMA MG 1)
    assert fed.device.item.spec == make_spec(
        "motor",
        {
            "volts": 240,
            "phases": 1,
            "frame": "184T",
            "shaft_in": Decimal("1.125"),
            "enclosure": "totally enclosed",
        },
        {"hp": 3, "rpm": Decimal("1687.8")},
        {"hp": 3, "rpm": Decimal("1792.2")},
    )
    assert fed.lost_w == 0


def test_a_motor_nobody_sells_or_whose_power_is_unknown_cannot_be_replaced() -> None:
    with pytest.raises(CannotSizeError, match="no single-phase motor of 5 hp at 240 V"):
        by(Supply.MOTOR, MILL | {"hp": 5})
    with pytest.raises(CannotSizeError, match="add hp:"):
        by(Supply.MOTOR, {"name": "mill", "at": "bench C", "volts": 240, "phases": 3, "amps": 10})
    with pytest.raises(CannotSizeError, match="has a price"):
        by(Supply.MOTOR, MILL, more_offers=[])


def test_supplies_need_their_kind_and_their_recipe() -> None:
    assert supplies_known(facts_of(MILL)) == (Supply.DRIVE, Supply.MOTOR)
    some = {name: recipe for name, recipe in GEAR_RECIPES.items() if name != "drive"}
    assert supplies_known(facts_of(MILL, recipes=some)) == (Supply.MOTOR,)
    assert supplies_known(Facts(make_gear_shop([MILL]), make_catalog())) == ()


@pytest.mark.parametrize(
    ("machine", "watts"),
    [
        (MILL, 3 * 746),
        (SAW, 240 * 16),
        (SAW | {"load": "heater"}, 240 * 16),
        # 240 x 10 x the root of three
        ({"name": "kiln", "at": "bench C", "volts": 240, "phases": 3, "amps": 10, "load": "heater"}, 4157),
    ],
)
def test_power_at_full_load(machine: dict[str, Any], watts: int) -> None:
    assert round(running_w(load(machine))) == watts


def test_volt_amperes() -> None:
    assert draw_va(load(SAW), Decimal(16)) == 3840
    assert round(draw_va(load(MILL), Decimal("9.6"))) == 3991
