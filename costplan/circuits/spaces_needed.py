"""Spaces that the circuits of all machines take at least in a panel, for what has more of them than it has room for."""

from collections.abc import Iterator
from dataclasses import dataclass

from costplan.circuits.facts import DRIVE, Facts
from costplan.circuits.ground_fault import ONE_LINE_V
from costplan.circuits.listing import at_a_panel
from costplan.circuits.motor_swap import MOTOR
from costplan.circuits.runs_at_once import fed_load, years_of_change
from costplan.circuits.ways import panels_for
from costplan.files.problems import Problem
from costplan.model.gear import PANELS, GearKind
from costplan.model.installed import installed_size
from costplan.model.pair import Pair
from costplan.model.shop import Machine, Panel


@dataclass(frozen=True, slots=True)
class Lacking:
    """A panel whose free spaces do not do, however machines are wired: poles needed at the most, free, and since which year."""

    panel: str
    needed: int
    free: int
    year: int

    @property
    def words(self) -> str:
        """The same in words, after the panel's name."""
        since = f"; it is too few from year {self.year} on" if self.year else ""
        free = f"{self.free} free space{'s' * (self.free != 1)}"
        return f"has {free}, and a circuit for every machine takes {self.needed} or more{since}"


def asked_of_spaces(pair: Pair, facts: Facts) -> Iterator[Problem]:
    """A question of `check` about each panel in which no plan for all machines finds room."""
    for index, panel in enumerate(pair.shop.panels):
        for short in _lacking(pair, facts, panel):
            yield pair.in_shop(
                "spaces-too-few",
                ("panels", index, "spaces_free"),
                short.words,
                "as it stands compare finds no plan: free some, write takes_turns: at machines that never run together, or "
                "gear: a tandem breaker where the label allows it, a subpanel, another panel at the service",
                question=True,
            )


def spaces_lacking(pair: Pair, facts: Facts) -> Iterator[Lacking]:
    """Every panel in which no plan for all machines finds room."""
    for panel in pair.shop.panels:
        yield from _lacking(pair, facts, panel)


def _lacking(pair: Pair, facts: Facts, panel: Panel) -> Iterator[Lacking]:
    """Whether a panel lacks spaces, counted from below; nothing where gear may bring some, or all may be quoted."""
    if any(gear.kind in PANELS or gear.kind is GearKind.TANDEM for gear in pair.shop.gear):
        return
    if any(way.machines is None for way in pair.shop.quoted_ways):
        return
    free = panel.spaces_free + sum(
        installed_size(outlet).poles for outlet in pair.shop.installed if outlet.panel == panel.name
    )
    needed = {year: _needed(pair, facts, panel.name, year) for year in years_of_change(pair)}
    short = [year for year, poles in needed.items() if poles > free]
    if short:
        yield Lacking(panel.name, max(needed.values()), free, short[0])


def _needed(pair: Pair, facts: Facts, panel: str, year: int) -> int:
    """Poles that the machines of a year take at least beside those that their circuits have there today.

    Machines that take turns may share one outlet; a machine with a quote, or one whose coming and going scenarios tell, may
    need none. A circuit of today that gets smaller, or whose machine is gone, frees the difference.
    """
    quoted = {name for way in pair.shop.quoted_ways for name in way.machines or ()}
    untold = {
        event.machine
        for scenario in pair.shop.scenarios
        for event in scenario.events
        if event.arrives is not None or event.leaves
    }
    clubs: dict[str, int] = {}
    alone = 0
    for machine in pair.shop.machines:
        now = machine.now
        had = (now.poles or _poles(pair, facts, machine, panel)) if now and now.panel == panel else 0
        there = machine.arrives <= year and (machine.leaves is None or machine.leaves > year)
        if now is not None and now.panel != panel:
            continue
        poles = 0
        if there and machine.name not in quoted | untold:
            poles = _poles(pair, facts, machine, panel)
        elif there:
            poles = had
        if machine.takes_turns is not None:
            clubs[machine.takes_turns] = max(poles, clubs.get(machine.takes_turns, 0))
            alone -= had * machine.count
        else:
            alone += (poles - had) * machine.count
    return alone + sum(clubs.values())


def _poles(pair: Pair, facts: Facts, machine: Machine, panel: str) -> int:
    """Poles of a machine's circuit at least, where no other panel can feed it; else 0."""
    if not machine.volts:
        return 0
    fed = fed_load(facts, machine)
    load = at_a_panel(pair.shop.panels, fed)
    if load is None or panels_for(pair.shop.panels, fed) != [panel]:
        return 0
    if load.phases == 3:
        # A drive, or a motor of one phase, takes two.
        return 2 if any(part.kind in (DRIVE, MOTOR) for part in facts.catalog.parts) else 3
    return 1 if load.volts == ONE_LINE_V else 2
