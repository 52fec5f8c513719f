"""A shop that is there, laid out anew today: every combination tried, the least total and one arrangement given.

It prices and chooses by itself, so that it and the product can disagree. What it knows is the written rules, which are
common practice among shops and electricians; none of them has a published source:

- A live outlet serves whoever asks for what it is, for nothing. A run alone serves too, with its receptacle, its breaker
  or both changed, where the wire is no thinner and has the wires.
- What is put in comes from stock where stock has it: off the shelf, and a breaker also out of another run the same day
  or out of an outlet that is made safe. A receptacle that is taken out is not put in again.
- A cord goes whole to another machine, its overhead kit with it, or comes apart: cable, plug and connector each serve
  alone. A cable serves as many machines as can be cut of it. A kit whose cord did not go whole stays with its machine,
  or is hung for another once that needs none; hanging it for another is work again. A cord off the shelf hangs from no
  kit, but a kit may lie there too.
- Live outlets that nobody uses are made safe, unless they are spares: those under `installed:`, and those whose `now:`
  says so. What stays live costs nothing, keeps its breaker and takes its poles, which `spaces_free` does not count.

Outlets and cords have nothing in common but which machines are on cords, so each set of corded machines is priced once.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import product

from prices_anew import Line, NotReckonedError, Prices

from costplan.model.catalog import Catalog, Part
from costplan.model.choices import RUNS, Method
from costplan.model.circuits_there import Installed, Present
from costplan.model.shop import Machine, Shop, Stored

__all__ = ["Arrangement", "Line", "NotReckonedError", "lay_out"]

BESIDE = "beside the panel"
KIT = "overhead kit"
METHODS = (Method.WALL, Method.CORD)
RUN = {Method.WALL: ("building cable", "wall drop"), Method.CORD: ("armored cable", "outlet beside panel")}


@dataclass(frozen=True, slots=True)
class Ask:
    """What a load asks for, as `costplan size` says it: of the run, and of a cord (its wires with the ground)."""

    configuration: str
    breaker_a: int
    poles: int
    awg: int
    conductors: int
    cord_wires: int


ASKS = {
    (120, 16): Ask("NEMA 5-20", 20, 1, 12, 2, 3),
    (240, 16): Ask("NEMA 6-20", 20, 2, 12, 2, 3),
    (240, 24): Ask("NEMA 6-30", 30, 2, 10, 2, 3),
}
"""By volts and amperes of the nameplate."""
AS_INSTALLED = {ask.configuration: ask for ask in ASKS.values()}
"""Breaker, poles and wire of an outlet of which only the receptacle is told."""


@dataclass(frozen=True, slots=True)
class Outlet:
    """A live outlet: run, receptacle and breaker; a spare stays live when nobody uses it."""

    label: str
    method: Method
    place: str
    configuration: str
    breaker_a: int
    poles: int
    awg: int
    conductors: int
    spare: bool

    def run_serves(self, ask: Ask) -> bool:
        """Whether the wire is no thinner than asked and has the wires; a smaller AWG is thicker."""
        return self.awg <= ask.awg and self.conductors >= ask.conductors

    def breaker_serves(self, ask: Ask) -> bool:
        """Whether the breaker there is the one asked for."""
        return (self.poles, self.breaker_a) == (ask.poles, ask.breaker_a)


@dataclass(frozen=True, slots=True)
class Cord:
    """A cord or a cable: `owner` is the machine that hangs on it today, empty on the shelf."""

    label: str
    length_ft: int
    awg: int
    wires: int
    plug: str | None
    connector: str | None
    owner: str = ""

    def cable_serves(self, ask: Ask, feet: int) -> bool:
        """Whether it is long enough, thick enough and has the wires."""
        return self.length_ft >= feet and self.awg <= ask.awg and self.wires >= ask.cord_wires

    def serves_whole(self, ask: Ask, feet: int) -> bool:
        """Whether it serves as it is."""
        return self.cable_serves(ask, feet) and self.plug == self.connector == ask.configuration


@dataclass(frozen=True, slots=True)
class There:
    """All that is there today; `loose` holds breakers, receptacles, plugs, connectors and kits by what they are."""

    outlets: tuple[Outlet, ...]
    cords: tuple[Cord, ...]
    loose: tuple[tuple[str, object], ...]
    poles_free: int


@dataclass(frozen=True, slots=True)
class Arrangement:
    """What is done, in lines."""

    lines: tuple[Line, ...]

    @property
    def total_cents(self) -> int:
        """The sum of the lines."""
        return sum(line.cents for line in self.lines)

    def __str__(self) -> str:
        return "\n".join([*(str(line) for line in self.lines), str(Line("in all", self.total_cents))])


def lay_out(shop: Shop, catalog: Catalog) -> Arrangement | None:
    """The cheapest arrangement, or None where the panel has too few poles for any.

    Raises NotReckonedError for what is not priced here.
    """
    _refuse(shop)
    return _Layout(shop, Prices(catalog), there_of(shop, catalog)).cheapest()


def _refuse(shop: Shop) -> None:
    said = {
        "gear": shop.gear,
        "scenarios": shop.scenarios,
        "quoted ways": shop.quoted_ways,
        "bids": shop.bids or shop.bids_file,
        "crews or recipes of the shop": shop.crews or shop.recipes,
        "other than one panel": len(shop.panels) != 1,
        "discounting": shop.money.discount_rate,
        "slack": any(shop.cords.slack_ft),
        "patching": shop.building.patching,
        "a lease": shop.building.lease,
        "groups": any(machine.count != 1 for machine in shop.machines),
        "a method besides wall drop and cord": {*RUNS} - {*shop.building.forbid} != {*METHODS},
    }
    for words, found in said.items():
        if found:
            raise NotReckonedError(f"The shop has {words}.")
    for machine in shop.machines:
        if machine.arrives or machine.leaves or machine.ways.hard_wired is not False:
            raise NotReckonedError(f"{machine.name} comes, goes or may be hard-wired.")
        if machine.plug != _ask(machine).configuration:
            raise NotReckonedError(f"{machine.name} has another plug than it needs.")


def _ask(machine: Machine) -> Ask:
    found = ASKS.get((int(machine.volts), int(machine.amps_a or 0)))
    if found is None or machine.phases != 1:
        raise NotReckonedError(f"{machine.name} has a load that is not stated here.")
    return found


def there_of(shop: Shop, catalog: Catalog) -> There:
    """What the shop file says is there."""
    had = [_had(machine, machine.now) for machine in shop.machines if machine.now is not None]
    outlets = [outlet for outlet, _ in had]
    outlets += [_idle(number, spot) for number, spot in enumerate(shop.installed, 1)]
    cords = [cord for _, cord in had if cord is not None]
    loose: list[tuple[str, object]] = []
    parts = {part.id: part for part in catalog.parts}
    for stored in shop.shelf:
        for _ in range(stored.count):
            if parts[stored.part].kind == "cord":
                cords.append(_stored_cord(len(cords) + 1, stored, parts[stored.part]))
            else:
                loose.append(_stored_thing(parts[stored.part]))
    poles = shop.panels[0].spaces_free + sum(outlet.poles for outlet in outlets)
    return There(tuple(outlets), tuple(cords), tuple(loose), poles)


def _had(machine: Machine, now: Present) -> tuple[Outlet, Cord | None]:
    """The outlet that a machine has, and its cord."""
    name, end, corded = machine.name, now.configuration, now.method is Method.CORD
    if now.method not in METHODS or end is None or (now.cord is not None) != corded:
        raise NotReckonedError(f"{name} has a circuit that is not reckoned.")
    place = BESIDE if corded else now.place or machine.at
    label = f"{end} outlet {place} that {name} has"
    amps, awg = int(now.breaker_a), int(now.awg)
    outlet = Outlet(label, now.method, place, end, amps, now.poles, awg, now.conductors, now.spare)
    if now.cord is None:
        return outlet, None
    feet, awg, wires = int(now.cord.length_ft), int(now.cord.awg), now.cord.conductors
    label = f"cord {awg}/{wires}, {feet} ft, that {name} has"
    return outlet, Cord(label, feet, awg, wires, end, end, name)


def _idle(number: int, spot: Installed) -> Outlet:
    """An outlet that is there and unused; what is not told of it follows from its receptacle."""
    place = BESIDE if spot.method is Method.CORD else spot.place
    end, ask = spot.configuration, AS_INSTALLED[spot.configuration]
    label = f"idle {end} outlet {place} (installed {number})"
    amps, poles = int(spot.breaker_a or ask.breaker_a), spot.poles or ask.poles
    awg, conductors = int(spot.awg or ask.awg), spot.conductors or ask.conductors
    return Outlet(label, spot.method, place, end, amps, poles, awg, conductors, spare=True)


def _stored_cord(number: int, stored: Stored, part: Part) -> Cord:
    """A cord off the shelf, with the ends it has."""
    awg, wires = (int(str(part.attributes[name])) for name in ("awg", "conductors"))
    feet = int(stored.length_ft or 0)
    label = f"cord {awg}/{wires}, {feet} ft, off the shelf (cord {number})"
    return Cord(label, feet, awg, wires, stored.plug, stored.connector)


def _stored_thing(part: Part) -> tuple[str, object]:
    """A breaker, receptacle, plug, connector or kit off the shelf."""
    words = part.attributes
    if part.kind == "breaker" and words["ground_fault"] is False:
        return "breaker", (int(str(words["poles"])), int(str(words["rating_a"])))
    if part.kind in ("receptacle", "plug", "connector"):
        return part.kind, words["configuration"]
    if part.kind == KIT:
        return KIT, ""
    raise NotReckonedError(f"{part.id} on the shelf is not reckoned.")


@dataclass(frozen=True, slots=True)
class Stand:
    """Where a machine is to be powered today: an outlet that is there, or a new one."""

    method: Method
    outlet: Outlet | None


@dataclass(frozen=True, slots=True)
class Hang:
    """A cord of a machine: taken `whole` from another, else its cable from `cable` (None: bought) and loose ends."""

    cable: Cord | None
    whole: bool = False


class _Stock:
    """Loose things by what they are, with where each comes from; a thing serves once."""

    def __init__(self, things: Iterable[tuple[str, object, str]]) -> None:
        self.sources: dict[tuple[str, object], list[str]] = {}
        for kind, what, source in things:
            self.sources.setdefault((kind, what), []).append(source)

    def take(self, kind: str, what: object) -> str | None:
        """Where one comes from, or None when there is none left."""
        found = self.sources.get((kind, what))
        return found.pop(0) if found else None


class _Layout:
    def __init__(self, shop: Shop, prices: Prices, there: There) -> None:
        self.shop, self.prices, self.there = shop, prices, there
        self.asks = {machine.name: _ask(machine) for machine in shop.machines}
        self.at = {machine.name: machine.at for machine in shop.machines}

    def cheapest(self) -> Arrangement | None:
        """The least over every way of standing; the first found of equals."""
        best: Arrangement | None = None
        cords: dict[frozenset[str], tuple[Line, ...]] = {}
        for stands in product(*(self._stands(name) for name in self.at)):
            chosen = dict(zip(self.at, stands, strict=True))
            lines = self._outlets(chosen)
            if lines is None:
                continue
            corded = frozenset(name for name, stand in chosen.items() if stand.method is Method.CORD)
            if corded not in cords:
                cords[corded] = self._cords([name for name in self.at if name in corded])
            found = Arrangement((*lines, *cords[corded]))
            if best is None or found.total_cents < best.total_cents:
                best = found
        return best

    def _feet(self, place: str, what: str) -> Decimal:
        panel = self.shop.panels[0].name
        for route in self.shop.routes:
            if {route.start, route.end} == {panel, place}:
                feet = route.fixed_ft if what == "fixed" else route.cord_ft
                if feet is not None:
                    return feet
        raise NotReckonedError(f"No measured {what} length to {place}.")

    # outlets -------------------------------------------------------------------------------------------

    def _stands(self, name: str) -> Iterator[Stand]:
        for method in METHODS:
            yield Stand(method, None)
            place = BESIDE if method is Method.CORD else self.at[name]
            for outlet in self.there.outlets:
                if (outlet.method, outlet.place) == (method, place) and outlet.run_serves(self.asks[name]):
                    yield Stand(method, outlet)

    def _outlets(self, chosen: dict[str, Stand]) -> tuple[Line, ...] | None:
        """What the outlets take; None where one is taken twice or the poles do not suffice."""
        taken = [stand.outlet for stand in chosen.values() if stand.outlet is not None]
        if len(set(taken)) < len(taken):
            return None
        idle = [outlet for outlet in self.there.outlets if outlet not in taken]
        safe = [outlet for outlet in idle if self._made_safe(outlet)]
        poles = sum(self.asks[name].poles for name in chosen) + sum(o.poles for o in idle if o not in safe)
        if poles > self.there.poles_free:
            return None
        stock = _Stock(self._loose(chosen, safe))
        lines = [line for name, stand in chosen.items() for line in self._powered(name, stand, stock)]
        for outlet in safe:
            lines += [
                Line(f"{outlet.label}: {line.what}", line.cents) for line in self.prices.made("make safe")
            ]
        return tuple(lines)

    def _made_safe(self, outlet: Outlet) -> bool:
        return self.shop.building.make_safe and not outlet.spare

    def _loose(self, chosen: dict[str, Stand], safe: list[Outlet]) -> Iterator[tuple[str, object, str]]:
        """Breakers to be had out of runs that serve on and outlets made safe, then what is on the shelf."""
        for name, stand in chosen.items():
            outlet = stand.outlet
            if outlet is not None and not outlet.breaker_serves(self.asks[name]):
                yield "breaker", (outlet.poles, outlet.breaker_a), f"taken out of the {outlet.label}"
        for outlet in safe:
            yield "breaker", (outlet.poles, outlet.breaker_a), f"out of the {outlet.label}, made safe"
        for kind, what in self.there.loose:
            yield kind, what, "off the shelf"

    def _powered(self, name: str, stand: Stand, stock: _Stock) -> Iterator[Line]:
        ask, outlet = self.asks[name], stand.outlet
        if outlet is None:
            lines = self._new_outlet(name, stand.method, stock)
            prefix = f"{name}, new {stand.method}"
        else:
            lines = list(self._changed_ends(ask, outlet, stock))
            prefix = f"{name}, on the {outlet.label}"
            if not lines:
                yield Line(f"{prefix}: as it is")
        for line in lines:
            yield replace(line, what=f"{prefix}: {line.what}")

    def _new_outlet(self, name: str, method: Method, stock: _Stock) -> list[Line]:
        ask, prices = self.asks[name], self.prices
        cable, recipe = RUN[method]
        route = self._feet(self.at[name], "fixed") if method is Method.WALL else Decimal(0)
        feet = prices.run_ft(recipe, route)
        return [
            *prices.length(cable, feet, awg=str(ask.awg), conductors=ask.conductors),
            *prices.made(recipe),
            *prices.made("receptacle"),
            self._receptacle(ask, stock),
            *prices.made("breaker"),
            self._breaker(ask, stock),
        ]

    def _changed_ends(self, ask: Ask, outlet: Outlet, stock: _Stock) -> Iterator[Line]:
        if outlet.configuration != ask.configuration:
            yield from self._named("change receptacle")
            yield self._receptacle(ask, stock)
        if not outlet.breaker_serves(ask):
            yield from self._named("change breaker")
            yield self._breaker(ask, stock)

    def _named(self, recipe: str) -> Iterator[Line]:
        for line in self.prices.made(recipe):
            yield replace(line, what=f"{line.what} ({recipe})")

    def _receptacle(self, ask: Ask, stock: _Stock) -> Line:
        found = self._from_stock("receptacle", ask.configuration, stock)
        return found or self.prices.piece("receptacle", configuration=ask.configuration)

    def _breaker(self, ask: Ask, stock: _Stock) -> Line:
        found = self._from_stock("breaker", (ask.poles, ask.breaker_a), stock)
        family = self.shop.panels[0].breakers
        return found or self.prices.piece(
            "breaker", family=family, poles=ask.poles, rating_a=ask.breaker_a, ground_fault=False
        )

    def _from_stock(self, kind: str, what: object, stock: _Stock) -> Line | None:
        source = stock.take(kind, what)
        words = what if isinstance(what, str) else "{}-pole {} A".format(*what)  # type: ignore[misc]
        return Line(f"{kind} {words} {source}") if source else None

    # cords ---------------------------------------------------------------------------------------------

    def _cords(self, corded: list[str]) -> tuple[Line, ...]:
        """The cheapest cords for these machines."""
        best: Arrangement | None = None
        for hangs in product(*(self._hangs(name) for name in corded)):
            if not self._long_enough(dict(zip(corded, hangs, strict=True))):
                continue
            found = Arrangement(tuple(self._hung(dict(zip(corded, hangs, strict=True)))))
            if best is None or found.total_cents < best.total_cents:
                best = found
        assert best is not None, "a cord can always be bought"
        return best.lines

    def _long_enough(self, hangs: dict[str, Hang]) -> bool:
        """Whether every cord has the feet that are cut of it, and one that goes whole goes to one machine."""
        taken = [(hang.cable, hang.whole, self._cord_ft(name)) for name, hang in hangs.items() if hang.cable]
        return all(
            sum(feet for other, _, feet in taken if other == cord) <= cord.length_ft
            and not (whole and sum(other == cord for other, _, _ in taken) > 1)
            for cord, whole, _ in taken
        )

    def _cord_ft(self, name: str) -> int:
        return self.prices.run_ft("cord set", self._feet(self.at[name], "cord"))

    def _hangs(self, name: str) -> Iterator[Hang]:
        """Every cord that could serve a machine, each perhaps whole."""
        ask, feet = self.asks[name], self._cord_ft(name)
        yield Hang(None)
        for cord in self.there.cords:
            if cord.cable_serves(ask, feet):
                yield Hang(cord)
            if cord.owner not in ("", name) and cord.serves_whole(ask, feet):
                yield Hang(cord, whole=True)

    def _hung(self, hangs: dict[str, Hang]) -> Iterator[Line]:
        """The lines of a choice. A kit goes with a cord taken whole, else to its machine, else to any other."""
        whole = [hang.cable for hang in hangs.values() if hang.whole]
        ends = _Stock(self._ends(whole))
        kits = {cord.owner for cord in self.there.cords if cord.owner and cord not in whole}
        hung = {name for name, hang in hangs.items() if not hang.whole}
        lying = sum(kind == KIT for kind, _ in self.there.loose)
        free = {*sorted(hung - kits)[: len(kits - hung) + lying]}
        for name, hang in hangs.items():
            if hang.whole and hang.cable:
                yield Line(f"{name}: {hang.cable.label}, whole, with its kit")
                continue
            for line in (
                *self._cable(name, hang),
                *self._plug_and_connector(name, ends),
                *self._kit(name, kits, free),
            ):
                yield replace(line, what=f"{name}: {line.what}")

    def _ends(self, whole: list[Cord | None]) -> Iterator[tuple[str, object, str]]:
        for cord in self.there.cords:
            if cord not in whole:
                for kind, what in (("plug", cord.plug), ("connector", cord.connector)):
                    if what is not None:
                        yield kind, what, f"of the {cord.label}"
        for kind, what in self.there.loose:
            yield kind, what, "off the shelf"

    def _cable(self, name: str, hang: Hang) -> Iterator[Line]:
        ask = self.asks[name]
        if hang.cable is not None:
            yield Line(f"{hang.cable.label}: its cable")
            return
        bought = {"awg": str(ask.awg), "conductors": ask.cord_wires}
        yield from self.prices.length("cord", self._cord_ft(name), **bought)
        yield from self.prices.made("cord set")

    def _plug_and_connector(self, name: str, ends: _Stock) -> Iterator[Line]:
        configuration = self.asks[name].configuration
        for kind in ("plug", "connector"):
            found = self._from_stock(kind, configuration, ends)
            yield found or self.prices.piece(kind, configuration=configuration)

    def _kit(self, name: str, kits: set[str], free: set[str]) -> Iterator[Line]:
        """Its own among `kits` hangs already; one that another no longer needs is hung again; else one is bought."""
        if name in kits:
            yield Line("its own overhead kit")
        elif name in free:
            yield Line("an overhead kit that nobody needs any more, or off the shelf")
            yield from self.prices.work("overhead cord")
        else:
            yield from self.prices.made("overhead cord")
