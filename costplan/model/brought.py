"""All panels of a shop: those that are there, and those that gear brings or would bring."""

from collections.abc import Iterable
from decimal import Decimal

from costplan.model.base import LARGEST_COUNT
from costplan.model.catalog import Part
from costplan.model.gear import SERVICE, Gear, GearKind
from costplan.model.shop import MOST_SPACES, Panel, Shop
from costplan.model.system import System


def rating_of(part: Part | None, attribute: str) -> Decimal | None:
    """A part's attribute as a number above 0, None when it is missing, no such number or too large to be meant."""
    value = part.attributes.get(attribute) if part is not None else None
    if not isinstance(value, Decimal) or not 0 < value <= LARGEST_COUNT:
        return None
    return value


def panels_of(shop: Shop, parts: Iterable[Part]) -> dict[str, Panel]:
    """Panels by name; gear whose panel part is unknown or lacks a rating brings none.

    Free spaces include those of the machines' present circuits, since the plan decides what becomes of them; of a panel
    that gear brings all spaces count from the start.
    """
    panels = _listed_and_brought(shop, parts)
    counted = {panel.name for panel in shop.panels}
    for machine in shop.machines:
        if machine.now is not None and machine.now.panel in counted and not machine.arrives:
            panel = panels[machine.now.panel]
            free = panel.spaces_free + machine.now.poles * machine.count
            panels[panel.name] = panel.model_copy(update={"spaces_free": free})
    return panels


def panel_names(shop: Shop, parts: Iterable[Part]) -> set[str]:
    """The names of all panels, for which no machine is looked at."""
    return set(_listed_and_brought(shop, parts))


def _listed_and_brought(shop: Shop, parts: Iterable[Part]) -> dict[str, Panel]:
    known = {part.id: part for part in parts}
    panels = {panel.name: panel for panel in shop.panels}
    waiting = [gear for gear in shop.gear if gear.panel_part in known and gear.name not in panels]
    while waiting:
        ready = [gear for gear in waiting if gear.fed_from in (None, SERVICE, *panels)] or waiting
        for gear in ready:
            panel = _brought(shop, gear, known[gear.panel_part or ""], panels.get(gear.fed_from or ""))
            if panel is not None:
                panels[gear.name] = panel
        waiting = [gear for gear in waiting if gear not in ready]
    return panels


def _brought(shop: Shop, gear: Gear, part: Part, above: Panel | None) -> Panel | None:
    rating_a, spaces = rating_of(part, "rating_a"), rating_of(part, "spaces")
    if rating_a is None or spaces is None or spaces > MOST_SPACES or "family" not in part.attributes:
        return None
    known = [above, *shop.panels] if shop.service is None else []
    service = shop.service.system if shop.service is not None else next((p.system for p in known if p), None)
    own = System.DELTA_240 if gear.kind is GearKind.CONVERTER else gear.system
    system = own or (above.system if above is not None else service)
    if system is None:
        return None
    return Panel(
        name=gear.name,
        system=system,
        breakers=str(part.attributes["family"]),
        spaces_free=int(spaces),
        place=gear.at,
        rating_a=rating_a,
        fed_from=None if gear.fed_from == SERVICE else gear.fed_from,
        manufactured_leg=gear.kind is GearKind.CONVERTER or (above is not None and above.manufactured_leg),
    )
