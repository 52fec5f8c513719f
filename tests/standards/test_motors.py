import re
from decimal import Decimal
from pathlib import Path

import pytest

from costplan.model.base import read_hp
from costplan.standards import motors


@pytest.mark.parametrize(
    ("hp", "row"),
    [("0.05", "1/6"), ("0.3333333333", "1/3"), ("0.34", "1/2"), ("4", "5"), ("5", "5"), ("5.1", "7-1/2")],
)
def test_between_rows_takes_the_next_row_up(hp: str, row: str) -> None:
    assert motors.full_load_row(Decimal(hp), 1) == row


@pytest.mark.parametrize(
    ("kilowatts", "row"),
    [
        ("0.37", "1/2"),
        ("0.75", "1"),
        ("1.5", "2"),
        ("2.2", "3"),
        ("3.7", "5"),
        ("5.5", "7-1/2"),
        ("7.5", "10"),
    ],
)
def test_a_nameplate_in_kilowatts_lands_on_the_horsepower_it_is_sold_as(kilowatts: str, row: str) -> None:
    """0.75 kW is 1.006 hp; common practice, no source."""
    assert motors.full_load_row(Decimal(kilowatts) / Decimal("0.7457"), 3) == row


def test_system_volts_use_the_motor_column() -> None:
    assert motors.full_load_current_a(Decimal(3), 1, 240) == 17
    assert motors.full_load_current_a(Decimal(3), 1, 120) == 34
    assert motors.full_load_current_a(Decimal(3), 3, 480) == Decimal("4.8")


def test_above_the_table() -> None:
    with pytest.raises(LookupError, match=r"Table 430\.248 has no row for 15 hp; it covers hp 1/6, 1/4"):
        motors.full_load_current_a(Decimal(15), 1, 240)


def test_no_single_phase_480_v_column() -> None:
    with pytest.raises(LookupError, match="has no column full_load_460v_a"):
        motors.full_load_current_a(Decimal(5), 1, 480)


def test_115_v_three_phase_stops_at_2_hp() -> None:
    with pytest.raises(LookupError, match="gives no full_load_115v_a for hp 3"):
        motors.full_load_current_a(Decimal(3), 3, 120)


@pytest.mark.parametrize(
    ("power", "words"),
    [
        # the ratings of small and medium motors as NEMA MG 1 lists and plates print them; from memory
        *((plate, plate) for plate in ("1/20", "1/12", "1/8", "1/6", "1/4", "1/3", "1/2", "3/4")),
        *((plate, plate) for plate in ("1", "1-1/2", "2", "7-1/2", "10", "100")),
        ("1.1 kW", "1.48"),
        ("2.2 kW", "2.95"),
        ("0.3", "0.3"),
    ],
)
def test_horsepower_is_written_as_a_plate_writes_it(power: str, words: str) -> None:
    assert motors.hp_words(read_hp(power)) == words


def test_every_printed_horsepower_is_written_by_one_function() -> None:
    printed = re.compile(r"\{([^{}]*)\} hp\b")
    for path in Path(motors.__file__).parents[1].rglob("*.py"):
        for expression in printed.findall(path.read_text(encoding="utf-8")):
            written = expression.isupper() or expression in ("asked", "row", "text.strip()")
            assert written or "hp_words(" in expression, f"{path.name}: {expression}"
