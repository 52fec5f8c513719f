"""The commands: parse, call, print. No arithmetic."""

import gc
import sys
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from costplan.cli import bids, cautions, explain, guide, jobs, next, papers, start, upkeep
from costplan.cli.choices import CatalogFolder, Exit, Format, LayoutName, ShopFile
from costplan.cli.comparing import compared, in_layout, settings_said, shown_parts, turning_asked
from costplan.cli.endings import fail, told_of
from costplan.cli.guard import Guarded
from costplan.cli.screen import columns, say

if TYPE_CHECKING:
    from costplan.circuits.facts import Facts
    from costplan.files.problems import Problem
    from costplan.model.bids import Bid

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
            "unranked, lines (where each figure comes from), notes, or all.",
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
    from costplan.reports.parts import Part

    clock = Clock(time_limit)
    parts = shown_parts(show, format_, Part)
    settings = settings_said(seed, draws)
    read, questions = _facts_and_questions(
        shop,
        catalog,
        outlay_cap,
        beside=format_ is not Format.CSV,
        counted=format_ is not Format.TABLE,
    )
    facts = in_layout(read, layout)
    received = _received(shop, facts, bids_file)
    held = _held(hold or [])
    comparison = compared(
        facts,
        received,
        plan=plan,
        plans=plans,
        held=held,
        expired=expired,
        seconds=clock.left,
        strategies=True,
        layouts=True,
        settings=settings,
        exact_turning=turning_asked(turning=turning, between=between, grid=grid),
    )
    if format_ is Format.JSON:
        from costplan.reports.data import comparison_data, json_text

        say(json_text(comparison_data(comparison, questions)), end="")
    elif format_ is Format.CSV:
        from costplan.reports.data import lines_csv

        say(lines_csv(comparison), end="")
    elif parts:
        from costplan.reports.terminal import comparison_text

        text = comparison_text(comparison, rank=plan, parts=parts, questions=questions, width=columns())
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
        Format, typer.Option("--format", help="table or json (all questions).")
    ] = Format.TABLE,
) -> None:
    """Check a shop file and its catalog; say what is missing before a comparison can be trusted."""
    from costplan.files.problems import as_dicts, errors_of

    if format_ is Format.CSV:
        fail("check prints table or json; choose one of those")
    from costplan.reports.noted import noted_before
    from costplan.reports.remarks_text import before_problems, before_text

    facts, problems = _load(shop, catalog, ways=True)
    before = noted_before(facts) if facts is not None and not errors_of(problems) else ()
    if format_ is Format.JSON:
        from costplan.reports.data import json_text

        say(json_text(as_dicts([*problems, *before_problems(before)])), end="")
    else:
        say(_found(problems, shop, every=every or catalog is not None))
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
    from costplan.studies.next_machine import with_machines

    facts = in_layout(_facts(shop, catalog, None), layout)
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


def _found(problems: "list[Problem]", shop: Path | None, *, every: bool) -> str:
    """The problems in words, the shop file's own first; unless `every`, questions about a shipped catalog only counted."""
    from costplan.files.problems import render_text

    shown = problems if every else _own(problems)
    blocks = [render_text(shown, first=str(shop))] if shown else []
    hidden = len(problems) - len(shown)
    if hidden:
        counted = f"{hidden} more question{'s' * (hidden > 1)} about the shipped catalog, which is invented"
        named = f" {shop}" if shop is not None else ""
        blocks.append(f"{counted}; costplan check{named} --all shows {'them' if hidden > 1 else 'it'}")
    return "\n".join(blocks) or "No problems found."


def _own(problems: "list[Problem]") -> "list[Problem]":
    """All problems but questions about the catalogs that are shipped, whose prices are nobody's."""
    from costplan.files.shipped import shipped

    folder = shipped("catalogs").resolve()
    return [
        problem
        for problem in problems
        if problem.severity == "error" or not Path(problem.at.path).resolve().is_relative_to(folder)
    ]


def _facts(shop: Path | None, catalog: Path | None, outlay_cap: str | None) -> "Facts":
    """Shop and catalog, or the problems on stderr and exit 2."""
    return _facts_and_questions(shop, catalog, outlay_cap)[0]


def _facts_and_questions(
    shop: Path | None,
    catalog: Path | None,
    outlay_cap: str | None,
    *,
    beside: bool = False,
    counted: bool = True,
) -> "tuple[Facts, list[Problem]]":
    """As `_facts`, with the questions about the files, figures hardly meant first.

    On stderr these are told whole, unless they stand `beside` what they touch, and the others are `counted` there, unless the
    output itself counts them.
    """
    from costplan.checks.checks import FAR_FIGURES
    from costplan.files.problems import errors_of, render_text
    from costplan.files.quantities import parse_money_cents

    loaded, problems = _load(shop, catalog)
    if loaded is None or errors_of(problems):
        say(render_text(problems), error=True)
        raise typer.Exit(Exit.USER_MISTAKE)
    own = sorted(_own(problems), key=lambda problem: problem.code not in FAR_FIGURES)
    far = [problem for problem in own if problem.code in FAR_FIGURES and not beside]
    asked = own[len(far) :] if counted else []
    if far:
        say(render_text(far), error=True)
    if asked:
        many = f"{len(asked)} {'more ' * bool(far)}question{'s' * (len(asked) > 1)} about the files"
        say(f"{many}, none of them an error; costplan check lists them", error=True)
    facts = loaded
    if outlay_cap is not None:
        from costplan.studies.outlays import with_cap

        try:
            facts = with_cap(facts, int(parse_money_cents(outlay_cap)))
        except ValueError as error:
            fail(f'--outlay-cap "{outlay_cap}" {error}; write money, for example 2500')
    return facts, own


def _load(
    shop: Path | None, catalog: Path | None, *, ways: bool = False
) -> "tuple[Facts | None, list[Problem]]":
    """Shop and catalog with what is wrong in them; `ways`: also ask about machines that have no possible way."""
    from costplan.studies.case import read_case

    return read_case(shop, catalog, ways=ways)


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


def _read(shop: Path | None, catalog: Path | None) -> "Facts":
    return _facts(shop, catalog, None)


def _received(shop: Path | None, facts: "Facts", chosen: Path | None) -> "tuple[Bid, ...]":
    """The bids of the chosen file, else of the one the shop file names; none when there is no file."""
    path = bids.bids_path(shop, facts.shop, chosen)
    return () if path is None else bids.received_bids(path, facts.shop, facts.catalog)


cautions.register(app, _read)
next.register(app, _read)
start.register(app, lambda file, seconds: compare(file, time_limit=seconds))
jobs.register(app, _read)
papers.register(app, _read, _received)
explain.register(app, _read, _received)
upkeep.register(app, _read)
bids.register(app, _read)
guide.register(app)


SELDOM = 500_000
"""New records between two runs of the collector: they are kept to the end, and walking over them takes a fifth of the time."""


def run() -> None:
    """The console entry."""
    gc.set_threshold(SELDOM)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8")
    app()


if __name__ == "__main__":
    run()
