"""The plain reckoner against arithmetic by hand: the small example and worked cases with invented prices."""

from pathlib import Path

import pytest
from reckoner import reckon

from costplan.model.loading import load_catalog, load_shop

TINY = Path(__file__).parents[2] / "examples" / "tiny"


@pytest.mark.parametrize(
    ("ways", "total", "today"),
    [
        ({"saw": "cord", "drill": "wall drop"}, 80_500, 79_500),
        ({"*": "cord"}, 86_000, 87_000),
        ({"*": "wall drop"}, 117_000, 71_000),
        ({"saw": "wall drop", "drill": "cord"}, 122_500, 78_500),
    ],
)
def test_the_small_example_costs_what_its_file_says(ways: dict[str, str], total: int, today: int) -> None:
    """Totals and cash today are those added up by hand in examples/tiny/shop.yaml and in the README."""
    shop, _ = load_shop(TINY / "shop.yaml")
    catalog, _ = load_catalog(TINY / "catalog")
    assert shop is not None
    found = reckon(shop, catalog, ways)
    assert (found.total_cents, found.today_cash_cents) == (total, today)
