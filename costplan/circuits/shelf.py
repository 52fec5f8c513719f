"""What lies on the shelf, as stock that today's circuits may use."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.lives import OUTLASTS, life_of
from costplan.circuits.needs import WIRE_SIZES, Attribute, Item, StockNeed, make_spec
from costplan.circuits.things import PartKind, Tie


def shelf(facts: Facts) -> Counter[Item]:
    """Every item on the shelf with how many there are; a cord counts as its cable and its two ends."""
    items: Counter[Item] = Counter()
    for stored in facts.shop.shelf:
        items[part_there(facts, stored.part, int(stored.length_ft or 0))] += stored.count
        for kind, configuration in (("plug", stored.plug), ("connector", stored.connector)):
            if configuration is not None:
                items[Item(make_spec(kind, {"configuration": configuration}))] += stored.count
    return items


@dataclass(frozen=True, slots=True, order=True)
class WholeCord:
    """A cord with both ends on, that may be used as it is; `kit` is what it hangs from, which comes along."""

    cable: Item
    plug: Item
    connector: Item
    kit: Item | None = None

    @property
    def pieces(self) -> tuple[Item, Item, Item]:
        """What it comes apart into."""
        return (self.cable, self.plug, self.connector)


def whole_cords(facts: Facts) -> Counter[WholeCord]:
    """Every cord on the shelf that has both its ends, with how many there are."""
    cords: Counter[WholeCord] = Counter()
    for stored in facts.shop.shelf:
        if stored.plug is not None and stored.connector is not None:
            plug = Item(make_spec("plug", {"configuration": stored.plug}))
            connector = Item(make_spec("connector", {"configuration": stored.connector}))
            cable = part_there(facts, stored.part, int(stored.length_ft or 0))
            cords[WholeCord(cable, plug, connector)] += stored.count
    return cords


def fits(cord: WholeCord, asked: Iterable[StockNeed]) -> bool:
    """Whether a whole cord can stand in for the cable, the plug and the connector that are asked for."""
    return all(have.serves(need.item) for have, need in zip(cord.pieces, asked, strict=True))


def part_there(facts: Facts, name: str, length_ft: int = 0) -> Item:
    """A part that is there, as stock: sizes may serve where less is asked, words only where the same is asked."""
    part = facts.parts[name]
    words: dict[str, Attribute] = {}
    sizes: dict[str, Attribute] = {}
    for name, value in part.attributes.items():
        words[name] = value
        if name in WIRE_SIZES or isinstance(value, Decimal):
            sizes[name] = value
    spec = make_spec(part.kind, words, sizes, sizes)
    item = Item(replace(spec, tie=Tie(building=0)) if part.kind == PartKind.BREAKER else spec, length_ft)
    if part.kind not in facts.wearing_kinds:
        return item
    life = life_of(facts, part)
    return replace(item, lives=(OUTLASTS if life is None else life,))
