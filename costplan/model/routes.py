"""How long runs are: measured lengths where the user gave them, else from coordinates."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from costplan.model.shop import Panel, Shop
from costplan.model.spelled_out import NewSpot

PANEL_HEIGHT_FT = Decimal(5)
"""Where wiring leaves a panel above the floor; common practice, no source."""
OUTLET_HEIGHT_FT = Decimal(4)
"""Height of a machine's outlet above the floor; common practice, no source."""
AT_ITS_OUTLET_FT = Decimal(6)
"""How far from its outlet's place a machine still stands at it, so that nobody walks between and nothing is hung.

Likened to NFPA 70 210.50(C), which wants an appliance's outlet within 6 ft of it (from memory); for shops common practice.
"""

BEYOND_REACH_FT = Decimal("Infinity")
"""How far a new spot is from all others: no cord that is there reaches it."""


class NoRouteError(LookupError):
    """No length can be told between two points; the message says what to write."""


def whole_feet(length_ft: Decimal) -> int:
    """Rounded up to the foot, since cable is asked for in whole feet."""
    return int(length_ft.to_integral_value(rounding=ROUND_CEILING))


@dataclass(frozen=True)
class RouteBook:
    """All lengths of a shop, from its panels and those that gear would bring."""

    shop: Shop
    panels: Mapping[str, Panel]

    def fixed_ft(self, panel: str, place: str) -> Decimal:
        """Feet of fixed wiring from a panel to an outlet at a place, ups and downs included.

        Raises NoRouteError.
        """
        return self._measured(panel, place, "fixed")

    def cord_ft(self, panel: str, place: str) -> Decimal:
        """Feet of cord from an outlet beside a panel to a machine at a place. Raises NoRouteError."""
        return self._measured(panel, place, "cord")

    def ceiling_ft(self, panel: str, place: str) -> Decimal:
        """Feet of fixed wiring from a panel to the ceiling above a place. Raises NoRouteError."""
        return self._measured(panel, place, "ceiling")

    def distance_ft(self, place: str, other: str) -> Decimal:
        """Feet between two places over the floor; a new spot is beyond any reach. Raises NoRouteError."""
        if place == other:
            return Decimal(0)
        measured = self._between(place, other)
        if measured is not None:
            return measured
        if any(isinstance(spot, NewSpot) and spot.name in (place, other) for spot in self.shop.places):
            return BEYOND_REACH_FT
        a, b = self._at(place), self._at(other)
        if a is None or b is None:
            raise NoRouteError(
                f'no distance between "{place}" and "{other}": give both places coordinates (at: [x, y]) or a route'
            )
        return _straight(a, b)

    def cord_between_ft(self, place: str, other: str, factor: Decimal = Decimal(1)) -> Decimal:
        """Feet of cord from an outlet at one place to a machine at another, lengths there times a factor.

        As the file measured it; else over the floor as far as a machine stands at its outlet, and beyond that as it hangs:
        up from the outlet to the ceiling, across, and down to the machine. Raises NoRouteError.
        """
        across = self.distance_ft(place, other) * factor
        if across <= AT_ITS_OUTLET_FT or self.measured_between(place, other):
            return across
        return across + 2 * hang_ft(self.shop) * factor

    def measured_between(self, place: str, other: str) -> bool:
        """Whether the file says how long a cord from one place to the other is."""
        return self._between(place, other) is not None

    def has_route(self, panel: str, place: str) -> bool:
        """Whether a run from the panel to the place can be measured."""
        try:
            self.fixed_ft(panel, place)
        except NoRouteError:
            return False
        return True

    def _between(self, place: str, other: str) -> Decimal | None:
        for route in self.shop.routes:
            if {route.start, route.end} == {place, other}:
                length = route.cord_ft if route.cord_ft is not None else route.fixed_ft
                if length is not None:
                    return length
        return None

    def _measured(self, panel: str, place: str, how: str) -> Decimal:
        for route in self.shop.routes:
            if (route.start, route.end) == (panel, place):
                lengths = (
                    (route.cord_ft, route.fixed_ft) if how == "cord" else (route.fixed_ft, route.cord_ft)
                )
                known = next((length for length in lengths if length is not None), None)
                if known is not None:
                    return known
        spot = self.panels[panel].place
        a, b = self._at(spot) if spot else None, self._at(place)
        if a is None or b is None:
            raise NoRouteError(
                f'no route from panel "{panel}" to "{place}": write a route with its length, '
                "or give the panel a place and both places coordinates"
            )
        rise = max(self.shop.building.ceiling_height_ft - PANEL_HEIGHT_FT, Decimal(0))
        fall = Decimal(0) if how == "ceiling" else hang_ft(self.shop)
        across = _straight(a, b) if how == "cord" else abs(a[0] - b[0]) + abs(a[1] - b[1])
        return across + rise + fall

    def _at(self, place: str) -> tuple[Decimal, Decimal] | None:
        return next((spot.at_ft for spot in self.shop.places if spot.name == place), None)


def hang_ft(shop: Shop) -> Decimal:
    """Feet from the ceiling down to an outlet, or to the end of a cord at a machine."""
    return max(shop.building.ceiling_height_ft - OUTLET_HEIGHT_FT, Decimal(0))


def rated_walls(shop: Shop, panel: str, place: str) -> int | None:
    """Fire-rated walls and ceilings that a fixed run from a panel to a place goes through; None where nobody said."""
    for route in shop.routes:
        if (route.start, route.end) == (panel, place) and route.rated_walls is not None:
            return route.rated_walls
    return shop.building.rated_walls


def _straight(a: tuple[Decimal, Decimal], b: tuple[Decimal, Decimal]) -> Decimal:
    return ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2).sqrt()


def reaches_nothing(shop: Shop, panel: str, place: str | None) -> bool:
    """Whether no length from a panel that hangs at a place is known to any place."""
    if any(route.start == panel for route in shop.routes):
        return False
    at = {spot.name: spot.at_ft for spot in shop.places}
    return at.get(place or "") is None or not any(
        position is not None for name, position in at.items() if name != place
    )


def only_feeds(shop: Shop, panel: str) -> bool:
    """Whether a panel is there to feed another one, or something that is there already."""
    fed = {entry.fed_from for entry in shop.panels} | {gear.fed_from for gear in shop.gear}
    used = {machine.now.panel for machine in shop.machines if machine.now is not None}
    return panel in fed | used | {outlet.panel for outlet in shop.installed}


def add_routes(panel: str) -> str:
    """What makes a panel reach places, in words."""
    return f"add routes from: {panel}, or coordinates to the places"
