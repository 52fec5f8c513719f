"""Strategies by name: a way for every machine, as the user thinks of them, beside the matrix."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way
from costplan.ledger.holding import UnknownWordsError, known_ways, means, words_by_machine, written
from costplan.ledger.options import Option, Survey
from costplan.model.quotes import Strategy
from costplan.program.bench import Bench
from costplan.program.clock import Clock
from costplan.program.ranked import Ranked
from costplan.studies.gaps import Gap, gap
from costplan.studies.rows import Cell, cheapest_cell

Words = Mapping[str, str]
"""By machine, the words that name its ways; a machine without any may have whatever is cheapest."""


@dataclass(frozen=True)
class StrategyRow:
    """A strategy with its cells by column; `reason` says why it is not ranked, empty when it is allowed."""

    strategy: Strategy
    cells: Mapping[str, Cell]
    reason: str = ""

    @property
    def name(self) -> str:
        """Its name."""
        return self.strategy.name

    def ranked_in(self, column: str) -> Ranked | None:
        """Its plan, when the strategy may be ranked at all."""
        return None if self.reason else self.cells[column].ranked


def words_of_strategies(facts: Facts, seen: Survey) -> tuple[tuple[Strategy, Words], ...]:
    """Every strategy with its words by machine. Raises UnknownWordsError naming the strategies."""
    found, reasons = [], []
    for strategy in facts.shop.strategies:
        try:
            found.append((strategy, words_by_machine(facts, seen, strategy.ways, all_must=False)))
        except UnknownWordsError as error:
            reasons += [f'strategy "{strategy.name}": {reason}' for reason in error.reasons]
    if reasons:
        raise UnknownWordsError(reasons)
    return tuple(found)


def barred(rows: Iterable[StrategyRow], column: str) -> list[tuple[str, Ranked]]:
    """Strategies that may not be ranked, by name with what they would be if they were allowed, where that is known."""
    plans = [(row.name, row.cells[column].ranked) for row in rows if row.reason]
    return [(name, plan) for name, plan in plans if plan is not None]


def forbidden(bench: Bench, words: Words) -> tuple[str, ...]:
    """Machines whose every way of the strategy is refused by a rule, or that have no such way, with the reason."""
    reasons: dict[str, list[str]] = {}
    for machine, said in words.items():
        named = [option for option in bench.priced_survey.options[machine] if means(said, option.way)]
        if not any(means(said, way) for way in known_ways(bench.priced_survey, machine)):
            reasons.setdefault(f'there is no "{said}" for', []).append(written(bench.facts, machine))
        elif named and all(option.refused is not None for option in named):
            reasons.setdefault(named[0].refused or "", []).append(written(bench.facts, machine))
    return tuple(f"{why} ({', '.join(dict.fromkeys(names))})" for why, names in reasons.items())


def as_if_allowed(bench: Bench, words: Words) -> Bench:
    """The bench with what the strategy names allowed, where a rule would leave its machine without any."""
    options = dict(bench.priced_survey.options)
    for machine, said in words.items():
        named = [option for option in options[machine] if means(said, option.way)]
        if named and all(option.refused is not None for option in named):
            options[machine] = tuple(
                replace(option, refused=None) if means(said, option.way) else option
                for option in options[machine]
            )
    return replace(bench, priced_survey=replace(bench.priced_survey, options=options))


def strategy_cell(bench: Bench, words: Words, clock: Clock) -> Cell:
    """What a strategy costs, priced as if it were allowed; incomplete where something is not known."""
    if forbidden(bench, words):
        bench = as_if_allowed(bench, words)

    def belongs(option: Option) -> bool:
        return option.machine not in words or means(words[option.machine], option.way)

    def gaps(*, others_first: bool = False) -> tuple[Gap, ...]:
        found = (_gap(bench, m, words, others_first=others_first) for m in bench.priced_survey.options)
        return tuple(entry for entry in found if entry)

    return cheapest_cell(bench, belongs, clock, gaps(), short=gaps(others_first=True))


def _gap(bench: Bench, machine: str, words: Words, *, others_first: bool) -> Gap | None:
    said = words.get(machine)

    def wanted(way: Way) -> bool:
        return said is None or means(said, way)

    named = [option for option in bench.priced_survey.options[machine] if wanted(option.way)]
    if named or said is None:
        return gap(bench, machine, wanted, others_first=others_first)
    reasons = [
        entry.reason
        for entry in bench.priced_survey.unbuildable
        if entry.machine == machine and wanted(entry.way)
    ]
    return Gap(machine, reasons[0]) if reasons else None
