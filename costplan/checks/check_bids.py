"""Rules over bids received: names that must be known, days, and prices that cannot be what was meant."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from costplan.checks.check_usual import odd_figures
from costplan.files.problems import Problem, in_order
from costplan.files.yaml_reader import Places, Trail
from costplan.model.bids import Bid, LoadedBids
from costplan.model.catalog import Catalog
from costplan.model.labor import Crew, Role, Task
from costplan.model.pair import unknown
from costplan.model.partly import found_by
from costplan.model.shop import Shop


@dataclass(frozen=True, slots=True)
class Received:
    """What the rules look at: the bids with their places, beside the shop and the catalog without them."""

    bids: tuple[Bid, ...]
    places: Places
    shop: Shop
    catalog: Catalog

    def problem(self, code: str, trail: Trail, message: str, mend: str, *, question: bool = False) -> Problem:
        """A problem in the file of bids."""
        return self.places.problem(code, ("bids", *trail), message, mend, question=question)

    def crews(self) -> dict[str, Crew]:
        """Listed crews by name; the shop's replace the catalog's."""
        return {crew.name: crew for crew in (*self.catalog.crews, *self.shop.crews)}

    def tasks(self) -> dict[str, Task]:
        """Tasks by id."""
        return {task.id: task for task in self.catalog.tasks}


Rule = Callable[[Received], Iterator[Problem]]
"""A rule looks at the bids and says what breaks it."""


def check_bids(loaded: LoadedBids, shop: Shop, catalog: Catalog, *, whole: bool = True) -> list[Problem]:
    """What does not fit within the bids and between them, the shop and the catalog; both without the bids.

    whole: all of the shop and the catalog could be read; else only errors are found, as far as they could.
    Empty when the file could not be read; the problems of reading it are not repeated here.
    """
    if loaded.bids is None:
        return []
    received = Received(loaded.bids, loaded.places, shop, catalog)
    return in_order(found_by(RULES, received, questions=whole))


def bidders_stand_once(received: Received) -> Iterator[Problem]:
    """One bid of a kind by a bidder, and no bidder called as a listed crew or a bid of the shop file."""
    first: dict[tuple[str, str], int] = {}
    listed, in_shop = received.crews(), {bid.name for bid in received.shop.bids}
    for index, bid in enumerate(received.bids):
        same = first.setdefault((bid.bidder, bid.kind), index)
        if same != index:
            message = f'is "{bid.bidder}", who has a {bid.kind} bid already, bid #{same + 1}'
            mend = "delete the older one, or tell them apart: add what the bid is for to the name"
            yield received.problem("bid-repeated", (index, "bidder"), message, mend)
        if bid.hourly and bid.bidder in listed:
            message = f'is "{bid.bidder}", which is a crew of the estimate'
            yield received.problem("bid-named-as-crew", (index, "bidder"), message, "give it another name")
        if not bid.hourly and bid.bidder in in_shop:
            message = f'is "{bid.bidder}", which is a bid of the shop file'
            mend = "delete one of the two, or give it another name"
            yield received.problem("bid-in-shop-file", (index, "bidder"), message, mend)


def bids_are_known(received: Received) -> Iterator[Problem]:
    """Bids name known tasks, machines and kinds of parts."""
    listed: tuple[tuple[str, str, Callable[[], list[str]]], ...] = (
        ("covers", "task", lambda: list(received.tasks())),
        ("includes_parts", "kind", lambda: [kind.kind for kind in received.catalog.kinds]),
        ("covers_machines", "machine or gear", lambda: _covered_by_name(received.shop)),
    )
    for word, what, names in listed:
        for index, bid in enumerate(received.bids):
            for position, name in enumerate(getattr(bid, word) or ()):
                if name not in names():
                    code = f"bid-{word.replace('_', '-')}"
                    yield received.problem(code, (index, word, position), *unknown(what, name, names()))


def _covered_by_name(shop: Shop) -> list[str]:
    """Whatever a bid may be for by its name: machines, there or thought of, and gear."""
    return [machine.name for machine in (*shop.machines, *shop.next_machines)] + [
        gear.name for gear in shop.gear
    ]


def crews_of_the_rest_are_known(received: Received) -> Iterator[Problem]:
    """The rest is done by a crew of electricians that is listed or bids by the hour."""
    hired = [crew.name for crew in received.crews().values() if crew.role is Role.ELECTRICIAN]
    hired += [bid.bidder for bid in received.bids if bid.hourly]
    for index, bid in enumerate(received.bids):
        if bid.rest_by is not None and bid.rest_by not in hired:
            message, mend = unknown("crew of electricians", bid.rest_by, hired)
            yield received.problem("bid-rest-by", (index, "rest_by"), message, mend)


def days_hold(received: Received) -> Iterator[Problem]:
    """Questions about bids that have run out, that do not say how long they hold, or whose days are odd."""
    today = received.shop.today
    for index, bid in enumerate(received.bids):
        if bid.day is not None and bid.day > today:
            message = f"is {bid.day}, after the day of the plan ({today})"
            mend = "check the date, or today: in the shop file; it counts as it is"
            yield received.problem("bid-in-future", (index, "date"), message, mend, question=True)
        if bid.valid_until is None:
            mend = "ask, and add valid_until:; until then it is taken to hold"
            yield received.problem(
                "bid-holds-how-long", (index,), "does not say how long the price holds", mend, question=True
            )
        elif bid.day is not None and bid.valid_until < bid.day:
            message = f"is {bid.valid_until}, before the bid's own day ({bid.day})"
            yield received.problem("bid-days-crossed", (index, "valid_until"), message, "check both days")
        elif bid.expired(today):
            message = f"is {bid.valid_until}, before the day of the plan ({today})"
            mend = "ask whether it still holds; it is left out of the choice unless you say --expired"
            yield received.problem("bid-expired", (index, "valid_until"), message, mend, question=True)


def prices_are_likely(received: Received) -> Iterator[Problem]:
    """Questions about rates few crews have, permits left open, and prices for what the owner does anyway."""
    tasks, chosen = received.tasks(), received.shop.owner_does
    for index, bid in enumerate(received.bids):
        for (_, *where), code, message, mend in odd_figures(bid, ("bids",), received.shop.currency):
            yield received.problem(code, (index, *where), message, mend, question=True)
        if bid.hourly and bid.permit_cents is None:
            mend = "ask, and add permit: (0 when it is in the rate); until then it is added at the estimate"
            yield received.problem(
                "bid-permit-open", (index,), "does not say what the permit costs", mend, question=True
            )
        if bid.price_cents == 0:
            message, mend = "is nothing", "is the work a gift? It counts as it is"
            yield received.problem("bid-price-odd", (index, "price"), message, mend, question=True)
        for position, name in enumerate(bid.covers or ()):
            if name in tasks and _owner_does(tasks[name], chosen):
                message = f'is "{name}", which you do yourself by the shop file and labor.yaml'
                mend = "ask for the price without it, or leave it out of owner_does:; it counts as your work"
                yield received.problem(
                    "bid-covers-own-work", (index, "covers", position), message, mend, question=True
                )


def parts_can_be_leveled(received: Received) -> Iterator[Problem]:
    """Questions about prices with parts in them for some machines only."""
    for index, bid in enumerate(received.bids):
        if bid.includes_parts and bid.covers_machines is not None:
            message = "stands beside covers_machines, and what those machines' parts cost is not told apart"
            mend = "ask for the price without parts; until then nothing is taken off for them"
            yield received.problem(
                "bid-parts-of-some", (index, "includes_parts"), message, mend, question=True
            )


def _owner_does(task: Task, chosen: list[str] | None) -> bool:
    may = Role.OWNER in task.who
    return may and (chosen is None or task.id in chosen or Role.ELECTRICIAN not in task.who)


RULES: tuple[Rule, ...] = (
    bidders_stand_once,
    bids_are_known,
    crews_of_the_rest_are_known,
    days_hold,
    prices_are_likely,
    parts_can_be_leveled,
)
