"""Layouts of the shop beside today's: the best plan of each, and what must be done today for it."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from decimal import Decimal
from itertools import product

from costplan.circuits.facts import Facts
from costplan.circuits.things import DISCONNECTS, OUTLETS, Made, PartKind
from costplan.ledger.holding import UnknownWordsError, held_survey, words_by_machine
from costplan.ledger.lines import LineKind, Pocket
from costplan.ledger.steps import Act
from costplan.model.layouts import DroppedEvent, LaidOutShop, MovedToday, laid_out
from costplan.model.quotes import EVERY
from costplan.model.shop import Layout, Shop
from costplan.program.clock import Clock, Tick
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.studies.gaps import Threat, threat
from costplan.studies.left_out import bench_of_the_rest
from costplan.years.stream import TODAY

_ENDS = (PartKind.PLUG, PartKind.CONNECTOR, Made.OWN_PLUG)
_PUT_IN = (Act.TAKE_OVER, Act.TAKE_FROM_SHELF, Act.BUY)
# A breaker of its own that a machine keeps goes into the run that it takes over.
_PUT_INTO_RUN = (Act.KEEP, *_PUT_IN)


@dataclass(frozen=True)
class LayoutRow:
    """A layout with its shop and the best plan there is for it; `why_not` says why there is none.

    `exceptions` are machines whose circuit cannot stay as it is; `threat` are incomplete ways that could be cheaper.
    """

    name: str
    facts: Facts
    ranked: Ranked | None
    why_not: str = ""
    exceptions: tuple[str, ...] = ()
    threat: Threat | None = None

    def other_machines_than(self, other: "LayoutRow") -> bool:
        """Whether its total has a machine that the other's leaves out for want of a way, or the other way round."""
        mine, theirs = ({entry.machine for entry in row.facts.left_out} for row in (self, other))
        gone = {self.facts.group_of.get(name, name) for name in self.facts.taken_away}
        return bool(mine - theirs or theirs - mine - gone)

    @property
    def dropped(self) -> list[str]:
        """Events that no longer happen in it, in words."""
        return dropped_words(self.facts.written)


def layout_rows(
    facts: Facts,
    layouts: Sequence[Layout],
    held: Mapping[str, str],
    clock: Clock,
    tick: Tick = bool,
) -> tuple[LayoutRow, ...]:
    """The best plan of every layout, each with its share of the time; held as `compare` has it."""
    rows = []
    for position, layout in enumerate(layouts):
        tick(f"proving layout {layout.name}")
        rows.append(_row(facts, layout, held, Clock(clock.share(len(layouts) - position))))
    return tuple(rows)


def _row(facts: Facts, layout: Layout, held: Mapping[str, str], clock: Clock) -> LayoutRow:
    shop = laid_out(facts.written, layout)
    known = Facts(shop, facts.catalog)
    goes = {*layout.without, *layout.swap}
    kept = {
        name: words
        for name, words in held.items()
        if name == EVERY or known.group_of.get(name, name) not in goes
    }
    try:
        bench = bench_of_the_rest(known, shop.money.surplus)
        known = bench.facts
        if kept:
            words = words_by_machine(known, bench.priced_survey, kept)
            bench = replace(bench, priced_survey=held_survey(bench.priced_survey, words))
        best = best_plans(bench, 1, clock=clock)[0]
        return LayoutRow(layout.name, known, best, threat=threat(bench, best, Clock(clock.share(2))))
    except NoPlanError as error:
        return LayoutRow(layout.name, known, None, str(error))
    except UnknownWordsError as error:
        return LayoutRow(layout.name, known, None, "; ".join(error.reasons))


def dropped_words(shop: Shop) -> list[str]:
    """Events that no longer happen in a layout, since their machine is taken away; empty for today's shop."""
    return [_dropped(entry) for entry in shop.dropped] if isinstance(shop, LaidOutShop) else []


def _dropped(entry: DroppedEvent) -> str:
    event = entry.event
    if event is None:
        what = "its turns in the rearrangement"
    else:
        when = (
            f"every {event.every} years"
            if event.every is not None
            else f"in year {', '.join(map(str, event.years or [event.year]))}"
        )
        what = f"the {'retooling' if event.retool else 'event'} {when}"
    return f'{entry.machine} is taken away, so {what} of scenario "{entry.scenario}" is dropped'


def own_hours_today(ranked: Ranked) -> Decimal:
    """The owner's own hours today."""
    own = (line for line in ranked.lines if line.kind is LineKind.LABOR and line.pocket is Pocket.OWN_TIME)
    return sum((line.hours for line in own if line.year == 0), Decimal(0))


@dataclass(frozen=True, slots=True)
class Doings:
    """How many of what must be done today."""

    outlets_taken_over: int = 0
    runs_made: int = 0
    outlets_moved_along: int = 0
    receptacles_changed: int = 0
    breakers_changed: int = 0
    cords_exchanged: int = 0
    cords_bought: int = 0
    cord_ends_changed: int = 0
    outlets_made_safe: int = 0
    gear_put_in: int = 0

    def counts(self) -> dict[str, int]:
        """Every count by its name."""
        return {entry.name: getattr(self, entry.name) for entry in fields(self)}


def doings(facts: Facts, ranked: Ranked) -> Doings:
    """What today's plan does, counted by its steps; what is kept as it is counts nowhere."""
    done = Counter((step.kind, step.act) for step in ranked.steps if not step.within)
    with_new_cord = {
        step.machine for step in ranked.steps if step.kind == PartKind.CORD and step.act is not Act.KEEP
    }
    ends = [step for step in ranked.steps if step.kind in _ENDS and step.machine not in with_new_cord]

    def total(kinds: Iterable[str], acts: Iterable[Act]) -> int:
        return sum(done[kind, act] for kind, act in product(kinds, acts))

    return Doings(
        outlets_taken_over=total(OUTLETS, [Act.TAKE_OVER]),
        runs_made=total(OUTLETS, [Act.BUY]),
        outlets_moved_along=_moved_along(facts, ranked),
        receptacles_changed=total([PartKind.RECEPTACLE, *DISCONNECTS], _PUT_INTO_RUN),
        breakers_changed=total([PartKind.BREAKER], _PUT_INTO_RUN),
        cords_exchanged=total([PartKind.CORD], [Act.TAKE_OVER, Act.TAKE_FROM_SHELF]),
        cords_bought=total([PartKind.CORD], [Act.BUY]),
        cord_ends_changed=sum(step.act in _PUT_IN for step in ends),
        outlets_made_safe=total(OUTLETS, [Act.MAKE_SAFE]),
        gear_put_in=sum(bought.count for bought in ranked.plan.gear if bought.year == 0),
    )


def _moved_along(facts: Facts, ranked: Ranked) -> int:
    """Outlets that go along with machines which are moved today."""
    return sum(
        chosen.count
        for chosen in ranked.chosen
        if chosen.option.way.relocated
        and isinstance(facts.machines[chosen.option.machine], MovedToday)
        and not any(
            use.since == TODAY and not use.present and use.thing.item.spec.kind == Made.OUTLET
            for use in chosen.option.stream.uses
        )
    )
