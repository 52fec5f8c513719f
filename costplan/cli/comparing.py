"""The comparison as several commands want it: with received bids, and with the plan that is asked for."""

from collections.abc import Mapping, Sequence
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from costplan.cli.choices import Format
from costplan.cli.endings import fail
from costplan.cli.progress import progress
from costplan.cli.screen import say

if TYPE_CHECKING:
    from costplan.circuits.facts import Facts
    from costplan.program.clock import Clock
    from costplan.program.ranked import NoPlanError, Ranked
    from costplan.reports.parts import P
    from costplan.studies.budgeted import Budgeted
    from costplan.studies.case import Case
    from costplan.studies.comparison import Comparison
    from costplan.studies.outlays import Frontier
    from costplan.studies.yearly_budget import Budget


def shown_parts(show: str | None, format_: Format, kind: "type[P]") -> "tuple[P, ...]":
    """The parts that are to be printed; none without `--show`. Data hold everything and take no parts."""
    from costplan.reports.parts import parts_named

    if show is None:
        return ()
    if format_ is not Format.TABLE:
        fail(f"--show is for tables, and {format_.value} holds everything; leave one of the two out")
    try:
        return parts_named(show, kind)
    except ValueError as error:
        fail(f"--show {error}")


def cap_said(said: str | None) -> int | None:
    """The most that may be spent today, in cents; ends the command for what is no money."""
    from costplan.files.quantities import parse_money_cents

    if said is None:
        return None
    try:
        cents = int(parse_money_cents(said))
        if cents < 0:
            raise ValueError("is below nothing")
    except ValueError as error:
        fail(f'--outlay-cap "{said}" {error}; write money, for example 2500')
    return cents


def _say_with_room(facts: "Facts", error: "NoPlanError", seconds: float | None) -> None:
    """Where nothing but spaces lack: what the best plan would cost with them, and what may make them."""
    from costplan.model.money import format_cents
    from costplan.program.clashes import shop_with_more_spaces
    from costplan.program.clock import Clock
    from costplan.program.ranked import NoPlanError
    from costplan.program.ranking import best_plans
    from costplan.studies.left_out import bench_of_the_rest

    roomy = shop_with_more_spaces(facts, error.lacking) if error.lacking else None
    if roomy is None:
        return
    with progress() as tick, suppress(NoPlanError):
        bench = bench_of_the_rest(roomy, roomy.shop.money.surplus)
        best = best_plans(bench, 1, clock=Clock(seconds), tick=tick)[0]
        spaces = " and ".join(
            f"{count} more space{'s' * (count > 1)} in {panel}" for panel, count in error.lacking.items()
        )
        say(
            f"With {spaces}\n"
            f"the best mix would cost at least {format_cents(best.present_value_cents)} in today's money, and what makes\n"
            "them besides. Ask an electrician which may be, and what it costs:\n"
            "  tandem breakers, where the label allows them: gear, kind: tandem breaker\n"
            "  a subpanel, once two spaces are free for its breaker: gear, kind: subpanel\n"
            "  another panel at the service, or a larger one in place of this: gear,\n"
            "    kind: subpanel, fed_from: service, quote: what is asked for it\n"
            "  sharing an outlet by machines that never run together: takes_turns",
            error=True,
        )


def best_plan(facts: "Facts") -> "Ranked":
    """The best plan alone, which is found sooner than a whole comparison; ends the command when there is none."""
    from costplan.program.bench import Bench
    from costplan.program.ranking import best_plans

    with progress() as tick:
        return best_plans(Bench.over(facts, facts.shop.money.surplus), 1, tick=tick)[0]


def budget_said(
    said: str | None, by: Sequence[str], *, wanted: bool
) -> "tuple[Budget, dict[str, int]] | None":
    """The budget by year, and until when machines may wait; None without one. Ends the command for what is neither.

    wanted: whether the part about it is asked for.
    """
    from costplan.studies.yearly_budget import Budget

    example = "for example --yearly-budget 1900, or '2500; 600': today, and each year after"
    if said is None:
        if by or wanted:
            fail(f"{'--by' if by else '--show budget'} needs the budget of a year: {example}")
        return None
    budget = Budget(tuple(_budget_of_year(each, example) for each in said.split(";")))
    if not any(budget.cents):
        fail(f'--yearly-budget "{said}" is nothing; write money, {example}')
    years: dict[str, int] = {}
    for entry in by:
        name, _, year = (word.strip() for word in entry.rpartition("="))
        if not name or not (year.isascii() and year.isdigit()) or len(year) > 3:
            fail(
                f'--by "{entry}" is no MACHINE=YEAR; write a machine and a whole number of years, --by "table saw=2"'
            )
        if years.setdefault(name, int(year)) != int(year):
            fail(
                f"--by names {name} twice, with year {years[name]} and with year {year}; leave one of them out"
            )
    return budget, years


def _budget_of_year(said: str, example: str) -> int:
    """The most cash of a year in cents. Ends the command for what is none."""
    from costplan.files.quantities import parse_money_cents

    try:
        cents = int(parse_money_cents(said.strip()))
    except ValueError as error:
        fail(f'--yearly-budget "{said.strip()}" {error}; write money, {example}')
    if cents < 0:
        fail(f'--yearly-budget "{said.strip()}" is below nothing; write money, {example}')
    return cents


def budget_of(
    comparison: "Comparison", plan: int, said: "tuple[Budget, dict[str, int]]", clock: "Clock"
) -> "Budgeted":
    """The years of a plan's circuits under a budget; ends the command for machines and years that cannot be."""
    from costplan.studies.budgeted import budgeted

    budget, by = said
    try:
        with progress() as tick:
            return budgeted(
                comparison.facts,
                comparison.plans[plan - 1],
                budget,
                by,
                clock,
                tick,
                ranked=comparison.plans,
                settings=comparison.sureness.settings,
            )
    except ValueError as error:
        fail(f"{'--by' if by else '--yearly-budget'} {error}")


def frontier_of(comparison: "Comparison", held: Mapping[str, str], clock: "Clock") -> "Frontier":
    """The cheapest plans with less and less cash today, as far as time allows."""
    from costplan.studies.outlays import searched

    with progress() as tick:
        return searched(comparison, held, clock, tick)


def compared(
    case: "Case", *, plan: int, outlay_cap_cents: int | None = None, seconds: float | None, **asked: Any
) -> "Comparison":
    """`costplan.compare`, with its progress shown; ends the command when there is none or no plan of that rank."""
    from costplan.program.ranked import NoPlanError
    from costplan.reports.frames import compare
    from costplan.studies.caps import with_cap

    cap = outlay_cap_cents
    try:
        with progress() as tick:
            result = compare(case, outlay_cap_cents=cap, seconds=seconds, tick=tick, **asked)
    except NoPlanError as error:
        _say_with_room(case.facts if cap is None else with_cap(case.facts, cap), error, seconds)
        raise
    found = result.comparison
    if plan > len(found.plans):
        fail(f"--plan {plan}: there are only {len(found.plans)} plans")
    return found
