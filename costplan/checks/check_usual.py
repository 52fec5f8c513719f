"""Questions about figures far from what a small shop usually has: minutes typed as hours, cents as dollars."""

from collections.abc import Iterator
from decimal import Decimal

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.base import Entry
from costplan.model.catalog import Recipe
from costplan.model.labor import Crew, Role, Task
from costplan.model.numbers_written import numbers_of
from costplan.model.pair import Pair, Rule, dollars, percent, plain
from costplan.model.shop import Stored
from costplan.standards import usual
from costplan.standards.usual import UsualFigure

HOURS_OF_A_YEAR = 8760
A_YEAR = "h a year"
WIDEST = 10
"""From how many times the likely hours the high ones are asked about. A choice, no source."""
MANY_PRICES = 3
"""From how many times its price what comes with a machine is asked about. A choice, no source."""
NO_SOURCE = "common practice, no source"


def odd_figures(entry: Entry, trail: Trail, currency: str) -> Iterator[tuple[Trail, str, str, str]]:
    """What is written in an entry and in all within it that is far from usual: trail, code, message and mend."""
    asked = set()
    for number in numbers_of(entry, trail):
        figure = _figure_of(number.entry, number.word)
        if figure is None or number.name not in number.entry.model_fields_set or number.below_nothing:
            continue
        if figure.unit == "money" and not usual.near_a_dollar(currency):
            continue
        said = number.value / 100 if figure.unit == "money" else number.value
        refused = figure.unit == A_YEAR and said > HOURS_OF_A_YEAR
        # One figure that stands for three is asked about once.
        same = number.field, said
        if figure.is_odd(said) and not refused and same not in asked:
            asked.add(same)
            yield number.trail, figure.code, _message(said, figure), figure.mend


def _figure_of(entry: Entry, word: str) -> UsualFigure | None:
    known = usual.figures()
    names = [kind.__name__ for kind in type(entry).__mro__]
    if isinstance(entry, Stored) and (entry.plug or entry.connector):
        names.insert(0, "cord with ends")
    return next((known[name, word] for name in names if (name, word) in known), None)


def _message(value: Decimal, figure: UsualFigure) -> str:
    low, high = (_said(each, figure.unit) for each in (figure.usual.low, figure.usual.high))
    unit = "" if figure.unit in ("money", "share") else f" {figure.unit}"
    return f"is {_said(value, figure.unit)}{unit}; usual is {low} to {high}{unit} ({NO_SOURCE})"


def _said(value: Decimal, unit: str) -> str:
    """A value as its unit is written, without the unit's word."""
    if unit == "share":
        return percent(value)
    return f"{value:,.2f}" if unit == "money" else plain(round(value, 4))


def figures_are_usual(pair: Pair) -> Iterator[Problem]:
    """Questions about figures of both files that are far from usual."""
    currency = pair.shop.currency
    for where, code, message, mend in odd_figures(pair.shop, (), currency):
        yield pair.in_shop(code, where, message, mend, question=True)
    for file, trail, entry in pair.catalog_entries():
        for where, code, message, mend in odd_figures(entry, trail, currency):
            yield pair.in_file(file, code, where, message, mend, question=True)


def somebody_is_paid(pair: Pair) -> Iterator[Problem]:
    """Questions about electricians for nothing, or several for the rate of one; an owner's own time may be nothing."""
    mend = "write what is asked for one hour of the whole crew"
    for index, crew in enumerate(pair.catalog.crews):
        if odd := _underpaid(crew, pair.shop.currency):
            where: Trail = ("crews", index, "rate")
            yield pair.in_file("labor.yaml", "crew-rate-odd", where, odd, mend, question=True)
    for index, crew in enumerate(pair.shop.crews):
        if odd := _underpaid(crew, pair.shop.currency):
            yield pair.in_shop("crew-rate-odd", ("crews", index, "rate"), odd, mend, question=True)


def _underpaid(crew: Crew, currency: str) -> str:
    if crew.role is not Role.ELECTRICIAN:
        return ""
    if crew.rate_cents == 0:
        return "is 0.00, so that an electrician works for nothing"
    least = usual.figures()["Crew", "rate"].usual.low * 100 * crew.people
    if crew.people > 1 and usual.near_a_dollar(currency) and crew.rate_cents < least:
        return f"is {dollars(crew.rate_cents)} for {crew.people} people; usual is {dollars(least)} and more ({NO_SOURCE})"
    return ""


def years_have_their_hours(pair: Pair) -> Iterator[Problem]:
    """Nothing runs for more hours than a year has."""
    mend = f"a year has {HOURS_OF_A_YEAR} hours; write those of one year"
    for trail, machine in pair.machines():
        if machine.full_load_hours > HOURS_OF_A_YEAR:
            message = f"is {plain(machine.full_load_hours)} hours a year"
            yield pair.in_shop("hours-of-a-year", (*trail, "full_load_hours"), message, mend)
    for index, gear in enumerate(pair.shop.gear):
        if gear.hours_per_year is not None and gear.hours_per_year > HOURS_OF_A_YEAR:
            message = f"is {plain(gear.hours_per_year)} hours a year"
            yield pair.in_shop("hours-of-a-year", ("gear", index, "hours_per_year"), message, mend)


def parts_are_usual(pair: Pair) -> Iterator[Problem]:
    """Questions about what parts state of themselves in figures."""
    known = {word: figure for (entry, word), figure in usual.figures().items() if entry == "attributes"}
    for index, part in enumerate(pair.catalog.parts):
        for word, value in part.attributes.items():
            figure = known.get(word)
            if figure is not None and isinstance(value, Decimal) and value >= 0 and figure.is_odd(value):
                where: Trail = ("parts", index, "attributes", word)
                message = _message(value, figure)
                yield pair.in_file("parts.yaml", figure.code, where, message, figure.mend, question=True)


def freights_are_usual(pair: Pair) -> Iterator[Problem]:
    """Questions about the freight of an offer's unit."""
    figure = usual.figures()["Offer", "freight"]
    for offer in pair.catalog.offers if usual.near_a_dollar(pair.shop.currency) else ():
        if offer.freight_cents and figure.is_odd(offer.freight_cents / 100):
            message = f'"{offer.part}" at "{offer.supplier}", per {offer.per}, {_message(offer.freight_cents / 100, figure)}'
            yield pair.in_offers(figure.code, offer, "freight", message, figure.mend, question=True)


def offers_are_as_many_as_usual(pair: Pair) -> Iterator[Problem]:
    """Questions about how many of an offer there are."""
    figure = usual.figures()["Offer", "available"]
    for offer in pair.catalog.offers:
        if offer.available is not None and figure.is_odd(Decimal(offer.available)):
            message = f'"{offer.part}" at "{offer.supplier}", per {offer.per}, {_message(Decimal(offer.available), figure)}'
            yield pair.in_offers(figure.code, offer, "available", message, figure.mend, question=True)


def charges_for_each_foot_are_usual(pair: Pair) -> Iterator[Problem]:
    """Questions about charges that come once a foot."""
    a_foot = usual.figures()["a foot", "charge"]
    prices = {charge.id: charge.price_cents / 100 for charge in pair.catalog.charges}
    for complain, trail, _, recipe in pair.recipes() if usual.near_a_dollar(pair.shop.currency) else ():
        for index, charge in enumerate(recipe.charges):
            price = prices.get(charge.charge, Decimal(0)) * charge.quantity
            if charge.per == "ft" and a_foot.is_odd(price):
                where = (*trail, "charges", index, "per")
                low, high = (_said(each, a_foot.unit) for each in (a_foot.usual.low, a_foot.usual.high))
                message = (
                    f"is ft, and each foot then costs {price:,.2f}; usual is {low} to {high} ({NO_SOURCE})"
                )
                yield complain(a_foot.code, where, message, a_foot.mend, question=True)


def hours_are_near_each_other(pair: Pair) -> Iterator[Problem]:
    """Questions about high hours that are many times the likely ones, which move what is expected."""
    for index, task in enumerate(pair.catalog.tasks):
        _, likely, high = task.hours
        if likely and high > likely * WIDEST:
            message = f"are likely {plain(likely)} h, but up to {plain(high)} h"
            mend = "are all three in the same unit? What is expected is (low + 4 likely + high) / 6"
            where: Trail = ("tasks", index, "hours")
            yield pair.in_file("labor.yaml", "task-hours-wide", where, message, mend, question=True)


def quotes_ask_for_something(pair: Pair) -> Iterator[Problem]:
    """Questions about quotes in a recipe's place that take nothing at all."""
    for complain, trail, _, recipe in pair.recipes():
        quote = recipe.quote
        if quote is not None and not any(
            value for name in type(quote).model_fields if (value := getattr(quote, name)) is not True
        ):
            message = "takes neither money nor hours, so that the work is free"
            mend = "write per_run, per_ft or hours; {} in the recipe's place says that it takes nothing"
            yield complain("quote-free", (*trail, "quote"), message, mend, question=True)


def machines_are_bought_for_a_reason(pair: Pair) -> Iterator[Problem]:
    """Questions about what comes on top of a machine's price, or off it, when it is many times that price."""
    for index, machine in enumerate(pair.shop.next_machines):
        for word, cents in (
            ("freight", machine.freight_cents),
            ("tooling", machine.tooling_cents),
            ("trade_in", machine.trade_in_cents),
        ):
            if machine.price_cents and cents > machine.price_cents * MANY_PRICES:
                message = f"is {dollars(cents)}, for a machine of {dollars(machine.price_cents)}"
                yield pair.in_shop(
                    "next-price-odd", ("next_machines", index, word), message, "is it meant?", question=True
                )


def machines_are_named_once(pair: Pair) -> Iterator[Problem]:
    """Questions about machines whose names differ in nothing but how they are written."""
    first: dict[str, str] = {}
    for index, machine in enumerate(pair.shop.machines):
        plainly = "".join(sign for sign in machine.name.lower() if sign.isalnum())
        other = first.setdefault(plainly, machine.name)
        if other != machine.name:
            message = f'is "{machine.name}", and there is "{other}" too'
            mend = "is it one machine, written twice? Then delete one; of several alike write count:"
            where: Trail = ("machines", index, "name")
            yield pair.in_shop("machine-twin", where, message, mend, question=True)


def tasks_take_usual_hours(pair: Pair) -> Iterator[Problem]:
    """Questions about hours of a task that are far from what such work usually takes, each task once."""
    tasks = {task.id: (index, task) for index, task in enumerate(pair.catalog.tasks)}
    worst: dict[str, tuple[Decimal, str, str, Decimal]] = {}
    for _, _, name, recipe in pair.recipes():
        for task_id, per, quantity in _work(recipe):
            found = usual.usual_hours(name, per)
            if task_id not in tasks or found is None:
                continue
            likely = tasks[task_id][1].hours[1] * quantity
            far = max(likely / found.high, found.low / likely) if likely else Decimal("Infinity")
            if far >= usual.BEYOND and (task_id not in worst or far > worst[task_id][0]):
                worst[task_id] = far, name, per, quantity
    for task_id, (_, name, per, quantity) in worst.items():
        index, task = tasks[task_id]
        message, mend = _odd_hours(task, name, per, quantity)
        where: Trail = ("tasks", index, "hours")
        yield pair.in_file("labor.yaml", "task-hours-odd", where, message, mend, question=True)


def _work(recipe: Recipe) -> Iterator[tuple[str, str, Decimal]]:
    """Task, what it comes once for, and how many."""
    for task in recipe.tasks:
        yield task.task, task.per, task.quantity


def _odd_hours(task: Task, name: str, per: str, quantity: Decimal) -> tuple[str, str]:
    found = usual.usual_hours(name, per)
    assert found is not None
    likely = task.hours[1]
    times = "" if quantity == 1 else f", {plain(quantity)} times"
    once = {"ft": "for each foot", "end": "for each end", "visit": "once a visit"}.get(per, "once")
    message = (
        f'are likely {plain(likely)} h, taken {once}{times} by the recipe "{name}"; usual is '
        f"{plain(found.low)} to {plain(found.high)} h ({NO_SOURCE})"
    )
    if likely == 0:
        return message, "write the time it takes, as 20 min; it counts as no work at all"
    if likely * quantity < found.low:
        return message, "is it in hours? It counts as it is"
    if per == "ft":
        return message, f"is it {plain(likely)} min, or work that comes once? per: ft takes it for every foot"
    if quantity > 1 and likely < found.high * usual.BEYOND:
        return message, "is the quantity in recipes.yaml meant?"
    return message, f"are they minutes? Write {plain(likely)} min"


QUESTIONS = frozenset({"task-hours-odd", "task-hours-wide", "quote-free", "machine-twin"})
"""Codes of its questions besides those of the table."""

RULES: tuple[Rule, ...] = (
    figures_are_usual,
    somebody_is_paid,
    years_have_their_hours,
    tasks_take_usual_hours,
    hours_are_near_each_other,
    parts_are_usual,
    freights_are_usual,
    offers_are_as_many_as_usual,
    charges_for_each_foot_are_usual,
    quotes_ask_for_something,
    machines_are_bought_for_a_reason,
    machines_are_named_once,
)
