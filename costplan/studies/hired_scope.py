"""The hired work of a plan today, and what a crew takes for it at low, likely, high and expected hours."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.quoted_work import QUOTED_WORK
from costplan.ledger.lines import LineKind
from costplan.model.bids import Bid
from costplan.model.experience import Hours, expected_hours
from costplan.model.labor import Crew, Role
from costplan.model.money import to_cents
from costplan.program.ranked import Ranked


@dataclass(frozen=True, slots=True)
class CentPoints:
    """An amount in cents at low, likely, high and expected hours; expected is (low + 4 likely + high) / 6."""

    low: int
    likely: int
    high: int
    expected: int

    @classmethod
    def same(cls, cents: int) -> "CentPoints":
        """An amount that no hours change."""
        return cls(cents, cents, cents, cents)

    @classmethod
    def total(cls, points: "Iterable[CentPoints]") -> "CentPoints":
        """The sums, each of its own column."""
        listed = list(points)
        return cls(
            sum(point.low for point in listed),
            sum(point.likely for point in listed),
            sum(point.high for point in listed),
            sum(point.expected for point in listed),
        )


@dataclass(frozen=True, slots=True)
class HourPoints:
    """Hours by the clock of a crew: low, likely, high and expected."""

    low: Decimal
    likely: Decimal
    high: Decimal
    expected: Decimal


@dataclass(frozen=True, slots=True)
class ScopeItem:
    """So much of a hired task today at a machine; `unit_hours` are of one electrician, for one."""

    task: str
    what: str
    machine: str
    quantity: Decimal
    unit_hours: Hours
    permit: bool


@dataclass(frozen=True, slots=True)
class CostRow:
    """A task of the whole scope, or a charge of the visit; `task` is empty and `quantity` 0 for a charge."""

    task: str
    what: str
    quantity: Decimal
    hours: HourPoints
    cents: CentPoints


def scope_today(facts: Facts, ranked: Ranked) -> tuple[ScopeItem, ...]:
    """The hired work of a plan today, one item a line of the plan, in the order of the labor file."""
    crews = {crew.name: crew for crew in (*facts.crews, ranked.plan.hiring.crew)}
    order = {task: position for position, task in enumerate(facts.tasks)}
    items = []
    for line in ranked.lines:
        crew = crews.get(line.crew)
        if line.kind is not LineKind.LABOR or line.year or crew is None or crew.role is not Role.ELECTRICIAN:
            continue
        if line.task in facts.tasks:
            task = facts.tasks[line.task]
            low, likely, high = (each * line.hour_factor for each in task.hours)
            hours = (low, likely, high)
            items.append(ScopeItem(task.id, task.name, line.machine, line.quantity, hours, task.permit))
        elif line.task == QUOTED_WORK:
            each = line.hours * crew.pace / line.quantity
            what = "hours of quoted work"
            items.append(ScopeItem(QUOTED_WORK, what, line.machine, line.quantity, (each, each, each), False))
    return tuple(sorted(items, key=lambda item: (order.get(item.task, len(order)), item.task, item.machine)))


def hours_of(items: Iterable[ScopeItem], crew: Crew) -> HourPoints:
    """Hours by the clock a crew takes for the work, set-up left out."""
    sums = [Decimal(0)] * 4
    for item in items:
        sums = [total + more for total, more in zip(sums, _hours(item, crew), strict=True)]
    return HourPoints(*sums)


def price_scope(items: Sequence[ScopeItem], crew: Crew, *, permit: bool) -> tuple[CostRow, ...]:
    """What a crew takes for work today: task by task, then what its visit costs besides.

    Each item is rounded to the cent as the plan's own line is, so the expected sum is the plan's. permit:
    whether the permit is to be paid. Nothing at all without work.
    """
    rows = list(_task_rows(items, crew))
    if rows:
        rows += list(_visit_rows(tuple(rows), crew))
    if permit and crew.permit_cents:
        rows.append(charge("permit and inspection", CentPoints.same(to_cents(crew.permit_cents))))
    return tuple(rows)


def _hours(item: ScopeItem, crew: Crew) -> tuple[Decimal, Decimal, Decimal, Decimal]:
    low, likely, high = (each * item.quantity / crew.pace for each in item.unit_hours)
    return low, likely, high, expected_hours(item.unit_hours) * item.quantity / crew.pace


def _task_rows(items: Sequence[ScopeItem], crew: Crew) -> Iterator[CostRow]:
    by_task: dict[str, list[ScopeItem]] = defaultdict(list)
    for item in items:
        by_task[item.task].append(item)
    for task, same in by_task.items():
        cents = CentPoints.total(
            CentPoints(*(to_cents(hours * crew.rate_cents) for hours in _hours(item, crew))) for item in same
        )
        quantity = sum((item.quantity for item in same), Decimal(0))
        yield CostRow(task, same[0].what, quantity, hours_of(same, crew), cents)


def _visit_rows(worked: Sequence[CostRow], crew: Crew) -> Iterator[CostRow]:
    set_up_hours = crew.set_up_hours / crew.pace
    set_up = to_cents(set_up_hours * crew.rate_cents)
    if crew.call_out_cents:
        yield charge(f"call-out, {crew.name}", CentPoints.same(to_cents(crew.call_out_cents)))
    if set_up:
        hours = HourPoints(*[set_up_hours] * 4)
        yield charge(f"set-up and clean-up, {crew.name}", CentPoints.same(set_up), hours)
    labor = CentPoints.total([*(row.cents for row in worked), CentPoints.same(set_up)])
    least = int(crew.minimum_cents)
    sums = (labor.low, labor.likely, labor.high, labor.expected)
    short = CentPoints(*(max(least - cents, 0) for cents in sums))
    if short != CentPoints.same(0):
        yield charge(f"short of the minimum, {crew.name}", short)


NO_HOURS = HourPoints(Decimal(0), Decimal(0), Decimal(0), Decimal(0))


def charge(what: str, cents: CentPoints, hours: HourPoints = NO_HOURS) -> CostRow:
    """A row that is no task."""
    return CostRow("", what, Decimal(0), hours, cents)


def covered_by(bid: Bid, item: ScopeItem) -> bool:
    """Whether a fixed price is for this work."""
    machines = bid.covers_machines
    return item.task in (bid.covers or ()) and (machines is None or item.machine in machines)
