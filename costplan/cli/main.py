"""The commands: parse, call, print. No arithmetic."""

import contextlib
import gc
import os
import sys
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from costplan.cli import bids, cautions, explain, guide, jobs, next, papers, start, upkeep
from costplan.cli.choices import CatalogFolder, Exit, Format, LayoutName, ShopFile, TableOrJson
from costplan.cli.comparing import budget_of, budget_said, cap_said, compared, frontier_of, shown_parts
from costplan.cli.endings import fail, told_of
from costplan.cli.guard import Guarded
from costplan.cli.reading import found_text, opened, own_questions, read_facts
from costplan.cli.screen import columns, say

if TYPE_CHECKING:
    from costplan.circuits.facts import Facts

app = typer.Typer(
    cls=Guarded,
    help="Which way of powering each machine in a small shop is cheapest over the years, and what to buy for it.",
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    no_args_is_help=True,
    add_completion=False,
)


class Data(StrEnum):
    """What a schema can be asked for."""

    SHOP = "shop"
    CATALOG = "catalog"


class Example(StrEnum):
    """The shipped examples."""

    DEMO = "demo"
    TINY = "tiny"
    FORTY = "forty"
    BARGAIN = "bargain"
    SCHOOL = "school"


@app.command(
    epilog="Example: costplan compare myshop/shop.yaml --plans 3 --hold 'lathe=cord'",
)
def compare(
    shop: ShopFile = None,
    catalog: CatalogFolder = None,
    plans: Annotated[int, typer.Option(min=1, max=50, help="How many ranked plans.")] = 5,
    plan: Annotated[int, typer.Option(min=1, help="The plan whose bill and work are shown.")] = 1,
    hold: Annotated[
        list[str] | None,
        typer.Option(
            help="MACHINE=WORDS keeps a machine, or * for all others, to a way as it is printed, a quoted way, "
            "or fixed drop; from PANEL may follow."
        ),
    ] = None,
    outlay_cap: Annotated[
        str | None, typer.Option(help="The most that may be spent today, for example 2500.")
    ] = None,
    layout: LayoutName = None,
    show: Annotated[
        str | None,
        typer.Option(
            metavar="PART[,PART...]",
            help="Print these parts instead, with exact figures: totals, plans, machines, gear, buy, work, years, "
            "outlays (cash today against later, searched anew), budget (what to do in which year), unranked, "
            "lines (where each figure comes from), notes, or all.",
        ),
    ] = None,
    turning: Annotated[
        bool,
        typer.Option(
            "--turning",
            help="Solve anew for every figure that could turn the answer; takes several times as long.",
        ),
    ] = False,
    between: Annotated[
        str | None,
        typer.Option(
            metavar="NAME,NAME",
            help="As --turning, also for which of two strategies is cheaper: fixed drops, cords, or strategies of the file.",
        ),
    ] = None,
    grid: Annotated[
        str | None,
        typer.Option(
            "--map",
            metavar="FIGURE,FIGURE",
            help="As --turning, also a map of which plan wins at values of two figures, named as --turning names them.",
        ),
    ] = None,
    outlays: Annotated[
        bool,
        typer.Option(
            "--outlays",
            help="Also search for the cheapest plans with less and less cash today; takes several times as long.",
        ),
    ] = False,
    yearly_budget: Annotated[
        str | None,
        typer.Option(
            metavar="MONEY",
            help="The most cash in any one year, today's too, or '2500; 600' for today and each year after: what of the "
            "plan to do in which year, or what is short.",
        ),
    ] = None,
    by: Annotated[
        list[str] | None,
        typer.Option(
            metavar="MACHINE=YEAR",
            help="With --yearly-budget: this machine's circuit may wait, until the end of that year at the latest.",
        ),
    ] = None,
    bids_file: bids.BidsFileOption = None,
    expired: bids.ExpiredOption = False,
    time_limit: Annotated[
        float, typer.Option(min=1, help="Seconds after which the best found is shown, with what is proven.")
    ] = 120,
    seed: Annotated[
        str | None,
        typer.Option(metavar="NUMBER", help="Which draws of prices and hours are made; left out, 1."),
    ] = None,
    draws: Annotated[
        str | None, typer.Option(metavar="NUMBER", help="How many of them, 100 to 1000000; left out, 10000.")
    ] = None,
    format_: Annotated[
        Format, typer.Option("--format", help="table, json, or csv (the lines).")
    ] = Format.TABLE,
) -> object:
    """Compare fixed drops, cords and the best mix, and rank the plans."""
    # It returns the comparison for `start`, which goes on from there.
    from costplan.program.clock import Clock
    from costplan.reports.parts import EVERY_PART, Part

    clock = Clock(time_limit)
    parts = shown_parts(show, format_, Part)
    budget = budget_said(yearly_budget, by or [], wanted=Part.BUDGET in parts and parts != EVERY_PART)
    for asked, option, part in (
        (outlays, "--outlays", Part.OUTLAYS),
        (budget, "--yearly-budget", Part.BUDGET),
        (between or grid, "--between" if between else "--map", Part.TOTALS),
        (turning, "--turning", Part.TOTALS),
    ):
        if asked and format_ is Format.TABLE:
            parts = tuple(one for one in Part if one in (*parts, part))
        elif asked and format_ is Format.CSV:
            fail(
                f"{option} is for tables and JSON; csv holds the lines of one plan; leave one of the two out"
            )
    cap, held = cap_said(outlay_cap), _held(hold or [])
    case = opened(
        shop,
        catalog,
        layout=layout,
        bids=bids_file,
        beside=format_ is not Format.CSV,
        counted=format_ is not Format.TABLE,
    )
    comparison = compared(
        case,
        plan=plan,
        plans=plans,
        outlay_cap_cents=cap,
        held=held,
        expired=expired,
        seconds=clock.left,
        seed=seed,
        draws=draws,
        turning=turning,
        between=between,
        map_of=grid,
    )
    questions = own_questions(case.questions)
    found = None
    if outlays or (Part.OUTLAYS in parts and parts != EVERY_PART):
        found = frontier_of(comparison, held, clock)
    staged = None if budget is None else budget_of(comparison, plan, budget, clock)
    if format_ is Format.JSON:
        from costplan.reports.budget_columns import budget_data
        from costplan.reports.data import comparison_data
        from costplan.reports.data_text import json_text
        from costplan.reports.outlays_text import outlays_data

        told = comparison_data(comparison, questions)
        told["outlays"] = outlays_data(comparison, found) if found is not None else None
        told["yearly_budget"] = None if staged is None else budget_data(staged)
        say(json_text(told), end="")
    elif format_ is Format.CSV:
        from costplan.reports.data import lines_csv

        say(lines_csv(comparison), end="")
    elif parts:
        from costplan.reports.terminal import comparison_text

        text = comparison_text(
            comparison,
            rank=plan,
            parts=parts,
            questions=questions,
            width=columns(),
            outlays=found,
            budget=staged,
        )
        say(text, end="")
    else:
        from costplan.reports.first_screen import first_screen

        say(first_screen(comparison, rank=plan, questions=questions, width=columns()), end="")
    told_of(comparison.facts.left_out)
    return comparison


@app.command(epilog="Example: costplan check myshop/shop.yaml")
def check(
    shop: ShopFile = None,
    catalog: CatalogFolder = None,
    every: Annotated[
        bool,
        typer.Option("--all", help="Also show the questions about a shipped catalog, not only how many."),
    ] = False,
    format_: Annotated[
        TableOrJson, typer.Option("--format", help="table or json (all questions).")
    ] = TableOrJson.TABLE,
) -> None:
    """Check a shop file and its catalog; say what is missing before a comparison can be trusted."""
    from costplan.files.problems import as_dicts, errors_of
    from costplan.reports.noted import noted_before
    from costplan.reports.remarks_text import before_problems, before_text
    from costplan.studies.case import read_case

    facts, problems = read_case(shop, catalog, ways=True)
    before = noted_before(facts) if facts is not None and not errors_of(problems) else ()
    if format_ is TableOrJson.JSON:
        from costplan.reports.data_text import json_text

        say(json_text(as_dicts([*problems, *before_problems(before)])), end="")
    else:
        say(found_text(problems, shop, every=every or catalog is not None))
        say(before_text(before), end="")
    if errors_of(problems):
        raise typer.Exit(Exit.USER_MISTAKE)


@app.command(epilog="Example: costplan size myshop/shop.yaml 'table saw'")
def size(
    shop: ShopFile = None,
    machine: Annotated[str | None, typer.Argument(help="One machine; left out, all.")] = None,
    layout: LayoutName = None,
    catalog: CatalogFolder = None,
) -> None:
    """Show how each machine's circuit is sized, with the rule and table behind every figure."""
    from costplan.reports.sizes import sizes_text
    from costplan.studies.case import in_layout
    from costplan.studies.next_machine import with_machines

    facts = in_layout(read_facts(shop, catalog), layout)
    facts = with_machines(facts, facts.shop.next_machines)
    if machine is not None:
        _known(facts, machine)
    say(sizes_text(facts, machine), end="")


@app.command(epilog="Example: costplan schema shop > shop.schema.json")
def schema(what: Annotated[Data, typer.Argument(help="shop or catalog")]) -> None:
    """Print the JSON Schema of the shop file or the catalog, for an editor to check while you type."""
    import json

    from costplan.model.schema import catalog_schema, shop_schema

    say(json.dumps(shop_schema() if what is Data.SHOP else catalog_schema(), indent=2))


@app.command(epilog="Example: costplan example demo myshop")
def example(
    name: Annotated[Example, typer.Argument(help="demo, tiny, forty, bargain or school")],
    folder: Annotated[Path, typer.Argument(help="A folder that does not exist yet.")],
) -> None:
    """Copy a shipped example with its catalog into a new folder, to change as you like."""
    from costplan.cli.copying import copy_example
    from costplan.files.problems import UserMistakeError

    try:
        shop = copy_example(name.value, folder)
    except UserMistakeError as error:
        for problem in error.problems:
            say(f"{problem.at} {problem.message}: {problem.mend}", error=True)
        raise typer.Exit(Exit.USER_MISTAKE) from None
    say(f"Wrote {shop} and its catalog. Next: costplan compare {shop}")


def _held(entries: list[str]) -> dict[str, str]:
    """The words that each machine is held to; ends the command where one is held twice."""
    held: dict[str, str] = {}
    for machine, words in map(_pair, entries):
        if held.setdefault(machine, words) != words:
            fail(f'--hold holds "{machine}" twice, to "{held[machine]}" and to "{words}"; keep one of them')
    return held


def _pair(entry: str) -> tuple[str, str]:
    machine, equals, words = entry.partition("=")
    if not equals or not machine.strip() or not words.strip():
        fail(f'--hold "{entry}": write MACHINE=WORDS, for example "lathe=cord"')
    return machine.strip(), words.strip()


def _known(facts: "Facts", machine: str) -> None:
    names = {facts.group_of.get(name, name) for name in facts.machines}
    if machine not in facts.machines and machine not in names:
        fail(f'there is no machine "{machine}"; there are {", ".join(sorted(names))}')


cautions.register(app, read_facts)
next.register(app)
start.register(app, lambda file, seconds: compare(file, time_limit=seconds))
jobs.register(app, read_facts)
papers.register(app)
explain.register(app)
upkeep.register(app, read_facts)
bids.register(app, read_facts)
guide.register(app)


SELDOM = 2_000_000
"""New records between two runs of the collector: they are kept to the end, and walking over them takes a fifth of the time."""


def run_and_end() -> None:
    """The console entry: the process ends at once, since taking its records apart one by one takes half a second."""
    status = 0
    try:
        run()
    except SystemExit as end:
        status = end.code if isinstance(end.code, int) else int(end.code is not None)
    except OSError as error:
        say(f"the output cannot be written: {error.strerror}", error=True)
        status = Exit.USER_MISTAKE
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(OSError):
            if stream is not None:
                stream.flush()
    os._exit(status)


def run() -> None:
    """The command that was asked for."""
    gc.set_threshold(SELDOM)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8")
    app()
