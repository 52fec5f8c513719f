"""Heavier wire in one run as an option, printed and as data."""

from decimal import Decimal
from typing import Any

from costplan.model.money import format_cents
from costplan.reports.explained import signed
from costplan.reports.explained_data import _head
from costplan.reports.tables import filled, fitted
from costplan.studies.explained import RankedShop
from costplan.studies.heavier_wire import Heavier

CHANCES = tuple(Decimal(each) / 100 for each in (10, 25, 50, 75))
ASK = (
    "Every machine keeps its kind of way; breaker and outlet follow the machine that is there, so heavier wire keeps today's. "
    "How likely is it, and will it stand at this spot? Where the run may be moved or left before, take a lower chance. Ask the "
    "electrician whether breaker and outlet take the heavier wire at their screws."
)


def heavier_text(found: Heavier, bigger: str, width: int) -> str:
    """What it costs, what it saves if the bigger machine comes, from which chance on it pays, and what it is worth at some."""
    head = f"Heavier wire for {found.machine}, {found.way}: {found.heavier_awg} AWG in place of {found.awg}"
    costs = (
        f"It costs {format_cents(found.cash_today_cents)} more today, and {format_cents(found.more_cents)} in today's money "
        "over the years where nothing comes of it."
    )
    comes = f"If in year {found.year} it is a machine of {bigger}: {_then(found)}"
    rows = [
        [
            f"{chance * 100:.0f} %",
            format_cents(round(chance * found.saved_cents)),
            signed(found.worth_cents(chance)),
        ]
        for chance in CHANCES
    ]
    table = (
        fitted(["chance", "worth", "worth less cost"], rows, {0, 1, 2}, width)
        if found.saved_cents > 0
        else ""
    )
    said = [filled(words, width) for words in (head, costs, comes)]
    return "\n".join([*said, *([table] if table else []), filled(ASK, width)]) + "\n"


def _then(found: Heavier) -> str:
    if found.saved_cents <= 0:
        return (
            f"the heavier wire saves nothing. Either {found.awg} AWG may stay then, too (it may drop more volts than is "
            f"advised: costplan size), or {found.heavier_awg} AWG would have to be replaced as well."
        )
    if found.break_even is None:
        return f"it saves {format_cents(found.saved_cents)} in today's money, less than it costs: it pays at no chance."
    ahead = format_cents(found.saved_cents - found.more_cents)
    return (
        f"it saves {format_cents(found.saved_cents)} in today's money. It pays where that is likelier than "
        f"{found.break_even * 100:.1f} %. You are {ahead} ahead if it comes, and "
        f"{format_cents(max(found.more_cents, 0))} out if it does not; nobody gets the mean."
    )


def heavier_data(case: RankedShop, found: Heavier, bigger: str) -> dict[str, Any]:
    """The same as data, in whole units of currency; the chance as a fraction, null where it pays at none."""
    return _head(case, "heavier wire") | {
        "machine": found.machine,
        "way": found.way,
        "awg": found.awg,
        "heavier_awg": found.heavier_awg,
        "bigger": bigger,
        "year": found.year,
        "cash_today": Decimal(found.cash_today_cents) / 100,
        "more": Decimal(found.more_cents) / 100,
        "saved": Decimal(found.saved_cents) / 100,
        "break_even": None if found.break_even is None else round(found.break_even, 4),
    }
