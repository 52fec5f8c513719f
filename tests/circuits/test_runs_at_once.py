"""What runs at once is asked where all machines together come near to a rating. Shops are invented."""

from pathlib import Path

import pytest
from small_shop import FILES, write_small_shop

from costplan.circuits.facts import Facts
from costplan.circuits.runs_at_once import asked_what_runs_at_once
from costplan.model.checks import pair_of
from costplan.model.loading import load_catalog_with_places, load_shop_with_places

SAW = "    volts: 240\n    hp: 3\n    plug: NEMA 6-20\n"


def asked(folder: Path, service: str, oven: str = "") -> list[str]:
    """What is asked of a shop with a 30 A oven and a 20 A heater beside it."""
    more = (
        f"  - {{name: oven, at: bench, volts: 240, amps: 30, load: heater{oven}}}\n"
        f"  - {{name: heater, at: bench, volts: 240, amps: 20, load: heater{oven}}}\n"
    )
    text = FILES["garage.yaml"].replace("machines:\n", f"{service}machines:\n{more}")
    path = write_small_shop(folder, {"garage.yaml": text})
    shop, catalog = load_shop_with_places(path), load_catalog_with_places(folder / "catalog")
    pair = pair_of(shop, catalog)
    assert pair is not None, shop.problems
    return [problem.message for problem in asked_what_runs_at_once(pair, Facts(pair.shop, pair.catalog))]


@pytest.mark.parametrize(
    ("service", "oven", "found"),
    [
        ("", "", False),
        ("service: {amps: 100 A, other_load: 30 A}\n", "", True),
        ("service: {amps: 400 A, other_load: 30 A}\n", "", False),
        ("service: {amps: 100 A, other_load: 30 A, at_once: [[oven], [heater]]}\n", "", False),
        ("service: {amps: 100 A, other_load: 30 A, at_most: [{count: 1, of: [oven, heater]}]}\n", "", False),
    ],
)
def test_it_is_asked_near_to_a_rating_and_where_nothing_is_said(
    service: str, oven: str, found: bool, tmp_path: Path
) -> None:
    """30 A and 20 A of heat and the shop's motors on the 70 A that a 100 A service has left."""
    assert bool(asked(tmp_path, service, oven)) is found


def test_what_runs_for_hours_counts_at_125_percent(tmp_path: Path) -> None:
    """30 A and 20 A of heat are 62.5 A (NFPA 70 230.42(A)(1)), 3 hp at 240 V 17 A (Table 430.248), 12.8 A at 120 V half of it.

    62.5 + 17 + 6.4 = 85.9 A; heaters that are not continuous 50 A, 73.4 A in all.
    """
    service = "service: {amps: 100 A, other_load: 30 A}\n"
    assert "count for 85.9 A all at once" in asked(tmp_path, service)[0]
    assert "count for 73.4 A all at once" in asked(tmp_path, service, ", continuous: false")[0]
