import pytest

from costplan.standards import cords


def test_volts_of_service_classes() -> None:
    assert (cords.volts_of_service("hard"), cords.volts_of_service("junior hard")) == (600, 300)


def test_junior_hard_service_stops_at_10_awg() -> None:
    assert (cords.largest_awg_of_service("hard"), cords.largest_awg_of_service("junior hard")) == ("2", "10")


@pytest.mark.parametrize(
    ("code", "awg", "made"), [("SJOOW", "10", True), ("SJOOW", "8", False), ("SOOW", "2", True)]
)
def test_made_in(code: str, awg: str, made: bool) -> None:
    assert cords.find_cord_type(code).made_in(awg) is made


def test_unknown_type() -> None:
    with pytest.raises(LookupError, match=r"Table 400\.4 has no row for type SPT; it covers type S, SO"):
        cords.find_cord_type("SPT")
