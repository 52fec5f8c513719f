"""Columns of what is said of next machines, each declared once, for JSON, CSV and frames."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from costplan.reports.data_text import left_out_data
from costplan.reports.invented import made_up
from costplan.reports.next_page import (
    WorkRow,
    chosen_words,
    money_rows,
    other_work_cents,
    own_work,
    parts_difference,
)
from costplan.reports.table_types import Column, Kind, Table, row_data
from costplan.studies.asked_next import NextAnswer
from costplan.studies.next_machine import CountedCost, NextPrice, Variant

POWER = {
    "cash_today": "cash today",
    "other_today": "own and lost time and allowances today",
    "later": "later years, in today's money",
    "residual": "what comes back, below 0",
}
"""What power consists of: the parts add up to it."""


def _part_of_power(key: str) -> Callable[[NextPrice], int]:
    return lambda price: {name: cents for name, _, cents in money_rows(price)}[key]


MACHINES: Table[NextAnswer, NextPrice] = Table(
    "machines",
    "the machines, the cheapest all in first",
    lambda answer: answer.prices,
    (
        Column("name", Kind.WORDS, "what it is", lambda price: price.machine.name),
        Column(
            "price_cents", Kind.WHOLE, "what is asked for it", lambda price: int(price.machine.price_cents)
        ),
        Column(
            "machine_cents",
            Kind.WHOLE,
            "price, premium, tax, freight, tooling, less trade-in and what it fetches at the end",
            lambda price: price.machine_cents,
        ),
        Column(
            "power_cents",
            Kind.WHOLE,
            "best plan with it less best plan without it",
            lambda price: price.power_cents,
        ),
        Column("total_cents", Kind.WHOLE, "both", lambda price: price.total_cents),
        Column("cash_today_cents", Kind.WHOLE, "cash today for both", lambda price: price.outlay_cents),
        Column(
            "second_power_cents",
            Kind.MAYBE_WHOLE,
            "power of one more like it; none when it cannot be done",
            lambda price: price.second_power_cents,
        ),
        Column("proven", Kind.TRUTH, "whether both plans are proven", lambda price: price.proven),
        Column(
            "incomplete",
            Kind.TRUTH,
            "whether something unknown could make either plan cheaper",
            lambda price: price.with_threat is not None or price.without_threat is not None,
        ),
        Column("way", Kind.WORDS, "how it is powered", lambda price: chosen_words(price, price.with_it)),
        *(
            Column(f"power_{key}_cents", Kind.WHOLE, f"of its power, {means}", _part_of_power(key))
            for key, means in POWER.items()
        ),
        Column(
            "other_work_cents",
            Kind.WHOLE,
            "other work and visits until it runs, the difference",
            other_work_cents,
        ),
    ),
)


@dataclass(frozen=True, slots=True)
class OfMachine:
    """A row about one of the machines."""

    price: NextPrice
    row: Any


def _of_each(rows: Callable[[NextPrice], Any]) -> Callable[[NextAnswer], list[OfMachine]]:
    return lambda answer: [OfMachine(price, row) for price in answer.prices for row in rows(price)]


MACHINE: Column[OfMachine] = Column("machine", Kind.WORDS, "which machine", lambda of: of.price.machine.name)


def _held(of: OfMachine) -> Variant:
    variant: Variant = of.row
    return variant


VARIANTS: Table[NextAnswer, OfMachine] = Table(
    "variants",
    "the machine held to one source or one kind of run",
    _of_each(lambda price: price.variants),
    (
        MACHINE,
        Column("held_to", Kind.WORDS, "what it is held to", lambda of: _held(of).words),
        Column(
            "power_cents",
            Kind.MAYBE_WHOLE,
            "power then; none without a plan",
            lambda of: _held(of).power_cents,
        ),
        Column(
            "plan",
            Kind.WORDS,
            "how it is powered then",
            lambda of: (ranked := _held(of).ranked) and chosen_words(of.price, ranked),
        ),
        Column("why_not", Kind.WORDS, "why there is no plan, or none", lambda of: _held(of).why_not or None),
    ),
)


def _work(of: OfMachine) -> WorkRow:
    row: WorkRow = of.row
    return row


WORK: Table[NextAnswer, OfMachine] = Table(
    "work",
    "work for the machine and the gear that it calls for, until it runs",
    _of_each(own_work),
    (
        MACHINE,
        Column("crew", Kind.WORDS, "who does it", lambda of: _work(of).crew),
        Column("people", Kind.WHOLE, "how many work together in each hour", lambda of: _work(of).people),
        Column("what", Kind.WORDS, "in words", lambda of: _work(of).what),
        Column("hours", Kind.NUMBER, "hours by the clock", lambda of: _work(of).hours, 2),
        Column("amount_cents", Kind.WHOLE, "of all of it", lambda of: _work(of).amount_cents),
    ),
)


def _part(of: OfMachine) -> tuple[str, Decimal, int]:
    row: tuple[str, Decimal, int] = of.row
    return row


PARTS: Table[NextAnswer, OfMachine] = Table(
    "parts",
    "what is bought until it runs; spared ones below 0",
    _of_each(parts_difference),
    (
        MACHINE,
        Column("what", Kind.WORDS, "in words", lambda of: _part(of)[0]),
        Column("quantity", Kind.NUMBER, "how many of it", lambda of: _part(of)[1]),
        Column("amount_cents", Kind.WHOLE, "of all of them", lambda of: _part(of)[2]),
    ),
)

BY_COUNT: Table[NextAnswer, CountedCost] = Table(
    "by_count",
    "the power of so many like the cheapest",
    lambda answer: answer.counted,
    (
        Column("count", Kind.WHOLE, "how many", lambda entry: entry.count),
        Column(
            "each_on_a_drive_cents",
            Kind.MAYBE_WHOLE,
            "each on a drive; none when it cannot be done",
            lambda entry: entry.each_cents,
        ),
        Column(
            "behind_a_three_phase_panel_cents",
            Kind.MAYBE_WHOLE,
            "all behind shared gear; none when it cannot be done",
            lambda entry: entry.shared_cents,
        ),
    ),
)

NEXT_TABLES: Mapping[str, Table[NextAnswer, Any]] = {
    table.name: table for table in (MACHINES, VARIANTS, WORK, PARTS, BY_COUNT)
}
"""Every table of next machines by its name."""


def next_data(answer: NextAnswer) -> dict[str, Any]:
    """All of them as plain data, as the guide has it."""
    shop = answer.facts.shop
    return {
        "shop": shop.name,
        "invented": bool(made_up(answer.facts)),
        "currency": shop.currency,
        "horizon_years": shop.years,
        "left_out": left_out_data((*answer.facts.left_out, *answer.left_out)),
        "machines": [_machine(answer, price) for price in answer.prices],
        "by_count": BY_COUNT.data(answer),
    }


def _machine(answer: NextAnswer, price: NextPrice) -> dict[str, Any]:
    """A row of the machines with what is in the other tables of that one."""
    row, alone = row_data(MACHINES.columns, price), replace(answer, prices=(price,))
    power = {key: row.pop(f"power_{key}") for key in POWER}
    more = {
        table.name: [row_data(table.columns[1:], record) for record in table.rows(alone)]
        for table in (VARIANTS, WORK, PARTS)
    }
    return row | {"power_by_time": power} | more
