"""IEC 60309-2, pin and sleeve devices of series II: volts by the earth contact's hour and by color.

Hours 12 (125/250 V) and 7 (480 V without neutral) are from memory.
"""

import pytest

from costplan.standards import receptacles, tables

# hour, poles: volts on the label, phases
SERIES_II = {
    (4, 2): ("125", 1),
    (6, 2): ("250", 1),
    (5, 2): ("277", 1),
    (7, 2): ("480", 1),
    (12, 3): ("125/250", 1),
    (9, 3): ("250", 3),
    (7, 3): ("480", 3),
    (5, 3): ("600", 3),
    (9, 4): ("120/208", 3),
    (7, 4): ("277/480", 3),
    (5, 4): ("347/600", 3),
}
COLORS = {
    "125": "yellow",
    "250": "blue",
    "120/208": "blue",
    "277/480": "red",
    "480": "red",
    "125/250": "orange",
}


@pytest.mark.parametrize(("hour", "poles"), SERIES_II)
def test_each_system_comes_in_20_30_60_and_100_a(hour: int, poles: int) -> None:
    rows = [
        row
        for row in tables.table(receptacles.IEC)
        if (int(row["earth_hour"]), int(row["poles"])) == (hour, poles)
    ]

    assert [int(row["rating_a"]) for row in rows] == [20, 30, 60, 100]
    assert {SERIES_II[hour, poles]} == {(row["volts"], int(row["phases"])) for row in rows}


@pytest.mark.parametrize(
    "row", tables.table(receptacles.IEC), ids=lambda row: f"{row['volts']} {row['rating_a']}"
)
def test_color_follows_volts(row: tables.Row) -> None:
    expected = COLORS.get(row["volts"], "grey" if row["volts"] == "277" else "black")

    assert expected == row["color"]


def test_number_of_configurations() -> None:
    assert len(SERIES_II) * 4 == len(tables.table(receptacles.IEC))
