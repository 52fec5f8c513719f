"""The product against shops worked by hand: every strategy's total and today's cash, to the cent.

The sums stand in each case's expected.yaml; no outside source, the rules are those of the README.
Where the product cuts lines finer than a person does (cable and plug apart, one machine of a group at a time), the case
gives the sum of the finer lines as `cut_finer` beside the sum of the coarser ones.
"""

from pathlib import Path
from typing import Any

import pytest
import yaml

from costplan.checks.checks import check_shop
from costplan.circuits.facts import Facts
from costplan.files.problems import errors_of
from costplan.ledger.lines import outlay, present_value
from costplan.model.loading import catalog_of, load_shop_with_places
from costplan.studies.comparison import Comparison, compare
from costplan.studies.next_machine import price_machines
from costplan.studies.wanted import Wanted

CASES = sorted(path.parent for path in Path(__file__).parent.glob("cases/*/expected.yaml"))
EXPECTED = {path.name: yaml.safe_load((path / "expected.yaml").read_text()) for path in CASES}


def read(folder: Path) -> Facts:
    loaded = load_shop_with_places(folder / "shop.yaml")
    assert loaded.shop is not None, loaded.problems
    catalog = catalog_of(loaded)
    assert catalog.catalog is not None, catalog.problems
    assert not errors_of(check_shop(loaded, catalog))
    return Facts(loaded.shop, catalog.catalog)


def cents(amount: float | str) -> int:
    return round(float(amount) * 100)


def column_of(comparison: Comparison) -> str:
    return "surplus" if comparison.facts.shop.money.surplus == "allowed" else "new"


@pytest.mark.parametrize(
    "folder", [path for path in CASES if "results" in EXPECTED[path.name]], ids=lambda p: p.name
)
def test_a_case_comes_out_as_by_hand(folder: Path) -> None:
    expected: dict[str, Any] = EXPECTED[folder.name]
    comparison = compare(read(folder), Wanted(plans=1))
    rows = {row.name: row for row in comparison.strategies}
    found = {}
    for result in expected["results"]:
        row = rows[result["strategy"]]
        ranked = row.cells[column_of(comparison)].ranked
        assert ranked is not None, row.cells[column_of(comparison)].why_not
        assert ranked.proven
        lines = sorted(
            (line.year, line.what, line.amount_cents, line.present_value_cents) for line in ranked.lines
        )
        assert ranked.present_value_cents == cents(result.get("cut_finer", result["total"])), lines
        assert ranked.outlay_cents == cents(result["today_cash"]), lines
        assert bool(row.reason) == ("forbidden" in result)
        found[row.name] = ranked.present_value_cents
    if "best" in expected:
        ranked_rows = {name: total for name, total in found.items() if not rows[name].reason}
        assert min(ranked_rows, key=lambda name: ranked_rows[name]) == expected["best"]


@pytest.mark.parametrize(
    "folder", [path for path in CASES if "next" in EXPECTED[path.name]], ids=lambda p: p.name
)
def test_a_next_machine_comes_out_as_by_hand(folder: Path) -> None:
    facts = read(folder)
    prices = {
        price.machine.name: price for price in price_machines(facts, facts.shop.next_machines, second=False)
    }
    for result in EXPECTED[folder.name]["next"]:
        price = prices[result["machine"]]
        held = {found.words: found.ranked for found in price.variants}
        ranked = held[result["held_to"]] if held else price.with_it
        assert ranked is not None
        power = ranked.present_value_cents - price.without.present_value_cents
        own = present_value(price.own_lines)
        assert own + power == cents(result.get("cut_finer", result["all_in"])), ranked.lines
        cash = outlay(price.own_lines) + ranked.outlay_cents - price.without.outlay_cents
        assert cash == cents(result["cash_today"])
