"""Which figures matter most to replace by real ones, in words."""

from collections.abc import Collection

from costplan.circuits.facts import Facts
from costplan.model.labor import Role
from costplan.program.ranked import Ranked
from costplan.reports.tables import table, wrapped
from costplan.studies.swing import SHARE, swings

MOST = 3


def figures_text(facts: Facts, best: Ranked, known: Collection[Role]) -> str:
    """The figures that move the best plan's total most; empty where none of them is a catalog's."""
    found = swings(facts, best, known)[:MOST]
    if not found:
        return ""
    rows = [
        [wrapped(figure.what, 38), f"{figure.swing_cents / 100:,.0f}", wrapped(figure.where, 26)]
        for figure in found
    ]
    head = (
        "These figures are invented, and matter most: put in your own first\n"
        f"(how far the total moves when one is {SHARE * 100:.0f} % more or less; an approximation, since\n"
        "the best plan is held as it is)"
    )
    return f"{head}\n{table(['figure', str(facts.shop.currency), 'where'], rows, right={1})}\n"
