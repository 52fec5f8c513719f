"""Next machines priced, as pandas frames; pandas is loaded when a frame is asked for."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from costplan.files.asked import whole_number
from costplan.program.clock import Tick
from costplan.reports.framing import framed, named
from costplan.reports.next_columns import NEXT_TABLES
from costplan.reports.next_page import incomplete_lines
from costplan.reports.words import left_out_lines
from costplan.studies.asked_next import MOST_ALIKE, NextAnswer, answer_next, asked_machines
from costplan.studies.case import Case

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class NextResult:
    """Next machines priced, and their tables as frames, each worked out when it is first asked for."""

    answer: NextAnswer

    @property
    def currency(self) -> str:
        """The shop's currency: whole cents of it stand in every column whose name ends with `_cents`."""
        return self.answer.facts.shop.currency

    @property
    def notes(self) -> tuple[str, ...]:
        """What no figure contains, what is not known, and what is asked about, in sentences: to be read before any figure is
        used."""
        left_out = (*self.answer.facts.left_out, *self.answer.left_out)
        asked = (f"{each.machine}: {each.field} {each.words}" for each in self.answer.asked)
        return (*left_out_lines(left_out), *incomplete_lines(self.answer.prices), *asked)

    @cached_property
    def machines(self) -> "pd.DataFrame":
        """The machines, the cheapest all in first."""
        return self.table("machines")

    @cached_property
    def variants(self) -> "pd.DataFrame":
        """What power comes to where a machine is held to one source or one kind of run."""
        return self.table("variants")

    @cached_property
    def work(self) -> "pd.DataFrame":
        """Work until each runs."""
        return self.table("work")

    @cached_property
    def parts(self) -> "pd.DataFrame":
        """What to buy until each runs."""
        return self.table("parts")

    @cached_property
    def by_count(self) -> "pd.DataFrame":
        """Power of so many like the cheapest; empty unless asked for."""
        return self.table("by_count")

    def table(self, name: str) -> "pd.DataFrame":
        """The frame of that name. Raises ValueError naming those that there are."""
        table = named(NEXT_TABLES, name)
        return framed(table.columns, table.values(self.answer))


def next_machines(
    case: Case,
    names: Iterable[str] = (),
    *,
    described: Mapping[str, object] | None = None,
    up_to: int | str = 0,
    seconds: float | None = 120,
    second: bool = True,
    all_ways: bool = True,
    tick: Tick = bool,
) -> NextResult:
    """Price machines that are thought of, as `costplan next` does.

    names: of those under next_machines, none for all; described: one that is not in the file, as it would stand there
    (`{"name": "planer", "price": 1400, "volts": 240, "hp": 5, "at": "bay"}`); up_to: also price so many like the cheapest;
    seconds: time limit of the whole run, None for none; second: also another one like each; all_ways: the variants of
    each, not of the cheapest alone; tick: called ahead of each step with what it is.
    Raises NoPlanError when no plan keeps all limits, WrongUseError, a ValueError, for what is not there.
    """
    many = whole_number("--up-to", up_to, 0, 0, MOST_ALIKE)
    chosen = asked_machines(case.facts, tuple(names), described)
    return NextResult(
        answer_next(
            case.facts, chosen, up_to=many, seconds=seconds, second=second, all_ways=all_ways, tick=tick
        )
    )
