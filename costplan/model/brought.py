"""All panels of a shop: those that are there, and those that gear brings or would bring."""

from collections.abc import Iterable
from decimal import Decimal

from costplan.model.catalog import Part
from costplan.model.gear import SERVICE, Gear, GearKind
from costplan.model.shop import Panel, Shop
from costplan.model.system import System


def panels_of(shop: Shop, parts: Iterable[Part]) -> dict[str, Panel]:
    """Panels by name; gear whose panel part is unknown or lacks a rating brings none.

    Free spaces include those of the machines' present circuits, since the plan decides what becomes of them.
    """
    known = {part.id: part for part in parts}
    panels = {panel.name: panel for panel in shop.panels}
    for gear in shop.gear:
        part = known.get(gear.panel_part or "")
        if (
            part is not None
            and gear.name not in panels
            and {"family", "spaces", "rating_a"} <= set(part.attributes)
        ):
            panels[gear.name] = _brought(gear, part, panels.get(gear.fed_from or ""))
    for machine in shop.machines:
        if machine.now is not None and machine.now.panel in panels:
            panel = panels[machine.now.panel]
            free = panel.spaces_free + machine.now.poles
            panels[panel.name] = panel.model_copy(update={"spaces_free": free})
    return panels


def _brought(gear: Gear, part: Part, above: Panel | None) -> Panel:
    system = System.DELTA_240 if gear.kind is GearKind.CONVERTER else gear.system
    return Panel(
        name=gear.name,
        system=system or (above.system if above else System.SINGLE_120_240),
        breakers=str(part.attributes["family"]),
        spaces_free=int(Decimal(str(part.attributes["spaces"]))),
        place=gear.at,
        rating_a=Decimal(str(part.attributes["rating_a"])),
        fed_from=None if gear.fed_from == SERVICE else gear.fed_from,
        manufactured_leg=gear.kind is GearKind.CONVERTER or (above is not None and above.manufactured_leg),
    )
