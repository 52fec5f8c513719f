"""The shipped examples as facts, read once for all who only look at them."""

from functools import cache

from costplan.circuits.facts import Facts
from costplan.files.shipped import shipped
from costplan.model.catalog import Catalog
from costplan.model.loading import catalog_of, load_catalog, load_shop_with_places


def tiny() -> Facts:
    """The tiny example."""
    return facts_of("tiny")


@cache
def demo_catalog() -> Catalog:
    """The shipped catalog of the demo, which has nothing to mend."""
    catalog, problems = load_catalog(shipped("catalogs") / "demo")
    assert catalog is not None
    assert problems == []
    return catalog


@cache
def facts_of(name: str) -> Facts:
    """A shipped example with its catalog."""
    loaded = load_shop_with_places(shipped("examples") / name / "shop.yaml")
    catalog = catalog_of(loaded, None).catalog
    assert loaded.shop is not None
    assert catalog is not None
    return Facts(loaded.shop, catalog)
