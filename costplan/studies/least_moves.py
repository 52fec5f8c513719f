"""How many moves a year of the machines that differ would make a plan win that does not: none, fewer, or more."""

from collections.abc import Iterable
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.ledger.holding import written
from costplan.ledger.same_plan import changed_machines
from costplan.model.events import Scenario
from costplan.model.shop import Shop
from costplan.program.bench import Bench
from costplan.program.clock import Clock, Tick
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.studies.explained import Instead
from costplan.studies.least_change import MOVES, SHOWN, Tie, least_changes
from costplan.studies.moves import MOST_MOVES_A_YEAR, MovesTurning, among_places, moves_turning, turns
from costplan.years.calendar import scenarios_of

WHERE = "scenarios of the shop file"


def nearest_changes(
    bench: Bench, best: Ranked, other: Instead, clock: Clock, tick: Tick = bool
) -> tuple[Tie, ...]:
    """Single figures or moves that would make the other plan win, those that change least; none where no single one does."""
    found = (
        *least_moves(bench, best, other, Clock(clock.share(3)), tick),
        *least_changes(bench, best, other, clock, tick),
    )
    return tuple(sorted(found, key=lambda tie: (tie.share, tie.what, tie.where))[:SHOWN])


def least_moves(
    bench: Bench, best: Ranked, other: Instead, clock: Clock, tick: Tick = bool
) -> tuple[Tie, ...]:
    """The number of moves a year at which the other plan wins, all else as it is; none where no number tried does.

    The whole shop is solved anew without these moves, or with more; between, both plans are held, which is said with about.
    """
    facts = bench.facts
    if other.ranked is None or facts.shop.years < 2:
        return ()
    differ = changed_machines(best.plan, other.ranked.plan)
    names = [machine.name for machine in facts.shop.machines if machine.name in differ]
    names = [name for name in names if not facts.machines[name].never_moves]
    if not names:
        return ()
    now = moves_a_year(facts, names)
    tick("proving it at other moves")
    tie = _fewer(bench, best, other, names, now, clock) or _more(bench, best, other, names, now, clock)
    return (tie,) if tie is not None else ()


def moves_a_year(facts: Facts, names: Iterable[str]) -> Decimal:
    """How often the machines are expected to move in a year, over all years but the last."""
    shop, named = facts.shop, set(names)
    moves = sum(
        (
            scenario.weight * facts.machines[event.machine].count
            for scenario in scenarios_of(shop)
            for event in scenario.events
            if event.move and event.machine in named and event.year < shop.years
        ),
        Decimal(0),
    )
    return moves / (shop.years - 1)


def _fewer(
    bench: Bench, best: Ranked, other: Instead, names: list[str], now: Decimal, clock: Clock
) -> Tie | None:
    """Moves below those of the file; proven where there are none at all."""
    facts = bench.facts
    if not now or not _takes(bench, _without_moves(facts.spelled_out.shop, names), other, clock):
        return None
    held = _held(bench, best, other, names)
    # The first that turns it is one too many.
    most = (held.in_all or 0) - 1 if held is not None else 0
    at = Decimal(most) / (facts.shop.years - 1)
    between = most >= 1 and at < now
    return _tie(facts, names, now, at if between else Decimal(0), exact=not between)


def _more(
    bench: Bench, best: Ranked, other: Instead, names: list[str], now: Decimal, clock: Clock
) -> Tie | None:
    """Moves above those of the file, whole ones over all years; the shop solved anew with so many has to agree.

    Where fewer turn both plans held, a third may win before that; one where there is none now is the first there can be.
    """
    facts, held = bench.facts, _held(bench, best, other, names)
    years, in_all = facts.shop.years - 1, held.in_all if held is not None else None
    if in_all is None or in_all > MOST_MOVES_A_YEAR * years:
        return None
    if in_all <= now * years or not _takes(bench, _rearranged(facts, names, in_all), other, clock):
        return None
    return _tie(facts, names, now, Decimal(in_all) / years, exact=in_all == 1)


def _tie(facts: Facts, names: list[str], now: Decimal, at: Decimal, *, exact: bool) -> Tie:
    said = list(dict.fromkeys(written(facts, name) for name in names))
    what = f"moves of {', '.join(said)}" if len(said) <= 2 else f"moves of {len(said)} machines together"
    return Tie(what, WHERE, MOVES, now, at, exact)


def _held(bench: Bench, best: Ranked, other: Instead, names: list[str]) -> MovesTurning | None:
    """What moves of these machines alone do to the two plans, both held; None where it is not known."""
    facts = bench.facts
    assert other.ranked is not None
    if any(facts.machines[name].count > 1 for name in names):
        return None
    alone = Facts(facts.spelled_out.shop, facts.catalog)
    return moves_turning(alone, bench, other.ranked, best, names)


def _takes(bench: Bench, shop: Shop, other: Instead, clock: Clock) -> bool:
    """Whether the best plan of a shop with other moves powers the machines as asked; false where that is not proven."""
    if clock.up:
        return False
    moved = Facts(shop, bench.facts.catalog)
    try:
        ranked = best_plans(Bench.over(moved, bench.pricers[0].market.rule), 1, clock=Clock(clock.left))[0]
    except NoPlanError:
        return False
    return ranked.proven and other.takes(ranked)


def _without_moves(shop: Shop, names: Iterable[str]) -> Shop:
    """The spelled-out shop in which these machines stay where they come to."""
    named = set(names)
    scenarios = [
        scenario.model_copy(
            update={
                "events": [event for event in scenario.events if not (event.move and event.machine in named)]
            }
        )
        for scenario in shop.scenarios
    ]
    return shop.model_copy(update={"scenarios": scenarios})


def _rearranged(facts: Facts, names: list[str], in_all: int) -> Shop:
    """The spelled-out shop in which these machines are moved so often over the years, in turn, in every scenario."""
    stays = _without_moves(facts.spelled_out.shop, names)
    moves = turns(names, among_places(facts, names), in_all)
    scenarios = stays.scenarios or [Scenario(name="as planned", weight=Decimal(1))]
    return stays.model_copy(
        update={"scenarios": [scenario.model_copy(update={"rearranged": moves}) for scenario in scenarios]}
    )
