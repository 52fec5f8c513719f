"""Which spaces of today's panels later work takes: beside which breaker that gets more poles, for which new circuit."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from costplan.circuits.facts import Facts
from costplan.circuits.things import PartKind
from costplan.ledger.ledger import Moment, at_year, moments_here
from costplan.ledger.steps import Act
from costplan.model.events import Scenario
from costplan.program.ranked import Ranked
from costplan.years.calendar import scenarios_of


@dataclass(frozen=True, slots=True)
class Kept:
    """Spaces of a panel, counted in poles, that a machine takes more of from the end of a year on than before it.

    `had` are the poles that each of its breakers has there before, 0 where its circuit is made then, side by side with
    no other; `poles` those that each has from then on; `scenarios` those that expect it, none where all do.
    """

    panel: str
    machine: str
    year: int
    count: int
    had: int
    poles: int
    scenarios: tuple[str, ...] = ()

    @property
    def spaces(self) -> int:
        """How many are to be kept."""
        return (self.poles - self.had) * self.count


def spaces_kept(facts: Facts, ranked: Ranked) -> list[Kept]:
    """What to keep in the panels that are there after today's work, by panel and year.

    A circuit counts where a breaker is bought for it or comes off the shelf; one that takes over another's breaker or
    shares one needs no more spaces, nor does one that is made elsewhere with as many poles.
    """
    scenarios = scenarios_of(facts.shop)
    by_kept: dict[Kept, list[str]] = {}
    for scenario in scenarios:
        for kept in _kept(facts, ranked, scenario):
            by_kept.setdefault(kept, []).append(scenario.name)
    found = [
        replace(kept, scenarios=tuple(names) if len(names) < len(scenarios) else ())
        for kept, names in by_kept.items()
    ]
    return sorted(found, key=lambda kept: (kept.panel, kept.year, kept.machine, kept.scenarios))


def _kept(facts: Facts, ranked: Ranked, scenario: Scenario) -> Iterator[Kept]:
    today = at_year(facts, ranked.plan, ranked.chosen, 0)
    there = {room.panel for room in today.panels()}
    landed, stays = _landed(ranked, scenario), _left_live(ranked, scenario)
    before = _poles(today)
    most = {key: poles for key, (_, poles) in before.items()}
    for year, moment in moments_here(facts, ranked.plan, ranked.chosen, scenario):
        now = _poles(moment)
        for (panel, machine), (count, poles) in now.items() if year > 0 else ():
            key = panel, machine
            _, had = (0, 0) if (year, *key) in stays else before.get(key, (0, 0))
            if panel in there and poles > most.get(key, 0) and (year, *key) in landed:
                yield Kept(panel, machine, year, count, had, poles)
            most[key] = max(most.get(key, 0), poles)
        before = now


def _poles(moment: Moment) -> dict[tuple[str, str], tuple[int, int]]:
    """How many breakers each machine has in each panel at a date, and the poles of each."""
    found: dict[tuple[str, str], tuple[int, int]] = {}
    for entry in moment.powered:
        key = entry.standing.panel, entry.machine
        count, poles = found.get(key, (0, 0))
        found[key] = count + entry.count, max(poles, entry.standing.poles)
    return found


def _landed(ranked: Ranked, scenario: Scenario) -> set[tuple[int, str, str]]:
    """Year, panel and machine of every breaker that later work puts into a panel's spaces."""
    return {
        (line.year, step.run.outlet.panel, line.machine)
        for line in ranked.lines
        if line.scenario in ("", scenario.name)
        and (step := line.step) is not None
        and step.kind == PartKind.BREAKER
        and step.act in (Act.BUY, Act.TAKE_FROM_SHELF)
        and step.run is not None
    }


def _left_live(ranked: Ranked, scenario: Scenario) -> set[tuple[int, str, str]]:
    """Year, panel and machine of every outlet that its machine leaves live, so that its breaker stays where it is."""
    return {
        (end.date[0], end.left.panel, chosen.option.machine)
        for chosen in ranked.chosen
        for use in chosen.option.stream.uses
        if (end := dict(use.ends).get(scenario.name)) is not None and end.left is not None and end.left.live
    }
