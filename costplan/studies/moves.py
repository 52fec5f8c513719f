"""How many machine moves a year turn fixed drops against cords.

An approximation and named as one: both plans are held as they are, only the number of moves changes.
"""

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
from costplan.model.events import Rearranged, Scenario
from costplan.model.routes import NoRouteError
from costplan.model.spelled_out import movable, spelled_out
from costplan.program.ranking import Bench, Ranked
from costplan.years.calendar import lives

MOST_MOVES_A_YEAR = 12


@dataclass(frozen=True, slots=True)
class MovesTurning:
    """What moves a year do to fixed drops against cords, in words, and where the winner changes; None when it never does."""

    words: str
    at: Decimal | None


def _name(fixed_minus_cords: int) -> str:
    return "cords" if fixed_minus_cords > 0 else "fixed drops"


def moves_turning(facts: Facts, bench: Bench, fixed: Ranked, cords: Ranked) -> MovesTurning | None:
    """Machine moves a year, spread over all years but the last, from none up, at which the winner changes.

    Whole numbers a year are tried, at most one a machine, among places that the file already uses for
    machines; between two of them the difference is taken to grow evenly.
    """
    ways = [way for ranked in (fixed, cords) for _, way, _ in ranked.plan.shares()]
    among = [place for place in used_places(facts) if _all_reach(facts, place, (fixed, cords))]
    years = facts.shop.years - 1
    here = [machine for machine in facts.shop.machines if machine.name not in facts.not_powered]
    grouped = any(machine.count > 1 for machine in here)
    if years < 1 or len(among) < 2 or grouped or any(way.quoted for way in ways):
        return None
    rearranged = Rearranged(
        times_per_year=Decimal(0), among=among, machines=[machine.name for machine in here]
    )
    most = min(MOST_MOVES_A_YEAR, len(movable(facts.shop, rearranged)))
    today = _today(fixed.lines) - _today(cords.lines)
    gaps: list[int] = []
    for moves in range(most + 1):
        scenario = Scenario(
            name="moves",
            weight=Decimal(1),
            rearranged=rearranged.model_copy(update={"times_per_year": Decimal(moves)}),
        )
        later = [_later(facts, bench.pricers[0], ranked, scenario) for ranked in (fixed, cords)]
        if later[0] is None or later[1] is None:
            return None
        gaps.append(today + later[0] - later[1])
        if (gaps[-1] > 0) != (gaps[0] > 0):
            return _turned(gaps, years)
    if most == 0 or gaps[0] == 0:
        return None
    return MovesTurning(f"{_name(gaps[0])} win at any number of moves from none to {most} a year", None)


def _turned(gaps: list[int], years: int) -> MovesTurning:
    """The winner changes before the last number of moves a year; moves fall in so many years."""
    before, after = gaps[-2], gaps[-1]
    per_year = len(gaps) - 2 + Decimal(before) / (before - after)
    often = f" (about one in {1 / per_year:.0f} years)" if 0 < per_year < Decimal("0.67") else ""
    if per_year * years < 1:
        turned = f"already one machine move in {years + 1} years makes {_name(-gaps[0])} win"
    else:
        turned = f"from about {per_year:.2f} machine moves a year{often} {_name(-gaps[0])} win"
    return MovesTurning(f"with no moves {_name(gaps[0])} win; {turned}", per_year)


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
