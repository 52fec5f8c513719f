"""A plan under a yearly budget: what each machine's circuit takes, read off its lines; the years, and these worked out anew.

Every machine is powered as the plan says. One that is here needs its circuit today, one that arrives needs it then and may have
it before; nothing is put off unless its owner says by when it must be there.
"""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.files.problems import allowed_words
from costplan.ledger.crews import later_permit_cents
from costplan.ledger.holding import written
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.ledger.options import Option
from costplan.ledger.pricing import SET_UP
from costplan.model.money import growth_factor, to_cents
from costplan.program.clock import Clock, Tick
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.studies.exceeding import Exceeding, exceeding
from costplan.studies.left_out import bench_of_the_rest
from costplan.studies.sureness import DEFAULT, Settings
from costplan.studies.uncertain import GROWING
from costplan.studies.yearly_budget import Budget, Job, Lacking, Staged, Task, Together, staged
from costplan.years.calendar import scenarios_of

OF_A_VISIT = (LineKind.CALL_OUT, LineKind.PERMIT)
Amounts = dict[str, int]
"""Cents by the word of what they grow with."""


@dataclass(frozen=True, slots=True)
class WorkedAnew:
    """The plan with its machines in those years, all worked out again: its total, and the most cash of any scenario by year."""

    plan: Ranked
    cash: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Other:
    """Another ranked plan by its place."""

    rank: int
    plan: Ranked


@dataclass(frozen=True)
class Budgeted:
    """What was asked, the years or what is short, and the plan worked out anew with those years.

    `due` is the last year of every machine with anything to be done; `free` the years without a budget. `anew` is None where
    what is short is told, or where something that is there now would have to wait, which no plan can say. `sure` is how often
    the plan anew takes more than the budget; where that cannot be kept, of the least budget that would do, by its years.
    `others` are other ranked plans that could keep it, where this one cannot, and None where it can.
    """

    task: Task
    found: Staged | Lacking
    due: Mapping[str, int]
    free: Staged | Lacking
    anew: WorkedAnew | None = None
    sure: Exceeding | None = None
    others: tuple[Other, ...] | None = None


def budgeted(
    facts: Facts,
    plan: Ranked,
    budget: Budget,
    by: Mapping[str, int],
    clock: Clock,
    tick: Tick = bool,
    *,
    ranked: Sequence[Ranked] = (),
    settings: Settings = DEFAULT,
) -> Budgeted:
    """The years of a plan under a budget; `by` is the year until which a machine's circuit may wait, by its name in the file.

    ranked: all ranked plans, the best first; settings: of the draws. Raises ValueError for a name or a year that cannot be,
    or where the plan has nothing to do.
    """
    task, starts = _Read(facts, plan, budget, by).task()
    _refuse_idle(task.jobs, by)
    found = staged(task)
    free = staged(
        replace(task, budget=Budget((sum(max(job.cash) for job in task.jobs) + _most_besides(task),)))
    )
    due = {job.name: job.by for job in task.jobs}

    def anew_in(years: Mapping[str, int]) -> WorkedAnew | None:
        moved = {name: year for name, year in years.items() if year != starts[name]}
        return _anew(facts, plan, moved, clock, tick)

    def sure_of(anew: WorkedAnew | None, limit: Budget) -> Exceeding | None:
        return None if anew is None else exceeding(facts, anew.plan, limit.of, settings)

    if isinstance(found, Lacking):
        same = Budget((found.every_year,))
        level = staged(replace(task, budget=same))
        enough = None if isinstance(level, Lacking) else anew_in(level.years)
        others = tuple(
            Other(rank, other)
            for rank, other in enumerate(ranked, 1)
            if other is not plan and _could_keep(facts, other, budget, by)
        )
        return Budgeted(task, found, due, free, None, sure_of(enough, same), others)
    anew = anew_in(found.years)
    return Budgeted(task, found, due, free, anew, sure_of(anew, budget))


def _could_keep(facts: Facts, plan: Ranked, budget: Budget, by: Mapping[str, int]) -> bool:
    """Whether there are years in which the plan keeps the budget, read off its lines."""
    task, _ = _Read(facts, plan, budget, by).task()
    if not task.jobs:
        paid = map(sum, zip(task.visit, task.other, strict=True))
        return all(cents <= budget.of(year) for year, cents in enumerate(paid))
    return isinstance(staged(task), Staged)


def _refuse_idle(jobs: Collection[Job], by: Mapping[str, int]) -> None:
    for name in by:
        if name not in {job.name for job in jobs}:
            raise ValueError(f"{name}: the plan pays nothing for it in the year in which it comes")
    if not jobs:
        raise ValueError("the plan has no circuit to make, so that there is nothing to put into years")


def _most_besides(task: Task) -> int:
    """More than any year pays besides jobs."""
    return sum(max(shared.cash) for shared in task.together) + max(task.visit) + max(task.other)


class _Read:
    """What is read off the lines of a plan."""

    def __init__(self, facts: Facts, plan: Ranked, budget: Budget, by: Mapping[str, int]) -> None:
        self.facts, self.plan, self.budget, self.by = facts, plan, budget, by
        self.years = max(facts.shop.years, 1)
        self.growth = {"parts": facts.shop.money.growth.parts, "labor": facts.shop.money.growth.labor}
        self.growth["electricity"] = facts.shop.money.growth.electricity
        self.packs = {entry.offer_row for entry in plan.plan.packs}
        self.starts = self._starts()
        self.scenarios = [scenario.name for scenario in scenarios_of(facts.shop)]

    def task(self) -> tuple[Task, Mapping[str, int]]:
        """The task, and the year in which the plan begins each machine."""
        own: dict[str, Amounts] = defaultdict(lambda: defaultdict(int))
        called: set[str] = set()
        shared: dict[frozenset[str], Amounts] = defaultdict(lambda: defaultdict(int))
        visits: dict[tuple[int, str], int] = defaultdict(int)
        rest: dict[tuple[int, str], int] = defaultdict(int)
        hired_besides: set[tuple[int, str]] = set()
        for line in self.plan.lines:
            if line.pocket is not Pocket.CASH or not line.amount_cents:
                continue
            names = self._jobs_of(line)
            word, when = GROWING.get(line.kind, "parts"), (line.year, line.scenario)
            if names:
                if line.scenario not in ("", self.scenarios[0]):
                    continue
                parts = self._parts_of(line, names)
                for name, cents in parts.items():
                    own[name][word] += cents
                    called |= {name} if line.kind is LineKind.LABOR else set()
                if not parts:
                    shared[names][word] += line.amount_cents
            elif not line.machine and (line.kind in OF_A_VISIT or line.task == SET_UP):
                visits[when] += line.amount_cents
            else:
                rest[when] += line.amount_cents
                hired_besides |= {when} if line.kind is LineKind.LABOR else set()
        jobs = [
            Job(
                name,
                self.by.get(name, self.starts[name]),
                self._by_year(amounts, self.starts[name]),
                name in called,
            )
            for name, amounts in own.items()
        ]
        begun = {self.starts[name] for name in called}
        for when in list(visits):
            if when in hired_besides or when[0] not in begun:
                rest[when] += visits.pop(when)
        anyway = [all((year, said) in hired_besides for said in self._of(year)) for year in range(self.years)]
        together = [Together(names, self._by_year(amounts, 0)) for names, amounts in shared.items()]
        visit = self._visits(visits)
        return Task(
            self.budget,
            self.facts.shop.money.discount_rate,
            tuple(jobs),
            tuple(together),
            tuple(0 if there else cents for there, cents in zip(anyway, visit, strict=True)),
            tuple(max(rest[year, said] for said in self._of(year)) for year in range(self.years)),
        ), self.starts

    def _of(self, year: int) -> Sequence[str]:
        """Scenarios of a year; today is of all."""
        return self.scenarios if year else [""]

    def _starts(self) -> dict[str, int]:
        """The year in which each machine is there first, of those that are there in every scenario; by its name in the file."""
        shop = self.facts.shop
        by_event = {
            event.machine for scenario in scenarios_of(shop) for event in scenario.events if event.arrives
        }
        machines = [machine for machine in shop.machines if machine.name not in by_event]
        known = {written(self.facts, machine.name): machine.arrives for machine in machines}
        for name, year in self.by.items():
            if name not in known:
                raise ValueError(f'"{name}": there is no such machine; {allowed_words(name, list(known))}')
            if not 0 <= year < self.years:
                raise ValueError(f"{name}={year}: the years are 0, today, to {self.years - 1}")
        return {name: year for name, year in known.items() if year < self.years}

    def _jobs_of(self, line: Line) -> frozenset[str]:
        """The machines whose circuits it makes; empty for all else, and where one of them is not begun in its year."""
        names = frozenset(written(self.facts, name) for name in line.machines)
        return names if all(self.starts.get(name) == line.year for name in names) else frozenset()

    def _parts_of(self, line: Line, names: frozenset[str]) -> Amounts:
        """Each machine's part of a line, by what it needs; empty where several share what is bought whole, packs and reels."""
        if len(names) == 1:
            return dict.fromkeys(names, line.amount_cents)
        needs = [
            (entry.need, self.plan.needed_by.get(entry.need, {}), entry.count)
            for entry in self.plan.plan.bought
            if entry.offer_row == line.offer_row
        ]
        alike = [entry for entry in needs if tuple(sorted(entry[1])) == line.bought_for]
        if line.offer_row in self.packs or any(sum(by.values()) != count for _, by, count in alike):
            return {}
        wanted: dict[str, int] = defaultdict(int)
        for need, by, _ in alike:
            for machine, count in by.items():
                wanted[written(self.facts, machine)] += count * (need.length_ft or 1)
        parts: Amounts = {}
        for name in sorted(wanted):
            left, of = (
                line.amount_cents - sum(parts.values()),
                sum(wanted[n] for n in wanted if n not in parts),
            )
            parts[name] = to_cents(Decimal(left * wanted[name]) / of)
        return parts

    def _by_year(self, amounts: Amounts, start: int) -> tuple[int, ...]:
        """So much in the money of the year in which it starts, in the money of each year."""

        def grown(word: str, year: int) -> Decimal:
            rate = self.growth[word]
            return growth_factor(rate, year) / growth_factor(rate, start)

        return tuple(
            to_cents(sum((cents * grown(word, year) for word, cents in amounts.items()), Decimal(0)))
            for year in range(self.years)
        )

    def _visits(self, paid: Mapping[tuple[int, str], int]) -> list[int]:
        """What a visit of its own costs in each year: today's as the plan has it, a later one with a later permit."""
        crew = self.plan.plan.hiring.crew
        permit = any(line.kind is LineKind.PERMIT for line in self.plan.lines)
        set_up = crew.set_up_hours / crew.pace * crew.rate_cents
        later = crew.call_out_cents + set_up + (later_permit_cents(crew) if permit else 0)
        first = crew.call_out_cents + set_up + (crew.permit_cents if permit else 0)
        rate = self.growth["labor"]
        return [
            paid.get((0, ""), to_cents(Decimal(first))),
            *(to_cents(later * growth_factor(rate, year)) for year in range(1, self.years)),
        ]


def _anew(
    facts: Facts, plan: Ranked, moved: Mapping[str, int], clock: Clock, tick: Tick
) -> WorkedAnew | None:
    """The plan with those machines in their years, every machine by the way it has; None where that cannot be told."""
    if moved:
        tick("working the years out anew")
        machines = []
        for machine in facts.written.machines:
            if machine.name in moved and machine.now is not None:
                return None
            year = moved.get(machine.name, machine.arrives)
            machines.append(machine.model_copy(update={"arrives": year}))
        wanted = {(written(facts, name), way.signature) for name, way, _ in plan.plan.shares()}
        facts = Facts(facts.written.model_copy(update={"machines": machines}), facts.catalog)
        bench = bench_of_the_rest(facts, facts.shop.money.surplus)

        def same_way(option: Option) -> bool:
            return (written(facts, option.machine), option.way.signature) in wanted

        try:
            plan = best_plans(bench, 1, allowed=same_way, clock=clock)[0]
        except NoPlanError:
            return None
    sums: dict[tuple[int, str], int] = defaultdict(int)
    for line in plan.lines:
        if line.pocket is Pocket.CASH:
            sums[line.year, line.scenario] += line.amount_cents
    names = [scenario.name for scenario in scenarios_of(facts.shop)]
    cash = [
        max(sums[year, name] for name in (names if year else [""]))
        for year in range(max(facts.shop.years, 1))
    ]
    return WorkedAnew(plan, tuple(cash))
