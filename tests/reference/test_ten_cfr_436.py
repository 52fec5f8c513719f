"""10 CFR 436, subpart A: costs that start later, and when an alternative is accepted."""

from decimal import Decimal

import pytest
from worths import series_worth

from costplan.years.discounting import single_worth

RATE = Decimal("0.03")


def test_recurring_costs_that_start_late() -> None:
    """10 CFR 436.16(c), 436.17(b): all years' factor less the years' before. Figure computed here."""
    late = 100 * (series_worth(RATE, 10) - series_worth(RATE, 3))
    assert late == pytest.approx(Decimal("570.159148"), abs=Decimal("1e-6"))
    assert late == pytest.approx(
        sum(100 * single_worth(RATE, year) for year in range(4, 11)), abs=Decimal("1e-12")
    )


def test_no_delay_is_the_whole_series() -> None:
    assert series_worth(RATE, 0) == 0
    assert series_worth(RATE, 10) - series_worth(RATE, 0) == series_worth(RATE, 10)


@pytest.mark.parametrize(("saving", "accepted"), [(100, False), (140, True)])
def test_lower_cost_and_savings_above_the_investment_say_the_same(saving: int, accepted: bool) -> None:
    """10 CFR 436.18(c): lower life-cycle cost, positive net savings and a ratio above 1 are equivalent."""
    investment, worth = Decimal(1000), saving * series_worth(RATE, 9)
    assert (investment - worth < 0) == accepted
    assert (worth / investment > 1) == accepted
