"""Cords that are passed on whole, ends and all: where one is asked for, which are given up or on the shelf, and their wear."""

from collections import Counter
from collections.abc import Iterable

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Item
from costplan.circuits.shelf import WholeCord, whole_cords
from costplan.circuits.things import WHOLE_CORD, Made, PartKind
from costplan.ledger.aging import Wearing, begun, follow, new_today, taken
from costplan.ledger.plan import CordAsked, WholeCordUsed
from costplan.years.stream import Date, Stream, Use


def cords_asked(uses: Iterable[Use]) -> list[CordAsked]:
    """The cords that begin, today or later, where a whole one is asked for."""
    begun_at: dict[tuple[str, Date], dict[str, Use]] = {}
    for use in uses:
        if not use.present:
            begun_at.setdefault((use.scenario, use.since), {})[use.thing.item.spec.kind] = use
    return [
        CordAsked(kinds[PartKind.CORD], kinds[PartKind.PLUG], kinds[PartKind.CONNECTOR], kinds.get(Made.KIT))
        for kinds in begun_at.values()
        if kinds.keys() >= set(WHOLE_CORD)
    ]


def cords_given(facts: Facts, stream: Stream) -> dict[tuple[str, Date], WholeCord]:
    """The cords that are given up, ends and all, as they are in stock then, by scenario (empty: today's) and date.

    A cord that the plan buys and whose parts wear is left out: how old it is then is not known before, so it serves in pieces.
    """
    pieces: dict[tuple[str, Date], dict[str, Item]] = {}
    for use in stream.uses:
        kind = use.thing.item.spec.kind
        for scenario, end in use.ends if kind in (*WHOLE_CORD, Made.KIT) else ():
            if (
                end is None
                or end.left is None
                or (kind in WHOLE_CORD and use.thing.wears and not use.present)
            ):
                continue
            left = follow(use, scenario, *begun(facts, use), facts.shop.years)[1][-1][1]
            pieces.setdefault(_given_at(scenario, end.date), {})[kind] = left.item
    for given in stream.given:
        if given.left.item.spec.kind == Made.KIT:
            pieces.setdefault((given.scenario, given.date), {})[Made.KIT] = given.left.item
    return {
        at: WholeCord(
            kinds[PartKind.CORD], kinds[PartKind.PLUG], kinds[PartKind.CONNECTOR], kinds.get(Made.KIT)
        )
        for at, kinds in pieces.items()
        if kinds.keys() >= set(WHOLE_CORD)
    }


def _given_at(scenario: str, date: Date) -> tuple[str, Date]:
    return (scenario if date[0] else "", date)


def wear_on(facts: Facts, use: Use, whole: WholeCordUsed) -> Wearing:
    """The wear of a piece of a whole cord in the use it is put to; what it hangs from is as new."""
    for of, item in zip(whole.asked.pieces, whole.cord.pieces, strict=True):
        if of == use:
            return taken(facts, use, item, whole.since[0])
    return begun(facts, use)


def cords_on_the_shelf(facts: Facts) -> Counter[WholeCord]:
    """Every cord on the shelf that has both its ends, as new today, with how many there are."""
    found: Counter[WholeCord] = Counter()
    for cord, count in whole_cords(facts).items():
        cable, plug, connector = (new_today(facts, piece) for piece in cord.pieces)
        found[WholeCord(cable, plug, connector)] += count
    return found
