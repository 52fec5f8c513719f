"""How many machine moves a year turn fixed drops against cords.

An approximation and named as one: both plans are held as they are, only the number of moves changes.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.circuit import Builder, Standing
from costplan.circuits.facts import Facts
from costplan.circuits.size_types import CannotSizeError
from costplan.circuits.ways import load_of
from costplan.ledger.lines import Line, present_value
from costplan.ledger.options import stream_of
from costplan.ledger.pricing import Call, NoOfferError, Once, Pricer, Stop, When
from costplan.ledger.standalone import standalone
from costplan.model.choices import Powering
from costplan.model.events import Event, Rearranged, Scenario
from costplan.model.routes import NoRouteError
from costplan.program.bench import Bench
from costplan.program.ranked import Ranked
from costplan.years.calendar import lives, weights_of

MOST_MOVES_A_YEAR = 12
MOVES = "moves"
"""The scenario of a shop in which nothing else happens."""


@dataclass(frozen=True, slots=True)
class MovesTurning:
    """What moves a year do to fixed drops against cords, in words, and where the winner changes; None when it never does.

    `in_short` says the same where there is little room.
    """

    words: str
    at: Decimal | None
    in_short: str = ""


def _name(fixed_minus_cords: int) -> str:
    return Powering.CORDS if fixed_minus_cords > 0 else Powering.FIXED_DROPS


def moves_turning(facts: Facts, bench: Bench, fixed: Ranked, cords: Ranked) -> MovesTurning | None:
    """Machine moves a year, spread over all years but the last, from none up, at which the winner changes.

    Whole numbers a year are tried, at most one a machine, among places that the file already uses for machines, or where
    no two of them will do, to new spots; between two numbers the difference is taken to grow evenly.
    """
    ways = [way for ranked in (fixed, cords) for _, way, _ in ranked.plan.shares()]
    years, names = facts.shop.years - 1, may_move(facts)
    if years < 1 or not names or any(way.quoted for way in ways):
        return None
    among = [place for place in among_places(facts, names) if _all_reach(facts, place, (fixed, cords))]
    most = min(MOST_MOVES_A_YEAR, len(names))
    today = _today(fixed.lines) - _today(cords.lines)
    gaps: list[int] = []
    for moves in range(most + 1):
        there = at_moves(facts, names, among, moves)
        later = [_later(there, bench.pricers[0], ranked) for ranked in (fixed, cords)]
        if later[0] is None or later[1] is None:
            return None
        gaps.append(today + later[0] - later[1])
        if (gaps[-1] > 0) != (gaps[0] > 0):
            return _turned(gaps, years)
    if gaps[0] == 0:
        return None
    return MovesTurning(f"{_name(gaps[0])} win at any number of moves from none to {most} a year", None)


def _turned(gaps: list[int], years: int) -> MovesTurning:
    """The winner changes before the last number of moves a year; moves fall in so many years."""
    before, after = gaps[-2], gaps[-1]
    per_year = len(gaps) - 2 + Decimal(before) / (before - after)
    with_none = f"with none {_name(gaps[0])} win; "
    if per_year * years < 1:
        turned = f"already one in {years + 1} years makes {_name(-gaps[0])} win"
        return MovesTurning(with_none + turned, per_year, with_none + turned)
    often, wins = f"from about {per_year:.2f} a year", f"{_name(-gaps[0])} win"
    if not 0 < per_year < Decimal("0.67"):
        return MovesTurning(f"{with_none}{often} {wins}", per_year, f"{with_none}{often} {wins}")
    seldom = f"one in {1 / per_year:.0f} years"
    return MovesTurning(
        f"{with_none}{often} ({seldom}) {wins}", per_year, f"{with_none}from about {seldom} {wins}"
    )


def may_move(facts: Facts) -> list[str]:
    """Machines whose moves are counted: all that are powered and may move; in a shop with groups nobody's are."""
    here = [machine for machine in facts.shop.machines if machine.name not in facts.not_powered]
    if any(machine.count > 1 for machine in here):
        return []
    return [machine.name for machine in here if not machine.never_moves]


def turns(machines: Sequence[str], among: Sequence[str], in_all: int) -> Rearranged:
    """So many moves of the machines in all, evenly over all years but the last, in turn among the places."""
    return Rearranged(times_in_all=in_all, among=list(among), machines=list(machines))


def at_moves(facts: Facts, machines: Sequence[str], among: Sequence[str], a_year: int) -> Facts:
    """The shop in which the machines move so often a year, evenly over all years but the last; all else happens as it is.

    In turn among the places, or where there are fewer than two, each year to spots that have no outlet yet.
    """
    scenarios = [
        _moving(scenario, machines, among, a_year) for scenario in scenarios_without_moves(facts, machines)
    ]
    return Facts(facts.written.model_copy(update={"scenarios": scenarios}), facts.catalog)


def _moving(scenario: Scenario, machines: Sequence[str], among: Sequence[str], a_year: int) -> Scenario:
    if len(among) >= 2:
        often = Rearranged(times_per_year=Decimal(a_year), among=list(among), machines=list(machines))
        return scenario.model_copy(update={"rearranged": often})
    each, more = divmod(a_year, len(machines))
    events = [
        Event(every=1, machine=machine, new_spot=True, times=each + (place < more))
        for place, machine in enumerate(machines)
        if each + (place < more)
    ]
    return scenario.model_copy(update={"events": [*scenario.events, *events]})


def scenarios_without_moves(facts: Facts, machines: Collection[str]) -> list[Scenario]:
    """The scenarios of the file with all that happens but the machines' moves; those that then are alike are one."""
    likely, found = weights_of(facts.shop), list[Scenario]()
    for scenario in facts.written.scenarios:
        events = [
            event
            for event in scenario.events
            if not ((event.move or event.new_spot) and event.machine in machines)
        ]
        stays = scenario.model_copy(
            update={"events": events, "rearranged": None, "weight": likely[scenario.name]}
        )
        for place, other in enumerate(found):
            if (other.events, other.lease_ends_year) == (events, stays.lease_ends_year):
                found[place] = other.model_copy(update={"weight": other.weight + stays.weight})
                break
        else:
            found.append(stays)
    if len(found) <= 1:
        ends = found[0].lease_ends_year if found else None
        events = found[0].events if found else []
        return [Scenario(name=MOVES, weight=Decimal(1), events=events, lease_ends_year=ends)]
    return found


def among_places(facts: Facts, machines: Sequence[str]) -> list[str]:
    """Places of the file where machines stand or come to and between any two of which one can measure, in its order."""
    shop, found = facts.written, list[str]()
    used = {machine.at for machine in facts.shop.machines if machine.name not in facts.not_powered}
    for scenario in shop.scenarios:
        used |= {place for event in scenario.events for place in (event.move, event.arrives) if place}
        used |= set(scenario.rearranged.among if scenario.rearranged else [])
    stand = [facts.machines[name].at for name in machines]
    for place in (spot.name for spot in facts.shop.places if spot.name in used):
        try:
            for other in (*stand, *found):
                facts.routes.distance_ft(other, place)
        except NoRouteError:
            continue
        found.append(place)
    return found


def _all_reach(facts: Facts, place: str, plans: tuple[Ranked, ...]) -> bool:
    """Whether every machine that may move could be powered at the place in every one of the plans."""
    for ranked in plans:
        for name, way, _ in ranked.plan.made_here():
            machine = facts.machines[name]
            if machine.never_moves:
                continue
            standing = Standing(0, place, load_of(machine), 0, Decimal(1), "")
            try:
                Builder(facts, machine, way).build(standing)
                facts.routes.distance_ft(machine.at, place)
            except (CannotSizeError, NoRouteError):
                return False
    return True


def _today(lines: tuple[Line, ...]) -> int:
    return sum(line.present_value_cents for line in lines if line.year == 0 or not line.scenario)


def _later(facts: Facts, pricer: Pricer, ranked: Ranked) -> int | None:
    """Present value of what the scenarios of a shop do to a plan's ways, nothing reused between machines."""
    pricer = replace(pricer, hiring=ranked.plan.hiring)
    lines = list[Line]()
    for scenario in facts.shop.scenarios:
        fate = lives(facts.shop, scenario)
        calls = dict[int, set[Call | Stop | Once]]()
        for name, way, count in ranked.plan.shares():
            if name not in fate:
                continue
            try:
                made = stream_of(facts, facts.machines[name], way, {scenario.name: fate[name]})
                for _, year, bundle in standalone(facts, made):
                    if year:
                        when = When(year, scenario.name, scenario.weight)
                        lines += pricer.later(bundle, when, name, "") * count
                        calls.setdefault(year, set()).update(pricer.calls(bundle, today=False))
            except (CannotSizeError, NoRouteError, NoOfferError):
                return None
        for year, called in calls.items():
            lines += _called(pricer, When(year, scenario.name, scenario.weight), called)
    return present_value(lines)


def _called(pricer: Pricer, when: When, called: set[Call | Stop | Once]) -> Iterator[Line]:
    """What comes with a year's work once, whatever is done in it."""
    if Call.VISIT in called:
        yield from pricer.visit(when)
    if Call.PERMIT in called:
        yield from pricer.permit(when, first=False)
    for call in called:
        if isinstance(call, Once):
            yield from pricer.once(when, call)
    stops = [call.hours for call in called if isinstance(call, Stop)]
    yield from pricer.standing(when, max(stops)) if stops else []
