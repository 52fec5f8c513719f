"""Dahlquist & Knight, Principles of Finance, OpenStax (CC BY 4.0), sections 16.2, 16.4 and 16.5."""

from decimal import Decimal
from itertools import accumulate

import numpy_financial
import pytest
from worths import series_worth

from costplan.years.discounting import single_worth

MACHINE = (-16000, 2000, 4000, 5000, 5000, 5000, 5000)
"""Section 16.2: the Regular Machine, at 9 %."""
DISCOUNTED = ("-16000", "1834.86", "3366.72", "3860.92", "3542.13", "3249.66", "2981.34")


def discounted() -> list[Decimal]:
    return [amount * single_worth(Decimal("0.09"), year) for year, amount in enumerate(MACHINE)]


def test_every_discounted_year() -> None:
    assert [round(value, 2) for value in discounted()] == [Decimal(value) for value in DISCOUNTED]


def test_net_present_value() -> None:
    """Printed 2,835.63 in one place and 2,835.62 in another; 2,835.6194 exactly."""
    assert sum(discounted()) == pytest.approx(Decimal("2835.62"), abs=Decimal("0.011"))
    assert float(sum(discounted())) == pytest.approx(numpy_financial.npv(0.09, MACHINE), abs=1e-6)


def test_discounted_payback() -> None:
    """Section 16.4: 5 + 145.72 / 2,981.34 = 5.05 years."""
    so_far = list(accumulate(discounted()))
    last = max(year for year, total in enumerate(so_far) if total < 0)
    payback = last - so_far[last] / discounted()[last + 1]
    assert so_far[last] == pytest.approx(Decimal("-145.72"), abs=Decimal("0.011"))
    assert payback == pytest.approx(Decimal("5.05"), abs=Decimal("0.005"))


def test_profitability_index() -> None:
    assert sum(discounted()[1:]) / 16000 == pytest.approx(Decimal("1.18"), abs=Decimal("0.005"))


def test_trucks_of_unequal_lives() -> None:
    """Section 16.5, 10 %: by themselves the newer truck looks better, over equal lives the older one wins."""
    rate = Decimal("0.10")
    older = 40_000 * series_worth(rate, 3) - 50_000
    newer = 30_000 * series_worth(rate, 6) - 50_000
    twice = older + older * single_worth(rate, 3)
    assert older == pytest.approx(Decimal(49_474), abs=Decimal("0.51"))
    assert newer == pytest.approx(Decimal(80_658), abs=Decimal("0.51"))
    assert twice == pytest.approx(Decimal("86644.69"), abs=Decimal("0.51"))
    assert older < newer < twice
    assert older / series_worth(rate, 3) == pytest.approx(Decimal(19_894), abs=Decimal("0.51"))
    assert newer / series_worth(rate, 6) == pytest.approx(Decimal(18_520), abs=Decimal("0.51"))
