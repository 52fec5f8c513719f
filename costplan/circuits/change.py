"""The heart of the tool: a circuit as it is, a circuit as it must be, and what lies between.

Every way of powering is a run with two ends; what a change keeps and what it buys again follows from
comparing the two circuits piece by piece. Nothing here knows money, years or stock.
"""

from dataclasses import dataclass, replace

from costplan.circuits.circuit import Builder, Circuit, Standing, cord_piece, device
from costplan.circuits.needs import NOTHING, Bundle, Change, Item, Need, Return, StockNeed, make_spec
from costplan.model.choices import Method
from costplan.standards.conductors import awg_rank


@dataclass(frozen=True, slots=True)
class Step:
    """A change and the circuit that stands after it (None once the machine has left)."""

    change: Change
    circuit: Circuit | None


def arrive(builder: Builder, standing: Standing) -> Step:
    """A machine comes to a place where nothing of its own is yet. Raises CannotSizeError, NoRouteError."""
    wanted = builder.build(standing)
    needs = [wanted.outlet, wanted.breaker, *_device_of(wanted)]
    always = _machine_plug(builder, wanted, builder.machine.plug)
    if wanted.cable is not None:
        needs += _new_cord(builder, wanted)
        always = always + _hang(builder)
    return Step(_as_powered(wanted, Change(standing.why, always, tuple(needs))), wanted)


def leave(builder: Builder, as_is: Circuit, why: str) -> Step:
    """The machine goes: its outlet and breaker stay for others, its cord and ends return to stock."""
    returns = [_returned_outlet(builder, as_is), Return(as_is.breaker.item)]
    returns += [Return(device.item) for device in _device_of(as_is)]
    if as_is.cable is not None:
        returns += [Return(as_is.cable), *(Return(end.item) for end in _ends(builder, as_is))]
    return Step(Change(why, NOTHING, (), tuple(returns), left=True), None)


def alter(builder: Builder, as_is: Circuit, standing: Standing) -> Step:
    """The machine moves or is retooled, or the whole shop moves. Raises CannotSizeError, NoRouteError."""
    wanted = builder.build(standing)
    outlet = _alter_outlet(builder, as_is, wanted)
    cord = _alter_cord(builder, as_is, replace(wanted, outlet_place=outlet.circuit.outlet_place))
    plug = _machine_plug(builder, wanted, as_is.machine_plug)
    if as_is.machine_plug == wanted.machine_plug:
        plug = NOTHING
    device = _alter_device(as_is, wanted)
    always = outlet.always + cord.always + plug
    needs = outlet.needs + cord.needs + device.needs
    returns = outlet.returns + cord.returns + device.returns
    if not (always or needs) and as_is.standing.place != standing.place:
        always = builder.facts.brew(builder.recipe("move machine"))
    circuit = replace(
        outlet.circuit,
        standing=standing,
        cable=cord.circuit.cable,
        cord_size=cord.circuit.cord_size,
        supplied=wanted.supplied,
        draw_va=wanted.draw_va,
    )
    return Step(_as_powered(circuit, Change(standing.why, always, needs, returns)), circuit)


def _as_powered(circuit: Circuit, change: Change) -> Change:
    """The change with what the circuit takes of its panel from then on."""
    return replace(change, panel=circuit.panel, poles=circuit.size.poles, draw_va=circuit.draw_va)


def _device_of(circuit: Circuit) -> tuple[StockNeed, ...]:
    """The drive or the new motor, if the machine has one."""
    return (circuit.supplied.device,) if circuit.supplied.device is not None else ()


def replace_cord(builder: Builder, as_is: Circuit, why: str) -> Step:
    """A worn-out cord with its ends is replaced; the old one is scrap."""
    return Step(_as_powered(as_is, Change(why, NOTHING, tuple(_new_cord(builder, as_is)))), as_is)


@dataclass(frozen=True, slots=True)
class _Part:
    """What altering one part of a circuit takes, and the circuit with that part as it is afterwards."""

    circuit: Circuit
    always: Bundle = NOTHING
    needs: tuple[StockNeed, ...] = ()
    returns: tuple[Return, ...] = ()


def _alter_device(as_is: Circuit, wanted: Circuit) -> _Part:
    """The drive or motor is kept when the same one will do; it comes along in a move of the shop."""
    old, new = _device_of(as_is), _device_of(wanted)
    if {need.item for need in old} == {need.item for need in new}:
        return _Part(wanted)
    return _Part(wanted, needs=new, returns=tuple(Return(need.item) for need in old))


def _alter_outlet(builder: Builder, as_is: Circuit, wanted: Circuit) -> _Part:
    if as_is.standing.building != wanted.standing.building:
        return _Part(wanted, needs=(wanted.outlet, wanted.breaker))
    if _outlet_still_serves(builder, as_is, wanted):
        return _Part(as_is)
    if _run_still_serves(builder, as_is, wanted):
        return _change_ends_of_run(builder, as_is, wanted)
    breaker = _alter_breaker(builder, as_is, wanted, new_run=True)
    return _Part(
        wanted,
        breaker.always,
        (wanted.outlet, *breaker.needs),
        (_returned_outlet(builder, as_is), *breaker.returns),
    )


def _outlet_still_serves(builder: Builder, as_is: Circuit, wanted: Circuit) -> bool:
    same = (
        as_is.panel == wanted.panel
        and as_is.size.configuration == wanted.size.configuration
        and as_is.breaker.item == wanted.breaker.item
        and awg_rank(as_is.size.awg) >= awg_rank(wanted.size.awg)
    )
    return same and _in_reach(builder, as_is, wanted)


def _in_reach(builder: Builder, as_is: Circuit, wanted: Circuit) -> bool:
    if as_is.outlet_place == wanted.outlet_place:
        return True
    if builder.way.method is Method.CORD:
        return False
    distance = builder.facts.routes.distance_ft(as_is.outlet_place, wanted.standing.place)
    return distance * wanted.standing.route_factor <= as_is.reach_ft


def _run_still_serves(builder: Builder, as_is: Circuit, wanted: Circuit) -> bool:
    return (
        as_is.panel == wanted.panel
        and _in_reach(builder, as_is, wanted)
        and awg_rank(as_is.size.awg) >= awg_rank(wanted.size.awg)
        and as_is.size.conductors >= wanted.size.conductors
    )


def _change_ends_of_run(builder: Builder, as_is: Circuit, wanted: Circuit) -> _Part:
    """The run stays; the receptacle and the breaker at its ends are changed where they differ."""
    facts = builder.facts
    always, needs, returns = NOTHING, [], []
    if as_is.size.configuration != wanted.size.configuration or as_is.receptacle != wanted.receptacle:
        work = facts.brew(builder.recipe("change receptacle"), size=wanted.size)
        needs.append(_end_of_run(wanted.receptacle, work))
        returns.append(Return(Item(as_is.receptacle.spec)))
    breaker = _alter_breaker(builder, as_is, wanted, new_run=False)
    size = replace(wanted.size, awg=as_is.size.awg, conductors=as_is.size.conductors)
    circuit = replace(wanted, outlet=_kept_run(wanted, as_is), size=size, outlet_place=as_is.outlet_place)
    return _Part(circuit, always + breaker.always, (*needs, *breaker.needs), (*returns, *breaker.returns))


def _kept_run(wanted: Circuit, as_is: Circuit) -> StockNeed:
    """The outlet as wanted, at the end of the run that is there."""
    kept = dict(as_is.outlet.item.spec.equal)
    equal = dict(wanted.outlet.item.spec.equal) | {name: kept[name] for name in ("awg", "place", "bundle")}
    spec = replace(wanted.outlet.item.spec, equal=tuple(sorted(equal.items())))
    return replace(wanted.outlet, item=replace(wanted.outlet.item, spec=spec))


def _end_of_run(need: Need, work: Bundle) -> StockNeed:
    return StockNeed(Item(need.spec), Bundle((need,)) + work, reused=work)


def _alter_breaker(builder: Builder, as_is: Circuit, wanted: Circuit, *, new_run: bool) -> _Part:
    """The breaker is kept when the same one will do; its new run is landed on it either way."""
    facts = builder.facts
    if as_is.breaker.item == wanted.breaker.item and as_is.panel == wanted.panel:
        return _Part(wanted, facts.brew(builder.recipe("breaker"), size=wanted.size) if new_run else NOTHING)
    need = next(need for need in wanted.breaker.bought.needs if need.spec.kind == "breaker")
    work = facts.brew(builder.recipe("breaker" if new_run else "change breaker"), size=wanted.size)
    stock_need = replace(wanted.breaker, bought=Bundle((need,)) + work, reused=work, shared_by=None)
    return _Part(wanted, needs=(stock_need,), returns=(Return(as_is.breaker.item),))


def _alter_cord(builder: Builder, as_is: Circuit, wanted: Circuit) -> _Part:
    """The cable is kept when it is long and thick enough and has the conductors; the ends when they fit."""
    if wanted.cable is None:
        gone = [as_is.cable, *(end.item for end in _ends(builder, as_is))] if as_is.cable is not None else []
        return _Part(wanted, returns=tuple(Return(item) for item in gone))
    if as_is.cable is None:
        return _Part(wanted, needs=tuple(_new_cord(builder, wanted)))
    needs: list[StockNeed] = []
    returns: list[Return] = []
    old_ends, new_ends = _ends(builder, as_is), _ends(builder, wanted)
    for old, new in zip(old_ends, new_ends, strict=True):
        if old.item != new.item:
            needs.append(new)
            returns.append(Return(old.item))
    kept = _cable_still_serves(builder, as_is, wanted)
    if not kept:
        needs.append(_cable(builder, wanted))
        returns.append(Return(as_is.cable))
    circuit = replace(wanted, cable=as_is.cable, cord_size=as_is.cord_size) if kept else wanted
    return _Part(circuit, NOTHING, tuple(needs), tuple(returns))


def _cable_still_serves(builder: Builder, as_is: Circuit, wanted: Circuit) -> bool:
    assert as_is.cable is not None
    assert wanted.cable is not None
    asked = wanted.cable
    if builder.way.method is not Method.CORD:
        asked = replace(asked, length_ft=min(asked.length_ft, as_is.cable.length_ft))
    elif wanted.cord_size is not None:
        asked = replace(asked, length_ft=asked.length_ft - int(builder.way.slack_ft))
    have, need = as_is.cable.spec, asked.spec
    low = dict(have.at_least)
    return as_is.cable.length_ft >= asked.length_ft and (
        set(need.equal) <= set(have.equal)
        and all(low.get(name, value) >= value for name, value in need.at_least)
    )


def _new_cord(builder: Builder, wanted: Circuit) -> list[StockNeed]:
    return [_cable(builder, wanted), *_ends(builder, wanted)]


def _cable(builder: Builder, wanted: Circuit) -> StockNeed:
    assert wanted.cable is not None
    return cord_piece(wanted.cable, builder.facts.brew(builder.recipe("cord set"), size=wanted.size))


def _ends(builder: Builder, wanted: Circuit) -> list[StockNeed]:
    """The plug at the outlet; and for a cord or pendant, the connector the machine plugs into."""
    configuration = wanted.size.configuration or ""
    work = builder.facts.brew(builder.recipe("cord end"), size=wanted.size)
    ends = [device("plug", configuration, work)]
    if builder.way.method in (Method.CORD, Method.CEILING):
        ends.append(device("connector", configuration, work))
    return ends


def _machine_plug(builder: Builder, wanted: Circuit, has: str | None) -> Bundle:
    """The machine's own plug, when what it has does not fit; a longer machine cord brings its own."""
    longer_cord = wanted.cable is not None and builder.way.method not in (Method.CORD, Method.CEILING)
    if wanted.machine_plug is None or has == wanted.machine_plug or longer_cord:
        return NOTHING
    need = Need(make_spec("plug", {"configuration": wanted.machine_plug}), 1)
    return Bundle((need,)) + builder.facts.brew(builder.recipe("machine plug"), size=wanted.size)


def _hang(builder: Builder) -> Bundle:
    if builder.way.method is Method.CORD:
        return builder.facts.brew(builder.recipe("overhead cord"))
    if builder.way.method is Method.CEILING:
        return builder.facts.brew(builder.recipe("pendant"))
    return NOTHING


def _returned_outlet(builder: Builder, as_is: Circuit) -> Return:
    safe = builder.facts.shop.building.make_safe
    return Return(
        as_is.outlet.item,
        builder.facts.brew(builder.recipe("make safe"), size=as_is.size) if safe else NOTHING,
    )
