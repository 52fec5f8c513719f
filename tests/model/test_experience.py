"""Hours that move towards the shop's own, the error of estimates, and prices last paid."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costplan.model.catalog import Job, Offer
from costplan.model.experience import (
    PRIOR_JOBS,
    credibility,
    crews_by_name,
    expected_hours,
    experiences,
    job_errors,
    pace_experiences,
    price_errors,
    repriced,
    summary,
)
from costplan.model.labor import Crew, Task

TASK = Task.model_validate(
    {"id": "box", "name": "set the box", "hours": [1, 2, 3], "who": ["owner", "electrician"]}
)
OWNERS = Task.model_validate({"id": "tag", "name": "tag it", "hours": [1, 1, 1], "who": ["owner"]})
PACES = crews_by_name(
    [
        Crew.model_validate({"name": "one", "role": "electrician", "rate": 90}),
        Crew.model_validate({"name": "pair", "role": "electrician", "rate": 170, "pace": 2}),
        Crew.model_validate({"name": "owner", "role": "owner", "rate": 0, "pace": "0.5"}),
    ]
)


def job(day: str, *entries: tuple[str, object, object, str], name: str = "job") -> Job:
    tasks = [
        {"task": task, "quantity": quantity, "hours": hours, "crew": crew}
        for task, quantity, hours, crew in entries
    ]
    return Job.model_validate({"name": name, "date": day, "tasks": tasks})


def experienced(tasks: list[Task], jobs: list[Job], crews: dict[str, Crew]) -> list[Task]:
    return [found.task for found in experiences(tasks, jobs, crews).values()]


def test_without_jobs_a_task_is_the_very_same() -> None:
    assert experienced([TASK, OWNERS], [job("2026-01-01", ("tag", 1, 1, "owner"))], PACES)[0] is TASK
    assert experiences([TASK], [], PACES)["box"].own_hours is None


def test_one_job_counts_a_quarter_three_count_half() -> None:
    one = [job("2026-01-01", ("box", 1, 4, "one"))]
    three = [job(f"2026-01-0{day}", ("box", 1, 4, "one")) for day in (1, 2, 3)]

    assert expected_hours(experienced([TASK], one, PACES)[0].hours) == Decimal("2.5")
    found = experiences([TASK], three, PACES)["box"]
    assert (found.jobs, found.own_hours, found.weight) == (3, 4, Decimal("0.5"))
    assert found.book_hours == TASK.hours
    assert expected_hours(found.task.hours) == 3


def test_the_relative_spread_shrinks_by_the_root_of_the_books_weight() -> None:
    jobs = [job(f"2026-01-{day:02}", ("box", 1, 2, "one")) for day in range(1, 10)]
    hours = experienced([TASK], jobs, PACES)[0].hours
    assert expected_hours(hours) == 2
    assert hours == (Decimal("1.5"), 2, Decimal("2.5"))
    assert TASK.hours == (1, 2, 3)


def test_hours_of_a_crew_are_turned_into_those_of_one_electrician() -> None:
    for crew, took in (("one", 3), ("pair", "1.5"), ("owner", 6)):
        found = experiences([TASK], [job("2026-01-01", ("box", 1, took, crew))], PACES)["box"]
        assert found.own_hours == 3
    found = experiences([OWNERS], [job("2026-01-01", ("tag", 2, 5, "owner"))], PACES)["tag"]
    assert found.own_hours == Decimal("2.5")


def test_a_job_counts_once_and_own_hours_are_all_hours_over_all_units() -> None:
    jobs = [
        job("2026-01-01", ("box", 9, 9, "one"), ("box", 9, 9, "one")),
        job("2026-01-02", ("box", 2, 6, "one")),
    ]
    found = experiences([TASK], jobs, PACES)["box"]
    assert (found.jobs, found.own_hours) == (2, Decimal("1.2"))


def test_a_task_the_book_has_at_nothing_still_learns() -> None:
    free = Task.model_validate({"id": "box", "name": "free", "hours": [0, 0, 0], "who": ["owner"]})
    assert experienced([free], [job("2026-01-01", ("box", 1, 4, "one"))], PACES)[0].hours == (1, 1, 1)


def test_a_crew_that_is_not_listed_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        experienced([TASK], [job("2026-01-01", ("box", 1, 4, "nobody"))], PACES)


CREWS = crews_by_name(
    [*PACES.values(), Crew.model_validate({"name": "two", "role": "electrician", "rate": 170, "people": 2})]
)


def test_two_electricians_work_at_nineteen_tenths_of_one_unless_said_otherwise() -> None:
    """1.9, range 1.7 to 2.2: common practice, no source; from memory. Spread (2.2 - 1.7) / 6 / 1.9 by hand."""
    two = CREWS["two"]
    assert (two.pace, round(two.pace_spread, 4)) == (Decimal("1.9"), Decimal("0.0439"))
    said = Crew.model_validate(
        {"name": "two", "role": "electrician", "rate": 170, "people": 2, "pace": "1.75"}
    )
    assert (said.pace, said.pace_spread) == (Decimal("1.75"), 0)


@pytest.mark.parametrize(("role", "people"), [("electrician", 3), ("owner", 2)])
def test_who_they_are_says_no_pace(role: str, people: int) -> None:
    with pytest.raises(ValueError, match=f'is {people} people and lacks "pace"'):
        Crew.model_validate({"name": "some", "role": role, "rate": 1, "people": people})


def test_a_pair_moves_its_pace_at_what_one_electrician_did_too() -> None:
    """By hand: one took 4 h for a box of the book's 2, in force 1/4 x 4 + 3/4 x 2 = 2.5; the pair took 2 h for one,
    so it did 2.5 / 2 = 1.25 times what one does, and 1/4 x 1.25 + 3/4 x 1.9 = 1.7375 is in force."""
    jobs = [job("2026-01-01", ("box", 1, 4, "one")), job("2026-01-02", ("box", 1, 2, "two"))]
    found = pace_experiences([TASK], jobs, CREWS)["two"]
    assert (found.jobs, found.own_pace, found.book_pace) == (1, Decimal("1.25"), Decimal("1.9"))
    assert found.crew.pace == Decimal("1.7375")
    assert found.crew.pace_spread < CREWS["two"].pace_spread
    box = experiences([TASK], jobs, CREWS)["box"]
    assert (box.jobs, box.own_hours) == (1, 4)


def test_a_pair_alone_at_a_task_moves_its_hours_and_no_pace() -> None:
    """The pair's 2 h by the clock are 3.8 man-hours."""
    jobs = [job("2026-01-02", ("box", 1, 2, "two"), ("tag", 1, 1, "owner"))]
    assert pace_experiences([TASK, OWNERS], jobs, CREWS)["two"].jobs == 0
    assert experiences([TASK], jobs, CREWS)["box"].own_hours == Decimal("3.8")
    owners = [job("2026-01-01", ("box", 1, 4, "owner")), *jobs]
    assert pace_experiences([TASK], owners, CREWS)["two"].jobs == 0, "the owner's own pace is a guess"


def test_an_estimate_uses_the_pace_that_was_known_then() -> None:
    jobs = [
        job("2026-01-01", ("box", 1, 4, "one")),
        job("2026-01-02", ("box", 1, 2, "two")),
        job("2026-01-03", ("box", 1, 2, "two")),
    ]
    book = [error.book_hours for error in job_errors([TASK], jobs, CREWS)]
    expected = [error.expected_hours for error in job_errors([TASK], jobs, CREWS)]
    assert book == [2, 2 / Decimal("1.9"), 2 / Decimal("1.9")]
    assert expected == [2, Decimal("2.5") / Decimal("1.9"), Decimal("2.5") / Decimal("1.7375")]


amounts = st.decimals("0.01", 50, places=2)


@given(st.lists(st.tuples(amounts, amounts), min_size=1, max_size=8), st.tuples(amounts, amounts, amounts))
def test_hours_in_force_lie_between_the_book_and_the_shop_and_keep_their_order(
    done: list[tuple[Decimal, Decimal]], hours: tuple[Decimal, Decimal, Decimal]
) -> None:
    task = TASK.model_copy(update={"hours": tuple(sorted(hours))})
    jobs = [job("2026-01-01", ("box", quantity, took, "one")) for quantity, took in done]
    found = experiences([task], jobs, PACES)["box"]
    new = found.task.hours
    book, own = expected_hours(task.hours), found.own_hours
    assert own is not None
    small = Decimal("1e-20")
    assert 0 <= new[0] <= new[1] <= new[2]
    assert min(book, own) - small <= expected_hours(new) <= max(book, own) + small
    assert abs(expected_hours(new) - (found.weight * own + (1 - found.weight) * book)) < small
    wide, was_wide = new[2] - new[0], task.hours[2] - task.hours[0]
    assert wide / expected_hours(new) <= was_wide / book + small


@given(st.integers(0, 1000))
def test_credibility_grows_with_jobs_and_never_reaches_one(jobs: int) -> None:
    assert 0 <= credibility(jobs) < credibility(jobs + 1) < 1
    assert credibility(int(PRIOR_JOBS)) == Decimal("0.5")


def test_an_estimate_knows_only_the_jobs_of_earlier_days() -> None:
    jobs = [
        job("2026-03-01", ("box", 2, 8, "one"), name="late"),
        job("2026-01-01", ("box", 1, 4, "one"), name="early"),
        job("2026-01-01", ("box", 1, 2, "pair"), name="same day"),
    ]
    errors = job_errors([TASK], jobs, PACES)

    assert [(error.job, error.jobs_before) for error in errors] == [
        ("early", 0),
        ("same day", 0),
        ("late", 2),
    ]
    assert [error.book_hours for error in errors] == [2, 1, 4]
    assert [error.expected_hours for error in errors] == [2, 1, Decimal("5.6")]
    assert [error.difference_hours for error in errors] == [2, 1, Decimal("2.4")]


def test_mean_error_and_bias() -> None:
    off = summary([(Decimal(3), Decimal(4)), (Decimal(8), Decimal(6)), (Decimal(2), Decimal(10))])
    assert (off.count, off.estimated_hours, off.actual_hours) == (3, 13, 20)
    assert off.mean_error_hours == Decimal(11) / 3
    assert off.error_share == Decimal("0.55")
    assert off.bias == Decimal("-0.35")
    nothing = summary([])
    assert (nothing.count, nothing.error_share, nothing.bias) == (0, None, None)


def offer(row: int, price: str | None, seen: str | None, condition: str = "new") -> Offer:
    words = {"part": "plug", "supplier": "counter", "condition": condition, "per": "each"}
    return Offer.model_validate({**words, "price": price, "seen": seen, "row": row})


def paid(day: str, *prices: str, condition: str = "new", name: str = "job") -> Job:
    what = {"part": "plug", "supplier": "counter", "condition": condition, "per": "each"}
    return Job.model_validate(
        {"name": name, "date": day, "prices": [{**what, "price": price} for price in prices]}
    )


def test_the_price_last_paid_takes_the_place_of_an_older_one() -> None:
    jobs = [
        paid("2026-05-01", "15.00", name="later"),
        paid("2026-02-01", "14.00", name="earlier"),
        paid("2026-06-01", "9.00", condition="used", name="other"),
    ]
    before = [offer(2, "12.00", "2026-01-01")]
    after, changed = repriced(before, jobs, [["jobs.yaml:5"], ["jobs.yaml:9"], ["jobs.yaml:13"]])

    assert [(one.price_cents, one.seen) for one in after] == [(1500, date(2026, 5, 1))]
    assert (changed[2].asked_cents, changed[2].trace) == (1200, "jobs.yaml:5")
    errors = price_errors(after, jobs, changed)
    assert [(error.job, error.asked_cents, error.row) for error in errors] == [
        ("earlier", 1200, 2),
        ("later", 1200, 2),
        ("other", None, 0),
    ]


@pytest.mark.parametrize(
    ("before", "expected"),
    [
        ([offer(2, "12.00", "2026-05-02")], [1200]),
        ([offer(2, "12.00", "2026-05-01")], [1200]),
        ([offer(2, "12.00", None)], [1500]),
        ([offer(2, None, "2026-05-02")], [1500]),
        ([offer(2, "12.00", None), offer(3, "13.00", None)], [1200, 1300]),
        ([offer(2, "12.00", None, "used")], [1200]),
    ],
)
def test_only_one_row_that_is_older_is_changed(before: list[Offer], expected: list[int]) -> None:
    after, changed = repriced(before, [paid("2026-05-01", "15.00")], [["jobs.yaml:5"]])
    assert [one.price_cents for one in after] == expected
    assert set(changed) == {one.row for one, old in zip(after, before, strict=True) if one != old}


def test_without_prices_the_offers_are_the_very_same() -> None:
    before = [offer(2, "12.00", None)]
    after, changed = repriced(before, [job("2026-01-01", ("box", 1, 4, "one"))], [[]])
    assert after is before
    assert changed == {}
