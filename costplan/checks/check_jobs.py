"""Rules over finished jobs: names that must be known, days, and hours or prices far from what was expected."""

from collections.abc import Iterator
from decimal import Decimal

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.experience import expected_hours, price_errors, unit_pace
from costplan.model.loading import JOBS_FILE
from costplan.model.pair import Pair, Rule, dollars, plain, unknown

_FAR = Decimal(5)
"""So many times more or less than expected is questioned as a slip of the unit; a choice, no source."""


def jobs_stand_once(pair: Pair) -> Iterator[Problem]:
    """A job is recorded once."""
    first: dict[tuple[str, object], int] = {}
    for index, job in enumerate(pair.catalog.jobs):
        same = first.setdefault((job.name, job.day), index)
        if same != index:
            message = f'is "{job.name}" of {job.day}, as job #{same + 1} is'
            mend = "give it another name, or delete one; else its hours count twice"
            yield pair.in_file(JOBS_FILE, "job-repeated", ("jobs", index, "name"), message, mend)


def jobs_are_known(pair: Pair) -> Iterator[Problem]:
    """Jobs name known tasks, crews, parts and suppliers."""
    catalog = pair.catalog
    tasks, crews = {task.id for task in catalog.tasks}, pair.crews()
    parts = {part.id for part in catalog.parts} if catalog.jobs else set()
    suppliers = {supplier.id for supplier in catalog.suppliers}
    for number, job in enumerate(pair.catalog.jobs):
        for index, entry in enumerate(job.tasks):
            trail: Trail = ("jobs", number, "tasks", index)
            if entry.task not in tasks:
                message, mend = unknown("task", entry.task, tasks)
                yield pair.in_file(JOBS_FILE, "job-task", (*trail, "task"), message, mend)
            if entry.crew not in crews:
                message, mend = unknown("crew", entry.crew, crews)
                mend = f"{mend} (one that has gone may stay in labor.yaml)"
                yield pair.in_file(JOBS_FILE, "job-crew", (*trail, "crew"), message, mend)
        for index, price in enumerate(job.prices):
            trail = ("jobs", number, "prices", index)
            for word, said, known in (
                ("part", price.part, parts),
                ("supplier", price.supplier, suppliers),
            ):
                if said not in known:
                    message, mend = unknown(word, said, known)
                    yield pair.in_file(JOBS_FILE, f"job-{word}", (*trail, word), message, mend)


def jobs_are_past(pair: Pair) -> Iterator[Problem]:
    """Questions about jobs after the day of the plan."""
    for index, job in enumerate(pair.catalog.jobs):
        if job.day > pair.shop.today:
            message = f"is {job.day}, after the day of the plan ({pair.shop.today})"
            mend = "check the date, or today: in the shop file; it counts as it is"
            yield pair.in_file(
                JOBS_FILE, "job-in-future", ("jobs", index, "date"), message, mend, question=True
            )


def hours_are_likely(pair: Pair) -> Iterator[Problem]:
    """Questions about hours so far from the book that they are probably minutes, or of another quantity."""
    tasks = {task.id: task for task in pair.catalog.tasks}
    crews = pair.crews()
    for number, job in enumerate(pair.catalog.jobs):
        for index, entry in enumerate(job.tasks):
            if entry.task not in tasks or entry.crew not in crews:
                continue
            task = tasks[entry.task]
            book = expected_hours(task.hours) * entry.quantity / unit_pace(task, entry.crew, crews)
            if book and not book / _FAR <= entry.hours <= book * _FAR:
                message = (
                    f"are {plain(entry.hours)} for {plain(entry.quantity)}, where the book expects {book:.2f}"
                )
                where: Trail = ("jobs", number, "tasks", index, "hours")
                mend = "are hours and quantity in the task's unit? 45 min is read too; they count as they are"
                yield pair.in_file(JOBS_FILE, "job-hours-odd", where, message, mend, question=True)


def prices_have_offers(pair: Pair) -> Iterator[Problem]:
    """Questions about prices that no offer takes up, and prices far from what offers.csv says."""
    catalog = pair.catalog
    any_paid = any(job.prices for job in catalog.jobs)
    for error in price_errors(catalog.offers, catalog.jobs, catalog.paid) if any_paid else ():
        number, index = error.place
        where: Trail = ("jobs", number, "prices", index)
        price = error.price
        if not error.row:
            message = f'"{price.part}" at "{price.supplier}", {price.condition}, per {price.per}, fits no single offer'
            mend = "add the row to offers.csv; until then the price is only kept"
            yield pair.in_file(JOBS_FILE, "job-price-unused", where, message, mend, question=True)
        elif error.asked_cents and not (
            error.asked_cents / _FAR <= price.price_cents <= error.asked_cents * _FAR
        ):
            message = f"is {dollars(price.price_cents)}, where row {error.row} of offers.csv says {dollars(error.asked_cents)}"
            mend = f"is it the price of one {price.per}? It counts as it is"
            yield pair.in_file(JOBS_FILE, "job-price-odd", (*where, "price"), message, mend, question=True)


RULES: tuple[Rule, ...] = (
    jobs_stand_once,
    jobs_are_known,
    jobs_are_past,
    hours_are_likely,
    prices_have_offers,
)
