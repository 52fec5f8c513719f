"""How things age in use: when their parts are worn out, what is replaced, what is set free with which wear."""

from dataclasses import replace
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.lives import OUTLASTS, lives_of
from costplan.circuits.needs import Bundle, Item, Return
from costplan.circuits.wear import first_worn, life_choices
from costplan.years.stream import Date, Use

Wearing = tuple[tuple[int, ...], tuple[int, ...]]
"""The years in which the wearing parts of a thing are worn out, and how many years each lasts."""


def begun(facts: Facts, use: Use, lives: tuple[int, ...] | None = None) -> Wearing:
    """The wear of a thing that is new when the use begins; parts not said are the shortest-lived there are."""
    if lives is None:
        lives = tuple(life_choices(facts, wear)[0] for wear in use.thing.wears)
    due = tuple(
        first_worn(wear, life, use.since[0]) for wear, life in zip(use.thing.wears, lives, strict=True)
    )
    return due, lives


def new_today(facts: Facts, item: Item) -> Item:
    """Something on the shelf as new today: its wear begins now."""
    lives = lives_of(facts, item.spec, Decimal(1), facts.shop.years)
    if lives in ((), (OUTLASTS,)):
        return item
    return replace(item, due=(lives[0],), lives=(lives[0],))


def still_good(item: Item, use: Use) -> bool:
    """Whether no part of it is worn out when the use begins."""
    return not item.due or (
        len(item.due) == len(use.thing.wears) and all(year > use.since[0] for year in item.due)
    )


def follow(
    use: Use, scenario: str, due: tuple[int, ...], lives: tuple[int, ...], horizon: int
) -> tuple[list[tuple[int, Bundle]], tuple[Date, Return] | None]:
    """What replacing its wear takes in a scenario, by year, and what is set free when the use ends.

    Nothing is replaced in the last year, nor in the year in which the use ends.
    """
    end = dict(use.ends)[scenario]
    until = horizon if end is None else min(end.date[0], horizon)
    renewals, worn = [], []
    for wear, first, life in zip(use.thing.wears, due, lives, strict=True):
        year = first
        while year < until:
            renewals.append((year, wear.replaced(life)))
            year = first_worn(wear, life, year)
        worn.append(year)
    if end is None or end.left is None:
        return renewals, None
    left = end.left
    if any(year < OUTLASTS for year in worn):
        left = replace(left, item=replace(left.item, due=tuple(worn), lives=lives))
    return renewals, (end.date, left)


def inner_uses(use: Use) -> list[Use]:
    """What a bought thing asks for in turn, in use as long as it is."""
    ends = tuple((name, None if end is None else replace(end, left=None)) for name, end in use.ends)
    return [replace(use, thing=thing, ends=ends) for thing in use.thing.inner]


def cord_uses(uses: tuple[Use, ...]) -> tuple[Use, Use, Use] | None:
    """The cable, plug and connector that begin today, when a whole cord is asked for."""
    by_kind = {use.thing.item.spec.kind: use for use in uses if use.since[0] == 0 and not use.present}
    if not {"cord", "plug", "connector"} <= set(by_kind):
        return None
    return by_kind["cord"], by_kind["plug"], by_kind["connector"]
