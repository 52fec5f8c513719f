"""Cash today against later: four plans worked by hand, no source (names of the measures from NIST Handbook 135); invented.

8 years, 4 %. A: today 1,900.00, 340.00 of moves in years 1 to 7. B: 2,500.00, 90.00 a year, 150.00 in year 5, 200.00 back at
the end. C: 2,900.00, 110.00 a year, 100.00 back. D: 2,060.00, 268.00 a year.
"""

from dataclasses import replace
from decimal import Decimal

import pytest
from strategies import SAW, make_catalog, make_shop, ranked

from costplan.circuits.facts import Facts
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.model.money import to_cents
from costplan.program.ranked import Ranked
from costplan.studies.outlays import Efficient, not_beaten_later
from costplan.studies.paying_back import Named
from costplan.years.stream import Cause

FACTS = Facts(make_shop([SAW], years=8, money={"discount_rate": "4 %"}), make_catalog())
PLAIN = ranked(make_shop([SAW]), make_catalog())[0]


def line(year: int, dollars: int, cause: Cause = Cause.RUN) -> Line:
    worth = to_cents(Decimal(dollars) * 100 / Decimal("1.04") ** year)
    kind, pocket = (LineKind.PART, Pocket.CASH) if dollars > 0 else (LineKind.RESALE, Pocket.COMES_BACK)
    return Line(year, "", kind, pocket, "sum", "", dollars * 100, worth, "", cause=cause)


def plan(today: int, yearly: int, renewed: int = 0, back: int = 0) -> Ranked:
    lines = [line(0, today), *(line(year, yearly) for year in range(1, 8))]
    lines += [line(5, renewed, Cause.WORN)] * bool(renewed) + [line(8, -back)] * bool(back)
    return replace(PLAIN, lines=tuple(lines))


PLANS = {
    "A": plan(1900, 340),
    "B": plan(2500, 90, 150, 200),
    "C": plan(2900, 110, 0, 100),
    "D": plan(2060, 268),
}


def found(*names: str) -> dict[str, Efficient]:
    known = [Named((name,), PLANS[name]) for name in names]
    return {entry.names[0]: entry for entry in not_beaten_later(FACTS, known, ())}


def told(entry: Efficient) -> tuple[float, ...]:
    step = entry.measures
    assert step is not None
    assert step.savings_to_investment is not None
    assert step.adjusted_return is not None
    assert entry.saved_each is not None
    return (
        step.net_savings_cents / 100,
        round(float(step.savings_to_investment), 3),
        round(float(step.adjusted_return) * 100, 2),
        round(float(entry.saved_each), 2),
    )


def test_plans_worth_looking_at_and_what_each_step_saves() -> None:
    kept = found("A", "B", "C", "D")
    # C takes more than B today and later
    assert list(kept) == ["A", "D", "B"]
    assert [entry.later_cents for entry in kept.values()] == pytest.approx([204070, 160855, 51733], abs=2)
    assert [entry.plan.present_value_cents for entry in kept.values()] == pytest.approx(
        [394070, 366855, 301733], abs=2
    )
    assert told(kept["D"]) == pytest.approx((272.15, 2.701, 17.75, 2.70), abs=0.02)
    # 440.00 today, new ends in year 5 worth 123.29, 146.14 back: 417.15 for savings of 1,068.37
    assert told(kept["B"]) == pytest.approx((651.22, 2.561, 16.97, 2.48), abs=0.02)


def test_steps_add_up() -> None:
    kept = found("A", "B", "C")
    assert list(kept) == ["A", "B"]
    assert told(kept["B"]) == pytest.approx((923.37, 2.600, 17.19, 2.54), abs=0.02)
    # C is better than A alone, so that it stays where nobody knows of B
    assert told(found("A", "C")["C"]) == pytest.approx((453.55, 1.489, 9.31, 1.45), abs=0.02)


def test_a_dearer_plan_stays_where_less_comes_later() -> None:
    # 3,100.00 today and about 400.00 later is 3,500.00 in all, more than B: for a shop with a grant now
    grant = replace(
        PLAIN, lines=(line(0, 3100), Line(1, "", LineKind.PART, Pocket.CASH, "", "", 41600, 40000, ""))
    )
    known = [Named(("B",), PLANS["B"]), Named(("grant",), grant)]
    entries = not_beaten_later(FACTS, known, ())
    assert [entry.names[0] for entry in entries] == ["B", "grant"]
    assert entries[1].measures is not None
    assert entries[1].measures.net_savings_cents < 0
