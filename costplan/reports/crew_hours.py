"""Hours by the clock of whoever works: those of several people at once are not man-hours, and add up with no others."""

from collections.abc import Collection
from decimal import Decimal
from typing import Protocol

from costplan.circuits.facts import Facts
from costplan.program.ranked import Ranked
from costplan.reports.tables import filled


class Worked(Protocol):
    """A row of work: by which crew, of how many people, for how many hours by the clock."""

    @property
    def crew(self) -> str:
        """By name."""

    @property
    def people(self) -> int:
        """How many work together."""

    @property
    def hours(self) -> Decimal:
        """By the clock."""


def people_of(facts: Facts, ranked: Ranked, crew: str) -> int:
    """How many people a crew of the plan is; whoever is hired by a bid goes before the shop's crews."""
    known = {each.name: each for each in (facts.owner, *facts.crews, ranked.plan.hiring.crew)}
    return known[crew].people if crew in known else 1


def together(people: int) -> str:
    """Of whom the hours of a crew are, empty for one person."""
    return "" if people == 1 else "of the pair" if people == 2 else f"of its {people} people together"


def who(row: Worked) -> str:
    """The crew of a row, with how many people it is where it is not one."""
    return row.crew if row.people == 1 else f"{row.crew}, {row.people} people"


def total_hours(rows: Collection[Worked]) -> str:
    """The sum of hours of one person each, or of one crew alone; empty where hours of different sorts stand together."""
    if len({(row.crew, row.people) if row.people > 1 else None for row in rows}) > 1:
        return ""
    return f"{sum((round(row.hours, 2) for row in rows), Decimal(0)):.2f}"


def hours_note(rows: Collection[Worked], width: int) -> str:
    """That an hour of several people is theirs together, as a line; empty where each works alone."""
    if all(row.people == 1 for row in rows):
        return ""
    words = "Hours are by the clock: an hour of a crew of several people is all of theirs together, and so is its rate."
    return f"\n{filled(words, width)}"
