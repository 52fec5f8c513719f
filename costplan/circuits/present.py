"""The circuit a machine has now, as the shop file tells it, and the step from there to another."""

from collections import Counter
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.change import (
    Begun,
    Step,
    alter,
    arrive,
    device_given_up,
    device_kept,
    ended_with,
    given_up,
    keeps_device,
    leave,
    things_of,
    without_device,
)
from costplan.circuits.circuit import Builder, Circuit, Standing
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle, Change, Item, Need, Return, Slowed, Spec, StockNeed, make_spec
from costplan.circuits.outlet_key import DISCONNECT, OutletKey, Wired
from costplan.circuits.outlets import breaker_bounds, comes_along, outlet_item, where_outlet_is
from costplan.circuits.run_parts import protected_end
from costplan.circuits.shelf import part_there
from costplan.circuits.size_types import CircuitSize
from costplan.circuits.supply import Supplied
from costplan.circuits.things import FREE, PartKind, Tie
from costplan.circuits.ways import Way
from costplan.model.choices import DROPS, Method, Service
from costplan.model.circuits_there import Installed, Present, PresentCord
from costplan.model.installed import installed_size
from costplan.model.routes import NoRouteError, hang_ft
from costplan.model.shop import Machine, Shop
from costplan.standards import receptacles
from costplan.standards.conductors import awg_rank


@dataclass(frozen=True, slots=True)
class Beginning:
    """A machine's first step, and the things of the circuit that it had before."""

    step: Step
    had: Begun = ()


def begin(builder: Builder, standing: Standing) -> Beginning:
    """The machine's circuit today: made from nothing, or from the one it has now.

    The same kind of run with the same kind of ending is altered piece by piece; else the old circuit is given
    up, its pieces going to stock, and the new one made. Raises CannotSizeError and NoRouteError.
    """
    now = builder.machine.now
    if now is None or standing.year > 0:
        return Beginning(arrive(builder, standing))
    wanted = builder.build(standing)
    as_is = _as_is(builder, now, standing, wanted)
    if keeps(builder.way, now) and not builder.way.pooled:
        step, old = alter(builder, without_device(as_is), standing), builder
    else:
        step, old = arrive(builder, standing), _old_builder(builder, now)
        step = ended_with(step, given_up(old, without_device(as_is)))
    if keeps_device(as_is, wanted) and not builder.way.swaps_drive:
        step = device_kept(step, as_is)
    else:
        step = ended_with(step, device_given_up(as_is))
    return Beginning(step, things_of(old, as_is))


def keeps(way: Way, now: Present) -> bool:
    """Whether what is there can be kept, altered piece by piece: the same kind of run with the same kind of ending."""
    same = now.method is way.method and (now.configuration is None) == way.hard_wired
    return same and not way.wired_in


def gone(builder: Builder, standing: Standing, why: str) -> Beginning:
    """The machine is taken away today: the circuit that it has is given up, whatever way the builder is for.

    Raises CannotSizeError and NoRouteError.
    """
    now = builder.machine.now
    if now is None:
        return Beginning(Step(Change(why, left=True), None))
    old = _old_builder(builder, now)
    as_is = _as_is(builder, now, standing, builder.build(standing))
    return Beginning(leave(old, as_is, why), things_of(old, as_is))


def _old_builder(builder: Builder, now: Present) -> Builder:
    way = replace(builder.way, method=now.method, panel=now.panel, wired_in=False, grip=0)
    return Builder(builder.facts, builder.machine, way)


def _as_is(builder: Builder, now: Present, standing: Standing, wanted: Circuit) -> Circuit:
    """The present circuit in the terms of the wanted one, so that the two can be compared."""
    place = now.place or builder.machine.at
    outlet_place = where_outlet_is(now.method, now.panel, place)
    end = _end(builder, now, wanted)
    size = replace(
        wanted.size,
        poles=now.poles,
        breaker_a=int(now.breaker_a),
        awg=now.awg,
        conductors=now.conductors,
        configuration=now.configuration,
    )
    plug = builder.machine.plug or now.configuration
    old = _old_builder(builder, now)
    slowed = old.outlet_slowed(now.panel, place)
    run_ft, route_ft = _lengths(old, replace(standing, place=place), builder.way, standing, wanted)
    breaker = _breaker(builder, now, wanted)
    return Circuit(
        standing=standing,
        panel=now.panel,
        outlet_place=outlet_place,
        size=size,
        outlet=_outlet(builder, now, outlet_place, end, breaker, slowed),
        receptacle=end,
        fuses=None,
        breaker=breaker,
        cable=_cable(now.cord) if now.cord is not None else None,
        cord_size=_cord_size(builder, now, wanted),
        machine_plug=plug,
        reach_ft=reach_ft(builder.facts.shop, builder.machine, now),
        supplied=Supplied(wanted.supplied.load, _drive(builder, now, wanted)),
        run_ft=run_ft,
        route_ft=route_ft,
        draw_va=wanted.draw_va,
        outlet_slowed=slowed,
        machine_slowed=wanted.machine_slowed,
        spare=now.spare,
        plug_marks=wanted.plug_marks,
        switch=wanted.switch,  # nobody said what disconnects it today: it is asked about, not bought
        ground_awg=now.ground_awg or "",
        damp_there=wanted.damp_there,
    )


def _lengths(
    old: Builder, there: Standing, way: Way, standing: Standing, wanted: Circuit
) -> tuple[int, Decimal]:
    """Feet of the run that is there, with and without its ends, by its own kind of run, panel and place."""
    panel, same_place = old.way.panel, there.place == standing.place
    if same_place and old.way.method is way.method and panel == wanted.panel:
        return wanted.run_ft, wanted.route_ft
    try:
        return old.run_ft(panel, there), old.route_ft(panel, there)
    except NoRouteError:
        if not same_place:
            raise
        return wanted.run_ft, wanted.route_ft  # nobody said how long it is: what is made instead is as long


def _cord_size(builder: Builder, now: Present, wanted: Circuit) -> CircuitSize | None:
    """The size of the cord that it hangs on; its end at the machine takes the plug the machine has."""
    if now.cord is None:
        return None
    size = wanted.cord_size or wanted.size
    plug, wall = (receptacles.known(code) for code in (builder.machine.plug, now.configuration))
    adapts = plug and wall and plug.family != wall.family and plug.system == wall.system
    return size if adapts and wanted.cord_size else replace(size, configuration=now.configuration)


def _drive(builder: Builder, now: Present, wanted: Circuit) -> StockNeed | None:
    """The drive that makes the machine's three phases now."""
    if now.drive is None:
        return None
    item = part_there(builder.facts, now.drive)
    return builder.wearing(StockNeed(item, Bundle((Need(item.spec, 1),))), wanted.machine_slowed)


def _end(builder: Builder, now: Present, wanted: Circuit) -> Need:
    """The receptacle or disconnect that is there; like its breaker it is taken to protect people where its place asks."""
    if now.configuration is None:
        return Need(_disconnect_spec(now, builder.facts.line_volts(now.panel)), 1)
    marked = bool(wanted.receptacle.spec.if_stated or wanted.receptacle.spec.at_least)
    if (protected_end(wanted.receptacle) or marked) and now.configuration == wanted.size.configuration:
        return wanted.receptacle
    return Need(make_spec("receptacle", {"configuration": now.configuration}), 1)


def _outlet(
    builder: Builder, now: Present, place: str, end: Need, breaker: StockNeed, slowed: Slowed
) -> StockNeed:
    """The outlet that is there: its receptacle and its breaker are as new today."""
    item = outlet_item(
        OutletKey(
            building=0,
            place=place,
            panel=now.panel,
            run=now.method,
            end=now.configuration or DISCONNECT,
            poles=now.poles,
        )
    )
    made = StockNeed(item, Bundle((end,)), inner=(breaker,), along=comes_along(item, breaker))
    return builder.wearing(made, slowed)


def idle_outlets(facts: Facts) -> Counter[Return]:
    """Outlets that are there and unused, as stock, with how many there are alike; protected as its place asks."""
    return Counter(_idle(facts, outlet) for outlet in facts.shop.installed)


def _idle(facts: Facts, outlet: Installed) -> Return:
    size, panel, method = installed_size(outlet), outlet.panel, outlet.method
    place = where_outlet_is(method, panel, outlet.place)
    wired = Wired(
        awg=awg_rank(size.awg),
        conductors=size.conductors,
        breaker_a=Decimal(size.breaker_a),
        breaker_most_a=Decimal(size.breaker_a),
        protects=True,
        protected_end=True,
        grounded=bool(outlet.ground_awg) and not receptacles.has_ground(outlet.configuration),
    )
    item = outlet_item(
        OutletKey(
            building=0,
            place=place,
            panel=panel,
            run=method,
            end=outlet.configuration or DISCONNECT,
            poles=size.poles,
            wired=wired,
        )
    )
    family = facts.panels[panel].breakers
    breaker = Item(_breaker_spec(family, size.poles, size.breaker_a, facts.line_volts(panel)))
    return Return(item, panel=panel, poles=size.poles, breaker=breaker, idle=True)


def _breaker_spec(family: str, poles: int, rating_a: Decimal | int, volts: int) -> Spec:
    """A breaker that is there: of its panel's volts, whatever more it is marked with."""
    spec = make_spec(
        "breaker",
        {"family": family, "poles": poles, "ground_fault": False},
        {"rating_a": rating_a, "volts": volts},
        {"rating_a": rating_a},
    )
    return replace(spec, tie=Tie(building=0))


def _disconnect_spec(now: Present, volts: int) -> Spec:
    """A disconnect that is there: good for its panel, and for its breaker where its own rating is not said."""
    rating_a = now.breaker_a if now.disconnect_a is None else now.disconnect_a
    return make_spec("disconnect", {}, {"rating_a": rating_a, "poles": now.poles, "volts": volts})


def _breaker(builder: Builder, now: Present, wanted: Circuit) -> StockNeed:
    """The breaker that is there: taken as the wanted one when it will do."""
    need = next(need for need in wanted.breaker.bought.needs if need.spec.kind == PartKind.BREAKER)
    low, high = breaker_bounds(Item(need.spec))
    family = builder.facts.panels[now.panel].breakers
    same = now.poles == wanted.size.poles and family == dict(need.spec.equal)["family"]
    if same and low <= now.breaker_a <= high:
        return wanted.breaker
    spec = _breaker_spec(family, now.poles, now.breaker_a, builder.facts.line_volts(now.panel))
    made = StockNeed(Item(spec), Bundle((Need(replace(spec, tie=FREE), 1),)))
    return builder.wearing(made, builder.facts.slowed_at_panel(now.panel))


def _cable(cord: PresentCord) -> Item:
    return cord_item(cord.awg, cord.conductors, cord.volts, cord.service, int(cord.length_ft))


def cord_item(awg: str, conductors: int, volts: Decimal, service: Service, length_ft: int) -> Item:
    """A piece of cord that is there, as stock."""
    spec = make_spec(
        "cord",
        {"service": str(service)},
        {"awg": awg, "conductors": conductors, "volts": volts},
        {"awg": awg},
    )
    return Item(spec, length_ft)


def reach_ft(shop: Shop, machine: Machine, now: Present) -> Decimal:
    """How far from its outlet's place a machine can stand by the cord, or the pendant, that is there."""
    if now.configuration is None or now.method is Method.CORD:
        return Decimal(0)
    if now.method in DROPS:
        return now.cord.length_ft if now.cord is not None else machine.own_cord_ft
    pendant_ft = now.cord.length_ft if now.cord is not None else shop.cords.pendant_ft
    return max(pendant_ft - hang_ft(shop), Decimal(0))
