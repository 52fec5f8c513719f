"""Why shared gear is in a plan: what the plan would lack without it, counted from the plan itself year by year."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from costplan.circuits.facts import Facts
from costplan.circuits.shared_gear import candidate
from costplan.ledger.ledger import Moment, at_year, moments, moments_here
from costplan.model.gear import GearKind
from costplan.model.tandems import TandemPair, movable
from costplan.program.ranked import Ranked
from costplan.studies.spaces_left import Taken
from costplan.years.calendar import scenarios_of

_FOR_LOAD = (GearKind.UPGRADE, GearKind.MANAGER)
"""Kinds that only make room for load."""


@dataclass(frozen=True, slots=True)
class Lack:
    """What would be too little without a piece of gear: breaker spaces of a panel in poles, or a limit's volt-amperes.

    `years` are those from which on more of it is lacking than before, each with how much; `scenarios` those in which it
    is, none where it is in all; `why` what takes more in the last of the years than today. `tandems` are the most spaces
    that tandem breakers could make which the plan has not.
    """

    of: str
    spaces: bool
    years: tuple[tuple[int, int], ...]
    why: tuple[Taken, ...] = ()
    tandems: int = 0
    scenarios: tuple[str, ...] = ()

    @property
    def most(self) -> int:
        """The most that is lacking."""
        return self.years[-1][1]


@dataclass(frozen=True, slots=True)
class GearWhy:
    """A piece of gear of a plan, what would be lacking without it, and the machines that are fed from what it brings."""

    name: str
    lacks: tuple[Lack, ...]
    feeds: tuple[str, ...]


def gear_why(facts: Facts, ranked: Ranked) -> list[GearWhy]:
    """Each piece of gear that the plan puts in, by name: its circuits are put where it is fed from, or its room taken away."""
    return [
        GearWhy(name, tuple(_lacks(facts, ranked, name)), _fed(facts, ranked, name))
        for name in dict.fromkeys(bought.name for bought in ranked.plan.gear)
    ]


def _fed(facts: Facts, ranked: Ranked, name: str) -> tuple[str, ...]:
    """Machines whose circuits are ever on the panel that it brings."""
    found = {
        entry.machine: None
        for scenario in scenarios_of(facts.shop)
        for _, moment in moments(facts, ranked.plan, ranked.chosen, scenario)
        for entry in moment.powered
        if entry.standing.panel == name
    }
    return tuple(found)


def _lacks(facts: Facts, ranked: Ranked, name: str) -> Iterator[Lack]:
    scenarios, today = scenarios_of(facts.shop), at_year(facts, ranked.plan, ranked.chosen, 0)
    found: dict[Lack, list[str]] = {}
    for scenario in scenarios:
        steps: dict[tuple[str, bool], list[tuple[int, int]]] = {}
        last: dict[tuple[str, bool], Moment] = {}
        for year, moment in moments_here(facts, ranked.plan, ranked.chosen, scenario):
            if name not in moment.gear:
                continue
            for key, amount in _short(facts, moment, name).items():
                if amount > (steps[key][-1][1] if key in steps else 0):
                    steps.setdefault(key, []).append((year, amount))
                    last[key] = moment
        for (of, spaces), years in steps.items():
            at = last[of, spaces]
            why = tuple(_more(today, at, of, name)) if spaces and at.year > 0 else ()
            tandems = _tandems(facts, at, of, name) if spaces else 0
            found.setdefault(Lack(of, spaces, tuple(years), why, tandems), []).append(scenario.name)
    for lack, names in found.items():
        yield replace(lack, scenarios=tuple(names) if len(names) < len(scenarios) else ())


def _short(facts: Facts, moment: Moment, name: str) -> Mapping[tuple[str, bool], int]:
    """What the plan lacks at a date without a piece of gear, by panel or limit, and whether that is spaces."""
    gear, count = moment.gear[name]
    rooms = {room.panel: room for room in moment.panels()}
    left = {panel: rooms[panel].left + poles * count for panel, poles in gear.spaces.items()}
    # What needs a converter or the utility's phases cannot hang on the panel above.
    if gear.gear.kind is GearKind.SUBPANEL and gear.above is not None:
        left[gear.above] -= rooms[name].by_circuits + rooms[name].by_gear
    short = {(panel, True): -poles for panel, poles in left.items() if poles < 0}
    if gear.gear.kind in _FOR_LOAD:
        rest = {other: entry for other, entry in moment.gear.items() if other != name}
        limits = replace(moment, gear=rest).limits()
        short |= {(limit.limit, False): -limit.left_va for limit in limits if limit.left_va < 0}
    return short


def _more(today: Moment, then: Moment, panel: str, name: str) -> Iterator[Taken]:
    """What takes more poles of a panel and of the one that gear brings than today."""
    before = today.poles_by_machine(panel) + today.poles_by_machine(name)
    after = then.poles_by_machine(panel) + then.poles_by_machine(name)
    yield from (Taken(machine, poles) for machine, poles in sorted((after - before).items()))


def _tandems(facts: Facts, moment: Moment, name: str, without: str) -> int:
    """How many more spaces tandem breakers could make in a panel than they do at a date, at the most; none without them."""
    panel = next((panel for panel in facts.shop.panels if panel.name == name), None)
    pairs = [gear for gear in facts.shop.gear if isinstance(gear, TandemPair) and gear.panel == name]
    if panel is None or not pairs or any(gear.name == without for gear in pairs):
        return 0
    entries = {gear.of: gear.at_most for gear in pairs}
    put_in = sum(moment.gear[gear.name][1] for gear in pairs if gear.name in moment.gear)
    return max(min(sum(entries.values()), panel.tandems, movable(panel).total() // 2) - put_in, 0)


def needs_spaces(facts: Facts, ranked: Ranked) -> Iterator[tuple[str, str, int]]:
    """Gear put in for lack of spaces in a panel that is there, the panel, and how many more free it would do without it.

    Tandem breakers that the plan has not are taken as put in instead. Gear that brings a panel comes first.
    """
    there = {panel.name for panel in facts.shop.panels}
    found = [
        (why.name, lack.of, lack.most - lack.tandems)
        for why in gear_why(facts, ranked)
        for lack in why.lacks
        if lack.spaces and lack.of in there and lack.most > lack.tandems
    ]
    yield from sorted(found, key=lambda entry: not candidate(facts, facts.gear[entry[0]]).gear.brings_panel)
