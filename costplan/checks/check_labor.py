"""Rules over what work costs at this shop: factors of places, visits, the owner's crew, a purchase."""

from collections.abc import Iterator
from decimal import Decimal
from math import prod

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.choices import VisitRule
from costplan.model.hour_factors import LADDER_FT, of_ceiling, speaks_of_ceiling
from costplan.model.labor import PAIR, PAIR_PACES, Crew, Role
from costplan.model.pair import NO_EFFECT, Pair, Rule, dollars, plain, unknown


def hour_factors_are_known(pair: Pair) -> Iterator[Problem]:
    """Places and routes name factors that are defined, and every factor of the shop file is named somewhere."""
    shop = pair.shop
    known = {**pair.catalog.hour_factors, **shop.hour_factors}
    by_itself = of_ceiling(pair.catalog.hour_factors, shop.hour_factors, shop.building.ceiling_height_ft)
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
            if word not in known:
                message, mend = unknown("word under hour_factors", word, known)
                if not known:
                    mend = f"add hour_factors: {{{word}: 1.5}} at the top of the file"
                yield pair.in_shop("hour-factor", where, message, mend)
            elif word in words[:position]:
                message = f'names "{word}" twice, so it would count twice'
                yield pair.in_shop("hour-factor-twice", where, message, "delete one")
        yield from _on_all_work(pair, trail, words, by_itself)
    for word, by in shop.hour_factors.items():
        if word not in used and word not in by_itself:
            message = "is named by no place and no route"
            if by.ceiling_above_ft is not None:
                message += f", and under a ceiling of {plain(shop.building.ceiling_height_ft)} ft it does not count by itself"
            mend = "it has no effect; add it to the hour_factors: of those it is about, or delete it"
            yield pair.in_shop(
                "hour-factor-unused", ("hour_factors", word), message, mend, question=True, key=True
            )


def _on_all_work(pair: Pair, trail: Trail, words: list[str], by_itself: tuple[str, ...]) -> Iterator[Problem]:
    """Questions about factors that are said to touch all that is done there, and multiply with others."""
    known = {**pair.catalog.hour_factors, **pair.shop.hour_factors}
    whole = list(dict.fromkeys(word for word in words if word in known and not known[word].tasks))
    if len(whole) > 1:
        factor = prod((known[word].factor for word in whole), start=Decimal(1))
        message = f"multiplies {' and '.join(whole)} to {plain(factor)} over all that is done there"
        mend = "add tasks: to each factor, the work that it touches; else they count as they are"
        yield pair.in_shop("hour-factors-multiplied", trail, message, mend, question=True)
    elif whole and by_itself and not speaks_of_ceiling([words, *_at_the_end_of(pair, trail)], known):
        message = (
            f"counts for all that is done there, and the ceiling's {' and '.join(by_itself)} on top of it"
        )
        both = ", ".join(dict.fromkeys([*words, *by_itself]))
        mend = f"write [{both}] if both are meant; else add ceiling_above: to {whole[0]}"
        yield pair.in_shop("hour-factor-and-ceiling", trail, message, mend, question=True)


def _at_the_end_of(pair: Pair, trail: Trail) -> Iterator[list[str] | None]:
    """What is said of the place that a route leads to; nothing of a place itself."""
    if trail[0] == "routes" and isinstance(trail[1], int):
        end = pair.shop.routes[trail[1]].end
        yield from (spot.said_hour_factors for spot in pair.shop.places if spot.name == end)


def hours_hold_under_the_ceiling(pair: Pair) -> Iterator[Problem]:
    """A question where the ceiling is above all that the hours and their factors are known to hold for."""
    shop, book = pair.shop, pair.catalog.hour_factors
    known = {**book, **shop.hour_factors}
    ceiling_ft = shop.building.ceiling_height_ft
    words = of_ceiling(book, shop.hour_factors, ceiling_ft)
    higher = "{factor: %s, ceiling_above: %s ft, tasks: [what is done up there]}"
    if words:
        # All of them begin at one height; one that holds to any height ends the question.
        ends = [known[word].ceiling_to_ft for word in words]
        top_ft = None if None in ends else max(end for end in ends if end is not None)
        if top_ft is None or ceiling_ft <= top_ft or not _left_to_the_ceiling(pair):
            return
        most = plain(max(known[word].factor for word in words))
        counted = " and ".join(f'"{word}", x {plain(known[word].factor)}' for word in words)
        message = f"is {plain(ceiling_ft)} ft; hours hold to {plain(top_ft)} ft ({counted}, counts on, too little perhaps)"
        mend = f"ask what work takes there; write hour_factors: {{higher: {higher % (most, plain(top_ft))}}}"
    elif any(by.ceiling_above_ft is not None for by in known.values()) or ceiling_ft <= LADDER_FT:
        return  # the lowest factor begins above this ceiling, or a ladder reaches it
    elif any(words is not None for words in _said(pair)):
        return
    else:
        message = f"is {plain(ceiling_ft)} ft; hours hold to {LADDER_FT} ft, from a ladder, and no hour_factors are said"
        mend = (
            f"write hour_factors: {{high: {higher % ('1.2', LADDER_FT)}}}, with what it takes there, in labor.yaml or here, or "
            "hour_factors: [] to a place where nothing is done up there"
        )
    yield pair.in_shop("ceiling-hours", ("building", "ceiling_height"), message, mend, question=True)


def _said(pair: Pair) -> Iterator[list[str] | None]:
    """What each place and each route says of hour factors."""
    yield from (spot.said_hour_factors for spot in pair.shop.places)
    yield from (route.said_hour_factors for route in pair.shop.routes)


def _left_to_the_ceiling(pair: Pair) -> bool:
    """Whether work is done somewhere of which no place says how its height slows it."""
    shop, known = pair.shop, {**pair.catalog.hour_factors, **pair.shop.hour_factors}
    spoken = {s.name for s in shop.places if speaks_of_ceiling([s.said_hour_factors], known)}
    return any(machine.at not in spoken for _, machine in pair.machines())


def hour_factors_touch_known_tasks(pair: Pair) -> Iterator[Problem]:
    """The tasks that a factor touches are those of the labor file."""
    tasks = {task.id for task in pair.catalog.tasks}
    for name, by in pair.catalog.hour_factors.items():
        for index, task in enumerate(by.tasks):
            if task not in tasks:
                where: Trail = ("hour_factors", name, "tasks", index)
                yield pair.in_file("labor.yaml", "hour-factor-task", where, *unknown("task", task, tasks))
    for name, by in pair.shop.hour_factors.items():
        for index, task in enumerate(by.tasks):
            if task not in tasks:
                where = ("hour_factors", name, "tasks", index)
                yield pair.in_shop("hour-factor-task", where, *unknown("task", task, tasks))


def owners_pay_no_visits(pair: Pair) -> Iterator[Problem]:
    """Questions about figures of the owner's crew that count for hired crews only."""
    for index, crew in enumerate(pair.catalog.crews):
        for word, message in _without_effect(crew):
            where: Trail = ("crews", index, word)
            yield pair.in_file("labor.yaml", "owner-no-effect", where, message, NO_EFFECT, question=True)
    for index, crew in enumerate(pair.shop.crews):
        for word, message in _without_effect(crew):
            where = ("crews", index, word)
            yield pair.in_shop("owner-no-effect", where, message, NO_EFFECT, question=True)


def paces_are_of_so_many(pair: Pair) -> Iterator[Problem]:
    """Questions about a pace that so many people do not have: of one that of a pair, of two that of one or of three."""
    for index, crew in enumerate(pair.catalog.crews):
        for message, mend in _odd_pace(crew.people, crew.pace):
            where: Trail = ("crews", index, "pace")
            yield pair.in_file("labor.yaml", "crew-pace", where, message, mend, question=True)
    for index, crew in enumerate(pair.shop.crews):
        for message, mend in _odd_pace(crew.people, crew.pace):
            yield pair.in_shop("crew-pace", ("crews", index, "pace"), message, mend, question=True)


def _odd_pace(people: int, pace: Decimal) -> Iterator[tuple[str, str]]:
    low, high = PAIR_PACES
    if people == 1 and pace >= low:
        yield (
            f"is {pace:f}, which is the pace of two",
            "is it a pair? Then add people: 2; it counts as it is",
        )
    elif people == PAIR and not 1 < pace <= high:
        yield (
            f"is {pace:f} for two people, who do {low:f} to {high:f} of what one does",
            "is it meant? Left out, it is 1.9; at 1 the second does nothing",
        )


def reckoned_rates_are_asked(pair: Pair) -> Iterator[Problem]:
    """A question for each rate that was reckoned from another crew's; an error where that crew is not there."""
    names = {crew.name for crew in (*pair.catalog.crews, *pair.shop.crews)}
    listed = [("labor.yaml", index, crew) for index, crew in enumerate(pair.catalog.crews)]
    listed += [("", index, crew) for index, crew in enumerate(pair.shop.crews)]
    for file, index, crew in listed:
        if crew.rate_from is None:
            continue
        code, field, question = "rate-reckoned", "rate", True
        message = f"is reckoned from the rate of {crew.rate_from}; nobody was asked what {crew.name} takes"
        mend = "ask; then write its own rate and delete rate_from; it counts as it is"
        if crew.rate_from not in names - {crew.name}:
            code, field, question = "rate-from", "rate_from", False
            message, mend = unknown("other crew", crew.rate_from, names - {crew.name})
        trail: Trail = ("crews", index, field)
        if file:
            yield pair.in_file(file, code, trail, message, mend, question=question)
        else:
            yield pair.in_shop(code, trail, message, mend, question=question)


def later_permits_cost_less(pair: Pair) -> Iterator[Problem]:
    """A question where every permit after the first costs more than the first."""

    def odd(crew: Crew) -> str:
        later = crew.later_permit_cents
        if later is None or later <= crew.permit_cents:
            return ""
        return f"is {dollars(later)}, more than the first permit, {dollars(crew.permit_cents)}"

    for index, crew in enumerate(pair.catalog.crews):
        if message := odd(crew):
            where: Trail = ("crews", index, "later_permit")
            yield pair.in_file(
                "labor.yaml", "later-permit-more", where, message, "is it meant?", question=True
            )
    for index, crew in enumerate(pair.shop.crews):
        if message := odd(crew):
            where = ("crews", index, "later_permit")
            yield pair.in_shop("later-permit-more", where, message, "is it meant?", question=True)


def crews_of_both_files(pair: Pair) -> Iterator[Problem]:
    """A question where the shop file has crews of its own and the catalog's may be hired as well."""
    own = {crew.name for crew in pair.shop.crews}
    for role, also in (
        (Role.ELECTRICIAN, "may be hired too"),
        (Role.OWNER, "is left out, since yours is the owner"),
    ):
        mine = [crew for crew in pair.shop.crews if crew.role is role]
        others = [crew.name for crew in pair.catalog.crews if crew.role is role and crew.name not in own]
        if mine and others:
            message = f"adds {mine[0].name}, and {', '.join(others)} of labor.yaml {also}"
            mend = "is it meant? A crew of the same name takes the place of the catalog's, with its pace, call-out and permit"
            where: Trail = ("crews", pair.shop.crews.index(mine[0]))
            yield pair.in_shop("crews-of-both", where, message, mend, question=True)


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


RULES: tuple[Rule, ...] = (
    hour_factors_are_known,
    hours_hold_under_the_ceiling,
    hour_factors_touch_known_tasks,
    owners_pay_no_visits,
    visits_can_happen,
    crews_of_both_files,
    paces_are_of_so_many,
    reckoned_rates_are_asked,
    later_permits_cost_less,
)
