"""ANSI/NEMA WD 6, receptacle configurations: what the family numbers mean, typed from the standard's naming.

Poles count every contact but the ground, so L14 is 3-pole 4-wire and L21 4-pole 5-wire.
"""

import pytest

from costplan.standards import receptacles

# family number: volts on the label, phases, poles, wires
GROUNDING = {
    "5": ("125", 1, 2, 3),
    "6": ("250", 1, 2, 3),
    "7": ("277", 1, 2, 3),
    "14": ("125/250", 1, 3, 4),
    "15": ("250", 3, 3, 4),
    "L5": ("125", 1, 2, 3),
    "L6": ("250", 1, 2, 3),
    "L7": ("277", 1, 2, 3),
    "L8": ("480", 1, 2, 3),
    "L9": ("600", 1, 2, 3),
    "L14": ("125/250", 1, 3, 4),
    "L15": ("250", 3, 3, 4),
    "L16": ("480", 3, 3, 4),
    "L17": ("600", 3, 3, 4),
    "L21": ("120/208", 3, 4, 5),
    "L22": ("277/480", 3, 4, 5),
    "L23": ("347/600", 3, 4, 5),
}
NEMA = [known for known in receptacles.configurations() if known.family != receptacles.PIN_AND_SLEEVE]


@pytest.mark.parametrize("number", GROUNDING)
def test_family_number(number: str) -> None:
    members = [known for known in NEMA if known.code.startswith(f"NEMA {number}-")]

    assert members
    assert {GROUNDING[number]} == {(known.volts, known.phases, known.poles, known.wires) for known in members}
    assert all(known.new_work and known.ground for known in members)


@pytest.mark.parametrize("known", NEMA, ids=lambda known: known.code)
def test_code_says_family_and_amperes(known: receptacles.Configuration) -> None:
    name, amps = known.code.removeprefix("NEMA ").rsplit("-", 1)

    assert int(amps) == known.rating_a
    assert (known.family == "locking") == name.startswith("L")
    assert known.wires == known.poles + (1 if known.ground else 0)


@pytest.mark.parametrize(
    "code", ["NEMA 10-30", "NEMA 10-50", "NEMA 1-15", "NEMA 11-30", "NEMA L10-30", "NEMA TT-30"]
)
def test_existing_only(code: str) -> None:
    """No ground contact, or made for vehicles."""
    assert not receptacles.find_configuration(code).new_work


def test_no_straight_blade_for_480_v() -> None:
    assert receptacles.fitting_configurations("straight", 480, 3, neutral=False) == ()


def test_number_of_configurations() -> None:
    assert len(NEMA) == 80
