"""Rules over what work costs at this shop: factors of places, visits, the owner's crew, a purchase."""

from collections.abc import Iterator
from decimal import Decimal

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.catalog import Crew, Role
from costplan.model.choices import VisitRule
from costplan.model.pair import Pair, Rule, percent, unknown

HIGHEST_PREMIUM = Decimal("0.5")


def hour_factors_are_known(pair: Pair) -> Iterator[Problem]:
    """Places and routes name factors that the shop defines, and every factor is named somewhere."""
    shop = pair.shop
    used: set[str] = set()
    listed = [
        (("places", index, "hour_factors"), spot.hour_factors) for index, spot in enumerate(shop.places)
    ]
    listed += [
        (("routes", index, "hour_factors"), route.hour_factors) for index, route in enumerate(shop.routes)
    ]
    for trail, words in listed:
        for position, word in enumerate(words):
            used.add(word)
            where: Trail = (*trail, position)
            if word not in shop.hour_factors:
                message, mend = unknown("word under hour_factors", word, shop.hour_factors)
                if not shop.hour_factors:
                    mend = f"add hour_factors: {{{word}: 1.5}} at the top of the file"
                yield pair.in_shop("hour-factor", where, message, mend)
            elif word in words[:position]:
                message = f'names "{word}" twice, so it would count twice'
                yield pair.in_shop("hour-factor-twice", where, message, "delete one")
    for word in shop.hour_factors:
        if word not in used:
            message = "is named by no place and no route"
            mend = "it has no effect; add it to the hour_factors: of those it is about, or delete it"
            yield pair.in_shop(
                "hour-factor-unused", ("hour_factors", word), message, mend, question=True, key=True
            )


def owners_pay_no_visits(pair: Pair) -> Iterator[Problem]:
    """Questions about figures of the owner's crew that count for hired crews only."""
    for index, crew in enumerate(pair.catalog.crews):
        for word, message in _without_effect(crew):
            where: Trail = ("crews", index, word)
            yield pair.in_file("labor.yaml", "owner-no-effect", where, message, _DELETE, question=True)
    for index, crew in enumerate(pair.shop.crews):
        for word, message in _without_effect(crew):
            where = ("crews", index, word)
            yield pair.in_shop("owner-no-effect", where, message, _DELETE, question=True)


_DELETE = "it has no effect; delete it"


def _without_effect(crew: Crew) -> Iterator[tuple[str, str]]:
    if crew.role is Role.OWNER:
        for word, value in (("minimum", crew.minimum_cents), ("set_up", crew.set_up_hours)):
            if value:
                yield word, f"is said of {crew.name}, but counts for hired crews only"


def visits_can_happen(pair: Pair) -> Iterator[Problem]:
    """A visit for each move is asked for only where something moves."""
    shop = pair.shop
    moves = any(
        scenario.rearranged is not None or any(e.move or e.new_spot or e.shop_moves for e in scenario.events)
        for scenario in shop.scenarios
    )
    if shop.hired_visits is VisitRule.EACH_MOVE and not moves:
        message = f"is {shop.hired_visits}, but nothing ever moves"
        mend = "it has no effect; delete it, or write the events"
        yield pair.in_shop("visits-without-moves", ("hired_visits",), message, mend, question=True)


def purchases_make_sense(pair: Pair) -> Iterator[Problem]:
    """Questions about a buyer's premium that few auctions ask."""
    for index, machine in enumerate(pair.shop.next_machines):
        if machine.premium > HIGHEST_PREMIUM:
            message = f"is {percent(machine.premium)} of the price"
            mend = "is it meant? 18 % and 0.18 are the same"
            where: Trail = ("next_machines", index, "premium")
            yield pair.in_shop("premium-high", where, message, mend, question=True)


RULES: tuple[Rule, ...] = (
    hour_factors_are_known,
    owners_pay_no_visits,
    visits_can_happen,
    purchases_make_sense,
)
