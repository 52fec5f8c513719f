"""Commands that keep a catalog alive: parse, call, print, and write only what was shown."""

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from costplan.cli.choices import CatalogFolder, Exit, LayoutName, Read, ShopFile, TableOrJson
from costplan.cli.endings import fail, told_of
from costplan.cli.screen import say

if TYPE_CHECKING:
    from costplan.files.problems import Problem
    from costplan.sourcing.upkeep import OpenCatalog, Proposal


Folder = Annotated[Path, typer.Argument(help="Catalog folder.", metavar="CATALOG")]
PartId = Annotated[str, typer.Argument(help="Id of the part.", metavar="PART")]
Price = Annotated[str, typer.Argument(help="Price of one unit, for example 12.50.")]
OneSupplier = Annotated[str | None, typer.Option("--supplier", help="Supplier of the offer meant.")]
OneCondition = Annotated[str | None, typer.Option("--condition", help="Condition of the offer meant.")]
OnePer = Annotated[str | None, typer.Option("--per", help="Unit of the offer meant.")]
OneRow = Annotated[int | None, typer.Option("--row", min=2, help="Row of offers.csv of the offer meant.")]
Available = Annotated[str | None, typer.Option(help='How many units can be had; "" for as many as you like.')]
Note = Annotated[str | None, typer.Option(help="Anything worth remembering.")]
TheirNumber = Annotated[str | None, typer.Option(help="The number under which the supplier has it.")]
Freight = Annotated[str | None, typer.Option(help="Freight of one unit, always due.")]
Usable = Annotated[
    str | None, typer.Option(help="Of a lot: the share of its pieces that can be used, as 60 %.")
]
Today = Annotated[
    datetime | None,
    typer.Option("--today", formats=["%Y-%m-%d"], help="The day it counts as; left out, the computer's."),
]
Days = Annotated[int, typer.Option(min=1, help="Age in days from which a price is old.")]
Yes = Annotated[bool, typer.Option("--yes", help="Write without asking.")]
Output = Annotated[TableOrJson, typer.Option("--format", help="table or json.")]


def register(app: typer.Typer, read: Read) -> None:
    """Add `catalog` with its commands; `read` loads a shop and its catalog or ends the run with status 2."""
    catalog = typer.Typer(
        help="Keep a catalog's prices up to date: add, reprice, import, and find what looks odd.",
        rich_markup_mode=None,
        no_args_is_help=True,
    )
    catalog.command(epilog="Example: costplan catalog copy mycatalog")(copy)
    catalog.command(
        epilog="Example: costplan catalog add mycatalog receptacle-6-20 11.90 --supplier counter --condition new"
    )(add)
    catalog.command(
        epilog="Example: costplan catalog reprice mycatalog receptacle-6-20 12.40 --supplier counter"
    )(reprice)
    catalog.command(epilog="Example: costplan catalog remove mycatalog receptacle-6-20 --row 31")(remove)
    catalog.command(
        "import",
        epilog="Example: costplan catalog import mycatalog list.csv --supplier counter --map part=Item "
        "--map 'price=Net price' --always condition=new --always per=each",
    )(import_)
    catalog.command(epilog="Example: costplan catalog odd mycatalog")(odd)
    catalog.command(epilog="Example: costplan catalog history mycatalog receptacle-6-20")(history)

    @catalog.command(epilog="Example: costplan catalog calls myshop/shop.yaml")
    def calls(
        shop: ShopFile = None,
        folder: CatalogFolder = None,
        layout: LayoutName = None,
        days: Days = 180,
        times: Annotated[
            int, typer.Option(min=2, max=1000, help="How many times too high or too low a price may be.")
        ] = 3,
        time_limit: Annotated[
            float | None, typer.Option(min=1, help="Seconds after which the rest is left unlooked at.")
        ] = None,
        format_: Output = TableOrJson.TABLE,
    ) -> None:
        """Say which missing or old prices are worth a phone call: how far off they must be to change the plan."""
        from decimal import Decimal

        from costplan.cli.progress import progress
        from costplan.program.clock import Clock
        from costplan.reports.calls import calls_data, calls_text
        from costplan.studies.case import in_layout
        from costplan.studies.phone_calls import phone_calls

        clock = Clock(time_limit)
        facts = in_layout(read(shop, folder), layout)
        with progress() as tick:
            found = phone_calls(facts, oldest_days=days, times=Decimal(times), seconds=clock.left, tick=tick)
        if format_ is TableOrJson.JSON:
            import json

            say(json.dumps(calls_data(found), indent=2, ensure_ascii=False))
        else:
            say(calls_text(found), end="")
        told_of(found.left_out)

    app.add_typer(catalog, name="catalog")


def add(
    folder: Folder,
    part: PartId,
    price: Price,
    supplier: Annotated[str, typer.Option(help="Id of the supplier.")],
    condition: Annotated[str, typer.Option(help="new, new-old-stock, used or on-hand.")],
    per: Annotated[
        str, typer.Option(help="What the price is for: each, ft, box of 25, reel of 250 ft ...")
    ] = "each",
    available: Available = None,
    note: Note = None,
    their_number: TheirNumber = None,
    freight: Freight = None,
    usable: Usable = None,
    another: Annotated[
        bool, typer.Option("--another", help="A second lot of what is there already.")
    ] = False,
    today: Today = None,
    yes: Yes = False,
) -> None:
    """Add an offer to offers.csv."""
    from costplan.sourcing.upkeep import add_offer

    day = _day(today)
    cells = {"part": part, "supplier": supplier, "condition": condition, "price": price, "per": per}
    cells |= _given(available=available, note=note, their_number=their_number, freight=freight, usable=usable)
    _carry_out(folder, yes, lambda opened: add_offer(opened, cells, day, another=another))


def reprice(
    folder: Folder,
    part: PartId,
    price: Price,
    supplier: OneSupplier = None,
    condition: OneCondition = None,
    per: OnePer = None,
    row: OneRow = None,
    available: Available = None,
    note: Note = None,
    their_number: TheirNumber = None,
    freight: Freight = None,
    usable: Usable = None,
    today: Today = None,
    yes: Yes = False,
) -> None:
    """Give an offer a new price and the day it was seen; the old row is kept in history.csv."""
    from costplan.sourcing.upkeep import Wanted, reprice_offer

    day = _day(today)
    wanted = Wanted(part, supplier, condition, per, row)
    cells = {
        "price": price,
        **_given(available=available, note=note, their_number=their_number, freight=freight, usable=usable),
    }
    _carry_out(folder, yes, lambda opened: reprice_offer(opened, wanted, cells, day))


def remove(
    folder: Folder,
    part: PartId,
    supplier: OneSupplier = None,
    condition: OneCondition = None,
    per: OnePer = None,
    row: OneRow = None,
    today: Today = None,
    yes: Yes = False,
) -> None:
    """Take an offer out of offers.csv; its row is kept in history.csv."""
    from costplan.sourcing.upkeep import Wanted, remove_offer

    day = _day(today)
    wanted = Wanted(part, supplier, condition, per, row)
    _carry_out(folder, yes, lambda opened: remove_offer(opened, wanted, day))


def copy(
    folder: Annotated[Path, typer.Argument(help="A folder that does not exist yet.", metavar="FOLDER")],
) -> None:
    """Copy the shipped demo's catalog, its shelf left out, into a new folder, to put your own prices in."""
    from costplan.cli.copying import copy_catalog

    with _mistakes_shown():
        copy_catalog(folder)
    say(
        f"Wrote {folder}. All prices in it are invented: put in your own, and write catalog: {folder} in the shop file"
    )


def import_(
    folder: Folder,
    file: Annotated[Path, typer.Argument(help="The supplier's list (CSV).", metavar="FILE")],
    supplier: Annotated[str, typer.Option(help="Id of the supplier that sent it.")],
    map_: Annotated[
        list[str] | None,
        typer.Option(
            "--map", help="FIELD=COLUMN: where the list says part, condition, price, per and so on."
        ),
    ] = None,
    always: Annotated[
        list[str] | None, typer.Option("--always", help="FIELD=WORD: what every row of the list is.")
    ] = None,
    word: Annotated[
        list[str] | None,
        typer.Option(
            "--word", help="FIELD:THEIRS=OURS: what a word of theirs means, for example per:EA=each."
        ),
    ] = None,
    only_known: Annotated[
        bool, typer.Option("--only-known", help="Leave out rows of parts that the catalog does not have.")
    ] = False,
    today: Today = None,
    yes: Yes = False,
) -> None:
    """Take over a supplier's price list, all of it or nothing; how to read it is remembered in price_lists.csv."""
    from costplan.sourcing.upkeep import Import, import_offers

    day = _day(today)
    words = {}
    for entry in word or []:
        left, ours = _two(entry, "--word", "FIELD:THEIRS=OURS", "per:EA=each")
        field, colon, theirs = left.partition(":")
        if not colon or not theirs:
            fail(f'--word "{entry}": write FIELD:THEIRS=OURS, for example "per:EA=each"')
        words[_field(field, "--word"), theirs] = ours
    columns = dict(_two(entry, "--map", "FIELD=COLUMN", "price=Net price") for entry in map_ or [])
    fixed = dict(_two(entry, "--always", "FIELD=WORD", "condition=new") for entry in always or [])
    for name in columns:
        _field(name, "--map")
    for name in fixed:
        _field(name, "--always")
    wish = Import(file, supplier, columns, fixed, words, only_known)
    _carry_out(folder, yes, lambda opened: import_offers(opened, wish, day))


def odd(
    folder: Folder,
    days: Days = 180,
    today: Today = None,
    format_: Output = TableOrJson.TABLE,
) -> None:
    """List prices that are missing, old, far from their peers or in the wrong unit, and things written twice."""
    from costplan.files.problems import as_dicts, errors_of, in_order, render_text
    from costplan.sourcing.looking import questions_about

    with _mistakes_shown():
        found = in_order(questions_about(folder, _day(today), days))
    if format_ is TableOrJson.JSON:
        import json

        say(json.dumps(as_dicts(found), indent=2, ensure_ascii=False))
    else:
        say(render_text(found, at_most_alike=len(found)) if found else "Nothing looks odd.")
    if errors_of(found):
        raise typer.Exit(Exit.USER_MISTAKE)


def history(folder: Folder, part: PartId, format_: Output = TableOrJson.TABLE) -> None:
    """Show what a part has cost over time, at each supplier."""
    from costplan.files.problems import UserMistakeError, errors_of
    from costplan.model.history import prices_over_time, read_history
    from costplan.sourcing.looking import history_rows
    from costplan.sourcing.upkeep import lost_part, open_catalog

    with _mistakes_shown():
        opened = open_catalog(folder)
        past, problems = read_history(folder)
        if errors_of(problems):
            raise UserMistakeError(problems)
    rows = history_rows(prices_over_time(part, opened.offers, past))
    if not rows:
        lost = lost_part(opened, part)
        fail(f"PART {lost[0][2]}: {lost[0][3]}" if lost else f'"{part}" has no price and never had one')
    if format_ is TableOrJson.JSON:
        import json

        say(json.dumps(rows, indent=2, ensure_ascii=False))
        return
    from tabulate import tabulate

    say(tabulate(rows, headers="keys", tablefmt="simple", disable_numparse=True))


def _carry_out(folder: Path, yes: bool, propose: "Callable[[OpenCatalog], Proposal]") -> None:
    """Show the difference and write it: at once with --yes, after a yes on a terminal, else not at all.

    With --yes the folder is held from reading to writing, so that writers at the same time come one by one;
    while a person thinks it is not held, and a file that changed meanwhile is left alone.
    """
    from costplan.files.locking import locked
    from costplan.files.writing import exchange
    from costplan.sourcing.upkeep import open_catalog

    with _mistakes_shown():
        if yes:
            with locked(folder):
                proposal = propose(open_catalog(folder))
                _show(proposal)
                exchange(proposal.writes)
        else:
            proposal = propose(open_catalog(folder))
            _show(proposal)
            if proposal.writes and not _agreed():
                say("Nothing was written.")
                return
            with locked(folder):
                exchange(proposal.writes)
    if proposal.writes:
        say(f"Wrote {', '.join(str(write.path) for write in proposal.writes)}.")


def _show(proposal: "Proposal") -> None:
    from costplan.files.problems import render_text

    if proposal.difference:
        say(proposal.difference)
    if proposal.questions:
        say(render_text(proposal.questions), error=True)
    say(proposal.summary)


def _agreed() -> bool:
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        fail("nothing was written: there is no terminal to ask on; say --yes to write without being asked")
    return typer.confirm("Write this?")


@contextmanager
def _mistakes_shown() -> Iterator[None]:
    """The user's mistakes on stderr, every one of them, and exit 2."""
    from costplan.files.problems import UserMistakeError

    try:
        yield
    except UserMistakeError as error:
        say(_all_of(error.problems), error=True)
        raise typer.Exit(Exit.USER_MISTAKE) from None


def _all_of(problems: "Sequence[Problem]") -> str:
    from costplan.files.problems import render_text

    text = render_text(problems, at_most_alike=len(problems))
    return text.replace("nothing was computed", "nothing was written")


def _given(**said: str | None) -> dict[str, str]:
    return {name: cell for name, cell in said.items() if cell is not None}


def _day(today: datetime | None) -> date:
    return today.date() if today else date.today()


def _two(entry: str, option: str, form: str, example: str) -> tuple[str, str]:
    left, equals, right = entry.partition("=")
    if not equals or not left.strip() or not right.strip():
        fail(f'{option} "{entry}": write {form}, for example "{example}"')
    return left.strip(), right.strip()


def _field(name: str, option: str) -> str:
    from costplan.files.problems import allowed_words
    from costplan.model.price_list import FIELDS

    if name not in FIELDS:
        fail(f'{option} "{name}": no field of an offer; {allowed_words(name, FIELDS)}')
    return name
