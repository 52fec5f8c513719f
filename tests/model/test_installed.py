"""What an outlet that is there follows from its receptacle, by the published tables; the shops are invented."""

from typing import Any

import pytest

from costplan.model.circuits_there import Installed
from costplan.model.installed import InstalledSize, installed_size, protected_to_a, thinnest_awg


def size(configuration: str, **said: Any) -> InstalledSize:
    there = {"place": "bench", "panel": "main", "method": "conduit drop", "configuration": configuration}
    return installed_size(Installed.model_validate(there | said))


@pytest.mark.parametrize(
    ("configuration", "breaker_a", "poles", "awg", "conductors"),
    [
        ("NEMA 5-15", 15, 1, "14", 2),
        ("NEMA 5-20", 20, 1, "12", 2),
        ("NEMA TT-30", 30, 1, "10", 2),
        ("NEMA 6-20", 20, 2, "12", 2),
        ("NEMA L6-30", 30, 2, "10", 2),
        ("NEMA 7-20", 20, 1, "12", 2),
        ("NEMA L8-20", 20, 2, "12", 2),
        ("NEMA 10-30", 30, 2, "10", 3),
        ("NEMA 11-20", 20, 3, "12", 3),
        ("NEMA 14-50", 50, 2, "6", 3),
        ("NEMA 14-60", 60, 2, "6", 3),
        ("NEMA L15-30", 30, 3, "10", 3),
        ("NEMA L21-30", 30, 3, "10", 4),
        ("IEC 60309 60 A 3P+E 250 V 9h", 60, 3, "6", 3),
        ("IEC 60309 100 A 3P+N+E 120/208 V 9h", 100, 3, "2", 4),
    ],
)
def test_all_follows_from_the_receptacle(
    configuration: str, breaker_a: int, poles: int, awg: str, conductors: int
) -> None:
    """Contacts by ANSI/NEMA WD 6 and IEC 60309-2; 6 and 2 AWG carry 55 and 95 A at 60 C: 60 and 100 A by 240.4(B)."""
    assert size(configuration) == InstalledSize(breaker_a, poles, awg, conductors)


def test_what_is_said_is_taken() -> None:
    assert size("NEMA 6-50", breaker=40) == InstalledSize(40, 2, "8", 2)
    assert size("NEMA 6-20", awg="10", conductors=3) == InstalledSize(20, 2, "10", 3)
    assert size("NEMA 6-20", poles=1).poles == 1


@pytest.mark.parametrize(
    ("breaker_a", "awg"),
    [
        (15, "14"),
        (20, "12"),
        (25, "10"),
        (30, "10"),
        (35, "8"),
        (40, "8"),
        (45, "6"),
        (60, "6"),
        (70, "4"),
        (90, "3"),
        (100, "2"),
        (110, "1"),
        (125, "1/0"),
        (200, "4/0"),
    ],
)
def test_thinnest_wire(breaker_a: int, awg: str) -> None:
    """NFPA 70 240.4(D): 14, 12 and 10 AWG up to 15, 20 and 30 A. Above: Table 310.16, 60 C column, next size up."""
    assert thinnest_awg(breaker_a) == awg


def test_a_wire_protects_no_more() -> None:
    assert [protected_to_a(awg) for awg in ("14", "12", "10", "8", "6", "4", "3", "2")] == [
        15,
        20,
        30,
        40,
        60,
        70,
        90,
        100,
    ]


def test_what_the_tables_lack_is_said() -> None:
    with pytest.raises(LookupError, match='no configuration "NEMA 6-25"'):
        size("NEMA 6-25")
    with pytest.raises(LookupError, match="no row for a breaker of 400 A"):
        size("NEMA 6-20", breaker=400)
