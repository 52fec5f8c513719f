"""What the heading of each report says is made up: the shop and its prices, the prices alone, or nothing."""

from dataclasses import replace
from pathlib import Path

import pytest

from costplan.circuits.facts import Facts
from costplan.model.loading import load_catalog, load_shop
from costplan.reports.data import comparison_data
from costplan.reports.invented import OWN_SHOP, PRICES, SHOP, made_up, made_up_in_short
from costplan.reports.page import scope_page, shopping_page
from costplan.reports.scope import scope_sheet
from costplan.reports.scope_text import scope_text
from costplan.reports.shopping import shopping_list
from costplan.reports.shopping_text import shopping_text
from costplan.reports.terminal import comparison_text
from costplan.studies.comparison import Comparison, compare
from costplan.studies.wanted import Wanted

TINY = Path(__file__).parents[2] / "examples" / "tiny"


@pytest.fixture(scope="module")
def compared() -> Comparison:
    shop, catalog = load_shop(TINY / "shop.yaml")[0], load_catalog(TINY / "catalog")[0]
    assert shop is not None
    assert catalog is not None
    facts = Facts(shop, catalog)
    return compare(facts, Wanted(plans=1))


@pytest.mark.parametrize(
    ("shop", "prices", "said"),
    [
        (True, False, SHOP),
        (True, True, SHOP),
        ("prices", False, OWN_SHOP),
        ("prices", True, OWN_SHOP),
        (False, True, PRICES),
        (False, False, ""),
    ],
)
def test_headings_say_what_is_made_up(
    shop: bool | str, prices: bool, said: str, compared: Comparison
) -> None:
    written = compared.facts.written.model_copy(update={"invented": shop, "name": "Shed"})
    facts = Facts(written, compared.facts.catalog.model_copy(update={"invented": prices}))
    found = replace(compared, facts=facts)
    listed, sheet = shopping_list(found), scope_sheet(found)

    assert made_up(facts) == said
    behind = f"  ({said})" if said else ""
    assert comparison_text(found).startswith(f"Shed{behind}\n")
    assert shopping_text(listed).startswith(f"Shopping list for plan 1, Shed{behind}\n")
    assert f"<p>Shed{behind.replace('  ', ' ').replace(chr(39), '&#39;')}, " in shopping_page(listed)
    assert comparison_data(found)["invented"] is bool(said)
    assert ("names" in made_up_in_short(facts)) is (shop is True)
    # The scope sheet shows no prices, so it speaks of the shop alone.
    assert ("names are made up" in scope_text(sheet)) is (shop is True)
    assert ("names are made up" in scope_page(sheet)) is (shop is True)
