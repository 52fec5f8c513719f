"""The lines that circuits are proposed on, against balances worked by hand; all shops are invented."""

from decimal import Decimal
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from test_noted import BY_DROP, MAIN, Row, facts_of, shop

from costplan.circuits.demand import Draw, balanced
from costplan.program.bench import Bench
from costplan.program.ranking import best_plans
from costplan.reports.circuits import CircuitRow, capped_words
from costplan.reports.scope_plan import _beyond, plan_today
from costplan.reports.scope_sections import quantity_words
from costplan.reports.scope_work import WorkRow

SMALL: Row = {"at": "bench", "volts": 120, "plug": "NEMA 5-15"} | BY_DROP
HEATERS: Row = SMALL | {"load": "heater"}


def draw(name: str, va: int, poles: int, count: int = 1) -> Draw:
    return Draw(name, va, 0, None, count, poles)


def test_a_balance_knows_which_line_each_circuit_is_on() -> None:
    """By hand: 12 on one line, 10 and 8 on the other make 18 at most; 12 with 8 would be 20, 12 with 10 22."""
    draws = (draw("saw", 12, 1), draw("fan", 10, 1), draw("lamp", 8, 1), draw("kiln", 30, 2))
    everyone = frozenset({"saw", "fan", "lamp", "kiln"})
    found = balanced(draws, (everyone,), (), (), 2)
    assert found.lines_va == (48, 42)
    assert {entry.machine: on for entry, on in found.on} == {"saw": (0,), "fan": (1,), "lamp": (1,)}


@given(
    st.lists(st.tuples(st.integers(1, 40), st.integers(1, 3), st.integers(1, 2)), max_size=6),
    st.sampled_from([2, 3]),
)
def test_the_lines_that_circuits_are_on_add_up_to_the_figures(
    loads: list[tuple[int, int, int]], lines: int
) -> None:
    draws = tuple(
        draw(f"m{index}", va, min(poles, lines), count) for index, (va, poles, count) in enumerate(loads)
    )
    found = balanced(draws, (frozenset(entry.machine for entry in draws),), (), (), lines)
    on_all = sum(entry.va * entry.count for entry in draws if not entry.on_some(lines))
    added = [on_all + sum(entry.va for entry, on in found.on if line in on) for line in range(lines)]
    assert sorted(added, reverse=True) == list(found.lines_va)
    assert len(found.on) == sum(entry.count for entry in draws if entry.on_some(lines))


THREE_OF = (("three", 3),)
"""Three of those in this club run at once."""


def in_club(name: str, va: int, poles: int) -> Draw:
    return Draw(name, va, 0, "three", 1, poles)


def test_circuits_are_even_over_the_lines_where_the_demand_does_not_care() -> None:
    """By hand: three of 28, 21 and 13 on both lines and 24, 20 and 14 on one run at once: 28, 24 and 21 make 73 on a line.

    With 24, 20 and 14 on one line that is 28, 24 and 21 as well, so that the demand alone may leave the other line empty.
    Even are 24 against 34, which is 28, 21 and 20 there: 69. 14 against 44 and 20 against 38 are less even.
    """
    both = (in_club("planer", 28, 2), in_club("oven", 21, 2), in_club("saw", 13, 2))
    one = (in_club("collector", 24, 1), in_club("bandsaw", 20, 1), in_club("drill", 14, 1))
    everyone = (frozenset(entry.machine for entry in (*both, *one)),)
    assert balanced((*both, *one), everyone, THREE_OF, (), 2).worst_va == 73
    found = balanced((*both, *one), everyone, THREE_OF, (), 2, even=True)
    assert found.lines_va == (73, 69)
    on = {entry.machine: lines for entry, lines in found.on}
    assert on["collector"] != on["bandsaw"] == on["drill"]


@given(st.lists(st.tuples(st.integers(1, 40), st.booleans()), min_size=1, max_size=6))
def test_evening_makes_no_line_heavier_than_the_best_balance(loads: list[tuple[int, bool]]) -> None:
    """And the most connected to a line is no more than in that balance."""
    draws = tuple(
        Draw(f"m{index}", va, 0, "three" if club else None, 1, 1) for index, (va, club) in enumerate(loads)
    )
    asked = (draws, (frozenset(entry.machine for entry in draws),), THREE_OF, (), 2)
    plain, even = balanced(*asked), balanced(*asked, even=True)
    assert even.worst_va == plain.worst_va
    most = [
        max(sum(draw.va for draw, on in found.on if line in on) for line in (0, 1)) for found in (plain, even)
    ]
    assert most[1] <= most[0]
    assert sorted(draw.machine for draw, _ in even.on) == sorted(draw.machine for draw in draws)


def _rows(written: Row, tmp_path: Any) -> dict[str, str]:
    facts = facts_of(written, tmp_path)
    best = best_plans(Bench.over(facts, facts.shop.money.surplus), 1)[0]
    rows: tuple[CircuitRow, ...] = plan_today(facts, best).circuits
    return {row.machines[0]: row.lines for row in rows}


def test_every_circuit_of_a_sheet_has_its_lines(tmp_path: Any) -> None:
    """By hand: of 11, 10 and 8 A the largest is alone; what has two poles is on both lines."""
    machines = [
        *(HEATERS | {"name": f"oven {amps}", "amps": amps} for amps in (11, 10, 8)),
        {"name": "saw", "at": "bench", "volts": 240, "amps": 12, "plug": "NEMA 6-20"} | BY_DROP,
    ]
    lines = _rows(shop(machines=machines), tmp_path)
    assert lines["saw"] == "A-B"
    assert lines["oven 11"] != lines["oven 10"] == lines["oven 8"]
    assert {lines["oven 11"], lines["oven 10"]} == {"A", "B"}


def test_the_sheet_adds_up_by_line_what_is_not_on_all_of_them(tmp_path: Any) -> None:
    """By hand: 11 A on one line, 10 and 8 A on the other; what is on both lines is left out."""
    machines = [
        *(HEATERS | {"name": f"oven {amps}", "amps": amps} for amps in (11, 10, 8)),
        {"name": "saw", "at": "bench", "volts": 240, "amps": 12, "plug": "NEMA 6-20"} | BY_DROP,
    ]
    facts = facts_of(shop(machines=machines), tmp_path)
    best = best_plans(Bench.over(facts, facts.shop.money.surplus), 1)[0]
    (sums,) = plan_today(facts, best).line_sums
    assert sums in ("main panel: A 11.0 A, B 18.0 A", "main panel: A 18.0 A, B 11.0 A")


def test_circuits_alike_are_told_by_how_many_are_on_each_line(tmp_path: Any) -> None:
    group = [HEATERS | {"name": "ovens", "amps": 10, "count": 3}]
    (lines,) = _rows(shop(machines=group, panels=[MAIN]), tmp_path).values()
    assert lines in ("A (2), B (1)", "A (1), B (2)")


def test_machines_that_take_turns_on_one_breaker_are_on_its_lines(tmp_path: Any) -> None:
    turning = HEATERS | {"amps": 10, "takes_turns": "baking"}
    other = HEATERS | {"name": "other", "amps": 11}
    machines = [turning | {"name": "oven"}, turning | {"name": "press", "at": "corner"}, other]
    lines = _rows(shop(machines=machines), tmp_path)
    assert lines["oven"] == lines.get("press", lines["oven"]) != lines["other"]


def test_work_is_counted_in_whole_things() -> None:
    """By hand: a cord of 74 ft is held up each 10 ft, which is eight times; nobody does 0.4 of one."""
    assert [quantity_words(Decimal(each)) for each in ("7.4", "7", "1.0", "0.1")] == ["8", "7", "1", "1"]


def test_work_that_is_told_alike_is_not_left_out_and_added() -> None:
    """By hand: two walls are patched less and one more, and a plug is put on: one wall less, and the plug."""
    patch = WorkRow("bay", "patch the wall", Decimal(1), ("saw",), lines=(3,))
    plug = WorkRow("bay", "put a plug on", Decimal(1), ("saw",))
    less, more = (patch, patch), (patch, plug)
    assert list(_beyond(less, more)) == ["patch the wall: line 3 (bay, saw)"]
    assert list(_beyond(more, less)) == ["put a plug on (bay, saw)"]


def test_spare_wires_of_a_cable_are_capped() -> None:
    """By hand: three of four wires are used and one is capped; common practice, no source."""
    assert capped_words(3, {3: 2}) == ""
    assert capped_words(3, {4: 1}) == "; in cable of 4 wires cap the spare wire at both ends"
    assert capped_words(2, {4: 1, 3: 2}) == "; in cable of 3 or 4 wires cap spare wires at both ends"
    some = "; 2 of the 18 pieces of this length have 3 wires: there cap the spare wire at both ends"
    assert capped_words(2, {2: 16, 3: 2}) == some
