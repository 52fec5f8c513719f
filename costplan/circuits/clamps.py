"""Clamps of plugs and connectors, and grips of what a cord hangs from, against the jacket of the cord that goes in."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.grips import jackets_of, thinnest_jackets
from costplan.circuits.needs import Item, Need, Spec
from costplan.circuits.size_types import CannotSizeError, CircuitSize
from costplan.circuits.ways import Way
from costplan.model.choices import Method
from costplan.model.ratings import CLAMPING, GRIP_FROM_IN, GRIP_TO_IN, JACKET_IN
from costplan.model.shop import Machine

KIT_RECIPE = {Method.CORD: "overhead cord", Method.CEILING: "pendant"}
"""What a cord or pendant hangs from."""


def clamped(
    facts: Facts,
    machine: Machine,
    way: Way,
    cable: Item | None,
    size: CircuitSize,
    cord_size: CircuitSize | None,
) -> Item | None:
    """The cord, of a jacket that all its ends hold as far as the catalog states it, in inches.

    It is for the thinnest cord that would do and is held. Where no range is stated, or no jacket, nothing is demanded, and
    the lists ask; where only some parts of a kind state one, those that do not fit are no offer.
    Raises CannotSizeError where every part on offer states a range, and none holds it (NFPA 70 400.14, 110.3(B)).
    """
    if cable is None:
        return None
    ranges = [
        found
        for kind, code in _ends(facts, machine, way, size, cord_size)
        if (found := _stated(facts, kind, code)).ranges
    ]
    thinnest = sorted(thinnest_jackets(facts, way, cable.spec), reverse=True)
    # A thicker cord is another that would do, where no clamp closes on the thinnest.
    jackets = list(dict.fromkeys((*thinnest, *sorted(jackets_of(facts, cable.spec)))))
    if not ranges or not jackets:
        return cable
    for jacket in jackets:
        fitting = [[entry for entry in held.ranges if entry[0] <= jacket <= entry[1]] for held in ranges]
        # Of a kind whose stated ones do not fit, one that nobody measured may: it is asked about, and the others are out.
        fitting = [
            found or [(jacket, jacket)] * held.open for found, held in zip(fitting, ranges, strict=True)
        ]
        if all(fitting):
            # Of several that hold it the one that opens least far, so that what is bought is safe whichever is bought.
            least = [min(held, key=lambda entry: (entry[1], entry[0])) for held in fitting]
            low, high = max(entry[0] for entry in least), min(entry[1] for entry in least)
            stated, most = (
                (*cable.spec.if_stated, (JACKET_IN, low)),
                (*cable.spec.most_if_stated, (JACKET_IN, high)),
            )
            return replace(cable, spec=replace(cable.spec, if_stated=stated, most_if_stated=most))
    raise CannotSizeError(
        f"no plug, connector or kit on offer clamps a jacket of {jackets[0]:f} in, by jacket_to_in in parts.yaml: ask for one"
    )


def holding(need: Need, cable: Spec) -> Need:
    """What a cord ends in or hangs from, of a clamp that holds the cord, where it states one; else the need as it is."""
    return replace(need, spec=holding_spec(need.spec, cable)) if need.spec.kind in CLAMPING else need


def holding_spec(spec: Spec, cable: Spec) -> Spec:
    """The spec of a clamp that holds the cord, as far as both state their sizes."""
    low, high = dict(cable.if_stated).get(JACKET_IN), dict(cable.most_if_stated).get(JACKET_IN)
    if low is None or high is None:
        return spec
    stated = tuple(sorted((*spec.if_stated, (GRIP_TO_IN, high))))
    return replace(spec, if_stated=stated, most_if_stated=((GRIP_FROM_IN, low),))


def _ends(
    facts: Facts, machine: Machine, way: Way, size: CircuitSize, cord_size: CircuitSize | None
) -> Iterator[tuple[str, str]]:
    """Kinds of parts that clamp the cord, each with its configuration, empty for what it hangs from."""
    yield "plug", size.configuration or ""
    if way.method not in KIT_RECIPE:
        return
    if not way.wired_in and cord_size is not None:
        yield "connector", cord_size.configuration or ""
    for part in facts.recipe(KIT_RECIPE[way.method], machine).parts:
        if part.kind in CLAMPING:
            yield part.kind, ""


@dataclass(frozen=True, slots=True)
class _Held:
    """The jackets that parts of a kind on offer hold, in inches; `open`: one of them leaves unsaid which."""

    ranges: list[tuple[Decimal, Decimal]]
    open: bool


def _stated(facts: Facts, kind: str, configuration: str) -> _Held:
    parts = [
        part.attributes
        for part in facts.on_offer.get(kind, ())
        if not configuration or part.attributes.get("configuration") == configuration
    ]
    stated = [have for have in parts if GRIP_TO_IN in have]
    return _Held(
        [(Decimal(str(have.get(GRIP_FROM_IN, 0))), Decimal(str(have[GRIP_TO_IN]))) for have in stated],
        len(stated) < len(parts),
    )
