"""The command that levels bids and compares them with the estimate."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from costplan.cli.choices import CatalogFolder, LayoutName, Read, ShopFile, TableOrJson, TimeLimit
from costplan.cli.endings import fail, told_of
from costplan.cli.reading import tell_asked_of_bids
from costplan.cli.screen import say

if TYPE_CHECKING:
    from costplan.circuits.facts import Facts
    from costplan.model.bids import Bid
    from costplan.reports.bids import BidsReport


BidsFileOption = Annotated[
    Path | None, typer.Option("--bids", help="File of bids; wins over the one the shop file names.")
]
ExpiredOption = Annotated[
    bool, typer.Option("--expired", help="Count bids whose day has passed as if they still held.")
]


def register(app: typer.Typer, read: Read) -> None:
    """Add the command; `read` loads the shop and its catalog or ends the run."""

    @app.command(epilog="Example: costplan bids myshop/shop.yaml --bids myshop/bids.yaml")
    def bids(
        shop: ShopFile = None,
        bids_file: BidsFileOption = None,
        catalog: CatalogFolder = None,
        layout: LayoutName = None,
        plan: Annotated[int, typer.Option(min=1, max=50, help="The ranked plan they bid on.")] = 1,
        expired: ExpiredOption = False,
        time_limit: TimeLimit = None,
        format_: Annotated[TableOrJson, typer.Option("--format", help="table or json.")] = TableOrJson.TABLE,
    ) -> None:
        """Bring the bids to the same scope, compare them with the estimate, and put them in its place."""
        from costplan.program.clock import Clock
        from costplan.reports.bids import bids_data, bids_text
        from costplan.reports.data_text import json_text
        from costplan.studies.case import in_layout, received_bids

        clock = Clock(time_limit)
        facts = in_layout(read(shop, catalog), layout)
        received, asked = received_bids(shop, facts, bids_file)
        tell_asked_of_bids(asked)
        report = _report(facts, received, plan, clock.left, expired=expired)
        text = json_text(bids_data(report)) if format_ is TableOrJson.JSON else bids_text(report)
        say(text, end="")
        told_of(report.leveling.facts.left_out)


def _report(
    facts: "Facts", received: "tuple[Bid, ...]", plan: int, seconds: float | None, *, expired: bool
) -> "BidsReport":
    from costplan.cli.progress import progress
    from costplan.program.clock import Clock
    from costplan.program.ranking import best_plans
    from costplan.reports.bids import BidsReport
    from costplan.reports.proof import NOT_PROVEN, unproven
    from costplan.studies.bid_choice import all_bids, in_place, without_bids
    from costplan.studies.left_out import bench_of_the_rest
    from costplan.studies.leveling import level

    listed = all_bids(facts, received)
    today = facts.shop.today
    share = None if seconds is None else seconds / 2
    with progress() as tick:
        bench = bench_of_the_rest(without_bids(facts), facts.shop.money.surplus)
        estimated = bench.facts
        plans = best_plans(bench, plan, clock=Clock(share), tick=tick)
        if plan > len(plans):
            fail(f"--plan {plan}: there are only {len(plans)} plans")
        ranked = plans[plan - 1]
        if unproven(plans, plan):
            say(NOT_PROVEN, error=True)
        leveling = level(estimated, ranked, listed, today=today, expired=expired)
        instead = in_place(
            estimated,
            ranked,
            listed,
            today=today,
            expired=expired,
            seconds=share,
            tick=tick,
            estimated=bench,
        )
    return BidsReport(leveling, plan, instead)
