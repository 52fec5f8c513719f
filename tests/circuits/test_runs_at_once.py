"""What runs at once is asked where all machines together come near to a rating. Shops are invented."""

from pathlib import Path

import pytest
from small_shop import FILES, write_small_shop

from costplan.checks.checks import pair_of
from costplan.circuits.facts import Facts
from costplan.circuits.runs_at_once import asked_what_runs_at_once, most_at_once, passed_at_once
from costplan.files.shipped import shipped
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
        ("service: {amps: 110 A, other_load: 30 A, at_once: [[oven], [heater]]}\n", "", False),
        ("service: {amps: 110 A, other_load: 30 A, at_most: [{count: 1, of: [oven, heater]}]}\n", "", False),
        # 37.5 A of the oven, 21.25 A and 12.8 A of motors are 71.6 A of 70 A: no plan, whatever else is said.
        ("service: {amps: 100 A, other_load: 30 A, at_once: [[oven], [heater]]}\n", "", True),
    ],
)
def test_it_is_asked_near_to_a_rating_and_where_nothing_is_said(
    service: str, oven: str, found: bool, tmp_path: Path
) -> None:
    """30 A and 20 A of heat and the shop's motors on the 70 A that a 100 A service has left."""
    assert bool(asked(tmp_path, service, oven)) is found


def test_what_runs_for_hours_counts_at_125_percent(tmp_path: Path) -> None:
    """30 A and 20 A of heat are 62.5 A (NFPA 70 230.42(A)(1)), 3 hp at 240 V 17 A (Table 430.248) and a quarter (430.24),

    12.8 A at 120 V are on one line, which carries 62.5 + 21.25 + 12.8 = 96.55 A; heaters not continuous 50 A, 84.05 A.
    """
    service = "service: {amps: 100 A, other_load: 30 A}\n"
    assert "count for 96.6 A all at once" in asked(tmp_path, service)[0]
    assert "count for 84.0 A all at once" in asked(tmp_path, service, ", continuous: false")[0]


MIX = """
shop: Mix (invented)
catalog: demo
today: 2026-11-26
years: 5
code: {edition: 2020, occupancy: dwelling garage}
service: {amps: 100 A, measured_peak: {amps: 20 A, seen: 2026-08-31, days: 365}}
panels:
  - {name: main, system: 120/240 single-phase, breakers: family A, spaces_free: 16, rating: 100 A, place: bench}
places: [{name: bench, at: [0, 0]}]
machines:
  - {name: compressor, at: bench, volts: 230, hp: 5}
  - {name: saw, at: bench, volts: 240, hp: 3}
  - {name: welder, at: bench, volts: 240, amps: 36, load: welder, in_measured_peak: true}
  - {name: kiln, at: bench, volts: 240, amps: 27, load: heater}
  - {name: grinder, at: bench, volts: 115/230, amps: 15/7.5, hp: 1.5, plug: NEMA 5-15}
  - {name: lathe, at: bench, volts: 208-230/460, amps: 9.6-9/4.5, phases: 3, hp: 3}
"""


def test_all_at_once_is_summed_as_a_plan_sums_it(tmp_path: Path) -> None:
    """5 hp 28 A and a quarter (NFPA 70 430.24), 3 hp 17 A (Table 430.248), 27 A of heat 33.75 A, the grinder's 15 A on one
    line, the input of the demo's drive of 3 hp, 21 A: 121.75 A. The welder was measured, and is on the panel: 157.75 A.
    """
    path = tmp_path / "shop.yaml"
    path.write_text(MIX, encoding="utf-8")
    pair = pair_of(load_shop_with_places(path), load_catalog_with_places(shipped("catalogs") / "demo"))
    assert pair is not None
    found = [p.message for p in asked_what_runs_at_once(pair, Facts(pair.shop, pair.catalog))]
    assert "the 5 machines that hang on it count for 121.8 A" in found[0]
    assert "the 6 machines that hang on it count for 157.8 A" in found[1]


def test_a_load_above_its_rating_is_asked_about_as_that(tmp_path: Path) -> None:
    """156 A beside the machines on a service of 20 A: nothing about turns, which could not mend it."""
    (said,) = asked(tmp_path, "service: {amps: 20 A, other_load: 156 A}\n")
    assert said.startswith("comes to 156.0 A, more than the 20 A that the service is rated")


TURNERS = """
shop: Turners (invented)
catalog: demo
today: 2026-11-26
years: 5
code: {occupancy: school}
service: {amps: 60 A, other_load: 0 A}
panels: [{name: main, system: 120/240 single-phase, breakers: family A, spaces_free: 40}]
machines:
  - {name: saw, route: {panel: main, fixed: 30 ft, cord: 30 ft}, volts: 240, amps: 12, load: other}
  - {name: lathe, count: 12, route: {panel: main, fixed: 30 ft, cord: 30 ft}, volts: 240, amps: 12, load: other}
scenarios: [{name: m, weight: 100 %, events: [{every: 1, machine: lathe, how_many: 7, new_spot: true}]}]
"""


def test_a_group_of_which_some_move_is_counted_whole_and_what_fits_is_told(tmp_path: Path) -> None:
    """By hand: 13 loads of 12 A on both lines are 156 A; of 60 A five are no more (60 / 12)."""
    path = tmp_path / "turners.yaml"
    path.write_text(TURNERS, encoding="utf-8")
    shop, catalog = load_shop_with_places(path), load_catalog_with_places(shipped("catalogs") / "demo")
    pair = pair_of(shop, catalog)
    assert pair is not None
    facts = Facts(pair.shop, pair.catalog)
    assert len(facts.machines) == 3, "the group is divided into those that move and those that stay"
    found = [(passed.name, passed.together_a, passed.left_a) for passed in passed_at_once(pair, facts)]
    assert found == [("service", 156, 60)]
    assert most_at_once(pair, facts) == 5
    assert "156.0 A all at once" in next(iter(asked_what_runs_at_once(pair, facts))).message
