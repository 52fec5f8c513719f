"""The shop of a layout: the same shop with machines moved, taken away, swapped or brought today."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar, cast

from costplan.model.base import Entry
from costplan.model.events import Event, Scenario
from costplan.model.quotes import Strategy
from costplan.model.shop import Layout, Machine, Shop
from costplan.model.spelled_out import placed, spelled_out

AS_IT_IS = "as it is"
SAME_PLACES = "same places"
NAMES_TAKEN = {AS_IT_IS: "leaving all that is there", SAME_PLACES: "the best plan for today's places"}
"""What the rows of today's shop are called and mean; no layout may have such a name."""

_Kind = TypeVar("_Kind", bound=Entry)


class MovedToday(Machine):
    """A machine that a layout moves: `at` is where it goes, and its circuit is where it was."""

    stood_at: str
    """The place where it stands until then."""


class TakenAway(Machine):
    """A machine that is here and goes today: it gives up its circuit, and nothing else happens to it."""


@dataclass(frozen=True, slots=True)
class DroppedEvent:
    """An event that no longer happens, since its machine is taken away; None stands for its turns in a rearrangement."""

    scenario: str
    machine: str
    event: Event | None


class LaidOutShop(Shop):
    """The shop of a layout, without other layouts."""

    dropped: tuple[DroppedEvent, ...] = ()
    """Events about machines that are taken away."""


def layout_named(shop: Shop, name: str) -> Layout | None:
    """The layout of that name; None when the shop file lists no such layout."""
    return next((layout for layout in shop.layouts if layout.name == name), None)


def laid_out(shop: Shop, layout: Layout) -> LaidOutShop:
    """The shop as the layout has it from today on. Pure; the layout is one that `check` finds nothing wrong with.

    A moved machine keeps its circuit, which ends where the machine stood unless `now` says another place. A machine
    that is taken away stays in the list as `TakenAway`, so that what it sets free is known.
    """
    goes = {*layout.without, *layout.swap}
    if any(not machine.at and machine.name in {*layout.at, *goes} for machine in shop.machines):
        shop = placed(shop)
    there = {machine.name: machine for machine in shop.machines}
    instead = {new: there[old] for old, new in layout.swap.items()}
    machines: list[Machine] = []
    for machine in shop.machines:
        if machine.name in goes:
            machines.append(_taken_away(machine))
        elif machine.name in layout.at:
            machines.append(_moved(machine, layout.at[machine.name]))
        else:
            machines.append(machine)
    machines += [_in_place_of(machine, instead.get(machine.name)) for machine in layout.brought]
    known = [_scenario(scenario, layout) for scenario in shop.scenarios]
    changes = {
        "name": f'{shop.name}, layout "{layout.name}"',
        "machines": machines,
        "layouts": [],
        "scenarios": [scenario for scenario, _ in known],
        "strategies": _strategies(shop, layout, goes),
        "dropped": tuple(entry for _, dropped in known for entry in dropped),
    }
    return as_kind(LaidOutShop, shop, {**_lists(shop, layout.swap), **changes})


def as_kind(kind: type[_Kind], entry: Entry, changes: Mapping[str, Any]) -> _Kind:
    """The same entry as one of another kind; all of it is validated already."""
    said = {name: getattr(entry, name) for name in type(entry).model_fields}
    return cast(_Kind, kind.model_construct(entry.model_fields_set, **{**said, **changes}))


def _moved(machine: Machine, place: str) -> MovedToday:
    now = machine.now
    if now is not None and now.place is None:
        now = now.model_copy(update={"place": machine.at})
    return as_kind(MovedToday, machine, {"at": place, "now": now, "stood_at": machine.at})


def _taken_away(machine: Machine) -> TakenAway:
    return as_kind(TakenAway, machine, {"leaves": 0, "never_moves": True})


def _in_place_of(machine: Machine, old: Machine | None) -> Machine:
    """A machine that comes: it stands where the one it is swapped for stood, unless it says another place."""
    if old is None or machine.at or machine.route is not None:
        return machine
    return machine.model_copy(update={"at": old.at})


def _scenario(scenario: Scenario, layout: Layout) -> tuple[Scenario, list[DroppedEvent]]:
    """What still happens, and what no longer does; a machine that was swapped in is never what the old was retooled to."""
    events, dropped = [], []
    for event in scenario.events:
        name = event.machine or ""
        if name in layout.without or (name in layout.swap and event.retool is not None):
            dropped.append(DroppedEvent(scenario.name, name, event))
        elif name in layout.swap:
            events.append(event.model_copy(update={"machine": layout.swap[name]}))
        else:
            events.append(event)
    short = scenario.rearranged
    if short is not None and short.machines is not None:
        dropped += [
            DroppedEvent(scenario.name, name, None) for name in short.machines if name in layout.without
        ]
        left = [name for name in short.machines if name not in layout.without]
        short = short.model_copy(update={"machines": _renamed(left, layout.swap)})
    return scenario.model_copy(update={"events": events, "rearranged": short}), dropped


def _lists(shop: Shop, swap: Mapping[str, str]) -> dict[str, Any]:
    """Lists of machines with the new one in the old one's place."""
    service = shop.service
    if service is not None:
        service = service.naming(lambda names: _renamed(names, swap))
    return {
        "service": service,
        "gear": [
            gear
            if gear.machines is None
            else gear.model_copy(update={"machines": _renamed(gear.machines, swap)})
            for gear in shop.gear
        ],
        "quoted_ways": [
            way if way.machines is None else way.model_copy(update={"machines": _renamed(way.machines, swap)})
            for way in shop.quoted_ways
        ],
    }


def _strategies(shop: Shop, layout: Layout, goes: Iterable[str]) -> list[Strategy]:
    """Strategies say nothing of machines that go, and of a new one what they say of the old."""
    if not shop.strategies:
        return []
    group_of = spelled_out(shop).group_of
    found = []
    for strategy in shop.strategies:
        ways = {}
        for name, words in strategy.ways.items():
            group = group_of.get(name, name)
            if group in layout.swap:
                ways[layout.swap[group] + name.removeprefix(group)] = words
            elif group not in goes:
                ways[name] = words
        found.append(strategy.model_copy(update={"ways": ways}))
    return found


def _renamed(names: Iterable[str], swap: Mapping[str, str]) -> list[str]:
    return [swap.get(name, name) for name in names]
