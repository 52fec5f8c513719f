"""When each machine's circuit is made under a yearly budget: the cheapest years that keep it, proven, or what is short.

A small integer program of its own: each circuit whole, in one year no later than it is needed; a visit paid once in every year
with hired work; what several machines share paid by the first year in which one of them is powered; the money of each year at
most the budget. What is left of a year is lost.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.model.money import to_cents
from costplan.program.program import Program
from costplan.program.solver import NoAnswerError, solve
from costplan.years.discounting import single_worth


@dataclass(frozen=True, slots=True)
class Job:
    """One machine's circuit, to be made in the year `by` at the latest: what it takes in each year, today first, in cents.

    `called`: whether somebody hired comes for it.
    """

    name: str
    by: int
    cash: tuple[int, ...]
    called: bool = True


@dataclass(frozen=True, slots=True)
class Together:
    """What several of them need once, in cents of each year."""

    names: frozenset[str]
    cash: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Budget:
    """The most cash of a year in cents, today first; the last of them holds for every year after it."""

    cents: tuple[int, ...]

    def of(self, year: int) -> int:
        """What a year may take; 0 is today."""
        return self.cents[min(year, len(self.cents) - 1)]

    @property
    def alike(self) -> bool:
        """Whether it is the same in every year."""
        return len(set(self.cents)) == 1


@dataclass(frozen=True)
class Task:
    """What is to be done, and the money of a year.

    `visit` is what a year with hired work pays once, `other` what the year pays in any case, both in cents by year.
    """

    budget: Budget
    rate: Decimal
    jobs: tuple[Job, ...]
    together: tuple[Together, ...]
    visit: tuple[int, ...]
    other: tuple[int, ...]

    @property
    def years(self) -> int:
        """Today and the years after it in which anything may be done."""
        return len(self.other)

    def worth(self, cents: int, year: int) -> int:
        """In today's money, rounded to the cent."""
        return to_cents(cents * single_worth(self.rate, year))


@dataclass(frozen=True, slots=True)
class Staged:
    """The year of every job; cash of each year with what is paid in any case; what jobs, visits and shares are worth today."""

    years: Mapping[str, int]
    cash: tuple[int, ...]
    worth_cents: int
    proven: bool


@dataclass(frozen=True, slots=True)
class Lacking:
    """What is short where no years keep the budget, in cents.

    `short` is the least in all, by year; `one_year` the least that one year alone would need more, for every year that can
    mend it; `every_year` the least budget that would do in all years; `waits` what comes of it if one job may be a year later.
    """

    short: Mapping[int, int]
    one_year: Mapping[int, int]
    every_year: int
    waits: Mapping[str, Staged]


def staged(task: Task) -> Staged | Lacking:
    """The cheapest years that keep the budget, else what is short. Raises ValueError without a job."""
    if not task.jobs:
        raise ValueError("nothing is to be done")
    found = _kept(task)
    return _lacking(task) if found is None else found


def _kept(task: Task) -> Staged | None:
    made = _Made(task)
    try:
        answer = solve(made.program)
    except NoAnswerError:
        return None
    years = made.years(answer.values)
    return Staged(years, made.cash(answer.values), answer.cost, answer.proven)


def _lacking(task: Task) -> Lacking:
    every = _Made(task, more=range(task.years))
    answer = solve(every.program)
    short = {year: answer.values[index] for year, index in every.more.items() if answer.values[index]}
    one_year = {}
    for year in range(task.years):
        alone = _Made(task, more=[year])
        try:
            values = solve(alone.program).values
        except NoAnswerError:
            continue
        one_year[year] = values[alone.more[year]]
    level = _Made(task, level=True)
    waits = {}
    for place, job in enumerate(task.jobs):
        if 0 < job.by < task.years - 1:
            jobs = (*task.jobs[:place], replace(job, by=job.by + 1), *task.jobs[place + 1 :])
            found = _kept(replace(task, jobs=jobs))
            if found is not None:
                waits[job.name] = found
    return Lacking(short, one_year, solve(level.program).cost, waits)


class _Made:
    """The program of a task; `more` are years that may have more money, which alone costs then; `level`: one budget for all."""

    def __init__(self, task: Task, more: Sequence[int] = (), *, level: bool = False) -> None:
        self.task, self.program = task, Program()
        self.counts = not more and not level
        self.spent: list[dict[int, int]] = [{} for _ in range(task.years)]
        self.done = {job.name: self._job(job) for job in task.jobs}
        for shared in task.together:
            self._shared(shared)
        self._visits()
        most = sum(sum(terms.values()) for terms in self.spent) + sum(task.other)
        self.more = {year: self.program.variable(f"more in {year}", most, 1) for year in more}
        budget = self.program.variable("budget", most, 1) if level else None
        for year, terms in enumerate(self.spent):
            row, high = dict(terms), task.budget.of(year) - task.other[year]
            if year in self.more:
                row[self.more[year]] = -1
            if budget is not None:
                row[budget], high = -1, -task.other[year]
            # A year in which nothing can be done may have other money that is too much: more of it is then short too.
            self.program.row(f"budget of {year}", row, high=high)

    def years(self, values: Sequence[int]) -> dict[str, int]:
        """The year of each job."""
        return {
            name: next(year for year, index in enumerate(found) if values[index])
            for name, found in self.done.items()
        }

    def cash(self, values: Sequence[int]) -> tuple[int, ...]:
        """All cash of each year."""
        return tuple(
            other + sum(cents * values[index] for index, cents in terms.items())
            for other, terms in zip(self.task.other, self.spent, strict=True)
        )

    def _paid(self, name: str, cents: int, year: int) -> int:
        index = self.program.variable(
            f"{name} in {year}", 1, self.task.worth(cents, year) if self.counts else 0
        )
        self.spent[year][index] = cents
        return index

    def _job(self, job: Job) -> list[int]:
        found = [self._paid(job.name, cents, year) for year, cents in enumerate(job.cash[: job.by + 1])]
        self.program.row(f"{job.name} once", dict.fromkeys(found, 1), low=1, high=1)
        return found

    def _shared(self, shared: Together) -> None:
        name = " and ".join(sorted(shared.names))
        last = max(len(self.done[member]) for member in shared.names)
        found = [self._paid(f"for {name}", cents, year) for year, cents in enumerate(shared.cash[:last])]
        self.program.row(f"for {name} once", dict.fromkeys(found, 1), low=1, high=1)
        for member in shared.names:
            for year, index in enumerate(self.done[member]):
                row = dict.fromkeys(found[: year + 1], 1) | {index: -1}
                self.program.row(f"for {name} by {year}", row, low=0)

    def _visits(self) -> None:
        for year, cents in enumerate(self.task.visit):
            called = [self.done[job.name][year] for job in self.task.jobs if job.called and job.by >= year]
            if cents and called:
                visit = self._paid("visit", cents, year)
                row = {visit: len(called)} | dict.fromkeys(called, -1)
                self.program.row(f"visit in {year}", row, low=0)
