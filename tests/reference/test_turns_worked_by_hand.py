"""Turning points and maps of two quoted ways; worked by hand, no source: each sum stands beside its check.

Today is year 0; what falls at the end of year n counts 1 / (1 + r) to the power of n; nothing is moved or renewed in the last
year.
"""

from dataclasses import replace
from decimal import Decimal
from functools import cache
from typing import Any

import pytest
from strategies import make_catalog, scenario

from costplan.circuits.facts import Facts
from costplan.ledger.holding import UnknownWordsError
from costplan.model.shop import Shop
from costplan.program.bench import Bench
from costplan.program.clock import Clock
from costplan.reports.turning_text import map_data, map_text, stretches_data, turning_text
from costplan.studies import comparison
from costplan.studies.comparison import Comparison, compare
from costplan.studies.shops_anew import Stretches, looked_at
from costplan.studies.turned import PURE, Ask, Turned
from costplan.studies.turned import turned as asked_and_found
from costplan.studies.turning import BEST, Side
from costplan.studies.wanted import Wanted
from costplan.studies.winners_map import MOVES_A_YEAR, winners_map

RATE = "hourly rate of electrician"


def one_machine(
    years: int,
    discount: str,
    rate: str,
    call_out: str,
    drop: dict[str, Any],
    cord: dict[str, Any],
    **more: Any,
) -> Facts:
    """One machine over some years that a drop or a cord could feed, both quoted, and who does the work."""
    values: dict[str, Any] = {
        "shop": "one machine (invented)",
        "invented": True,
        "today": "2026-11-02",
        "years": years,
        "money": {"discount_rate": discount},
        "crews": [
            {"name": "owner", "role": "owner", "rate": "20.00"},
            {"name": "electrician", "role": "electrician", "rate": rate, "call_out": call_out},
        ],
        "machines": [{"name": "grinder"}],
        "quoted_ways": [
            {"name": "drop", "method": "armored drop", **drop},
            {"name": "long cord", "method": "cord", **cord},
        ],
        "scenarios": [scenario({"year": 3, "machine": "grinder", "new_spot": True})],
    } | more
    return Facts(Shop.model_validate(values), make_catalog())


def grinder(cord_parts: str = "640.00") -> Facts:
    """Six years at 4 %; a drop 4 h and 130.00, a move 3 h and 100.00; a cord 1.5 h and its parts, a move 0.5 own hours."""
    return one_machine(
        6,
        "4 %",
        "90.00",
        "80.00",
        {"put_in": {"money": "130.00", "hours": "4 h"}, "move": {"money": "100.00", "hours": "3 h"}},
        {"put_in": {"money": cord_parts, "hours": "1.5 h"}, "move": {"own_hours": "0.5 h"}},
        strategies=[
            {"name": "hang it", "ways": {"grinder": "long cord"}},
            {"name": "wire it", "ways": {"*": "fixed drop"}},
        ],
    )


@cache
def turned(cord_parts: str = "640.00") -> Comparison:
    return compare(grinder(cord_parts), Wanted(plans=2, exact_turning=Ask(("hang it", "wire it"))))


def who_wins(result: Comparison, figure: str, question: str = PURE) -> Stretches:
    return next(
        found
        for found in result.turned.stretches
        if (found.figure.name, found.question) == (figure, question)
    )


def told(found: Stretches) -> list[tuple[Decimal, Decimal, str]]:
    return [(stretch.low, stretch.high, stretch.wins) for stretch in found.stretches]


def test_moves_a_year_turn_at_what_both_cost_today_over_what_a_move_costs() -> None:
    """(855.00 - 570.00) / ((450.00 - 10.00) x 4.451822) = 0.1455, with the factors of years 1 to 5 at 4 %.

    Today: 4 x 90.00 + 130.00 + 80.00 = 570.00 and 1.5 x 90.00 + 640.00 + 80.00 = 855.00; a move: 3 x 90.00 + 100.00 + 80.00 =
    450.00 and 0.5 x 20.00.
    """
    found = who_wins(turned(), "moves a year")
    (_, at, low), (same, _, high) = told(found)
    assert (low, high, at == same) == ("fixed drops", "cords", True)
    assert abs(at - Decimal("0.1455")) < Decimal("0.0001")
    assert "0 to 0.146 fixed drops; 0.146 to 1 cords" in " ".join(turning_text(turned(), 80).split())


def test_a_stay_that_ends_with_the_move_has_none_and_fixed_drops_win_up_to_it() -> None:
    """Up to 3 years fixed is 285.00 cheaper, as the move at the end of year 3 does not fall into them; from 4 on cords are."""
    found = who_wins(turned(), "years of stay")
    assert told(found) == [(1, 3, "fixed drops"), (4, 12, "cords")]
    assert found.looked
    data = next(entry for entry in stretches_data(turned()) if entry["question"] == PURE)
    assert (data["now"], data["all_looked_at"], data["stretches"][0]) == (
        6,
        True,
        {"from": 1, "to": 3, "wins": "fixed drops"},
    )
    best = who_wins(turned(), "years of stay", BEST)
    assert [(stretch.low, stretch.high) for stretch in best.stretches] == [(1, 3), (4, 12)]
    assert "best plan: 1 to 3 plan 2; 4 to 12 plan 1" in " ".join(turning_text(turned(), 80).split())


def test_where_there_is_no_time_what_is_known_is_told_and_no_more() -> None:
    """At 6 years, as it is, cords are cheaper: nothing is said of 1 to 12 years."""
    facts, known = grinder(), turned()
    fixed, cords = known.pure_plans or ()
    pairs = [(PURE, Side("fixed drops", fixed), Side("cords", cords))]
    found = [*looked_at(facts, known.best, [], pairs, Clock(1e-9))]
    assert told(found[0]) == [(6, 6, "cords")]
    shown = replace(known, turned=Turned(stretches=tuple(found)))
    text = " ".join(turning_text(shown, 80).split())
    assert "pure ways: 6 cords; not all of 1 to 12 looked at for lack of time" in text
    assert "moves a year, evenly, in place of the moves in the scenarios pure ways: not looked at" in text


def test_what_is_held_is_held_in_shops_made_anew() -> None:
    """Cords are cheaper from 4 years on, but not for a machine that is held to its drop."""
    result = compare(grinder(), Wanted(plans=2, held={"grinder": "fixed drop"}, exact_turning=Ask()))
    found = who_wins(result, "years of stay", BEST)
    assert [(stretch.low, stretch.high) for stretch in found.stretches] == [(1, 12)]


def test_where_cords_cost_less_today_and_at_each_move_no_number_of_moves_turns_it() -> None:
    """With parts of 330.00 the cord is 1.5 x 90.00 + 330.00 + 80.00 = 545.00 today, below 570.00: none, and never -0.013."""
    result = turned("330.00")
    assert told(who_wins(result, "moves a year")) == [(0, 1, "cords")]
    assert "none: cords win from 0 to 1" in " ".join(turning_text(result, 80).split())


def test_two_named_strategies_are_asked_the_same() -> None:
    """69.45 an hour, as the two pure ways: 4 R + 210.00 + (3 R + 180.00) x 0.888996 = 1.5 R + 720.00 + 10.00 x 0.888996."""
    question = "hang it or wire it"
    found = next(
        turning for turning in turned().turning if (turning.figure.name, turning.question) == (RATE, question)
    )
    assert [(round(point.at, 2), point.wins, point.exact) for point in found.points] == [
        (Decimal("69.45"), "wire it", True)
    ]
    assert told(who_wins(turned(), "years of stay", question)) == [(1, 3, "wire it"), (4, 12, "hang it")]


def refused(ask: Ask) -> str:
    """What is said of names that are none, which nothing is solved for."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(comparison, "best_plans", None)
        with pytest.raises(UnknownWordsError) as told:
            compare(grinder(), Wanted(plans=2, exact_turning=ask))
    return str(told.value)


def test_a_strategy_or_a_figure_that_is_none_is_refused_before_anything_is_solved() -> None:
    said = refused(Ask(("hang it", "glue it")))
    assert '--between "glue it": there is no such strategy' in said
    assert "fixed drops, cords, hang it, wire it" in said
    said = refused(Ask(grid=(MOVES_A_YEAR, "hourly rate of electrican")))
    assert 'Did you mean "hourly rate of electrician"' in said


def test_what_stands_in_for_moves_a_year_is_no_figure_to_ask_for() -> None:
    for name in ("no moves", "moves"):
        said = refused(Ask(grid=(MOVES_A_YEAR, f'weight of "{name}"')))
        assert "there is no such figure" in said
        assert "allowed: moves a year" in said
        assert "weight of" not in said.partition("allowed")[2]


def test_a_strategy_without_a_proven_plan_is_told_beside_the_answer() -> None:
    bench = Bench.over(grinder(), grinder().shop.money.surplus)
    best = turned().best
    found = asked_and_found(bench, best, [], {}, Ask(("hang it", "cords")), Clock(1e-9))
    assert found.notes[0] == "hang it is not compared: it has no complete, proven plan"


def test_years_may_turn_back_and_every_change_is_told() -> None:
    """610.00 and 500.00 a move against 730.00, 10.00 a move and 500.00 every fifth year; moves in years 3, 7, 11; 3 %.

    Stay 4: 610.00 + 457.57 against 730.00 + 9.15; stay 6: a cord for 500.00 x 0.862609 = 431.30 makes it 1,170.45 against
    1,067.57; stay 8: 1,474.12 against 1,178.58; stay 11: 1,474.12 against 1,550.63; stay 12: 1,835.33 against 1,557.85.
    """
    moves = [{"year": year, "machine": "grinder", "new_spot": True} for year in (3, 7, 11)]
    facts = one_machine(
        12,
        "3 %",
        "90.00",
        "0.00",
        {"put_in": {"money": "610.00"}, "move": {"money": "500.00"}},
        {
            "put_in": {"money": "730.00"},
            "move": {"money": "10.00"},
            "renew": {"every": 5, "money": "500.00"},
        },
        scenarios=[scenario(*moves)],
    )
    found = who_wins(compare(facts, Wanted(plans=2, exact_turning=Ask())), "years of stay")
    cords, drops = "cords", "fixed drops"
    assert found.looked
    assert [entry for entry in told(found) if entry[0] <= 12] == [
        (1, 3, drops),
        (4, 5, cords),
        (6, 7, drops),
        (8, 10, cords),
        (11, 11, drops),
        (12, found.stretches[5].high, cords),
    ]


@cache
def mapped() -> tuple[Comparison, Any]:
    facts = one_machine(
        5,
        "3 %",
        "100.00",
        "90.00",
        {"put_in": {"money": "160.00", "hours": "5 h"}, "move": {"money": "70.00", "hours": "3 h"}},
        {"put_in": {"money": "720.00", "hours": "1 h"}, "move": {"own_hours": "0.5 h"}},
    )
    result = compare(facts, Wanted(plans=2))
    values = ([Decimal(m) for m in ("0", "0.1", "0.2", "0.4")], [Decimal(r) for r in (60, 80, 100, 120)])
    return result, winners_map(facts, result.plans, (MOVES_A_YEAR, RATE), Clock(), values=values)


def test_a_map_of_moves_and_rate_is_that_of_the_sum() -> None:
    """Gap(m, R) = 4 R - 560.00 + m x 3.717098 x (3 R + 150.00); cords win above 0.

    Two cells in full: (0.1, 100) drop 920.99, cord 913.72; (0.4, 60) drop 1,055.53, cord 884.87.
    """
    _, grid = mapped()
    wins = [
        ["C" if next(iter(cell.ranked.plan.ways["grinder"])).quoted == "long cord" else "F" for cell in row]
        for row in grid.cells
    ]
    assert wins == [list("FFFF"), list("FFCC"), list("FCCC"), list("CCCC")]
    assert all(cell.proven for row in grid.cells for cell in row)
    assert (grid.cells[1][2].cents, grid.cells[3][0].cents) == (
        pytest.approx(91372, abs=5),
        pytest.approx(88487, abs=5),
    )


def test_a_map_is_told_with_a_letter_a_plan() -> None:
    result, grid = mapped()
    text = map_text(result, grid, 80)
    assert "by moves a year (down) and hourly rate of electrician (across)" in " ".join(text.split())
    assert [line.split() for line in text.splitlines() if line.startswith("0.1 ")] == [
        ["0.1", "A", "A", "B~", "B"]
    ]
    # (0.1, 100): drop 920.99 is 0.8 % above cord 913.72; (0.1, 80): gap 4 x 80 - 560 + 0.1 x 3.717098 x 390 = -95.03.
    assert grid.cells[1][2].next_cents == pytest.approx(92099, abs=5)
    assert [cell.near_tie for cell in grid.cells[1][1:3]] == [False, True]
    assert "?" not in text.splitlines()[-4]


def test_a_map_without_time_is_marked_as_not_proven() -> None:
    result, grid = mapped()
    open_cells = replace(
        grid, cells=tuple(tuple(replace(c, proven=False) for c in row) for row in grid.cells)
    )
    text = map_text(result, open_cells, 80)
    assert "A?" in text
    shown = replace(result, turned=Turned(grid=open_cells))
    data = map_data(shown)
    assert data is not None
    assert (data["rows"]["figure"], data["cells"][0][0]["proven"]) == (MOVES_A_YEAR, False)
