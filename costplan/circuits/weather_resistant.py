"""Receptacles, boxes and covers for damp places (NFPA 70 406.9(A), 314.15)."""

from collections.abc import Iterable
from functools import cache

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need
from costplan.circuits.size_types import CircuitSize, Reason
from costplan.circuits.tamper_resistant import ONE_LINE, TWO_LINES
from costplan.model.ratings import FOR_DAMP, TAMPER_RESISTANT, WEATHER_RESISTANT

RULE = "NFPA 70 406.9(A), 314.15, from memory"
NAMED = ONE_LINE | TWO_LINES
"""The push-in receptacles of 15 and 20 A that are listed as weather-resistant; of others the cover keeps the damp out."""


def asked_for(size: CircuitSize) -> bool:
    """Whether a circuit's receptacle must be listed as weather-resistant: in a damp place, push-in, of 15 or 20 A."""
    return size.damp and size.configuration in NAMED


def demanded(facts: Facts, size: CircuitSize, *, resists: bool) -> bool:
    """Whether its receptacle is bought so: it is asked for and somebody has such a one, tamper-resistant where it `resists`."""
    words = (WEATHER_RESISTANT, TAMPER_RESISTANT) if resists else (WEATHER_RESISTANT,)
    return asked_for(size) and facts.has_receptacle(size.configuration, *words)


def plain_parts(end: Need, outlet: Iterable[Need], size: CircuitSize) -> list[str]:
    """Kinds of a new outlet in a damp place whose parts do not state that they are made for it; `end` is its receptacle."""
    if not size.damp:
        return []
    kinds = [need.spec for need in (end, *outlet) if need.spec.kind in FOR_DAMP]
    plain = [spec.kind for spec in kinds if (FOR_DAMP[spec.kind], "true") not in spec.equal]
    return [kind for kind in dict.fromkeys(plain) if kind != end.spec.kind or asked_for(size)]


@cache
def said_of(size: CircuitSize) -> CircuitSize:
    """The circuit with the reason of its weather-resistant receptacle; the same one each time."""
    words = "damp places: push-in receptacles of 15 and 20 A are weather-resistant, covers weatherproof when closed"
    return size.with_reason(Reason("weather-resistant", RULE, words))
