"""Receptacles, boxes and covers for damp places (NFPA 70 406.9(A), 314.15)."""

from collections.abc import Iterable
from functools import cache

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need
from costplan.circuits.size_types import CircuitSize, Reason, RuleOf
from costplan.model.ratings import FOR_DAMP, TAMPER_RESISTANT, WEATHER_RESISTANT
from costplan.standards import receptacles

RULE = "NFPA 70 406.9(A), 314.15, from memory"
LARGEST_A = 20
VOLTS = frozenset({"125", "250", "125/250"})
"""By their labels, whatever the phases: the push-in receptacles that 406.9(A) names; of others the cover keeps the damp out."""


def asked_for(size: CircuitSize) -> bool:
    """Whether a circuit's receptacle must be listed as weather-resistant: in a damp place, push-in, of 15 or 20 A."""
    device = receptacles.known(size.configuration)
    named = device is not None and device.rating_a <= LARGEST_A and device.volts in VOLTS
    return size.damp and named and device is not None and device.family == "straight"


def lacking(end: Need, size: CircuitSize) -> bool:
    """Whether it must be so and no part on offer states it, so that a plain one is priced; `end` is its receptacle."""
    return asked_for(size) and (WEATHER_RESISTANT, "true") not in end.spec.equal


def demanded(facts: Facts, size: CircuitSize, *, resists: bool) -> bool:
    """Whether its receptacle is bought so: it is asked for and somebody has such a one, tamper-resistant where it `resists`."""
    words = (WEATHER_RESISTANT, TAMPER_RESISTANT) if resists else (WEATHER_RESISTANT,)
    return asked_for(size) and facts.has_receptacle(size.configuration, *words)


def plain_parts(end: Need, outlet: Iterable[Need], size: CircuitSize) -> list[str]:
    """Kinds of parts around a new receptacle, `end`, in a damp place that do not state that they are made for it."""
    specs = [need.spec for need in outlet if need.spec.kind in FOR_DAMP and need.spec.kind != end.spec.kind]
    plain = (spec.kind for spec in specs if (FOR_DAMP[spec.kind], "true") not in spec.equal)
    return list(dict.fromkeys(plain)) if size.damp else []


@cache
def said_of(size: CircuitSize, *, bought: bool) -> CircuitSize:
    """The circuit with the reason of its weather-resistant receptacle, where it must be one; the same one each time."""
    if not asked_for(size):
        return size
    words = "damp places: push-in receptacles of 15 and 20 A are weather-resistant, covers weatherproof when closed"
    words += "" if bought else "; no part on offer states that it is, so a plain one is priced: ask"
    return size.with_reason(Reason(RuleOf.WEATHER_RESISTANT, RULE, words))
