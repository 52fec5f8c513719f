"""The heart of the tool: a circuit as it is, a circuit as it must be, and what lies between.

Every way of powering is a run with two ends; what a change keeps and what it buys again follows from
comparing the two circuits thing by thing. Nothing here knows money, years or stock.
"""

from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.circuit import Builder, Circuit, Standing
from costplan.circuits.clamps import KIT_RECIPE, holding, holding_spec
from costplan.circuits.grips import into_machine
from costplan.circuits.machine_lead import lead_taken
from costplan.circuits.needs import (
    NOTHING,
    Attribute,
    Bundle,
    Change,
    Item,
    Return,
    Slot,
    Slowed,
    StockNeed,
    make_spec,
)
from costplan.circuits.outlet_made import outlet_as_made
from costplan.circuits.outlets import cord_piece, device
from costplan.circuits.plug_marks import NO_MARKS
from costplan.circuits.run_parts import with_parts_there
from costplan.circuits.size_types import CircuitSize
from costplan.circuits.still_serves import (
    breaker_still_serves,
    cord_ending_as,
    cord_kept,
    cord_still_serves,
    end_still_serves,
    ends_still_serve,
    in_reach,
    on_ends_of,
    on_wires_of,
    run_still_serves,
    same_needs,
)
from costplan.circuits.taking_out import returned_outlet
from costplan.circuits.things import Made, Tie
from costplan.model.choices import Method

Begun = tuple[tuple[Slot, StockNeed], ...]
Ended = tuple[tuple[Slot, Return | None], ...]


@dataclass(frozen=True, slots=True)
class Step:
    """A change and the circuit that stands after it (None once the machine has left)."""

    change: Change
    circuit: Circuit | None


def arrive(builder: Builder, standing: Standing) -> Step:
    """A machine comes to a place where nothing of its own is yet. Raises CannotSizeError, NoRouteError."""
    wanted = builder.build(standing, first=True)
    begun: list[tuple[Slot, StockNeed]] = [(Slot.OUTLET, wanted.outlet), *_device_of(wanted)]
    if wanted.cable is not None:
        begun += [*_new_cord(builder, wanted), *_kit(builder, wanted)]
    begun += (*_machine_plug(builder, wanted, builder.machine.plug, None), *_switch_of(wanted))
    return Step(_as_powered(wanted, Change(standing.why, begun=tuple(begun))), wanted)


def leave(builder: Builder, as_is: Circuit, why: str) -> Step:
    """The machine goes: its outlet stays for others, its cord and ends return to stock."""
    return Step(Change(why, ended=given_up(builder, as_is), left=True), None)


def alter(builder: Builder, as_is: Circuit, standing: Standing) -> Step:
    """The machine moves or is retooled, or the whole shop moves. Raises CannotSizeError, NoRouteError."""
    wanted = _by_the_outlet_that_stays(builder, as_is, builder.build(standing))
    outlet = _alter_outlet(builder, as_is, wanted)
    if outlet.circuit.size.configuration != wanted.size.configuration and as_is.machine_plug is not None:
        # A receptacle stays that is not the one habit asks for, and so do the plugs and the connector that go with it.
        wanted = replace(wanted, machine_plug=as_is.machine_plug, cord_size=cord_ending_as(as_is, wanted))
    stays = outlet.circuit
    there = replace(wanted, outlet_place=stays.outlet_place, size=stays.size, route_ft=stays.route_ft)
    cord = _alter_cord(builder, as_is, there)
    other_plug = as_is.machine_plug != wanted.machine_plug
    plug = _machine_plug(builder, wanted, as_is.machine_plug, as_is) if other_plug else ()
    device = _alter_device(as_is, wanted)
    switch = _switch_kept(as_is, wanted)
    switched = () if switch is not None else _switch_of(wanted)
    moved = as_is.standing.place != standing.place
    handling = builder.expanded("move machine") if moved else NOTHING
    change = Change(
        standing.why,
        outlet.always
        + cord.always
        + handling.slowed(wanted.machine_slowed)
        + _hung_again(builder, as_is, wanted, outlet, cord),
        outlet.begun + cord.begun + device.begun + plug + switched,
        outlet.ended
        + cord.ended
        + device.ended
        + tuple((Slot.MACHINE_PLUG, None) for _ in plug)
        + tuple((Slot.SWITCH, None) for _ in switched),
        outlet.freed + cord.freed,
        moves=moved,
    )
    circuit = replace(
        outlet.circuit,
        standing=standing,
        cable=cord.circuit.cable,
        cord_size=cord.circuit.cord_size,
        supplied=device.circuit.supplied,
        draw_va=wanted.draw_va,
        machine_slowed=wanted.machine_slowed,
        plug_marks=wanted.plug_marks,
        switch=switch or wanted.switch,
    )
    return Step(_as_powered(circuit, change), circuit)


def _by_the_outlet_that_stays(builder: Builder, as_is: Circuit, wanted: Circuit) -> Circuit:
    """The circuit wanted, by the rules of the place where the outlet is that stays within reach."""
    if wanted.outlet_place == as_is.outlet_place or not in_reach(builder, as_is, wanted):
        return wanted
    facts, there = builder.facts, wanted.standing.there
    if facts.rules_at(wanted.outlet_place, there) == facts.rules_at(as_is.outlet_place, there):
        return wanted
    here = builder.build(wanted.standing, outlet_at=as_is.outlet_place)
    return here if run_still_serves(builder, as_is, here) else wanted


def _as_powered(circuit: Circuit, change: Change) -> Change:
    """The change with what the circuit takes of its panel from then on."""
    return replace(change, panel=circuit.panel, poles=circuit.size.poles, draw_va=circuit.draw_va)


def things_of(builder: Builder, circuit: Circuit) -> Begun:
    """Everything that a circuit is made of, as it stands."""
    outlet = replace(circuit.outlet, item=outlet_as_made(circuit))
    things: Begun = ((Slot.OUTLET, outlet), *_device_of(circuit))
    return (*things, *_new_cord(builder, circuit)) if circuit.cable is not None else things


def _device_of(circuit: Circuit) -> Begun:
    """The drive or the new motor, if the machine has one."""
    return ((Slot.DEVICE, circuit.supplied.device),) if circuit.supplied.device is not None else ()


def _switch_of(circuit: Circuit) -> Begun:
    """The switch at the machine, if its plug does not disconnect it."""
    return ((Slot.SWITCH, circuit.switch),) if circuit.switch is not None else ()


def _switch_kept(as_is: Circuit, wanted: Circuit) -> StockNeed | None:
    """The switch that a machine has, where it will do or none is asked for any more."""
    had, asked = as_is.switch, wanted.switch
    return had if had is not None and (asked is None or had.item.serves(asked.item)) else None


def with_device(circuit: Circuit, of: Circuit) -> Circuit:
    """The circuit with the drive or motor of another."""
    return replace(circuit, supplied=replace(circuit.supplied, device=of.supplied.device))


@dataclass(frozen=True, slots=True)
class _Part:
    """What altering one part of a circuit takes, and the circuit with that part as it is afterwards."""

    circuit: Circuit
    always: Bundle = NOTHING
    begun: Begun = ()
    ended: Ended = ()
    freed: tuple[Return, ...] = ()


def given_up(builder: Builder, as_is: Circuit) -> Ended:
    """Everything of a circuit set free."""
    ended: Ended = ((Slot.OUTLET, returned_outlet(builder, as_is)), *device_given_up(as_is))
    return ended + _cord_given_up(builder, as_is)


def device_given_up(as_is: Circuit) -> Ended:
    """The drive or the new motor set free, if the machine has one."""
    return tuple((slot, Return(need.item)) for slot, need in _device_of(as_is))


def device_kept(step: Step, as_is: Circuit) -> Step:
    """The step with the drive or motor of the circuit before: it stays on its machine."""
    begun = tuple((slot, need) for slot, need in step.change.begun if slot is not Slot.DEVICE)
    circuit = None if step.circuit is None else with_device(step.circuit, as_is)
    return Step(replace(step.change, begun=begun), circuit)


def ended_with(step: Step, ended: Ended) -> Step:
    """The step that also ends the use of these things."""
    return replace(step, change=replace(step.change, ended=(*step.change.ended, *ended)))


def without_device(circuit: Circuit) -> Circuit:
    """The circuit without its drive or motor, which stays on its machine whatever becomes of the rest."""
    return replace(circuit, supplied=replace(circuit.supplied, device=None))


def _cord_given_up(builder: Builder, as_is: Circuit) -> Ended:
    if as_is.cable is None:
        return ()
    return (*_cord_pieces(builder, as_is, as_is.cable), (Slot.KIT, _kit_given_up(builder, as_is.cable)))


def _kit_given_up(builder: Builder, cable: Item) -> Return | None:
    kit = kit_of(builder, cable)
    return None if kit is None else Return(kit[0])


def _cord_pieces(builder: Builder, as_is: Circuit, cable: Item) -> Ended:
    """The cable and the ends of a cord set free; what it hangs from is another matter."""
    ends = tuple((slot, Return(end.item)) for slot, end in _ends(builder, as_is))
    return ((Slot.CABLE, Return(cable)), *ends)


def keeps_device(as_is: Circuit, wanted: Circuit) -> bool:
    """Whether the drive or motor that a machine has will do for what it must have."""
    had, asked = as_is.supplied.device, wanted.supplied.device
    return had is not None and asked is not None and had.item.serves(asked.item)


def _alter_device(as_is: Circuit, wanted: Circuit) -> _Part:
    """The drive or motor is kept when it will do; it comes along in a move of the shop."""
    if keeps_device(as_is, wanted):
        return _Part(with_device(wanted, as_is))
    return _Part(wanted, begun=_device_of(wanted), ended=device_given_up(as_is))


def _alter_outlet(builder: Builder, as_is: Circuit, wanted: Circuit) -> _Part:
    if as_is.standing.building != wanted.standing.building:
        return _Part(wanted, begun=((Slot.OUTLET, wanted.outlet),), ended=((Slot.OUTLET, None),))
    if run_still_serves(builder, as_is, wanted):
        if ends_still_serve(as_is, wanted):
            size = on_ends_of(on_wires_of(wanted.size, as_is.size), as_is.size)
            return _Part(replace(as_is, fuses=wanted.fuses, size=size), _other_fuses(as_is, wanted))
        return _change_ends_of_run(builder, as_is, wanted)
    if builder.way.relocated and same_needs(as_is, wanted):
        size = on_ends_of(wanted.size, as_is.size)
        moved = replace(wanted, size=size, receptacle=as_is.receptacle, breaker=as_is.breaker)
        return _Part(moved, _moved_along(builder, wanted) + _other_fuses(as_is, wanted))
    return _Part(
        wanted,
        begun=((Slot.OUTLET, wanted.outlet),),
        ended=((Slot.OUTLET, returned_outlet(builder, as_is)),),
    )


def _moved_along(builder: Builder, wanted: Circuit) -> Bundle:
    name = f"move {builder.way.method}"
    bundle = builder.expanded(name, length_ft=wanted.run_ft, laid_ft=wanted.route_ft, size=wanted.size)
    return bundle.slowed(wanted.outlet_slowed)


def _other_fuses(as_is: Circuit, wanted: Circuit) -> Bundle:
    """Fuses of another size in a disconnect that stays: its clips take them, and they are pulled and put in by hand."""
    fuses = wanted.fuses
    if fuses is None or fuses == as_is.fuses or not end_still_serves(as_is, wanted):
        return NOTHING
    return Bundle((fuses,))


def _change_ends_of_run(builder: Builder, as_is: Circuit, wanted: Circuit) -> _Part:
    """The run stays; the receptacle and the breaker at its ends are changed where they differ.

    A new end wears as a thing of its own; the wear of what is kept goes on.
    """
    begun: list[tuple[Slot, StockNeed]] = []
    freed: list[Return] = []
    size, end = on_wires_of(wanted.size, as_is.size), wanted.receptacle
    if end_still_serves(as_is, wanted):
        size, end = replace(size, configuration=as_is.size.configuration), as_is.receptacle
    else:
        made = builder.changed_receptacle(
            wanted.size, wanted.supplied.load, wanted.receptacle, wanted.fuses, as_is.outlet_slowed
        )
        begun.append((Slot.RECEPTACLE, builder.wearing(made, as_is.outlet_slowed)))
        freed.append(Return(Item(as_is.receptacle.spec)))
    if breaker_still_serves(as_is, wanted):
        size, breaker = replace(size, breaker_a=as_is.size.breaker_a), as_is.breaker
    else:
        breaker = wanted.breaker
        begun.append((Slot.BREAKER, builder.changed_breaker(wanted.panel, wanted.size, breaker)))
        freed.append(Return(as_is.breaker.item))
    circuit = replace(
        wanted,
        size=size,
        receptacle=end,
        breaker=breaker,
        outlet_place=as_is.outlet_place,
        outlet_slowed=as_is.outlet_slowed,
        run_ft=as_is.run_ft,
        route_ft=as_is.route_ft,
        spare=as_is.spare,
        ground_awg=as_is.ground_awg,
    )
    return _Part(circuit, _other_fuses(as_is, wanted), tuple(begun), freed=tuple(freed))


def _alter_cord(builder: Builder, as_is: Circuit, wanted: Circuit) -> _Part:
    """The cable is kept when it is long and thick enough and has the conductors; the ends when they fit."""
    if wanted.cable is None:
        return _Part(wanted, ended=_cord_given_up(builder, as_is))
    if as_is.cable is None:
        return _Part(wanted, begun=(*_new_cord(builder, wanted), *_kit(builder, wanted)))
    if builder.way.exchanges and as_is.standing.place != wanted.standing.place:
        kits = _other_kit(builder, as_is.cable, wanted)
        return _Part(
            wanted,
            begun=(*_new_cord(builder, wanted), *kits[0]),
            ended=(*_cord_pieces(builder, as_is, as_is.cable), *kits[1]),
        )
    begun: list[tuple[Slot, StockNeed]] = []
    ended: list[tuple[Slot, Return | None]] = []
    for (slot, old), (_, new) in zip(_ends(builder, as_is), _ends(builder, wanted), strict=True):
        if old.item != new.item:
            begun.append((slot, new))
            ended.append((slot, Return(old.item)))
    kept = cord_still_serves(builder, as_is, wanted)
    if not kept:
        kits = _other_kit(builder, as_is.cable, wanted)
        begun += ((Slot.CABLE, _cable(builder, wanted)), *kits[0])
        ended += ((Slot.CABLE, Return(as_is.cable)), *kits[1])
    circuit = replace(wanted, cable=as_is.cable, cord_size=cord_kept(as_is, wanted)) if kept else wanted
    return _Part(circuit, begun=tuple(begun), ended=tuple(ended))


def _other_kit(builder: Builder, had: Item, wanted: Circuit) -> tuple[Begun, Ended]:
    """What another cord hangs from, where it asks for another size, or more supports, than what the one before hung from."""
    assert wanted.cable is not None
    kit, had_kit = kit_of(builder, wanted.cable), kit_of(builder, had)
    if kit is None or had_kit is None or _hangs_from(had_kit[0], kit[0]):
        return (), ()
    return _kit(builder, wanted), ((Slot.KIT, _kit_given_up(builder, had)),)


def _hung_again(builder: Builder, as_is: Circuit, wanted: Circuit, outlet: "_Part", cord: "_Part") -> Bundle:
    """Hanging a cord or pendant at another place from what it hung from before: all the work of that and no parts."""
    ways = (circuit.standing.place for circuit in (as_is, wanted))
    if builder.way.method is Method.CEILING:
        ways = (circuit.outlet_place for circuit in (as_is, outlet.circuit))
    stays = len(set(ways)) == 1 and as_is.standing.building == wanted.standing.building
    cable = cord.circuit.cable
    if stays or cable is None or any(slot is Slot.KIT for slot, _ in cord.begun):
        return NOTHING
    kit = kit_of(builder, cable)
    return NOTHING if kit is None else replace(kit[1], needs=()).slowed(wanted.machine_slowed)


def _new_cord(builder: Builder, wanted: Circuit) -> Begun:
    return ((Slot.CABLE, _cable(builder, wanted)), *_ends(builder, wanted))


def _cable(builder: Builder, wanted: Circuit) -> StockNeed:
    cable, slowed, size = wanted.cable, wanted.machine_slowed, wanted.size
    assert cable is not None
    asked = cable, size, slowed, builder.way.into_machine
    return builder.known.things.of(asked, lambda: _new_cable(builder, cable, size, slowed))


def _new_cable(builder: Builder, cable: Item, size: CircuitSize, slowed: Slowed) -> StockNeed:
    work = builder.expanded("cord set", size=size)
    if builder.way.into_machine:
        work = work + into_machine(builder.facts, builder.machine, cable.spec)
    return builder.wearing(cord_piece(cable, work.slowed(slowed)), slowed)


def _ends(builder: Builder, wanted: Circuit) -> tuple[tuple[Slot, StockNeed], ...]:
    """The plug at the outlet; and for a cord or pendant, the connector the machine plugs into."""
    configuration = wanted.size.configuration or ""
    work = builder.expanded("cord end", size=wanted.size).slowed(wanted.machine_slowed)

    ends = {Slot.PLUG: configuration}
    if builder.way.hangs and wanted.cord_size is not None:
        ends[Slot.CONNECTOR] = wanted.cord_size.configuration or ""
    # Marks count where the machine is unplugged: at the connector, else at the plug of a cord without one.
    marks = {Slot.CONNECTOR: wanted.plug_marks} if builder.way.hangs else {Slot.PLUG: wanted.plug_marks}
    assert wanted.cable is not None
    cord = wanted.cable.spec
    return tuple(
        (slot, builder.end(slot, said, work, wanted.machine_slowed, marks.get(slot, NO_MARKS), cord))
        for slot, said in ends.items()
    )


def _machine_plug(builder: Builder, wanted: Circuit, has: str | None, as_is: Circuit | None) -> Begun:
    """The machine's own plug, when what it has does not fit, with the lead that it lacks; a longer cord brings its own."""
    longer_cord = wanted.cable is not None and builder.way.method not in (Method.CORD, Method.CEILING)
    if wanted.machine_plug is None or has == wanted.machine_plug or longer_cord:
        return ()
    if as_is is not None:
        return ((Slot.MACHINE_PLUG, _new_machine_plug(builder, wanted, as_is)),)
    way, load = builder.way, wanted.supplied.load
    cords = way.family, way.service, way.grip, way.spare_conductor, way.into_machine
    asked = wanted.machine_plug, wanted.size, wanted.cord_size, wanted.plug_marks, wanted.machine_slowed, load
    rules = builder.rules(wanted.panel, wanted.standing)
    turns_on = (*asked, *cords, rules)
    plug = builder.known.things.of(turns_on, lambda: _new_machine_plug(builder, wanted, None))
    return ((Slot.MACHINE_PLUG, plug),)


def _new_machine_plug(builder: Builder, wanted: Circuit, as_is: Circuit | None) -> StockNeed:
    code = wanted.machine_plug or ""
    work = builder.expanded("machine plug", size=wanted.size)
    plug = device("plug", code, work.slowed(wanted.machine_slowed), wanted.plug_marks)
    lead = lead_taken(builder, wanted, as_is).slowed(wanted.machine_slowed)
    own = replace(
        plug,
        bought=plug.bought + lead,
        item=Item(
            replace(make_spec(Made.OWN_PLUG, {"configuration": code}), tie=Tie(machine=builder.machine.name))
        ),
    )
    return builder.wearing(with_parts_there(builder.facts, builder.machine, own), wanted.machine_slowed)


def _kit(builder: Builder, wanted: Circuit) -> Begun:
    """What a cord or pendant hangs from; it goes with it, and once it is free it can be hung elsewhere."""
    cable, slowed, way = wanted.cable, wanted.machine_slowed, builder.way
    assert cable is not None
    asked = KIT_RECIPE.get(way.method), cable, slowed, way.pooled
    kit = builder.known.kits.of(asked, lambda: _new_kit(builder, cable, slowed))
    return () if kit is None else ((Slot.KIT, kit),)


def _new_kit(builder: Builder, cable: Item, slowed: Slowed) -> StockNeed | None:
    made = kit_of(builder, cable)
    if made is None:
        return None
    item, bundle = made[0], made[1].slowed(slowed)
    bundle = replace(bundle, needs=tuple(holding(need, cable.spec) for need in bundle.needs))
    hung = NOTHING if builder.way.pooled else replace(bundle, needs=())
    return builder.wearing(
        with_parts_there(builder.facts, builder.machine, StockNeed(item, bundle, reused=hung)), slowed
    )


def kit_of(builder: Builder, cable: Item) -> tuple[Item, Bundle] | None:
    """What a cord hangs from, with what it takes; None where nothing is hung.

    It is of a size that holds the cord, as far as that is known; what its recipe takes by the foot, such as supports, follows
    the feet of the cord, and what was hung with fewer does not serve one that asks for more.
    """
    name = KIT_RECIPE.get(builder.way.method)
    if name is None:
        return None
    bundle = builder.expanded(name, length_ft=cable.length_ft)
    by_the_foot = {part.kind for part in builder.recipe(name).parts if part.per == "ft"}
    low: dict[str, Attribute] = {
        kind: Decimal(sum(need.quantity for need in bundle.needs if need.spec.kind == kind))
        for kind in by_the_foot
    }
    kit = replace(make_spec(Made.KIT, at_least=low), tie=Tie(hangs=builder.way.method))
    item = Item(holding_spec(kit, cable.spec))
    return (item, bundle) if bundle else None


def _hangs_from(had: Item, asked: Item) -> bool:
    """Whether a cord can hang from what another hung from: of the same size, with no fewer supports."""
    return replace(had.spec, at_least=()) == replace(asked.spec, at_least=()) and had.spec.covers(asked.spec)
