"""Sections and tables of NFPA 70 by the numbers that an edition has for them; everything here is written by the newest's."""

import re
from functools import cache

from costplan.standards import tables

CITATIONS = "nfpa70_citations"
NEWEST = 2023
"""The edition whose numbers are written in data and words here."""
_PARTS = r"(?:\([A-Za-z0-9]{1,3}\))*"
_SECTION = re.compile(rf"(?<![\d.])(?P<table>Table )?(?P<number>\d{{3}}\.\d+)(?P<parts>{_PARTS})")
_CITED = re.compile(rf"(?:NFPA 70(?: {NEWEST})?,? |NEC |Table )(?:Table )?\d{{3}}\.\d+{_PARTS}")


@cache
def section(cited: str, edition: int | None) -> str:
    """A section or table, as `Table 310.16` or `400.12(1)`, by the number that an edition has for it.

    None, an unknown edition, stands for the newest; what no row names is called alike in all. Source: NFPA 70, from memory.
    """
    for row in tables.table(CITATIONS):
        known = row["section"]
        parts = cited.removeprefix(known)
        same = cited.startswith(known) and (not parts or parts.startswith("("))
        if same and edition is not None and edition <= int(row["last_edition"]):
            return row["was"] + parts
    return cited


def all_cited(words: str, edition: int | None) -> str:
    """Words in which every number such as 310.16 is a section of NFPA 70, by an edition's numbers."""
    if edition is None or edition >= NEWEST:
        return words
    found = _SECTION.sub(lambda match: section(match[0], edition), words)
    return found.replace(f"NFPA 70 {NEWEST}", f"NFPA 70 {edition}")


def cited(words: str, edition: int | None) -> str:
    """Words with sections of NFPA 70 by an edition's numbers, where it is named before them; other figures stay as they are."""
    if edition is None or edition >= NEWEST:
        return words
    return _CITED.sub(lambda match: all_cited(match[0], edition), words)
