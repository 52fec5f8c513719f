"""Which parts of a thing wear out within the plan, and what replacing one takes."""

from dataclasses import replace
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.lives import OUTLASTS, lives_of, worn_after
from costplan.circuits.needs import AS_USUAL, Bundle, Slowed, StockNeed, Wear
from costplan.circuits.size_types import CannotSizeError
from costplan.model.catalog import RENEW, RENEWED_BY
from costplan.model.shop import Machine


def wearing(
    facts: Facts,
    machine: Machine,
    thing: StockNeed,
    slowed: Slowed = AS_USUAL,
) -> StockNeed:
    """The thing with what is to know of its parts that wear out within the plan.

    slowed: what makes work slower where it is. Raises CannotSizeError when nothing says what replacing one of
    its parts takes.
    """
    kinds = {need.spec.kind for need in thing.bought.needs}
    if kinds.isdisjoint(machine.lasts) and kinds.isdisjoint(facts.wearing_kinds):
        return thing
    wears, needs = [], []
    for need in thing.bought.needs:
        share = machine.lasts.get(need.spec.kind, Decimal(1))
        if share != 1:
            need = replace(need, share=share)
        needs.append(need)
        if lives_of(facts, need.spec, share, facts.shop.years) != (OUTLASTS,):
            wears.append(Wear(need, _renewal(facts, machine, need.spec.kind).slowed(slowed)))
    if not wears and needs == list(thing.bought.needs):
        return thing
    return replace(thing, bought=replace(thing.bought, needs=tuple(needs)), wears=tuple(wears))


def life_choices(facts: Facts, wear: Wear) -> tuple[int, ...]:
    """How many years the parts that could be bought for it last, each once."""
    if wear.need is None:
        return (wear.years,)
    return lives_of(facts, wear.need.spec, wear.need.share, facts.shop.years)


def first_worn(wear: Wear, life: int, bought: int) -> int:
    """The year in which a part bought in another year and lasting so long is worn out."""
    share = wear.need.share if wear.need is not None else Decimal(1)
    return OUTLASTS if life == OUTLASTS else bought + worn_after(life, share)


def _renewal(facts: Facts, machine: Machine, kind: str) -> Bundle:
    own = f"{RENEW}{kind}"
    if facts.has_recipe(own, machine):
        return facts.expanded(own, machine)
    if kind in RENEWED_BY:
        done = facts.expanded(RENEWED_BY[kind], machine)
        return Bundle(work=done.work, charges=done.charges)
    raise CannotSizeError(f'nothing says what replacing a worn {kind} takes: add a recipe "{own}"')
