"""The command that prices a next machine."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from costplan.cli.choices import CatalogFolder, Format, LayoutName, TimeLimit
from costplan.cli.comparing import shown_parts
from costplan.cli.endings import fail, told_of
from costplan.cli.reading import opened
from costplan.cli.screen import columns, say

if TYPE_CHECKING:
    from costplan.reports.parts import NextPart
    from costplan.studies.asked_next import NextAnswer


def register(app: typer.Typer) -> None:
    """Add the command."""

    @app.command(
        name="next",
        epilog="Example: costplan next myshop/shop.yaml --name 'used planer' --price 1400 --volts 240 --phases 3 "
        "--hp 5 --at 'planer bay'",
    )
    def next_machine(
        shop: Annotated[
            Path | None,
            typer.Argument(help="Shop file (YAML); left out, the shipped bargain example.", metavar="SHOP"),
        ] = None,
        machines: Annotated[
            list[str] | None, typer.Argument(help="Machines under next_machines; left out, all of them.")
        ] = None,
        name: Annotated[
            str | None, typer.Option(help="Price a machine that is not in the file, by this name.")
        ] = None,
        price: Annotated[str | None, typer.Option(help="Its price.")] = None,
        volts: Annotated[str | None, typer.Option(help="Its volts.")] = None,
        phases: Annotated[int, typer.Option(help="1 or 3.")] = 1,
        amps: Annotated[str | None, typer.Option(help="Its nameplate amperes.")] = None,
        hp: Annotated[str | None, typer.Option(help="Its horsepower.")] = None,
        at: Annotated[str | None, typer.Option(help="The place it will stand at.")] = None,
        year: Annotated[int, typer.Option(min=0, help="The year it comes; 0 is today.")] = 0,
        freight: Annotated[str, typer.Option(help="Bringing it in.")] = "0",
        hours: Annotated[str, typer.Option(help="Hours a year at full load.")] = "0",
        up_to: Annotated[
            int,
            typer.Option(
                min=0,
                max=12,
                help="Also price this many like the cheapest, on drives or behind one panel; takes its time.",
            ),
        ] = 0,
        catalog: CatalogFolder = None,
        layout: LayoutName = None,
        time_limit: TimeLimit = None,
        show: Annotated[
            str | None,
            typer.Option(
                metavar="PART[,PART...]",
                help="Print these parts instead, with exact figures: machines, ways, money, room, work, buy, count, or all.",
            ),
        ] = None,
        format_: Annotated[
            Format, typer.Option("--format", help="table, json, or csv (the machines).")
        ] = Format.TABLE,
    ) -> None:
        """Price a machine you think of buying: itself, and the power it needs, against the shop without it."""
        from costplan.cli.progress import progress
        from costplan.program.clock import Clock
        from costplan.reports.next_frames import next_machines
        from costplan.reports.parts import NextPart

        clock = Clock(time_limit)
        if shop is not None and not shop.exists() and shop.suffix not in (".yaml", ".yml"):
            fail(f'"{shop}" is no shop file; the shop file comes first, then the machines')
        parts = shown_parts(show, format_, NextPart)
        case, described = opened(shop or _demo(), catalog, layout=layout, with_bids=False), None
        if name is not None:
            figures = {"price": price, "volts": volts, "phases": phases, "amps": amps, "hp": hp, "at": at}
            when = {"arrives": year, "freight": freight, "full_load_hours": hours}
            said = {"name": " ".join(name.split()), **figures, **when}
            described = {word: value for word, value in said.items() if value is not None}
        data = format_ is not Format.TABLE
        with progress() as tick:
            answer = next_machines(
                case,
                machines or (),
                described=described,
                up_to=up_to,
                seconds=clock.left,
                second=data or NextPart.MACHINES in parts,
                all_ways=data or bool(parts),
                tick=tick,
            ).answer
        for odd in answer.asked:
            say(f"--{_OPTIONS.get(odd.field, odd.field)} {odd.words}", error=True)
        say(_text(answer, format_, parts), end="")
        told_of((*answer.facts.left_out, *answer.left_out))


_OPTIONS = {"full_load_hours": "hours", "arrives": "year"}
"""Options that are not named as in the file."""


def _text(answer: "NextAnswer", format_: Format, parts: "tuple[NextPart, ...]") -> str:
    from costplan.reports.data_text import csv_text, json_text
    from costplan.reports.next_columns import MACHINES, next_data
    from costplan.reports.next_page import next_text
    from costplan.reports.next_screen import next_screen

    if format_ is Format.JSON:
        return json_text(next_data(answer))
    if format_ is Format.CSV:
        return csv_text([column.key for column in MACHINES.columns], MACHINES.data(answer))
    if parts:
        return next_text(answer.prices, answer.counted, answer.left_out, columns(), parts)
    return next_screen(answer.prices, answer.counted, answer.left_out, columns())


def _demo() -> Path:
    """The shipped shop that thinks of a next machine."""
    from costplan.files.shipped import shipped

    return shipped("examples") / "bargain" / "shop.yaml"
