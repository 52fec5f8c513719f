"""The command that prices a next machine."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from costplan.cli.choices import CatalogFolder, Format, LayoutName, Read, TimeLimit
from costplan.cli.comparing import in_layout, shown_parts
from costplan.cli.endings import fail, no_plan, told_of
from costplan.cli.screen import columns, say

if TYPE_CHECKING:
    from costplan.circuits.facts import Facts
    from costplan.model.shop import NextMachine
    from costplan.reports.parts import NextPart


def register(app: typer.Typer, read: Read) -> None:
    """Add the command; `read` loads the shop and its catalog or ends the run."""

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
        format_: Annotated[Format, typer.Option("--format", help="table or json.")] = Format.TABLE,
    ) -> None:
        """Price a machine you think of buying: itself, and the power it needs, against the shop without it."""
        from costplan.program.clock import Clock
        from costplan.reports.parts import NextPart

        clock = Clock(time_limit)
        if format_ is Format.CSV:
            fail("next prints table or json; choose one of those")
        if name is not None and machines:
            fail("describe one machine with --name, or name machines of the file, not both")
        if shop is not None and not shop.exists() and shop.suffix not in (".yaml", ".yml"):
            fail(f'"{shop}" is no shop file; the shop file comes first, then the machines')
        parts = shown_parts(show, format_, NextPart)
        facts = in_layout(read(shop or _demo(), catalog), layout)
        if name is None:
            chosen = _named(facts, machines or [])
        else:
            values = {
                "name": " ".join(name.split()),
                "price": price,
                "volts": volts,
                "phases": phases,
                "amps": amps,
                "hp": hp,
                "at": at,
            }
            more = {"arrives": year, "freight": freight, "full_load_hours": hours}
            chosen = [_made(facts, {k: v for k, v in {**values, **more}.items() if v is not None})]
            _ask_about(chosen[0], facts.shop.currency)
        _print(facts, chosen, up_to, clock.left, parts, as_json=format_ is Format.JSON)


def _ask_about(machine: "NextMachine", currency: str) -> None:
    """Ask about figures of a machine described on the command line that are far from usual, as files are asked about."""
    from costplan.checks.check_usual import odd_figures

    for trail, _, message, mend in odd_figures(machine, (), currency):
        word = {"full_load_hours": "hours"}.get(str(trail[-1]), str(trail[-1]))
        say(f"--{word} {message}: {mend}", error=True)


def _demo() -> Path:
    """The shipped shop that thinks of a next machine."""
    from costplan.files.shipped import shipped

    return shipped("examples") / "bargain" / "shop.yaml"


def _print(
    facts: "Facts",
    chosen: "list[NextMachine]",
    up_to: int,
    time_limit: float | None,
    parts: "tuple[NextPart, ...]",
    *,
    as_json: bool,
) -> None:
    from costplan.cli.progress import progress
    from costplan.program.ranking import NoPlanError
    from costplan.reports.data import json_text
    from costplan.reports.next_page import next_data, next_text
    from costplan.reports.next_screen import next_screen
    from costplan.reports.parts import NextPart
    from costplan.studies.next_machine import Benches, by_count, price_machines, with_a_way

    share = None if time_limit is None else time_limit / (2 if up_to else 1)
    try:
        with progress() as tick:
            benches = Benches(facts)
            ready, out = with_a_way(benches, chosen)
            if not ready:
                raise NoPlanError([f"{entry.machine}: {'; '.join(entry.reasons)}" for entry in out])
            prices = price_machines(
                benches,
                ready,
                second=as_json or NextPart.MACHINES in parts,
                all_ways=as_json or bool(parts),
                seconds=share,
                tick=tick,
            )
            counted = by_count(benches, prices[0].machine, up_to, seconds=share, tick=tick) if up_to else []
    except NoPlanError as error:
        no_plan(error)
    if as_json:
        text = json_text(next_data(prices, counted, out))
    elif parts:
        text = next_text(prices, counted, out, columns(), parts)
    else:
        text = next_screen(prices, counted, out, columns())
    say(text, end="")
    told_of((*prices[0].facts.left_out, *out))


def _named(facts: "Facts", names: list[str]) -> "list[NextMachine]":
    known = {machine.name: machine for machine in facts.shop.next_machines}
    if not known:
        fail(
            "the shop file has no next_machines; add some, or describe one with --name, --price, --volts, --hp, --at"
        )
    for name in names:
        if name not in known:
            fail(f'there is no next machine "{name}"; there are {", ".join(sorted(known))}')
    return [known[name] for name in names] or list(known.values())


def _made(facts: "Facts", values: dict[str, Any]) -> "NextMachine":
    from pydantic import ValidationError

    from costplan.model.shop import NextMachine

    missing = [word for word in ("price", "volts", "at") if word not in values]
    if missing:
        fail(f"a machine described here also needs {', '.join(f'--{word}' for word in missing)}")
    places = sorted(spot.name for spot in facts.shop.places)
    if values["at"] not in places:
        fail(f'--at "{values["at"]}": there is no such place; there are {", ".join(places)}')
    taken = {machine.name for machine in (*facts.shop.machines, *facts.shop.next_machines)}
    if values["name"] in taken:
        fail(f'--name "{values["name"]}" is the name of another machine; choose another')
    try:
        return NextMachine.model_validate(values)
    except ValidationError as error:
        lines = []
        for found in error.errors():
            words = found["msg"].removeprefix("Value error, ")
            lines.append(f"--{'.'.join(str(part) for part in found['loc']) or values['name']} {words}")
        fail("\n".join(lines))
