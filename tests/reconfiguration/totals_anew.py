"""The two totals that are compared: the product's and the plain reckoner's, each None where there is no plan.

It checks no rule; every module of tests here asks both through it.
"""

from pathlib import Path

from drawn_anew import Row, shop_of, tiny_catalog, wide_catalog
from laid_out_anew import lay_out

from costplan.circuits.facts import Facts
from costplan.model.catalog import Catalog
from costplan.model.choices import SurplusRule
from costplan.model.loading import load_shop
from costplan.model.shop import Shop
from costplan.program.bench import Bench
from costplan.program.ranked import NoPlanError
from costplan.program.ranking import best_plans

SHOPS = Path(__file__).parent / "shops"
TINY, WIDE = tiny_catalog(), wide_catalog()


def product_cents(shop: Shop, catalog: Catalog) -> int | None:
    """The product's least total."""
    try:
        plans = best_plans(Bench.over(Facts(shop, catalog), SurplusRule.ALLOWED), 1)
    except NoPlanError:
        return None
    return plans[0].present_value_cents if plans else None


def reckoned_cents(shop: Shop, catalog: Catalog) -> int | None:
    """The plain reckoner's least total."""
    found = lay_out(shop, catalog)
    return None if found is None else found.total_cents


def both(row: Row, catalog: Catalog = WIDE) -> tuple[int | None, int | None]:
    """Both totals of a drawn shop, the product's first."""
    shop = shop_of(row)
    return product_cents(shop, catalog), reckoned_cents(shop, catalog)


def read(name: str) -> Shop:
    """A shop of the folder `shops`."""
    shop, problems = load_shop(SHOPS / f"{name}.yaml")
    assert shop is not None, problems
    return shop
