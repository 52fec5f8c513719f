"""What the next load triggers: how much more each limit carries today and at its fullest, and what eases it then."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil

from costplan.circuits.capacity import limit_owner
from costplan.circuits.demand import Draw
from costplan.circuits.facts import Facts
from costplan.circuits.needs import Bundle
from costplan.circuits.shared_gear import Candidate, candidate
from costplan.circuits.size_types import CannotSizeError
from costplan.ledger.ledger import Headroom, Moment, moments_here
from costplan.ledger.lines import Pocket
from costplan.ledger.pricing import TODAY, Call, NoOfferError, Once, Pricer
from costplan.model.gear import SERVICE, Gear, GearKind
from costplan.model.routes import NoRouteError
from costplan.model.system import phases
from costplan.program.ranked import Ranked
from costplan.sourcing.market import Market
from costplan.standards.loads import largest_motor_factor
from costplan.years.calendar import scenarios_of


@dataclass(frozen=True, slots=True)
class Room:
    """How much more a limit carries at a date, volt-amperes: in all, and the largest motor that may come."""

    scenario: str
    year: int
    left: Headroom
    motor_va: int


@dataclass(frozen=True, slots=True)
class Upgrade:
    """Gear on offer that eases a limit, and its cash price put in by itself today; None where a price is missing."""

    name: str
    cents: int | None


@dataclass(frozen=True, slots=True)
class NextStep:
    """What the next load on a limit triggers; `least` is the fullest date after today, None where none is fuller."""

    limit: str
    today: Room
    least: Room | None
    upgrade: Upgrade | None


def next_steps(facts: Facts, ranked: Ranked) -> list[NextStep]:
    """What the next load triggers, for every limit that is there today and counts amperes."""
    rooms: dict[str, list[Room]] = {}
    for scenario in scenarios_of(facts.shop):
        for year, moment in moments_here(facts, ranked.plan, ranked.chosen, scenario):
            for left in moment.limits():
                rooms.setdefault(left.limit, []).append(
                    Room(scenario.name, year, left, _motor_va(moment, left))
                )
    found = []
    for limit, known in rooms.items():
        today = known[0]
        if today.year == 0 and not today.left.counts_machines:
            least = min(known, key=lambda room: room.left.left_va)
            fuller = least if least.left.left_va < today.left.left_va else None
            found.append(NextStep(limit, today, fuller, _upgrade(facts, ranked, limit)))
    return found


def _motor_va(moment: Moment, left: Headroom) -> int:
    """The largest motor on all lines that may still come, with a quarter more where it is the largest then.

    As large as what is left where its quarter is not the largest; else what is left without the quarter of any other.
    """
    left_va = max(left.left_va, 0)
    if _fits(moment, left, left_va):
        return left_va
    most_va = left.added_va + left.left_va
    plain_va = moment.balance(left.limit, without_extra=True).worst_va
    low, high = 0, min(left_va, max(int((most_va - plain_va) / (1 + largest_motor_factor())), 0))
    if _fits(moment, left, high):
        return high
    # Lines differ in their largest motors: tried by halves, since a larger one never adds less.
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if _fits(moment, left, middle) else (low, middle - 1)
    return low


def _fits(moment: Moment, left: Headroom, va: int) -> bool:
    extra_va = ceil(va * largest_motor_factor())
    asked_va = moment.balance(left.limit, [Draw("", va, extra_va, None)]).worst_va
    return asked_va <= left.added_va + left.left_va


def _upgrade(facts: Facts, ranked: Ranked, limit: str) -> Upgrade | None:
    """The cheapest gear on offer that is not in the plan and eases a limit; one without a price comes last."""
    taken = {bought.name for bought in ranked.plan.gear}
    pricer = Pricer(facts, Market(facts, facts.shop.money.surplus), replace(ranked.plan.hiring, bid=None))
    offered = [
        Upgrade(gear.name, _cents(pricer, found))
        for gear in facts.shop.gear
        if not gear.installed and gear.name not in taken and _eases(facts, gear, limit)
        for found in _candidates(facts, gear)
    ]
    return min(offered, key=lambda one: (one.cents is None, one.cents or 0, one.name), default=None)


def _candidates(facts: Facts, gear: Gear) -> Iterator[Candidate]:
    try:
        yield candidate(facts, gear)
    except (CannotSizeError, NoRouteError):
        return


def _eases(facts: Facts, gear: Gear, limit: str) -> bool:
    """Whether gear raises the service, or is a panel of as many phases that takes machines past a full one."""
    if limit == SERVICE:
        return gear.kind is GearKind.UPGRADE
    owner = facts.panels.get(limit_owner(limit))
    panel = facts.panels.get(gear.name)
    if owner is None or panel is None or not gear.brings_panel:
        return False
    above, name = set(), gear.fed_from or ""
    while name in facts.panels:
        above.add(name)
        name = facts.panels[name].fed_from or ""
    return phases(panel.system) == phases(owner.system) and owner.name not in above


def _cents(pricer: Pricer, found: Candidate) -> int | None:
    """Cash for it today, put in by itself with a visit and a permit of its own; None where a part has no price."""
    try:
        return sum(_paid(pricer, found.bundle))
    except NoOfferError:
        return None


def _paid(pricer: Pricer, bundle: Bundle) -> Iterator[int]:
    calls = pricer.calls(bundle, today=True)
    lines = [*pricer.effort(bundle, TODAY, "", "")]
    for need in bundle.needs:
        lines += pricer.later_part(need, TODAY, "", "")
    for call in calls:
        if isinstance(call, Once):
            lines += pricer.once(TODAY, call)
        elif call in (Call.VISIT, Call.OWN_VISIT):
            lines += pricer.visit(TODAY, Call(call))
        elif isinstance(call, Call):
            lines += pricer.permit(TODAY, call, first=True)
    yield from (line.amount_cents for line in lines if line.pocket is Pocket.CASH)
