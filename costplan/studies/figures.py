"""Figures that may turn the answer: what each is now, within which range it is looked at, and the shop when it is another.

All of them change costs only: one program serves every value (`program.repriced.recosted`).
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from costplan.circuits.facts import Facts
from costplan.ledger.lines import LineKind
from costplan.model.catalog import SURPLUS, Offer
from costplan.model.events import Scenario
from costplan.model.experience import expected_hours
from costplan.model.labor import Crew, Role, Task
from costplan.program.ranking import Ranked
from costplan.sourcing.market import deal_of
from costplan.standards import spreads
from costplan.studies.uncertain import NEARLY_ALL, moves_with

TIMES = Decimal(3)
"""How many times what it is now a figure is looked at. A choice, no source."""
HIGHEST_DISCOUNT = Decimal("0.15")
"""Up to which discount rate one looks at least. A choice, no source."""
MOST_TASKS = 3
"""Tasks whose hours are looked at: those in which plans differ most."""
STEPS = 1_000_000
"""Into how many steps a range is divided at least."""
ALL = Decimal(1)

PERCENT = "% of now"
"""The unit of what moves along with what it is now."""


@dataclass(frozen=True)
class Figure:
    """A figure with its value now and the range in which it is looked at, in its unit.

    `of` is the shop when it is so much. A plan's total grows evenly with it, but where it is `curved`. `drawn` are the
    beginnings of the names under which `studies.uncertain` draws it; `note` says more of its value now.
    """

    name: str
    unit: str
    likely: Decimal
    low: Decimal
    high: Decimal
    of: Callable[[Decimal], Facts]
    curved: bool = False
    drawn: tuple[str, ...] = ()
    note: str = ""

    @property
    def relative(self) -> bool:
        """Whether it is told as a share of what it is now."""
        return self.unit == PERCENT

    @property
    def step(self) -> Decimal:
        """How finely it is looked at: a power of ten, a millionth of the range or less."""
        return Decimal(10) ** ((self.high - self.low) / STEPS).adjusted()


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


def _of_crews(facts: Facts, best: Ranked, plans: Iterable[Ranked]) -> Iterator[Figure]:
    worked = {line.crew for plan in plans for line in plan.lines if line.kind is LineKind.LABOR}
    for crew in facts.crews:
        hired = crew.role is Role.ELECTRICIAN
        if crew.name not in worked or (hired and crew.name != best.plan.hiring.crew.name):
            continue
        if not hired and crew.name != facts.owner.name:
            continue

        def at_rate(rate: Decimal, crew: Crew = crew) -> Facts:
            return _with_crew(facts, crew.model_copy(update={"rate_cents": rate * 100}))

        rate, drawn = Decimal(crew.rate_cents) / 100, (f"rate of {crew.name}",)
        most = max(rate, Decimal(best.plan.hiring.crew.rate_cents) / 100 / TIMES) * TIMES
        if most:
            name = f"hourly rate of {crew.name}" if hired else "what your own hour is worth"
            note = _of_whom(facts, crew) if hired else ""
            yield Figure(name, "an hour", rate, Decimal(0), most, at_rate, drawn=drawn, note=note)
        if hired and rate:

            def at_pace(pace: Decimal, crew: Crew = crew) -> Facts:
                return _with_crew(facts, crew.model_copy(update={"pace": pace}))

            pace = Decimal(crew.pace)
            drawn = (f"pace of {crew.name}",)
            yield Figure(
                f"pace of {crew.name}",
                "times one electrician's",
                pace,
                pace / TIMES,
                pace * TIMES,
                at_pace,
                True,
                drawn,
            )


def _of_whom(facts: Facts, crew: Crew) -> str:
    """For how many people a rate is, and whether nobody gave it."""
    said = any(each.name == crew.name for each in facts.shop.crews)
    made_up = facts.shop.invented is True or ((facts.catalog.invented or facts.shop.invented) and not said)
    return ", ".join([f"for its {crew.people} people"] * (crew.people > 1) + ["invented"] * bool(made_up))


def _with_crew(facts: Facts, crew: Crew) -> Facts:
    return at_figures(facts, crews=tuple(crew if known.name == crew.name else known for known in facts.crews))


def _of_used_parts(facts: Facts, plans: Iterable[Ranked]) -> Iterator[Figure]:
    """The prices of used parts together, and the shares of them that fail."""
    used = [offer for offer in facts.catalog.offers if offer.condition in SURPLUS and offer.price_cents]
    if not used or not _bought(used, plans):
        return
    rows = tuple(f"price of offer {offer.row}" for offer in used)
    yield _prices(facts, "prices of used parts", used, rows)
    worst = max((share for kind in facts.kinds.values() for share in kind.reject.values()), default=ALL * 0)
    failing = any(
        deal_of(
            offer,
            part := facts.parts[offer.part],
            facts.kinds[part.kind],
            next(supplier for supplier in facts.catalog.suppliers if supplier.id == offer.supplier),
            spares=False,
        ).reject
        for offer in used
    )
    if failing and worst < NEARLY_ALL:

        def at_share(percent: Decimal) -> Facts:
            kinds = {
                name: kind.model_copy(
                    update={"reject": {at: share * percent / 100 for at, share in kind.reject.items()}}
                )
                for name, kind in facts.kinds.items()
            }
            return at_figures(facts, kinds=kinds)

        most = min(TIMES, NEARLY_ALL / worst) * 100
        name = "share of used parts that fails"
        yield Figure(name, PERCENT, ALL * 100, Decimal(0), most, at_share, True, ("failing of",))


def _bought(offers: Iterable[Offer], plans: Iterable[Ranked]) -> bool:
    rows = {offer.row for offer in offers}
    return any(line.offer_row in rows for plan in plans for line in plan.lines)


def _prices(facts: Facts, name: str, offers: Sequence[Offer], drawn: tuple[str, ...]) -> Figure:
    known = {offer.row: offer.price_cents for offer in offers if offer.price_cents is not None}

    def at_prices(percent: Decimal) -> Facts:
        return facts.at_prices({row: price * percent / 100 for row, price in known.items()})

    return Figure(name, PERCENT, ALL * 100, Decimal(0), TIMES * 100, at_prices, drawn=drawn)


def _of_discount(facts: Facts) -> Iterator[Figure]:
    money, now = facts.shop.money, Decimal(facts.shop.money.discount_rate)

    def at_rate(percent: Decimal) -> Facts:
        other = money.model_copy(update={"discount_rate": percent / 100})
        return at_figures(facts, shop=facts.shop.model_copy(update={"money": other}))

    high = max(HIGHEST_DISCOUNT, now * TIMES) * 100
    yield Figure(
        "discount rate",
        "% a year",
        now * 100,
        min(now * 100, ALL * 0),
        high,
        at_rate,
        True,
        ("discount rate",),
    )


def _of_weights(facts: Facts) -> Iterator[Figure]:
    """The weight of each scenario but one of two; the others keep their proportions."""
    scenarios = facts.shop.scenarios
    if len(scenarios) < 2:
        return
    for scenario in scenarios[: 1 if len(scenarios) == 2 else None]:

        def at_weight(percent: Decimal, name: str = scenario.name, now: Decimal = scenario.weight) -> Facts:
            share = percent / 100

            def weight(of: Scenario) -> Decimal:
                return share if of.name == name else of.weight * (1 - share) / (1 - now)

            other = [each.model_copy(update={"weight": weight(each)}) for each in scenarios]
            return at_figures(facts, shop=facts.shop.model_copy(update={"scenarios": other}))

        if scenario.weight < 1:
            name, now = f'weight of "{scenario.name}"', Decimal(scenario.weight) * 100
            drawn = (f"weight of {scenario.name}",)
            yield Figure(name, "%", now, Decimal(0), Decimal(100), at_weight, drawn=drawn)


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
        yield _prices(facts, "price of copper wire and cable", copper, (f"price of {spreads.COPPER}",))


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
        if not now:
            continue

        def at_hours(hours: Decimal, task: Task = task, now: Decimal = now) -> Facts:
            low, likely, high = (each * hours / now for each in task.hours)
            other = task.model_copy(update={"hours": (low, likely, high)})
            return at_figures(facts, tasks={**facts.tasks, task.id: other})

        unit, high = "hours each time", now * TIMES
        yield Figure(f"hours to {task.name}", unit, now, Decimal(0), high, at_hours, drawn=("hours of ",))


def _by_task(facts: Facts, plan: Ranked) -> dict[str, int]:
    found: dict[str, int] = {}
    for line in plan.lines:
        if line.kind is LineKind.LABOR and line.task in facts.tasks:
            found[line.task] = found.get(line.task, 0) + line.present_value_cents
    return found
