"""A guided start: questions at a terminal, or a page of notes and options; a shop file and a small catalog at the end."""

import sys
from pathlib import Path
from typing import Annotated

import typer

from costplan.cli.started import Compare, begin


def register(app: typer.Typer, compare: Compare | None = None) -> None:
    """Add the command `start`; at a terminal it ends by comparing what it wrote, where `compare` is given."""

    @app.command(
        epilog="Example: costplan start myshop.yaml --machine 'wood lathe; bay; 120; 1 hp; 1; 55 / 42 ft; 12'"
    )
    def start(
        file: Annotated[
            Path, typer.Argument(help="The shop file to write; it must not exist yet.", metavar="FILE")
        ],
        machines: Annotated[
            Path | None,
            typer.Option(
                help="A page of notes: a line for each machine, and lines such as years: 8 for all other answers.",
                metavar="NOTES",
            ),
        ] = None,
        machine: Annotated[
            list[str] | None,
            typer.Option(
                help="'name; place; volts; hp or amps; phases; distance; how many', the last optional; once for each "
                "machine, or for so many alike. Facts may follow: plug 6-20; bolted down; 7 move every year."
            ),
        ] = None,
        shop_name: Annotated[
            str | None, typer.Option(help="What the shop is called; left out, as the file.")
        ] = None,
        years: Annotated[
            str | None, typer.Option(help="Years to plan for, 1 to 60, or until 2030; 5 if left out.")
        ] = None,
        panel: Annotated[
            list[str] | None,
            typer.Option(
                help="'name; system; breakers; free spaces; main; other load', once for each: 'main; 120/240 single-phase; "
                "type T1; 42; 100 A; 12 A'. The amperes of its main and of what else hangs on it may be left out. "
                "Systems: 120/240 single-phase, 120/208 three-phase, 240 three-phase, 277/480 three-phase; "
                "breakers is what the label calls them; left empty, as on the label."
            ),
        ] = None,
        rate: Annotated[
            str | None, typer.Option(help="What one electrician charges an hour; left out, an invented rate.")
        ] = None,
        own_hour: Annotated[
            str | None,
            typer.Option(help="What an hour of your own is worth, or 0; left out, an invented figure."),
        ] = None,
        occupancy: Annotated[
            str | None, typer.Option(help="'dwelling garage', commercial, school, industrial and others.")
        ] = None,
        edition: Annotated[
            str | None, typer.Option(help="NEC edition in force, for example 2020; left out, unknown.")
        ] = None,
        electricity: Annotated[
            str | None,
            typer.Option(
                help="Price of a kilowatt-hour, for example 0.16 or 16 cents; left out, not counted."
            ),
        ] = None,
        ceiling: Annotated[str | None, typer.Option(help="Height of the ceiling; 10 ft if left out.")] = None,
        vapors: Annotated[
            str | None,
            typer.Option(
                help="Whether finishes, solvents or fuels are sprayed, dipped or kept open: yes or no."
            ),
        ] = None,
        moves_per_year: Annotated[
            str | None,
            typer.Option(
                help="Machine moves a year, all machines together, 0 to 100; where no line says which machines move."
            ),
        ] = None,
        lease: Annotated[
            str | None, typer.Option(help="What the lease says: 'ends 2030, take out', or none.")
        ] = None,
        forbid: Annotated[
            list[str] | None,
            typer.Option(help="What is not allowed in the building, and why: 'wall drop: masonry walls'."),
        ] = None,
        strategy: Annotated[
            list[str] | None,
            typer.Option(help="A strategy to compare by name, in the words of --hold: 'all cords: *=cord'."),
        ] = None,
        service: Annotated[
            str | None,
            typer.Option(help="Amperes of the service; left out, whether it is enough is not looked at."),
        ] = None,
        measured_peak: Annotated[
            str | None, typer.Option(help="Highest draw on the fuller line: '38 A; 2026-09-30; 30 days'.")
        ] = None,
        tandems: Annotated[
            list[str] | None,
            typer.Option(
                help="Panel, tandem breakers that its label still allows, plain one-pole circuits in it: "
                "'main; 4; 20 A 12 gauge 6; 15 A 14 gauge 4'."
            ),
        ] = None,
        subpanel: Annotated[
            list[str] | None,
            typer.Option(help="A panel that may feed a subpanel beside it, where that pays."),
        ] = None,
        turns: Annotated[
            list[str] | None, typer.Option(help="Machines that never run at once: 'table saw, planer'.")
        ] = None,
        another_panel: Annotated[
            list[str] | None,
            typer.Option(
                help="A full panel beside which an electrician may put another at the service, and what was asked for it: "
                "'main; 2400'."
            ),
        ] = None,
        at_once: Annotated[
            str | None,
            typer.Option(
                help="How many machines run at the same time at the most, or all; counted on the service."
            ),
        ] = None,
        catalog: Annotated[
            Path | None,
            typer.Option(
                help="Catalog folder the file will name, or demo for the shipped one; left out, a small one is written."
            ),
        ] = None,
        today: Annotated[
            str | None, typer.Option(help="Day of the plan, year-month-day; left out, the day it is.")
        ] = None,
    ) -> None:
        """Write a first shop file and a small catalog, from what is asked at a terminal, or from notes and options."""
        once = {
            "shop-name": shop_name,
            "years": years,
            "rate": rate,
            "own-hour": own_hour,
            "occupancy": occupancy,
            "edition": edition,
            "electricity": electricity,
            "ceiling": ceiling,
            "vapors": vapors,
            "moves-per-year": moves_per_year,
            "lease": lease,
            "today": today,
            "service": service,
            "measured-peak": measured_peak,
            "at-once": at_once,
        }
        options = {name: [text] for name, text in once.items() if text is not None}
        often = {
            "panel": panel,
            "machine": machine,
            "forbid": forbid,
            "strategy": strategy,
            "tandems": tandems,
            "subpanel": subpanel,
            "another-panel": another_panel,
            "turns": turns,
        }
        options |= {name: texts for name, texts in often.items() if texts}
        typed = sys.stdin.isatty()
        begin(file, machines, options, catalog, compare if typed else None, typed=typed)
