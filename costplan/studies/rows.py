"""A row of the matrix: what the whole shop costs when every machine is powered by one kind of way."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way
from costplan.ledger.holding import written
from costplan.ledger.options import Option, Survey
from costplan.model.layouts import LaidOutShop
from costplan.program.bench import Bench
from costplan.program.clock import Clock
from costplan.program.ranked import NoPlanError, Ranked
from costplan.program.ranking import best_plans
from costplan.studies.gaps import Gap, at_least, by_reason, gap, hindered, may_have
from costplan.studies.held_plans import held_on

Choose = Callable[[str, Way], bool]
"""Whether a way of a machine belongs to a row."""

NOBODY_MAY = "no machine may have such a way"
NOTHING_STAYS = "no machine can stay as it is: each stands elsewhere than its circuit, or asks for another"


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of the matrix.

    `exceptions` are machines that a rule keeps from such a way and that stay on their cheapest other one.
    `gaps` are machines that may have one, but none that is complete, or not the one that could be cheapest; there is
    no plan then, only what the rest costs, with what is missing for nothing: `at_least_cents`, None when that cannot be
    said. `nobody`: every machine is an exception.
    """

    ranked: Ranked | None
    exceptions: tuple[str, ...]
    why_not: str = ""
    gaps: tuple[Gap, ...] = ()
    at_least_cents: int | None = None
    nobody: bool = False

    @property
    def present_value_cents(self) -> int | None:
        """The total, None when there is no plan or it is incomplete."""
        return self.ranked.present_value_cents if self.ranked else None

    @property
    def incomplete(self) -> bool:
        """Whether machines lack such a way only because something is not known."""
        return bool(self.gaps)


NO_SURPLUS = Cell(None, (), "the shop file allows new parts only")
"""The cell of a sourcing rule that the shop does not use."""


def exceptions_of(cells: Iterable[Cell]) -> tuple[str, ...]:
    """The machines that a rule keeps from a row, by the first of its cells that has any, unless that is all machines."""
    return next((cell.exceptions for cell in cells if cell.exceptions and not cell.nobody), ())


def row_cell(bench: Bench, choose: Choose, clock: Clock) -> Cell:
    """The cheapest plan with a way of the row for every machine that may have one."""
    machines = tuple(
        machine for machine in bench.priced_survey.options if machine not in bench.facts.not_powered
    )
    exceptions = tuple(m for m in machines if not may_have(bench, m, _for(choose, m)))
    if machines and len(exceptions) == len(machines):
        return Cell(None, exceptions, NOBODY_MAY, nobody=True)
    asked = [machine for machine in machines if machine not in exceptions]
    gaps = tuple(found for m in asked if (found := gap(bench, m, _for(choose, m))))
    short = tuple(found for m in asked if (found := gap(bench, m, _for(choose, m), others_first=True)))

    def belongs(option: Option) -> bool:
        return option.machine in exceptions or choose(option.machine, option.way)

    return _unless_hindered(
        bench, belongs, cheapest_cell(bench, belongs, clock, gaps, exceptions, short), clock
    )


def _unless_hindered(bench: Bench, belongs: Callable[[Option], bool], cell: Cell, clock: Clock) -> Cell:
    """The cell, which names no total where keeping what is there could make the row cheaper, were its price known."""
    cheaper = cell.ranked and hindered(bench, belongs, cell.ranked, clock)
    if not cheaper:
        return cell
    gaps = tuple(Gap(machine, what, cheaper=True) for machine, _, what in cheaper.ways)
    return Cell(None, cell.exceptions, gap_words(bench.facts, gaps), gaps, cheaper.at_least_cents)


def as_it_is_cell(bench: Bench, clock: Clock) -> Cell:
    """What the shop costs when today nothing is done to what is there; what cannot stay gets its cheapest way."""
    options = {
        machine: tuple(_not_held(option) for option in found)
        for machine, found in bench.priced_survey.options.items()
    }
    bench = replace(bench, priced_survey=replace(bench.priced_survey, options=options))
    there = {machine for machine, found in options.items() if any(option.there for option in found)}
    staying = {(machine, option.way) for machine in there for option in options[machine] if option.as_it_is}
    cell = row_cell(bench, lambda machine, way: machine not in there or (machine, way) in staying, clock)
    return replace(cell, why_not=NOTHING_STAYS) if cell.nobody else cell


def _not_held(option: Option) -> Option:
    """What is there may stay, whatever way the user holds the machine to."""
    return replace(option, refused=None, held_back=False) if option.held_back and option.as_it_is else option


def can_stay(facts: Facts, survey: Survey) -> bool:
    """Whether there is something to leave as it is: today's shop, not one laid out anew, has circuits already."""
    options = (option for found in survey.options.values() for option in found)
    return not isinstance(facts.shop, LaidOutShop) and any(option.there for option in options)


def nothing_there(facts: Facts) -> str:
    """How many machines have no circuit today that could be left as it is, `7 have none`; empty where all have one."""
    count = sum(machine.count for machine in facts.shop.machines if machine.now is None)
    return f"{count} {'has' if count == 1 else 'have'} none" if count else ""


def cheapest_cell(
    bench: Bench,
    belongs: Callable[[Option], bool],
    clock: Clock,
    gaps: tuple[Gap, ...] = (),
    exceptions: tuple[str, ...] = (),
    short: tuple[Gap, ...] = (),
) -> Cell:
    """The cheapest plan of the options that belong to a row; where there are gaps, what it costs at least.

    short: machines that have such a way only out of what is there; where that does not serve all, they are gaps.
    """
    if not gaps:
        try:
            return Cell(best_plans(bench, 1, allowed=belongs, clock=clock)[0], exceptions)
        except NoPlanError as error:
            if not short:
                return Cell(None, exceptions, str(error))
    lacking = gaps or short
    words = gap_words(bench.facts, lacking)
    return Cell(None, exceptions, words, lacking, at_least(bench, belongs, lacking, clock))


def or_cheaper(bench: Bench, best: Ranked, cells: Iterable[Cell]) -> Ranked:
    """The best plan found in the time, or a cheaper one of the same ways that turned up elsewhere, with the bound of both."""
    if best.proven:
        return best
    ways = {(machine, option.way) for machine, found in bench.open_options().items() for option in found}
    known = [cell.ranked for cell in cells if cell.ranked is not None]
    of_these = [r for r in known if all((machine, way) in ways for machine, way, _ in r.plan.shares())]
    cheapest = min([best, *of_these], key=lambda ranked: ranked.present_value_cents)
    bound = min(best.bound_cents, cheapest.present_value_cents)
    return best if cheapest is best else replace(cheapest, bound_cents=bound, last=False)


def with_new_parts(bench: Bench, cell: Cell, of_new: Cell) -> Cell:
    """A cell of used and new parts; where time ran out, one of new parts alone that is cheaper stands in it, not proven."""
    ended = cell.ranked.proven if cell.ranked is not None else bool(cell.gaps)
    if ended or of_new.ranked is None:
        return cell
    held = held_on(bench, of_new.ranked)
    ranked = held if cell.ranked is None else or_cheaper(bench, cell.ranked, [replace(of_new, ranked=held)])
    return Cell(ranked, of_new.exceptions)


def gap_words(facts: Facts, gaps: tuple[Gap, ...]) -> str:
    """What is missing, in words: how many machines, and why."""
    return "; ".join(f"{machine_words(facts, machines)}: {why}" for why, machines in by_reason(gaps).items())


def machine_words(facts: Facts, machines: Iterable[str]) -> str:
    """How many machines, and which, by the names the user wrote."""
    named = tuple(machines)
    count = sum(facts.machines[machine].count for machine in named)
    names = dict.fromkeys(written(facts, machine) for machine in named)
    return f"{count} machine{'' if count == 1 else 's'} ({', '.join(names)})"


def _for(choose: Choose, machine: str) -> Callable[[Way], bool]:
    return lambda way: choose(machine, way)
