"""The shipped examples as facts, read once for all who only look at them."""

from functools import cache

from costplan.circuits.facts import Facts
from costplan.files.shipped import shipped
from costplan.model.loading import catalog_of, load_shop_with_places


@cache
def facts_of(name: str) -> Facts:
    """A shipped example with its catalog."""
    loaded = load_shop_with_places(shipped("examples") / name / "shop.yaml")
    catalog = catalog_of(loaded, None).catalog
    assert loaded.shop is not None
    assert catalog is not None
    return Facts(loaded.shop, catalog)
