"""Hours by the clock: which add up, and whose they are; an hour of a pair is two man-hours (common practice, no source)."""

from dataclasses import dataclass
from decimal import Decimal

import pytest

from costplan.reports.crew_hours import hours_note, together, total_hours, who


@dataclass(frozen=True)
class Row:
    crew: str
    people: int
    hours: Decimal


MINE = Row("owner", 1, Decimal("1.25"))
ONE = Row("one electrician", 1, Decimal("2.5"))
PAIR = Row("two electricians", 2, Decimal(3))


@pytest.mark.parametrize(
    ("rows", "total"),
    [([MINE, ONE], "3.75"), ([PAIR, PAIR], "6.00"), ([MINE, PAIR], ""), ([ONE, PAIR], ""), ([], "0.00")],
)
def test_hours_of_a_pair_are_added_to_no_others(rows: list[Row], total: str) -> None:
    assert total_hours(rows) == total


def test_a_pair_is_said_beside_its_hours() -> None:
    assert [who(MINE), who(PAIR)] == ["owner", "two electricians, 2 people"]
    assert [together(many) for many in (1, 2, 3)] == ["", "of the pair", "of its 3 people together"]
    assert hours_note([MINE, ONE], 80) == ""
    assert "all of theirs together" in " ".join(hours_note([MINE, PAIR], 80).split())
