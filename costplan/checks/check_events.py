"""Rules over what happens in the scenarios: machines are there, years are planned, changes are changes."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal

from costplan.files.problems import Problem
from costplan.files.yaml_reader import Trail
from costplan.model.events import Event, Rearranged, Scenario
from costplan.model.nameplate import Electrical
from costplan.model.pair import Pair, Rule, plain, unknown, year_mend
from costplan.model.quoted import only_quoted
from costplan.model.ranges import ends_of
from costplan.model.shop import Machine, Shop
from costplan.model.spelled_out import NewSpot, moves_of, moves_on_average, spelled_out

MOST_MOVES_A_YEAR = 24
"""From more than two a month on it is asked whether days or all machines together were counted. A choice, no source."""

_PLATE = tuple(Electrical.model_fields)


def years_are_planned(pair: Pair) -> Iterator[Problem]:
    """Events fall within the years of the plan; machines come before they go."""
    shop = pair.shop
    for trail, event in pair.events():
        yield from _planned(pair, trail, event)
    for trail, machine in pair.machines():
        if machine.leaves is not None and machine.leaves <= machine.arrives:
            message = f"is {machine.leaves}, but it arrives in year {machine.arrives}"
            yield pair.in_shop(
                "machine-leaves", (*trail, "leaves"), message, "a machine must arrive before it leaves"
            )
        for word, year in (("arrives", machine.arrives), ("leaves", machine.leaves)):
            if year is not None and year >= max(shop.years, 1):
                when = f"after the {shop.years} years" if year > shop.years else "the end"
                message = f"is {year}, {when} of the plan, so it never happens"
                mend = year_mend(shop, year, "change the year, or delete it")
                yield pair.in_shop("machine-after-plan", (*trail, word), message, mend, question=True)


def _planned(pair: Pair, trail: Trail, event: Event) -> Iterator[Problem]:
    """The years of one event."""
    last = pair.shop.years
    written: list[tuple[Trail, int]] = [((*trail, "year"), event.year)] if event.year else []
    written += [((*trail, "years", position), year) for position, year in enumerate(event.years or ())]
    for where, year in written:
        if year > last:
            message = f"is {year}, after the {last} years of the plan"
            mend = year_mend(pair.shop, year, "change the year, plan for more years, or delete the event")
            yield pair.in_shop("event-after-plan", where, message, mend)
        elif year == last:
            message = f"is {year}, the end of the plan, when nothing is changed any more"
            mend = "it has no effect; change the year, plan for more years, or delete the event"
            yield pair.in_shop("event-at-the-end", where, message, mend, question=True)
    for position, year in enumerate(event.years or ()):
        if year in (event.years or ())[:position]:
            where = (*trail, "years", position)
            yield pair.in_shop("event-year-twice", where, f"is {year}, which is named before", "delete one")
    if event.every is not None and event.every >= last:
        message = f"is {event.every}, so it never happens within {last} years"
        mend = "it has no effect; change it, plan for more years, or delete the event"
        yield pair.in_shop("event-every-never", (*trail, "every"), message, mend, question=True)
    often = "every" if event.every is not None else "years" if len(event.years or ()) > 1 else None
    if often is not None and (event.arrives or event.leaves):
        message = f"lets it {'arrive' if event.arrives else 'leave'} several times"
        yield pair.in_shop("event-once", (*trail, often), message, "write year: with the one year", key=True)


def groups_are_large_enough(pair: Pair) -> Iterator[Problem]:
    """Events of some machines of a group are about a group, and no more than it has."""
    counts = {machine.name: machine.count for machine in pair.shop.machines}
    for trail, event in pair.events():
        if event.how_many is None:
            continue
        where = (*trail, "how_many")
        count = counts.get(event.machine or "", event.how_many)
        if event.shop_moves or event.arrives or event.leaves:
            what = "the whole shop moves" if event.shop_moves else "a group comes and goes as a whole"
            yield pair.in_shop("event-how-many", where, f"is said, but {what}", "delete it")
        elif event.how_many > count or count == 1:
            what = f"a group of {count}" if count > 1 else "one machine"
            message = f'is {event.how_many}, but "{event.machine}" is {what}'
            mend = "write a smaller number, or count: for the machine" if count > 1 else "delete it"
            yield pair.in_shop("event-how-many", where, message, mend)


def strands_have_their_own_names(pair: Pair) -> Iterator[Problem]:
    """Machines of a group that events divide are not named as another machine is."""
    names = [machine.name for machine in pair.shop.machines]
    if len(set(names)) < len(names):
        return
    of_groups = [machine.name for machine in spelled_out(pair.shop).shop.machines]
    for index, name in enumerate(names):
        if of_groups.count(name) > 1:
            message = f'is "{name}", which some of a group are called that its events divide'
            yield pair.in_shop(
                "machine-of-a-group", ("machines", index, "name"), message, "give it another name"
            )


def events_are_known(pair: Pair) -> Iterator[Problem]:
    """Events name known machines and places."""
    machines = {machine.name for machine in pair.shop.machines}
    places = pair.places()
    for number, scenario in enumerate(pair.shop.scenarios):
        trail: Trail = ("scenarios", number)
        for index, event in enumerate(scenario.events):
            where = (*trail, "events", index)
            if event.machine is not None and event.machine not in machines:
                message, mend = unknown("machine", event.machine, machines)
                yield pair.in_shop("event-machine", (*where, "machine"), message, mend)
            for word, place in (("move", event.move), ("arrives", event.arrives)):
                if place is not None and place not in places:
                    yield pair.in_shop(f"event-{word}", (*where, word), *unknown("place", place, places))
        yield from _rearranged(pair, scenario, (*trail, "rearranged"), machines, places)


def _rearranged(
    pair: Pair, scenario: Scenario, trail: Trail, machines: set[str], places: set[str]
) -> Iterator[Problem]:
    short = scenario.rearranged
    if short is None:
        return
    stays = {machine.name for machine in pair.shop.machines if machine.never_moves}
    for index, name in enumerate(short.machines or ()):
        where = (*trail, "machines", index)
        if name not in machines:
            yield pair.in_shop("rearranged-machine", where, *unknown("machine", name, machines))
        elif name in stays:
            message = f'is "{name}", which never moves, so it stays'
            yield pair.in_shop(
                "rearranged-never-moves",
                where,
                message,
                "delete it here, or delete never_moves",
                question=True,
            )
    for index, place in enumerate(short.among):
        if place not in places:
            yield pair.in_shop("rearranged-among", (*trail, "among", index), *unknown("place", place, places))
        else:
            yield from _taken(pair, scenario, (*trail, "among", index), place)
    if len(set(short.among)) < 2:
        message = "names fewer than two places, so nothing ever moves"
        yield pair.in_shop(
            "rearranged-among-few", (*trail, "among"), message, "name the places", question=True
        )
    yield from _often(pair, short, trail)


def _taken(pair: Pair, scenario: Scenario, where: Trail, place: str) -> Iterator[Problem]:
    """A question where others are to move to a place at which nothing stands but what is there all years and never moves.

    A place may be a stretch of floor with room for several, so it may be meant.
    """
    leaves = {event.machine for event in scenario.events if event.leaves}
    stand = [machine for machine in pair.shop.machines if (machine.at or machine.name) == place]
    stay = [
        machine.name
        for machine in stand
        if machine.never_moves
        and not machine.arrives
        and machine.leaves is None
        and machine.name not in leaves
    ]
    if stay and len(stay) == len(stand):
        message = f'is "{place}", where {" and ".join(stay)} always stand{"s" * (len(stay) == 1)}'
        mend = "is there room for another beside? Else delete it here"
        yield pair.in_shop("rearranged-among-taken", where, message, mend, question=True)


def _often(pair: Pair, short: Rearranged, trail: Trail) -> Iterator[Problem]:
    """How often a rearrangement moves something."""
    years = pair.shop.years
    word = "times_per_year" if short.times_in_all is None else "times_in_all"
    times = Decimal(short.often)
    _, _, most = ends_of(short.often) or (times,) * 3
    a_year = most if short.times_in_all is None else most / max(years - 1, 1)
    if a_year > MOST_MOVES_A_YEAR:
        message = f"is {plain(most)}, more than two moves a month"
        if most != times:
            message = f"may be up to {plain(most)}, more than two moves a month"
        mend = "is it meant? It counts moves of one machine each, over a year: 1 is one machine moved once"
        if word == "times_in_all":
            mend = "is it meant? It counts moves of one machine each, over all years of the plan"
        yield pair.in_shop("rearranged-often", (*trail, word), message, mend, question=True)
    elif most and not moves_of(short, years):
        message = f"is {plain(times)}, so no move falls before the end of the {years} years"
        mend = "it has no effect; change it, or plan for more years"
        if most != times:
            message = (
                f"is a range with a mean of {plain(round(times, 3))}, with which no move falls before the end of the "
                f"{years} years, so nothing of it could be drawn"
            )
            mend = "write a higher range, plan for more years, or give each number of moves a scenario with its weight"
        yield pair.in_shop("rearranged-never", (*trail, word), message, mend, question=most == times)
    elif (average := moves_on_average(short, years)) != (counted := len(moves_of(short, years))):
        yield _whole(pair, (*trail, word), short, average, counted)


def _whole(pair: Pair, where: Trail, short: Rearranged, average: Decimal, counted: int) -> Problem:
    """Moves come whole, so that a fraction of one is not in the totals; as a chance of one more it is."""
    comes_to, less = plain(round(average, 3)), int(average)
    if ends_of(short.often):
        message = (
            f"is a range that comes to {comes_to} moves on average, and plans reckon with {counted}, the nearest whole number; "
            "only the draws take the range itself"
        )
        is_it = "is that near enough?"
    else:
        message = (
            f"is {plain(Decimal(short.often))}, {comes_to} moves in the years before the last, and plans reckon with "
            f"{counted}, as the next would come too late"
        )
        is_it = "is it one every so many years, counted from today? Then it is right."
    more = plain(round((average - less) * 100, 4))
    mend = (
        f"{is_it} Else write the part of a move as a chance: in place of this scenario two, alike but for times_in_all: "
        f"{less + 1} with {more} % of its weight, and times_in_all: {less} with the rest of it"
    )
    return pair.in_shop("rearranged-whole", where, message, mend, question=True)


def machines_are_there(pair: Pair) -> Iterator[Problem]:
    """Events happen to machines that are there, and change something."""
    known = {machine.name: machine for machine in pair.shop.machines}
    for number, scenario in enumerate(pair.shop.scenarios):
        for name, machine in known.items():
            mine = [
                (year, index, event)
                for index, event in enumerate(scenario.events)
                if event.machine == name
                for year in sorted({*_written_years(event, pair.shop.years)})
            ]
            mine.sort(key=lambda dated: dated[0])
            if mine:
                found = _life(pair, scenario, number, machine, mine)
                yield from {(problem.at, problem.code): problem for problem in found}.values()


def _written_years(event: Event, last: int) -> Iterable[int]:
    if event.every is not None:
        return range(event.every, last, event.every)
    return [year for year in event.years if year < last] if event.years else (event.year,)


def _comes(pair: Pair, scenario: Scenario, machine: Machine) -> int | None:
    """The year the machine is there from, None when it comes only in other scenarios."""
    here = [
        year
        for event in scenario.events
        if event.machine == machine.name and event.arrives
        for year in _written_years(event, pair.shop.years)
    ]
    if here:
        return min(here)
    elsewhere = any(
        event.machine == machine.name and event.arrives
        for other in pair.shop.scenarios
        for event in other.events
    )
    return None if elsewhere else machine.arrives


def _life(
    pair: Pair, scenario: Scenario, number: int, machine: Machine, events: list[tuple[int, int, Event]]
) -> Iterator[Problem]:
    comes = _comes(pair, scenario, machine)
    gone, here = machine.leaves, False
    plates: list[Electrical] = [machine] * machine.count
    places: list[str | None] = [machine.at] * machine.count
    if scenario.rearranged is not None:
        places = [None] * machine.count
    for year, index, event in events:
        where: Trail = ("scenarios", number, "events", index)
        some = slice(event.how_many)
        if event.arrives is not None:
            if here or "arrives" in machine.model_fields_set:
                from_when = "an event before" if here else f"machines, in year {machine.arrives}"
                message = f'brings "{machine.name}", which is there already ({from_when})'
                yield pair.in_shop(
                    "event-arrives-twice", (*where, "arrives"), message, "delete one of the two"
                )
            here, places = True, [event.arrives] * machine.count
            continue
        absent = _absent(machine, year, comes, gone)
        if absent is not None:
            mend = "change the year, or delete the event"
            yield pair.in_shop(absent[0], (*where, "machine"), absent[1], mend)
            continue
        if event.leaves:
            gone = year
        if event.move is not None or event.new_spot:
            word = "move" if event.move is not None else "new_spot"
            yield from _odd_move(pair, (*where, word), machine, event, places[some])
            places[some] = [event.move] * len(places[some])
        if event.retool is not None:
            if all(_same_plate(event.retool, plate) for plate in plates[some]):
                message = f'changes nothing: "{machine.name}" has this nameplate already'
                yield pair.in_shop(
                    "event-retool-nothing", (*where, "retool"), message, "is it meant?", question=True
                )
            plates[some] = [event.retool] * len(plates[some])


def _same_plate(one: Electrical, other: Electrical) -> bool:
    return all(getattr(one, name) == getattr(other, name) for name in _PLATE)


def _odd_move(
    pair: Pair, where: Trail, machine: Machine, event: Event, places: Sequence[str | None]
) -> Iterator[Problem]:
    if event.move is not None and all(place == event.move for place in places):
        message = f'moves "{machine.name}" to where it stands already'
        yield pair.in_shop("event-moves-nowhere", where, message, "is it meant?", question=True)
    elif machine.never_moves:
        message = f'moves "{machine.name}", which never moves'
        mend = "delete never_moves: true, or the event; the event is counted as it is"
        yield pair.in_shop("event-never-moves", where, message, mend, question=True)


def _absent(machine: Machine, year: int, comes: int | None, gone: int | None) -> tuple[str, str] | None:
    if comes is None:
        return "event-not-there", f'is "{machine.name}", which comes only in another scenario'
    if year < comes:
        return (
            "event-not-there",
            f'is "{machine.name}", which is not there yet in year {year}: it comes in {comes}',
        )
    if gone is not None and year >= gone:
        return (
            "event-already-gone",
            f'is "{machine.name}", which is gone in year {year}: it leaves in {gone}',
        )
    return None


def moves_can_be_measured(pair: Pair) -> Iterator[Problem]:
    """Questions about moves over a distance that nobody wrote down."""
    names = [machine.name for machine in pair.shop.machines]
    if len(set(names)) < len(names):
        return
    plain_shop = spelled_out(pair.shop)
    shop = plain_shop.shop
    known = {spot.name: spot.at_ft for spot in shop.places if not isinstance(spot, NewSpot)}
    wired = {machine.name: machine.at for machine in shop.machines if not only_quoted(shop, machine)}
    asked: set[tuple[str, str]] = set()
    written = pair.places()
    for number, scenario in enumerate(shop.scenarios):
        at = dict(wired)
        for event in sorted(scenario.events, key=lambda event: event.year):
            name, to = event.machine or "", event.move
            if name not in at:
                continue
            if to is not None and to in known and at[name] in known and to != at[name]:
                group = plain_shop.group_of[name]
                if (group, to) not in asked and not _is_measured(shop, known, at[name], to):
                    asked.add((group, to))
                    here = f'"{at[name]}"' if at[name] in written else "where its route leads"
                    message = f'move "{group}" from {here} to "{to}", between which no distance is known'
                    mend = (
                        "drops of that machine cannot be told then and are left out; "
                        "give both places coordinates (at: [x, y]), or write a route between them"
                    )
                    yield pair.in_shop(
                        "move-no-distance", ("scenarios", number), message, mend, question=True
                    )
            at[name] = to or event.arrives or at[name]


def _is_measured(shop: Shop, known: Mapping[str, object], place: str, other: str) -> bool:
    if known[place] is not None and known[other] is not None:
        return True
    return any({route.start, route.end} == {place, other} for route in shop.routes)


def the_next_building_is_told(pair: Pair) -> Iterator[Problem]:
    """Of a building that the shop moves to it is asked once what it has; until then it is reckoned as this one."""
    untold = [
        (*trail, "shop_moves")
        for trail, event in pair.events()
        if event.shop_moves and event.new_building is None
    ]
    if untold:
        message = "moves the shop to a building of which nothing is said: what is done there is reckoned as in this one"
        mend = (
            "ask there for the service's amperes and phases, the panel's label and free spaces, the walls, the distances "
            "and who may wire it; write new_building: as here once that is so, else new_building: not known, and the "
            "figures stay marked; building: has what the code calls it, in a place's words"
        )
        yield pair.in_shop("move-building-unknown", untold[0], message, mend, question=True)


RULES: tuple[Rule, ...] = (
    years_are_planned,
    the_next_building_is_told,
    groups_are_large_enough,
    strands_have_their_own_names,
    events_are_known,
    machines_are_there,
    moves_can_be_measured,
)
