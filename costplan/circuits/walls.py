"""Walls: which may hold nonmetallic cable, by what the code calls the places that a run goes from and to (NFPA 70 334.10),
and what opening and sealing them takes."""

from collections.abc import Iterable

from costplan.circuits.facts import Facts
from costplan.circuits.needs import NOTHING, Bundle
from costplan.circuits.run_parts import CABLE_KIND, run_recipe, wiring_of
from costplan.circuits.ways import Way
from costplan.model.catalog import FLUSH_PANEL, RATED_WALL, Recipe
from costplan.model.choices import Method
from costplan.model.conditions import SpaceWords
from costplan.model.layouts import MovedToday
from costplan.model.routes import rated_walls
from costplan.model.shop import Machine
from costplan.model.spaces import cable_refused

EXPOSED = (
    "outside dwellings nonmetallic cable is not laid exposed (NEC 334.10(3)), as it would be to an outlet beside the panel: "
    "armored cable, or conduit"
)


def cable_kept_out(
    facts: Facts, machine: Machine, way: Way, places: Iterable[tuple[str, SpaceWords | None]]
) -> str | None:
    """Why a way would lay nonmetallic cable where it may not be, or where nobody knows; None when it would not.

    A run that is there at a place already may stay and serve; somebody's quote says itself what is laid. Each place is told
    with what is said of its building, None in today's.
    """
    if way.quoted or not lays_nonmetallic(facts, machine, way):
        return None
    for place, there in places:
        if way.beside is not None:
            space = facts.space_at(facts.place_of_panel(way.panel), there)
            reason = None if space.occupancy.dwelling else EXPOSED
        else:
            reason = kept_out_at(facts, way.panel, place, there)
            reason = None if there is None and runs_there(facts, way.method, place) else reason
        if reason is not None:
            return reason
    return None


def lays_nonmetallic(facts: Facts, machine: Machine, way: Way) -> bool:
    """Whether a run made anew is nonmetallic cable."""
    if CABLE_KIND.get(wiring_of(way)) not in facts.nonmetallic:
        return False
    return facts.recipe(run_recipe(way), machine).quote is None


def kept_out_at(facts: Facts, panel: str, place: str, there: SpaceWords | None = None) -> str | None:
    """Why no nonmetallic cable goes from a panel to a place: each foot obeys the place it lies in.

    there: what is said of another building that it would be in.
    """
    if there is not None:
        reason = cable_refused(facts.space_at(place, there))
        return None if reason is None else f"in the building that the shop moves to: {reason}"
    reason = cable_refused(facts.space_at(place))
    if reason is not None:
        return f"{_at(facts, place)}{reason}"
    start = facts.place_of_panel(panel)
    reason = cable_refused(facts.space_at(start))
    if reason is None:
        return None
    where = f"from {panel} at {start}" if start else f"from {panel}, whose place is not said"
    return f"{where}: {reason}"


def runs_there(facts: Facts, method: Method, place: str) -> bool:
    """Whether some run of the method ends at a place today, in use or idle."""
    shop = facts.shop
    nows = [(machine.now, _stood_at(machine)) for machine in shop.machines if machine.now is not None]
    used = any(now.method is method and (now.place or at) == place for now, at in nows)
    return used or any(outlet.method is method and outlet.place == place for outlet in shop.installed)


def walls_opened(facts: Facts, machine: Machine, way: Way, panel: str, place: str) -> Bundle:
    """What a new run takes for the walls: patching, a panel that lies flush in one, fire-rated ones that it goes through."""
    bundle = NOTHING
    if way.method is Method.WALL and facts.shop.building.patching:
        bundle = bundle + facts.expanded("patch", machine)
    goes_to = None if way.method is Method.CORD else place
    return bundle + walls_of_run(facts, facts.recipe(run_recipe(way), machine), panel, goes_to, machine)


def walls_of_run(
    facts: Facts, recipe: Recipe, panel: str, place: str | None, machine: Machine | None = None
) -> Bundle:
    """What a run by a recipe takes for a panel that lies flush in a wall, and for each fire-rated wall on its way.

    place: where it goes to; None for an outlet beside the panel. A recipe that is a quote holds both.
    """
    bundle = NOTHING
    if recipe.quote is not None:
        return bundle
    if facts.panels[panel].flush and facts.has_recipe(FLUSH_PANEL, machine):
        bundle = bundle + facts.expanded(FLUSH_PANEL, machine)
    if place is not None and facts.has_recipe(RATED_WALL, machine):
        for _ in range(rated_walls(facts.shop, panel, place) or 0):
            bundle = bundle + facts.expanded(RATED_WALL, machine)
    return bundle


def _stood_at(machine: Machine) -> str:
    """Where a machine stands today, before a layout moves it."""
    return machine.stood_at if isinstance(machine, MovedToday) else machine.at


def _at(facts: Facts, place: str) -> str:
    """The place, where places differ."""
    return f"at {place}: " if len(set(facts.spaces.values())) > 1 else ""
