"""Cord grips: what holds a cord where it is wired into a machine must fit its jacket."""

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.needs import NOTHING, Bundle, Spec, magnitude, make_spec
from costplan.circuits.size_types import CannotSizeError
from costplan.circuits.ways import Way
from costplan.model.catalog import INTO_MACHINE, Part
from costplan.model.choices import Service
from costplan.model.ratings import CORD_GRIP, GRIP_FROM_IN, GRIP_TO_IN, JACKET_IN
from costplan.model.shop import Machine

NO_GRIP = (
    "no cord grip on offer is known to fit the jacket of a cord that would do: ask, then write jacket_in for the cord and "
    "jacket_from_in and jacket_to_in for the grip in parts.yaml"
)


def takes_grip(facts: Facts, machine: Machine, name: str = INTO_MACHINE) -> bool:
    """Whether a cord that goes into the machine is held by a grip, as the recipe of that has it."""
    if not facts.has_recipe(name, machine):
        return False
    return any(part.kind == CORD_GRIP for part in facts.recipe(name, machine).parts)


def into_machine(facts: Facts, machine: Machine, cable: Spec) -> Bundle:
    """What wiring a cord into a machine takes, its grip that fits the cord; nothing without such a recipe."""
    if not facts.has_recipe(INTO_MACHINE, machine):
        return NOTHING
    return with_fitting_grip(facts.expanded(INTO_MACHINE, machine), cable)


def with_fitting_grip(work: Bundle, cable: Spec) -> Bundle:
    """What wiring a cord in takes, its grip one that fits the cord."""
    fitting = grip_of(cable)
    if fitting is None:
        return work
    needs = tuple(replace(need, spec=fitting) if need.spec.kind == CORD_GRIP else need for need in work.needs)
    return replace(work, needs=needs)


def grip_of(cable: Spec) -> Spec | None:
    """The grip that holds a cord whose jacket is narrowed to what one holds; None where it is not."""
    low, high = dict(cable.at_least).get(JACKET_IN), dict(cable.at_most).get(JACKET_IN)
    if low is None or high is None:
        return None
    return make_spec(CORD_GRIP, {GRIP_FROM_IN: low, GRIP_TO_IN: high})


def held_by_grip(facts: Facts, machine: Machine, way: Way, cord: Spec) -> Spec:
    """The cord, of a jacket that the way's grip holds. Raises CannotSizeError where none is known to fit."""
    if not way.into_machine or not takes_grip(facts, machine):
        return cord
    return held(facts, way, cord)


def held(facts: Facts, way: Way, cord: Spec) -> Spec:
    """The cord, of a jacket that one of the grips on offer holds. Raises CannotSizeError where none is known to fit."""
    ranges = grips_for(facts, way, cord)
    if not ranges:
        raise CannotSizeError(NO_GRIP)
    low, high = ranges[min(way.grip, len(ranges) - 1)]
    jacket = make_spec("", {}, {JACKET_IN: low}, {JACKET_IN: high})
    return replace(
        cord,
        at_least=tuple(sorted((*cord.at_least, *jacket.at_least))),
        at_most=tuple(sorted((*cord.at_most, *jacket.at_most))),
    )


def without_jacket(cord: Spec) -> Spec:
    """The cord, of whatever jacket."""
    low = tuple(entry for entry in cord.at_least if entry[0] != JACKET_IN)
    return replace(
        cord, at_least=low, at_most=tuple(entry for entry in cord.at_most if entry[0] != JACKET_IN)
    )


def grips_for(facts: Facts, way: Way, cord: Spec) -> tuple[tuple[Decimal, Decimal], ...]:
    """The ranges of grips on offer, the smallest first, that hold one of the thinnest cords on offer that would do.

    A cord whose jacket nobody stated fits no grip.
    """
    jackets = thinnest_jackets(facts, way, cord)
    return tuple(
        each for each in facts.grip_ranges if any(each[0] <= jacket <= each[1] for jacket in jackets)
    )


def thinnest_jackets(facts: Facts, way: Way, cord: Spec) -> list[Decimal]:
    """Jackets of the thinnest cords on offer that would do, inches; none where nobody stated them."""
    # Where hard cords are ways of their own, a junior hard one is not that too.
    soft_alone = way.service is Service.JUNIOR_HARD and Service.HARD in facts.shop.cords.service
    key = cord, soft_alone
    if key not in facts.jackets:
        cords = _that_would_do(facts, cord)
        thinnest = min((_thickness(part) for part in cords), default=None)
        found = [part for part in cords if _thickness(part) == thinnest]
        soft = [part for part in found if part.attributes.get("service") != Service.HARD]
        facts.jackets[key] = _jackets(soft if soft_alone and soft else found)
    return facts.jackets[key]


def jackets_of(facts: Facts, cord: Spec) -> list[Decimal]:
    """Jackets of all cords on offer that would do, inches."""
    return _jackets(_that_would_do(facts, cord))


def _that_would_do(facts: Facts, cord: Spec) -> list[Part]:
    return [part for part in facts.parts_meeting(cord) if part.id in facts.offered_or_had]


def _jackets(cords: Iterable[Part]) -> list[Decimal]:
    return [part.number(JACKET_IN) for part in cords if JACKET_IN in part.attributes]


def _thickness(part: Part) -> tuple[Decimal, Decimal]:
    return magnitude("awg", part.attributes["awg"]), magnitude("conductors", part.attributes["conductors"])
