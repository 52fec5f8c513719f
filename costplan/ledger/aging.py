"""How things age in use: when their parts are worn out, what is replaced, what is set free with which wear."""

from dataclasses import dataclass, replace
from itertools import product

from costplan.circuits.facts import Facts
from costplan.circuits.lives import shortest_life, worn_after
from costplan.circuits.needs import PUT_IN_AGAIN, Bundle, Item, Return, StockNeed, Wear, lasting
from costplan.circuits.outlets import ends_to_change
from costplan.circuits.things import Made, PartKind
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
        due = item.due if since else _from_today_on(use, item)
        return all(year > use.since[0] for year in due)
    return len(item.due) == len(use.thing.wears) and all(
        year > use.since[0] for year in taken(facts, use, item, since)[0]
    )


def _from_today_on(use: Use, item: Item) -> tuple[int, ...]:
    """When something as new today is worn out at a machine at which all that is on offer outlasts the plan."""
    shares = [need.share for need in use.thing.bought.needs if need.spec.kind == item.spec.kind]
    return tuple(worn_after(life, share) for life, share in product(item.lives, shares))


@dataclass(frozen=True, slots=True)
class Taken:
    """What taking a thing from stock brings: its wear, what comes along or is put in, and what that sets free."""

    wear: Wearing
    uses: tuple[Use, ...]
    freed: tuple[Return, ...] = ()


def changes(facts: Facts, use: Use, left: Return, since: int) -> Taken:
    """What taking a thing set free in year `since` brings; the ends of a run that differ are changed, a cord is cut."""
    good = still_good(facts, use, left.item, since)
    ends = ends_to_change(left.item, use.thing, worn=not good)
    if not ends or (good and left.item.serves(use.thing.item)):
        return Taken(taken(facts, use, left.item, since), tuple(uses_along(use)), _offcut(use, left))
    kinds = {end.item.spec.kind for end in ends}
    freed = (Return(left.breaker),) if PartKind.BREAKER in kinds and left.breaker is not None else ()
    put_in = tuple(_within(use, _shortest(facts, use, end)) for end in ends)
    wear = taken(facts, use, left.item, since) if kinds == {PartKind.BREAKER} else begun(facts, use)
    return Taken(wear, put_in, freed)


def _offcut(use: Use, left: Return) -> tuple[Return, ...]:
    """What is left of a cord that is cut to the length asked for, to serve again like any other."""
    rest = left.item.length_ft - use.thing.item.length_ft
    if not use.thing.item.length_ft or rest <= 0:
        return ()
    return (Return(replace(left.item, length_ft=rest), cut_off=True),)


def _shortest(facts: Facts, use: Use, end: StockNeed) -> StockNeed:
    """A new receptacle lasts as long as the outlet it is put into is taken to: as the shortest-lived there is."""
    lives = {
        wear.need.spec: life_choices(facts, wear)[0] for wear in use.thing.wears if wear.need is not None
    }
    if end.wears or end.item.spec not in lives:
        return end
    needs = tuple(
        lasting(need, lives[need.spec]) if need.spec in lives else need for need in end.bought.needs
    )
    return replace(end, bought=replace(end.bought, needs=needs))


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
    freed = [found for kind, found in parted.items() if kind not in apart and kind in PUT_IN_AGAIN]
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
    if left.item.spec.kind == Made.BREAKER_OF_OUTLET:
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

    parted = tuple(
        entry for entry in use.parted if thing.wears and entry[2].item.spec.kind == PartKind.BREAKER
    )
    ends = tuple((name, ending(end)) for name, end in use.ends)
    return replace(use, thing=thing, ends=ends, parted=parted, places=(), taken_out=())
