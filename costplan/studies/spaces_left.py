"""What a plan leaves of breaker spaces: on a day, and the least in any later year, with what takes them then."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from costplan.circuits.facts import Facts
from costplan.ledger.ledger import Moment, PanelRoom, at_year, moments_here
from costplan.model.events import Scenario
from costplan.program.ranked import Ranked
from costplan.years.calendar import scenarios_of


@dataclass(frozen=True, slots=True)
class Taken:
    """What takes more poles later; `machine` is empty for shared equipment and for outlets that stay live."""

    machine: str
    poles: int
    gear: bool = False


@dataclass(frozen=True, slots=True)
class Least:
    """The fewest poles left after a day: when, in which scenario (empty: all), and what takes more than on that day."""

    scenario: str
    year: int
    left: int
    why: tuple[Taken, ...]


@dataclass(frozen=True, slots=True)
class SpacesLeft:
    """The room of a panel on a day, and the least later; None where no later year has less."""

    room: PanelRoom
    least: Least | None

    @property
    def least_left(self) -> int:
        """The fewest poles left on that day or later."""
        return self.room.left if self.least is None else self.least.left


def spaces_left(facts: Facts, ranked: Ranked, since: int = 0) -> list[SpacesLeft]:
    """Every panel that is there at the end of year `since`, in poles; 0 is today.

    Years of another building are left out, as its panels are not these.
    """
    then = at_year(facts, ranked.plan, ranked.chosen, since)
    later = [tuple(_since(facts, ranked, scenario, since)) for scenario in scenarios_of(facts.shop)]
    return [SpacesLeft(room, _least(then, room, later)) for room in then.panels()]


def _since(facts: Facts, ranked: Ranked, scenario: Scenario, since: int) -> Iterator[Moment]:
    """The plan at the end of `since` and of each later year in which it changes, while the shop stays."""
    told = list(moments_here(facts, ranked.plan, ranked.chosen, scenario))
    first = max(year for year, _ in told if year <= since)
    yield from (moment for year, moment in told if year >= first)


def _least(then: Moment, room: PanelRoom, later: Sequence[Sequence[Moment]]) -> Least | None:
    # Of several as tight the earliest, in each scenario.
    tightest = [
        min(
            ((moment, found) for moment in moments for found in moment.panels() if found.panel == room.panel),
            key=lambda entry: (entry[1].left, entry[0].year),
        )
        for moments in later
    ]
    moment, least = min(tightest, key=lambda entry: (entry[1].left, entry[0].year))
    if least.left >= room.left:
        return None
    alike = all((at.year, found.left) == (moment.year, least.left) for at, found in tightest)
    why = tuple(_why(then, room, moment, least))
    return Least("" if alike else moment.scenario, moment.year, least.left, why)


def _why(then: Moment, room: PanelRoom, moment: Moment, least: PanelRoom) -> Iterator[Taken]:
    """What takes more poles at the later moment than before."""
    before, after = then.poles_by_machine(room.panel), moment.poles_by_machine(room.panel)
    more = {name: poles - before.get(name, 0) for name, poles in after.items()}
    yield from (Taken(name, poles) for name, poles in sorted(more.items()) if poles > 0)
    by_gear = least.by_gear - room.by_gear
    if by_gear > 0:
        yield Taken("", by_gear, gear=True)
    others = (least.by_circuits - sum(after.values())) - (room.by_circuits - sum(before.values()))
    if others > 0:
        yield Taken("", others)
