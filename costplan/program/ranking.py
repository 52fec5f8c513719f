"""The best plans in order, each proven, each a plan a person would call different."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from costplan.circuits.facts import Facts
from costplan.circuits.ways import Way
from costplan.ledger.lines import present_value
from costplan.ledger.options import Chosen, Option
from costplan.ledger.simulation import walk
from costplan.program.bench import Allowed, Answered, Bench
from costplan.program.choice import Choice
from costplan.program.clashes import clashes
from costplan.program.clock import Clock, Tick
from costplan.program.ranked import NOT_EVEN_ANY, TOO_LITTLE_TIME, DisagreementError, NoPlanError, Ranked
from costplan.program.search import Found, Searches

ANY_SECONDS = 60
"""How long, at least, any plan is looked for when time ran out before one was found."""


def best_plans(
    bench: Bench,
    count: int,
    *,
    allowed: Allowed | None = None,
    clock: Clock | None = None,
    tick: Tick = bool,
    any_plan: bool = False,
    at_most: int | None = None,
) -> list[Ranked]:
    """The `count` cheapest different plans, best first; fewer when there are no more, or time is up.

    at_most: the cost above which nothing is wanted, in cents; where nothing is that cheap, no plan is given.
    any_plan: where time runs out before one is found, look on for the first that comes, as long again or ANY_SECONDS.
    After the first only plans found to be the best left in time are given, so that the order holds.
    Raises NoPlanError when there is none at all, DisagreementError on a defect.
    """
    clock, options = clock or Clock(), all_open(bench, allowed)
    known = next((entry.best for entry in bench.built.answered if entry.answers(bench, options)), None)
    if count == 1 and known is not None:
        return [known] if at_most is None or known.present_value_cents <= at_most else []

    def choices() -> Iterator[Choice]:
        for pricer in bench.pricers:
            yield bench.choice(pricer, clock).narrowed(options)

    searches = Searches(choices(), at_most)
    searches.fill(count, clock, tick)
    if any_plan and not searches.found and searches.unfinished and clock.seconds is not None:
        tick("time is up: looking for any plan")
        searches.find_any(choices(), Clock(max(clock.seconds, ANY_SECONDS)))
    if not searches.found and at_most is not None and not searches.unfinished:
        return []
    if not searches.found and searches.unfinished:
        raise NoPlanError([NOT_EVEN_ANY if any_plan else TOO_LITTLE_TIME])
    if not searches.found:
        programs = [choice.program for choice in choices()]
        clash = clashes(
            bench.facts, bench.priced_survey, programs, options, clock, narrowed=allowed is not None
        )
        without = [
            f"{entry.machine} is left out already: {'; '.join(entry.reasons)}"
            for entry in bench.facts.left_out
        ]
        raise NoPlanError([*clash.reasons, *without], clash.lacking)
    ranked = [as_ranked(bench.facts, found, options) for found in searches.found]
    if not searches.open and not searches.unfinished:
        ranked[-1] = replace(ranked[-1], last=True)
    if ranked[0].proven:
        bench.built.answered.append(Answered.of(bench, options, ranked[0]))
    return ranked


def as_ranked(facts: Facts, found: Found, options: Mapping[str, tuple[Option, ...]]) -> Ranked:
    """A plan that was found, walked over the years. Raises DisagreementError."""
    by_way = {(option.machine, option.way): option for ways in options.values() for option in ways}
    chosen = tuple(Chosen(by_way[machine, way], count) for machine, way, count in found.plan.shares())
    done = walk(facts, found.choice.pricer, found.plan, chosen)
    total = present_value(done.lines)
    # Where time ran out, what follows from the choices, as what a visit falls short of, may lie above what it must be.
    if not found.bound_cents <= total <= found.cost_cents:
        raise DisagreementError(
            f"the program says {found.cost_cents} cents and the walk over the years {total}: please report this"
        )
    return Ranked(found.plan, chosen, done.lines, done.needed_by, found.bound_cents, done.steps)


def all_open(bench: Bench, allowed: Allowed | None) -> dict[str, tuple[Option, ...]]:
    """Open options of every machine. Raises NoPlanError when a machine has none, or nobody is there to be hired."""
    if not bench.pricers:
        raise NoPlanError(
            ["no electrician crew is listed: add one to labor.yaml, even if you do most work yourself"]
        )
    options = bench.open_options(allowed)
    empty = [machine for machine, found in options.items() if not found]
    if empty:
        raise NoPlanError([_nothing_open(bench, machine) for machine in empty])
    return options


def _nothing_open(bench: Bench, machine: str) -> str:
    options = bench.priced_survey.options[machine]
    said = [(option.way, option.refused or option.lacking) for option in options]
    said += [
        (entry.way, entry.reason) for entry in bench.priced_survey.unbuildable if entry.machine == machine
    ]
    return f"{machine}: no way is left; {'; '.join(by_reason(said))}"


def by_reason(said: Iterable[tuple[Way, object]]) -> list[str]:
    """Each reason once, with the ways that it closes."""
    found: dict[str, dict[str, None]] = {}
    for way, reason in said:
        found.setdefault(str(reason), {})[way.label] = None
    return [f"{reason} ({'; '.join(ways)})" for reason, ways in found.items()]
