"""A plan: what was decided, and nothing that follows from it."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from costplan.circuits.needs import Item, Need
from costplan.circuits.shelf import WholeCord
from costplan.circuits.ways import Way
from costplan.plans.crews import Hiring


@dataclass(frozen=True, slots=True)
class Bought:
    """Units of an offer set aside for a need today: pieces, or feet where feet are asked.

    `reel` numbers the reel, roll or remnant a piece is cut from, None when cut by the foot or counted.
    """

    offer_row: int
    need: Need
    count: int
    reel: int | None = None


@dataclass(frozen=True, slots=True)
class Packs:
    """Whole packs, reels, rolls, sticks or remnants bought of an offer today."""

    offer_row: int
    count: int


@dataclass(frozen=True, slots=True)
class Reused:
    """Stock of one year that serves a need of the same or a later year, in one scenario.

    The scenario is empty and the years are 0 for what is there already and used today; `installed` marks
    outlets of the shop file that nobody uses.
    """

    scenario: str
    from_year: int
    item: Item
    to_year: int
    need: Item
    count: int
    installed: bool = False


@dataclass(frozen=True, slots=True)
class WholeCordUsed:
    """A cord from the shelf used today as it is, ends and all, for a cable, a plug and a connector asked for."""

    cord: WholeCord
    asked: tuple[Item, Item, Item]
    count: int


@dataclass(frozen=True, slots=True)
class SharedOutlet:
    """An outlet that turn-taking machines share from today."""

    group: str
    item: Item


@dataclass(frozen=True, slots=True)
class GearBought:
    """Shared gear put in at the end of a year of one scenario; today belongs to every scenario."""

    name: str
    scenario: str
    year: int
    count: int


@dataclass(frozen=True)
class Plan:
    """A way for every machine, who is hired, what is bought today, what stock serves later, what gear is put in."""

    ways: Mapping[str, Way]
    hiring: Hiring
    bought: tuple[Bought, ...]
    packs: tuple[Packs, ...]
    reused: tuple[Reused, ...]
    shared: tuple[SharedOutlet, ...]
    whole_cords: tuple[WholeCordUsed, ...] = ()
    gear: tuple[GearBought, ...] = ()

    @property
    def signature(self) -> tuple[tuple[str, str], ...]:
        """What a person would call these ways: the group of every machine's."""
        return tuple(sorted((machine, way.signature) for machine, way in self.ways.items()))

    def shares(self) -> list[tuple[str, Way, int]]:
        """Machines in order with their ways, and how many machines each way is for."""
        return [(machine, way, 1) for machine, way in sorted(self.ways.items())]

    @property
    def gear_names(self) -> frozenset[str]:
        """Gear that is ever put in."""
        return frozenset(bought.name for bought in self.gear)

    def repeats(self, other: "Plan") -> bool:
        """Whether a person would call it the other plan, perhaps with gear added that it does without."""
        return self.signature == other.signature and other.gear_names <= self.gear_names


def changed_machines(plan: Plan, other: Plan) -> set[str]:
    """Machines that a person would call differently powered in the two plans."""
    groups: tuple[Counter[tuple[str, str]], ...] = (Counter(), Counter())
    for counts, one in zip(groups, (plan, other), strict=True):
        for machine, way, count in one.shares():
            counts[machine, way.signature] += count
    return {machine for machine, _ in (groups[0] - groups[1]) + (groups[1] - groups[0])}
