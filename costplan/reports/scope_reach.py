"""What later moves need of the outlets that are put in today: which place a cord has to reach, and in which year."""

from collections.abc import Iterator, Mapping

from costplan.circuits.change import alter
from costplan.circuits.circuit import Builder, Circuit, Standing
from costplan.circuits.facts import Facts
from costplan.circuits.present import begin
from costplan.circuits.still_serves import cord_to_ft
from costplan.circuits.ways import Way
from costplan.ledger.holding import written
from costplan.model.choices import Method
from costplan.model.routes import AT_ITS_OUTLET_FT, whole_feet
from costplan.program.ranked import Ranked
from costplan.reports.circuits import CircuitRow
from costplan.years.calendar import lives, scenarios_of

REACH_HEAD = "What later moves need of today's outlets"
REACH_NOTE = (
    "The owner's plan counts that these cords hang so and that the outlets stay. Say where one cannot, or where a person or "
    "a load would go through it. Feet are by the heights of the site unless measured."
)


def later_reach(facts: Facts, ranked: Ranked, circuits: tuple[CircuitRow, ...]) -> tuple[str, ...]:
    """For each outlet put in today that serves its machine at another place later: where, when, and the feet of its cord."""
    made = {name: row for row in circuits if not row.is_there for name in row.machines}
    found: dict[str, dict[str, list[str]]] = {}
    for name, way, _ in ranked.plan.made_here():
        row = made.get(written(facts, name))
        if row is None or way.quoted:
            continue
        builder = Builder(facts, facts.machines[name], way)
        for when, standing, circuit in _still_served(facts, builder):
            at = row.place if way.method is Method.CORD else f"at {row.place}"
            outlet = f"line {row.number}, outlet {at}: the cord of {written(facts, name)} goes later to"
            goes = f"{standing.place}, {_feet(facts, way, builder, circuit, standing)}"
            found.setdefault(outlet, {}).setdefault(goes, []).append(when)
    return tuple(f"{outlet} {_places(places)}" for outlet, places in found.items())


def _places(places: Mapping[str, list[str]]) -> str:
    """Places with their feet, each with the years in which it is reached."""
    return "; ".join(f"{goes} ({', '.join(dict.fromkeys(whens))})" for goes, whens in places.items())


def _still_served(facts: Facts, builder: Builder) -> Iterator[tuple[str, Standing, Circuit]]:
    """Later standings at other places that the outlet of today serves, with year and scenario, and the circuit then."""
    scenarios = scenarios_of(facts.shop)
    for scenario in scenarios:
        life = lives(facts.shop, scenario).get(builder.machine.name)
        if life is None or not life.standings or life.standings[0].year > 0 or life.leaves == 0:
            continue
        first, *later = life.standings
        circuit = begin(builder, first).step.circuit
        for standing in later:
            if circuit is None or standing.building != first.building:
                break
            before, circuit = circuit, alter(builder, circuit, standing).circuit
            if circuit is None or circuit.outlet_place != before.outlet_place:
                break
            if standing.place != first.place:
                only = f" if {scenario.name}" if len(scenarios) > 1 else ""
                yield f"year {standing.year}{only}", standing, circuit


def _feet(facts: Facts, way: Way, builder: Builder, circuit: Circuit, standing: Standing) -> str:
    """How far a cord goes to a standing, and how that is reckoned. Raises NoRouteError never for a ranked plan."""
    if way.method is Method.CORD:
        hung = facts.routes.cord_ft(circuit.panel, standing.place) * standing.route_factor
        return f"{whole_feet(hung)} ft hung"
    feet = cord_to_ft(builder, circuit, standing)
    if way.method is Method.CEILING:
        return f"{whole_feet(feet)} ft from its drop"
    if facts.routes.measured_between(circuit.outlet_place, standing.place):
        return f"{whole_feet(feet)} ft as measured"
    if feet <= AT_ITS_OUTLET_FT:
        return f"{whole_feet(feet)} ft from its outlet"
    return f"{whole_feet(feet)} ft hung, up from the outlet, across and down"
