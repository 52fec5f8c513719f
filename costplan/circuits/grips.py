"""Cord grips: what holds a cord where it is wired into a machine must fit its jacket."""

from collections.abc import Iterator
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


def into_machine(facts: Facts, machine: Machine, grip_in: tuple[Decimal, Decimal] | None) -> Bundle:
    """What wiring a cord into a machine takes, its grip of the range that is asked; nothing without such a recipe.

    Raises CannotSizeError where a grip is taken and none is known to fit.
    """
    if not facts.has_recipe(INTO_MACHINE, machine):
        return NOTHING
    work = facts.brew(facts.recipe(INTO_MACHINE, machine))
    if not any(need.spec.kind == CORD_GRIP for need in work.needs):
        return work
    if grip_in is None:
        raise CannotSizeError(NO_GRIP)
    fitting = make_spec(CORD_GRIP, {GRIP_FROM_IN: grip_in[0], GRIP_TO_IN: grip_in[1]})
    needs = tuple(replace(need, spec=fitting) if need.spec.kind == CORD_GRIP else need for need in work.needs)
    return replace(work, needs=needs)


def grips_for(facts: Facts, machine: Machine, way: Way, cord: Spec) -> Iterator[Way]:
    """The way with each range of grip that holds one of the thinnest cords on offer that would do.

    A cord whose jacket nobody stated fits no grip. The way as it is where no grip is taken, or none fits.
    """
    recipe = facts.recipe(INTO_MACHINE, machine) if facts.has_recipe(INTO_MACHINE, machine) else None
    if recipe is None or not any(part.kind == CORD_GRIP for part in recipe.parts):
        yield way
        return
    cords = [part for part in _on_offer(facts, "cord") if cord.met_by(part)]
    thinnest = min((_thickness(part) for part in cords), default=None)
    jackets = {
        Decimal(str(part.attributes[JACKET_IN])): part
        for part in cords
        if _thickness(part) == thinnest and JACKET_IN in part.attributes
    }
    # A hard cord has a way of its own, so a junior hard one need not be it too.
    twice = way.service is Service.JUNIOR_HARD and Service.HARD in facts.shop.cords.service
    held = {
        grip_in
        for grip_in in _ranges(facts)
        for jacket_in, part in jackets.items()
        if grip_in[0] <= jacket_in <= grip_in[1]
        and not (twice and part.attributes.get("service") == Service.HARD)
    }
    if not held and not (twice and jackets):
        yield way
    for grip_in in sorted(held):
        yield replace(way, grip_in=grip_in)


def _ranges(facts: Facts) -> set[tuple[Decimal, Decimal]]:
    """The smallest and the largest jacket that each grip on offer holds, inches."""
    return {
        (Decimal(str(part.attributes[GRIP_FROM_IN])), Decimal(str(part.attributes[GRIP_TO_IN])))
        for part in _on_offer(facts, CORD_GRIP)
        if GRIP_FROM_IN in part.attributes and GRIP_TO_IN in part.attributes
    }


def _on_offer(facts: Facts, kind: str) -> list[Part]:
    known = facts.offered_parts | facts.parts_to_be_had
    return [part for part in facts.parts_by_kind.get(kind, ()) if part.id in known]


def _thickness(part: Part) -> tuple[Decimal, Decimal]:
    return magnitude("awg", part.attributes["awg"]), magnitude("conductors", part.attributes["conductors"])
