"""How far the total moves with one figure of the catalog, against sums done by hand on the tiny example."""

from pathlib import Path

from shipped_shops import tiny

from costplan.circuits.facts import Facts
from costplan.files.shipped import shipped
from costplan.ledger.usable_parts import main_supplier, of_one_supplier, usable_parts
from costplan.model.labor import Role
from costplan.model.loading import load_catalog_with_places, load_shop_with_places
from costplan.program.bench import Bench
from costplan.program.ranking import best_plans
from costplan.reports.figures_text import figures_text
from costplan.studies.swing import swings


def test_a_quarter_of_each_figure_of_the_tiny_example() -> None:
    """By hand, README "The small example by hand": six hours of an electrician at 100, so 600, a quarter of it 150. The
    cord: 60 today and 80 in year 2, of which half comes back, 70 left: 17.50. Each task of 2 h in all at 100: 50."""
    facts = tiny()
    best = best_plans(Bench.over(facts, facts.shop.money.surplus), 1)[0]
    assert best.present_value_cents == 80500
    found = {figure.what: figure.swing_cents for figure in swings(facts, best, frozenset())}
    crew = best.plan.hiring.crew.name
    assert found[f"what {crew} charges an hour"] == 15000
    assert found["hours to set the box and the outlet"] == 5000
    assert found["hours to run the cable"] == 2500
    assert found["price of flexible cord SOOW 12/3"] == 1750
    moved = list(found.values())
    assert moved == sorted(moved, reverse=True)

    known = swings(facts, best, frozenset({Role.ELECTRICIAN}))
    assert [figure.what for figure in known] == [
        what for what in found if what != f"what {crew} charges an hour"
    ]
    said = figures_text(facts, best, frozenset({Role.ELECTRICIAN}))
    assert said.count("labor.yaml, task") == 2 + 1
    assert all(len(line) <= 80 for line in said.splitlines())


SAW = """\
shop: One saw (invented)
invented: true
today: 2026-11-02
years: 3
code: {edition: 2020, occupancy: dwelling garage}
panels: [{name: p, system: 120/240 single-phase, breakers: family A, spaces_free: 12}]
machines:
  - {name: saw, route: {fixed: 30 ft, cord: 22 ft}, volts: 240, hp: 3, plug: NEMA 6-20, ways: {only: [armored drop, cord]}}
cords: {families: [straight], slack: [0 ft], spare_conductor: false}
scenarios: [{name: moved, weight: 100 %, events: [{every: 1, machine: saw, new_spot: true}]}]
"""


def test_what_a_shop_can_use_gives_the_same_plan_as_all_there_is(tmp_path: Path) -> None:
    """The demo's main supplier, with all its parts and with those a saw can use: the same plan, line by line."""
    (tmp_path / "saw.yaml").write_text(SAW, encoding="utf-8")
    shop = load_shop_with_places(tmp_path / "saw.yaml").shop
    catalog = load_catalog_with_places(shipped("catalogs") / "demo").catalog
    assert shop is not None
    assert catalog is not None
    whole = of_one_supplier(catalog, main_supplier(catalog))
    kept = usable_parts(Facts(shop, whole))
    assert len(kept) < len(whole.parts) / 5
    fewer = whole.model_copy(
        update={
            "parts": [part for part in whole.parts if part.id in kept],
            "offers": [offer for offer in whole.offers if offer.part in kept],
        }
    )
    plans = [best_plans(Bench.over(Facts(shop, each), shop.money.surplus), 1)[0] for each in (whole, fewer)]
    assert plans[0].present_value_cents == plans[1].present_value_cents
    assert [line.what for line in plans[0].lines] == [line.what for line in plans[1].lines]
