"""NFPA 70 Table 400.4, flexible cord types: S is hard service 600 V, SJ junior hard service 300 V."""

import pytest

from costplan.standards import cords


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
    found = cords.find_cord_type(code)

    assert (service, volts, awg_at_most) == (found.service, found.volts, found.awg_at_most)


@pytest.mark.parametrize("cord", cords.cord_types(), ids=lambda cord: cord.code)
def test_letters_say_service_oil_and_weather(cord: cords.CordType) -> None:
    assert (cord.service == "junior hard") == cord.code.startswith("SJ")
    assert cord.oil_resistant == ("O" in cord.code)
    assert cord.wet_and_sunlight == cord.code.endswith("W")
