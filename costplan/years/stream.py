"""The one stream of events of a machine powered one way: what is done, what is used from when to when.

It is worked out once; the program, the walk over the years, turning points and papers read it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from costplan.circuits.needs import Bundle, Return, Slowed, StockNeed
from costplan.circuits.numbered import numbered
from costplan.circuits.ways import Way

Date = tuple[int, int]
"""A year and a step within it: the first moves of a year are step 0, second moves of the same machine step 1."""
TODAY: Date = (0, 0)
LEASE_ENDS = "the lease ends"
"""Why fixed wiring is taken out."""


class Cause(StrEnum):
    """What brings money in a year after today."""

    BEGUN = "made for the first time"
    WORN = "worn out and bought again"
    RUN = "all else"


Trip = tuple[str, Way, int] | tuple[()]
"""A machine, its way and the step of the move that has a visit of its own; empty for the visit of the year."""


@numbered
@dataclass(frozen=True)
class End:
    """When a thing is no longer used, and what that sets free."""

    date: Date
    left: Return | None


@numbered
@dataclass(frozen=True)
class TakenOut:
    """What it takes in a year of a scenario when the landlord has an outlet taken out that is in use to the last, and where."""

    scenario: str
    year: int
    place: str
    bundle: Bundle


@numbered
@dataclass(frozen=True)
class Use:
    """A thing in use from a date on: today in every scenario (`scenario` is empty), later in one.

    `ends` says by scenario when its use ends, None for never. `present` things are there already and cost
    nothing. `trip` is the visit it belongs to where every move is a visit of its own. `parted` are parts taken out
    of it meanwhile, and `places` what makes work on it slower from a later date on, both by scenario.
    """

    scenario: str
    since: Date
    why: str
    thing: StockNeed
    ends: tuple[tuple[str, End | None], ...]
    present: bool = False
    trip: Trip = ()
    parted: tuple[tuple[str, Date, Return], ...] = ()
    places: tuple[tuple[str, Date, Slowed], ...] = ()
    taken_out: tuple[TakenOut, ...] = ()

    @property
    def ends_today(self) -> bool:
        """Whether it is no longer used after today."""
        end = self.ends[0][1]
        return end is not None and end.date[0] == 0


@dataclass(frozen=True, slots=True)
class Deed:
    """Something done or paid at a date, whatever stock holds; today's scenario is empty."""

    scenario: str
    date: Date
    why: str
    bundle: Bundle
    trip: Trip = ()
    yearly: bool = False
    """Whether it comes every year, whatever changes."""


@dataclass(frozen=True, slots=True)
class Given:
    """Something set free at a date that was no thing of its own in the circuit before."""

    scenario: str
    date: Date
    left: Return


@dataclass(frozen=True, slots=True)
class Standing:
    """What a circuit takes of its panel from the end of one year on; no panel once the machine is gone."""

    year: int
    panel: str
    poles: int
    draw_va: int


@dataclass(frozen=True)
class Stream:
    """All that happens to one machine's circuit by one way, in every scenario; dates in order.

    `wiring_out` is by scenario the year in which the landlord has taken out what then stands, None for never.
    """

    deeds: tuple[Deed, ...]
    uses: tuple[Use, ...]
    given: tuple[Given, ...] = ()
    standings: Mapping[str, tuple[Standing, ...]] = field(default_factory=dict)
    wiring_out: Mapping[str, int | None] = field(default_factory=dict)

    def change_years(self, scenario: str) -> list[int]:
        """Years after today in which its circuit is made or changed in a scenario."""
        return sorted(
            {entry.year for entry in self.standings.get(scenario, ()) if entry.year > 0 and entry.panel}
        )

    def at(self, scenario: str, year: int) -> Standing | None:
        """What it takes at the end of a year; None when the machine is not there."""
        past = [entry for entry in self.standings.get(scenario, ()) if entry.year <= year]
        return past[-1] if past and past[-1].panel else None

    def given_today(self) -> list[Return]:
        """What is set free today besides things that come to their end: ends taken out of a run that stays."""
        parted = [
            left
            for use in self.uses
            for scenario, date, left in use.parted
            if date[0] == 0 and scenario == use.ends[0][0]
        ]
        return [given.left for given in self.given if given.date[0] == 0] + parted
