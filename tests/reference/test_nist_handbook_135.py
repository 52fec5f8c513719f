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
from costplan.studies.paying_back import Apart, measures
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


def hvac_apart(spv12: Decimal, spv20: Decimal, upv20: Decimal) -> list[Apart]:
    """What the energy-saving design takes more, in cents; the series stands in year 1 with its printed worth."""
    (i, fan, back, power, upkeep, _), (i2, fan2, back2, power2, upkeep2, _) = HVAC.values()
    years = {year: Apart(0, 0, 0, 0) for year in range(21)}
    years[0] = Apart(100 * (i2 - i), 0, 100 * (i2 - i), 0)
    saved = (power2 - power) * UPV_STAR_ELECTRICITY_20 + (upkeep2 - upkeep) * upv20
    years[1] = Apart(0, 0, 0, round(100 * saved))
    years[12] = Apart(100 * (fan2 - fan), 0, round(100 * (fan2 - fan) * spv12), 0)
    years[20] = Apart(100 * (back - back2), 0, round(100 * (back - back2) * spv20), 0)
    return list(years.values())


def test_measures_of_the_hvac_pair() -> None:
    """Handbook 135 (1995), from memory: net savings 83,790, savings to investment 12.6, adjusted return 16.9 %.

    Replacement and residual stand with the investment: 7,000 + 351 - 111 = 7,240; 91,030 saved.
    """
    found = measures(hvac_apart(Decimal("0.701"), Decimal("0.554"), Decimal("14.88")), REAL_RATE)
    assert found.net_savings_cents == pytest.approx(83_790_00, abs=100)
    assert found.savings_to_investment is not None
    assert found.adjusted_return is not None
    assert round(found.savings_to_investment, 1) == Decimal("12.6")
    assert round(found.adjusted_return * 100, 1) == Decimal("16.9")


def test_measures_of_the_storm_windows() -> None:
    """Example 7-1: 2,000 invested, 3,600.48 saved; ratio 1.8002 and adjusted return 6.0727 % follow, not printed."""
    saved = 200 * Decimal("1.05") * Decimal("16.15") + 100 * Decimal("0.135") * Decimal("15.48")
    years = [Apart(200_000, 0, 200_000, 0), Apart(0, 0, 0, -round(100 * saved)), *[Apart(0, 0, 0, 0)] * 19]
    found = measures(years, REAL_RATE)
    assert found.net_savings_cents == pytest.approx(1600_48, abs=1)
    assert found.savings_to_investment == pytest.approx(Decimal("1.8002"), abs=Decimal("0.0001"))
    assert found.adjusted_return == pytest.approx(Decimal("0.060727"), abs=Decimal("0.000001"))


def test_measures_of_a_machine() -> None:
    """Dahlquist & Knight, Principles of Finance (OpenStax), 16.2 and 16.4: at 9 %, 16,000 brings 2,000, 4,000 and four
    times 5,000: net 2,835.62, profitability index 1.18, discounted payback 5.05 years, modified internal rate 12 %.

    The book takes the money of a year to come evenly; where all of it falls at the year's end, 5.05 is the end of year 6.
    """
    flow = [-16_000, 2_000, 4_000, 5_000, 5_000, 5_000, 5_000]
    rate = Decimal("0.09")
    worth = [round(-100 * cents * single_worth(rate, year)) for year, cents in enumerate(flow)]
    years = [Apart(16_000_00, 0, worth[0], 0)]
    years += [Apart(0, -100 * c, 0, w) for c, w in zip(flow[1:], worth[1:], strict=True)]
    found = measures(years, rate)
    assert found.net_savings_cents == pytest.approx(2835_62, abs=1)
    assert found.savings_to_investment == pytest.approx(Decimal("1.177226"), abs=Decimal("0.00001"))
    assert found.discounted_payback_years == 6
    assert found.adjusted_return == pytest.approx(Decimal("0.120048"), abs=Decimal("0.00001"))
    assert float(found.adjusted_return or 0) == pytest.approx(
        numpy_financial.mirr(flow, 0.09, 0.09), abs=1e-5
    )
    # 2,000 + 4,000 + 5,000 after three years, all 16,000 after the fourth
    assert found.payback_years == 4
