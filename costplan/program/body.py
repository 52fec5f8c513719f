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
from costplan.program.program import Program, Terms
from costplan.program.relaxation import Linear
from costplan.program.solver import Records
from costplan.years.stream import Trip, Use

Charged = Mapping[tuple[Bundle, When, Trip], Terms]
"""Bundles with when they are done and in which visit of a move, and how often by variable."""

ALIKE = 0.8
"""From what share of equal rows on two programs share their relaxations."""


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
            most[name] = max(most[name] + high if isinstance(name, tuple) else most[name], high)
        return [(group, most[name]) for name, group in groups.items()]


@dataclass(frozen=True)
class Solved:
    """What is kept of a program for its copies and for programs like it: its relaxations, and what the solver reads of it."""

    program: Program
    linear: Linear
    records: Records


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
    hired: dict[str, Solved] = field(default_factory=dict, compare=False, repr=False)
    """By way of hiring what was built of it first."""

    def is_of(self, facts: Facts, built_of: object) -> bool:
        """Whether the same would be built of that. Money may differ: all it changes here is the streams, in `built_of`."""
        mine, other = self.facts, facts
        same_catalog = mine.catalog is other.catalog
        if not same_catalog or mine.written != other.written.model_copy(update={"money": mine.written.money}):
            return False
        return self.built_of == built_of

    def kept(self, hiring: str, program: Program) -> Solved:
        """What serves a program by a way of hiring: it shares rows with what was built first, and relaxations and records."""
        first = self.hired.get(hiring)
        if first is None:
            return self.hired.setdefault(hiring, Solved(program, Linear(), Records(program)))
        linear = first.linear if program.liken(first.program) > ALIKE else Linear()
        return Solved(program, linear, first.records if first.records.serve(program) else Records(program))
