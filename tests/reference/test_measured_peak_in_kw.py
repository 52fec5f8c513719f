"""A utility's kW as amperes of a line: P / (V pf), over the root of 3 on three-phase; worked by hand before it was built.

21 kW: at 120/208 V three-phase 21000 / (1.7321 x 208) = 58.3 A at a power factor of 1, 68.6 A at 0.85; at 120/240 V
single-phase 87.5 A and 102.9 A. NFPA 70 220.87 then asks for 125 %.
"""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from small_shop import FILES, write_small_shop

from costplan.checks.checks import check_shop
from costplan.model.gear import PowerService
from costplan.model.loading import load_catalog_with_places, load_shop_with_places

BY_HAND = [
    ("120/208 three-phase", "1", "58.3"),
    ("120/208 three-phase", "0.85", "68.6"),
    ("120/240 single-phase", "1", "87.5"),
    ("120/240 single-phase", "0.85", "102.9"),
]


@pytest.mark.parametrize(("system", "power_factor", "amps"), BY_HAND)
def test_kilowatts_as_amperes_of_a_line(system: str, power_factor: str, amps: str) -> None:
    measured = {"kw": "21 kW", "power_factor": power_factor, "seen": date(2026, 8, 31), "days": 365}
    service = PowerService.model_validate({"system": system, "amps": 150, "measured_peak": measured})
    assert service.peak_a is not None
    assert f"{service.peak_a:.1f}" == amps


def told(folder: Path, peak: str) -> list[tuple[str, str, str]]:
    """What is wrong with a measured peak, on 120/208 V three-phase of 80 A."""
    service = f"service:\n  system: 120/208 three-phase\n  amps: 80 A\n  measured_peak: {{{peak}, seen: 2025-05-31}}\n"
    path = write_small_shop(folder, {"garage.yaml": FILES["garage.yaml"] + service})
    shop, catalog = load_shop_with_places(path), load_catalog_with_places(folder / "catalog")
    found = [*shop.problems, *(check_shop(shop, catalog) if not shop.problems else ())]
    peaks = [problem for problem in found if "peak" in problem.code and problem.severity == "error"]
    return [(problem.code, problem.message, problem.mend) for problem in peaks]


def test_kilowatts_without_a_power_factor_are_refused_with_the_figures_of_the_system(tmp_path: Path) -> None:
    """58.3 A and 68.6 A by hand: nobody knows which, so neither is taken."""
    ((code, message, mend),) = told(tmp_path, "kw: 21 kW")
    assert code == "peak-power-factor"
    assert "58.3 A a line at a power factor of 1, 68.6 A at 0.85" in message
    assert "power_factor: 1" in mend


@pytest.mark.parametrize(
    ("peak", "codes"),
    [
        ("kw: 21, power_factor: 90 %", []),
        ("kw: 28, power_factor: 0.9", ["peak-above-service"]),  # 86.4 A
        ("amps: 58, power_factor: 0.9", ["peak-power-factor"]),
        ("amps: 58, kw: 21", ["service-measured-peak"]),
        ("days: 30", ["service-measured-peak"]),
        ("kw: 21 hp, power_factor: 1", ["measured-peak-kw"]),
    ],
)
def test_what_is_refused_of_a_measured_peak(peak: str, codes: list[str], tmp_path: Path) -> None:
    assert [code for code, _, _ in told(tmp_path, peak)] == codes


def test_the_figures_of_kilowatts_are_exact() -> None:
    """1.2 kW at 240 V and a power factor of 1 are 5 A."""
    measured = {"kw": "1.2", "power_factor": 1, "seen": date(2026, 8, 31)}
    service = PowerService.model_validate({"amps": 100, "measured_peak": measured})
    assert service.peak_a == Decimal(5)
