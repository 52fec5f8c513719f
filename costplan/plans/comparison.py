"""The whole comparison: the matrix, the ranking, what is out and why, what would turn the answer."""

from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from decimal import Decimal

from costplan.circuits.facts import Facts
from costplan.circuits.ways import DROPS
from costplan.model.choices import Method, Supply, SurplusRule
from costplan.plans.lines import Pocket
from costplan.plans.options import Option, survey
from costplan.plans.ranking import Bench, Clock, NoPlanError, Ranked, best_plans
from costplan.plans.standalone import standalone_cents
from costplan.plans.turning import Turning, turning_points
from costplan.plans.uncertainty import combined_spread_cents

ROWS: Mapping[str, tuple[Method, ...]] = {
    "fixed drops": DROPS,
    "cords": (Method.CORD,),
    "best mix": tuple(Method),
}
COLUMNS: dict[str, SurplusRule] = {"new": SurplusRule.NEW_ONLY, "surplus": SurplusRule.ALLOWED}
WEAK_FOOTING_NOTE = (
    "stands still by your file yet hangs on a cord: ask the inspector whether a cord is accepted (NEC 400.12)"
)


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of the matrix. `exceptions` are machines that have no open way of this row."""

    ranked: Ranked | None
    exceptions: tuple[str, ...]
    why_not: str = ""

    @property
    def present_value_cents(self) -> int | None:
        """The total, None when there is no plan."""
        return self.ranked.present_value_cents if self.ranked else None


NO_SURPLUS = Cell(None, (), "the shop file allows new parts only")
"""The cell of a sourcing rule that the shop does not use."""


@dataclass(frozen=True, slots=True)
class OutOfRanking:
    """A way of one machine that is shown but not ranked: its reason and what it would cost on its own."""

    machine: str
    way: str
    cents: int | None
    reason: str
    incomplete: bool


@dataclass(frozen=True)
class Comparison:
    """Everything a report shows."""

    facts: Facts
    matrix: Mapping[tuple[str, str], Cell]
    plans: tuple[Ranked, ...]
    out: tuple[OutOfRanking, ...]
    turning: tuple[Turning, ...]
    spread_cents: int | None
    warnings: tuple[str, ...]

    @property
    def best(self) -> Ranked:
        """The cheapest plan."""
        return self.plans[0]

    @property
    def pure_totals(self) -> tuple[int | None, int | None]:
        """Totals of fixed drops and of cords, with surplus as the shop allows it."""
        column = "surplus" if self.facts.shop.money.surplus is SurplusRule.ALLOWED else "new"
        return (
            self.matrix["fixed drops", column].present_value_cents,
            self.matrix["cords", column].present_value_cents,
        )

    @property
    def too_close(self) -> bool:
        """Whether the first two plans differ by less than what nobody knows about hours and prices."""
        if len(self.plans) < 2 or self.spread_cents is None:
            return False
        return self.plans[1].present_value_cents - self.plans[0].present_value_cents < self.spread_cents


def compare(
    facts: Facts,
    *,
    plans: int = 5,
    held: Mapping[str, str] | None = None,
    seconds: float | None = None,
    tick: Callable[[], object] = bool,
) -> Comparison:
    """Compare every way of powering every machine.

    plans: how many ranked plans; held: machine → words a way must contain (a method, perhaps a panel);
    seconds: time limit of the whole run. Raises NoPlanError when no plan keeps all limits.
    """
    clock = Clock(seconds)
    seen = survey(facts)
    rules = dict.fromkeys((facts.shop.money.surplus, SurplusRule.NEW_ONLY))
    benches = {rule: _held(Bench.over(facts, rule, seen=seen), held or {}) for rule in rules}
    tick()
    main = benches[facts.shop.money.surplus]
    with ThreadPoolExecutor(max_workers=2) as pool:
        columns = {
            column: pool.submit(_column, benches[rule], clock, tick, plans if benches[rule] is main else 0)
            for column, rule in reversed(COLUMNS.items())
            if rule in benches
        }
    ranked = next(done.result()[1] for done in columns.values() if done.result()[1])
    matrix = {
        (row, column): columns[column].result()[0][row] if column in columns else NO_SURPLUS
        for row in ROWS
        for column in COLUMNS
    }
    column = "surplus" if main is benches.get(SurplusRule.ALLOWED) else "new"
    fixed, cords = matrix["fixed drops", column].ranked, matrix["cords", column].ranked
    turns = turning_points(facts, main, fixed, cords) if fixed and cords else ()
    spread = combined_spread_cents(facts, ranked[0], ranked[1]) if len(ranked) > 1 else None
    return Comparison(
        facts,
        matrix,
        tuple(ranked),
        tuple(_out_of_ranking(main)),
        turns,
        spread,
        (*_warnings(facts, main, ranked[0]), *_out_of_time(clock, ranked, plans)),
    )


def _column(
    bench: Bench, clock: Clock, tick: Callable[[], object], plans: int
) -> tuple[dict[str, Cell], list[Ranked]]:
    """One column of the matrix; with `plans` above 0 also the ranking. Columns are worked out side by side."""
    ranked = best_plans(bench, plans, clock=clock.part(0.6), tick=tick) if plans else []
    cells = {}
    for position, (row, methods) in enumerate(ROWS.items()):
        seconds = clock.share(len(ROWS) - position)
        whole = row == "best mix" and ranked
        cells[row] = Cell(ranked[0], ()) if whole else _cell(bench, methods, Clock(seconds))
        tick()
    return cells, ranked


def _held(bench: Bench, held: Mapping[str, str]) -> Bench:
    options = dict(bench.survey.options)
    for machine, words in held.items():
        if machine not in options:
            raise NoPlanError([f'there is no machine "{machine}" to hold'])
        options[machine] = tuple(
            option
            if words in option.way.describe()
            else replace(option, refused=option.refused or f'held to "{words}" by you')
            for option in options[machine]
        )
    return replace(bench, survey=replace(bench.survey, options=options))


def _cell(bench: Bench, methods: tuple[Method, ...], clock: Clock) -> Cell:
    def allowed(option: Option) -> bool:
        return option.way.method in methods

    exceptions = tuple(
        machine
        for machine, options in bench.survey.options.items()
        if not any(option.open and allowed(option) for option in options)
    )
    try:
        return Cell(best_plans(bench, 1, allowed=allowed, clock=clock)[0], exceptions)
    except NoPlanError as error:
        return Cell(None, exceptions, str(error))


def _out_of_ranking(bench: Bench) -> list[OutOfRanking]:
    """Ways that are forbidden or lack a price, each once by machine and kind of way, at their cheapest."""
    found: dict[tuple[str, str, str], OutOfRanking] = {}
    for machine, options in bench.survey.options.items():
        open_groups = {option.way.group for option in options if option.open}
        for option in options:
            reason = option.refused or option.missing
            if reason is None or option.way.group in open_groups or reason.startswith("held to"):
                continue
            cents = standalone_cents(bench.pricers[0], option)
            entry = OutOfRanking(machine, option.way.group, cents, reason, option.missing is not None)
            key = (machine, option.way.group, "" if option.refused else "incomplete")
            before = found.get(key)
            if before is None or (cents is not None and (before.cents is None or cents < before.cents)):
                found[key] = entry
    for way in bench.survey.unbuildable:
        options = bench.survey.options[way.machine]
        if way.way.supply is Supply.PANEL:
            words, known = way.way.group, any(option.way.group == way.way.group for option in options)
        else:
            words, known = str(way.way.supply), any(o.way.supply is way.way.supply for o in options)
        if not known:
            key = (way.machine, words, "unbuildable")
            found.setdefault(key, OutOfRanking(way.machine, words, None, way.reason, False))
    return [found[key] for key in sorted(found)]


def _out_of_time(clock: Clock, ranked: list[Ranked], asked: int) -> list[str]:
    """That plans are missing for lack of time; fewer plans may also mean that there are no more."""
    if len(ranked) >= asked or clock.seconds is None:
        return []
    return [f"only {len(ranked)} of the {asked} plans asked for were found; there may be more with more time"]


def _warnings(facts: Facts, bench: Bench, best: Ranked) -> list[str]:
    words = []
    for machine, way, _ in best.plan.shares():
        if way.method is Method.CORD and facts.machines[machine].never_moves:
            words.append(f"{machine} {WEAK_FOOTING_NOTE}")
    if facts.shop.code.edition is None:
        words.append(
            "code edition unknown: ground-fault protection is priced by the dearer reading; ask the inspector"
        )
    if not facts.shop.money.shop_hour_cents:
        words.append("lost shop time is counted as nothing (money.shop_hour is 0)")
    words += [
        f"{kind} bought used because you allow it, though the catalog says new"
        for kind in facts.shop.may_be_used
    ]
    if any(line.pocket is Pocket.ALLOWANCE for line in best.lines):
        words.append("surplus rejects are counted by expected value; in a small lot all or none may fail")
    if not best.proven:
        gap = Decimal(best.present_value_cents - best.bound_cents) / 100
        words.append(f"time ran out: no plan can be more than {gap:,.2f} cheaper than the best shown")
    return words
