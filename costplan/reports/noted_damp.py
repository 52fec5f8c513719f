"""What is said of things in a damp place: parts that nobody offers for it."""

from collections.abc import Collection

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Need
from costplan.circuits.weather_resistant import lacking
from costplan.model.catalog import Part
from costplan.program.ranking import Ranked
from costplan.reports.there import built

LACKS_DAMP = ", weather-resistant (NEC 406.9(A)): no part on offer states it, ask"
"""What is said at the line of a receptacle in a damp place that nobody offers so."""


def to_ask_in_damp(facts: Facts, ranked: Ranked, part: Part, needs: Collection[Need]) -> str:
    """What a part that is bought today must be in a damp place and does not state; else empty."""
    if part.kind != "receptacle" or not any(space.damp for space in facts.spaces.values()):
        return ""
    specs = {need.spec for need in needs}
    ends = [(circuit.receptacle, circuit.size) for _, _, _, circuit in built(facts, ranked)]
    lacks = any(end.spec in specs and lacking(end, size) for end, size in ends)
    return "must be weather-resistant in the damp, which no part on offer states: ask" if lacks else ""
