"""Rules over what is there today: outlets, breakers and cords of machines, and outlets nobody uses."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from costplan.checks.check_plates import wires_of_arc_welder_a
from costplan.circuits.present import reach_ft
from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.brought import panels_of
from costplan.model.choices import Method
from costplan.model.circuits_there import Installed, Present
from costplan.model.installed import SMALLEST_AWG, installed_size, protected_to_a
from costplan.model.pair import Pair, Rule, plain
from costplan.model.quoted import only_quoted
from costplan.model.routes import AT_ITS_OUTLET_FT, NoRouteError, RouteBook
from costplan.model.shop import Machine, Panel, Shop
from costplan.model.spelled_out import movable, placed
from costplan.model.system import FEEDS, System, phases
from costplan.standards import conductors, overcurrent, receptacles, tables

_WYE_277 = "277"


@dataclass(frozen=True, slots=True)
class _There:
    """An outlet that is there: where it is written, the word that its codes begin with, and its figures, said or following."""

    trail: Trail
    word: str
    panel: Panel
    configuration: str | None
    breaker_a: Decimal
    poles: int
    awg: str | None
    conductors: int
    poles_follow: bool = False
    """Whether its poles are those of its receptacle, since nobody said them."""


@dataclass(frozen=True, slots=True)
class _Hanging:
    """A machine with the circuit it has, at its place."""

    index: int
    machine: Machine
    now: Present

    @property
    def trail(self) -> Trail:
        """Where the circuit is written."""
        return ("machines", self.index, "now")

    @property
    def place(self) -> str:
        """Where its circuit ends."""
        return self.now.place or self.machine.at


def _hanging(pair: Pair) -> list[_Hanging]:
    """Machines that are here today with a circuit from a known panel to a known place."""
    shop = placed(pair.shop)
    panels, places = panels_of(shop, pair.catalog.parts), {spot.name for spot in shop.places}
    found = []
    for index, machine in enumerate(shop.machines):
        now = machine.now
        if now is None or machine.arrives > 0 or only_quoted(shop, machine):
            continue
        hanging = _Hanging(index, machine, now)
        if now.panel in panels and {hanging.place, machine.at} <= places:
            found.append(hanging)
    return found


def _outlets(pair: Pair) -> Iterator[_There]:
    """Every outlet that is there at a known panel, with a configuration that the tables know."""
    panels = panels_of(pair.shop, pair.catalog.parts)
    for index, machine in enumerate(pair.shop.machines):
        now = machine.now
        if now is not None and now.panel in panels and _is_known(now.configuration):
            size = (now.breaker_a, now.poles, now.awg, now.conductors)
            yield _There(("machines", index, "now"), "now", panels[now.panel], now.configuration, *size)
    for index, outlet in enumerate(pair.shop.installed):
        known = _is_known(outlet.configuration) and _is_standard(pair, outlet.breaker_a)
        if outlet.panel in panels and known:
            followed = installed_size(outlet.model_copy(update={"awg": outlet.awg or SMALLEST_AWG}))
            amps = Decimal(followed.breaker_a)
            figures = (amps, followed.poles, outlet.awg, followed.conductors, outlet.poles is None)
            yield _There(
                ("installed", index), "installed", panels[outlet.panel], outlet.configuration, *figures
            )


def _is_known(configuration: str | None) -> bool:
    return configuration is None or receptacles.known(configuration) is not None


def _is_standard(pair: Pair, breaker_a: Decimal | None) -> bool:
    return breaker_a is None or breaker_a in overcurrent.standard_sizes_a(pair.shop.code.edition)


# what an outlet is ------------------------------------------------------------------------------------


def breakers_are_made(pair: Pair) -> Iterator[Problem]:
    """The breakers that are there have a standard size."""
    sizes = overcurrent.standard_sizes_a(pair.shop.code.edition)
    for word, trail, outlet in pair.outlets_there():
        breaker_a = outlet.breaker_a
        if breaker_a is None or breaker_a in sizes:
            continue
        near = _nearest(breaker_a, sizes)
        message = f"is {plain(breaker_a)} A, no standard size ({tables.cite(overcurrent.STANDARD_SIZES)})"
        mend = f"read the handle of the breaker; the nearest sizes are {near[0]} and {near[1]} A"
        yield pair.in_shop(f"{word}-breaker-size", (*trail, "breaker"), message, mend)


def _nearest(breaker_a: Decimal, sizes: Sequence[int]) -> list[int]:
    return sorted(sorted(sizes, key=lambda size: abs(size - breaker_a))[:2])


def breakers_fit_their_panels(pair: Pair) -> Iterator[Problem]:
    """No breaker that is there has more poles than its panel has lines."""
    for there in _outlets(pair):
        panel = there.panel
        if there.poles <= _lines(panel):
            continue
        system = f'panel "{panel.name}" is {panel.system}, with {_lines(panel)} lines'
        word, message = "poles", f"is {there.poles}, but {system}"
        if there.poles_follow:
            word, message = (
                "configuration",
                f'is "{there.configuration}", which takes {there.poles} poles, but {system}',
            )
        mend = "look at the breaker again, or name the panel that it is in"
        yield pair.in_shop(f"{there.word}-poles-panel", (*there.trail, word), message, mend)


def _lines(panel: Panel) -> int:
    return 3 if phases(panel.system) == 3 else 2


def receptacles_fit_their_circuits(pair: Pair) -> Iterator[Problem]:
    """A receptacle that is there has the volts of its panel, and the poles and amperes of its breaker."""
    for there in _outlets(pair):
        if there.configuration is None:
            continue
        device = receptacles.find_configuration(there.configuration)
        name = f"a {there.configuration} receptacle"
        if device.volts not in _labels(there.panel.system):
            message = (
                f'is "{there.configuration}", {device.volts} V, which panel "{there.panel.name}", '
                f"{there.panel.system}, does not have"
            )
            mend = f"read the receptacle's face again, or name the panel that feeds it ({device.source})"
            yield pair.in_shop(
                f"{there.word}-receptacle-volts", (*there.trail, "configuration"), message, mend
            )
        elif device.breaker_poles != there.poles <= _lines(there.panel):
            message = f"is {there.poles}, but {name} takes {device.breaker_poles} ({device.source})"
            mend = f"write {device.breaker_poles}, or the receptacle that is really there"
            yield pair.in_shop(f"{there.word}-poles-receptacle", (*there.trail, "poles"), message, mend)
        behind = receptacles.may_be_behind(device.rating_a, there.breaker_a)
        if not behind and _of_an_arc_welder(pair, there, device.rating_a):
            message = (
                f"is {plain(there.breaker_a)} A, but {name} has {device.rating_a} A, which is for an arc welder alone "
                "(NFPA 70 210.21(B)(1) Exception 2, from memory)"
            )
            mend = "is the outlet marked for the welder only, and does nothing else go into it?"
            where = (*there.trail, "breaker")
            yield pair.in_shop("now-welder-receptacle", where, message, mend, question=True)
        elif not behind and _is_standard(pair, there.breaker_a):
            source = f"NFPA 70 210.21(B)(1) and {tables.cite(receptacles.CIRCUITS)}"
            message = (
                f"is {plain(there.breaker_a)} A, but {name} has {device.rating_a} A: too few by {source}"
            )
            mend = "read the handle and the receptacle's face again; if they are so, have it put right first"
            yield pair.in_shop(f"{there.word}-receptacle-small", (*there.trail, "breaker"), message, mend)


def _of_an_arc_welder(pair: Pair, there: _There, rating_a: int) -> bool:
    """Whether it is the outlet of an arc welder, and reaches what the welder's wires must carry."""
    if there.word != "now":
        return False
    machine = pair.shop.machines[int(there.trail[1])]
    wires_a = wires_of_arc_welder_a(machine, machine.amps_a or Decimal(0))
    return wires_a is not None and 0 < wires_a <= rating_a


def wires_are_looked_at(pair: Pair) -> Iterator[Problem]:
    """A wire that nobody read is asked about, since thinner or thicker ones are behind such breakers too."""
    for index, machine in enumerate(pair.shop.machines):
        now = machine.now
        if now is not None and "awg" not in now.model_fields_set and not only_quoted(pair.shop, machine):
            message = (
                f"says no wire size: {now.awg} AWG is taken, the thinnest copper that {plain(now.breaker_a)} A may "
                "protect (NFPA 70 240.4, Table 310.16)"
            )
            mend = "read it off the cable's jacket in the panel (an electrician does), then write awg:"
            yield pair.in_shop("now-wire-unsaid", ("machines", index, "now"), message, mend, question=True)


def _labels(system: System) -> set[str]:
    """Volts on the labels of receptacles that a panel can feed."""
    labels = {
        receptacles.label_volts(volts, count, neutral)
        for volts, count, has_neutral in FEEDS[system]
        for neutral in {False, has_neutral}
    }
    found = {label for label in labels if label is not None}
    return found | ({_WYE_277} if system is System.WYE_277_480 else set())


def wires_are_wires(pair: Pair) -> Iterator[Problem]:
    """Wire sizes of what is there are sizes; an unused outlet's wire is as thick and has as many wires as it needs."""
    yield from _sizes_are_read(pair)
    for there in _outlets(pair):
        if there.configuration is None:
            continue
        device = receptacles.find_configuration(there.configuration)
        if there.conductors < device.conductors:
            message = (
                f"is {there.conductors}, but a {there.configuration} receptacle takes {device.conductors} wires "
                f"beside the ground ({device.source})"
            )
            mend = (
                f"write conductors: {device.conductors}, or how many it has and the receptacle that is there"
            )
            asked = there.word == "now"
            where = (*there.trail, "conductors")
            yield pair.in_shop(f"{there.word}-conductors", where, message, mend, question=asked)
        if there.word == "installed" and there.awg is not None and conductors.is_awg(there.awg):
            yield from _too_thin(pair, there, there.awg)


def _sizes_are_read(pair: Pair) -> Iterator[Problem]:
    written: list[tuple[str, Trail, str | None]] = []
    for word, trail, outlet in pair.outlets_there():
        written.append((word, (*trail, "awg"), outlet.awg))
        if isinstance(outlet, Present) and outlet.cord is not None:
            written.append(("now-cord", (*trail, "cord", "awg"), outlet.cord.awg))
    for word, where, awg in written:
        if awg is not None and not conductors.is_awg(awg):
            mend = "write AWG as it is printed on the jacket: 14, 12, 10, 1 or 1/0 to 4/0"
            yield pair.in_shop(f"{word}-awg", where, f'is "{awg}", not a wire size', mend)


def _too_thin(pair: Pair, there: _There, awg: str) -> Iterator[Problem]:
    """The wire of an unused outlet is protected by its breaker."""
    where = (*there.trail, "awg")
    source = f"NFPA 70 240.4(D), {tables.cite(conductors.BUILDING_WIRE)}"
    mend = "read the jacket again; if the breaker is a smaller one, write breaker: as on its handle"
    try:
        most_a = protected_to_a(awg)
    except LookupError:
        message = f"is {awg} AWG, which no branch circuit has ({source})"
        yield pair.in_shop("installed-awg-thin", where, message, mend)
        return
    if most_a < there.breaker_a:
        message = (
            f"is {awg} AWG behind a breaker of {plain(there.breaker_a)} A, "
            f"but at most {most_a} A protect it ({source})"
        )
        yield pair.in_shop("installed-awg-thin", where, message, mend)


# how much there is ------------------------------------------------------------------------------------


def panels_have_their_poles(pair: Pair) -> Iterator[Problem]:
    """What is free in a panel and what is known to be in it are no more than it has."""
    for index, panel in enumerate(pair.shop.panels):
        if panel.spaces is None:
            continue
        present = sum(
            machine.now.poles * machine.count
            for machine in pair.shop.machines
            if machine.now is not None and machine.now.panel == panel.name
        )
        idle = sum(_poles(outlet) for outlet in pair.shop.installed if outlet.panel == panel.name)
        one_pole = sum(circuits.count for circuits in panel.one_pole_circuits)
        taken = panel.spaces_free + present + idle + one_pole
        if taken > panel.spaces:
            others = f", {one_pole} under one_pole_circuits:" if one_pole else ""
            message = (
                f"is {panel.spaces}, but {panel.spaces_free} free, {present} of circuits under now:{others} "
                f"and {idle} of outlets under installed: make {taken}"
            )
            mend = "count again, in poles; spaces_free is what is free beside all that is there"
            yield pair.in_shop("panel-spaces", ("panels", index, "spaces"), message, mend)


def _poles(outlet: Installed) -> int:
    """Its poles; one whose receptacle is unknown counts none, and is complained of elsewhere."""
    if outlet.poles is not None:
        return outlet.poles
    known = _is_known(outlet.configuration)
    return receptacles.find_configuration(outlet.configuration).breaker_poles if known else 0


def outlets_are_several(pair: Pair) -> Iterator[Problem]:
    """Questions about outlets at one place that are written alike: are they one, or several?"""
    first: dict[tuple[str, str, Method, str | None], str] = {}
    for hanging in _hanging(pair):
        now = hanging.now
        if now.method is Method.CORD:
            continue
        key = (hanging.place, now.panel, now.method, now.configuration)
        if key in first:
            what = now.configuration or "hard-wired"
            message = (
                f'is the same as that of "{first[key]}": {now.method}, {what}, from "{now.panel}" '
                f'at "{hanging.place}"; taken as one more outlet'
            )
            mend = (
                "are there so many? If both hang on one outlet, leave now: out for the one that goes without"
            )
            yield pair.in_shop("now-same-outlet", hanging.trail, message, mend, question=True, key=True)
        first.setdefault(key, hanging.machine.name)
    for index, outlet in enumerate(pair.shop.installed):
        user = first.get((outlet.place, outlet.panel, outlet.method, outlet.configuration))
        if user is not None:
            message = f'is the same as the outlet that "{user}" hangs on; taken as one more'
            mend = "is there a second one? If not, delete it here: what machines use is not among installed:"
            yield pair.in_shop("installed-same-outlet", ("installed", index), message, mend, question=True)


# where it ends ----------------------------------------------------------------------------------------


def present_runs_have_a_length(pair: Pair) -> Iterator[Problem]:
    """From its panel to where a circuit ends the way is known; what becomes of the circuit is priced by it."""
    book, written = _book(pair), pair.places()
    for hanging in _hanging(pair):
        panel, end = hanging.now.panel, hanging.place
        if book.has_route(panel, end):
            continue
        mend = (
            f"add a route {{from: {panel}, to: {end}, fixed: ..., cord: ...}}, "
            "or give the panel a place, and both places coordinates (at: [x, y])"
        )
        if end not in written:
            mend = f"give it a place (at:) in place of its route:, and that place a route from {panel}"
            end = hanging.machine.name
        word, message = "place", f'is "{end}", to which no length is known from "{panel}"'
        if hanging.now.place is None:
            word, message = "panel", f'is "{panel}", from which no length to "{end}" is known'
        yield pair.in_shop("now-no-route", (*hanging.trail, word), message, mend)


def present_cords_reach(pair: Pair) -> Iterator[Problem]:
    """Questions about cords that are too short to hang where they are said to hang."""
    book = _book(pair)
    for hanging in _hanging(pair):
        now = hanging.now
        if now.method is not Method.CORD or now.cord is None or not book.has_route(now.panel, hanging.place):
            continue
        way_ft = book.cord_ft(now.panel, hanging.place)
        if now.cord.length_ft < way_ft:
            message = (
                f'is {_feet(now.cord.length_ft)} ft, but from "{now.panel}" to "{hanging.place}" a cord has '
                f"{_feet(way_ft)} ft to go, so it cannot hang there"
            )
            mend = "measure the cord, or the route; until then it is taken for too short"
            where: Trail = (*hanging.trail, "cord", "length")
            yield pair.in_shop("now-cord-short", where, message, mend, question=True)


def machines_stand_at_their_circuits(pair: Pair) -> Iterator[Problem]:
    """Questions about machines that their circuits do not reach, unless some scenario takes them where those end."""
    shop, book = placed(pair.shop), _book(pair)
    for hanging in _hanging(pair):
        machine, end = hanging.machine, hanging.place
        if end == machine.at or end in _taken_to(shop, machine) or not book.has_route(hanging.now.panel, end):
            continue
        short = _too_far(shop, book, hanging)
        if short:
            stands = f'"{machine.at}"' if pair.shop.machines[hanging.index].at else "where its route leads"
            message = (
                f'is "{end}", but "{machine.name}" stands at {stands}, {short}; it counts as moved today'
            )
            mend = (
                "is it to be moved today? If it is to stay, write the place where it stands now under at:, "
                "and a later move as an event, or a route between the two places with its cord"
            )
            yield pair.in_shop("now-elsewhere", (*hanging.trail, "place"), message, mend, question=True)


def cords_hang_by_a_height(pair: Pair) -> Iterator[Problem]:
    """A question where nobody said how high the ceiling is, and a cord that might reach after a move hangs by its height."""
    shop, book = placed(pair.shop), _book(pair)
    if "ceiling_height_ft" in shop.building.model_fields_set:
        return
    spare_ft = max(shop.cords.slack_ft)
    for machine in shop.machines:
        for place in sorted(_taken_to(shop, machine) - {machine.at}):
            try:
                across_ft = book.distance_ft(machine.at, place)
            except NoRouteError:
                continue
            heights = not book.measured_between(machine.at, place) and across_ft > AT_ITS_OUTLET_FT
            if heights and across_ft <= machine.own_cord_ft + spare_ft:
                message = (
                    f"says no ceiling_height: {plain(shop.building.ceiling_height_ft)} ft are taken, and whether the cord of "
                    f'"{machine.name}" reaches from its outlet at "{machine.at}" to "{place}" follows from it'
                )
                mend = "add ceiling_height, or a route between the two places with its cord"
                yield pair.in_shop("ceiling-left-out", ("building",), message, mend, question=True)
                return


def _taken_to(shop: Shop, machine: Machine) -> set[str]:
    """Places that some scenario takes a machine to."""
    found: set[str] = set()
    for scenario in shop.scenarios:
        found |= {
            event.move or event.arrives or "" for event in scenario.events if event.machine == machine.name
        }
        if scenario.rearranged is not None and machine.name in movable(shop, scenario.rearranged):
            found |= set(scenario.rearranged.among)
    return found


def _too_far(shop: Shop, book: RouteBook, hanging: _Hanging) -> str:
    """How the present circuit falls short of where the machine stands; empty when it reaches."""
    machine, now = hanging.machine, hanging.now
    try:
        if now.method is Method.CORD:
            away_ft = book.cord_ft(now.panel, machine.at)
        else:
            between = book.distance_ft if now.method is Method.CEILING else book.cord_between_ft
            away_ft = between(hanging.place, machine.at)
    except NoRouteError:
        return "and how far that is from there is not known"
    reaches_ft = _reach_ft(shop, machine, now)
    if away_ft <= reaches_ft:
        return ""
    if now.configuration is None:
        return f"{_feet(away_ft)} ft away, and it is hard-wired"
    start = f'"{now.panel}"' if now.method is Method.CORD else "there"
    return f"{_feet(away_ft)} ft of cord from {start}, and its cord reaches {_feet(reaches_ft)} ft"


def _reach_ft(shop: Shop, machine: Machine, now: Present) -> Decimal:
    """How far the cord of a present circuit reaches from its outlet."""
    by_cord = now.method is Method.CORD and now.configuration is not None
    if not by_cord:
        return reach_ft(shop, machine, now)
    return now.cord.length_ft if now.cord is not None else machine.own_cord_ft


def _book(pair: Pair) -> RouteBook:
    shop = placed(pair.shop)
    return RouteBook(shop, panels_of(shop, pair.catalog.parts))


def _feet(length_ft: Decimal) -> str:
    return plain(length_ft.quantize(Decimal("0.1")))


RULES: tuple[Rule, ...] = (
    breakers_are_made,
    breakers_fit_their_panels,
    receptacles_fit_their_circuits,
    wires_are_wires,
    wires_are_looked_at,
    panels_have_their_poles,
    outlets_are_several,
    present_runs_have_a_length,
    present_cords_reach,
    machines_stand_at_their_circuits,
    cords_hang_by_a_height,
)
