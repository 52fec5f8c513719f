"""Single changes to the small shop and its catalog, which the cases of mistakes are made of."""

from small_shop import with_change, with_gear_change

Changed = dict[str, str | bytes | None]

SHOP = "garage.yaml"
PARTS = "catalog/parts.yaml"
KINDS = "catalog/kinds.yaml"
SUPPLIERS = "catalog/suppliers.yaml"
LABOR = "catalog/labor.yaml"
RECIPES = "catalog/recipes.yaml"
OFFERS = "catalog/offers.csv"


def in_shop(old: str, new: str) -> Changed:
    return with_change(SHOP, old, new)


def in_offers(old: str, new: str) -> Changed:
    return with_change(OFFERS, old, new)


def in_gear_shop(old: str, new: str) -> Changed:
    return with_gear_change(SHOP, old, new)
