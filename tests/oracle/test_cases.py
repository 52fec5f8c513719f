"""Every case of tests/oracle/cases: the plain reckoner against the arithmetic written beside the case, to the cent."""

from decimal import Decimal
from pathlib import Path

import pytest
import yaml
from reckoner import reckon

from costplan.model.loading import load_catalog, load_shop

CASES = [
    file
    for file in sorted((Path(__file__).parent / "cases").glob("*/expected.yaml"))
    if "results" in yaml.safe_load(file.read_text(encoding="utf-8"))
]
SUMS = ("total", "cut_finer")
"""A case may name its total with lines cut finer; the rules do not say how fine, so either will do."""


def cents_of(amount: object) -> int:
    """Cents of an amount as written in expected.yaml: 1234.5, '1,234.50'."""
    return int((Decimal(str(amount).replace(",", "")) * 100).to_integral_value())


@pytest.mark.parametrize("file", CASES, ids=lambda file: file.parent.name)
def test_each_case_reckons_to_its_arithmetic(file: Path) -> None:
    """Total and cash today of every strategy of the case, as its expected.yaml says."""
    shop, problems = load_shop(file.parent / "shop.yaml")
    assert shop is not None, problems
    catalog = None
    if shop.catalog:
        catalog, problems = load_catalog(file.parent / shop.catalog)
        assert catalog is not None, problems
    expected = yaml.safe_load(file.read_text(encoding="utf-8"))["results"]
    for result in expected:
        found = reckon(shop, catalog, result["strategy"])
        sums = {cents_of(result[name]) for name in SUMS if name in result}
        assert found.total_cents in sums, result["strategy"]
        assert found.today_cash_cents == cents_of(result["today_cash"]), result["strategy"]
    assert expected
