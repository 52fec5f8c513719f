"""Layouts of the shop beside today's: the best plan of each, and what must be done today for it."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.needs import Return
from costplan.model.layouts import DroppedEvent, LaidOutShop, MovedToday, laid_out
from costplan.model.quotes import EVERY
from costplan.model.shop import Layout, Shop
from costplan.plans.holding import UnknownWordsError, held_survey, words_by_machine
from costplan.plans.lines import LineKind, Pocket
from costplan.plans.options import survey
from costplan.plans.plan import Plan
from costplan.plans.ranking import Bench, Clock, NoPlanError, Ranked, best_plans
from costplan.years.stream import TODAY, Use

_OUTLETS = ("outlet", "quoted outlet")
_ENDS = ("plug", "connector", "plug of a machine")


@dataclass(frozen=True)
class LayoutRow:
    """A layout with its shop and the best plan there is for it; `why_not` says why there is none."""

    name: str
    facts: Facts
    ranked: Ranked | None
    why_not: str = ""

    @property
    def dropped(self) -> list[str]:
        """Events that no longer happen in it, in words."""
        return dropped_words(self.facts.written)


def layout_rows(
    facts: Facts,
    layouts: Sequence[Layout],
    held: Mapping[str, str],
    clock: Clock,
    tick: Callable[[], object] = bool,
) -> tuple[LayoutRow, ...]:
    """The best plan of every layout, each with its share of the time; held as `compare` has it."""
    rows = []
    for position, layout in enumerate(layouts):
        rows.append(_row(facts, layout, held, Clock(clock.share(len(layouts) - position))))
        tick()
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
        seen = survey(known)
        if kept:
            seen = held_survey(seen, words_by_machine(known, seen, kept))
        bench = Bench.over(known, shop.money.surplus, seen=seen)
        return LayoutRow(layout.name, known, best_plans(bench, 1, clock=clock)[0])
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
    """What today's plan does, counted; what is kept as it is counts nowhere."""
    asked, ends = _asked_today(ranked)
    plan = ranked.plan
    stock = _served(plan)
    shared = Counter({entry.use: entry.saved for entry in plan.shared})
    whole = Counter({use: used.count for used in plan.whole_cords for use in used.asked.served_by(used.cord)})

    def total(kinds: Iterable[str], counts: Mapping[Use, int]) -> int:
        return sum(counts.get(use, 0) for use in asked if use.thing.item.spec.kind in kinds)

    cords, outlets = total(["cord"], asked), total(_OUTLETS, asked)
    exchanged, taken = total(["cord"], stock) + total(["cord"], whole), total(_OUTLETS, stock)
    return Doings(
        outlets_taken_over=taken,
        runs_made=outlets - taken - total(_OUTLETS, shared),
        outlets_moved_along=_moved_along(facts, ranked),
        receptacles_changed=total(["receptacle", "disconnect"], asked),
        breakers_changed=total(["breaker"], asked),
        cords_exchanged=exchanged,
        cords_bought=cords - exchanged,
        cord_ends_changed=ends,
        outlets_made_safe=_made_safe(ranked),
        gear_put_in=sum(bought.count for bought in plan.gear if bought.year == 0),
    )


def _asked_today(ranked: Ranked) -> tuple[Counter[Use], int]:
    """Things asked for today, and ends that are put on cords which stay."""
    asked: Counter[Use] = Counter()
    ends = 0
    for chosen in ranked.chosen:
        uses = [use for use in chosen.option.stream.uses if use.since == TODAY and not use.present]
        asked.update(dict.fromkeys(uses, chosen.count))
        if not any(use.thing.item.spec.kind == "cord" for use in uses):
            ends += chosen.count * sum(use.thing.item.spec.kind in _ENDS for use in uses)
    return asked, ends


def _served(plan: Plan) -> Counter[Use]:
    """How many of each use of today something that is there serves."""
    found: Counter[Use] = Counter()
    for reuse in plan.reused:
        if reuse.use.since == TODAY:
            found[reuse.use] += reuse.count
    return found


def _moved_along(facts: Facts, ranked: Ranked) -> int:
    """Outlets that go along with machines which are moved today."""
    return sum(
        chosen.count
        for chosen in ranked.chosen
        if chosen.option.way.relocated
        and isinstance(facts.machines[chosen.option.machine], MovedToday)
        and not any(
            use.since == TODAY and not use.present and use.thing.item.spec.kind == "outlet"
            for use in chosen.option.stream.uses
        )
    )


def _made_safe(ranked: Ranked) -> int:
    """Outlets that are given up today and that nobody takes over, today or later."""
    freed = sum(
        chosen.count
        for chosen in ranked.chosen
        for left in _left_today(chosen.option.stream.uses)
        if left.unused
    )
    now, later = 0, Counter[str]()
    for reuse in ranked.plan.reused:
        if reuse.left.idle or reuse.since != TODAY or reuse.item.spec.kind != "outlet":
            continue
        if reuse.use.since == TODAY:
            now += reuse.count
        else:
            later[reuse.use.scenario] += reuse.count
    return freed - now - max(later.values(), default=0) if freed else 0


def _left_today(uses: Iterable[Use]) -> Iterator[Return]:
    for use in uses:
        end = use.ends[0][1] if use.ends else None
        if end is not None and end.date == TODAY and end.left is not None:
            yield end.left
