"""Rules over the shop: names that must be known, panels that can feed the machines, ways that are left."""

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal

from costplan.checks.check_gear import supplies_left, unsuited
from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.brought import panels_of
from costplan.model.choices import RUNS, TRANSFORMER, LoadKind, Method, Supply, runs_of
from costplan.model.events import Scenario
from costplan.model.labor import Role
from costplan.model.nameplate import Electrical
from costplan.model.other_volts import LIKE, AtOtherVolts, at_other_volts
from costplan.model.pair import Pair, Rule, percent, unknown
from costplan.model.quoted import only_quoted, quoted_ways_of, quotes_only
from costplan.model.ranges import ends_of
from costplan.model.shop import Machine, Panel, Shop
from costplan.model.spelled_out import placed
from costplan.model.system import FEEDS, System, feeds

_WITHOUT_NEUTRAL = frozenset({System.DELTA_240})
_LISTS = (
    ("panels", "panel"),
    ("places", "place"),
    ("machines", "machine"),
    ("next_machines", "next machine"),
    ("scenarios", "scenario"),
    ("bids", "bid"),
)


WITHOUT_IT = "while it has no way, plans are made without it"
"""What becomes of a machine that nothing can feed or reach: the others get their answer."""
NO_WAY = (
    "machine-no-three-phase",
    "machine-208-or-240",
    "machine-no-panel",
    "machine-neutral",
    "machine-no-route",
)
"""Questions that say so."""


def repeated_names(pair: Pair) -> Iterator[Problem]:
    """Names stand for one thing each; a panel and a place may not share one, since routes name both."""
    for name, what in _LISTS:
        first: dict[str, int] = {}
        for index, entry in enumerate(getattr(pair.shop, name)):
            if entry.name in first:
                _, place = pair.written.nearest((name, first[entry.name]))
                message = (
                    f'is "{entry.name}", which is taken by the {what} in line {place.line if place else 0}'
                )
                mend = f"give each {what} a name of its own"
                yield pair.in_shop(f"{what.replace(' ', '-')}-repeated", (name, index, "name"), message, mend)
            first.setdefault(entry.name, index)
    there = {machine.name for machine in pair.shop.machines}
    for index, machine in enumerate(pair.shop.next_machines):
        if machine.name in there:
            message = f'is "{machine.name}", which a machine has that is there'
            where: Trail = ("next_machines", index, "name")
            yield pair.in_shop("next-machine-repeated", where, message, "give it another name")
        if machine.count > 1:
            message = f"is {machine.count}, but one of it is priced, and at most one bought"
            where = ("next_machines", index, "count")
            mend = "delete it; costplan next --up-to prices several alike"
            yield pair.in_shop("next-machine-count", where, message, mend)
    seen: set[str] = set()
    for index, crew in enumerate(pair.shop.crews):
        if crew.name in seen:
            message = f'is "{crew.name}", which another crew has'
            yield pair.in_shop("crew-repeated", ("crews", index, "name"), message, "give it another name")
        seen.add(crew.name)


def places_are_known(pair: Pair) -> Iterator[Problem]:
    """Machines, panels and installed outlets are at known places."""
    shop = pair.shop
    places = pair.places()
    panels = pair.panels()
    for index, panel in enumerate(shop.panels):
        if panel.place is not None and panel.place not in places:
            message, mend = unknown("place", panel.place, places)
            yield pair.in_shop("panel-place", ("panels", index, "place"), message, mend)
    for index, outlet in enumerate(shop.installed):
        trail = ("installed", index)
        if outlet.place not in places:
            yield pair.in_shop("installed-place", (*trail, "place"), *unknown("place", outlet.place, places))
        if outlet.panel not in panels:
            yield pair.in_shop("installed-panel", (*trail, "panel"), *unknown("panel", outlet.panel, panels))
    for where, machine in pair.machines():
        yield from _stands(pair, where, machine, places, panels)


def _stands(
    pair: Pair, trail: Trail, machine: Machine, places: set[str], panels: set[str]
) -> Iterator[Problem]:
    if machine.at and machine.at not in places:
        yield pair.in_shop("machine-at", (*trail, "at"), *unknown("place", machine.at, places))
    if machine.at and machine.route is not None:
        message = f'is said, though it stands at "{machine.at}", to which the routes lead'
        yield pair.in_shop("machine-at-and-route", (*trail, "route"), message, "delete at: or route:")
    if machine.at:
        return
    if machine.route is None and not only_quoted(pair.shop, machine):
        message = "says neither where it stands nor how far that is from a panel"
        yield pair.in_shop(
            "machine-at-missing", trail, message, "add at: with a place, or route: with lengths"
        )
    if machine.name in places:
        message = f'is "{machine.name}", which is a place too; without at: it would need a place of that name'
        mend = f"write at: {machine.name} if it stands there, else give one of them another name"
        yield pair.in_shop("machine-own-place", (*trail, "name"), message, mend)
    panel = machine.route.panel if machine.route is not None else None
    if panel is not None and panel not in panels:
        where = (*trail, "route", "panel")
        yield pair.in_shop("machine-route-panel", where, *unknown("panel", panel, panels))


def something_is_there(pair: Pair) -> Iterator[Problem]:
    """There are machines, and panels for those that are not quoted; each of them has a nameplate."""
    shop = pair.shop
    if not shop.machines and not shop.next_machines:
        mend = "add machines:, or next_machines: for one that you think of buying"
        yield pair.in_shop("machines-missing", ("machines",), "names no machine", mend, key=True)
    wired = [(trail, machine) for trail, machine in pair.machines() if not only_quoted(shop, machine)]
    if wired and not panels_of(shop, pair.catalog.parts):
        message = f'names no panel that "{wired[0][1].name}" could be fed from'
        mend = "add panels:, or quote every way that the machines may have"
        yield pair.in_shop("panels-missing", ("panels",), message, mend, key=True)
    for trail, machine in wired:
        if not machine.volts:
            message = "says no volts, and no amps or hp, which sizing its circuit takes"
            mend = "write what its nameplate says, or quote its ways and leave out from_catalog:"
            yield pair.in_shop("machine-plate-missing", trail, message, mend)
    plates = {machine.name for _, machine in wired}
    quoted = {machine.name for _, machine in pair.machines()} - plates
    for trail, event in pair.events():
        where = (*trail, "retool")
        if event.retool is not None and not event.retool.volts and event.machine in plates:
            message = "says no new nameplate"
            yield pair.in_shop("retool-empty", where, message, "add volts: with amps: or hp:")
        elif event.retool is not None and event.machine in quoted:
            message = f'is said, but "{event.machine}" has quoted ways only, and nothing changes for them'
            mend = "it has no effect; delete the event"
            yield pair.in_shop("retool-quoted", where, message, mend, question=True)


def routes_are_known(pair: Pair) -> Iterator[Problem]:
    """Routes lead from a known panel or place to a known place, and have a length."""
    shop = pair.shop
    places = pair.places()
    panels = pair.panels()
    for index, route in enumerate(shop.routes):
        if route.start not in places | panels:
            message, mend = unknown("panel or place", route.start, places | panels)
            yield pair.in_shop("route-from", ("routes", index, "from"), message, mend)
        if route.end not in places:
            message, mend = unknown("place", route.end, places)
            if route.end in panels:
                message = f'is "{route.end}", which is a panel'
                other = route.start if route.start in places else "the place"
                mend = f"a panel stands under from: write from: {route.end}, to: {other}"
            yield pair.in_shop("route-to", ("routes", index, "to"), message, mend)
        if route.fixed_ft is None and route.cord_ft is None:
            message = "has neither a fixed nor a cord length"
            yield pair.in_shop(
                "route-length-missing", ("routes", index), message, "add fixed: or cord:, or both"
            )


def routes_stand_once(pair: Pair) -> Iterator[Problem]:
    """A way is measured once."""
    first: dict[frozenset[str], int] = {}
    for index, route in enumerate(pair.shop.routes):
        ends = frozenset((route.start, route.end))
        other = pair.shop.routes[first.setdefault(ends, index)]
        turned = other.start != route.start
        if other is not route and not (
            turned and (other.fixed_ft, other.cord_ft) == (route.fixed_ft, route.cord_ft)
        ):
            message = (
                f"is measured twice, {'from this end' if turned else 'here'} and as route #{first[ends] + 1}"
            )
            yield pair.in_shop(
                "route-repeated",
                ("routes", index),
                message,
                "delete one; the first would win, and a way has one length",
            )


def families_are_sold(pair: Pair) -> Iterator[Problem]:
    """The catalog has breakers of each panel's family."""
    breakers = [part for part in pair.catalog.parts if part.kind == "breaker"]
    families = {str(part.attributes["family"]) for part in breakers if "family" in part.attributes}
    for index, panel in enumerate([] if quotes_only(pair.shop) else pair.shop.panels):
        if panel.breakers not in families:
            _, mend = unknown("family", panel.breakers, families)
            message = f'is "{panel.breakers}", a family that no breaker in parts.yaml has'
            yield pair.in_shop("panel-breakers", ("panels", index, "breakers"), message, mend)


def machines_can_be_fed(pair: Pair) -> Iterator[Problem]:
    """Some panel has each machine's volts and phases, today and after each retooling."""
    wired = {machine.name: machine for _, machine in _wired(pair.shop)}
    for number, machine in _wired(pair.shop):
        yield from _feed(pair, ("machines", number), machine, machine)
    for trail, event in pair.events():
        if event.retool is not None and event.retool.volts and event.machine in wired:
            yield from _feed(pair, (*trail, "retool"), wired[event.machine], event.retool)


def _feed(pair: Pair, trail: Trail, machine: Machine, plate: Electrical) -> Iterator[Problem]:
    name, volts, phases = machine.name, int(plate.volts), plate.phases
    panels = list(panels_of(pair.shop, pair.catalog.parts).values())
    able = [panel for panel in panels if any(_gives(panel, each, phases) for each in plate.nominal)]
    if not panels or (phases == 3 and supplies_left(pair, name, plate)):
        return
    if not able:
        at = _at_other_volts(panels, machine, plate)
        if at is not None and (at.allowed or transformers_known(pair, phases)):
            mend = "as it stands, it is priced so; write what else its plate says"
            if not at.allowed:
                mend = "as it stands, it is priced with a transformer"
            if not at.accepted:
                yield pair.in_shop("machine-other-volts", (*trail, "volts"), at.why, mend, question=True)
            return
        code, message, mend = _why_not_fed(panels, name, volts, phases)
        if code == "machine-no-three-phase":
            mend += _no_supply(plate)
        mend = f"{at.why[0].upper()}{at.why[1:]}" if at is not None else mend
        yield pair.in_shop(code, (*trail, "volts"), message, f"{mend}; {WITHOUT_IT}", question=True)
    elif plate.neutral and all(panel.system in _WITHOUT_NEUTRAL for panel in able):
        message = f'asks for a neutral, but no panel that has {volts} V for "{name}" has one'
        mend = f"check the nameplate for 120 V controls, or add a panel with a neutral; {WITHOUT_IT}"
        yield pair.in_shop("machine-neutral", (*trail, "neutral"), message, mend, question=True)


def _no_supply(plate: Electrical) -> str:
    """Why a drive or another motor is no way out, in words; empty where it would be one if the catalog had it."""
    words = {supply: unsuited(supply, plate) for supply in (Supply.DRIVE, Supply.MOTOR)}
    return "".join(f"; a {supply} does not suit: {why}" for supply, why in words.items() if why)


def _at_other_volts(panels: Iterable[Panel], machine: Machine, plate: Electrical) -> AtOtherVolts | None:
    """What the panels' volts do to a machine whose own they lack; None where they have none that are taken for them."""
    for known in plate.rated(heater=machine.kind is LoadKind.HEATER):
        volts = LIKE.get(known.volts, 0)
        if any(_gives(panel, volts, plate.phases) for panel in panels):
            return at_other_volts(machine.kind, known, volts, machine.least_heat)
    return None


def transformers_known(pair: Pair, phases: int) -> bool:
    """Whether the catalog has a transformer for other volts than a plate's, and what putting one in takes."""
    recipes = {*pair.catalog.recipes, *pair.shop.recipes}
    has = any(part.kind == TRANSFORMER for part in pair.catalog.parts)
    return phases == 1 and has and TRANSFORMER in recipes


def _gives(panel: Panel, volts: int, phases: int) -> bool:
    return feeds(panel.system, volts, phases, neutral=False, manufactured=panel.manufactured_leg)


def _why_not_fed(panels: list[Panel], name: str, volts: int, phases: int) -> tuple[str, str, str]:
    offered = sorted({(v, p) for panel in panels for v, p, _ in FEEDS[panel.system]})
    have = ", ".join(f"{v} V {'three-phase' if p == 3 else 'single-phase'}" for v, p in offered)
    others = {v for v, p in offered if p == phases}
    if phases == 3 and not others:
        message = f'is {volts} V three-phase for "{name}", but no panel is three-phase'
        mend = (
            f"add a three-phase panel ({volts} V), a phase converter or utility three-phase under gear:, a drive "
            f"or a motor to the catalog (the panels have {have})"
        )
        return "machine-no-three-phase", message, mend
    if {volts, *others} >= {208, 240} and volts in (208, 240):
        other = 208 if volts == 240 else 240
        message = f'is {volts} V for "{name}", but the panels have {other} V, which is not the same'
        mend = 'read the nameplate: if it says "208-230" write that; else add a panel or a transformer'
        return "machine-208-or-240", message, mend
    message = f'is {volts} V for "{name}", {"three" if phases == 3 else "single"}-phase, which no panel has'
    return "machine-no-panel", message, f"the panels have {have}; add a panel, or read the nameplate again"


def machines_can_be_reached(pair: Pair) -> Iterator[Problem]:
    """Every place where a machine ever stands has a known length from a panel that can feed it."""
    shop, panels = placed(pair.shop), panels_of(pair.shop, pair.catalog.parts)
    places = {spot.name for spot in shop.places}
    for trail, machine, place in _stood_at(pair, shop):
        volts = {*machine.nominal, *(LIKE.get(each, 0) for each in machine.nominal)}
        able = [p for p in panels.values() if any(_gives(p, each, machine.phases) for each in volts)]
        if place in places and able and not any(_has_way(shop, panel, place) for panel in able):
            names = ", ".join(f'"{panel.name}"' for panel in able)
            message = f'is "{place}", to which no length is known from {names}'
            if trail[-1] == "route":
                message = f'says no length from {names}, where "{machine.name}" could be fed from'
            mend = "add a route, or give the panel a place, and both places coordinates (at: [x, y])"
            yield pair.in_shop("machine-no-route", trail, message, f"{mend}; {WITHOUT_IT}", question=True)


def _stood_at(pair: Pair, shop: Shop) -> Iterator[tuple[Trail, Machine, str]]:
    """Every place that a machine with a circuit of its own is said to stand at, and where that is written."""
    panels = panels_of(pair.shop, pair.catalog.parts)
    known = {machine.name: machine for _, machine in _wired(shop)}
    for index, machine in _wired(shop):
        written = pair.shop.machines[index]
        if written.at:
            yield ("machines", index, "at"), machine, machine.at
        elif written.route is not None and (written.route.panel is None or written.route.panel in panels):
            yield ("machines", index, "route"), machine, machine.at
    for number, scenario in enumerate(shop.scenarios):
        yield from _moved_to(("scenarios", number), scenario, known)


def _moved_to(
    trail: Trail, scenario: Scenario, known: Mapping[str, Machine]
) -> Iterator[tuple[Trail, Machine, str]]:
    for index, event in enumerate(scenario.events):
        for word, place in (("move", event.move), ("arrives", event.arrives)):
            machine = known.get(event.machine or "")
            if place is not None and machine is not None:
                yield (*trail, "events", index, word), machine, place
    short = scenario.rearranged
    if short is not None:
        movers = short.machines or [name for name, machine in known.items() if not machine.never_moves]
        for name in [name for name in movers if name in known][:1]:
            for index, place in enumerate(short.among):
                yield (*trail, "rearranged", "among", index), known[name], place


def _wired(shop: Shop) -> list[tuple[int, Machine]]:
    """Machines that circuits from the catalog are sized for, with their numbers."""
    return [
        (index, machine)
        for index, machine in enumerate(shop.machines)
        if machine.volts and not only_quoted(shop, machine)
    ]


def _has_way(shop: Shop, panel: Panel, place: str) -> bool:
    if any((route.start, route.end) == (panel.name, place) for route in shop.routes):
        return True
    at = {spot.name: spot.at_ft for spot in shop.places}
    return panel.place is not None and at.get(panel.place) is not None and at.get(place) is not None


def fuses_have_a_disconnect(pair: Pair) -> Iterator[Problem]:
    """A machine whose disconnect is to have fuses may be hard-wired."""
    for index, machine in enumerate(pair.shop.machines):
        ways, trail = machine.ways, ("machines", index, "ways", "fused")
        if not ways.fused or ways.hard_wired:
            continue
        if ways.hard_wired is False:
            message = "asks for fuses in its disconnect, but hard_wired: false leaves it no disconnect"
            yield pair.in_shop("machine-ways-fused", trail, message, "delete one of the two")
        elif machine.plug is not None and not machine.plug_may_change:
            message = (
                f"asks for fuses in its disconnect, but it came with a plug ({machine.plug}), which stays"
            )
            mend = "delete it, or write plug_may_change: true where its maker allows hard-wiring"
            yield pair.in_shop("machine-ways-fused", trail, message, mend)


def ways_are_left(pair: Pair) -> Iterator[Problem]:
    """Every machine has a way of powering that is not forbidden."""
    building = pair.shop.building.forbid
    for at, machine in pair.machines():
        ways = machine.ways
        trail: Trail = (*at, "ways")
        methods = list(RUNS) if ways.only is None else ways.only
        quoted = {way.method for way in quoted_ways_of(pair.shop, machine.name)}
        if only_quoted(pair.shop, machine) and methods:
            runs = {run for method in quoted for run in runs_of(method)}
            methods = [method for method in methods if method in runs]
            if not methods:
                message = f"allows none of the ways quoted for it: {', '.join(sorted(quoted))}"
                yield pair.in_shop("machine-ways-none", (*trail, "only"), message, "allow one of them")
                continue
        if not methods:
            mend = f"allowed: {', '.join(RUNS)}; or delete the word to allow all"
            yield pair.in_shop("machine-ways-none", (*trail, "only"), "names no way of powering", mend)
            continue
        left = [method for method in methods if method not in ways.forbid and method not in building]
        if not left:
            verb = "is" if len(methods) == 1 else "are all"
            message = f"leaves no way of powering, since {' and '.join(methods)} {verb} forbidden"
            mend = "allow one of them, for the machine or in the building"
            yield pair.in_shop("machine-ways-none", trail, message, mend)
        elif ways.hard_wired and all(method in (Method.CORD, Method.CEILING) for method in left):
            message = f"must be hard-wired, but only {', '.join(left)} is left, which ends in a plug"
            yield pair.in_shop("machine-ways-none", trail, message, "allow a drop, or say hard_wired: false")
        for method in ways.forbid:
            if method in (ways.only or ()) and left:
                message = "is both forbidden and among the only ways"
                yield pair.in_shop(
                    "machine-ways-both", (*trail, "forbid", str(method)), message, "delete one", question=True
                )


def work_is_known(pair: Pair) -> Iterator[Problem]:
    """Tasks and crews that the shop file names are in the catalog."""
    shop, crews = pair.shop, pair.crews()
    tasks = {task.id: task for task in pair.catalog.tasks}
    for index, name in enumerate(shop.owner_does or ()):
        where: Trail = ("owner_does", index)
        if name not in tasks:
            yield pair.in_shop("owner-does", where, *unknown("task", name, tasks))
        elif Role.OWNER not in tasks[name].who:
            message = f'is "{name}", which labor.yaml lets only an electrician do'
            yield pair.in_shop(
                "owner-may-not", where, message, "delete it here, or add owner to who: in labor.yaml"
            )
    for index, bid in enumerate(shop.bids):
        for position, name in enumerate(bid.covers):
            if name not in tasks:
                where = ("bids", index, "covers", position)
                yield pair.in_shop("bid-covers", where, *unknown("task", name, tasks))
        electricians = [crew.name for crew in crews.values() if crew.role is Role.ELECTRICIAN]
        if bid.rest_by not in electricians:
            message, mend = unknown("crew of electricians", bid.rest_by, electricians)
            yield pair.in_shop("bid-rest-by", ("bids", index, "rest_by"), message, mend)


def new_kinds_are_known(pair: Pair) -> Iterator[Problem]:
    """Kinds that must be new, or may be used after all, are in the catalog."""
    shop, kinds = pair.shop, pair.kinds()
    for word, names in (("must_be_new", shop.must_be_new), ("may_be_used", shop.may_be_used)):
        for index, name in enumerate(names):
            if name not in kinds:
                code = word.replace("_", "-")
                yield pair.in_shop(code, (word, index), *unknown("kind", name, kinds))
            elif name in shop.must_be_new and word == "may_be_used":
                message = f'is "{name}", which must_be_new names as well'
                yield pair.in_shop("may-be-used", (word, index), message, "delete it from one of the two")


def weights_add_up(pair: Pair) -> Iterator[Problem]:
    """The weights of the scenarios add to 1; without scenarios there is one in which nothing changes."""
    total = sum((scenario.weight for scenario in pair.shop.scenarios), Decimal(0))
    if pair.shop.scenarios and total != 1:
        weights = " + ".join(percent(scenario.weight) for scenario in pair.shop.scenarios)
        rest = 1 - total + pair.shop.scenarios[-1].weight
        last = pair.shop.scenarios[-1].name
        mend = (
            f'write {percent(rest)} for "{last}", or change the others' if rest > 0 else "make them smaller"
        )
        message = f"have weights that add up to {percent(total)}, not 100 % ({weights})"
        yield pair.in_shop("scenario-weights", ("scenarios",), message, mend, key=True)
    for index, scenario in enumerate(pair.shop.scenarios[:1] if len(pair.shop.scenarios) == 1 else []):
        if ends_of(scenario.weight):
            message = "is a range, of the only scenario, whose weight is 100 % whatever happens"
            where: Trail = ("scenarios", index, "weight")
            yield pair.in_shop(
                "scenario-weight-alone", where, message, "write 100 %, or add the other scenario"
            )


RULES: tuple[Rule, ...] = (
    repeated_names,
    something_is_there,
    places_are_known,
    routes_are_known,
    routes_stand_once,
    families_are_sold,
    machines_can_be_fed,
    machines_can_be_reached,
    ways_are_left,
    fuses_have_a_disconnect,
    work_is_known,
    new_kinds_are_known,
    weights_add_up,
)
