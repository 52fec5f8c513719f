"""The break-even of a fixed against a variable cost, by a published example.

Source: Franklin, Graybeal and Cooper, Principles of Accounting, Volume 2: Managerial Accounting, OpenStax 2019
(CC BY-NC-SA 4.0), section 3.2: a maker of bird baths sells one at 100, spends 20 on it and 18,000 a month
besides; it breaks even at 225 units, where sales and total cost are both 22,500. The figures are from memory.
"""

from decimal import Decimal

import pytest

from costplan.model.labor import Crew
from costplan.studies.break_even import break_even_hours

SALES_PRICE, VARIABLE_COST, FIXED_COST = Decimal(100), Decimal(20), Decimal(18_000)
UNITS, SALES = Decimal(225), Decimal(22_500)


def crew(rate: Decimal, **more: object) -> Crew:
    return Crew.model_validate({"name": "crew", "role": "electrician", "rate": rate, **more})


def test_fixed_cost_over_contribution() -> None:
    # what each unit contributes against the fixed cost is an hourly rate against a fixed price
    hours, least_cents = break_even_hours(FIXED_COST * 100, crew(SALES_PRICE - VARIABLE_COST))
    assert (hours, least_cents) == (UNITS, 0)


def test_total_cost_reaches_the_sales_of_the_break_even() -> None:
    # fixed cost + variable cost x units = sales: call-out + rate x hours = price
    hours, least_cents = break_even_hours(SALES * 100, crew(VARIABLE_COST, call_out=FIXED_COST))
    assert (hours, least_cents) == (UNITS, FIXED_COST * 100)


@pytest.mark.parametrize("target", [0, 16_000, 40_000])
def test_a_target_above_the_fixed_cost(target: int) -> None:
    # section 3.2 goes on to a target: (fixed cost + target) / contribution
    hours, _ = break_even_hours((FIXED_COST + target) * 100, crew(SALES_PRICE - VARIABLE_COST))
    assert hours == (FIXED_COST + target) / (SALES_PRICE - VARIABLE_COST)
