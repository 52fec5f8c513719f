"""The whole comparison: the matrix, the ranking, what is out and why, what would turn the answer."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from costplan.circuits.facts import Facts
from costplan.ledger.holding import held_survey, words_by_machine
from costplan.ledger.same_plan import repeats
from costplan.ledger.standalone import standalone_cents
from costplan.model.catalog import SURPLUS
from costplan.model.choices import DROPS, PURE_WAYS, Buying, Method, Powering, Supply, SurplusRule
from costplan.model.layouts import AS_IT_IS, SAME_PLACES
from costplan.model.quotes import Strategy
from costplan.program.bench import Bench
from costplan.program.clock import Clock, Tick
from costplan.program.ranked import Ranked
from costplan.program.ranking import best_plans
from costplan.program.repriced import repriced
from costplan.studies import turned as turns
from costplan.studies.at_hand import MOST_TOLD
from costplan.studies.beside import beside
from costplan.studies.caps import best_without_cap
from costplan.studies.gaps import Closed, Threat, closed_for_several, threat
from costplan.studies.held_plans import by_other_hands
from costplan.studies.hinges import (
    turns_on_heaters,
    turns_on_spaces,
)
from costplan.studies.layouts import LayoutRow, layout_rows
from costplan.studies.left_out import bench_of_the_rest
from costplan.studies.moves import MovesTurning, moves_turning
from costplan.studies.rows import (
    NO_SURPLUS,
    Cell,
    as_it_is_cell,
    can_stay,
    cheapest_cell,
    or_cheaper,
    row_cell,
    with_new_parts,
)
from costplan.studies.spares_cost import best_by_other_rule, some_fail, turns_on_rejects
from costplan.studies.strategies import (
    StrategyRow,
    Words,
    barred,
    forbidden,
    strategy_cell,
    words_of_strategies,
)
from costplan.studies.sureness import NOT_DRAWN, CellName, Drawable, Settings, Sureness, how_sure
from costplan.studies.turned import NOTHING_TURNED, Ask, Turned
from costplan.studies.turning import Side, Turning
from costplan.studies.wanted import USUAL, Wanted
from costplan.studies.warnings import warnings

NOT_UNDER_A_CAP = (
    "what could turn the answer is not looked for under a cap on today's outlay; compare without it for that"
)
METHODS: Mapping[Powering, tuple[Method, ...]] = {
    Powering.FIXED_DROPS: DROPS,
    Powering.CORDS: (Method.CORD,),
    Powering.BEST_MIX: tuple(Method),
}
"""How machines may be powered in a row of the matrix."""
COLUMNS: tuple[str, ...] = tuple(Buying)


@dataclass(frozen=True, slots=True)
class OutOfRanking:
    """A way of one machine that is shown but not ranked: its reason and what it would cost on its own."""

    machine: str
    way: str
    """A key, as JSON has it."""
    label: str
    """The same as it is printed."""
    cents: int | None
    reason: str
    incomplete: bool
    refused: bool = False
    """Whether a rule of the shop's, and no lack of a price, keeps it out."""


@dataclass(frozen=True)
class Comparison:
    """Everything a report shows.

    `closed` are missing prices and lengths that close a way for several machines, `threat` incomplete ways that
    could beat the best plan. `sureness` is what the draws say of plans, pure ways, strategies and layouts. `matrix` has
    a row "as it is" where something is there. `layouts` begin with that, and with the best plan of the same places; there
    are none where the file lists none. `hinges` are answers nobody gave, with the money that turns on each. `turned` is what
    turns the answer, by solving anew where that was asked for; `moves` of the two pure ways. `without_cap` is the best plan
    were there no cap on today's outlay; None where there is none.
    """

    facts: Facts
    matrix: Mapping[tuple[str, str], Cell]
    plans: tuple[Ranked, ...]
    out: tuple[OutOfRanking, ...]
    warnings: tuple[str, ...]
    hinges: tuple[str, ...] = ()
    closed: tuple[Closed, ...] = ()
    threat: Threat | None = None
    strategies: tuple[StrategyRow, ...] = ()
    layouts: tuple[LayoutRow, ...] = ()
    sureness: Sureness = NOT_DRAWN
    moves: MovesTurning | None = None
    without_cap: Ranked | None = None
    turned: Turned = NOTHING_TURNED
    on_spaces: str = ""
    """What turns on the free spaces of a panel, as `warnings` begin with; empty where nothing is known to."""

    @property
    def rows(self) -> tuple[str, ...]:
        """The rows of the matrix."""
        return tuple(dict.fromkeys(row for row, _ in self.matrix))

    @property
    def turning(self) -> tuple[Turning, ...]:
        """Where figures turn the answer."""
        return self.turned.points

    @property
    def best(self) -> Ranked:
        """The cheapest plan."""
        return self.plans[0]

    @property
    def groups(self) -> tuple[tuple[int, ...], ...]:
        """The ranked plans by place, those together that are too close to call."""
        return self.sureness.groups

    @property
    def spreads(self) -> tuple[int | None, ...]:
        """How uncertain the difference of each plan to the best is, None for the best itself."""
        return (None, *(drawn.apart_cents for drawn in self.sureness.plans[1:]))

    @property
    def pure_spread_cents(self) -> int | None:
        """How uncertain the difference of the two pure ways is; None where there is nothing to compare."""
        return self.sureness.pure[1].apart_cents if self.sureness.pure else None

    @property
    def strategy_spreads(self) -> Mapping[str, int]:
        """How uncertain the difference of each strategy from the cheapest is, without that one."""
        return {name: drawn.apart_cents for name, drawn in list(self.sureness.strategies.items())[1:]}

    @property
    def layout_spreads(self) -> Mapping[str, int]:
        """How uncertain the difference of each layout from today's is, without that one."""
        return dict(list(self.sureness.layout_apart_cents.items())[1:])

    @property
    def today_layout(self) -> LayoutRow | None:
        """What layouts are compared with: the shop as it is, or its best plan where nothing is there or can stay."""
        return next((row for row in self.layouts if row.ranked is not None), None)

    @property
    def column(self) -> str:
        """The column of the matrix that goes by what the shop allows."""
        return Buying.of(self.facts.shop.money.surplus)

    @property
    def pure(self) -> tuple[Cell, Cell]:
        """Fixed drops and cords, with surplus as the shop allows it."""
        fixed, cords = (self.matrix[row, self.column] for row in PURE_WAYS)
        return fixed, cords

    @property
    def pure_plans(self) -> tuple[Ranked, Ranked] | None:
        """The plans of fixed drops and of cords when both are complete and differ; else there is nothing to compare."""
        fixed, cords = (cell.ranked for cell in self.pure)
        if fixed is None or cords is None or fixed.plan.kinds == cords.plan.kinds:
            return None
        return fixed, cords

    @property
    def pure_winner_open(self) -> bool:
        """Whether time ran out before it was proven which of fixed drops and cords is cheaper."""
        if self.pure_plans is None:
            return False
        cheap, dear = sorted(self.pure_plans, key=lambda plan: plan.present_value_cents)
        return dear.bound_cents < cheap.present_value_cents

    @property
    def too_close(self) -> bool:
        """Whether the best plan and the next differ by less than what nobody knows about hours and prices."""
        return len(self.groups[0]) > 1

    @property
    def ranked_strategies(self) -> tuple[tuple[str, Ranked], ...]:
        """Allowed and complete strategies with their plans, the cheapest first."""
        found = [(row.name, plan) for row in self.strategies if (plan := row.ranked_in(self.column))]
        return tuple(sorted(found, key=lambda entry: entry[1].present_value_cents))


def sells_used(facts: Facts) -> bool:
    """Whether the catalog has any used or new-old-stock part; else what may be bought changes nothing."""
    return any(offer.condition in SURPLUS for offer in facts.catalog.offers)


def compare(facts: Facts, wanted: Wanted = USUAL, *, known: Bench | None = None) -> Comparison:
    """Compare every way of powering every machine. known: as for `Bench.over`.

    Machines that have no way at all are left out, and `Comparison.facts` say which.
    Raises NoPlanError when no plan keeps all limits or no machine has a way, UnknownWordsError for words that name no
    machine, way, strategy or figure.
    """
    clock, tick = Clock(wanted.seconds), wanted.tick
    whole, free = facts, bench_of_the_rest(facts, facts.shop.money.surplus, known)
    facts, seen = free.facts, free.priced_survey
    kept = words_by_machine(facts, seen, wanted.held)
    rows = words_of_strategies(facts, seen) if wanted.strategies else ()
    if wanted.exact_turning is not None:
        turns.refuse_unknown(facts, wanted.exact_turning, [strategy.name for strategy, _ in rows])
    # Where nothing used is for sale, both rules buy the same: one column is worked out and stands for both.
    main_rule = facts.shop.money.surplus
    rules = dict.fromkeys((main_rule, *([SurplusRule.NEW_ONLY] if sells_used(facts) else [])))
    others = facts.written.layouts if wanted.layouts else []
    names = tuple(Powering) if can_stay(facts, seen) else tuple(METHODS)
    main = _held(free, kept)
    tick("building the program")

    def column(rule: SurplusRule) -> _Column:
        own = rule is main_rule
        bench = main if own else _held(repriced(free, rule=rule), kept)
        return _column(bench, names, rows, clock, tick, len(others), ranked=own)

    if seen.large:
        main.build(clock)
    with beside(lambda: {rule: column(rule) for rule in rules}, pays=seen.large) as second:
        ranked = best_plans(main, wanted.plans, clock=clock.part(0.6), tick=tick, any_plan=True)
        found = {} if second.under_way else second.result()
        laid_out = layout_rows(whole, others, wanted.held, clock, tick)
        found = found or second.result()
    best = _with_new_parts(main, main_rule, found, ranked[0])
    ranked = _with_cheaper(main, ranked, best.all_cells)
    found[main_rule] = replace(best, cells={**best.cells, Powering.BEST_MIX: Cell(ranked[0], ())})
    done: dict[str, _Column] = {Buying.of(rule): said for rule, said in found.items()}
    if not sells_used(facts) and Buying.SURPLUS in done:
        done[Buying.NEW] = done[Buying.SURPLUS]
    result = Comparison(
        facts,
        {
            (row, column): done[column].cells[row] if column in done else NO_SURPLUS
            for row in names
            for column in COLUMNS
        },
        tuple(ranked),
        tuple(_out_of_ranking(main)),
        (),
        hinges=tuple(turns_on_heaters(main, ranked[0], clock)),
        closed=closed_for_several(main),
        threat=threat(main, ranked[0], Clock(clock.share(2))),
        without_cap=best_without_cap(main, Clock(clock.share(2))),
        strategies=tuple(
            StrategyRow(
                strategy,
                {c: done[c].strategies[strategy.name] if c in done else NO_SURPLUS for c in COLUMNS},
                "; ".join(forbidden(main, words)),
            )
            for strategy, words in rows
        ),
    )
    if others:
        result = replace(result, layouts=(*_todays_rows(result), *laid_out))

    def said() -> tuple[str, tuple[str, ...]]:
        fails = some_fail(facts, ranked[0])
        other = best_by_other_rule(main, Clock(clock.share(4))) if fails else None
        spaces = turns_on_spaces(main, ranked[0], clock)
        on_rejects = turns_on_rejects(facts, ranked[0], other) if fails else ()
        return spaces, (*warnings(main, ranked), *on_rejects)

    late = _out_of_time(clock, ranked, wanted.plans)
    by_others = by_other_hands(main, [*result.plans, *(result.pure_plans or ())])
    with beside(said, pays=seen.large) as meanwhile:
        told = None if meanwhile.under_way else meanwhile.result()
        if wanted.settings is not None:
            result = replace(result, sureness=_how_sure(result, wanted.settings, by_others))
        result = _with_turns(main, result, by_others, rows, wanted.exact_turning, kept, clock, tick)
        told = meanwhile.result() if told is None else told
        spaces, words = told
        first = (spaces,) if spaces else ()
        return replace(result, warnings=(*first, *words, *late, *result.warnings), on_spaces=spaces)


def _with_cheaper(bench: Bench, ranked: list[Ranked], cells: Sequence[Cell]) -> list[Ranked]:
    """The ranked plans; where time ran out, after one that turned up cheaper in a cell."""
    cheapest = or_cheaper(bench, ranked[0], cells)
    if cheapest is ranked[0]:
        return ranked
    return [cheapest, *(one for one in ranked if not repeats(one.plan, cheapest.plan))][: len(ranked)]


def _todays_rows(result: Comparison) -> list[LayoutRow]:
    """Today's shop beside its layouts: all left as it is, where something is there, and its best plan."""
    best = LayoutRow(SAME_PLACES, result.facts, result.best, threat=result.threat)
    if Powering.AS_IT_IS not in result.rows:
        return [best]
    cell = result.matrix[Powering.AS_IT_IS, result.column]
    return [LayoutRow(AS_IT_IS, result.facts, cell.ranked, cell.why_not, cell.exceptions), best]


def _with_turns(
    main: Bench,
    result: Comparison,
    by_others: Sequence[Ranked],
    rows: Sequence[tuple[Strategy, Words]],
    ask: Ask | None,
    kept: Mapping[str, str],
    clock: Clock,
    tick: Tick,
) -> Comparison:
    """What would turn the answer; not looked for under a cap on today's outlay, which other figures may make too low."""
    if result.facts.shop.money.outlay_cap_cents is not None:
        return replace(result, warnings=(*result.warnings, NOT_UNDER_A_CAP))
    pure = result.pure_plans
    # A plan that is not proven may be beaten by one of another make-up, so what would turn it is not known.
    if pure is not None and all(plan.proven for plan in pure):
        result = replace(result, moves=moves_turning(result.facts, main, *pure))
    if not result.best.proven:
        return result
    others = [*result.plans[1:], *(plan for plan in pure or () if plan.plan != result.best.plan)]
    if ask is None:
        worth = result.sureness.finding_out
        # Where moves turn the pure ways the first screen has room for one figure more.
        room = MOST_TOLD - (result.moves is not None and result.moves.at is not None)
        found = turns.at_hand(main, result.best, others, worth, by_others, clock, room)
        return replace(result, turned=found)
    sides, worth = _sides(result, rows), result.sureness.finding_out

    def hold(bench: Bench) -> Bench:
        return _held(bench, kept)

    found = turns.turned(main, result.best, others, sides, ask, clock, tick, worth, hold, by_others)
    return replace(result, turned=found, warnings=(*result.warnings, *found.notes))


def _sides(result: Comparison, rows: Sequence[tuple[Strategy, Words]]) -> dict[str, Side]:
    """The pure ways and the strategies, those with a proven plan, by name."""

    pure = zip(PURE_WAYS, result.pure, strict=True)
    sides = [turns.side_of_row(row, cell, METHODS[row]) for row, cell in pure]
    for (strategy, words), row in zip(rows, result.strategies, strict=True):
        sides.append(turns.side_of_words(strategy.name, row.ranked_in(result.column), words))
    return {side.name: side for side in sides if side is not None}


def _how_sure(result: Comparison, settings: Settings, by_others: Sequence[Ranked]) -> Sureness:
    """The plans at hand, drawn: those that are ranked, the pure ways, both by other hands, the strategies, the layouts."""
    facts, today = result.facts, result.today_layout
    rows = [] if today is None else [today, *(row for row in result.layouts if row is not today)]
    return how_sure(
        [Drawable(facts, plan) for plan in result.plans],
        settings,
        pure=[Drawable(facts, plan) for plan in result.pure_plans or ()],
        strategies={name: Drawable(facts, plan) for name, plan in result.ranked_strategies},
        unranked={name: Drawable(facts, plan) for name, plan in barred(result.strategies, result.column)},
        layouts={row.name: Drawable(row.facts, row.ranked) for row in rows if row.ranked is not None},
        besides=[Drawable(facts, plan) for plan in by_others],
        cells={
            name: Drawable(facts, cell.ranked)
            for name, cell in (
                *((CellName(row, column), cell) for (row, column), cell in result.matrix.items()),
                *(
                    (CellName(row.name, column, strategy=True), cell)
                    for row in result.strategies
                    for column, cell in row.cells.items()
                ),
            )
            if cell.ranked is not None
        },
    )


@dataclass(frozen=True)
class _Column:
    """What one sourcing rule has to say."""

    cells: Mapping[Powering, Cell]
    strategies: Mapping[str, Cell]

    @property
    def all_cells(self) -> tuple[Cell, ...]:
        """Those of its rows and of the strategies."""
        return (*self.cells.values(), *self.strategies.values())


def _with_new_parts(
    bench: Bench, rule: SurplusRule, found: Mapping[SurplusRule, _Column], best: Ranked
) -> _Column:
    """The column of a rule with its best mix; plans of new parts alone stand in it where time ran out before cheaper ones."""
    column = found[rule]
    cells = {**column.cells, Powering.BEST_MIX: Cell(best, ())}
    new = found.get(SurplusRule.NEW_ONLY)
    if rule is SurplusRule.NEW_ONLY or new is None:
        return _Column(cells, column.strategies)
    return _Column(
        {row: with_new_parts(bench, cell, new.cells[row]) for row, cell in cells.items()},
        {name: with_new_parts(bench, cell, new.strategies[name]) for name, cell in column.strategies.items()},
    )


def _column(
    bench: Bench,
    rows: Sequence[Powering],
    strategies: Sequence[tuple[Strategy, Words]],
    clock: Clock,
    tick: Tick,
    layouts: int,
    *,
    ranked: bool,
) -> _Column:
    """One column of the matrix, without the best mix where that is `ranked`.

    layouts: how many layouts have their share of the time too.
    """
    cells, named = {}, {}
    left = len(rows) + len(strategies) + layouts
    for row in rows:
        if row is not Powering.BEST_MIX or not ranked:
            tick(f"proving {row}")
            cells[row] = _cell(bench, row, Clock(clock.share(left)))
        left -= 1
    for strategy, words in strategies:
        tick(f"proving {strategy.name}")
        named[strategy.name] = strategy_cell(bench, words, Clock(clock.share(left)))
        left -= 1
    mix = cells.get(Powering.BEST_MIX)
    if mix is not None and mix.ranked is not None:
        cells[Powering.BEST_MIX] = replace(
            mix, ranked=or_cheaper(bench, mix.ranked, [*cells.values(), *named.values()])
        )
    return _Column(cells, named)


def _cell(bench: Bench, row: Powering, clock: Clock) -> Cell:
    if row is Powering.AS_IT_IS:
        return as_it_is_cell(bench, clock)
    if row is Powering.BEST_MIX:
        return cheapest_cell(bench, lambda _: True, clock)
    return row_cell(bench, lambda _, way: way.method in METHODS[row], clock)


def _held(bench: Bench, held: Mapping[str, str]) -> Bench:
    return replace(bench, priced_survey=held_survey(bench.priced_survey, held)) if held else bench


def _out_of_ranking(bench: Bench) -> list[OutOfRanking]:
    """Ways that are forbidden or lack a price, each once by machine and kind of way, at their cheapest."""
    found: dict[tuple[str, str, str], OutOfRanking] = {}
    for machine, options in bench.priced_survey.options.items():
        for_sale = {option.way.group for option in options if option.for_sale}
        out_of_there = {option.way.group for option in options if option.open} - for_sale
        for option in options:
            reason = option.refused or option.lacking
            if reason is None or option.way.group in for_sale or option.held_back:
                continue
            if option.way.group in out_of_there and option.refused is None:
                reason = f"only out of what is there: {reason}"
            cents = standalone_cents(bench.pricers[0], option)
            entry = OutOfRanking(
                machine,
                option.way.group,
                option.way.label,
                cents,
                reason,
                option.lacking is not None,
                option.refused is not None,
            )
            key = (machine, option.way.group, "" if option.refused else "incomplete")
            before = found.get(key)
            if before is None or (cents is not None and (before.cents is None or cents < before.cents)):
                found[key] = entry
    for way in bench.priced_survey.unbuildable:
        options = bench.priced_survey.options[way.machine]
        if way.way.supply is Supply.PANEL:
            words, label = way.way.group, way.way.label
            known = any(option.way.group == words for option in options)
        else:
            words = label = str(way.way.supply)
            known = any(o.way.supply is way.way.supply for o in options)
        if not known:
            key = (way.machine, words, "unbuildable")
            found.setdefault(key, OutOfRanking(way.machine, words, label, None, way.reason, False))
    return [found[key] for key in sorted(found)]


def _out_of_time(clock: Clock, ranked: list[Ranked], asked: int) -> list[str]:
    """That plans are missing for lack of time; nothing where the search ended and there are no more."""
    if len(ranked) >= asked or clock.seconds is None or ranked[-1].last:
        return []
    return [f"only {len(ranked)} of the {asked} plans asked for were found in time (--time-limit 600)"]
