"""Filler plates that are bought, against the spaces that today's work leaves open."""

from costplan.circuits.facts import Facts
from costplan.plans.ranking import Ranked
from costplan.reports.before_after import panel_tables
from costplan.reports.there import There

FILLER_PLATE = "filler plate"
"""The kind of part that closes an unused opening in a panel."""


def filler_plate_words(facts: Facts, ranked: Ranked, there: There) -> str:
    """How many spaces stay open after today's work, to be said at filler plates.

    A recipe counts its plates for each outlet made safe, and another circuit may take the spaces that it frees.
    Source: NFPA 70 408.7 (unused openings are closed), from memory.
    """
    tables = panel_tables(facts, ranked, there)
    left = ", ".join(f"{table.opened} in {table.panel}" for table in tables if table.opened)
    if left:
        return f"one for each space left open after the work (NEC 408.7): {left}; leave out what is more"
    return "none needed: no space is left open after the work (NEC 408.7); leave them out"
