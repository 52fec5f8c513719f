"""Every visit of the hired crew is paid up to its least charge, whatever its year. Common practice, no source; by hand."""

from decimal import Decimal
from fractions import Fraction
from itertools import product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import DRILL, LATHE, SAW, make_catalog, make_shop, move, ranked, scenario

from costplan.circuits.facts import Facts
from costplan.ledger.crews import hirings
from costplan.ledger.lines import Line, LineKind
from costplan.ledger.pricing import Pricer
from costplan.model.choices import SurplusRule
from costplan.model.money import TooLargeError
from costplan.program.program import Program
from costplan.program.ranked import Ranked
from costplan.program.visit_rows import VisitRows
from costplan.sourcing.market import Market
from costplan.years.discounting import SMALL, single_worth, small_fraction

Row = dict[str, Any]
OWNER: Row = {"name": "owner", "role": "owner", "rate": 20, "pace": 1}
HIRED: Row = {"name": "electrician", "role": "electrician", "rate": 100, "minimum": 150}
WAY: Row = {"name": "bus", "method": "cord", "put_in": {"hours": 2}, "move": {"hours": "0.4"}}
"""Putting in is 200.00 today, above the least charge of 150.00, moving 40.00 in today's money, below it."""
MONEY: Row = {"discount_rate": "4 %", "growth": {"labor": "3 %"}}


def moved(*events: Row, way: Row = WAY, hired: Row = HIRED, **more: Any) -> Ranked:
    machines = more.pop("machines", (SAW, LATHE | {"at": "bench B"}, DRILL))
    shop = make_shop(
        list(machines),
        **{"scenarios": [scenario(*events)], "years": 6, "quoted_ways": [way], "money": MONEY} | more,
    )
    (found,) = ranked(shop, make_catalog(crews=[OWNER, hired]))
    return found


def shorts(found: Ranked) -> list[Line]:
    return [line for line in found.lines if line.kind is LineKind.MINIMUM]


def paid(found: Ranked) -> list[tuple[int, int, int]]:
    return [(line.year, line.amount_cents, line.present_value_cents) for line in shorts(found)]


def test_a_later_visit_below_the_minimum_is_paid_up_to_it_in_its_years_money() -> None:
    """Year 2: 150.00 x 1.0609 = 159.135, 159.14; 40.00 x 1.0609 = 42.44; short 116.70, over 1.0816: 107.90."""
    found = moved(move(2, "saw", "bench C"))
    assert paid(found) == [(2, 11670, 10790)]
    (line,) = shorts(found)
    assert (line.what, line.trace) == ("short of the minimum, electrician", "labor.yaml crew minimum")
    free = moved(move(2, "saw", "bench C"), hired=HIRED | {"minimum": 0})
    assert found.present_value_cents - free.present_value_cents == 10790
    assert found.outlay_cents == free.outlay_cents


def test_moves_of_one_year_share_a_visit_and_what_it_is_short_of() -> None:
    """Year 2, both move: 159.14 less 2 x 42.44 = 74.26, over 1.0816: 68.66. In years 2 and 3 each visit is short.

    Year 3: 150.00 x 1.092727 = 163.91, less 40.00 x 1.092727 = 43.71: 120.20, over 1.124864: 106.86.
    """
    together = moved(move(2, "saw", "bench C"), move(2, "lathe", "bench E"))
    assert paid(together) == [(2, 7426, 6866)]
    apart = moved(move(2, "saw", "bench C"), move(3, "lathe", "bench E"))
    assert paid(apart) == [(2, 11670, 10790), (3, 12020, 10686)]


def test_a_visit_at_the_minimum_or_above_is_short_of_nothing() -> None:
    """1.5 hours are the minimum itself, 1.49 hours 149.00: 159.14 less 158.07 = 1.07, over 1.0816: 0.99."""
    for hours, short in (("2", []), ("1.5", []), ("1.49", [(2, 107, 99)])):
        assert paid(moved(move(2, "saw", "bench C"), way=WAY | {"move": {"hours": hours}})) == short


def test_set_up_and_what_a_visit_has_once_count_as_labor_and_a_call_out_does_not() -> None:
    """0.5 h of set-up, 50.00 x 1.0609 = 53.04 (53.045 to even): 116.70 less 53.04 = 63.66, over 1.0816: 58.86."""
    hired = HIRED | {"set_up": "0.5", "call_out": 500}
    assert paid(moved(move(2, "saw", "bench C"), hired=hired)) == [(2, 6366, 5886)]


def test_a_scenario_weighs_what_its_visit_is_short_of() -> None:
    """As before, 116.70 / 1.0816, in a quarter of all futures: 26.97 (26.974)."""
    both = [
        scenario(move(2, "saw", "bench C"), name="moves", weight="0.25"),
        scenario(name="stays", weight="0.75"),
    ]
    found = moved(scenarios=both)
    assert paid(found) == [(2, 11670, 2697)]
    assert shorts(found)[0].scenario == "moves"


def test_each_move_with_a_visit_of_its_own_is_paid_up() -> None:
    """Saw and lathe move in year 2, a visit each: twice 107.90; of three saws in one move three times 116.70."""
    events = (move(2, "saw", "bench C"), move(2, "lathe", "bench E"))
    assert paid(moved(*events, hired_visits="each move")) == [(2, 11670, 10790)] * 2
    alike = moved(move(2, "saw", "bench C"), machines=(SAW | {"count": 3},), hired_visits="each move")
    assert [line[:2] for line in paid(alike)] == [(2, 3 * 11670)]


def test_work_of_the_owner_is_paid_up_to_nothing() -> None:
    found = moved(move(2, "saw", "bench C"), way=WAY | {"move": {"own_hours": 1}})
    assert paid(found) == []


def test_a_move_that_the_least_charge_makes_dear_is_left_out() -> None:
    """The bus asks for a small visit at each of four moves, 110.00 more each; the other way, 300.00 more today, for none."""
    events = [move(year, "saw", at) for year, at in ((1, "bench C"), (2, "bench A"), (3, "bench C"))]
    other = {"name": "rail", "method": "cord", "put_in": {"hours": 5}, "move": {"own_hours": 0}}
    for minimum, name in ((0, "bus"), (150, "rail")):
        found = moved(*events, machines=(SAW,), quoted_ways=[WAY, other], hired=HIRED | {"minimum": minimum})
        assert [way.quoted for _, way, _ in found.plan.shares()] == [name]


def test_a_least_charge_that_no_row_can_hold_is_told_to_be_too_large() -> None:
    with pytest.raises(TooLargeError):
        moved(
            move(5, "saw", "bench C"),
            hired=HIRED | {"minimum": 10**11},
            money={"discount_rate": "3.37 %", "growth": {"labor": "7 %"}},
        )


# the worth of an amount in rows of whole numbers ---------------------------------------------------------


def least_cost(worth: Fraction, most: int, amount: int) -> int:
    """The least cost at which the rows let an amount be, all values of their variables tried."""
    program = Program()
    facts = Facts(make_shop([SAW]), make_catalog(crews=[OWNER, HIRED]))
    pricer = Pricer(facts, Market(facts, SurplusRule.ALLOWED), hirings(facts)[0])
    rows = VisitRows(program, pricer, lambda causes: [(list(causes), 1)], {})
    rows._rounded("it", program.variable("it", most), worth)
    others = [range(variable.low, variable.high + 1) for variable in program.variables[1:]]
    tried = ([amount, *values] for values in product(*others))
    return min(program.value(values) for values in tried if not program.broken(values))


@given(
    st.fractions(min_value=0, max_value=2, max_denominator=60)
    | st.builds(
        lambda rate, year, weight: small_fraction(
            single_worth(Decimal(rate) / 100, year) * Decimal(weight) / 100
        ),
        st.integers(-3, 15),
        st.integers(1, 30),
        st.integers(1, 100),
    ),
    st.data(),
)
def test_the_rows_round_half_to_even(worth: Fraction, data: st.DataObject) -> None:
    """Fraction's own rounding is half to even (Python's documentation)."""
    amount = data.draw(st.integers(0, 80))
    assert least_cost(worth, 80, amount) == round(amount * worth)


@pytest.mark.parametrize(("rate", "year", "amount"), [("0.04", 1, 13), ("0.04", 1, 39), ("0.04", 2, 338)])
def test_halves_of_usual_rates_go_to_even(rate: str, year: int, amount: int) -> None:
    """At 4 % 13 cents of year 1 are worth 12.5, 39 are 37.5, and 338 of year 2 are 312.5: 12, 38, 312."""
    worth = small_fraction(single_worth(Decimal(rate), year))
    assert amount * worth % 1 == Fraction(1, 2)
    assert least_cost(worth, 400, amount) == round(amount * worth) == {13: 12, 39: 38, 338: 312}[amount]


@given(st.integers(1, 1500), st.integers(1, 30), st.integers(1, 1000), st.integers(0, 500_000))
def test_small_fractions_round_as_lines_do(rate: int, year: int, weight: int, amount: int) -> None:
    """Beside the exact fraction: the same to the cent wherever that is not within a millionth of the amount of a half."""
    exact = Fraction(weight, 1000) / (1 + Fraction(rate, 10_000)) ** year
    small = small_fraction(single_worth(Decimal(rate) / 10_000, year) * Decimal(weight) / 1000)
    assert small.denominator <= SMALL
    assert exact.denominator > SMALL or small == exact
    from_a_half = abs(amount * exact % 1 - Fraction(1, 2))
    if small == exact or from_a_half > Fraction(amount, SMALL):
        assert round(amount * small) == round(amount * exact)
    if not from_a_half:
        assert small == exact
