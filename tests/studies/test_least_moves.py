"""Moves that would make another way win, against sums by hand of the tiny example (its shop file has the sum of 805).

A saw that stays: by drop 30 ft of cable at 1, receptacle 10, box 5, breaker 20 and three hours at 100 are 365; by cord 345
for the outlet beside the panel, 105 for the cord and 30 back are 420. So the drop wins by 55 if it never moves, and loses by
365 if it moves once in the three years that count. The drill's drop is 55 cheaper than its cord and is made again at every
move.
"""

from decimal import Decimal

import pytest
from test_explained import tiny

from costplan.program.clock import Clock
from costplan.reports.explained import tie_words
from costplan.studies.explained import instead
from costplan.studies.least_change import MOVES
from costplan.studies.least_moves import least_moves, moves_a_year, nearest_changes


@pytest.mark.parametrize(
    ("machine", "way", "now", "at", "words"),
    [
        ("saw", "wall drop", 1, 0, "no moves of saw at all (now 0.33 a year expected; "),
        ("drill", "cord", 0, 1, "moves of drill at or above 0.33 a year, one in 3 years (now none; "),
    ],
)
def test_moves_that_turn_a_machine_by_hand(machine: str, way: str, now: int, at: int, words: str) -> None:
    case = tiny()
    other = instead(case.bench, {machine: way}, Clock())
    (tie,) = least_moves(case.bench, case.best, other, Clock())
    assert (tie.unit, tie.now, tie.at, tie.exact) == (MOVES, Decimal(now) / 3, Decimal(at) / 3, True)
    assert tie_words(tie) == f"{words}scenarios of the shop file)"
    assert moves_a_year(case.facts, [machine]) == Decimal(now) / 3


def test_moves_stand_where_they_change_least() -> None:
    """By hand: one move in 3 years where there is none counts as a third, before 55 % more hours to run the cable."""
    case = tiny()
    other = instead(case.bench, {"drill": "cord"}, Clock())
    found = nearest_changes(case.bench, case.best, other, Clock())
    assert [tie.unit for tie in found] == [MOVES, "hours", "hours"]
    assert least_moves(case.bench, case.best, other, Clock(0)) == ()  # nothing is said that was not proven
