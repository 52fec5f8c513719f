"""The least change of one price, one task's hours or one rate that would make a plan win that does not."""

from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import dataclass, field
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from functools import partial

from costplan.circuits.facts import Facts
from costplan.ledger.held import HeldPlan
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.ledger.pricing import Pricer
from costplan.model.catalog import Condition
from costplan.model.experience import expected_hours
from costplan.model.labor import Crew, Role
from costplan.model.money import to_cents
from costplan.program.bench import Bench
from costplan.program.clock import Clock, Tick
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.program.repriced import repriced
from costplan.studies.explained import Instead

MOST = 10
"""How many times as much a figure may be, before its change is no answer."""
SHOWN, TRIED = 3, 6
"""How many figures are told, and how many at most are tried on the whole shop, those first that change least."""
MOST_ROUNDS = 8
"""How often a third plan may turn up before the search for the figure ends."""
MILLI = Decimal("0.001")
"""How finely hours are tried, as a share of what they are."""


@dataclass(frozen=True, slots=True)
class Tie:
    """A figure alone at which the other plan wins: what, where it is written, now and then.

    `unit` is what one of it is: money of one `per`, money an hour, `hours`, or moves a year. `exact` says that the
    best plan was found anew there and next to it; else both plans are held, and a third may win in between.
    """

    what: str
    where: str
    unit: str
    now: Decimal
    at: Decimal
    exact: bool

    @property
    def money(self) -> bool:
        """Whether it is money, in cents, and neither hours nor moves."""
        return self.unit not in (HOURS, MOVES)

    @property
    def said(self) -> Decimal:
        """The figure as it is told: hours with four places, rounded to where the other plan has won."""
        if self.money:
            return self.at
        return self.at.quantize(Decimal("0.0001"), ROUND_FLOOR if self.at < self.now else ROUND_CEILING)

    @property
    def share(self) -> Decimal:
        """By what share of itself it changes; of what is none now, how many it then is."""
        return abs(self.at / self.now - 1) if self.now else self.at


HOURS, MOVES = "hours", "moves a year"


@dataclass(frozen=True)
class _Figure:
    """A figure of the files, counted in whole steps: `bench` is the shop at so many of them, `cents` what a plan costs then."""

    what: str
    where: str
    unit: str
    step: Decimal
    has: Decimal
    """What it is now."""
    now: int
    """The same in whole steps."""
    bench: Callable[[int], Bench]
    cents: Callable[["_Found", int], int]
    again: bool = True
    """Whether the shop can be solved again at other values."""


@dataclass(frozen=True)
class _Found:
    """A plan, and the value of the figure it was found at."""

    ranked: Ranked
    at: int


def least_changes(
    bench: Bench, best: Ranked, other: Instead, clock: Clock, tick: Tick = bool
) -> tuple[Tie, ...]:
    """Single figures that would make the other plan win, those first that change least; none where no single one does."""
    if other.ranked is None:
        return ()
    rough = []
    for figure in _Desk(bench).figures((best, other.ranked)):
        search = _Search.of(figure, other.ranked, best)
        at = search.crossing()
        if at is not None:
            rough.append((abs(Decimal(at) / figure.now - 1), figure.what, figure.where, search))
    rough.sort(key=lambda entry: entry[:3])
    found: list[Tie] = []
    for *_, search in rough[:TRIED]:
        if len(found) == SHOWN:
            break
        figure = search.figure
        tick(f"proving it at other {figure.what}")
        tried = search.tried(other, clock)
        if tried is not None:
            value, exact = tried
            at_value = value * figure.step
            found.append(Tie(figure.what, figure.where, figure.unit, figure.has, at_value, exact))
    return tuple(sorted(found, key=lambda tie: (tie.share, tie.what, tie.where)))


@dataclass
class _Search:
    """Where a figure makes the other plan win: plans found on both sides, and how far down and up it is known to lose."""

    figure: _Figure
    mine: list[_Found]
    rivals: list[_Found]
    low: int
    high: int

    @classmethod
    def of(cls, figure: _Figure, other: Ranked, best: Ranked) -> "_Search":
        """The search begins at what the figure is now."""
        now = figure.now
        return cls(figure, [_Found(other, now)], [_Found(best, now)], now, now)

    def crossing(self) -> int | None:
        """The value nearest to now at which a plan of the others, held, costs least of all that are known; else None."""
        now = self.figure.now
        down = (self.low * 3 // 4, self.low // 2, self.low // 4, 0)
        up = (self.high * 3 // 2, self.high * 2, self.high * 4, now * MOST)
        found = [self._first(self.low, down), self._first(self.high, up)]
        return min((at for at in found if at is not None), key=lambda at: abs(at - now), default=None)

    def _first(self, loses: int, ends: tuple[int, ...]) -> int | None:
        for end in ends:
            if end == loses or not 0 <= end <= self.figure.now * MOST:
                continue
            if not self._wins(end):
                loses = end
                continue
            while abs(end - loses) > 1:
                middle = (end + loses) // 2
                if self._wins(middle):
                    end = middle
                else:
                    loses = middle
            return end
        return None

    def _wins(self, at: int) -> bool:
        cents = self.figure.cents
        return min(cents(each, at) for each in self.mine) < min(cents(each, at) for each in self.rivals)

    def tried(self, other: Instead, clock: Clock) -> tuple[int, bool] | None:
        """Where the best plan of the whole shop becomes one of the others; None where a third is best all the way.

        False beside it where time is up, or the shop cannot be solved at other values: plans are then held as they are.
        """
        at = self.crossing()
        if at is None or not self.figure.again:
            return None if at is None else (at, False)
        for _ in range(MOST_ROUNDS):
            try:
                there = _Found(_solved(self.figure, at, clock), at)
                if not other.takes(there.ranked):
                    self._lost(there)
                    again = self.crossing()
                else:
                    nearer = at + (1 if at < self.figure.now else -1)
                    beside = _Found(_solved(self.figure, nearer, clock), nearer)
                    if not other.takes(beside.ranked):
                        return at, True
                    self.mine.append(beside)
                    again = self.crossing()
                    # Found beside it, a plan of the others that only costs as much as the rival is none that wins.
                    if again == at:
                        return at, True
            except NoPlanError:
                return at, False
            if again is None:
                return None
            at = again
        return None

    def _lost(self, rival: _Found) -> None:
        """Another plan is best there: what lies nearer to now is lost, too."""
        self.rivals.append(rival)
        self.low, self.high = min(self.low, rival.at), max(self.high, rival.at)


def _solved(figure: _Figure, value: int, clock: Clock) -> Ranked:
    """The best plan at another value. Raises NoPlanError where it is not proven in time."""
    if clock.up:
        raise NoPlanError([])
    ranked = best_plans(figure.bench(value), 1, clock=Clock(clock.left))[0]
    if not ranked.proven:
        raise NoPlanError([])
    return ranked


@dataclass
class _Desk:
    """The shop at other prices, hours and rates."""

    bench: Bench
    held: dict[Hashable, HeldPlan] = field(default_factory=dict)

    @property
    def facts(self) -> Facts:
        """The shop as it is."""
        return self.bench.facts

    def figures(self, plans: Iterable[Ranked]) -> Iterator[_Figure]:
        """Every price, task and rate that some line of the plans turns on."""
        lines = [line for ranked in plans for line in ranked.lines]
        yield from self._prices({line.offer_row for line in lines if line.offer_row})
        yield from self._tasks({line.task for line in lines if line.kind is LineKind.LABOR})
        yield from self._rates({line.crew for line in lines if line.kind is LineKind.LABOR})

    def _prices(self, rows: set[int]) -> Iterator[_Figure]:
        paid = self.facts.catalog.paid
        for offer in self.facts.catalog.offers:
            price = offer.price_cents
            if (
                offer.row in rows
                and price
                and offer.condition is not Condition.ON_HAND
                and offer.row not in paid
            ):
                name = self.facts.parts[offer.part].name
                yield _Figure(
                    f"price of {name}",
                    f"offers.csv row {offer.row}, {offer.supplier}",
                    offer.per,
                    Decimal(1),
                    price,
                    int(price.to_integral_value(ROUND_HALF_EVEN)),
                    partial(self._at_price, offer.row),
                    partial(self._held, offer.row),
                )

    def _priced(self, row: int, cents: int) -> Facts:
        return self.facts.at_prices({row: Decimal(cents)})

    def _at_price(self, row: int, cents: int) -> Bench:
        return repriced(self.bench, self._priced(row, cents))

    def _held(self, row: int, found: "_Found", cents: int) -> int:
        """What a plan costs at another price of an offer, held as it is."""
        ranked = found.ranked
        known = self.bench.pricers[0].market
        if ranked.plan.key not in self.held:
            pricer = Pricer(self.facts, known, ranked.plan.hiring)
            self.held[ranked.plan.key] = HeldPlan.of(pricer, ranked.plan, ranked.chosen)
        market = known.repriced(self._priced(row, cents), known.rule)
        return self.held[ranked.plan.key].cents(Pricer(market.facts, market, ranked.plan.hiring))

    def _tasks(self, names: set[str]) -> Iterator[_Figure]:
        """Hours of tasks, in thousandths of what they are; those of own jobs are not what labor.yaml says."""
        for task in self.facts.catalog.tasks:
            if task.id in names and task.hours[2]:
                hours = self.facts.tasks[task.id].hours
                yield _Figure(
                    f"hours to {task.name}",
                    f"labor.yaml task {task.id}",
                    HOURS,
                    expected_hours(hours) * MILLI,
                    expected_hours(hours),
                    int(1 / MILLI),
                    partial(self._with_hours, task.id),
                    partial(_scaled, partial(_of_task, task.id)),
                    again=not self.facts.catalog.jobs,
                )

    def _with_hours(self, name: str, thousandths: int) -> Bench:
        catalog = self.facts.catalog
        share = thousandths * MILLI
        tasks = [
            task.model_copy(update={"hours": tuple(hours * share for hours in task.hours)})
            if task.id == name
            else task
            for task in catalog.tasks
        ]
        return self._over(Facts(self.facts.written, catalog.model_copy(update={"tasks": tasks})))

    def _rates(self, names: set[str]) -> Iterator[_Figure]:
        for crew in self.facts.crews:
            if crew.name in names and crew.rate_cents:
                own = crew.role is Role.OWNER
                said = any(each.name == crew.name for each in self.facts.shop.crews)
                yield _Figure(
                    "what your own hour is worth" if own else f"rate of {crew.name}",
                    f"{'crews of the shop file or its bids' if said else 'labor.yaml crew'} {crew.name}",
                    "hour",
                    Decimal(1),
                    crew.rate_cents,
                    int(crew.rate_cents.to_integral_value(ROUND_HALF_EVEN)),
                    partial(self._with_rate, crew.name),
                    partial(_scaled, partial(_by_crew, crew.name)),
                )

    def _with_rate(self, name: str, cents: int) -> Bench:
        facts = self.facts

        def changed(crews: Iterable[Crew]) -> list[Crew]:
            rate = {"rate_cents": Decimal(cents)}
            return [crew.model_copy(update=rate) if crew.name == name else crew for crew in crews]

        written = facts.written.model_copy(update={"crews": changed(facts.written.crews)})
        catalog = facts.catalog.model_copy(update={"crews": changed(facts.catalog.crews)})
        return self._over(Facts(written, catalog))

    def _over(self, facts: Facts) -> Bench:
        """The shop at other hours or rates: its ways are the same."""
        return Bench.over(facts, self.bench.pricers[0].market.rule, whole_survey=self.bench.whole_survey)


def _of_task(task: str, line: Line) -> bool:
    return line.task == task


def _by_crew(crew: str, line: Line) -> bool:
    return line.crew == crew


def _scaled(of: Callable[[Line], bool], found: _Found, value: int) -> int:
    """What a plan costs where the labor of some lines is so much of what it was when the plan was found."""
    if not found.at:
        return found.ranked.present_value_cents
    paid = (Pocket.CASH, Pocket.OWN_TIME)
    labor = sum(
        line.present_value_cents
        for line in found.ranked.lines
        if line.kind is LineKind.LABOR and line.pocket in paid and of(line)
    )
    return found.ranked.present_value_cents + to_cents(Decimal(labor) * (value - found.at) / found.at)
