"""How long a machine's cord must be: from beside the panel, down from the ceiling, or its own with more."""

from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.needs import word
from costplan.circuits.size_types import CannotSizeError
from costplan.circuits.ways import Way
from costplan.model.choices import Method
from costplan.model.routes import whole_feet
from costplan.model.shop import Machine


def cord_ft(facts: Facts, machine: Machine, way: Way, panel: str, place: str, factor: Decimal) -> int | None:
    """Whole feet of a machine's cord at a place, None where it has only its own.

    factor: how much longer than today's the route to the panel is. Raises CannotSizeError and NoRouteError.
    """
    cords = facts.shop.cords
    if way.method is Method.CORD:
        extra_ft = facts.recipe("cord set", machine).extra_ft
        return whole_cord_ft(facts, facts.routes.cord_ft(panel, place) * factor + way.slack_ft + extra_ft)
    if way.method is Method.CEILING:
        return whole_feet(cords.pendant_ft)
    return whole_feet(machine.own_cord_ft + way.slack_ft) if way.slack_ft else None


def whole_cord_ft(facts: Facts, length_ft: Decimal) -> int:
    """Whole feet of a cord from the panel. Raises CannotSizeError where it is longer than the user would consider."""
    whole, longest = whole_feet(length_ft), facts.shop.cords.longest_ft
    if whole > longest:
        raise CannotSizeError(
            f"its cord would be {whole} ft long, and the longest to consider is {word(round(longest, 2))} ft: look at the "
            f"route, or write longest: {whole} ft under cords"
        )
    return whole
