"""How many machine moves a year turn fixed drops against cords.

An approximation and named as one: both plans are held as they are, only the number of moves changes.
"""

from collections.abc import Sequence
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
from costplan.model.spelled_out import spelled_out
from costplan.program.ranking import Bench, Ranked
from costplan.years.calendar import lives

MOST_MOVES_A_YEAR = 12


@dataclass(frozen=True, slots=True)
class MovesTurning:
    """What moves a year do to fixed drops against cords, in words, and where the winner changes; None when it never does."""

    words: str
    at: Decimal | None


def _name(fixed_minus_cords: int) -> str:
    return Powering.CORDS if fixed_minus_cords > 0 else Powering.FIXED_DROPS


def moves_turning(facts: Facts, bench: Bench, fixed: Ranked, cords: Ranked) -> MovesTurning | None:
    """Machine moves a year, spread over all years but the last, from none up, at which the winner changes.

    Whole numbers a year are tried, at most one a machine, among places that the file already uses for
    machines; between two of them the difference is taken to grow evenly.
    """
    ways = [way for ranked in (fixed, cords) for _, way, _ in ranked.plan.shares()]
    among = [place for place in used_places(facts) if _all_reach(facts, place, (fixed, cords))]
    years, names = facts.shop.years - 1, may_move(facts)
    if years < 1 or len(among) < 2 or not names or any(way.quoted for way in ways):
        return None
    most = min(MOST_MOVES_A_YEAR, len(names))
    today = _today(fixed.lines) - _today(cords.lines)
    gaps: list[int] = []
    for moves in range(most + 1):
        scenario = moved("moves", names, among, a_year=moves)
        later = [_later(facts, bench.pricers[0], ranked, scenario) for ranked in (fixed, cords)]
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
    often = f" (one in {1 / per_year:.0f} years)" if 0 < per_year < Decimal("0.67") else ""
    if per_year * years < 1:
        turned = f"already one in {years + 1} years makes {_name(-gaps[0])} win"
    else:
        turned = f"from about {per_year:.2f} a year{often} {_name(-gaps[0])} win"
    return MovesTurning(f"with none {_name(gaps[0])} win; {turned}", per_year)


def may_move(facts: Facts) -> list[str]:
    """Machines whose moves are counted: all that are powered and may move; in a shop with groups nobody's are."""
    here = [machine for machine in facts.shop.machines if machine.name not in facts.not_powered]
    if any(machine.count > 1 for machine in here):
        return []
    return [machine.name for machine in here if not machine.never_moves]


def moved(
    name: str,
    machines: Sequence[str],
    among: Sequence[str],
    *,
    a_year: int | None = None,
    in_all: int | None = None,
) -> Scenario:
    """A scenario that is certain, in which so many moves of the machines fall evenly on all years but the last.

    One of a_year and in_all. In turn among the places; where there are fewer than two, each year to spots that have no outlet
    yet, which is for moves a year only.
    """
    if len(among) >= 2:
        per_year = None if a_year is None else Decimal(a_year)
        turns = Rearranged(
            times_per_year=per_year, times_in_all=in_all, among=list(among), machines=list(machines)
        )
        return Scenario(name=name, weight=Decimal(1), rearranged=turns)
    if a_year is None:
        raise ValueError("moves in all need two places at least")
    each, more = divmod(a_year, len(machines))
    events = [
        Event(every=1, machine=machine, new_spot=True, times=each + (place < more))
        for place, machine in enumerate(machines)
        if each + (place < more)
    ]
    return Scenario(name=name, weight=Decimal(1), events=events)


def used_places(facts: Facts) -> list[str]:
    """Places where machines stand or come to in some scenario, in the file's order."""
    shop = facts.shop
    used = {machine.at for machine in shop.machines if machine.name not in facts.not_powered}
    for scenario in shop.scenarios:
        used |= {place for event in scenario.events for place in (event.move, event.arrives) if place}
        used |= set(scenario.rearranged.among if scenario.rearranged else [])
    return [spot.name for spot in shop.places if spot.name in used]


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


def _later(facts: Facts, pricer: Pricer, ranked: Ranked, scenario: Scenario) -> int | None:
    """Present value of the later years of a plan's ways in one scenario, nothing reused between machines."""
    pricer = replace(pricer, hiring=ranked.plan.hiring)
    plain = spelled_out(facts.shop.model_copy(update={"scenarios": [*facts.shop.scenarios, scenario]}))
    fate = lives(plain.shop, plain.shop.scenarios[-1])
    lines: list[Line] = []
    calls: dict[int, set[Call | Stop | Once]] = {}
    for name, way, count in ranked.plan.shares():
        try:
            made = stream_of(facts, facts.machines[name], way, {scenario.name: fate[name]})
            for _, year, bundle in standalone(facts, made):
                if year:
                    when = When(year, scenario.name, Decimal(1))
                    lines += pricer.later(bundle, when, name, "") * count
                    calls.setdefault(year, set()).update(pricer.calls(bundle, today=False))
        except (CannotSizeError, NoRouteError, NoOfferError):
            return None
    for year, called in calls.items():
        when = When(year, scenario.name, Decimal(1))
        if Call.VISIT in called:
            lines += pricer.visit(when)
        if Call.PERMIT in called:
            lines += pricer.permit(when, first=False)
        for call in called:
            if isinstance(call, Once):
                lines += pricer.once(when, call)
        stops = [call.hours for call in called if isinstance(call, Stop)]
        lines += pricer.standing(when, max(stops)) if stops else []
    return present_value(lines)
