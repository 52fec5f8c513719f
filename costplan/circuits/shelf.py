"""What lies on the shelf, as stock that today's circuits may use."""

from collections import Counter
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Attribute, Item, make_spec
from costplan.model.catalog import Part
from costplan.model.shop import Stored


def shelf(facts: Facts) -> Counter[Item]:
    """Every item on the shelf with how many there are; a cord counts as its cable and its two ends."""
    items: Counter[Item] = Counter()
    for stored in facts.shop.shelf:
        items[_item(facts.parts[stored.part], stored)] += stored.count
        for kind, configuration in (("plug", stored.plug), ("connector", stored.connector)):
            if configuration is not None:
                items[Item(make_spec(kind, {"configuration": configuration}))] += stored.count
    return items


def _item(part: Part, stored: Stored) -> Item:
    """The part as stock: sizes may serve where less is asked, words only where the same is asked."""
    words: dict[str, Attribute] = {"of building": "0"} if part.kind == "breaker" else {}
    sizes: dict[str, Attribute] = {}
    for name, value in part.attributes.items():
        is_size = name == "awg" or (isinstance(value, Decimal) and name != "poles")
        (sizes if is_size else words)[name] = value
    return Item(make_spec(part.kind, words, sizes, sizes), int(stored.length_ft or 0))
