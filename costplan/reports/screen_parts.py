"""What the first screens of commands share: how large they are, and the gravest cautions."""

from collections.abc import Mapping, Sequence

from costplan.reports.budget import first_that_fits
from costplan.reports.remarks import Topic

ROWS = 23
"""Rows of the smallest terminal but one, where the next prompt stands."""
COLUMNS = 80
"""Characters in a row of the smallest terminal."""
WIDE_ENOUGH = 120
"""Characters in a row however wide the terminal."""


SAID_FIRST: Mapping[Topic, str] = {
    Topic.NO_DESIGN: "no design: the local code and a licensed electrician decide",
    Topic.LOCKOUT: "lock out and test first",
    Topic.PANEL_WORK: "panels are for the licensed",
    Topic.PERMITS: "ask about a permit",
    Topic.LEASE: "ask the landlord in writing",
    Topic.FRAME_GROUND: "find what grounds the frame of a machine",
    Topic.MADE_LEG: "nothing of 120 V on a made leg",
    Topic.RUN_SERVES_OTHER_LINES: "a run changes what it serves",
    Topic.HIGH_VOLTAGE: "more than 250 V between wires",
    Topic.STILL_CORD: "ask before a cord feeds what never moves",
    Topic.SECOND_HAND: "inspect used parts before you pay",
    Topic.CROWDED_PANEL: "ask whether so many outlets fit beside a panel",
    Topic.HIGH_WORK: "not alone on a ladder",
}
"""Cautions in the words of the screen, the gravest first; the others are counted."""


def cautions_rows(topics: Sequence[Topic], rows: int, width: int) -> list[str]:
    """The gravest cautions of those that apply, and how many more do."""
    said = [words for topic, words in SAID_FIRST.items() if topic in topics]
    texts = []
    for shown in range(len(said), 0, -1):
        more = len(topics) - shown
        rest = f"; {more} more: costplan cautions SHOP" if more else ""
        texts.append(f"Cautions: {'; '.join(said[:shown])}{rest}.")
    return first_that_fits(texts, rows, width)
