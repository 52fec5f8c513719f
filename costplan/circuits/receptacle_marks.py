"""What a receptacle is listed for by its place: tamper-resistant (NFPA 70 406.12), weather-resistant (406.9(A), 314.15)."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from costplan.circuits.facts import Facts
from costplan.circuits.ground_fault import NEWEST_READING
from costplan.circuits.needs import Need
from costplan.circuits.size_types import CircuitSize, Reason, RuleOf, Rules
from costplan.model.choices import Method, Occupancy
from costplan.model.ratings import FOR_DAMP, LISTED_FOR_PLACE, TAMPER_RESISTANT, WEATHER_RESISTANT
from costplan.standards import receptacles

ONE_LINE = frozenset({"NEMA 5-15", "NEMA 5-20"})
TWO_LINES = frozenset({"NEMA 6-15", "NEMA 6-20"})
"""The straight-blade receptacles of 15 and 20 A, 125 and 250 V, that 406.12 names, no locking or larger ones; from memory."""
TWO_LINES_SINCE = 2017
"""The edition from which it names 250 V; from memory."""
LARGEST_A = 20
VOLTS = frozenset({"125", "250", "125/250"})
"""By labels, whatever the phases: the straight-blade receptacles that 406.9(A) names; of others the cover keeps damp out."""


class Asked(StrEnum):
    """Whether it is asked for; UNSAID where it turns on whether small children are there, which nobody said."""

    YES = "yes"
    NO = "no"
    UNSAID = "unsaid"


def tamper_resistant(configuration: str | None, method: Method, rules: Rules) -> Asked:
    """Whether a receptacle must be tamper-resistant, by edition, occupancy and way.

    In dwellings with their garages and basements, and where small children are taught or cared for. One at the ceiling is
    above 5-1/2 ft, where none is asked for. Of a school nobody said it is open; of other buildings it is taken as not so. Where
    the edition is not known, the newer reading is taken, as for ground faults; preschools and elementary schools, which it
    names from 2017, count as child care, which all editions in use name. That a machine is not easily moved out of its own
    place is not taken as an exception. Source: 406.12 with its exceptions, from memory.
    """
    edition = NEWEST_READING if rules.edition is None else rules.edition
    named = configuration in ONE_LINE or (configuration in TWO_LINES and edition >= TWO_LINES_SINCE)
    if not named or method is Method.CEILING:
        return Asked.NO
    if rules.occupancy.dwelling:
        return Asked.YES
    if rules.small_children is None and rules.occupancy is Occupancy.SCHOOL:
        return Asked.UNSAID
    return Asked.YES if rules.small_children else Asked.NO


def weather_resistant(size: CircuitSize) -> bool:
    """Whether a circuit's receptacle must be listed as weather-resistant: in a damp place, straight-blade, of 15 or 20 A."""
    device = receptacles.known(size.configuration)
    named = device is not None and device.rating_a <= LARGEST_A and device.volts in VOLTS
    return size.damp and named and device is not None and device.family == "straight"


@dataclass(frozen=True, slots=True)
class Demand:
    """A mark by the attribute that parts state it with, whether it is asked for, and what is said of it where it is bought."""

    mark: str
    asked: Callable[[CircuitSize, Method, Rules], bool]
    of: RuleOf
    source: str
    words: str
    unsold: str = ""
    """What is said besides where no part on offer has it; nothing at all is said then where this is empty."""


DEMANDS = (
    Demand(
        TAMPER_RESISTANT,
        lambda size, method, rules: tamper_resistant(size.configuration, method, rules) is Asked.YES,
        RuleOf.TAMPER_RESISTANT,
        "NFPA 70 406.12",
        "dwellings, and where small children are: 15 and 20 A straight-blade receptacles are tamper-resistant",
    ),
    Demand(
        WEATHER_RESISTANT,
        lambda size, method, rules: weather_resistant(size),
        RuleOf.WEATHER_RESISTANT,
        "NFPA 70 406.9(A), 314.15, from memory",
        "damp places: straight-blade receptacles of 15 and 20 A are weather-resistant, covers weatherproof when closed",
        "; no part on offer states that it is, so a plain one is priced: ask",
    ),
)
"""All marks that places ask of receptacles, each on top of those before it."""


def demanded(facts: Facts, size: CircuitSize, method: Method, rules: Rules) -> tuple[str, ...]:
    """The marks that a circuit's receptacle is bought with: asked for, and somebody has such a one; else the lists ask."""
    found: tuple[str, ...] = ()
    for demand in DEMANDS:
        more = (*found, demand.mark)
        if demand.asked(size, method, rules) and facts.has_receptacle(size.configuration, *more):
            found = more
    return found


@cache
def said_of(size: CircuitSize, method: Method, rules: Rules, bought: tuple[str, ...]) -> CircuitSize:
    """The circuit with the reasons of the marks it is `bought` with, and of those nobody sells; the same one each time."""
    for demand in DEMANDS:
        has = demand.mark in bought
        if has or (demand.unsold and demand.asked(size, method, rules)):
            words = demand.words + ("" if has else demand.unsold)
            size = size.with_reason(Reason(demand.of, demand.source, words))
    return size


def listed(end: Need) -> tuple[str, ...]:
    """The marks that the receptacle at the end of a run must have."""
    return tuple(mark for mark in LISTED_FOR_PLACE if (mark, "true") in end.spec.equal)


def lacks_weather(end: Need, size: CircuitSize) -> bool:
    """Whether it must be weather-resistant and no part on offer states it, so that a plain one is priced."""
    return weather_resistant(size) and WEATHER_RESISTANT not in listed(end)


def plain_parts(end: Need, outlet: Iterable[Need], size: CircuitSize) -> list[str]:
    """Kinds of parts around a new receptacle, `end`, in a damp place that do not state that they are made for it."""
    specs = [need.spec for need in outlet if need.spec.kind in FOR_DAMP and need.spec.kind != end.spec.kind]
    plain = (spec.kind for spec in specs if (FOR_DAMP[spec.kind], "true") not in spec.equal)
    return list(dict.fromkeys(plain)) if size.damp else []
