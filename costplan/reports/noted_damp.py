"""What is said of things in a damp place: parts that nobody offers for it, and cases, of which no catalog says the type."""

from collections.abc import Collection, Iterator

from costplan.circuits.circuit import Circuit
from costplan.circuits.facts import DRIVE, Facts
from costplan.circuits.gear import CONVERTER_KIND, candidate
from costplan.circuits.needs import Need, Spec
from costplan.circuits.weather_resistant import lacking
from costplan.model.catalog import Part
from costplan.model.gear import Gear
from costplan.model.ratings import FUSED_DISCONNECT
from costplan.program.ranking import Ranked
from costplan.reports.there import built

LACKS_DAMP = ", weather-resistant (NEC 406.9(A)): no part on offer states it, ask"
"""What is said at the line of a receptacle in a damp place that nobody offers so."""

IN_CASE = ", in an enclosure for damp places, such as type 3R (NEC 110.28, 312.2)"
"""What is said at the line of a disconnect in a damp place."""
CASED = frozenset({"disconnect", FUSED_DISCONNECT, "panel", CONVERTER_KIND, DRIVE})
"""Kinds of parts with a case of their own, whose type a damp place asks for (NFPA 70 110.28, 312.2, from memory)."""


def stands_damp(facts: Facts, gear: Gear) -> bool:
    """Whether gear that is at a place, or hangs in a panel there, stands in a damp one; what is nowhere does not."""
    place = gear.at or (facts.place_of_panel(gear.panel) if gear.panel else "")
    return bool(place) and facts.space_at(place).damp


def cases_of(circuit: Circuit) -> Iterator[Spec]:
    """What a circuit has at its machine that has a case of its own."""
    device, switch = circuit.supplied.device, circuit.switch
    needs = [circuit.receptacle]
    for bought in (made.bought for made in (device, switch) if made is not None):
        needs += bought.needs
    yield from (need.spec for need in needs if need.spec.kind in CASED)


def to_ask_in_damp(facts: Facts, ranked: Ranked, part: Part, needs: Collection[Need]) -> str:
    """What a part that is bought today must be in a damp place and does not state; else empty."""
    asks = part.kind == "receptacle" or part.kind in CASED
    if not asks or not any(space.damp for space in facts.spaces.values()):
        return ""
    specs = {need.spec for need in needs}
    circuits = [circuit for _, _, _, circuit in built(facts, ranked)]
    if part.kind == "receptacle":
        ends = [(circuit.receptacle, circuit.size) for circuit in circuits]
        lacks = any(end.spec in specs and lacking(end, size) for end, size in ends)
        return "must be weather-resistant in the damp, which no part on offer states: ask" if lacks else ""
    cases = {spec for circuit in circuits if circuit.damp_there for spec in cases_of(circuit)}
    for gear in (facts.gear[bought.name] for bought in ranked.plan.gear if bought.year == 0):
        if gear.quote_cents is None and stands_damp(facts, gear):
            cases |= {need.spec for need in candidate(facts, gear).bundle.needs}
    return "in the damp: ask for an enclosure for damp places, such as type 3R" if specs & cases else ""
