"""What of the program turns on no price and nobody hired, built once for every market and every way of hiring."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle, Need
from costplan.circuits.ways import Way
from costplan.ledger.plan import Lasting, Reused, Shared, WholeCordUsed
from costplan.ledger.pricing import When
from costplan.program.gear_rows import GearRows
from costplan.program.kept import Kept
from costplan.program.program import Program, Terms
from costplan.years.stream import Trip, Use

Charged = Mapping[tuple[Bundle, When, Trip], Terms]
"""Bundles with when they are done and in which visit of a move, and how often by variable."""


@dataclass(frozen=True)
class Causes:
    """Variables that stand for ways of machines, and those that serve what ways ask for.

    `serves` has what a variable serves, with the most of that there is.
    """

    program: Program
    machine_of: dict[int, str]
    serves: dict[int, tuple[Use | Trip, int]]

    def owner(self, index: int) -> str | int:
        """The machine that a variable is a way of, else the variable itself."""
        return self.machine_of.get(index, index)

    def most(self, terms: Mapping[int, int]) -> int:
        """The most an expression can be, one way a machine; other variables count as themselves."""
        most: dict[str | int, int] = defaultdict(int)
        for index, count in terms.items():
            name = self.owner(index)
            most[name] = max(most[name], count * self.program.variables[index].high)
        return sum(most.values())

    def together(self, causes: Iterable[int]) -> list[tuple[list[int], int]]:
        """Variables in groups, each with the most that it adds up to.

        A group is the ways of one machine, what serves one use, or what one move leaves; any other variable is its own.
        """
        groups: dict[str | int | Use | Trip, list[int]] = defaultdict(list)
        most: dict[str | int | Use | Trip, int] = defaultdict(int)
        for index in causes:
            high = self.program.variables[index].high
            name: str | int | Use | Trip = self.owner(index)
            if index in self.serves:
                name, high = self.serves[index]
            groups[name].append(index)
            most[name] = _most_with(name, most[name], high)
        return [(group, most[name]) for name, group in groups.items()]


def _most_with(group: str | int | Use | Trip, most: int, high: int) -> int:
    """The most of a group with one more variable that may be as high."""
    # What one move leaves adds up; ways of one machine, and what serves one use, only take each other's place.
    leaves_by_move = isinstance(group, tuple)
    return most + high if leaves_by_move else max(most, high)


@dataclass(frozen=True, kw_only=True)
class Body:
    """The built program before anything is bought or anybody is hired, the same for every sourcing rule at every price."""

    facts: Facts
    built_of: object
    """What it was built of, besides the shop and the parts in `facts`."""
    causes: Causes
    charged: Charged
    ways: Mapping[str, Mapping[Way, int]]
    reuse: Mapping[int, Reused]
    lasting: Mapping[int, Lasting]
    shared: Mapping[int, Shared]
    whole_cords: Mapping[int, WholeCordUsed]
    gear: GearRows
    demand: Mapping[Need, Terms]
    """How often each variable asks for a need today."""
    askers: Mapping[str | int, Mapping[Need, int]]
    """The most that each machine can ask for."""
    stock_rows: frozenset[int] | None
    """Where what is cut off cords was left out for lack of time: rows that count how often a thing set free serves."""
    kept: Kept = field(default_factory=Kept, compare=False, repr=False)

    def is_of(self, facts: Facts, built_of: object) -> bool:
        """Whether the same would be built of that. Money may differ: all it changes here is the streams, in `built_of`."""
        mine, other = self.facts, facts
        same_catalog = mine.catalog is other.catalog
        if not same_catalog or mine.written != other.written.model_copy(update={"money": mine.written.money}):
            return False
        return self.built_of == built_of
