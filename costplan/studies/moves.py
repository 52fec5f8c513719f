"""How many machine moves a year turn fixed drops against cords.

An approximation and named as one: both plans are held as they are, only the number of moves changes.
"""

from collections import Counter
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
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
from costplan.model.spelled_out import movable
from costplan.program.bench import Bench
from costplan.program.ranked import Ranked
from costplan.studies.held_plans import held_pricer
from costplan.years.calendar import lives, weights_of

MOST_MOVES_A_YEAR = 12
MOVES = "moves"
"""The scenario of a shop in which nothing else happens."""


@dataclass(frozen=True, slots=True)
class MovesTurning:
    """What moves do to fixed drops against cords, in words; None where the winner never changes.

    `in_all` is the least number of moves in all `years` together with another winner than with none.
    """

    words: str
    in_all: int | None
    years: int

    @property
    def at(self) -> Decimal | None:
        """The same a year."""
        return None if self.in_all is None else Decimal(self.in_all) / self.years


def _name(fixed_minus_cords: int) -> str:
    return Powering.CORDS if fixed_minus_cords > 0 else Powering.FIXED_DROPS


def moves_turning(
    facts: Facts, bench: Bench, fixed: Ranked, cords: Ranked, machines: Sequence[str] | None = None
) -> MovesTurning | None:
    """How many moves of the machines, of `may_move` where none are named, change the winner, from none up.

    Whole moves in all years together, at most one a machine and year, among places that the file already uses for
    machines, or where no two of them will do, to new spots: whole numbers a year first, then between the two where the
    winner changes.
    """
    ways = [way for ranked in (fixed, cords) for _, way, _ in ranked.plan.shares()]
    years, names = facts.shop.years - 1, may_move(facts) if machines is None else list(machines)
    if years < 1 or not names or any(way.quoted for way in ways):
        return None
    among = [place for place in among_places(facts, names) if _all_reach(facts, place, (fixed, cords))]
    most = min(MOST_MOVES_A_YEAR, len(names))
    today = _today(fixed.lines) - _today(cords.lines)

    def gap(in_all: int) -> int:
        """What fixed drops cost more with so many moves."""
        there = at_moves(facts, names, among, in_all)
        later = [_later(there, held_pricer(bench, ranked), ranked) for ranked in (fixed, cords)]
        return today + later[0] - later[1]

    try:
        none = gap(0)
        in_all = _least_that_turns(gap, none, years, most)
    except (CannotSizeError, NoRouteError, NoOfferError):
        return None
    if in_all is not None:
        return MovesTurning(_turned(_name(none), _name(-none), in_all, years), in_all, years)
    words = f"{_name(none)} win at any number of moves from none to {most} a year"
    return MovesTurning(words, None, years) if none else None


def _least_that_turns(gap: Callable[[int], int], none: int, years: int, most: int) -> int | None:
    """The least number of moves with another winner than with none, whole ones a year first; None up to the most."""

    def turns_it(moves: int) -> bool:
        return (gap(moves) > 0) != (none > 0)

    high = next((a_year * years for a_year in range(1, most + 1) if turns_it(a_year * years)), None)
    if high is None:
        return None
    low = high - years
    while high - low > 1:
        between = (low + high) // 2
        low, high = (low, between) if turns_it(between) else (between, high)
    return high


def _turned(with_none: str, others: str, moves: int, years: int) -> str:
    """Who wins with none, and from how many moves in so many years on the other does."""
    if moves == 1:
        return f"with none {with_none} win; already one in {years} years makes {others} win"
    often = f"{moves} in {years} years" if moves < years else f"{Decimal(moves) / years:.2f} a year"
    return f"with none {with_none} win; from about {often} {others} win"


def may_move(facts: Facts) -> list[str]:
    """Machines whose moves are counted: those that the scenarios move, or where these move none, all that may move.

    Only those that are powered; in a shop with groups nobody's.
    """
    here = [machine for machine in facts.shop.machines if machine.name not in facts.not_powered]
    if any(machine.count > 1 for machine in here):
        return []
    names = [machine.name for machine in here if not machine.never_moves]
    told = set[str]()
    for scenario in facts.written.scenarios:
        told |= {
            event.machine for event in scenario.events if event.machine and (event.move or event.new_spot)
        }
        told |= set(movable(facts.written, scenario.rearranged) if scenario.rearranged else [])
    return [name for name in names if name in told] or names


def turns(machines: Sequence[str], among: Sequence[str], in_all: int) -> Rearranged:
    """So many moves of the machines in all, evenly over all years but the last, in turn among the places."""
    return Rearranged(times_in_all=in_all, among=list(among), machines=list(machines))


def at_moves(facts: Facts, machines: Sequence[str], among: Sequence[str], in_all: int) -> Facts:
    """The shop in which the machines move so often in all years but the last, in turn and evenly; all else happens as it is.

    Among the places, or where there are fewer than two, each time to a spot that has no outlet yet.
    """
    years = facts.shop.years - 1
    scenarios = [
        _moving(scenario, machines, among, in_all, years) if in_all else scenario
        for scenario in scenarios_without_moves(facts, machines)
    ]
    return Facts(facts.written.model_copy(update={"scenarios": scenarios}), facts.catalog)


def _moving(
    scenario: Scenario, machines: Sequence[str], among: Sequence[str], in_all: int, years: int
) -> Scenario:
    if len(among) >= 2:
        return scenario.model_copy(update={"rearranged": turns(machines, among, in_all)})
    # As those of the short form fall.
    moves = Counter(
        (-(-k * years // in_all), machines[(k - 1) % len(machines)]) for k in range(1, in_all + 1)
    )
    events = [
        Event(year=year, machine=machine, new_spot=True, times=times)
        for (year, machine), times in moves.items()
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
    """Places of the file where machines stand or come to and between any two of which one can measure, in its order.

    None where the scenarios move machines to new spots and to no place.
    """
    shop, found = facts.written, list[str]()
    events = [event for scenario in shop.scenarios for event in scenario.events]
    to_places = any(event.move for event in events) or any(scenario.rearranged for scenario in shop.scenarios)
    if any(event.new_spot for event in events) and not to_places:
        return []
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


def _later(facts: Facts, pricer: Pricer, ranked: Ranked) -> int:
    """Present value of what the scenarios of a shop do to a plan's ways, nothing reused between machines.

    Raises CannotSizeError, NoRouteError, NoOfferError.
    """
    lines = list[Line]()
    for scenario in facts.shop.scenarios:
        fate = lives(facts.shop, scenario)
        calls = dict[int, set[Call | Stop | Once]]()
        for name, way, count in ranked.plan.shares():
            if name not in fate:
                continue
            made = stream_of(facts, facts.machines[name], way, {scenario.name: fate[name]})
            for _, year, bundle in standalone(facts, made):
                if year:
                    when = When(year, scenario.name, scenario.weight)
                    lines += pricer.later(bundle, when, name, "") * count
                    calls.setdefault(year, set()).update(pricer.calls(bundle, today=False))
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
    yield from pricer.shop_stopped(when, max(stops)) if stops else []
