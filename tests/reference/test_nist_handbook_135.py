"""NIST Handbook 135, Life Cycle Costing Manual: factors, Example 7-1 of 2025, and the HVAC pair of 1995.

Figures of the 1995 edition and of the annual supplement are from memory; every recalled line of the HVAC
example foots to the recalled totals.
"""

import csv
from decimal import Decimal
from pathlib import Path

import numpy_financial
import pytest
from worths import series_worth

from costplan.model.money import growth_factor
from costplan.years.discounting import single_worth

ROWS = list(csv.DictReader((Path(__file__).parent / "data" / "printed_factors.csv").open(newline="")))
FACTORS = {
    "SPV": single_worth,
    "UPV": series_worth,
    "UCR": lambda rate, years: 1 / series_worth(rate, years),
}
REAL_RATE = Decimal("0.03")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['factor']} {row['rate']} {row['years']}")
def test_printed_factors(row: dict[str, str]) -> None:
    """Source and status stand on every row of printed_factors.csv."""
    value = FACTORS[row["factor"]](Decimal(row["rate"]), int(row["years"]))
    assert round(value, int(row["decimals"])) == Decimal(row["printed"])


def test_example_7_1_storm_windows() -> None:
    """Handbook 135e2025, section 7.1.1, Example 7-1: energy at printed UPV* factors; net savings 1,600."""
    upv_gas, upv_electricity = Decimal("16.15"), Decimal("15.48")

    def energy(therms: int, kwh: int) -> Decimal:
        return therms * Decimal("1.05") * upv_gas + kwh * Decimal("0.135") * upv_electricity

    base, alternative = energy(1500, 1200), 2000 + energy(1300, 1100)
    assert base == pytest.approx(Decimal(27944), abs=Decimal("1"))
    assert alternative == pytest.approx(Decimal(26344), abs=Decimal("1"))
    assert base - alternative == pytest.approx(Decimal(1600), abs=Decimal("1"))


HVAC = {
    "conventional": (103_000, 12_000, 3_500, 20_000, 7_000, 516_233),
    "energy-saving": (110_000, 12_500, 3_700, 13_000, 8_000, 432_443),
}
"""Initial, replacement in year 12, residual in year 20, electricity and upkeep a year; printed total.

From memory. The printed total of the second takes electricity at 162,500 kWh and 8 cents, 13,000 a year.
"""
UPV_STAR_ELECTRICITY_20 = Decimal("15.13")
"""From memory."""


@pytest.mark.parametrize("name", HVAC)
def test_hvac_pair(name: str) -> None:
    """Handbook 135 (1995): printed totals use rounded SPV and UPV; exact ones give 12 to 15 less."""
    initial, fan, residual, electricity, upkeep, printed = HVAC[name]

    def cost(spv12: Decimal, spv20: Decimal, upv20: Decimal) -> Decimal:
        return (
            initial + fan * spv12 - residual * spv20 + electricity * UPV_STAR_ELECTRICITY_20 + upkeep * upv20
        )

    spv12, spv20, upv20 = (
        single_worth(REAL_RATE, 12),
        single_worth(REAL_RATE, 20),
        series_worth(REAL_RATE, 20),
    )
    assert cost(round(spv12, 3), round(spv20, 3), round(upv20, 2)) == pytest.approx(
        Decimal(printed), abs=Decimal("1")
    )
    assert 10 < printed - cost(spv12, spv20, upv20) < 16


def test_the_upv_star_of_a_growing_price() -> None:
    """Computed here from the definition UPV* = sum of ((1 + e) / (1 + d)) ** t."""
    growing = [
        growth_factor(Decimal("0.02"), year) * single_worth(Decimal("0.05"), year) for year in range(1, 11)
    ]
    assert sum(growing) == pytest.approx(Decimal("8.555868"), abs=Decimal("1e-6"))


def test_the_sixth_payment_of_a_growing_series() -> None:
    """Kalogirou, Solar Energy Engineering, after eq. 12.14: 1000 first, 5 % growth, 9 % discount: 761."""
    first_in_todays_prices = 1000 / Decimal("1.05")
    sixth = first_in_todays_prices * growth_factor(Decimal("0.05"), 6)
    assert sixth * single_worth(Decimal("0.09"), 6) == pytest.approx(Decimal(761), abs=Decimal("0.5"))


def test_five_yearly_amounts() -> None:
    """Meckler & Hyman (eds.), Sustainable On-Site CHP Systems, Table 9-2, p. 146: 43,294.77.

    The table itself misprints year 4 as 8,277.02; the equation below it has 8,227.02 and the right sum.
    """
    yearly = [10_000 * single_worth(Decimal("0.05"), year) for year in range(1, 6)]
    assert yearly == pytest.approx(
        [Decimal("9523.81"), Decimal("9070.29"), Decimal("8638.38"), Decimal("8227.02"), Decimal("7835.26")],
        abs=Decimal("0.01"),
    )
    assert 10_000 * series_worth(Decimal("0.05"), 5) == pytest.approx(
        Decimal("43294.77"), abs=Decimal("0.01")
    )


@pytest.mark.parametrize("rate", ["0", "0.03", "0.15"])
def test_the_general_library_agrees(rate: str) -> None:
    """numpy_financial.npv takes its first amount at year 0, undiscounted, as here."""
    amounts = [-16000, 2000, 4000, 5000, 5000, 5000, 5000, -750]
    ours = sum(amount * single_worth(Decimal(rate), year) for year, amount in enumerate(amounts))
    assert float(ours) == pytest.approx(numpy_financial.npv(float(rate), amounts), abs=1e-6)
