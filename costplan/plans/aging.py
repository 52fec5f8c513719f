"""How things age in use: when their parts are worn out, what is replaced, what is set free with which wear."""

from dataclasses import replace

from costplan.circuits.circuit import BREAKER_OF_OUTLET
from costplan.circuits.facts import Facts
from costplan.circuits.lives import shortest_life
from costplan.circuits.needs import Bundle, Item, Return, StockNeed, Wear
from costplan.circuits.wear import first_worn, life_choices
from costplan.years.stream import Date, End, Use

Wearing = tuple[tuple[int, ...], tuple[int, ...]]
"""The years in which the wearing parts of a thing are worn out, and how many years each lasts."""


def begun(facts: Facts, use: Use, lives: tuple[int, ...] | None = None) -> Wearing:
    """The wear of a thing that is new when the use begins; parts not said are the shortest-lived there are."""
    return _new(facts, use, use.since[0], lives)


def _new(facts: Facts, use: Use, year: int, lives: tuple[int, ...] | None) -> Wearing:
    if lives is None:
        lives = tuple(life_choices(facts, wear)[0] for wear in use.thing.wears)
    due = tuple(first_worn(wear, life, year) for wear, life in zip(use.thing.wears, lives, strict=True))
    return due, lives


def new_today(facts: Facts, item: Item) -> Item:
    """Something on the shelf as new today: its wear begins now, and it lasts as its part does, where that is known."""
    if item.spec.kind not in facts.wearing_kinds:
        return item
    life = item.lives[0] if item.lives else shortest_life(facts, item.spec)
    return replace(item, due=(life,), lives=(life,))


def taken(facts: Facts, use: Use, item: Item, since: int) -> Wearing:
    """The wear of a thing from stock, set free in year `since`, in the use it is put to.

    What is as new today lasts as long as it does at the machine that uses it.
    """
    if not use.thing.wears:
        return (), ()
    if not item.due:
        return begun(facts, use)
    return (item.due, item.lives) if since else _new(facts, use, 0, item.lives)


def still_good(facts: Facts, use: Use, item: Item, since: int) -> bool:
    """Whether no part of a thing from stock, set free in year `since`, is worn out when the use begins."""
    if not item.due:
        return True
    if not use.thing.wears:
        return all(year > use.since[0] for year in item.due)
    return len(item.due) == len(use.thing.wears) and all(
        year > use.since[0] for year in taken(facts, use, item, since)[0]
    )


def follow(
    use: Use, scenario: str, due: tuple[int, ...], lives: tuple[int, ...], horizon: int
) -> tuple[list[tuple[int, Bundle]], list[tuple[Date, Return]]]:
    """What replacing its wear takes in a scenario, by year, and what is set free of it, when.

    Nothing is replaced in the last year, nor in the year in which its use ends or the part is taken out.
    """
    end = dict(use.ends)[scenario]
    until = horizon if end is None else min(end.date[0], horizon)
    parted = {left.item.spec.kind: (date, left) for of, date, left in use.parted if of == scenario}
    renewals, worn = [], []
    for wear, first, life in zip(use.thing.wears, due, lives, strict=True):
        kind = wear.need.spec.kind if wear.need is not None else ""
        stop = min(until, parted[kind][0][0]) if kind in parted else until
        year = first
        while year < stop:
            renewals.append((year, _where_it_is(use, scenario, year, wear, life)))
            year = first_worn(wear, life, year)
        if kind in parted:
            date, left = parted[kind]
            parted[kind] = date, replace(left, item=replace(left.item, due=(year,), lives=(life,)))
            # Whoever takes the thing over finds the part that was put in then.
            year = first_worn(wear, life, date[0])
        worn.append(year)
    apart = {thing.item.spec.kind for thing in (*use.thing.inner, *use.thing.along) if thing.wears}
    freed = [found for kind, found in parted.items() if kind not in apart]
    if end is not None and end.left is not None:
        freed.append((end.date, _aged(end.left, tuple(worn), lives)))
    return renewals, freed


def _where_it_is(use: Use, scenario: str, year: int, wear: Wear, life: int) -> Bundle:
    """What replacing the part takes where its thing is in that year."""
    bundle = wear.replaced(life)
    places = [by for of, date, by in use.places if of == scenario and date[0] <= year]
    return bundle.slowed(places[-1]) if places else bundle


def _aged(left: Return, due: tuple[int, ...], lives: tuple[int, ...]) -> Return:
    """What is set free with its wear, also where it comes apart into a part of its own."""
    if not due:
        return left
    freed = left.freed
    if left.item.spec.kind == BREAKER_OF_OUTLET:
        freed = tuple(replace(item, due=due, lives=lives) for item in freed)
    return replace(left, item=replace(left.item, due=due, lives=lives), freed=freed)


def inner_uses(use: Use) -> list[Use]:
    """What a bought thing asks for in turn, in use as long as it is."""
    return [_within(use, thing) for thing in use.thing.inner]


def uses_along(use: Use) -> list[Use]:
    """What comes along with a thing that is taken from stock."""
    return [_within(use, thing) for thing in use.thing.along]


def _within(use: Use, thing: StockNeed) -> Use:
    def ending(end: End | None) -> End | None:
        if end is None:
            return None
        inner = end.left.inner if end.left is not None and thing.wears else ()
        return replace(end, left=inner[0] if inner else None)

    parted = tuple(entry for entry in use.parted if thing.wears and entry[2].item.spec.kind == "breaker")
    ends = tuple((name, ending(end)) for name, end in use.ends)
    return replace(use, thing=thing, ends=ends, parted=parted, places=())


def cord_uses(uses: tuple[Use, ...]) -> tuple[Use, Use, Use] | None:
    """The cable, plug and connector that begin today, when a whole cord is asked for."""
    by_kind = {use.thing.item.spec.kind: use for use in uses if use.since[0] == 0 and not use.present}
    if not {"cord", "plug", "connector"} <= set(by_kind):
        return None
    return by_kind["cord"], by_kind["plug"], by_kind["connector"]
