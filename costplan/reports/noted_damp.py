"""What is said of things in a damp place: what nobody offers for it, cases of which no catalog says the type, what stays."""

from collections.abc import Collection, Iterable, Iterator, Mapping

from costplan.circuits.circuit import Circuit
from costplan.circuits.facts import DRIVE, Facts
from costplan.circuits.needs import Need, Spec
from costplan.circuits.receptacle_marks import lacks_weather
from costplan.circuits.shared_gear import CONVERTER_KIND, candidate
from costplan.ledger.steps import Act
from costplan.model.catalog import Part
from costplan.model.gear import Gear
from costplan.model.ratings import FUSED_DISCONNECT
from costplan.program.ranked import Ranked
from costplan.reports.noted_machine import Holds, InPlan
from costplan.reports.remarks import Topic
from costplan.reports.there import built
from costplan.standards import receptacles

LACKS_DAMP = ", weather-resistant (NEC 406.9(A)): no part on offer states it, ask"
"""What is said at the line of a receptacle in a damp place that nobody offers so."""

IN_CASE = (
    ", in an enclosure for damp places, such as type 3R, or 4 where dust settles too (NEC 110.28, 312.2)"
)
"""What is said at the line of a disconnect in a damp place."""
IN_CASES = (
    "; in a damp place: all of it in enclosures for damp places, such as type 3R, and fittings for them"
)
"""The same at the line of shared gear."""
CASED = frozenset({"disconnect", FUSED_DISCONNECT, "panel", CONVERTER_KIND, DRIVE})
"""Kinds of parts with a case of their own, whose type a damp place asks for (NFPA 70 110.28, 312.2, from memory)."""


def stands_damp(facts: Facts, gear: Gear) -> bool:
    """Whether gear that is at a place, or hangs in a panel there, stands in a damp one; what is nowhere does not."""
    place = gear.at or (facts.place_of_panel(gear.panel) if gear.panel else "")
    return bool(place) and facts.space_at(place).damp


def of_gear(facts: Facts, today: Iterable[str], worked_in: Iterable[str]) -> Iterator[tuple[Topic, str]]:
    """What is said of gear that is put in today in a damp place, and of panels there that are worked in."""
    bought = dict.fromkeys(today)
    for name in bought:
        if stands_damp(facts, facts.gear[name]):
            yield Topic.DAMP_GEAR, facts.gear[name].entry
    for name in dict.fromkeys(worked_in):
        gear = facts.gear.get(name)
        damp = facts.space_at(facts.place_of_panel(name)).damp if gear is None else stands_damp(facts, gear)
        if name not in bought and damp:
            yield Topic.DAMP_PANEL, name


def _outlet_stays(at: InPlan) -> bool:
    """A receptacle that is there and stays in a damp place: nobody said how it is protected."""
    had = at.powered.had
    stays = had is not None and at.powered.receptacle is None and receptacles.known(had.end) is not None
    damp = at.facts.space_at(at.outlet_at).damp if at.by_cord else at.circuit.damp_there
    return stays and damp


def _hangs_damp(at: InPlan) -> bool | str:
    """A cord from beside its panel, to be bought or hung anew, whose machine stands in a damp place."""
    cord = at.powered.cord
    hung = at.changes or (cord is not None and cord.act is not Act.KEEP)
    if not at.by_cord or not (hung and at.circuit.damp_there):
        return False
    return "wired into it" if at.way.wired_in else True


DAMP_TOPICS: Mapping[Topic, Holds] = {
    Topic.DAMP_OUTLET: _outlet_stays,
    Topic.DAMP_CORD: _hangs_damp,
}
"""When a circuit gives rise to a topic of damp places that no way brings by itself."""


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
        lacks = any(end.spec in specs and lacks_weather(end, size) for end, size in ends)
        return "must be weather-resistant in the damp, which no part on offer states: ask" if lacks else ""
    cases = {spec for circuit in circuits if circuit.damp_there for spec in cases_of(circuit)}
    for gear in (facts.gear[bought.name] for bought in ranked.plan.gear if bought.year == 0):
        if gear.quote_cents is None and stands_damp(facts, gear):
            cases |= {need.spec for need in candidate(facts, gear).bundle.needs}
    return "in the damp: ask for an enclosure for damp places, such as type 3R" if specs & cases else ""
