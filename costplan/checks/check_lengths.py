"""Questions about measured lengths that do not go with the places' coordinates, or with each other."""

from collections.abc import Iterator
from decimal import Decimal

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.pair import Pair, Rule, plain

AS_STRAIGHT = Decimal("0.9")
"""A way is no shorter than this share of the straight line; tapes and coordinates differ by less. A choice, no source."""
DETOUR, UP_AND_DOWN = 2, Decimal("1.25")
"""A way is asked about that is so many times the straight line, and longer than along two walls and so many times the
ceiling's height up and down: up from a panel, down to an outlet. A choice, no source."""
APART, APART_FT = 4, 40
"""So are two lengths of one route that are so far from each other. A choice, no source."""


def routes_go_with_coordinates(pair: Pair) -> Iterator[Problem]:
    """Questions about a route shorter than the straight line between its ends, or many times as long."""
    spots = {spot.name: spot.at_ft for spot in pair.shop.places if spot.at_ft is not None}
    spots |= {
        panel.name: spots[panel.place]
        for panel in pair.shop.panels
        if panel.place is not None and panel.place in spots
    }
    up_and_down_ft = pair.shop.building.ceiling_height_ft * UP_AND_DOWN
    for index, route in enumerate(pair.shop.routes):
        start, end = spots.get(route.start), spots.get(route.end)
        if start is None or end is None:
            continue
        straight_ft = ((start[0] - end[0]) ** 2 + (start[1] - end[1]) ** 2).sqrt()
        around_ft = abs(start[0] - end[0]) + abs(start[1] - end[1])
        for word, length_ft in (("fixed", route.fixed_ft), ("cord", route.cord_ft)):
            if length_ft is None or _goes_with(length_ft, straight_ft, around_ft + up_and_down_ft):
                continue
            message = (
                f"is {plain(length_ft)} ft, but by their coordinates the two ends are "
                f"{plain(straight_ft.quantize(Decimal('0.1')))} ft apart"
            )
            mend = "are both in feet? 10.7 m, 336 in and at: [3.6 m, 1.2 m] are read too; the route counts"
            yield pair.in_shop("route-straight", ("routes", index, word), message, mend, question=True)


def _goes_with(length_ft: Decimal, straight_ft: Decimal, around_ft: Decimal) -> bool:
    """Whether a length is one of a way along walls, at most so long, or not twice the straight line."""
    long = length_ft > straight_ft * DETOUR and length_ft > around_ft
    return not long and (length_ft == 0 or length_ft >= straight_ft * AS_STRAIGHT)


def lengths_go_with_each_other(pair: Pair) -> Iterator[Problem]:
    """Questions about a drop and a cord between the same ends of which one is many times the other."""
    routes: list[tuple[Trail, Decimal | None, Decimal | None]] = [
        (("routes", index), route.fixed_ft, route.cord_ft) for index, route in enumerate(pair.shop.routes)
    ]
    routes += [
        ((*trail, "route"), machine.route.fixed_ft, machine.route.cord_ft)
        for trail, machine in pair.machines()
        if machine.route is not None
    ]
    for trail, fixed_ft, cord_ft in routes:
        if not fixed_ft or not cord_ft:
            continue
        short_ft, long_ft = sorted((fixed_ft, cord_ft))
        if long_ft > short_ft * APART and long_ft > short_ft + APART_FT:
            message = f"is {plain(cord_ft)} ft, and a drop {plain(fixed_ft)} ft"
            mend = "are both in feet, between the same ends?"
            yield pair.in_shop("route-lengths-apart", (*trail, "cord"), message, mend, question=True)


QUESTIONS = frozenset({"route-straight", "route-lengths-apart"})
"""Codes of its questions."""

RULES: tuple[Rule, ...] = (routes_go_with_coordinates, lengths_go_with_each_other)
