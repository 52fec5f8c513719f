"""Figures that may turn the answer: what each is now, its range, and the shop and a plan's lines when it is another.

All of them change costs only: one program serves every value (`program.repriced.recosted`).
"""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from functools import partial
from typing import Any

from costplan.circuits.facts import Facts
from costplan.ledger.lines import Line, LineKind, Pocket
from costplan.ledger.pricing import worth_cents
from costplan.model.catalog import SURPLUS, Offer
from costplan.model.events import Scenario
from costplan.model.experience import expected_hours
from costplan.model.labor import Crew, Role, Task
from costplan.model.money import growth_factor, to_cents
from costplan.program.ranked import Ranked
from costplan.sourcing.deal import deal_of
from costplan.standards import spreads
from costplan.studies.uncertain import (
    DISCOUNT_RATE,
    NEARLY_ALL,
    PRICED,
    failing_of,
    hours_of,
    moves_with,
    pace_of,
    price_along,
    price_of,
    rate_of,
    weight_drawn,
)
from costplan.years.calendar import weights_of
from costplan.years.discounting import single_worth

TIMES = Decimal(3)
"""How many times what it is now a figure is looked at. A choice, no source."""
HIGHEST_DISCOUNT = Decimal("0.15")
"""Up to which discount rate one looks at least. A choice, no source."""
MOST_TASKS = 3
"""Tasks whose hours are looked at: those in which plans differ most."""
STEPS, ROUGH_STEPS = 1_000_000, 10_000
"""Into how many steps a range is divided at least, and that of a figure that takes a walk at each."""
ALL = Decimal(1)

Worth = Callable[[Line, Decimal], int]

OWN_HOUR, USED, FAILING, DISCOUNT, COPPER = (
    "what your own hour is worth",
    "prices of used parts",
    "share of used parts that fails",
    "discount rate",
    "price of copper wire and cable",
)
RATE_OF, PACE_OF = "hourly rate of ", "pace of "

PERCENT = "% of now"
"""The unit of what moves along with what it is now."""


@dataclass(frozen=True)
class Figure:
    """A figure with its value now and the range in which it is looked at, in its unit.

    `on` is a shop when it is so much, and `worth` what a line of a plan is worth then, in cents: exact as the walk has it,
    or `rough` where that would be another purchase. No plan's total has more than one turn along it, but where it is
    `curved`. `drawn` are the names under which `studies.uncertain` draws it; `note` says more of its value now.
    """

    name: str
    unit: str
    likely: Decimal
    low: Decimal
    high: Decimal
    facts: Facts = field(compare=False, repr=False)
    on: Callable[[Facts, Decimal], Facts] = field(compare=False, repr=False)
    worth: Worth = field(compare=False, repr=False)
    rough: bool = False
    curved: bool = False
    drawn: frozenset[str] = frozenset()
    note: str = ""
    three: tuple[Decimal, Decimal, Decimal] | None = None
    """Low, likely and high, where the figure is the mean of three that a file has; none where own jobs moved them."""

    def of(self, value: Decimal) -> Facts:
        """The shop when it is so much."""
        return self.on(self.facts, value)

    @property
    def relative(self) -> bool:
        """Whether it is told as a share of what it is now."""
        return self.unit == PERCENT

    @property
    def step(self) -> Decimal:
        """How finely it is looked at: a power of ten, so small a part of the range or less."""
        steps = ROUGH_STEPS if self.rough else STEPS
        return Decimal(10) ** ((self.high - self.low) / steps).adjusted()


def at_figures(facts: Facts, **others: Any) -> Facts:
    """The same with another `shop`, `kinds`, `crews` or `tasks`; what was written and the catalog stay as they are.

    These may differ in rates, pace, hours, shares that fail, weights and the discount rate: circuits look at none of them,
    so all that was worked out stays.
    """
    other, known = Facts(facts.written, facts.catalog), dict(facts.__dict__)
    if "crews" in others:
        known.pop("owner", None)
    other.__dict__.update(known | others)
    return other


def figures(facts: Facts, best: Ranked, others: Sequence[Ranked]) -> tuple[Figure, ...]:
    """The figures that cost something in these plans, in the order in which they are asked about."""
    plans = (best, *others)
    return (
        *_of_crews(facts, best, plans),
        *_of_used_parts(facts, plans),
        *_of_discount(facts),
        *_of_weights(facts),
        *_of_copper(facts, plans),
        *_of_hours(facts, best, others),
    )


def weight_of(scenario: str) -> str:
    """The name of the figure that is a scenario's weight."""
    return f'weight of "{scenario}"'


def possible_names(facts: Facts) -> list[str]:
    """Names of all figures that may cost something in plans of the shop, those of tasks last."""
    hired = [crew.name for crew in facts.crews if crew.role is Role.ELECTRICIAN]
    return [
        *(f"{word}{name}" for name in hired for word in (RATE_OF, PACE_OF)),
        *(OWN_HOUR, USED, FAILING, DISCOUNT),
        *(weight_of(scenario.name) for scenario in _weighed(facts)),
        COPPER,
        *names_of_tasks(facts),
    ]


def names_of_tasks(facts: Facts) -> list[str]:
    """Names of the figures that are hours of tasks."""
    return [hours_to(task) for task in facts.tasks.values()]


def hours_to(task: Task) -> str:
    """The name of the figure that is a task's hours."""
    return f"hours to {task.name}"


def _worth(facts: Facts, line: Line, amount_cents: int) -> int:
    """The present value of a line of a later amount, rounded as lines are."""
    rate = facts.shop.money.discount_rate
    return worth_cents(line.kind, amount_cents, _weight(facts, line) * single_worth(rate, line.year))


def _weight(facts: Facts, line: Line) -> Decimal:
    return weights_of(facts.shop)[line.scenario] if line.scenario else ALL


def _labor(facts: Facts, line: Line, hours: Decimal, rate_cents: Decimal) -> int:
    """A line of labor at other hours or another rate, rounded as it is."""
    growth = growth_factor(facts.shop.money.growth.labor, line.grown_years)
    return _worth(facts, line, to_cents(hours * rate_cents * growth))


def _of_crews(facts: Facts, best: Ranked, plans: Iterable[Ranked]) -> Iterator[Figure]:
    worked = {line.crew for plan in plans for line in plan.lines if line.kind is LineKind.LABOR}
    at_work = best.plan.hiring.crew
    for crew in facts.crews:
        if crew.name == at_work.name and crew.name in worked:
            yield from _of_hired(facts, crew, Decimal(0), TIMES)
        elif crew.name == facts.owner.name and crew.name in worked:
            rate = Decimal(crew.rate_cents) / 100
            yield from _of_rate(facts, crew, max(rate, Decimal(at_work.rate_cents) / 100 / TIMES) * TIMES)
        elif crew.role is Role.ELECTRICIAN and crew.name != at_work.name and at_work.name in worked:
            # Hands that the best plan does not hire turn the answer only where they get cheaper.
            yield from _of_hired(facts, crew, Decimal(crew.pace), Decimal(1))


def _of_hired(facts: Facts, crew: Crew, least_pace: Decimal, times: Decimal) -> Iterator[Figure]:
    """What hired hands ask and do an hour, the rate up to so many times what it is."""
    yield from _of_rate(facts, crew, Decimal(crew.rate_cents) / 100 * times)
    if crew.rate_cents:
        yield Figure(
            f"{PACE_OF}{crew.name}",
            "times one's",
            Decimal(crew.pace),
            max(least_pace, crew.pace / TIMES),
            crew.pace * TIMES,
            facts,
            partial(_at_pace, crew.name),
            partial(_line_at_pace, facts, crew),
            drawn=frozenset({pace_of(crew.name)}),
        )


def _of_rate(facts: Facts, crew: Crew, most: Decimal) -> Iterator[Figure]:
    hired = crew.role is Role.ELECTRICIAN
    if most:
        yield Figure(
            f"{RATE_OF}{crew.name}" if hired else OWN_HOUR,
            "an hour",
            Decimal(crew.rate_cents) / 100,
            Decimal(0),
            most,
            facts,
            partial(_at_rate, crew.name),
            partial(_line_at_rate, facts, crew.name),
            # One's own hours are in errands and in looking parts over, too.
            rough=not hired,
            drawn=frozenset({rate_of(crew)}),
            note=_of_whom(facts, crew) if hired else "",
        )


def _at_rate(name: str, facts: Facts, rate: Decimal) -> Facts:
    return _with_crew(facts, name, rate_cents=rate * 100)


def _at_pace(name: str, facts: Facts, pace: Decimal) -> Facts:
    return _with_crew(facts, name, pace=pace)


def _with_crew(facts: Facts, name: str, **figures: Decimal) -> Facts:
    crews = (crew.model_copy(update=figures) if crew.name == name else crew for crew in facts.crews)
    return at_figures(facts, crews=tuple(crews))


def _paid_by_hour(line: Line, crew: str) -> bool:
    """Whether it is a crew's labor that no bid covers."""
    bid = line.hours_range is None and not line.amount_cents
    return line.kind is LineKind.LABOR and line.crew == crew and not bid


def _line_at_rate(facts: Facts, name: str, line: Line, rate: Decimal) -> int:
    if not _paid_by_hour(line, name):
        return line.present_value_cents
    return _labor(facts, line, line.hours, rate * 100)


def _line_at_pace(facts: Facts, crew: Crew, line: Line, pace: Decimal) -> int:
    if not _paid_by_hour(line, crew.name):
        return line.present_value_cents
    return _labor(facts, line, line.hours * crew.pace / pace, crew.rate_cents)


def _of_whom(facts: Facts, crew: Crew) -> str:
    """For how many people a rate is, and whether nobody gave it."""
    said = any(each.name == crew.name for each in facts.shop.crews)
    made_up = facts.shop.invented is True or ((facts.catalog.invented or facts.shop.invented) and not said)
    return ", ".join(
        [f"for its {crew.people} people"] * (crew.people > 1)
        + [f"reckoned from that of {crew.rate_from}"] * (crew.rate_from is not None)
        + ["invented"] * bool(made_up)
    )


def _of_used_parts(facts: Facts, plans: Iterable[Ranked]) -> Iterator[Figure]:
    """The prices of used parts together, and the shares of them that fail."""
    used = [offer for offer in facts.catalog.offers if offer.condition in SURPLUS and offer.price_cents]
    if not used or not _bought(used, plans):
        return
    yield _prices(facts, USED, used, {price_of(offer) for offer in used})
    worst = max((share for kind in facts.kinds.values() for share in kind.reject.values()), default=ALL * 0)
    failing = {offer.row: share for offer in used if (share := _fails(facts, offer))}
    if failing and worst < NEARLY_ALL:
        yield Figure(
            FAILING,
            PERCENT,
            ALL * 100,
            Decimal(0),
            min(TIMES, NEARLY_ALL / worst) * 100,
            facts,
            _at_share,
            partial(_line_at_share, failing),
            rough=True,
            curved=True,
            drawn=frozenset(
                failing_of(facts.kinds[facts.parts[offer.part].kind], offer.condition)
                for offer in used
                if offer.row in failing
            ),
        )


def _fails(facts: Facts, offer: Offer) -> Decimal:
    """The share of an offer's pieces that fails."""
    part = facts.parts[offer.part]
    supplier = next(supplier for supplier in facts.catalog.suppliers if supplier.id == offer.supplier)
    return deal_of(offer, part, facts.kinds[part.kind], supplier, spares=False).reject


def _at_share(facts: Facts, percent: Decimal) -> Facts:
    def scaled(reject: Mapping[Any, Decimal]) -> dict[Any, Decimal]:
        return {at: share * percent / 100 for at, share in reject.items()}

    kinds = {
        name: kind.model_copy(update={"reject": scaled(kind.reject)}) for name, kind in facts.kinds.items()
    }
    return at_figures(facts, kinds=kinds)


def _line_at_share(failing: Mapping[int, Decimal], line: Line, percent: Decimal) -> int:
    """What replaces what fails goes with q / (1 - q)."""
    share = failing.get(line.offer_row)
    if share is None or line.pocket is not Pocket.ALLOWANCE:
        return line.present_value_cents
    other = min(share * percent / 100, NEARLY_ALL)
    return to_cents(line.present_value_cents * other / (1 - other) * (1 - share) / share)


def _bought(offers: Iterable[Offer], plans: Iterable[Ranked]) -> bool:
    rows = {offer.row for offer in offers}
    return any(line.offer_row in rows for plan in plans for line in plan.lines)


def _prices(facts: Facts, name: str, offers: Sequence[Offer], drawn: Collection[str]) -> Figure:
    known = {offer.row: offer.price_cents for offer in offers if offer.price_cents is not None}
    return Figure(
        name,
        PERCENT,
        ALL * 100,
        Decimal(0),
        TIMES * 100,
        facts,
        partial(_at_prices, known),
        partial(_line_at_prices, known.keys()),
        rough=True,
        drawn=frozenset(drawn),
    )


def _at_prices(known: Mapping[int, Decimal], facts: Facts, percent: Decimal) -> Facts:
    return facts.at_prices({row: price * percent / 100 for row, price in known.items()})


def _line_at_prices(rows: Collection[int], line: Line, percent: Decimal) -> int:
    if line.offer_row not in rows or line.kind not in (*PRICED, LineKind.RESALE):
        return line.present_value_cents
    return to_cents(line.present_value_cents * percent / 100)


def _of_discount(facts: Facts) -> Iterator[Figure]:
    now = Decimal(facts.shop.money.discount_rate)
    yield Figure(
        DISCOUNT,
        "% a year",
        now * 100,
        min(now * 100, ALL * 0),
        max(HIGHEST_DISCOUNT, now * TIMES) * 100,
        facts,
        _at_discount,
        partial(_line_at_discount, facts),
        # What comes back at the end is rounded piece by piece.
        rough=True,
        curved=True,
        drawn=frozenset({DISCOUNT_RATE}),
    )


def _at_discount(facts: Facts, percent: Decimal) -> Facts:
    money = facts.shop.money.model_copy(update={"discount_rate": percent / 100})
    return at_figures(facts, shop=facts.shop.model_copy(update={"money": money}))


def _line_at_discount(facts: Facts, line: Line, percent: Decimal) -> int:
    if not line.year:
        return line.present_value_cents
    worth = _weight(facts, line) * single_worth(percent / 100, line.year)
    return worth_cents(line.kind, line.amount_cents, worth)


def _weighed(facts: Facts) -> list[Scenario]:
    """Scenarios whose weights are figures: all but one of two; the others keep their proportions."""
    scenarios = facts.shop.scenarios
    weighed = {1: [], 2: scenarios[:1]}.get(len(scenarios), scenarios)
    return [scenario for scenario in weighed if scenario.weight < 1]


def _of_weights(facts: Facts) -> Iterator[Figure]:
    for scenario in _weighed(facts):
        yield weight_figure(facts, weight_of(scenario.name), frozenset({scenario.name}))


def weight_figure(facts: Facts, name: str, scenarios: frozenset[str]) -> Figure:
    """How likely some of the scenarios are together; these keep their proportions, and so do all others."""
    return Figure(
        name,
        "%",
        sum((each.weight for each in facts.shop.scenarios if each.name in scenarios), Decimal(0)) * 100,
        Decimal(0),
        Decimal(100),
        facts,
        partial(_at_weight, scenarios),
        partial(_line_at_weight, facts, scenarios),
        drawn=frozenset(map(weight_drawn, scenarios)),
    )


def _at_weight(names: frozenset[str], facts: Facts, percent: Decimal) -> Facts:
    scenarios = facts.shop.scenarios
    weights = _weights(facts, names, percent)
    other = [each.model_copy(update={"weight": weights[each.name]}) for each in scenarios]
    return at_figures(facts, shop=facts.shop.model_copy(update={"scenarios": other}))


def _weights(facts: Facts, names: frozenset[str], percent: Decimal) -> dict[str, Decimal]:
    """All weights where those of some scenarios are so much together."""
    known, share = weights_of(facts.shop), percent / 100
    theirs = sum((known[name] for name in names), Decimal(0))
    return {
        name: weight * (share / theirs if name in names else (1 - share) / (1 - theirs))
        for name, weight in known.items()
    }


def _line_at_weight(facts: Facts, names: frozenset[str], line: Line, percent: Decimal) -> int:
    if not line.scenario:
        return line.present_value_cents
    worth = single_worth(facts.shop.money.discount_rate, line.year)
    weight = _weights(facts, names, percent)[line.scenario]
    return worth_cents(line.kind, line.amount_cents, weight * worth)


def _of_copper(facts: Facts, plans: Iterable[Ranked]) -> Iterator[Figure]:
    """All prices that move along with copper, used ones too."""
    copper = [
        offer
        for offer in facts.catalog.offers
        if offer.price_cents
        and offer.part in facts.parts
        and moves_with(facts.kinds[facts.parts[offer.part].kind]) == spreads.COPPER
    ]
    if copper and _bought(copper, plans):
        yield _prices(facts, COPPER, copper, {price_along(spreads.COPPER)})


def _of_hours(facts: Facts, best: Ranked, others: Iterable[Ranked]) -> Iterator[Figure]:
    """Hours of the tasks in which the best plan and another one differ most in money."""
    mine, most = _by_task(facts, best), dict[str, int]()
    for other in others:
        its = _by_task(facts, other)
        for name in mine.keys() | its.keys():
            most[name] = max(most.get(name, 0), abs(mine.get(name, 0) - its.get(name, 0)))
    ranked = sorted((name for name in most if most[name]), key=lambda name: (-most[name], name))
    for task in (facts.tasks[name] for name in ranked[:MOST_TASKS]):
        now = expected_hours(task.hours)
        if now:
            yield Figure(
                hours_to(task),
                "hours each time",
                now,
                Decimal(0),
                now * TIMES,
                facts,
                partial(_at_hours, task.id, now),
                partial(_line_at_hours, facts, task.id, now),
                drawn=frozenset(hours_of(crew) for crew in (*facts.crews, facts.owner)),
                three=task.hours if task in facts.catalog.tasks else None,
            )


def _at_hours(name: str, now: Decimal, facts: Facts, hours: Decimal) -> Facts:
    task = facts.tasks[name]
    low, likely, high = (each * hours / now for each in task.hours)
    other = task.model_copy(update={"hours": (low, likely, high)})
    return at_figures(facts, tasks={**facts.tasks, name: other})


def _line_at_hours(facts: Facts, task: str, now: Decimal, line: Line, hours: Decimal) -> int:
    if line.task != task or not _paid_by_hour(line, line.crew):
        return line.present_value_cents
    rate = next(crew.rate_cents for crew in (*facts.crews, facts.owner) if crew.name == line.crew)
    return _labor(facts, line, line.hours * hours / now, rate)


def _by_task(facts: Facts, plan: Ranked) -> dict[str, int]:
    found: dict[str, int] = {}
    for line in plan.lines:
        if line.kind is LineKind.LABOR and line.task in facts.tasks:
            found[line.task] = found.get(line.task, 0) + line.present_value_cents
    return found
