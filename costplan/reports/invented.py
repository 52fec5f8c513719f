"""What a report's heading says of a shop or of prices that are made up."""

from costplan.circuits.facts import Facts

SHOP = "invented demo data: prices and names are made up"
OWN_SHOP = "prices, hours and suppliers are invented until you put in your own"
PRICES = "the shipped demo's prices, which are invented"


def made_up(facts: Facts) -> str:
    """What is made up: all of a shop that says so, the prices alone where the catalog is the demo's; empty for nothing."""
    if facts.shop.invented == "prices":
        return OWN_SHOP
    if facts.shop.invented:
        return SHOP
    return PRICES if facts.catalog.invented else ""


def made_up_in_short(facts: Facts) -> str:
    """The same in a few words."""
    if facts.shop.invented is True:
        return "Prices and names are invented."
    return "Prices are invented." if facts.shop.invented or facts.catalog.invented else ""


def in_brackets(facts: Facts) -> str:
    """The same behind the shop's name, or nothing."""
    said = made_up(facts)
    return f"  ({said})" if said else ""
