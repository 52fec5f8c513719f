"""Rules over layouts: machines and places that are known, one entry a machine, and a shop that holds together."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.layouts import NAMES_TAKEN, laid_out
from costplan.model.pair import NO_EFFECT, Pair, Rule, unknown
from costplan.model.shop import Layout, Shop


def layouts_have_names(pair: Pair) -> Iterator[Problem]:
    """Layouts have names of their own, none that of a row of today's shop."""
    seen: set[str] = set()
    for index, layout in enumerate(pair.shop.layouts):
        where: Trail = ("layouts", index, "name")
        if layout.name in NAMES_TAKEN:
            message = f'is "{layout.name}", which {NAMES_TAKEN[layout.name]} is called'
            yield pair.in_shop("layout-as-it-is", where, message, "give it a name of its own")
        elif layout.name in seen:
            message = f'is "{layout.name}", which another layout has'
            yield pair.in_shop("layout-repeated", where, message, "give it another name")
        seen.add(layout.name)


def layouts_are_known(pair: Pair) -> Iterator[Problem]:
    """Layouts name machines that are here today, each once, places that are known, and machines that they bring."""
    places = pair.places()
    for index, layout in enumerate(pair.shop.layouts):
        trail: Trail = ("layouts", index)
        yield from _named(pair, trail, layout)
        for name, place in layout.at.items():
            if place not in places:
                yield pair.in_shop("layout-place", (*trail, "at", name), *unknown("place", place, places))
        coming = [machine.name for machine in layout.brought]
        for name, new in layout.swap.items():
            if new not in coming:
                message, mend = unknown("machine under brought: of this layout", new, coming)
                mend = mend if coming else f"list {new} under brought:, with its nameplate"
                yield pair.in_shop("layout-swap", (*trail, "swap", name), message, mend)
        yield from _brought(pair, trail, layout)


def _named(pair: Pair, trail: Trail, layout: Layout) -> Iterator[Problem]:
    """Machines of today that a layout names."""
    machines = {machine.name: machine for machine in pair.shop.machines}
    coming = {machine.name for machine in layout.brought}
    late = {
        event.machine: event for scenario in pair.shop.scenarios for event in scenario.events if event.arrives
    }
    first: dict[str, str] = {}
    for word, where, name, key in _entries(trail, layout):
        if name in first:
            mend = f"delete it here or under {first[name]}:"
            message = f'is "{name}", which this layout names before, under {first[name]}:'
            yield pair.in_shop("layout-machine-twice", where, message, mend, key=key)
        elif name in coming and name not in machines:
            message = f'is "{name}", which this layout brings'
            mend = f"delete it here, and write where it stands under brought: as at: of {name}"
            yield pair.in_shop("layout-machine-brought", where, message, mend, key=key)
        elif name not in machines:
            message, mend = unknown("machine", name, machines)
            yield pair.in_shop("layout-machine", where, message, mend, key=key)
        elif machines[name].arrives or name in late:
            year = machines[name].arrives or min(late[name].years or [late[name].year])
            message = f'is "{name}", which is not here today: it comes in year {year}'
            mend = "delete it here; a layout is about machines that are here today"
            yield pair.in_shop("layout-machine-later", where, message, mend, key=key)
        first.setdefault(name, word)


def _entries(trail: Trail, layout: Layout) -> Iterator[tuple[str, Trail, str, bool]]:
    """Every mention of a machine of today: the word it stands under, where, its name, whether that is a key."""
    yield from (("at", (*trail, "at", name), name, True) for name in layout.at)
    yield from (
        ("without", (*trail, "without", position), name, False)
        for position, name in enumerate(layout.without)
    )
    yield from (("swap", (*trail, "swap", name), name, True) for name in layout.swap)


def _brought(pair: Pair, trail: Trail, layout: Layout) -> Iterator[Problem]:
    """Machines that a layout brings: named as no other is, here today, without a circuit, each swapped in once."""
    taken = {machine.name: "a machine" for machine in pair.shop.machines}
    taken |= {machine.name: "a next machine" for machine in pair.shop.next_machines}
    for position, machine in enumerate(layout.brought):
        where: Trail = (*trail, "brought", position)
        if machine.name in taken:
            message = f'is "{machine.name}", which {taken[machine.name]} has'
            yield pair.in_shop("layout-brought-name", (*where, "name"), message, "give it another name")
        taken.setdefault(machine.name, "another machine that this layout brings")
        if machine.now is not None:
            message = "is said of a machine that you do not have yet"
            mend = "delete it; an outlet that is there already belongs under installed:"
            yield pair.in_shop("layout-brought-now", (*where, "now"), message, mend, key=True)
        if machine.arrives:
            message = f"is {machine.arrives}, but what a layout brings comes today"
            mend = "delete it; a machine that comes later belongs under machines:"
            yield pair.in_shop("layout-brought-later", (*where, "arrives"), message, mend)
    instead: dict[str, str] = {}
    for old, new in layout.swap.items():
        if new in instead:
            message = f'is "{new}", which takes the place of "{instead[new]}" already'
            mend = f'bring another machine for it, or put "{old}" under without:'
            yield pair.in_shop("layout-swap-twice", (*trail, "swap", old), message, mend)
        instead.setdefault(new, old)


def layouts_change_something(pair: Pair) -> Iterator[Problem]:
    """Questions about layouts and moves that change nothing, and about moving what never moves."""
    machines = {machine.name: machine for machine in pair.shop.machines}
    for index, layout in enumerate(pair.shop.layouts):
        if not (layout.at or layout.without or layout.swap or layout.brought):
            message = "changes nothing, so it is the shop as it is"
            yield pair.in_shop("layout-nothing", ("layouts", index), message, NO_EFFECT, question=True)
        for name, place in layout.at.items():
            machine = machines.get(name)
            where: Trail = ("layouts", index, "at", name)
            if machine is not None and machine.at == place:
                message = f'is "{place}", where "{name}" stands already'
                yield pair.in_shop("layout-moves-nowhere", where, message, NO_EFFECT, question=True)
            elif machine is not None and machine.never_moves:
                message = f'moves "{name}", which never moves'
                mend = "delete never_moves: true, or the entry; it is counted as it is"
                yield pair.in_shop("layout-never-moves", where, message, mend, question=True)


def layouts_leave_room(pair: Pair) -> Iterator[Problem]:
    """Questions about a machine that a layout puts where one stands alone today and stays."""
    alone = {place: names[0] for place, names in _standing(pair.shop).items() if len(names) == 1}
    counts = {machine.name: machine.count for machine in pair.shop.machines}
    for index, layout in enumerate(pair.shop.layouts):
        placed: list[tuple[Trail, str, str]] = [
            (("layouts", index, "at", name), name, place) for name, place in layout.at.items()
        ]
        placed += [
            (("layouts", index, "brought", number, "at"), machine.name, machine.at)
            for number, machine in enumerate(layout.brought)
            if machine.at
        ]
        goes = {*layout.without, *layout.swap, *layout.at}
        for where, name, place in placed:
            other = alone.get(place)
            if other is not None and other != name and other not in goes and counts[other] == 1:
                message = f'is "{place}", where "{other}" stands and stays'
                mend = f'is there room for both? If not, say where "{other}" goes, or put it under without:'
                yield pair.in_shop("layout-crowded", where, message, mend, question=True)


def _standing(shop: Shop) -> dict[str, list[str]]:
    """Who stands at each place today."""
    found: dict[str, list[str]] = {}
    for machine in shop.machines:
        if machine.at and not machine.arrives:
            found.setdefault(machine.at, []).append(machine.name)
    return found


RULES: tuple[Rule, ...] = (
    layouts_have_names,
    layouts_are_known,
    layouts_change_something,
    layouts_leave_room,
)


# the shop of a layout -----------------------------------------------------------------------------------


def of_layouts(pair: Pair, rules: Sequence[Rule]) -> Iterator[Problem]:
    """What is wrong with the shop of each layout where the layout says it; for a shop without errors of its own.

    rules: those that hold for every shop.
    """
    for index, layout in enumerate(pair.shop.layouts):
        there = {machine.name: position for position, machine in enumerate(pair.shop.machines)}
        written: dict[Trail, Trail] = {
            ("machines", there[name], "at"): ("layouts", index, "at", name) for name in layout.at
        }
        for position in range(len(layout.brought)):
            at = len(there) + position
            written["machines", at] = ("layouts", index, "brought", position)
        shop = laid_out(pair.shop, layout)
        seen = _LaidOut(shop, pair.written, pair.catalog, pair.files, pair.table, written)
        for rule in rules:
            yield from (problem for problem in rule(seen) if problem in seen.its_own)


@dataclass(frozen=True, slots=True)
class _LaidOut(Pair):
    """The shop of a layout, whose problems are where the layout has what they are about."""

    trails: Mapping[Trail, Trail]
    its_own: set[Problem] = field(default_factory=set)
    """Problems of what the layout says; all others are the shop's."""

    def in_shop(
        self,
        code: str,
        trail: Trail,
        message: str,
        mend: str = "",
        *,
        question: bool = False,
        key: bool = False,
    ) -> Problem:
        """A problem in the shop file, where the layout has it."""
        ends = (end for end in range(len(trail), 0, -1) if trail[:end] in self.trails)
        end = next(ends, 0)
        where = (*self.trails[trail[:end]], *trail[end:]) if end else trail
        found = Pair.in_shop(self, code, where, message, mend, question=question, key=key)
        if end:
            self.its_own.add(found)
        return found
