"""NFPA 70 Informative Annex D, Example D8, motor branch circuits; from memory, wording not seen."""

import os
import subprocess
import sys
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest

from costplan.circuits.breaker import motor_limit_a
from costplan.circuits.size_types import Load
from costplan.model.choices import LoadKind
from costplan.standards import motors, overcurrent


@pytest.mark.parametrize(("hp", "table_a", "ampacity_a"), [(25, 34, "42.5"), (30, 40, "50")])
def test_table_current_and_conductor_ampacity(hp: int, table_a: int, ampacity_a: str) -> None:
    found = motors.full_load_current_a(Decimal(hp), 3, 480)

    assert found == table_a
    assert found * Decimal("1.25") == Decimal(ampacity_a)


@pytest.mark.parametrize(
    ("device", "motor", "current_a", "size_a"),
    [
        ("nontime-delay fuse", "polyphase", 34, 110),
        ("time-delay fuse", "polyphase", 34, 60),
        ("inverse-time breaker", "wound rotor", 40, 60),
        ("inverse-time breaker", "polyphase", 34, 90),
    ],
)
def test_branch_device(device: str, motor: str, current_a: int, size_a: int) -> None:
    """The last row is derived, not in the example."""
    percent = overcurrent.motor_protection_percent(device, motor)

    assert overcurrent.next_standard_size_a(Decimal(current_a) * percent / 100) == size_a


def test_feeder_fuse_rounds_down() -> None:
    """110 + 40 + 40 is 190 A, next lower 175 A; 60 + 40 + 40 is 140 A, next lower 125 A."""
    assert overcurrent.largest_standard_size_a(190) == 175
    assert overcurrent.largest_standard_size_a(140) == 125


def test_breaker_limit_of_the_25_hp_motor() -> None:
    """250 % of 34 A is 85 A, next standard 90 A (derived)."""
    motor = Load(480, 3, False, LoadKind.MOTOR, Decimal(25), Decimal(32), True, None)

    assert motor_limit_a(motor, Decimal(34)) == 90


# the example as a shop file, through `costplan size` --------------------------------------------------

SHOP = """\
shop: Example D8 (names invented)
invented: true
today: 2026-11-02
years: 4
code: {edition: 2020}
panels:
  - {name: feeder panel, system: 277/480 three-phase, breakers: family B, spaces_free: 30, place: wall}
places:
  - {name: wall, at: [0, 0]}
  - {name: motor bay, at: [10, 0]}
machines:
  - {name: motor of 25 hp, at: motor bay, volts: 460, phases: 3, hp: 25, amps: 32 A,
     ways: {only: [conduit drop], hard_wired: true}}
  - {name: motor of 30 hp, at: motor bay, volts: 460, phases: 3, hp: 30, amps: 38 A,
     ways: {only: [conduit drop], hard_wired: true}}
"""


@cache
def sizes(shop: Path) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "costplan", "size", str(shop)],
        capture_output=True,
        encoding="utf-8",
        env=os.environ | {"PYTHONIOENCODING": "utf-8"},
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_the_example_end_to_end_through_size(tmp_path: Path) -> None:
    """The table's 34 A and 40 A rule over the plates' 32 A and 38 A; 125 % of them are 42.5 A and 50 A of wire.

    The wire follows from these by Table 310.16, 60 C column: 6 AWG with 55 A for both (derived). The 25 hp motor's
    breaker is at most 90 A (derived). The feeder of 124 A and its fuses are none that `size` reckons, and the 30 hp
    motors have wound rotors there, for which no fixed wiring is sized here: only their wire is checked.
    """
    shop = tmp_path / "shop.yaml"
    shop.write_text(SHOP, encoding="utf-8")
    small, large = sizes(shop).split("motor of 30 hp\n")

    for text, current_a, plate_a, ampacity_a in ((small, 34, 32, "42.5"), (large, 40, 38, "50")):
        assert (
            f"{current_a} A; the nameplate says {plate_a} A, but a motor's circuit goes by the table" in text
        )
        assert f"125 % of {current_a} A for a motor: {ampacity_a} A [NFPA 70 430.22]" in text
        assert "conductor: 6 AWG copper carries 55 A" in text
    assert "250 % of 34 A, next standard size: a breaker of at most 90 A" in small
    breaker_a = int(small.split(" A 3-pole breaker")[0].rsplit(" ", 1)[1])
    assert 34 * Decimal("1.25") <= breaker_a <= 90
