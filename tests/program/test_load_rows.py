"""The rows of one limit against the ledger's count of the same loads, and both against a plain search.

None shares code with another: the rows are solved, the ledger balances step by step, and the search here puts
one-pole circuits on lines and lets machines run in every way there is. `--hypothesis-profile=fresh` draws more.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import combinations, combinations_with_replacement, product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from soak import examples
from strategies import SAW, make_catalog, make_gear_shop, with_gear

from costplan.circuits.capacity import Capacity, Limit
from costplan.circuits.demand import Draw
from costplan.circuits.facts import Facts
from costplan.model.gear import SERVICE, Gear
from costplan.program.load_rows import LimitAtDate, LimitRows
from costplan.program.program import Program, Terms
from costplan.program.solver import NoAnswerError, solve

NAMES = ("a", "b", "c", "d", "e")
INPUT_VA = 7200
"""The smaller converter of these shops takes 30 A at 240 V by its plate."""


def capacity(words: dict[str, dict[str, Any]], service: dict[str, Any], holds_to: int) -> Capacity:
    shop = make_gear_shop(
        [SAW | {"name": name} | words.get(name, {}) for name in NAMES],
        ("converter", "manager"),
        gear_changes={
            "manager": {"machines": ["a", "b"], "holds_to": holds_to},
            "converter": {"part": "converter-4"},
        },
        service={"amps": 100} | service,
    )
    return Capacity(Facts(shop, make_catalog(**with_gear())))


def fits(rules: Capacity, draws: Sequence[Draw], managed: bool, idle_va: int, limit_va: int) -> bool:
    """Whether the rows let the limit carry the loads."""
    program = Program()
    found: dict[str, dict[int, Draw]] = {}
    for draw in draws:
        found[draw.machine] = {program.variable(draw.machine, draw.count, low=draw.count): draw}
    there = program.variable("gear", low=1)
    idle: dict[str, Terms] = {"converter": {there: idle_va}} if idle_va else {}
    managing = tuple((gear, {there: 1}) for gear in managers(rules, managed))
    rules.__dict__["limits"] = {SERVICE: Limit(SERVICE, limit_va)}
    LimitRows(program, rules, LimitAtDate(SERVICE, "load", found, idle, {}, managing), set()).add()
    try:
        solve(program)
    except NoAnswerError:
        return False
    return True


def managers(rules: Capacity, managed: bool) -> list[Gear]:
    return [gear for gear in rules.facts.shop.gear if gear.name == "manager"] if managed else []


def searched(rules: Capacity, draws: Sequence[Draw], managed: bool, idle_va: int, lines: int) -> int:
    """The worst line under the best balance, everything tried."""
    each = [draw for draw in draws for _ in range(draw.count)]
    ways = [list(combinations(range(lines), min(draw.poles or lines, lines))) for draw in each]
    return min(
        max(on_line(rules, each, chosen, line, managed, idle_va) for line in range(lines))
        for chosen in product(*ways)
    )


def on_line(
    rules: Capacity,
    each: Sequence[Draw],
    chosen: Sequence[tuple[int, ...]],
    line: int,
    managed: bool,
    idle_va: int,
) -> int:
    here = [(draw, draw.va, draw.extra_va) for draw, on in zip(each, chosen, strict=True) if line in on]
    return max(
        running_va(rules, running, starter, managed, idle_va)
        for running, able in allowed(rules, here)
        for starter in [None, *able]
    )


Load = tuple[Draw, int, int]


def allowed(rules: Capacity, here: Sequence[Load]) -> Iterator[tuple[list[Load], list[Load]]]:
    """Every choice of loads that may run together, and those whose motor may be the largest."""
    for members in rules.together(NAMES):
        able = [load for load in here if load[0].machine in members]
        plain = [load for load in able if load[0].club is None]
        of_club = [
            list(combinations(of, min(most, len(of))))
            for club, most in rules.clubs.items()
            for of in [[load for load in able if load[0].club == club]]
        ]
        for picked in product(*of_club):
            yield [*plain, *(load for some in picked for load in some)], able


def running_va(
    rules: Capacity, running: Sequence[Load], starter: Load | None, managed: bool, idle_va: int
) -> int:
    held = [
        sum(va for draw, va, _ in running if draw.club is None and draw.machine in (gear.machines or ()))
        - int((gear.holds_to_a or Decimal(0)) * 240)
        for gear in managers(rules, managed)
    ]
    behind = idle_va + sum(va for draw, va, _ in running if draw.club is None and draw.converter)
    behind += starter[2] if starter is not None and starter[0].converter else 0
    reliefs = [max(0, relief) for relief in (*held, behind - INPUT_VA)]
    both = managed and any(
        draw.club is None and draw.converter and draw.machine in ("a", "b") for draw, _, _ in running
    )
    return (
        idle_va
        + sum(va for _, va, _ in running)
        + (starter[2] if starter is not None else 0)
        - (max(reliefs) if both else sum(reliefs))
    )


@st.composite
def loads(draw: st.DrawFn) -> tuple[Capacity, list[Draw], bool, int]:
    turns = draw(st.sampled_from([(), ("a", "b"), ("b", "c", "d")]))
    words: dict[str, dict[str, Any]] = {name: {"takes_turns": "by hand"} for name in turns}
    for name in draw(st.lists(st.sampled_from(NAMES), max_size=2, unique=True)):
        words[name] = words.get(name, {}) | {"starts_by_itself": True}
    service: dict[str, Any] = {}
    if draw(st.booleans()):
        service["at_once"] = draw(st.sampled_from([[["a"], ["b"]], [["a", "c"], ["b"], ["c", "d"]]]))
    if draw(st.booleans()) and not turns:
        service["at_most"] = [{"count": draw(st.integers(1, 3)), "of": ["b", "c", "d", "e"]}]
    rules = capacity(words, service, draw(st.sampled_from([8, 20])))
    found = []
    for name in draw(st.lists(st.sampled_from(NAMES), min_size=1, max_size=4, unique=True)):
        converter = draw(st.sampled_from([None, None, "converter"]))
        va = draw(st.integers(1, 6000))
        extra = draw(st.sampled_from([0, -(-va // 4)]))
        poles = None if converter else draw(st.sampled_from([1, 1, 2]))
        count = draw(st.sampled_from([1, 1, 1, 2, 3]))
        found.append(Draw(name, va, extra, rules.club_of(name), count, poles, converter))
    return rules, found, draw(st.booleans()), draw(st.sampled_from([0, 400]))


@settings(max_examples=examples(60), deadline=None)
@given(loads())
def test_rows_ledger_and_search_agree(situation: tuple[Capacity, list[Draw], bool, int]) -> None:
    rules, draws, managed, idle_va = situation
    idle = {"converter": idle_va} if idle_va else {}
    worst_va = rules.balance(draws, managers(rules, managed), idle, 2).worst_va
    assert worst_va == searched(rules, draws, managed, idle_va, 2)
    assert fits(rules, draws, managed, idle_va, worst_va)
    assert not fits(rules, draws, managed, idle_va, worst_va - 1)


@pytest.mark.parametrize("poles", list(combinations_with_replacement((1, 2, 3), 4)))
def test_on_three_lines(poles: tuple[int, ...]) -> None:
    """One-pole, two-pole and three-pole circuits of a 120/208 V service."""
    system = {"system": "120/208 three-phase"}
    rules = capacity({}, system, 8)
    draws = [
        Draw(name, va, va // 5, None, 1, of)
        for name, va, of in zip(NAMES, (1440, 1000, 901, 2001), poles, strict=False)
    ]
    worst_va = rules.balance(draws, [], {}, 3).worst_va
    assert worst_va == searched(rules, draws, False, 0, 3)
    assert fits(rules, draws, False, 0, worst_va)
    assert not fits(rules, draws, False, 0, worst_va - 1)
