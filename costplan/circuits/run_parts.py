"""What a run is bought as: its wires, conduit or cable, and the switchgear at its ends, with the ratings they must have."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import ROUND_CEILING, Decimal

from costplan.circuits.currents import switched_hp
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Attribute, Bundle, Item, Need, StockNeed, make_spec
from costplan.circuits.own_cord import without_cord
from costplan.circuits.plug_marks import NO_MARKS, PlugMarks
from costplan.circuits.size_types import CannotSizeError, CircuitSize, Load, Wiring
from costplan.circuits.ways import Way
from costplan.model.catalog import BESIDE_BY_CABLE, BESIDE_IN_CONDUIT, HARD_WIRED_LEAD, HEATER_LEAD
from costplan.model.choices import LoadKind, Method
from costplan.model.ratings import GROUND_FAULT, horsepower_mark
from costplan.model.routes import whole_feet
from costplan.model.shop import Machine
from costplan.standards.conduit import trade_size
from costplan.standards.loads import motor_disconnect_a

WIRING = {
    Method.WALL: Wiring.CABLE,
    Method.CONDUIT: Wiring.CONDUIT,
    Method.ARMORED: Wiring.ARMORED,
    Method.CEILING: Wiring.ARMORED,
    Method.CORD: Wiring.ARMORED,
}
RUN_RECIPE = {
    Method.WALL: "wall drop",
    Method.CONDUIT: "conduit drop",
    Method.ARMORED: "armored drop",
    Method.CEILING: "ceiling outlet",
    Method.CORD: "outlet beside panel",
}
"""The recipe of each kind of run."""
BESIDE = {Method.CONDUIT: BESIDE_IN_CONDUIT, Method.WALL: BESIDE_BY_CABLE}
"""Other runs to an outlet beside the panel, with their recipes: a conduit or nipple, and nonmetallic cable."""
"""Of an outlet: whether its receptacle, and not its breaker, has ground-fault protection."""
CABLE_KIND = {Wiring.CABLE: "building cable", Wiring.ARMORED: "armored cable"}


def run_recipe(way: Way) -> str:
    """The recipe of a way's run."""
    return RUN_RECIPE[way.method] if way.beside is None else BESIDE[way.beside]


def wiring_of(way: Way) -> Wiring:
    """How the conductors of a way's run go."""
    return WIRING[way.beside or way.method]


def conduit_size(size: CircuitSize) -> str:
    """The trade size that takes the circuit's wires and its ground. Raises CannotSizeError."""
    try:
        return trade_size(size.awg, size.conductors, size.grounding_awg)
    except LookupError as missing:
        raise CannotSizeError(str(missing.args[0])) from missing


def wiring_needs(
    facts: Facts, wiring: Wiring, size: CircuitSize, length_ft: int, trade: str
) -> tuple[Need, ...]:
    """Conduit of trade size `trade` with its wires, or cable: so many whole feet; the ground in its own size."""
    if wiring is Wiring.CONDUIT:
        return Need(make_spec("conduit", {"trade_size": trade}), length_ft), *_wires(facts, size, length_ft)
    spec = make_spec(
        CABLE_KIND[wiring],
        {},
        {"awg": size.awg, "conductors": size.conductors, "ground_awg": size.grounding_awg},
        {"awg": size.awg_at_most},
    )
    return (facts.conductors(spec, 1, length_ft),)


def _wires(facts: Facts, size: CircuitSize, length_ft: int) -> tuple[Need, ...]:
    """Single wires by gauge: those of the circuit, and its ground among them where it is as thick."""
    counts = {size.awg: size.conductors}
    counts[size.grounding_awg] = counts.get(size.grounding_awg, 0) + 1
    return tuple(
        facts.conductors(make_spec("building wire", {}, {"awg": awg}, {"awg": awg}), count, length_ft)
        for awg, count in counts.items()
    )


def breaker_need(facts: Facts, panel: str, size: CircuitSize, at_most_a: int, *, ground_fault: bool) -> Need:
    """The breaker of a circuit in a panel: of its family, and rated for the volts between its lines."""
    return Need(
        make_spec(
            "breaker",
            {"family": facts.panels[panel].breakers, "poles": size.poles, "ground_fault": ground_fault},
            {"rating_a": size.breaker_a, "volts": facts.line_volts(panel)},
            {"rating_a": at_most_a},
        ),
        1,
    )


def disconnect_need(facts: Facts, panel: str, size: CircuitSize, load: Load) -> Need:
    """The disconnect that a hard-wired machine ends in, for the panel's volts.

    A motor's has at least 115 % of its full-load current (NFPA 70 430.110(A)), a drive's what its input is sized for
    (430.128, from memory), and no horsepower mark below the motor's (430.109); where it states none, the mark has to be
    read. A resistance welder's has at least what its wires must carry (630.33, from memory), and an arc welder's, as any
    other, suits the breaker (630.13, from memory).
    """
    rating_a = size.minimum_ampacity_a if load.kind.resistance else Decimal(size.breaker_a)
    if load.motor:
        rating_a = max(rating_a, motor_disconnect_a(size.current_a))
    low: dict[str, Attribute] = {
        "rating_a": rating_a.to_integral_value(ROUND_CEILING),
        "poles": size.poles,
        "volts": facts.line_volts(panel),
    }
    return Need(make_spec("disconnect", {}, low, if_stated=switch_marks(load)), 1)


def end_work(
    facts: Facts, machine: Machine, load: Load, size: CircuitSize, *, changed: bool = False
) -> Bundle:
    """What the end of a run takes besides its receptacle or disconnect; `changed` where the run stays.

    A disconnect is mounted and wired alike at a new run and at one that stays. The lead from there to a hard-wired heater, or
    to another machine that has none, is in it, where a recipe has it: armored cable of the circuit's wire, as long as the
    recipe's extra.
    """
    if size.configuration is not None:
        return facts.expanded("change receptacle" if changed else "receptacle", machine, size=size)
    work = facts.expanded("disconnect", machine, size=size)
    lead = _hard_wired_lead(facts, machine, load, size)
    if lead is None:
        return work
    feet = hard_wired_lead_ft(facts, machine, load, size)
    cable = wiring_needs(facts, Wiring.ARMORED, size, feet, "") if feet else ()
    return work + Bundle(cable) + facts.expanded(lead, machine, size=size)


def hard_wired_lead_ft(facts: Facts, machine: Machine, load: Load, size: CircuitSize) -> int:
    """Feet of armored cable from its disconnect to a hard-wired machine; 0 where none is bought by the foot."""
    name = _hard_wired_lead(facts, machine, load, size)
    lead = None if name is None else facts.recipe(name, machine)
    return whole_feet(lead.extra_ft) if lead is not None and lead.quote is None else 0


def _hard_wired_lead(facts: Facts, machine: Machine, load: Load, size: CircuitSize) -> str | None:
    """The recipe of the lead from the disconnect of a heater, or of a machine without one; a drive's is bought with it."""
    if size.configuration is not None or load.driven:
        return None
    name = HEATER_LEAD if load.kind is LoadKind.HEATER else HARD_WIRED_LEAD
    lacking = name == HEATER_LEAD or without_cord(machine, hard_wired=True)
    return name if lacking and facts.has_recipe(name, machine) else None


def switch_marks(load: Load) -> dict[str, Attribute]:
    """The horsepower mark that a switch of a motor, or of its drive, may not be below, by its name; none for other loads."""
    power_hp = switched_hp(load) if load.turns else None
    return {} if power_hp is None else {horsepower_mark(load.volts, load.phases): power_hp}


def receptacle_need(size: CircuitSize, marks: PlugMarks = NO_MARKS, listed: Sequence[str] = ()) -> Need:
    """The receptacle of a circuit, `listed` for its place; with ground-fault protection of its own where the size has it so."""
    words: dict[str, Attribute] = {"configuration": size.configuration or ""}
    words |= dict.fromkeys((*([GROUND_FAULT] if size.ground_fault_receptacle else []), *listed), True)
    low, stated = marks.at_least("receptacle"), marks.if_stated("receptacle")
    return Need(make_spec("receptacle", words, low, if_stated=stated), 1)


def may_protect(facts: Facts, method: Method, configuration: str | None, listed: Sequence[str]) -> bool:
    """Whether the receptacle of an outlet may have the ground-fault protection in place of its breaker.

    It must be readily accessible, which one at the ceiling is not (NFPA 70 210.8 and Article 100), and be sold so, where it
    must be `listed` for its place as such a one.
    """
    return method is not Method.CEILING and facts.has_receptacle(configuration, GROUND_FAULT, *listed)


def with_devices_had(facts: Facts, method: Method, size: CircuitSize, listed: Sequence[str]) -> CircuitSize:
    """The circuit, protected by its breaker where its receptacle may not have the protection."""
    if not size.ground_fault_receptacle or may_protect(facts, method, size.configuration, listed):
        return size
    return replace(size, ground_fault=True, ground_fault_receptacle=False)


def protected_end(end: Need) -> bool:
    """Whether the receptacle at the end of a run has ground-fault protection itself."""
    return (GROUND_FAULT, "true") in end.spec.equal


def shared_by(machine: Machine, panel: str, size: CircuitSize) -> tuple[str, str] | None:
    """Who may share its outlet and breaker: nobody shares with a machine that is hard-wired or always counts."""
    alone = machine.always_counts or size.configuration is None
    turns = None if alone else machine.takes_turns
    return (turns, panel) if turns is not None else None


def with_parts_there(facts: Facts, machine: Machine, thing: StockNeed) -> StockNeed:
    """The thing, asking one by one for its parts of kinds that are in the shop, so that those serve."""
    kinds = facts.kinds_there - facts.wearing_kinds - set(machine.lasts)
    loose = [need for need in thing.bought.needs if need.spec.kind in kinds and not need.length_ft]
    if not loose:
        return thing
    rest = tuple(need for need in thing.bought.needs if need not in loose)
    inner = tuple(
        StockNeed(Item(need.spec), Bundle((need.each,))) for need in loose for _ in range(need.quantity)
    )
    return replace(thing, bought=replace(thing.bought, needs=rest), inner=(*thing.inner, *inner))
