"""The command that says where a figure comes from, and why another way or plan does not win."""

from typing import TYPE_CHECKING, Annotated

import typer

from costplan.cli.bids import BidsFileOption, ExpiredOption
from costplan.cli.choices import CatalogFolder, Format, LayoutName, ShopFile, TimeLimit
from costplan.cli.endings import fail, told_of
from costplan.cli.reading import opened
from costplan.cli.screen import columns, say

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from typing import Any

    from costplan.files.yaml_reader import Places
    from costplan.model.nameplate import Retool
    from costplan.program.clock import Clock, Tick
    from costplan.studies.explained import RankedShop

    Told = tuple[str, dict[str, Any]]

WIDEST = 100
"""Characters in a line, however wide the terminal."""
MOST_PLANS, MOST_LINES = 50, 1_000_000
CAP_LEFT_ASIDE = (
    "explained without the cap on today's outlay: plan 1 here is the best without it; "
    "compare shows the one under it"
)
NEXT_PLANS = 3
"""How many plans are ranked where none is asked for, so that the total shows which comes next."""


def register(app: typer.Typer) -> None:
    """Add `explain`."""

    @app.command(epilog="Example: costplan explain myshop/shop.yaml --machine saw --way 'wall drop'")
    def explain(
        shop: ShopFile = None,
        machine: Annotated[
            str | None, typer.Option(help="A machine: its circuit with the rules, its lines, its other ways.")
        ] = None,
        way: Annotated[
            str | None, typer.Option(help="With --machine: why not this way, and what would make it win.")
        ] = None,
        bigger: Annotated[
            str | None,
            typer.Option(
                metavar="WORD=VALUE[,...]",
                help="With --machine: what the next heavier wire costs, and is worth if a bigger machine comes there, in a "
                "plate's words: hp=5 or amps=24,volts=240.",
            ),
        ] = None,
        in_year: Annotated[
            str | None, typer.Option(metavar="YEAR", help="With --bigger: the year in which it comes.")
        ] = None,
        strategy: Annotated[
            str | None,
            typer.Option(
                help="Why not a strategy of the file, fixed drops or cords, and what would make it win."
            ),
        ] = None,
        plan: Annotated[
            str | None,
            typer.Option(metavar="NUMBER", help="What this ranked plan has other than plan 1, line by line."),
        ] = None,
        line: Annotated[
            str | None,
            typer.Option(
                metavar="NUMBER", help="A line of compare --show lines, and where its figures are written."
            ),
        ] = None,
        catalog: CatalogFolder = None,
        layout: LayoutName = None,
        bids_file: BidsFileOption = None,
        expired: ExpiredOption = False,
        time_limit: TimeLimit = None,
        format_: Annotated[
            Format,
            typer.Option(
                "--format",
                help="table, json, or csv (sums by kind, lines, differences or the chain, as it explains).",
            ),
        ] = Format.TABLE,
    ) -> None:
        """Explain the total, a machine, a way that does not win, another plan or one line."""
        from costplan.cli.progress import progress
        from costplan.files.asked import whole_number
        from costplan.program.clock import Clock
        from costplan.reports.data_text import json_text
        from costplan.reports.explained_data import explained_csv
        from costplan.studies import explained as study
        from costplan.studies.caps import with_cap

        clock = Clock(time_limit)
        if format_ is Format.CSV and bigger is not None:
            fail("--bigger prints table or json; choose one of those")
        if way is not None and machine is None:
            fail("--way is about a machine: name it with --machine")
        if bigger is not None and (machine is None or way is not None):
            fail("--bigger is about a machine and no way: name it with --machine, and leave out --way")
        if (bigger is None) != (in_year is None):
            fail("--bigger and --in-year belong together: --bigger hp=5 --in-year 4")
        asked = {"--machine": machine, "--strategy": strategy, "--plan": plan, "--line": line}
        named = [option for option, said in asked.items() if said is not None]
        if len(named) > 1:
            fail(f"{' and '.join(named)}: explain one thing at a time; leave out all but one of them")
        rank = whole_number("--plan", plan, 2, 2, MOST_PLANS) if plan is not None else None
        number = whole_number("--line", line, 1, 1, MOST_LINES) if line is not None else None
        files = opened(shop, catalog, layout=layout, bids=bids_file)
        comes = None if bigger is None else _comes(bigger, in_year, files.facts.shop.years)
        count, facts = rank or (1 if named else NEXT_PLANS), files.facts
        # Why a way does not win would be the cap again and again; the plan under it is what compare shows.
        aside = facts.shop.money.outlay_cap_cents is not None and (machine or strategy) is not None
        with progress() as tick:
            facts = with_cap(facts, None) if aside else facts
            case = study.opened(facts, files.bids, plans=count, expired=expired, clock=clock, tick=tick)
            if comes is not None and machine is not None:
                told = _heavier(case, machine, bigger or "", *comes, clock, tick)
            else:
                told = _told(case, files.places, machine, way, strategy, rank, number, clock, tick)
        text, data = told(min(columns(), WIDEST))
        if format_ is Format.CSV:
            text = explained_csv(data)
        say(json_text(data | {"cap_left_aside": aside}) if format_ is Format.JSON else text, end="")
        if aside:
            say(CAP_LEFT_ASIDE, error=True)
        told_of(case.facts.left_out)


def _comes(bigger: str, year: str | None, years: int) -> "tuple[Retool, int]":
    """What the bigger machine's plate says, and when it comes; ends the command for what no plate says."""
    from pydantic import ValidationError

    from costplan.files.asked import whole_number
    from costplan.model.mistakes import said_of
    from costplan.model.nameplate import Retool

    if years < 2:
        fail(f"--bigger: the plan is for {years} years, and a machine that comes at its end changes nothing")
    words = [entry.partition("=") for entry in bigger.split(",")]
    if not all(word.strip() and said.strip() for word, _, said in words):
        fail(
            f'--bigger "{bigger}" is no list of WORD=VALUE; write it as on a plate: --bigger amps=24,volts=240'
        )
    try:
        plate = Retool.model_validate({word.strip(): said.strip() for word, _, said in words})
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"][:1])
        why = said_of(first)
        fail(
            f'--bigger "{bigger}": {where}{": " * bool(where)}{why}; write it as on a plate: --bigger amps=24,volts=240'
        )
    return plate, whole_number("--in-year", year, 1, 1, years - 1)


def _heavier(
    case: "RankedShop", machine: str, said: str, bigger: "Retool", year: int, clock: "Clock", tick: "Tick"
) -> "Callable[[int], Told]":
    """The next heavier wire of a machine's run; ends the command where there is none to choose."""
    from costplan.reports.heavier_text import heavier_data, heavier_text
    from costplan.studies.heavier_wire import NoHeavierError, heavier

    words = ", ".join(" ".join(entry.split("=")) for entry in said.split(","))
    try:
        found = heavier(case, _known(case, machine), bigger, year, clock, tick)
    except NoHeavierError as error:
        fail(f"--bigger: {error}")
    return lambda width: (heavier_text(found, words, width), heavier_data(case, found, words))


def _told(
    case: "RankedShop",
    places: "Mapping[str, Places]",
    machine: str | None,
    way: str | None,
    strategy: str | None,
    plan: int | None,
    line: int | None,
    clock: "Clock",
    tick: "Tick",
) -> "Callable[[int], Told]":
    """What is asked for, as text of a width and as data; ends the command for what is not there."""
    from costplan.reports import explained as text
    from costplan.reports import explained_data as data
    from costplan.studies.explained import other_ways, variants

    if plan is not None:
        if plan > len(case.plans):
            fail(f"--plan {plan}: there are only {len(case.plans)} plans")
        return lambda width: (text.plan_text(case, plan, width), data.plan_data(case, plan))
    if line is not None:
        if line > len(case.best.lines):
            fail(
                f"--line {line}: plan 1 has lines 1 to {len(case.best.lines)}; compare --show lines prints them"
            )
        return lambda width: (text.line_text(case, line, places, width), data.line_data(case, line, places))
    if strategy is not None:
        return _instead(case, {}, strategy, clock, tick)
    if machine is None:
        return lambda width: (text.total_text(case, width), data.total_data(case))
    name = _known(case, machine)
    if way is not None:
        return _instead(case, {name: way}, "", clock, tick)
    here = case.strands(name)
    others = other_ways(case, here, clock, tick)
    options = variants(case, here[0], clock, tick) if len(here) == 1 else ()
    return lambda width: (
        text.machine_text(case, name, others, options, width),
        data.machine_data(case, name, others, options),
    )


def _known(case: "RankedShop", machine: str) -> str:
    """The machine as the user wrote it; ends the command where there is none, or it is in no plan."""
    from costplan.files.problems import allowed_words
    from costplan.ledger.holding import written

    if not case.strands(machine):
        names = sorted(
            {written(case.facts, each) for each in case.bench.priced_survey.options if case.strands(each)}
        )
        fail(f'--machine "{machine}": there is no such machine in plan 1; {allowed_words(machine, names)}')
    return machine if machine not in case.facts.machines else written(case.facts, machine)


def _instead(
    case: "RankedShop", held: dict[str, str], strategy: str, clock: "Clock", tick: "Tick"
) -> "Callable[[int], Told]":
    """Why not a way of a machine, or a strategy; ends the command for words that name none."""
    from costplan.files.problems import allowed_words
    from costplan.ledger.holding import words_by_machine
    from costplan.model.choices import PURE_WAYS
    from costplan.reports.explained import instead_text
    from costplan.reports.explained_data import instead_data
    from costplan.studies.explained import instead, strategy_plan
    from costplan.studies.least_moves import nearest_changes

    if held:
        words = words_by_machine(case.facts, case.bench.priced_survey, held)
        other = instead(case.bench, words, clock, tick)
        what = "; ".join(f"{machine} by {said}" for machine, said in held.items())
    else:
        found = strategy_plan(case, strategy, clock, tick)
        if found is None:
            known = [*PURE_WAYS, *(each.name for each in case.facts.shop.strategies)]
            fail(f'--strategy "{strategy}": there is no such strategy; {allowed_words(strategy, known)}')
        other, what = found, f'The strategy "{strategy}"'
    ties = nearest_changes(case.bench, case.best, other, clock, tick) if other.allowed else ()
    return lambda width: (instead_text(case, what, other, ties, width), instead_data(case, what, other, ties))
