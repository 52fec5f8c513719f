"""The circuit a machine asks for at a place, built from scratch: a run and two ends."""

from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal
from typing import Any

from costplan.circuits.clamps import clamped
from costplan.circuits.cord_length import cord_ft
from costplan.circuits.facts import Facts
from costplan.circuits.fuses import fuse_reason, fused_needs
from costplan.circuits.grips import held_by_grip
from costplan.circuits.heavier import RunAsked, pigtails, rules_of, size_of_cord
from costplan.circuits.needs import (
    AS_USUAL,
    Attribute,
    Bundle,
    Item,
    Need,
    Slowed,
    Spec,
    StockNeed,
    make_spec,
)
from costplan.circuits.numbered import numbered
from costplan.circuits.outlet_key import DISCONNECT, OutletKey
from costplan.circuits.outlets import (
    comes_along,
    device,
    outlet_item,
    where_outlet_is,
    wired,
)
from costplan.circuits.own_cord import plug_of_machine, plug_on_own_cord, plug_stays
from costplan.circuits.plug_marks import NO_MARKS, PlugMarks, asks_for_a_switch, with_marked_ends
from costplan.circuits.receptacle_marks import demanded, said_of
from costplan.circuits.remembered import Remembered
from costplan.circuits.run_parts import (
    breaker_need,
    conduit_size,
    disconnect_need,
    end_work,
    receptacle_need,
    run_recipe,
    shared_by,
    wiring_needs,
    wiring_of,
    with_devices_had,
    with_parts_there,
)
from costplan.circuits.size_types import CannotSizeError, CircuitSize, Load, Rules, Wiring
from costplan.circuits.stages import Corded, Ended, Known, Run
from costplan.circuits.supply import (
    Supplied,
    counted_va,
    must_start,
    panel_for,
    slowed_device,
    supplied,
    through_transformer,
)
from costplan.circuits.switch import LEAD_FT, lead_of_drive, switch_at_machine, switch_recipe
from costplan.circuits.things import Made, PartKind, Tie
from costplan.circuits.volts import fed_from
from costplan.circuits.walls import kept_out_at, lays_nonmetallic, walls_opened
from costplan.circuits.ways import Way, at_single_phase
from costplan.circuits.wear import wearing
from costplan.model.catalog import Recipe
from costplan.model.choices import Method, Service, Supply
from costplan.model.conditions import SpaceWords
from costplan.model.routes import hang_ft
from costplan.model.shop import Machine
from costplan.standards import cords, receptacles


@numbered
@dataclass(frozen=True)
class Standing:
    """A machine in one stretch of years: where it is and what its nameplate says."""

    year: int
    place: str
    load: Load
    building: int
    route_factor: Decimal
    why: str
    step: int = 0
    """Which of the machine's standings of that year, 0 for the first."""
    there: SpaceWords | None = None
    """What the file says of the building that it moved to with the shop; None for today's, and for one that is as here."""


@dataclass(frozen=True, slots=True)
class Circuit:
    """A circuit: where its outlet is, what its parts must be, how it was sized."""

    standing: Standing
    panel: str
    outlet_place: str
    size: CircuitSize
    outlet: StockNeed
    receptacle: Need
    fuses: Need | None
    breaker: StockNeed
    cable: Item | None
    cord_size: CircuitSize | None
    machine_plug: str | None
    reach_ft: Decimal
    supplied: Supplied
    run_ft: int
    draw_va: int
    """What it counts for on its panel and above, a continuous load at 125 %."""
    route_ft: Decimal = Decimal(0)
    """How far its run goes, without ends and waste: what voltage drop is reckoned over."""
    outlet_slowed: Slowed = AS_USUAL
    machine_slowed: Slowed = AS_USUAL
    plug_marks: PlugMarks = NO_MARKS
    """What the plug that the machine is unplugged by, and what takes it, must be marked for."""
    switch: StockNeed | None = None
    """The switch at the machine, where the marks of its plug are below its horsepower, or its plug is out of sight."""
    spare: bool = False
    """Whether its outlet is kept live when nobody uses it, whatever is done with others."""
    ground_awg: str = ""
    """The ground of a run that is there, where the file says its size; empty where nobody looked, or it is as sized."""
    damp_there: bool = False
    """Whether its machine, and so what disconnects it there, stands in a damp place."""

    @property
    def flexible(self) -> bool:
        """Whether a flexible cord belongs to it."""
        return self.cable is not None

    @property
    def hard_wired_motor(self) -> bool:
        """Whether its wire is protected by the motor's own overload device, and not by its breaker."""
        return self.size.configuration is None and self.supplied.load.motor


class Builder:
    """Builds the circuit of one machine by one way; remembers what it built, and what ways with the same circuits built."""

    def __init__(self, facts: Facts, machine: Machine, way: Way) -> None:
        self.facts, self.machine, self.way = facts, machine, way
        # A machine as it is told otherwise than in the shop has its name, and shares nothing with it.
        builders = facts.builders if machine is facts.machines.get(machine.name) else {}
        first = builders.setdefault((machine.name, way.as_built), self)
        self._built: Remembered[tuple[Standing, bool, str], Circuit]
        self._run: Way
        self.known: Known
        if first is not self:
            self._built, self._run, self.known = first._built, first._run, first.known
            return
        # Ways by other cords have the same run; ends and breakers are the machine's by any way, as are all that is `known`.
        self._built, self._run = Remembered(), way.run
        self.known = builders.get((machine.name,)) or builders.setdefault((machine.name,), Known())

    def build(self, standing: Standing, *, first: bool = False, outlet_at: str = "") -> Circuit:
        """As `_build`, each circuit once. Raises CannotSizeError and NoRouteError."""
        # Where the way begins with no cord of a length of its own, it begins as it goes on.
        begins = first and bool(self.way.first_cord_ft)
        asked = standing, begins, outlet_at
        return self._built.of(asked, lambda: self._build(standing, first=begins, outlet_at=outlet_at))

    def cord_of(self, circuit: Circuit, cord_ft: int) -> Item | None:
        """The cord that a circuit asks for as long as one that is there, on its run as that lies. Raises CannotSizeError."""
        standing, known = circuit.standing, self.known
        panel, fed = known.feds.of((self._run, standing.load), lambda: self._fed(standing.load))
        run = known.runs.of((self._run, standing, ""), lambda: self._run_to(standing, "", panel, fed))
        return self._cable(self._corded(replace(run, laid_ft=circuit.route_ft), cord_ft), cord_ft)

    def recipe(self, name: str) -> Recipe:
        """The recipe in force for this machine."""
        return self.facts.recipe(name, self.machine)

    def expanded(self, name: str, **sizes: Any) -> Bundle:
        """Parts and work of the recipe in force for this machine, as `Facts.expanded`."""
        return self.facts.expanded(name, self.machine, **sizes)

    def wearing(self, thing: StockNeed, slowed: Slowed = AS_USUAL) -> StockNeed:
        """The thing with what is to know of its wear at this machine. Raises CannotSizeError."""
        return wearing(self.facts, self.machine, thing, slowed)

    def end(
        self, kind: str, configuration: str, work: Bundle, slowed: Slowed, marks: PlugMarks, cord: Spec
    ) -> StockNeed:
        """A plug or connector of a cord. Raises CannotSizeError."""
        asked = kind, configuration, work, marks, cord
        return self.known.things.of((asked, slowed), lambda: self.wearing(device(*asked), slowed))

    def _fed(self, asked: Load) -> tuple[str, Supplied]:
        """The panel that feeds a load, and what its circuit feeds, which it starts. Raises CannotSizeError."""
        panel, fed = self._supplied(asked)
        must_start(self.facts, self.machine, panel, fed.load)
        if self.way.supply is Supply.PANEL and not self.way.hard_wired:
            plug_stays(self.machine, asked, fed.load, panel)
        return panel, fed

    def _supplied(self, asked: Load) -> tuple[str, Supplied]:
        facts, way = self.facts, self.way
        if way.supply is Supply.TRANSFORMER:
            return way.panel, through_transformer(facts, self.machine, asked, facts.panels[way.panel])
        made = way.supply is not Supply.PANEL and asked.phases == 3
        at_panel = at_single_phase(asked) if made else asked
        panel = panel_for(facts, self.machine, way, at_panel)
        fed = fed_from(facts.panels[panel], at_panel, way.volts)
        load = fed.load if fed is not None and fed.load is not None else at_panel
        return panel, supplied(
            facts, self.machine, replace(load, phases=asked.phases), way.supply, way.sized_by
        )

    def _build(self, standing: Standing, *, first: bool = False, outlet_at: str = "") -> Circuit:
        """The whole circuit at a standing, the `first` with the cord that the way begins with.

        `outlet_at` is the place whose rules hold for its outlet, where that is not the standing's.
        Raises CannotSizeError and NoRouteError.
        """
        facts, way, known = self.facts, self.way, self.known
        at = self._run, standing, outlet_at
        panel, fed = known.feds.of((self._run, standing.load), lambda: self._fed(standing.load))
        cord_ft = self.cord_ft(panel, standing)
        if first and cord_ft is not None:
            cord_ft = max(cord_ft, way.first_cord_ft)
        run = known.runs.of(at, lambda: self._run_to(standing, outlet_at, panel, fed))
        load, rules = fed.load, run.rules
        corded = known.corded.of((*at, cord_ft), lambda: self._corded(run, cord_ft))
        cable, cord_size = self._cable(corded, cord_ft), corded.cord_size
        ended = known.ended.of((*at, cord_ft), lambda: self._ended(standing, run, corded))
        size, slowed = ended.size, ended.machine_slowed
        switch = None
        if corded.marks.switched or corded.out_of_sight:
            switch = self._switch(panel, load, size, self.lead(load, size, cable, rules), slowed)
        if fed.device is not None:
            made = slowed_device(fed.device, slowed)
            if load.driven and not way.hard_wired:
                lead = lead_of_drive(facts, self.machine, way, self.lead(load, size, cable, rules))
                made = replace(made, bought=made.bought + lead)
            fed = replace(fed, device=self.wearing(made, slowed))
        made_of = size, ended.end, ended.fuses, ended.breaker
        return Circuit(
            standing=standing,
            panel=panel,
            outlet_place=where_outlet_is(way.method, panel, standing.place),
            size=size,
            outlet=known.things.of((*at, *made_of), lambda: self._outlet(standing, run, ended)),
            receptacle=ended.end,
            fuses=ended.fuses,
            breaker=ended.breaker,
            cable=cable,
            cord_size=cord_size,
            machine_plug=ended.plug,
            reach_ft=self.reach_ft(),
            supplied=fed,
            run_ft=run.length_ft,
            route_ft=run.laid_ft,
            draw_va=int(counted_va(standing.load, load, size.current_a).to_integral_value(ROUND_CEILING)),
            outlet_slowed=ended.slowed,
            machine_slowed=slowed,
            plug_marks=corded.marks,
            switch=switch,
            damp_there=facts.space_at(standing.place, standing.there).damp,
        )

    def _run_to(self, standing: Standing, outlet_at: str, panel: str, fed: Supplied) -> Run:
        """The run to a standing, by all ways that differ only in their cords. Raises CannotSizeError and NoRouteError."""
        facts, way = self.facts, self.way
        recipe, laid_ft = self.recipe(run_recipe(way)), self.route_ft(panel, standing)
        length_ft = facts.run_length_ft(recipe, laid_ft)
        rules = self.rules(panel, standing, outlet_at)
        asked = RunAsked(
            facts,
            self.machine,
            fed.load,
            wiring_of(way),
            str(way.family) if way.family else None,
            laid_ft,
            length_ft if recipe.quote is None else None,
            way.ground_fault_receptacle,
            way.least_awg,
        )
        size = asked.sized(rules)
        size = with_devices_had(facts, way.method, size, demanded(facts, size, way.method, rules))
        return Run(panel, fed, recipe, length_ft, laid_ft, rules, size)

    def _corded(self, run: Run, cord_ft: int | None) -> Corded:
        """The run with a cord of so many feet, None for the machine's own. Raises CannotSizeError."""
        facts, way, load, size, cord_size = self.facts, self.way, run.fed.load, run.size, None
        if cord_ft is not None:
            at_machine = self._family_at_machine(load)
            over_ft, least = cord_ft + run.laid_ft, way.least_awg
            cord_size = size_of_cord(
                facts, load, at_machine, run.rules, over_ft, size.breaker_a, cord_ft, least
            )
        # Its plug is at the panel, out of sight of the motor or its drive (NFPA 70 430.102(A), (B)).
        out_of_sight = way.wired_in and asks_for_a_switch(self.machine, way.supply, load)
        marks = NO_MARKS
        if not out_of_sight:
            size, cord_size, marks = with_marked_ends(
                facts, self.machine, load, size, cord_size, hangs=way.hangs
            )
        return Corded(size, cord_size, marks, out_of_sight)

    def _cable(self, corded: Corded, cord_ft: int | None) -> Item | None:
        """The cord that is made, of a jacket that its ends hold. Raises CannotSizeError."""
        way, size, cord_size = self.way, corded.size, corded.cord_size
        if cord_size is None or cord_ft is None:
            return None
        cable = Item(self._cord_spec(cord_size), cord_ft)
        return self.known.cables.of(
            (cable, way.method, way.wired_in, way.service, size.configuration, cord_size.configuration),
            lambda: clamped(self.facts, self.machine, way, cable, size, cord_size),
        )

    def _ended(self, standing: Standing, run: Run, corded: Corded) -> Ended:
        """The ends of a run with such a cord. Raises CannotSizeError."""
        way, panel, load, size, cord_size = self.way, run.panel, run.fed.load, corded.size, corded.cord_size
        plug = None if way.wired_in else plug_of_machine(load, cord_size or size)
        if way.supply is Supply.PANEL and not way.into_machine:
            plug = plug_on_own_cord(self.facts, self.machine, standing.load, load, plug)
        at_most_a = min(each.breaker_at_most_a for each in (size, cord_size) if each is not None)
        size, end, fuses = self._ending(panel, size, load, corded.marks, run.rules)
        breaker = self._breaker(standing.building, panel, size, max(at_most_a, size.breaker_a))
        slowed = self.outlet_slowed(panel, standing.place)
        machine_slowed = self.facts.slowed(standing.place, panel, along=way.method is Method.CORD)
        return Ended(size, end, fuses, breaker, plug, slowed, machine_slowed)

    def _switch(self, panel: str, load: Load, size: CircuitSize, cord: Spec, slowed: Slowed) -> StockNeed:
        """The switch on a machine that its plug does not disconnect, each once. Raises CannotSizeError."""
        way = self.way
        asked = Made.OWN_SWITCH, panel, load, size, cord, slowed, way.into_machine, way.service, way.grip
        return self.known.things.of(asked, lambda: self._new_switch(panel, load, size, cord, slowed))

    def _new_switch(self, panel: str, load: Load, size: CircuitSize, cord: Spec, slowed: Slowed) -> StockNeed:
        facts, switch = self.facts, disconnect_need(self.facts, panel, size, load)
        made = switch_at_machine(facts, self.machine, self.way, switch, cord)
        work = self.expanded(switch_recipe(facts, self.machine), size=size).slowed(slowed)
        made = replace(made, bought=made.bought.slowed(slowed) + work, reused=work)
        return self.wearing(with_parts_there(facts, self.machine, made), slowed)

    def lead(self, load: Load, size: CircuitSize, cable: Item | None, rules: Rules) -> Spec:
        """What a short cord at the machine must be: as the one that goes into it. Raises CannotSizeError."""
        if cable is not None and self.way.into_machine:
            return cable.spec
        family = str(self.way.family) if self.way.family else None
        feet = Decimal(LEAD_FT)
        return self._cord_spec(size_of_cord(self.facts, load, family, rules, feet, size.breaker_a, LEAD_FT))

    def _family_at_machine(self, load: Load) -> str | None:
        """The family of a cord's end at the machine: it takes the machine's own plug, where it has one."""
        if load.plug is not None and self.way.method in (Method.CORD, Method.CEILING):
            return receptacles.find_configuration(load.plug).family
        return str(self.way.family) if self.way.family else None

    def cord_ft(self, panel: str, standing: Standing) -> int | None:
        """How long its cord must be, None where it has only the machine's own. Raises CannotSizeError and NoRouteError."""
        facts, factor = self.facts, standing.route_factor
        return cord_ft(facts, self.machine, self.way, panel, standing.place, factor)

    def route_ft(self, panel: str, standing: Standing) -> Decimal:
        """Feet of the run's route, ends and waste left out. Raises NoRouteError."""
        routes, method = self.facts.routes, self.way.method
        if method is Method.CORD:
            # A way that nobody measured is asked about, though its run has no route.
            routes.cord_ft(panel, standing.place)
            return Decimal(0)
        route = routes.ceiling_ft if method is Method.CEILING else routes.fixed_ft
        return route(panel, standing.place) * standing.route_factor

    def run_ft(self, panel: str, standing: Standing) -> int:
        """Whole feet of fixed wiring of the run, extra and waste included. Raises NoRouteError."""
        return self.facts.run_length_ft(self.recipe(run_recipe(self.way)), self.route_ft(panel, standing))

    def outlet_slowed(self, panel: str, place: str) -> Slowed:
        """What makes work on the outlet that serves a place slower."""
        beside = self.way.method is Method.CORD
        return self.facts.slowed_at_panel(panel) if beside else self.facts.slowed(place, panel, along=True)

    def rules(self, panel: str, standing: Standing, outlet_at: str = "") -> Rules:
        """The rules of an outlet at a place, else of the one that serves the machine where it stands, at its panel or there."""
        served = self.facts.place_of_panel(panel) if self.way.method is Method.CORD else standing.place
        return rules_of(self.facts.rules_at(outlet_at or served, standing.there), self.machine)

    def reach_ft(self) -> Decimal:
        """How far from its outlet's place the machine can stand without buying anything."""
        if self.way.hard_wired or self.way.method is Method.CORD:
            return Decimal(0)
        if self.way.method is Method.CEILING:
            return max(self.facts.shop.cords.pendant_ft - hang_ft(self.facts.shop), Decimal(0))
        return self.machine.own_cord_ft + self.way.slack_ft

    def _cord_spec(self, size: CircuitSize) -> Spec:
        """What a cord for a circuit must be, each once. Raises CannotSizeError."""
        way = self.way
        asked = size, way.spare_conductor, way.service, way.into_machine, way.grip
        return self.known.cords.of(asked, lambda: self._new_cord_spec(size))

    def _new_cord_spec(self, size: CircuitSize) -> Spec:
        wires = max(size.wires, 4) if self.way.spare_conductor else size.wires
        low: dict[str, Attribute] = {"awg": size.awg, "conductors": wires, "volts": size.cord_volts_at_least}
        high: dict[str, Attribute] = {"awg": size.awg_at_most}
        soft = self.way.service is None or cords.made_in_service(str(self.way.service), size.awg)
        plain = soft and self.way.service is not Service.HARD
        hard: dict[str, Attribute] = {} if plain else {"service": "hard"}
        return held_by_grip(self.facts, self.machine, self.way, make_spec("cord", hard, low, high))

    def _ending(
        self, panel: str, size: CircuitSize, load: Load, marks: PlugMarks, rules: Rules
    ) -> tuple[CircuitSize, Need, Need | None]:
        """What the run ends in, the fuses in it, and the circuit with what is to be said of them. Raises CannotSizeError."""
        if not self.way.hard_wired:
            method = self.way.method
            listed = demanded(self.facts, size, method, rules)
            end = receptacle_need(size, NO_MARKS if self.way.hangs else marks, listed)
            return said_of(size, method, rules, listed), end, None
        if not self.machine.ways.fused:
            return size, disconnect_need(self.facts, panel, size, load), None
        if self.way.supply is Supply.TRANSFORMER:
            raise CannotSizeError(
                "fuses ahead of a transformer are not priced: leave out fused, or get a quote"
            )
        end, fuses = fused_needs(load, size, self.facts.line_volts(panel))
        return size.with_reason(fuse_reason(load, fuses)), end, fuses

    def _outlet(self, standing: Standing, run_to: Run, ended: Ended) -> StockNeed:
        """The outlet with its run, box and receptacle; its breaker is asked for when it is made."""
        panel, load, recipe, length_ft = run_to.panel, run_to.fed.load, run_to.recipe, run_to.length_ft
        size, end, fuses, breaker, slowed = ended.size, ended.end, ended.fuses, ended.breaker, ended.slowed
        outlet_place = where_outlet_is(self.way.method, panel, standing.place)
        facts, way, end_in = self.facts, self.way, end_work(self.facts, self.machine, load, size)
        trade = conduit_size(size) if wiring_of(way) is Wiring.CONDUIT else ""
        run = self.expanded(
            run_recipe(way), length_ft=length_ft, laid_ft=run_to.laid_ft, size=size, trade_size=trade
        )
        inner: tuple[StockNeed, ...] = (breaker,)
        if recipe.quote is None:
            wiring = wiring_needs(facts, wiring_of(way), size, length_ft, trade)
            run = Bundle(wiring) + run + end_in + pigtails(facts, self.machine, size)
            run = Bundle(() if fuses is None else (fuses,)) + run
            worn = end.spec.kind in facts.wearing_kinds
            run = Bundle((end,) if worn else ()) + run
            inner = inner if worn else (breaker, StockNeed(Item(end.spec), Bundle((end,))))
        run = run + walls_opened(facts, self.machine, way, panel, standing.place)
        item = outlet_item(
            OutletKey(
                building=standing.building,
                end=size.configuration or DISCONNECT,
                panel=panel,
                place=outlet_place,
                poles=size.poles,
                run=way.method,
                wired=wired(size, end, fuses, breaker.item),
            )
        )
        made = StockNeed(
            item,
            run.slowed(slowed),
            inner=inner,
            shared_by=shared_by(self.machine, panel, size),
            along=comes_along(item, breaker),
            ends=(
                self.changed_receptacle(size, load, end, fuses, slowed),
                self.changed_breaker(panel, size, breaker),
            ),
            found_only=self._only_found(panel, standing) or not receptacles.has_ground(size.configuration),
        )
        return self.wearing(made, slowed)

    def _only_found(self, panel: str, standing: Standing) -> bool:
        """Whether no such run may be laid there anew, so that only one that is there can serve."""
        laid = lays_nonmetallic(self.facts, self.machine, self.way) and self.way.beside is None
        return laid and kept_out_at(self.facts, panel, standing.place, standing.there) is not None

    def changed_receptacle(
        self, size: CircuitSize, load: Load, end: Need, fuses: Need | None, slowed: Slowed
    ) -> StockNeed:
        """The receptacle or disconnect at the end of a run that stays, in place of another; its fuses are new."""
        work = end_work(self.facts, self.machine, load, size, changed=True).slowed(slowed)
        work = Bundle(() if fuses is None else (fuses,)) + work
        return StockNeed(Item(end.spec), Bundle((end,)) + work, reused=work)

    def changed_breaker(self, panel: str, size: CircuitSize, breaker: StockNeed) -> StockNeed:
        """The breaker of a run that stays, in place of another."""
        need = next(need for need in breaker.bought.needs if need.spec.kind == PartKind.BREAKER)
        slowed = self.facts.slowed_at_panel(panel)
        work = self.expanded("change breaker", size=size).slowed(slowed)
        return replace(breaker, bought=Bundle((need,)) + work, reused=work, shared_by=None)

    def _breaker(self, *asked: *tuple[int, str, CircuitSize, int]) -> StockNeed:
        return self.known.things.of(asked, lambda: self._new_breaker(*asked))

    def _new_breaker(self, building: int, panel: str, size: CircuitSize, at_most_a: int) -> StockNeed:
        need = breaker_need(self.facts, panel, size, at_most_a, ground_fault=size.ground_fault)
        name = "ground-fault breaker" if size.ground_fault else "breaker"
        slowed = self.facts.slowed_at_panel(panel)
        work = self.expanded(name, size=size).slowed(slowed)
        spec = Spec(need.spec.kind, need.spec.equal, need.spec.at_least, need.spec.at_most, tie=Tie(building))
        made = StockNeed(
            Item(spec), Bundle((need,)) + work, reused=work, shared_by=shared_by(self.machine, panel, size)
        )
        return self.wearing(made, slowed)
