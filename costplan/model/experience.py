"""The shop's own experience: hours that move from the book towards what jobs took, and how far estimates were off.

The weight of own experience is the credibility n / (n + k) of n jobs. Source: H. Buehlmann, "Experience Rating
and Credibility", ASTIN Bulletin 4 (1967), greatest accuracy credibility; from memory.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from costplan.model.catalog import Job, JobTask, Offer, PaidPrice, PriceInForce
from costplan.model.labor import Crew, Role, Task

Hours = tuple[Decimal, Decimal, Decimal]

PRIOR_JOBS = Decimal(3)
"""The k: after so many jobs own hours and the book's count alike. A choice, no source: it would be the variance
between jobs over the variance between shops, which one shop cannot know."""


@dataclass(frozen=True, slots=True)
class Experience:
    """A task with the hours in force, the book's hours, and what stands behind them.

    `own_hours` is the shop's mean for one unit in hours of one electrician (or of the owner where only the
    owner may do it), None without jobs.
    """

    task: Task
    book_hours: Hours
    jobs: int
    own_hours: Decimal | None

    @property
    def weight(self) -> Decimal:
        """Share of the own hours in the hours in force, 0 to below 1."""
        return credibility(self.jobs)


@dataclass(frozen=True, slots=True)
class PaceExperience:
    """A crew at the pace in force, the pace it was given, and what stands behind it.

    `own_pace` is what it did in an hour of what one electrician does, None without jobs.
    """

    crew: Crew
    book_pace: Decimal
    jobs: int
    own_pace: Decimal | None

    @property
    def weight(self) -> Decimal:
        """Share of the own pace in the pace in force, 0 to below 1."""
        return credibility(self.jobs)


@dataclass(frozen=True, slots=True)
class JobError:
    """One task of one job: hours of its crew by the book, as was to be expected then, and as it came.

    `expected_hours` uses the book and the jobs that were finished on earlier days, `jobs_before` of them.
    """

    job: str
    day: date
    task: str
    quantity: Decimal
    crew: str
    book_hours: Decimal
    expected_hours: Decimal
    actual_hours: Decimal
    jobs_before: int

    @property
    def difference_hours(self) -> Decimal:
        """Actual less expected hours: above 0 when it took longer."""
        return self.actual_hours - self.expected_hours


@dataclass(frozen=True, slots=True)
class PriceError:
    """One price paid on a job beside the one in offers.csv; both in cents for one `per`.

    `asked_cents` is None when no offer says it, `row` then 0. `place` counts the jobs as listed, and its prices.
    """

    job: str
    day: date
    price: PaidPrice
    asked_cents: Decimal | None
    row: int
    place: tuple[int, int]


@dataclass(frozen=True, slots=True)
class ErrorSummary:
    """How far estimates were off: hours in all, the mean size of an error in hours, and shares of the actual hours.

    `bias` is the sum of the estimates over the sum of the actual hours, less 1: below 0 when estimates were too
    low. The shares are None when the actual hours are 0.
    """

    count: int
    estimated_hours: Decimal
    actual_hours: Decimal
    mean_error_hours: Decimal
    error_share: Decimal | None
    bias: Decimal | None


def expected_hours(hours: Hours) -> Decimal:
    """(low + 4 likely + high) / 6. Source: the classic three-point (PERT) mean."""
    low, likely, high = hours
    return (low + 4 * likely + high) / 6


def credibility(jobs: int | Decimal, prior_jobs: Decimal = PRIOR_JOBS) -> Decimal:
    """Weight of the mean of `jobs` observations against the book: jobs / (jobs + prior_jobs). Source: Buehlmann."""
    return Decimal(jobs) / (jobs + prior_jobs)


def credible_mean(book: Decimal, own: Decimal, weight: Decimal) -> Decimal:
    """weight x own + (1 - weight) x book. Source: Buehlmann's credibility premium."""
    return weight * own + (1 - weight) * book


def credible_hours(book: Hours, own: Decimal, weight: Decimal) -> Hours:
    """Three-point hours whose mean is the credible mean and whose relative spread shrinks by sqrt(1 - weight).

    The mean squared error of a credibility estimate is (1 - weight) times the variance of what it estimates, so
    its standard deviation shrinks by the root. Source: Buehlmann, as above.
    """
    mean = expected_hours(book)
    new = credible_mean(mean, own, weight)
    if mean == 0:
        return (new, new, new)
    shrink = (1 - weight).sqrt()
    low, likely, high = (new * (1 + shrink * (hours / mean - 1)) for hours in book)
    return (low, likely, high)


def crews_by_name(crews: Iterable[Crew]) -> dict[str, Crew]:
    """Crews by name; later ones replace earlier ones of the same name, as the shop's do the catalog's."""
    return {crew.name: crew for crew in crews}


def unit_pace(task: Task, crew: str, crews: Mapping[str, Crew]) -> Decimal:
    """What the task's hours are divided by to be hours of the crew: 1 where only the owner may do it.

    Raises KeyError for a crew that is not listed.
    """
    return Decimal(1) if task.who == [Role.OWNER] else crews[crew].pace


def experiences(
    tasks: Iterable[Task], jobs: Sequence[Job], crews: Mapping[str, Crew]
) -> dict[str, Experience]:
    """Every task by id, its hours moved towards the jobs'. Raises KeyError for a crew that is not listed.

    A job counts once for a task however often it names it. Own hours are all hours over all units, so that a
    job of ninety feet says more than one of two. What several people did of a task that one electrician did on a
    job too says how much faster they are (`pace_experiences`), and is left out here.
    """
    listed = list(tasks)
    known = {name: found.crew for name, found in pace_experiences(listed, jobs, crews).items()}
    return {task.id: _experience(task, jobs, known) for task in listed}


def pace_experiences(
    tasks: Iterable[Task], jobs: Sequence[Job], crews: Mapping[str, Crew]
) -> dict[str, PaceExperience]:
    """Every crew by name, its pace moved towards the jobs'. Raises KeyError for a crew that is not listed.

    A crew's own pace is the man-hours in force of what it did over its hours by the clock. Only tasks count that
    one electrician did on a job too: elsewhere nobody can tell a slow pair from slow work.
    """
    alone = {}
    for task in tasks:
        if task.who != [Role.OWNER] and _alone(task, jobs, crews):
            alone[task.id] = expected_hours(_experience(task, jobs, crews).task.hours)
    return {name: _pace_experience(crew, jobs, alone) for name, crew in crews.items()}


def job_errors(tasks: Iterable[Task], jobs: Sequence[Job], crews: Mapping[str, Crew]) -> list[JobError]:
    """Every task of every job beside its estimates, by day. Raises KeyError for a task or crew not listed."""
    book = {task.id: task for task in tasks}
    errors = []
    for job in sorted(jobs, key=lambda job: job.day):
        earlier = [other for other in jobs if other.day < job.day]
        known = {name: found.crew for name, found in pace_experiences(book.values(), earlier, crews).items()}
        for entry in job.tasks:
            task = book[entry.task]
            then = _experience(task, earlier, known)
            share = entry.quantity / unit_pace(task, entry.crew, crews)
            share_then = entry.quantity / unit_pace(task, entry.crew, known)
            errors.append(
                JobError(
                    job.name,
                    job.day,
                    task.id,
                    entry.quantity,
                    entry.crew,
                    expected_hours(task.hours) * share,
                    expected_hours(then.task.hours) * share_then,
                    entry.hours,
                    then.jobs,
                )
            )
    return errors


def summary(pairs: Sequence[tuple[Decimal, Decimal]]) -> ErrorSummary:
    """How far off (estimated, actual) hours were."""
    estimated = sum((pair[0] for pair in pairs), Decimal(0))
    actual = sum((pair[1] for pair in pairs), Decimal(0))
    off = sum((abs(pair[0] - pair[1]) for pair in pairs), Decimal(0))
    return ErrorSummary(
        len(pairs),
        estimated,
        actual,
        off / len(pairs) if pairs else Decimal(0),
        off / actual if actual else None,
        estimated / actual - 1 if actual else None,
    )


def price_errors(
    offers: Iterable[Offer], jobs: Sequence[Job], paid: Mapping[int, PriceInForce]
) -> list[PriceError]:
    """Every price paid, by day, beside what offers.csv says; `offers` and `paid` are the catalog's."""
    rows = _only_rows(offers)
    errors = []
    for number, job in sorted(enumerate(jobs), key=lambda entry: entry[1].day):
        for index, price in enumerate(job.prices):
            offer, place = rows.get(_what(price)), (number, index)
            if offer is None:
                errors.append(PriceError(job.name, job.day, price, None, 0, place))
            else:
                asked = paid[offer.row].asked_cents if offer.row in paid else offer.price_cents
                errors.append(PriceError(job.name, job.day, price, asked, offer.row, place))
    return errors


def repriced(
    offers: Sequence[Offer], jobs: Sequence[Job], traces: Sequence[Sequence[str]]
) -> tuple[Sequence[Offer], dict[int, PriceInForce]]:
    """Offers at the price last paid, and by row what changed; without prices paid they are the very same.

    A price paid later than the offer's was seen, or for an offer without a price or a day, takes its place if
    exactly one row offers that part, from that supplier, in that condition, per that unit. `traces` say where
    each price of each job is written.
    """
    if not any(job.prices for job in jobs):
        return offers, {}
    rows = _only_rows(offers)
    latest: dict[int, tuple[date, PaidPrice, PriceInForce]] = {}
    for job, places in zip(jobs, traces, strict=True):
        for price, trace in zip(job.prices, places, strict=True):
            offer = rows.get(_what(price))
            if offer is None or (offer.row in latest and latest[offer.row][0] > job.day):
                continue
            if offer.price_cents is None or offer.seen is None or offer.seen < job.day:
                said = PriceInForce(asked_cents=offer.price_cents, trace=trace)
                latest[offer.row] = (job.day, price, said)
    new = [
        offer.model_copy(
            update={"price_cents": latest[offer.row][1].price_cents, "seen": latest[offer.row][0]}
        )
        if offer.row in latest
        else offer
        for offer in offers
    ]
    return new, {row: said for row, (_, _, said) in latest.items()}


def _alone(task: Task, jobs: Sequence[Job], crews: Mapping[str, Crew]) -> bool:
    """Whether one electrician did the task on a job."""
    doers = [crews[entry.crew] for job in jobs for entry in job.tasks if entry.task == task.id]
    return any(crew.people == 1 and crew.role is Role.ELECTRICIAN for crew in doers)


def _experience(task: Task, jobs: Sequence[Job], crews: Mapping[str, Crew]) -> Experience:
    alone = task.who != [Role.OWNER] and _alone(task, jobs, crews)
    done: list[list[JobTask]] = []
    for job in jobs:
        mine = [entry for entry in job.tasks if entry.task == task.id]
        mine = [entry for entry in mine if not (alone and crews[entry.crew].people > 1)]
        if mine:
            done.append(mine)
    if not done:
        return Experience(task, task.hours, 0, None)
    entries = [entry for mine in done for entry in mine]
    hours = sum((entry.hours * unit_pace(task, entry.crew, crews) for entry in entries), Decimal(0))
    own = hours / sum((entry.quantity for entry in entries), Decimal(0))
    new = credible_hours(task.hours, own, credibility(len(done)))
    return Experience(task.model_copy(update={"hours": new}), task.hours, len(done), own)


def _pace_experience(crew: Crew, jobs: Sequence[Job], alone_hours: Mapping[str, Decimal]) -> PaceExperience:
    """The crew at the pace in force; `alone_hours` are the man-hours of the tasks that one electrician did too."""
    done = [
        [entry for entry in job.tasks if entry.crew == crew.name and alone_hours.get(entry.task)]
        for job in jobs
    ]
    entries = [entry for mine in done for entry in mine]
    clock = sum((entry.hours for entry in entries), Decimal(0))
    if crew.people == 1 or not clock:
        return PaceExperience(crew, crew.pace, 0, None)
    own = sum((alone_hours[entry.task] * entry.quantity for entry in entries), Decimal(0)) / clock
    count = sum(bool(mine) for mine in done)
    weight = credibility(count)
    moved = crew.at_pace(credible_mean(crew.pace, own, weight), crew.pace_spread * (1 - weight).sqrt())
    return PaceExperience(moved, crew.pace, count, own)


def _what(entry: Offer | PaidPrice) -> tuple[str, ...]:
    return entry.part, entry.supplier, str(entry.condition), entry.per


def _only_rows(offers: Iterable[Offer]) -> dict[tuple[str, ...], Offer]:
    """Offers by what they offer, where only one row does."""
    rows: dict[tuple[str, ...], Offer] = {}
    twice = set()
    for offer in offers:
        if rows.setdefault(_what(offer), offer) is not offer:
            twice.add(_what(offer))
    return {what: offer for what, offer in rows.items() if what not in twice}
