"""What a plan asks of panels and of the service at every date, counted plainly, beside what there is."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from costplan.circuits.capacity import Capacity, limit_owner
from costplan.circuits.demand import Balance, Draw
from costplan.circuits.facts import Facts
from costplan.circuits.shared_gear import Candidate, candidate
from costplan.circuits.things import OUTLETS
from costplan.ledger.options import Chosen
from costplan.ledger.plan import Plan
from costplan.model.events import Scenario
from costplan.model.gear import SERVICE, GearKind
from costplan.model.tandems import pair_limits
from costplan.years.calendar import scenarios_of
from costplan.years.stream import Standing


@dataclass(frozen=True, slots=True)
class PanelRoom:
    """Poles of one panel at one date: those free before the plan, those gear adds or takes, those circuits take."""

    panel: str
    free: int
    by_gear: int
    by_circuits: int

    @property
    def left(self) -> int:
        """Poles left over, negative when there are too few."""
        return self.free - self.by_gear - self.by_circuits


@dataclass(frozen=True, slots=True)
class Headroom:
    """Load on one limit at one date, volt-amperes: what it carries, what hangs on it already, what the plan adds.

    Counted by the line that carries most.
    """

    limit: str
    most_va: int
    taken_va: int
    added_va: int
    counts_machines: bool = False
    """Whether these are machines that run at once, and not volt-amperes."""

    @property
    def left_va(self) -> int:
        """Head-room, negative when there is too much load."""
        return self.most_va - self.taken_va - self.added_va


@dataclass(frozen=True, slots=True)
class Powered:
    """Machines alike with what the circuit of each takes at a date."""

    machine: str
    standing: Standing
    count: int


@dataclass(frozen=True)
class Moment:
    """A plan at the end of one year of one scenario."""

    capacity: Capacity
    plan: Plan
    scenario: str
    year: int
    powered: tuple[Powered, ...]
    chosen: tuple[Chosen, ...]
    gear: Mapping[str, tuple[Candidate, int]]

    def panels(self) -> list[PanelRoom]:
        """Every panel that is there, with its room."""
        rooms, facts = [], self.capacity.facts
        for name, panel in facts.panels.items():
            if name in facts.gear and name not in self.gear:
                continue
            by_gear = sum(found.spaces.get(name, 0) * count for found, count in self.gear.values())
            taken = sum(self.poles_by_machine(name).values())
            today = (shared for shared in self.plan.shared if not shared.use.scenario)
            saved = sum(shared.poles for shared in today if shared.panel == name)
            by_circuits = taken - saved + self._waiting(name)
            rooms.append(PanelRoom(name, panel.spaces_free, by_gear, by_circuits))
        return rooms

    def poles_by_machine(self, panel: str) -> Counter[str]:
        """Poles that the circuits of each machine take in a panel, as if no breaker was shared."""
        poles: Counter[str] = Counter()
        for found in self.powered:
            if found.standing.panel == panel:
                poles[found.machine] += found.standing.poles * found.count
        return poles

    def _waiting(self, panel: str) -> int:
        """Poles of outlets that wait live for a machine or stay live, less those of idle ones now in use."""
        poles = self._left_live(panel)
        for reused in self.plan.reused:
            if reused.item.spec.kind not in OUTLETS or reused.item.outlet.panel != panel:
                continue
            taken = reused.count * reused.item.outlet.poles
            if reused.left.live:
                of_now = reused.use.scenario in ("", self.scenario) and reused.use.since[0] <= self.year
                poles -= taken * of_now
            elif reused.use.scenario == self.scenario and reused.since[0] <= self.year < reused.use.since[0]:
                poles += taken
        return poles

    def _left_live(self, panel: str) -> int:
        """Poles of outlets that their machines left and nobody makes safe, as if none was ever taken over."""
        poles = 0
        for chosen in self.chosen:
            for use in chosen.option.stream.uses:
                end = dict(use.ends).get(self.scenario)
                if end is None or end.left is None or end.date[0] > self.year:
                    continue
                if end.left.live and end.left.panel == panel:
                    poles += end.left.poles * chosen.count
        return poles

    def limits(self) -> list[Headroom]:
        """Every limit that is there, with its load."""
        capacity = self.capacity
        kinds = {kind: [g.gear for g, _ in self.gear.values() if g.gear.kind is kind] for kind in GearKind}
        found = []
        for name, limit in capacity.limits.items():
            owner = limit_owner(name)
            if owner in capacity.facts.gear and owner not in self.gear:
                continue
            most = limit.most_va
            if name == SERVICE:
                most += max((capacity.gained_va(gear) for gear in kinds[GearKind.UPGRADE]), default=0)
            added = self.balance(name)
            found.append(Headroom(name, most, limit.taken_va, added.worst_va, limit.counts_machines))
        return found

    def on_limit(self, name: str) -> list[Draw]:
        """What the machines draw through a limit."""
        on = self.capacity.by_limit(
            (
                found.machine,
                found.standing.panel,
                found.standing.draw_va,
                found.standing.poles,
                found.count,
            )
            for found in self.powered
        )
        return on.get(name, [])

    def balance(
        self, name: str, more: Sequence[Draw] = (), *, without_extra: bool = False, even: bool = False
    ) -> Balance:
        """What the machines, and more of them, ask of a limit on each line; `without_extra` no motor's quarter.

        With `even` the circuits are even over the lines as well, where that makes no line heavier than the heaviest.
        """
        capacity = self.capacity
        managed = [
            gear.gear
            for gear, _ in self.gear.values()
            if name == SERVICE and gear.gear.kind is GearKind.MANAGER
        ]
        idle = {
            key: gear.idle_va
            for key, (gear, _) in self.gear.items()
            if gear.idle_va and name in capacity.above(gear)
        }
        draws = [*self.on_limit(name), *more]
        if without_extra:
            draws = [replace(draw, extra_va=0) for draw in draws]
        return capacity.balance(draws, managed, idle, capacity.lines(name), even=even)


def at_year(facts: Facts, plan: Plan, chosen: Sequence[Chosen], year: int) -> Moment:
    """The plan at the end of a year, in the first scenario."""
    scenario = scenarios_of(facts.shop)[0]
    return [moment for when, moment in moments(facts, plan, chosen, scenario) if when <= year][-1]


def moments(
    facts: Facts, plan: Plan, chosen: Sequence[Chosen], scenario: Scenario
) -> Iterator[tuple[int, Moment]]:
    """The plan at the end of every year of a scenario in which a circuit is made or changed, and today."""
    candidates = {
        gear.name: candidate(facts, gear) for gear in facts.shop.gear if _in(plan, gear.name, facts)
    }
    capacity = Capacity(facts)
    years = {0} | {
        entry.year for found in chosen for entry in found.option.stream.standings.get(scenario.name, ())
    }
    for year in sorted(years):
        powered = tuple(
            Powered(found.option.machine, standing, found.count)
            for found in chosen
            if (standing := found.option.stream.at(scenario.name, year)) is not None
        )
        gear = {name: (found, 1) for name, found in candidates.items() if found.gear.installed}
        for bought in plan.gear:
            if bought.scenario in ("", scenario.name) and bought.year <= year:
                before = gear.get(bought.name, (candidates[bought.name], 0))[1]
                gear[bought.name] = (candidates[bought.name], before + bought.count)
        yield year, Moment(capacity, plan, scenario.name, year, powered, tuple(chosen), gear)


def moments_here(
    facts: Facts, plan: Plan, chosen: Sequence[Chosen], scenario: Scenario
) -> Iterator[tuple[int, Moment]]:
    """Those of them before the whole shop first moves, in whose panels and limits they are."""
    moved = scenario.first_shop_move(facts.shop.years)
    return ((year, moment) for year, moment in moments(facts, plan, chosen, scenario) if year < moved)


def _in(plan: Plan, name: str, facts: Facts) -> bool:
    return any(bought.name == name for bought in plan.gear) or facts.gear[name].installed


def overloads(facts: Facts, plan: Plan, chosen: Sequence[Chosen], scenario: Scenario) -> Iterator[str]:
    """What the plan has too little of, in words: gear that is not there, panel room, capacity."""
    moved = scenario.first_shop_move(facts.shop.years)
    for year, moment in moments(facts, plan, chosen, scenario):
        mark = f"{scenario.name}, year {year}"
        yield from (f"{words}: {mark}" for words in _missing_gear(facts, moment))
        if year < moved:
            yield from (f"{words}: {mark}" for words in _too_much(moment))


def _missing_gear(facts: Facts, moment: Moment) -> Iterator[str]:
    for found in moment.powered:
        panel = found.standing.panel
        if panel in facts.gear and panel not in moment.gear:
            yield f"{found.machine} hangs on {panel}, which is not there"
    for gear_asked in facts.shop.gear:
        if gear_asked.required and gear_asked.name not in moment.gear:
            yield f"{gear_asked.name} is asked for and not there"
    for gear, count in moment.gear.values():
        if count > gear.at_most:
            yield f"{count} of {gear.name}, of which there may be {gear.at_most}"
        if gear.above in facts.gear and gear.above not in moment.gear:
            yield f"{gear.name} is fed from {gear.above}, which is not there"
    for limit in pair_limits(facts.shop):
        taken = sum(
            takes * moment.gear[name][1] for name, takes in limit.takes.items() if name in moment.gear
        )
        if taken > limit.most:
            yield f"{taken} of {limit.what}, of which there may be {limit.most}"


def _too_much(moment: Moment) -> Iterator[str]:
    for room in moment.panels():
        if room.left < 0:
            yield f"{room.panel} is {-room.left} {'spaces' if room.left < -1 else 'space'} short, one a pole"
    for limit in moment.limits():
        if limit.left_va < 0 < limit.added_va:
            unit = "machines" if moment.capacity.limits[limit.limit].counts_machines else "VA"
            yield f"{limit.limit} carries {-limit.left_va} {unit} too much"
