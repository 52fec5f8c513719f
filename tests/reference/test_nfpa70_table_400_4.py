"""NFPA 70 Table 400.4, flexible cord types: S is hard service 600 V, SJ junior hard service 300 V."""

from typing import Any

import pytest
from strategies import SAW, make_catalog, make_shop

from costplan.circuits.circuit import Builder
from costplan.circuits.facts import Facts
from costplan.ledger.options import survey
from costplan.model.choices import Service
from costplan.standards import cords, tables
from costplan.years.calendar import lives, scenarios_of


@pytest.mark.parametrize(
    ("code", "service", "volts", "awg_at_most"),
    [
        ("S", "hard", 600, "2"),
        ("SO", "hard", 600, "2"),
        ("SOOW", "hard", 600, "2"),
        ("STOW", "hard", 600, "2"),
        ("SEOOW", "hard", 600, "2"),
        ("SJ", "junior hard", 300, "10"),
        ("SJO", "junior hard", 300, "10"),
        ("SJT", "junior hard", 300, "10"),
        ("SJTW", "junior hard", 300, "10"),
        ("SJOOW", "junior hard", 300, "10"),
    ],
)
def test_type(code: str, service: str, volts: int, awg_at_most: str) -> None:
    """Sizes made are from memory."""
    found = tables.find_row(cords.TYPES, {"type": code})

    assert (service, str(volts), awg_at_most) == (found["service"], found["volts"], found["awg_at_most"])


@pytest.mark.parametrize("cord", tables.table(cords.TYPES), ids=lambda cord: cord["type"])
def test_letters_say_service_oil_and_weather(cord: tables.Row) -> None:
    assert (cord["service"] == "junior hard") == cord["type"].startswith("SJ")
    assert (cord["jacket_oil_resistant"] == "yes") == ("O" in cord["type"])
    assert (cord["wet_and_sunlight"] == "yes") == cord["type"].endswith("W")


@pytest.mark.parametrize(
    ("awg", "service", "made"),
    [
        ("12", "junior hard", True),
        ("10", "junior hard", True),
        ("8", "junior hard", False),
        ("6", "hard", True),
    ],
)
def test_what_a_service_is_made_in(awg: str, service: str, made: bool) -> None:
    assert cords.made_in_service(service, awg) == made


OVEN: dict[str, Any] = {"name": "oven", "at": "bench A", "volts": 240, "amps": 36, "load": "heater"}


@pytest.mark.parametrize("chosen", [["junior hard"], ["junior hard", "hard"]])
@pytest.mark.parametrize(("machine", "thick"), [(SAW, False), (OVEN, True)])
def test_a_thicker_cord_is_hard_service(chosen: list[str], machine: dict[str, Any], thick: bool) -> None:
    """45 A of cord is 6 AWG (Table 400.5(A)(1) column B, 55 A), which no SJ cord has; 12 AWG of a saw may be either."""
    shop = make_shop([machine], cords={"families": ["straight"], "service": chosen, "spare_conductor": False})
    facts = Facts(shop, make_catalog())
    standing = lives(shop, scenarios_of(shop)[0])[machine["name"]].standings[0]
    known = survey(facts)
    found = [
        (option.way, Builder(facts, facts.machines[machine["name"]], option.way).build(standing).cable)
        for option in known.options[machine["name"]]
        if option.way.method == "cord"
    ]
    assert found
    services = {way.service for way, _ in found}
    assert services == ({Service.HARD} if thick else {Service(word) for word in chosen})
    for way, cable in found:
        assert cable is not None
        asked = dict(cable.spec.equal).get("service")
        assert asked == ("hard" if way.service is Service.HARD else None)
